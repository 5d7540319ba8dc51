"""Laws of the folded view: what is drawn is what the eye sees, over generated brackets.

Visibility is asked again by casting rays at triangles that another library cut.
"""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from laws.effort import examples
from laws.meeting import any_meet
from laws.strategies_bracket import holes_apart, seat_brackets, trees
from laws.triangles import triangle_corners
from platewright.drawing.items import Fill, Text, bounds, marks, moved, words
from platewright.drawing.picture import Picture, strokes_of
from platewright.drawing.style import EDGE, OUTLINE
from platewright.drawing.view import folded_view, views_of
from platewright.drawing.view_direction import (
    ViewDirection,
    face_samples,
    least_seen,
    main_direction,
    opposite_direction,
)
from platewright.geometry.plane import Bounds, Motion, Point
from platewright.geometry.space import Point3
from platewright.plate.bracket import Bracket
from platewright.plate.dimension import swapped_hand
from platewright.plate.folded import folded
from platewright.plate.skin import skin_of

few = examples(20)
small = st.one_of(trees(depth=2), seat_brackets().map(lambda pair: pair[1]))
eyes = st.builds(
    ViewDirection,
    st.integers(0, 359).map(math.radians),
    st.integers(-80, 80).map(math.radians),
)

SURE = 0.01


class Rays:
    """The skin as triangles on the sheet, and what lies in front of a place."""

    def __init__(self, picture: Picture) -> None:
        skin, eye = picture.solid, picture.eye
        seen = [eye.seen(p) for p in skin.points]
        places = np.array([[p.x, p.y, p.depth] for p in seen])
        self.corners = places[np.array(triangle_corners(skin))]

    def in_front(self, p: Point3, eye: ViewDirection) -> float | None:
        """How far in front of a place the nearest metal to the eye lies, mm; None when unsure."""
        at = eye.seen(p)
        a, b, c = (self.corners[:, k, :] for k in range(3))
        areas = _area(a, b, c)
        u, v = _area(b, c, at) / areas, _area(c, a, at) / areas
        w = 1 - u - v
        least = np.minimum(np.minimum(u, v), w)
        heights = np.abs(areas) / _longest(a, b, c)
        near_rim = np.abs(least) * heights < SURE
        inside = (least > 0) & ~near_rim
        depths = u * a[:, 2] + v * b[:, 2] + w * c[:, 2] - at.depth
        if np.any(near_rim & (depths > -SURE) & (heights > 1e-9)):
            return None
        ahead = depths[inside]
        if np.any(np.abs(ahead) < SURE) and np.any(ahead > SURE):
            return float(np.max(ahead))
        return float(np.max(ahead, initial=-math.inf))


def _area(p: object, q: object, r: object) -> np.ndarray:
    (px, py), (qx, qy), (rx, ry) = (_xy(v) for v in (p, q, r))
    return (qx - px) * (ry - py) - (qy - py) * (rx - px)


def _xy(v: object) -> tuple[object, object]:
    return (v[:, 0], v[:, 1]) if isinstance(v, np.ndarray) else (v.x, v.y)


def _longest(a: np.ndarray, b: np.ndarray, c: np.ndarray) -> np.ndarray:
    sides = [np.hypot(*(q - p)[:, :2].T) for p, q in ((a, b), (b, c), (c, a))]
    return np.maximum(np.maximum(np.maximum(*sides[:2]), sides[2]), 1e-12)


def shares_shown(picture: Picture, a: Point3, b: Point3) -> list[tuple[float, float]]:
    start, end = picture.eye.on_sheet(a), picture.eye.on_sheet(b)
    length = start.distance(end)
    return [
        (start.distance(first) / length, start.distance(last) / length)
        for _, runs in picture.visible((a, b))
        for first, last in runs
    ]


@pytest.mark.filterwarnings("ignore:divide by zero:RuntimeWarning")
@pytest.mark.filterwarnings("ignore:invalid value:RuntimeWarning")
@given(small, eyes, st.randoms(use_true_random=False))
@few
def test_lines_are_shown_where_rays_reach_them(
    bracket: Bracket, eye: ViewDirection, random: object
) -> None:
    """Lines between corners of different panels: through the air, behind and before metal."""
    assume(all(holes_apart(panel) for panel in bracket.root.walk()))
    picture = Picture(skin_of(folded(bracket), 0.5), eye)
    rays = Rays(picture)
    places = picture.solid.points
    for _ in range(12):
        a, b = random.choice(places), random.choice(places)
        if eye.on_sheet(a).distance(eye.on_sheet(b)) < 1.0:
            continue
        parts = shares_shown(picture, a, b)
        for k in range(1, 12):
            share = k / 12 + 0.003
            ahead = rays.in_front(a + (b - a) * share, eye)
            if ahead is None or abs(ahead) < 2 * SURE:
                continue
            shown = any(first < share < last for first, last in parts)
            assert shown == (ahead < 0)


@given(small, eyes)
@few
def test_the_outline_of_the_picture_is_the_outline_of_the_part(
    bracket: Bracket, eye: ViewDirection
) -> None:
    """The drawn lines reach as far as the part does, up, down, left and right."""
    skin = skin_of(folded(bracket), 0.1)
    seen = [eye.on_sheet(p) for p in skin.points]
    ends = [p for line in Picture(skin, eye).lines for p in (line.start, line.end)]
    part, drawn = Bounds.of(*seen), Bounds.of(*ends)
    for side in ("xmin", "ymin", "xmax", "ymax"):
        assert getattr(drawn, side) == pytest.approx(getattr(part, side), abs=1e-2)


@given(small, eyes)
@few
def test_every_line_is_drawn_once_in_whole_strokes(bracket: Bracket, eye: ViewDirection) -> None:
    picture = Picture(skin_of(folded(bracket), 0.5), eye)
    length = sum(line.start.distance(line.end) for line in picture.lines)
    runs = [run for _, run in strokes_of(picture.lines)]
    drawn = sum(a.distance(b) for run in runs for a, b in pairwise(run))
    assert drawn == pytest.approx(length)


@given(small, st.sampled_from(["main", "opposite"]), st.sampled_from([(170, 120), (62, 48)]))
@few
def test_a_view_fits_its_box(bracket: Bracket, which: str, size: tuple[float, float]) -> None:
    items = folded_view(bracket, which, size)
    box = bounds([item for item in items if not isinstance(item, Fill)])
    assert box.xmin >= -0.5
    assert box.ymin >= -0.5
    assert box.xmax <= size[0] + 0.5
    assert box.ymax <= size[1] + 0.5


@given(seat_brackets())
@few
def test_every_gusset_of_a_seat_can_be_seen(pair: tuple[object, Bracket]) -> None:
    """In the main view or in the opposite one, a good part of each."""
    _, bracket = pair
    model = folded(bracket)
    skin, samples = skin_of(model, 0.1), face_samples(model)
    main = main_direction(model, skin)
    opposite = opposite_direction(main, model.bracket)
    assert max(least_seen(samples, skin, main), least_seen(samples, skin, opposite)) > 0.02
    assert main.elevation > 0 > opposite.elevation


@given(small)
@few
def test_bends_are_named_in_one_view_or_the_other(bracket: Bracket) -> None:
    told = " ".join(words((*folded_view(bracket, "main"), *folded_view(bracket, "opposite"))))
    for bend in folded(bracket).bends:
        if bend.length > 30 and not bend.sharp:
            assert f"bend {bend.number}:" in told or f"{bend.number}" in told.split()


@given(small)
@few
def test_the_other_hand_is_seen_as_in_a_mirror(bracket: Bracket) -> None:
    """Its lines are as long as those of a picture worked out anew, its words its own, apart."""
    other, size = bracket.mirrored(), (170.0, 120.0)
    model, mirror = folded(other), Motion.mirror_x(size[0] / 2)
    corners = [corner.top for p in model.panels for corner in model.corners(p.panel.name)]
    sagitta = max(0.02, max(a.distance(corners[0]) for a in corners) / 2000)
    for view, image in zip(views_of(bracket), views_of(other), strict=True):
        eye = view.scene.picture.eye
        anew = Picture(skin_of(model, sagitta), ViewDirection(math.pi - eye.azimuth, eye.elevation))
        for style in (OUTLINE, EDGE):
            ours, theirs = (
                sum(line.start.distance(line.end) for line in picture.lines if line.style is style)
                for picture in (image.scene.picture, anew)
            )
            assert ours == pytest.approx(theirs, rel=1e-3, abs=1.0)
        drawn, items = ([*marks(each.drawn(size))] for each in (view, image))
        ink, images = ([i for i in some if not isinstance(i, Text)] for some in (drawn, items))
        assert images == [moved(item, mirror) for item in ink]
        told, said = ([i for i in some if isinstance(i, Text)] for some in (items, drawn))
        assert [i.text for i in told] == [swapped_hand(i.text) for i in said]
        assert all(math.cos(i.angle) > 0 for i in told)
        assert not any_meet(told) or any_meet(said)


def test_a_place_on_the_sheet_is_a_point() -> None:
    eye = ViewDirection(math.radians(-52), math.radians(28))
    assert isinstance(eye.on_sheet(Point3(1, 2, 3)), Point)
