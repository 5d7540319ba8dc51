"""How near to an edge, to each other and to the plate's thickness holes may be.

Every figure comes with the rule it is from. Distances are from hole centres, mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from platewright.units import MM_PER_INCH, tape

_INCH = float(MM_PER_INCH)


@dataclass(frozen=True, slots=True)
class EdgeRule:
    """A least distance from a hole's centre, mm, and its source."""

    distance: float
    source: str


# bolt and least distance to an edge, inches; 1/2 to 1 read, above from memory
_AISC = (
    (0.5, 0.75), (0.625, 0.875), (0.75, 1.0), (0.875, 1.125), (1.0, 1.25), (1.125, 1.5),
    (1.25, 1.625),
)  # fmt: skip


def aisc_edge(bolt: float) -> EdgeRule | None:
    """Least edge distance for a bolt's diameter by AISC 360-16 Table J3.4.

    A bolt between rows takes the next greater row, and the source says so; above 1 1/4 in 1.25 d
    (memory), though never less than the last row. None below 1/2 in, where the table has no row.
    """
    source = "AISC 360-16 Table J3.4"
    inches = bolt / _INCH
    if inches < _AISC[0][0] - 1e-9:
        return None
    for size, distance in _AISC:
        if inches <= size + 1e-9:
            between = (
                "" if inches >= size - 1e-9 else f", row of the next greater bolt ({_row(size)} in)"
            )
            return EdgeRule(distance * _INCH, source + between)
    return EdgeRule(max(1.25 * bolt, _AISC[-1][1] * _INCH), source)


def _row(inches: float) -> str:
    """A row's bolt as the table names it."""
    return str(tape(inches * _INCH, 8))


def en_edge(hole: float) -> EdgeRule:
    """Least end and edge distance for a hole's diameter: 1.2 d0 (EN 1993-1-8 Table 3.3)."""
    return EdgeRule(1.2 * hole, "EN 1993-1-8 Table 3.3")


def least_edge(hole: float, bolt: float | None) -> EdgeRule:
    """The greater of the two rules for a hole and its bolt (None for a plain hole)."""
    by_bolt = aisc_edge(bolt) if bolt is not None else None
    by_hole = en_edge(hole)
    return by_bolt if by_bolt and by_bolt.distance > by_hole.distance else by_hole


def least_spacing(hole: float, *, across: bool = True) -> EdgeRule:
    """Least distance between hole centres: 2.4 d0 across the force, 2.2 d0 along it.

    EN 1993-1-8 Table 3.3; across is the safer choice where the direction is not known.
    """
    return EdgeRule((2.4 if across else 2.2) * hole, "EN 1993-1-8 Table 3.3")


PlasmaHole = Literal["drill", "doubtful", "cut"]

PLASMA_SOURCE = "common practice, no published source"


def plasma_hole(diameter: float, thickness: float) -> PlasmaHole:
    """Whether a torch can make a hole: drill below 1.5 T, doubtful to 2 T, cut from there.

    Common practice, no published source.
    """
    ratio = diameter / thickness
    if ratio < 1.5:
        return "drill"
    return "doubtful" if ratio < 2 else "cut"
