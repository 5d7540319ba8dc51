"""Bend figures for brakes: flat lengths, least radii, force and springback.

Angles are how far the metal turns, radians. The flat-length rules differ by a few hundredths of
the thickness: bend a test strip and measure.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from platewright.plate.stock import Family, Material
from platewright.units import MM_PER_INCH

_INCH = float(MM_PER_INCH)

Temper = Literal["soft", "medium", "hard"]

HANDBOOK_FACTORS: Mapping[Temper, float] = MappingProxyType(
    {"soft": 0.55, "medium": 0.64, "hard": 0.71}
)
"""Share of the thickness in a 90 degree bend's length, Machinery's Handbook 31st ed. p. 1421.

Soft: soft brass and copper. Medium: soft steel, aluminium, half-hard copper and brass. Hard:
cold-rolled and spring steel, bronze, hard copper.
"""


def aviation_allowance(radius: float, thickness: float, angle: float) -> float:
    """Bend allowance, mm: (0.01743 R + 0.0078 T) N with N in degrees.

    FAA-H-8083-31 ch. 4.
    """
    return (0.01743 * radius + 0.0078 * thickness) * math.degrees(angle)


def handbook_allowance(radius: float, thickness: float, angle: float, temper: Temper) -> float:
    """Bend length, mm: (c T + 1.57 R) N / 90 with c by the metal's temper.

    Machinery's Handbook 31st ed. p. 1421.
    """
    factor = HANDBOOK_FACTORS[temper]
    return (factor * thickness + 1.57 * radius) * math.degrees(angle) / 90


def handbook_k(temper: Temper) -> float:
    """The handbook rule as a neutral-line factor k: c / (pi / 2)."""
    return HANDBOOK_FACTORS[temper] / (math.pi / 2)


def din_correction(radius: float, thickness: float) -> float:
    """DIN 6935 correction factor k of the neutral line: 0.65 + 0.5 log10(r/s), 1 above r/s 5.

    Not below 0. Half of it is the neutral-line factor of a brake bend.
    """
    ratio = radius / thickness
    if ratio > 5:
        return 1.0
    return max(0.0, 0.65 + 0.5 * math.log10(ratio)) if ratio > 0 else 0.0


def din_shortening(radius: float, thickness: float, angle: float) -> float:
    """DIN 6935 shortening v for cold-bent steel, mm: flat length = sum of outside legs - v.

    2 (r + s) - angle (r + k s / 2) for turns of 90 degrees and more, with tan(angle / 2) on the
    first term below, and 0 for turns under 15 degrees. Legs are measured to the outside: to the
    sharp corner below 90 degrees, to the tangent square to the leg from 90 on.
    """
    if angle < math.radians(15) - 1e-12:
        return 0.0
    reach = 1.0 if angle >= math.pi / 2 else math.tan(angle / 2)
    arc = angle * (radius + din_correction(radius, thickness) * thickness / 2)
    return 2 * (radius + thickness) * reach - arc


def corner_relief(radius: float, thickness: float) -> float:
    """Diameter of the relief hole where two bends meet, mm: twice the bend radius.

    At least 1/8 in up to .064 in of thickness and 3/16 in above (FAA-H-8083-31 ch. 4, which stops
    at .128 in). Centred on the crossing of the inside tangent lines.
    """
    least = _INCH / 8 if thickness <= 0.064 * _INCH + 1e-9 else 3 * _INCH / 16
    return max(2 * radius, least)


@dataclass(frozen=True, slots=True)
class LeastRadius:
    """The least inside radius, mm, and the rule it comes from."""

    radius: float
    source: str


_STEEL_LIMIT = 0.75 * _INCH
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
    across = _across_grain(material.name, thickness)
    if across is None or not along_grain:
        return across
    words = "along the grain" if material.family == "steel" else "along the grain, common practice"
    return LeastRadius(across.radius * _ALONG_GRAIN, f"{across.source}, {words}")


def _across_grain(name: str, thickness: float) -> LeastRadius | None:
    if name in _STEEL_SOURCES and thickness <= _STEEL_LIMIT + 1e-9:
        return LeastRadius(1.5 * thickness, _STEEL_SOURCES[name])
    row = bisect_left(_ALUMINIUM_ROWS, thickness / _INCH - 1e-9)
    if name in _ALUMINIUM and row < len(_ALUMINIUM_ROWS):
        return LeastRadius(_ALUMINIUM[name][row] * thickness, "Aluminum Association style table")
    return None


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
