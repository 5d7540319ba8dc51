"""The edge where files are read: from a path to a table of TOML, or words for what is none."""

from __future__ import annotations

import re
import tomllib
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from platewright.errors import FileError
from platewright.files.given import printable

#: No job file of honest work comes near this size, in bytes.
LARGEST_FILE = 500_000
MOST_NAMES = 12
"""No key of honest work joins so many names by dots."""

_NAME = r"""(?:[\w-]++|"(?:[^"\\\n]|\\[^\n])*+"|'[^'\n]*+')"""
#: Long strings and remarks, in which dots mean nothing; keys of too many names; any other name;
#: a quote that its line does not end, which is passed with the line, so that each is read once.
_TOKENS = (
    r'(?s)"""(?:[^"\\]|\\.|"(?!""))*+(?:"""|\Z)'
    r"|'''(?:[^']|'(?!''))*+(?:'''|\Z)|#[^\n]*+"
    rf"|(?P<deep>(?:{_NAME}[ \t]*+\.[ \t]*+){{{MOST_NAMES},}}+)|{_NAME}"
    r"|[\"'][^\n]*+"
)
_PLACE = r"\(at line (\d+), column \d+"
_THERE_ALREADY = ("Cannot overwrite", "Cannot declare", "Cannot mutate", "Duplicate")
_VALUE = r"^(?:\s*\"[^\"]*\"\s*|[^=\"']*)=\s*"
#: What a line that TOML refuses often means, and what to write instead; compiled when needed.
_ADVICE = (
    (
        _VALUE + r"(?:[“”„‟‘’‚‛«»]|\"[^\"]*[“”„‟]\s*(?:#.*)?$)",
        'the quotes are curly, as a word processor makes them: write straight ones, "',
    ),
    (
        _VALUE + r'"[^"]*\\',
        "a backslash has a meaning of its own in quotes: write / between the folders of a path",
    ),
    (
        _VALUE + r"[-.\d½¼¾⅛⅜⅝⅞][^\"\[\]{}]*[a-zA-Z/'\"½¼¾⅛⅜⅝⅞′″ ][^#]*",
        'a length with a fraction or a unit stands in quotes, as in "3 3/16"',
    ),
    (
        _VALUE + r'"[^"]*""',
        'an inch mark ends the quotes: leave it out, or put in for it, as in "1/2 in"',
    ),
    (_VALUE + r"[a-zA-Z]", "words stand in quotes"),
    (
        r'[^"#]*(?:"[^"]*"[^"#]*)*"[^"]*$',
        "a quote is missing: quotes stand before and behind",
    ),
)


# --- from a path to text ----------------------------------------------------------------------


def read_text(path: Path | str) -> str:
    """The text of a file. Raises FileError where there is none to be had."""
    place = Path(path)
    try:
        if place.is_dir():
            raise FileError.of(path, "this is a folder, not a file")
        if place.exists() and not place.is_file():
            raise FileError.of(path, "this is a device, not a file")
        with place.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        if place.is_symlink():
            raise FileError.of(path, "a link to a file that is not there") from None
        raise FileError.of(path, "no such file", nearest=_sibling(place)) from None
    except PermissionError:
        raise FileError.of(path, "you may not read this file") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise FileError.of(path, f"cannot be read: {reason}") from None
    if len(data) > LARGEST_FILE:
        raise FileError.of(path, f"larger than {LARGEST_FILE // 1000} kB: no job file")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise FileError.of(path, f"line {line} is no UTF-8 text: save it as plain UTF-8") from None


def _sibling(path: Path) -> str | None:
    """A file beside a path, with a name that is near; the ending alone makes none near."""
    try:
        names = {each.stem: each.name for each in path.parent.iterdir()}
    except (OSError, ValueError):
        return None
    return next((names[stem] for stem in get_close_matches(path.stem, names, n=1)), None)


# --- from text to a table ---------------------------------------------------------------------


def read_toml(text: str, file: str) -> dict[str, Any]:
    """The file's table. Raises FileError with line and column where it is not TOML."""
    # a key of very many names would fill the memory
    dotted = any(line.count(".") >= MOST_NAMES for line in text.split("\n"))
    tokens = re.finditer(_TOKENS, text) if dotted else ()
    deep = next((found for found in tokens if found["deep"]), None)
    if deep:
        line = text.count("\n", 0, deep.start()) + 1
        words = f"line {line} joins more than {MOST_NAMES} names by dots"
        raise FileError.of(file, f"not readable as TOML: {words}")
    try:
        return tomllib.loads(text.removeprefix("\ufeff"))
    except RecursionError:
        reason = "nested too deeply"
    except tomllib.TOMLDecodeError as error:
        lines = text.split("\n")
        end = f"(at line {len(lines)}, column {len(lines[-1]) + 1}, the end of the file)"
        placed = printable(str(error)).replace("(at end of document)", end)
        reason = placed + _advice(text, placed)
    except ValueError:  # the language's own limit on the digits of a number
        reason = "a number has far too many digits"
    raise FileError.of(file, f"not readable as TOML: {reason}")


def _advice(text: str, reason: str) -> str:
    """What it means that a value or a table is there already; what a line may be meant as."""
    line = _line(text, reason)
    if line and reason.startswith(_THERE_ALREADY):
        return f"; the same key or [table] stands twice in the file: {printable(line)}"
    words = next((words for pattern, words in _ADVICE if re.match(pattern, line)), None)
    return f"; {words}: {printable(line)}" if words else ""


def _line(text: str, reason: str) -> str:
    """The line that a reason speaks of, "" when there is none."""
    place = re.search(_PLACE, reason)
    lines = text.split("\n")
    if not place or int(place[1]) > len(lines):
        return ""
    return lines[int(place[1]) - 1].strip()[:80]
