"""The PDF writer: drawing lists to a file at true scale. The only door to the PDF library.

The file asks viewers not to scale (ISO 32000-1 Table 150: /PrintScaling /None), carries no clock
and no random identifiers, and uses only faces that every reader has.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

from platewright.drawing.items import Page
from platewright.drawing.lettering import Weight, printable
from platewright.drawing.operators import POINTS, content
from platewright.errors import OutputError
from platewright.home import away_from_home

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

SIGNATURE = "Platewright sheets"
"""Text that stands in plain bytes in every file written here (its /Producer entry)."""

LARGEST = 5080.0
"""Greatest side of a page, mm: 14400 units of 1/72 in (ISO 32000-1 Annex C)."""

_FACES: dict[Weight, str] = {"regular": "Helvetica", "bold": "Helvetica-Bold"}


def pdf_bytes(pages: Sequence[Page], *, title: str, subject: str = "") -> bytes:
    """The pages as a PDF file: the same pages give the same bytes.

    Raises OutputError without pages or with a page that a PDF cannot hold.
    """
    _check(pages)
    buffer = io.BytesIO()
    with away_from_home(), _binary_streams():
        canvas = _canvas(buffer, title, subject)
        faces = {weight: _resource(canvas, face) for weight, face in _FACES.items()}
        for number, page in enumerate(pages, start=1):
            _write_page(canvas, page, number, faces)
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
    canvas.addLiteral(content(page.items, faces))
    canvas.showPage()


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
