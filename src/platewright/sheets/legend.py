"""What stands beside a pattern: what its lines mean, how the paper is used, what comes of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache, partial

from platewright.drawing.dimensions import punch_mark
from platewright.drawing.flow import Strip, bullets, paragraph, steps
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
_SAMPLE = 19.0  # length of a line's sample, mm
_TWO_COLUMNS = 120.0  # from this width samples stand in two columns, mm
_GUTTER = 4.0
_LEVEL = -_SIZE * LINE_PITCH / 2 - 0.6
_MIDDLE = Line(Point(0.0, _LEVEL), Point(_SAMPLE, _LEVEL))

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

    def strips(width: float) -> Iterator[Strip]:
        columns = 2 if width > _TWO_COLUMNS else 1
        room = (width - (columns - 1) * _GUTTER) / columns
        lines = [_sample(Stroke(_MIDDLE, style), words=words, width=room) for style, words in rows]
        punch = punch_mark(_MIDDLE.point_at(0.5), 2.0)
        lines.append(_sample(*punch, words="centre-punch through the dot", width=room))
        for start in range(0, len(lines), columns):
            row = lines[start : start + columns]
            items = [shifted(strip.items, i * (room + _GUTTER), 0.0) for i, strip in enumerate(row)]
            height = max(strip.height for strip in row)
            yield Strip(height=height, items=tuple(item for each in items for item in each))
        yield from paragraph(UP_AND_DOWN, width, _SIZE) if BEND in drawn else ()

    return Inset(title="Lines", strips=strips)


def _sample(*sample: Item, words: str, width: float) -> Strip:
    """A piece of a line, or a mark, with its meaning beside it."""
    lines = wrap(words, width - _SAMPLE - 2.5, _SIZE)
    pitch = _SIZE * LINE_PITCH
    top = Point(_SAMPLE + 2.5, _MIDDLE.start.y - _SIZE / 2)
    texts = [Text(top + Vector(0.0, -i * pitch), line, _SIZE) for i, line in enumerate(lines)]
    return Strip(height=len(lines) * pitch + 1.2, items=(*sample, *texts))


@lru_cache(maxsize=8)  # one for all patterns of a part: each inset remembers how it was set
def steps_inset(pages: int, use: str) -> Inset:
    """How the paper is used, when the pattern takes that many pages; `use` says what for."""
    lines = (_MEASURE, *((_JOIN,) if pages > 1 else ()), use)
    return Inset(title="Use", strips=lambda width: steps(lines, width, _SIZE))


@lru_cache(maxsize=1)
def cautions_inset() -> Inset:
    """What to take care of."""
    return Inset(title="Take care", strips=lambda width: bullets(CAUTIONS, width, _SIZE))


def note_insets(piece: Piece) -> tuple[Inset, ...]:
    """The words that a piece's file wants on the sheets; none without."""
    note = piece.note
    words = Inset(title="Note", strips=lambda width: paragraph(note, width, _SIZE))
    return (words,) if note else ()


def notes_inset(notes: Sequence[tuple[str, str]], title: str = "Numbers in circles") -> Inset:
    """The words that numbers or letters in circles stand for."""
    return Inset(
        title=title,
        strips=lambda width: (
            strip
            for number, words in notes
            for strip in bullets([words], width, _SIZE, f"{number}.")
        ),
    )


def view_inset(bracket: Bracket, turn: float = 0.0) -> Inset:
    """What comes of it: the main view of the finished bracket, whose pattern is turned by that."""
    return Inset(
        title="Folded; white: top face",
        strips=lambda width: (
            Strip(height=width * _HEIGHT_SHARE, drawn=partial(_hung_view, bracket, width, turn)),
        ),
        widths=_VIEW_WIDTHS,
    )


@lru_cache(maxsize=8)
def _hung_view(bracket: Bracket, width: float, turn: float) -> tuple[Item, ...]:
    """The picture hung from its upper left corner; card and plate show the same one."""
    height = width * _HEIGHT_SHARE
    main, _ = views_of(bracket)
    return (
        Group(Motion.translation(Vector(0.0, -height)), main.drawn((width, height), turn=turn)),
    )
