"""What one declared measurement knows about itself."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Literal, TypedDict

from platewright.errors import UnitError
from platewright.units import (
    LONGEST_TEXT,
    UNITS,
    Rounding,
    Unit,
    exact_number,
    format_angle,
    format_exact,
    parse_angle,
)
from platewright.values import dataclass

Quantity = Literal[
    "length", "angle", "count", "factor", "force", "pressure", "area", "speed",
    "choice", "flag", "text", "custom", "table", "rows", "lengths", "pairs",
]  # fmt: skip

#: A single value in a file: no date, list or table.
Scalar = str | int | float


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """What is known about one measurement.

    `minimum` and `maximum` are in the value's inner unit (mm, radians, N, MPa, mm2, mm/min), or
    the number of rows, lengths or pairs. `default` and `example` stand as a file has them;
    `default_mm` and `example_mm` are those of a file in mm where that is another round figure.
    `inside` is the declared class of a table or of each row; a table whose keys all have defaults
    and a list that may be empty fills itself. `again` are the lines of a further row, where a
    starter file shows one, with <n> for n whole inches or centimetres. What is `of_shop` is
    measured once for all parts: a shop file gives it where a bracket file does not. `read` turns
    what a file gives and the file's unit into the value and raises UnitError; `show` writes a limit
    in that unit, a least rounded up and a most down.
    """

    quantity: Quantity
    label: str
    how: str
    read: Callable[[Any, Unit], Any]
    show: Callable[[float, Unit, Rounding], str] = lambda limit, *_: f"{limit:g}"
    minimum: float | None = None
    maximum: float | None = None
    default: Scalar | None = None
    default_mm: Scalar | None = None
    example: Scalar | None = None
    example_mm: Scalar | None = None
    optional: bool = False
    fit_critical: bool = False
    choices: tuple[str, ...] = ()
    allowed: str = ""
    inside: type | None = None
    again: tuple[str, ...] = ()
    of_shop: bool = False
    fills_itself: bool = False

    @property
    def required(self) -> bool:
        """Whether a file must give it; for a table, whether it must give some key inside."""
        return not self.optional and not self.fills_itself and self.default is None

    def limits(self, unit: Unit) -> str:
        """What is allowed, in words, with lengths in `unit`; "" when anything goes."""
        if self.choices:
            return ", ".join(f'"{choice}"' for choice in self.choices)
        if self.allowed or (self.minimum is None and self.maximum is None):
            return self.allowed
        low = self.show(self.minimum or 0, unit, "up")
        if self.maximum is None:
            return f"at least {low}"
        high = self.show(self.maximum, unit, "down")
        return f"{low} to {high}" if self.minimum else f"at most {high}"

    def default_in(self, unit: Unit) -> Scalar | None:
        """The default of a file in this unit, None when there is none."""
        if unit == "mm" and self.default_mm is not None:
            return self.default_mm
        return self.default

    def default_text(self, unit: Unit) -> str:
        """The default as a form shows it; "" when there is none."""
        default = self.default_in(unit)
        if default is None:
            return ""
        if self.quantity == "length" and unit == "mm":
            return format_exact(self.value(default, unit), unit)
        if self.quantity in ("force", "pressure", "area", "speed") and unit == "mm":
            return self.show(self.value(default, unit), unit, "nearest")
        if self.quantity == "angle":
            return format_angle(parse_angle(default))
        if self.quantity == "flag":
            return "true" if default else "false"
        return str(default)

    def value(self, given: Scalar, unit: Unit) -> Any:
        """The value of a single measurement as a file in this unit gives it.

        Raises UnitError with the reason, also for a value beyond its limits.
        """
        if isinstance(given, bool) and self.quantity != "flag":
            raise UnitError("true and false belong only to a yes or no")
        if not isinstance(given, str):
            exact_number(int(given) if isinstance(given, bool) else given)
        elif len(given) > LONGEST_TEXT:
            raise UnitError("the text is far too long")
        value = self.read(given, unit)
        if self.minimum is not None and value < self.minimum:
            raise UnitError(f"too small; allowed: {self.limits(unit)}{self._meant(given, unit)}")
        if self.maximum is not None and value > self.maximum:
            raise UnitError(f"too large; allowed: {self.limits(unit)}{self._meant(given, unit)}")
        return value

    def _meant(self, given: Scalar, unit: Unit) -> str:
        """A hint at the other unit where a bare length would be allowed in it."""
        if self.quantity != "length":
            return ""
        other = next(each for each in UNITS if each != unit)
        try:
            value = self.read(given, other)
        except UnitError:
            return ""
        if value == self.read(given, unit) or not self._allows(value):
            return ""
        meant = {"in": "inches", "mm": "millimetres"}[other]
        return (
            f'. If {meant} were meant, write "{given} {other}", or units = "{other}" for the file'
        )

    def _allows(self, value: float) -> bool:
        low, high = self.minimum, self.maximum
        return (low is None or value >= low) and (high is None or value <= high)


class Told(TypedDict, total=False):
    """What any measurement may further declare."""

    optional: bool
    fit_critical: bool
    of_shop: bool


class ToldText(Told, total=False):
    """The same, with a default and an example as a file has them."""

    default: str | None
    default_mm: str | None
    example: str | None
    example_mm: str | None


class ToldNumber(Told, total=False):
    """The same, with a default and an example that are numbers."""

    default: float | None
    example: float | None
