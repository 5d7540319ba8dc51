"""Places that words on a pattern would like: along lines, round circles, beside holes, in panels.

Every function gives the places of a block in order, the best first; `callouts` takes the first
that is free.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache, lru_cache
from itertools import chain

from platewright.drawing.callouts import Block, Place, Places
from platewright.drawing.dimensions import readable
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
_GRID = 5.0


def along(line: Line, gap: float = _GAP) -> Places:
    """Reading along a line, on either side of it, from its middle outwards; else on a leader."""

    def places(block: Block) -> Iterator[Place]:
        return chain(_along(line, gap, block), _led_from(line, block))

    return places


def _along(line: Line, gap: float, block: Block) -> Iterator[Place]:
    angle = readable(line.direction.angle)
    up = Vector.polar(angle).left
    for farther in _FARTHER:
        reach = gap + farther + block.height / 2
        for fraction in _FRACTIONS:
            at = line.point_at(fraction)
            yield Place(at + up * reach, angle)
            yield Place(at + up * -reach, angle)


def _led_from(line: Line, block: Block) -> Iterator[Place]:
    """On leaders from a few points of a line."""
    for fraction in (0.5, 0.25, 0.75):
        yield from led(line.point_at(fraction), 0.0)(block)


def round_circle(circle: Circle) -> Places:
    """Reading along a tangent of a circle, from its upper right; else on a leader from there."""

    def places(block: Block) -> Iterator[Place]:
        return chain(_round_circle(circle, block), _led_from_circle(circle, block))

    return places


def _round_circle(circle: Circle, block: Block) -> Iterator[Place]:
    """Outside and inside the circle by turns."""
    sagitta = _sagitta(circle.radius, block.width)
    outside = circle.radius + _GAP + block.height / 2
    inside = circle.radius - _GAP - sagitta - block.height / 2
    for turn in _turns():
        out = Vector.polar(turn)
        angle = readable(out.left.angle)
        for reach in (outside, inside):
            if reach > 0:
                yield Place(circle.centre + out * reach, angle)


def _led_from_circle(circle: Circle, block: Block) -> Iterator[Place]:
    for turn in (math.pi / 4, 3 * math.pi / 4, -math.pi / 4, -3 * math.pi / 4):
        yield from led(circle.centre + Vector.polar(turn, circle.radius), 0.0)(block)


def _sagitta(radius: float, chord: float) -> float:
    half = min(chord / 2, radius)
    return radius - math.sqrt(radius**2 - half**2)


def _turns() -> Iterator[float]:
    """Directions from the upper right, to either side by turns."""
    for index in range(_TURNS):
        step = (index + 1) // 2 * (1 if index % 2 else -1)
        yield math.pi / 3 + step * math.tau / _TURNS


def round_arc(arc: Arc) -> Places:
    """Reading along an arc, on either side of it, from its middle outwards."""

    def places(block: Block) -> Iterator[Place]:
        sagitta = _sagitta(arc.radius, block.width)
        for fraction in _FRACTIONS:
            at, ahead = arc.point_at(fraction), arc.direction_at(fraction)
            out = ahead.right if arc.sweep > 0 else ahead.left
            angle = readable(ahead.angle)
            yield Place(at + out * (_GAP + block.height / 2), angle)
            yield Place(at + out * -(_GAP + sagitta + block.height / 2), angle)

    return places


def beside(at: Point, clear: float, arms: float) -> Places:
    """Level words beside a hole, else on a leader.

    The hole's circle reaches `clear` mm from its centre, its centre lines `arms` mm.
    """

    def places(block: Block) -> Iterator[Place]:
        return chain(_close(at, clear, arms, block), led(at, clear)(block))

    return places


def _close(at: Point, clear: float, arms: float, block: Block) -> Iterator[Place]:
    """At the four corners of a point, then right and left of it, above and below it."""
    s = (clear + _GAP) * math.sqrt(0.5)
    corner_x, corner_y = s + block.width / 2, s + block.height / 2
    x, y = arms + _GAP + block.width / 2, arms + _GAP + block.height / 2
    for dx, dy in (
        (corner_x, corner_y), (-corner_x, corner_y), (corner_x, -corner_y), (-corner_x, -corner_y),
        (x, 0.0), (-x, 0.0), (0.0, y), (0.0, -y),
    ):  # fmt: skip
        side: Along = "left" if dx > 0 else "right" if dx < 0 else "middle"
        yield Place(at + Vector(dx, dy), 0.0, side)


def led(at: Point, clear: float) -> Places:
    """Level words on leaders all round a point, the shorter leaders first."""

    starts = [(out, at + out * clear) for out in _WAYS]

    def places(block: Block) -> Iterator[Place]:
        beyond = block.width / 2 + 1.6
        for ring in _RINGS:
            for out, start in starts:
                end = at + out * (clear + ring)
                side: Along = "left" if out.x > 0 else "right"
                middle = Point(end.x + math.copysign(beyond, out.x), end.y)
                yield Place(middle, 0.0, side, Line(start, end))

    return places


def inside(contour: Contour, angle: float) -> Places:
    """In a panel, reading at `angle`, from its middle outwards."""

    holds = cache(contour.contains)  # asked again for every size of the words

    def places(block: Block) -> Iterator[Place]:  # noqa: ARG001  (any block fits a panel alike)
        for spot in _spots(contour):
            if holds(spot):
                yield Place(spot, angle)

    return places


def below_or_above(box: Bounds, gap: float) -> Places:
    """Level words outside a box, under it or over it."""

    def places(block: Block) -> Iterator[Place]:
        for farther in _FARTHER:
            reach = box.height / 2 + gap + farther + block.height / 2
            yield Place(box.centre + Vector(0.0, -reach))
            yield Place(box.centre + Vector(0.0, reach))

    return places


def either(*wishes: Places) -> Places:
    """The places of several wishes, one after another."""
    return lambda block: chain.from_iterable(places(block) for places in wishes)


@lru_cache(maxsize=64)
def _spots(contour: Contour) -> tuple[Point, ...]:
    """A grid over a contour's box, from its middle outwards: the same for words of any size."""
    return tuple(sorted(_grid(contour.bounds), key=_middle(contour).distance))


def _middle(contour: Contour) -> Point:
    corners = contour.flatten(1.0)
    x = math.fsum(corner.x for corner in corners) / len(corners)
    y = math.fsum(corner.y for corner in corners) / len(corners)
    return Point(x, y)


def _grid(box: Bounds) -> Iterator[Point]:
    # very large panels get a coarser grid: a few hundred places are plenty
    step = max(_GRID, math.sqrt(box.width * box.height / 600))
    columns, rows, centre = int(box.width / step), int(box.height / step), box.centre
    for row in range(rows + 1):
        for column in range(columns + 1):
            x = centre.x + (column - columns / 2) * step
            yield Point(x, centre.y + (row - rows / 2) * step)
