"""From bracket files and readings to what the readings mean, and what a shop learns from it."""

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
from platewright.errors import FileError, OutputError
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
from platewright.report.readings import AsRead
from platewright.sheets.readings_sheet import (
    Diagnosed,
    ReadRow,
    readings_pages,
    row_figure,
    row_tolerance,
)
from platewright.sheets.rows import Row, Rows
from platewright.sheets.rows import flat_rows as rows_of_blank
from platewright.sheets.rows import folded_rows as rows_of_part
from platewright.units import Unit, format_length, parse_length

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
        raise FileError.of(path, message, "part")
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
        raise FileError.of(path, message)
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
