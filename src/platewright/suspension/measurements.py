"""What is measured on the vehicle and read off data sheets: the tables of a setup file.

Places are in the frame's side view: "along" is rearward of a mark on the datum line, "above" is
above that line, each negative the other way. The datum line is any straight line of the frame that
a tape can be hooked on, such as the underside of the rail.
"""

from __future__ import annotations

from functools import partial
from itertools import pairwise

from platewright import measure
from platewright.suspension.layout import Stand
from platewright.suspension.tyre import Tyre, tyre
from platewright.values import dataclass

_along = partial(measure.length, within="-400 in to 400 in")
_above = partial(measure.length, within="-40 in to 40 in")
_link = partial(measure.length, within="2 in to 120 in", fit_critical=True)
_lift = partial(measure.length, within="0 to 60 in")
_slope = partial(measure.angle, within="-60 to 60", default=0)
_runs = partial(measure.choice, choices=("rearward", "forward"), default="rearward")


@dataclass(frozen=True, slots=True, kw_only=True)
class TravelSection:
    """Lifts of the frame above laid out, measured at the axle."""

    ride: float = _lift(
        "How far the frame stands above laid out when it is driven.",
        label="ride height", example="4 in",
    )  # fmt: skip
    centred: float | None = _lift(
        "The lift at which the mounts shall be parallel and centred; left out, at ride height.",
        label="centred height", optional=True, example="4 in",
    )  # fmt: skip
    full: float | None = _lift(
        "The lift at which something else ends the travel, a damper or a strap.",
        label="full height", within="1/4 in to 60 in", optional=True, example="8 in",
    )  # fmt: skip

    def problems(self) -> measure.Problems:
        """A ride height beyond full height."""
        if self.full is not None and self.full < self.ride:
            yield "full", "less than the ride height"


@dataclass(frozen=True, slots=True, kw_only=True)
class HeightRow:
    """One row of the spring's data sheet."""

    height: float = measure.length(
        "Height of the spring in this row.", "1/4 in to 40 in", example="3 in"
    )
    area: float | None = measure.area(
        "Effective area at that height. Give this or the force.",
        label="effective area", optional=True, example="27 sq in",
    )  # fmt: skip
    force: float | None = measure.force(
        "Force at that height and at table_pressure. Give this or the effective area.",
        optional=True, example="2000 lb",
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringSection:
    """The air spring, from its data sheet."""

    least: float = measure.length(
        "Least height between the mounts that the data sheet allows.",
        "1/2 in to 30 in", label="least height", example="3 in",
    )  # fmt: skip
    greatest: float = measure.length(
        "Greatest usable height between the mounts.",
        "1 in to 40 in", label="greatest height", example="12 in",
    )  # fmt: skip
    diameter: float = measure.length(
        "Fullest diameter at full pressure.",
        "1 in to 30 in", label="body diameter", example="6 1/2 in",
    )  # fmt: skip
    room: float = measure.length(
        "Left between the least height and the mounts with the frame down, so that the spring "
        "never bottoms out.",
        "0 to 4 in", label="room above least height", default="1/2 in",
    )  # fmt: skip
    max_pressure: float | None = measure.pressure(
        "The most that the data sheet allows.",
        label="greatest pressure", optional=True, example="110 psi",
    )  # fmt: skip
    table_pressure: float | None = measure.pressure(
        "The gauge pressure at which the forces of the table were given.",
        label="pressure of the table", optional=True, example="80 psi",
    )  # fmt: skip
    table: tuple[HeightRow, ...] = measure.rows(
        "Effective area or force by height, lowest first.", HeightRow, label="table by height"
    )

    def problems(self) -> measure.Problems:
        """Values that contradict each other."""
        if self.greatest <= self.least:
            yield "greatest", "the greatest height must be more than the least"
        elif self.room >= self.greatest - self.least:
            yield "room", "more room than the spring has stroke"
        if len(self.table) == 1:
            yield "table", "a table needs two rows or more: nothing is guessed beyond its ends"
        if any(a.height >= b.height for a, b in pairwise(self.table)):
            yield "table", "the heights must rise from row to row"
        forces = [row for row in self.table if row.force]
        if any(bool(row.force) == bool(row.area) for row in self.table):
            yield "table", "every row needs an effective area or a force, not both, above zero"
        elif forces and len(forces) < len(self.table):
            yield "table", "give areas in all rows or forces in all rows"
        if forces and not self.table_pressure:
            yield "table_pressure", "a table of forces needs the pressure they were given at"


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatSection:
    """Where the spring's lower mount is bolted."""

    on: str = measure.choice(
        "The moving part that carries the spring.",
        ("arm", "axle", "lower link", "upper link"), label="spring sits on",
    )  # fmt: skip
    along: float = measure.length(
        "To the middle of the seat: from the frame pivot along the arm or link towards its other "
        "end; on a four-link's axle, rearward of the axle centre; on an arm's, beyond it.",
        "-120 in to 120 in", label="seat along", example="15 in",
    )  # fmt: skip
    above: float = _above(
        "From that line up to the face the spring stands on; on the axle, from the axle centre.",
        label="seat above", example="-2 1/2 in",
    )  # fmt: skip
    tilt: float = _slope(
        "Slope of the seat against the line of the part it is on, rear edge up.",
        label="seat tilt", example=-12,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class MountSection:
    """The spring's upper mount on the frame, as it stands."""

    along: float = _along(
        "From the mark rearward to the middle of the upper mount.",
        label="mount along", example="15 1/2 in",
    )  # fmt: skip
    above: float = measure.length(
        "From the datum line up to the face that the spring meets.",
        "-60 in to 60 in", label="mount above", example="10 7/8 in",
    )  # fmt: skip
    tilt: float = _slope(
        "Slope of the mount against the datum line, rear edge up.", label="mount tilt", example=-3
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class TyreSection:
    """The tyre, by size or by tape."""

    size: Tyre | None = measure.custom(
        "The designation on the side wall.",
        label="tyre size", read=lambda given, _: tyre(str(given)),
        allowed="a size such as 225/70R15, ST205/75R15 or 31x10.50R15", optional=True,
        example="ST205/75R15",
    )  # fmt: skip
    loaded_radius: float | None = measure.length(
        "Ground to axle centre, load on, tyre at its pressure. Left out, it is taken as 3.5 % less "
        "than half the tyre's diameter (common practice).",
        "3 in to 40 in", optional=True, fit_critical=True, example="13 in",
    )  # fmt: skip

    def problems(self) -> measure.Problems:
        """Neither was given."""
        if self.size is None and self.loaded_radius is None:
            yield "size", "give the tyre's size or its loaded radius"


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameSection:
    """How the frame lies on the ground."""

    lowest_below: float = measure.length(
        "From the datum line down to the frame's lowest point, which will rest on the ground.",
        "-40 in to 60 in", label="lowest point", fit_critical=True, example="1/2 in",
    )  # fmt: skip
    lowest_along: float = _along(
        "From the mark rearward to the lowest point; it counts only with rake.",
        label="lowest point along", default="0",
    )  # fmt: skip
    front_height: float | None = measure.length(
        "Rake: ground to datum line at a front mark, as the frame will lie.",
        "-20 in to 100 in", optional=True, example="1 1/2 in",
    )  # fmt: skip
    rear_height: float | None = measure.length(
        "Rake: ground to datum line at a rear mark, as the frame will lie.",
        "-20 in to 100 in", optional=True, example="1/2 in",
    )  # fmt: skip
    marks_apart: float | None = measure.length(
        "Rake: along the datum line from the front mark to the rear mark.",
        "1 in to 800 in", optional=True, example="120 in",
    )  # fmt: skip

    def problems(self) -> measure.Problems:
        """Heights for rake that are not complete or cannot be."""
        front, rear, apart = self.front_height, self.rear_height, self.marks_apart
        if front is not None and rear is not None and apart is not None:
            if abs(front - rear) >= apart:
                yield "marks_apart", "less than the front and rear heights differ by"
            return
        names = ("front_height", "rear_height", "marks_apart")
        missing = [name for name in names if getattr(self, name) is None]
        if len(missing) < len(names):
            for name in missing:
                yield name, "rake needs front_height, rear_height and marks_apart together"


@dataclass(frozen=True, slots=True, kw_only=True)
class ArmSection:
    """A trailing arm: one pivot on the frame."""

    pivot_along: float = _along("From the mark rearward to the arm's pivot.", example="0 in")
    pivot_above: float = _above("From the datum line up to the arm's pivot.", example="5 in")
    length: float = _link("Pivot to axle centre.", label="arm length", example="24 in")
    runs: str = _runs("Which way the arm runs from its pivot.", label="arm runs")


@dataclass(frozen=True, slots=True, kw_only=True)
class FourLinkSection:
    """A parallel or unequal four-link, in side view two links."""

    lower_along: float = _along(
        "From the mark rearward to the lower link's frame pivot.",
        label="lower pivot along", example="0 in",
    )  # fmt: skip
    lower_above: float = _above(
        "From the datum line up to the lower link's frame pivot.",
        label="lower pivot above", example="7 in",
    )  # fmt: skip
    lower_length: float = _link(
        "Eye to eye, as seen from the side.", label="lower link length", example="24 in"
    )
    upper_along: float = _along(
        "From the mark rearward to the upper link's frame pivot.",
        label="upper pivot along", example="3 1/2 in",
    )  # fmt: skip
    upper_above: float = _above(
        "From the datum line up to the upper link's frame pivot.",
        label="upper pivot above", within="-40 in to 60 in", example="13 3/4 in",
    )  # fmt: skip
    upper_length: float = _link(
        "Eye to eye, as seen from the side.", label="upper link length", example="20 1/2 in"
    )
    lower_eye_along: float = _above(
        "From the axle centre rearward to the lower link's eye.", default="0"
    )
    lower_eye_above: float = _above(
        "From the axle centre up to the lower link's eye (below: negative).", example="-3 1/2 in"
    )
    upper_eye_along: float = _above(
        "From the axle centre rearward to the upper link's eye.", default="0"
    )
    upper_eye_above: float = _above(
        "From the axle centre up to the upper link's eye.", example="4 1/2 in"
    )
    runs: str = _runs("Which way the links run from their frame pivots.", label="links run")

    def problems(self) -> measure.Problems:
        """Pivots or eyes on top of each other."""
        if (self.lower_along, self.lower_above) == (self.upper_along, self.upper_above):
            yield "upper_above", "the two frame pivots are at one place"
        lower = (self.lower_eye_along, self.lower_eye_above)
        if lower == (self.upper_eye_along, self.upper_eye_above):
            yield "upper_eye_above", "the two eyes on the axle are at one place"


@dataclass(frozen=True, slots=True, kw_only=True)
class StandsSection:
    """Stands under the datum line, to prop the axle where it will be without wheels on."""

    front_along: float = _along(
        "From the mark to the front stand.", label="front stand along", example="-60 in"
    )
    rear_along: float = _along(
        "From the mark to the rear stand.", label="rear stand along", example="48 in"
    )
    front_height: float = measure.length(
        "Floor to datum line over the front stand.",
        "2 in to 80 in", label="front stand height", example="16 in",
    )  # fmt: skip
    rear_height: float | None = measure.length(
        "Floor to datum line over the rear stand; left out, as the front.",
        "2 in to 80 in", label="rear stand height", optional=True, example="16 in",
    )  # fmt: skip
    tube: float | None = measure.length(
        "To be told how high to prop the tube's underside.",
        "1/2 in to 20 in", label="axle tube diameter", optional=True, example="3 in",
    )  # fmt: skip

    @property
    def pair(self) -> tuple[Stand, Stand]:
        """The front and the rear stand."""
        rear = self.front_height if self.rear_height is None else self.rear_height
        return Stand(self.front_along, self.front_height), Stand(self.rear_along, rear)

    def problems(self) -> measure.Problems:
        """Stands the wrong way round or too unlike for their distance."""
        front, rear = self.pair
        if rear.station - front.station <= abs(rear.height - front.height):
            yield "rear_along", "the rear stand must be behind the front one"


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadSection:
    """What one wheel carries."""

    wheel: float = measure.force(
        "On one wheel, loaded as it is driven: a scale's reading.",
        "1 lb to 100000 lb", label="wheel load", example="1500 lb",
    )  # fmt: skip
    unsprung: float = measure.force(
        "The part of it that the spring does not carry: wheel, tyre, this end of the axle.",
        "at most 20000 lb", label="unsprung load", default="0 lb",
    )  # fmt: skip

    def problems(self) -> measure.Problems:
        """Nothing left for the spring."""
        if self.unsprung >= self.wheel:
            yield "unsprung", "as much as the wheel load: nothing is left for the spring"


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitsSection:
    """What the spring's data sheet or the room beside it allows."""

    tilt: float | None = measure.angle(
        "Between the two mounts.", "0 to 60", label="greatest tilt", optional=True, example=10
    )
    drift: float | None = measure.length(
        "Of the lower mount off the upper mount's axis.",
        "0 to 12 in", label="greatest drift", optional=True, example="1 in",
    )  # fmt: skip
