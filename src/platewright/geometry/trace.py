"""Segments made ready for many questions: their numbers worked out once, as plain floats.

A trace answers where a fraction of it lies, which fraction a point has, how far a point is, and
which upright boxes cover it. Fractions outside [0, 1] lie before the start or beyond the end.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from platewright.geometry.contour import Contour, Outline
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line, Segment

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class LineTrace:
    """A line from (x0, y0) to (x1, y1) with its unit direction (dx, dy)."""

    x0: float
    y0: float
    x1: float
    y1: float
    dx: float
    dy: float
    length: float

    def at(self, fraction: float) -> tuple[float, float]:
        """The place of a fraction of the length."""
        return self.x0 + (self.x1 - self.x0) * fraction, self.y0 + (self.y1 - self.y0) * fraction

    def fraction(self, x: float, y: float) -> float:
        """The fraction of the foot of a point, outside [0, 1] beyond the ends."""
        return ((x - self.x0) * self.dx + (y - self.y0) * self.dy) / self.length

    def distance(self, x: float, y: float) -> float:
        """Distance of a point, mm."""
        along = (x - self.x0) * self.dx + (y - self.y0) * self.dy
        if along <= 0:
            return math.hypot(x - self.x0, y - self.y0)
        if along >= self.length:
            return math.hypot(x - self.x1, y - self.y1)
        return abs((x - self.x0) * self.dy - (y - self.y0) * self.dx)

    def direction(self, _fraction: float) -> tuple[float, float]:
        """Unit tangent."""
        return self.dx, self.dy

    @property
    def curvature(self) -> float:
        """0: a line does not turn."""
        return 0.0

    def boxes(self, size: float) -> Iterator[Box]:
        """Upright boxes that cover the line, each for at most `size` mm of it."""
        return _boxes(self, size, 0.0)


@dataclass(frozen=True, slots=True)
class ArcTrace:
    """An arc from (x0, y0) to (x1, y1) about (cx, cy), turning by `sweep` radians."""

    x0: float
    y0: float
    x1: float
    y1: float
    cx: float
    cy: float
    radius: float
    sweep: float
    length: float

    def at(self, fraction: float) -> tuple[float, float]:
        """The place of a fraction of the length."""
        if fraction == 0:
            return self.x0, self.y0
        if fraction == 1:
            return self.x1, self.y1
        c, s = math.cos(self.sweep * fraction), math.sin(self.sweep * fraction)
        ux, uy = self.x0 - self.cx, self.y0 - self.cy
        return self.cx + c * ux - s * uy, self.cy + s * ux + c * uy

    def fraction(self, x: float, y: float) -> float:
        """The fraction of a point's direction, outside [0, 1] on the side of the nearer end."""
        ux, uy = self.x0 - self.cx, self.y0 - self.cy
        vx, vy = x - self.cx, y - self.cy
        turn = math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)
        if self.sweep < 0:
            turn = -turn
        full = abs(self.sweep)
        # beyond the middle of the gap a point belongs before the start
        if turn < full / 2 - math.pi:
            turn += math.tau
        return turn / full

    def distance(self, x: float, y: float) -> float:
        """Distance of a point, mm."""
        if 0 < self.fraction(x, y) < 1:
            return abs(math.hypot(x - self.cx, y - self.cy) - self.radius)
        return min(math.hypot(x - self.x0, y - self.y0), math.hypot(x - self.x1, y - self.y1))

    def direction(self, fraction: float) -> tuple[float, float]:
        """Unit tangent along the way of travel."""
        x, y = self.at(fraction)
        turn = math.copysign(1 / self.radius, self.sweep)
        return (self.cy - y) * turn, (x - self.cx) * turn

    @property
    def curvature(self) -> float:
        """1 / radius, positive when it turns to the left."""
        return math.copysign(1 / self.radius, self.sweep)

    def boxes(self, size: float) -> Iterator[Box]:
        """Upright boxes that cover the arc, each for at most `size` mm and a radian of it."""
        size = min(size, self.radius)
        bow = size * size / (8 * self.radius)
        return _boxes(self, size, bow)


Trace = LineTrace | ArcTrace


def _boxes(trace: Trace, size: float, margin: float) -> Iterator[Box]:
    count = max(1, math.ceil(trace.length / size))
    x, y = trace.x0, trace.y0
    for i in range(1, count + 1):
        u, v = trace.at(i / count)
        yield min(x, u) - margin, min(y, v) - margin, max(x, u) + margin, max(y, v) + margin
        x, y = u, v


def line_trace(x0: float, y0: float, x1: float, y1: float) -> LineTrace:
    """The trace of a line between two places that do not coincide."""
    dx, dy = x1 - x0, y1 - y0
    length = math.hypot(dx, dy)
    return LineTrace(x0, y0, x1, y1, dx / length, dy / length, length)


def arc_trace(start: Point, end: Point, centre: Point, radius: float, sweep: float) -> ArcTrace:
    """The trace of an arc whose centre and radius are known."""
    return ArcTrace(
        start.x, start.y, end.x, end.y, centre.x, centre.y, radius, sweep, radius * abs(sweep)
    )


def trace_of(segment: Segment) -> Trace:
    """The trace of a segment."""
    if isinstance(segment, Line):
        return line_trace(segment.start.x, segment.start.y, segment.end.x, segment.end.y)
    return arc_trace(segment.start, segment.end, segment.centre, segment.radius, segment.sweep)


def traces_of(outline: Outline, *, clockwise: bool = False) -> tuple[Trace, ...]:
    """The traces of an outline, travelled anticlockwise or clockwise.

    A circle is two half turns about its own centre.
    """
    if isinstance(outline, Contour):
        turned = outline.anticlockwise()
        turned = turned.reversed() if clockwise else turned
        return tuple(trace_of(segment) for segment in turned.segments)
    sweep = -math.pi if clockwise else math.pi
    first, second = outline.contour().corners
    return (
        arc_trace(first, second, outline.centre, outline.radius, sweep),
        arc_trace(second, first, outline.centre, outline.radius, sweep),
    )
