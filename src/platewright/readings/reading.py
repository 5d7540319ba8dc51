"""A reading, and how it stands to its tolerance.

Tolerances are those of the check sheet (common practice, no published source). A reading is to one
division of its tape, and a hand lays the tape no better than it does.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Literal

from platewright.measuring.dimensions import Measured
from platewright.values import dataclass

State = Literal["flat", "folded"]
"""Whether a reading is taken on the flat blank or on the folded part."""

Judged = Literal["good", "out", "cannot be read so finely"]

#: How far a length may be off, mm: by where it is read and whether it is fit-critical.
TOLERANCES: dict[tuple[State, bool], tuple[float, float]] = {
    ("flat", True): (-0.8, 0.8),
    ("flat", False): (0.0, 3.0),
    ("folded", True): (-1.5, 1.5),
    ("folded", False): (-3.0, 3.0),
}
#: How far an angle may be off, radians.
ANGLE_TOLERANCE = math.radians(1.0)

#: How finely a bevel is read, radians.
ANGLE_DIVISION = math.radians(0.5)
#: How well a hand lays a tape, mm, and a bevel, radians: standard deviations (common practice, no
#: published source).
HAND, ANGLE_HAND = 0.25, math.radians(0.25)

_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What a tape or a bevel showed of one dimension.

    `letter` is what the check sheet calls its row, `value` in mm or, for an angle, the radians that
    the metal turns: as `Measured` has it. Of a bevel laid inside a fold that is half a turn less
    what the bevel shows.
    """

    letter: str
    measured: Measured
    state: State
    value: float

    @property
    def is_angle(self) -> bool:
        """Whether it is an angle."""
        return self.measured.dimension.quantity == "angle"

    @property
    def nominal(self) -> float:
        """What it should be. Raises ValueError for a dimension that no tape finds there."""
        tape = self.measured.on_blank if self.state == "flat" else self.measured.on_part
        if tape is None:
            raise ValueError(f"reading {self.letter}: not to be measured on the {self.state} part")
        return tape.value


@dataclass(frozen=True, slots=True, kw_only=True)
class Fineness:
    """How finely readings are taken: the tape's smallest division, mm, and the bevel's, radians."""

    division: float
    angle_division: float = ANGLE_DIVISION

    def spread(self, *, angle: bool) -> float:
        """Standard deviation of a true part's readings, mm or radians.

        Rounding to a division d has d / sqrt(12) (a uniform error), added in squares to the hand's.
        """
        division, hand = (self.angle_division, ANGLE_HAND) if angle else (self.division, HAND)
        return math.hypot(division / math.sqrt(12), hand)


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """A reading against its tolerance: `error` is reading less nominal, mm or radians."""

    reading: Reading
    error: float
    low: float
    high: float
    judged: Judged


def verdicts(readings: Iterable[Reading], fineness: Fineness) -> tuple[Verdict, ...]:
    """Each reading against its tolerance.

    One at the mark nearest to its nominal is good, one beyond the tolerance by a division or less
    cannot be read so finely. Raises ValueError for a reading that no tape could take.
    """
    found = []
    for each in readings:
        low, high = tolerance(each.measured, each.state)
        division = fineness.angle_division if each.is_angle else fineness.division
        error = each.value - each.nominal
        found.append(
            Verdict(
                reading=each, error=error, low=low, high=high,
                judged=judged(error, low, high, division),
            )
        )  # fmt: skip
    return tuple(found)


def tolerance(measured: Measured, state: State) -> tuple[float, float]:
    """How far a dimension may be below and above its nominal, mm or radians."""
    if measured.dimension.quantity == "angle":
        return -ANGLE_TOLERANCE, ANGLE_TOLERANCE
    return TOLERANCES[state, measured.critical]


def judged(error: float, low: float, high: float, division: float) -> Judged:
    """An error against a tolerance, as a tape of that division can tell, mm or radians."""
    fine = division + _ROUNDING
    if low <= error <= high or abs(error) <= fine / 2:
        return "good"
    return "cannot be read so finely" if low - fine <= error <= high + fine else "out"
