"""Nesting: parts laid on sheets and remnants of stock, as few as can be found.

Parts are laid by their true outlines. The gap is kept between outlines; leads of the torch count
as part of the metal, so that no pierce stands in a neighbour.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from platewright.errors import NestError
from platewright.geometry.plane import Motion
from platewright.plate.told import both_units
from platewright.shop.nest_layout import (
    Laid,
    Nest,
    NestedSheet,
    NestPart,
    NestRules,
    Sheet,
    Spot,
    turn_motion,
)
from platewright.shop.nest_order import in_cutting_order
from platewright.shop.nest_search import best_layout


def nest(parts: Sequence[NestPart], sheets: Sequence[Sheet], rules: NestRules) -> Nest:
    """Lay all copies of all parts, which are of one stock, on as few sheets as can be found.

    Remnants are used before new sheets. Raises NestError for a part that fits no sheet in any
    turn it may take, for sheets that are too few, and for a gap that the torch would burn away.
    """
    _require_gap(parts, rules)
    layout = best_layout(parts, sheets, rules)
    laid = [[_laid(parts, spot) for spot in spots] for _, spots in layout]
    nested = tuple(
        NestedSheet(
            number=number, sheet=sheets[index], laid=in_cutting_order(copies), gap=rules.gap
        )
        for number, ((index, _), copies) in enumerate(zip(layout, laid, strict=True), 1)
    )
    return Nest(
        stock=parts[0].piece.bracket.stock, sheets=_counted(nested), least=_least(parts, sheets)
    )


def _require_gap(parts: Sequence[NestPart], rules: NestRules) -> None:
    kerf = max(part.torch.kerf for part in parts)
    if rules.gap < kerf:
        raise NestError(
            f"a gap of {both_units(rules.gap)} is narrower than the kerf, {both_units(kerf)}: "
            "the torch would cut into the next part"
        )


def _laid(parts: Sequence[NestPart], spot: Spot) -> Laid:
    part = parts[spot.part]
    motion = Motion.translation(spot.shift) @ turn_motion(spot.turn)
    piece = replace(
        part.piece,
        blank=part.piece.blank.moved(motion),
        drawing_from_bracket=motion @ part.piece.drawing_from_bracket,
    )
    return Laid(piece=piece, torch=part.torch.moved(motion), copy=1, turn=spot.turn)


def _counted(sheets: Sequence[NestedSheet]) -> tuple[NestedSheet, ...]:
    """The copies of each piece numbered from 1 through all sheets in cutting order."""
    seen: dict[str, int] = {}

    def numbered(each: Laid) -> Laid:
        seen[each.piece.name] = seen.get(each.piece.name, 0) + 1
        return replace(each, copy=seen[each.piece.name])

    return tuple(replace(sheet, laid=tuple(map(numbered, sheet.laid))) for sheet in sheets)


def _least(parts: Sequence[NestPart], sheets: Sequence[Sheet]) -> int:
    metal = math.fsum(part.piece.blank.area * part.count for part in parts)
    return math.ceil(metal / max(sheet.area for sheet in sheets) - 1e-9)
