"""The course of a travel: every figure as a function of the circuit's parameter, and its ends.

The figures and their rates are closed form in the parameter; only places where one of them is
nought are searched for, and found to the last digit.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from platewright.errors import BuildError
from platewright.suspension import seat as spring_seat
from platewright.suspension.layout import Layout
from platewright.suspension.roots import Function, crossings, grid
from platewright.suspension.seat import Mount, SeatPlace, mount_for, seat_place
from platewright.suspension.swing import Swing, find_swing, reach, rise_rate
from platewright.units import format_length

Ending = Literal["spring", "stated"]
"""What ends the lift: the spring's greatest height, or the full lift that was stated."""

STEPS = 180
"""Places looked at between the ends of a course."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """A layout's linkage with its upper mount: figures by the circuit's parameter.

    `start` is the parameter laid out. `mount` is the upper mount the figures are for, `wanted`
    where it should be.
    """

    layout: Layout
    swing: Swing
    start: float
    mount: Mount
    wanted: Mount

    def seat(self, t: float) -> SeatPlace:
        """The lower seat."""
        return seat_place(self.layout.seat, self.swing.at(t))

    def lift(self, t: float) -> float:
        """The frame's lift above laid out, mm."""
        return self.layout.axle_height - self.swing.height(t)

    def at_lift(self, lift: float) -> float:
        """The parameter at a lift. Raises BuildError beyond the linkage's ends."""
        return self.swing.parameter(self.layout.axle_height - lift)

    def gap(self, t: float) -> float:
        """The spring's height, mm."""
        return spring_seat.gap(self.seat(t), self.mount)

    def gap_rate(self, t: float) -> float:
        """How fast the spring lengthens as the frame lifts, up to a positive factor."""
        falling = -rise_rate(self.swing.at(t), self.layout.ground.up)
        rate = spring_seat.gap_rate(self.seat(t), self.mount)
        return rate if falling >= 0 else -rate

    def ratio(self, t: float) -> float:
        """Motion ratio, spring over wheel."""
        rise = rise_rate(self.swing.at(t), self.layout.ground.up)
        return spring_seat.motion_ratio(self.seat(t), self.mount, rise)

    def tilt(self, t: float) -> float:
        """Tilt of the seat against the mount, radians."""
        return spring_seat.tilt(self.seat(t), self.mount)

    def spin(self, t: float) -> float:
        """How fast the tilt changes, on the posture's scale of time."""
        return self.seat(t).spin

    def drift(self, t: float) -> float:
        """Drift of the seat off the mount's axis, mm."""
        return spring_seat.drift(self.seat(t), self.mount)

    def drift_rate(self, t: float) -> float:
        """How fast the drift changes, on the posture's scale of time."""
        return spring_seat.drift_rate(self.seat(t), self.mount)

    def places(self, start: float, end: float) -> list[float]:
        """Parameters between two ends, close enough together to see every turn."""
        return grid(start, end, STEPS)

    def first(self, f: Function) -> float | None:
        """The first parameter from laid out upwards where a figure is nought."""
        return next(crossings(f, self.places(self.start, self.swing.low)), None)


def course(layout: Layout) -> Course:
    """The course of a layout.

    Raises BuildError for a linkage that cannot close or cannot be laid out, and for a seat that no
    mount can be centred over.
    """
    swing = _swing(layout)
    start = swing.parameter(layout.axle_height)
    key = "travel.ride" if layout.centred == layout.ride else "travel.centred"
    chosen = _posture_parameter(layout, swing, layout.centred, key)
    wanted = mount_for(
        seat_place(layout.seat, swing.at(chosen)),
        seat_place(layout.seat, swing.at(start)),
        layout.heights.least + layout.room,
    )
    if wanted is None:
        raise BuildError(
            "the seat drifts or leans too far for one mount to be parallel and centred there and "
            "yet clear laid out: choose a lift nearer to laid out",
            key,
        )
    mount = layout.mount or wanted
    return Course(layout=layout, swing=swing, start=start, mount=mount, wanted=wanted)


def _swing(layout: Layout) -> Swing:
    up, height = layout.ground.up, layout.axle_height
    swing = find_swing(layout.linkage, up, height, behind=layout.behind)
    if swing is not None:
        return swing
    span = reach(layout.linkage, up, behind=layout.behind)
    if span is None:
        raise BuildError(
            "the links cannot close at any height: one is longer than the others can reach",
            "linkage",
        )
    asked = format_length(height, layout.unit)
    low = format_length(span[0], layout.unit, "up")
    high = format_length(span[1], layout.unit, "down")
    raise BuildError(
        f"the linkage cannot be laid out: the axle would have to be at {asked} from the datum "
        f"line, and the linkage holds it between {low} and {high}",
        "linkage",
        "frame",
        "tyre",
    )


def _posture_parameter(layout: Layout, swing: Swing, lift: float, key: str) -> float:
    height = layout.axle_height - lift
    if swing.reaches(height):
        return swing.parameter(height)
    raise locked(layout, layout.axle_height - swing.lowest.height, swing.lowest.why, key)


def locked(layout: Layout, lift: float, why: str, *keys: str) -> BuildError:
    """The complaint that the linkage ends its motion at a lift, mm, and why."""
    what = {
        "dead point": "the linkage locks (its dead point: the axle turns back)",
        "folded flat": "the linkage folds flat and may go on either way",
        "spring": "the spring stops lengthening and would be squeezed again",
    }[why]
    told = format_length(lift, layout.unit, "down")
    return BuildError(
        f"{what} at a lift of {told} above laid out, inside the "
        "travel: end the lift before it (full) or move the pivots",
        *keys,
    )


def ends(of: Course) -> tuple[float, float, Ending]:
    """The parameters of the lowest and highest place of the travel, and what ends it.

    Raises BuildError when the spring does not lengthen, is stretched too far already, or when the
    linkage or the spring locks before the end.
    """
    start = _lowest(of)
    found: list[tuple[float, float, str]] = []
    for why, place in _upper_ends(of):
        if place is not None:
            found.append((of.lift(place), place, why))
    lift, place, why = min(found, key=lambda end: end[0])
    if why == "stated":
        return start, place, "stated"
    if why == "spring full":
        return start, place, "spring"
    raise locked(of.layout, lift, why, "linkage", "travel.full")


def _lowest(of: Course) -> float:
    """The parameter where the frame is down: laid out, or where the spring bottoms out."""
    heights, low_gap = of.layout.heights, of.gap(of.start)
    _require_standing(of)
    if of.gap_rate(of.start) <= 0:
        raise BuildError("the spring does not lengthen as the frame lifts", "spring", "linkage")
    if low_gap >= heights.greatest:
        raise BuildError(
            f"laid out, the mounts are {format_length(low_gap, of.layout.unit)} apart: more than "
            "the spring's greatest height",
            "mount",
        )
    if low_gap >= heights.least:
        return of.start
    bottomed = of.first(lambda t: of.gap(t) - heights.least)
    if bottomed is None:
        raise BuildError("the spring never gets as long as its least height", "spring", "linkage")
    return bottomed


def _require_standing(of: Course) -> None:
    """Refuses a mount so low that the spring would not even stand under it, laid out."""
    rise = (of.mount.at - of.seat(of.start).at).dot(of.mount.axis)
    heights, unit = of.layout.heights, of.layout.unit
    if rise >= heights.least or (rise > 0 and of.gap_rate(of.start) > 0):
        return
    place = f"{format_length(abs(rise), unit)} {'above' if rise > 0 else 'below'} its seat"
    closer = heights.least + of.layout.room - rise
    raise BuildError(
        f"the spring bottoms out: laid out, the upper mount would be {place}; move it "
        f"{format_length(closer, unit, 'up')} away from the spring",
        "mount",
    )


def _upper_ends(of: Course) -> tuple[tuple[str, float | None], ...]:
    layout, swing = of.layout, of.swing
    full = layout.full
    inside = full is not None and swing.reaches(layout.axle_height - full)
    return (
        ("stated", of.at_lift(full) if full is not None and inside else None),
        ("spring full", of.first(lambda t: of.gap(t) - layout.heights.greatest)),
        ("spring", of.first(of.gap_rate)),
        (swing.lowest.why, swing.low),
    )
