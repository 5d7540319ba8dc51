"""The figures to set a bracket by on the vehicle: its plate's place and the spring's heights."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from platewright.suspension.figures import Figure, above_words, along_words, carried, edge_words
from platewright.suspension.mounting import Mounting
from platewright.suspension.report import figures_json
from platewright.suspension.seat import seat_place
from platewright.suspension.spacer import SIDE, spacer
from platewright.suspension.travel import Travel
from platewright.units import Unit, spoken

_OTHER_MOUNT = ("mount_along", "mount_above")
_AXLE = ("axle_above", "axle_along")


def set_up(of: Mounting, thickness: float) -> tuple[Figure, ...]:
    """Every figure to set, the plate's place first; `thickness` is the plate's, mm."""
    travel = of.travel
    told = {figure.key: figure for group in carried(travel) for figure in group.figures}
    if of.on.end == "upper":
        place = tuple(_upper_place(travel, thickness))
    else:
        place = (*_lower_place(travel), *(told[key] for key in _OTHER_MOUNT))
    axle = (told[key] for key in _AXLE)
    return (*place, *_laid_out(travel), *axle, *_at_ride(travel))


def comes_to(of: Mounting) -> tuple[Figure, ...]:
    """What the travel does to the bracket: largest tilt and drift, and the greatest force."""
    return (*_spread(of.travel), *_force(of))


_BRIEF = (
    "plate_along",
    "plate_height",
    "plate_drop",
    "plate_slope",
    "set_up_height",
    "ride_height",
)


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


# --- the plate's place ------------------------------------------------------------------------


def _upper_place(of: Travel, thickness: float) -> Iterator[Figure]:
    at, slope = of.wanted.at, of.wanted.angle
    back = at + of.wanted.axis * thickness
    yield Figure(
        key="plate_along",
        what=f"Middle of the face that meets the spring, {along_words(at.x)} of the mark",
        value=at.x,
        by_size=True,
    )
    name = "drop" if at.y < 0 else "height"
    yield Figure(
        key=f"plate_{name}",
        what=f"The plate's {name}: the same face {above_words(at.y)} the datum line",
        value=abs(at.y),
    )
    yield Figure(
        key="plate_back",
        what=f"The plate's other face, {above_words(back.y)} the datum line",
        value=back.y,
        by_size=True,
    )
    yield _slope("plate_slope", "Slope of the plate against the datum line", slope)


def _slope(key: str, what: str, slope: float) -> Figure:
    words = f"{what}, {edge_words(slope)}"
    return Figure(key=key, what=words, value=slope, quantity="angle", by_size=True)


def _lower_place(of: Travel) -> Iterator[Figure]:
    seat, down = of.layout.seat, seat_place(of.layout.seat, of.laid_out)
    above = _above_its_line(of)
    yield Figure(
        key="plate_along",
        what=f"Middle of the face that meets the spring, {_along_its_line(of)}",
        value=seat.at.x,
        by_size=True,
    )
    yield Figure(
        key="plate_height",
        what=f"The same, {above_words(above)} {_line(of)}",
        value=above,
        by_size=True,
    )
    yield Figure(
        key="plate_along_laid_out",
        what=f"Laid out, the same, {along_words(down.at.x)} of the mark",
        value=down.at.x,
        by_size=True,
    )
    yield Figure(
        key="plate_height_laid_out",
        what=f"Laid out, the same, {above_words(down.at.y)} the datum line",
        value=down.at.y,
        by_size=True,
    )
    yield _slope(
        "plate_slope_laid_out", "Laid out, slope of the plate against the datum line", down.angle
    )


def _above_its_line(of: Travel) -> float:
    """How far the seat is above the line of its part, which on a forward run is upside down."""
    seat = of.layout.seat
    upside_down = abs(math.remainder(seat.angle, math.tau)) > math.pi / 2
    return -seat.at.y if upside_down else seat.at.y


def _along_its_line(of: Travel) -> str:
    seat = of.layout.seat
    if seat.on != "axle":
        way = "towards" if seat.at.x >= 0 else "away from"
        return f"from the {seat.on}'s frame pivot {way} its other end"
    if _on_an_arm(of):
        return f"{'beyond' if seat.at.x >= 0 else 'before'} the axle centre on the arm's line"
    return f"{along_words(seat.at.x)} of the axle centre"


def _line(of: Travel) -> str:
    seat = of.layout.seat
    if seat.on != "axle":
        return f"the line from that pivot to the {seat.on}'s other end"
    return "the arm's line" if _on_an_arm(of) else "the axle centre"


def _on_an_arm(of: Travel) -> bool:
    return len(of.laid_out.links) == 1


# --- heights and forces -----------------------------------------------------------------------


def _laid_out(of: Travel) -> Iterator[Figure]:
    down = seat_place(of.layout.seat, of.laid_out).at
    made = spacer(of, SIDE)
    yield Figure(
        key="set_up_height",
        what="Set-up height: middle of seat to middle of mount, frame laid out",
        value=of.wanted.at.distance(down),
    )
    if made is not None:
        yield Figure(key="spacer_front", what="Spacer box, its front wall", value=made.front)
        yield Figure(key="spacer_rear", what="Spacer box, its rear wall", value=made.rear)


def _at_ride(of: Travel) -> Iterator[Figure]:
    ride = of.layout.ride
    yield Figure(key="ride_height", what="Ride height: the frame above laid out", value=ride)
    yield Figure(
        key="spring_at_ride",
        what=f"The spring's height there, {spoken(ride, of.layout.unit)} above laid out",
        value=of.wanted.at.distance(of.ride.seat.at),
    )


def _spread(of: Travel) -> Iterator[Figure]:
    yield Figure(
        key="largest_tilt",
        what=f"Largest tilt between the mounts through the travel, {edge_words(of.tilt.value)}",
        value=of.tilt.value,
        quantity="angle",
        by_size=True,
    )
    yield Figure(
        key="largest_drift",
        what="Largest drift of the lower mount off the upper one's axis, "
        f"{along_words(of.drift.value)}",
        value=of.drift.value,
        by_size=True,
    )


def _force(of: Mounting) -> Iterator[Figure]:
    force = of.greatest_force
    if force is not None:
        yield Figure(
            key="greatest_force",
            what="Greatest force of the spring on this bracket through the travel, for the "
            "strength screen where the file gives no load",
            value=force,
            quantity="force",
        )
