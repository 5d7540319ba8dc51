"""The example of a kind that shows the most: its starter file with as much opened as agrees."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.errors import PlatewrightError
from platewright.files.job import Part
from platewright.files.reader import read_job
from platewright.files.starter import own_starter
from platewright.kinds.kind import Kind
from platewright.measure import fields_of
from platewright.plate.blank import blank_of
from platewright.units import Unit

_PATH = "example.toml"


def example(kind: Kind, unit: Unit) -> Part | None:
    """The part that the starter file describes, its optional keys opened one after another.

    A key stays shut when the rest would no longer make a bracket. None when the starter file's
    own values make none.
    """
    opened: frozenset[str] = frozenset()
    part = _made(kind, unit, opened)
    for key in _optional_keys(kind.measurements):
        fuller = _made(kind, unit, opened | {key})
        if part is not None and fuller is not None:
            part, opened = fuller, opened | {key}
    return part


def _made(kind: Kind, unit: Unit, opened: frozenset[str]) -> Part | None:
    try:
        (part,) = read_job(own_starter(kind, unit, opened), _PATH, {kind.name: kind}).parts
        blank_of(part.bracket)
    except PlatewrightError:
        return None
    return part


def _optional_keys(declared: type, before: str = "") -> Iterator[str]:
    """Keys that a file may leave out, tables before what is in them, as the starter names them."""
    for name, measure in fields_of(declared):
        key = before + name
        if measure.optional or measure.quantity == "rows":
            yield key
        if measure.inside is not None:
            mark = "[]." if measure.quantity == "rows" else "."
            yield from _optional_keys(measure.inside, key + mark)
