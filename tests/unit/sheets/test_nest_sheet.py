"""The picture of a nest: every part, every number, what is left."""

from __future__ import annotations

import pytest

from laws.strategies_nest import box, frame, part_of, plain_piece, remnant
from platewright.drawing.items import Fill, Hatch, bounds, marks, words
from platewright.geometry.contour import Contour
from platewright.nest.layout import Nest, NestRules, rectangle_sheet
from platewright.nest.nest import nest
from platewright.sheets.nest_sheet import NestNotes, nest_drawing, nest_pages, sheet_file

RULES = NestRules(gap=6.0, margin=6.0, tries=5)
NOTES = NestNotes(name="job", count=3, gap=6.0, margin=6.0, grain="any")


def nested(count: int = 4, height: float = 300.0) -> Nest:
    outline, window = frame(100.0, 60.0, 20.0)
    parts = [
        part_of(plain_piece("plate", box(90.0, 60.0)), count),
        part_of(plain_piece("frame", outline, cutouts=window)),
    ]
    return nest(parts, [rectangle_sheet("300 x 300", 300.0, height)], RULES)


def printed(found: Nest, unit: str = "mm", paper: str = "A4") -> list[str]:
    return [word for page in nest_pages(found, NOTES, unit, paper) for word in words(page.items)]


def test_every_part_is_numbered_named_and_listed():
    found = nested()
    lines = printed(found)
    for number, laid in enumerate(found.sheets[0].laid, 1):
        assert f"{number}  {laid.piece.name}" in lines
        assert str(number) in lines
    assert lines.count("plate") == 4
    assert lines.count("frame") == 1


def test_used_and_left_add_up_on_the_page():
    text = " ".join(printed(nested()))
    # four plates, and a frame less its window
    used = 4 * 90 * 60 + 100 * 60 - 60 * 20
    assert f"In parts {used / 100:.0f} cm²" in text
    assert f"left {(300 * 300 - used) / 100:.0f} cm²" in text
    assert f"{100 * used / 90000:.1f} % of the stock" in text


def test_the_page_tells_stock_file_and_rules():
    lines = printed(nested())
    text = " ".join(lines)
    assert "Stock 1 of 3: 300 x 300" in lines
    assert "job-1.dxf" in text
    left = "Metal left between parts 6.0 mm, along the edge 6.0 mm, kerf and leads counted."
    assert f"{left} None mirrored. Grain not heeded." in text
    assert any("never compensate twice" in line for line in lines)


def test_the_clear_rectangle_is_hatched_and_told_rounded_down():
    found = nested(height=1000.0)
    strip = found.sheets[0].rest
    assert strip is not None
    assert f"Clear: 300 x {int(strip.height)} mm at the top" in " ".join(printed(found))
    assert any(isinstance(mark, Hatch) for mark in marks(tuple(drawing(found))))


def drawing(found: Nest, size=(180.0, 150.0)):
    return nest_drawing(found.sheets[0], "any", "mm", size)


@pytest.mark.parametrize("size", [(180.0, 150.0), (100.0, 200.0)])
def test_the_picture_keeps_to_its_box(size):
    around = bounds(tuple(drawing(nested(), size)))
    assert around.width <= size[0] + 1e-9
    assert around.height <= size[1] + 1e-9


def test_parts_are_drawn_where_they_lie():
    found = nested()
    factor = min((180.0 - 30.0) / 300.0, (150.0 - 20.0) / 300.0)
    fills = [mark for mark in marks(tuple(drawing(found))) if isinstance(mark, Fill)]
    parts = [fill.outlines for fill in fills if isinstance(fill.outlines[0], Contour)]
    for laid in found.sheets[0].laid:
        middle = laid.piece.blank.bounds.centre
        assert any(
            outlines[0].bounds.centre.distance(type(middle)(middle.x * factor, middle.y * factor))
            < 1e-9
            for outlines in parts
        )


def test_the_grain_is_shown_only_where_it_is_heeded():
    found = nested()
    assert "grain" in words(tuple(nest_drawing(found.sheets[0], "across", "mm", (180.0, 150.0))))
    assert "grain" not in words(tuple(drawing(found)))


def test_a_long_list_runs_over_pages():
    found = nested(60, 3000.0)
    assert len(nest_pages(found, NOTES, "in", "letter")) > 1
    assert printed(found, "in", "letter").count("plate") == 60


def test_an_odd_remnant_has_no_clear_rectangle():
    parts = [part_of(plain_piece("plate", box(90.0, 60.0)))]
    found = nest(parts, [remnant(400.0, 0.5)], RULES)
    assert found.sheets[0].rest is None
    assert "Clear:" not in " ".join(printed(found))
    assert sheet_file("job", found.sheets[0]) == "job-1.dxf"
