"""The sheet of what readings mean: the verdict first, then how far off the part is, and why."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from platewright.drawing.flow import Strip, bullets, figure, gap, heading, kept, paragraph
from platewright.drawing.free_space import FreeSpace
from platewright.drawing.items import Group, Item, Page, bounds
from platewright.drawing.placing import place_callouts, place_letters
from platewright.drawing.pointers import FlatPointer, pointed, pointer_callouts
from platewright.drawing.scaling import scaled, scaled_point
from platewright.drawing.table import Cell, Column, Table, Words, table_strips
from platewright.drawing.view import Place, Pointer, View, views_of
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Bounds, Motion, Vector
from platewright.geometry.space import Vector3
from platewright.plate.folded import Folded, folded
from platewright.plate.piece import Piece
from platewright.readings.cause import MadeOf, Remedy
from platewright.readings.diagnosis import Alternative, Diagnosis, Found
from platewright.readings.reading import State, Verdict
from platewright.sheets import check_sheet
from platewright.sheets import folded_rows as folded_sheet
from platewright.sheets.figures import dimension_words, reading, tape_divisions
from platewright.sheets.furniture import plain_field_of
from platewright.sheets.imposition import plain_pages
from platewright.sheets.key import small_blank
from platewright.sheets.paper import paper_named
from platewright.sheets.rows import Row, Rows, flat_rows, folded_rows
from platewright.sheets.section import ANGLE_TOLERANCE
from platewright.shop.notes import piece_title
from platewright.units import Unit, format_angle
from platewright.values import dataclass

SHEET = "What the tape says"
"""What every page is called."""

CAUTION = (
    "Worked out from the readings alone; a screen, no approval. Measure again before you cut, "
    "grind or throw away."
)

VERDICTS = {
    "serves": "IT SERVES AS IT IS",
    "fits": "IT FITS; JUDGE THE REST",
    "trim": "IT CAN BE TRIMMED",
    "mark anew": "SCRIBE THE BEND ANEW",
    "bend anew": "BEND IT ANEW",
    "measure again": "MEASURE AGAIN",
    "make again": "MAKE IT AGAIN",
}
"""What becomes of the part, as the sheet begins."""

_HEIGHT = 96.0  # of the picture of the blank, mm
_FOLDED_HEIGHT = 78.0
_RIM = 14.0
_LARGEST = 1.0
_LONGEST = 11.0  # of an error's arrow, mm
_TIMES = (100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01)
_TURNS = (10.0, 5.0, 2.0, 1.0)
_MOST_TURN = math.radians(30)
_MOST_TOLD = 8  # letters that tell of a cause
_THINNEST = 0.5  # mm: what is thinner cannot be drawn folded
_RAY = 14.0  # of a bevel's leg, mm


def row_figure(row: Row[Any], value: float, state: State, unit: Unit) -> str:
    """A value of a row as the check sheet prints it, with its unit."""
    if row.angle:
        return format_angle(value)
    divisions = tape_divisions(flat=state == "flat", critical=row.critical)
    return f"{reading(value, unit, divisions)} {unit}"


def row_tolerance(row: Row[Any], state: State, unit: Unit) -> str:
    """How far a reading of a row may be off, as the check sheet prints it."""
    if row.angle:
        return ANGLE_TOLERANCE
    sheet = check_sheet if state == "flat" else folded_sheet
    words: str = sheet.TOLERANCES[row.critical][unit]
    return words


@dataclass(frozen=True, slots=True)
class ReadRow:
    """A row of the check sheet that was read, in the figures that tape and bevel show."""

    row: Row[Any]
    verdict: Verdict
    unit: Unit

    @property
    def state(self) -> State:
        """Where it was read."""
        return self.verdict.reading.state

    @property
    def value(self) -> float:
        """What was read, mm or radians; of a bevel the angle inside the fold."""
        turned = self.verdict.reading.value
        return math.pi - turned if self.row.is_bevel else turned

    @property
    def off(self) -> float:
        """By how much that is too large, mm or radians."""
        return -self.verdict.error if self.row.is_bevel else self.verdict.error

    @property
    def tolerance(self) -> tuple[float, float]:
        """How far it may be below and above, mm or radians."""
        low, high = self.verdict.low, self.verdict.high
        return (-high, -low) if self.row.is_bevel else (low, high)

    def figure(self, value: float) -> str:
        """A value of this row as the check sheet prints it, with its unit."""
        return row_figure(self.row, value, self.state, self.unit)

    @property
    def tolerance_words(self) -> str:
        """How far it may be off, as the check sheet prints it."""
        return row_tolerance(self.row, self.state, self.unit)

    @property
    def off_words(self) -> str:
        """By how much it is off: "+ 1.5 mm", "- 2°"; "" for nothing."""
        amount = abs(self.off)
        words = format_angle(amount) if self.row.angle else dimension_words(amount, self.unit, 32)
        nothing = words.startswith(("0 in", "0.0 mm", "0°"))
        return "" if nothing else f"{'+' if self.off > 0 else '-'} {words}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagnosed:
    """What the readings of one piece mean: each row that was read, and what they tell together.

    `taken` are words for what was taken where the files leave it open.
    """

    piece: Piece
    made_of: MadeOf
    unit: Unit
    rows: tuple[ReadRow, ...]
    found: Diagnosis
    taken: tuple[str, ...]

    def row_of(self, alternative: Alternative) -> tuple[str, str]:
        """The name and the words of the row that would settle an alternative, "" for none."""
        if alternative.settles is None:
            return "", ""
        table: Rows[Any] = (
            flat_rows(self.piece) if alternative.state == "flat" else folded_rows(self.piece)
        )
        wanted = alternative.settles.dimension
        return next(
            (
                (row.name, row.words)
                for row in table.rows
                if wanted in [each.dimension for each in row.told]
            ),
            ("", wanted.what),
        )


# --- in words ---------------------------------------------------------------------------------


def cause_words(cause: Found) -> str:
    """A cause with its evidence, the strongest of it."""
    words = f"{cause.words[:1].upper()}{cause.words[1:]}"
    told, more = ", ".join(cause.evidence[:_MOST_TOLD]), len(cause.evidence) - _MOST_TOLD
    others = f" and {more} more" if more > 0 else ""
    return f"{words} (told by {told}{others})" if told else words


def remedy_words(remedy: Remedy) -> str:
    """What to do about a cause, and what to write where."""
    if not remedy.key:
        return remedy.words
    table, _, key = remedy.key.rpartition(".")
    number = remedy.value if remedy.value.replace(".", "").isdigit() else f'"{remedy.value}"'
    where = f"[{table}] " if table else ""
    return f"{remedy.words}: {where}{key} = {number} in the {remedy.where}"


def alternative_words(of: Diagnosed, each: Alternative) -> str:
    """A cause that cannot be told from a found one, and what would settle it."""
    name, words = of.row_of(each)
    told = f"{each.found}, or: {each.words}"
    if each.by_hole:
        return f"{told}; to tell, {each.by_hole}"
    if not (name or words):
        return f"{told}; no further measurement of this part tells them apart"
    return f"{told}; to tell, measure {name or words} ({each.state}: {words})"


def set_words(each: str) -> str:
    """A value to try, ready for the command line."""
    return f'--set "{each}"'


# --- the pages --------------------------------------------------------------------------------


def readings_pages(of: Diagnosed, paper: str) -> tuple[Page, ...]:
    """The pages of what the readings of a piece mean, on named paper."""
    sheet = paper_named(paper)
    width = plain_field_of(sheet).width
    columns = (
        Column(heading="", width=9),
        Column(heading="points", width=17),
        Column(heading="measure", width=62),
        Column(heading="should be", width=26, along="right"),
        Column(heading="reading", width=26, along="right"),
        Column(heading="off by", width=20, along="right"),
        Column(heading="may be off", width=25, along="right"),
        Column(heading="", width=30),
    )
    rows = tuple(_cells(row) for row in of.rows)
    table = Table(columns=columns, rows=rows).fitted(width)
    strips = [
        *_verdict(of, width),
        *_causes(of, width),
        *_blank(of, width),
        *_bracket(of, width),
        *heading("The readings", width),
        *table_strips(table),
        gap(2.0),
        *bullets(of.taken, width),
    ]
    title = piece_title(of.piece) + (" in card" if of.made_of == "card" else "")
    sign = of.piece.fingerprint
    return plain_pages(strips, sheet, part=title, sheet=SHEET, caution=CAUTION, fingerprint=sign)


def _verdict(of: Diagnosed, width: float) -> Iterator[Strip]:
    fate = of.found.fate
    yield from heading(VERDICTS[fate.outcome], width, 4.5)
    yield from paragraph(fate.words, width, 2.8)
    yield from bullets((trim for trim in fate.trims if trim not in fate.words), width)
    if fate.sets:
        yield from kept(paragraph("For the next one, with check or make:", width))
        yield from bullets(map(set_words, fate.sets), width)


def _causes(of: Diagnosed, width: float) -> Iterator[Strip]:
    found = of.found
    if found.causes or found.left_over:
        yield from heading("What explains it", width)
    for cause in found.causes:
        yield from paragraph(cause_words(cause), width, weight="bold")
        yield from bullets(map(remedy_words, cause.remedies), width)
    if found.left_over:
        yield from paragraph(f"Not explained: {', '.join(found.left_over)}.", width)
    if found.alternatives:
        yield from heading("What cannot be told apart", width)
        yield from bullets((alternative_words(of, each) for each in found.alternatives), width)


def _cells(row: ReadRow) -> tuple[Cell, ...]:
    good = row.verdict.judged == "good"
    return (
        Words("FIT", "bold") if row.row.critical else "",
        Words(row.row.name, "bold"),
        row.row.words,
        row.figure(row.row.value),
        Words(row.figure(row.value), "bold"),
        row.off_words,
        row.tolerance_words,
        "good" if good else Words(row.verdict.judged.replace("out", "OUT", 1), "bold"),
    )


# --- the pictures -----------------------------------------------------------------------------


def _magnified(rows: Sequence[ReadRow]) -> float:
    """How many times as large as they are errors are drawn, so that the largest has room."""
    most = max((abs(row.off) for row in rows if not row.row.angle), default=0.0)
    return next((times for times in _TIMES if most * times <= _LONGEST), _TIMES[-1])


def _arrow_words(rows: Sequence[ReadRow], times: float) -> str:
    """What the arrows show and how large they are drawn, "" without any."""
    if not any(row.off_words for row in rows if not row.row.angle):
        return ""
    return (
        " An arrow shows from where the tape's end should be to where it was, "
        f"{_times_words(times)}."
    )


def _times_words(times: float) -> str:
    if times >= 1:
        return "full size" if times == 1 else f"{times:g} times full size"
    return f"at 1:{1 / times:g}"


def _letters(rows: Sequence[ReadRow]) -> set[str]:
    return {letter for row in rows for letter in row.row.letters.split(" to ") if letter}


def _words(row: ReadRow) -> str:
    return "" if row.verdict.judged == "good" else f"{row.row.name}: {row.off_words}"


def _blank(of: Diagnosed, width: float) -> tuple[Strip, ...]:
    rows = [row for row in of.rows if row.state == "flat"]
    if not rows:
        return ()
    times, box = _magnified(rows), of.piece.blank.bounds
    factor = min((width - 2 * _RIM) / box.width, (_HEIGHT - 2 * _RIM) / box.height, _LARGEST)
    pointers = [each for row in rows for each in _flat_pointer(row, factor, times)]
    ink = (*small_blank(of.piece, factor), *pointed(pointers))
    outline = scaled(of.piece.blank.outline, factor)
    assert isinstance(outline, Contour)
    seen = bounds(ink).centre
    room = Bounds(
        seen.x - width / 2, seen.y - _HEIGHT / 2, seen.x + width / 2, seen.y + _HEIGHT / 2
    )
    free = FreeSpace.beside(ink, (room,), outline=None)
    told = place_callouts(free, list(pointer_callouts(pointers)))
    letters = _letters(rows)
    marks = place_letters(
        told.free,
        [
            (each, scaled_point(at.at, factor))
            for each, at in flat_rows(of.piece).places
            if each in letters
        ],
    )
    caption = f"The flat blank, top face up, not to full scale.{_arrow_words(rows, times)}"
    drawn = figure((*ink, *told.items, *marks.items), width, caption)
    return (*heading("Before bending", width), *drawn)


def _flat_pointer(row: ReadRow, factor: float, times: float) -> Iterator[FlatPointer]:
    tape = row.verdict.reading.measured.on_blank
    if tape is None or row.row.angle:
        return
    start, end = scaled_point(tape.start, factor), scaled_point(tape.end, factor)
    words = _words(row)
    root = start if words else None
    yield FlatPointer(end, (tape.end - tape.start).unit() * (row.off * times), words, root)


def _bracket(of: Diagnosed, width: float) -> tuple[Strip, ...]:
    rows = [row for row in of.rows if row.state == "folded"]
    if not rows:
        return ()
    bracket = of.piece.bracket
    if bracket.stock.thickness < _THINNEST:
        # card may count as without thickness
        bracket = replace(bracket, stock=replace(bracket.stock, thickness=_THINNEST))
    times, main, opposite = _magnified(rows), *views_of(bracket)
    turns = max((abs(row.off) for row in rows if row.row.angle), default=0.0)
    turned = next((each for each in _TURNS if turns * each <= _MOST_TURN), _TURNS[-1])
    model = folded(of.piece.bracket)
    letters = _letters(rows)
    places = [
        Place(letter, at, hidden=not main.seen(at) and not opposite.seen(at))
        for letter, at in folded_rows(of.piece).places
        if letter in letters
    ]
    pointers = [each for row in rows for each in _pointers(row, model, times, turned)]
    first = (width - 4.0) * 0.56
    sizes = ((first, _FOLDED_HEIGHT), (width - 4.0 - first, _FOLDED_HEIGHT))
    drawn: list[Item] = []
    x = 0.0
    for view, size in zip((main, opposite), sizes, strict=True):
        seen = [p for p in places if _shown_in(view, p.at, main, opposite)]
        arrows = [p for p in pointers if _shown_in(view, p.at, main, opposite)]
        down = Motion.translation(Vector(x, -_FOLDED_HEIGHT))
        drawn.append(Group(down, view.drawn(size, seen, pointers=arrows)))
        x += size[0] + 4.0
    caption = f"Folded, from above and from below.{_arrow_words(rows, times)}"
    if any(row.row.angle and _words(row) for row in rows):
        larger = f"{turned:g} times as large as it is" if turned > 1 else "as large as it is"
        caption += " At a bend, two arrows show how the fold should stand and how it does, the "
        caption += f"angle between them {larger}."
    return (
        *heading("After folding", width),
        Strip(height=_FOLDED_HEIGHT, items=tuple(drawn), keeps=True),
        *paragraph(caption, width),
    )


def _shown_in(view: View, at: Any, main: View, opposite: View) -> bool:
    """Whether a place is drawn in a view: in the one that sees it, else in the main one."""
    return (view is opposite) == (not main.seen(at) and bool(opposite.seen(at)))


def _pointers(row: ReadRow, model: Folded, times: float, turned: float) -> Iterator[Pointer]:
    told = row.verdict.reading.measured
    tape, words = told.on_part, _words(row)
    if tape is None:
        return
    if row.row.angle and words:
        names = {told.dimension.start.panel, told.dimension.end.panel}
        for bend in model.bends:
            if {model.panels[i].panel.name for i in (bend.parent, bend.child)} != names:
                continue
            at = bend.point(bend.length / 2, 1.0, 0.0)
            for angle, said in ((bend.angle, ""), (bend.angle - row.off * turned, words)):
                up = math.sin(angle) if bend.bend.direction == "up" else -math.sin(angle)
                way = bend.world_from_bend.vector(Vector3(0.0, math.cos(angle), up))
                yield Pointer(at, way * _RAY, said)
    if row.row.angle:
        return
    way = (tape.end - tape.start).unit() * (row.off * times)
    if len(row.row.ends) == 1:  # its letter is where the tape begins
        yield Pointer(tape.start, -way, words, tape.end if words else None)
    else:
        yield Pointer(tape.end, way, words, tape.start if words else None)
