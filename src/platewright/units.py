"""Shop lengths and angles: read exactly, written as a tape or a rule shows them.

A length is read as an exact fraction of a millimetre and becomes a float only at the end, so that
"3 3/16" and 3.1875 give the same bits. The inch is 25.4 mm exactly (by definition, since 1959).
"""

from __future__ import annotations

import math
import re
import unicodedata
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Literal, get_args

from platewright.errors import UnitError
from platewright.values import dataclass

Unit = Literal["in", "mm"]
Denominator = Literal[8, 16, 32]
Rounding = Literal["nearest", "up", "down"]
"""How a figure is written: a reading to the nearest, a least up, a most down."""

MM_PER_INCH = Fraction(254, 10)
INCH = 25.4
"""The inch, mm, for what is worked out in floats."""

UNITS: tuple[Unit, ...] = get_args(Unit)

#: No number of any unit is read beyond this.
MOST = 10**12

#: Nothing this shop makes or measures is longer.
LONGEST = 1000 * MM_PER_INCH
#: No text is read beyond this; the longest that `format_exact` writes is some 330.
LONGEST_TEXT = 400
#: A reading is strong or shy when more than this share of a division is left over.
LEANING_SHARE = Fraction(1, 8)
#: What strong adds and shy takes off when it is read: ten thousandths of an inch. One amount for
#: every tape, as 1/2 strong may come off sixteenths or thirty-seconds. On both it lies where the
#: words are said (1/8 to 1/2 of a division), so the same words are printed of what was read.
LEANING = MM_PER_INCH / 100

_INCH_WORDS = {"in", "in.", "inch", "inches", '"'}
_FOOT_WORDS = {"ft", "ft.", "foot", "feet", "'"}
_MM_BY_WORD: dict[str, Fraction] = {
    **dict.fromkeys(_INCH_WORDS, MM_PER_INCH),
    **dict.fromkeys(_FOOT_WORDS, 12 * MM_PER_INCH),
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
}

_FRACTION = r"[0-9]+ ?/ ?[0-9]+"
_NUMBER = rf"(?:[0-9]+(?:- ?| ){_FRACTION}|{_FRACTION}|[0-9]+(?:\.[0-9]*)?|\.[0-9]+)"
_WORD = r"[a-z]+\.?|\"|'"
_LENGTH = re.compile(rf"(-)? ?({_NUMBER}) ?({_WORD})?")
_FEET_AND_INCHES = re.compile(
    rf"(-)? ?([0-9]+) ?(?:'|f(?:oo|ee)?t\.?)(?: ?- ?| )?({_NUMBER}) ?(?:\"|in(?:ch|ches|\.)?)?"
)
_LEANING = re.compile(r"(.+?) ?(strong|shy)(?: ?(in(?:ch|ches|\.)?|\"))?")
_MIXED = re.compile(rf"(?:([0-9]+)(?:- ?| ))?({_FRACTION})")
_ANGLE = re.compile(rf"([-+])? ?({_NUMBER}) ?(?:°|deg|degs|degree|degrees)?")
_FLAWS = (
    (r",", "write a decimal point, not a comma"),
    (r"[0-9] [0-9]+(?![0-9 ]*/)", "two numbers side by side: is a fraction bar missing?"),
    (r"[0-9] ?- ?[0-9]", "a hyphen may only join a whole number and its fraction"),
)

#: A fraction of raised and lowered figures, as word processors set it.
_RAISED = r"[⁰¹²³⁴⁵⁶⁷⁸⁹]+[⁄/∕][₀₁₂₃₄₅₆₇₈₉]+"

_PLAIN = {
    "′": "'", "’": "'", "‘": "'", "ʹ": "'", "″": '"', "”": '"', "“": '"', "ʺ": '"',
    "⁄": "/", "∕": "/", "−": "-", "–": "-", "‐": "-", "‑": "-", "º": "°",
}  # fmt: skip


# --- reading ----------------------------------------------------------------------------------


def plain_text(text: str) -> str:
    """The text in small letters with plain quotes, hyphens, fraction bars and single spaces.

    Vulgar fractions are opened: "3½" and "3¹⁄₂" become "3 1/2". Raises UnitError for empty or
    endless text.
    """
    if len(text) > LONGEST_TEXT:
        raise UnitError("the text is far too long")
    if not text.isascii():
        text = re.sub(_RAISED, lambda found: f" {unicodedata.normalize('NFKC', found[0])}", text)
        text = "".join(map(_plain_character, text))
    plain = " ".join(text.lower().split())
    if not plain:
        raise UnitError("nothing is written there")
    return plain.replace("''", '"')


def _plain_character(character: str) -> str:
    if unicodedata.decomposition(character).startswith("<fraction>"):
        return " " + unicodedata.normalize("NFKC", character).replace("⁄", "/")
    return _PLAIN.get(character, character)


def parse_number(text: str) -> Fraction:
    """The exact value of an unsigned decimal, fraction or mixed number.

    Raises UnitError for anything else, a zero denominator, a mixed number whose fraction is not
    less than 1, or a number beyond all reason (1e12).
    """
    number = _unsigned(text)
    if number > MOST:
        raise UnitError("the number is far too large")
    return number


def _unsigned(text: str) -> Fraction:
    mixed = _MIXED.fullmatch(text)
    if mixed:
        whole, fraction = mixed.groups()
        above, below = (int(part) for part in fraction.split("/"))
        if below == 0:
            raise UnitError("a fraction cannot have 0 below the bar")
        if whole is None:
            return Fraction(above, below)
        if above >= below:
            raise UnitError(
                f"the fraction beside a whole number must be less than 1: {above}/{below}"
            )
        return int(whole) + Fraction(above, below)
    if not re.fullmatch(_NUMBER, text):
        raise UnitError(_flaw(text) or "not a number")
    return Fraction(text if text[0] != "." else f"0{text}")


def _flaw(text: str) -> str | None:
    """What is probably wrong with a text that is no number, in words."""
    for pattern, words in _FLAWS:
        if re.search(pattern, text):
            return words
    return None


def exact_number(value: float) -> Fraction:
    """The decimal number that an int or float shows, exactly (4.1 is 41/10).

    Raises UnitError for a truth value, NaN, infinity, or a number beyond all reason (1e12).
    """
    if isinstance(value, bool):
        raise UnitError("true and false are no numbers")
    if isinstance(value, float) and not math.isfinite(value):
        raise UnitError("not a finite number")
    if abs(value) > MOST:
        raise UnitError("the number is far too large")
    return Fraction(repr(float(value)) if isinstance(value, float) else value)


def parse_length_exact(value: str | float, unit: Unit, *, negative: bool = False) -> Fraction:
    """A shop length in exact mm; a number without a unit of its own is in `unit`.

    Reads 3/16, 3 3/16, 3-3/16, 3½, 1'-2 1/2", 4.5 in, 80 mm, 8 cm, 2 ft; of inches also 7/16 shy,
    13 3/16 in strong: `LEANING` less and more. Raises UnitError with the reason, also for negative
    lengths unless allowed and for lengths over 1000 in.
    """
    own = _MM_BY_WORD[unit]
    mm = _text_mm(value, unit) if isinstance(value, str) else exact_number(value) * own
    if mm < 0 and not negative:
        raise UnitError("a length cannot be negative here")
    if abs(mm) > LONGEST:
        raise UnitError("longer than 1000 in (25.4 m): check the unit")
    return mm


def parse_length(value: str | float, unit: Unit, *, negative: bool = False) -> float:
    """A shop length in mm: see `parse_length_exact`."""
    return float(parse_length_exact(value, unit, negative=negative))


def _text_mm(value: str, unit: Unit) -> Fraction:
    text = plain_text(value)
    leaning = _LEANING.fullmatch(text)
    if not leaning:
        return _plain_mm(text, unit)
    figure, word, after = leaning.groups(default="")
    figure = f"{figure} {after}".rstrip()
    mm = _plain_mm(figure, unit)
    if figure.endswith("m") or (unit == "mm" and not re.search(_WORD, figure)):
        raise UnitError("strong and shy go with inches: write 7/16 in shy")
    outwards = -LEANING if figure.startswith("-") else LEANING
    return mm + outwards if word == "strong" else mm - outwards


def _plain_mm(text: str, unit: Unit) -> Fraction:
    if found := _FEET_AND_INCHES.fullmatch(text):
        sign, feet, inches = found.groups()
        beyond = parse_number(inches)
        if beyond >= 12:
            raise UnitError("inches that follow feet must be less than 12")
        mm = (12 * int(feet) + beyond) * MM_PER_INCH
    elif found := _LENGTH.fullmatch(text):
        sign, number, word = found.groups()
        size = parse_number(number)
        if (word or unit) not in _MM_BY_WORD:
            raise UnitError(f"no unit of length: {word!r} (known: in, ft, mm, cm, m)")
        mm = size * _MM_BY_WORD[word or unit]
    else:
        raise UnitError(_flaw(text) or "not a length")
    return -mm if sign else mm


def parse_angle(value: str | float, *, negative: bool = True) -> float:
    """An angle in radians from degrees: 45, 45 deg, 45°, 22 1/2.

    Raises UnitError with the reason, also beyond a full turn.
    """
    if isinstance(value, str):
        text = plain_text(value)
        found = _ANGLE.fullmatch(text)
        if not found:
            raise UnitError(_flaw(text) or "not an angle in degrees")
        degrees = parse_number(found[2]) * (-1 if found[1] == "-" else 1)
    else:
        degrees = exact_number(value)
    if degrees < 0 and not negative:
        raise UnitError("an angle cannot be negative here")
    if abs(degrees) > 360:
        raise UnitError("more than a full turn (360 degrees)")
    return math.radians(degrees)


# --- writing ----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class TapeReading:
    """What a tape shows: a whole number of divisions of an inch, and what is left over.

    `remainder` is the length less the divisions, exact, in mm.
    """

    divisions: int
    denominator: Denominator
    remainder: Fraction

    @property
    def nearest(self) -> float:
        """Length of the division that was read, mm."""
        return float(self.divisions * MM_PER_INCH / self.denominator)

    @property
    def leaning(self) -> Literal["", "strong", "shy"]:
        """Strong (longer than the division), shy (shorter), or neither worth telling.

        Told beyond an eighth of a division. Strong means further from zero.
        """
        if abs(self.remainder) * self.denominator <= LEANING_SHARE * MM_PER_INCH:
            return ""
        outwards = self.remainder > 0 if self.divisions >= 0 else self.remainder < 0
        return "strong" if outwards or self.divisions == 0 else "shy"

    @property
    def figure(self) -> str:
        """The division alone, such as 3 3/16."""
        beyond = self.divisions == 0 and self.remainder < 0 and self.leaning != ""
        sign = "-" if self.divisions < 0 or beyond else ""
        return sign + _inches(abs(Fraction(self.divisions, self.denominator)))

    def __str__(self) -> str:
        return f"{self.figure} {self.leaning}" if self.leaning else self.figure


def _inches(inches: Fraction) -> str:
    whole, rest = divmod(inches, 1)
    return f"{whole} {rest}" if whole and rest else str(whole or rest)


def tape(mm: float, denominator: Denominator = 16) -> TapeReading:
    """The nearest division of a tape with `denominator` divisions to the inch; a tie reads up.

    Raises UnitError for NaN, infinity or a tape that does not exist.
    """
    if denominator not in get_args(Denominator):
        raise UnitError(f"tapes are divided into 8, 16 or 32 to the inch, not {denominator}")
    exact = _exact(mm)
    division = MM_PER_INCH / denominator
    size = math.floor(abs(exact) / division + Fraction(1, 2))
    divisions = size if exact >= 0 else -size
    return TapeReading(divisions, denominator, exact - divisions * division)


def _exact(mm: float) -> Fraction:
    if not math.isfinite(mm):
        raise UnitError("not a finite length")
    return Fraction(mm)


def format_mm(mm: float, places: int = 1, rounding: Rounding = "nearest") -> str:
    """The figure alone, in mm, such as 81.0; never -0.0. Raises UnitError for NaN, infinity."""
    return format_figure(mm, places, rounding)


@lru_cache(maxsize=1024)
def format_figure(value: float, places: int, rounding: Rounding = "nearest") -> str:
    """A bare figure; never -0.0. Raises UnitError for NaN, infinity."""
    return f"{_whole(_meant(value) * 10**places, rounding) / 10**places:.{places}f}"


@lru_cache(maxsize=1024)
def format_length(mm: float, unit: Unit, rounding: Rounding = "nearest") -> str:
    """A length for a message: "3 3/16 in", "0.179 in" off the 64ths of an inch, "81.0 mm".

    Raises UnitError for NaN, infinity.
    """
    if unit == "mm":
        return f"{format_mm(mm, 1, rounding)} mm"
    inches = _meant(mm) / MM_PER_INCH
    near = Fraction(round(inches * 64), 64)
    past = {"nearest": Fraction(0), "up": inches - near, "down": near - inches}[rounding]
    if past > 0 or abs(inches - near) >= Fraction(1, 2000):
        near = Fraction(_whole(inches * 1000, rounding), 1000)
        if 64 % near.denominator:
            return f"{float(near):.3f} in"
    return _signed_inches(near)


def spoken(mm: float, unit: Unit, rounding: Rounding = "nearest") -> str:
    """A length as it is said in a shop: to a sixteenth of an inch or to a millimetre.

    Raises UnitError for NaN, infinity.
    """
    if unit == "mm":
        return f"{format_mm(mm, 0, rounding)} mm"
    return _signed_inches(Fraction(_whole(_meant(mm) * 16 / MM_PER_INCH, rounding), 16))


def _signed_inches(inches: Fraction) -> str:
    return f"{'-' if inches < 0 else ''}{_inches(abs(inches))} in"


def _meant(value: float) -> Fraction:
    """The value to a millionth: what is worked out may lie a hair beside the figure it stands for.

    So 107.95 prints as 108.0, and half an inch that comes of a sum is not rounded up beyond it.
    """
    return Fraction(round(_exact(value) * 10**6), 10**6)


def _whole(count: Fraction, rounding: Rounding) -> int:
    """The nearest whole number, a half up, or the next one up or down."""
    match rounding:
        case "nearest":
            return math.floor(count + Fraction(1, 2))
        case "up":
            return math.ceil(count)
        case "down":
            return math.floor(count)


def format_exact(mm: float, unit: Unit) -> str:
    """A length for a file, with its unit; `parse_length` gives the same bits back.

    Raises UnitError for NaN, infinity.
    """
    exact = _exact(mm)
    return (_exact_inches(exact) if unit == "in" else None) or f"{_digits(repr(mm + 0.0))} mm"


def _exact_inches(exact: Fraction) -> str | None:
    inches = abs(exact) / MM_PER_INCH
    sign = "-" if exact < 0 else ""
    near = Fraction(round(inches * 64), 64)
    if float(near * MM_PER_INCH) == abs(exact):
        return f"{sign}{_inches(near)} in"
    for places in range(1, 21):
        decimal = round(inches, places)
        if float(decimal * MM_PER_INCH) == abs(exact):
            return f"{sign}{_digits(f'{Decimal(decimal.numerator) / decimal.denominator}')} in"
    return None  # too small for a decimal inch: it is written in mm


def _digits(number: str) -> str:
    return format(Decimal(number), "f").removesuffix(".0")


@lru_cache(maxsize=1024)
def format_angle(angle: float, places: int = 1, rounding: Rounding = "nearest") -> str:
    """An angle in degrees such as 45° or 22.5°, without needless zeros.

    Raises UnitError for NaN, infinity.
    """
    if not math.isfinite(angle):
        raise UnitError("not a finite angle")
    degrees = format_figure(math.degrees(angle), places, rounding)
    return (degrees.rstrip("0").rstrip(".") if "." in degrees else degrees) + "°"


def both_units(mm: float) -> str:
    """A length in inches and mm, for a message that knows no file."""
    return f"{format_length(mm, 'in')} ({format_length(mm, 'mm')})"
