"""Tiling: a pattern larger than the paper, shared out over overlapping pages.

Rows are counted from the top, columns from the left, both from 1. Neighbouring pages share a band
of the pattern, the lap, and in it marks at the very same points, by which they are laid together.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from functools import cache, partial
from itertools import compress
from operator import itemgetter

from platewright.drawing.free_space import StraightInk, ink_ends
from platewright.drawing.items import Fill, Hatch, Item, Stroke, bounds, marks
from platewright.errors import OutputError
from platewright.geometry.contour import Circle, Contour, Outline
from platewright.geometry.meeting import Rectangles
from platewright.geometry.plane import Bounds, Motion, Point, Vector
from platewright.sheets.furniture import paper_for_field
from platewright.sheets.page_count import EDGE_ROOM, LAP, MOST_PAGES, pages_along
from platewright.sheets.paper import SINGLE, Paper, PaperChoice, field_of, is_single, paper_named
from platewright.values import dataclass

_SAGITTA = 0.05
_ROUNDING = 1e-6
_CLEAR = 2.0  # between a seam and what it keeps off, mm
_STEP = 2.0  # by which seams are moved, mm
_ON_CENTRE = 1000.0
_OFF = 1e-4  # for each mm off its usual place


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


def tile_pattern(
    items: Sequence[Item], paper: PaperChoice, lap: float = LAP, openings: Sequence[Outline] = ()
) -> Tiling:
    """The pattern on paper of that name, upright or on its side, whichever takes fewer pages.

    Seams keep off `openings`: off the centres of holes, even where that takes another row of
    pages, and off the rest where the pages reach far enough. Raises OutputError for unknown paper
    and for a pattern of unreasonably many pages, GeometryError for an empty pattern.
    """
    box = bounds(items).grown(EDGE_ROOM)
    if is_single(paper):
        return single_tiling(box, paper)
    upright = paper_named(paper)
    sheets = (upright, upright.turned)
    for sheet in sheets:
        field = field_of(sheet)
        sides = ((box.width, field.width), (box.height, field.height))
        if all(pages_along(side, room, lap) == 1 for side, room in sides):
            return _one_page(box, sheet)
    spans: tuple[list[_Span], list[_Span]] = [], []
    for opening in openings:
        b, hole = opening.bounds, isinstance(opening, Circle)
        spans[0].append(_Span(b.xmin, b.xmax, b.centre.x if hole else None))
        # rows are counted from the top
        spans[1].append(_Span(-b.ymax, -b.ymin, -b.centre.y if hole else None))
    carried = _carried(items)
    tilings = [_tiling(carried, box, sheet, lap, spans) for sheet in sheets]
    return min(tilings, key=lambda tiling: (len(tiling.tiles), tiling.rows * tiling.columns))


def single_tiling(box: Bounds, choice: PaperChoice = SINGLE) -> Tiling:
    """One page, as large as it must be for everything in a box of the pattern."""
    printer = choice.upright.printer if isinstance(choice, Paper) else None
    return _one_page(box, paper_for_field(SINGLE, box.width, box.height, printer))


def _one_page(box: Bounds, paper: Paper) -> Tiling:
    field = field_of(paper)
    middle, wide, high = box.centre, field.width / 2, field.height / 2
    window = Bounds(middle.x - wide, middle.y - high, middle.x + wide, middle.y + high)
    tile = _tile(1, 1, window, field, 1)
    return Tiling(paper=paper, rows=1, columns=1, lap=0.0, tiles=(tile,))


_Carried = Callable[[Sequence[Bounds]], Sequence[bool]]
"""Whether each of some windows shows anything of a pattern."""


def _carried(items: Sequence[Item]) -> _Carried:
    strokes = (item for item in items if isinstance(item, Stroke))
    shapes = [shape for stroke in strokes for shape in stroke.shapes]
    corners = [
        corner
        for shape in shapes
        if not isinstance(shape, Circle)
        for corner in (shape.corners if isinstance(shape, Contour) else (shape.start, shape.end))
    ]
    shown = cache(partial(Shown, items))

    def carried(windows: Sequence[Bounds]) -> Sequence[bool]:
        # nearly all hold a corner of some line: asked first, as it is cheap
        found = [
            any(w.xmin <= p.x <= w.xmax and w.ymin <= p.y <= w.ymax for p in corners)
            for w in windows
        ]
        return found if all(found) else [bool(each) for each in shown().within(windows)]

    return carried


def _tiling(
    carried: _Carried, box: Bounds, paper: Paper, lap: float, spans: tuple[Sequence[_Span], ...]
) -> Tiling:
    field = field_of(paper)
    across, down = spans
    columns = _shares(box.xmin, box.xmax, field.width, lap, across)
    rows = _shares(-box.ymax, -box.ymin, field.height, lap, down)
    count = len(rows) * len(columns)
    if count > MOST_PAGES and across:
        # without what moved seams take besides
        return _tiling(carried, box, paper, lap, ((), ()))
    if count > MOST_PAGES:
        raise OutputError(
            f"the pattern would take {count} pages of {paper.name} paper; choose a larger paper, "
            "or one page for a plotter with --paper single"
        )
    grid = [
        (row, column, Bounds(left, -low, right, -top))
        for row, (top, low) in enumerate(rows, 1)
        for column, (left, right) in enumerate(columns, 1)
    ]
    places = list(compress(grid, carried([window for *_, window in grid])))
    tiles = tuple(_tile(*place, field, number) for number, place in enumerate(places, start=1))
    return Tiling(paper=paper, rows=len(rows), columns=len(columns), lap=lap, tiles=tiles)


def _tile(row: int, column: int, window: Bounds, field: Bounds, number: int) -> Tile:
    # by the upper left corner, whose borders are those that are trimmed and laid on
    shift = Motion.translation(Vector(field.xmin - window.xmin, field.ymax - window.ymax))
    return Tile(row=row, column=column, number=number, window=window, page_from_pattern=shift)


# --- where the seams lie ----------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Span:
    """How far an opening reaches along one direction, and its centre where it is a hole."""

    low: float
    high: float
    centre: float | None


def _cost(spans: Sequence[_Span], low: float, high: float) -> float:
    """How bad a band from `low` to `high` is for some openings."""
    low, high, cost = low - _CLEAR, high + _CLEAR, 0.0
    for span in spans:
        if low < span.high and span.low < high:
            centre = span.centre
            cost += _ON_CENTRE if centre is not None and low < centre < high else 1.0
    return cost


def _shares(
    low: float, high: float, field: float, lap: float, spans: Sequence[_Span]
) -> list[tuple[float, float]]:
    """What each page carries along one direction of a pattern from `low` to `high`.

    With n pages as far as n (field - lap) + lap, each seam moved off what it would cross.
    """
    count = pages_along(high - low, field, lap)
    worst, seams = _seams(low, high, field, lap, count, spans)
    if worst >= _ON_CENTRE and count > 1:
        with_more = _seams(low, high, field, lap, count + 1, spans)
        if with_more[0] < _ON_CENTRE:
            seams = with_more[1]
    if not seams:
        middle = (low + high) / 2
        return [(middle - field / 2, middle + field / 2)]
    starts = [seams[0] + lap - field, *seams]
    ends = [*(seam + lap for seam in seams), seams[-1] + field]
    return list(zip(starts, ends, strict=True))


def _seams(
    low: float, high: float, field: float, lap: float, count: int, spans: Sequence[_Span]
) -> tuple[float, list[float]]:
    """Where the bands of that many pages begin, and how bad that is; best near their usual places.

    The best row of seams, each no further from the one before than a page reaches.
    """
    reach = field - lap
    first = (low + high) / 2 - (count * reach + lap) / 2
    usual = [first + number * reach for number in range(1, count)]
    if not any(_cost(spans, at, at + lap) for at in usual):
        return 0.0, usual
    paths: list[tuple[float, list[float]]] = []
    for number, at in enumerate(usual, 1):
        # how far this one may go while the others still reach both ends
        least, most = high - field - (count - 1 - number) * reach, low + number * reach
        steps = range(math.floor((least - at) / _STEP) + 1, math.ceil((most - at) / _STEP))
        places = [at + step * _STEP for step in steps] or [at]
        found = []
        for place in places:
            cost = _cost(spans, place, place + lap) + _OFF * abs(place - at)
            before = [p for p in paths if lap < place - p[1][-1] <= reach + _ROUNDING]
            if before:
                total, path = min(before, key=itemgetter(0))
                found.append((total + cost, [*path, place]))
            elif number == 1:
                found.append((cost, [place]))
        paths = found
    return min(paths, key=itemgetter(0), default=(_ON_CENTRE, usual))


class Shown:
    """Items made ready to be asked which of them show in a window, curves within `sagitta` mm.

    `ink` is what is drawn of them.
    """

    def __init__(self, items: Sequence[Item], sagitta: float = _SAGITTA) -> None:
        import numpy as np

        self._items = items
        each = [ink_ends((item,), sagitta) for item in items]
        self._of_item = np.repeat(np.arange(len(each)), [len(ends) for ends in each])
        self.ink = StraightInk([line for ends in each for line in ends])
        # the box round the ink of each item, turned inside out where it has none
        self._boxes = np.repeat(((np.inf,), (np.inf,), (-np.inf,), (-np.inf,)), len(each), axis=1)
        extremes = np.minimum, np.minimum, np.maximum, np.maximum
        for side, extreme, places in zip(self._boxes, extremes, self.ink.lines.bounds, strict=True):
            extreme.at(side, self._of_item, places)

    def within(self, windows: Sequence[Bounds]) -> Iterator[list[int]]:
        """For each window the indices of those of which a line, text or filled region shows."""
        boxes = [(w.centre.x, w.centre.y, w.width / 2, w.height / 2, 0.0) for w in windows]
        lines, places = self.ink.lines.pairs(Rectangles.of(boxes))
        for number, window in enumerate(windows):
            found = set(self._of_item[lines[places == number]].tolist())
            found.update(i for i in self._round(window) - found if self._fills(i, window.centre))
            yield sorted(found)

    def _round(self, window: Bounds) -> set[int]:
        """The items with ink beyond all four sides of a window."""
        import numpy as np

        xmin, ymin, xmax, ymax = self._boxes
        beyond = (xmin < window.xmin) & (ymin < window.ymin)
        beyond &= (xmax > window.xmax) & (ymax > window.ymax)
        return set(np.flatnonzero(beyond).tolist())

    def _fills(self, item: int, at: Point) -> bool:
        """Whether a filled region of an item holds a place."""
        return any(
            sum(outline.contains(at) for outline in mark.outlines) % 2
            for mark in marks((self._items[item],))
            if isinstance(mark, Fill | Hatch)
        )
