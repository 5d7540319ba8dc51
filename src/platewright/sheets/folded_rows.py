"""The check sheet's part for the folded bracket: two pictures with letters, and what to measure.

Of everything that could be measured the sheet keeps what tells something new: the nearest
fit-critical hole to each panel (the others follow from the flat), each stand of a panel once, bends
alike together.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from platewright.drawing.flow import Strip, heading, kept, paragraph
from platewright.drawing.items import Group, Item
from platewright.drawing.table import Cell, Column, Reading, Table, Tick, Words, table_strips
from platewright.drawing.view import Place, View, views_of
from platewright.findings.grouping import joined_places
from platewright.geometry.plane import Motion, Vector
from platewright.geometry.space import Point3, Vector3
from platewright.plate.bracket import Bracket
from platewright.plate.folded import folded
from platewright.plate.folded_checks import HOLES, FoldedCheck, folded_checks
from platewright.plate.sharp import sharp_corner
from platewright.sheets.figures import other_unit, reading
from platewright.sheets.section import SectionInput
from platewright.units import Unit, format_angle

TOLERANCES: dict[bool, dict[Unit, str]] = {
    True: {"in": "± 1/16 in", "mm": "± 1.5 mm"},
    False: {"in": "± 1/8 in", "mm": "± 3 mm"},
}
"""How far a reading may be off, fit-critical or not. Common practice, no published source."""

ANGLE_TOLERANCE = "± 1°"
"""How far a bevel may be off. Common practice, no published source."""

_WORDS = (
    "The inside face of a panel is the one inside its own fold. Two letters: the tape runs from "
    "one place to the other. One letter: from that place square to the face that is named. Holes "
    "count from their middle. Bevels: a carpenter's bevel, or the card gauges of the template. "
    "The tolerances are common practice, no published source."
)
_HIDDEN_WORDS = "A ring with a dashed line: the place lies behind the metal."
_SHARP_WORDS = (
    "A letter where two thin lines cross beside a bend names the sharp corner, in the air: hold a "
    "straightedge along each face."
)
_CAPTION = "Folded, from above and from below. Small letters as in the rows."
_ALPHABET = "abcdefghjkmnpqrstuvwxyz"  # without those that look like figures
_HEIGHT = 78.0  # of the two pictures, mm
_MAIN_SHARE = 0.56
_GUTTER = 4.0
_MANY = 3  # so many bends alike have a row each
_SAME = 0.05  # mm
_CORNER_NAME = re.compile(r" \([^()]*\)$")


# --- which readings ---------------------------------------------------------------------------


def sheet_checks(bracket: Bracket) -> tuple[FoldedCheck, ...]:
    """The readings that the sheet asks for, in the order to take them."""
    found = folded_checks(bracket)
    asked = [check for check in found if check.what == "as asked"]
    told = [c for c in found if c.what == "as asked" or not any(_repeats(c, a) for a in asked)]
    return (*_bevels(told), *_nearest_holes([c for c in told if c.quantity == "length"]))


def _repeats(check: FoldedCheck, asked: FoldedCheck) -> bool:
    """Whether a reading tells what one asked for does: the same way, in one place or panel."""
    if check.quantity == "angle" or check.square != asked.square:
        return False
    one, other = _way(check), _way(asked)
    if min((one - other).length, (one + other).length) > _SAME:
        return False
    return check.panel == asked.panel or check.places[0].distance(asked.places[0]) < _SAME


def _way(check: FoldedCheck) -> Vector3:
    return check.places[1] - check.places[0]


def _bevels(checks: Sequence[FoldedCheck]) -> Iterator[FoldedCheck]:
    """Every bevel, those of many bends with one angle together."""
    bevels = [check for check in checks if check.quantity == "angle"]
    alike = Counter(_angle(check) for check in bevels)
    for angle, count in alike.items():
        group = [check for check in bevels if _angle(check) == angle]
        yield from group if count <= _MANY else (_together(group),)


def _angle(check: FoldedCheck) -> str:
    return format_angle(check.value)


def _together(bevels: Sequence[FoldedCheck]) -> FoldedCheck:
    what = joined_places([check.what for check in bevels])
    return replace(bevels[0], what=f"{what}, each", start="", end="", faces="inside the fold")


def _nearest_holes(checks: Sequence[FoldedCheck]) -> Iterator[FoldedCheck]:
    """All but the farther holes of each panel, which stand as on the flat, and any that may err."""
    nearest: dict[str, FoldedCheck] = {}
    for check in checks:
        if check.what in HOLES and check.critical:
            best = nearest.get(check.panel)
            if best is None or check.value < best.value - _SAME:
                nearest[check.panel] = check
    kept = {id(check) for check in nearest.values()}
    yield from (check for check in checks if check.what not in HOLES or id(check) in kept)


# --- letters ----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldedLetters:
    """Letters for the ends of readings, and the picture that shows each."""

    places: tuple[Place, ...]
    main: tuple[Place, ...]
    opposite: tuple[Place, ...]

    def of(self, check: FoldedCheck) -> tuple[str, ...]:
        """A reading's letters: two, one where it runs square to a face, none for an angle."""
        return tuple(self._letter(end) for end in _ends(check))

    def shows(self, p: Point3) -> bool:
        """Whether a place can be seen in its picture."""
        shown = (*self.main, *self.opposite)
        return any(place.at.distance(p) < _SAME and not place.hidden for place in shown)

    def _letter(self, p: Point3) -> str:
        return next(place.letter for place in self.places if place.at.distance(p) < _SAME)


def folded_letters(checks: Sequence[FoldedCheck], main: View, opposite: View) -> FoldedLetters:
    """Every end once, in the order of the readings, in the picture that sees it.

    What neither sees is shown in the main one, marked as hidden.
    """
    ends: list[Point3] = []
    for check in checks:
        for end in _ends(check):
            if not any(end.distance(other) < _SAME for other in ends):
                ends.append(end)
    seen = [end for end in ends if main.sees(end)]
    behind = [end for end in ends if end not in seen and opposite.sees(end)]
    places = tuple(
        Place(_letter(index), end, hidden=end not in seen and end not in behind)
        for index, end in enumerate(ends)
    )
    return FoldedLetters(
        places=places,
        main=tuple(place for place in places if place.at not in behind),
        opposite=tuple(place for place in places if place.at in behind),
    )


def _ends(check: FoldedCheck) -> tuple[Point3, ...]:
    return check.places[:1] if check.square else check.places


def _letter(index: int) -> str:
    rounds, at = divmod(index, len(_ALPHABET))
    return (_ALPHABET[rounds - 1] if rounds else "") + _ALPHABET[at]


# --- the section ------------------------------------------------------------------------------


def folded_section(matter: SectionInput) -> tuple[Strip, ...]:
    """The folded bracket from two sides with letters, and its readings."""
    checks = sheet_checks(matter.piece.bracket)
    if not checks:
        return ()
    main, opposite = views_of(matter.piece.bracket)
    letters = folded_letters(checks, main, opposite)
    return (
        *heading("After folding", matter.width),
        *_pictures(main, opposite, letters, matter.width),
        *kept(paragraph(" ".join(_how(matter.piece.bracket, letters)), matter.width)),
        *table_strips(_table(checks, letters, matter)),
    )


def _how(bracket: Bracket, letters: FoldedLetters) -> Iterator[str]:
    """How to read the pictures and the rows."""
    model = folded(bracket)
    if any(place.hidden for place in letters.places):
        yield _HIDDEN_WORDS
    if any(sharp_corner(model, place.at) for place in letters.places):
        yield _SHARP_WORDS
    yield _WORDS


def _pictures(
    main: View, opposite: View, letters: FoldedLetters, width: float
) -> tuple[Strip, ...]:
    first = (width - _GUTTER) * _MAIN_SHARE
    second = width - _GUTTER - first
    drawn: tuple[Item, ...] = (
        Group(
            Motion.translation(Vector(0.0, -_HEIGHT)), main.drawn((first, _HEIGHT), letters.main)
        ),
        Group(
            Motion.translation(Vector(first + _GUTTER, -_HEIGHT)),
            opposite.drawn((second, _HEIGHT), letters.opposite),
        ),
    )
    return (Strip(height=_HEIGHT, items=drawn, keeps=True), *paragraph(_CAPTION, width))


def _table(checks: Sequence[FoldedCheck], letters: FoldedLetters, matter: SectionInput) -> Table:
    first, second = matter.unit, other_unit(matter.unit)
    names: dict[Unit, str] = {"in": "tape, in", "mm": "mm"}
    widths: dict[Unit, float] = {"in": 35.0, "mm": 19.0}
    columns = (
        Column(heading="", width=9),
        Column(heading="points", width=16),
        Column(heading="measure", width=67),
        Column(heading=names[first], width=widths[first], along="right"),
        Column(
            heading=names[second],
            width=widths[second] - (7 if second == "in" else 4),
            along="right",
        ),
        Column(heading="may be off", width=20, along="right"),
        Column(heading="reading", width=24),
        Column(heading="good", width=11),
    )
    rows = tuple(_row(check, letters, first, second) for check in checks)
    return Table(columns=columns, rows=rows, least_height=8.0).fitted(matter.width)


def _row(check: FoldedCheck, letters: FoldedLetters, first: Unit, second: Unit) -> tuple[Cell, ...]:
    is_angle = check.quantity == "angle"
    values = (
        (_angle(check), "")
        if is_angle
        else tuple(reading(check.value, unit) for unit in (first, second))
    )
    return (
        Words("FIT", "bold") if check.critical else "",
        Words(" to ".join(letters.of(check)), "bold"),
        row_words(check, letters),
        Words(values[0], "bold", 3.0),
        values[1],
        ANGLE_TOLERANCE if is_angle else TOLERANCES[check.critical][first],
        Reading("°" if is_angle else first),
        Tick(),
    )


def row_words(check: FoldedCheck, letters: FoldedLetters) -> str:
    """What a reading is, in words: from where to where, on which faces."""
    if check.quantity == "angle":
        between = f": {check.start} to {check.end}" if check.start else ""
        return f"{check.what}{between}, {check.faces}"
    shown = all(letters.shows(end) for end in _ends(check))
    start, end = (
        _CORNER_NAME.sub("", words) if shown else words for words in (check.start, check.end)
    )
    if check.what.startswith("height"):
        over_all = " over all" if check.what.endswith("over all") else ""
        return f"{start}, height{over_all}: {check.faces} of the {end}"
    joined = ", " if end.startswith("square to") else " to "
    return f"{start}{joined}{end}: {check.faces}"
