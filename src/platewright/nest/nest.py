"""Nesting: parts laid on sheets and remnants of stock, as few as can be found.

Parts are laid by their true outlines. The gap is the metal that is left standing between what the
torch burns round one part and round the next, kerf and leads counted. Whatever was found is proved
on the exact outlines before it is given; what does not stand the proof gives way to the next best.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from platewright.errors import NestError
from platewright.geometry.plane import ORIGIN, Bounds, Motion, Point
from platewright.nest.layout import (
    Laid,
    Nest,
    NestedSheet,
    NestPart,
    NestRules,
    NestSpot,
    Sheet,
)
from platewright.nest.nofit import turn_motion
from platewright.nest.proof import require_proof
from platewright.nest.search import Layout, Watch, best_layouts


def nest(
    parts: Sequence[NestPart],
    sheets: Sequence[Sheet],
    rules: NestRules,
    watch: Watch = lambda _share, _count, _reached: None,
) -> Nest:
    """Lay all copies of all parts, which are of one stock, on as few sheets as can be found.

    Remnants are used before new sheets. Raises NestError for a part that fits no sheet in any
    turn it may take, for sheets that are too few, and when no layout stands the proof.
    `watch` is told of every try. A KeyboardInterrupt ends the search: the best that was found
    until then is given.
    """
    # about its middle a part turns in one place: what the search keeps for all turns is small
    middles = [part.piece.blank.bounds.centre for part in parts]
    parts = [
        _moved(part, Motion.translation(ORIGIN - middle))
        for part, middle in zip(parts, middles, strict=True)
    ]
    layouts, stopped = best_layouts(parts, sheets, rules, watch)
    nested, turned_down = _proved(parts, sheets, rules, layouts)
    metal = math.fsum(part.piece.blank.area * part.count for part in parts)
    return Nest(
        stock=parts[0].piece.bracket.stock,
        sheets=nested,
        least=math.ceil(metal / max(sheet.area for sheet in sheets) - 1e-9),
        stopped=stopped,
        turned_down=turned_down,
    )


def _proved(
    parts: Sequence[NestPart], sheets: Sequence[Sheet], rules: NestRules, layouts: Sequence[Layout]
) -> tuple[tuple[NestedSheet, ...], int]:
    """The first of some layouts that stands the proof, and how many did not.

    Raises NestError that says what is wrong with the first when none does.
    """
    reasons: list[NestError] = []
    for layout in layouts:
        laid = [[_laid(parts, spot) for spot in spots] for _, spots in layout]
        nested = _counted(
            NestedSheet(
                number=number, sheet=sheets[index], laid=in_cutting_order(copies), gap=rules.gap
            )
            for number, ((index, _), copies) in enumerate(zip(layout, laid, strict=True), 1)
        )
        try:
            for each in nested:
                require_proof(each, rules)
        except NestError as error:
            reasons.append(error)
        else:
            return nested, len(reasons)
    raise reasons[0]


def _laid(parts: Sequence[NestPart], spot: NestSpot) -> Laid:
    motion = Motion.translation(spot.shift) @ turn_motion(spot.turn)
    part = _moved(parts[spot.part], motion)
    return Laid(piece=part.piece, torch=part.torch, copy=1, turn=spot.turn)


def _moved(part: NestPart, motion: Motion) -> NestPart:
    piece = part.piece
    moved = replace(
        piece,
        blank=piece.blank.moved(motion),
        drawing_from_bracket=motion @ piece.drawing_from_bracket,
    )
    return replace(part, piece=moved, torch=part.torch.moved(motion))


def _counted(sheets: Iterable[NestedSheet]) -> tuple[NestedSheet, ...]:
    """The copies of each piece numbered from 1 through all sheets in cutting order."""
    seen: dict[str, int] = {}

    def numbered(each: Laid) -> Laid:
        seen[each.piece.name] = seen.get(each.piece.name, 0) + 1
        return replace(each, copy=seen[each.piece.name])

    return tuple(replace(sheet, laid=tuple(map(numbered, sheet.laid))) for sheet in sheets)


# --- the order of cutting ---------------------------------------------------------------------


def in_cutting_order(laid: Sequence[Laid], start: Point = ORIGIN) -> tuple[Laid, ...]:
    """The parts in cutting order, from the sheet's corner at the origin.

    Part by part, the nearest first pierce next, so that nothing is cut in metal that has come
    loose; what lies in the hole of another part is cut before that hole falls out.
    """

    def reach(each: Laid) -> tuple[float, float, float]:
        """How far the torch goes to begin a part; its place, so that no tie is left to chance."""
        first = each.torch.cuts[0].pierce
        return round(first.distance(start), 6), first.x, first.y

    left = list(laid)
    # what has a corner within what is cut round another lies in its hole
    starts = [each.piece.blank.outline.segments[0].start for each in laid]
    places = [(each, at, Bounds.of(at)) for each, at in zip(laid, starts, strict=True)]
    guests = {}
    for host in laid:
        last = host.torch.cuts[-1].path
        box = last.bounds
        guests[id(host)] = [
            guest
            for guest, at, its_box in places
            if guest is not host and box.meets(its_box) and last.contains(at)
        ]
    ordered: list[Laid] = []
    while left:
        waiting = {id(each) for each in left}
        free = [e for e in left if not any(id(guest) in waiting for guest in guests[id(e)])]
        chosen = min(free or left, key=reach)
        left.remove(chosen)
        ordered.append(chosen)
        start = chosen.torch.cuts[-1].finish
    return tuple(ordered)
