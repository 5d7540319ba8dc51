"""Job files: text in, values out, and every mistake told at once.

A job file is one part at top level, or several under `[[part]]`; then the shared keys at top level
(units, stock, bend and so on) serve every part that does not give its own. A part's own table
replaces the shared one whole.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from copy import deepcopy
from pathlib import Path
from typing import TYPE_CHECKING, Any

from platewright.errors import BuildError, FileError, Mistake
from platewright.files.declared import FAILED, read_given, read_together
from platewright.files.given import Given, KeyTable, Ledger, shown
from platewright.files.job import Job, Part
from platewright.files.sections import Common, name_from
from platewright.files.setup import Setups, no_setups, setups_beside
from platewright.files.shop_figures import borrowed, figures_of, told_with, with_borrowed
from platewright.files.shop_file import NO_SHOP, SHOP_TABLES, ShopFile, WhichShop, shop_for
from platewright.files.source import read_text, read_toml
from platewright.files.typed import typed_in
from platewright.kinds.kind import Kind
from platewright.kinds.making import Extras
from platewright.measure import fields_of

if TYPE_CHECKING:
    from platewright.suspension.mounting import Mounting


MOST_PARTS = 500

_COMMON = dict(fields_of(Common))
#: What a file may add to a part of any kind.
_EXTRAS = dict(fields_of(Extras))
#: What several parts may share; one name for all makes no sense.
_SHARED = [name for name in _COMMON if name != "name"]


# --- the edge ---------------------------------------------------------------------------------


def load_all(
    paths: Iterable[Path],
    setups: Iterable[Path] = (),
    tried: Sequence[str] = (),
    shop: WhichShop = "beside",
) -> tuple[Job, ...]:
    """Every job; the mistakes of all files are told together.

    `setups`, `tried` and `shop` are as for `load_job`.

    Raises FileError.
    """
    jobs: list[Job] = []
    mistakes: list[Mistake] = []
    for path in paths:
        try:
            jobs.append(load_job(path, setups=setups, tried=tried, shop=shop))
        except FileError as error:
            mistakes.extend(each for each in error.mistakes if each not in mistakes)
    if mistakes:
        raise FileError(tuple(mistakes))
    return tuple(jobs)


def load_job(
    path: Path | str,
    kinds: Mapping[str, Kind] | None = None,
    setups: Iterable[Path] = (),
    tried: Sequence[str] = (),
    shop: WhichShop = "beside",
) -> Job:
    """The job in a file. `kinds` are the kinds by name, all there are when not given.

    `setups` are setup files that it may name though they lie outside its folder; `tried` are other
    values, as KEY=VALUE; `shop` says whose figures serve where the file has none. Raises FileError
    with every mistake, also for a file that is missing or is no text.
    """
    if kinds is None:
        from platewright.kinds.kind import KindsOnDemand

        kinds = KindsOnDemand()
    beside = setups_beside(Path(path), setups)
    text = read_text(path)
    return read_job(text, str(path), kinds, beside, tried, shop_for(Path(path), shop))


# --- the job ----------------------------------------------------------------------------------


def read_job(
    text: str,
    path: str,
    kinds: Mapping[str, Kind],
    setups: Setups = no_setups,
    tried: Sequence[str] = (),
    shop: ShopFile = NO_SHOP,
) -> Job:
    """The job in a text; `path` is where it came from, for messages and for names.

    `setups` gives the travel of a setup file by the path that a part names it by; `tried` is as for
    `load_job`; `shop` has the figures that serve where the text has none. Raises FileError with
    every mistake, in the file's order as best can be.
    """
    raw = with_tried(read_toml(text, path), tried, path)
    if isinstance(raw.get("travel"), Mapping) and not {"kind", "part"} & raw.keys():
        words = (
            "this is the setup of a suspension, not a bracket file; `platewright travel` reads it"
        )
        raise FileError.of(path, words)
    if {"flat", "folded", "made_of"} & raw.keys() and "kind" not in raw:
        words = "this is a readings file: `platewright readings` reads it behind a bracket file"
        raise FileError.of(path, words)
    if SHOP_TABLES & raw.keys() and not {"kind", "part"} & raw.keys():
        words = "this is the shop's own figures, not a bracket file; name one that lies beside it"
        raise FileError.of(path, words)
    ledger = Ledger(path)
    tables = _part_tables(raw, ledger)
    stem, several = name_from(Path(path).stem, "part"), len(tables) > 1
    read = [
        _read_part(table, f"{stem}-{number}" if several else stem, kinds, setups, shop, ledger)
        for number, table in enumerate(tables, 1)
    ]
    parts = tuple(part for part in read if part is not None)
    _refuse_shared_names(parts, ledger)
    if ledger.mistakes:
        raise FileError(tuple(ledger.mistakes))
    return Job(path, parts)


def _part_tables(raw: dict[str, Any], ledger: Ledger) -> list[KeyTable]:
    """A table for each part, the shared keys among its own."""
    if "part" not in raw:
        return [KeyTable.of("", raw)]
    rows = raw["part"]
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        ledger.refuse(
            "part", "each part stands under [[part]], in double brackets", Given("", rows)
        )
        return []
    if not 0 < len(rows) <= MOST_PARTS:
        ledger.refuse("part", f"{len(rows)} parts given; allowed: 1 to {MOST_PARTS}")
        return []
    top = KeyTable.of("", {name: value for name, value in raw.items() if name != "part"}).entries
    for name in (each for each in top if each not in _SHARED):
        message = "no key for all parts at once; it belongs under a [[part]]"
        ledger.refuse_name(top[name], name, message, _SHARED)
    shared = {name: given for name, given in top.items() if name in _SHARED}
    own = [KeyTable.of(f"part[{number}]", row) for number, row in enumerate(rows, 1)]
    return [KeyTable(table.key, {**shared, **table.entries}) for table in own]


def _refuse_shared_names(parts: tuple[Part, ...], ledger: Ledger) -> None:
    seen: dict[str, Part] = {}
    for part in parts:
        hands = ("", "-left", "-right") if part.hand == "pair" else ("",)
        for name in (part.name.lower() + hand for hand in hands):
            other = seen.setdefault(name, part)
            if other is not part:
                message = f"{other.at} has this name too; outputs would overwrite each other"
                if name != part.name.lower() or name != other.name.lower():
                    message = f"{other.at} has a piece called {name} too; give another name"
                ledger.refuse(f"{part.at}.name", message, Given("", part.name))


# --- one part ---------------------------------------------------------------------------------


def _read_part(
    table: KeyTable,
    default_name: str,
    kinds: Mapping[str, Kind],
    setups: Setups,
    shop: ShopFile,
    ledger: Ledger,
) -> Part | None:
    kind = _kind(table, kinds, ledger)
    if kind is None:
        # the keys of its kind cannot be told while the kind is unknown
        own = {n: g for n, g in table.entries.items() if n in _COMMON | _EXTRAS}
        read_together((Common, Extras), KeyTable(table.key, own), ledger.file, ledger.mistakes)
        return None
    declared = (Common, Extras, kind.measurements)
    taken, before = borrowed(table, shop), len(ledger.mistakes)
    inner, found = read_together(
        declared, with_borrowed(table, taken), ledger.file, ledger.mistakes
    )
    ledger.mistakes[before:] = [told_with(m, taken, table) for m in ledger.mistakes[before:]]
    common, extras, measurements = found
    mounting = _mounting(kind, measurements, table, setups, inner)
    if FAILED in (common, extras, measurements) or ledger.mistakes:
        return None
    stock = common.stock.plate
    return Part(
        path=ledger.file,
        name=common.name or default_name,
        kind=kind,
        measurements=measurements,
        stock=stock,
        bend=common.bend.bend_way(stock.thickness),
        hand=common.hand,
        quantity=common.quantity,
        unit=inner.unit,
        note=common.note or "",
        common=common,
        extras=extras,
        at=table.key,
        shared=frozenset(n for n, g in table.entries.items() if g.key == n and table.key),
        mounting=mounting,
        typed=typed_in(table, inner.top),
        shop=shop,
        figures=tuple(figures_of(table, common, taken, inner.unit)),
    )


def _mounting(
    kind: Kind, measurements: Any, table: KeyTable, setups: Setups, ledger: Ledger
) -> Mounting | None:
    """The part in the travel of its suspension; the setup's own mistakes are told as the part's."""
    on = None if measurements is FAILED else kind.on_travel(measurements)
    if on is None:
        return None
    try:
        return on.mounting(setups(on.setup), ledger.unit)
    except FileError as error:
        for mistake in error.mistakes:
            ledger.refuse(table.below("travel"), f"in the setup file: {mistake}")
    except BuildError as error:
        ledger.refuse(table.below("travel"), f"with this mount in its place, {error.message}")
    return None


def _kind(table: KeyTable, kinds: Mapping[str, Kind], ledger: Ledger) -> Kind | None:
    given = table.entries.get("kind")
    name = read_given(_COMMON["kind"], given, Ledger("")) if given else FAILED
    if name in kinds:
        return kinds[name]
    if given and name is not FAILED:
        known = ", ".join(f'"{kind}"' for kind in kinds)
        ledger.refuse(given.key, f"no such kind of bracket. Allowed: {known}", given, kinds)
    return None


# --- values tried in place of those that a file has -------------------------------------------

_STEP = re.compile(r"([A-Za-z0-9_-]+)((?:\[\d+\])*)")


def with_tried(raw: dict[str, Any], tried: Iterable[str], path: str) -> dict[str, Any]:
    """The table of a file with other values in it; a table that is not there is begun.

    Each is KEY=VALUE: the key as messages write it, rows counted from 1; the value as it stands
    in a file, the quotes left out. Raises FileError for a key that leads nowhere.
    """
    changed = deepcopy(raw)
    for each in tried:
        key, equals, value = each.partition("=")
        steps = [_STEP.fullmatch(step.strip()) for step in key.split(".")]
        if not equals or not all(steps):
            words = 'write KEY=VALUE, such as "left.reach=6 1/2"'
            mistake = Mistake(file=path, key="--set", message=words, given=shown(each))
            raise FileError((mistake,))
        places: list[str | int] = []
        for step in steps:
            if step:
                places.append(step[1])
                places.extend(int(number) for number in re.findall(r"\d+", step[2]))
        _put(changed, places, _value(value.strip()), path, key.strip())
    return changed


def _put(table: Any, places: list[str | int], value: Any, path: str, key: str) -> None:
    for place, then in zip(places, [*places[1:], None], strict=True):
        if isinstance(place, int):
            if not isinstance(table, list) or not 1 <= place <= len(table):
                rows = len(table) if isinstance(table, list) else 0
                raise FileError.of(path, f"there is no row {place}; the file has {rows}", key)
            place -= 1
        elif not isinstance(table, dict):
            raise FileError.of(path, f"{place} would stand in what is no table", key)
        if then is None:
            table[place] = value
        elif isinstance(table, dict):
            table = table.setdefault(place, [] if isinstance(then, int) else {})
        else:
            table = table[place]


def _value(text: str) -> Any:
    """A number, a yes or no, a list, or else words."""
    try:
        value = read_toml(f"value = {text}", "")["value"]
    except FileError:
        return text
    return value if isinstance(value, bool | int | float | list | str) else text
