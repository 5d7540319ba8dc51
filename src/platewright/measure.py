"""One declaration per measurement.

A bracket kind, and each common section of a bracket file, is a frozen keyword-only dataclass whose
fields are made by the functions here. The declaration drives the reader and its messages, the
starter file, the printed measuring form and the documents; nothing is described twice.

A declared class may have a method ``problems(self)`` that yields (key, message) pairs for values
that are each allowed and disagree together.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from itertools import chain, product
from itertools import count as counted
from string import ascii_uppercase
from typing import Any, Unpack

from platewright.errors import UnitError
from platewright.measurement import Measure, Quantity, Scalar, ToldNumber, ToldText
from platewright.quantities import (
    AREA,
    FORCE,
    PRESSURE,
    SPEED,
    Scale,
    format_quantity,
    parse_count,
    parse_factor,
    parse_quantity,
)
from platewright.units import Rounding, Unit, format_angle, format_length, parse_angle, parse_length

Problems = Iterator[tuple[str, str]]
"""What `problems` of a declared class yields: the key and the message of each."""

_LONGEST_WORDS = 200
_MOST_ROWS = 200


def _field(quantity: Quantity, label: str, how: str, **told: Any) -> Any:
    """The dataclass field that carries a measure; its default is the value that is read."""
    measure = Measure(quantity=quantity, label=label, how=how, **told)
    metadata = {"measure": measure}
    if measure.default is not None:
        # a declared default carries its own unit, so that either serves here
        default = measure.value(measure.default, "in")
        return dataclasses.field(default=default, metadata=metadata)
    if measure.optional:
        return dataclasses.field(default=None, metadata=metadata)
    if measure.fills_itself and measure.inside and quantity == "table":
        return dataclasses.field(default_factory=measure.inside, metadata=metadata)
    if measure.fills_itself:
        return dataclasses.field(default=(), metadata=metadata)
    return dataclasses.field(metadata=metadata)


# --- single values ----------------------------------------------------------------------------
#
# What is allowed stands as messages tell it: "1/4 in to 72 in", "at least 1/2 in", "at most 20 N".
# A label that is left out is the key in words.


def _limits(within: str, read: Callable[[str], float]) -> tuple[float | None, float | None]:
    if within.startswith("at least "):
        return read(within.removeprefix("at least ")), None
    if within.startswith("at most "):
        return None, read(within.removeprefix("at most "))
    if not within:
        return None, None
    low, high = within.split(" to ")
    return read(low), read(high)


def length(
    how: str, within: str = "", *, label: str = "", negative: bool = False, **told: Unpack[ToldText]
) -> Any:
    """A length, mm. Limits and default carry their unit, such as "1/4 in"."""
    low, high = _limits(within, _own_unit)
    signed = negative or bool(low and low < 0)
    for default in (told.get("default"), told.get("default_mm")):
        if default:
            _own_unit(default)

    def read(given: Scalar, unit: Unit) -> float:
        return parse_length(given, unit, negative=signed)

    limits = {"minimum": low, "maximum": high}
    return _field("length", label, how, **limits, read=read, show=format_length, **told)


@cache
def _own_unit(text: str) -> float:
    """A declared length, mm. Raises ValueError when it would depend on the file's unit."""
    mm = parse_length(text, "in", negative=True)
    if mm and text[-1].isdigit():
        raise ValueError(f"a declared length needs its unit: {text!r}")
    return mm


def angle(
    how: str, within: str = "-360 to 360", *, label: str = "", **told: Unpack[ToldNumber]
) -> Any:
    """An angle, radians; declared, and in files, in degrees."""
    low, high = _limits(within, lambda limit: parse_angle(limit, negative=True))

    def read(given: Scalar, _: Unit) -> float:
        return parse_angle(given, negative=low is None or low < 0)

    def show(limit: float, _: Unit, rounding: Rounding) -> str:
        return format_angle(limit, 1, rounding)

    limits = {"minimum": low, "maximum": high}
    return _field("angle", label, how, **limits, read=read, show=show, **told)


def count(
    how: str, within: str = "at least 0", *, label: str = "", **told: Unpack[ToldNumber]
) -> Any:
    """A whole number."""
    low, high = _limits(within, int)
    limits = {"minimum": low or 0, "maximum": high}
    return _field("count", label, how, **limits, read=lambda given, _: parse_count(given), **told)


def factor(
    how: str, within: str = "at least 0", *, label: str = "", **told: Unpack[ToldNumber]
) -> Any:
    """A number without a unit."""
    low, high = _limits(within, float)
    limits = {"minimum": low or 0, "maximum": high}
    return _field("factor", label, how, **limits, read=lambda given, _: parse_factor(given), **told)


def _scaled(quantity: Quantity, scale: Scale) -> Callable[..., Any]:
    def read(given: Scalar, _: Unit) -> float:
        return parse_quantity(given, scale)

    def show(limit: float, unit: Unit, rounding: Rounding) -> str:
        return format_quantity(limit, scale, scale.shown[unit], rounding)

    def declare(how: str, within: str = "", *, label: str = "", **told: Unpack[ToldText]) -> Any:
        low, high = _limits(within, lambda limit: parse_quantity(limit, scale))
        limits = {"minimum": low, "maximum": high}
        return _field(quantity, label, how, **limits, read=read, show=show, **told)

    return declare


#: Quantities that carry their own unit: N, MPa, mm2, mm/min inside.
force = _scaled("force", FORCE)
pressure = _scaled("pressure", PRESSURE)
area = _scaled("area", AREA)
speed = _scaled("speed", SPEED)


def choice(how: str, choices: tuple[str, ...], *, label: str = "", **told: Unpack[ToldText]) -> Any:
    """One of some words."""

    def read(given: Scalar, _: Unit) -> str:
        words = _read_words(given)
        if words not in choices:
            raise UnitError("should be one of " + ", ".join(f'"{one}"' for one in choices))
        return words

    return _field("choice", label, how, choices=choices, read=read, **told)


def text(how: str, *, label: str = "", **told: Unpack[ToldText]) -> Any:
    """Free words on one line."""
    return _field("text", label, how, read=lambda given, _: _read_words(given), **told)


def _read_words(given: Scalar) -> str:
    if not isinstance(given, str):
        raise UnitError("should be words in quotes")
    words = " ".join(given.split())
    if len(words) > _LONGEST_WORDS or not words.isprintable():
        raise UnitError(f"should be at most {_LONGEST_WORDS} printable letters")
    return words


def flag(how: str, *, label: str = "", default: bool = False) -> Any:
    """A yes or no: true or false in files."""

    def read(given: Scalar, _: Unit) -> bool:
        if not isinstance(given, bool):
            raise UnitError("should be true or false, without quotes")
        return given

    return _field("flag", label, how, default=default, allowed="true or false", read=read)


def custom(
    how: str,
    *,
    read: Callable[[Any, Unit], Any],
    allowed: str,
    label: str = "",
    **told: Unpack[ToldText],
) -> Any:
    """A value with a reader of its own: `read(given, unit)` raises UnitError."""
    return _field("custom", label, how, read=read, allowed=allowed, **told)


# --- tables and lists -------------------------------------------------------------------------


def _not_alone(_given: Scalar, _unit: Unit) -> Any:
    raise UnitError("a table or list is no single value")


def table(how: str, inside: type, *, label: str = "", optional: bool = False) -> Any:
    """A table of declared measurements. Optional: None when absent or "none"."""
    fills_itself = not any(measure.required for _, measure in fields_of(inside))
    told = {"optional": optional, "fills_itself": fills_itself, "read": _not_alone}
    return _field("table", label, how, inside=inside, **told)


def rows(
    how: str, inside: type, within: str = "", *, label: str = "", again: tuple[str, ...] = ()
) -> Any:
    """Any number of like tables: a tuple of the declared class. `again` is in `Measure`."""
    return _list_field("rows", label, how, within, inside, again)


def lengths(how: str, within: str = "", *, label: str = "") -> Any:
    """A list of lengths, mm, each of either sign: a tuple of floats."""
    return _list_field("lengths", label, how, within)


def pairs(how: str, within: str = "", *, label: str = "") -> Any:
    """A list of [x, y] lengths, mm, each of either sign: a tuple of pairs of floats."""
    return _list_field("pairs", label, how, within)


def _list_field(
    quantity: Quantity,
    label: str,
    how: str,
    within: str,
    inside: type | None = None,
    again: tuple[str, ...] = (),
) -> Any:
    def read_signed(given: Scalar, unit: Unit) -> float:
        return parse_length(given, unit, negative=True)

    low, high = _limits(within, int)
    limits = {"minimum": low or 0, "maximum": high or _MOST_ROWS, "fills_itself": not low}
    read = _not_alone if inside else read_signed
    return _field(quantity, label, how, **limits, inside=inside, again=again, read=read)


# --- asking a declared class ------------------------------------------------------------------


@cache
def fields_of(declared: type) -> tuple[tuple[str, Measure], ...]:
    """(name, measure) of every field of a declared class, in order.

    Raises TypeError for a class with a field that declares no measure.
    """
    fields = dataclasses.fields(declared)
    if bare := [field.name for field in fields if "measure" not in field.metadata]:
        raise TypeError(f"{declared.__name__}: fields without a declared measure: {bare}")
    found: list[tuple[str, Measure]] = [(each.name, each.metadata["measure"]) for each in fields]
    return tuple(
        (name, dataclasses.replace(measure, label=measure.label or name.replace("_", " ")))
        for name, measure in found
    )


def walk(declared: type, before: str = "") -> Iterator[tuple[str, Measure]]:
    """(dotted key, measure) of every single value and list, through nested tables.

    Keys inside rows carry brackets: "legs[].length".
    """
    for name, measure in fields_of(declared):
        key = before + name
        if measure.inside is None:
            yield key, measure
        else:
            mark = "[]." if measure.quantity == "rows" else "."
            yield from walk(measure.inside, key + mark)


def lettered(declared: type) -> Mapping[str, str]:
    """A letter for every dotted key in order of declaration: A to Z, then AA, AB and on."""
    sizes = (product(ascii_uppercase, repeat=size) for size in counted(1))
    letters = map("".join, chain.from_iterable(sizes))
    return dict(zip((key for key, _ in walk(declared)), letters, strict=False))
