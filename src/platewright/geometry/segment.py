"""Line and arc segments.

An arc is its two ends and a signed sweep, so joints are shared points and cannot gap, a rigid
motion moves two points, and the bulge of a DXF polyline is tan(sweep / 4).
"""

from __future__ import annotations

import math

from platewright.errors import GeometryError
from platewright.geometry.plane import Bounds, Motion, Point, Vector
from platewright.values import dataclass


@dataclass(frozen=True, slots=True)
class Line:
    """A straight segment from `start` to `end`."""

    start: Point
    end: Point

    @property
    def length(self) -> float:
        """Length, mm."""
        return self.start.distance(self.end)

    @property
    def direction(self) -> Vector:
        """Unit vector from start to end. Raises ZeroDivisionError where they coincide."""
        # in plain figures: asked for very often
        a, b, length = self.start, self.end, self.length
        return Vector((b.x - a.x) / length, (b.y - a.y) / length)

    @property
    def start_direction(self) -> Vector:
        """Unit tangent at the start, along the way of travel."""
        return self.direction

    @property
    def end_direction(self) -> Vector:
        """Unit tangent at the end, along the way of travel."""
        return self.direction

    @property
    def bounds(self) -> Bounds:
        """The smallest upright box."""
        a, b = self.start, self.end
        return Bounds(min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y))

    @property
    def bow_area(self) -> float:
        """0: nothing lies between a line and its chord, mm²."""
        return 0.0

    def point_at(self, fraction: float) -> Point:
        """The point at `fraction` of the length; the ends exactly at 0 and 1."""
        return self.end if fraction == 1 else self.start.towards(self.end, fraction)

    def direction_at(self, _fraction: float) -> Vector:
        """Unit tangent at `fraction` of the length."""
        return self.direction

    def part(self, begin: float, finish: float) -> Line:
        """The piece between two fractions of the length."""
        return Line(self.point_at(begin), self.point_at(finish))

    def reversed(self) -> Line:
        """The same segment travelled the other way."""
        return Line(self.end, self.start)

    def moved(self, motion: Motion) -> Line:
        """The segment after a motion."""
        return Line(motion.point(self.start), motion.point(self.end))

    def between(self, start: Point, end: Point) -> Line:
        """A line with other ends."""
        return Line(start, end)

    def nearest_fraction(self, p: Point) -> float:
        """Fraction of the length, in [0, 1], of the point nearest to `p`."""
        # in plain figures: asked for very often
        a, b = self.start, self.end
        dx, dy = b.x - a.x, b.y - a.y
        square = dx * dx + dy * dy
        if not square:
            return 0.0
        return min(1.0, max(0.0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / square))

    def distance(self, p: Point) -> float:
        """Distance from a point, mm."""
        a, b, share = self.start, self.end, self.nearest_fraction(p)
        if share == 1:
            return p.distance(b)
        x, y = a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share
        return math.hypot(p.x - x, p.y - y)

    def farthest(self, way: Vector) -> Point:
        """The point that lies farthest along a direction: the start where both ends do."""
        return self.end if (self.end - self.start).dot(way) > 0 else self.start

    def flatten(self, sagitta: float) -> list[Point]:  # noqa: ARG002  (same call as an arc's)
        """The two ends: a line needs no approximation."""
        return [self.start, self.end]


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular segment from `start` to `end`, turning `sweep` radians (anticlockwise positive).

    The sweep lies in (-2 pi, 2 pi) and is not 0; a whole circle is a `Circle`.
    Raises GeometryError for a zero sweep, a whole turn, or ends that coincide.
    """

    start: Point
    end: Point
    sweep: float

    def __post_init__(self) -> None:
        if not 0 < abs(self.sweep) < 2 * math.pi:
            raise GeometryError(f"an arc sweeps between 0 and a whole turn, not {self.sweep!r} rad")
        if self.start == self.end:
            raise GeometryError("an arc's two ends coincide")

    @classmethod
    def about(cls, centre: Point, radius: float, angle: float, sweep: float) -> Arc:
        """The arc round `centre` that begins at `angle` radians and turns by `sweep`."""
        return cls(
            centre + Vector.polar(angle, radius),
            centre + Vector.polar(angle + sweep, radius),
            sweep,
        )

    @property
    def bulge(self) -> float:
        """tan(sweep / 4), the bulge of a DXF polyline vertex."""
        return math.tan(self.sweep / 4)

    @property
    def radius(self) -> float:
        """Radius, mm (always positive)."""
        return self.start.distance(self.end) / (2 * abs(math.sin(self.sweep / 2)))

    @property
    def centre(self) -> Point:
        """Centre of the circle."""
        half = (self.end - self.start) / 2
        # cot(sweep/2) vanishes at half a turn and changes sign beyond it, as it should
        return self.start + half + half.left * (math.cos(self.sweep / 2) / math.sin(self.sweep / 2))

    @property
    def length(self) -> float:
        """Length along the arc, mm."""
        return self.radius * abs(self.sweep)

    @property
    def start_angle(self) -> float:
        """Direction from the centre to the start, radians."""
        # from the chord, not from centre-to-start: no cancellation on flat arcs
        quarter = math.pi / 2 if self.sweep > 0 else -math.pi / 2
        return (self.end - self.start).angle - self.sweep / 2 - quarter

    @property
    def start_direction(self) -> Vector:
        """Unit tangent at the start, along the way of travel."""
        return self._chord_turned(-self.sweep / 2)

    @property
    def end_direction(self) -> Vector:
        """Unit tangent at the end, along the way of travel."""
        return self._chord_turned(self.sweep / 2)

    def _chord_turned(self, turn: float) -> Vector:
        """Unit vector along the chord, turned by so many radians."""
        # in plain figures: asked for very often
        a, b, c, s = self.start, self.end, math.cos(turn), math.sin(turn)
        length = math.hypot(b.x - a.x, b.y - a.y)
        x, y = (b.x - a.x) / length, (b.y - a.y) / length
        return Vector(c * x - s * y, s * x + c * y)

    @property
    def bounds(self) -> Bounds:
        """The smallest upright box, exact at the quadrant points that the arc passes."""
        points, start = [self.start, self.end], self.start_angle
        for quadrant, (dx, dy) in enumerate(((1, 0), (0, 1), (-1, 0), (0, -1))):
            if 0 < self._fraction_after(quadrant * math.pi / 2 - start) < 1:
                centre, radius = self.centre, self.radius
                points.append(Point(centre.x + dx * radius, centre.y + dy * radius))
        return Bounds.of(*points)

    @property
    def bow_area(self) -> float:
        """Area between the arc and its chord, mm², positive to the right of the chord."""
        sweep = self.sweep
        if abs(sweep) < 0.01:
            # the closed form loses its digits on flat arcs; the next term is under 1e-11
            chord = self.end - self.start
            return chord.dot(chord) * sweep / 12 * (1 + sweep * sweep / 30)
        return self.radius**2 * (sweep - math.sin(sweep)) / 2

    def _fraction_after(self, turn: float) -> float:
        """Fraction of the sweep so far round from the start, radians; above 1 when off the arc."""
        turn = turn % math.tau if self.sweep > 0 else -((-turn) % math.tau)
        return turn / self.sweep

    def point_at(self, fraction: float) -> Point:
        """The point at `fraction` of the length."""
        if fraction == 0:
            return self.start
        if fraction == 1:
            return self.end
        # chord form: start + chord of the part swept, exact for nearly straight arcs too
        turn = self.sweep * fraction
        reach = math.sin(turn / 2) / math.sin(self.sweep / 2)
        return self.start + (self.end - self.start).turned((turn - self.sweep) / 2) * reach

    def direction_at(self, fraction: float) -> Vector:
        """Unit tangent at `fraction` of the length."""
        return self.start_direction.turned(self.sweep * fraction)

    def part(self, begin: float, finish: float) -> Arc:
        """The piece between two fractions of the length."""
        return Arc(self.point_at(begin), self.point_at(finish), self.sweep * (finish - begin))

    def reversed(self) -> Arc:
        """The same segment travelled the other way."""
        return Arc(self.end, self.start, -self.sweep)

    def moved(self, motion: Motion) -> Arc:
        """The segment after a motion; a mirroring turns the sweep round."""
        sweep = -self.sweep if motion.mirrors else self.sweep
        return Arc(motion.point(self.start), motion.point(self.end), sweep)

    def between(self, start: Point, end: Point) -> Arc:
        """An arc of the same sweep with other ends."""
        return Arc(start, end, self.sweep)

    def nearest_fraction(self, p: Point) -> float:
        """Fraction of the length, in [0, 1], of the point nearest to `p`."""
        turn = math.copysign(1, self.sweep) * self._spoke(p).angle
        fraction = turn % math.tau / abs(self.sweep)
        if fraction <= 1:
            return fraction
        return 0.0 if p.distance(self.start) <= p.distance(self.end) else 1.0

    def distance(self, p: Point) -> float:
        """Distance from a point, mm."""
        fraction = self.nearest_fraction(p)
        if 0 < fraction < 1:
            return abs(self.beyond(p))
        return min(p.distance(self.start), p.distance(self.end))

    def farthest(self, way: Vector) -> Point:
        """The point that lies farthest along a direction, exact wherever it is on the arc."""
        fraction = self._fraction_after(way.angle - self.start_angle)
        if 0 < fraction < 1:
            return self.point_at(fraction)
        return self.end if (self.end - self.start).dot(way) > 0 else self.start

    def beyond(self, p: Point) -> float:
        """How far a point lies outside the whole circle, mm; negative inside."""
        # |v| - 1 = (v² - 1) / (|v| + 1): the centre of a flat arc is too far to measure from
        way = p - self.start
        square = way.dot(way) / self.radius + 2 * way.dot(self._outward)
        return square / (1 + self._spoke(p).length)

    @property
    def _outward(self) -> Vector:
        """Unit direction from the centre to the start."""
        return self.start_direction.right if self.sweep > 0 else self.start_direction.left

    def _spoke(self, p: Point) -> Vector:
        """From the centre to a point in radii, with +x towards the start."""
        out, way = self._outward, (p - self.start) / self.radius
        return Vector(1 + way.dot(out), out.cross(way))

    def flatten(self, sagitta: float) -> list[Point]:
        """Points on the arc whose chords leave it by at most `sagitta` mm.

        Raises GeometryError unless `sagitta` is positive.
        """
        if not sagitta > 0:
            raise GeometryError("flattening needs a positive sagitta")
        # 2 acos(1 - sagitta / radius) with all its digits
        step = 4 * math.asin(math.sqrt(min(2.0, sagitta / self.radius) / 2))
        count = max(1, math.ceil(abs(self.sweep) / step - 1e-9))
        # as `point_at` does, in plain figures: asked for very often
        a, b, half = self.start, self.end, math.sin(self.sweep / 2)
        dx, dy = b.x - a.x, b.y - a.y
        points = [a]
        for i in range(1, count):
            turn = self.sweep * (i / count)
            angle, reach = (turn - self.sweep) / 2, math.sin(turn / 2) / half
            c, s = math.cos(angle), math.sin(angle)
            x, y = (c * dx - s * dy) * reach, (s * dx + c * dy) * reach
            points.append(Point(a.x + x, a.y + y))
        return [*points, b]


Segment = Line | Arc
