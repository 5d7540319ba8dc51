"""Figures as the shop reads them: tape and millimetres, areas, weights, sizes to cut from."""

from __future__ import annotations

from platewright.quantities import N_PER_LBF
from platewright.units import MM_PER_INCH, Unit, format_mm, tape

_INCH = float(MM_PER_INCH)
LB_PER_KG = 1 / 0.45359237
"""Pounds in a kilogram (exact by definition)."""

_PLENTY = 100e3  # N mm: moments from here need no tenths


def other_unit(unit: Unit) -> Unit:
    """Inches for mm and mm for inches."""
    return "mm" if unit == "in" else "in"


def reading(mm: float, unit: Unit) -> str:
    """What a tape shows, no unit: sixteenths of an inch with strong and shy, or tenths of a mm."""
    return str(tape(mm, 16)) if unit == "in" else format_mm(mm)


def dimension_words(mm: float, unit: Unit) -> str:
    """A reading with its unit, as one says it: 13 3/16 in shy, 334.2 mm."""
    if unit == "mm":
        return f"{format_mm(mm)} mm"
    said = tape(mm, 16)
    return f"{said.figure} in {said.leaning}".rstrip()


def area_words(mm2: float, unit: Unit) -> str:
    """An area in the unit's own measure first: "70.5 in² (455 cm²)"."""
    inches, centimetres = f"{mm2 / _INCH**2:.1f} in²", f"{mm2 / 100:.0f} cm²"
    return f"{inches} ({centimetres})" if unit == "in" else f"{centimetres} ({inches})"


def weight_words(kg: float, unit: Unit) -> str:
    """A weight in the unit's own measure first: "3.75 lb (1.70 kg)"."""
    pounds, kilograms = f"{kg * LB_PER_KG:.2f} lb", f"{kg:.2f} kg"
    return f"{pounds} ({kilograms})" if unit == "in" else f"{kilograms} ({pounds})"


def moment_words(n_mm: float, unit: Unit) -> str:
    """A moment of N mm in the file's own measure: "5344 in-lbf", "604 N m", "8.4 N m"."""
    if unit == "in":
        return f"{n_mm / float(N_PER_LBF) / _INCH:.0f} in-lbf"
    return f"{n_mm / 1000:.{0 if n_mm >= _PLENTY else 1}f} N m"
