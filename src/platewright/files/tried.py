"""Values tried in place of those that a file has: `wall_gap=1 1/8`, `hole[1].size=3/8`."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from copy import deepcopy
from typing import Any

from platewright.errors import FileError, Mistake
from platewright.files.given import shown

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
            raise _refusal(path, "--set", 'write KEY=VALUE, such as "left.reach=6 1/2"', each)
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
                raise _refusal(path, key, f"there is no row {place}; the file has {rows}")
            place -= 1
        elif not isinstance(table, dict):
            raise _refusal(path, key, f"{place} would stand in what is no table")
        if then is None:
            table[place] = value
        elif isinstance(table, dict):
            table = table.setdefault(place, [] if isinstance(then, int) else {})
        else:
            table = table[place]


def _value(text: str) -> Any:
    """A number, a yes or no, a list, or else words."""
    try:
        value = tomllib.loads(f"value = {text}")["value"]
    except (ValueError, RecursionError):
        return text
    return value if isinstance(value, bool | int | float | list | str) else text


def _refusal(path: str, key: str, message: str, given: str | None = None) -> FileError:
    told = None if given is None else shown(given)
    return FileError((Mistake(file=path, key=key, message=message, given=told),))
