"""The measuring form: what to measure for a kind of bracket, with blanks to write in.

It is taken out to the vehicle; its letters are those of the file that the form's readings go into.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from platewright.drawing.flow import (
    Strip,
    figure,
    flow,
    gap,
    height_of,
    kept,
    paragraph,
    stacked,
)
from platewright.drawing.items import Group, Item, Page, Stroke, bounds
from platewright.drawing.style import FRAME, RULE
from platewright.drawing.table import (
    Cell,
    Column,
    ReadingBox,
    Table,
    Tick,
    Titled,
    Words,
    table_strips,
)
from platewright.drawing.view import folded_view
from platewright.files.job import Part
from platewright.files.sections import Common
from platewright.geometry.plane import Bounds, Motion, Point, Vector
from platewright.geometry.segment import Line
from platewright.kinds.kind import Kind
from platewright.measure import fields_of, lettered
from platewright.measurement import Measure
from platewright.plate.piece import pieces_of
from platewright.sheets.form_key import form_key, place_key
from platewright.sheets.furniture import plain_field_of
from platewright.sheets.imposition import plain_pages
from platewright.sheets.paper import paper_named
from platewright.units import Unit
from platewright.values import dataclass

SHEET = "Measuring form"
"""What every page is called."""

CAUTION = (
    "Nothing here approves a part. Let the air out of a spring before a hand goes near it; work "
    "on rated stands."
)
"""The foot line: the form is used under the vehicle."""

_KEY_HEIGHT, _LEAST_KEY = 118.0, 62.0  # of the pictures on the first page, mm
_CAPTION = 8.5  # with the gaps about a picture, mm
_CLOSE = 3.0  # room that a picture may leave, mm
_STEP = 1.0  # by which columns are made longer until there are two, mm
_PLACE_SHARE = 0.55  # of that for the bracket in its place
_VIEW_WIDTH = 52.0
_GUTTER = 4.0  # between two columns of rows, mm
_COLUMN = (
    Column(heading="", width=11.5, along="middle"),
    Column(heading="", width=56),
    Column(heading="Reading", width=26),
)
_HOW_SIZE, _KEY_SIZE = 2.0, 1.8
_LEFT_OUT = ("left out", "Give this or", "if known", " only:", "where it differs")  # say so already
_LONG = 30  # letters of a text that is not told twice
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
    field = plain_field_of(sheet)
    width, letters = field.width, lettered(kind.measurements)
    head = tuple(form_head(kind.summary, kind.name, width))
    taken = height_of(head) + (_LEAST_KEY if example else 0.0)
    measured, later = measure_tables(kind.measurements, letters, unit, field, taken)
    room = max(_LEAST_KEY, field.height - height_of((*head, *measured)))
    picture = _picture(kind, example, letters, (width, room)) if example else ()
    rest = in_columns((*later, *_bench(unit, _half(width))), field)
    title = f"{kind.name.capitalize()}: what to measure"
    strips = [*head, *picture, *measured, gap(2.0), *rest]
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
    asked = (("vehicle or job", 70.0), ("place, side", 56.0), ("measured by, date", 56.0))
    columns = tuple(Column(heading="", width=share) for _, share in asked)
    table = Table(columns=columns, rows=(tuple(ReadingBox(words) for words, _ in asked),))
    row = table_strips(table.fitted(width))[1]
    top = Stroke(Line(Point(0.0, 0.0), Point(width, 0.0)), FRAME)
    yield replace(row, items=(top, *row.items), repeated=None)
    yield gap(2.0)


# --- the picture ------------------------------------------------------------------------------


def _picture(
    kind: Kind, example: Part, letters: Mapping[str, str], room: tuple[float, float]
) -> tuple[Strip, ...]:
    """The flat bracket with its letters, and beside it, folded; as high as there is room."""
    strips: tuple[Strip, ...] = ()
    most = room[1]
    for _ in range(4):  # letters stand out beyond the box as they find room
        drawn = _pictures(kind, example, letters, (room[0], most))
        left = room[1] - height_of(drawn)
        if left >= 0 or not strips:
            strips = drawn
        if 0 <= left < _CLOSE:
            break
        most += left - _CLOSE / 2
    return strips


def _pictures(
    kind: Kind, example: Part, letters: Mapping[str, str], size: tuple[float, float]
) -> tuple[Strip, ...]:
    """The pictures with all but their captions and gaps in a box of `size` mm."""
    width, bracket = size[0], example.bracket
    (piece,) = pieces_of(kind.name, "as drawn", bracket)
    place = kind.in_place(example.measurements, bracket)
    wide = width - _VIEW_WIDTH - _GUTTER
    most = min(size[1] - (2 if place else 1) * _CAPTION, _KEY_HEIGHT * (2.0 if place else 1.0))
    high = most * (1 - _PLACE_SHARE) if place else most
    with_letters = " Letters as in the rows." if bracket.dimensions else ""
    flat = f"An example, flat, before bending, top face up.{with_letters} Not to scale."
    key = form_key(piece, letters, (width if place else wide, high))
    view = figure(folded_view(bracket, "main", (_VIEW_WIDTH, high)), _VIEW_WIDTH, "Folded.")
    if place is None:
        return (_beside(figure(key, wide, flat), view, wide),)
    drawn = place_key(place, letters, (wide, most - high))
    seen = figure(drawn, wide, "Folded, seen from its end where it will stand.")
    return (*figure(key, width, flat), _beside(seen, view, wide))


def _beside(left: Sequence[Strip], right: Sequence[Strip], width: float) -> Strip:
    """Two columns as one strip, the left one `width` mm wide."""
    items = (
        *stacked(left, Point(0.0, 0.0)),
        *stacked(right, Point(width + _GUTTER, 0.0)),
    )
    return Strip(height=max(height_of(left), height_of(right)), items=items)


# --- the rows ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Section:
    """The rows of one table; `counted` ones are asked for over and over."""

    title: str
    words: str
    rows: tuple[_Row, ...]
    counted: bool = False


def measure_tables(
    declared: type, letters: Mapping[str, str], unit: Unit, field: Bounds, above: float = 0.0
) -> tuple[tuple[Strip, ...], tuple[Strip, ...]]:
    """A row for everything that a class declares: what is measured, and what has a default.

    `field` is where the pages have their matter; `above` mm of the first are taken. The first come
    set on the page, the others as a column (see `in_columns`).
    """
    told: dict[str, str] = {}
    sections = tuple(_sections(declared, letters))
    parted: list[list[Strip]] = []
    for measured in (True, False):
        column: list[Strip] = []
        for each in sections:
            rows = [row for row in each.rows if (each.counted or _at_vehicle(row)) is measured]
            shown = replace(each, rows=tuple(rows))
            column += _section_strips(shown, unit, _half(field.width), told)
        parted.append(column)
    lines = [
        strip
        for each in sections
        if each.counted
        for strip in _lines_to_fill(each.rows, unit, field.width)
    ]
    first, later = parted
    return (*in_columns(first, field, above), *lines), tuple(later)


def _half(width: float) -> float:
    return (width - _GUTTER) / 2


def in_columns(strips: Sequence[Strip], field: Bounds, above: float = 0.0) -> tuple[Strip, ...]:
    """Strips in two columns as level as they come, as one strip for each pair of columns."""
    if not strips:
        return ()
    high, most = height_of(strips) / 2, field.height - above
    while True:
        frame = Bounds(0.0, -min(high, most), _half(field.width), 0.0)
        columns = flow(strips, frame)
        if len(columns) <= 2 or high >= most:
            break
        high += _STEP
    pairs = [columns[i : i + 2] for i in range(0, len(columns), 2)]
    return tuple(_pair(pair, _half(field.width)) for pair in pairs)


def _pair(columns: Sequence[tuple[Item, ...]], width: float) -> Strip:
    items = [
        Group(Motion.translation(Vector(i * (width + _GUTTER), 0.0)), column)
        for i, column in enumerate(columns)
    ]
    return Strip(height=_GUTTER - bounds(items).ymin, items=tuple(items))


def _at_vehicle(row: _Row) -> bool:
    """Whether only the vehicle tells it: it decides the fit, or nothing is taken in its stead."""
    measure = row.measure
    if measure.fit_critical or measure.required or measure.quantity == "custom":
        return True
    if measure.quantity == "count":
        return "." in row.key
    sizes = measure.quantity in ("length", "angle", "lengths", "pairs")
    return sizes and measure.default is None and "left out" not in measure.how


def _sections(
    declared: type,
    letters: Mapping[str, str],
    before: str = "",
    title: str = "Measurements",
    words: str = "",
) -> Iterator[_Section]:
    """What a declared class asks, then the tables in it."""
    rows = _single_rows(declared, before, letters)
    if rows:
        yield _Section(title, words, tuple(rows), "[]" in before)
    for name, measure in fields_of(declared):
        if measure.inside is None:
            continue
        inner = before + name + ("[]." if measure.quantity == "rows" else ".")
        called = measure.label[:1].upper() + measure.label[1:]
        yield from _sections(measure.inside, letters, inner, called, _table_words(measure))


def _table_words(measure: Measure) -> str:
    if measure.quantity == "rows":
        return f"{measure.how} Write one line for each, in order."
    return (
        f"{measure.how} Leave all of it empty if there is none."
        if measure.optional
        else (measure.how)
    )


def _bench(unit: Unit, width: float) -> tuple[Strip, ...]:
    """What every kind needs besides: it has no letters, the file has its keys by name."""
    common = dict(fields_of(Common))
    rows = [_Row(name, "", common[name]) for name in _SHARED if name in common]
    for table in _BENCH:
        inside = common[table].inside if table in common else None
        if inside is not None:
            rows += _single_rows(inside, f"{table}.", {})
    words = "These need no letter; the file has them by these names."
    return _section_strips(_Section("Plate and bends", words, tuple(rows)), unit, width, {})


def _single_rows(declared: type, before: str, letters: Mapping[str, str]) -> list[_Row]:
    return [
        _Row(before + name, letters.get(before + name, ""), measure)
        for name, measure in fields_of(declared)
        if measure.inside is None
    ]


def _section_strips(
    section: _Section, unit: Unit, width: float, told: dict[str, str]
) -> tuple[Strip, ...]:
    """A table of rows under its title; `told` has the letter of each text told already."""
    if not section.rows:
        return ()
    elsewhere = "in the table below" if section.counted else None
    rows = tuple(_cells(row, unit, elsewhere, told) for row in section.rows)
    columns: tuple[Column, ...] = (
        _COLUMN[0],
        replace(_COLUMN[1], heading=section.title),
        _COLUMN[2],
    )
    if not any(row.letter for row in section.rows):
        rows = tuple(row[1:] for row in rows)
        columns = (replace(columns[1], width=columns[0].width + columns[1].width), columns[2])
    header, *strips = table_strips(Table(columns=columns, rows=rows).fitted(width))
    if section.words and section.words not in told:
        told[section.words] = ""
        over = Table(
            columns=(Column(heading="", width=width),),
            rows=((Words(section.words, size=_HOW_SIZE),),),
            least_height=0.0,
        )
        strips.insert(0, replace(table_strips(over)[1], keeps=True, repeated=header))
    return (gap(1.5), header, *strips)


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
        blanks: tuple[Cell, ...] = tuple(ReadingBox(words) for words in units)
        lines = tuple((Words(str(i), "bold"), *blanks) for i in range(1, _LINES + 1))
        *above, last = table_strips(Table(columns=columns, rows=lines).fitted(width))
        strips += [gap(2.0), *kept(above), last]
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


def _cells(row: _Row, unit: Unit, elsewhere: str | None, told: dict[str, str]) -> tuple[Cell, ...]:
    """A measurement's row; `elsewhere` tells where to write instead."""
    measure = row.measure
    star = " *" if measure.fit_critical else ""
    title = measure.label if row.letter else row.key
    asked = f"{measure.how} {measure.allowed} {measure.choices}"
    first = told.setdefault(asked, row.letter) if len(measure.how) > _LONG else row.letter
    words = " ".join(_how(measure, unit, first if first != row.letter else "", elsewhere))
    return (
        Words(f"{row.letter}{star}", "bold", 2.6 if row.letter else None),
        Titled(title, words, _HOW_SIZE, row.key)
        if row.letter
        else Titled(title, f"{star} {words}".strip(), _HOW_SIZE),
        Words(elsewhere, size=_KEY_SIZE) if elsewhere else _blank(measure, unit),
    )


def _how(measure: Measure, unit: Unit, same: str, elsewhere: str | None) -> Iterator[str]:
    """How to measure; limits of lengths and angles are left to the file's remarks.

    `same` is the letter of an earlier row that told it; choices are told in words where the
    reading goes `elsewhere`, without squares to tick.
    """
    default = measure.default_text(unit)
    if same:
        yield f"As {same}."
    else:
        yield measure.how
        if elsewhere and measure.choices:
            yield f"Write {', '.join(measure.choices[:-1])} or {measure.choices[-1]}."
        if measure.quantity == "count" and measure.maximum is not None:
            yield f"From {measure.limits(unit)}."
        if measure.allowed and measure.quantity != "flag":
            yield f"Write {measure.allowed}."
    if default:
        yield f"Left empty: {default}."
    elif measure.optional and not any(each in measure.how for each in _LEFT_OUT):
        yield "May be left empty."


def _blank(measure: Measure, unit: Unit) -> Cell:
    """Squares to tick for a choice, a box for anything else."""
    if measure.choices:
        return Tick(measure.choices)
    if measure.quantity == "flag":
        return Tick(("true", "false"))
    return ReadingBox(_unit_words(measure, unit))


def _unit_words(measure: Measure, unit: Unit) -> str:
    units = {"length": unit, "lengths": f"each {unit}", "pairs": f"x, y {unit}", "angle": "deg"}
    return units.get(measure.quantity, "")
