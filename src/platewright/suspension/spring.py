"""The air spring alone: its usable heights, its table by height, what it bears.

An air spring is a bellows between two mounts. Its data sheet gives the least height it may be
squeezed to and the greatest it may be stretched to. Room between the mounts at the lowest position
beyond the least height is stroke that is never used; less than the least height, and the spring
bottoms out and stops the frame short of the ground (common practice, no published source).
"""

from __future__ import annotations

from itertools import pairwise

from platewright.errors import BuildError
from platewright.geometry.plane import Vector
from platewright.values import dataclass

_SAME = 1e-6
"""Heights no further apart than this are one height that was come at two ways, mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Heights:
    """A spring's least and greatest usable height, mm.

    Raises BuildError unless 0 < least < greatest.
    """

    least: float
    greatest: float

    def __post_init__(self) -> None:
        if not 0 < self.least < self.greatest:
            raise BuildError(
                "the spring's greatest usable height must be more than its least",
                "spring.greatest",
                "spring.least",
            )

    @property
    def stroke(self) -> float:
        """Greatest less least height, mm: the most the spring can lift at its own mounts."""
        return self.greatest - self.least


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringStroke:
    """What a spring's stroke comes to, with `gap` mm between its mounts at the lowest position.

    `room` mm is left on purpose above the least height, so that the spring never bottoms out.
    """

    heights: Heights
    gap: float
    room: float = 0.0

    @property
    def lost(self) -> float:
        """Stroke never used because the mounts are further apart than the least height, mm."""
        return min(max(self.gap - self.heights.least, 0.0), self.heights.stroke)

    @property
    def closer(self) -> float:
        """How far the upper mount should move towards the spring, mm; negative: away from it."""
        return self.gap - (self.heights.least + self.room)

    @property
    def bottoms_out(self) -> bool:
        """Whether the spring is at its least height before the frame is down."""
        return self.gap < self.heights.least


@dataclass(frozen=True, slots=True)
class HeightTable:
    """Values by spring height: rows of (height mm, value), interpolated straight between rows.

    Raises BuildError unless there are two rows or more, heights rising, values positive.
    """

    rows: tuple[tuple[float, float], ...]

    def __post_init__(self) -> None:
        if len(self.rows) < 2:
            raise BuildError("a table by height needs at least two rows", "spring.table")
        if any(a >= b for (a, _), (b, _) in pairwise(self.rows)):
            raise BuildError("the heights of the table must rise from row to row", "spring.table")
        if any(value <= 0 for _, value in self.rows):
            raise BuildError("the values of the table must be more than zero", "spring.table")

    @property
    def least(self) -> float:
        """The lowest height in the table, mm."""
        return self.rows[0][0]

    @property
    def greatest(self) -> float:
        """The greatest height in the table, mm."""
        return self.rows[-1][0]

    def covers(self, height: float) -> bool:
        """Whether the table can answer for a height, mm."""
        return self.least - _SAME <= height <= self.greatest + _SAME

    def at(self, height: float) -> float:
        """The value at a height, mm. Raises BuildError outside the table: nothing is guessed."""
        if not self.covers(height):
            raise BuildError(
                f"a spring height of {height:.1f} mm is outside the table, which runs from "
                f"{self.least:.1f} to {self.greatest:.1f} mm",
                "spring.table",
            )
        held = min(max(height, self.least), self.greatest)
        (low, before), (high, after) = next((a, b) for a, b in pairwise(self.rows) if held <= b[0])
        return before + (after - before) * (held - low) / (high - low)


def area_from_force(force_n: HeightTable, pressure_mpa: float) -> HeightTable:
    """Effective area, mm², by height from a table of force (N) at one gauge pressure (MPa).

    Force = gauge pressure x effective area (common practice). Raises BuildError unless the
    pressure is positive.
    """
    if not pressure_mpa > 0:
        raise BuildError(
            "the pressure of a table of force must be more than zero", "spring.table_pressure"
        )
    return HeightTable(tuple((height, force / pressure_mpa) for height, force in force_n.rows))


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringForce:
    """What the spring bears at one height.

    `push_n` is the force on the upper mount's bracket along the frame's own axes (x rearward, y
    up), N; `pressure_mpa` is gauge, None without a table or outside it.
    """

    force_n: float
    push_n: Vector
    pressure_mpa: float | None


def spring_force(
    wheel_load_n: float, motion_ratio: float, line: Vector, area: HeightTable | None
) -> SpringForce:
    """What a spring bears under a load at the wheel, N; `line` runs from its seat to its mount.

    Virtual work: the wheel's load times the wheel's motion is the spring's force times the spring's
    motion, so spring force = wheel load / motion ratio, friction and bushes left out. Raises
    BuildError unless the spring lengthens as the frame lifts.
    """
    if not motion_ratio > 0:
        raise BuildError("the spring does not lengthen as the frame lifts: it cannot carry it")
    force = wheel_load_n / motion_ratio
    known = area is not None and area.covers(line.length)
    return SpringForce(
        force_n=force,
        push_n=line.unit() * force,
        pressure_mpa=force / area.at(line.length) if area is not None and known else None,
    )
