"""The spring between its seat on a moving part and its upper mount on the frame.

Its height (the gap) is the distance between the centres of the two mounts, along which it pushes.
Tilt is the angle from the upper mount's plane to the seat's; drift is how far the seat's centre
lies off the upper mount's axis, rearward positive.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from platewright.geometry.plane import Point, Vector
from platewright.suspension.linkage import Part, Posture, wrapped


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """Where the spring's lower mount is bolted: on a part, `at` mm from its origin in its own axes.

    `angle` is the seat plane's direction against the part's x axis, radians.
    """

    on: Part
    at: Vector
    angle: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Mount:
    """The spring's upper mount on the frame: its centre and its plane's direction, radians."""

    at: Point
    angle: float

    @property
    def axis(self) -> Vector:
        """Unit vector square to the mount's plane, away from the spring."""
        return Vector.polar(self.angle).left

    @property
    def plane(self) -> Vector:
        """Unit vector in the mount's plane, rearward."""
        return Vector.polar(self.angle)


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatPlace:
    """Where a seat is and how it moves, on the posture's scale of time."""

    at: Point
    angle: float
    velocity: Vector
    spin: float


def seat_place(seat: Seat, posture: Posture) -> SeatPlace:
    """A seat's place in a posture. Raises BuildError when the linkage lacks the seat's part."""
    body = posture.body(seat.on)
    return SeatPlace(
        at=body.place(seat.at),
        angle=wrapped(body.angle + seat.angle),
        velocity=body.speed(seat.at),
        spin=body.spin,
    )


def gap(seat: SeatPlace, mount: Mount) -> float:
    """The spring's height, mm: between the centres of its mounts."""
    return seat.at.distance(mount.at)


def gap_rate(seat: SeatPlace, mount: Mount) -> float:
    """How fast the spring lengthens, on the posture's scale of time."""
    return (seat.at - mount.at).unit().dot(seat.velocity)


def tilt(seat: SeatPlace, mount: Mount) -> float:
    """Angle from the upper mount's plane to the seat's, radians, anticlockwise."""
    return wrapped(seat.angle - mount.angle)


def drift(seat: SeatPlace, mount: Mount) -> float:
    """How far the seat's centre lies rearward of the upper mount's axis, mm."""
    return (seat.at - mount.at).dot(mount.plane)


def drift_rate(seat: SeatPlace, mount: Mount) -> float:
    """How fast the drift grows, on the posture's scale of time."""
    return seat.velocity.dot(mount.plane)


def motion_ratio(seat: SeatPlace, mount: Mount, axle_rise: float) -> float:
    """Spring motion over wheel motion, exact: d(gap) / d(frame lift).

    `axle_rise` is the axle's speed up against the frame in the same posture; the frame lifts as the
    axle falls. Raises ZeroDivisionError at a dead point.
    """
    return gap_rate(seat, mount) / -axle_rise


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
