"""Panels that meet while they are folded, or when they are.

A panel counts with the bend that holds it. All bends are taken as made together, each by the same
share of its angle. The sweep cannot jump over a meeting: no place of a panel moves faster than a
bound that follows from the sizes of the panels between, so panels that are `gap` apart stay free
for gap / speed of the fold.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from platewright.geometry.plane import Point
from platewright.plate.bracket import Bracket
from platewright.plate.folded import Folded, folded
from platewright.plate.place import PlacedPanel, edge_frame
from platewright.plate.prism import Part, bend_prisms, panel_prisms, part_gap

#: Parts that overlap by no more than this only touch, mm.
TOUCH = 0.1
#: The fold is looked at in so many steps, where parts nearly touch in every one.
_STEPS = 48
#: Parts that stay free for so many steps need not be known to be farther apart.
_FAR = 8
#: The first meeting is told to this share of the fold.
_SHARPNESS = 1e-4


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """Two parts that meet: from which amount of the fold on, and whether they do when finished.

    `bend` is the bend whose turn brings them together (the last one between them), `angle` what
    it has turned by then, radians. `depth` is how deep they overlap when finished, or else at the
    first meeting found, mm.
    """

    first: str
    second: str
    bend: int
    angle: float
    amount: float
    finished: bool
    depth: float


@dataclass(frozen=True, slots=True)
class _Pair:
    """Two parts by their index, and the greatest speed of one against the other, mm per fold."""

    one: int
    other: int
    bend: int
    angle: float
    speed: float


def meetings(bracket: Bracket) -> tuple[Meeting, ...]:
    """Every two parts that meet on the way from flat to finished."""
    start = _Stage(bracket, 0.0)
    pairs = [pair for pair in _pairs(start.model) if start.overlap(pair) <= TOUCH]
    met = dict(_sweep(bracket, pairs))
    end = _Stage(bracket, 1.0)
    return tuple(_meeting(end, pair, met[pair]) for pair in pairs if pair in met)


def overlapping(bracket: Bracket, amount: float) -> Iterator[tuple[Part, Part, float]]:
    """Parts that lie in each other at an amount of the fold, and how deep, mm."""
    stage = _Stage(bracket, amount)
    for pair in _pairs(stage.model):
        depth = stage.overlap(pair)
        if depth > TOUCH:
            yield stage.part(pair.one), stage.part(pair.other), depth


class _Stage:
    """A bracket at one amount of its fold, its parts made when they are asked for."""

    def __init__(self, bracket: Bracket, amount: float) -> None:
        self.amount = amount
        self.model = folded(bracket, amount)
        self._parts: dict[int, Part] = {}

    def part(self, index: int) -> Part:
        """One panel with its bend, by the panel's index."""
        if index not in self._parts:
            placed = self.model.panels[index]
            plates = panel_prisms(placed.panel, placed.world_from_panel, self.model.thickness)
            bend = bend_prisms(self.model.bends[index - 1]) if index else ()
            name = placed.panel.name
            self._parts[index] = Part(name, name, (*plates, *bend))
        return self._parts[index]

    def gap(self, pair: _Pair, enough: float) -> float:
        """How far two parts are apart, mm (see `part_gap`)."""
        return part_gap(self.part(pair.one), self.part(pair.other), enough)

    def overlap(self, pair: _Pair) -> float:
        """How deep two parts lie in each other, mm; any figure up to a touch when they do not."""
        return -self.gap(pair, -TOUCH)


def _meeting(end: _Stage, pair: _Pair, first: tuple[float, float]) -> Meeting:
    amount, depth = first
    last = end.overlap(pair)
    return Meeting(
        first=end.part(pair.one).words,
        second=end.part(pair.other).words,
        bend=pair.bend,
        angle=pair.angle * amount,
        amount=amount,
        finished=last > TOUCH,
        depth=last if last > TOUCH else depth,
    )


# --- the sweep --------------------------------------------------------------------------------


def _sweep(bracket: Bracket, pairs: list[_Pair]) -> Iterator[tuple[_Pair, tuple[float, float]]]:
    """The pairs that meet, with the amount at which they first do and the overlap just found.

    Each pair is looked at again only when it could have closed its gap.
    """
    due: dict[int, list[tuple[_Pair, int]]] = {0: [(pair, 0) for pair in pairs]}
    for step in range(_STEPS + 1):
        waiting = due.pop(step, [])
        stage = _Stage(bracket, step / _STEPS) if waiting else None
        for pair, before in waiting:
            assert stage is not None
            gap = stage.gap(pair, _FAR / _STEPS * pair.speed)
            if gap < -TOUCH:
                yield pair, (_bisected(bracket, pair, before / _STEPS, stage.amount), -gap)
            elif step < _STEPS:
                ahead = max(1, math.floor(_STEPS * gap / pair.speed))
                due.setdefault(min(_STEPS, step + ahead), []).append((pair, step))


def _bisected(bracket: Bracket, pair: _Pair, free: float, met: float) -> float:
    """The amount at which two parts first meet, between one that is free and one that is not."""
    while met - free > _SHARPNESS:
        middle = (free + met) / 2
        if _Stage(bracket, middle).overlap(pair) > TOUCH:
            met = middle
        else:
            free = middle
    return met


# --- pairs ------------------------------------------------------------------------------------


def _pairs(model: Folded) -> Iterator[_Pair]:
    """Every two panels that could meet: neighbours across a bend are left out where they cannot.

    Where the parent lies wholly on one side of the bend's line and the child on the other, no turn
    below half a turn brings them together.
    """
    panels = model.panels
    ways = [_way_up(model, index) for index in range(len(panels))]
    sizes = [_size(model, index) if index else _Size(0.0, 0.0, 0.0) for index in range(len(panels))]
    for other in range(len(panels)):
        for one in range(other):
            if panels[other].parent != one or not _keeps_apart(panels, other):
                yield _pair(model, sizes, (one, ways[one]), (other, ways[other]))


def _keeps_apart(panels: tuple[PlacedPanel, ...], child: int) -> bool:
    placed = panels[child]
    assert placed.bend is not None
    assert placed.parent is not None
    parent, bend = panels[placed.parent].panel, placed.bend
    beyond = edge_frame(parent.bend_base(bend).reversed()).inverse()
    behind = edge_frame(bend.panel.straight_edge(bend.base)).inverse()
    return (
        max(beyond.point(p).y for p in parent.contour.flatten(0.05)) <= TOUCH / 2
        and min(behind.point(p).y for p in bend.panel.contour.flatten(0.05)) >= -TOUCH / 2
    )


def _way_up(model: Folded, panel: int) -> list[int]:
    """The bent panels from one up to the root, itself first; the root has none."""
    way = []
    at: int | None = panel
    while at is not None and model.panels[at].bend is not None:
        way.append(at)
        at = model.panels[at].parent
    return way


def _pair(
    model: Folded, sizes: list[_Size], one: tuple[int, list[int]], other: tuple[int, list[int]]
) -> _Pair:
    """Two parts, each with its way up, as a pair."""
    shared = set(one[1]) & set(other[1])
    sides = [[i for i in way if i not in shared] for _, way in (one, other)]
    last = max(i for side in sides for i in side)
    speed = math.fsum(_side_speed(sizes, side) for side in sides)
    placed = model.panels[last]
    return _Pair(
        one=one[0],
        other=other[0],
        bend=placed.number or 0,
        angle=placed.bend.angle if placed.bend else 0.0,
        speed=max(speed, 1e-9),
    )


@dataclass(frozen=True, slots=True)
class _Size:
    """A bent panel: its fold, how far it reaches from its bend's axis, and its whole length, mm."""

    angle: float
    deep: float
    whole: float


def _size(model: Folded, index: int) -> _Size:
    bend = model.panels[index].bend
    assert bend is not None
    base = bend.panel.straight_edge(bend.base)
    box = bend.panel.contour.bounds
    corners = [Point(x, y) for x in (box.xmin, box.xmax) for y in (box.ymin, box.ymax)]
    strip = bend.way.allowance(bend.angle, model.thickness) + model.thickness
    deep = max(abs((p - base.start).cross(base.direction)) for p in corners)
    return _Size(bend.angle, deep + strip, math.hypot(box.width, box.height) + strip)


def _side_speed(sizes: list[_Size], side: list[int]) -> float:
    """Greatest speed of the outermost panel of a chain against what holds it, mm per fold.

    A place turns about a bend's axis no farther from it than the panel is deep, or than the depth
    and all that hangs on the panel; the axis itself moves by less than the strip's length.
    """
    hung, speed = 0.0, 0.0
    for index in side:
        size = sizes[index]
        speed += size.angle * (size.deep + hung)
        hung += size.whole
    return speed
