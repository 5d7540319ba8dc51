"""Spots that words would like: along lines, round circles, beside holes, in panels.

Every function gives the spots of words of a size, the best first; `FreeSpace.best` takes the
cheapest that is free.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import lru_cache
from itertools import chain
from typing import Any

from platewright.drawing.dimensions import readable
from platewright.drawing.free_space import LabelSpot, Size, SpotRow, leaders_round
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.meeting import Rectangles
from platewright.geometry.plane import Bounds, Point, Vector
from platewright.geometry.segment import Arc, Line

_GAP = 1.0  # between a line and words along it, mm
_FARTHER = (0.0, 2.5, 5.0, 8.0, 12.0)
_FRACTIONS = (0.5, 0.4, 0.6, 0.32, 0.68, 0.25, 0.75, 0.18, 0.82, 0.12, 0.88)
_TURNS = 24
_RINGS = (6.0, 9.0, 13.0, 18.0, 25.0, 34.0, 45.0)
_DIRECTIONS = 16
_SHOULDER = 1.6  # from a leader's end to its words, mm
_GRID = 5.0

Spots = Callable[[Size], Iterator[SpotRow]]
"""The spots that words of a size would like, row after row, the best first."""


def along(line: Line, gap: float = _GAP) -> Spots:
    """Reading along a line, on either side of it, from its middle outwards; else on a leader."""
    angle = readable(line.direction.angle)
    up = Vector.polar(angle).left

    def beside_it(size: Size) -> Iterator[SpotRow]:
        import numpy as np

        reach = gap + size[1] / 2 + np.array(_FARTHER)
        share = np.array(_FRACTIONS)
        sides = np.stack((reach, -reach), axis=1)[:, None, :]  # farther, share, side
        (ax, ay), (bx, by) = ((p.x, p.y) for p in (line.start, line.end))
        x = (ax + (bx - ax) * share)[:, None] + up.x * sides
        y = (ay + (by - ay) * share)[:, None] + up.y * sides
        yield SpotRow(x=x.ravel(), y=y.ravel(), angle=angle)

    return either(beside_it, led(*(line.point_at(share) for share in (0.5, 0.25, 0.75))))


def round_circle(circle: Circle) -> Spots:
    """Reading along a tangent of a circle, from its upper right; else on a leader from there."""

    def along_it(size: Size) -> Iterator[SpotRow]:
        yield SpotRow.of(_along_circle(circle, size))

    corners = (math.pi / 4, 3 * math.pi / 4, -math.pi / 4, -3 * math.pi / 4)
    rim = (circle.centre + Vector.polar(turn, circle.radius) for turn in corners)
    return either(along_it, led(*rim))


def _along_circle(circle: Circle, size: Size) -> Iterator[LabelSpot]:
    outside = circle.radius + _GAP + size[1] / 2
    inside = circle.radius - _GAP - _sagitta(circle.radius, size[0]) - size[1] / 2
    for index in range(_TURNS):
        step = (index + 1) // 2 * (1 if index % 2 else -1)
        out = Vector.polar(math.pi / 3 + step * math.tau / _TURNS)
        for reach in (outside, inside):
            if reach > 0:
                yield LabelSpot(circle.centre + out * reach, readable(out.left.angle))


def _sagitta(radius: float, chord: float) -> float:
    half = min(chord / 2, radius)
    return radius - math.sqrt(radius**2 - half**2)


def round_arc(arc: Arc) -> Spots:
    """Reading along an arc, on either side of it, from its middle outwards."""

    def spots(size: Size) -> Iterator[LabelSpot]:
        sagitta = _sagitta(arc.radius, size[0])
        for fraction in _FRACTIONS:
            at, ahead = arc.point_at(fraction), arc.direction_at(fraction)
            out = ahead.right if arc.sweep > 0 else ahead.left
            angle = readable(ahead.angle)
            yield LabelSpot(at + out * (_GAP + size[1] / 2), angle)
            yield LabelSpot(at + out * -(_GAP + sagitta + size[1] / 2), angle)

    return lambda size: iter((SpotRow.of(spots(size)),))


def beside(at: Point, clear: float, arms: float) -> Spots:
    """Level words beside a hole, else on a leader.

    The hole's circle reaches `clear` mm from its centre, its centre lines `arms` mm.
    """

    def close(size: Size) -> Iterator[SpotRow]:
        """At the four corners, then right and left, above and below."""
        import numpy as np

        s = (clear + _GAP) * math.sqrt(0.5)
        corner_x, corner_y = s + size[0] / 2, s + size[1] / 2
        x, y = arms + _GAP + size[0] / 2, arms + _GAP + size[1] / 2
        corners = [(i * corner_x, j * corner_y) for j in (1, -1) for i in (1, -1)]
        ways = np.array([*corners, (x, 0.0), (-x, 0.0), (0.0, y), (0.0, -y)])
        sides = np.array([_side(dx) for dx in ways[:, 0]])
        yield SpotRow(x=at.x + ways[:, 0], y=at.y + ways[:, 1], along=sides)

    return either(close, led(at, clear=clear))


def _side(dx: float) -> str:
    return "left" if dx > 0 else "right" if dx < 0 else "middle"


def led(*at: Point, clear: float = 0.0) -> Spots:
    """Level words on leaders all round some points, the shorter leaders first."""

    def spots(size: Size) -> Iterator[SpotRow]:
        import numpy as np

        ends, leaders, costs, sides, aside, point = _led(clear, len(at))
        dx, dy = np.array([(p.x, p.y) for p in at]).T[:, point]
        ends = ends + np.stack((dx, dy, dx, dy), axis=1)
        yield SpotRow(
            x=ends[:, 2] + aside * (size[0] / 2 + _SHOULDER),
            y=ends[:, 3],
            along=sides,
            ends=ends,
            leaders=leaders.shifted(dx, dy),
            demerit=costs,
        )

    return spots


@lru_cache(maxsize=16)
def _led(clear: float, count: int) -> tuple[Any, Rectangles, Any, Any, Any, Any]:
    """Leaders round some points: ends, what they take and cost, words' sides, which point's."""
    import numpy as np

    ends, leaders, costs = leaders_round(_RINGS, _DIRECTIONS, clear)
    shape = (len(_RINGS), count, _DIRECTIONS)
    each = np.broadcast_to(np.arange(len(ends)).reshape(len(_RINGS), 1, -1), shape).ravel()
    point = np.broadcast_to(np.arange(count)[:, None], shape).ravel()
    right = (ends[:, 2] > ends[:, 0])[each]
    sides, aside = np.where(right, "left", "right"), np.where(right, 1.0, -1.0)
    return ends[each], leaders[each], costs[each], sides, aside, point


def inside(contour: Contour, angle: float) -> Spots:
    """In a panel, reading at `angle`, from its middle outwards."""
    return lambda _size: iter((_panel_row(contour, angle),))


@lru_cache(maxsize=64)
def _panel_row(contour: Contour, angle: float) -> SpotRow:
    """A grid over a contour's box, what lies in the contour, from its middle outwards."""
    import numpy as np

    box, ring = contour.bounds, contour.flatten(1.0)
    middle_x = math.fsum(p.x for p in ring) / len(ring)
    middle_y = math.fsum(p.y for p in ring) / len(ring)
    # very large panels get a coarser grid: a few hundred spots are plenty
    step = max(_GRID, math.sqrt(box.width * box.height / 600))
    columns, rows = int(box.width / step), int(box.height / step)
    x = np.tile(box.centre.x + (np.arange(columns + 1) - columns / 2) * step, rows + 1)
    y = np.repeat(box.centre.y + (np.arange(rows + 1) - rows / 2) * step, columns + 1)
    within = contour.contains_each(x, y)
    x, y = x[within], y[within]
    order = np.argsort(np.hypot(x - middle_x, y - middle_y), kind="stable")
    return SpotRow(x=x[order], y=y[order], angle=angle)


def below_or_above(box: Bounds, gap: float) -> Spots:
    """Level words outside a box, under it or over it."""

    def spots(size: Size) -> Iterator[SpotRow]:
        reaches = [box.height / 2 + gap + farther + size[1] / 2 for farther in _FARTHER]
        places = (Vector(0.0, side * reach) for reach in reaches for side in (-1, 1))
        yield SpotRow.of(LabelSpot(box.centre + place) for place in places)

    return spots


def either(*wishes: Spots) -> Spots:
    """The spots of several wishes, one after another."""
    return lambda size: chain.from_iterable(spots(size) for spots in wishes)
