"""From bracket files and readings to what the readings mean: as text, as JSON, and drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from platewright.compare.outcome import Comparison, compare
from platewright.drawing.pdf import pdf_bytes
from platewright.drawing.printer import MOST_OFF, Printer
from platewright.errors import FileError, Mistake, OutputError
from platewright.files.job import Job, Part
from platewright.files.outputs import gathered, is_own
from platewright.files.readings import (
    MADE_OF,
    STATES,
    Asked,
    Filled,
    Measuring,
    filled_in,
    read_readings,
    readings_text,
)
from platewright.files.shop_figures import USUAL_DIVISION
from platewright.files.shop_file import SHOP_NAME, add_table
from platewright.files.source import read_text
from platewright.plate.piece import Piece
from platewright.readings.cause import MadeOf, Remedy
from platewright.readings.diagnosis import Found, diagnose
from platewright.readings.reading import Reading, State
from platewright.sheets.readings_sheet import (
    VERDICTS,
    Diagnosed,
    ReadRow,
    alternative_words,
    cause_words,
    readings_pages,
    remedy_words,
    row_figure,
    row_tolerance,
    set_words,
)
from platewright.sheets.rows import Row, Rows
from platewright.sheets.rows import flat_rows as rows_of_blank
from platewright.sheets.rows import folded_rows as rows_of_part
from platewright.shop.notes import piece_title
from platewright.units import Unit, format_length, parse_length
from platewright.values import dataclass

# --- what can be measured ---------------------------------------------------------------------


def _rows(piece: Piece, state: State) -> Rows[Any]:
    return rows_of_blank(piece) if state == "flat" else rows_of_part(piece)


def _piece(part: Part, index: int, made_of: MadeOf) -> Piece:
    return (part.pieces if made_of == "plate" else part.mock_ups)[index]


def measurings(job: Job) -> tuple[Measuring, ...]:
    """All that can be measured of a job's parts: of each piece the plate and the mock-up."""
    return tuple(found for found, *_ in _measurings(job))


def _measurings(job: Job) -> Iterator[tuple[Measuring, Part, int]]:
    for part in job.parts:
        hands = ("left", "right") if part.hand == "pair" else (part.hand,)
        for index, hand in enumerate(hands):
            for made_of in MADE_OF:
                found = Measuring(
                    part=f"{part.name}-{hand}" if part.hand == "pair" else part.name,
                    hand=hand,
                    made_of=made_of,
                    fingerprint=part.fingerprint,
                    without_shop=part.fingerprint_without_shop,
                    unit=part.unit,
                    rows=partial(_asked, part, index, made_of),
                )
                yield found, part, index


def _asked(part: Part, index: int, made_of: MadeOf) -> tuple[Asked, ...]:
    piece = _piece(part, index, made_of)
    return tuple(
        Asked(
            state=state,
            name=row.name,
            words=row.words,
            value=row.value,
            told=_told(row, state, part.unit),
            critical=row.critical,
            angle=row.angle,
        )
        for state in ("flat", "folded")
        for row in _rows(piece, state).rows
    )


def _told(row: Row[Any], state: State, unit: Unit) -> str:
    """A row's value as the check sheet prints it, and how far it may be off."""
    figure = row_figure(row, row.value, state, unit)
    return f"{figure.removesuffix(unit).rstrip()}, {row_tolerance(row, state, unit)}"


def readings_files(
    job: Job, made_of: Sequence[str], out: Path, *, overwrite: bool
) -> dict[Path, bytes]:
    """A readings file for every piece, of what it is `made_of`, by the path to write it to.

    Raises OutputError where one stands that has been filled in, unless `overwrite`.
    """
    wanted = [each for each in measurings(job) if each.made_of in made_of]
    files = gathered(
        out, ((each.stem, {each.file_name: readings_text(each).encode()}) for each in wanted)
    )
    if not overwrite:
        for path in files:
            _require_blank(path)
    return files


def _require_blank(path: Path) -> None:
    if not (path.is_file() and is_own(path)):
        return  # whose it is, is asked when it is written
    try:
        names = filled_in(read_text(path))
    except FileError:
        told = "cannot be read, and may hold readings"
    else:
        some = ", ".join(names[:6]) + (" and others" if names[6:] else "")
        told = f"holds {len(names)} reading{'s' if names[1:] else ''} ({some})" if names else ""
    if told:
        raise OutputError(
            f"{path} {told}; nothing was written. Move it, choose another folder with --out, or "
            "add --overwrite"
        )


# --- what was read ----------------------------------------------------------------------------


def diagnosed(job: Job, path: Path) -> Diagnosed:
    """What the readings in a file mean, of a part of a job.

    Raises FileError with every mistake of the readings file.
    """
    return diagnosed_from(job, read_text(path), str(path))


def diagnosed_from(job: Job, text: str, path: str) -> Diagnosed:
    """The same of the text of a readings file; `path` is what messages call it."""
    filled, part, index = _filled(job, text, path)
    rows = _read_rows(filled, _piece(part, index, filled.of.made_of))
    return _diagnosed(part, index, filled, rows)


def _filled(job: Job, text: str, path: str) -> tuple[Filled, Part, int]:
    known = list(_measurings(job))
    filled = read_readings(text, path, [each for each, *_ in known], job.path)
    return next((filled, part, index) for each, part, index in known if each is filled.of)


ReadRows = list[tuple[State, Row[Any], float]]
"""Where it was read, the row, and what tape or bevel showed, mm or radians."""


def _read_rows(filled: Filled, piece: Piece) -> ReadRows:
    rows = {(state, row.name): row for state in STATES for row in _rows(piece, state).rows}
    return [(a.state, rows[a.state, a.name], value) for a, value in filled.readings]


def _diagnosed(part: Part, index: int, filled: Filled, read: ReadRows) -> Diagnosed:
    made_of, unit = filled.of.made_of, part.unit
    piece = _piece(part, index, made_of)
    tape = next((each for each in part.figures if each.key == "tape.division"), None)
    step = tape.value if tape and isinstance(tape.value, float) else USUAL_DIVISION[unit]
    readings = [
        Reading(
            letter=row.name,
            measured=row.told[0],
            state=state,
            # a bevel lies inside the fold: what it shows is half a turn less the metal's
            value=math.pi - value if row.is_bevel else value,
        )
        for state, row, value in read
    ]
    kerf = part.common.cutting.kerf
    found = diagnose(piece, readings, division=step, kerf=kerf, made_of=made_of, unit=unit)
    sets = tuple(part.place_of(each) for each in found.fate.sets)
    found = replace(found, fate=replace(found.fate, sets=sets))
    where = tape.source_words if tape else "usual, not measured"
    return Diagnosed(
        piece=piece,
        made_of=made_of,
        unit=unit,
        rows=tuple(
            ReadRow(row, told, unit) for (_, row, _), told in zip(read, found.verdicts, strict=True)
        ),
        found=found,
        taken=(f"tape read to {format_length(step, unit)} ({where})", *filled.taken),
    )


def drawings(of: Diagnosed, out: Path, paper: str | None) -> dict[Path, bytes]:
    """The sheet of the readings, by the path it is to be written to."""
    name, sign = of.piece.name, of.piece.fingerprint
    stem = f"{name}-card" if of.made_of == "card" else name
    return {
        out / f"{stem}-readings.pdf": pdf_bytes(
            readings_pages(of, paper or ("letter" if of.unit == "in" else "A4")),
            title=f"{name}: what the tape says",
            subject="Readings of a bracket",
            made_from={name: sign},
        )
    }


# --- against another file -----------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class AsRead:
    """A part as it was read, against what another file asks for.

    `unread` are the names and words of what the other file asks otherwise or besides, and was not
    read; `hindrances` what no reading can tell of: another plate, bends that are not there.
    """

    of: Diagnosed
    unread: tuple[tuple[str, str], ...]
    hindrances: tuple[str, ...]

    @property
    def serves(self) -> bool:
        """Whether the part serves, as far as it was read."""
        return self.of.found.fate.outcome == "serves" and not self.hindrances


def as_read(old: Job, new: Job, path: Path) -> AsRead:
    """Whether a part that was made to the old file and read serves the new one.

    Raises FileError with every mistake of the readings file, and where the new file has no such
    part, or asks for nothing that was read.
    """
    filled, part, index = _filled(old, read_text(path), str(path))
    parts = [each for each in new.parts if each.name == part.name]
    if len(old.parts) == len(new.parts) == 1:
        parts = list(new.parts)
    made_of, hand = filled.of.made_of, filled.of.hand
    found = [
        (other, at)
        for each, other, at in _measurings(new)
        if other in parts and each.made_of == made_of and each.hand == hand
    ]
    if not found:
        message = f"{new.path} has no such part of this hand to hold it against"
        raise FileError((Mistake(file=str(path), key="part", message=message),))
    other, at = found[0]
    before, after = _piece(part, index, made_of), _piece(other, at, made_of)
    rows = [(state, row) for state in STATES for row in _rows(after, state).rows]
    by_title = {(state, each.dimension.title): row for state, row in rows for each in row.told}
    read: ReadRows = []
    for state, row, value in _read_rows(filled, before):
        titles = ((state, each.dimension.title) for each in row.told)
        alike = next((by_title[title] for title in titles if title in by_title), None)
        if alike is not None and all(alike is not there for _, there, _ in read):
            read.append((state, alike, value))
    if not read:
        message = f"nothing that was read is asked for by {new.path}"
        raise FileError((Mistake(file=str(path), key="", message=message),))
    was = {
        (state, each.dimension.title): row.value
        for state in STATES
        for row in _rows(before, state).rows
        for each in row.told
    }
    known = {each.dimension.title for _, row, _ in read for each in row.told}
    unread = tuple(
        (row.name, row.words)
        for state, row in rows
        if not any(each.dimension.title in known for each in row.told)
        and any(_differs(row, was.get((state, each.dimension.title))) for each in row.told[:1])
    )
    changed = compare(before.bracket, after.bracket)
    return AsRead(
        of=_diagnosed(other, at, filled, read),
        unread=unread,
        hindrances=tuple(_hindrances(changed)),
    )


def _differs(row: Row[Any], was: float | None) -> bool:
    """Whether the new file asks for another value than the old one did."""
    least = math.radians(0.1) if row.angle else 0.05
    return was is None or abs(row.value - was) > least


def _hindrances(changed: Comparison) -> Iterator[str]:
    if not changed.same_stock:
        yield "the plate is another"
    for bend in changed.bends:
        told = bend.new or bend.old
        if told is not None and (bend.old is None or bend.new is None):
            yield f"bend {told.number} ({bend.child}) is {'new' if bend.old is None else 'gone'}"
        elif bend.old and bend.new and bend.old.direction != bend.new.direction:
            yield f"bend {bend.new.number} ({bend.child}) folds {bend.new.direction} now"
    for opening in changed.openings:
        if opening.old is None or opening.new is None or opening.reshaped:
            way = "new" if opening.old is None else "gone" if opening.new is None else "another"
            yield f"{opening.what} is {way}"


def as_read_lines(told: AsRead) -> Iterator[str]:
    """Whether the part as it was read serves, for a person: the verdict first."""
    found = told.of.found
    name = piece_title(told.of.piece)
    if told.hindrances:
        yield f"as read: {name} does not serve as it is: {'; '.join(told.hindrances)}"
    else:
        yield f"as read: {name}: {VERDICTS[found.fate.outcome]}"
    yield from (f"  {trim}" for trim in found.fate.trims)
    off = [each for each in told.of.rows if each.verdict.judged != "good"]
    if off:
        yield "  off what the new file asks for (* fit-critical)"
        yield from (f"    {line}" for line in _columns(off))
    good = [each.row.name for each in told.of.rows if each.verdict.judged == "good"]
    if good:
        yield f"  good: {', '.join(good)}"
    if told.unread:
        yield "  changed and not read; measure before you trust it"
        yield from (f"    {name}: {words}" for name, words in told.unread)


def as_read_json(told: AsRead) -> dict[str, Any]:
    """The same as JSON values."""
    return {
        "name": told.of.piece.name,
        "made_of": told.of.made_of,
        "serves": told.serves,
        "outcome": told.of.found.fate.outcome,
        "trims": list(told.of.found.fate.trims),
        "hindrances": list(told.hindrances),
        "readings": [_reading_json(row) for row in told.of.rows],
        "not_read": [{"letter": name, "words": words} for name, words in told.unread],
    }


# --- what the shop learns from it ---------------------------------------------------------------


def add_to_shop(job: Job, of: Diagnosed) -> tuple[Path, str] | None:
    """Add to the shop file what a diagnosis says belongs there; the file and the text added.

    The file is that of the job, else the one that would stand beside it. None where nothing found
    belongs there. Raises FileError and OutputError as `add_table` does.
    """
    part = next(part for part in job.parts if of.piece in (*part.pieces, *part.mock_ups))
    path = Path(part.shop.path or Path(job.path).parent / SHOP_NAME)
    added = [
        add_table(path, name, [row], of.unit)
        for cause in of.found.causes
        for remedy in cause.remedies
        if remedy.where == "shop file"
        for name, row in _shop_rows(part, of.piece, cause, remedy)
    ]
    return (path, "\n".join(added)) if added else None


def _shop_rows(
    part: Part, piece: Piece, cause: Found, remedy: Remedy
) -> Iterator[tuple[str, dict[str, float | str]]]:
    """The table of a shop file, and the row for it, that a remedy means."""
    measured_on = f"readings of {piece.name}, {piece.fingerprint}"
    stock, cutting = piece.bracket.stock, part.common.cutting
    plate: dict[str, float | str] = {"thickness": stock.thickness}
    bend = next((bend for bend in piece.blank.bends), None)
    match remedy.key:
        case "kerf":
            process = {"process": cutting.process} if cutting.process else {}
            kerf = parse_length(remedy.value, part.unit)
            yield "kerf", {**plate, **process, "kerf": kerf, "measured_on": measured_on}
        case "printer" if cause.name == "print scale" and abs(cause.size) <= MOST_OFF:
            # how a pattern lay on the paper is not known: only one scale both ways is sure
            before = part.shop.printer or Printer(1.0, 1.0)
            scale = float(remedy.value)
            yield (
                "printer",
                {
                    "across": before.across * scale,
                    "up": before.up * scale,
                    "skew": before.skew,
                    "measured_on": measured_on,
                },
            )
        case "bend.k" if bend and bend.way.brake:
            made: dict[str, float | str] = {
                "way": "brake",
                "radius": bend.way.brake.radius,
                "k": float(remedy.value),
            }
            yield "bend", {"material": stock.material.name, **plate, **made,
                           "measured_on": measured_on}  # fmt: skip
        case "bend.groove" if bend and bend.way.score:
            made = {
                "way": "score",
                "groove": parse_length(remedy.value, part.unit),
                "ligament": bend.way.score.ligament,
            }
            yield "bend", {"material": stock.material.name, **plate, **made,
                           "measured_on": measured_on}  # fmt: skip


# --- as text and as JSON ------------------------------------------------------------------------


def diagnosed_text(
    of: Diagnosed, files: Sequence[Path], added: tuple[Path, str] | None = None
) -> str:
    """What the readings mean, for a person: the verdict first, what was added to a file last."""
    told = (f"added to {added[0]}:\n\n{added[1].rstrip()}",) if added else ()
    return "\n".join((*_lines(of), *(f"wrote {file}" for file in files), *told))


def _lines(of: Diagnosed) -> Iterator[str]:
    found = of.found
    yield f"{piece_title(of.piece)}, {of.made_of}: {VERDICTS[found.fate.outcome]}"
    yield f"  {found.fate.words}"
    yield from (f"  {trim}" for trim in found.fate.trims if trim not in found.fate.words)
    if found.causes:
        yield "  what explains it"
        for number, cause in enumerate(found.causes, 1):
            yield f"    {number}. {cause_words(cause)}"
            yield from (f"       {remedy_words(remedy)}" for remedy in cause.remedies)
    if found.left_over:
        yield f"  not explained: {', '.join(found.left_over)}"
    if found.alternatives:
        yield "  what cannot be told apart"
        yield from (f"    {alternative_words(of, each)}" for each in found.alternatives)
    if found.fate.sets:
        yield "  for the next one"
        yield from (f"    {set_words(each)}" for each in found.fate.sets)
    for judged in ("out", "cannot be read so finely"):
        rows = [each for each in of.rows if each.verdict.judged == judged]
        if rows:
            yield f"  {judged} (* fit-critical)"
            yield from (f"    {line}" for line in _columns(rows))
    good = [each.row.name for each in of.rows if each.verdict.judged == "good"]
    if good:
        yield f"  good: {', '.join(good)}"
    yield from (f"  {words}" for words in of.taken)


def _columns(rows: Sequence[ReadRow]) -> Iterator[str]:
    """What is off, each reading on a line."""
    cells = [
        (
            each.row.name + (" *" if each.row.critical else ""),
            each.figure(each.value),
            f"for {each.figure(each.row.value)}",
            each.off_words,
            f"may be {each.tolerance_words}",
        )
        for each in rows
    ]
    wide = [max(map(len, column)) for column in zip(*cells, strict=True)]
    for each, texts in zip(rows, cells, strict=True):
        line = "  ".join(f"{text:{width}}" for text, width in zip(texts, wide, strict=True))
        yield f"{line}  {each.row.words}"


def diagnosed_json(of: Diagnosed, files: Sequence[Path]) -> dict[str, Any]:
    """The same as JSON values: mm and degrees; bevels as they were read, inside the fold."""
    found, fate = of.found, of.found.fate
    return {
        "name": of.piece.name,
        "hand": of.piece.hand,
        "made_of": of.made_of,
        "fingerprint": of.piece.fingerprint,
        "outcome": fate.outcome,
        "words": fate.words,
        "trims": list(fate.trims),
        "sets": list(fate.sets),
        "causes": [_cause_json(cause) for cause in found.causes],
        "left_over": list(found.left_over),
        "cannot_be_told_apart": [
            {
                "cause": each.found,
                "or": each.name,
                "words": each.words,
                "settled_by": of.row_of(each)[0] or None,
                "measure": of.row_of(each)[1] or None,
                "state": each.state,
            }
            for each in found.alternatives
        ],
        "readings": [_reading_json(row) for row in of.rows],
        "taken": list(of.taken),
        "files": [str(file) for file in files],
    }


def _cause_json(cause: Found) -> dict[str, Any]:
    size = {"mm": "size_mm", "rad": "size_deg", "": "size"}[cause.unit]
    figures = (cause.size, cause.error)
    if cause.unit == "rad":
        figures = (math.degrees(cause.size), math.degrees(cause.error))
    return {
        "name": cause.name,
        "words": cause.words,
        size: figures[0],
        size.replace("size", "give_or_take"): figures[1],
        "evidence": list(cause.evidence),
        "remedies": [
            {"words": each.words, "where": each.where, "key": each.key, "value": each.value}
            for each in cause.remedies
        ],
    }


def _reading_json(row: ReadRow) -> dict[str, Any]:
    unit = "deg" if row.row.angle else "mm"
    figures = {
        "should": row.row.value,
        "read": row.value,
        "off": row.off,
        "may_be_below": -row.tolerance[0],
        "may_be_above": row.tolerance[1],
    }
    return {
        "letter": row.row.name,
        "state": row.state,
        "words": row.row.words,
        "key": row.row.told[0].dimension.key,
        "critical": row.row.critical,
        **{
            f"{name}_{unit}": math.degrees(value) if row.row.angle else value
            for name, value in figures.items()
        },
        "judged": row.verdict.judged,
    }
