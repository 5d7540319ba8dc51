"""The eye: a parallel projection of space onto the sheet."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from platewright.errors import GeometryError
from platewright.geometry.plane import Point
from platewright.geometry.space import Point3, Vector3


@dataclass(frozen=True, slots=True)
class Seen:
    """A point of space as the eye sees it: x to the right, y up, `depth` towards the eye, mm."""

    x: float
    y: float
    depth: float

    @property
    def point(self) -> Point:
        """The place on the sheet."""
        return Point(self.x, self.y)


@dataclass(frozen=True)
class Eye:
    """A direction to look from: `azimuth` anticlockwise from +x round z, `elevation` above level.

    Radians. Space's z stays upright on the sheet. Raises GeometryError for an eye straight above
    or below, where upright has no meaning.
    """

    azimuth: float
    elevation: float

    def __post_init__(self) -> None:
        if not abs(self.elevation) < math.pi / 2:
            raise GeometryError("an eye looks from less than a right angle above or below")

    @cached_property
    def towards(self) -> Vector3:
        """Unit vector from the object to the eye."""
        flat = math.cos(self.elevation)
        return Vector3(
            flat * math.cos(self.azimuth), flat * math.sin(self.azimuth), math.sin(self.elevation)
        )

    @cached_property
    def right(self) -> Vector3:
        """Unit vector to the right on the sheet."""
        return Vector3(-math.sin(self.azimuth), math.cos(self.azimuth), 0.0)

    @cached_property
    def up(self) -> Vector3:
        """Unit vector up on the sheet."""
        return self.towards.cross(self.right)

    def seen(self, p: Point3) -> Seen:
        """A point as the eye sees it."""
        place = Vector3(p.x, p.y, p.z)
        return Seen(self.right.dot(place), self.up.dot(place), self.towards.dot(place))

    def on_sheet(self, p: Point3) -> Point:
        """Where a point of space comes to stand on the sheet, at full size."""
        place = Vector3(p.x, p.y, p.z)
        return Point(self.right.dot(place), self.up.dot(place))
