"""Ruled tables: wrapped cells, boxes for readings, boxes to tick.

A table becomes strips (see `flow`), one a row, so that it breaks between rows and repeats its
header on each page.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from itertools import accumulate

from platewright.drawing.flow import TEXT_SIZE, Strip
from platewright.drawing.items import Along, Fill, Item, Stroke, Text, rectangle
from platewright.drawing.lettering import LINE_PITCH, Weight, fitted, text_width, wrap
from platewright.drawing.style import FRAME, RULE
from platewright.errors import OutputError
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Line
from platewright.values import dataclass

_PADDING = 1.0  # between rule and text, mm
_INSET = 0.45  # between rule and a reading's box, mm
_READING_HEIGHT = 6.0
_HEADER_GREY = 0.88
_SMALL = 0.75  # of the text: words at the end of a titled cell


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column: its heading, width in mm, and where its texts stand."""

    heading: str
    width: float
    along: Along = "left"


@dataclass(frozen=True, slots=True)
class Words:
    """A cell of text with its own weight and height of capitals (None: the table's)."""

    text: str
    weight: Weight = "regular"
    size: float | None = None


@dataclass(frozen=True, slots=True)
class ReadingBox:
    """An empty box to write a reading in, with its unit printed small at the right."""

    unit: str = ""


@dataclass(frozen=True, slots=True)
class Tick:
    """One square to tick for each label, one under another ("pass", "fail")."""

    labels: tuple[str, ...] = ("",)


@dataclass(frozen=True, slots=True)
class Titled:
    """A cell of text that begins with a bold title and ends with small words at the right."""

    title: str
    text: str
    size: float
    ending: str = ""


_Cell = Words | Titled | ReadingBox | Tick
Cell = str | _Cell
"""What a cell of a table may hold; a plain text is wrapped."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Columns and rows of cells; `size` is the height of capitals, `least_height` a row's, mm.

    Raises OutputError for a row that does not have a cell for each column.
    """

    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    size: float = TEXT_SIZE
    least_height: float = 6.0

    def __post_init__(self) -> None:
        for row in self.rows:
            if len(row) != len(self.columns):
                raise OutputError(f"a row of {len(row)} cells in {len(self.columns)} columns")

    @property
    def width(self) -> float:
        """All columns together, mm."""
        return math.fsum(column.width for column in self.columns)

    def fitted(self, width: float) -> Table:
        """The table with its columns stretched or shrunk alike to fill `width` mm."""
        factor = width / self.width
        columns = tuple(replace(column, width=column.width * factor) for column in self.columns)
        return replace(self, columns=columns)


def table_strips(table: Table) -> tuple[Strip, ...]:
    """The table as strips: the header with the first row, then row by row."""
    cells = tuple(Words(column.heading, "bold") for column in table.columns)
    empty = replace(table, rows=())
    strip = _row(empty, cells)
    box = rectangle(Bounds(0.0, -strip.height, table.width, 0.0))
    top = Stroke(Line(Point(0.0, 0.0), Point(table.width, 0.0)), FRAME)
    shade = Fill((box,), _HEADER_GREY)
    header = replace(strip, items=(shade, top, *strip.items), keeps=True)
    rows = [replace(_row(empty, row), repeated=header) for row in table.rows]
    return (header, *rows)


def tick_box(at: Point, size: float = TEXT_SIZE, label: str = "") -> tuple[Item, ...]:
    """A square to tick with its lower left corner at a point, and a label beside it."""
    side = size * 1.35
    box = rectangle(Bounds(at.x, at.y, at.x + side, at.y + side))
    words = Text(Point(at.x + side + size * 0.6, at.y + side / 2), label, size, ("left", "middle"))
    return (Stroke(box, FRAME), words) if label else (Stroke(box, FRAME),)


@lru_cache(maxsize=512)  # the sheets of both hands share most rows
def _row(table: Table, cells: tuple[Cell, ...]) -> Strip:
    told = (Words(cell) if isinstance(cell, str) else cell for cell in cells)
    pairs = list(zip(table.columns, told, strict=True))
    natural = max(_cell_height(cell, column, table.size) for column, cell in pairs)
    height = max(table.least_height, natural)
    items: list[Item] = []
    x = 0.0
    for column, cell in pairs:
        items.extend(_cell(cell, Bounds(x, -height, x + column.width, 0.0), column, table.size))
        x += column.width
    return Strip(height=height, items=(*items, *_rules(table.columns, height)))


@lru_cache(maxsize=64)
def _rules(columns: tuple[Column, ...], height: float) -> tuple[Item, ...]:
    """The lines beside the cells of a row and below them: one row's are as another's."""
    xs = list(accumulate((column.width for column in columns), initial=0.0))
    first, *between, last = (Line(Point(x, 0.0), Point(x, -height)) for x in xs)
    below = Line(first.end, last.end)
    return Stroke(tuple(between), RULE), Stroke((first, below, last.reversed()), FRAME)


def _cell_height(cell: _Cell, column: Column, size: float) -> float:
    match cell:
        case Words():
            lines = len(_lines(cell, column, size))
            tall = cell.size or size
            return (lines - 1) * tall * LINE_PITCH + tall * 1.35 + 2 * _PADDING
        case Titled():
            lines = len(_titled_lines(cell, column))
            return (lines - 1) * cell.size * LINE_PITCH + cell.size * 1.35 + 2 * _PADDING
        case ReadingBox():
            return _READING_HEIGHT + 2 * _INSET
        case Tick():
            return len(cell.labels) * size * 1.35 * 1.4 + 2 * _PADDING


def _lines(words: Words, column: Column, size: float) -> tuple[str, ...]:
    return wrap(words.text, column.width - 2 * _PADDING, words.size or size, words.weight)


def _cell(cell: _Cell, box: Bounds, column: Column, size: float) -> Iterator[Item]:
    match cell:
        case Words():
            yield from _text_cell(cell, box, column, cell.size or size)
        case Titled():
            yield from _titled_cell(cell, box, column)
        case ReadingBox():
            inner = box.grown(-_INSET)
            yield Stroke(rectangle(inner), FRAME)
            if cell.unit:
                small = fitted(cell.unit, inner.width * 0.4, size * 0.8)
                at = Point(inner.xmax - 0.8, inner.ymin + 0.9)
                yield Text(at, cell.unit, small, ("right", "baseline"))
        case Tick():
            pitch = size * 1.35 * 1.4
            y = box.centre.y + pitch * len(cell.labels) / 2 - pitch + size * 1.35 * 0.2
            alone = cell.labels == ("",)
            x = box.centre.x - size * 0.675 if alone else box.xmin + _PADDING
            for label in cell.labels:
                room = box.xmax - x - size * 1.95 - 0.5
                yield from tick_box(Point(x, y), min(size, fitted(label, room, size)), label)
                y -= pitch


def _text_cell(words: Words, box: Bounds, column: Column, size: float) -> Iterator[Item]:
    lines = _lines(words, column, size)
    x = {"left": box.xmin + _PADDING, "middle": box.centre.x, "right": box.xmax - _PADDING}
    block = (len(lines) - 1) * size * LINE_PITCH + size
    y = box.centre.y + block / 2 - size
    for line in lines:
        if line:
            at = Point(x[column.along], y)
            yield Text(at, line, size, (column.along, "baseline"), weight=words.weight)
        y -= size * LINE_PITCH


def _titled_lines(cell: Titled, column: Column) -> tuple[str, ...]:
    """Lines of the whole, short by what the title is wider for being bold."""
    wider = text_width(cell.title, cell.size, "bold") - text_width(cell.title, cell.size)
    room = column.width - 2 * _PADDING - wider
    lines = wrap(f"{cell.title}\N{NO-BREAK SPACE} {cell.text}".strip(), room, cell.size)
    ending = text_width(cell.ending, cell.size * _SMALL) + cell.size if cell.ending else 0.0
    return (*lines, "") if text_width(lines[-1], cell.size) + ending > room else lines


def _titled_cell(cell: Titled, box: Bounds, column: Column) -> Iterator[Item]:
    lines = _titled_lines(cell, column)
    block = (len(lines) - 1) * cell.size * LINE_PITCH + cell.size
    x, y = box.xmin + _PADDING, box.centre.y + block / 2 - cell.size
    left = cell.title
    for line in lines:
        bold = line[: len(left)] if left else ""
        left = left[len(bold) :].lstrip()
        rest = line[len(bold) :].strip()
        if bold:
            yield Text(Point(x, y), bold, cell.size, weight="bold")
        if rest:
            along = text_width(bold, cell.size, "bold") + cell.size * 0.8 if bold else 0.0
            yield Text(Point(x + along, y), rest, cell.size)
        y -= cell.size * LINE_PITCH
    if cell.ending:
        at = Point(box.xmax - _PADDING, y + cell.size * LINE_PITCH)
        small = fitted(cell.ending, box.width - 2 * _PADDING, cell.size * _SMALL)
        yield Text(at, cell.ending, small, ("right", "baseline"))
