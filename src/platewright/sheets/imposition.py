"""Imposition: a tiled pattern, or running matter, made into finished pages.

Each full-scale page carries its share of the pattern, the alignment marks it has in common with its
neighbours, lap lines, a small map of the pages, and the furniture.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import reduce

from platewright.drawing.boxes import ink_lines
from platewright.drawing.flow import Strip, flow
from platewright.drawing.items import (
    Clip,
    Fill,
    Item,
    Page,
    Stroke,
    Text,
    mark_bounds,
    marks,
    rectangle,
)
from platewright.drawing.lettering import Weight
from platewright.drawing.style import FRAME, RULE
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Line
from platewright.sheets.alignment import (
    align_marks,
    laid_marks,
    lap_notes,
)
from platewright.sheets.furniture import (
    CAUTION,
    TitleBlock,
    full_scale_furniture,
    plain_field_of,
    plain_furniture,
)
from platewright.sheets.paper import Paper
from platewright.sheets.tiling import Tile, Tiling, carries_ink

MAP_ROOM = (24.0, 18.0)
"""Room of the small map of the pages, width and height, mm."""

_LINE_REACH = 1.0


def impose(items: Sequence[Item], tiling: Tiling, block: TitleBlock) -> tuple[Page, ...]:
    """The finished pages of a tiled pattern, in order.

    The items are the whole pattern in its own coordinates; each page's place is put into the block.
    """
    # gathered once for all pages: it is most of the work of a large pattern
    ink = ink_lines(items) if len(tiling.tiles) > 1 else []
    common = align_marks(items, tiling, ink)
    spread = tuple((item, _extent(item)) for item in (*laid_marks(common), *items))
    ink = [*ink, *ink_lines(laid_marks(common))]
    pages = []
    for tile in tiling.tiles:
        notes = tuple((note, _extent(note)) for note in lap_notes(items, common, tiling, tile, ink))
        # the pattern comes last, so that nothing ever hides a line that is to be cut
        pages.append(_page((*notes, *spread), tiling, tile, block))
    return tuple(pages)


_Spread = tuple[Item, Bounds | None]
"""An item and the box round all its marks, found once for all pages."""


def _extent(item: Item) -> Bounds | None:
    boxes = [box for mark in marks((item,)) if (box := mark_bounds(mark)) is not None]
    return reduce(Bounds.union, boxes) if boxes else None


def _on_page(item: Item, extent: Bounds | None, window: Bounds) -> bool:
    if extent is None or not extent.meets(window):
        return False
    return window.holds(extent) or carries_ink((item,), window)


def plain_pages(
    strips: Sequence[Strip], paper: Paper, *, part: str, sheet: str, caution: str = CAUTION
) -> tuple[Page, ...]:
    """Running matter as finished plain pages: heading, "sheet 2 of 3", caution."""
    lists = flow(strips, plain_field_of(paper))
    return tuple(
        Page(
            paper.width,
            paper.height,
            (
                *items,
                *plain_furniture(
                    paper, part=part, sheet=sheet, page=number, pages=len(lists), caution=caution
                ),
            ),
            f"{sheet}: sheet {number} of {len(lists)}",
        )
        for number, items in enumerate(lists, start=1)
    )


def _page(drawn: Sequence[_Spread], tiling: Tiling, tile: Tile, block: TitleBlock) -> Page:
    place = tiling.place(tile)
    # what lies wholly on other pages is left out, but for lines whose width may reach over
    near = tile.window.grown(_LINE_REACH)
    shared = tuple(item for item, extent in drawn if _on_page(item, extent, near))
    furniture = full_scale_furniture(
        tiling.paper, replace(block, place=place), page_map(tiling, tile)
    )
    share = Clip(tile.window, shared, tile.page_from_pattern)
    title = f"{block.sheet}: {place}"
    return Page(tiling.paper.width, tiling.paper.height, (share, *furniture), title)


def page_map(tiling: Tiling, current: Tile) -> tuple[Item, ...]:
    """The grid of pages in small, this one filled, the ones left out crossed.

    Drawn in a box of `MAP_ROOM` with its lower left corner at (0, 0).
    """
    if tiling.rows == tiling.columns == 1:
        return ()
    scale = _map_scale(tiling)
    width, height = tiling.paper.width * scale, tiling.paper.height * scale
    left = (MAP_ROOM[0] - width * tiling.columns) / 2
    top = (MAP_ROOM[1] + height * tiling.rows) / 2
    items: list[Item] = []
    for row in range(tiling.rows):
        for column in range(tiling.columns):
            x, y = left + column * width, top - row * height
            cell = Bounds(x, y - height, x + width, y)
            items.extend(_map_cell(cell, tiling.at(row + 1, column + 1), current))
    return tuple(items)


def _map_scale(tiling: Tiling) -> float:
    across = MAP_ROOM[0] / (tiling.columns * tiling.paper.width)
    return min(across, MAP_ROOM[1] / (tiling.rows * tiling.paper.height))


def _map_cell(cell: Bounds, tile: Tile | None, current: Tile) -> Iterator[Item]:
    if tile is None:
        yield Stroke(rectangle(cell), RULE)
        yield Stroke(Line(Point(cell.xmin, cell.ymin), Point(cell.xmax, cell.ymax)), RULE)
        return
    if tile is current:
        yield Fill((rectangle(cell),), 0.65)
    yield Stroke(rectangle(cell), FRAME)
    size = min(3.0, cell.height * 0.5, cell.width * 0.4)
    weight: Weight = "bold" if tile is current else "regular"
    yield Text(cell.centre, str(tile.number), size, ("middle", "middle"), weight=weight)
