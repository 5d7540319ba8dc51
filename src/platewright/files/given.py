"""What a file gives: values that know their place, and the list of what is wrong with them."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import field
from difflib import get_close_matches
from typing import Any

from platewright.errors import Mistake
from platewright.measurement import Measure
from platewright.units import Unit
from platewright.values import dataclass

MOST_MISTAKES = 200
"""No file of honest work has more; what comes after them is not looked at."""

_LONGEST_SHOWN = 60
_LARGEST_SHOWN = 10**30


@dataclass(frozen=True, slots=True)
class Given:
    """A value and the dotted key where it stands in the file."""

    key: str
    value: Any


@dataclass(frozen=True, slots=True)
class KeyTable:
    """A table of given values; `key` is where it stands, "" for the whole file."""

    key: str
    entries: Mapping[str, Given]

    @classmethod
    def of(cls, key: str, raw: Mapping[str, Any]) -> KeyTable:
        """A table as TOML has it."""
        return cls(key, {name: Given(_below(key, name), value) for name, value in raw.items()})

    def below(self, name: str) -> str:
        """The dotted key of a name in this table."""
        given = self.entries.get(name.partition(".")[0])
        rest = name.partition(".")[2]
        if given is None:
            return _below(self.key, name)
        return f"{given.key}.{rest}" if rest else given.key


def _below(key: str, name: str) -> str:
    fits = name.isprintable() and name == name.strip() and 0 < len(name) <= _LONGEST_SHOWN
    plain = name if fits else shown(name)
    return f"{key}.{plain}" if key else plain


@dataclass(frozen=True, slots=True)
class Ledger:
    """Where mistakes are written down: the file, the unit of its numbers, what was found so far.

    `unit_known` is False when the file does not say its unit: lengths cannot be judged then.
    `top` are the file's keys and tables, as declared.
    """

    file: str
    unit: Unit = "in"
    unit_known: bool = True
    top: Mapping[str, Measure] = field(default_factory=dict)
    mistakes: list[Mistake] = field(default_factory=list)

    def refuse(
        self, key: str, message: str, given: Given | None = None, near: Iterable[str] = ()
    ) -> None:
        """Write a mistake down once; `near` are the words that may have been meant."""
        if self.full:
            return
        word = given.value if given is not None else ""
        mistake = Mistake(
            file=self.file,
            key=key,
            message=message,
            given=None if given is None else shown(given.value),
            nearest=nearest(word, near) if isinstance(word, str) else None,
        )
        self.note(mistake)

    def refuse_name(self, given: Given, name: str, message: str, near: Iterable[str]) -> None:
        """Write down a key that should not be there."""
        if self.full:
            return
        self.note(
            Mistake(
                file=self.file,
                key=given.key,
                message=message,
                given=shown(given.value),
                nearest=nearest(name, near),
            )
        )

    def note(self, mistake: Mistake) -> None:
        """Write a mistake down, unless it stands there already or there are too many to read."""
        if self.full or mistake in self.mistakes:
            return
        self.mistakes.append(mistake)
        if len(self.mistakes) == MOST_MISTAKES:
            words = f"more than {MOST_MISTAKES} mistakes: the rest is not looked at"
            self.mistakes.append(Mistake(file=self.file, key="", message=words))

    @property
    def full(self) -> bool:
        """Whether there are so many mistakes that no more are written down."""
        return len(self.mistakes) >= MOST_MISTAKES


def nearest(word: str, words: Iterable[str], alike: float = 0.6) -> str | None:
    """The one of some words that may have been meant, None when none is so far `alike` (0 to 1)."""
    by_small, small = {known.lower(): known for known in words}, word[:_LONGEST_SHOWN].lower()
    found = get_close_matches(small.replace("-", "_"), by_small, n=1, cutoff=alike)
    found = found or get_close_matches(small, by_small, n=1, cutoff=alike)
    return by_small[found[0]] if found else None


def shown(value: Any) -> str:
    """A given value in a few words, on one line."""
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        short = value if len(value) <= _LONGEST_SHOWN else value[: _LONGEST_SHOWN - 3] + "..."
        return f'"{printable(short)}"'
    if isinstance(value, int) and abs(value) > _LARGEST_SHOWN:
        return "an endless number"
    return str(value)


def printable(text: str) -> str:
    """The text with whatever cannot be printed spelled out, so that it stays on one line."""
    return "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in text)


def sort_of(value: Any) -> str:
    """What sort of thing a given value is, in words."""
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, datetime.date | datetime.time):
        return "a date or a time"
    return "a single value"
