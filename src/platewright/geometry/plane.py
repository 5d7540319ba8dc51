"""Points, vectors and rigid motions of the plane.

Lengths are millimetres, angles radians, positive anticlockwise. A point is a place, a vector a
difference of places, and the operators keep them apart.
"""

from __future__ import annotations

import math
from collections.abc import Collection

from platewright.values import dataclass


@dataclass(frozen=True, slots=True)
class Vector:
    """A displacement (x, y) in mm, or a unit direction."""

    x: float
    y: float

    @classmethod
    def polar(cls, angle: float, length: float = 1.0) -> Vector:
        """The vector of `length` mm at `angle` radians from +x."""
        return cls(length * math.cos(angle), length * math.sin(angle))

    def __add__(self, other: Vector) -> Vector:
        return Vector(self.x + other.x, self.y + other.y)

    def __sub__(self, other: Vector) -> Vector:
        return Vector(self.x - other.x, self.y - other.y)

    def __mul__(self, factor: float) -> Vector:
        return Vector(self.x * factor, self.y * factor)

    __rmul__ = __mul__

    def __truediv__(self, divisor: float) -> Vector:
        return Vector(self.x / divisor, self.y / divisor)

    def __neg__(self) -> Vector:
        return Vector(-self.x, -self.y)

    def dot(self, other: Vector) -> float:
        """Scalar product, mm²."""
        return self.x * other.x + self.y * other.y

    def cross(self, other: Vector) -> float:
        """Third component of the vector product, mm²; positive when `other` lies to the left."""
        return self.x * other.y - self.y * other.x

    @property
    def length(self) -> float:
        """Length, mm."""
        return math.hypot(self.x, self.y)

    @property
    def angle(self) -> float:
        """Direction from +x, radians in (-pi, pi]."""
        return math.atan2(self.y, self.x)

    @property
    def left(self) -> Vector:
        """The same vector turned a quarter turn anticlockwise."""
        return Vector(-self.y, self.x)

    @property
    def right(self) -> Vector:
        """The same vector turned a quarter turn clockwise."""
        return Vector(self.y, -self.x)

    def unit(self) -> Vector:
        """The direction alone. Raises ZeroDivisionError for the zero vector."""
        return self / self.length

    def turned(self, angle: float) -> Vector:
        """The vector turned by `angle` radians."""
        c, s = math.cos(angle), math.sin(angle)
        return Vector(c * self.x - s * self.y, s * self.x + c * self.y)


@dataclass(frozen=True, slots=True)
class Point:
    """A place (x, y) in mm."""

    x: float
    y: float

    def __add__(self, other: Vector) -> Point:
        return Point(self.x + other.x, self.y + other.y)

    def __sub__(self, other: Point) -> Vector:
        return Vector(self.x - other.x, self.y - other.y)

    def distance(self, other: Point) -> float:
        """Distance to another point, mm."""
        return math.hypot(self.x - other.x, self.y - other.y)

    def midpoint(self, other: Point) -> Point:
        """Halfway to another point."""
        return Point((self.x + other.x) / 2, (self.y + other.y) / 2)

    def towards(self, other: Point, fraction: float) -> Point:
        """The point `fraction` of the way to another (0 here, 1 there)."""
        return Point(self.x + (other.x - self.x) * fraction, self.y + (other.y - self.y) * fraction)


ORIGIN = Point(0.0, 0.0)


def close(a: Point, b: Point, tolerance: float = 1e-9) -> bool:
    """Whether two points lie within `tolerance` mm of each other (`==` is exact)."""
    return a.distance(b) <= tolerance


@dataclass(frozen=True, slots=True)
class Bounds:
    """An upright box: (xmin, ymin) to (xmax, ymax), mm."""

    xmin: float
    ymin: float
    xmax: float
    ymax: float

    @property
    def width(self) -> float:
        """Extent along x, mm."""
        return self.xmax - self.xmin

    @property
    def height(self) -> float:
        """Extent along y, mm."""
        return self.ymax - self.ymin

    @property
    def centre(self) -> Point:
        """The box's middle."""
        return Point((self.xmin + self.xmax) / 2, (self.ymin + self.ymax) / 2)

    def union(self, other: Bounds) -> Bounds:
        """The smallest box round both."""
        return Bounds(
            min(self.xmin, other.xmin),
            min(self.ymin, other.ymin),
            max(self.xmax, other.xmax),
            max(self.ymax, other.ymax),
        )

    def grown(self, margin: float) -> Bounds:
        """The box with `margin` mm added on every side."""
        return Bounds(
            self.xmin - margin, self.ymin - margin, self.xmax + margin, self.ymax + margin
        )

    def meets(self, other: Bounds) -> bool:
        """Whether the boxes share a point."""
        return (
            self.xmin <= other.xmax
            and other.xmin <= self.xmax
            and self.ymin <= other.ymax
            and other.ymin <= self.ymax
        )

    def holds(self, other: Bounds) -> bool:
        """Whether all of another box lies in this one (edges may touch)."""
        return (
            self.xmin <= other.xmin
            and other.xmax <= self.xmax
            and self.ymin <= other.ymin
            and other.ymax <= self.ymax
        )

    @classmethod
    def of(cls, *points: Point) -> Bounds:
        """The smallest box round some points."""
        xs = [p.x for p in points]
        ys = [p.y for p in points]
        return cls(min(xs), min(ys), max(xs), max(ys))

    @classmethod
    def around(cls, boxes: Collection[Bounds]) -> Bounds:
        """The smallest box round some boxes."""
        return cls(
            min([box.xmin for box in boxes]),
            min([box.ymin for box in boxes]),
            max([box.xmax for box in boxes]),
            max([box.ymax for box in boxes]),
        )


@dataclass(frozen=True, slots=True)
class Motion:
    """A rigid motion of the plane, or a rigid motion with a mirroring.

    Maps (x, y) to (a x + c y + e, b x + d y + f) with an orthogonal matrix. Motions compose with
    `@`, right one first: `sheet_from_part @ part_from_panel`.
    """

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    @classmethod
    def translation(cls, by: Vector) -> Motion:
        """A shift."""
        return cls(e=by.x, f=by.y)

    @classmethod
    def rotation(cls, angle: float, about: Point = ORIGIN) -> Motion:
        """A turn of `angle` radians about a point."""
        c, s = math.cos(angle), math.sin(angle)
        return cls(
            c, s, -s, c, about.x - c * about.x + s * about.y, about.y - s * about.x - c * about.y
        )

    @classmethod
    def mirror_x(cls, about: float = 0.0) -> Motion:
        """The mirroring that swaps left and right about the line x = `about`."""
        return cls(a=-1.0, e=2 * about)

    @classmethod
    def frame(cls, origin: Point, x_axis: Vector) -> Motion:
        """The motion that takes the origin to `origin` and +x to the unit vector `x_axis`."""
        return cls(x_axis.x, x_axis.y, -x_axis.y, x_axis.x, origin.x, origin.y)

    def __matmul__(self, other: Motion) -> Motion:
        return Motion(
            self.a * other.a + self.c * other.b,
            self.b * other.a + self.d * other.b,
            self.a * other.c + self.c * other.d,
            self.b * other.c + self.d * other.d,
            self.a * other.e + self.c * other.f + self.e,
            self.b * other.e + self.d * other.f + self.f,
        )

    @property
    def mirrors(self) -> bool:
        """Whether the motion turns a left hand into a right hand."""
        return self.a * self.d - self.b * self.c < 0

    def point(self, p: Point) -> Point:
        """Where a point goes."""
        return Point(self.a * p.x + self.c * p.y + self.e, self.b * p.x + self.d * p.y + self.f)

    def vector(self, v: Vector) -> Vector:
        """Where a vector goes."""
        return Vector(self.a * v.x + self.c * v.y, self.b * v.x + self.d * v.y)

    def inverse(self) -> Motion:
        """The motion back."""
        return Motion(
            self.a,
            self.c,
            self.b,
            self.d,
            -(self.a * self.e + self.b * self.f),
            -(self.c * self.e + self.d * self.f),
        )


IDENTITY = Motion()
