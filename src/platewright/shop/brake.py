"""Brake bends: least radius, grain, die, force, legs and springback, bend by bend.

Angles are how far the metal turns, radians.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal

from platewright.geometry.plane import Vector
from platewright.geometry.segment import Line
from platewright.plate.bend import Direction, corner_setback
from platewright.plate.blank import Blank
from platewright.plate.bracket import Bracket
from platewright.plate.stock import Family, Material
from platewright.shop.legs import flat_legs
from platewright.units import INCH
from platewright.values import dataclass

Grain = Literal["across", "along", "unknown"]


@dataclass(frozen=True, slots=True)
class LeastRadius:
    """The least inside radius, mm, and the rule it comes from."""

    radius: float
    source: str


_STEEL_LIMIT = 0.75 * INCH
_ALONG_GRAIN = 1.5

_STEEL_SOURCES = {
    "A36": "ASTM A6 Table X4.2",
    # memory: every group of X4.2 that holds this grade starts at 1.5 up to 3/4 in
    "A572-50": "ASTM A6 Table X4.2",
    "mild steel": "as A36, common practice",
}

# thickness in inches and times T at 90 degrees; Aluminum Association style table, 3/16 read
# (5052-H32, 6061-T4, 6061-T6), the rest from memory
_ALUMINIUM_ROWS = (1 / 64, 1 / 32, 1 / 16, 1 / 8, 3 / 16, 1 / 4, 3 / 8, 1 / 2)
_ALUMINIUM = {
    "3003-H14": (0, 0, 0, 1, 1, 1.5, 2, 2.5),
    "5052-H32": (0, 0, 1, 1.5, 1.5, 1.5, 1.5, 2),
    "6061-T4": (0, 0, 1, 1.5, 2.5, 3, 3.5, 4),
    "6061-T6": (1, 1.5, 1.5, 2.5, 3, 3.5, 4.5, 5),
}


def least_radius(
    material: Material, thickness: float, *, along_grain: bool = False
) -> LeastRadius | None:
    """Least inside radius for a cold 90 degree bend, or None where no figure is at hand.

    Steel plate up to 3/4 in: 1.5 T across the grain, times 1.5 along it (ASTM A6 Table X4.2).
    Aluminium up to 1/2 in: the row of that thickness or the next thicker one; along the grain the
    same 1.5 is taken (common practice).
    """
    name, row = material.name, bisect_left(_ALUMINIUM_ROWS, thickness / INCH - 1e-9)
    if name in _STEEL_SOURCES and thickness <= _STEEL_LIMIT + 1e-9:
        times, source, along = 1.5, _STEEL_SOURCES[name], "along the grain"
    elif name in _ALUMINIUM and row < len(_ALUMINIUM_ROWS):
        times, source = _ALUMINIUM[name][row], "Aluminum Association style table"
        along = "along the grain, common practice"
    else:
        return None
    if along_grain:
        times, source = times * _ALONG_GRAIN, f"{source}, {along}"
    return LeastRadius(times * thickness, source)


def air_bend_force(material: Material, length: float, thickness: float, die: float) -> float:
    """Force to air-bend a length of plate over a die opening, N: 1.33 Rm b T² / V.

    The common press-brake chart formula (common practice, no published source), with the highest
    ultimate stress to expect.
    """
    return 1.33 * material.ultimate_high_mpa * length * thickness**2 / die


_SPRINGBACK: Mapping[Family, str] = MappingProxyType(
    {
        "steel": "about 1 to 2 degrees at tight radii; more as the radius grows",
        "stainless": "about 2 to 4 degrees at tight radii; more as the radius grows",
        "aluminium": "about 1 to 3 degrees in soft tempers, 3 to 6 in hard ones",
        "card": "card springs back until it is creased hard",
    }
)


def springback_words(family: Family) -> str:
    """How far a bend opens again when let go, in words (common practice): bend a test strip."""
    return f"{_SPRINGBACK[family]}: overbend and check with the gauge"


# --- the schedule -----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class BrakeRow:
    """One brake bend: radius against the least, grain, die, force in N, springback, legs in mm.

    `flat` is the bend's own flat leg at its narrowest, `least_flat` the least that stays on the
    die to the end of the stroke. `least` is None where no figure is at hand. `die` is None where
    no practical one leaves the radius: the bend is bumped or rolled. `force` is None there, and
    where the radius is so sharp that it is bottomed.
    """

    number: int
    direction: Direction
    angle: float
    length: float
    inside_radius: float
    k: float
    allowance: float
    grain: Grain
    least: LeastRadius | None
    die: float | None
    force: float | None
    springback: str
    flat: float
    least_flat: float
    setback: float


def brake_schedule(
    bracket: Bracket, blank: Blank, grain: float | None = None
) -> tuple[BrakeRow, ...]:
    """Every brake bend of a bracket, in order.

    `grain` is the direction of rolling on the blank, radians from +x; None when it is not known,
    and then the least radius is the one along the grain, which is the greater.
    """
    stock = bracket.stock
    thickness, rows = stock.thickness, []
    for bend in blank.bends:
        way, length, lies = bend.way.brake, bend.line.length, grain_across(bend.line, grain)
        if way is None:
            continue
        die = way.die(thickness)
        rows.append(
            BrakeRow(
                number=bend.number,
                direction=bend.direction,
                angle=bend.angle,
                length=length,
                inside_radius=way.radius,
                k=way.k,
                allowance=bend.allowance,
                grain=lies,
                least=least_radius(stock.material, thickness, along_grain=lies != "across"),
                die=die,
                force=(
                    air_bend_force(stock.material, length, thickness, die)
                    if die is not None and not way.bottomed(thickness)
                    else None
                ),
                springback=springback_words(stock.material.family),
                flat=flat_legs(bracket)[bend.child].least,
                least_flat=way.least_flat(bend.angle, thickness),
                setback=corner_setback(way, min(bend.angle, math.pi / 2), thickness),
            )
        )
    return tuple(rows)


def grain_across(line: Line, grain: float | None) -> Grain:
    """Whether a bend runs across the grain (within 45 degrees of square to it) or along it."""
    if grain is None:
        return "unknown"
    return "along" if abs(line.direction.dot(Vector.polar(grain))) > math.sqrt(0.5) else "across"
