"""The figures of a travel that a person carries to the vehicle, in the order they are needed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from platewright.suspension.remarks import force_words, pressure_words, where
from platewright.suspension.seat import gap, seat_place
from platewright.suspension.travel import Travel
from platewright.units import Unit, format_angle, format_mm, spoken, tape

Quantity = Literal["length", "angle", "ratio", "force", "pressure"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure: what it is, its value (mm, radians, N, MPa or a bare ratio), its quantity.

    `key` names it in JSON. Values are signed: rearward, up and "rear edge up" are positive. With
    `by_size` it is shown without the sign, because `what` says which way.
    """

    key: str
    what: str
    value: float
    quantity: Quantity = "length"
    by_size: bool = False

    def shown(self, unit: Unit) -> str:
        """The figure in a unit, as a tape, a bevel or a gauge shows it."""
        value = abs(self.value) if self.by_size else self.value
        match self.quantity:
            case "length":
                return tape_words(value, unit)
            case "angle":
                return format_angle(value)
            case "ratio":
                return f"{self.value:.3f}"
            case "force":
                return force_words(self.value, unit)
            case "pressure":
                return pressure_words(self.value, unit)


def tape_words(mm: float, unit: Unit) -> str:
    """A length on the tape: 15 9/16" strong, or 395.4 mm."""
    if unit == "mm":
        return f"{format_mm(mm)} mm"
    reading = tape(mm)
    return f'{reading.figure}" {reading.leaning}'.rstrip()


@dataclass(frozen=True, slots=True)
class FigureGroup:
    """Figures that are used together."""

    title: str
    figures: tuple[Figure, ...]


def carried(of: Travel) -> tuple[FigureGroup, ...]:
    """Every figure, those to weld by first."""
    return (
        FigureGroup("Where the upper mount belongs", tuple(_mount(of))),
        FigureGroup("Where the axle is, laid out", tuple(_axle(of))),
        FigureGroup(f"What it comes to{as_it_stands(of)}", (*_travel(of), *_load(of))),
    )


def as_it_stands(of: Travel) -> str:
    """Says of readings that they are for the mount that is there, not for where it should be."""
    return "" if of.layout.mount is None else ", the upper mount as it stands"


def _mount(of: Travel) -> Iterator[Figure]:
    at, unit = of.wanted.at, of.layout.unit
    where = f"parallel and centred {spoken(of.layout.centred, unit)} above laid out"
    low = gap(seat_place(of.layout.seat, of.laid_out), of.wanted)
    yield Figure(
        key="mount_along",
        what=f"Middle of the mount's face, {along_words(at.x)} of the mark ({where})",
        value=at.x,
        by_size=True,
    )
    yield Figure(
        key="mount_above",
        what=f"The same, {above_words(at.y)} the datum line",
        value=at.y,
        by_size=True,
    )
    slope = of.wanted.angle
    yield Figure(
        key="mount_slope",
        what=f"Slope of the mount against the datum line, {edge_words(slope)}",
        value=slope,
        quantity="angle",
        by_size=True,
    )
    yield Figure(
        key="spacer", what="Middle of seat to middle of mount, laid out: the spacer", value=low
    )
    yield Figure(
        key="spring_at_ride",
        what="The same at ride height",
        value=gap(of.ride.seat, of.wanted),
    )


def _axle(of: Travel) -> Iterator[Figure]:
    axle, layout = of.laid_out.axle.origin, of.layout
    yield Figure(
        key="axle_above_ground", what="Axle centre above the ground", value=layout.radius.radius
    )
    yield Figure(
        key="axle_above",
        what=f"Axle centre {above_words(axle.y)} the datum line, square to it",
        value=axle.y,
        by_size=True,
    )
    yield Figure(
        key="axle_along",
        what=f"Axle centre {along_words(axle.x)} of the mark",
        value=axle.x,
        by_size=True,
    )
    prop = of.prop_height
    if prop is None:
        return
    yield Figure(
        key="prop_axle", what="On your stands: prop the axle centre above the floor", value=prop
    )
    if layout.tube is not None:
        yield Figure(
            key="prop_tube",
            what="On your stands: prop the tube's underside above the floor",
            value=prop - layout.tube / 2,
        )


def _travel(of: Travel) -> Iterator[Figure]:
    unit = of.layout.unit
    ends = {"spring": "the spring at its greatest", "stated": "the full lift you stated"}
    yield Figure(
        key="wheel_travel",
        what=f"Lift at the wheel, ended by {ends[of.ending]}",
        value=of.wheel_travel,
    )
    yield Figure(key="stroke", what="Stroke that the spring has", value=of.layout.heights.stroke)
    yield Figure(
        key="stroke_lost",
        what="Stroke lost: room above the least height, laid out",
        value=of.stroke.lost,
    )
    yield Figure(
        key="stroke_used", what="Stroke that is used", value=of.highest.gap - of.lowest.gap
    )
    if of.ending == "stated":
        yield Figure(
            key="stroke_unused",
            what="Stroke not used: left in the spring at the full lift",
            value=of.layout.heights.greatest - of.highest.gap,
        )
    yield Figure(
        key="ratio_at_ride",
        what="Motion ratio at ride, spring to wheel",
        value=of.ride.ratio,
        quantity="ratio",
    )
    yield Figure(
        key="largest_tilt",
        what=f"Largest tilt, {edge_words(of.tilt.value)}, {where(of.tilt.lift, unit)}",
        value=of.tilt.value,
        quantity="angle",
        by_size=True,
    )
    yield Figure(
        key="largest_drift",
        what=f"Largest drift, {'rearward' if of.drift.value > 0 else 'forward'}, "
        f"{where(of.drift.lift, unit)}",
        value=of.drift.value,
        by_size=True,
    )
    yield from _angles(of)


def _angles(of: Travel) -> Iterator[Figure]:
    for link in of.ride.posture.links:
        slope = link.angle if of.layout.behind else math.pi - link.angle
        slope = math.remainder(slope, math.tau)
        words = "axle end up" if slope >= 0 else "axle end down"
        yield Figure(
            key=f"{link.part.replace(' ', '_')}_slope_at_ride",
            what=f"Slope of the {link.part} against the datum line at ride, {words}",
            value=slope,
            quantity="angle",
            by_size=True,
        )
    span = max(r.turn for r in of.readings) - min(r.turn for r in of.readings)
    yield Figure(
        key="axle_turn", what="The axle turns through the travel", value=span, quantity="angle"
    )


def _load(of: Travel) -> Iterator[Figure]:
    if of.ride.load is None:
        return
    loads = [reading.load for reading in of.readings if reading.load is not None]
    yield Figure(
        key="force_at_ride",
        what="Force in the spring and on its brackets at ride",
        value=of.ride.load.force_n,
        quantity="force",
    )
    yield Figure(
        key="greatest_force",
        what="The greatest through the travel",
        value=max(load.force_n for load in loads),
        quantity="force",
    )
    if of.ride.load.pressure_mpa is not None:
        yield Figure(
            key="pressure_at_ride",
            what="Gauge pressure at ride",
            value=of.ride.load.pressure_mpa,
            quantity="pressure",
        )


def along_words(x: float) -> str:
    """Which way along the frame a place lies from the mark, x rearward."""
    return "rearward" if x >= 0 else "forward"


def above_words(y: float) -> str:
    """Which side of the datum line a place lies on, y up."""
    return "above" if y >= 0 else "below"


def edge_words(slope: float) -> str:
    """Which way something slopes, anticlockwise positive."""
    return "rear edge up" if slope >= 0 else "rear edge down"
