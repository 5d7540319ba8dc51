"""Setup files: a suspension's measurements, read as job files are."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from platewright import measure
from platewright.errors import BuildError, FileError, Mistake
from platewright.files.declared import FAILED, build, read_fields
from platewright.files.given import Ledger, Table
from platewright.files.reader import read_text
from platewright.files.sections import read_name
from platewright.files.syntax import read_toml
from platewright.fit.setup import Setup
from platewright.fit.travel import Travel, travel
from platewright.measure import fields_of
from platewright.units import UNITS, Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupHead:
    """What stands above the tables of a setup file."""

    name: str | None = measure.custom(
        "name",
        "Names the output files; left out, the name of this file.",
        read=read_name,
        allowed="letters, digits, - and _, a letter or digit first, at most 60",
        optional=True,
        example="rear-axle",
    )
    units: str = measure.choice(
        "units",
        "What a number without a unit of its own means in this file.",
        UNITS,
        example="in",
    )
    note: str | None = measure.text("note", "Words to print on the sheet.", optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupFile:
    """A setup with its name, its file's unit and note; `path` as the user gave it."""

    path: str
    name: str
    unit: Unit
    note: str
    setup: Setup


def load_setup(path: Path | str) -> SetupFile:
    """The setup in a file. Raises FileError with every mistake."""
    return read_setup(read_text(path), str(path))


def read_setup(text: str, path: str) -> SetupFile:
    """The setup in a text; `path` is where it came from. Raises FileError with every mistake."""
    table = Table.of("", read_toml(text, path))
    unit = _unit(table)
    fields = dict(fields_of(SetupHead)) | dict(fields_of(Setup))
    ledger = Ledger(path, unit or "in", unit is not None, frozenset(fields))
    values = read_fields(fields, table, ledger)
    head, setup = (build(declared, values, table, ledger) for declared in (SetupHead, Setup))
    if ledger.mistakes or head is FAILED or setup is FAILED or unit is None:
        raise FileError(tuple(ledger.mistakes))
    name = head.name or _plain(Path(path).stem)
    return SetupFile(path=path, name=name, unit=unit, note=head.note or "", setup=setup)


def _plain(stem: str) -> str:
    """A file's own name as one that any system takes."""
    return re.sub(r"[^A-Za-z0-9_-]+", "-", stem).strip("-_")[:50] or "suspension"


def _unit(table: Table) -> Unit | None:
    """The file's unit, None when it does not say; the reading of its fields tells of that."""
    given = table.entries.get("units")
    return next((unit for unit in UNITS if given is not None and given.value == unit), None)


def travel_of(file: SetupFile) -> Travel:
    """The travel of a setup. Raises FileError with the keys that decide where there is none."""
    try:
        return travel(file.setup.layout(file.unit))
    except BuildError as error:
        keys = [_key(key, file.setup) for key in error.keys]
        also = f" (see also {', '.join(keys[1:])})" if keys[1:] else ""
        first = keys[0] if keys else ""
        mistake = Mistake(file=file.path, key=first, message=error.message + also)
        raise FileError((mistake,)) from error


def _key(key: str, setup: Setup) -> str:
    """The key as the file has it: the linkage stands under its own name."""
    head, dot, rest = key.partition(".")
    return f"{setup.linkage_table}{dot}{rest}" if head == "linkage" else key
