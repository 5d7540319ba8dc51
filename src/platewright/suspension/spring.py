"""The air spring alone: stroke and lift from its usable heights, and tables by height.

An air spring is a bellows between two mounts. Its data sheet gives the least height it may be
squeezed to and the greatest it may be stretched to. Room between the mounts at the lowest position
beyond the least height is stroke that is never used; less than the least height, and the spring
bottoms out and stops the frame short of the ground (common practice, no published source).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from platewright.errors import BuildError

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
class Stroke:
    """What a spring's stroke comes to, with `gap` mm between its mounts at the lowest position.

    `room` mm is left on purpose above the least height, so that the spring never bottoms out.
    """

    heights: Heights
    gap: float
    room: float = 0.0

    @property
    def whole(self) -> float:
        """The stroke of the spring alone, mm."""
        return self.heights.stroke

    @property
    def lost(self) -> float:
        """Stroke never used because the mounts are further apart than the least height, mm."""
        return min(max(self.gap - self.heights.least, 0.0), self.whole)

    @property
    def left(self) -> float:
        """Stroke that is used, at the spring, mm."""
        return self.whole - self.lost

    @property
    def closer(self) -> float:
        """How far the upper mount should move towards the spring, mm; negative: away from it."""
        return self.gap - (self.heights.least + self.room)

    @property
    def short(self) -> float:
        """How much too small the gap is, at the spring, mm; 0 when it does not bottom out."""
        return max(self.heights.least - self.gap, 0.0)

    @property
    def bottoms_out(self) -> bool:
        """Whether the spring is at its least height before the frame is down."""
        return self.short > 0


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
            raise BuildError("the values of the table must be more than nought", "spring.table")

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
        for (low, before), (high, after) in pairwise(self.rows):
            if held <= high:
                share = (held - low) / (high - low)
                return before + (after - before) * share
        raise AssertionError("unreachable: the last row bounds the height")

    def scaled(self, factor: float) -> HeightTable:
        """Every value multiplied by a factor."""
        return HeightTable(tuple((height, value * factor) for height, value in self.rows))


def area_from_force(force_n: HeightTable, pressure_mpa: float) -> HeightTable:
    """Effective area, mm², by height from a table of force (N) at one gauge pressure (MPa).

    Force = gauge pressure x effective area (common practice). Raises BuildError unless the
    pressure is positive.
    """
    if not pressure_mpa > 0:
        raise BuildError(
            "the pressure of a table of force must be more than nought", "spring.table_pressure"
        )
    return force_n.scaled(1 / pressure_mpa)
