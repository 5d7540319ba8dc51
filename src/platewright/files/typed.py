"""What a file says, as it was typed; and the fingerprint of it, which tells old paper from new."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from platewright.files.given import KeyTable
from platewright.measure import fields_of
from platewright.measurement import Measure
from platewright.values import dataclass

_LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # none that looks like another
_LENGTH = 6

RELEASE = "0.1.0"
"""The release that fingerprints are of; a test keeps it equal to the package's version."""


@dataclass(frozen=True, slots=True)
class Typed:
    """One value of a file: its dotted key, its label (the key, where it has none), its words."""

    key: str
    label: str
    words: str


def typed_in(table: KeyTable, fields: Mapping[str, Measure]) -> tuple[Typed, ...]:
    """Every value of a part's table, in the file's order; `fields` declare its keys."""
    raw = {name: given.value for name, given in table.entries.items()}
    return tuple(_typed(raw, "", fields))


def _typed(table: Mapping[str, Any], before: str, fields: Mapping[str, Measure]) -> Iterator[Typed]:
    for name, value in table.items():
        key, measure = before + name, fields.get(name)
        inside = dict(fields_of(measure.inside)) if measure and measure.inside else {}
        if isinstance(value, Mapping):
            yield from _typed(value, f"{key}.", inside)
        elif isinstance(value, list) and value and all(isinstance(row, Mapping) for row in value):
            for number, row in enumerate(value, 1):
                yield from _typed(row, f"{key}[{number}].", inside)
        else:
            yield Typed(key, measure.label if measure else name, _words(value))


def _words(value: Any) -> str:
    """A value without its quotes, a list in one line."""
    if isinstance(value, list):
        return f"[{', '.join(map(_words, value))}]"
    return value if isinstance(value, str) else json.dumps(value, default=str)


def fingerprint(told: Iterable[str]) -> str:
    """A short sign of some words and of this release: "K7M-2QX".

    The order of the words does not matter. One in a thousand million others is the same.
    """
    text = "\n".join((RELEASE, *sorted(told)))
    number = int.from_bytes(hashlib.sha256(text.encode()).digest(), "big")
    letters = "".join(_LETTERS[number >> 5 * place & 31] for place in range(_LENGTH))
    return f"{letters[:3]}-{letters[3:]}"
