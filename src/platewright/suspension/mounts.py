"""The spring between its seat on a moving part and its upper mount on the frame.

Its height (the gap) is the distance between the centres of the two mounts, along which it pushes.
Tilt is the angle from the upper mount's plane to the seat's; drift is how far the seat's centre
lies off the upper mount's axis, rearward positive.
"""

from __future__ import annotations

import math

from platewright.geometry.plane import Point, Vector
from platewright.suspension.linkage import MovingPart, Posture, wrapped
from platewright.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatPlace:
    """Where a seat is and how it moves, on the posture's scale of time."""

    at: Point
    angle: float
    velocity: Vector
    spin: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringSeat:
    """Where the spring's lower mount is bolted: on a part, `at` mm from its origin in its own axes.

    `angle` is the seat plane's direction against the part's x axis, radians.
    """

    on: MovingPart
    at: Vector
    angle: float = 0.0

    def place(self, posture: Posture) -> SeatPlace:
        """Its place in a posture. Raises BuildError when the linkage lacks the seat's part."""
        body = posture.body(self.on)
        return SeatPlace(
            at=body.place(self.at),
            angle=wrapped(body.angle + self.angle),
            velocity=body.speed(self.at),
            spin=body.spin,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Mount:
    """The spring's upper mount on the frame: its centre and its plane's direction, radians."""

    at: Point
    angle: float

    @property
    def axis(self) -> Vector:
        """Unit vector square to the mount's plane, away from the spring."""
        return self.plane.left

    @property
    def plane(self) -> Vector:
        """Unit vector in the mount's plane, rearward."""
        return Vector.polar(self.angle)

    def gap(self, seat: SeatPlace) -> float:
        """The spring's height, mm: between the centres of its mounts."""
        return seat.at.distance(self.at)

    def gap_rate(self, seat: SeatPlace) -> float:
        """How fast the spring lengthens, on the posture's scale of time."""
        return (seat.at - self.at).unit().dot(seat.velocity)

    def tilt(self, seat: SeatPlace) -> float:
        """Angle from the upper mount's plane to the seat's, radians, anticlockwise."""
        return wrapped(seat.angle - self.angle)

    def drift(self, seat: SeatPlace) -> float:
        """How far the seat's centre lies rearward of the upper mount's axis, mm."""
        return (seat.at - self.at).dot(self.plane)

    def drift_rate(self, seat: SeatPlace) -> float:
        """How fast the drift grows, on the posture's scale of time."""
        return seat.velocity.dot(self.plane)


def mount_for(chosen: SeatPlace, lowest: SeatPlace, low_gap: float) -> Mount | None:
    """The upper mount that is parallel to the seat and centred on it at a chosen height.

    It stands `low_gap` mm from the seat's centre at the lowest position. Closed form: the point on
    the axis of the chosen seat at that distance from the lowest seat, the further one. None when
    the seat drifts too far for one.
    """
    axis = Vector.polar(chosen.angle).left
    offset = chosen.at - lowest.at
    along = -offset.dot(axis)
    square = along**2 - offset.dot(offset) + low_gap**2
    if square < 0:
        return None
    return Mount(at=chosen.at + axis * (along + math.sqrt(square)), angle=chosen.angle)


def edge_gap(height: float, tilt: float, diameter: float) -> float:
    """Least room between two round mounts, at the edge that tilt brings nearer, mm."""
    return height - diameter / 2 * abs(math.sin(tilt))


# --- the spacer -------------------------------------------------------------------------------

SIDE = 32.0
"""Width of each wall of the spacer's box, mm."""

_STEEPEST = math.radians(60)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spacer:
    """A box that stands in for the spring on the middle of the seat while the mount is fitted.

    The two mounts are not quite parallel with the frame down, so its top slants: it is cut for the
    middles to be the right distance apart and for the top to lie flat under the mount. `height` is
    that distance; `front` and `rear` are the heights of the box's walls, all mm.
    """

    height: float
    front: float
    rear: float


def spacer(seat: SeatPlace, mount: Mount, depth: float = SIDE) -> Spacer | None:
    """The spacer between a seat and a mount, `depth` mm from front to rear.

    The walls reach up to the mount's plane. None when the mounts lean so far against each other
    that no box can stand between them.
    """
    slope = -mount.tilt(seat)
    if abs(slope) > _STEEPEST:
        return None
    middle = (mount.at - seat.at).turned(-seat.angle)
    on_axis = middle.y - middle.x * math.tan(slope)
    front, rear = (on_axis + side * depth / 2 * math.tan(slope) for side in (-1, 1))
    if min(front, rear) <= 0:
        return None
    return Spacer(height=middle.length, front=front, rear=rear)
