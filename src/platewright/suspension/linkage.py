"""Suspension linkages in side view: trailing arm and four-link, and where they put the axle.

All places are in the frame's view (see `layout`): x rearward, y up. A posture holds each moving
part as a body that knows where it is and how it moves, so that anything bolted to it can be
followed. Leaf springs, which slide, are left out.
"""

from __future__ import annotations

import math
from dataclasses import field
from typing import Literal, Protocol

from platewright.errors import BuildError
from platewright.geometry.plane import ORIGIN, Point, Vector
from platewright.suspension.four_bar import Circuit, FourBar, angles, circuits, turning
from platewright.values import dataclass

MovingPart = Literal["axle", "arm", "lower link", "upper link"]
"""The moving parts a spring may sit on."""


def wrapped(angle: float) -> float:
    """The same direction in [-pi, pi], radians."""
    return math.remainder(angle, math.tau)


@dataclass(frozen=True, slots=True, kw_only=True)
class RigidBody:
    """A rigid part: its origin, the direction of its own x axis, and how it moves.

    `angle` in radians; `velocity` of the origin and `spin` share one arbitrary scale of time.
    """

    origin: Point
    angle: float
    spin: float
    velocity: Vector = Vector(0.0, 0.0)

    def place(self, at: Vector) -> Point:
        """Where a point of the body is, `at` mm from its origin in the body's own axes."""
        return self.origin + at.turned(self.angle)

    def speed(self, at: Vector) -> Vector:
        """How fast that point moves."""
        return self.velocity + at.turned(self.angle).left * self.spin


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A link as it stands: its name, its length in mm, its body.

    The body's origin is the frame pivot and its x axis runs to the other eye.
    """

    part: MovingPart
    length: float
    body: RigidBody

    @property
    def eye(self) -> Point:
        """The far end."""
        return self.body.place(Vector(self.length, 0.0))

    @property
    def angle(self) -> float:
        """Direction from the frame pivot, radians in [-pi, pi]."""
        return wrapped(self.body.angle)


@dataclass(frozen=True, slots=True, kw_only=True)
class Posture:
    """A linkage at one place of its travel: the axle, whose origin is the axle centre, and links.

    `links` holds the lower link first.
    """

    axle: RigidBody
    links: tuple[Link, ...]

    def body(self, part: MovingPart) -> RigidBody:
        """The part of that name. Raises BuildError when the linkage has none."""
        for link in self.links:
            if link.part == part:
                return link.body
        if part == "axle":
            return self.axle
        raise BuildError(f"this linkage has no {part}", "seat.on")

    def height(self, up: Vector) -> float:
        """The axle centre's height from the frame datum's origin, mm."""
        return (self.axle.origin - ORIGIN).dot(up)

    def rise_rate(self, up: Vector) -> float:
        """How fast the axle rises against the frame, on the posture's scale of time."""
        return self.axle.velocity.dot(up)


class Linkage(Protocol):
    """What every linkage answers: the ways it can move, and its posture along one of them."""

    def circuits(self) -> tuple[Circuit, ...]:
        """Each way it can be put together and move; empty when its links cannot close."""
        ...

    def posture(self, circuit: Circuit, parameter: float) -> Posture:
        """Where everything is at a parameter of a circuit."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class TrailingArm:
    """One arm from a frame pivot to the axle centre, `length` mm. The axle turns with the arm.

    Closed form: from angle q1 to q2 the axle rises length (sin q2 - sin q1) and moves rearward
    length (cos q2 - cos q1). Raises BuildError unless the length is positive.
    """

    pivot: Point
    length: float

    def __post_init__(self) -> None:
        if not self.length > 0:
            raise BuildError("the arm must have a length", "linkage.length")

    def circuits(self) -> tuple[Circuit, ...]:
        """The arm turns fully; its parameter is its angle from rearward level."""
        return (Circuit(branch=1),)

    def posture(self, circuit: Circuit, parameter: float) -> Posture:
        """Arm and axle at an angle, radians; the spin is 1."""
        angle, reach = circuit.crank(parameter), Vector(self.length, 0.0)
        arm = RigidBody(origin=self.pivot, angle=angle, spin=1.0)
        axle = RigidBody(origin=arm.place(reach), angle=angle, velocity=arm.speed(reach), spin=1.0)
        return Posture(axle=axle, links=(Link(part="arm", length=self.length, body=arm),))


@dataclass(frozen=True, slots=True, kw_only=True)
class FourLink:
    """Two links, one above the other, from frame pivots to the eyes of a bracket on the axle.

    `lower_eye` and `upper_eye` are the eyes' places from the axle centre, rearward and up, with
    the axle turned as it was when they were measured; its rotation is counted from there.
    Equal and parallel links do not turn the axle. `bar` is the links as a four-bar: the lower link
    is the crank, the axle bracket the coupler. Raises GeometryError for a link, bracket or pair
    of pivots without length.
    """

    lower_pivot: Point
    lower_length: float
    upper_pivot: Point
    upper_length: float
    lower_eye: Vector
    upper_eye: Vector
    bar: FourBar = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        bar = FourBar(
            crank=self.lower_length,
            coupler=(self.upper_eye - self.lower_eye).length,
            rocker=self.upper_length,
            ground=(self.upper_pivot - self.lower_pivot).length,
        )
        object.__setattr__(self, "bar", bar)

    def circuits(self) -> tuple[Circuit, ...]:
        """Each way the links close and move; empty when they cannot close."""
        return circuits(self.bar)

    def posture(self, circuit: Circuit, parameter: float) -> Posture:
        """Links and axle at a parameter of a circuit."""
        at = angles(self.bar, circuit.crank(parameter), circuit.side(parameter))
        rates = turning(self.bar, at)
        base = (self.upper_pivot - self.lower_pivot).angle
        lower = RigidBody(origin=self.lower_pivot, angle=base + at.crank, spin=rates.crank)
        upper = RigidBody(origin=self.upper_pivot, angle=base + at.rocker, spin=rates.rocker)
        turn = wrapped(base + at.coupler - (self.upper_eye - self.lower_eye).angle)
        reach = Vector(self.lower_length, 0.0)
        # seen from the eye, the axle centre is the eye's own offset backwards
        back = -self.lower_eye.turned(turn)
        axle = RigidBody(
            origin=lower.place(reach) + back,
            angle=turn,
            velocity=lower.speed(reach) + back.left * rates.coupler,
            spin=rates.coupler,
        )
        links = (
            Link(part="lower link", length=self.lower_length, body=lower),
            Link(part="upper link", length=self.upper_length, body=upper),
        )
        return Posture(axle=axle, links=links)
