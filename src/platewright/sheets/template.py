"""The full-scale template: the page sets of each piece, ready to print.

A page set is one small function in `PAGE_SETS`: from a piece and the wishes to finished pages,
none where the piece needs none.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import product, zip_longest

from platewright.drawing.free_space import FreeSpace, Together
from platewright.drawing.insets import Inset, lay_insets, stacked_insets
from platewright.drawing.items import Page, bounds
from platewright.drawing.placing import place_callouts
from platewright.geometry.plane import Bounds, Motion, Point, Vector
from platewright.geometry.segment import Line
from platewright.plate.bracket import Bracket
from platewright.plate.piece import Piece
from platewright.sheets.alignment import seams
from platewright.sheets.furniture import TitleBlock, full_scale_furniture
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
from platewright.sheets.page_count import EDGE_ROOM, least_pages
from platewright.sheets.paper import SINGLE, PaperChoice, field_of, is_single, paper_named
from platewright.sheets.pattern import (
    FACE_WORDS,
    Pattern,
    stock_words,
    top_pattern,
    underside_pattern,
)
from platewright.sheets.tiling import Tiling, single_tiling, tile_pattern
from platewright.shop.notes import many_words, piece_title
from platewright.units import Unit
from platewright.values import dataclass

SHEET = "Full-scale template for the plate"
"""What every page of the plate's own page sets is called."""

_EDGES_TRIED = 12
_WAYS_TRIED = 3
_APART = 8.0  # between two pieces, mm
_INSET_EDGE = 3.0  # between an inset and its page's border, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """All pages in order, and how many of them belong to each piece."""

    pages: tuple[Page, ...]
    pages_of_piece: tuple[int, ...]


PageSet = Callable[[Piece, Unit, PaperChoice], tuple[Page, ...]]
"""From a piece, the unit of its words and the paper's name to pages; none where it needs none."""


def top_pages(piece: Piece, unit: Unit, paper: PaperChoice) -> tuple[Page, ...]:
    """The whole pattern, seen on the top face."""
    piece, turn = turned_to_fit(piece, unit, paper)
    pattern = top_pattern(piece, unit)
    folded = (view_inset(piece.bracket, turn),) if piece.blank.bends else ()
    insets = (*note_insets(piece), *folded, legend_inset(pattern.ink))
    return pattern_pages(pattern, paper, _block(piece, pattern, unit), insets, STICK)


def underside_pages(piece: Piece, unit: Unit, paper: PaperChoice) -> tuple[Page, ...]:
    """The outline and the scores that are ground on the underside, mirrored."""
    piece, _ = turned_to_fit(piece, unit, paper)
    pattern = underside_pattern(piece, unit)
    return pattern_pages(pattern, paper, _block(piece, pattern, unit)) if pattern else ()


PairSet = Callable[[Piece, Piece, Unit, PaperChoice], tuple[Page, ...]]
"""A page set of both hands side by side; none where that saves no page."""


def top_pair(left: Piece, right: Piece, unit: Unit, paper: PaperChoice) -> tuple[Page, ...]:
    """The whole patterns of both hands, seen on the top face."""
    beside = side_by_side(left, right, top_pattern, unit, paper)
    if beside is None:
        return ()
    pattern, (left, right) = beside
    folded = [pair_view(piece) for piece in (left, right) if piece.blank.bends]
    insets = (*note_insets(left), legend_inset(pattern.ink), *folded)
    return pattern_pages(pattern, paper, pair_block(_block(left, pattern, unit)), insets, STICK)


def underside_pair(left: Piece, right: Piece, unit: Unit, paper: PaperChoice) -> tuple[Page, ...]:
    """The underside's scores of both hands, mirrored."""
    beside = side_by_side(left, right, underside_pattern, unit, paper)
    if beside is None:
        return ()
    block = pair_block(_block(left, beside[0], unit))
    return pattern_pages(beside[0], paper, block)


PAGE_SETS: tuple[PageSet, ...] = (top_pages, underside_pages)
"""Every page set of the plate, in the order of printing."""

PAIR_SETS: Mapping[PageSet, PairSet] = {top_pages: top_pair, underside_pages: underside_pair}
"""How the page sets are printed for both hands of a pair at once."""


def template_pages(
    pieces: Sequence[Piece],
    unit: Unit,
    paper: PaperChoice,
    page_sets: Sequence[PageSet] = PAGE_SETS,
    pair_sets: Mapping[PageSet, PairSet] = PAIR_SETS,
) -> Template:
    """The template of all pieces: for each, every page set in its turn.

    The hands of a pair stand on one set of pages where that saves some; they are counted as the
    left one's. `paper` is one of `paper.PAPER_NAMES`. Raises OutputError for other paper, or for a
    piece of unreasonably many pages.
    """
    found: list[list[Page]] = [[] for _ in pieces]
    for page_set in page_sets:
        together: tuple[Page, ...] = ()
        if len(pieces) > 1 and page_set in pair_sets:
            together = pair_sets[page_set](pieces[0], pieces[1], unit, paper)
        if together:
            found[0].extend(together)
            continue
        for pages, piece in zip(found, pieces, strict=True):
            pages.extend(page_set(piece, unit, paper))
    return Template(
        pages=tuple(page for pages in found for page in pages),
        pages_of_piece=tuple(len(pages) for pages in found),
    )


def _block(piece: Piece, pattern: Pattern, unit: Unit) -> TitleBlock:
    to_make = f"to make: {many_words(piece)}"
    block = title_block(piece, pattern, SHEET, stock_words(piece, unit), to_make)
    return replace(block, bent_by=piece.bent_by)


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


def pair_block(block: TitleBlock) -> TitleBlock:
    """A title block of the left hand made one of both."""
    return replace(block, part=block.part.replace("-left (left hand)", " (left and right hand)"))


def pair_view(piece: Piece, finished: Bracket | None = None) -> Inset:
    """The picture of one hand among both."""
    motion = piece.drawing_from_bracket
    turn = math.atan2(motion.b, motion.a)
    view = view_inset(finished or piece.bracket, turn)
    return replace(view, title=f"{piece.hand.capitalize()} hand folded; white: top face")


# --- turned and set side by side --------------------------------------------------------------


@lru_cache(maxsize=8)
def turned_to_fit(piece: Piece, unit: Unit, paper: PaperChoice) -> tuple[Piece, float]:
    """The piece turned where its pattern then takes fewer pages, and by how much, radians.

    Tried is what lays one of its longer straight edges along the paper.
    """
    if is_single(paper):
        return piece, 0.0
    sheet = paper_named(paper)
    fewest = _page_count(top_pattern(piece, unit), paper)
    best = piece, 0.0
    for turn, box in _turns(piece):
        if least_pages(box.grown(EDGE_ROOM), sheet) < fewest:
            turned = _turned(piece, turn)
            count = _page_count(top_pattern(turned, unit), paper)
            if count < fewest:
                fewest, best = count, (turned, turn)
    return best


def side_by_side(
    left: Piece,
    right: Piece,
    drawn: Callable[[Piece, Unit], Pattern | None],
    unit: Unit,
    paper: PaperChoice,
) -> tuple[Pattern, tuple[Piece, Piece]] | None:
    """Both hands in one pattern, and the pieces as they lie; None where that saves no page.

    One beside or under the other, each turned as takes fewest pages; `drawn` is one's pattern.
    """
    if is_single(paper):
        return None
    alone = [drawn(turned_to_fit(each, unit, paper)[0], unit) for each in (left, right)]
    if None in alone:
        return None
    fewest = sum(_page_count(pattern, paper) for pattern in alone if pattern)
    best = None
    for least, pieces in _arranged(left, right, paper, fewest):
        if least >= fewest:
            break
        patterns = [pattern for each in pieces if (pattern := drawn(each, unit))]
        merged = _merged(patterns)
        count = _page_count(merged, paper)
        if count < fewest:
            fewest, best = count, (merged, pieces)
    return best


def _arranged(
    left: Piece, right: Piece, paper: PaperChoice, fewest: int
) -> Iterator[tuple[int, tuple[Piece, Piece]]]:
    """Ways to lay two pieces whose common box may take fewer pages, the most promising first.

    With each goes how many pages that box takes.
    """
    sheet = paper_named(paper)
    found: list[tuple[int, float, int, float, float, Vector]] = []
    for (one, a), (other, b) in product(_turns(left), _turns(right)):
        for by in (
            Vector(a.xmax + _APART - b.xmin, a.ymin - b.ymin),
            Vector(a.xmin - b.xmin, a.ymin - _APART - b.ymax),
        ):
            there = Bounds(b.xmin + by.x, b.ymin + by.y, b.xmax + by.x, b.ymax + by.y)
            box = a.union(there).grown(EDGE_ROOM)
            pages = least_pages(box, sheet)
            if pages < fewest:
                found.append((pages, box.width * box.height, len(found), one, other, by))
    found.sort(key=lambda each: each[:3])
    for pages, *_, one, other, by in found[:_WAYS_TRIED]:
        moved = _moved(_turned(right, other), Motion.translation(by))
        yield pages, (_turned(left, one), moved)


def _merged(patterns: Sequence[Pattern]) -> Pattern:
    """Patterns that lie beside each other as one; words stand in or beside any of them."""
    return Pattern(
        face=patterns[0].face,
        outline=Together(tuple(each.outline for each in patterns)),
        ink=tuple(item for each in patterns for item in each.ink),
        told=lambda: (
            callout
            for row in zip_longest(*(each.callouts for each in patterns))
            for callout in row
            if callout
        ),
        kept=tuple(box for each in patterns for box in each.kept),
        openings=tuple(opening for each in patterns for opening in each.openings),
    )


@lru_cache(maxsize=8)
def _turns(piece: Piece) -> tuple[tuple[float, Bounds], ...]:
    """Turns that lay one of the longer straight edges of a piece along the paper, 0 first.

    With each goes the box of the blank so turned.
    """
    outline = piece.blank.outline
    lines = [each for each in outline.segments if isinstance(each, Line)]
    lines.sort(key=lambda line: line.length, reverse=True)
    turns = {round(-line.direction.angle % (math.pi / 2), 6) for line in lines[:_EDGES_TRIED]}
    both = {turn + quarter for turn in turns for quarter in (0.0, math.pi / 2)}
    about = outline.bounds.centre
    return tuple(
        (turn, outline.moved(Motion.rotation(turn, about)).bounds)
        for turn in sorted({0.0, math.pi / 2} | both)
    )


def _page_count(pattern: Pattern, paper: PaperChoice) -> int:
    return len(_tiled(pattern, paper).tiles)


@lru_cache(maxsize=16)
def _tiled(pattern: Pattern, paper: PaperChoice) -> Tiling:
    return tile_pattern(pattern.ink, paper, openings=pattern.openings)


def _turned(piece: Piece, turn: float) -> Piece:
    return _moved(piece, Motion.rotation(turn, piece.blank.bounds.centre))


def _moved(piece: Piece, motion: Motion) -> Piece:
    return replace(
        piece,
        blank=piece.blank.moved(motion),
        drawing_from_bracket=motion @ piece.drawing_from_bracket,
    )


# --- a pattern laid on paper ------------------------------------------------------------------


def pattern_pages(
    pattern: Pattern,
    paper: PaperChoice,
    block: TitleBlock,
    insets: Sequence[Inset] = (),
    use: str = "",
    more: Sequence[Inset] = (),
) -> tuple[Page, ...]:
    """A pattern as finished pages: callouts placed, insets in the room that is left.

    `use` says what the paper is for; with it come the steps and the cautions. Insets without room
    are left out, but never `more` nor the notes to words that became numbers: they get pages of
    their own, and what was left out stands there too. `single` paper grows for everything.
    """
    tiling = _tiled(pattern, paper)
    placed = place_callouts(free_space(pattern, tiling), pattern.callouts)
    if tiling.paper.name == SINGLE:
        tiling = single_tiling(bounds((*placed.items, *pattern.ink)).grown(EDGE_ROOM), tiling.paper)
    notes = (notes_inset(placed.notes),) if placed.notes else ()
    words = (steps_inset(len(tiling.tiles), use), cautions_inset()) if use else ()
    rooms = tuple(_rooms(tiling))
    laid = lay_insets((*notes, *insets, *words, *more), placed.free, rooms, pattern.outline)
    if any(inset in more for inset in laid.left_over):
        # first what needs a page of its own otherwise, last what the pattern shows as well
        first = (*notes, *more, *words)
        other = lay_insets(
            (*first, *insets), placed.free, rooms, pattern.outline, needed=len(first)
        )
        laid = other if other.placed else laid
    drawn = (*placed.items, *laid.items, *pattern.ink)
    if laid.left_over and tiling.paper.name == SINGLE:
        box = bounds(drawn)
        column = stacked_insets(laid.left_over, Point(box.xmax + EDGE_ROOM, box.ymax))
        drawn = (*column, *drawn)
        tiling = single_tiling(bounds(drawn).grown(EDGE_ROOM), tiling.paper)
        return impose(drawn, tiling, block)
    lost = [inset for inset in laid.left_over if inset in (*notes, *more)]
    rest = [inset for inset in laid.left_over if inset not in lost]
    outlines = (*placed.items, *laid.grounds, *pattern.ink)
    return (*impose(drawn, tiling, block, outlines), *_inset_pages(lost, rest, tiling, block))


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


def _inset_pages(
    lost: Sequence[Inset], rest: Sequence[Inset], tiling: Tiling, block: TitleBlock
) -> Iterator[Page]:
    """More pages for insets that found no room, and on them what else found none."""
    paper, place = tiling.paper, "beside the pattern"
    while lost:
        room = (field_of(paper).grown(-_INSET_EDGE),)
        laid = lay_insets((*lost, *rest), FreeSpace(), room)
        furniture = full_scale_furniture(paper, block, place)
        title = f"{block.sheet}: {place}"
        yield Page(paper.width, paper.height, (*laid.items, *furniture), title, paper.printer)
        left = [inset for inset in lost if inset in laid.left_over]
        if len(left) == len(lost):
            return
        lost, rest = left, [inset for inset in rest if inset in laid.left_over]
