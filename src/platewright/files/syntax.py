"""From text to a table as TOML has it, and words for what TOML will not have."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from platewright.errors import FileError, Mistake, UnitError
from platewright.files.given import printable

MOST_NAMES = 12
"""No key of honest work joins so many names by dots."""

_NAME = r"""(?:[\w-]++|"(?:[^"\\\n]|\\.)*+"|'[^'\n]*+')"""
#: Long strings and remarks, in which dots mean nothing; keys of too many names; any other name.
_TOKENS = re.compile(
    r'"""(?:[^"\\]|\\.|"(?!""))*+(?:"""|\Z)'
    r"|'''(?:[^']|'(?!''))*+(?:'''|\Z)|#[^\n]*+"
    rf"|(?P<deep>(?:{_NAME}[ \t]*+\.[ \t]*+){{{MOST_NAMES},}}+)|{_NAME}",
    re.DOTALL,
)
_PLACE = re.compile(r"\(at line (\d+), column \d+")
_THERE_ALREADY = ("Cannot overwrite", "Cannot declare", "Cannot mutate", "Duplicate")
_VALUE = r"^[^=\"']*=\s*"
#: What a line that TOML refuses often means, and what to write instead.
_ADVICE = (
    (
        re.compile(_VALUE + r"(?:[“”„‟‘’‚‛«»]|\"[^\"]*[“”„‟]\s*(?:#.*)?$)"),
        'the quotes are curly, as a word processor makes them: write straight ones, "',
    ),
    (
        re.compile(_VALUE + r'"[^"]*\\'),
        "a backslash has a meaning of its own in quotes: write / between the folders of a path",
    ),
    (
        re.compile(_VALUE + r"[-.\d½¼¾⅛⅜⅝⅞][^\"\[\]{}]*[a-zA-Z/'\"½¼¾⅛⅜⅝⅞′″ ][^#]*"),
        'a length with a fraction or a unit stands in quotes, as in "3 3/16"',
    ),
    (
        re.compile(_VALUE + r'"[^"]*""'),
        'an inch mark ends the quotes: leave it out, or put in for it, as in "1/2 in"',
    ),
    (re.compile(_VALUE + r"[a-zA-Z]"), "words stand in quotes"),
    (
        re.compile(r'[^"#]*(?:"[^"]*"[^"#]*)*"[^"]*$'),
        "a quote is missing: quotes stand before and behind",
    ),
)


def read_toml(text: str, file: str) -> dict[str, Any]:
    """The file's table. Raises FileError with line and column where it is not TOML."""
    try:
        _require_shallow(text)
        return tomllib.loads(text.removeprefix("\ufeff"))
    except RecursionError:
        reason = "nested too deeply"
    except UnitError as error:
        reason = str(error)
    except tomllib.TOMLDecodeError as error:
        placed = printable(str(error)).replace("(at end of document)", _end(text))
        reason = placed + (_twice(text, placed) or _advice(text, placed))
    except ValueError:  # the language's own limit on the digits of a number
        reason = "a number has far too many digits"
    raise FileError((Mistake(file=file, key="", message=f"not readable as TOML: {reason}"),))


def _require_shallow(text: str) -> None:
    """A key of very many names would fill the memory. Raises UnitError with its line."""
    deep = next((found for found in _TOKENS.finditer(text) if found["deep"]), None)
    if deep:
        line = text.count("\n", 0, deep.start()) + 1
        raise UnitError(f"line {line} joins more than {MOST_NAMES} names by dots")


def _end(text: str) -> str:
    lines = text.split("\n")
    return f"(at line {len(lines)}, column {len(lines[-1]) + 1}, the end of the file)"


def _twice(text: str, reason: str) -> str:
    """What it means that a value or a table is there already."""
    line = _line(text, reason)
    if not line or not reason.startswith(_THERE_ALREADY):
        return ""
    return f"; the same key or [table] stands twice in the file: {printable(line)}"


def _advice(text: str, reason: str) -> str:
    line = _line(text, reason)
    words = next((words for pattern, words in _ADVICE if pattern.match(line)), None)
    return f"; {words}: {printable(line)}" if words else ""


def _line(text: str, reason: str) -> str:
    """The line that a reason speaks of, "" when there is none."""
    place = _PLACE.search(reason)
    lines = text.split("\n")
    if not place or int(place[1]) > len(lines):
        return ""
    return lines[int(place[1]) - 1].strip()[:80]
