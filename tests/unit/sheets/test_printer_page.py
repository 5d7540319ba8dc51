"""The printer's own page."""

import pytest

from platewright.drawing.items import Stroke, bounds, marks, words
from platewright.drawing.style import ALIGN
from platewright.sheets.paper import MARGIN, PAPERS
from platewright.sheets.printer_page import bars_of, printer_page


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("paper", PAPERS)
def test_its_bars_are_as_long_as_the_paper_holds_and_round(paper, unit):
    box, sheet = bars_of(paper, unit), PAPERS[paper]
    step = 12.7 if unit == "in" else 10
    for bar, side in ((box.width, sheet.width), (box.height, sheet.height)):
        assert bar / step == pytest.approx(round(bar / step))
        assert side - 2 * MARGIN - step < bar <= side - 2 * MARGIN
    page = printer_page(paper, unit)
    assert page.bounds.grown(-6.35).holds(bounds(page.items))
    assert page.printer is None


def test_it_draws_both_diagonals_between_the_corners():
    box, page = bars_of("letter", "in"), printer_page("letter", "in")
    (stroke,) = (m for m in marks(page.items) if isinstance(m, Stroke) and m.style == ALIGN)
    assert {round(line.length, 6) for line in stroke.shapes} == {
        round((box.width**2 + box.height**2) ** 0.5, 6)
    }
    # 7 1/2 by 10 in: a triangle of 3, 4 and 5
    assert round((box.width**2 + box.height**2) ** 0.5 / 25.4, 9) == 12.5


def test_it_says_how_it_is_printed_read_and_worked_out():
    told = " ".join(words(printer_page("A4", "mm", "office laser").items))
    assert "Printer page: office laser" in told
    assert "100 %" in told
    assert 'coupon --printer "office laser" --units mm --paper A4 --bars A B' in told
    assert "fingerprint" in told
