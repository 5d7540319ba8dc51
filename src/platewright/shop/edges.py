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


# bolt and least distance to an edge: AISC 360-16 Table J3.4 in inches, 1/2 to 1 read, above from
# memory; Table J3.4M in mm from memory
_J3_4 = (
    (0.5, 0.75), (0.625, 0.875), (0.75, 1.0), (0.875, 1.125), (1.0, 1.25), (1.125, 1.5),
    (1.25, 1.625),
)  # fmt: skip
_J3_4M = ((16, 22), (20, 26), (22, 28), (24, 30), (27, 34), (30, 38), (36, 46))


def aisc_edge(bolt: float) -> EdgeRule | None:
    """Least edge distance for a bolt's diameter by AISC 360-16 Table J3.4, or J3.4M.

    A bolt of whole millimetres goes by the metric table. One between rows takes the next greater
    row, and the source says so; above the last row 1.25 d (memory), though never less than that
    row. None below the first row, 1/2 in or M16.
    """
    metric = abs(bolt - round(bolt)) < 1e-6
    size, rows, table = (bolt, _J3_4M, "J3.4M") if metric else (bolt / _INCH, _J3_4, "J3.4")
    source, per = f"AISC 360-16 Table {table}", 1.0 if metric else _INCH
    if size < rows[0][0] - 1e-9:
        return None
    for row, distance in rows:
        if size < row - 1e-9:
            name = f"M{row}" if metric else f"{tape(row * _INCH, 8)} in"
            return EdgeRule(distance * per, f"{source}, row of the next greater bolt ({name})")
        if size <= row + 1e-9:
            return EdgeRule(distance * per, source)
    return EdgeRule(max(1.25 * bolt, rows[-1][1] * per), source)


def en_edge(hole: float) -> EdgeRule:
    """Least end and edge distance for a hole's diameter: 1.2 d0 (EN 1993-1-8 Table 3.3)."""
    return EdgeRule(1.2 * hole, "EN 1993-1-8 Table 3.3")


def least_edge(hole: float, bolt: float | None) -> EdgeRule:
    """The greater of the two rules for a hole and its bolt (None for a plain hole)."""
    by_bolt = aisc_edge(bolt) if bolt is not None else None
    by_hole = en_edge(hole)
    return by_bolt if by_bolt and by_bolt.distance > by_hole.distance else by_hole


def least_spacing(hole: float, bolt: float | None) -> EdgeRule:
    """Least distance between the centres of bolt holes, by the stricter of two rules.

    2.4 d0 of the hole (EN 1993-1-8 Table 3.3, across the force, the safer way where its direction
    is not known) and 2 2/3 d of the bolt (AISC 360-16 J3.3, from memory).
    """
    by_hole = EdgeRule(2.4 * hole, "EN 1993-1-8 Table 3.3, 2.4 d0")
    by_bolt = EdgeRule(8 / 3 * (bolt or 0.0), "AISC 360-16 J3.3, 2 2/3 d")
    return max(by_hole, by_bolt, key=lambda rule: rule.distance)


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
