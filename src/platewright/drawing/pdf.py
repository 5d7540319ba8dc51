"""The PDF writer: drawing lists to a file at true scale.

The file asks viewers not to scale (ISO 32000-1 Table 150: /PrintScaling /None), carries no clock
and no random identifiers, and uses only faces that every reader has.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
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
    Stroke,
    Text,
    corners,
    moved_mark,
)
from platewright.drawing.lettering import CAP_HEIGHT, FACES, Weight, printable
from platewright.drawing.paths import Chain, bezier_pieces, chains, hatch_lines, outline_chain
from platewright.drawing.printer import LARGEST, Printer
from platewright.drawing.style import LineStyle
from platewright.errors import OutputError
from platewright.geometry.plane import IDENTITY, Motion, Point, Vector
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
    with away_from_home(), _binary_streams():
        canvas = _canvas(buffer, title, subject)
        canvas.setKeywords("; ".join(signs(made_from)))
        faces = {weight: _resource(canvas, face) for weight, face in FACES.items()}
        for number, page in enumerate(pages, start=1):
            _write_page(canvas, page, number, faces)
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

    canvas = Canvas(buffer, pageCompression=1, invariant=1, pdfVersion=(1, 6))
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


def _write_page(canvas: Canvas, page: Page, number: int, faces: Mapping[Weight, str]) -> None:
    canvas.setPageSize((page.width * POINTS, page.height * POINTS))
    if page.title:
        key = f"page-{number}"
        canvas.bookmarkPage(key)
        canvas.addOutlineEntry(printable(page.title), key)
    drawn = content(page.items, faces)
    canvas.addLiteral(
        f"q {_for_printer(page.printer, page)} cm\n{drawn}\nQ" if page.printer else drawn
    )
    canvas.showPage()


def _for_printer(printer: Printer, page: Page) -> str:
    """The matrix that a page is drawn by about its middle, so that its margins stay alike."""
    a, b, c, d = printer.drawn_from_true
    x, y = page.width / 2 * POINTS, page.height / 2 * POINTS
    shift = (x - a * x - c * y, y - b * x - d * y)
    return " ".join(f"{figure:.8f}" for figure in (a, b, c, d, *shift))


@contextmanager
def _binary_streams() -> Iterator[None]:
    """Compressed streams as they are: spelled in ASCII they take a quarter more, and longer."""
    from reportlab import rl_config

    before = rl_config.useA85
    rl_config.useA85 = 0
    try:
        yield
    finally:
        rl_config.useA85 = before


# --- content streams (ISO 32000-1, 8.4, 8.5 and 9.4) ------------------------------------------
#
# Coordinates are written in points to a ten-thousandth (35 nm). Pen, grey and face are told again
# only where they change.


def content(items: Iterable[Item], faces: Mapping[Weight, str]) -> str:
    """What a page draws. `faces` gives the name of each weight's face among the resources."""
    writer = _PdfWriter(faces)
    return "\n".join((_CAP_AND_JOIN, *writer.items(items, IDENTITY)))


class _PdfWriter:
    """Writes operators, and remembers what was told last."""

    def __init__(self, faces: Mapping[Weight, str]) -> None:
        self._faces = faces
        self._told: dict[str, str] = {}

    def _tell(self, what: str, operators: str) -> Iterator[str]:
        if self._told.get(what) != operators:
            self._told[what] = operators
            yield operators

    def items(self, items: Iterable[Item], motion: Motion) -> Iterator[str]:
        for item in items:
            match item:
                case Group():
                    yield from self.items(item.items, motion @ item.motion)
                case Clip():
                    yield from self._clip(item, motion @ item.motion)
                case Stroke():
                    yield from self._stroke(item, motion)
                case Fill():
                    yield from self._fill(item, motion)
                case Text():
                    yield from self._text(item, motion)
                case Hatch():
                    hatch = moved_mark(item, motion)
                    assert isinstance(hatch, Hatch)
                    yield from self._stroke(Stroke(hatch_lines(hatch), hatch.style), IDENTITY)

    def _clip(self, clip: Clip, motion: Motion) -> Iterator[str]:
        yield f"q {_polygon(corners(clip.window), motion)} W n"
        before = dict(self._told)
        yield from self.items(clip.items, motion)
        self._told = before
        yield "Q"

    def _stroke(self, stroke: Stroke, motion: Motion) -> Iterator[str]:
        shapes = stroke.shapes
        if motion.mirrors:
            # a mirrored contour is travelled the other way, and so are its dashes
            shapes, motion = tuple(shape.moved(motion) for shape in shapes), IDENTITY
        if shapes:
            yield from self._tell("pen", _pen(stroke.style))
            yield f"{_path(chains(shapes), motion)} S"

    def _fill(self, fill: Fill, motion: Motion) -> Iterator[str]:
        if fill.outlines:
            yield from self._tell("fill", f"{_figure(fill.grey)} g")
            yield f"{_path([outline_chain(outline) for outline in fill.outlines], motion)} f*"

    def _text(self, text: Text, motion: Motion) -> Iterator[str]:
        if motion is not IDENTITY:
            moved = moved_mark(text, motion)
            assert isinstance(moved, Text)
            text = moved
        if text.backed:
            yield from self._tell("fill", "1 g")
            yield f"{_polygon(text.box(_BACKING), IDENTITY)} f"
        yield from self._tell("fill", "0 g")
        size = text.size / CAP_HEIGHT * POINTS
        yield from self._tell("face", f"{self._faces[text.weight]} {size:.4f} Tf")
        yield f"BT {_set_at(text)} ({_escaped(text.text)}) Tj ET"


def _figure(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".")


@lru_cache(maxsize=64)
def _pen(style: LineStyle) -> str:
    dashes = " ".join(_figure(length * POINTS) for length in style.dashes)
    return f"{_figure(style.width * POINTS)} w {_figure(style.grey)} G [{dashes}] 0 d"


def _set_at(text: Text) -> str:
    start = text.start
    if text.angle == 0:
        return f"{_xy(start, IDENTITY)} Td"
    along = Vector.polar(text.angle)
    turn = f"{along.x:.6f} {along.y:.6f} {-along.y:.6f} {along.x:.6f}"
    return f"{turn} {_xy(start, IDENTITY)} Tm"


@lru_cache(maxsize=1024)
def _escaped(text: str) -> str:
    """The inside of a literal string, in plain ASCII (ISO 32000-1, 7.3.4.2)."""
    return "".join(
        chr(code) if 32 <= code < 127 and code not in b"()\\" else f"\\{code:03o}"
        for code in printable(text).encode("cp1252")
    )


def _polygon(points: Sequence[Point], motion: Motion) -> str:
    first, *others = (_xy(point, motion) for point in points)
    return " ".join((f"{first} m", *(f"{other} l" for other in others), "h"))


def _path(runs: Iterable[Chain], motion: Motion) -> str:
    steps: list[str] = []
    # in plain figures: done for every line of a page
    a, b, c, d, e, f = motion.a, motion.b, motion.c, motion.d, motion.e, motion.f
    for run in runs:
        steps.append(f"{_xy(run.segments[0].start, motion)} m")
        for segment in run.segments:
            if isinstance(segment, Line):
                x, y = segment.end.x, segment.end.y
                x, y = (a * x + c * y + e) * POINTS, (b * x + d * y + f) * POINTS
                steps.append(f"{x:.4f} {y:.4f} l")
                continue
            for first, second, end in bezier_pieces(segment):
                handles = f"{_xy(first, motion)} {_xy(second, motion)}"
                steps.append(f"{handles} {_xy(end, motion)} c")
        if run.closed:
            steps.append("h")
    return " ".join(steps)


def _xy(point: Point, motion: Motion) -> str:
    x, y = point.x, point.y
    x, y = motion.a * x + motion.c * y + motion.e, motion.b * x + motion.d * y + motion.f
    return f"{x * POINTS:.4f} {y * POINTS:.4f}"
