"""The whole travel: from the frame on the ground to the spring at its greatest height."""

from __future__ import annotations

from dataclasses import dataclass, replace

from platewright.errors import BuildError
from platewright.geometry.plane import Point
from platewright.suspension.course import Course, Ending, course, ends
from platewright.suspension.laid_out import on_stands
from platewright.suspension.layout import Layout
from platewright.suspension.linkage import Posture, wrapped
from platewright.suspension.loads import SpringLoad, spring_load
from platewright.suspension.roots import Function, largest
from platewright.suspension.seat import (
    Mount,
    SeatPlace,
    drift,
    edge_gap,
    gap,
    motion_ratio,
    seat_place,
    tilt,
)
from platewright.suspension.spring import Stroke
from platewright.suspension.swing import height_of, rise_rate
from platewright.units import Unit, format_length

_STEPS = 40
"""Steps between the readings of a travel."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What is found at one lift.

    `gap` is the spring's height and `drift` the seat's, mm; `tilt` radians; `ratio` the motion
    ratio spring over wheel; `turn` the axle's rotation against ride height, radians; `load` None
    when no load was given.
    """

    lift: float
    gap: float
    tilt: float
    drift: float
    ratio: float
    turn: float
    posture: Posture
    seat: SeatPlace
    load: SpringLoad | None

    @property
    def axle(self) -> Point:
        """The axle centre in the frame's view."""
        return self.posture.axle.origin


@dataclass(frozen=True, slots=True)
class Peak:
    """The outermost value of something through the travel, signed, and the lift where it is."""

    value: float
    lift: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Travel:
    """A travel worked out.

    `mount` is the upper mount that the readings are for, `wanted` where it should be. `readings`
    run evenly from lowest to highest. `laid_out` is the posture at lift 0. When the spring bottoms
    out the frame stops `lowest.lift` short of the ground.
    """

    layout: Layout
    mount: Mount
    wanted: Mount
    stroke: Stroke
    ending: Ending
    laid_out: Posture
    readings: tuple[Reading, ...]
    ride: Reading
    tilt: Peak
    drift: Peak

    def told_in(self, unit: Unit) -> Travel:
        """The same travel, with its words in a unit."""
        return replace(self, layout=replace(self.layout, unit=unit))

    @property
    def lowest(self) -> Reading:
        """Frame down: on the ground, or as low as the spring lets it."""
        return self.readings[0]

    @property
    def highest(self) -> Reading:
        """Frame all the way up."""
        return self.readings[-1]

    @property
    def wheel_travel(self) -> float:
        """What is left of the stroke at the wheel, mm."""
        return self.highest.lift - self.lowest.lift

    @property
    def prop_height(self) -> float | None:
        """Floor to axle centre with the frame on its stands and the axle as laid out, mm."""
        stands = self.layout.stands
        return None if stands is None else on_stands(*stands).height(self.laid_out.axle.origin)

    @property
    def tightest_edge(self) -> Peak:
        """Least room between the mounts' edges through the travel, mm, the body as wide."""
        diameter = self.layout.diameter
        edges = (Peak(edge_gap(r.gap, r.tilt, diameter), r.lift) for r in self.readings)
        return min(edges, key=lambda edge: edge.value)


def travel(layout: Layout) -> Travel:
    """The travel of a layout.

    Raises BuildError with the keys that decide it: a linkage that cannot close or cannot be laid
    out, or that locks inside the travel (with the lift where it does), a spring that does not
    lengthen, mounts too far apart, a ride height outside the travel.
    """
    of = course(layout)
    start, end, ending = ends(of)
    ride = _ride(of, start, end)
    at_ride = of.swing.at(ride)
    places = of.places(start, end)
    return Travel(
        layout=layout,
        mount=of.mount,
        wanted=of.wanted,
        stroke=Stroke(heights=layout.heights, gap=of.gap(of.start), room=layout.room),
        ending=ending,
        laid_out=of.swing.at(of.start),
        readings=tuple(_reading(of, t, at_ride) for t in (start, *_between(of, start, end), end)),
        ride=_reading(of, ride, at_ride),
        tilt=_peak(of, largest(of.tilt, of.spin, places), of.tilt),
        drift=_peak(of, largest(of.drift, of.drift_rate, places), of.drift),
    )


def rebuilt(of: Travel) -> Travel:
    """The travel with its upper mount put where it should be.

    Raises BuildError where that leaves the ride height outside the travel.
    """
    return of if of.layout.mount is None else travel(replace(of.layout, mount=None))


def _ride(of: Course, start: float, end: float) -> float:
    """The parameter at ride height, which must lie inside the travel."""
    low, high, ride = of.lift(start), of.lift(end), of.layout.ride
    if low <= ride <= high:
        return of.at_lift(ride)
    unit = of.layout.unit
    least, greatest = format_length(low, unit, "up"), format_length(high, unit, "down")
    asked = format_length(ride, unit)
    raise BuildError(
        f"a ride height of {asked} above laid out is outside the travel, which runs from {least} "
        f"to {greatest}",
        "travel.ride",
    )


def _between(of: Course, start: float, end: float) -> tuple[float, ...]:
    """The parameters of the readings between the ends, evenly spaced in lift."""
    low, high = of.lift(start), of.lift(end)
    return tuple(of.at_lift(low + (high - low) * step / _STEPS) for step in range(1, _STEPS))


def _reading(of: Course, t: float, ride: Posture) -> Reading:
    layout, posture = of.layout, of.swing.at(t)
    seat = seat_place(layout.seat, posture)
    ratio = motion_ratio(seat, of.mount, rise_rate(posture, layout.ground.up))
    load_n = layout.wheel_load_n
    return Reading(
        lift=layout.axle_height - height_of(posture, layout.ground.up),
        gap=gap(seat, of.mount),
        tilt=tilt(seat, of.mount),
        drift=drift(seat, of.mount),
        ratio=ratio,
        turn=wrapped(posture.axle.angle - ride.axle.angle),
        posture=posture,
        seat=seat,
        load=None if load_n is None else spring_load(load_n, ratio, seat, of.mount, layout.area),
    )


def _peak(of: Course, t: float, figure: Function) -> Peak:
    return Peak(figure(t), of.lift(t))
