"""A bracket as one of a spring's two mounts: where it sits, how its body sways, what it bears.

An upper bracket goes where the travel wants the upper mount. A lower one goes on the seat that was
measured and works under the upper mount as the setup has it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from platewright.geometry.plane import Vector
from platewright.plate.sway import Stance, Sway
from platewright.suspension.remarks import remarks
from platewright.suspension.seat import Mount, SeatPlace
from platewright.suspension.travel import Travel, rebuilt
from platewright.units import Unit

End = Literal["upper", "lower"]
"""Which mount of the spring a bracket is: on the frame, or on what moves."""

_STEEPEST = math.radians(85)


@dataclass(frozen=True, slots=True, kw_only=True)
class OnTravel:
    """What a bracket says of its suspension: the setup file by its path, and how it sits in it."""

    setup: str
    end: End
    along_wall: bool = True

    def mounting(self, travel: Travel, unit: Unit) -> Mounting:
        """The bracket in a travel, told in its own unit.

        An upper bracket takes the place of the mount that stands there. Raises BuildError where the
        ride height is outside the travel that it leaves.
        """
        if self.end == "upper":
            travel = rebuilt(travel)
        return Mounting(on=self, travel=travel.told_in(unit))


@dataclass(frozen=True, slots=True, kw_only=True)
class Mounting:
    """A bracket in the travel that it belongs to."""

    on: OnTravel
    travel: Travel

    @property
    def sway(self) -> Sway:
        """How the body leans over this bracket through the travel."""
        of = self.travel
        look = _from_upper if self.on.end == "upper" else _from_lower
        mount = of.wanted if self.on.end == "upper" else of.mount
        return Sway(
            stances=tuple(look(reading.seat, mount) for reading in of.readings),
            along_wall=self.on.along_wall,
            diameter=of.layout.diameter,
        )

    @property
    def greatest_force(self) -> float | None:
        """The greatest force in the spring through the travel, N; None when no load was told."""
        loads = [reading.load for reading in self.travel.readings]
        return max((load.force_n for load in loads if load is not None), default=None)

    @property
    def must_change(self) -> tuple[str, ...]:
        """What must be changed about the suspension itself, in words."""
        return tuple(each.words for each in remarks(self.travel) if each.weight == "change")


# --- sway -------------------------------------------------------------------------------------


def _from_upper(seat: SeatPlace, mount: Mount) -> Stance:
    """The seat as the upper mount sees it, looking down at it."""
    away = -Vector.polar(seat.angle).left
    return _stance(seat.at - mount.at, mount.plane, -mount.axis, away)


def _from_lower(seat: SeatPlace, mount: Mount) -> Stance:
    """The upper mount as the seat sees it."""
    plane = Vector.polar(seat.angle)
    return _stance(mount.at - seat.at, plane, plane.left, mount.axis)


def _stance(other: Vector, plane: Vector, axis: Vector, away: Vector) -> Stance:
    """From where the other mount is, and which way the body ends there, away from this one."""
    turn = math.atan2(away.dot(plane), away.dot(axis))
    return Stance(
        height=max(other.dot(axis), 1.0),
        offset=other.dot(plane),
        slope=math.tan(min(max(turn, -_STEEPEST), _STEEPEST)),
    )
