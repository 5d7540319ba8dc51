"""From text to a table as TOML has it, and words for what TOML will not have."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from platewright.errors import FileError, Mistake

_PLACE = re.compile(r"\(at line (\d+), column \d+")
#: A bare length with a fraction, a mark or a unit of its own.
_BARE_LENGTH = re.compile(r"^[^=\"']*=\s*[-.\d½¼¾⅛⅜⅝⅞][^\"\[\]{}]*[a-zA-Z/'\"½¼¾⅛⅜⅝⅞′″ ][^#]*")


def read_toml(text: str, file: str) -> dict[str, Any]:
    """The file's table. Raises FileError with line and column where it is not TOML."""
    try:
        return tomllib.loads(text.removeprefix("\ufeff"))
    except RecursionError:
        reason = "nested too deeply"
    except ValueError as error:  # TOMLDecodeError, and numbers of endless length
        placed = str(error).replace("(at end of document)", _end(text))
        reason = placed + _advice(text, placed)
    raise FileError((Mistake(file=file, key="", message=f"not readable as TOML: {reason}"),))


def _end(text: str) -> str:
    lines = text.split("\n")
    return f"(at line {len(lines)}, column {len(lines[-1]) + 1}, the end of the file)"


def _advice(text: str, reason: str) -> str:
    place = _PLACE.search(reason)
    lines = text.split("\n")
    if not place or int(place[1]) > len(lines):
        return ""
    line = lines[int(place[1]) - 1].strip()
    if _BARE_LENGTH.match(line):
        return f'; a length with a fraction or a unit stands in quotes, as in "3 3/16": {line[:80]}'
    return ""
