"""The measuring form: what to measure for a kind of bracket, with blanks to write in.

It is taken out to the vehicle; its letters are those of the file that the form's readings go into.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from platewright.drawing.flow import Strip, figure, gap, heading, kept, paragraph
from platewright.drawing.items import Item, Page, Stroke
from platewright.drawing.style import FRAME, RULE
from platewright.drawing.table import Cell, Column, Reading, Table, Tick, Words, table_strips
from platewright.drawing.view import folded_view
from platewright.files.job import Part
from platewright.files.sections import Common
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.kinds.kind import InPlace, Kind
from platewright.measure import fields_of, lettered
from platewright.measurement import Measure
from platewright.plate.piece import pieces_of
from platewright.sheets.form_key import form_key, place_key
from platewright.sheets.furniture import plain_field_of
from platewright.sheets.imposition import plain_pages
from platewright.sheets.paper import paper_named
from platewright.units import Unit

SHEET = "Measuring form"
"""What every page is called."""

CAUTION = (
    "Nothing here approves a part. Let the air out of a spring before a hand goes near it; work "
    "on rated stands."
)
"""The foot line: the form is used under the vehicle."""

_KEY_HEIGHT = 118.0
_PLACE_HEIGHT = 92.0
_VIEW = (100.0, 66.0)
_COLUMNS = (
    Column(heading="", width=14, along="middle"),
    Column(heading="Measure", width=36),
    Column(heading="What and how", width=81),
    Column(heading="Reading", width=46),
    Column(heading="In the file", width=27),
)
_KEY_SIZE = 1.8
_LINES = 6  # blank lines for what is asked for over and over
_CORNERS = "abcdefgh"
_SQUARE, _SQUARES_UP = 5.0, 10  # of squared paper: mm, how many one above the other

#: The sections that every kind shares and that are settled at the bench, and what stands first.
_SHARED = ("name", "hand", "quantity")
_BENCH = ("stock", "bend")


@dataclass(frozen=True, slots=True)
class _Row:
    """One measurement: its dotted key, its letter ("" when it has none), what is declared."""

    key: str
    letter: str
    measure: Measure


def form_pages(kind: Kind, example: Part | None, unit: Unit, paper: str) -> tuple[Page, ...]:
    """The form of a kind in a unit, on named paper.

    `example` is drawn with the letters; without one the form has no picture.
    """
    sheet = paper_named(paper)
    width = plain_field_of(sheet).width
    letters = lettered(kind.measurements)
    strips = [
        *form_head(kind.summary, kind.name, width),
        *(_picture(kind, example, letters, width) if example else ()),
        *measure_tables(kind.measurements, letters, unit, width),
        *_bench(unit, width),
    ]
    title = f"{kind.name.capitalize()}: what to measure"
    return plain_pages(strips, sheet, part=title, sheet=SHEET, caution=CAUTION)


def form_head(summary: str, start: str, width: float) -> Iterator[Strip]:
    """What the form is for and how to fill it in; `start` names the file that it goes into."""
    yield from paragraph(summary, width, weight="bold")
    yield from paragraph(
        "Write each reading beside its letter, then put it into the file at the same letter "
        f"(platewright start {start} writes that file). Rows with * decide whether the part "
        "fits: measure them twice, from clean metal. Leave a row empty where the words say what "
        "is taken then.",
        width,
    )
    columns = tuple(
        Column(heading=words, width=share)
        for words, share in (("Vehicle or job", 70), ("Place, side", 56), ("Measured by, date", 56))
    )
    table = Table(columns=columns, rows=((Reading(), Reading(), Reading()),))
    yield from table_strips(table.fitted(width))
    yield gap(2.0)


# --- the picture ------------------------------------------------------------------------------


def _picture(
    kind: Kind, example: Part, letters: Mapping[str, str], width: float
) -> tuple[Strip, ...]:
    bracket = example.bracket
    (piece,) = pieces_of(kind.name, "as drawn", bracket)
    key = form_key(piece, letters, (width, _KEY_HEIGHT))
    view = folded_view(bracket, "main", _VIEW)
    captions = _captions(bool(bracket.dimensions))
    place = kind.in_place(example.measurements, bracket)
    return (
        *figure(key, width, captions[0]),
        *(_in_place(place, letters, width) if place else ()),
        *figure(view, width, captions[1]),
    )


def _in_place(place: InPlace, letters: Mapping[str, str], width: float) -> tuple[Strip, ...]:
    drawn = place_key(place, letters, (width, _PLACE_HEIGHT))
    caption = "The same, folded, seen from its end where it will stand. Letters as in the rows."
    return figure(drawn, width, caption)


def _captions(with_letters: bool) -> tuple[str, str]:
    letters = " Letters as in the rows." if with_letters else ""
    return (
        f"An example, flat, before bending, top face up.{letters} Not to scale.",
        "The same, folded.",
    )


# --- the rows ---------------------------------------------------------------------------------


def measure_tables(
    declared: type, letters: Mapping[str, str], unit: Unit, width: float
) -> Iterator[Strip]:
    """A row for everything that a class declares, under a heading for each table."""
    yield from _section("Measurements", "", _single_rows(declared, "", letters), unit, width)
    yield from _inner_tables(declared, "", letters, unit, width)


def _inner_tables(
    declared: type, before: str, letters: Mapping[str, str], unit: Unit, width: float
) -> Iterator[Strip]:
    """A section for each table of a declared class, tables inside it after it."""
    for name, measure in fields_of(declared):
        if measure.inside is None:
            continue
        mark = "[]." if measure.quantity == "rows" else "."
        inner = before + name + mark
        title = measure.label[:1].upper() + measure.label[1:]
        rows = _single_rows(measure.inside, inner, letters)
        counted = "[]" in inner
        yield from _section(title, _table_words(measure), rows, unit, width, counted=counted)
        yield from _inner_tables(measure.inside, inner, letters, unit, width)


def _table_words(measure: Measure) -> str:
    if measure.quantity == "rows":
        return f"{measure.how} Write one line for each, in order."
    return (
        f"{measure.how} Leave all of it empty if there is none."
        if measure.optional
        else (measure.how)
    )


def _bench(unit: Unit, width: float) -> Iterator[Strip]:
    """What every kind needs besides: it has no letters, the file has its keys by name."""
    common = dict(fields_of(Common))
    rows = [_Row(name, "", common[name]) for name in _SHARED if name in common]
    for table in _BENCH:
        inside = common[table].inside if table in common else None
        if inside is not None:
            rows += _single_rows(inside, f"{table}.", {})
    words = "These need no letter; the file names them as in the last column."
    yield from _section("Plate and bends", words, rows, unit, width)


def _single_rows(declared: type, before: str, letters: Mapping[str, str]) -> list[_Row]:
    return [
        _Row(before + name, letters.get(before + name, ""), measure)
        for name, measure in fields_of(declared)
        if measure.inside is None
    ]


def _section(
    title: str,
    words: str,
    rows: Sequence[_Row],
    unit: Unit,
    width: float,
    *,
    counted: bool = False,
) -> tuple[Strip, ...]:
    """A table of rows under a heading; `counted` ones are asked for over and over."""
    if not rows:
        return ()
    elsewhere = "in the table below" if counted else None
    table = Table(columns=_COLUMNS, rows=tuple(_cells(row, unit, elsewhere) for row in rows))
    return (
        *heading(title, width),
        *kept(paragraph(words, width) if words else ()),
        *table_strips(table.fitted(width)),
        *(_lines_to_fill(rows, unit, width) if counted else ()),
    )


def _lines_to_fill(rows: Sequence[_Row], unit: Unit, width: float) -> tuple[Strip, ...]:
    """Numbered lines with a blank for each letter; corners have a grid and lines of their own."""
    drawn = [row for row in rows if row.measure.quantity == "pairs"]
    asked = [row for row in rows if row not in drawn]
    strips: list[Strip] = []
    for letters, units, first in (
        ([row.letter for row in asked], [_unit_words(row.measure, unit) for row in asked], ""),
        *((list(_CORNERS), ["x, y"] * len(_CORNERS), row.letter) for row in drawn),
    ):
        if first:
            words = (
                f"Sketch each panel: one square is ______ {unit}. Letter its corners a, b, c ... "
                "in order; below, of each how far to the right and how far up. The first edge "
                "runs from a to b."
            )
            strips += figure(_squared_paper(width), width, words)
        columns = (
            Column(heading=first, width=10, along="middle"),
            *(Column(heading=letter, width=30) for letter in letters),
        )
        blanks: tuple[Cell, ...] = tuple(Reading(words) for words in units)
        lines = tuple((Words(str(i), "bold"), *blanks) for i in range(1, _LINES + 1))
        strips += [gap(2.0), *table_strips(Table(columns=columns, rows=lines).fitted(width))]
    return tuple(strips)


def _squared_paper(width: float) -> tuple[Item, ...]:
    """Squares to draw in, every fifth line heavier."""
    across, up = math.floor(width / _SQUARE), _SQUARES_UP
    wide, high = across * _SQUARE, up * _SQUARE
    upright = [
        (i, Line(Point(i * _SQUARE, 0), Point(i * _SQUARE, high))) for i in range(across + 1)
    ]
    level = [(i, Line(Point(0, i * _SQUARE), Point(wide, i * _SQUARE))) for i in range(up + 1)]
    both = (*upright, *level)
    return (
        Stroke(tuple(line for i, line in both if i % 5), RULE),
        Stroke(tuple(line for i, line in both if i % 5 == 0), FRAME),
    )


def _cells(row: _Row, unit: Unit, elsewhere: str | None) -> tuple[Cell, ...]:
    """A measurement's row; `elsewhere` tells where to write instead."""
    measure = row.measure
    star = " *" if measure.fit_critical else ""
    return (
        Words(f"{row.letter}{star}", "bold", 3.0 if row.letter else None),
        Words(measure.label, "bold" if measure.fit_critical else "regular"),
        " ".join(_how(measure, unit, pick=elsewhere is not None)),
        elsewhere or _blank(measure, unit),
        Words(row.key, size=_KEY_SIZE),
    )


def _how(measure: Measure, unit: Unit, *, pick: bool) -> Iterator[str]:
    """How to measure; limits of lengths and angles are left to the file's remarks.

    `pick` tells the choices in words, where there are no squares to tick.
    """
    yield measure.how
    default = measure.default_text(unit)
    if pick and measure.choices:
        yield f"Write {', '.join(measure.choices[:-1])} or {measure.choices[-1]}."
    if measure.quantity == "count" and measure.maximum is not None:
        yield f"From {measure.limits(unit)}."
    if measure.allowed and measure.quantity != "flag":
        yield f"Write {measure.allowed}."
    if default:
        yield f"Left empty: {default}."
    elif measure.optional and "left out" not in measure.how.lower():
        yield "May be left empty."


def _blank(measure: Measure, unit: Unit) -> Cell:
    """Squares to tick for a choice, a box for anything else."""
    if measure.choices:
        return Tick(measure.choices)
    if measure.quantity == "flag":
        return Tick(("true", "false"))
    return Reading(_unit_words(measure, unit))


def _unit_words(measure: Measure, unit: Unit) -> str:
    units = {"length": unit, "lengths": f"each {unit}", "pairs": f"x, y {unit}", "angle": "deg"}
    return units.get(measure.quantity, "")
