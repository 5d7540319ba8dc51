"""Changing single values of a file's text, so that its remarks and its order stay (tomlkit's door).

A key that stands behind a # in the file, as a starter file has those that may be left out, is
opened where it stands; a value that is cleared goes behind a # again.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from copy import deepcopy
from functools import lru_cache
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Array, String
from tomlkit.items import Table as KitTable

from platewright.errors import FileError, UnitError
from platewright.files.source import LARGEST_FILE, read_toml
from platewright.measure import fields_of
from platewright.measurement import Measure

Step = str | int
Fields = Mapping[str, Measure]

_STEP = re.compile(r"""(?:([A-Za-z0-9_-]{1,60})|"([^"\\\n]{1,60})")((?:\[\d{1,4}\])*)(\.|\Z)""")
_HEAD = re.compile(r"^\s*(#\s?)?(\[\[?)\s*([\w.-]+)\s*\]\]?\s*(?:#.*)?$")
#: A value that stands on one line by itself.
_SINGLE = r"""(?:"(?:[^"\\\n]|\\.)*"|'[^'\n]*'|[\w.+-]+)"""
_LONGEST_VALUE = 5000
#: Quantities that a file has as words in quotes, whatever they look like.
_QUOTED = ("text", "choice", "custom", "length", "force", "pressure", "area", "speed")


def with_edits(
    text: str, edits: Iterable[Mapping[str, Any]], fields: Fields
) -> tuple[str, tuple[tuple[str, str], ...]]:
    """The text with each edit made in turn, and (key, message) of those that cannot be made.

    An edit is `{"key": K, "value": V}` (None takes the key out, and so does "" unless it says
    `"keep": True`), `{"add_row": K}`, with
    `"values"` if need be, or `{"remove_row": "K[2]"}`; keys as messages write them. `fields`
    declare the file's keys.
    """
    refused: list[tuple[str, str]] = []
    for edit in edits:
        key = str(
            next((edit[name] for name in ("key", "add_row", "remove_row") if name in edit), "")
        )
        try:
            text = _edited(text, edit, key, fields)
        except UnitError as error:
            refused.append((key, str(error)))
    return text, tuple(refused)


def steps_of(key: str) -> tuple[Step, ...]:
    """The names and row numbers, from 1, of a dotted key. Raises UnitError."""
    found: list[Step] = []
    at = 0
    while at < len(key) or not found:
        step = _STEP.match(key, at)
        if step is None or len(found) > 12:
            raise UnitError("no key of a file")
        found.append(step[1] or step[2])
        found.extend(int(number) for number in re.findall(r"\d+", step[3]))
        at = step.end()
    return tuple(found)


def _edited(text: str, edit: Mapping[str, Any], key: str, fields: Fields) -> str:
    *around, last = steps_of(key)
    try:
        raw = read_toml(text, "")
    except FileError:
        raise UnitError("the text of this file is no TOML: set that right first") from None
    measure = _declared(fields, (*around, last))
    if "add_row" in edit:
        rows = {name: _toml_value(value, _declared(fields, (*around, last, name)))
                for name, value in dict(edit.get("values") or {}).items()}  # fmt: skip
        changed = _with_row(text, around, str(last), rows)
    elif "remove_row" in edit:
        changed = _without_row(text, around, last)
    elif (value := edit.get("value")) is None or (value == "" and not edit.get("keep")):
        changed = _without(text, raw, around, str(last))
    else:
        changed = _with_value(text, raw, around, last, value, measure)
    if len(changed) > LARGEST_FILE:
        raise UnitError("the file would be too large")
    return changed


def _declared(fields: Fields, steps: Sequence[Step]) -> Measure | None:
    measure: Measure | None = None
    own = steps[2:] if steps[0] == "part" and steps[1:2] and isinstance(steps[1], int) else steps
    for step in own:
        if isinstance(step, str):
            measure = fields.get(step)
            fields = dict(fields_of(measure.inside)) if measure and measure.inside else {}
    return measure


def _toml_value(value: Any, measure: Measure | None, before: Any = None) -> Any:
    """A value as a file has it: words in quotes, numbers bare where they were or are so always."""
    if isinstance(value, list):
        return [_toml_value(each, None) for each in value[:400]]
    if isinstance(value, bool | int | float):
        return value
    if isinstance(value, Mapping):
        return {str(name)[:60]: _toml_value(each, None) for name, each in value.items()}
    text = str(value).strip()
    if len(text) > _LONGEST_VALUE:
        raise UnitError("far too long")
    bare = measure is not None and measure.quantity not in _QUOTED
    if measure is None or not (bare or (isinstance(before, int | float) and text)):
        return text
    if measure.quantity in ("text", "choice"):
        return text
    try:
        read = tomllib.loads(f"value = {text}")
    except (ValueError, RecursionError):
        return text
    found = read.get("value")
    return found if len(read) == 1 and isinstance(found, bool | int | float | list) else text


# --- one value ----------------------------------------------------------------------------------


def _with_value(
    text: str,
    raw: dict[str, Any],
    around: Sequence[Step],
    last: Step,
    given: Any,
    measure: Measure | None,
) -> str:
    standing = _plain_at(raw, (*around, last))
    value = _toml_value(given, measure, standing)
    if standing == value and type(standing) is type(value):
        return text
    if standing is None and isinstance(last, int):
        raise UnitError(f"there is no row {last}")
    if isinstance(last, str):
        for way in (_opened, _added) if standing is None else (_replaced,):
            if (changed := way(text, raw, around, last, value)) is not None:
                return changed
    doc = _document(text)
    holder = _at(doc, around, make=True)
    if not hasattr(holder, "__setitem__"):
        raise UnitError("no place for a value")
    try:
        if isinstance(holder, Array):
            holder[int(_index(last))] = value
        else:
            holder[last] = _item(value)
        return _checked(doc)
    except (TOMLKitError, KeyError, IndexError, TypeError, ValueError) as error:
        raise UnitError("cannot be written here; change the text of the file") from error


def _item(value: Any) -> Any:
    if not isinstance(value, list) or not all(isinstance(each, list) for each in value):
        return value
    return tomlkit.array(_toml(value)) if not value else tomlkit.item(value)


def _without(text: str, raw: dict[str, Any], around: Sequence[Step], last: str) -> str:
    expected = deepcopy(raw)
    inside = _plain_at(expected, around)
    if not isinstance(inside, dict) or last not in inside:
        return text
    del inside[last]
    lines = text.split("\n")
    for number in _lines_of(text, around, closed=False):
        if re.match(rf"\s*{_key(last)}\s*=", lines[number]):
            shut = [*lines[:number], f"#{lines[number].lstrip()}", *lines[number + 1 :]]
            if _reads_as("\n".join(shut), expected):
                return "\n".join(shut)
    doc = _document(text)
    del _at(doc, around, make=False)[last]
    return _checked(doc)


# --- rows ---------------------------------------------------------------------------------------


def _with_row(text: str, around: Sequence[Step], name: str, values: Mapping[str, Any]) -> str:
    doc = _document(text)
    table = _at(doc, around, make=True)
    if not hasattr(table, "get"):
        raise UnitError("no place for a row")
    rows = table.get(name)
    inline = isinstance(rows, Array) or (rows is None and not isinstance(table, _TABLES))
    if rows is None and any(isinstance(step, int) for step in around):
        inline = inline or around[0] != "part" or len(around) > 2
    if inline:
        row: Any = tomlkit.inline_table()
        row.update(values)
        if rows is None:
            table[name] = tomlkit.array()
            rows = table[name]
        rows.append(row)
    else:
        row = tomlkit.table()
        row.update(values)
        if rows is None:
            rows = tomlkit.aot()
            rows.append(row)
            if isinstance(table, tomlkit.TOMLDocument) and not text.endswith("\n\n"):
                row.trivia.indent = "\n"
            table.append(name, rows)
        elif isinstance(rows, AoT):
            row.trivia.indent = "\n"
            rows.append(row)
        else:
            raise UnitError("rows stand in double brackets here; change the text of the file")
    return _checked(doc)


_TABLES = (KitTable, tomlkit.TOMLDocument)


def _without_row(text: str, around: Sequence[Step], number: Step) -> str:
    doc = _document(text)
    rows = _at(doc, around, make=False)
    if not isinstance(number, int) or not isinstance(rows, AoT | Array):
        raise UnitError("there is no such row")
    if not 1 <= number <= len(rows):
        raise UnitError(f"there is no row {number}")
    if len(rows) == 1:
        holder = _at(doc, around[:-1], make=False)
        del holder[around[-1]]
    else:
        del rows[number - 1]
    return _checked(doc)


# --- tables and lines ---------------------------------------------------------------------------


@lru_cache(maxsize=1)
def _parsed(text: str) -> list[tomlkit.TOMLDocument]:
    try:
        return [tomlkit.parse(text)]
    except (TOMLKitError, RecursionError, ValueError):
        raise UnitError("the text of this file is no TOML: set that right first") from None


def _document(text: str) -> tomlkit.TOMLDocument:
    """The document of a text, to change: the one that was made last is not read again."""
    return deepcopy(_parsed(text)[0])


def _checked(doc: tomlkit.TOMLDocument) -> str:
    text = tomlkit.dumps(doc)
    try:
        same = tomllib.loads(text) == doc.unwrap()
    except (ValueError, RecursionError):
        same = False
    if not same:
        raise UnitError("cannot be written here; change the text of the file")
    return text


def _index(step: Step) -> Step:
    return step - 1 if isinstance(step, int) else step


def _at(doc: Any, steps: Sequence[Step], *, make: bool) -> Any:
    """The table or list at a place; None where there is none and none is to be made."""
    place = doc
    for step in steps:
        if isinstance(step, int):
            if not isinstance(place, AoT | Array) or not 1 <= step <= len(place):
                raise UnitError(f"there is no row {step}")
            place = place[step - 1]
            continue
        if not hasattr(place, "get"):
            raise UnitError("would stand in what is no table")
        inside = place.get(step)
        if (inside is None or isinstance(inside, String)) and not make:
            return None
        if inside is None or isinstance(inside, String):
            inline = not isinstance(place, _TABLES)
            table: Any = tomlkit.inline_table() if inline else tomlkit.table()
            place[step] = table
            inside = place[step]
        place = inside
    return place


def _plain_at(raw: Any, steps: Sequence[Step]) -> Any:
    """What stands at a place of a file's table, None where nothing does."""
    for step in steps:
        if isinstance(step, int):
            found = isinstance(raw, list) and 1 <= step <= len(raw)
            raw = raw[step - 1] if found else None
        else:
            raw = raw.get(step) if isinstance(raw, dict) else None
    return raw


def _with_plain(raw: dict[str, Any], around: Sequence[Step], last: str, value: Any) -> Any:
    """A file's table with a value in its place, None where that cannot stand."""
    changed = deepcopy(raw)
    table: Any = changed
    for step in around:
        if isinstance(step, str) and isinstance(table, dict):
            table = table.setdefault(step, {})
        else:
            table = _plain_at(table, (step,))
    if not isinstance(table, dict):
        return None
    table[last] = value
    return changed


def _key(name: str) -> str:
    """What finds a key in a line."""
    quoted = re.escape(f'"{name}"')
    return f"(?:{quoted}|{re.escape(name)})" if re.fullmatch(r"[\w-]+", name) else quoted


def _written(name: str) -> str:
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else f'"{name}"'


def _replaced(
    text: str, raw: dict[str, Any], around: Sequence[Step], last: str, value: Any
) -> str | None:
    """The text with another value in the line of a key, None where it has no line of its own."""
    expected = _with_plain(raw, around, last, value)
    lines = text.split("\n")
    for number in _lines_of(text, around, closed=False):
        if found := re.match(rf"(\s*{_key(last)}\s*=\s*){_SINGLE}", lines[number]):
            lines[number] = f"{found[1]}{_toml(value)}{lines[number][found.end() :]}"
            changed = "\n".join(lines)
            return changed if _reads_as(changed, expected) else None
    return None


def _opened(
    text: str, raw: dict[str, Any], around: Sequence[Step], last: str, value: Any
) -> str | None:
    """The text with the key opened where it stands behind a #, None where it does not."""
    expected = _with_plain(raw, around, last, value)
    if expected is None:
        return None
    lines = text.split("\n")
    for closed in (False, True):
        for number in _lines_of(text, around, closed=closed):
            if not re.match(rf"\s*#\s?{_key(last)}\s*=", lines[number]):
                continue
            changed = list(lines)
            changed[number] = f"{_written(last)} = {_toml(value)}"
            if closed:
                head = max(n for n in range(number) if _HEAD.match(lines[n]))
                changed[head] = lines[head].replace("#", "", 1).lstrip()
            if _reads_as("\n".join(changed), expected):
                return "\n".join(changed)
    return None


def _added(
    text: str, raw: dict[str, Any], around: Sequence[Step], last: str, value: Any
) -> str | None:
    """The text with the key after the last one of its table, None where that cannot be."""
    expected = _with_plain(raw, around, last, value)
    lines, line = text.split("\n"), f"{_written(last)} = {_toml(value)}"
    own = list(_lines_of(text, around, closed=False))
    if own:
        told = [number for number in own if lines[number].strip() and lines[number][0] != "#"]
        after = told[-1] if told else own[0] - 1
        changed = "\n".join([*lines[: after + 1], line, *lines[after + 1 :]])
    elif len(around) == 1 and around[0] not in raw:
        changed = f"{text.rstrip()}\n\n[{around[0]}]\n{line}\n"
    else:
        return None
    return changed if expected is not None and _reads_as(changed, expected) else None


def _lines_of(text: str, around: Sequence[Step], *, closed: bool) -> Iterator[int]:
    """The numbers of the lines of a table, its own head left out; `closed`: one behind a #."""
    name = ".".join(str(step) for step in around if isinstance(step, str))
    wanted = [step for step in around if isinstance(step, int)]
    counts: dict[str, int] = {}
    inside = not around and not closed
    for number, line in enumerate(text.split("\n")):
        head = _HEAD.match(line)
        if head is None:
            if inside:
                yield number
            continue
        shut, brackets, key = head.groups()
        if not shut and brackets == "[[":
            counts[key] = counts.get(key, 0) + 1
            for below in [each for each in counts if each.startswith(f"{key}.")]:
                del counts[below]
        names = key.split(".")
        above = (".".join(names[: count + 1]) for count in range(len(names)))
        rows = [counts[each] for each in above if each in counts]
        inside = key == name and bool(shut) is closed and rows == wanted
        if closed and brackets == "[[":
            inside = False


def _reads_as(text: str, expected: Mapping[str, Any]) -> bool:
    try:
        return tomllib.loads(text) == expected
    except (ValueError, RecursionError):
        return False


def _toml(value: Any) -> str:
    return str(tomlkit.item(value).as_string())
