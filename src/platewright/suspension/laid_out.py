"""How the frame stands: laid out on the ground, or on stands of a given height.

Side view, the vehicle's front to the left: x runs rearward, y up, both square to the frame's own
datum line (the underside of the rail, say), so that a point's place is what a square and a tape
read off the frame. The ground, or the shop floor, is a line in that view; rake tilts it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from platewright.errors import BuildError
from platewright.geometry.plane import Point, Vector


@dataclass(frozen=True, slots=True)
class Ground:
    """Level ground in the frame's side view: a point of it, and the frame's rake, radians.

    Rake is positive with the front of the frame high.
    """

    touch: Point
    rake: float = 0.0

    @property
    def up(self) -> Vector:
        """The vertical, as seen from the frame."""
        return Vector(-math.sin(self.rake), math.cos(self.rake))

    @property
    def along(self) -> Vector:
        """Level and rearward, as seen from the frame."""
        return Vector(math.cos(self.rake), math.sin(self.rake))

    def height(self, p: Point) -> float:
        """How high a point of the frame's view is above the ground, mm."""
        return (p - self.touch).dot(self.up)


def rake(front: float, rear: float, apart: float) -> float:
    """The frame's rake, radians, from the heights of two marks on its datum line above the ground.

    `apart` mm is measured between the marks along the frame. Raises BuildError when the heights
    differ by as much as the marks are apart.
    """
    if not abs(front - rear) < apart:
        raise BuildError(
            "front and rear heights differ by more than their marks are apart",
            "frame.front_height",
            "frame.rear_height",
            "frame.marks_apart",
        )
    return math.asin((front - rear) / apart)


def resting(lowest: Point, rake: float = 0.0) -> Ground:
    """The ground when the frame rests on it with its `lowest` point."""
    return Ground(lowest, rake)


@dataclass(frozen=True, slots=True)
class Stand:
    """A stand under the datum line: where along it (x, mm) and how high above the floor, mm."""

    station: float
    height: float


def on_stands(front: Stand, rear: Stand) -> Ground:
    """The floor when the frame's datum line rests on a front and a rear stand.

    Raises BuildError unless the rear stand is behind the front one.
    """
    apart = rear.station - front.station
    if not apart > abs(front.height - rear.height):
        raise BuildError(
            "the rear stand must be behind the front one", "stands.front", "stands.rear"
        )
    angle = rake(front.height, rear.height, apart)
    floor = Ground(Point(front.station, 0.0), angle)
    return Ground(Point(front.station, 0.0) + -floor.up * front.height, angle)
