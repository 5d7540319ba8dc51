"""The PDF writer: drawing lists to a file at true scale.

The file asks viewers not to scale (ISO 32000-1 Table 150: /PrintScaling /None), carries no clock
and no random identifiers, and uses only faces that every reader has.
"""

from __future__ import annotations

import io
import re
import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING

from platewright.drawing.items import (
    Clip,
    Fill,
    Group,
    Hatch,
    Item,
    Page,
    Shape,
    Stroke,
    Text,
    corners,
    marks,
    moved_all,
)
from platewright.drawing.lettering import CAP_HEIGHT, FACES, Weight, coded, printable
from platewright.drawing.paths import Chain, bezier_pieces, chains, hatch_lines
from platewright.drawing.printer import LARGEST, Printer
from platewright.drawing.style import LineStyle
from platewright.errors import OutputError
from platewright.geometry.contour import Circle
from platewright.geometry.plane import IDENTITY, ORIGIN, Point, Vector
from platewright.geometry.segment import Line
from platewright.home import away_from_home

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

SIGNATURE = "Platewright sheets"
"""Text that stands in plain bytes in every file written here (its /Producer entry)."""

POINTS = 72 / 25.4
"""Points in a millimetre."""

_BACKING = 0.4  # white beyond a backed text, mm
_CAP_AND_JOIN = "0 J 1 j"  # butt caps, round joins
_SPELLED_OUT = re.compile(r"[^ -~]|[()\\]")  # what no literal string holds as it is


def pdf_bytes(
    pages: Sequence[Page],
    *,
    title: str,
    subject: str = "",
    made_from: Mapping[str, str] = MappingProxyType({}),
) -> bytes:
    """The pages as a PDF file: the same pages give the same bytes.

    `made_from` are the fingerprints, by its parts' names, that its keywords tell.

    Raises OutputError without pages or with a page that a PDF cannot hold.
    """
    _check(pages)
    buffer = io.BytesIO()
    with away_from_home():
        canvas = _canvas(buffer, title, subject)
        canvas.setKeywords("; ".join(signs(made_from)))
        writer = PdfWriter({weight: _resource(canvas, face) for weight, face in FACES.items()})
        for number, page in enumerate(pages, start=1):
            _write_page(canvas, page, number, writer)
        canvas.save()
    return buffer.getvalue()


def signs(made_from: Mapping[str, str]) -> Iterator[str]:
    """What stands in plain bytes in every file written here for each part that it shows."""
    return (f"{name} fingerprint {sign}" for name, sign in sorted(made_from.items()) if sign)


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
                f"(at most {LARGEST:.0f} mm a side); take sheets of paper instead of one page, or "
                "make it of several parts"
            )


def _canvas(buffer: io.BytesIO, title: str, subject: str) -> Canvas:
    from reportlab.pdfgen.canvas import Canvas

    canvas = Canvas(buffer, pageCompression=0, invariant=1, pdfVersion=(1, 6))
    canvas._doc.defaultStreamFilters = [_Deflate()]
    canvas.setTitle(printable(title))
    canvas.setSubject(printable(subject))
    canvas.setAuthor("")
    canvas.setCreator("Platewright")
    canvas.setProducer(SIGNATURE)
    canvas.setViewerPreference("PrintScaling", "None")
    return canvas


def _resource(canvas: Canvas, face: str) -> str:
    """The name by which content streams call for a face."""
    line = canvas.beginText()
    line.setFont(face, 1)
    found = re.search(r"/\S+", line.getCode())
    assert found is not None
    return found[0]


def _write_page(canvas: Canvas, page: Page, number: int, writer: PdfWriter) -> None:
    canvas.setPageSize((page.width * POINTS, page.height * POINTS))
    if page.title:
        key = f"page-{number}"
        canvas.bookmarkPage(key)
        canvas.addOutlineEntry(printable(page.title), key)
    drawn = f"{_CAP_AND_JOIN}\n{writer.content(page.items)}"
    canvas.addLiteral(
        f"q {_for_printer(page.printer, page)} cm\n{drawn}\nQ" if page.printer else drawn
    )
    canvas.showPage()


def _for_printer(printer: Printer, page: Page) -> str:
    """The matrix that a page is drawn by about its middle, so that its margins stay alike."""
    a, b, c, d = printer.drawn_from_true
    x, y = page.width / 2, page.height / 2
    return _matrix(a, b, c, d, x - a * x - c * y, y - b * x - d * y)


class _Deflate:
    """The one filter of every stream, as the library asks for it.

    The library's own would spell a stream in ASCII besides, a quarter longer; what a higher level
    saves (a twentieth) takes it as long again.
    """

    pdfname = "FlateDecode"

    def encode(self, text: str) -> bytes:
        """The stream compressed."""
        return zlib.compress(text.encode("ascii"), 4)


# --- content streams (ISO 32000-1, 8.4, 8.5 and 9.4) ------------------------------------------
#
# Coordinates are written in points to a ten-thousandth (35 nm). Pen, grey and face are told again
# only where they change. A group is written in its own coordinates and moved by a matrix, so that
# what stands on many pages is worked out once.


class PdfWriter:
    """Writes operators; what it has written of an item it remembers, for every page of a file.

    `faces` gives the name of each weight's face among the resources.
    """

    def __init__(self, faces: Mapping[Weight, str]) -> None:
        self._faces = faces
        # by identity, beside the item itself, whose place in memory no other can take then
        self._written: dict[int, tuple[Item, tuple[tuple[str, str], ...]]] = {}

    def content(self, items: Iterable[Item]) -> str:
        """What a page or a group draws, whatever was told before it."""
        lines: list[str] = []
        told: dict[str, str] = {}
        for item in items:
            known = self._written.get(id(item))
            if known is None:
                known = self._written[id(item)] = (item, self._steps(item))
            for what, operators in known[1]:
                if not what:
                    lines.append(operators)
                elif told.get(what) != operators:
                    told[what] = operators
                    lines.append(operators)
        return "\n".join(lines)

    def _steps(self, item: Item) -> tuple[tuple[str, str], ...]:
        """What must have been told for an item, by what it is, and under "" what then draws it."""
        match item:
            case Group() | Clip():
                return (("", self._moved(item)),)
            case Stroke() if item.shapes:
                return ("pen", _pen(item.style)), ("", _painted(item.shapes, "S"))
            case Fill() if item.outlines:
                return ("fill", f"{_figure(item.grey)} g"), ("", _painted(item.outlines, "f*"))
            case Text():
                box = f"{_polygon(item.box(_BACKING))} f" if item.backed else ""
                size = item.size / CAP_HEIGHT * POINTS
                return (
                    *((("fill", "1 g"), ("", box)) if box else ()),
                    ("fill", "0 g"),
                    ("face", f"{self._faces[item.weight]} {size:.4f} Tf"),
                    ("", f"BT {_set_at(item)} ({_escaped(item.text)}) Tj ET"),
                )
            case Hatch():
                return self._steps(Stroke(hatch_lines(item), item.style))
        return ()

    def _moved(self, group: Group | Clip) -> str:
        items, motion, seen = group.items, group.motion, ""
        if isinstance(group, Clip):
            seen = f" {_polygon([motion.point(corner) for corner in corners(group.window)])} W n"
        if motion.mirrors and any(isinstance(mark, Text) for mark in marks(items)):
            # so that its words are read
            items, motion = moved_all(items, motion), IDENTITY
        matrix = _matrix(motion.a, motion.b, motion.c, motion.d, motion.e, motion.f)
        return f"q{seen} {matrix} cm\n{self.content(items)}\nQ"


def _figure(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".")


@lru_cache(maxsize=64)
def _pen(style: LineStyle) -> str:
    dashes = " ".join(_figure(length * POINTS) for length in style.dashes)
    return f"{_figure(style.width * POINTS)} w {_figure(style.grey)} G [{dashes}] 0 d"


def _set_at(text: Text) -> str:
    start = text.start
    if text.angle == 0:
        return f"{_xy(start)} Td"
    along = Vector.polar(text.angle)
    turn = f"{along.x:.6f} {along.y:.6f} {-along.y:.6f} {along.x:.6f}"
    return f"{turn} {_xy(start)} Tm"


@lru_cache(maxsize=1024)
def _escaped(text: str) -> str:
    """The inside of a literal string, in plain ASCII (ISO 32000-1, 7.3.4.2)."""
    codes = coded(text).decode("latin-1")
    return _SPELLED_OUT.sub(lambda found: f"\\{ord(found[0]):03o}", codes)


def _polygon(points: Sequence[Point]) -> str:
    first, *others = map(_xy, points)
    return " ".join((f"{first} m", *(f"{other} l" for other in others), "h"))


def _painted(shapes: Sequence[Shape], operator: str) -> str:
    match shapes:
        case (Line() as line,):
            return f"{_xy(line.start)} m {_xy(line.end)} l {operator}"
        case (Circle() as circle,):
            # moved to its place: holes and letters' circles are of a few sizes
            return f"q 1 0 0 1 {_xy(circle.centre)} cm {_round(circle.diameter)} {operator} Q"
    return f"{_path(chains(shapes))} {operator}"


@lru_cache(maxsize=64)
def _round(diameter: float) -> str:
    return _path(chains((Circle(ORIGIN, diameter),)))


def _path(runs: Iterable[Chain]) -> str:
    # most of what a page draws: every figure of a path is formatted in one go
    operators: list[str] = []
    figures: list[float] = []
    for run in runs:
        start = run.segments[0].start
        operators.append("%.4f %.4f m")
        figures += (start.x, start.y)
        for segment in run.segments:
            if isinstance(segment, Line):
                operators.append("%.4f %.4f l")
                figures += (segment.end.x, segment.end.y)
                continue
            for first, second, end in bezier_pieces(segment):
                operators.append("%.4f %.4f %.4f %.4f %.4f %.4f c")
                figures += (first.real, first.imag, second.real, second.imag, end.real, end.imag)
        if run.closed:
            operators.append("h")
    return " ".join(operators) % tuple([figure * POINTS for figure in figures])


def _xy(point: Point) -> str:
    return f"{point.x * POINTS:.4f} {point.y * POINTS:.4f}"


def _matrix(a: float, b: float, c: float, d: float, e: float, f: float) -> str:
    """The matrix of (x, y) to (a x + c y + e, b x + d y + f), mm (ISO 32000-1, 8.3.4)."""
    return f"{a:.8f} {b:.8f} {c:.8f} {d:.8f} {e * POINTS:.8f} {f * POINTS:.8f}"
