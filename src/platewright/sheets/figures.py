"""Figures as the shop reads them: tape and millimetres, areas, weights, sizes to cut from."""

from __future__ import annotations

from functools import lru_cache

from platewright.geometry.build import slot_of
from platewright.geometry.segment import Line
from platewright.plate.bracket import Cutout
from platewright.quantities import N_PER_LBF
from platewright.units import (
    MM_PER_INCH,
    Denominator,
    Unit,
    format_exact,
    format_length,
    format_mm,
    tape,
)

_INCH = float(MM_PER_INCH)
LB_PER_KG = 1 / 0.45359237
"""Pounds in a kilogram (exact by definition)."""

_PLENTY = 100e3  # N mm: moments from here need no tenths


def other_unit(unit: Unit) -> Unit:
    """Inches for mm and mm for inches."""
    return "mm" if unit == "in" else "in"


def tape_divisions(*, flat: bool, critical: bool) -> Denominator:
    """How finely an inch is read: to 32nds where ± 1/32 in is allowed, which is flat and critical.

    Wherever else a reading may be off by 1/16 in or more, to sixteenths.
    """
    return 32 if flat and critical else 16


@lru_cache(maxsize=512)
def reading(mm: float, unit: Unit, divisions: Denominator = 16) -> str:
    """What a tape shows, no unit: divisions of an inch with strong and shy, or tenths of a mm."""
    return str(tape(mm, divisions)) if unit == "in" else format_mm(mm)


def dimension_words(mm: float, unit: Unit, divisions: Denominator = 16) -> str:
    """A reading with its unit, as one says it: 13 3/16 in shy, 334.2 mm."""
    if unit == "mm":
        return f"{format_mm(mm)} mm"
    said = tape(mm, divisions)
    return f"{said.figure} in {said.leaning}".rstrip()


def command_length(mm: float, unit: Unit) -> str:
    """A length as it is typed in a call whose --units tell its unit, to the last digit."""
    words = format_exact(mm, unit).removesuffix(f" {unit}")
    return f'"{words}"' if " " in words else words


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


# --- slots and cut-outs ------------------------------------------------------------------------


def size_words(cutout: Cutout, unit: Unit) -> str:
    """How large a slot or cut-out is: "1/4 in wide, 1 1/4 in long, ends 1 in apart"."""
    slot = slot_of(cutout.contour)
    if slot:
        width, length, apart = (
            format_length(size, unit) for size in (slot.width, slot.length, slot.apart)
        )
        return f"{width} wide, {length} long, end centres {apart} apart"
    lines = [each for each in cutout.contour.segments if isinstance(each, Line)]
    along = max(lines, key=lambda line: line.length).direction if lines else None
    points = cutout.contour.flatten(0.01)
    if along is None:
        box = cutout.contour.bounds
        sides = (box.width, box.height)
    else:
        spans = [[p.x * d.x + p.y * d.y for p in points] for d in (along, along.left)]
        sides = (max(spans[0]) - min(spans[0]), max(spans[1]) - min(spans[1]))
    return " x ".join(format_length(side, unit) for side in sides)
