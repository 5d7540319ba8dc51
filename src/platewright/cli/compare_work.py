"""From two read files to what changed, part by part, and the drawings of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from platewright.drawing.pdf import pdf_bytes
from platewright.files.changes import changes
from platewright.files.job import Job, Part, bracket_of
from platewright.plate.compare import compare
from platewright.sheets.compare_sheet import Compared, compare_pages

#: Hands that are mirror images of each other; a pair has both.
_OPPOSITE = {"as drawn", "mirrored"}


@dataclass(frozen=True, slots=True, kw_only=True)
class CompareWork:
    """Parts compared, and the names of parts that only one of the files has."""

    compared: tuple[Compared, ...]
    only_old: tuple[str, ...]
    only_new: tuple[str, ...]


def compare_files(old: Job, new: Job) -> CompareWork:
    """Every part of the new file against the old one of its name.

    Raises FileError where measurements make no bracket.
    """
    pairs = list(_pairs(old, new))
    matched = {id(part) for pair in pairs for part in pair}
    return CompareWork(
        compared=tuple(_compared(one, other, old.path, new.path) for one, other in pairs),
        only_old=tuple(part.name for part in old.parts if id(part) not in matched),
        only_new=tuple(part.name for part in new.parts if id(part) not in matched),
    )


def _pairs(old: Job, new: Job) -> Iterator[tuple[Part, Part]]:
    if len(old.parts) == len(new.parts) == 1:
        yield old.parts[0], new.parts[0]
        return
    olds = {part.name: part for part in old.parts}
    yield from ((olds[part.name], part) for part in new.parts if part.name in olds)


def _compared(old: Part, new: Part, old_path: str, new_path: str) -> Compared:
    other_hand = {old.hand, new.hand} == _OPPOSITE
    brackets = bracket_of(old, old_path), bracket_of(new, new_path)
    return Compared(
        old_name=old.name,
        new_name=new.name,
        unit=new.unit,
        changes=changes(old, new),
        found=compare(*brackets, other_hand=other_hand),
    )


def drawings(work: CompareWork, out: Path, paper: str | None) -> dict[Path, bytes]:
    """A drawing of every part that changed, by the path it is to be written to."""
    return {
        out / f"{each.new_name}-changes.pdf": pdf_bytes(
            compare_pages(each, paper or ("letter" if each.unit == "in" else "A4")),
            title=f"{each.new_name}: what changed",
            subject="Changes of a bracket",
        )
        for each in work.compared
        if each.changes or not each.found.unchanged
    }
