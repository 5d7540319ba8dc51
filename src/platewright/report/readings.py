"""What readings mean, as lines for a person and as JSON values."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from platewright.readings.diagnosis import Found
from platewright.report.dimensions_json import in_unit
from platewright.sheets.readings_sheet import (
    VERDICTS,
    Diagnosed,
    ReadRow,
    alternative_words,
    cause_words,
    remedy_words,
    set_words,
)
from platewright.shop.notes import piece_title
from platewright.values import dataclass


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
        **in_unit(figures, "angle" if row.row.angle else "length"),
        "judged": row.verdict.judged,
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
