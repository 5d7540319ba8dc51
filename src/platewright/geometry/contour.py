"""Closed contours of lines and arcs, and whole circles."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from platewright.errors import GeometryError
from platewright.geometry.plane import ORIGIN, Bounds, Motion, Point, Vector
from platewright.geometry.segment import Arc, Line, Segment
from platewright.values import dataclass


@dataclass(frozen=True, slots=True)
class Circle:
    """A whole circle: centre and diameter, mm. Raises GeometryError unless the diameter is > 0."""

    centre: Point
    diameter: float

    def __post_init__(self) -> None:
        if not self.diameter > 0:
            raise GeometryError(f"a circle's diameter must be positive, not {self.diameter!r}")

    @property
    def radius(self) -> float:
        """Radius, mm."""
        return self.diameter / 2

    @property
    def area(self) -> float:
        """Area, mm²."""
        return math.pi * self.radius**2

    @property
    def perimeter(self) -> float:
        """Circumference, mm."""
        return math.pi * self.diameter

    @property
    def bounds(self) -> Bounds:
        """The smallest upright box."""
        c, r = self.centre, self.radius
        return Bounds(c.x - r, c.y - r, c.x + r, c.y + r)

    def moved(self, motion: Motion) -> Circle:
        """The circle after a motion."""
        return Circle(motion.point(self.centre), self.diameter)

    def distance(self, p: Point) -> float:
        """Distance from a point to the line of the circle, mm."""
        return abs(p.distance(self.centre) - self.radius)

    def contains(self, p: Point) -> bool:
        """Whether a point lies strictly inside."""
        return p.distance(self.centre) < self.radius

    def contains_each(self, x: Any, y: Any) -> Any:
        """Whether each of many points, given as arrays of x and of y, lies strictly inside."""
        import numpy as np

        return np.hypot(x - self.centre.x, y - self.centre.y) < self.radius

    def contour(self) -> Contour:
        """The circle as two anticlockwise half-turn arcs from its rightmost point."""
        right = self.centre + Vector(self.radius, 0)
        left = self.centre + Vector(-self.radius, 0)
        return Contour((Arc(right, left, math.pi), Arc(left, right, math.pi)))

    def flatten(self, sagitta: float) -> list[Point]:
        """Points round the circle (first not repeated), chords within `sagitta` mm of it."""
        x, y = self.centre.x, self.centre.y
        return [Point(x + dx, y + dy) for dx, dy in _round(self.diameter, sagitta)]


@lru_cache(maxsize=64)
def _round(diameter: float, sagitta: float) -> tuple[tuple[float, float], ...]:
    """The points of a circle from its centre: those of a drawing are of a few sizes."""
    return tuple((p.x, p.y) for p in Circle(ORIGIN, diameter).contour().flatten(sagitta))


@dataclass(frozen=True, slots=True)
class Contour:
    """A closed chain of segments, each starting exactly where the one before ends.

    Raises GeometryError for a gap, a zero-length segment, or fewer than two segments.
    """

    segments: tuple[Segment, ...]

    def __post_init__(self) -> None:
        if len(self.segments) < 2:
            raise GeometryError("a contour needs at least two segments")
        end = self.segments[-1].end
        for segment in self.segments:
            start = segment.start
            if end is not start and end != start:
                raise GeometryError(f"a contour gaps between {end} and {start}")
            end = segment.end
            if start.x == end.x and start.y == end.y:
                raise GeometryError(f"a contour has a segment without length at {start}")

    @classmethod
    def polygon(cls, points: Iterable[Point]) -> Contour:
        """The closed polygon through some points (first not repeated)."""
        corners = list(points)
        return cls(tuple(map(Line, corners, corners[1:] + corners[:1])))

    @property
    def area(self) -> float:
        """Signed area, mm²: positive when travelled anticlockwise."""
        # shares are summed about a corner of the shape, so far-away shapes lose no digits
        x, y = self.segments[0].start.x, self.segments[0].start.y
        shares = []
        for segment in self.segments:
            a, b = segment.start, segment.end
            cross = (a.x - x) * (b.y - y) - (a.y - y) * (b.x - x)
            shares.append(cross / 2 + segment.bow_area)
        return math.fsum(shares)

    @property
    def perimeter(self) -> float:
        """Length all round, mm."""
        return math.fsum(segment.length for segment in self.segments)

    @property
    def bounds(self) -> Bounds:
        """The smallest upright box, arcs included exactly."""
        corners = self.corners
        xs, ys = [p.x for p in corners], [p.y for p in corners]
        for segment in self.segments:
            if isinstance(segment, Arc):
                box = segment.bounds
                xs += (box.xmin, box.xmax)
                ys += (box.ymin, box.ymax)
        return Bounds(min(xs), min(ys), max(xs), max(ys))

    @property
    def corners(self) -> tuple[Point, ...]:
        """The joints, each segment's start in order."""
        return tuple([segment.start for segment in self.segments])

    def reversed(self) -> Contour:
        """The same contour travelled the other way."""
        return Contour(tuple(segment.reversed() for segment in reversed(self.segments)))

    def anticlockwise(self) -> Contour:
        """The contour travelled anticlockwise."""
        return self if self.area > 0 else self.reversed()

    def moved(self, motion: Motion) -> Contour:
        """The contour after a motion; a mirroring reverses the travel, so the turn stays."""
        # each joint once: two segments share it
        joints = [motion.point(segment.start) for segment in self.segments]
        moved = zip(self.segments, joints, joints[1:] + joints[:1], strict=True)
        if motion.mirrors:
            return Contour(tuple([s.between(b, a) for s, a, b in moved][::-1]))
        return Contour(tuple([s.between(a, b) for s, a, b in moved]))

    def distance(self, p: Point) -> float:
        """Distance from a point to the line of the contour, mm."""
        return min(segment.distance(p) for segment in self.segments)

    def contains(self, p: Point) -> bool:
        """Whether a point lies inside, by the winding of every segment seen from it."""
        # in plain figures: asked for very many places
        x, y = p.x, p.y
        ax, ay = self.segments[0].start.x - x, self.segments[0].start.y - y
        turns = []
        for segment in self.segments:
            end = segment.end
            bx, by = end.x - x, end.y - y
            side, ahead = ax * by - ay * bx, ax * bx + ay * by
            if isinstance(segment, Line):
                turns.append(math.atan2(side, ahead))
            else:
                turns.append(_arc_turn(segment, p, side, ahead))
            ax, ay = bx, by
        return abs(math.fsum(turns)) > math.pi

    def contains_each(self, x: Any, y: Any) -> Any:
        """Whether each of many points, given as arrays of x and of y, lies inside."""
        import numpy as np

        joints = np.array([(p.x, p.y) for p in (*self.corners, self.segments[0].start)])
        x_to, y_to = joints[:, :1] - x, joints[:, 1:] - y
        ax, ay, bx, by = x_to[:-1], y_to[:-1], x_to[1:], y_to[1:]
        sides = ax * by - ay * bx
        turn = np.arctan2(sides, ax * bx + ay * by).sum(axis=0)
        for segment, side in zip(self.segments, sides, strict=True):
            if isinstance(segment, Arc):
                whole = math.copysign(math.tau, segment.sweep)
                centre, radius = segment.centre, segment.radius
                in_circle = np.hypot(x - centre.x, y - centre.y) < radius
                turn += np.where(in_circle & (side * whole < 0), whole, 0.0)
        return np.abs(turn) > math.pi

    def flatten(self, sagitta: float) -> list[Point]:
        """Corners of a polygon (first not repeated) within `sagitta` mm of every arc."""
        points: list[Point] = []
        for segment in self.segments:
            points.extend(segment.flatten(sagitta)[:-1])
        return points


def _arc_turn(arc: Arc, p: Point, side: float, ahead: float) -> float:
    """The angle that a traveller along an arc sweeps about `p`, radians.

    `side` and `ahead` are the cross and the dot product of the ways to its ends.
    """
    if side == 0 and ahead < 0:
        # on the chord: half a turn, the way the arc goes
        return math.copysign(math.pi, arc.sweep)
    chord = math.atan2(side, ahead)
    if side >= 0 if arc.sweep > 0 else side <= 0:
        return chord
    # first whether it is no farther from the chord than the arc is high: it seldom is
    dx, dy = arc.end.x - arc.start.x, arc.end.y - arc.start.y
    most = (dx * dx + dy * dy) * abs(math.tan(arc.sweep / 4)) / 2
    # between chord and arc: the arc goes round the other side of p
    in_bow = abs(side) <= most * (1 + 1e-9) and arc.beyond(p) < 0
    return chord + math.copysign(math.tau, arc.sweep) if in_bow else chord


Outline = Contour | Circle
