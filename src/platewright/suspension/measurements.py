"""What is measured on the vehicle and read off data sheets: the tables of a setup file.

Places are in the frame's side view: "along" is rearward of a mark on the datum line, "above" is
above that line, each negative the other way. The datum line is any straight line of the frame that
a tape can be hooked on, such as the underside of the rail.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from platewright import measure
from platewright.measurement import Scalar
from platewright.suspension.tyre import Tyre, tyre
from platewright.units import Unit

Problems = tuple[tuple[str, str], ...]


def read_tyre(given: Scalar, _unit: Unit) -> Tyre:
    """A tyre by its size designation. Raises UnitError."""
    return tyre(str(given))


@dataclass(frozen=True, slots=True, kw_only=True)
class HeightRow:
    """One row of the spring's data sheet."""

    height: float = measure.length(
        "height",
        "Height of the spring in this row.",
        minimum="1/4 in",
        maximum="40 in",
        example="3 in",
    )
    area: float | None = measure.area(
        "effective area",
        "Effective area at that height. Give this or the force.",
        optional=True,
        example="27 sq in",
    )
    force: float | None = measure.force(
        "force",
        "Force at that height and at table_pressure. Give this or the effective area.",
        optional=True,
        example="2000 lb",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringSection:
    """The air spring, from its data sheet."""

    least: float = measure.length(
        "least height",
        "Least height between the mounts that the data sheet allows.",
        minimum="1/2 in",
        maximum="30 in",
        example="3 in",
    )
    greatest: float = measure.length(
        "greatest height",
        "Greatest usable height between the mounts.",
        minimum="1 in",
        maximum="40 in",
        example="12 in",
    )
    diameter: float = measure.length(
        "body diameter",
        "Fullest diameter at full pressure.",
        minimum="1 in",
        maximum="30 in",
        example="6 1/2 in",
    )
    room: float = measure.length(
        "room above least height",
        "Left between the least height and the mounts with the frame down, so that the spring "
        "never bottoms out.",
        minimum="0",
        maximum="4 in",
        default="1/2 in",
    )
    max_pressure: float | None = measure.pressure(
        "greatest pressure",
        "The most that the data sheet allows.",
        optional=True,
        example="110 psi",
    )
    table_pressure: float | None = measure.pressure(
        "pressure of the table",
        "The gauge pressure at which the forces of the table were given.",
        optional=True,
        example="80 psi",
    )
    table: tuple[HeightRow, ...] = measure.rows(
        "table by height", "Effective area or force by height, lowest first.", HeightRow
    )

    def problems(self) -> Problems:
        """Values that contradict each other."""
        return tuple(self._problems())

    def _problems(self) -> Iterator[tuple[str, str]]:
        if self.greatest <= self.least:
            yield "greatest", "the greatest height must be more than the least"
        elif self.room >= self.greatest - self.least:
            yield "room", "more room than the spring has stroke"
        yield from self._table_problems()

    def _table_problems(self) -> Iterator[tuple[str, str]]:
        if len(self.table) == 1:
            yield "table", "a table needs two rows or more: nothing is guessed beyond its ends"
        if any(a.height >= b.height for a, b in pairwise(self.table)):
            yield "table", "the heights must rise from row to row"
        forces = [row for row in self.table if row.force]
        if any(bool(row.force) == bool(row.area) for row in self.table):
            yield "table", "every row needs an effective area or a force, not both, above nought"
        elif forces and len(forces) < len(self.table):
            yield "table", "give areas in all rows or forces in all rows"
        if forces and not self.table_pressure:
            yield "table_pressure", "a table of forces needs the pressure they were given at"


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatSection:
    """Where the spring's lower mount is bolted."""

    on: str = measure.choice(
        "spring sits on",
        "The moving part that carries the spring.",
        ("arm", "axle", "lower link", "upper link"),
    )
    along: float = measure.length(
        "seat along",
        "To the middle of the seat: from the frame pivot along the arm or link towards its other "
        "end; on a four-link's axle, rearward of the axle centre; on an arm's, beyond it.",
        minimum="-120 in",
        maximum="120 in",
        example="15 in",
    )
    above: float = measure.length(
        "seat above",
        "From that line up to the face the spring stands on; on the axle, from the axle centre.",
        minimum="-40 in",
        maximum="40 in",
        example="-2 1/2 in",
    )
    tilt: float = measure.angle(
        "seat tilt",
        "Slope of the seat against the line of the part it is on, rear edge up.",
        minimum_deg=-60,
        maximum_deg=60,
        default_deg=0,
        example_deg=-12,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class MountSection:
    """The spring's upper mount on the frame, as it stands."""

    along: float = measure.length(
        "mount along",
        "From the mark rearward to the middle of the upper mount.",
        minimum="-400 in",
        maximum="400 in",
        example="15 1/2 in",
    )
    above: float = measure.length(
        "mount above",
        "From the datum line up to the face that the spring meets.",
        minimum="-60 in",
        maximum="60 in",
        example="10 7/8 in",
    )
    tilt: float = measure.angle(
        "mount tilt",
        "Slope of the mount against the datum line, rear edge up.",
        minimum_deg=-60,
        maximum_deg=60,
        default_deg=0,
        example_deg=-3,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class TyreSection:
    """The tyre, by size or by tape."""

    size: Tyre | None = measure.custom(
        "tyre size",
        "The designation on the side wall.",
        read=read_tyre,
        allowed="a size such as 225/70R15, ST205/75R15 or 31x10.50R15",
        optional=True,
        example="ST205/75R15",
    )
    loaded_radius: float | None = measure.length(
        "loaded radius",
        "Ground to axle centre, load on, tyre at its pressure. Left out, it is taken as 3.5 % less "
        "than half the tyre's diameter (common practice).",
        minimum="3 in",
        maximum="40 in",
        optional=True,
        fit_critical=True,
        example="13 in",
    )

    def problems(self) -> Problems:
        """Neither was given."""
        if self.size is None and self.loaded_radius is None:
            return (("size", "give the tyre's size or its loaded radius"),)
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameSection:
    """How the frame lies on the ground."""

    lowest_below: float = measure.length(
        "lowest point",
        "From the datum line down to the frame's lowest point, which will rest on the ground.",
        minimum="-40 in",
        maximum="60 in",
        fit_critical=True,
        example="1/2 in",
    )
    lowest_along: float = measure.length(
        "lowest point along",
        "From the mark rearward to the lowest point; it counts only with rake.",
        minimum="-400 in",
        maximum="400 in",
        default="0",
    )
    front_height: float | None = measure.length(
        "front height",
        "Rake: ground to datum line at a front mark, as the frame will lie.",
        minimum="-20 in",
        maximum="100 in",
        optional=True,
        example="1 1/2 in",
    )
    rear_height: float | None = measure.length(
        "rear height",
        "Rake: ground to datum line at a rear mark, as the frame will lie.",
        minimum="-20 in",
        maximum="100 in",
        optional=True,
        example="1/2 in",
    )
    marks_apart: float | None = measure.length(
        "marks apart",
        "Rake: along the datum line from the front mark to the rear mark.",
        minimum="1 in",
        maximum="800 in",
        optional=True,
        example="120 in",
    )

    def problems(self) -> Problems:
        """Heights for rake that are not complete or cannot be."""
        if self.front_height is None or self.rear_height is None or self.marks_apart is None:
            return tuple(self._missing())
        if abs(self.front_height - self.rear_height) >= self.marks_apart:
            return (("marks_apart", "less than the front and rear heights differ by"),)
        return ()

    def _missing(self) -> Iterator[tuple[str, str]]:
        names = ("front_height", "rear_height", "marks_apart")
        if any(getattr(self, name) is not None for name in names):
            for name in names:
                if getattr(self, name) is None:
                    yield name, "rake needs front_height, rear_height and marks_apart together"


@dataclass(frozen=True, slots=True, kw_only=True)
class StandsSection:
    """Stands under the datum line, to prop the axle where it will be without wheels on."""

    front_along: float = measure.length(
        "front stand along",
        "From the mark to the front stand.",
        minimum="-400 in",
        maximum="400 in",
        example="-60 in",
    )
    rear_along: float = measure.length(
        "rear stand along",
        "From the mark to the rear stand.",
        minimum="-400 in",
        maximum="400 in",
        example="48 in",
    )
    front_height: float = measure.length(
        "front stand height",
        "Floor to datum line over the front stand.",
        minimum="2 in",
        maximum="80 in",
        example="16 in",
    )
    rear_height: float | None = measure.length(
        "rear stand height",
        "Floor to datum line over the rear stand; left out, as the front.",
        minimum="2 in",
        maximum="80 in",
        optional=True,
        example="16 in",
    )
    tube: float | None = measure.length(
        "axle tube diameter",
        "To be told how high to prop the tube's underside.",
        minimum="1/2 in",
        maximum="20 in",
        optional=True,
        example="3 in",
    )

    def problems(self) -> Problems:
        """Stands the wrong way round or too unlike for their distance."""
        rear = self.front_height if self.rear_height is None else self.rear_height
        if self.rear_along - self.front_along <= abs(rear - self.front_height):
            return (("rear_along", "the rear stand must be behind the front one"),)
        return ()
