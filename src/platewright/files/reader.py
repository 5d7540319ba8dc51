"""Job files: text in, values out, and every mistake told at once.

A job file is one part at top level, or several under `[[part]]`; then the shared keys at top level
(units, stock, bend and so on) serve every part that does not give its own. A part's own table
replaces the shared one whole.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from platewright.errors import FileError, Mistake
from platewright.files.declared import FAILED, build, read_fields, read_given
from platewright.files.given import Given, Ledger, Table
from platewright.files.job import Job, Part
from platewright.files.sections import Common
from platewright.files.syntax import read_toml
from platewright.kinds.kind import Kind
from platewright.kinds.making import Extras
from platewright.measure import fields_of
from platewright.units import Unit

#: No job file of honest work comes near this size, in bytes.
LARGEST_FILE = 500_000
MOST_PARTS = 500

_COMMON = dict(fields_of(Common))
#: What a file may add to a part of any kind.
_EXTRAS = dict(fields_of(Extras))
#: Shared keys that would make no sense for several parts at once.
_OWN_ONLY = ("name",)
_UNSAFE = re.compile(r"[^A-Za-z0-9_-]+")


# --- the edge ---------------------------------------------------------------------------------


def load_job(path: Path | str, kinds: Mapping[str, Kind] | None = None) -> Job:
    """The job in a file. `kinds` are the kinds by name, all there are when not given.

    Raises FileError with every mistake, also for a file that is missing or is no text.
    """
    if kinds is None:
        from platewright.kinds.catalogue import catalogue

        kinds = catalogue()
    return read_job(read_text(path), str(path), kinds)


def read_text(path: Path | str) -> str:
    """The text of a file. Raises FileError where there is none to be had."""
    try:
        data = _read_bytes(Path(path))
    except FileNotFoundError:
        raise _refusal(path, "no such file", _sibling(Path(path))) from None
    except PermissionError:
        raise _refusal(path, "you may not read this file") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise _refusal(path, f"cannot be read: {reason}") from None
    return _decoded(path, data)


def _read_bytes(path: Path) -> bytes:
    if path.is_dir():
        raise _refusal(path, "this is a folder, not a file")
    if path.exists() and not path.is_file():
        raise _refusal(path, "this is a device, not a file")
    with path.open("rb") as file:
        return file.read(LARGEST_FILE + 1)


def _decoded(path: Path | str, data: bytes) -> str:
    if len(data) > LARGEST_FILE:
        raise _refusal(path, f"larger than {LARGEST_FILE // 1000} kB: no job file")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise _refusal(path, f"line {line} is no UTF-8 text: save it as plain UTF-8") from None


def _refusal(path: Path | str, message: str, near: str | None = None) -> FileError:
    return FileError((Mistake(file=str(path), key="", message=message, nearest=near),))


def _sibling(path: Path) -> str | None:
    try:
        names = [each.name for each in path.parent.iterdir()]
    except (OSError, ValueError):
        return None
    return next(iter(get_close_matches(path.name, names, n=1)), None)


# --- the job ----------------------------------------------------------------------------------


def read_job(text: str, path: str, kinds: Mapping[str, Kind]) -> Job:
    """The job in a text; `path` is where it came from, for messages and for names.

    Raises FileError with every mistake, in the file's order as best can be.
    """
    ledger = Ledger(path)
    tables = _part_tables(read_toml(text, path), ledger)
    names = _default_names(path, len(tables))
    read = [
        _read_part(table, name, kinds, ledger) for table, name in zip(tables, names, strict=True)
    ]
    parts = tuple(part for part in read if part is not None)
    _refuse_shared_names(parts, ledger)
    if ledger.mistakes:
        raise FileError(tuple(ledger.mistakes))
    return Job(path, parts)


def _part_tables(raw: dict[str, Any], ledger: Ledger) -> list[Table]:
    """A table for each part, the shared keys among its own."""
    if "part" not in raw:
        return [Table.of("", raw)]
    rows = raw["part"]
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        ledger.refuse(
            "part", "each part stands under [[part]], in double brackets", Given("", rows)
        )
        return []
    if not 0 < len(rows) <= MOST_PARTS:
        ledger.refuse("part", f"{len(rows)} parts given; allowed: 1 to {MOST_PARTS}")
        return []
    shared = _shared(Table.of("", {k: v for k, v in raw.items() if k != "part"}), ledger)
    own = [Table.of(f"part[{i}]", row) for i, row in enumerate(rows, 1)]
    return [Table(table.key, {**shared, **table.entries}) for table in own]


def _shared(top: Table, ledger: Ledger) -> dict[str, Given]:
    shareable = [name for name in _COMMON if name not in _OWN_ONLY]
    for name, given in top.entries.items():
        if name not in shareable:
            message = "no key for all parts at once; it belongs under a [[part]]"
            ledger.refuse_name(given, name, message, shareable)
    return {name: given for name, given in top.entries.items() if name in shareable}


def _default_names(path: str, count: int) -> list[str]:
    stem = _UNSAFE.sub("-", Path(path).stem).strip("-_")[:50] or "part"
    return [stem] if count == 1 else [f"{stem}-{i}" for i in range(1, count + 1)]


def _refuse_shared_names(parts: tuple[Part, ...], ledger: Ledger) -> None:
    seen: dict[str, Part] = {}
    for part in parts:
        other = seen.setdefault(part.name.lower(), part)
        if other is not part:
            message = f"{other.at} has this name too; outputs would overwrite each other"
            ledger.refuse(f"{part.at}.name", message, Given("", part.name))


# --- one part ---------------------------------------------------------------------------------


def _read_part(
    table: Table, default_name: str, kinds: Mapping[str, Kind], ledger: Ledger
) -> Part | None:
    unit = _unit(table)
    kind = _kind(table, kinds, ledger)
    own = {} if kind is None else dict(fields_of(kind.measurements))
    fields = _COMMON | _EXTRAS | own
    inner = Ledger(ledger.file, unit or "in", unit is not None, frozenset(fields), ledger.mistakes)
    values = read_fields(fields, table if kind else _only_common(table), inner)
    common, extras = build(Common, values, table, inner), build(Extras, values, table, inner)
    if kind is None or unit is None:
        return None
    measurements = build(kind.measurements, values, table, inner)
    if FAILED in (common, extras, measurements) or ledger.mistakes:
        return None
    part = _part(common, kind, measurements, unit, common.name or default_name, table.key)
    return replace(part, extras=extras)


def _part(
    common: Common, kind: Kind, measurements: Any, unit: Unit, name: str, at: str
) -> Part:  # fmt: skip
    stock = common.stock.plate
    return Part(
        name=name,
        kind=kind,
        measurements=measurements,
        stock=stock,
        bend=common.bend.bend_way(stock.thickness),
        hand=common.hand,
        quantity=common.quantity,
        unit=unit,
        note=common.note or "",
        common=common,
        at=at,
    )


def _unit(table: Table) -> Unit | None:
    """The part's unit, None when it does not say; the reading of its fields tells of that."""
    given = table.entries.get("units")
    units: Iterator[Unit] = iter(("in", "mm"))
    return next((unit for unit in units if given and given.value == unit), None)


def _kind(table: Table, kinds: Mapping[str, Kind], ledger: Ledger) -> Kind | None:
    given = table.entries.get("kind")
    name = read_given(_COMMON["kind"], given, Ledger("")) if given else FAILED
    if name in kinds:
        return kinds[name]
    if given and name is not FAILED:
        known = ", ".join(f'"{kind}"' for kind in kinds)
        ledger.refuse(given.key, f"no such kind of bracket. Allowed: {known}", given, kinds)
    return None


def _only_common(table: Table) -> Table:
    """The table without the keys of its kind, which cannot be told while the kind is unknown."""
    known = _COMMON | _EXTRAS
    return Table(table.key, {n: g for n, g in table.entries.items() if n in known})
