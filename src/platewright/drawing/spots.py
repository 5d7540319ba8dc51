"""Spots that words would like: along lines, round circles, beside holes, in panels.

Every function gives the spots of words of a size, the best first; `FreeSpace.best` takes the
cheapest that is free.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import cache, lru_cache
from itertools import chain

from platewright.drawing.dimensions import readable
from platewright.drawing.free_space import Size, Spot, leader_cost
from platewright.drawing.items import Along
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds, Point, Vector
from platewright.geometry.segment import Arc, Line

_GAP = 1.0  # between a line and words along it, mm
_FARTHER = (0.0, 2.5, 5.0, 8.0, 12.0)
_FRACTIONS = (0.5, 0.4, 0.6, 0.32, 0.68, 0.25, 0.75, 0.18, 0.82, 0.12, 0.88)
_TURNS = 24
_RINGS = (6.0, 9.0, 13.0, 18.0, 25.0, 34.0, 45.0)
_DIRECTIONS = 16
_WAYS = tuple(Vector.polar(math.tau * (index + 0.5) / _DIRECTIONS) for index in range(_DIRECTIONS))
_SHOULDER = 1.6  # from a leader's end to its words, mm
_GRID = 5.0

Spots = Callable[[Size], Iterator[Spot]]
"""The spots that words of a size would like, the best first."""


def along(line: Line, gap: float = _GAP) -> Spots:
    """Reading along a line, on either side of it, from its middle outwards; else on a leader."""
    angle = readable(line.direction.angle)
    up = Vector.polar(angle).left

    def beside_it(size: Size) -> Iterator[Spot]:
        for farther in _FARTHER:
            reach = gap + farther + size[1] / 2
            for at in map(line.point_at, _FRACTIONS):
                yield Spot(at + up * reach, angle)
                yield Spot(at + up * -reach, angle)

    return either(beside_it, *(led(line.point_at(share), 0.0) for share in (0.5, 0.25, 0.75)))


def round_circle(circle: Circle) -> Spots:
    """Reading along a tangent of a circle, from its upper right; else on a leader from there."""

    def along_it(size: Size) -> Iterator[Spot]:
        outside = circle.radius + _GAP + size[1] / 2
        inside = circle.radius - _GAP - _sagitta(circle.radius, size[0]) - size[1] / 2
        for index in range(_TURNS):
            step = (index + 1) // 2 * (1 if index % 2 else -1)
            out = Vector.polar(math.pi / 3 + step * math.tau / _TURNS)
            for reach in (outside, inside):
                if reach > 0:
                    yield Spot(circle.centre + out * reach, readable(out.left.angle))

    corners = (math.pi / 4, 3 * math.pi / 4, -math.pi / 4, -3 * math.pi / 4)
    rim = (circle.centre + Vector.polar(turn, circle.radius) for turn in corners)
    return either(along_it, *(led(at, 0.0) for at in rim))


def _sagitta(radius: float, chord: float) -> float:
    half = min(chord / 2, radius)
    return radius - math.sqrt(radius**2 - half**2)


def round_arc(arc: Arc) -> Spots:
    """Reading along an arc, on either side of it, from its middle outwards."""

    def spots(size: Size) -> Iterator[Spot]:
        sagitta = _sagitta(arc.radius, size[0])
        for fraction in _FRACTIONS:
            at, ahead = arc.point_at(fraction), arc.direction_at(fraction)
            out = ahead.right if arc.sweep > 0 else ahead.left
            angle = readable(ahead.angle)
            yield Spot(at + out * (_GAP + size[1] / 2), angle)
            yield Spot(at + out * -(_GAP + sagitta + size[1] / 2), angle)

    return spots


def beside(at: Point, clear: float, arms: float) -> Spots:
    """Level words beside a hole, else on a leader.

    The hole's circle reaches `clear` mm from its centre, its centre lines `arms` mm.
    """

    def close(size: Size) -> Iterator[Spot]:
        """At the four corners, then right and left, above and below."""
        s = (clear + _GAP) * math.sqrt(0.5)
        corner_x, corner_y = s + size[0] / 2, s + size[1] / 2
        x, y = arms + _GAP + size[0] / 2, arms + _GAP + size[1] / 2
        corners = [(i * corner_x, j * corner_y) for j in (1, -1) for i in (1, -1)]
        for dx, dy in (*corners, (x, 0.0), (-x, 0.0), (0.0, y), (0.0, -y)):
            side: Along = "left" if dx > 0 else "right" if dx < 0 else "middle"
            yield Spot(at + Vector(dx, dy), 0.0, side)

    return either(close, led(at, clear))


def led(at: Point, clear: float) -> Spots:
    """Level words on leaders all round a point, the shorter leaders first."""

    def spots(size: Size) -> Iterator[Spot]:
        beyond = size[0] / 2 + _SHOULDER
        for ring in _RINGS:
            reach, cost = clear + ring, leader_cost(ring)
            for out in _WAYS:
                # in plain figures: there are very many
                x, y = at.x + out.x * reach, at.y + out.y * reach
                ends = (at.x + out.x * clear, at.y + out.y * clear, x, y)
                if out.x > 0:
                    yield Spot(Point(x + beyond, y), 0.0, "left", ends, cost)
                else:
                    yield Spot(Point(x - beyond, y), 0.0, "right", ends, cost)

    return spots


def inside(contour: Contour, angle: float) -> Spots:
    """In a panel, reading at `angle`, from its middle outwards."""
    holds = cache(contour.contains)  # asked again for every size of the words
    return lambda _size: (Spot(at, angle) for at in _grid(contour) if holds(at))


@lru_cache(maxsize=64)
def _grid(contour: Contour) -> tuple[Point, ...]:
    """A grid over a contour's box, from the contour's middle outwards."""
    box, ring = contour.bounds, contour.flatten(1.0)
    middle = Point(
        math.fsum(p.x for p in ring) / len(ring), math.fsum(p.y for p in ring) / len(ring)
    )
    # very large panels get a coarser grid: a few hundred spots are plenty
    step = max(_GRID, math.sqrt(box.width * box.height / 600))
    columns, rows = int(box.width / step), int(box.height / step)
    spots = (
        Point(box.centre.x + (i - columns / 2) * step, box.centre.y + (j - rows / 2) * step)
        for j in range(rows + 1)
        for i in range(columns + 1)
    )
    return tuple(sorted(spots, key=middle.distance))


def below_or_above(box: Bounds, gap: float) -> Spots:
    """Level words outside a box, under it or over it."""

    def spots(size: Size) -> Iterator[Spot]:
        for farther in _FARTHER:
            reach = box.height / 2 + gap + farther + size[1] / 2
            yield Spot(box.centre + Vector(0.0, -reach))
            yield Spot(box.centre + Vector(0.0, reach))

    return spots


def either(*wishes: Spots) -> Spots:
    """The spots of several wishes, one after another."""
    return lambda size: chain.from_iterable(spots(size) for spots in wishes)
