"""The printer's own page: the longest bars that the paper holds, both ways and corner to corner."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platewright.drawing.dimensions import bubble
from platewright.drawing.flow import heading, height_of, paragraph, stacked, steps
from platewright.drawing.items import Item, Page, Stroke, corners, rectangle
from platewright.drawing.style import ALIGN, BAR
from platewright.drawing.table import Column, ReadingBox, Table, Words, table_strips
from platewright.files.typed import fingerprint
from platewright.geometry.plane import Bounds, Point, Vector
from platewright.geometry.segment import Line
from platewright.sheets.paper import Paper, paper_named
from platewright.units import Unit, format_length

SHEET = "Printer page: how true a printer prints"
"""What the page is called."""

_STEP: dict[Unit, float] = {"in": 12.7, "mm": 10.0}
_PAD = 5.0  # between the page's words and a diagonal, mm
_TICK = 5.0
_COLUMN = 0.52  # of the bars' width, what stands between the diagonals above and below
_BESIDE = 0.25  # and at the right

_STEPS = (
    "Print at 100 %, not fit to page. Let the paper lie for an hour.",
    "Tape it flat. Lay a steel rule or a good tape on it and read A, B, C and D from corner to "
    "corner, middle of line to middle of line, as finely as you can.",
    "Read a second print too: the two should agree.",
)
_THEN = (
    "The answer goes into the shop file under [[printer]]. Templates are then drawn so that this "
    "printer prints them true. Paper moves with damp: measure the bars on every page all the same."
)


def bars_of(paper: str, unit: Unit) -> Bounds:
    """The rectangle whose sides and diagonals are read: its sides whole half inches or centimetres.

    It stands in the middle of the upright paper. Raises OutputError for unknown paper.
    """
    sheet, step = paper_named(paper), _STEP[unit]
    room = sheet.printable
    half = Vector(
        *(math.floor(side / step + 1e-9) * step / 2 for side in (room.width, room.height))
    )
    middle = room.centre
    return Bounds(middle.x - half.x, middle.y - half.y, middle.x + half.x, middle.y + half.y)


def printer_page(paper: str, unit: Unit, name: str = "") -> Page:
    """The page; `name` is what the shop calls its printer. Raises OutputError for unknown paper."""
    sheet = paper_named(paper)
    return Page(sheet.width, sheet.height, tuple(_items(sheet, unit, name)), SHEET)


def sign_of(paper: str, unit: Unit, name: str = "") -> str:
    """The fingerprint of what the page was made from. Raises OutputError for unknown paper."""
    return fingerprint((f"printer page {paper_named(paper).name} {name}", unit))


def _items(sheet: Paper, unit: Unit, name: str) -> Iterator[Item]:
    box = bars_of(sheet.name, unit)
    low_left, low_right, high_right, high_left = corners(box)
    yield Stroke(rectangle(box), BAR)
    yield Stroke((Line(low_left, high_right), Line(low_right, high_left)), ALIGN)
    for corner in corners(box):
        # out of the corner, so that it stands out where the lines cross
        for along in (Vector(1.0, 0.0), Vector(0.0, 1.0)):
            out = along * math.copysign(_TICK / 2, along.dot(corner - box.centre))
            yield Stroke(Line(corner, corner + out), BAR)
    for letter, at in (
        ("A", low_left.towards(low_right, 0.17) + Vector(0.0, 5.0)),
        ("B", low_left.midpoint(high_left) + Vector(5.0, 0.0)),
        ("C", box.centre + (high_right - box.centre) * 0.62),
        ("D", box.centre + (high_left - box.centre) * 0.62),
    ):
        yield from bubble(at, letter)
    yield from _words(box, sheet, unit, name)


def _words(box: Bounds, sheet: Paper, unit: Unit, name: str) -> Iterator[Item]:
    """What to do between the diagonals above, the readings between them below."""
    width = box.width * _COLUMN
    left = box.centre.x - width / 2
    called = f": {name}" if name else ""
    above = (
        *heading(f"Printer page{called}", width),
        *paragraph(
            f"{sheet.name} paper \N{BULLET} fingerprint {sign_of(sheet.name, unit, name)}", width
        ),
        *steps(_STEPS, width),
    )
    yield from stacked(above[1:], Point(left, box.ymax - _PAD))
    across, up, corner = (
        format_length(length, unit)
        for length in (box.width, box.height, math.hypot(box.width, box.height))
    )
    readings = (
        ("A", "across, the bottom", across),
        ("B", "up, at the left", up),
        ("C", "corner to corner, rising to the right", corner),
        ("D", "corner to corner, falling to the right", corner),
    )
    columns = (
        Column(heading="", width=9),
        Column(heading="measure", width=40),
        Column(heading="drawn", width=26),
        Column(heading="reading", width=36),
    )
    rows = tuple(
        (Words(letter, "bold"), what, drawn, ReadingBox(unit)) for letter, what, drawn in readings
    )
    table = Table(columns=columns, rows=rows, size=2.0, least_height=7.5).fitted(width)
    strips = table_strips(table)
    yield from stacked(strips, Point(left, box.ymin + _PAD + height_of(strips)))
    call = f'--printer "{name}"' if name else "--printer NAME"
    beside = box.width * _BESIDE
    then = (
        *heading("Then", beside, 2.8)[1:],
        *paragraph(
            "Let the readings be worked out: platewright coupon "
            f"{call} --units {unit} --paper {sheet.name} --bars A B --diagonals C D",
            beside,
        ),
        *paragraph(_THEN, beside),
    )
    top = Point(box.xmax - _PAD - beside, box.centre.y + height_of(then) / 2)
    yield from stacked(then, top)
