"""Tiling: a pattern larger than the paper, shared out over overlapping pages.

Rows are counted from the top, columns from the left, both from 1. Neighbouring pages share a band
of the pattern, the lap, and in it marks at the very same points, by which they are laid together.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from platewright.drawing.boxes import Box, crosses, lines_of
from platewright.drawing.items import (
    Fill,
    Hatch,
    Item,
    Mark,
    Stroke,
    Text,
    bounds,
    marks,
)
from platewright.errors import OutputError
from platewright.geometry.plane import Bounds, Motion, Vector
from platewright.sheets.furniture import field_of, paper_for_field
from platewright.sheets.paper import SINGLE, Paper, paper_named

LAP = 12.0
"""Width of the band that neighbouring pages share, mm."""

EDGE_ROOM = 4.0
"""Kept free between the pattern and the outermost borders, mm."""

_ROUNDING = 1e-6
_MOST_PAGES = 400


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


def single_tiling(box: Bounds) -> Tiling:
    """One page, as large as it must be for everything in a box of the pattern."""
    paper = paper_for_field(SINGLE, box.width, box.height)
    field = field_of(paper)
    window = _centred_window(box, field)
    tile = Tile(row=1, column=1, number=1, window=window, page_from_pattern=_shift(window, field))
    return Tiling(paper=paper, rows=1, columns=1, lap=0.0, tiles=(tile,))


def _tiling(items: Sequence[Item], box: Bounds, paper: Paper, lap: float) -> Tiling:
    field = field_of(paper)
    columns = _count(box.width, field.width, lap)
    rows = _count(box.height, field.height, lap)
    if rows * columns > _MOST_PAGES:
        raise OutputError(f"the pattern would take {rows * columns} pages of {paper.name} paper")
    places = [
        place for place in _places(box, field, (rows, columns), lap) if carries_ink(items, place[2])
    ]
    tiles = tuple(
        Tile(
            row=row,
            column=column,
            number=number,
            window=window,
            page_from_pattern=_shift(window, field),
        )
        for number, (row, column, window) in enumerate(places, start=1)
    )
    return Tiling(paper=paper, rows=rows, columns=columns, lap=lap, tiles=tiles)


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


def _centred_window(box: Bounds, field: Bounds) -> Bounds:
    centre, x, y = box.centre, field.width / 2, field.height / 2
    return Bounds(centre.x - x, centre.y - y, centre.x + x, centre.y + y)


def _shift(window: Bounds, field: Bounds) -> Motion:
    return Motion.translation(Vector(field.xmin - window.xmin, field.ymin - window.ymin))


def carries_ink(items: Iterable[Item], window: Bounds) -> bool:
    """Whether any line, text or filled region of the items shows in a window."""
    return any(_shows(mark, window) for mark in marks(items))


def _shows(mark: Mark, window: Bounds) -> bool:
    match mark:
        case Stroke():
            return any(crosses(window, line) for shape in mark.shapes for line in lines_of(shape))
        case Text():
            return bool(mark.text) and Box.round_text(mark).meets(Box.upright(window))
        case Fill() | Hatch():
            edges = (line for outline in mark.outlines for line in lines_of(outline))
            inside = sum(outline.contains(window.centre) for outline in mark.outlines) % 2 == 1
            return inside or any(crosses(window, edge) for edge in edges)
