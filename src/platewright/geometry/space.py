"""Points, vectors and rigid placings in space, mm and radians, right-handed."""

from __future__ import annotations

import math

from platewright.geometry.plane import Motion, Point
from platewright.values import dataclass


@dataclass(frozen=True, slots=True)
class Vector3:
    """A displacement (x, y, z) in mm, or a unit direction."""

    x: float
    y: float
    z: float

    def __add__(self, other: Vector3) -> Vector3:
        return Vector3(self.x + other.x, self.y + other.y, self.z + other.z)

    def __sub__(self, other: Vector3) -> Vector3:
        return Vector3(self.x - other.x, self.y - other.y, self.z - other.z)

    def __mul__(self, factor: float) -> Vector3:
        return Vector3(self.x * factor, self.y * factor, self.z * factor)

    __rmul__ = __mul__

    def __neg__(self) -> Vector3:
        return Vector3(-self.x, -self.y, -self.z)

    def dot(self, other: Vector3) -> float:
        """Scalar product, mm²."""
        return self.x * other.x + self.y * other.y + self.z * other.z

    def cross(self, other: Vector3) -> Vector3:
        """Vector product."""
        return Vector3(
            self.y * other.z - self.z * other.y,
            self.z * other.x - self.x * other.z,
            self.x * other.y - self.y * other.x,
        )

    @property
    def length(self) -> float:
        """Length, mm."""
        return math.hypot(self.x, self.y, self.z)

    def unit(self) -> Vector3:
        """The direction alone. Raises ZeroDivisionError for the zero vector."""
        return self * (1 / self.length)


@dataclass(frozen=True, slots=True)
class Point3:
    """A place (x, y, z) in mm."""

    x: float
    y: float
    z: float

    def __add__(self, other: Vector3) -> Point3:
        return Point3(self.x + other.x, self.y + other.y, self.z + other.z)

    def __sub__(self, other: Point3) -> Vector3:
        return Vector3(self.x - other.x, self.y - other.y, self.z - other.z)

    def distance(self, other: Point3) -> float:
        """Distance to another point, mm."""
        return math.hypot(self.x - other.x, self.y - other.y, self.z - other.z)

    def midpoint(self, other: Point3) -> Point3:
        """Halfway to another point."""
        return self + (other - self) * 0.5


@dataclass(frozen=True, slots=True)
class Placing:
    """A rigid placing in space: three unit axes and an origin.

    Maps (x, y, z) to origin + x X + y Y + z Z. Placings compose with `@`, right one first:
    `world_from_panel @ panel_from_child`.
    """

    x_axis: Vector3 = Vector3(1.0, 0.0, 0.0)
    y_axis: Vector3 = Vector3(0.0, 1.0, 0.0)
    z_axis: Vector3 = Vector3(0.0, 0.0, 1.0)
    origin: Point3 = Point3(0.0, 0.0, 0.0)

    @classmethod
    def flat(cls, motion: Motion) -> Placing:
        """A motion of the plane z = 0 (no mirroring) as a placing in space."""
        return cls(
            Vector3(motion.a, motion.b, 0.0),
            Vector3(motion.c, motion.d, 0.0),
            Vector3(0.0, 0.0, 1.0),
            Point3(motion.e, motion.f, 0.0),
        )

    @classmethod
    def about_x(cls, angle: float, y: float, z: float) -> Placing:
        """A turn of `angle` radians about +x, with the origin carried to (0, y, z)."""
        c, s = math.cos(angle), math.sin(angle)
        return cls(
            Vector3(1.0, 0.0, 0.0), Vector3(0.0, c, s), Vector3(0.0, -s, c), Point3(0.0, y, z)
        )

    def __matmul__(self, other: Placing) -> Placing:
        return Placing(
            self.vector(other.x_axis),
            self.vector(other.y_axis),
            self.vector(other.z_axis),
            self.point3(other.origin),
        )

    def vector(self, v: Vector3) -> Vector3:
        """Where a vector goes."""
        # in plain figures, as below: asked for very many places
        a, b, c = self.x_axis, self.y_axis, self.z_axis
        return Vector3(
            a.x * v.x + b.x * v.y + c.x * v.z,
            a.y * v.x + b.y * v.y + c.y * v.z,
            a.z * v.x + b.z * v.y + c.z * v.z,
        )

    def point3(self, p: Point3) -> Point3:
        """Where a point goes."""
        a, b, c, o = self.x_axis, self.y_axis, self.z_axis, self.origin
        return Point3(
            o.x + (a.x * p.x + b.x * p.y + c.x * p.z),
            o.y + (a.y * p.x + b.y * p.y + c.y * p.z),
            o.z + (a.z * p.x + b.z * p.y + c.z * p.z),
        )

    def point(self, p: Point, height: float = 0.0) -> Point3:
        """Where a point of the panel's top plane goes, or one `height` mm above that plane."""
        return self.point3(Point3(p.x, p.y, height))

    def inverse(self) -> Placing:
        """The placing back (axes are orthonormal, so the transpose)."""
        x, y, z, o = self.x_axis, self.y_axis, self.z_axis, self.origin
        back = Vector3(o.x, o.y, o.z)
        return Placing(
            Vector3(x.x, y.x, z.x),
            Vector3(x.y, y.y, z.y),
            Vector3(x.z, y.z, z.z),
            Point3(-x.dot(back), -y.dot(back), -z.dot(back)),
        )

    def plane_motion(self) -> Motion:
        """The motion of the plane z = 0 that this placing makes, when it keeps that plane."""
        return Motion(
            self.x_axis.x, self.x_axis.y, self.y_axis.x, self.y_axis.y, self.origin.x, self.origin.y
        )
