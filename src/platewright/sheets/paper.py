"""Paper: the named sizes and how much of a sheet a printer can be trusted to reach."""

from __future__ import annotations

from dataclasses import dataclass, replace

from platewright.errors import OutputError
from platewright.geometry.plane import Bounds

MARGIN = 10.0
"""Kept clear on every side, mm. Common practice: many printers leave 1/4 in (6.35 mm) blank."""

_INCH = 25.4

SINGLE = "single"
"""The name that asks for one sheet as large as the drawing."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet: its name, width and height in mm."""

    name: str
    width: float
    height: float

    @property
    def turned(self) -> Paper:
        """The sheet turned a quarter turn."""
        return replace(self, width=self.height, height=self.width)

    @property
    def upright(self) -> Paper:
        """The sheet with its short side across (portrait)."""
        return self if self.width <= self.height else self.turned

    @property
    def printable(self) -> Bounds:
        """The part inside the margins. Raises OutputError when there is none."""
        if min(self.width, self.height) <= 2 * MARGIN:
            raise OutputError(f"{self.name} paper is all margin")
        return Bounds(MARGIN, MARGIN, self.width - MARGIN, self.height - MARGIN)


LETTER = Paper("letter", 8.5 * _INCH, 11 * _INCH)
"""ANSI A, 8.5 x 11 in (ANSI/ASME Y14.1)."""

LEGAL = Paper("legal", 8.5 * _INCH, 14 * _INCH)
"""8.5 x 14 in."""

TABLOID = Paper("tabloid", 11 * _INCH, 17 * _INCH)
"""ANSI B, 11 x 17 in (ANSI/ASME Y14.1)."""

A4 = Paper("A4", 210.0, 297.0)
"""210 x 297 mm (ISO 216)."""

A3 = Paper("A3", 297.0, 420.0)
"""297 x 420 mm (ISO 216)."""

PAPERS: dict[str, Paper] = {paper.name.lower(): paper for paper in (LETTER, LEGAL, TABLOID, A4, A3)}
"""Every named size, upright, by its name in small letters."""

PAPER_NAMES: tuple[str, ...] = (*PAPERS, SINGLE)
"""What a user may ask for."""


def paper_named(name: str) -> Paper:
    """The paper of that name, upright, capitals aside.

    Raises OutputError for an unknown name, and for `single`, which has no size of its own.
    """
    try:
        return PAPERS[name.strip().lower()]
    except KeyError:
        known = ", ".join(PAPERS)
        raise OutputError(f"no paper is called {name!r} (known: {known})") from None
