"""A page drawn for a printer, undone by a printer simulated with a map of the test's own."""

import ctypes
import math

import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from hypothesis import given
from hypothesis import strategies as st

from platewright.drawing.items import Page, Stroke
from platewright.drawing.pdf import pdf_bytes
from platewright.drawing.printer import Printer, PrinterReadings
from platewright.drawing.style import BAR
from platewright.errors import OutputError
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line

MM = 25.4 / 72
PRINTERS = [
    Printer(1.0, 1.0),
    Printer(0.995, 1.002),
    Printer(1.01, 0.985, 0.004),
    Printer(0.97, 1.03, -0.01),
]


def drawn_lines(page):
    """Both ends of each line in the file, mm, by another library."""
    document = pypdfium2.PdfDocument(pdf_bytes([page], title="bars"))
    raw, found = document[0], []
    for index in range(pdfium.FPDFPage_CountObjects(raw)):
        thing = pdfium.FPDFPage_GetObject(raw, index)
        matrix = pdfium.FS_MATRIX()
        pdfium.FPDFPageObj_GetMatrix(thing, matrix)
        ends = []
        for part in range(pdfium.FPDFPath_CountSegments(thing)):
            x, y = ctypes.c_float(), ctypes.c_float()
            pdfium.FPDFPathSegment_GetPoint(pdfium.FPDFPath_GetPathSegment(thing, part), x, y)
            across = matrix.a * x.value + matrix.c * y.value + matrix.e
            up = matrix.b * x.value + matrix.d * y.value + matrix.f
            ends.append((across * MM, up * MM))
        found.append(ends)
    return found


def printed(ends, printer):
    """Where a printer that shrinks and leans puts what the file draws."""
    lean = math.pi / 2 - printer.skew
    return [
        (printer.across * x + printer.up * y * math.cos(lean), printer.up * y * math.sin(lean))
        for x, y in ends
    ]


@pytest.mark.parametrize("printer", PRINTERS)
def test_what_it_prints_is_true_and_square(printer):
    bars = [((20, 30), (190, 30)), ((20, 30), (20, 260)), ((20, 30), (190, 260))]
    items = tuple(Stroke(Line(Point(*a), Point(*b)), BAR) for a, b in bars)
    drawn = drawn_lines(Page(210, 297, items, printer=printer))
    across, up, corner = (printed(ends, printer) for ends in drawn)
    assert math.dist(*across) == pytest.approx(170, abs=2e-3)
    assert math.dist(*up) == pytest.approx(230, abs=2e-3)
    assert math.dist(*corner) == pytest.approx(math.hypot(170, 230), abs=2e-3)


@pytest.mark.parametrize("printer", PRINTERS)
def test_the_middle_of_the_page_stays(printer):
    line = Stroke(Line(Point(105, 148.5), Point(110, 148.5)), BAR)
    (ends,) = drawn_lines(Page(210, 297, (line,), printer=printer))
    assert ends[0] == pytest.approx((105, 148.5), abs=1e-3)


def test_a_page_on_its_side_goes_through_it_turned():
    printer = Printer(0.99, 1.01, 0.01)
    corners = [(0, 0), (240, 0), (0, 170)]
    right, up = (
        [b - a for a, b in zip(*printed([corners[0], corner], printer.turned), strict=True)]
        for corner in corners[1:]
    )
    # the driver turns the page to the left: its right is the paper's up, its up the paper's left
    end, top = printed([(0, 240), (-170, 0)], printer)
    assert math.hypot(*right) == pytest.approx(math.hypot(*end))
    assert math.hypot(*up) == pytest.approx(math.hypot(*top))
    between = math.atan2(top[1], top[0]) - math.atan2(end[1], end[0])
    assert math.atan2(up[1], up[0]) - math.atan2(right[1], right[0]) == pytest.approx(between)
    assert printer.turned.turned == printer


def test_its_words_say_what_is_changed_and_for_whom():
    words = Printer(0.995, 1.002, 0.0, "office laser", "14 March").words
    assert words == (
        "Drawn 0.5 % larger across, 0.2 % smaller up for printer office laser alone "
        "(measured 14 March): its bars read true."
    )
    assert "leaning 0.10° to the left" in Printer(1.0, 1.0, math.radians(0.1)).words
    assert "Drawn as it is" in Printer(1.0, 1.0).words


@pytest.mark.parametrize("scales", [(0.9699, 1.0), (1.0, 1.0301), (math.nan, 1.0)])
def test_a_print_that_was_fitted_to_the_page_is_refused(scales):
    with pytest.raises(OutputError, match=r"fitted to the page\. Print at 100 %"):
        Printer(*scales)


def test_a_print_that_went_through_askew_is_refused():
    with pytest.raises(OutputError, match="askew"):
        Printer(1.0, 1.0, 0.0106)


# --- readings of its page ---------------------------------------------------------------------


def bars_read(printer, division=0.0, wrong=()):
    """What the simulated printer's page reads, each to the nearest division."""
    low_left, low_right, high_left, high_right = printed(
        [(0, 0), (190, 0), (0, 260), (190, 260)], printer
    )
    read = {
        "across": math.dist(low_left, low_right),
        "up": math.dist(low_left, high_left),
        "rising": math.dist(low_left, high_right),
        "falling": math.dist(low_right, high_left),
    }
    if division:
        read = {name: round(length / division) * division for name, length in read.items()}
    for name, by in wrong:
        read[name] += by
    return PrinterReadings(drawn_across=190, drawn_up=260, fineness=division or 0.5, **read)


@pytest.mark.parametrize("printer", PRINTERS)
def test_readings_give_back_both_scales_and_the_skew(printer):
    readings = bars_read(printer)
    assert readings.agrees
    assert readings.misclosure == pytest.approx(0, abs=1e-9)
    found = readings.printer()
    assert (found.across, found.up, found.skew) == pytest.approx(
        (printer.across, printer.up, printer.skew), abs=1e-12
    )


@pytest.mark.parametrize("printer", PRINTERS[:3])
@pytest.mark.parametrize("division", [0.5, 25.4 / 64])
def test_readings_to_a_division_agree_and_are_as_near_as_that(printer, division):
    readings = bars_read(printer, division=division)
    assert readings.agrees
    found = readings.printer("office laser", "14 March")
    assert found.across == pytest.approx(printer.across, abs=division / 190)
    assert found.up == pytest.approx(printer.up, abs=division / 260)
    assert found.skew == pytest.approx(printer.skew, abs=3 * division / 260)
    assert found.words.count("office laser") == 1


@pytest.mark.parametrize("which", ["across", "up", "rising", "falling"])
def test_a_reading_off_by_an_eighth_of_an_inch_does_not_agree(which):
    assert not bars_read(PRINTERS[1], division=0.5, wrong=[(which, 25.4 / 8)]).agrees


def test_the_misclosure_is_shared_out_so_that_the_readings_close():
    readings = bars_read(PRINTERS[1], wrong=[("rising", 0.4)])
    found = readings.printer()
    again = bars_read(found)
    assert again.misclosure == pytest.approx(0, abs=1e-9)
    assert abs(again.rising - readings.rising) < 0.4


def test_readings_of_a_page_fitted_to_the_paper_are_refused():
    fitted = PrinterReadings(
        drawn_across=190,
        drawn_up=260,
        across=0.96 * 190,
        up=0.96 * 260,
        rising=0.96 * math.hypot(190, 260),
        falling=0.96 * math.hypot(190, 260),
        fineness=0.5,
    )
    with pytest.raises(OutputError, match=r"4 % smaller; .* fitted to the page"):
        fitted.printer()


# --- from the readings to a page that prints true ---------------------------------------------


@given(
    across=st.floats(0.972, 1.028),
    up=st.floats(0.972, 1.028),
    skew=st.floats(-0.009, 0.009),
    division=st.sampled_from([0.25, 0.5, 25.4 / 64, 25.4 / 32]),
)
def test_what_its_own_page_reads_makes_its_pages_true(across, up, skew, division):
    """A bar of 4 in on the corrected page reads true within its share of what was left open."""
    printer = Printer(across, up, skew)
    readings = bars_read(printer, division=division)
    assert readings.agrees
    a, b, c, d = readings.printer().drawn_from_true
    drawn = [(0, 0), (101.6 * a, 101.6 * b), (101.6 * c, 101.6 * d)]
    start, right, top = printed(drawn, printer)
    open_ = readings.left_open * 101.6 / 190
    assert math.dist(start, right) == pytest.approx(101.6, abs=open_)
    assert math.dist(start, top) == pytest.approx(101.6, abs=open_)
    assert abs((right[0] - start[0]) * (top[0] - start[0]) + right[1] * top[1]) / 101.6 < 3 * open_
