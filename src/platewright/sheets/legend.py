"""What stands beside a pattern: what its lines mean, how the paper is used, what comes of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache

from platewright.drawing.dimensions import punch_mark
from platewright.drawing.flow import Strip, bullets, heading, height_of, paragraph, steps
from platewright.drawing.insets import Inset
from platewright.drawing.items import Group, Item, Stroke, Text, marks, shifted
from platewright.drawing.lettering import LINE_PITCH, wrap
from platewright.drawing.style import (
    BEND,
    CENTRE,
    CUT,
    HIDDEN,
    PHANTOM,
    SCRIBE,
    TANGENT,
    LineStyle,
)
from platewright.drawing.view import views_of
from platewright.geometry.plane import Motion, Point, Vector
from platewright.geometry.segment import Line
from platewright.plate.bracket import Bracket
from platewright.plate.piece import Piece
from platewright.shop.notes import CAUTIONS

_SIZE = 2.0
_VIEW_WIDTHS = (78.0, 62.0)
_HEIGHT_SHARE = 0.72  # of a picture's width
_ROOMY = 70.0
_SAMPLE = 19.0  # length of a line's sample, mm
_TWO_COLUMNS = 120.0  # from this width samples stand in two columns, mm
_GUTTER = 4.0

WIDTHS = (84.0, 66.0, 54.0, 110.0, 150.0)
"""Widths that an inset of words may take, the best first, mm."""

Meanings = tuple[tuple[LineStyle, str], ...]
"""Line styles and what they mean on a drawing, in the order of telling."""

MEANINGS: Meanings = (
    (CUT, "cut here: the middle of the line is the edge"),
    (BEND, "middle of a bend: grind or bend as it says"),
    (TANGENT, "where a bend begins and ends"),
    (CENTRE, "centre line, not cut"),
    (PHANTOM, "what will stand there, not cut"),
    (HIDDEN, "room to keep free, not cut"),
    (SCRIBE, "line to scribe, not cut"),
)
"""What the lines of a plate's pattern mean."""

_MEASURE = "Measure all four bars on every page before you trust it."
_JOIN = "Trim the later page on its border, lay its marks on the same marks, glue."
UP_AND_DOWN = "Fold UP: towards you, with the TOP face towards you. DOWN: away from you."
"""What the two ways of a fold mean, on template and check sheet alike."""

STICK = "Stick it on the plate so that TOP faces you. Punch the dots, then cut."
"""What a pattern of plate is for."""


def legend_inset(ink: Sequence[Item], meanings: Meanings = MEANINGS) -> Inset:
    """What the lines that are on the drawing mean."""
    drawn = {mark.style for mark in marks(ink) if isinstance(mark, Stroke)}
    rows = [(style, words) for style, words in meanings if style in drawn]

    def strips(width: float) -> tuple[Strip, ...]:
        columns = 2 if width > _TWO_COLUMNS else 1
        room = (width - (columns - 1) * _GUTTER) / columns
        lines = [*(_sample(style, words, room) for style, words in rows), _punch_sample(room)]
        ways = paragraph(UP_AND_DOWN, width, _SIZE) if BEND in drawn else ()
        return (*_title("Lines", width), *_side_by_side(lines, columns, room + _GUTTER), *ways)

    return Inset(strips=strips, widths=WIDTHS)


def steps_inset(pages: int, use: str) -> Inset:
    """How the paper is used, when the pattern takes that many pages; `use` says what for."""
    lines = (_MEASURE, *((_JOIN,) if pages > 1 else ()), use)
    return Inset(
        strips=lambda width: (*_title("Use", width), *steps(lines, width, _SIZE)),
        widths=WIDTHS,
    )


def cautions_inset() -> Inset:
    """What to take care of."""
    return Inset(
        strips=lambda width: (*_title("Take care", width), *bullets(CAUTIONS, width, _SIZE)),
        widths=WIDTHS,
    )


def note_insets(piece: Piece) -> tuple[Inset, ...]:
    """The words that a piece's file wants on the sheets; none without."""
    if not piece.note:
        return ()
    inset = Inset(
        strips=lambda width: (*_title("Note", width), *paragraph(piece.note, width, _SIZE)),
        widths=WIDTHS,
    )
    return (inset,)


def notes_inset(notes: Sequence[tuple[str, str]], title: str = "Numbers in circles") -> Inset:
    """The words that numbers or letters in circles stand for."""

    def strips(width: float) -> tuple[Strip, ...]:
        entries = [bullets([words], width, _SIZE, f"{number}.") for number, words in notes]
        return (*_title(title, width), *(s for entry in entries for s in entry))

    return Inset(strips=strips, widths=WIDTHS)


def _title(text: str, width: float) -> tuple[Strip, ...]:
    return heading(text, width, 2.4)[1:]


def _sample(style: LineStyle, words: str, width: float) -> Strip:
    """A piece of the line with its meaning beside it."""
    lines = tuple(_beside_sample(words, width))
    middle = -_SIZE * LINE_PITCH / 2 - 0.6
    sample = Stroke(Line(Point(0.0, middle), Point(_SAMPLE, middle)), style)
    return Strip(height=_height(lines), items=(sample, *lines))


def _side_by_side(lines: Sequence[Strip], columns: int, pitch: float) -> Iterator[Strip]:
    """Strips in columns, filled row by row."""
    for start in range(0, len(lines), columns):
        row = lines[start : start + columns]
        items = [shifted(strip.items, index * pitch, 0.0) for index, strip in enumerate(row)]
        height = max(strip.height for strip in row)
        yield Strip(height=height, items=tuple(item for each in items for item in each))


def _punch_sample(width: float) -> Strip:
    lines = tuple(_beside_sample("centre-punch through the dot", width))
    at = Point(_SAMPLE / 2, -_SIZE * LINE_PITCH / 2 - 0.6)
    return Strip(height=_height(lines), items=(*punch_mark(at, 2.0), *lines))


def _beside_sample(words: str, width: float) -> Iterator[Text]:
    y = -_SIZE * LINE_PITCH / 2 - 0.6 - _SIZE / 2
    for line in wrap(words, width - _SAMPLE - 2.5, _SIZE):
        yield Text(Point(_SAMPLE + 2.5, y), line, _SIZE)
        y -= _SIZE * LINE_PITCH


def _height(lines: Sequence[Text]) -> float:
    return len(lines) * _SIZE * LINE_PITCH + 1.2


# --- the folded bracket in small --------------------------------------------------------------


def view_inset(bracket: Bracket) -> Inset:
    """What comes of it: the main view of the finished bracket."""

    def strips(width: float) -> tuple[Strip, ...]:
        return (*_view_title(width), _lowered(bracket, _view_size(width)))

    def height(width: float) -> float:
        return height_of((*_view_title(width), Strip(height=_view_size(width)[1])))

    return Inset(strips=strips, widths=_VIEW_WIDTHS, height=height)


def _view_title(width: float) -> tuple[Strip, ...]:
    words = "Folded; white: top face" if width > _ROOMY else "Folded"
    return _title(words, width)


def _view_size(width: float) -> tuple[float, float]:
    return width, width * _HEIGHT_SHARE


@lru_cache(maxsize=8)
def _lowered(bracket: Bracket, size: tuple[float, float]) -> Strip:
    """The picture hung from its upper left corner; card and plate show the same one."""
    main, _ = views_of(bracket)
    motion = Motion.translation(Vector(0.0, -size[1]))
    return Strip(height=size[1], items=(Group(motion, main.drawn(size)),))
