"""Given values to declared values, whatever class declares them; every mistake is written down."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from platewright.errors import Mistake, UnitError
from platewright.files.given import Given, KeyTable, Ledger, nearest, sort_of
from platewright.measure import fields_of
from platewright.measurement import Measure
from platewright.units import UNITS, Unit

#: Stands for a value that could not be had; the ledger says why.
FAILED: Any = object()

#: Quantities whose bare numbers mean nothing without the file's unit.
_NEED_UNIT = {"length", "lengths", "pairs", "custom"}


def read_declared(declared: type, table: KeyTable, ledger: Ledger) -> Any:
    """A value of the declared class from a table; FAILED when a field could not be had."""
    fields = dict(fields_of(declared))
    return build(declared, read_fields(fields, table, ledger), table, ledger)


def read_together(
    declared: Sequence[type], table: KeyTable, file: str, mistakes: list[Mistake]
) -> tuple[Ledger, tuple[Any, ...]]:
    """Values of declared classes whose keys stand side by side in a table, as `build` gives them.

    Bare numbers are in the unit that the table's own `units` names; the ledger tells it.
    """
    fields = {name: measure for each in declared for name, measure in fields_of(each)}
    unit = unit_in(table)
    ledger = Ledger(file, unit or "in", unit is not None, fields, mistakes)
    values = read_fields(fields, table, ledger)
    return ledger, tuple(build(each, values, table, ledger) for each in declared)


def unit_in(table: KeyTable) -> Unit | None:
    """The unit of bare numbers in a file, None where its table does not say."""
    given = table.entries.get("units")
    return next((unit for unit in UNITS if given is not None and given.value == unit), None)


def read_fields(fields: Mapping[str, Measure], table: KeyTable, ledger: Ledger) -> dict[str, Any]:
    """Values by field name, in the file's order; absent keys that have defaults are left out."""
    values = {}
    for name, given in table.entries.items():
        if name in fields:
            values[name] = read_given(fields[name], given, ledger)
        else:
            _refuse_unknown(name, given, fields, table, ledger)
    for name, measure in fields.items():
        if name not in table.entries:
            values.update(_absent(name, measure, table, ledger))
    return values


def build(declared: type, values: Mapping[str, Any], table: KeyTable, ledger: Ledger) -> Any:
    """A declared value from its fields' values; relations that fail are written down."""
    own = {name: values[name] for name, _ in fields_of(declared) if name in values}
    if any(value is FAILED for value in own.values()):
        return FAILED
    made = declared(**own)
    problems: Iterable[tuple[str, str]] = made.problems() if hasattr(made, "problems") else ()
    for name, message in problems:
        key = table.below(name) if name else table.key
        ledger.refuse(key, message, _given_at(table, name))
    return made


def _given_at(table: KeyTable, name: str) -> Given | None:
    first, _, rest = name.partition(".")
    given = table.entries.get(first)
    if given is None or not rest:
        return given
    inside = given.value if isinstance(given.value, Mapping) else {}
    return _given_at(KeyTable.of(given.key, inside), rest)


def _refuse_unknown(
    name: str, given: Given, fields: Mapping[str, Measure], table: KeyTable, ledger: Ledger
) -> None:
    if ledger.full:
        return  # looking for what may have been meant takes long
    known = list(dict.fromkeys(_homes(name, ledger.top)))
    around = [home for home in known if home == f"[[{table.key.partition('[')[0]}]]"]
    homes = (around or [home for home in known if not home.startswith("[[")] or known)[:_MOST_HOMES]
    if homes:
        message = f"no such key here; it belongs in {' or '.join(homes)}"
        lost = ". Does a # still stand before that head?" if table.key and not around else ""
        ledger.refuse_name(given, name, message + lost, ())
    elif table.key and name in ledger.top:
        ledger.refuse_name(given, name, "no such key here; it belongs above the first [table]", ())
    else:
        # the keys that forms and messages call by that word
        words = name.replace("_", " ")
        keys = [k for k, each in fields.items() if words in each.label.split("'")[0].split()]
        called = f"; the {fields[keys[0]].label} is {keys[0]}" if len(keys) == 1 else ""
        if not called and nearest(name, fields) is None:
            # where a key stands that is spelt much like a name that its table does not know
            meant = nearest(name, _keys(ledger.top), alike=0.75)
            homes = list(dict.fromkeys(_homes(meant, ledger.top)))[:_MOST_HOMES] if meant else []
            called = f" here; {meant} belongs in {' or '.join(homes)}" if homes else ""
        ledger.refuse_name(given, name, "no such key" + called, fields)


def _keys(fields: Mapping[str, Measure]) -> Iterator[str]:
    for name, measure in fields.items():
        yield name
        yield from _keys(dict(fields_of(measure.inside)) if measure.inside else {})


#: So many tables that know a key are named.
_MOST_HOMES = 4


def _homes(name: str, fields: Mapping[str, Measure], before: str = "") -> Iterator[str]:
    """The heads of all tables and rows of tables, below some fields, that know a key."""
    for key, measure in fields.items():
        if measure.inside is not None:
            inside = dict(fields_of(measure.inside))
            if name in inside:
                brackets = ("[", "]") if measure.quantity == "table" else ("[[", "]]")
                yield (before + key).join(brackets)
            yield from _homes(name, inside, f"{before}{key}.")


def _absent(name: str, measure: Measure, table: KeyTable, ledger: Ledger) -> dict[str, Any]:
    if measure.quantity == "table" and measure.inside is not None and not measure.optional:
        # its own keys are missing, one by one
        return {name: read_declared(measure.inside, KeyTable.of(table.below(name), {}), ledger)}
    if measure.required:
        how = measure.how[:1].lower() + measure.how[1:].removesuffix(".")
        ledger.refuse(table.below(name), f"missing: {how}{_allowed(measure, ledger)}")
        return {name: FAILED}
    if ledger.unit != "mm" or measure.default_mm is None:
        return {}  # the declared class fills its default in
    return {name: measure.value(measure.default_mm, ledger.unit)}


def _allowed(measure: Measure, ledger: Ledger, said: str = "") -> str:
    """What is allowed, in words, unless it is said already."""
    limits = measure.limits(ledger.unit)
    return f". Allowed: {limits}" if limits and limits not in said else ""


def read_given(measure: Measure, given: Given, ledger: Ledger) -> Any:
    """The value of one measurement; FAILED, and written down why, when it cannot be had."""
    if measure.quantity == "table":
        assert measure.inside is not None
        if measure.optional and given.value == "none":
            return None
        if isinstance(given.value, Mapping):
            return read_declared(measure.inside, KeyTable.of(given.key, given.value), ledger)
        none = ' or "none"' if measure.optional else ""
        ledger.refuse(given.key, f"should be a table, [{given.key}]{none}", given)
        return FAILED
    if measure.quantity == "rows":
        assert measure.inside is not None
        rows = given.value
        if not isinstance(rows, list) or not all(isinstance(row, Mapping) for row in rows):
            words = f"should be one or more tables, each under [[{given.key}]] in double brackets"
            ledger.refuse(given.key, words, given)
            return FAILED
        if not _right_number(measure, given, ledger):
            return FAILED
        inside = measure.inside
        return _all_or_failed(
            read_declared(inside, KeyTable.of(f"{given.key}[{i}]", row), ledger)
            for i, row in enumerate(rows, 1)
        )
    if measure.quantity in ("lengths", "pairs"):
        if not isinstance(given.value, list):
            what = "lengths" if measure.quantity == "lengths" else "pairs of lengths, [x, y]"
            ledger.refuse(given.key, f"should be a list of {what}, in brackets", given)
            return FAILED
        if not _right_number(measure, given, ledger):
            return FAILED
        one = replace(measure, quantity="length", minimum=None, maximum=None)
        each = _read_single if measure.quantity == "lengths" else _read_pair
        return _all_or_failed(
            each(one, Given(f"{given.key}[{i}]", value), ledger)
            for i, value in enumerate(given.value, 1)
        )
    return _read_single(measure, given, ledger)


def _read_single(measure: Measure, given: Given, ledger: Ledger) -> Any:
    if sort_of(given.value) != "a single value":
        message = f"should be a single value, not {sort_of(given.value)}"
        ledger.refuse(given.key, message + _allowed(measure, ledger), given)
        return FAILED
    try:
        return measure.value(given.value, ledger.unit)
    except UnitError as error:
        if ledger.unit_known or measure.quantity not in _NEED_UNIT:
            # a custom reader's own message says what is allowed
            also = "" if measure.quantity == "custom" else _allowed(measure, ledger, str(error))
            ledger.refuse(given.key, f"{error}{also}", given, measure.choices)
        return FAILED


def _right_number(measure: Measure, given: Given, ledger: Ledger) -> bool:
    low, high = measure.minimum or 0, measure.maximum
    if high is None or low <= len(given.value) <= high:
        return True
    words = f"{len(given.value)} given; allowed: {low:g} to {high:g}"
    ledger.refuse(given.key, words, None)
    return False


def _read_pair(one: Measure, given: Given, ledger: Ledger) -> Any:
    if not isinstance(given.value, list) or len(given.value) != 2:
        ledger.refuse(given.key, "should be a pair of lengths, [x, y]", given)
        return FAILED
    return _all_or_failed(
        _read_single(one, Given(given.key, value), ledger) for value in given.value
    )


def _all_or_failed(read: Iterable[Any]) -> Any:
    values = tuple(read)
    return FAILED if any(value is FAILED for value in values) else values
