"""The check sheet's part for the folded bracket: two pictures with letters, and what to measure."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

from platewright.drawing.flow import Strip, heading, kept, paragraph
from platewright.drawing.items import Group, Item
from platewright.drawing.view import Place, View, views_of
from platewright.geometry.plane import Motion, Vector
from platewright.geometry.space import Point3
from platewright.measuring.reach import sharp_corner
from platewright.plate.bracket import Bracket
from platewright.plate.folded import folded
from platewright.sheets.rows import Row, Rows, folded_rows
from platewright.sheets.section import SMALLER, SectionInput, Tolerances, reading_strips
from platewright.values import dataclass

TOLERANCES: Tolerances = {
    True: {"in": "± 1/16 in", "mm": "± 1.5 mm"},
    False: {"in": "± 1/8 in", "mm": "± 3 mm"},
}
"""How far a reading may be off, fit-critical or not. Common practice, no published source."""

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
_BEYOND_SQUARE = (
    "Past a right angle, the outside and the inside of a bend are where a square laid against it "
    "finds it."
)
_CAPTION = "Folded, from above and from below. Small letters as in the rows."
_HEIGHT = 78.0  # of the two pictures, mm
_MAIN_SHARE = 0.56
_GUTTER = 4.0
_CORNER_NAME = re.compile(r" \((?:[^()]* and |top of )[^()]*\)")


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldedLetters:
    """Letters for the ends of readings, and the picture that shows each."""

    places: tuple[Place, ...]
    main: tuple[Place, ...]
    opposite: tuple[Place, ...]


def folded_letters(rows: Rows[Point3], main: View, opposite: View) -> FoldedLetters:
    """Every lettered end in the picture that sees it.

    What neither sees is shown in the main one, marked as hidden.
    """
    ends = [end for _, end in rows.places]
    seen = set(main.seen(*ends))
    behind = set(opposite.seen(*(end for end in ends if end not in seen)))
    places = tuple(
        Place(letter, end, hidden=end not in seen and end not in behind)
        for letter, end in rows.places
    )
    return FoldedLetters(
        places=places,
        main=tuple(place for place in places if place.at not in behind),
        opposite=tuple(place for place in places if place.at in behind),
    )


# --- the section ------------------------------------------------------------------------------


def folded_section(matter: SectionInput) -> tuple[Strip, ...]:
    """The folded bracket from two sides with letters, and its readings."""
    told = folded_rows(matter.piece)
    if not told.rows:
        return ()
    main, opposite = views_of(matter.piece.bracket)
    letters = folded_letters(told, main, opposite)
    return (
        *heading("After folding", matter.width),
        _pictures(main, opposite, letters, matter.width, _HEIGHT),
        *paragraph(_CAPTION, matter.width),
        *kept(paragraph(" ".join(_how(matter.piece.bracket, letters)), matter.width)),
        *reading_strips(
            [(row, row_words(row, letters)) for row in told.rows], TOLERANCES, matter, flat=False
        ),
    )


def _how(bracket: Bracket, letters: FoldedLetters) -> Iterator[str]:
    """How to read the pictures and the rows."""
    model = folded(bracket)
    if any(place.hidden for place in letters.places):
        yield _HIDDEN_WORDS
    if any(sharp_corner(model, place.at) for place in letters.places):
        yield _SHARP_WORDS
    if any(bend.angle > math.pi / 2 + 1e-9 for bend in model.bends):
        yield _BEYOND_SQUARE
    yield _WORDS


def _pictures(
    main: View, opposite: View, letters: FoldedLetters, width: float, height: float
) -> Strip:
    first = (width - _GUTTER) * _MAIN_SHARE
    second = width - _GUTTER - first

    def drawn() -> tuple[Item, ...]:
        low = Vector(0.0, -height)
        left = main.drawn((first, height), letters.main)
        right = opposite.drawn((second, height), letters.opposite)
        return (
            Group(Motion.translation(low), left),
            Group(Motion.translation(low + Vector(first + _GUTTER, 0.0)), right),
        )

    def smaller() -> Strip:
        return _pictures(main, opposite, letters, width, height * SMALLER)

    return Strip(height=height, drawn=drawn, keeps=True, smaller=smaller)


def row_words(row: Row[Point3], letters: FoldedLetters) -> str:
    """What a reading is, in words; a corner that a picture shows needs no edges to name it."""
    hidden = {place.letter for place in letters.places if place.hidden}
    seen = not hidden.intersection(row.letters.split(" to "))
    return _CORNER_NAME.sub("", row.words) if seen else row.words
