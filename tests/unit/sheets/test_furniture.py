import pytest

from platewright.drawing.items import Group, Stroke, Text, bounds, marks, words
from platewright.errors import OutputError
from platewright.geometry.plane import Bounds, Point, Vector
from platewright.sheets.furniture import (
    CAUTION,
    FOUR_INCH,
    HUNDRED_MM,
    LEAST_FIELD,
    PRINT_REMINDER,
    TitleBlock,
    check_bar,
    field_of,
    full_scale_furniture,
    paper_for_field,
    plain_field_of,
    plain_furniture,
)
from platewright.sheets.paper import A3, A4, LEGAL, LETTER, TABLOID, Paper

SHEETS = [
    paper for upright in (LETTER, LEGAL, TABLOID, A4, A3) for paper in (upright, upright.turned)
]
BLOCK = TitleBlock(
    part="Left seat",
    face="TOP: this side up",
    notes=("1/4 in plate", "cut 1"),
)
PLACE = "page 2 of 6: row 1 of 2, column 2 of 3"


def bars_of(items):
    """Start and end of each check bar, from the long line of each group."""
    groups = [item for item in items if isinstance(item, Group)]
    found = []
    for group in groups:
        lines = [m.path for m in marks([group]) if isinstance(m, Stroke)]
        found.append(max(lines, key=lambda line: line.length))
    return found


@pytest.mark.parametrize("bar", [FOUR_INCH, HUNDRED_MM])
def test_a_bar_is_exactly_its_length_between_its_long_ticks(bar):
    group = check_bar(bar, Point(10, 10), Vector(0, 1))
    strokes = [m.path for m in marks([group]) if isinstance(m, Stroke)]
    line, *ticks = strokes
    assert line.length == pytest.approx({"4 in": 101.6, "100 mm": 100.0}[bar.label], abs=1e-12)
    longest = max(tick.length for tick in ticks)
    ends = [tick.start for tick in ticks if tick.length > longest - 1e-9]
    assert [end.y for end in ends] == pytest.approx([10, 10 + bar.length])
    assert len(ticks) == bar.divisions + 1


@pytest.mark.parametrize("paper", SHEETS, ids=lambda p: f"{p.name} {p.width:.0f}")
def test_every_sheet_has_both_bars_both_ways(paper):
    bars = bars_of(full_scale_furniture(paper, BLOCK, PLACE))
    level = sorted(round(bar.length, 9) for bar in bars if abs(bar.direction.y) < 1e-9)
    upright = sorted(round(bar.length, 9) for bar in bars if abs(bar.direction.x) < 1e-9)
    assert level == upright == [100.0, 101.6]


@pytest.mark.parametrize("paper", SHEETS, ids=lambda p: f"{p.name} {p.width:.0f}")
def test_furniture_stays_out_of_the_field_and_on_the_paper(paper):
    items = full_scale_furniture(paper, BLOCK, PLACE)
    field = field_of(paper)
    reach = Bounds(0, 0, paper.width, paper.height).grown(-6.35)  # what printers leave blank
    for item in items[1:]:  # the first is the field's own border
        box = bounds([item])
        assert reach.xmin <= box.xmin
        assert box.xmax <= reach.xmax
        assert reach.ymin <= box.ymin
        assert box.ymax <= reach.ymax
        assert not box.meets(field.grown(-1e-6))


@pytest.mark.parametrize("paper", [LETTER, A4, A4.turned], ids=["letter", "A4", "A4 turned"])
def test_texts_of_the_strip_do_not_touch(paper):
    items = full_scale_furniture(paper, BLOCK, PLACE)
    boxes = [bounds([m]) for m in marks(items) if isinstance(m, Text)]
    for index, box in enumerate(boxes):
        assert not any(box.meets(other) for other in boxes[index + 1 :])


def test_the_strip_says_what_it_must():
    said = " ".join(words(full_scale_furniture(LETTER, BLOCK, PLACE)))
    for text in ("Left seat", "TOP: this side up", "row 1 of 2", "1/4 in plate", "Full-scale"):
        assert text in said
    assert PRINT_REMINDER in said
    assert CAUTION in said
    assert "100 %" in PRINT_REMINDER
    assert "not an engineering approval" in CAUTION


def test_an_endless_name_stays_in_its_strip():
    block = TitleBlock(part="W" * 200, face="W" * 200, notes=("n" * 300,))
    items = full_scale_furniture(A4, block, "p" * 200)
    assert bounds(items).xmax <= 210 - 6.35
    assert bounds(items).xmin >= 6.35


def test_small_paper_is_refused():
    with pytest.raises(OutputError, match="too small"):
        field_of(Paper("card", 150, 200))


def test_a_sheet_made_for_a_field_has_that_field():
    field = field_of(paper_for_field("single", 700, 500))
    assert (field.width, field.height) == pytest.approx((700, 500))
    least = field_of(paper_for_field("single", 1, 1))
    assert (least.width, least.height) == pytest.approx(LEAST_FIELD)


def test_a_plain_page_says_which_sheet_it_is():
    items = plain_furniture(LETTER, part="Left seat", sheet="Check sheet", page=2, pages=3)
    assert words(items) == ("Left seat", "Check sheet", CAUTION, "sheet 2 of 3")
    field = plain_field_of(LETTER)
    assert not any(bounds([item]).meets(field.grown(-1e-6)) for item in items)
