"""Bolts and port fittings: what a bracket file may name, and the holes they need.

A listed inch fraction or metric size names the bolt and its hole follows from the fit; anything
that is a diameter and not a listed bolt is the hole itself. Where a text could be either (0.375 in,
10 mm) it is refused, because the two differ by the clearance: write "3/8" or "hole 3/8".
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

from platewright.errors import UnitError
from platewright.units import INCH, MM_PER_INCH, Unit, exact_number, parse_length, plain_text
from platewright.values import dataclass

_GREATEST_HOLE = 300.0

BOLTS_ALLOWED = (
    'an inch bolt 1/4 to 1 1/2 such as "3/8", a metric bolt M3 to M30 such as "M10", '
    'or a drilled hole such as "hole 0.4 in" or "hole 10.5 mm"'
)
PORTS_ALLOWED = (
    'a pipe thread such as "1/4 NPT" or "G 1/4", or a drilled hole such as "hole 3/4 in"'
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltSize:
    """A bolt and what it needs, or a drilled hole of a stated diameter; all in mm.

    `diameter` is the bolt's body, None for a drilled hole, whose three fits are all the hole
    itself. Washer and hex sizes are None where no bolt is named.
    """

    designation: str
    diameter: float | None
    close: float
    normal: float
    loose: float
    narrow_washer: float | None = None
    across_flats: float | None = None

    @property
    def words(self) -> str:
        """The size in shop words: "for 3/8 in bolt", or the hole as it was given."""
        if self.diameter is None:
            return self.designation
        unit = "" if self.designation.startswith("M") else " in"
        return f"for {self.designation}{unit} bolt"


@dataclass(frozen=True, slots=True, kw_only=True)
class PortSize:
    """A port fitting and its hole, mm.

    `diameter` is the thread's outside diameter, None for a drilled hole; `hole` lets the thread
    pass.
    """

    designation: str
    diameter: float | None
    hole: float

    @property
    def words(self) -> str:
        """The size in shop words: "for 1/4 NPT", or the hole as it was given."""
        return self.designation if self.diameter is None else f"for {self.designation}"


def _inch(text: str) -> float:
    """Whole and fraction ("1 3/32") or decimals in inches, to mm."""
    return float(sum(map(Fraction, text.split())) * MM_PER_INCH)


# size | ASME B18.2.8 close, normal, loose (normal to 7/16 and loose 3/8, 1/2 read, else memory)
#      | ASME B18.21.1 type A narrow washers' outside | ASME B18.2.1 hex flats (memory)
_INCH_ROWS = """
1/4   | 17/64   | 9/32    | 19/64   | .625  | 7/16
5/16  | 21/64   | 11/32   | 23/64   | .688  | 1/2
3/8   | 25/64   | 13/32   | 27/64   | .812  | 9/16
7/16  | 29/64   | 15/32   | 31/64   | .922  | 5/8
1/2   | 17/32   | 9/16    | 39/64   | 1.062 | 3/4
5/8   | 21/32   | 11/16   | 47/64   | 1.312 | 15/16
3/4   | 25/32   | 13/16   | 29/32   | 1.469 | 1 1/8
7/8   | 29/32   | 15/16   | 1 1/32  | 1.750 | 1 5/16
1     | 1 1/32  | 1 3/32  | 1 5/32  | 2.000 | 1 1/2
1 1/8 | 1 5/32  | 1 7/32  | 1 5/16  | 2.250 | 1 11/16
1 1/4 | 1 9/32  | 1 11/32 | 1 7/16  | 2.500 | 1 7/8
1 3/8 | 1 7/16  | 1 1/2   | 1 39/64 | 2.750 | 2 1/16
1 1/2 | 1 9/16  | 1 5/8   | 1 47/64 | 3.000 | 2 1/4
"""

# size: ISO 273 fine, medium, coarse (M6 to M12 and M16 read, else memory), ISO 7089 washer
# outside, ISO 4014 hex flats (memory)
_METRIC_ROWS: tuple[tuple[int, float, float, float, float, float], ...] = (
    (3, 3.2, 3.4, 3.6, 7, 5.5),
    (4, 4.3, 4.5, 4.8, 9, 7),
    (5, 5.3, 5.5, 5.8, 10, 8),
    (6, 6.4, 6.6, 7, 12, 10),
    (8, 8.4, 9, 10, 16, 13),
    (10, 10.5, 11, 12, 20, 16),
    (12, 13, 13.5, 14.5, 24, 18),
    (14, 15, 15.5, 16.5, 28, 21),
    (16, 17, 17.5, 18.5, 30, 24),
    (18, 19, 20, 21, 34, 27),
    (20, 21, 22, 24, 37, 30),
    (22, 23, 24, 26, 39, 34),
    (24, 25, 26, 28, 44, 36),
    (27, 28, 30, 32, 50, 41),
    (30, 31, 33, 35, 56, 46),
)


def _bolt(designation: str, body: float, *row: float) -> BoltSize:
    close, normal, loose, narrow, flats = map(float, row)
    return BoltSize(
        designation=designation,
        diameter=float(body),
        close=close,
        normal=normal,
        loose=loose,
        narrow_washer=narrow,
        across_flats=flats,
    )


_INCH_CELLS = (row.split("|") for row in _INCH_ROWS.strip().splitlines())

BOLTS: Mapping[str, BoltSize] = MappingProxyType(
    {row[0].strip(): _bolt(row[0].strip(), *map(_inch, row)) for row in _INCH_CELLS}
    | {f"M{row[0]}": _bolt(f"M{row[0]}", *row) for row in _METRIC_ROWS}
)
"""The listed bolts by designation: "3/8", "M10"."""

THREAD_ALLOWANCE = INCH / 32
"""Hole beyond a fitting's thread, mm: 1/32 in (common practice, no published source)."""

# Outside diameter of the pipe, inches: ASME B1.20.1 (1/8 to 3/4 read, else memory)
_NPT = {
    "1/16": 0.3125, "1/8": 0.405, "1/4": 0.540, "3/8": 0.675, "1/2": 0.840, "3/4": 1.050,
    "1": 1.315, "1 1/4": 1.660, "1 1/2": 1.900, "2": 2.375,
}  # fmt: skip

# Major diameter, mm: ISO 228-1 (1/8 to 1/2 read, else memory)
_G = {
    "1/16": 7.723, "1/8": 9.728, "1/4": 13.157, "3/8": 16.662, "1/2": 20.955, "5/8": 22.911,
    "3/4": 26.441, "7/8": 30.201, "1": 33.249,
}  # fmt: skip


def _port(designation: str, outside: float) -> PortSize:
    return PortSize(designation=designation, diameter=outside, hole=outside + THREAD_ALLOWANCE)


PORTS: Mapping[str, PortSize] = MappingProxyType(
    {f"{size} NPT": _port(f"{size} NPT", outside * INCH) for size, outside in _NPT.items()}
    | {f"G {size}": _port(f"G {size}", outside) for size, outside in _G.items()}
)
"""The listed port threads by designation: "1/4 NPT", "G 1/4"."""

_SIZE = r"([0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+)"
_INCHES = r" ?(?:in|inch|\")?"
_INCH_BOLT = _SIZE + _INCHES
_METRIC_BOLT = r"m ?([0-9]+)"
_NPT_PORT = _SIZE + _INCHES + r"[ -]?npt"
_G_PORT = r"g ?" + _SIZE + _INCHES
_HOLE = r"hole[ :]?(.+)"
_BARE_DIAMETER = r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:" + _INCHES + r"| ?mm)"


def _tidy(value: object, what: str, allowed: str) -> str:
    """The plain text of a string or number; UnitError for anything else."""
    if isinstance(value, str):
        return plain_text(value)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise UnitError(f"{value!r} is no {what}: give {allowed}")
    return str(float(exact_number(value))).removesuffix(".0")


def _hole(text: str, unit: Unit) -> float:
    """A drilled hole's diameter, mm. Raises UnitError."""
    diameter = parse_length(text, unit)
    if not 0 < diameter <= _GREATEST_HOLE:
        raise UnitError(f"a hole of {text} is not allowed: more than 0, at most 300 mm")
    return diameter


def _drilled(text: str, unit: Unit) -> BoltSize:
    hole = _hole(text, unit)
    return BoltSize(
        designation=_hole_words(text, unit), diameter=None, close=hole, normal=hole, loose=hole
    )


def _hole_words(text: str, unit: Unit) -> str:
    """The hole as it was given, with its unit."""
    return (
        f"hole {text}" if re.search(r"[a-z\"″'′]", text, re.IGNORECASE) else f"hole {text} {unit}"
    )


def parse_bolt_size(value: object, unit: Unit) -> BoltSize:
    """The bolt, or drilled hole, that a text or number names.

    `"3/8"`, `"1/2 in"`, `"M10"` are listed bolts; `"hole 0.40 in"`, `"hole 3/8"`, `0.406`,
    `"10.5 mm"` are drilled holes, in the file's `unit` where none stands beside. Raises UnitError,
    saying what is allowed, for anything else, and for a plain diameter that equals a listed bolt.
    """
    text = _tidy(value, "bolt size", BOLTS_ALLOWED)
    named = None if isinstance(value, int | float) else _listed_bolt(text)
    if named is not None:
        return named
    hole = re.fullmatch(_HOLE, text)
    if hole:
        return _drilled(hole[1].strip(), unit)
    if not re.fullmatch(_BARE_DIAMETER, text):
        raise UnitError(f"{value!r} is no listed bolt: give {BOLTS_ALLOWED}")
    return _unmistakable(_drilled(text, unit), text)


def _listed_bolt(text: str) -> BoltSize | None:
    inch = re.fullmatch(_INCH_BOLT, text)
    if inch:
        return BOLTS.get(inch[1].replace("-", " "))
    metric = re.fullmatch(_METRIC_BOLT, text)
    return BOLTS.get(f"M{metric[1]}") if metric else None


def _unmistakable(hole: BoltSize, text: str) -> BoltSize:
    """The hole, unless a listed bolt has just that diameter (UnitError)."""
    for bolt in BOLTS.values():
        if bolt.diameter is not None and math.isclose(bolt.diameter, hole.normal, rel_tol=1e-6):
            raise UnitError(
                f"{text} could be the bolt or its hole: write "
                f'"{bolt.designation}" for the bolt or "{hole.designation}" for a drilled hole'
            )
    return hole


def clearance_hole(size: BoltSize, fit: str) -> float:
    """Diameter of the hole for a bolt, mm; a drilled hole is itself whatever the fit.

    ASME B18.2.8 for inch bolts, ISO 273 for metric: close is fine, normal medium, loose coarse.
    Raises UnitError for another fit.
    """
    match fit:
        case "close":
            return size.close
        case "normal":
            return size.normal
        case "loose":
            return size.loose
    raise UnitError(f"no fit {fit!r}; allowed: close, normal, loose")


def parse_port_size(value: object, unit: Unit) -> PortSize:
    """The port thread, or drilled hole, that a text or number names.

    `"1/4 NPT"` (ASME B1.20.1) and `"G 1/4"` (ISO 228-1) are threads; `"hole 3/4 in"`, `0.75`,
    `"20 mm"` are drilled holes. Raises UnitError, saying what is allowed, for anything else; a bare
    fraction is refused, because it may be meant for the thread.
    """
    text = _tidy(value, "port size", PORTS_ALLOWED)
    npt, g = re.fullmatch(_NPT_PORT, text), re.fullmatch(_G_PORT, text)
    thread = f"{npt[1]} NPT" if npt else f"G {g[1]}" if g else ""
    named = PORTS.get(thread.replace("-", " "))
    if named is not None:
        return named
    hole = re.fullmatch(_HOLE, text)
    given = hole[1].strip() if hole else text
    if not hole and not re.fullmatch(_BARE_DIAMETER, text):
        raise UnitError(f"{value!r} is no listed port: give {PORTS_ALLOWED}")
    return PortSize(designation=_hole_words(given, unit), diameter=None, hole=_hole(given, unit))


# ASME B36.10M, outside diameter, inches
_PIPES = {
    "1/2": 0.840, "3/4": 1.050, "1": 1.315, "1 1/4": 1.660, "1 1/2": 1.900, "2": 2.375,
    "2 1/2": 2.875, "3": 3.500, "3 1/2": 4.000, "4": 4.500, "5": 5.563, "6": 6.625,
}  # fmt: skip

PIPES: Mapping[str, float] = MappingProxyType(
    {size: outside * INCH for size, outside in _PIPES.items()}
)
"""Outside diameters of pipe by nominal size, mm (ASME B36.10M)."""

PIPES_ALLOWED = (
    'a nominal pipe size 1/2 to 6 such as "1 1/2"; of a tube or an odd pipe give the diameter'
)

_PIPE = _SIZE + _INCHES + r"(?: pipe)?"


def parse_pipe_size(value: object, _unit: Unit) -> str:
    """The nominal size of a pipe, a key of `PIPES`. Raises UnitError for anything else."""
    text = _tidy(value, "pipe size", PIPES_ALLOWED)
    found = re.fullmatch(_PIPE, text)
    size = found[1].replace("-", " ") if found else ""
    if size not in PIPES:
        raise UnitError(f"{value!r} is no listed pipe: give {PIPES_ALLOWED}")
    return size


def wrench_room(size: BoltSize) -> float | None:
    """Diameter to keep free round a bolt for a socket, mm; None for a drilled hole.

    1.5 times the hex across flats: a socket's outside (common practice, no published source).
    """
    return None if size.across_flats is None else 1.5 * size.across_flats


def fitting_room(size: PortSize) -> float | None:
    """Diameter to keep free round a port for its fitting's hex, mm; None for a drilled hole.

    Across the corners of a hex 1.4 times the thread across flats, the large end of common
    fittings (common practice, no published source). An elbow needs its own swing besides.
    """
    return None if size.diameter is None else 1.4 * size.diameter * 2 / math.sqrt(3)
