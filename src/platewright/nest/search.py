"""Looking for a good nest: good beginnings, chance changes of them, then a search through overlap.

The order of parts, what makes a place good, and the order of stock are tried in many ways. The best
of them is made closer where that pays: what is left of the last sheet in one piece grows, until the
sheet is saved or the moves are spent. The same seed gives the same nest.
"""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import islice, product

from platewright.errors import NestError
from platewright.geometry.plane import Bounds, Vector
from platewright.nest.laying import LIKINGS, Bin, Plan, laid_out
from platewright.nest.layout import NestPart, NestRules, NestSpot, Sheet, clear_rectangle
from platewright.nest.overlap import Lying, tightened
from platewright.nest.problem import Problem
from platewright.units import both_units, format_length

#: The sheets used, each by its index, and what lies on it; the sheet to be saved comes last.
Layout = list[tuple[int, list[NestSpot]]]

#: Told of every try: the share of the work that is done; of the best layout so far, how many sheets
#: it takes and how much of the last one's longer side, mm.
Watch = Callable[[float, int, float], None]

#: Of the tries, so many lay part by part: what begins the search through overlap. On stock that it
#: does not search, as many as come to so many parts laid.
_BEGINNINGS, _PARTS_LAID = 4, 6
#: Moves of the search through overlap for each try, and the share of the work that it is.
_MOVES, _SHARE = 130, 0.8
#: Share of the changes that try to empty the emptiest sheet.
_SAVING = 0.4


@dataclass(frozen=True, slots=True)
class Trial:
    """A plan carried out: how good it is, its sheets, the parts that found no room."""

    plan: Plan
    rank: tuple[float, ...]
    bins: list[Bin]
    homeless: list[int]


@dataclass(slots=True)
class _Best:
    """The best layout found so far, those it took the place of, and who is told of it."""

    problem: Problem
    watch: Watch
    rank: tuple[float, ...] = ()
    layouts: list[Layout] = field(default_factory=list)
    homeless: list[int] = field(default_factory=list)

    def offer(self, share: float, layout: Layout, homeless: Sequence[int] = ()) -> None:
        """Take a layout when it is better; `share` of the work is done."""
        layout = _last_at_end(self.problem, layout)
        rank = _rank(self.problem, layout, homeless)
        if not self.rank or rank < self.rank:
            if len(homeless) < len(self.homeless):
                self.layouts.clear()
            self.rank, self.homeless = rank, list(homeless)
            self.layouts.append(layout)
        self.watch(share, int(self.rank[2]), self.rank[4])


def best_layouts(
    parts: Sequence[NestPart],
    sheets: Sequence[Sheet],
    rules: NestRules,
    watch: Watch,
) -> tuple[list[Layout], bool]:
    """The best layout found, then those it took the place of; whether the search was broken off.

    Raises NestError for parts that find no room, KeyboardInterrupt before there is any layout.
    """
    problem = Problem(parts, sheets, rules)
    _require_fits(problem)
    best, stopped = _Best(problem, watch), False
    try:
        _laid_part_by_part(problem, best)
        if not best.homeless:
            _closer(problem, best.layouts[-1], best)
    except KeyboardInterrupt:
        if not best.layouts or best.homeless:
            raise
        stopped = True
    _require_homes(problem, best.homeless)
    return best.layouts[::-1], stopped


def _laid_part_by_part(problem: Problem, best: _Best) -> None:
    """Some tries, each part laid where it likes best: beginnings, and chance changes of them."""
    rules, count = problem.rules, sum(part.count for part in problem.parts)
    more = 0 if all(room.free for room in problem.rooms) else _PARTS_LAID * rules.tries // count
    tries = min(rules.tries, max(_BEGINNINGS, more))
    chance = random.Random(rules.seed)
    first, *beginnings = islice(_beginnings(problem), max(1, tries // 2))
    kept = _tried(problem, first)
    best.offer((1 - _SHARE) / tries, _laid(kept.bins), kept.homeless)
    for number in range(2, tries + 1):
        plan = beginnings.pop(0) if beginnings else _changed(problem, kept, chance)
        trial = _tried(problem, plan)
        # one as good is taken too: from there a better one may be near
        kept = trial if trial.rank <= kept.rank else kept
        best.offer((1 - _SHARE) * number / tries, _laid(trial.bins), trial.homeless)


def _laid(bins: Sequence[Bin]) -> Layout:
    return [(each.sheet, each.spots) for each in bins]


def _tried(problem: Problem, plan: Plan) -> Trial:
    bins, homeless = laid_out(problem, plan)
    layout = _last_at_end(problem, _laid(bins))
    return Trial(plan, _rank(problem, layout, homeless), bins, homeless)


def _closer(problem: Problem, layout: Layout, best: _Best) -> None:
    """Search through overlap on the upright sheets; what lies on others stays where it is."""
    moved = [each for each in layout if problem.rooms[each[0]].free]
    kept = [each for each in layout if not problem.rooms[each[0]].free]
    if not moved or moved[-1] is not layout[-1] or sum(len(spots) for _, spots in moved) < 2:
        return
    lying = [
        Lying(problem.index[spot.part, spot.turn], bin_, spot.shift.x, spot.shift.y)
        for bin_, (_, spots) in enumerate(moved)
        for spot in spots
    ]

    def better(found: list[Lying], share: float) -> None:
        spots: list[list[NestSpot]] = [[] for _ in moved]
        for each in found:
            turned = problem.no_fit.turned[each.shape]
            spots[each.bin].append(NestSpot(turned.kind, turned.turn, Vector(each.x, each.y)))
        filled = [(sheet, on) for (sheet, _), on in zip(moved, spots, strict=True) if on]
        best.offer(1 - _SHARE * (1 - share), [*kept, *filled])

    rooms = [problem.rooms[sheet].box for sheet, _ in moved]
    tightened(problem, lying, rooms, _MOVES * problem.rules.tries, better)


# --- plans ------------------------------------------------------------------------------------


def _beginnings(problem: Problem) -> Iterator[Plan]:
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
    # remnants before new sheets; each sort from the largest down, then from the smallest up
    sheets = list(enumerate(problem.sheets))
    falling = sorted(sheets, key=lambda each: (not each[1].remnant, -each[1].area, each[0]))
    rising = sorted(sheets, key=lambda each: (not each[1].remnant, each[1].area, each[0]))
    stocks = dict.fromkeys(tuple(i for i, _ in order) for order in (falling, rising))
    kinds = product(
        (True, False)[: 1 + askew],
        range(len(LIKINGS)),
        dict.fromkeys(orders),
        stocks,
    )
    return (Plan(order, liking, stock, square) for square, liking, order, stock in kinds)


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


# --- ranking ----------------------------------------------------------------------------------


def _rank(problem: Problem, layout: Layout, homeless: Sequence[int]) -> tuple[float, ...]:
    """How good a layout is, less is better.

    Parts left over; new sheets, all sheets, their area; what of the last sheet is not left in one
    rectangle, as a length of the sheet's longer side; the sum of the boxes round what is laid.
    """
    sheets = [problem.sheets[sheet] for sheet, _ in layout]
    boxes = [Bounds.around([problem.burnt_box(spot) for spot in spots]) for _, spots in layout]
    reached = 0.0
    if layout:
        sheet, spots = problem.sheets[layout[-1][0]], layout[-1][1]
        burnt = [problem.burnt_box(spot).grown(problem.rules.gap) for spot in spots]
        rest, whole = clear_rectangle(sheet, burnt), sheet.bounds
        left = rest.width * rest.height if rest else 0.0
        reached = (whole.width * whole.height - left) / min(whole.width, whole.height)
    return (
        len(homeless),
        sum(not sheet.remnant for sheet in sheets),
        len(sheets),
        round(math.fsum(sheet.area for sheet in sheets), 3),
        round(reached, 3),
        round(math.fsum(box.width * box.height for box in boxes), 3),
    )


def _last_at_end(problem: Problem, layout: Layout) -> Layout:
    """The new sheet with the least metal last: it may yet be saved."""
    if not layout:
        return layout
    metal = [
        math.fsum(problem.parts[spot.part].piece.blank.area for spot in spots)
        for _, spots in layout
    ]
    last = min(
        range(len(layout)),
        key=lambda i: (problem.sheets[layout[i][0]].remnant, round(metal[i], 3), -i),
    )
    return [*layout[:last], *layout[last + 1 :], layout[last]]


# --- refusing ---------------------------------------------------------------------------------


def _require_fits(problem: Problem) -> None:
    """Raises NestError naming every part that fits no sheet at all."""
    lost = [
        part.piece
        for index, part in enumerate(problem.parts)
        if not any(problem.goes_on(index, sheet) for sheet in range(len(problem.sheets)))
    ]
    if lost:
        told = []
        for piece in lost:
            box = piece.blank.bounds
            inches = f"{format_length(box.width, 'in')} x {format_length(box.height, 'in')}"
            told.append(
                f"{piece.name}: its blank, {inches} ({box.width:.0f} x {box.height:.0f} mm), fits "
                "none of the stock in any turn it may take\n"
            )
        raise NestError(
            "".join(told) + f"The stock: {', '.join(sheet.name for sheet in problem.sheets)}; "
            f"margin {both_units(problem.rules.margin)}. Nothing was written"
        )


def _require_homes(problem: Problem, homeless: Sequence[int]) -> None:
    if not homeless:
        return
    left = Counter(problem.parts[part].piece.name for part in homeless)
    words = ", ".join(f"{count} x {name}" for name, count in left.items())
    raise NestError(
        f"the stock is used up and these have no place: {words}. Give another --sheet or a "
        "larger remnant. Nothing was written"
    )
