"""The folded view as a drawing list."""

import math
from dataclasses import replace

import pytest

from laws.strategies_bracket import rectangle
from platewright.drawing.items import Fill, Hatch, Stroke, Text, bounds, marks, moved, words
from platewright.drawing.picture import Picture, painting_order, strokes_of
from platewright.drawing.scene import body_rows, unfoldings, wall_corners
from platewright.drawing.style import EDGE, OUTLINE
from platewright.drawing.view import folded_view, view_svg, views_of
from platewright.drawing.view_direction import (
    ViewDirection,
    face_samples,
    front_azimuth,
    least_seen,
    main_direction,
    opposite_direction,
)
from platewright.geometry.plane import Motion, Point
from platewright.plate.bend import Brake, Crease, ScoreFold
from platewright.plate.bracket import Bend, Body, Bracket, Hole
from platewright.plate.dimension import swapped_hand
from platewright.plate.folded import folded
from platewright.plate.skin import skin_of
from platewright.plate.stock import MATERIALS, Stock

T = 5.0
EYE = ViewDirection(math.radians(60), math.radians(30))


def plate(*bends: Bend, holes: tuple[Hole, ...] = (), **other: object) -> Bracket:
    root = rectangle("plate", 100.0, 80.0, bends=bends, holes=holes)
    return Bracket(stock=Stock(T, MATERIALS["A36"]), root=root, **other)


def leg(edge: str, direction: str = "up", way: object = Brake(6.0, 0.4), tall: float = 50.0,
        angle: float = math.pi / 2) -> Bend:  # fmt: skip
    width = 100.0 if edge in ("base", "far edge") else 80.0
    panel = rectangle(f"{edge} leg", width, tall)
    return Bend(edge=edge, panel=panel, angle=angle, direction=direction, way=way)


def picture(bracket: Bracket, eye: ViewDirection = EYE) -> Picture:
    return Picture(skin_of(folded(bracket)), eye)


# --- the picture ------------------------------------------------------------------------------


def test_a_plate_shows_nine_edges_of_twelve() -> None:
    lines = picture(plate()).lines
    assert len(lines) == 9
    assert {line.style for line in lines} == {OUTLINE}


def test_a_plate_shows_three_faces() -> None:
    faces = picture(plate()).faces
    assert sorted(face.skin for face in faces) == ["side", "side", "top"]


def test_a_hole_is_an_ellipse_with_part_of_its_far_rim() -> None:
    hole = Hole(what="hole", centre=Point(50, 40), diameter=20.0)
    seen = picture(plate(holes=(hole,)))
    rims = [run for _, run in strokes_of(seen.lines) if len(run) > 6]
    assert len(rims) == 2
    near, far = sorted(rims, key=len, reverse=True)
    assert near[0] == near[-1]
    assert far[0] != far[-1]
    xs, ys = [p.x for p in near], [p.y for p in near]
    assert max(xs) - min(xs) == pytest.approx(20.0, abs=0.2)
    assert max(ys) - min(ys) == pytest.approx(20.0 * math.sin(math.radians(30)), abs=0.2)


def test_plate_runs_into_a_brake_bend_by_a_thin_line() -> None:
    lines = picture(plate(leg("far edge", "down"))).lines
    assert [line for line in lines if line.style is EDGE]


def test_a_score_shows_the_sharp_edges_of_its_groove() -> None:
    """From outside, a groove has no smooth line: only edges."""
    down = plate(leg("far edge", "down", ScoreFold(3.0, 1.0)))
    lines = picture(down).lines
    assert not [line for line in lines if line.style is EDGE]


def test_a_leg_in_front_hides_the_plate_behind() -> None:
    tall = plate(leg("far edge", tall=200.0))
    low = ViewDirection(math.pi / 2, math.radians(10))
    seen = picture(tall, low)
    behind = folded(tall).place_of("plate", Point(50, 40))
    before = folded(tall).place_of("far edge leg", Point(50, 100), "underside")
    assert seen.seen((behind, before)) == [(before,)]


def test_faces_are_painted_before_those_that_cover_them() -> None:
    tall = plate(leg("far edge", tall=60.0))
    order = [
        (face.panel, face.skin) for face in picture(tall, ViewDirection(math.pi / 2, 0.3)).faces
    ]
    assert order.index(("plate", "top")) < order.index(("far edge leg", "underside"))


def test_painting_goes_on_where_three_cover_each_other_in_a_ring() -> None:
    depths = {1: 0.0, 2: 5.0, 3: 9.0}
    assert list(painting_order(depths, [(1, 2), (2, 3)])) == [1, 2, 3]
    assert list(painting_order(depths, [(3, 2), (2, 1)])) == [3, 2, 1]
    assert sorted(painting_order(depths, [(1, 2), (2, 3), (3, 1)])) == [1, 2, 3]


# --- the viewpoint ----------------------------------------------------------------------------


def test_the_front_is_away_from_the_wall() -> None:
    assert front_azimuth(plate(wall="base")) == pytest.approx(math.pi / 2)
    assert front_azimuth(plate(wall="right end")) == pytest.approx(math.pi)
    assert front_azimuth(plate()) == pytest.approx(math.pi / 2)


@pytest.mark.parametrize("directions", [("up", "up"), ("down", "down"), ("up", "down"),
                                        ("down", "up")])  # fmt: skip
def test_every_gusset_can_be_seen(directions: tuple[str, str]) -> None:
    bracket = plate(leg("left end", directions[0]), leg("right end", directions[1]), wall="base")
    model = folded(bracket)
    skin = skin_of(model)
    assert least_seen(face_samples(model), skin, main_direction(model, skin)) > 0.05


def test_the_opposite_view_is_from_below_and_the_other_side() -> None:
    model = folded(plate(leg("left end"), wall="base"))
    main = main_direction(model, skin_of(model))
    opposite = opposite_direction(main, model.bracket)
    assert opposite.elevation == -main.elevation
    front = math.pi / 2
    assert opposite.azimuth - front == pytest.approx(front - main.azimuth)


# --- what stands beside -----------------------------------------------------------------------


def test_the_wall_is_wider_than_the_bracket_and_upright() -> None:
    bracket = plate(leg("left end"), wall="base")
    corners = wall_corners(folded(bracket))
    assert {round(corner.y, 9) for corner in corners} == {0.0}
    assert min(corner.x for corner in corners) < -T
    assert max(corner.z for corner in corners) > 56.0
    assert wall_corners(folded(plate())) == ()


@pytest.mark.parametrize(("face", "sign"), [("top", 1), ("underside", -1)])
def test_the_body_stands_on_its_face(face: str, sign: int) -> None:
    body = Body(centre=Point(50, 40), plate_diameter=40.0, diameter=60.0, clearance=5.0, face=face)
    far, near, *sides = body_rows(folded(plate(body=body)), EYE)
    assert len(sides) == 2
    assert sign * (far[0].z - near[0].z) > 0
    assert near[0].z == (0.0 if face == "top" else -T)
    assert {round(math.hypot(p.x - 50, p.y - 40), 6) for p in far} == {30.0}
    assert body_rows(folded(plate()), EYE) == ()


def test_a_panel_unfolded_lies_where_the_blank_has_it() -> None:
    model = folded(plate(leg("far edge")))
    (loose,) = unfoldings(model, EYE)
    flat = folded(model.bracket, 0.0)
    places = {round(p.y, 6) for p in loose.outline}
    ys = [c.top.y for c in flat.corners("far edge leg")]
    assert places == {round(min(ys), 6), round(max(ys), 6)}
    # the swing ends on the folded panel's outside face
    assert loose.swing[-1].y == pytest.approx(80 + 6 + T)


# --- the view ---------------------------------------------------------------------------------


def full() -> Bracket:
    body = Body(centre=Point(50, 45), plate_diameter=40.0, diameter=60.0, clearance=5.0)
    return plate(leg("left end", "down"), leg("right end"), wall="base", body=body)


@pytest.mark.parametrize("size", [(170.0, 120.0), (60.0, 90.0), (300.0, 40.0)])
def test_a_view_stays_in_its_box_whatever_its_shape(size: tuple[float, float]) -> None:
    box = bounds(folded_view(full(), "main", size))
    assert box.xmin >= -0.5
    assert box.ymin >= -0.5
    assert box.xmax <= size[0] + 0.5
    assert box.ymax <= size[1] + 0.5


def test_a_view_names_bends_wall_and_body() -> None:
    told = words(folded_view(full()))
    assert {"bend 1: down 90°", "bend 2: up 90°", "wall", "body at its fullest"} <= set(told)


def test_a_small_view_has_numbers_only() -> None:
    told = words(folded_view(full(), "main", (60.0, 45.0)))
    assert {"1", "2"} <= set(told)
    assert not any(word.startswith("bend") for word in told)


def test_the_wall_is_hatched_before_anything_is_painted() -> None:
    items = folded_view(full())
    kinds = [type(item) for item in items]
    assert kinds[0] is Hatch
    assert kinds.index(Hatch) < kinds.index(Fill) < len(kinds)
    assert not [item for item in folded_view(plate(leg("left end"))) if isinstance(item, Hatch)]


def test_the_flat_outline_and_the_body_are_phantoms() -> None:
    styles = {item.style.name for item in folded_view(full()) if isinstance(item, Stroke)}
    assert {"phantom", "unfolded", "outline", "edge", "leader", "wall"} <= styles


def leaves() -> Bracket:
    """Twelve bends of 5 degrees in a strip."""
    panel = rectangle("end", 100.0, 8.0)
    for count in range(11):
        bend = Bend(edge="far edge", panel=panel, angle=math.radians(5), direction="up",
                    way=Crease())  # fmt: skip
        panel = rectangle(f"leaf {count}", 100.0, 8.0, bends=(bend,))
    first = Bend(edge="far edge", panel=panel, angle=math.radians(5), direction="up", way=Crease())
    return plate(first)


def test_many_small_bends_are_not_blotted_by_arrows() -> None:
    """No swing is long enough to draw."""
    styles = [i.style.name for i in folded_view(leaves()) if isinstance(i, Stroke)]
    assert "unfolded" not in styles


def test_many_bends_have_numbers_where_their_words_would_crowd() -> None:
    told = words(folded_view(leaves(), "main", (110.0, 82.0)))
    assert {str(number) for number in range(1, 13)} <= set(told)
    assert not any(word.startswith("bend") for word in told)


def test_a_name_stands_on_a_face_that_has_room_for_it() -> None:
    small, large = (words(folded_view(leaves(), "main", (w, 0.75 * w))) for w in (60.0, 400.0))
    assert "plate" in small
    assert not any(word.startswith("leaf") for word in small)
    assert any(word.startswith("leaf") for word in large)


def test_proportions_are_true() -> None:
    """A cube-like plate seen square on keeps its sides' ratio."""
    items = folded_view(plate(), "main", (200.0, 60.0))
    outline = bounds([i for i in items if isinstance(i, Stroke) and i.style.name == "outline"])
    skin = skin_of(folded(plate()))
    eye = main_direction(folded(plate()), skin)
    seen = [eye.on_sheet(p) for p in skin.points]
    wide = max(p.x for p in seen) - min(p.x for p in seen)
    high = max(p.y for p in seen) - min(p.y for p in seen)
    assert outline.width / outline.height == pytest.approx(wide / high)


def test_the_same_bracket_gives_the_same_picture() -> None:
    assert folded_view(full()) == folded_view(full())
    assert view_svg(full(), "seat") == view_svg(full(), "seat")


def test_the_other_hand_is_the_mirror_image_with_its_own_words() -> None:
    one, other = full(), full().mirrored()
    size, mirror = (170.0, 120.0), Motion.mirror_x(85.0)
    (main, _), (image, _) = views_of(one), views_of(other)
    assert views_of(other.mirrored()) == views_of(one)
    fills = [[i for i in marks(v.drawn(size)) if isinstance(i, Fill)] for v in (main, image)]
    assert fills[1] == [moved(fill, mirror) for fill in fills[0]]
    key = next(i for i in image.drawn(size) if isinstance(i, Text) and "seen from" in i.text)
    assert key.text == swapped_hand(next(w for w in words(main.drawn(size)) if "seen from" in w))
    assert bounds([key]).xmax == pytest.approx(size[0])
    assert main.drawn(size, turn=0.5) != main.drawn(size, turn=math.pi)


def test_what_is_changed_is_no_mirror_image() -> None:
    other = full().mirrored()
    assert other.mirror_of == full()
    thicker = replace(other, stock=replace(other.stock, thickness=9.0))
    assert thicker.mirror_of is None
    assert other != replace(other)


def test_an_svg_page_is_as_large_as_asked() -> None:
    text = view_svg(full(), "seat & foot", (150.0, 100.0))
    assert 'width="150mm"' in text
    assert "seat &amp; foot" in text
