"""Laying parts one after another, each at the best place that is free for it.

A part goes to the first open sheet that has room, at the place and in the turn that a liking ranks
first; when none has room the next sheet is opened.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from platewright.geometry.plane import Bounds, Vector
from platewright.nest.layout import NestSpot
from platewright.nest.nofit import XY, Column, Packing
from platewright.nest.problem import Problem

#: Places that differ by less are alike, so that chance rounding decides nothing: digits of a mm.
_ALIKE = 6


@dataclass(frozen=True, slots=True)
class Spread:
    """Boxes as columns: near and far edges along the sheet's longer side and across it."""

    near: Column
    across_near: Column
    far: Column
    across_far: Column


#: What makes a place good: (boxes of the part, boxes of all that lies there, the room's box) ->
#: columns to rank by.
Liking = Callable[[Spread, Spread, Spread], tuple[Column, ...]]


def _outermost(part: Spread, _: Spread, room: Spread) -> tuple[Column, ...]:
    """Near the corners of the room, then near its edges, the middle last."""

    def less(a: Column, b: Column) -> Column:
        return (a + b - abs(a - b)) / 2

    along = less(part.near - room.near, room.far - part.far)
    across = less(part.across_near - room.across_near, room.across_far - part.across_far)
    return (along + across, part.far, part.across_far)


LIKINGS: tuple[Liking, ...] = (
    # as little of the sheet's length as can be, then of its width
    lambda part, _laid, _room: (part.far, part.across_far),
    # near the sheet's end, then near its side, by the part's near edges
    lambda part, _laid, _room: (part.near, part.across_near),
    # the smallest box round all that lies there, then the shortest strip
    lambda part, laid, _room: (
        (laid.far - laid.near) * (laid.across_far - laid.across_near),
        part.far,
        part.across_far,
    ),
    # as little of the sheet's width as can be, then of its length
    lambda part, _laid, _room: (part.across_far, part.far),
    _outermost,
)


@dataclass(frozen=True, slots=True)
class Plan:
    """One way to lay: the parts' indices in order, a liking, the order of stock.

    `square` keeps to the turns that leave upright edges upright; `held` holds a part's place in
    the order to one of its turns.
    """

    order: tuple[int, ...]
    liking: int
    stock: tuple[int, ...]
    square: bool = True
    held: tuple[tuple[int, int], ...] = ()


Turn = tuple[float, int]
"""A turn in radians and the index of the shape turned so."""


@dataclass(frozen=True, slots=True, order=True)
class Choice:
    """A place for a part: its rank, the index of the turned shape, its shift, its turn."""

    rank: tuple[float, ...]
    shape: int
    at: XY
    turn: float


@dataclass(slots=True)
class Bin:
    """A sheet being filled; `full` are the parts, each in some turns, that it has no room for."""

    sheet: int
    packing: Packing
    spots: list[NestSpot] = field(default_factory=list)
    full: set[tuple[int, tuple[Turn, ...]]] = field(default_factory=set)
    box: Bounds | None = None

    @property
    def lying(self) -> bool:
        """Whether the sheet is longer along x."""
        return self.packing.room.box.width >= self.packing.room.box.height


def laid_out(problem: Problem, plan: Plan) -> tuple[list[Bin], list[int]]:
    """The sheets as a plan fills them, and the parts that found no room."""
    bins: list[Bin] = []
    homeless: list[int] = []
    held = dict(plan.held)
    for place, part in enumerate(plan.order):
        if not _find_home(problem, plan, bins, part, held.get(place)):
            homeless.append(part)
    return bins, homeless


def _find_home(problem: Problem, plan: Plan, bins: list[Bin], part: int, held: int | None) -> bool:
    """Lay a part on an open sheet, or on a new one; a turn held to must not cost a new sheet."""
    turns = problem.turns(part, square=plan.square)
    if held is not None and _lay_on_any(problem, plan, bins, part, (turns[held % len(turns)],)):
        return True
    if _lay_on_any(problem, plan, bins, part, turns):
        return True
    for sheet in plan.stock:
        count = problem.sheets[sheet].count
        if count is not None and sum(each.sheet == sheet for each in bins) >= count:
            continue
        fresh = Bin(sheet, Packing(problem.rooms[sheet], problem.no_fit))
        # a part that fits a sheet only askew must have its turn
        if _lay_on_any(problem, plan, [fresh], part, turns) or _lay_on_any(
            problem, plan, [fresh], part, problem.turns(part, square=False)
        ):
            bins.append(fresh)
            return True
    return False


def _lay_on_any(
    problem: Problem, plan: Plan, bins: list[Bin], part: int, turns: tuple[Turn, ...]
) -> bool:
    return any(_lay(problem, plan, each, part, turns) for each in bins)


def _lay(problem: Problem, plan: Plan, into: Bin, part: int, turns: tuple[Turn, ...]) -> bool:
    """Lay a part at the best place in a sheet, if there is any."""
    if (part, turns) in into.full:
        return False
    # the best place in each turn
    choices = []
    for turn, shape in turns:
        xs, ys = into.packing.places(shape)
        if len(xs):
            ranks = _ranks(LIKINGS[plan.liking], into, problem.shapes[shape].box, xs, ys)
            best = _first(ranks)
            rank = tuple(float(column[best]) for column in ranks)
            choices.append(Choice(rank, shape, (float(xs[best]), float(ys[best])), turn))
    if not choices:
        into.full.add((part, turns))
        return False
    chosen = min(choices)
    into.packing.lay(chosen.shape, chosen.at)
    into.spots.append(NestSpot(part, chosen.turn, Vector(*chosen.at)))
    box, (x, y) = problem.shapes[chosen.shape].box, chosen.at
    laid = Bounds(box.xmin + x, box.ymin + y, box.xmax + x, box.ymax + y)
    into.box = laid if into.box is None else into.box.union(laid)
    return True


def _ranks(liking: Liking, into: Bin, box: Bounds, xs: Column, ys: Column) -> list[Column]:
    """How a part ranks at each of some shifts, less is better."""
    laid = into.box or Bounds(math.inf, math.inf, -math.inf, -math.inf)
    left, low, right, high = box.xmin + xs, box.ymin + ys, box.xmax + xs, box.ymax + ys
    whole = (
        left.clip(max=laid.xmin),
        low.clip(max=laid.ymin),
        right.clip(min=laid.xmax),
        high.clip(min=laid.ymax),
    )
    room = into.packing.room.box
    spreads = (
        Spread(x, y, far_x, far_y) if into.lying else Spread(y, x, far_y, far_x)
        for x, y, far_x, far_y in (
            (left, low, right, high),
            whole,
            (room.xmin, room.ymin, room.xmax, room.ymax),
        )
    )
    return [column.round(_ALIKE) for column in liking(*spreads)]


def _first(ranks: Sequence[Column]) -> int:
    """The index of the least by the first column, among equals by the next, and so on."""
    least = ranks[0] == ranks[0].min()
    for column in ranks[1:]:
        least &= column == column[least].min()
    return int(least.argmax())
