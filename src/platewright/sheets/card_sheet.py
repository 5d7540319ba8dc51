"""The card pattern: the same bracket as a mock-up, and how its blank differs from the plate's.

Card folds sharp and uses no length in a bend; plate does. Both come to the same folded sizes, from
blanks that are not the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from platewright.drawing.flow import Strip, heading, paragraph
from platewright.drawing.insets import Inset
from platewright.drawing.items import Page
from platewright.drawing.style import BEND
from platewright.drawing.table import Cell, Column, Table, Words, table_strips
from platewright.plate.bracket import Bracket
from platewright.plate.piece import Piece
from platewright.sheets.figures import other_unit, reading, tape_divisions
from platewright.sheets.legend import (
    MEANINGS,
    legend_inset,
    view_inset,
)
from platewright.sheets.paper import PaperChoice
from platewright.sheets.pattern import stock_words, top_pattern
from platewright.sheets.rows import flat_rows
from platewright.sheets.template import (
    pair_block,
    pair_view,
    pattern_pages,
    side_by_side,
    title_block,
    turned_to_fit,
)
from platewright.units import Unit, format_length

SHEET = "CARD PATTERN, full scale: for the mock-up, not for the plate"
"""What every page of the card pattern is called."""

_USE = (
    "Glue it on card, cut out, crease the thin lines and fold. Fit the mock-up in its place. "
    "Mark the plate from the plate's own pattern: its bends use metal, these do not."
)
_MEANINGS = tuple(
    (style, "bend line: crease, then fold as written on it" if style is BEND else words)
    for style, words in MEANINGS
)
_WORTH = 0.4  # mm: differences that a tape hardly shows are not told


def card_pages(
    card: Piece,
    unit: Unit,
    paper: PaperChoice,
    finished: Bracket | None = None,
    gauges: Sequence[Inset] = (),
) -> tuple[Page, ...]:
    """The whole card pattern of a piece whose bracket is built in card.

    `finished` is the bracket to show folded, the plate's own: card may be too thin to draw.
    `gauges` are what is cut of card besides.
    """
    card, turn = turned_to_fit(card, unit, paper)
    pattern = top_pattern(card, unit)
    folded = (view_inset(finished, turn),) if finished and card.blank.bends else ()
    insets = (*folded, legend_inset(pattern.ink, _MEANINGS))
    block = title_block(card, pattern, SHEET, stock_words(card, unit))
    return pattern_pages(pattern, paper, block, insets, _USE, gauges)


def card_pair(
    cards: tuple[Piece, Piece],
    unit: Unit,
    paper: PaperChoice,
    finished: Sequence[Bracket],
    gauges: Sequence[Inset] = (),
) -> tuple[Page, ...]:
    """The card patterns of both hands side by side; none where that saves no page."""
    beside = side_by_side(*cards, top_pattern, unit, paper)
    if beside is None:
        return ()
    pattern, laid = beside
    folded = (pair_view(*each) for each in zip(laid, finished, strict=True) if each[0].blank.bends)
    insets = (legend_inset(pattern.ink, _MEANINGS), *folded)
    block = pair_block(title_block(laid[0], pattern, SHEET, stock_words(laid[0], unit)))
    return pattern_pages(pattern, paper, block, insets, _USE, gauges)


def card_strips(card: Piece, plate: Piece, unit: Unit, width: float) -> tuple[Strip, ...]:
    """How the plate's blank differs from the card's, in numbers; `width` is the column's, mm.

    None for a piece without bends, whose two patterns are one.
    """
    rows = tuple(_rows(card, plate, unit))
    if not rows:
        return ()
    columns = (
        Column(heading="measure", width=78),
        Column(heading=f"card, {unit}", width=27, along="right"),
        Column(heading=f"plate, {unit}", width=27, along="right"),
        Column(heading=f"card, {other_unit(unit)}", width=24, along="right"),
        Column(heading=f"plate, {other_unit(unit)}", width=24, along="right"),
        Column(heading="plate less card", width=32, along="right"),
    )
    moved = tuple(_moved(card, plate, unit))
    alike = (
        "to the same sizes, but for the holes that are told as moved"
        if moved
        else ("to the same sizes")
    )
    words = (
        "Card folds sharp; in plate the bends themselves use metal. Folded, both come "
        f"{alike}. Never mark plate from the card pattern."
    )
    rows = (*moved, *rows)
    table = Table(columns=columns, rows=rows).fitted(width)
    return (
        *heading("Card and plate are two blanks", width),
        *paragraph(words, width),
        *table_strips(table),
    )


def _moved(card: Piece, plate: Piece, unit: Unit) -> Iterator[tuple[Cell, ...]]:
    """Holes that stand otherwise to another hole of their panel on the plate than on the card.

    So does one that is measured from another face of a bend than its panel is drawn to.
    """
    for panel in plate.bracket.root.walk():
        on_card = {hole.what: hole.centre for hole in card.bracket.panel(panel.name).holes}
        first = next(iter(panel.holes), None)
        for hole in panel.holes:
            if first is None or not {hole.what, first.what} <= on_card.keys():
                continue
            plate_way = hole.centre - first.centre
            card_way = on_card[hole.what] - on_card[first.what]
            if (plate_way - card_way).length >= _WORTH:
                words = f"{first.what} to {hole.what}: moved"
                yield _row(words, card_way.length, plate_way.length, unit, critical=True)


def _rows(card: Piece, plate: Piece, unit: Unit) -> Iterator[tuple[Cell, ...]]:
    in_card = {row.words: row.value for row in flat_rows(card).rows if not row.angle}
    for row in flat_rows(plate).rows:
        value = in_card.get(row.words)
        if value is None or abs(row.value - value) < _WORTH:
            continue
        yield _row(row.words, value, row.value, unit, critical=row.critical)


def _row(words: str, card: float, plate: float, unit: Unit, *, critical: bool) -> tuple[Cell, ...]:
    divisions, units = tape_divisions(flat=True, critical=critical), (unit, other_unit(unit))
    figures = [reading(v, u, divisions) for u in units for v in (card, plate)]
    more = plate - card
    told = f"{'+' if more > 0 else '-'} {format_length(abs(more), unit)}"
    return (words, *figures, Words(told, "bold"))
