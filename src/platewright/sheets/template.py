"""The full-scale template: the page sets of each piece, ready to print.

A page set is one small function in `PAGE_SETS`: from a piece and the wishes to finished pages,
none where the piece needs none.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from platewright.drawing.free_space import FreeSpace
from platewright.drawing.insets import Inset, lay_insets, stacked_insets
from platewright.drawing.items import Page, bounds
from platewright.drawing.placing import place_callouts
from platewright.geometry.plane import Bounds, Point
from platewright.plate.piece import Piece
from platewright.sheets.alignment import seams
from platewright.sheets.furniture import TitleBlock, field_of, full_scale_furniture
from platewright.sheets.imposition import impose
from platewright.sheets.legend import (
    STICK,
    cautions_inset,
    legend_inset,
    note_insets,
    notes_inset,
    steps_inset,
    view_inset,
)
from platewright.sheets.paper import SINGLE
from platewright.sheets.pattern import (
    FACE_WORDS,
    Pattern,
    stock_words,
    top_pattern,
    underside_pattern,
)
from platewright.sheets.tiling import EDGE_ROOM, Tiling, single_tiling, tile_pattern
from platewright.shop.notes import many_words, piece_title
from platewright.units import Unit

SHEET = "Full-scale template for the plate"
"""What every page of the plate's own page sets is called."""

_INSET_EDGE = 3.0  # between an inset and its page's border, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """All pages in order, and how many of them belong to each piece."""

    pages: tuple[Page, ...]
    pages_of_piece: tuple[int, ...]


PageSet = Callable[[Piece, Unit, str], tuple[Page, ...]]
"""From a piece, the unit of its words and the paper's name to pages; none where it needs none."""


def top_pages(piece: Piece, unit: Unit, paper: str) -> tuple[Page, ...]:
    """The whole pattern, seen on the top face."""
    pattern = top_pattern(piece, unit)
    folded = (view_inset(piece.bracket),) if piece.blank.bends else ()
    insets = (*note_insets(piece), *folded, legend_inset(pattern.ink))
    return pattern_pages(pattern, paper, _block(piece, pattern, unit), insets, STICK)


def underside_pages(piece: Piece, unit: Unit, paper: str) -> tuple[Page, ...]:
    """The outline and the scores that are ground on the underside, mirrored."""
    pattern = underside_pattern(piece, unit)
    return pattern_pages(pattern, paper, _block(piece, pattern, unit)) if pattern else ()


PAGE_SETS: tuple[PageSet, ...] = (top_pages, underside_pages)
"""Every page set of the plate, in the order of printing."""


def template_pages(
    pieces: Sequence[Piece], unit: Unit, paper: str, page_sets: Sequence[PageSet] = PAGE_SETS
) -> Template:
    """The template of all pieces: for each, every page set in its turn.

    `paper` is one of `paper.PAPER_NAMES`. Raises OutputError for other paper, or for a piece of
    unreasonably many pages.
    """
    found = [
        [page for page_set in page_sets for page in page_set(piece, unit, paper)]
        for piece in pieces
    ]
    return Template(
        pages=tuple(page for pages in found for page in pages),
        pages_of_piece=tuple(len(pages) for pages in found),
    )


def _block(piece: Piece, pattern: Pattern, unit: Unit) -> TitleBlock:
    to_make = f"to make: {many_words(piece)}"
    return title_block(piece, pattern, SHEET, stock_words(piece, unit), to_make)


def title_block(piece: Piece, pattern: Pattern, sheet: str, *notes: str) -> TitleBlock:
    """The words of a piece's pattern: part, sheet, which face is up, which way its UP bends go."""
    way = "towards you" if pattern.face == "top" else "away from you"
    return TitleBlock(
        part=piece_title(piece),
        sheet=sheet,
        face=FACE_WORDS[pattern.face] + (f". Fold UP: {way}" if piece.blank.bends else ""),
        notes=notes,
        fingerprint=piece.fingerprint,
    )


# --- a pattern laid on paper ------------------------------------------------------------------


def pattern_pages(
    pattern: Pattern, paper: str, block: TitleBlock, insets: Sequence[Inset] = (), use: str = ""
) -> tuple[Page, ...]:
    """A pattern as finished pages: callouts placed, insets in the room that is left.

    `use` says what the paper is for; with it come the steps and the cautions. Insets without room
    are left out. Words that became numbers are never: their notes get a page of their own. `single`
    paper grows for everything.
    """
    tiling = tile_pattern(pattern.ink, paper)
    placed = place_callouts(free_space(pattern, tiling), pattern.callouts)
    if tiling.paper.name == SINGLE:
        tiling = single_tiling(bounds((*placed.items, *pattern.ink)).grown(EDGE_ROOM))
    notes = (notes_inset(placed.notes),) if placed.notes else ()
    words = (steps_inset(len(tiling.tiles), use), cautions_inset()) if use else ()
    laid = lay_insets(
        (*notes, *insets, *words), placed.free, tuple(_rooms(tiling)), pattern.outline
    )
    drawn = (*placed.items, *laid.items, *pattern.ink)
    if laid.left_over and tiling.paper.name == SINGLE:
        box = bounds(drawn)
        column = stacked_insets(laid.left_over, Point(box.xmax + EDGE_ROOM, box.ymax))
        drawn = (*column, *drawn)
        tiling = single_tiling(bounds(drawn).grown(EDGE_ROOM))
        return impose(drawn, tiling, block)
    lost = [inset for inset in laid.left_over if inset in notes]
    return (*impose(drawn, tiling, block), *(_inset_page(each, tiling, block) for each in lost))


def free_space(pattern: Pattern, tiling: Tiling) -> FreeSpace:
    """Where a pattern's words may stand: on its pages, or anywhere on `single` paper."""
    single = tiling.paper.name == SINGLE
    windows = [] if single else [tile.window for tile in tiling.tiles]
    bands = [seam.band for seam in seams(tiling)]
    return FreeSpace.beside(pattern.ink, windows, bands, pattern.outline).less(pattern.kept)


def _rooms(tiling: Tiling) -> Iterator[Bounds]:
    """Each page's share less its laps, where insets may stand."""
    lap = tiling.lap
    for tile in tiling.tiles:
        share = tile.window
        yield Bounds(
            share.xmin + lap * (tile.column > 1),
            share.ymin + lap * (tile.row < tiling.rows),
            share.xmax - lap * (tile.column < tiling.columns),
            share.ymax - lap * (tile.row > 1),
        ).grown(-_INSET_EDGE)


def _inset_page(inset: Inset, tiling: Tiling, block: TitleBlock) -> Page:
    """One more page for an inset that found no room."""
    paper, place = tiling.paper, "notes to the pattern"
    laid = lay_insets((inset,), FreeSpace(), (field_of(paper).grown(-_INSET_EDGE),))
    furniture = full_scale_furniture(paper, replace(block, place=place))
    title = f"{block.sheet}: {place}"
    return Page(paper.width, paper.height, (*laid.items, *furniture), title)
