"""Panels that meet while they are folded, or when they are.

All bends are taken as made together, each by the same share of its angle. The sweep cannot jump
over a meeting: no place of a part moves faster than a bound that follows from the sizes of the
panels between, so parts that are `gap` apart stay free for gap / speed of the fold.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from platewright.geometry.plane import Point
from platewright.plate.bracket import Bracket
from platewright.plate.folded import Folded, folded
from platewright.plate.place import PlacedPanel, edge_frame
from platewright.plate.prism import Part, part_gap, parts_of

#: Parts that overlap by no more than this only touch, mm.
TOUCH = 0.1
#: The sweep goes on by at least this share of the fold, where parts nearly touch.
_LEAST_STEP = 1 / 48
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
    start = folded(bracket, 0.0)
    flat = parts_of(start)
    pairs = [pair for pair in _pairs(start) if _overlap(flat, pair) <= TOUCH]
    if not pairs:
        return ()
    met = dict(_sweep(bracket, pairs))
    end = parts_of(folded(bracket))
    return tuple(_meeting(end, pair, met[pair]) for pair in pairs if pair in met)


def overlapping(parts: tuple[Part, ...], model: Folded) -> Iterator[tuple[Part, Part, float]]:
    """Parts that lie in each other, and how deep, mm."""
    for pair in _pairs(model):
        depth = _overlap(parts, pair)
        if depth > TOUCH:
            yield parts[pair.one], parts[pair.other], depth


def _overlap(parts: tuple[Part, ...], pair: _Pair) -> float:
    return -part_gap(parts[pair.one], parts[pair.other])


def _meeting(end: tuple[Part, ...], pair: _Pair, first: tuple[float, float]) -> Meeting:
    amount, depth = first
    last = _overlap(end, pair)
    return Meeting(
        first=end[pair.one].words,
        second=end[pair.other].words,
        bend=pair.bend,
        angle=pair.angle * amount,
        amount=amount,
        finished=last > TOUCH,
        depth=last if last > TOUCH else depth,
    )


# --- the sweep --------------------------------------------------------------------------------


def _sweep(bracket: Bracket, pairs: list[_Pair]) -> Iterator[tuple[_Pair, tuple[float, float]]]:
    """The pairs that meet, with the amount at which they first do and the overlap just found."""
    free, amount, before = list(pairs), 0.0, 0.0
    while free:
        parts = parts_of(folded(bracket, amount))
        step = 1.0
        for pair in list(free):
            gap = part_gap(parts[pair.one], parts[pair.other], step * pair.speed)
            if gap < -TOUCH:
                free.remove(pair)
                yield pair, (_bisected(bracket, pair, before, amount), -gap)
            else:
                step = min(step, max(_LEAST_STEP, gap / pair.speed))
        if amount == 1:
            return
        before, amount = amount, min(1.0, amount + step)


def _bisected(bracket: Bracket, pair: _Pair, free: float, met: float) -> float:
    """The amount at which two parts first meet, between one that is free and one that is not."""
    while met - free > _SHARPNESS:
        middle = (free + met) / 2
        if _overlap(parts_of(folded(bracket, middle)), pair) > TOUCH:
            met = middle
        else:
            free = middle
    return met


# --- pairs ------------------------------------------------------------------------------------


def _pairs(model: Folded) -> Iterator[_Pair]:
    """Every two parts that could meet; a bend and what it joins are left out where they cannot."""
    panels = model.panels
    owners = [*range(len(panels)), *(bend.child for bend in model.bends)]
    count = len(panels)
    for other in range(len(owners)):
        for one in range(other):
            if not _joined_safely(model, one, other, count):
                yield _pair(model, owners, one, other)


def _joined_safely(model: Folded, one: int, other: int, count: int) -> bool:
    """Whether two parts are neighbours across a bend that cannot meet by any fold of it.

    Where the parent lies wholly on one side of the bend's line and the child on the other, no turn
    below half a turn brings them together.
    """
    panels = model.panels
    if other < count:
        return panels[other].parent == one and _keeps_apart(panels, other)
    bend = model.bends[other - count]
    if one < count:
        return one in (bend.parent, bend.child) and _keeps_apart(panels, bend.child)
    return False


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


def _pair(model: Folded, owners: list[int], one: int, other: int) -> _Pair:
    up_one, up_other = _way_up(model, owners[one]), _way_up(model, owners[other])
    shared = set(up_one) & set(up_other)
    sides = [[i for i in way if i not in shared] for way in (up_one, up_other)]
    speed = sum(_side_speed(model, side) for side in sides)
    last = max((i for side in sides for i in side), default=owners[other])
    bend = model.panels[last].bend
    return _Pair(
        one=one,
        other=other,
        bend=model.panels[last].number or 0,
        angle=bend.angle if bend else 0.0,
        # a bend against its own panel moves within itself: never less than a turn of its size
        speed=max(speed, _side_speed(model, [last])),
    )


def _way_up(model: Folded, panel: int) -> list[int]:
    """The bent panels from one up to the root, itself first; the root has none."""
    way = []
    at: int | None = panel
    while at is not None and model.panels[at].bend is not None:
        way.append(at)
        at = model.panels[at].parent
    return way


def _side_speed(model: Folded, side: list[int]) -> float:
    """Greatest speed of the outermost panel of a chain against what holds it, mm per fold.

    A place turns about a bend's axis no farther from it than the panel is deep, or than the depth
    and all that hangs on the panel; the axis itself moves by less than the strip's length.
    """
    hung, speed = 0.0, 0.0
    for index in side:
        placed = model.panels[index]
        bend = placed.bend
        assert bend is not None
        base = bend.panel.straight_edge(bend.base)
        deep = max(abs((p - base.start).cross(base.direction)) for p in _corners(placed))
        strip = bend.way.allowance(bend.angle, model.thickness) + model.thickness
        speed += bend.angle * (deep + strip + hung)
        box = placed.panel.contour.bounds
        hung += math.hypot(box.width, box.height) + strip
    return speed


def _corners(placed: PlacedPanel) -> list[Point]:
    """Places that a panel does not reach beyond: its outline's box where it has arcs."""
    box = placed.panel.contour.bounds
    return [Point(x, y) for x in (box.xmin, box.xmax) for y in (box.ymin, box.ymax)]
