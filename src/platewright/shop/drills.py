"""Drills that a shop has: which one makes a hole, and what a hole of that size is good for."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from string import ascii_uppercase

from platewright.plate.bracket import Cutout, Hole
from platewright.units import INCH, MM_PER_INCH, Unit
from platewright.values import dataclass

#: A hole that is this much smaller than wanted passes what it is for, mm.
_SHY = 0.05
_TAP = 0.03  # mm: a tap drill is told where the hole is as near as this

# ASME B94.11M number drills 1 to 60 and letter drills A to Z, inches (7, F and R read, else memory)
_NUMBERS = """
.2280 .2210 .2130 .2090 .2055 .2040 .2010 .1990 .1960 .1935 .1910 .1890 .1850 .1820 .1800 .1770
.1730 .1695 .1660 .1610 .1590 .1570 .1540 .1520 .1495 .1470 .1440 .1405 .1360 .1285 .1200 .1160
.1130 .1110 .1100 .1065 .1040 .1015 .0995 .0980 .0960 .0935 .0890 .0860 .0820 .0810 .0785 .0760
.0730 .0700 .0670 .0635 .0595 .0550 .0520 .0465 .0430 .0420 .0410 .0400
"""
_LETTERS = """
.234 .238 .242 .246 .250 .257 .261 .266 .272 .277 .281 .290 .295 .302 .316 .323 .332 .339 .348
.358 .368 .377 .386 .397 .404 .413
"""

#: Tap drills for three quarters of a full thread (ASME B1.20.1 practice and shop tables, memory).
_TAP_DRILLS = {
    "1/4-20": ".2010", "1/4-28": ".2130", "5/16-18": ".257", "5/16-24": ".272", "3/8-16": "5/16",
    "3/8-24": ".332", "7/16-14": ".368", "7/16-20": "25/64", "1/2-13": "27/64", "1/2-20": "29/64",
    "5/8-11": "17/32", "5/8-18": "37/64", "3/4-10": "21/32", "3/4-16": "11/16", "7/8-9": "49/64",
    "1-8": "7/8", "1/8 NPT": ".339", "1/4 NPT": "7/16", "3/8 NPT": "37/64", "1/2 NPT": "23/32",
}  # fmt: skip
#: Coarse metric threads: the thread less its pitch (ISO 2306 practice, memory).
_METRIC_TAP_DRILLS = {
    "M3": 2.5, "M4": 3.3, "M5": 4.2, "M6": 5.0, "M8": 6.8, "M10": 8.5, "M12": 10.2, "M14": 12.0,
    "M16": 14.0, "M20": 17.5,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Drill:
    """A drill: what it is called, and its diameter, mm."""

    name: str
    diameter: float


def _fractions() -> Iterator[Drill]:
    """Sixty-fourths to 1 3/4 in."""
    for count in range(1, 113):
        size = Fraction(count, 64)
        whole, rest = divmod(size, 1)
        words = " ".join(str(part) for part in (whole, rest) if part)
        yield Drill(f"{words} in", float(size * MM_PER_INCH))


def _metric() -> Iterator[Drill]:
    """Tenths to 14 mm, quarters to 32, halves to 40 (ISO 235 and shop sets, from memory)."""
    tenths = [count / 10 for count in range(5, 141)]
    quarters = [14 + count / 4 for count in range(1, 73)]
    halves = [32 + count / 2 for count in range(1, 17)]
    return (Drill(f"{size:g} mm", size) for size in (*tenths, *quarters, *halves))


FRACTIONS = tuple(_fractions())
NAMED = (
    *(Drill(f"No. {i}", float(size) * INCH) for i, size in enumerate(_NUMBERS.split(), 1)),
    *(
        Drill(f"letter {letter}", float(size) * INCH)
        for letter, size in zip(ascii_uppercase, _LETTERS.split(), strict=True)
    ),
)
METRIC = tuple(_metric())


@lru_cache(maxsize=64)
def drills_for(diameter: float, unit: Unit) -> tuple[Drill, ...]:
    """The drills for a hole, those of the unit first; none beyond the largest.

    The nearest that is not noticeably smaller. In inches a number or letter drill only where it
    is nearer than every fraction.
    """
    fraction, named, metric = (_nearest(diameter, drills) for drills in (FRACTIONS, NAMED, METRIC))
    inch = min(
        (each for each in (fraction, named) if each), key=lambda d: _off(d, diameter), default=None
    )
    both = (inch, metric) if unit == "in" else (metric, inch)
    return tuple(each for each in both if each)


def _nearest(diameter: float, drills: tuple[Drill, ...]) -> Drill | None:
    enough = [drill for drill in drills if drill.diameter >= diameter - _SHY]
    return min(enough, key=lambda drill: _off(drill, diameter), default=None)


def _off(drill: Drill, diameter: float) -> float:
    # the odd last digits of figures in decimals must not win over a fraction
    return round(abs(drill.diameter - diameter), 2)


def use_of(hole: Hole | Cutout) -> str:
    """What an opening is for: what goes through, or the thread whose tap drill it is."""
    if isinstance(hole, Cutout):
        return f"clearance {hole.size}" if hole.fastener else ""
    match hole.role:
        case "bolt" | "port" if hole.fastener is not None:
            return f"clearance {hole.size}"
        case "pin":
            return f"pin {hole.size}".strip()
    taps = tapped(hole.diameter)
    return f"tap drill for {', '.join(taps)}, or plain" if taps else "plain"


@lru_cache(maxsize=64)
def tapped(diameter: float) -> tuple[str, ...]:
    """The threads whose tap drill has this diameter, mm."""
    inch = {name: float(Fraction(size)) * INCH for name, size in _TAP_DRILLS.items()}
    sizes = inch | _METRIC_TAP_DRILLS
    return tuple(name for name, size in sizes.items() if abs(size - diameter) < _TAP)
