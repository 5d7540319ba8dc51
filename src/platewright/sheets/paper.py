"""Paper: the named sizes and how much of a sheet a printer can be trusted to reach."""

from __future__ import annotations

from dataclasses import replace

from platewright.drawing.printer import Printer
from platewright.errors import OutputError
from platewright.geometry.plane import Bounds
from platewright.values import dataclass

MARGIN = 10.0
"""Kept clear on every side, mm. Common practice: many printers leave 1/4 in (6.35 mm) blank."""

BLANK = 6.35
"""What printers leave blank at every edge, mm: 1/4 in (common practice, no published source)."""

BOTTOM_STRIP = 34.0
"""Height kept at the bottom of a full-scale page, mm."""

LEFT_STRIP = 14.0
"""Width kept at the left of a full-scale page, mm."""

LEAST_FIELD = (176.0, 112.0)
"""Smallest field that leaves its furniture room, width and height, mm."""

_CLOSER = 2.0  # mm by which the furniture can stand closer, where a printer needs wider margins

_INCH = 25.4

SINGLE = "single"
"""The name that asks for one sheet as large as the drawing."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet: its name, width and height in mm, and the printer that it is drawn for, if any."""

    name: str
    width: float
    height: float
    printer: Printer | None = None

    @property
    def turned(self) -> Paper:
        """The sheet turned a quarter turn."""
        printer = self.printer.turned if self.printer else None
        return Paper(self.name, self.height, self.width, printer)

    @property
    def upright(self) -> Paper:
        """The sheet with its short side across (portrait)."""
        return self if self.width <= self.height else self.turned

    @property
    def inked(self) -> Bounds:
        """As far as ink reaches: what stays blank is blank as drawn for its printer, too."""
        side, foot = BLANK, BLANK
        if self.printer:
            a, _, c, d = self.printer.drawn_from_true
            foot = max(foot, self.height / 2 - (self.height / 2 - BLANK) / d)
            lean = abs(c) * (self.height / 2 - foot)
            side = max(side, self.width / 2 - (self.width / 2 - BLANK - lean) / a)
        return Bounds(side, foot, self.width - side, self.height - foot)

    @property
    def printable(self) -> Bounds:
        """The part inside the margins. Raises OutputError when there is none."""
        if min(self.width, self.height) <= 2 * MARGIN:
            raise OutputError(f"{self.name} paper is all margin")
        inked = self.inked
        side, foot = max(MARGIN, inked.xmin), max(MARGIN, inked.ymin)
        return Bounds(side, foot, self.width - side, self.height - foot)


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


PaperChoice = str | Paper
"""A paper's name, or the paper: for a printer, or `single` for one (see `paper_for`)."""


def paper_for(printer: Printer | None, name: str) -> PaperChoice:
    """The paper of that name to draw on for a printer; `single` has no size before it is drawn.

    Raises OutputError for an unknown name.
    """
    if printer is None:
        return name
    return (
        Paper(SINGLE, 0.0, 0.0, printer)
        if is_single(name)
        else replace(paper_named(name), printer=printer)
    )


def is_single(choice: PaperChoice) -> bool:
    """Whether one sheet is asked for, as large as the drawing."""
    return (choice if isinstance(choice, str) else choice.name).strip().lower() == SINGLE


def paper_named(name: PaperChoice) -> Paper:
    """The paper of that name, upright, capitals aside.

    Raises OutputError for an unknown name, and for `single`, which has no size of its own.
    """
    if isinstance(name, Paper):
        if not is_single(name):
            return name.upright
        name = SINGLE
    try:
        return PAPERS[name.strip().lower()]
    except KeyError:
        known = ", ".join(PAPERS)
        raise OutputError(f"no paper is called {name!r} (known: {known})") from None


def field_of(paper: Paper) -> Bounds:
    """The part of a full-scale page that belongs to the pattern.

    Raises OutputError for paper too small to carry the furniture.
    """
    room = paper.printable
    field = Bounds(room.xmin + LEFT_STRIP, room.ymin + BOTTOM_STRIP, room.xmax, room.ymax)
    closer = _CLOSER if paper.printer else 1e-9
    if field.width < LEAST_FIELD[0] - closer or field.height < LEAST_FIELD[1] - closer:
        raise OutputError(f"{paper.name} paper is too small for a full-scale sheet")
    return field
