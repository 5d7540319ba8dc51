"""Tiling: a pattern larger than the paper, shared out over overlapping pages.

Rows are counted from the top, columns from the left, both from 1. Neighbouring pages share a band
of the pattern, the lap, and in it marks at the very same points, by which they are laid together.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from platewright.drawing.free_space import ink_lines
from platewright.drawing.items import Fill, Hatch, Item, bounds, marks
from platewright.drawing.pdf import LARGEST
from platewright.errors import FileError, Mistake, OutputError
from platewright.files.job import Part
from platewright.geometry.plane import Bounds, Motion, Vector
from platewright.geometry.shape_tree import ShapeTree
from platewright.sheets.furniture import field_of, paper_for_field
from platewright.sheets.paper import SINGLE, Paper, paper_named
from platewright.units import format_length

LAP = 12.0
"""Width of the band that neighbouring pages share, mm."""

EDGE_ROOM = 4.0
"""Kept free between the pattern and the outermost borders, mm."""

_SAGITTA = 0.05
_ROUNDING = 1e-6
_MOST_PAGES = 400
#: Words may stand this far outside a blank, mm.
_WORDS = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """One page's share: its place, its number among the pages, and its window on the pattern.

    `window` is in pattern coordinates; `page_from_pattern` shifts it onto the page's field.
    """

    row: int
    column: int
    number: int
    window: Bounds
    page_from_pattern: Motion


@dataclass(frozen=True, slots=True, kw_only=True)
class Tiling:
    """How a pattern lies on paper: the turned paper, the grid, and the tiles that carry ink.

    Tiles stand in reading order; places of the grid where nothing falls have no tile.
    """

    paper: Paper
    rows: int
    columns: int
    lap: float
    tiles: tuple[Tile, ...]

    def at(self, row: int, column: int) -> Tile | None:
        """The tile of a place, or None where there is none."""
        places = (tile for tile in self.tiles if (tile.row, tile.column) == (row, column))
        return next(places, None)

    def place(self, tile: Tile) -> str:
        """A tile's place in words."""
        count = len(self.tiles)
        if self.rows == self.columns == 1:
            return "page 1 of 1: the whole pattern"
        return (
            f"page {tile.number} of {count}: row {tile.row} of {self.rows}, "
            f"column {tile.column} of {self.columns}"
        )


def tile_pattern(items: Sequence[Item], paper: str, lap: float = LAP) -> Tiling:
    """The pattern on paper of that name, upright or on its side, whichever takes fewer pages.

    Raises OutputError for unknown paper and for a pattern of unreasonably many pages, GeometryError
    for an empty pattern.
    """
    box = bounds(items).grown(EDGE_ROOM)
    if paper.strip().lower() == SINGLE:
        return single_tiling(box)
    upright = paper_named(paper)
    tilings = [_tiling(items, box, sheet, lap) for sheet in (upright, upright.turned)]
    return min(tilings, key=lambda tiling: (len(tiling.tiles), tiling.rows * tiling.columns))


def usual_paper(part: Part) -> str:
    """The paper of a part's template where none is chosen: one large page if sheets are too many.

    Raises FileError where not even that page holds its blank.
    """
    usual = "letter" if part.unit == "in" else "A4"
    upright = paper_named(usual)
    for piece in (*part.pieces, *part.mock_ups):
        blank = piece.blank.bounds
        box = blank.grown(EDGE_ROOM + _WORDS)
        pages = max(
            _count(box.width, field.width, LAP) * _count(box.height, field.height, LAP)
            for field in map(field_of, (upright, upright.turned))
        )
        if pages > _MOST_PAGES and max(box.width, box.height) > LARGEST - 2 * _WORDS:
            width, height = (format_length(side, part.unit) for side in (blank.width, blank.height))
            message = (
                f"no template holds a blank of {width} x {height}: it would take {pages} pages "
                f"of {usual} paper, or one page longer than {format_length(LARGEST, part.unit)}; "
                "make it of several parts"
            )
            raise FileError((Mistake(file=part.path, key=piece.name, message=message),))
        if pages > _MOST_PAGES:
            return SINGLE
    return usual


def single_tiling(box: Bounds) -> Tiling:
    """One page, as large as it must be for everything in a box of the pattern."""
    paper = paper_for_field(SINGLE, box.width, box.height)
    field = field_of(paper)
    tile = _tile(*next(_places(box, field, (1, 1), 0.0)), field, 1)
    return Tiling(paper=paper, rows=1, columns=1, lap=0.0, tiles=(tile,))


def _tiling(items: Sequence[Item], box: Bounds, paper: Paper, lap: float) -> Tiling:
    field = field_of(paper)
    columns = _count(box.width, field.width, lap)
    rows = _count(box.height, field.height, lap)
    if rows * columns > _MOST_PAGES:
        raise OutputError(
            f"the pattern would take {rows * columns} pages of {paper.name} paper; choose a larger "
            "paper, or one page for a plotter with --paper single"
        )
    grid = list(_places(box, field, (rows, columns), lap))
    inked = shown(items, [window for *_, window in grid])
    places = [place for place, drawn in zip(grid, inked, strict=True) if drawn]
    tiles = tuple(_tile(*place, field, number) for number, place in enumerate(places, start=1))
    return Tiling(paper=paper, rows=rows, columns=columns, lap=lap, tiles=tiles)


def _tile(row: int, column: int, window: Bounds, field: Bounds, number: int) -> Tile:
    shift = Motion.translation(Vector(field.xmin - window.xmin, field.ymin - window.ymin))
    return Tile(row=row, column=column, number=number, window=window, page_from_pattern=shift)


def _count(length: float, field: float, lap: float) -> int:
    """Pages needed along one side: n pages reach n (field - lap) + lap."""
    if not 0 <= lap < field:
        raise OutputError(f"a lap of {lap:g} mm does not fit a field of {field:g} mm")
    return max(1, math.ceil((length - lap - _ROUNDING) / (field - lap)))


def _places(
    box: Bounds, field: Bounds, grid: tuple[int, int], lap: float
) -> Iterator[tuple[int, int, Bounds]]:
    """Each place's row, column and window; the pattern lies in the middle of them all."""
    rows, columns = grid
    right, down = field.width - lap, field.height - lap
    left = box.centre.x - (columns * right + lap) / 2
    top = box.centre.y + (rows * down + lap) / 2
    for row in range(rows):
        for column in range(columns):
            x, y = left + column * right, top - row * down
            yield row + 1, column + 1, Bounds(x, y - field.height, x + field.width, y)


def shown(items: Sequence[Item], windows: Iterable[Bounds]) -> Iterator[list[Item]]:
    """The items of which any line, text or filled region shows in each of some windows."""
    lines = [(i, line) for i, item in enumerate(items) for line in ink_lines((item,), _SAGITTA)]
    tree = ShapeTree.of_lines([line for _, line in lines])
    regions = [
        (i, mark.outlines)
        for i, item in enumerate(items)
        for mark in marks((item,))
        if isinstance(mark, Fill | Hatch)
    ]
    for window in windows:
        seen = {lines[index][0] for index in tree.met(window)}
        middle = window.centre
        seen.update(i for i, rings in regions if sum(r.contains(middle) for r in rings) % 2)
        yield [items[i] for i in sorted(seen)]
