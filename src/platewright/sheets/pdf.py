"""The PDF writer: drawing lists to a file at true scale. The only door to the PDF library.

The file asks viewers not to scale (ISO 32000-1 Table 150: /PrintScaling /None), carries no clock
and no random identifiers, and uses only faces that every reader has.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from platewright.errors import OutputError
from platewright.geometry.plane import IDENTITY, Motion, Point
from platewright.geometry.segment import Line
from platewright.sheets.drawing import (
    Clip,
    Fill,
    Group,
    Hatch,
    Item,
    Mark,
    Page,
    Stroke,
    Text,
    corners,
    moved_mark,
)
from platewright.sheets.lettering import CAP_HEIGHT, printable
from platewright.sheets.paths import Chain, bezier_pieces, chains, hatch_lines, outline_chain

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas
    from reportlab.pdfgen.pathobject import PDFPathObject

SIGNATURE = "Platewright sheets"
"""Text that stands in plain bytes in every file written here (its /Producer entry)."""

LARGEST = 5080.0
"""Greatest side of a page, mm: 14400 units of 1/72 in (ISO 32000-1 Annex C)."""

_POINTS = 72 / 25.4
_FACES = {"regular": "Helvetica", "bold": "Helvetica-Bold"}
_ROUND_JOIN = 1
_BUTT_CAP = 0
_EVEN_ODD = 0
_BACKING = 0.4  # white beyond a backed text, mm


def pdf_bytes(pages: Sequence[Page], *, title: str, subject: str = "") -> bytes:
    """The pages as a PDF file: the same pages give the same bytes.

    Raises OutputError without pages or with a page that a PDF cannot hold.
    """
    _check(pages)
    buffer = io.BytesIO()
    canvas = _canvas(buffer, title, subject)
    for number, page in enumerate(pages, start=1):
        _write_page(canvas, page, number)
    canvas.save()
    return buffer.getvalue()


def signed(data: bytes) -> bool:
    """Whether the bytes are a PDF file that this writer made."""
    return data.startswith(b"%PDF-") and f"/Producer ({SIGNATURE})".encode() in data


def _check(pages: Sequence[Page]) -> None:
    if not pages:
        raise OutputError("a PDF needs at least one page")
    for page in pages:
        if not (0 < page.width <= LARGEST and 0 < page.height <= LARGEST):
            raise OutputError(
                f"a page of {page.width:.0f} x {page.height:.0f} mm cannot stand in a PDF "
                f"(at most {LARGEST:.0f} mm a side)"
            )


def _canvas(buffer: io.BytesIO, title: str, subject: str) -> Canvas:
    from reportlab.pdfgen.canvas import Canvas

    canvas = Canvas(buffer, pageCompression=1, invariant=1, pdfVersion=(1, 6))
    canvas.setTitle(printable(title))
    canvas.setSubject(printable(subject))
    canvas.setAuthor("")
    canvas.setCreator("Platewright")
    canvas.setProducer(SIGNATURE)
    canvas.setViewerPreference("PrintScaling", "None")
    return canvas


def _write_page(canvas: Canvas, page: Page, number: int) -> None:
    canvas.setPageSize((page.width * _POINTS, page.height * _POINTS))
    if page.title:
        key = f"page-{number}"
        canvas.bookmarkPage(key)
        canvas.addOutlineEntry(printable(page.title), key)
    _write_items(canvas, page.items, IDENTITY)
    canvas.showPage()


def _write_items(canvas: Canvas, items: Iterable[Item], motion: Motion) -> None:
    for item in items:
        match item:
            case Group():
                _write_items(canvas, item.items, motion @ item.motion)
            case Clip():
                _write_clip(canvas, item, motion @ item.motion)
            case Stroke():
                _write_stroke(canvas, item, motion)
            case _:
                _write_mark(canvas, moved_mark(item, motion))


def _write_clip(canvas: Canvas, clip: Clip, motion: Motion) -> None:
    canvas.saveState()
    window = _polygon(canvas, [motion.point(corner) for corner in corners(clip.window)])
    canvas.clipPath(window, stroke=0, fill=0)
    _write_items(canvas, clip.items, motion)
    canvas.restoreState()


def _write_mark(canvas: Canvas, mark: Mark) -> None:
    match mark:
        case Stroke():
            _write_stroke(canvas, mark, IDENTITY)
        case Fill():
            _write_fill(canvas, mark)
        case Hatch():
            _write_stroke(canvas, Stroke(hatch_lines(mark), mark.style), IDENTITY)
        case Text():
            _write_text(canvas, mark)


def _write_stroke(canvas: Canvas, stroke: Stroke, motion: Motion) -> None:
    shapes = stroke.shapes
    if not shapes:
        return
    if not all(isinstance(shape, Line) for shape in shapes):
        shapes, motion = tuple(shape.moved(motion) for shape in shapes), IDENTITY
    style = stroke.style
    canvas.setLineWidth(style.width * _POINTS)
    canvas.setStrokeGray(style.grey)
    canvas.setDash([length * _POINTS for length in style.dashes])
    canvas.setLineCap(_BUTT_CAP)
    canvas.setLineJoin(_ROUND_JOIN)
    canvas.drawPath(_path(canvas, chains(shapes), motion), stroke=1, fill=0)


def _write_fill(canvas: Canvas, fill: Fill) -> None:
    if not fill.outlines:
        return
    canvas.setFillGray(fill.grey)
    path = _path(canvas, [outline_chain(outline) for outline in fill.outlines], IDENTITY)
    canvas.drawPath(path, stroke=0, fill=1, fillMode=_EVEN_ODD)


def _write_text(canvas: Canvas, text: Text) -> None:
    if text.backed:
        canvas.setFillGray(1.0)
        canvas.drawPath(_polygon(canvas, text.box(_BACKING)), stroke=0, fill=1)
    cosine, sine = math.cos(text.angle), math.sin(text.angle)
    canvas.setFillGray(0.0)
    line = canvas.beginText()
    line.setFont(_FACES[text.weight], text.size / CAP_HEIGHT * _POINTS)
    line.setTextTransform(cosine, sine, -sine, cosine, *_xy(text.start))
    line.textOut(printable(text.text))
    canvas.drawText(line)


def _polygon(canvas: Canvas, points: Sequence[Point]) -> PDFPathObject:
    path = canvas.beginPath()
    path.moveTo(*_xy(points[0]))
    for point in points[1:]:
        path.lineTo(*_xy(point))
    path.close()
    return path


def _path(canvas: Canvas, runs: Iterable[Chain], motion: Motion) -> PDFPathObject:
    path = canvas.beginPath()
    for run in runs:
        _trace(path, run, motion)
    return path


def _trace(path: PDFPathObject, run: Chain, motion: Motion) -> None:
    path.moveTo(*_xy(motion.point(run.segments[0].start)))
    for segment in run.segments:
        if isinstance(segment, Line):
            path.lineTo(*_xy(motion.point(segment.end)))
            continue
        for first, second, end in bezier_pieces(segment.moved(motion)):
            path.curveTo(*_xy(first), *_xy(second), *_xy(end))
    if run.closed:
        path.close()


def _xy(point: Point) -> tuple[float, float]:
    return point.x * _POINTS, point.y * _POINTS
