"""The whole travel: from the frame on the ground to the spring at its greatest height.

Every figure and its rate are closed form in the parameter of the linkage's circuit; only places
where one of them is zero are searched for, and found to the last digit.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache, cached_property
from typing import Literal

from platewright.errors import BuildError
from platewright.geometry.plane import Point
from platewright.suspension.layout import Layout, on_stands
from platewright.suspension.linkage import Posture, wrapped
from platewright.suspension.mounts import Mount, SeatPlace, edge_gap, mount_for
from platewright.suspension.range_of_motion import RangeOfMotion, range_at, reach
from platewright.suspension.roots import Function, crossings, grid, largest
from platewright.suspension.spring import SpringForce, SpringStroke, spring_force
from platewright.units import Unit, format_length
from platewright.values import dataclass

Ending = Literal["spring", "stated"]
"""What ends the lift: the spring's greatest height, or the full lift that was stated."""

_PLACES = 180
"""Places looked at between the ends of a path."""

_STEPS = 40
"""Steps between the positions of a travel."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """How everything stands at one lift.

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
    load: SpringForce | None

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

    `mount` is the upper mount that the positions are for, `wanted` where it should be. `positions`
    run evenly from lowest to highest. `laid_out` is the posture at lift 0. When the spring bottoms
    out the frame stops `lowest.lift` short of the ground.
    """

    layout: Layout
    mount: Mount
    wanted: Mount
    stroke: SpringStroke
    ending: Ending
    laid_out: Posture
    positions: tuple[Position, ...]
    ride: Position
    tilt: Peak
    drift: Peak

    def told_in(self, unit: Unit) -> Travel:
        """The same travel, with its words in a unit."""
        return replace(self, layout=replace(self.layout, unit=unit))

    @property
    def seat_laid_out(self) -> SeatPlace:
        """The spring's seat with the frame laid out."""
        return self.layout.seat.place(self.laid_out)

    @property
    def lowest(self) -> Position:
        """Frame down: on the ground, or as low as the spring lets it."""
        return self.positions[0]

    @property
    def highest(self) -> Position:
        """Frame all the way up."""
        return self.positions[-1]

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
    def greatest_force(self) -> float | None:
        """The greatest force in the spring through the travel, N; None when no load was told."""
        loads = [position.load for position in self.positions]
        return max((load.force_n for load in loads if load is not None), default=None)

    @property
    def tightest_edge(self) -> Peak:
        """Least room between the mounts' edges through the travel, mm, the body as wide."""
        diameter = self.layout.diameter
        edges = (Peak(edge_gap(r.gap, r.tilt, diameter), r.lift) for r in self.positions)
        return min(edges, key=lambda edge: edge.value)


def travel(layout: Layout) -> Travel:
    """The travel of a layout.

    Raises BuildError with the keys that decide it: a linkage that cannot close or cannot be laid
    out, or that locks inside the travel (with the lift where it does), a seat that no mount can be
    centred over, a spring that does not lengthen, mounts too far apart, a ride height outside the
    travel.
    """
    motion = _laid_out(layout)
    start = motion.parameter(layout.axle_height)
    wanted = _wanted(layout, motion, start)
    path = _LiftPath(layout=layout, motion=motion, start=start, mount=layout.mount or wanted)
    low = path.lowest()
    high, ending = path.highest()
    ride = path.ride(low, high)
    at_ride, mount = motion.at(ride), path.mount
    lifts = grid(path.lift(low), path.lift(high), _STEPS)
    places = (low, *(path.at_lift(lift) for lift in lifts[1:-1]), high)
    return Travel(
        layout=layout,
        mount=mount,
        wanted=wanted,
        stroke=SpringStroke(heights=layout.heights, gap=path.gap(start), room=layout.room),
        ending=ending,
        laid_out=motion.at(start),
        positions=tuple(path.position(t, at_ride) for t in places),
        ride=path.position(ride, at_ride),
        tilt=path.peak(mount.tilt, lambda seat: seat.spin, low, high),
        drift=path.peak(mount.drift, mount.drift_rate, low, high),
    )


def at_lift(of: Travel, lift: float) -> Position:
    """How everything stands at a lift, mm; one beyond the travel is taken to its end."""
    motion = _laid_out(of.layout)
    start = motion.parameter(of.layout.axle_height)
    path = _LiftPath(layout=of.layout, motion=motion, start=start, mount=of.mount)
    within = min(max(lift, of.lowest.lift), of.highest.lift)
    return path.position(path.at_lift(within), of.ride.posture)


def rebuilt(of: Travel) -> Travel:
    """The travel with its upper mount put where it should be.

    Raises BuildError where that leaves the ride height outside the travel.
    """
    return of if of.layout.mount is None else travel(replace(of.layout, mount=None))


# --- before the travel ------------------------------------------------------------------------


def _laid_out(layout: Layout) -> RangeOfMotion:
    """The range of motion that holds the axle where it is with the frame on the ground."""
    up, height, unit = layout.ground.up, layout.axle_height, layout.unit
    motion = range_at(layout.linkage, up, height, behind=layout.behind)
    if motion is not None:
        return motion
    span = reach(layout.linkage, up, behind=layout.behind)
    if span is None:
        raise BuildError(
            "the links cannot close at any height: one is longer than the others can reach",
            "linkage",
        )
    low, high = format_length(span[0], unit, "up"), format_length(span[1], unit, "down")
    raise BuildError(
        f"the linkage cannot be laid out: the axle would have to be at "
        f"{format_length(height, unit)} from the datum line, and the linkage holds it between "
        f"{low} and {high}",
        "linkage",
        "frame",
        "tyre",
    )


def _wanted(layout: Layout, motion: RangeOfMotion, start: float) -> Mount:
    """The upper mount that is parallel and centred where it was asked for."""
    key = "travel.ride" if layout.centred == layout.ride else "travel.centred"
    height = layout.axle_height - layout.centred
    if not motion.reaches(height):
        raise _locked(layout, layout.axle_height - motion.lowest.height, motion.lowest.why, key)
    seat = layout.seat
    wanted = mount_for(
        seat.place(motion.posture(height)),
        seat.place(motion.at(start)),
        layout.heights.least + layout.room,
    )
    if wanted is None:
        raise BuildError(
            "the seat drifts or leans too far for one mount to be parallel and centred there and "
            "yet clear laid out: choose a lift nearer to laid out",
            key,
        )
    return wanted


def _locked(layout: Layout, lift: float, why: str, *keys: str) -> BuildError:
    """The complaint that the linkage ends its motion at a lift, mm, and why."""
    what = {
        "dead point": "the linkage locks (its dead point: the axle turns back)",
        "folded flat": "the linkage folds flat and may go on either way",
        "spring": "the spring stops lengthening and would be squeezed again",
    }[why]
    return BuildError(
        f"{what} at a lift of {format_length(lift, layout.unit, 'down')} above laid out, inside "
        "the travel: end the lift before it (full) or move the pivots",
        *keys,
    )


# --- along the path ---------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class _LiftPath:
    """A layout's linkage under an upper mount: figures by the circuit's parameter.

    `start` is the parameter laid out.
    """

    layout: Layout
    motion: RangeOfMotion
    start: float
    mount: Mount

    @cached_property
    def seat(self) -> Callable[[float], SeatPlace]:
        """The lower seat at a parameter, found once for all that is asked of it there."""
        return cache(lambda t: self.layout.seat.place(self.motion.at(t)))

    def lift(self, t: float) -> float:
        """The frame's lift above laid out, mm."""
        return self.layout.axle_height - self.motion.height(t)

    def at_lift(self, lift: float) -> float:
        """The parameter at a lift. Raises BuildError beyond the linkage's ends."""
        return self.motion.parameter(self.layout.axle_height - lift)

    def gap(self, t: float) -> float:
        """The spring's height, mm."""
        return self.mount.gap(self.seat(t))

    def gap_rate(self, t: float) -> float:
        """How fast the spring lengthens as the frame lifts, up to a positive factor."""
        rate = self.mount.gap_rate(self.seat(t))
        return rate if self.motion.rise_rate(t) <= 0 else -rate

    def first(self, f: Function) -> float | None:
        """The first parameter from laid out upwards where a figure is zero."""
        return next(crossings(f, grid(self.start, self.motion.low, _PLACES)), None)

    def lowest(self) -> float:
        """The parameter where the frame is down: laid out, or where the spring bottoms out."""
        layout, seat = self.layout, self.seat(self.start)
        least, unit = layout.heights.least, layout.unit
        rise = (self.mount.at - seat.at).dot(self.mount.axis)
        lengthens = self.gap_rate(self.start) > 0
        if rise < least and not (rise > 0 and lengthens):
            place = f"{format_length(abs(rise), unit)} {'above' if rise > 0 else 'below'} its seat"
            raise BuildError(
                f"the spring bottoms out: laid out, the upper mount would be {place}; move it "
                f"{format_length(least + layout.room - rise, unit, 'up')} away from the spring",
                "mount",
            )
        if not lengthens:
            raise BuildError("the spring does not lengthen as the frame lifts", "spring", "linkage")
        gap = self.gap(self.start)
        if gap >= layout.heights.greatest:
            raise BuildError(
                f"laid out, the mounts are {format_length(gap, unit)} apart: more than the "
                "spring's greatest height",
                "mount",
            )
        bottomed = self.start if gap >= least else self.first(lambda t: self.gap(t) - least)
        if bottomed is None:
            raise BuildError(
                "the spring never gets as long as its least height", "spring", "linkage"
            )
        return bottomed

    def highest(self) -> tuple[float, Ending]:
        """The parameter where the frame is all the way up, and what ends the travel there.

        Raises BuildError when the linkage or the spring locks before that.
        """
        layout, motion = self.layout, self.motion
        ends: list[tuple[str, float | None]] = [
            ("full", self.first(lambda t: self.gap(t) - layout.heights.greatest)),
            ("spring", self.first(self.gap_rate)),
            (motion.lowest.why, motion.low),
        ]
        if layout.full is not None and motion.reaches(layout.axle_height - layout.full):
            ends.insert(0, ("stated", self.at_lift(layout.full)))
        found = [(self.lift(t), t, why) for why, t in ends if t is not None]
        lift, t, why = min(found, key=lambda end: end[0])
        if why not in ("stated", "full"):
            raise _locked(layout, lift, why, "linkage", "travel.full")
        return t, "stated" if why == "stated" else "spring"

    def ride(self, start: float, end: float) -> float:
        """The parameter at ride height, which must lie inside the travel."""
        low, high, ride = self.lift(start), self.lift(end), self.layout.ride
        if low <= ride <= high:
            return self.at_lift(ride)
        unit = self.layout.unit
        raise BuildError(
            f"a ride height of {format_length(ride, unit)} above laid out is outside the travel, "
            f"which runs from {format_length(low, unit, 'up')} to "
            f"{format_length(high, unit, 'down')}",
            "travel.ride",
        )

    def position(self, t: float, ride: Posture) -> Position:
        """How everything stands at a parameter; `ride` is the posture at ride height."""
        layout, mount, posture = self.layout, self.mount, self.motion.at(t)
        seat, load_n = layout.seat.place(posture), layout.wheel_load_n
        # d(gap) / d(frame lift), exact: the frame lifts as the axle falls
        ratio = mount.gap_rate(seat) / -posture.rise_rate(layout.ground.up)
        return Position(
            lift=self.lift(t),
            gap=mount.gap(seat),
            tilt=mount.tilt(seat),
            drift=mount.drift(seat),
            ratio=ratio,
            turn=wrapped(posture.axle.angle - ride.axle.angle),
            posture=posture,
            seat=seat,
            load=None
            if load_n is None
            else spring_force(load_n, ratio, mount.at - seat.at, layout.area),
        )

    def peak(
        self,
        figure: Callable[[SeatPlace], float],
        rate: Callable[[SeatPlace], float],
        start: float,
        end: float,
    ) -> Peak:
        """Where a figure of the seat is greatest in size between two parameters."""
        places = grid(start, end, _PLACES)
        t = largest(lambda t: figure(self.seat(t)), lambda t: rate(self.seat(t)), places)
        return Peak(figure(self.seat(t)), self.lift(t))
