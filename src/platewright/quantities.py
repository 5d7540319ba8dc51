"""The other quantities of a bracket file: counts, factors, forces, pressures, areas, speeds.

Unlike lengths these always carry their own unit: a bare 500 could be pounds or newtons.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from decimal import Context as DecimalContext
from fractions import Fraction

from platewright.errors import UnitError
from platewright.units import MM_PER_INCH, Rounding, Unit, exact_number, parse_number, plain_text
from platewright.values import dataclass

#: One pound-force in newtons: 0.45359237 kg x 9.80665 m/s2, exact by definition.
N_PER_LBF = Fraction(45359237, 10**8) * Fraction(980665, 10**5)

MPA_PER_KSI = float(1000 * N_PER_LBF / MM_PER_INCH**2)
"""A thousand pounds-force per square inch in MPa (exact by definition)."""

_SIGNED = re.compile(r"([-+])? ?([0-9.][0-9./ -]*?) ?([a-z][a-z0-9/. ]*)?")


@dataclass(frozen=True, slots=True)
class Scale:
    """A quantity with units: what it is called, and the size of each unit in the inner unit.

    `shown` is the unit that goes with inches and the one that goes with mm.
    """

    name: str
    inner: str
    units: Mapping[str, Fraction]
    shown: Mapping[Unit, str]

    @property
    def known(self) -> str:
        """The units there are, in words."""
        return ", ".join(self.units)


FORCE = Scale(
    "force",
    "N",
    {"lb": N_PER_LBF, "lbf": N_PER_LBF, "N": Fraction(1), "kN": Fraction(1000)},
    {"in": "lbf", "mm": "N"},
)
PRESSURE = Scale(
    "pressure",
    "MPa",
    {
        "psi": N_PER_LBF / MM_PER_INCH**2,
        "kPa": Fraction(1, 1000),
        "bar": Fraction(1, 10),
        "MPa": Fraction(1),
    },
    {"in": "psi", "mm": "kPa"},
)
AREA = Scale(
    "area",
    "mm2",
    {"in2": MM_PER_INCH**2, "sq in": MM_PER_INCH**2, "cm2": Fraction(100), "mm2": Fraction(1)},
    {"in": "in2", "mm": "cm2"},
)
SPEED = Scale(
    "speed",
    "mm/min",
    {"in/min": MM_PER_INCH, "mm/min": Fraction(1), "m/min": Fraction(1000)},
    {"in": "in/min", "mm": "mm/min"},
)


def parse_quantity(value: str | float, scale: Scale) -> float:
    """A quantity in the scale's inner unit from a text such as "500 lb" or "90 psi".

    Raises UnitError for a bare number, an unknown unit, or a negative.
    """
    if not isinstance(value, str):
        exact_number(value)
        raise UnitError(f"a {scale.name} needs its unit ({scale.known}), in quotes")
    found = _SIGNED.fullmatch(plain_text(value).replace("²", "2"))
    if not found:
        raise UnitError(f"not a {scale.name}")
    sign, number, word = found[1], parse_number(found[2].strip()), found[3]
    if sign == "-" and number:
        raise UnitError("cannot be negative")
    if not word:
        raise UnitError(f"a {scale.name} needs its unit ({scale.known})")
    if word in ("kg", "kgf") and scale is FORCE:
        raise UnitError("kg is a mass; give the force in lb, N or kN (1 kg weighs 9.81 N)")
    for unit, size in scale.units.items():
        if unit.lower() == word:
            return float(number * size)
    raise UnitError(f"no unit of {scale.name}: {word!r} (known: {scale.known})")


_DECIMAL = {"nearest": ROUND_HALF_UP, "up": ROUND_CEILING, "down": ROUND_FLOOR}


def format_quantity(value: float, scale: Scale, unit: str, rounding: Rounding = "nearest") -> str:
    """The quantity in one of the scale's units to four figures, such as "90 psi".

    `unit` must be one of the scale's.
    """
    size = Decimal(f"{value / float(scale.units[unit]):.12g}")  # without the float's last digits
    figures = size.normalize(DecimalContext(prec=4, rounding=_DECIMAL[rounding]))
    return f"{figures:f} {unit}"


def parse_count(value: str | int | float) -> int:
    """A whole number, 0 or more. Raises UnitError."""
    if isinstance(value, str):
        text = plain_text(value)
        if not re.fullmatch(r"[0-9]{1,9}", text):
            raise UnitError("not a whole number")
        return int(text)
    number = exact_number(value)
    if isinstance(value, float):
        raise UnitError("not a whole number: leave the decimal point out")
    if number < 0:
        raise UnitError("a count cannot be negative")
    return int(value)


def parse_factor(value: str | float) -> float:
    """A plain number without a unit, 0 or more: 0.44, 1/3. Raises UnitError."""
    number = parse_number(plain_text(value)) if isinstance(value, str) else exact_number(value)
    if number < 0:
        raise UnitError("a factor cannot be negative")
    return float(number)
