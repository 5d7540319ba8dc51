from __future__ import annotations

from itertools import combinations, pairwise

import pytest

from laws.example_setups import ARM, LINKS
from platewright.drawing.items import Page, Stroke, Text, bounds, marks, words
from platewright.drawing.pdf import pdf_bytes
from platewright.drawing.style import BEND, CUT, EDGE, OUTLINE
from platewright.errors import OutputError
from platewright.files.setup import read_setup, travel_of
from platewright.geometry.contour import Circle
from platewright.geometry.plane import Bounds, Vector
from platewright.geometry.segment import Line
from platewright.sheets.spacer import spacer_pages
from platewright.sheets.travel_sheet import travel_pages
from platewright.sheets.travel_view import LETTERS, side_view
from platewright.suspension.mounts import SIDE
from platewright.suspension.report import figure_groups
from platewright.suspension.travel import Travel
from platewright.suspension.warning import CAUTIONS

MOUNTED = LINKS + "[mount]\nalong = 745\nabove = 470\n"
FORWARD = ARM.replace("length = 24", 'length = 24\nruns = "forward"').replace("-10", "10")
LOW = LINKS + "[mount]\nalong = 745\nabove = 430\n"
EVERY = pytest.mark.parametrize(
    "text",
    [ARM, LINKS, MOUNTED, FORWARD, LOW],
    ids=["arm", "links", "mounted", "forward", "bottoms out"],
)


def travel_from(text: str) -> Travel:
    return travel_of(read_setup(text, "setup.toml"))


def said(pages: tuple[Page, ...]) -> str:
    return " ".join(word for page in pages for word in words(page.items))


@EVERY
def test_everything_stands_on_the_paper(text: str) -> None:
    for page in travel_pages(travel_from(text)):
        drawn = bounds(page.items)
        assert page.bounds.union(drawn) == page.bounds


@EVERY
def test_no_words_cover_other_words(text: str) -> None:
    for page in travel_pages(travel_from(text)):
        boxes = [(Bounds.of(*m.box()), m.text) for m in marks(page.items) if isinstance(m, Text)]
        for (a, one), (b, other) in combinations([pair for pair in boxes if pair[1]], 2):
            assert not a.grown(-0.35).meets(b.grown(-0.35)), (one, other)


@EVERY
def test_the_first_page_carries_the_figures_to_weld_by_and_the_cautions(text: str) -> None:
    found = travel_from(text)
    first = said(travel_pages(found)[:1])
    for group in figure_groups(found)[:2]:
        for figure in group.figures:
            assert figure.shown(found.layout.unit) in first
    assert all(caution[:40] in first for caution in CAUTIONS)


def test_letters_of_the_figures_are_those_of_the_view() -> None:
    view = words(side_view(travel_from(ARM), 190, 118).items)
    assert set(LETTERS.values()) <= set(view)


@EVERY
def test_the_view_is_to_scale(text: str) -> None:
    found = travel_from(text)
    view = side_view(found, 190.0, 118.0)
    wheel = next(
        shape
        for mark in marks(view.items)
        if isinstance(mark, Stroke) and mark.style is EDGE
        for shape in mark.shapes
        if isinstance(shape, Circle) and shape.diameter > 20
    )
    assert wheel.diameter * view.scale == pytest.approx(2 * found.layout.radius.radius)
    link = found.ride.posture.links[0]
    lengths = [
        shape.length * view.scale
        for mark in marks(view.items)
        if isinstance(mark, Stroke) and mark.style is OUTLINE
        for shape in mark.shapes
        if isinstance(shape, Line)
    ]
    assert any(length == pytest.approx(link.length) for length in lengths)


@EVERY
def test_the_view_fits_its_room(text: str) -> None:
    drawn = bounds(side_view(travel_from(text), 190.0, 118.0).items)
    assert drawn.width <= 190.0
    assert drawn.height <= 118.0


def test_a_lowest_point_far_off_does_not_make_the_view_small() -> None:
    far = LINKS.replace("lowest_below = 15", "lowest_below = 15\nlowest_along = 4000")
    near = side_view(travel_from(LINKS), 190.0, 118.0)
    assert side_view(travel_from(far), 190.0, 118.0).scale == near.scale
    drawn = bounds(side_view(travel_from(far), 190.0, 118.0).items)
    assert drawn.height <= 118.0


def test_a_spring_that_bottoms_out_is_not_drawn_as_laid_out() -> None:
    told = said(travel_pages(travel_from(LOW)))
    assert "ground, bottomed out" in told
    assert "Dashed: bottomed out" in told
    assert "ground, laid out" not in told


def test_readings_of_a_mount_that_is_there_are_told_as_such() -> None:
    for title in ("What it comes to", "By lift", "Through the travel"):
        assert f"{title}, the upper mount as it stands" in said(travel_pages(travel_from(MOUNTED)))
        assert f"{title}, the upper" not in said(travel_pages(travel_from(LINKS)))


def test_paper_goes_by_the_unit_unless_asked_for() -> None:
    assert travel_pages(travel_from(ARM))[0].width == pytest.approx(215.9)
    assert travel_pages(travel_from(LINKS))[0].width == pytest.approx(210.0)
    tabloid = travel_pages(travel_from(ARM), paper="tabloid")
    assert tabloid[0].width == pytest.approx(279.4)
    with pytest.raises(OutputError):
        travel_pages(travel_from(ARM), paper="foolscap")


def test_name_and_note_stand_on_the_sheet() -> None:
    told = said(travel_pages(travel_from(ARM), name="left rear", note="second try"))
    assert "left rear" in told
    assert "second try" in told


def test_the_same_travel_gives_the_same_bytes() -> None:
    one, two = (pdf_bytes(travel_pages(travel_from(ARM)), title="t") for _ in range(2))
    assert one == two


def test_the_spacer_is_at_full_scale() -> None:
    (page,) = spacer_pages(travel_from(ARM), "arm", "letter")
    cuts = [
        shape.bounds
        for mark in marks(page.items)
        if isinstance(mark, Stroke) and mark.style is CUT
        for shape in mark.shapes
    ]
    stick = min(cuts, key=lambda box: box.width)
    assert stick.height == pytest.approx(3.5 * 25.4)
    folds = [
        mark.shapes[0].bounds
        for mark in marks(page.items)
        if isinstance(mark, Stroke) and mark.style is BEND
    ]
    assert len(folds) == 4
    steps = [b.xmin - a.xmin for a, b in pairwise(folds)]
    assert steps == pytest.approx([SIDE] * 3)
    assert "full scale" in said((page,))
    assert "holds nothing up" in said((page,))


def test_front_and_rear_of_the_box_are_named_for_their_walls() -> None:
    (page,) = spacer_pages(travel_from(ARM), "arm", "letter")
    texts = {mark.text: mark.at for mark in marks(page.items) if isinstance(mark, Text)}
    assert texts["REAR"].x - texts["FRONT"].x == pytest.approx(2 * SIDE)
    assert (texts["REAR"] - texts["FRONT"]).cross(Vector(1.0, 0.0)) == pytest.approx(0)
