"""Segments made ready for many questions: their numbers worked out once, as plain floats.

A prepared segment answers where a fraction of it lies, which fraction a point has, how far a point
is, and which upright boxes cover it. Fractions outside [0, 1] lie before the start or beyond the
end.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from platewright.geometry.contour import Contour, Outline
from platewright.geometry.segment import Arc, Line, Segment
from platewright.values import dataclass

Box = tuple[float, float, float, float]
Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class PreparedLine:
    """A line from (x0, y0) to (x1, y1) with its unit direction (dx, dy)."""

    x0: float
    y0: float
    x1: float
    y1: float
    dx: float
    dy: float
    length: float

    def at(self, fraction: float) -> Place:
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

    def direction(self, _fraction: float) -> Place:
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
class PreparedArc:
    """An arc from (x0, y0) to (x1, y1) about (cx, cy), turning by `sweep` radians.

    (nx, ny) is the unit direction from the centre to the start. All questions are answered from
    the start and this direction: the centre of an arc that hardly bows lies too far away.
    """

    x0: float
    y0: float
    x1: float
    y1: float
    cx: float
    cy: float
    radius: float
    sweep: float
    length: float
    nx: float
    ny: float

    def at(self, fraction: float) -> Place:
        """The place of a fraction of the length."""
        if fraction == 0:
            return self.x0, self.y0
        if fraction == 1:
            return self.x1, self.y1
        turn, radius = self.sweep * fraction, self.radius
        beside, half = radius * math.sin(turn), math.sin(turn / 2)
        # radius (1 - cos turn) with all its digits
        inward = 2 * radius * half * half
        return (
            self.x0 - inward * self.nx - beside * self.ny,
            self.y0 - inward * self.ny + beside * self.nx,
        )

    def fraction(self, x: float, y: float) -> float:
        """The fraction of a point's direction, outside [0, 1] on the side of the nearer end."""
        ahead, aside = self._spoke(x, y)
        turn = math.atan2(aside, ahead)
        if self.sweep < 0:
            turn = -turn
        full = abs(self.sweep)
        # beyond the middle of the gap a point belongs before the start
        if turn < full / 2 - math.pi:
            turn += math.tau
        return turn / full

    def _spoke(self, x: float, y: float) -> Place:
        """The way from the centre to a place in radii, along and left of the start's direction."""
        wx, wy = (x - self.x0) / self.radius, (y - self.y0) / self.radius
        return 1 + wx * self.nx + wy * self.ny, self.nx * wy - self.ny * wx

    def beyond(self, x: float, y: float) -> float:
        """How far a place lies outside the whole circle, mm; negative inside."""
        wx, wy = x - self.x0, y - self.y0
        ahead, aside = self._spoke(x, y)
        # |v| - 1 = (v² - 1) / (|v| + 1) keeps its digits however far the centre is
        square = (wx * wx + wy * wy) / self.radius + 2 * (wx * self.nx + wy * self.ny)
        return square / (1 + math.hypot(ahead, aside))

    def distance(self, x: float, y: float) -> float:
        """Distance of a point, mm."""
        if 0 < self.fraction(x, y) < 1:
            return abs(self.beyond(x, y))
        return min(math.hypot(x - self.x0, y - self.y0), math.hypot(x - self.x1, y - self.y1))

    def direction(self, fraction: float) -> Place:
        """Unit tangent along the way of travel."""
        c, s = math.cos(self.sweep * fraction), math.sin(self.sweep * fraction)
        way = math.copysign(1.0, self.sweep)
        return -way * (s * self.nx + c * self.ny), way * (c * self.nx - s * self.ny)

    @property
    def curvature(self) -> float:
        """1 / radius, positive when it turns to the left."""
        return math.copysign(1 / self.radius, self.sweep)

    def boxes(self, size: float) -> Iterator[Box]:
        """Upright boxes that cover the arc, each for at most `size` mm and a radian of it."""
        size = min(size, self.radius)
        bow = size * size / (8 * self.radius)
        return _boxes(self, size, bow)


PreparedSegment = PreparedLine | PreparedArc


def _boxes(segment: PreparedSegment, size: float, margin: float) -> Iterator[Box]:
    count = max(1, math.ceil(segment.length / size))
    x, y = segment.x0, segment.y0
    for i in range(1, count + 1):
        u, v = segment.at(i / count)
        yield min(x, u) - margin, min(y, v) - margin, max(x, u) + margin, max(y, v) + margin
        x, y = u, v


def prepared_line(x0: float, y0: float, x1: float, y1: float) -> PreparedLine:
    """A line between two places that do not coincide, prepared."""
    dx, dy = x1 - x0, y1 - y0
    length = math.hypot(dx, dy)
    return PreparedLine(x0, y0, x1, y1, dx / length, dy / length, length)


def arc_about(centre: Place, start: Place, end: Place, radius: float, sweep: float) -> PreparedArc:
    """An arc whose centre is known and near, prepared."""
    out = (start[0] - centre[0]) / radius, (start[1] - centre[1]) / radius
    return PreparedArc(*start, *end, *centre, radius, sweep, radius * abs(sweep), *out)


def prepared_arc(arc: Arc) -> PreparedArc:
    """An arc, prepared."""
    ends = arc.start.x, arc.start.y, arc.end.x, arc.end.y
    centre, along = arc.centre, arc.start_direction
    out = along.right if arc.sweep > 0 else along.left
    return PreparedArc(*ends, centre.x, centre.y, arc.radius, arc.sweep, arc.length, out.x, out.y)


def prepared(segment: Segment) -> PreparedSegment:
    """A segment, prepared."""
    if isinstance(segment, Line):
        return prepared_line(segment.start.x, segment.start.y, segment.end.x, segment.end.y)
    return prepared_arc(segment)


def swept(arc: PreparedArc, start: Place, end: Place, told: float) -> float:
    """The sweep along an arc's circle from one place to another, radians: the turn told.

    The told one itself where the places lie in one direction from the centre.
    """
    if start == (arc.x0, arc.y0) and end == (arc.x1, arc.y1):
        return told
    sweep = (arc.fraction(*end) - arc.fraction(*start)) * arc.sweep
    return sweep + math.tau * round((told - sweep) / math.tau) or told


def prepared_outline(outline: Outline, *, clockwise: bool = False) -> tuple[PreparedSegment, ...]:
    """The segments of an outline, prepared, travelled anticlockwise or clockwise.

    A circle is two half turns about its own centre.
    """
    if isinstance(outline, Contour):
        turned = outline.anticlockwise()
        turned = turned.reversed() if clockwise else turned
        return tuple(prepared(segment) for segment in turned.segments)
    sweep = -math.pi if clockwise else math.pi
    centre = outline.centre.x, outline.centre.y
    first, second = ((corner.x, corner.y) for corner in outline.contour().corners)
    return (
        arc_about(centre, first, second, outline.radius, sweep),
        arc_about(centre, second, first, outline.radius, sweep),
    )
