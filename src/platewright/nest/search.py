"""Looking for a good nest: the same parts laid in many orders.

The order of parts, what makes a place good, and the order of stock are tried in many ways: some
good beginnings, then chance changes of the best that was found. The same seed gives the same nest.
"""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product

from platewright.errors import NestError
from platewright.geometry.plane import Bounds
from platewright.nest.laying import LIKINGS, Bin, Plan, laid_out
from platewright.nest.layout import NestPart, NestRules, Sheet, Spot
from platewright.nest.problem import Problem
from platewright.plate.told import both_units
from platewright.units import format_length

#: The sheets used, each by its index, and what lies on it.
Layout = list[tuple[int, list[Spot]]]

#: Share of the changes that try to empty the emptiest sheet.
_SAVING = 0.4


@dataclass(frozen=True, slots=True)
class Trial:
    """A plan carried out: how good it is, its sheets, the parts that found no room."""

    plan: Plan
    rank: tuple[float, ...]
    bins: list[Bin]
    homeless: list[int]


def best_layout(parts: Sequence[NestPart], sheets: Sequence[Sheet], rules: NestRules) -> Layout:
    """The best layout found. Raises NestError for parts that find no room."""
    problem = Problem(parts, sheets, rules)
    _require_fits(problem)
    best = _best(problem, rules)
    _require_homes(problem, best.homeless)
    return [(each.sheet, each.spots) for each in best.bins]


def _best(problem: Problem, rules: NestRules) -> Trial:
    beginnings = _beginnings(problem)[: max(1, rules.tries)]
    best = min((_tried(problem, plan) for plan in beginnings), key=lambda trial: trial.rank)
    chance = random.Random(rules.seed)
    for _ in range(rules.tries - len(beginnings)):
        trial = _tried(problem, _changed(problem, best, chance))
        # one as good is taken too: from there a better one may be near
        best = trial if trial.rank <= best.rank else best
    return best


def _tried(problem: Problem, plan: Plan) -> Trial:
    bins, homeless = laid_out(problem, plan)
    return Trial(plan, _rank(problem, bins, homeless), bins, homeless)


def _beginnings(problem: Problem) -> list[Plan]:
    """Big parts first, long ones first, wide ones first; by each liking; on stock in each order."""
    boxes = [problem.shapes[turns[0][1]].box for turns in problem.turned]
    areas = [part.piece.blank.area for part in problem.parts]
    measures = (
        areas,
        [max(box.width, box.height) for box in boxes],
        [min(box.width, box.height) for box in boxes],
    )
    copies = [i for i, part in enumerate(problem.parts) for _ in range(part.count)]
    orders = [tuple(sorted(copies, key=lambda i: (-sizes[i], i))) for sizes in measures]
    askew = any(len(turns) > 4 for turns in problem.turned)
    kinds = product(
        (True, False)[: 1 + askew],
        range(len(LIKINGS)),
        dict.fromkeys(orders),
        _stock_orders(problem.sheets),
    )
    return [Plan(order, liking, stock, square) for square, liking, order, stock in kinds]


def _stock_orders(sheets: Sequence[Sheet]) -> list[tuple[int, ...]]:
    """Remnants before new sheets; each sort from the largest down, from the smallest up."""
    falling = sorted(range(len(sheets)), key=lambda i: (not sheets[i].remnant, -sheets[i].area, i))
    rising = sorted(range(len(sheets)), key=lambda i: (not sheets[i].remnant, sheets[i].area, i))
    return list(dict.fromkeys((tuple(falling), tuple(rising))))


def _changed(problem: Problem, best: Trial, chance: random.Random) -> Plan:
    """A plan with one or two chance changes."""
    plan = _from_emptiest(best, chance) if chance.random() < _SAVING else best.plan
    for _ in range(chance.choice((1, 1, 2)) if plan is best.plan else chance.choice((0, 0, 1))):
        plan = chance.choice((_moved_up, _swapped, _held, _liked))(problem, plan, chance)
    return plan


def _from_emptiest(best: Trial, chance: random.Random) -> Plan:
    """A part of the sheet with the fewest parts laid earlier, so that the sheet may be saved."""
    emptiest = min(best.bins, key=lambda each: len(each.spots))
    part = chance.choice(emptiest.spots).part if emptiest.spots else best.plan.order[0]
    order = list(best.plan.order)
    at = max(i for i, other in enumerate(order) if other == part)
    order.insert(chance.randrange(at + 1), order.pop(at))
    return replace(best.plan, order=tuple(order))


def _moved_up(_: Problem, plan: Plan, chance: random.Random) -> Plan:
    """One part laid earlier or later."""
    order = list(plan.order)
    part = order.pop(chance.randrange(len(order)))
    order.insert(chance.randrange(len(order) + 1), part)
    return replace(plan, order=tuple(order))


def _swapped(_: Problem, plan: Plan, chance: random.Random) -> Plan:
    """Two parts change places in the order."""
    order = list(plan.order)
    i, j = chance.randrange(len(order)), chance.randrange(len(order))
    order[i], order[j] = order[j], order[i]
    return replace(plan, order=tuple(order))


def _held(problem: Problem, plan: Plan, chance: random.Random) -> Plan:
    """One part held to one turn, or let go."""
    held = dict(plan.held)
    place = chance.randrange(len(plan.order))
    if held.pop(place, None) is None:
        turns = problem.turns(plan.order[place], square=plan.square)
        held[place] = chance.randrange(len(turns))
    return replace(plan, held=tuple(sorted(held.items())))


def _liked(_: Problem, plan: Plan, chance: random.Random) -> Plan:
    """Another liking."""
    return replace(plan, liking=chance.randrange(len(LIKINGS)))


def _rank(problem: Problem, bins: Sequence[Bin], homeless: Sequence[int]) -> tuple[float, ...]:
    """How good a layout is, less is better.

    Parts left over; new sheets, all sheets, their area; the metal on the emptiest, which may yet
    be saved; the sum of the boxes round what is laid.
    """
    sheets = [problem.sheets[each.sheet] for each in bins]
    metal = [
        math.fsum(problem.parts[spot.part].piece.blank.area for spot in each.spots) for each in bins
    ]
    boxes = math.fsum(each.box.width * each.box.height for each in bins if each.box)
    return (
        len(homeless),
        sum(not sheet.remnant for sheet in sheets),
        len(sheets),
        round(math.fsum(sheet.area for sheet in sheets), 3),
        round(min(metal, default=0.0), 3),
        round(boxes, 3),
    )


# --- refusing ---------------------------------------------------------------------------------


def _require_fits(problem: Problem) -> None:
    """Raises NestError naming every part that fits no sheet at all."""
    lost = [
        part.piece
        for index, part in enumerate(problem.parts)
        if not any(problem.goes_on(index, sheet) for sheet in range(len(problem.sheets)))
    ]
    if lost:
        raise NestError(
            "\n".join(_too_large(piece.name, piece.blank.bounds) for piece in lost)
            + f"\nThe stock: {', '.join(sheet.name for sheet in problem.sheets)}; "
            f"margin {both_units(problem.rules.margin)}. Nothing was written"
        )


def _too_large(name: str, box: Bounds) -> str:
    inches = f"{format_length(box.width, 'in')} x {format_length(box.height, 'in')}"
    mm = f"{box.width:.0f} x {box.height:.0f} mm"
    return f"{name}: its blank, {inches} ({mm}), fits none of the stock in any turn it may take"


def _require_homes(problem: Problem, homeless: Sequence[int]) -> None:
    if not homeless:
        return
    left = Counter(problem.parts[part].piece.name for part in homeless)
    words = ", ".join(f"{count} x {name}" for name, count in left.items())
    raise NestError(
        f"the stock is used up and these have no place: {words}. Give another --sheet or a "
        "larger remnant. Nothing was written"
    )
