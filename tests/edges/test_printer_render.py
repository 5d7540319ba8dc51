"""Full-scale pages drawn for a printer, as that printer prints them: rendered, then distorted."""

import math
import shutil
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner

from edges.ink import rendered
from edges.test_template_render import PAPERS, TRUE, bar_lines, tick_point
from laws.example_pieces import seat_piece
from platewright.cli.root import root
from platewright.drawing.items import bounds, corners, words
from platewright.drawing.printer import Printer
from platewright.geometry.plane import Point
from platewright.sheets.paper import BLANK, paper_for
from platewright.sheets.template import template_pages

PATTERNS = Path(__file__).resolve().parents[2] / "patterns"
PRINTER = Printer(0.99, 1.006, 0.003, "office laser", "14 March 2026")
WORST = [Printer(0.97, 0.97, 0.0104), Printer(0.97, 0.97, -0.0104), Printer(1.03, 1.03)]


def on_paper(at, page):
    """Where the simulated printer puts a point of the file, turning a page that lies on its side.

    It prints what is to the right at 0.99 of its length and what is up at 1.006, leaning 0.003 to
    the right.
    """
    x, y = (at.x, at.y) if page.width <= page.height else (-at.y, at.x)
    return Point(0.99 * x + 1.006 * math.sin(0.003) * y, 1.006 * math.cos(0.003) * y)


def drawn(at, page):
    """Where the file draws what is to lie at a point, for finding its ink."""
    a, b, c, d = page.printer.drawn_from_true
    x, y = at.x - page.width / 2, at.y - page.height / 2
    return Point(page.width / 2 + a * x + c * y, page.height / 2 + b * x + d * y)


@pytest.mark.parametrize("paper", PAPERS)
def test_the_bars_read_true_on_that_printer(paper):
    pages = template_pages((seat_piece(),), "mm", paper_for(PRINTER, paper)).pages
    for page in pages[:2]:
        ink = rendered(page)
        lengths = []
        for bar in bar_lines(page):
            ends = [drawn(at, page) for at in (bar.start, bar.end)]
            seen = [tick_point(ink, at, bar.direction) for at in ends]
            one, other = (on_paper(at, page) for at in seen)
            lengths.append(one.distance(other))
        assert sorted(lengths) == pytest.approx([100.0, 100.0, 101.6, 101.6], abs=TRUE)


def test_without_the_correction_they_would_not():
    page = template_pages((seat_piece(),), "mm", "A4").pages[0]
    bar = max(bar_lines(page), key=lambda line: line.length)
    assert abs(on_paper(bar.start, page).distance(on_paper(bar.end, page)) - 101.6) > 4 * TRUE


@pytest.mark.parametrize("paper", ["letter", "A4", "A3", "single"])
@pytest.mark.parametrize("printer", WORST)
def test_nothing_is_drawn_into_the_edge_that_printers_leave_blank(paper, printer):
    for page in template_pages((seat_piece(),), "in", paper_for(printer, paper)).pages:
        box = bounds(page.items)
        for corner in corners(box):
            at = drawn(corner, page)
            assert BLANK - 1e-6 <= at.x <= page.width - BLANK + 1e-6
            assert BLANK - 1e-6 <= at.y <= page.height - BLANK + 1e-6


def test_every_page_says_for_which_printer_it_is_drawn():
    for page in template_pages((seat_piece(),), "in", paper_for(PRINTER, "letter")).pages:
        told = " ".join(words(page.items))
        assert "for printer office laser alone (measured 14 March 2026): its bars read true" in told


# --- from the shop file to the page -----------------------------------------------------------

SHOP = """units = "in"
[[printer]]
name = "office laser"
across = 0.99
up = 1.006
measured_on = "page of 3 March"
"""


def made_pages(tmp_path, words, shop):
    (tmp_path / "shop.toml").write_text(shop)
    done = CliRunner().invoke(root, [*words, "--out", str(tmp_path)])
    assert done.exit_code in (0, 1), done.output
    (path,) = (
        tmp_path.glob("*-template.pdf") if words[0] == "make" else tmp_path.glob("*-travel.pdf")
    )
    return [page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(path)]


def test_every_page_of_a_template_is_drawn_for_the_shop_s_printer_and_no_check_sheet(tmp_path):
    for name in ("spring-seat-travel.toml", "travel-trailing-arm.toml"):
        shutil.copy(PATTERNS / name, tmp_path)
    path = tmp_path / "spring-seat-travel.toml"
    guide = '\n[cutting.guide]\nnozzle = "5/8"\n'
    path.write_text(path.read_text("utf-8") + guide, encoding="utf-8")
    pages = made_pages(tmp_path, ["make", str(path)], SHOP)
    assert all("larger across" in text and "office laser" in text for text in pages)
    for sheet in ("mock-up", "for the plate", "guide", "gauge", "spacer for the spring"):
        assert any(sheet in text.lower() for text in pages), sheet
    check = pypdfium2.PdfDocument(tmp_path / "spring-seat-travel-check.pdf")
    assert not any("larger across" in page.get_textpage().get_text_bounded() for page in check)


def test_the_spacer_of_a_travel_sheet_is_drawn_for_it_too(tmp_path):
    shutil.copy(PATTERNS / "travel-trailing-arm.toml", tmp_path)
    words = ["travel", str(tmp_path / "travel-trailing-arm.toml")]
    pages = made_pages(tmp_path, words, SHOP)
    told = ["larger across" in text for text in pages]
    assert told == ["Spacer for the spring, full scale" in text for text in pages]
    assert any(told)


def test_a_print_that_was_fitted_to_the_page_is_refused_with_the_remedy(tmp_path):
    shutil.copy(PATTERNS / "spring-seat.toml", tmp_path)
    (tmp_path / "shop.toml").write_text(SHOP.replace("0.99", "0.96"))
    words = ["make", str(tmp_path / "spring-seat.toml"), "--out", str(tmp_path)]
    done = CliRunner().invoke(root, words)
    assert done.exit_code == 2
    told = done.output + done.stderr
    assert "shop.toml: printer[1].across: across it prints 4 % smaller" in told
    assert "fitted to the page. Print at 100 %" in told
    assert not list(tmp_path.glob("*.pdf"))
