"""The blank's SVG at true scale, by somebody else's eyes.

The paths are read by fontTools (its SVG path reader follows SVG 1.1, arcs included), drawn with
Pillow, and laid over the same blank as PDFium renders it from PDF.
"""

import math
import re
import xml.etree.ElementTree as ET
from itertools import pairwise
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from fontTools.pens.basePen import BasePen
from fontTools.svgLib.path import parse_path
from PIL import Image, ImageDraw

from platewright.drawing.items import Page, Stroke
from platewright.drawing.pdf import pdf_bytes
from platewright.drawing.style import LineStyle
from platewright.files.reader import load_job
from platewright.geometry.plane import Motion, Vector
from platewright.plate.detail import Detail
from platewright.plate.piece import pieces_of
from platewright.sheets.blank_svg import EDGE, blank_svg

SVG = "{http://www.w3.org/2000/svg}"
DPI = 300
PIXEL = 25.4 / DPI
HAIR = LineStyle("hair", 0.1)
PATTERN_FOLDER = Path(__file__).parents[2] / "patterns"
PATTERNS = ("spring-seat", "pump-foot", "corner-gusset", "lamp-tab")


class Polyline(BasePen):
    """Curves as fine chords."""

    def __init__(self):
        super().__init__(None)
        self.runs = []

    def _moveTo(self, at):  # noqa: N802
        self.runs.append([at])

    def _lineTo(self, at):  # noqa: N802
        self.runs[-1].append(at)

    def _curveToOne(self, a, b, c):  # noqa: N802
        start, count = self.runs[-1][-1], 60
        for i in range(1, count + 1):
            t = i / count
            w = ((1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t**2, t**3)
            points = (start, a, b, c)
            x, y = (
                math.fsum(k * p[axis] for k, p in zip(w, points, strict=True)) for axis in (0, 1)
            )
            self.runs[-1].append((x, y))

    def _closePath(self):  # noqa: N802
        self.runs[-1].append(self.runs[-1][0])


def piece_of(name, card):
    job = load_job(PATTERN_FOLDER / f"{name}.toml")
    part = job.parts[0]
    bracket = part.card if card else part.bracket
    return pieces_of(part.name, part.hand, bracket, Detail(nicks=not card))[0]


def group(root, name):
    (found,) = (g for g in root.iter(f"{SVG}g") if g.get("id") == name)
    return found


def runs_of(element):
    pen = Polyline()
    for path in element.iter(f"{SVG}path"):
        parse_path(path.get("d"), pen)
    return pen.runs


def area(run):
    return abs(math.fsum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise([*run, run[0]]))) / 2


def length(run):
    return math.fsum(math.dist(a, b) for a, b in pairwise(run))


@pytest.mark.parametrize("card", [True, False])
@pytest.mark.parametrize("name", PATTERNS)
def test_the_cut_lines_have_the_blank_s_area_and_size(name, card):
    piece = piece_of(name, card)
    root = ET.fromstring(blank_svg(piece, "card"))
    *inner, outline = runs_of(group(root, "cut"))
    blank = piece.blank
    # the reader's curves leave an arc by up to 2.7e-4 of its radius
    assert area(outline) == pytest.approx(blank.outline.area, rel=1e-4)
    assert length(outline) == pytest.approx(blank.outline.perimeter, rel=1e-4)
    xs, ys = zip(*outline, strict=True)
    assert max(xs) - min(xs) == pytest.approx(blank.bounds.width, abs=0.02)
    assert max(ys) - min(ys) == pytest.approx(blank.bounds.height, abs=0.02)
    net = blank.outline.area - blank.area
    assert math.fsum(map(area, inner)) == pytest.approx(net, rel=6e-4)


@pytest.mark.parametrize("name", PATTERNS)
def test_creases_stand_apart_and_are_as_long_as_the_bends(name):
    piece = piece_of(name, card=True)
    root = ET.fromstring(blank_svg(piece, "card"))
    creases = [length(run) for run in runs_of(group(root, "crease"))]
    assert creases == pytest.approx([bend.line.length for bend in piece.blank.bends], abs=1e-4)
    colours = {g.get("stroke") for g in root.iter(f"{SVG}g")}
    assert len(colours) == 3


@pytest.mark.parametrize("name", PATTERNS)
def test_a_unit_is_a_millimetre(name):
    piece = piece_of(name, card=True)
    root = ET.fromstring(blank_svg(piece, "card"))
    _, _, width, height = map(float, root.get("viewBox").split())
    for given, shown, size in (
        (root.get("width"), width, piece.blank.bounds.width),
        (root.get("height"), height, piece.blank.bounds.height),
    ):
        figure, unit = re.fullmatch(r"([\d.]+)([a-z]+)", given).groups()
        assert (float(figure), unit) == (shown, "mm")
        assert shown == pytest.approx(size + 2 * EDGE, abs=1e-4)


def svg_ink(root, size):
    image = Image.new("L", size, 0)
    pen = ImageDraw.Draw(image)
    for run in runs_of(root):
        pen.line([(x / PIXEL, y / PIXEL) for x, y in run], fill=255, width=1)
    return np.asarray(image) > 128


def pdf_ink(piece, page_size):
    box = piece.blank.bounds.grown(EDGE)
    blank = piece.blank.moved(Motion.translation(Vector(-box.xmin, -box.ymin)))
    shapes = [blank.outline, *(h.circle for h in blank.cut_holes)]
    shapes += [*(c.contour for c in blank.cutouts), *(b.line for b in blank.bends)]
    page = Page(box.width, box.height, tuple(Stroke(shape, HAIR) for shape in shapes))
    drawn = pypdfium2.PdfDocument(pdf_bytes([page], title="blank"))[0]
    image = drawn.render(scale=DPI / 72, grayscale=True).to_numpy()
    ink = image.reshape(image.shape[:2]) < 200
    return ink[: page_size[1], : page_size[0]]


def grown(ink, by):
    found = ink.copy()
    for axis in (0, 1):
        for step in range(1, by + 1):
            found |= np.roll(ink, step, axis) | np.roll(ink, -step, axis)
        ink = found.copy()
    return found


@pytest.mark.parametrize("name", PATTERNS)
def test_svg_and_pdf_lie_on_each_other(name):
    piece = piece_of(name, card=True)
    root = ET.fromstring(blank_svg(piece, "card"))
    box = piece.blank.bounds.grown(EDGE)
    size = (round(box.width / PIXEL), round(box.height / PIXEL))
    # pilots are crosses in the SVG and not drawn here
    root.remove(group(root, "mark"))
    mine, theirs = svg_ink(root, size), pdf_ink(piece, size)
    mine = mine[: theirs.shape[0], : theirs.shape[1]]
    theirs = theirs[: mine.shape[0], : mine.shape[1]]
    assert min(mine.sum(), theirs.sum()) > 1000
    # every inked pixel of either has one of the other within 2 pixels, 0.17 mm
    assert not (mine & ~grown(theirs, 2)).any()
    assert not (theirs & ~grown(mine, 2)).any()
