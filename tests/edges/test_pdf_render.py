"""The PDF as a printer sees it: rendered by another library and measured on the picture."""

import math
import re
import subprocess
import sys
import xml.etree.ElementTree as ET

import numpy as np
import pypdfium2
import pytest

from platewright.drawing.items import Page, Stroke, rectangle
from platewright.drawing.pdf import pdf_bytes
from platewright.drawing.style import BAR, CUT, DIMENSION, SCORE, LineStyle
from platewright.drawing.svg import svg_text
from platewright.geometry.contour import Circle
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Arc, Line
from platewright.sheets.furniture import TitleBlock
from platewright.sheets.imposition import impose
from platewright.sheets.paper import MARGIN
from platewright.sheets.tiling import tile_pattern

DPI = 600
PIXEL = 25.4 / DPI
BLOCK = TitleBlock(part="Left seat", face="TOP: this side up")


def picture(data, index=0, window=None):
    """Darkness from 0 to 1, row 0 at the top; `window` in mm crops the page."""
    page = pypdfium2.PdfDocument(data)[index]
    width, height = page.get_size()
    crop = (0, 0, 0, 0)
    if window is not None:
        points = [side * 72 / 25.4 for side in window]
        crop = (points[0], points[1], width - points[2], height - points[3])
    image = page.render(scale=DPI / 72, crop=crop, grayscale=True).to_numpy()
    return 1 - image.reshape(image.shape[:2]).astype(float) / 255


def middles(profile, least=0.5):
    """Middles of the dark runs of a profile, in mm, weighted by darkness."""
    dark = profile > 0.1
    edges = np.flatnonzero(np.diff(np.concatenate(([0], dark.astype(int), [0]))))
    runs = zip(edges[::2], edges[1::2], strict=True)
    return [
        float(np.average(np.arange(a, b) + 0.5, weights=profile[a:b]) * PIXEL)
        for a, b in runs
        if profile[a:b].max() > least
    ]


def pattern_pages(width, height, paper):
    items = (Stroke(rectangle(Bounds(0, 0, width, height)), CUT),)
    tiling = tile_pattern(items, paper)
    return impose(items, tiling, BLOCK), tiling


@pytest.mark.parametrize("paper", ["letter", "legal", "tabloid", "A4", "A3", "single"])
@pytest.mark.parametrize("size", [(120, 100), (230, 100)])
def test_the_bars_are_true_on_every_paper_both_ways(paper, size):
    pages, _ = pattern_pages(*size, paper)
    data = pdf_bytes(pages[:1], title="bars")
    # between the short ticks' tops and the long ticks' only the two long ticks reach
    rows = {100.0: 12.2 + 2.85, 101.6: 12.2 + 4.4 + 4.6 + 2.85}
    for length, y in rows.items():
        strip = picture(data, window=(MARGIN + 1, y - 0.05, MARGIN + 115, y + 0.05))
        ticks = middles(strip.mean(axis=0))
        assert ticks[-1] - ticks[0] == pytest.approx(length, abs=0.1)
    columns = {101.6: MARGIN + 5.2 - 2.85, 100.0: MARGIN + 11.4 - 2.85}
    for length, x in columns.items():
        strip = picture(data, window=(x - 0.05, 44 + 2, x + 0.05, 44 + 110))
        ticks = middles(strip.mean(axis=1))
        assert ticks[-1] - ticks[0] == pytest.approx(length, abs=0.1)


def test_a_cut_line_is_where_it_should_be_on_the_print():
    page = Page(210, 297, (Stroke(rectangle(Bounds(20, 30, 190.5, 280.25)), CUT),))
    data = pdf_bytes([page], title="box")
    across = middles(picture(data, window=(0, 100, 210, 100.1)).mean(axis=0))
    up = middles(picture(data, window=(100, 0, 100.1, 297)).mean(axis=1))
    assert across == pytest.approx([20, 190.5], abs=0.05)
    assert up == pytest.approx([297 - 280.25, 297 - 30], abs=0.05)


@pytest.mark.parametrize("radius", [3.0, 25.0, 60.0])
def test_circles_and_arcs_are_round_on_the_print(radius):
    middle = radius + 5
    centre, size = Point(middle, middle), 2 * middle
    half = Arc.about(centre, radius, 0.4, math.pi)
    rest = Arc.about(centre, radius, 0.4 + math.pi, math.pi)
    thin = LineStyle("thin", 0.1)
    for shape in (Circle(centre, 2 * radius), (half, rest)):
        data = pdf_bytes([Page(size, size, (Stroke(shape, thin),))], title="round")
        dark = picture(data)
        rows, columns = np.nonzero(dark > 0.5)
        x, y = (columns + 0.5) * PIXEL - middle, middle - (rows + 0.5) * PIXEL
        distance = np.hypot(x, y)
        assert abs(distance - radius).max() < 0.1
        assert distance.mean() == pytest.approx(radius, abs=0.02)
        assert len(np.unique((np.arctan2(y, x) * 30 / math.pi).round())) >= 60  # all the way round


def test_a_large_arc_keeps_its_sagitta_on_the_print():
    # radius 1 m, chord 180 mm: sagitta r - sqrt(r^2 - 90^2) = 4.0585 mm (exact)
    sweep = 2 * math.asin(0.09)
    arc = Arc(Point(15, 100), Point(195, 100), -sweep)
    data = pdf_bytes([Page(210, 297, (Stroke(arc, DIMENSION),))], title="flat")
    (crown,) = middles(picture(data, window=(104.95, 90, 105.05, 110)).mean(axis=1))
    assert 110 - crown - 100 == pytest.approx(1000 - math.sqrt(1000**2 - 90**2), abs=0.05)


def test_dashes_are_as_long_as_their_style_says():
    line = Stroke(Line(Point(20, 50), Point(180, 50)), SCORE)
    data = pdf_bytes([Page(210, 297, (line,))], title="dashes")
    found = middles(picture(data, window=(0, 49.95, 210, 50.05)).mean(axis=0))
    pitches = np.diff(found)[:-1]
    assert pitches == pytest.approx([sum(SCORE.dashes)] * len(pitches), abs=0.05)


def test_neighbouring_pages_show_the_same_mark_at_the_same_place_of_the_pattern():
    pages, tiling = pattern_pages(300, 150, "A4")
    data = pdf_bytes(pages, title="seam")
    first, second = tiling.tiles
    band = Bounds(
        second.window.xmin, first.window.ymin + 5, first.window.xmax, first.window.ymax - 5
    )
    shots = []
    for index, tile in enumerate((first, second)):
        low = tile.page_from_pattern.point(Point(band.xmin + 2.8, band.ymin))
        high = tile.page_from_pattern.point(Point(band.xmax - 0.6, band.ymax))
        shots.append(picture(data, index, (low.x, low.y, high.x, high.y)))
    height = min(shot.shape[0] for shot in shots)
    width = min(shot.shape[1] for shot in shots)
    a, b = (shot[:height, :width] for shot in shots)
    assert a.sum() > 500
    # the same ink within a pixel's blur: their overlap holds nearly all of each
    assert np.abs(a - b).sum() < 0.15 * (a.sum() + b.sum())


def test_svg_and_pdf_reach_equally_far():
    items = (
        Stroke(Circle(Point(80, 120), 90), BAR),
        Stroke(Line(Point(30.5, 40), Point(150, 44.25)), BAR),
    )
    page = Page(200, 200, items)
    dark = picture(pdf_bytes([page], title="reach")) > 0.5
    rows, columns = np.flatnonzero(dark.any(axis=1)), np.flatnonzero(dark.any(axis=0))
    root = ET.fromstring(svg_text(page))
    ends = [
        tuple(map(float, pair))
        for path in root.iter("{http://www.w3.org/2000/svg}path")
        for pair in re.findall(r"([-\d.]+),([-\d.]+)", path.get("d"))
    ]
    xs, ys = zip(*ends, strict=True)
    assert columns[0] * PIXEL == pytest.approx(min(xs), abs=0.2)
    assert (columns[-1] + 1) * PIXEL == pytest.approx(max(xs), abs=0.2)
    assert rows[0] * PIXEL == pytest.approx(min(ys), abs=0.2)
    assert (rows[-1] + 1) * PIXEL == pytest.approx(max(ys), abs=0.2)


def test_nothing_is_printed_in_the_margin_that_printers_leave_blank():
    pages, _ = pattern_pages(250, 200, "letter")
    data = pdf_bytes(pages, title="margins")
    edge = 6.35  # mm, 1/4 in, common practice
    for index, page in enumerate(pages):
        right, top = page.width - 0.02, page.height - 0.02
        assert picture(data, index, (10, 10, right - 10, 120)).sum() > 1000
        sides = (0, 0, edge, top), (right - edge, 0, right, top)
        ends = (0, 0, right, edge), (0, top - edge, right, top)
        assert all(picture(data, index, rim).max() == 0 for rim in (*sides, *ends))


def test_laying_out_a_sheet_loads_no_pdf_library():
    code = (
        "import sys\n"
        "import platewright.sheets.imposition, platewright.drawing.placing\n"
        "import platewright.drawing.table, platewright.drawing.pdf, platewright.drawing.svg\n"
        "print(sorted({'reportlab', 'shapely', 'ezdxf'} & set(sys.modules)))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_another_process_writes_the_same_bytes():
    code = (
        "import sys\n"
        "from platewright.geometry.plane import Point\n"
        "from platewright.drawing.items import Page, Text\n"
        "from platewright.drawing.pdf import pdf_bytes\n"
        "page = Page(210, 297, (Text(Point(20, 20), 'same'),), 'one')\n"
        "sys.stdout.buffer.write(pdf_bytes([page], title='t'))"
    )
    runs = [
        subprocess.run([sys.executable, "-c", code], capture_output=True, check=True).stdout
        for _ in range(2)
    ]
    assert runs[0] == runs[1]
    assert runs[0].startswith(b"%PDF-1.6")
