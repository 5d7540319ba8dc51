"""Setup files: a suspension's measurements, read as job files are."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from platewright.errors import BuildError, FileError
from platewright.files.declared import FAILED, read_together
from platewright.files.given import KeyTable
from platewright.files.sections import file_name, file_note, file_units, name_from
from platewright.files.source import read_text, read_toml
from platewright.files.typed import fingerprint, typed_in
from platewright.units import Unit
from platewright.values import dataclass

if TYPE_CHECKING:
    from platewright.suspension.setup import Setup
    from platewright.suspension.travel import Travel


_READINGS_FILE = "this is a readings file: `platewright readings` reads it behind a bracket file"
_BRACKET_FILE = "this is a bracket file, not the setup of a suspension with its [travel] table"


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupHead:
    """What stands above the tables of a setup file."""

    name: str | None = file_name("rear-axle")
    units: str = file_units()
    note: str | None = file_note()


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupFile:
    """A setup with its name, its file's unit and note; `path` as the user gave it.

    `fingerprint` is the sign of what the file says.
    """

    path: str
    name: str
    unit: Unit
    note: str
    setup: Setup
    fingerprint: str


def load_setup(path: Path | str) -> SetupFile:
    """The setup in a file. Raises FileError with every mistake."""
    return read_setup(read_text(path), str(path))


def read_setup(text: str, path: str) -> SetupFile:
    """The setup in a text; `path` is where it came from. Raises FileError with every mistake."""
    from platewright.suspension.setup import LINKAGES, Setup, linkage_complaint

    raw = read_toml(text, path)
    if {"kind", "part"} & raw.keys() and not isinstance(raw.get("travel"), Mapping):
        readings = "kind" not in raw and bool({"made_of", "flat", "folded"} & raw.keys())
        raise FileError.of(path, _READINGS_FILE if readings else _BRACKET_FILE)
    table = KeyTable.of("", raw)
    ledger, (head, setup) = read_together((SetupHead, Setup), table, path, [])
    if setup is FAILED:
        # what a whole setup says of its linkage's table, were there no other mistake
        given = [table.entries[key].value != "none" for key in LINKAGES if key in table.entries]
        if complaint := linkage_complaint(sum(given)):
            ledger.refuse(*complaint)
    if ledger.mistakes or head is FAILED or setup is FAILED:
        raise FileError(tuple(ledger.mistakes))
    name = head.name or name_from(Path(path).stem, "suspension")
    said = (f"{each.key} = {each.words}" for each in typed_in(table, ledger.top))
    return SetupFile(
        path=path,
        name=name,
        unit=ledger.unit,
        note=head.note or "",
        setup=setup,
        fingerprint=fingerprint((f"setup {name}", *said)),
    )


Setups = Callable[[str], "Travel"]
"""The travel of a setup file by its path as a bracket file has it. Raises FileError."""


def no_setups(path: str) -> Travel:
    """Where no file can be read: refuses every setup file. Raises FileError."""
    raise FileError.of(path, "no setup file can be read from here")


def setups_beside(bracket_file: Path, called_for: Iterable[Path] = ()) -> Setups:
    """Setup files by their paths from the folder of a bracket file, each read once.

    A file can be from anybody: it reaches only what lies in its own folder and what is `called_for`
    besides, and of a file that is no setup nothing is told.
    """
    folder = Path(os.path.abspath(bracket_file.parent))
    allowed = {os.path.abspath(path) for path in called_for}

    @cache
    def travel_at(path: str) -> Travel:
        place = bracket_file.parent / path
        whole = os.path.abspath(place)
        if not Path(whole).is_relative_to(folder) and whole not in allowed:
            raise FileError.of(path, f"outside this file's folder: add --setup {path} to the call")
        text = read_text(place)
        if (complaint := _complaint(text, path)) is not None:
            raise FileError.of(path, f"{complaint}; `platewright travel {place}` says more")
        return travel_of(read_setup(text, str(place)))

    return travel_at


def _complaint(text: str, path: str) -> str | None:
    """Why a text is no setup, in words that tell nothing of what it says."""
    try:
        raw = read_toml(text, path)
    except FileError:
        raw = {}
    if isinstance(raw.get("travel"), Mapping):
        return None
    if {"kind", "part"} & raw.keys():
        return _BRACKET_FILE
    return "no setup of a suspension, with a [travel] table, can be read from it"


def travel_of(file: SetupFile) -> Travel:
    """The travel of a setup. Raises FileError with the keys that decide where there is none."""
    from platewright.suspension.travel import travel

    try:
        return travel(file.setup.layout(file.unit))
    except BuildError as error:
        # the linkage stands in the file under its own name
        table = file.setup.linkage_table
        first, *others = [re.sub(r"^linkage\b", table, key) for key in error.keys] or [""]
        also = f" (see also {', '.join(others)})" if others else ""
        raise FileError.of(file.path, error.message + also, first) from error
