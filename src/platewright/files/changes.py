"""Which measurements changed between two parts, in words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import zip_longest
from typing import Any

from platewright.files.job import Part
from platewright.measure import fields_of
from platewright.measurement import Measure
from platewright.units import Unit, format_angle, format_length
from platewright.values import dataclass

NOTHING = "not given"
"""What stands for a value that is not there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One measurement that changed: its dotted key, its label, both values in words."""

    key: str
    label: str
    old: str
    new: str
    fit_critical: bool


def changes(old: Part, new: Part) -> tuple[Change, ...]:
    """The measurements that changed, lengths in the new part's unit; a shop's figure says so.

    Those of the kind, unless the kinds differ, then the sections that every kind shares, then what
    the files add to any kind.
    """
    unit = new.unit
    found: list[Change] = []
    if old.kind.name == new.kind.name:
        found += _of(old.measurements, new.measurements, "", unit)
    found += _of(old.common, new.common, "", unit)
    found += _of(old.extras, new.extras, "", unit)
    return tuple(
        replace(
            change, old=change.old + _lent(old, change.key), new=change.new + _lent(new, change.key)
        )
        for change in found
        if change.key not in ("name", "units", "note")
    )


def _lent(part: Part, key: str) -> str:
    """Whose figure it is, where it is not the file's own."""
    lent = (f" ({f.source_words})" for f in part.figures if f.key == key and f.source == "shop")
    return next(lent, "")


def _of(old: Any, new: Any, before: str, unit: Unit) -> Iterator[Change]:
    """The changes between two values of one declared class."""
    for name, measure in fields_of((old if new is None else new).__class__):
        one, other = (getattr(value, name, None) for value in (old, new))
        yield from _between(one, other, before + name, measure, unit)


def _between(old: Any, new: Any, key: str, measure: Measure, unit: Unit) -> Iterator[Change]:
    if old == new:
        return
    if measure.quantity == "rows":
        for number, (one, other) in enumerate(zip_longest(old or (), new or ()), 1):
            yield from _table(one, other, f"{key}[{number}]", measure, unit)
    elif measure.inside is not None:
        yield from _table(old, new, key, measure, unit)
    else:
        yield Change(
            key=key,
            label=measure.label,
            old=_words(old, measure, unit),
            new=_words(new, measure, unit),
            fit_critical=measure.fit_critical,
        )


def _table(old: Any, new: Any, key: str, measure: Measure, unit: Unit) -> Iterator[Change]:
    """A table or a row: there or not, and what changed inside it; a row that is new in one line."""
    whole = measure.quantity == "rows"
    if old is None or new is None:
        there = [
            NOTHING if each is None else (whole and _row_words(each, unit)) or "given"
            for each in (old, new)
        ]
        yield Change(key=key, label=measure.label, old=there[0], new=there[1], fit_critical=False)
        if whole:
            return
    if old != new:
        yield from _of(old, new, key + ".", unit)


def _row_words(row: Any, unit: Unit) -> str:
    """What a row says beyond its defaults."""
    found: list[str] = []
    for name, measure in fields_of(row.__class__):
        value = getattr(row, name)
        usual = None if measure.default is None else measure.value(measure.default, unit)
        if value in (None, (), usual):
            continue
        if measure.inside is None:
            found.append(f"{measure.label} {_words(value, measure, unit)}")
        else:
            inner = value if measure.quantity == "rows" else (value,)
            found.append(f"{measure.label} {', '.join(f'({_row_words(v, unit)})' for v in inner)}")
    return "; ".join(found)


def _words(value: Any, measure: Measure, unit: Unit) -> str:
    """A value in words."""
    if value is None:
        return NOTHING
    match measure.quantity:
        case "length":
            return format_length(value, unit)
        case "angle":
            return format_angle(value)
        case "lengths":
            return ", ".join(format_length(each, unit) for each in value)
        case "pairs":
            return " ".join(
                f"[{format_length(x, unit)}, {format_length(y, unit)}]" for x, y in value
            )
        case "flag":
            return "true" if value else "false"
        case _:
            # A value of its own class by the words that it has for itself
            for name in ("designation", "label", "words", "name"):
                words = getattr(value, name, None)
                if isinstance(words, str):
                    return words
            return f"{value:g}" if isinstance(value, float) else str(value)
