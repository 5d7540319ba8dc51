"""From setup files to travels and their sheets."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from platewright.drawing.pdf import pdf_bytes
from platewright.errors import FileError, Mistake
from platewright.files.outputs import gathered
from platewright.files.setup import SetupFile, load_setup, travel_of
from platewright.sheets.travel_sheet import SheetWords, travel_pages
from platewright.suspension.travel import Travel
from platewright.suspension.warning import warnings


@dataclass(frozen=True, slots=True)
class Travelled:
    """A setup file and the travel worked out from it."""

    file: SetupFile
    travel: Travel

    @property
    def must_change(self) -> bool:
        """Whether a warning says that something must be changed."""
        return any(warning.weight == "change" for warning in warnings(self.travel))


def travels(paths: Iterable[Path]) -> tuple[Travelled, ...]:
    """Every setup's travel; the mistakes of all files are told together. Raises FileError."""
    found: list[Travelled] = []
    mistakes: list[Mistake] = []
    for path in paths:
        try:
            setup = load_setup(path)
            found.append(Travelled(setup, travel_of(setup)))
        except FileError as error:
            mistakes.extend(error.mistakes)
    if mistakes:
        raise FileError(tuple(mistakes))
    return tuple(found)


def named_sheets(
    found: Sequence[Travelled], out: Path, paper: str | None = None
) -> dict[Path, bytes]:
    """Each setup's sheet by the path it is to be written to.

    Raises OutputError when two setups would write the same file.
    """
    return gathered(
        out,
        (
            (each.file.name, {f"{each.file.name}-travel.pdf": travel_sheet_bytes(each, paper)})
            for each in found
        ),
    )


def travel_sheet_bytes(each: Travelled, paper: str | None = None) -> bytes:
    """One setup's sheet as PDF."""
    file = each.file
    words = SheetWords(name=file.name, note=file.note, paper=paper)
    pages = travel_pages(each.travel, words)
    return pdf_bytes(pages, title=f"{file.name}: suspension travel", subject="Suspension travel")
