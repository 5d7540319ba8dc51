"""A bracket as one of a spring's two mounts: where it sits, how its body leans, what it bears.

An upper bracket goes where the travel wants the upper mount. A lower one goes on the seat that was
measured and works under the upper mount as the setup has it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, Literal

from platewright.plate.lean import Lean, Stance
from platewright.suspension.mounts import Mount, spacer
from platewright.suspension.report import (
    TravelFigure,
    above,
    along,
    figure_groups,
    figures_json,
    slope,
)
from platewright.suspension.travel import Position, Travel, rebuilt
from platewright.suspension.warning import along_words, edge_words, warnings
from platewright.units import Unit, spoken
from platewright.values import dataclass

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
    def lean(self) -> Lean:
        """How the body leans over this bracket through the travel."""
        return Lean(
            stances=tuple(self._stance(position) for position in self.travel.positions),
            along_wall=self.on.along_wall,
            diameter=self.travel.layout.diameter,
        )

    def _stance(self, position: Position) -> Stance:
        """Where the other mount is seen from this one, and which way the body ends there."""
        seat = Mount(at=position.seat.at, angle=position.seat.angle)
        if self.on.end == "upper":
            here, there, towards = self.travel.wanted, seat, -1
        else:
            here, there, towards = seat, self.travel.mount, 1
        other, axis, away = there.at - here.at, here.axis * towards, there.axis * towards
        turn = math.atan2(away.dot(here.plane), away.dot(axis))
        return Stance(
            height=max(other.dot(axis), 1.0),
            offset=other.dot(here.plane),
            slope=math.tan(min(max(turn, -_STEEPEST), _STEEPEST)),
        )

    @property
    def must_change(self) -> tuple[str, ...]:
        """What must be changed about the suspension itself, in words."""
        return tuple(each.words for each in warnings(self.travel) if each.weight == "change")


# --- the figures to set it by on the vehicle --------------------------------------------------

_BRIEF = (
    "plate_along", "plate_height", "plate_drop", "plate_slope", "set_up_height", "ride_height",
)  # fmt: skip


def set_up(of: Mounting, thickness: float) -> tuple[TravelFigure, ...]:
    """Every figure to set, the plate's place first; `thickness` is the plate's, mm."""
    return tuple(_set_up(of, thickness))


def _set_up(of: Mounting, thickness: float) -> Iterator[TravelFigure]:
    travel, ride = of.travel, of.travel.layout.ride
    shared = {figure.key: figure for group in figure_groups(travel) for figure in group.figures}
    wanted, down = travel.wanted, travel.seat_laid_out
    if of.on.end == "upper":
        yield from _upper_place(travel, thickness)
    else:
        yield from _lower_place(travel)
        yield shared["mount_along"]
        yield shared["mount_above"]
    what = "Set-up height: middle of seat to middle of mount, frame laid out"
    yield TravelFigure("set_up_height", what, wanted.gap(down))
    made = spacer(down, wanted)
    if made is not None:
        yield TravelFigure("spacer_front", "Spacer box, its front wall", made.front)
        yield TravelFigure("spacer_rear", "Spacer box, its rear wall", made.rear)
    yield shared["axle_above"]
    yield shared["axle_along"]
    yield TravelFigure("ride_height", "Ride height: the frame above laid out", ride)
    what = f"The spring's height there, {spoken(ride, travel.layout.unit)} above laid out"
    yield TravelFigure("spring_at_ride", what, wanted.gap(travel.ride.seat))


def _upper_place(of: Travel, thickness: float) -> Iterator[TravelFigure]:
    at, back = of.wanted.at, of.wanted.at + of.wanted.axis * thickness
    yield along("plate_along", "Middle of the face that meets the spring,", at.x)
    if at.y < 0:
        what = "The plate's drop: the same face below the datum line"
        yield TravelFigure("plate_drop", what, -at.y)
    else:
        yield above("plate_height", "The plate's height: the same face", at.y)
    yield above("plate_back", "The plate's other face,", back.y)
    yield slope("plate_slope", "Slope of the plate", of.wanted.angle)


def _lower_place(of: Travel) -> Iterator[TravelFigure]:
    """On its part, whose axes are upside down where it runs forward, and laid out on the frame."""
    seat, down = of.layout.seat, of.seat_laid_out
    x, y = seat.at.x, seat.at.y
    if abs(math.remainder(seat.angle, math.tau)) > math.pi / 2:
        y = -y
    face, on_an_arm = "Middle of the face that meets the spring,", len(of.laid_out.links) == 1
    if seat.on != "axle":
        way = "towards" if x >= 0 else "away from"
        place = f"from the {seat.on}'s frame pivot {way} its other end"
        line = f"the line from that pivot to the {seat.on}'s other end"
    elif on_an_arm:
        place = f"{'beyond' if x >= 0 else 'before'} the axle centre on the arm's line"
        line = "the arm's line"
    else:
        place, line = f"{along_words(x)} of the axle centre", "the axle centre"
    yield TravelFigure("plate_along", f"{face} {place}", x, by_size=True)
    yield above("plate_height", "The same,", y, line)
    yield along("plate_along_laid_out", "Laid out, the same,", down.at.x)
    yield above("plate_height_laid_out", "Laid out, the same,", down.at.y)
    yield slope("plate_slope_laid_out", "Laid out, slope of the plate", down.angle)


def comes_to(of: Mounting) -> tuple[TravelFigure, ...]:
    """What the travel does to the bracket: largest tilt and drift, and the greatest force."""
    tilt, drift = of.travel.tilt.value, of.travel.drift.value
    force = of.travel.greatest_force
    what = f"Largest tilt between the mounts through the travel, {edge_words(tilt)}"
    figures = [TravelFigure("largest_tilt", what, tilt, "angle", by_size=True)]
    what = f"Largest drift of the lower mount off the upper one's axis, {along_words(drift)}"
    figures.append(TravelFigure("largest_drift", what, drift, by_size=True))
    if force is not None:
        what = (
            "Greatest force of the spring on this bracket through the travel, for the strength "
            "screen where the file gives no load"
        )
        figures.append(TravelFigure("greatest_force", what, force, "force"))
    return tuple(figures)


def set_up_lines(of: Mounting, thickness: float, unit: Unit) -> Iterator[str]:
    """The most needed of it for the screen."""
    yield f"{of.on.end} mount of the spring, by {of.on.setup}"
    for figure in set_up(of, thickness):
        if figure.key in _BRIEF:
            yield f"  {figure.what}: {figure.shown(unit)}"


def set_up_json(of: Mounting, thickness: float) -> dict[str, Any]:
    """All of it as JSON values: mm, degrees, N."""
    return {
        "setup": of.on.setup,
        "mount": of.on.end,
        "figures": figures_json((*set_up(of, thickness), *comes_to(of))),
    }
