"""Template pages as a printer sees them: rendered by another library and measured."""

from functools import cache

import pytest

from edges.ink import around, rendered
from laws.example_pieces import judged, seat_piece
from platewright.drawing.items import Stroke, Text, marks
from platewright.drawing.pdf import pdf_bytes
from platewright.drawing.style import BAR
from platewright.geometry.segment import Line
from platewright.sheets.check_sheet import check_pages
from platewright.sheets.template import template_pages

PAPERS = ("letter", "A4", "single")
TRUE = 0.15


def bar_lines(page):
    """The four bars' own lines, as the drawing list has them."""
    lines = [
        shape
        for mark in marks(page.items)
        if isinstance(mark, Stroke) and mark.style == BAR
        for shape in mark.shapes
        if isinstance(shape, Line) and shape.length > 50
    ]
    assert len(lines) == 4
    return lines


def tick_point(ink, at, along):
    """The middle of a long tick at one end of a bar as it really lies, seen beside the bar."""
    # the ticks of the inner divisions end 1.6 mm from the bar, the long ones 3 mm
    beside = at + along.left * 2.3
    level = abs(along.x) > 0.5
    box = around(beside, 1.0, 0.4) if level else around(beside, 0.4, 1.0)
    return ink.centre(box)


@cache
def pages_of(unit, paper):
    return template_pages((seat_piece(),), unit, paper).pages


@pytest.mark.parametrize("paper", PAPERS)
def test_both_bars_are_true_both_ways_on_every_page(paper):
    for page in pages_of("mm", paper):
        ink = rendered(page)
        lengths = []
        for bar in bar_lines(page):
            start, end = (tick_point(ink, at, bar.direction) for at in (bar.start, bar.end))
            lengths.append((end - start).dot(bar.direction))
        assert sorted(lengths) == pytest.approx([100.0, 100.0, 101.6, 101.6], abs=TRUE)


def test_every_page_of_both_sheets_prints_something():
    piece = seat_piece()
    pages = (
        *pages_of("in", "letter"),
        *check_pages((piece,), (judged(piece),), "in", "letter"),
    )
    for page in pages:
        assert 0.002 < rendered(page).darkness.mean() < 0.2


def test_words_are_printed_where_the_list_puts_them():
    page = pages_of("mm", "single")[0]
    (text,) = (m for m in marks(page.items) if isinstance(m, Text) and m.text == "Take care")
    a, b, c, d = text.box()
    found = rendered(page).centre(around(a.midpoint(c), a.distance(b) / 2, a.distance(d) / 2))
    assert found.distance(a.midpoint(c)) < 0.8


def test_the_same_piece_gives_the_same_bytes():
    again = template_pages((seat_piece(),), "mm", "A4").pages
    assert pdf_bytes(again, title="t") == pdf_bytes(pages_of("mm", "A4"), title="t")
