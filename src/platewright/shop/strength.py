"""Screens of strength: a load on a bracket that stands out from its wall.

A screen compares a textbook stress with a strength over a stated safety margin. It knows nothing
of shock, fatigue, buckling, weld quality, heat beside the weld or the wall itself, and approves
nothing.
Forces are N, lengths mm, stresses MPa.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from platewright.errors import BuildError, GeometryError
from platewright.geometry.segment import Line
from platewright.plate.stock import Family, Stock
from platewright.quantities import MPA_PER_KSI
from platewright.units import INCH, Unit
from platewright.values import dataclass

CAUTION = (
    "A screen only, it approves nothing: have someone qualified judge a part that carries people "
    "or goes on a road."
)

THROAT = 1 / math.sqrt(2)
"""Throat of an equal-leg fillet as a share of its leg (exact)."""

PLATE_MARGIN = 1.67
"""Safety margin of the section against its least yield (AISC 360-16 F1, from memory)."""

WELD_MARGIN = 2.0
"""Safety margin of a fillet's throat against its shear strength (AISC 360-16 J2.4, from memory)."""

WELD_SHARE = 0.6
"""Shear strength of a fillet's throat as a share of the wire's ultimate (AISC 360-16 J2.4)."""

WIRE_KSI: Mapping[Family, float] = MappingProxyType(
    {"steel": 70.0, "stainless": 70.0, "aluminium": 24.0}
)
"""Ultimate stress of the common wire or rod, ksi: E70 for steel; 4043 for aluminium (memory)."""


# --- sections -----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Rectangle:
    """A rectangle of a section: width, height, and height `z` of its middle, mm.

    `tilt` turns it about its middle, radians: a leaning gusset.
    """

    width: float
    height: float
    z: float
    tilt: float = 0.0

    @property
    def area(self) -> float:
        """Area, mm²."""
        return self.width * self.height

    @property
    def own_inertia(self) -> float:
        """Second moment about the level axis through its own middle, mm⁴."""
        rise, run = self.height * math.cos(self.tilt), self.width * math.sin(self.tilt)
        return self.area * (rise**2 + run**2) / 12

    @property
    def half_rise(self) -> float:
        """From the middle to the highest corner, mm."""
        rise, run = self.height * math.cos(self.tilt), self.width * math.sin(self.tilt)
        return (abs(rise) + abs(run)) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A section in bending about a level axis: area, neutral axis, second moment and its ends."""

    area: float
    neutral: float
    inertia: float
    bottom: float
    top: float

    @property
    def modulus_top(self) -> float:
        """Section modulus of the top fibre, mm³."""
        return self.inertia / (self.top - self.neutral)

    @property
    def modulus_bottom(self) -> float:
        """Section modulus of the bottom fibre, mm³."""
        return self.inertia / (self.neutral - self.bottom)


def section(rectangles: Sequence[Rectangle]) -> Section:
    """The section of rectangles that act as one piece (parallel-axis theorem).

    Raises GeometryError where there is no area.
    """
    area = math.fsum(part.area for part in rectangles)
    if area <= 0:
        raise GeometryError("a section needs some area")
    neutral = math.fsum(part.area * part.z for part in rectangles) / area
    return Section(
        area=area,
        neutral=neutral,
        inertia=math.fsum(
            part.own_inertia + part.area * (part.z - neutral) ** 2 for part in rectangles
        ),
        bottom=min(part.z - part.half_rise for part in rectangles),
        top=max(part.z + part.half_rise for part in rectangles),
    )


# --- welds as lines -----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class WeldGroup:
    """Fillets on the wall as lines without width: y is height, figures are per mm of throat."""

    length: float
    centroid: float
    inertia: float
    bottom: float
    top: float

    @property
    def modulus(self) -> float:
        """Line modulus of the end farther from the centroid, mm²."""
        return self.inertia / max(self.top - self.centroid, self.centroid - self.bottom)


def weld_group(lines: Sequence[Line]) -> WeldGroup:
    """The group of straight fillets, drawn in the wall's plane with y upwards.

    Weld as a line: Shigley 9th ed. Table 9-2. Raises GeometryError for no length, or for lines
    that all lie at one height and so resist no bending.
    """
    length = math.fsum(line.length for line in lines)
    if length <= 0:
        raise GeometryError("a weld group needs some length")
    centroid = math.fsum(line.length * (line.start.y + line.end.y) / 2 for line in lines) / length
    heights = [end.y for line in lines for end in (line.start, line.end)]
    if max(heights) - min(heights) <= 0:
        raise GeometryError("welds all at one height resist no bending as lines")
    return WeldGroup(
        length=length,
        centroid=centroid,
        inertia=math.fsum(_line_inertia(line, centroid) for line in lines),
        bottom=min(heights),
        top=max(heights),
    )


def _line_inertia(line: Line, centroid: float) -> float:
    """Integral of (y - centroid)² along a line, mm³ (exact)."""
    a, b = line.start.y - centroid, line.end.y - centroid
    return line.length * (a * a + a * b + b * b) / 3


# thinner part joined and least leg, inches, and the leg that the table has in mm beside it (from
# memory): AISC 360-16 Table J2.4
_LEAST_FILLET = (
    (1 / 4, 1 / 8, 3.0),
    (1 / 2, 3 / 16, 5.0),
    (3 / 4, 1 / 4, 6.0),
    (math.inf, 5 / 16, 8.0),
)


def least_fillet(thinner: float, unit: Unit = "in") -> float:
    """Least fillet leg for the thinner part joined, mm (AISC 360-16 Table J2.4).

    A round figure in the `unit` of the shop's own measures.
    """
    inches, mm = next(legs for upto, *legs in _LEAST_FILLET if thinner <= upto * INCH + 1e-9)
    return inches * INCH if unit == "in" else mm


# --- screens ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Screen:
    """What a load does, told with what was taken for granted; it approves nothing.

    `load` N acts `arm` mm from the wall. `stresses` pairs words with MPa; the greatest is held
    against `strength_mpa` over the safety `margin`, and `strength_words` and `source` say where
    the two come from.
    """

    load: float
    arm: float
    stresses: tuple[tuple[str, float], ...]
    strength_mpa: float
    strength_words: str
    margin: float
    source: str
    assumptions: tuple[str, ...]
    caution: str = CAUTION

    @property
    def limit_mpa(self) -> float:
        """What the greatest stress is held against, MPa."""
        return self.strength_mpa / self.margin

    @property
    def limit_words(self) -> str:
        """What that is: "least yield of A36 over a safety margin of 1.67 (AISC 360-16 F1)"."""
        return f"{self.strength_words} over a safety margin of {self.margin:g} ({self.source})"

    @property
    def moment(self) -> float:
        """Bending moment at the wall, N mm."""
        return self.load * self.arm

    @property
    def greatest_mpa(self) -> float:
        """The greatest stress, MPa."""
        return max(stress for _, stress in self.stresses)

    @property
    def ratio(self) -> float:
        """Greatest stress over the limit: 1 is at the limit."""
        return self.greatest_mpa / self.limit_mpa


def plate_screen(
    load: float, arm: float, at_wall: Section, stock: Stock, unit: Unit = "mm"
) -> Screen:
    """A load standing still at `arm` mm from the wall, on the section at the wall.

    Stress = load * arm / modulus, against the least yield for the thickness over its margin.
    Raises BuildError for a material that carries no load.
    """
    material = stock.material
    if not material.carries_load:
        raise BuildError(f"{material.label} carries no load", "material")
    moment = load * arm
    return Screen(
        load=load,
        arm=arm,
        stresses=(
            ("bending, top", abs(moment) / at_wall.modulus_top),
            ("bending, bottom", abs(moment) / at_wall.modulus_bottom),
        ),
        strength_mpa=material.least_yield(stock.thickness, unit),
        strength_words=f"least yield of {material.label}",
        margin=PLATE_MARGIN,
        source="AISC 360-16 F1",
        assumptions=(
            "the load stands still and acts square to the plate",
            "plate and gussets act as one piece at the wall",
            "no shock, no fatigue, no buckling of a gusset's free edge",
            "the wall does not give",
            "no loss of strength beside the weld"
            + (", where aluminium loses half or more" if material.family == "aluminium" else ""),
        ),
    )


def weld_screen(
    load: float, arm: float, group: WeldGroup, leg: float, family: Family = "steel"
) -> Screen:
    """A load standing still at `arm` mm from the wall, on its fillets of that leg.

    Weld as a line: bending load * arm / (modulus * throat) and direct shear load / (length *
    throat), combined as the root of their squares on the throat, against the shear strength of the
    usual wire for such metal over its margin.
    """
    wire = WIRE_KSI[family]
    throat = THROAT * leg
    bending = abs(load * arm) / (group.modulus * throat)
    shear = abs(load) / (group.length * throat)
    return Screen(
        load=load,
        arm=arm,
        stresses=(
            ("bending on the throat", bending),
            ("direct shear on the throat", shear),
            ("combined on the throat", math.hypot(bending, shear)),
        ),
        strength_mpa=WELD_SHARE * wire * MPA_PER_KSI,
        strength_words=f"{WELD_SHARE:g} of the ultimate of {wire:g} ksi wire",
        margin=WELD_MARGIN,
        source="AISC 360-16 J2.4",
        assumptions=(
            "sound, full-size fillets along every line",
            "wire or rod that matches the plate",
            "the load stands still; no shock, no fatigue",
            "the wall does not give",
        ),
    )
