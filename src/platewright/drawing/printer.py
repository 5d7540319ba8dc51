"""A printer's own scale, and how a page is drawn so that this printer prints it true.

Rollers slip a little: a print comes out some thousandths short or long, not alike both ways, and at
times a little askew. What the bars of its own page read is undone at the last step, where a page
becomes ink.
"""

from __future__ import annotations

import math
from dataclasses import replace

from platewright.errors import OutputError
from platewright.values import dataclass

LARGEST = 5080.0
"""Greatest side of a page, mm: 14400 units of 1/72 in (ISO 32000-1 Annex C)."""

MOST_OFF = 0.03
"""A print further off than this, 3 %, was fitted to the page: there is nothing to correct."""

MOST_ASKEW = math.radians(0.6)
"""A print that leans further than this went through the printer askew."""

_FITTED = 0.3  # more than a fit to any usual paper takes or gives
_ROUNDING = 1e-9
_SEEN = 0.00005  # of a length: less does not show on the longest bar


@dataclass(frozen=True, slots=True)
class Printer:
    """What a printer makes of an upright page: a bar's length as printed over that as drawn.

    `across` along the paper's width, `up` along its height; by `skew` radians the upright leans to
    the right of square. `name` is the shop's own, `measured_on` the day as the shop writes it.

    Raises OutputError beyond `MOST_OFF` and `MOST_ASKEW`.
    """

    across: float
    up: float
    skew: float = 0.0
    name: str = ""
    measured_on: str = ""

    def __post_init__(self) -> None:
        for way, scale in (("across", self.across), ("up", self.up)):
            if told := off_words(way, scale):
                raise OutputError(told)
        if not abs(self.skew) <= MOST_ASKEW + _ROUNDING:
            raise OutputError(
                f"it prints {math.degrees(abs(self.skew)):.1f}° askew: the paper went through "
                "askew, or a reading is wrong. Print the page again and measure again"
            )

    @property
    def turned(self) -> Printer:
        """What it makes of a page that lies on its side, and goes through it a quarter turned.

        Turned to either side, the angle between right and up becomes that between up and left.
        """
        return replace(self, across=self.up, up=self.across, skew=-self.skew)

    @property
    def drawn_from_true(self) -> tuple[float, float, float, float]:
        """The matrix (a, b, c, d) that what is to be printed true is drawn by.

        It takes (x, y) to (a x + c y, b x + d y) and undoes what the printer does: (x, y) is
        printed at (across x + up sin(skew) y, up cos(skew) y).
        """
        return (
            1 / self.across,
            0.0,
            -math.tan(self.skew) / self.across,
            1 / (self.up * math.cos(self.skew)),
        )

    @property
    def words(self) -> str:
        """What every page says that is drawn for it."""
        changes = [
            f"{percent_words(1 / scale - 1)} {way}"
            for way, scale in (("across", self.across), ("up", self.up))
            if abs(1 / scale - 1) >= _SEEN
        ]
        if abs(self.skew) >= _SEEN:
            side = "left" if self.skew > 0 else "right"
            changes.append(f"leaning {math.degrees(abs(self.skew)):.2f}° to the {side}")
        drawn = ", ".join(changes) if changes else "as it is"
        called = f"printer {self.name}" if self.name else "the shop's printer"
        day = f" (measured {self.measured_on})" if self.measured_on else ""
        return f"Drawn {drawn} for {called} alone{day}: its bars read true."


def off_words(way: str, scale: float) -> str:
    """Why a scale, "across" or "up", is no printer's own; "" where it may be."""
    if abs(scale - 1) <= MOST_OFF + _ROUNDING:
        return ""
    if abs(scale - 1) > _FITTED:
        return f"{way} it would print at {scale:.0%} of the size: measure again, and mind the unit"
    return (
        f"{way} it prints {percent_words(scale - 1)}; allowed: 3 %. Beyond that it is no printer's "
        "own fault: the print was fitted to the page. Print at 100 %, not fit to page, and measure "
        "again"
    )


def percent_words(change: float) -> str:
    """A change of a length in words: "0.5 % larger"."""
    figure = f"{abs(change) * 100:.2f}".rstrip("0").rstrip(".")
    return f"{figure} % {'larger' if change > 0 else 'smaller'}"


@dataclass(frozen=True, slots=True, kw_only=True)
class PrinterReadings:
    """The bars of a printer's own page: two sides of a rectangle and its diagonals, mm.

    `drawn_across` and `drawn_up` are the sides as drawn, the rest as read; `rising` is the diagonal
    that rises to the right. `fineness` is what they were read to.

    Raises OutputError for bars that no print of the page can have.
    """

    drawn_across: float
    drawn_up: float
    across: float
    up: float
    rising: float
    falling: float
    fineness: float

    def __post_init__(self) -> None:
        if not min(self.across, self.up, self.rising, self.falling) > 0:
            raise OutputError("bars and diagonals are longer than nothing")
        for way, read, drawn in (
            ("across", self.across, self.drawn_across),
            ("up", self.up, self.drawn_up),
        ):
            if abs(read / drawn - 1) > _FITTED:
                raise OutputError(off_words(way, read / drawn))

    @property
    def misclosure(self) -> float:
        """By how much the diagonals are longer, on the whole, than the sides allow, mm.

        Whatever the scales and the skew, the squares of a parallelogram's diagonals add up to
        twice those of its sides.
        """
        return math.hypot(self.rising, self.falling) / math.sqrt(2) - math.hypot(
            self.across, self.up
        )

    @property
    def left_open(self) -> float:
        """The most of a misclosure that half a division on every reading explains, mm."""
        sides = math.hypot(self.across, self.up)
        return self.fineness / 2 * (1 + (self.across + self.up) / sides)

    @property
    def agrees(self) -> bool:
        """Whether the four readings can be true together."""
        return abs(self.misclosure) <= self.left_open * (1 + 1e-9)

    def printer(self, name: str = "", measured_on: str = "") -> Printer:
        """The printer's scales and skew, the readings adjusted so that they close.

        Least squares with one condition: each reading takes its share of the misclosure, by how
        much it counts there. Raises OutputError where the print was fitted to the page.
        """
        Printer(self.across / self.drawn_across, self.up / self.drawn_up)  # as read: a plain answer
        read = (self.across, self.up, self.rising, self.falling)
        slopes = (-4 * self.across, -4 * self.up, 2 * self.rising, 2 * self.falling)
        open_ = self.rising**2 + self.falling**2 - 2 * (self.across**2 + self.up**2)
        share = open_ / math.fsum(slope * slope for slope in slopes)
        across, up, rising, falling = (
            reading - share * slope for reading, slope in zip(read, slopes, strict=True)
        )
        lean = (rising**2 - falling**2) / (4 * across * up)
        return Printer(
            across / self.drawn_across,
            up / self.drawn_up,
            math.asin(max(-1.0, min(1.0, lean))),
            name,
            measured_on,
        )
