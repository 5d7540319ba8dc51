"""From text to a table as TOML has it, and words for what TOML will not have."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from platewright.errors import FileError, Mistake
from platewright.files.given import printable

_PLACE = re.compile(r"\(at line (\d+), column \d+")
_VALUE = r"^[^=\"']*=\s*"
#: What a line that TOML refuses often means, and what to write instead.
_ADVICE = (
    (
        re.compile(_VALUE + r"[-.\d½¼¾⅛⅜⅝⅞][^\"\[\]{}]*[a-zA-Z/'\"½¼¾⅛⅜⅝⅞′″ ][^#]*"),
        'a length with a fraction or a unit stands in quotes, as in "3 3/16"',
    ),
    (
        re.compile(_VALUE + r'"[^"]*""'),
        'an inch mark ends the quotes: leave it out, or put in for it, as in "1/2 in"',
    ),
    (re.compile(_VALUE + r"[a-zA-Z]"), "words stand in quotes"),
)


def read_toml(text: str, file: str) -> dict[str, Any]:
    """The file's table. Raises FileError with line and column where it is not TOML."""
    try:
        return tomllib.loads(text.removeprefix("\ufeff"))
    except RecursionError:
        reason = "nested too deeply"
    except ValueError as error:  # TOMLDecodeError, and numbers of endless length
        placed = printable(str(error)).replace("(at end of document)", _end(text))
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
    line = lines[int(place[1]) - 1].strip()[:80]
    words = next((words for pattern, words in _ADVICE if pattern.match(line)), None)
    return f"; {words}: {printable(line)}" if words else ""
