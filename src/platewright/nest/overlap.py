"""Closer layouts by way of overlap: a sheet is made a little shorter, and its parts moved apart.

Parts may lie over each other for a while. How much two of them do is the depth of the penetration:
how far one must shift to be clear of the other, read from their no-fit region. Part by part is
taken up and laid, in the turn and on the sheet, where the depths that it causes add up to least;
what lies over a large part weighs more, as do pairs that keep overlapping, from round to round, so
that the search gets out of every corner (guided local search on penetration depths: Egeblad and
others, 2007; Umetani and others, 2009). The place is looked for on a lattice, where a whole sheet
is one sum of arrays, kept from move to move; then within a step of it, on depths interpolated. What
little overlap is left is pushed apart on the regions themselves (as Imamichi and others, 2009). The
same seed and number of steps give the same layout.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
import shapely

from platewright.geometry.plane import Bounds, Vector
from platewright.nest.nofit import reach
from platewright.nest.problem import Problem

Array = Any
"""An array of numbers."""

Field = tuple[Array, int, int]
"""Depths by steps along x and y, and the first step of their columns and rows."""

#: Steps of the lattice to the side of a square as large as the parts are on average.
_FINE = 13
#: Places within a step that are looked at when a part is laid.
_WITHIN_A_STEP = np.arange(-2, 3) / 2
#: Cells of the lattice that such places lie between, from the one before the first.
_CELLS = np.arange(4)
#: Depths are counted in so many parts of a step.
_PARTS_OF_STEP = 32
#: How much more a pair weighs that overlaps, at least and at most; how fast the others forget.
_LEAST_MORE, _MOST_MORE, _FORGET = 1.1, 1.5, 0.96
#: A pair that weighs less is like any other, which saves work; beyond the most, what else a part
#: lies over would be lost in rounding.
_LIGHTEST, _HEAVIEST = 1.15, 1e5
#: Overlaps that are worth an attempt to push them apart: the deepest, and all a part, in steps.
_DEEPEST, _EACH = 2.0, 0.25
#: Rounds of pushing apart, in which the pushes must become half as many rounds later; the room
#: that they leave between regions, mm.
_ROUNDS, _HALVED, _ROOM = 500, 40, 0.01
#: Overlap that is none, mm: less than what a layout may fall short by.
_NONE = 1e-6
#: Shares of the stock's length: what is taken off at first and at last, by pushing alone, and by
#: pushing when the moves are spent.
_FIRST_CUT, _LAST_CUT, _SQUEEZE, _LEAST_SQUEEZE = 0.01, 0.003, 0.003, 0.0001
#: A last sheet with less than this share of all metal is tried to be saved at once.
_LITTLE = 0.15
#: Rounds without less overlap until a length is given up.
_PATIENCE = 120
#: The share of the parts, the largest first, of which two change places after that.
_LARGE = 0.7


@dataclass(frozen=True, slots=True)
class Lying:
    """A part on a sheet: the index of its turned shape, of its sheet among all, its shift."""

    shape: int
    bin: int
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Stack:
    """Depths, in steps, at which a part in each of its turns lies over a standing shape.

    One row a step along x from `x` on; along a row step by step from `y` on, at each all turns.
    """

    depths: Array
    x: int
    y: int
    width: int
    height: int


@dataclass(slots=True)
class Depths:
    """Penetration depths on the lattice, worked out when they are first asked for, in steps.

    Between places of the lattice they are interpolated, along x and along y.
    """

    problem: Problem
    step: float
    _fields: dict[tuple[int, int, float], Field] = field(default_factory=dict)
    _edges: dict[tuple[int, int], Array] = field(default_factory=dict)
    _numbers: Array = None
    _starts: Array = None
    _sizes: Array = None
    _firsts: Array = None
    _pool: Array = None
    _used: int = 0

    def __post_init__(self) -> None:
        count = len(self.problem.shapes)
        self._numbers = np.full((count, count), -1)
        self._pool = np.zeros(1 << 16, np.float32)
        self._starts, self._sizes = np.zeros(0, np.int64), np.zeros((0, 2))
        self._firsts = np.zeros((0, 2))

    def stack(self, standing: int, part: int) -> Stack:
        """The depths of a part in all its turns over a standing shape."""
        fields = [self._field(standing, shape) for _, shape in self.problem.turned[part]]
        x, y = min(x for _, x, _ in fields), min(y for _, _, y in fields)
        width = max(left + depths.shape[0] for depths, left, _ in fields) - x
        height = max(low + depths.shape[1] for depths, _, low in fields) - y
        whole = np.zeros((width, height, len(fields)), np.float32)
        for turn, (depths, left, low) in enumerate(fields):
            columns = slice(left - x, left - x + depths.shape[0])
            whole[columns, low - y : low - y + depths.shape[1], turn] = np.maximum(depths, 0)
        return Stack(whole.reshape(width, -1), x, y, width, height)

    def over(
        self, standing: Array, at: Array, among: Array, moving: int, places: Array
    ) -> tuple[Array, Array]:
        """Which of some standing shapes a turned shape may lie over, and how deep over each.

        `standing` are indices of turned shapes, `at` their steps, `among` which of them count;
        `places` are the steps along x and along y that are looked at, each row rising by two at
        most. The depths are by standing shape, by place along x, by place along y.
        """
        numbers = self._numbers[moving, standing]
        if numbers.min() < 0:
            for each in standing[numbers < 0].tolist():
                self._keep(each, moving)
            numbers = self._numbers[moving, standing]
        starts, sizes = self._starts[numbers], self._sizes[numbers]
        first = self._firsts[numbers] + at
        meet = (first < places[:, -1]) & (first + sizes - 1 > places[:, 0])
        near = (among & meet[:, 0] & meet[:, 1]).nonzero()[0]
        first, sizes = first[near, :, None], sizes[near, :, None]
        cells = np.floor(places[:, :1] - first) + _CELLS
        shares = np.maximum(1 - abs(places[:, :, None] - (first + cells)[:, :, None]), 0)
        # cells at the border of a field lie outside of its region, as do those beyond it
        columns, rows = (
            np.minimum(np.maximum(cells, 0), sizes - 1).astype(np.int64).transpose(1, 0, 2)
        )
        columns = starts[near, None] + columns * sizes[:, 1].astype(np.int64)
        depths = self._pool[columns[:, :, None] + rows[:, None]]
        return near, np.maximum(shares[:, 0] @ depths @ shares[:, 1].transpose(0, 2, 1), 0)

    def edges(self, standing: int, moving: int) -> Array:
        """The edges of the no-fit region of two turned shapes, as `_edges` gives them."""
        key = (standing, moving)
        if key not in self._edges:
            self._edges[key] = _edges(self.problem.no_fit.beside(standing, moving))
        return self._edges[key]

    def _keep(self, standing: int, moving: int) -> None:
        """Put the depths of one shape over another with those that are interpolated."""
        if self._numbers[moving, standing] >= 0:
            return
        depths, left, low = self._field(standing, moving)
        while self._used + depths.size > len(self._pool):
            self._pool = np.concatenate((self._pool, np.zeros_like(self._pool)))
        self._pool[self._used : self._used + depths.size] = depths.ravel()
        self._numbers[moving, standing] = len(self._starts)
        self._starts = np.append(self._starts, self._used)
        self._sizes = np.vstack((self._sizes, depths.shape))
        self._firsts = np.vstack((self._firsts, (left, low)))
        self._used += depths.size

    def _field(self, standing: int, moving: int) -> Field:
        """The depths of one turned shape over another."""
        no_fit = self.problem.no_fit
        one, other = no_fit.turned[standing], no_fit.turned[moving]
        quarters = _quarters(one.turn)
        if quarters is None:
            return self._reckoned(no_fit.beside(standing, moving))
        return _turned(self._against(one.kind, other.kind, other.turn - one.turn), quarters)

    def _against(self, standing: int, moving: int, turn: float) -> Field:
        """The depths of a shape turned against another that stands as drawn."""
        turn %= math.tau
        key, back = (
            (standing, moving, round(turn, 9)),
            (moving, standing, round(-turn % math.tau, 9)),
        )
        quarters = _quarters(turn)
        if key not in self._fields:
            if back in self._fields and quarters is not None:
                # seen from the other shape every shift is reversed
                self._fields[key] = _turned(self._fields[back], quarters + 2)
            else:
                region = self.problem.no_fit.against(standing, moving, turn)
                self._fields[key] = self._reckoned(region)
        return self._fields[key]

    def _reckoned(self, region: Any) -> Field:
        """Depths within a region; outside of it, for a step all round, distances below zero."""
        left, low, right, high = (edge / self.step for edge in region.bounds)
        columns = np.arange(math.floor(left) - 1, math.ceil(right) + 2)
        rows = np.arange(math.floor(low) - 1, math.ceil(high) + 2)
        x, y, along, up = (_edges(region)[:, :4] / self.step).T[:, :, None, None]
        x, y = columns[:, None] - x, rows - y
        share = np.clip((x * along + y * up) / (along * along + up * up), 0, 1)
        far = (x - share * along) ** 2 + (y - share * up) ** 2
        # whole parts of a step: sums of them are exact, in whatever order they are taken
        deep = np.ceil(np.sqrt(far.min(axis=0)) * _PARTS_OF_STEP) / _PARTS_OF_STEP
        shapely.prepare(region)
        places = np.meshgrid(columns * self.step, rows * self.step, indexing="ij")
        depths = np.where(shapely.contains_xy(region, *places), deep, -np.minimum(deep, 2))
        return depths.astype(np.float32), int(columns[0]), int(rows[0])


def _edges(region: Any) -> Array:
    """The edges of a region, one a row: start and run, x and y, and the end's y, mm."""
    rings = shapely.get_rings(shapely.get_parts(region))
    at, which = shapely.get_coordinates(rings, return_index=True)
    runs = np.diff(at, axis=0)
    # a corner may come twice
    kept = (which[1:] == which[:-1]) & runs.any(axis=1)
    return np.hstack((at[:-1], runs, at[1:, 1:]))[kept]


def _quarters(turn: float) -> int | None:
    """How many quarter turns a turn is, None when it is no whole number of them."""
    quarters = round(turn / (math.pi / 2))
    return quarters % 4 if abs(turn - quarters * math.pi / 2) < 1e-9 else None


def _turned(field_: Field, quarters: int) -> Field:
    """Depths turned about the origin."""
    depths, x, y = field_
    for _ in range(quarters % 4):
        depths, x, y = depths[:, ::-1].T, 1 - y - depths.shape[1], x
    return depths, x, y


# --- parts in each other's way ------------------------------------------------------------------


Place = tuple[int, int, int, int]
"""A turned shape, a room, and whole steps from the room's corner."""


@dataclass(slots=True)
class _Sum:
    """Depths at each place of a sheet, added up over the parts `counted`; its first steps.

    `seen` are the moves that are counted already.
    """

    depths: Array
    x: int
    y: int
    width: int
    height: int
    counted: list[Place | None]
    seen: int = 0

    def add(self, to: Array, stack: Stack, standing: Place, weight: float) -> None:
        """Add depths over a standing shape, so many times, to those at the places of the sheet."""
        depths = stack.depths
        turns = depths.shape[1] // stack.height
        x, y = standing[2] + stack.x - self.x, standing[3] + stack.y - self.y
        right, high = x + stack.width, y + stack.height
        if x < 0 or y < 0 or right > self.width or high > self.height:
            if right <= 0 or high <= 0 or x >= self.width or y >= self.height:
                return
            columns = slice(max(0, -x), stack.width - max(0, right - self.width))
            rows = slice(max(0, -y) * turns, (stack.height - max(0, high - self.height)) * turns)
            depths, x, y = depths[columns, rows], max(0, x), max(0, y)
        window = to[x:right, y * turns : high * turns]
        if weight == 1:
            window += depths
        elif weight == -1:
            window -= depths
        else:
            window += depths * np.float32(weight)


@dataclass(slots=True)
class Crowd:
    """Parts on upright rooms, some of them over each other, being moved apart.

    `parts` are their indices, `shapes` their turned shapes, `bins` the rooms they lie in, `at`
    their steps from the room's corner, not whole ones. `moves` counts how many were taken up and
    laid.
    """

    problem: Problem
    depths: Depths
    parts: list[int]
    chance: random.Random
    rooms: list[Bounds] = field(default_factory=list)
    shapes: Array = None
    bins: Array = None
    at: Array = None
    moves: int = 0
    _sides: Array = None
    _over: Array = None
    _weights: Array = None
    _closest: tuple[Array, Array, Array] | None = None
    _places: list[Place] = field(default_factory=list)
    _moved: list[int] = field(default_factory=list)
    _spans: dict[tuple[int, int], tuple[float, ...]] = field(default_factory=dict)
    _sums: dict[tuple[int, int], _Sum] = field(default_factory=dict)
    _stacks: dict[tuple[int, int], Stack] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._sides = np.array([self._side(part) for part in self.parts])

    def put(self, lying: Sequence[Lying], rooms: list[Bounds]) -> None:
        """Lay the parts in some rooms; those that are off a room are brought in."""
        count, step = len(lying), self.depths.step
        self.rooms, self._spans, self._sums = rooms, {}, {}
        self.shapes = np.array([each.shape for each in lying])
        self.bins = np.array([min(each.bin, len(rooms) - 1) for each in lying])
        self._weights = np.ones((count, count))
        self._over = np.zeros((count, count))
        self.at = np.zeros((count, 2))
        bins = self.bins.tolist()
        for i, (each, bin_) in enumerate(zip(lying, bins, strict=True)):
            room = rooms[bin_]
            left, low, right, high = self._span(each.shape, bin_)
            x, y = (each.x - room.xmin) / step, (each.y - room.ymin) / step
            self.at[i] = max(left, min(x, right)), max(low, min(y, high))
        whole = np.rint(self.at).astype(int).tolist()
        shapes = self.shapes.tolist()
        self._places = [(shapes[i], bins[i], x, y) for i, (x, y) in enumerate(whole)]
        self._moved = list(range(count))
        for i, (x, y) in enumerate(self.at):
            self._lay(i, bins[i], shapes[i], np.array([[x], [y]]))
        for i, each in enumerate(lying):
            left, low, right, high = self._span(each.shape, bins[i])
            if each.bin >= len(rooms) or left > right or low > high:
                self._move(i)

    def cleared(self, moves: int) -> list[Lying] | None:
        """The parts when none lies over another.

        None after so many moves, or when they have not come nearer to it for long.
        """
        end, tried, least, since = self.moves + moves, math.inf, math.inf, 0
        while self.moves < end and since < _PATIENCE:
            deepest = self._over.max(axis=1)
            total = float(self._over.sum()) / 2
            since += 1
            if total < least:
                least, since = total, 0
                self._closest = self.shapes.copy(), self.bins.copy(), self.at.copy()
            if total < tried and deepest.max() < _DEEPEST and total < _EACH * len(self.parts):
                tried = total
                apart = self.pushed_apart(self.lying(), self.rooms)
                if apart is not None:
                    return apart
            overlapping = np.nonzero(deepest > 0)[0].tolist()
            if not overlapping:
                return None
            # of two that lie deepest over each other chance tells which gives way
            self.chance.shuffle(overlapping)
            overlapping.sort(key=lambda i: -deepest[i])
            for i in overlapping:
                if self._over[i].max() > 0:
                    self._move(i)
            self._weigh()
        return None

    def lying(self) -> list[Lying]:
        """Where the parts lie."""
        step, found = self.depths.step, []
        at = self.at.tolist()
        for shape, bin_, (x, y) in zip(self.shapes.tolist(), self.bins.tolist(), at, strict=True):
            room = self.rooms[bin_]
            found.append(Lying(shape, bin_, room.xmin + x * step, room.ymin + y * step))
        return found

    def _span(self, shape: int, bin_: int) -> tuple[float, ...]:
        """The least steps along x and y, and the greatest, that keep a shape in a room."""
        key = (shape, bin_)
        if key not in self._spans:
            room, step = self.rooms[bin_], self.depths.step
            left, low, right, high = self.reach(shape, room)
            x, y = room.xmin, room.ymin
            ends = (left - x, low - y, right - x, high - y)
            self._spans[key] = tuple(end / step for end in ends)
        return self._spans[key]

    def _weigh(self) -> None:
        deepest = float(self._over.max())
        if deepest > 0:
            more = _LEAST_MORE + (_MOST_MORE - _LEAST_MORE) / deepest * self._over
            less = self._weights * _FORGET
            less[less < _LIGHTEST] = 1
            more = np.minimum(self._weights * more, _HEAVIEST)
            self._weights = np.where(self._over > 0, more, less)

    def _move(self, i: int) -> None:
        """Lay a part where it lies least over others, by their weights."""
        self.moves += 1
        found = [place for b in range(len(self.rooms)) if (place := self._best(i, b)) is not None]
        if found:
            _, bin_, x, y, shape = min(found)
            self._lay(i, bin_, shape, np.array([[x], [y]]) + _WITHIN_A_STEP)

    def _lay(self, i: int, bin_: int, shape: int, places: Array) -> None:
        """Lay a part at the best of some places, by their steps along x and along y."""
        ends = np.array(self._span(shape, bin_)).reshape(2, 2)
        places = np.maximum(ends[0, :, None], np.minimum(places, ends[1, :, None]))
        beside = self.bins == bin_
        beside[i] = False
        near, depths = self.depths.over(self.shapes, self.at, beside, shape, places)
        count = places.shape[1]
        weights = self._weights[i, near] * self._sides[near]
        column, row = divmod(
            int((weights @ depths.reshape(len(near), count * count)).argmin()), count
        )
        self.shapes[i], self.bins[i] = shape, bin_
        self.at[i] = x, y = float(places[0, column]), float(places[1, row])
        self._places[i] = (shape, bin_, round(x), round(y))
        self._moved.append(i)
        self._over[i] = self._over[:, i] = 0
        self._over[i, near] = self._over[near, i] = depths[:, column, row]

    def _best(self, i: int, bin_: int) -> tuple[float, int, int, int, int] | None:
        """The best place of a part on one sheet's lattice: weighted depth, sheet, steps, shape."""
        part = self.parts[i]
        around = self._around(part, bin_)
        if not around.depths.size:
            return None
        turned = self.problem.turned[part]
        turns, cost = len(turned), around.depths.copy()
        if own := around.counted[i]:
            around.add(cost, self._stack(own[0], part), own, -1.0)
        weights = self._weights[i]
        heavy = np.nonzero(weights > 1)[0]
        for j, weight in zip(heavy.tolist(), weights[heavy].tolist(), strict=True):
            if j != i and (standing := around.counted[j]):
                around.add(cost, self._stack(standing[0], part), standing, weight - 1)
        at = int(cost.argmin())
        column, rest = divmod(at, cost.shape[1])
        row, turn = divmod(rest, turns)
        place = column + around.x, row + around.y
        return float(cost.flat[at]), bin_, *place, turned[turn][1]

    def _around(self, part: int, bin_: int) -> _Sum:
        """What a part would lie over, unweighted, at each place of a sheet; itself counted too.

        Kept from call to call: only what has moved since is taken out and put in again.
        """
        key = (part, bin_)
        if key not in self._sums:
            self._sums[key] = self._empty(part, bin_)
        around = self._sums[key]
        for j in dict.fromkeys(self._moved[around.seen :]):
            now = self._places[j] if self._places[j][1] == bin_ else None
            before = around.counted[j]
            if now != before:
                if before:
                    around.add(around.depths, self._stack(before[0], part), before, -1.0)
                if now:
                    around.add(around.depths, self._stack(now[0], part), now, 1.0)
                around.counted[j] = now
        around.seen = len(self._moved)
        return around

    def _stack(self, standing: int, part: int) -> Stack:
        """The depths of a part over a standing shape, as much heavier as that is larger."""
        key = (standing, part)
        if key not in self._stacks:
            stack = self.depths.stack(standing, part)
            side = np.float32(self._side(self.problem.no_fit.turned[standing].kind))
            self._stacks[key] = replace(stack, depths=stack.depths * side)
        return self._stacks[key]

    def _side(self, part: int) -> int:
        """The side of a square as large as a part, in whole steps, which keep sums exact.

        Depths count so many times over the part: a large one finds no other place, so that it is
        the small ones that make way.
        """
        side = math.sqrt(self.problem.parts[part].piece.blank.area)
        return max(1, round(side / self.depths.step))

    def _empty(self, part: int, bin_: int) -> _Sum:
        """0 at the steps at which a part lies in an empty room, in each turn."""
        shapes = [shape for _, shape in self.problem.turned[part]]
        room = self.rooms[bin_]
        spans = [
            (turn, [round(end) for end in self._span(shape, bin_)])
            for turn, shape in enumerate(shapes)
            if _has_room(self.reach(shape, room))
        ]
        left = min((span[0] for _, span in spans), default=0)
        low = min((span[1] for _, span in spans), default=0)
        right = max((span[2] for _, span in spans), default=-1)
        high = max((span[3] for _, span in spans), default=-1)
        free = np.full((right - left + 1, high - low + 1, len(shapes)), np.inf, np.float32)
        for turn, (x, y, far, up) in spans:
            free[x - left : far - left + 1, y - low : up - low + 1, turn] = 0
        width, height = right - left + 1, high - low + 1
        nothing: list[Place | None] = [None] * len(self.parts)
        return _Sum(free.reshape(width, height * len(shapes)), left, low, width, height, nothing)

    def exchanged(self) -> list[Lying]:
        """The parts as they last lay least over others, two large ones in each other's place."""
        if self._closest:
            self.shapes, self.bins, self.at = self._closest
        boxes = [self.problem.shapes[shape].box for shape in self.shapes.tolist()]
        falling = sorted(range(len(boxes)), key=lambda i: (-boxes[i].width * boxes[i].height, i))
        large = falling[: math.ceil(_LARGE * len(falling))]
        one = self.chance.choice(large)
        unlike = [i for i in large if self.parts[i] != self.parts[one]]
        other = self.chance.choice(unlike or large)
        lying = self.lying()
        a, b = lying[one], lying[other]
        shift = Vector(b.x - a.x, b.y - a.y) + (boxes[other].centre - boxes[one].centre)
        lying[one] = replace(a, bin=b.bin, x=a.x + shift.x, y=a.y + shift.y)
        lying[other] = replace(b, bin=a.bin, x=b.x - shift.x, y=b.y - shift.y)
        return lying

    def reach(self, shape: int, room: Bounds) -> tuple[float, float, float, float]:
        """The least and the greatest shift of a shape that keep it in a room."""
        return reach(self.problem.shapes[shape], room, self.problem.rules.margin)

    # --- off the lattice ------------------------------------------------------------------------

    def pushed_apart(self, lying: Sequence[Lying], rooms: Sequence[Bounds]) -> list[Lying] | None:
        """The parts shifted a little until none lies over another; None when that fails."""
        ends = np.array([self.reach(each.shape, rooms[each.bin]) for each in lying])
        least, most = ends[:, :2], ends[:, 2:]
        if (least > most).any():
            return None
        places = np.clip(np.array([(each.x, each.y) for each in lying]), least, most)
        speed, last, near_at = np.zeros_like(places), math.inf, None
        before = math.inf
        for number in range(_ROUNDS):
            if near_at is None or abs(places - near_at).max() > self.depths.step:
                near_at, (one, other) = places, self._near(lying, places)
                pairs = zip(one.tolist(), other.tolist(), strict=True)
                found = [self.depths.edges(lying[a].shape, lying[b].shape) for a, b in pairs]
                if not found:
                    return _shifted(lying, places)
                shifts = places[other] - places[one]
                # each of two parts moves by a step along x and along y until it is looked again
                edges, which, starts = _edges_near(found, shifts, 2 * self.depths.step)
            out = _ways_out(edges, which, starts, places[other] - places[one])
            if out is None:
                return _shifted(lying, places)
            push = np.zeros_like(places)
            np.add.at(push, other, out / 2)
            np.add.at(push, one, -out / 2)
            total = float((out * out).sum())
            if number % _HALVED == 0:
                if total > before / 2:
                    return None
                before = total
            speed = 0.7 * push + (0.85 * speed if total < last else 0)
            last, places = total, np.minimum(np.maximum(places + speed, least), most)
        return None

    def _near(self, lying: Sequence[Lying], places: Array) -> tuple[Array, Array]:
        """The pairs that may lie over each other while no part moves by more than a step."""
        bins = np.array([each.bin for each in lying])
        shapes = [self.problem.shapes[each.shape] for each in lying]
        slack = self.problem.rules.gap / 2 + self.depths.step
        boxes = [each.box.grown(each.burn + slack) for each in shapes]
        low = np.array([(box.xmin, box.ymin) for box in boxes]) + places
        high = np.array([(box.xmax, box.ymax) for box in boxes]) + places
        meet = (low[:, None] < high).all(axis=2)
        one, other = np.nonzero(np.triu(meet & meet.T & (bins[:, None] == bins), 1))
        return one, other


def _has_room(reach: tuple[float, float, float, float]) -> bool:
    left, low, right, high = reach
    return left <= right and low <= high


def _shifted(lying: Sequence[Lying], places: Array) -> list[Lying]:
    pairs = zip(lying, places.tolist(), strict=True)
    return [replace(each, x=x, y=y) for each, (x, y) in pairs]


def _edges_near(
    regions: Sequence[Array], shifts: Array, slack: float
) -> tuple[Array, Array, Array]:
    """What `_ways_out` takes, of points that shift by no more than `slack` mm along x and along y.

    Left out are edges that cannot become the nearest and that no ray to the right can cross.
    """
    which = np.repeat(np.arange(len(regions)), [len(each) for each in regions])
    edges = np.concatenate(regions).T
    edges = np.vstack((edges, 1 / (edges[2] ** 2 + edges[3] ** 2)))
    at_x, at_y = shifts.T[:, which]
    far = np.sqrt(_from_edges(edges, at_x, at_y)[2])
    nearest = np.minimum.reduceat(far, np.searchsorted(which, np.arange(len(regions))))
    x, y, along, _, end, _ = edges
    kept = (np.maximum(x, x + along) >= at_x - slack) & (np.minimum(y, end) <= at_y + slack)
    kept &= np.maximum(y, end) >= at_y - slack
    kept |= far <= nearest[which] + 3 * slack
    return edges[:, kept], which[kept], np.searchsorted(which[kept], np.arange(len(regions)))


def _from_edges(edges: Array, at_x: Array, at_y: Array) -> tuple[Array, Array, Array]:
    """To a point from the nearest place of each edge: along x and along y, and squared, mm."""
    x, y, along, up, _, per_square = edges
    x, y = at_x - x, at_y - y
    share = np.minimum(np.maximum((x * along + y * up) * per_square, 0), 1)
    off_x, off_y = x - share * along, y - share * up
    return off_x, off_y, off_x * off_x + off_y * off_y


def _ways_out(edges: Array, which: Array, starts: Array, shifts: Array) -> Array | None:
    """The shift of each point out of its region, and by the room that is wanted further, mm.

    `edges` are those of all regions, with one over their squared lengths, one region after another
    from its index in `starts` on; `which` tells the region of each. None when no point lies in its
    region.
    """
    x, y, along, up, end, _ = edges
    at_x, at_y = shifts.T[:, which]
    off_x, off_y, far = _from_edges(edges, at_x, at_y)
    nearest = np.minimum.reduceat(far, starts)
    # a ray to the right crosses the edges round a point that lies inside an odd number of times;
    # which edges are level with it is told by their corners alone, alike for both at a corner
    spanned = (at_y < y) != (at_y < end)
    crossed = spanned & (((at_x - x) * up < (at_y - y) * along) == (up > 0))
    inside = np.add.reduceat(crossed, starts, dtype=np.int64) % 2 == 1
    depth = np.sqrt(nearest)
    if not (inside & (depth > _NONE)).any():
        return None
    hits = np.nonzero(far <= nearest[which])[0]
    at = hits[np.searchsorted(which[hits], np.arange(len(starts)))]
    way = np.where(inside, -depth - _ROOM, np.maximum(_ROOM - depth, 0))
    return np.stack((off_x[at], off_y[at]), axis=1) * (way / np.maximum(depth, 1e-12))[:, None]


# --- shorter and shorter ------------------------------------------------------------------------


def tightened(
    problem: Problem,
    lying: Sequence[Lying],
    rooms: Sequence[Bounds],
    moves: int,
    better: Callable[[list[Lying], float], None],
) -> None:
    """Look for layouts that take less of the last room's longer side, or do without it.

    Each layout found is handed to `better` with the share of all moves that is spent.
    """
    parts = [problem.no_fit.turned[each.shape].kind for each in lying]
    metal = math.fsum(problem.parts[part].piece.blank.area for part in parts)
    step = math.sqrt(metal / len(parts)) / _FINE
    crowd = Crowd(problem, Depths(problem, step), parts, random.Random(problem.rules.seed))
    best, rooms = list(lying), list(rooms)
    along = [room.width >= room.height for room in rooms]
    start, cut = best, _first_cut(problem, best, rooms)

    def squeezed(lying: list[Lying], rooms: list[Bounds], share: float) -> list[Lying] | None:
        shorter = _shortened(crowd, lying, rooms, along, share)
        return crowd.pushed_apart(lying, shorter) if len(shorter) == len(rooms) else None

    while crowd.moves < moves:
        shorter = _shortened(crowd, best, rooms, along, cut)
        crowd.put(start, shorter)
        before, found = crowd.moves, crowd.cleared(moves - crowd.moves)
        if found is None:
            if crowd.moves == before and cut <= _LAST_CUT:
                break
            # a smaller step from the best, then from what lay least over each other
            start = best if cut > _LAST_CUT else crowd.exchanged()
            cut = _FIRST_CUT if cut > _FIRST_CUT else max(0.5 * cut, _LAST_CUT)
            continue
        if len(shorter) < len(rooms):
            cut = _first_cut(problem, found, shorter)
        rooms = shorter
        while found is not None:
            start = best = found
            better(best, crowd.moves / moves)
            found = squeezed(best, rooms, _SQUEEZE)
    squeeze = _SQUEEZE
    while squeeze > _LEAST_SQUEEZE:
        if (found := squeezed(best, rooms, squeeze)) is None:
            squeeze /= 2
        else:
            best = found
            better(best, 1.0)


def _first_cut(problem: Problem, lying: Sequence[Lying], rooms: Sequence[Bounds]) -> float:
    """The share of the stock to take off first: all of a last sheet that holds little."""
    metal = [problem.parts[problem.no_fit.turned[e.shape].kind].piece.blank.area for e in lying]
    last = math.fsum(m for m, e in zip(metal, lying, strict=True) if e.bin == len(rooms) - 1)
    return 1.0 if len(rooms) > 1 and last < _LITTLE * math.fsum(metal) else _FIRST_CUT


def _shortened(
    crowd: Crowd, lying: Sequence[Lying], rooms: list[Bounds], alongs: list[bool], share: float
) -> list[Bounds]:
    """The rooms, the last of them shorter than its parts reach by a share of the whole stock.

    It is left out when no part would be in it. `alongs` tells which rooms are cut along x: those
    whose stock is longer that way, however short the room has become.
    """
    problem, (*others, last) = crowd.problem, rooms
    along = alongs[len(others)]
    ends = [0.0]
    for each in lying:
        if each.bin == len(others):
            shape = problem.shapes[each.shape]
            far = each.x + shape.box.xmax if along else each.y + shape.box.ymax
            ends.append(far + shape.burn + problem.rules.margin)
    used = max(ends) - (last.xmin if along else last.ymin)
    used += math.fsum(max(room.width, room.height) for room in others)
    end = max(ends) - share * used
    cut = replace(last, xmax=end) if along else replace(last, ymax=end)
    if others and not any(
        _has_room(crowd.reach(shape, cut)) for shape in {each.shape for each in lying}
    ):
        return others
    return [*others, cut]
