"""Imposition: a tiled pattern, or running matter, made into finished pages.

Each full-scale page carries its share of the pattern, the alignment marks it has in common with its
neighbours, lap lines, a small map of the pages, and the furniture.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache

from platewright.drawing.flow import Strip, flow
from platewright.drawing.items import (
    Clip,
    Fill,
    Item,
    Page,
    Stroke,
    Text,
    rectangle,
)
from platewright.drawing.lettering import Weight
from platewright.drawing.style import FRAME, RULE
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Line
from platewright.sheets.alignment import align_mark, align_marks, lap_notes
from platewright.sheets.furniture import (
    CAUTION,
    TitleBlock,
    full_scale_furniture,
    plain_field_of,
    plain_furniture,
)
from platewright.sheets.paper import Paper
from platewright.sheets.tiling import Shown, Tile, Tiling

MAP_ROOM = (24.0, 18.0)
"""Room of the small map of the pages, width and height, mm."""

_CHORD = 0.5  # a curve's chords leave it by no more, mm
_LINE_REACH = 1.0  # more than that and half a line's width, mm


def impose(
    items: Sequence[Item],
    tiling: Tiling,
    block: TitleBlock,
    outlines: Sequence[Item] | None = None,
) -> tuple[Page, ...]:
    """The finished pages of a tiled pattern, in order.

    The items are the whole pattern in its own coordinates; each page's place is put into the block.
    Each of the `outlines`, if given, holds all of one item: which pages show it is asked of that.
    """
    alone = len(tiling.tiles) == 1
    shares = (tuple(items),) if alone else _shares(items, outlines or items, tiling)
    pages = []
    for tile, share in zip(tiling.tiles, shares, strict=True):
        place, paper = tiling.place(tile), tiling.paper
        clip = Clip(tile.window, share, tile.page_from_pattern)
        furniture = full_scale_furniture(paper, block, place, page_map(tiling, tile))
        title = f"{block.sheet}: {place}"
        pages.append(Page(paper.width, paper.height, (clip, *furniture), title, paper.printer))
    return tuple(pages)


def _shares(
    items: Sequence[Item], outlines: Sequence[Item], tiling: Tiling
) -> Iterator[tuple[Item, ...]]:
    """What each of several pages shows: of its laps, of the marks, and of the pattern."""
    pattern = Shown(outlines, _CHORD)
    marks = [item for mark in align_marks(pattern.ink, tiling) for item in align_mark(mark)]
    common = Shown(marks, _CHORD)
    ink = common.ink.plus(pattern.ink)
    # what lies wholly on other pages is left out, but for lines whose width may reach over
    windows = [tile.window.grown(_LINE_REACH) for tile in tiling.tiles]
    drawn = zip(tiling.tiles, common.within(windows), pattern.within(windows), strict=True)
    # the pattern comes last, so that nothing ever hides a line that is to be cut
    for tile, of_marks, of_pattern in drawn:
        yield (
            *lap_notes(ink, tiling, tile),
            *(marks[i] for i in of_marks),
            *(items[i] for i in of_pattern),
        )


def plain_pages(
    strips: Sequence[Strip],
    paper: Paper,
    *,
    part: str,
    sheet: str,
    caution: str = CAUTION,
    fingerprint: str = "",
) -> tuple[Page, ...]:
    """Running matter as finished plain pages: heading, "sheet 2 of 3", caution, fingerprint."""
    lists = flow(strips, plain_field_of(paper))
    pages = []
    for number, items in enumerate(lists, start=1):
        furniture = plain_furniture(
            paper,
            part=part,
            sheet=sheet,
            page=number,
            pages=len(lists),
            caution=caution,
            fingerprint=fingerprint,
        )
        title = f"{sheet}: sheet {number} of {len(lists)}"
        pages.append(Page(paper.width, paper.height, (*items, *furniture), title))
    return tuple(pages)


def page_map(tiling: Tiling, current: Tile) -> tuple[Item, ...]:
    """The grid of pages in small, this one filled, the ones left out crossed.

    Drawn in a box of `MAP_ROOM` with its lower left corner at (0, 0).
    """
    if tiling.rows == tiling.columns == 1:
        return ()
    width, height = tiling.paper.width, tiling.paper.height
    scale = min(MAP_ROOM[0] / (tiling.columns * width), MAP_ROOM[1] / (tiling.rows * height))
    width, height = width * scale, height * scale
    left = (MAP_ROOM[0] - width * tiling.columns) / 2
    top = (MAP_ROOM[1] + height * tiling.rows) / 2
    items: list[Item] = []
    for row in range(tiling.rows):
        for column in range(tiling.columns):
            x, y = left + column * width, top - row * height
            cell = Bounds(x, y - height, x + width, y)
            tile = tiling.at(row + 1, column + 1)
            items.extend(_map_cell(cell, tile and tile.number, filled=tile is current))
    return tuple(items)


@lru_cache(maxsize=1024)
def _map_cell(cell: Bounds, number: int | None, *, filled: bool) -> tuple[Item, ...]:
    outline = rectangle(cell)
    if number is None:
        cross = Line(Point(cell.xmin, cell.ymin), Point(cell.xmax, cell.ymax))
        return Stroke(outline, RULE), Stroke(cross, RULE)
    size = min(3.0, cell.height * 0.5, cell.width * 0.4)
    weight: Weight = "bold" if filled else "regular"
    told = Text(cell.centre, str(number), size, ("middle", "middle"), weight=weight)
    return *((Fill((outline,), 0.65),) if filled else ()), Stroke(outline, FRAME), told
