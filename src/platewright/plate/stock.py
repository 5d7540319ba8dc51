"""Stock: the plate that is cut, its thickness and its material.

Gauge numbers mean nothing without their table: the law's table (15 U.S.C. 206) and the
Manufacturers' Standard Gauge differ by up to 0.009 in at the same number, so the table is always
named. Measure the plate with a caliper where it matters.
"""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches
from types import MappingProxyType
from typing import Literal

from platewright.errors import UnitError
from platewright.quantities import MPA_PER_KSI
from platewright.units import INCH, Unit
from platewright.values import dataclass

Family = Literal["steel", "stainless", "aluminium", "card"]
GaugeTable = Literal["law", "msg"]


@dataclass(frozen=True, slots=True)
class Material:
    """What the plate is made of.

    `name` is the spelling in bracket files. Density is kg/m³, stresses are MPa. `yield_mpa` is
    the least the standard promises, for screens of strength; `ultimate_high_mpa` is the highest
    tensile strength to expect, for the effort of bending. `yield_ksi` is the yield
    of the standard's own inch edition, None where it has none; `yield_over` pairs a thickness, mm,
    with the yield of plate over it. Card promises nothing: its stresses are 0.
    """

    name: str
    label: str
    density_kg_m3: float
    yield_mpa: float
    ultimate_high_mpa: float
    family: Family
    yield_ksi: float | None = None
    yield_over: tuple[tuple[float, float], ...] = ()

    @property
    def carries_load(self) -> bool:
        """Whether a strength can be told at all."""
        return self.yield_mpa > 0

    def least_yield(self, thickness: float, unit: Unit = "mm") -> float:
        """Least yield that the standard promises plate of that thickness (mm), MPa.

        By the edition in the shop's own `unit`: A36 is 250 MPa, or 36 ksi, which is 248.
        """
        if unit == "in" and self.yield_ksi is not None:
            return self.yield_ksi * MPA_PER_KSI
        thicker = [mpa for over, mpa in self.yield_over if thickness > over + 1e-9]
        return min(thicker, default=self.yield_mpa)


# Yield from memory of the standard named beside each, but A36 and A572 read.
# The highest ultimate is the standard's where it has one, else a usual mill value (estimate).
_ALL = (
    # ASTM A36: 36 ksi; A36M: 250 MPa, 400-550 MPa (58-80 ksi); density EN 1991-1-1
    Material("A36", "A36 structural steel", 7850, 250, 550, "steel", 36),
    # ASTM A572 grade 50: 50 ksi; A572M grade 345: 345, 450 (65 ksi); highest estimated
    Material("A572-50", "A572 grade 50 steel", 7850, 345, 620, "steel", 50),
    # EN 10025-2, yield to 16 mm, over 16 to 40 and over 40 to 63 mm
    Material("S235", "S235 structural steel", 7850, 235, 510, "steel",
             yield_over=((16, 225), (40, 215))),
    Material("S275", "S275 structural steel", 7850, 275, 560, "steel",
             yield_over=((16, 265), (40, 255))),
    Material("S355", "S355 structural steel", 7850, 355, 630, "steel",
             yield_over=((16, 345), (40, 335))),
    # unknown grade: ASTM A1011 SS grade 30 promises 205 (30 ksi) and 340; highest as A36
    Material("mild steel", "mild steel, grade unknown", 7850, 205, 550, "steel", 30),
    # ASTM A240: 205 (30 ksi), 515 (75 ksi); highest EN 10088-2 for 1.4301 cold rolled
    Material("304", "304 stainless steel", 8000, 205, 750, "stainless", 30),
    # ASTM B209M; in ksi ASTM B209
    Material("3003-H14", "3003-H14 aluminium", 2730, 115, 180, "aluminium", 17),
    Material("5052-H32", "5052-H32 aluminium", 2680, 160, 265, "aluminium", 23),
    Material("6061-T4", "6061-T4 aluminium", 2700, 110, 260, "aluminium", 16),
    Material("6061-T6", "6061-T6 aluminium", 2700, 240, 345, "aluminium", 35),
    # for mock-ups; density common practice
    Material("card", "card, for a mock-up", 700, 0, 0, "card"),
)  # fmt: skip

MATERIALS: Mapping[str, Material] = MappingProxyType({each.name: each for each in _ALL})
"""The materials there are, by their spelling in bracket files."""


def parse_material(text: object) -> Material:
    """The material of that name, in any case of letters.

    Raises UnitError naming the allowed ones.
    """
    names = {name.casefold(): name for name in MATERIALS}
    key = " ".join(str(text).split()).casefold()
    if isinstance(text, str) and key in names:
        return MATERIALS[names[key]]
    near = get_close_matches(key, names, n=1)
    hint = f"; did you mean {names[near[0]]}?" if near else ""
    raise UnitError(f"no known material: {text!r}; allowed: {', '.join(MATERIALS)}{hint}")


@dataclass(frozen=True, slots=True)
class Stock:
    """The plate: thickness in mm and material."""

    thickness: float
    material: Material

    def mass_kg(self, area: float) -> float:
        """Mass of plate of that area (mm²), kg."""
        return area * self.thickness * self.material.density_kg_m3 * 1e-9


# 15 U.S.C. 206, inches; 7, 10, 11 and 16 read, the rest from memory
_LAW = (
    (1, 0.28125), (2, 0.265625), (3, 0.25), (4, 0.234375), (5, 0.21875), (6, 0.203125),
    (7, 0.1875), (8, 0.171875), (9, 0.15625), (10, 0.140625), (11, 0.125), (12, 0.109375),
    (13, 0.09375), (14, 0.078125), (15, 0.0703125), (16, 0.0625), (17, 0.05625), (18, 0.05),
    (19, 0.04375), (20, 0.0375), (21, 0.034375), (22, 0.03125), (23, 0.028125), (24, 0.025),
    (25, 0.021875), (26, 0.01875), (27, 0.0171875), (28, 0.015625), (29, 0.0140625),
    (30, 0.0125),
)  # fmt: skip

# Manufacturers' Standard Gauge, inches; 7, 10, 11, 12, 14 and 16 read, the rest from memory
_MSG = (
    (3, 0.2391), (4, 0.2242), (5, 0.2092), (6, 0.1943), (7, 0.1793), (8, 0.1644), (9, 0.1495),
    (10, 0.1345), (11, 0.1196), (12, 0.1046), (13, 0.0897), (14, 0.0747), (15, 0.0673),
    (16, 0.0598), (17, 0.0538), (18, 0.0478), (19, 0.0418), (20, 0.0359), (21, 0.0329),
    (22, 0.0299), (23, 0.0269), (24, 0.0239), (25, 0.0209), (26, 0.0179), (27, 0.0164),
    (28, 0.0149), (29, 0.0135), (30, 0.0120),
)  # fmt: skip

GAUGES: Mapping[GaugeTable, Mapping[int, float]] = MappingProxyType(
    {"law": MappingProxyType(dict(_LAW)), "msg": MappingProxyType(dict(_MSG))}
)
"""Gauge tables for steel sheet, inches: the law's and the Manufacturers' Standard.

The latter is for carbon steel alone; stainless sheet is sold by the law's figures (memory).
"""


def gauge_thickness(gauge: int, table: GaugeTable) -> float:
    """Thickness of steel sheet of that gauge, mm, by the named table.

    Raises UnitError for an unknown table or a gauge outside it.
    """
    if table not in GAUGES:
        raise UnitError(f"no gauge table {table!r}; allowed: {', '.join(GAUGES)}")
    rows = GAUGES[table]
    if isinstance(gauge, bool) or gauge not in rows:
        raise UnitError(f"no gauge {gauge!r} in table {table}; allowed: {min(rows)} to {max(rows)}")
    return rows[gauge] * INCH
