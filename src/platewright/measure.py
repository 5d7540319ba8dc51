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
from itertools import count as counted
from itertools import product
from string import ascii_uppercase
from typing import Any, Unpack

from platewright.errors import UnitError
from platewright.measurement import Measure, Quantity, Scalar, Told, ToldNumber, ToldText
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
from platewright.units import (
    Unit,
    format_angle,
    format_length,
    parse_angle,
    parse_length,
)

Problems = tuple[tuple[str, str], ...]
"""What `problems` of a declared class gives: the key and the message of each."""

_LONGEST_WORDS = 200
_MOST_ROWS = 200


def _field(measure: Measure) -> Any:
    """The dataclass field that carries the measure; its default is the value that is read."""
    metadata = {"measure": measure}
    if measure.default is not None:
        # a declared default carries its own unit, so that either serves here
        default = measure.value(measure.default, "in")
        return dataclasses.field(default=default, metadata=metadata)
    if measure.optional:
        return dataclasses.field(default=None, metadata=metadata)
    return dataclasses.field(metadata=metadata)


# --- single values ----------------------------------------------------------------------------


def length(
    label: str,
    how: str,
    *,
    minimum: str | None = None,
    maximum: str | None = None,
    negative: bool = False,
    **told: Unpack[ToldText],
) -> Any:
    """A length, mm. Limits and default are shop texts that carry their unit, such as "1/4 in"."""
    low, high = (_own_unit(text) if text else None for text in (minimum, maximum))
    signed = negative or bool(low and low < 0)
    for default in (told.get("default"), told.get("default_mm")):
        if default:
            _own_unit(default)

    def read(given: Scalar, unit: Unit) -> float:
        return parse_length(given, unit, negative=signed)

    return _field(
        Measure(
            quantity="length", label=label, how=how, minimum=low, maximum=high, read=read,
            show=format_length, **told,
        )
    )  # fmt: skip


@cache
def _own_unit(text: str) -> float:
    """A declared length, mm. Raises ValueError when it would depend on the file's unit."""
    inches, mm = (parse_length(text, unit, negative=True) for unit in ("in", "mm"))
    if inches != mm:
        raise ValueError(f"a declared length needs its unit: {text!r}")
    return mm


def angle(
    label: str,
    how: str,
    *,
    minimum_deg: float = -360,
    maximum_deg: float = 360,
    default_deg: float | None = None,
    example_deg: float | None = None,
    **told: Unpack[Told],
) -> Any:
    """An angle, radians; declared, and in files, in degrees."""
    low, high = parse_angle(minimum_deg), parse_angle(maximum_deg)

    def read(given: Scalar, _: Unit) -> float:
        return parse_angle(given, negative=minimum_deg < 0)

    return _field(
        Measure(
            quantity="angle", label=label, how=how, minimum=low, maximum=high, read=read,
            show=lambda limit, _, rounding: format_angle(limit, 1, rounding),
            default=default_deg, example=example_deg, **told,
        )
    )  # fmt: skip


def count(
    label: str,
    how: str,
    *,
    minimum: int = 0,
    maximum: int | None = None,
    **told: Unpack[ToldNumber],
) -> Any:
    """A whole number."""
    return _field(
        Measure(
            quantity="count", label=label, how=how, minimum=minimum, maximum=maximum,
            read=lambda given, _: parse_count(given), **told,
        )
    )  # fmt: skip


def factor(
    label: str,
    how: str,
    *,
    minimum: float = 0,
    maximum: float | None = None,
    **told: Unpack[ToldNumber],
) -> Any:
    """A number without a unit."""
    return _field(
        Measure(
            quantity="factor", label=label, how=how, minimum=minimum, maximum=maximum,
            read=lambda given, _: parse_factor(given), **told,
        )
    )  # fmt: skip


def _scaled(quantity: Quantity, scale: Scale) -> Callable[..., Any]:
    def declare(
        label: str,
        how: str,
        *,
        minimum: str | None = None,
        maximum: str | None = None,
        **told: Unpack[ToldText],
    ) -> Any:
        low, high = (parse_quantity(text, scale) if text else None for text in (minimum, maximum))
        return _field(
            Measure(
                quantity=quantity, label=label, how=how, minimum=low, maximum=high,
                read=lambda given, _: parse_quantity(given, scale),
                show=lambda limit, unit, rounding: format_quantity(
                    limit, scale, scale.shown[unit], rounding
                ),
                **told,
            )
        )  # fmt: skip

    return declare


#: Quantities that carry their own unit: N, MPa, mm2, mm/min inside.
force = _scaled("force", FORCE)
pressure = _scaled("pressure", PRESSURE)
area = _scaled("area", AREA)
speed = _scaled("speed", SPEED)


def choice(label: str, how: str, choices: tuple[str, ...], **told: Unpack[ToldText]) -> Any:
    """One of some words."""

    def read(given: Scalar, _: Unit) -> str:
        words = _read_words(given)
        if words not in choices:
            raise UnitError("should be one of " + ", ".join(f'"{one}"' for one in choices))
        return words

    return _field(
        Measure(quantity="choice", label=label, how=how, choices=choices, read=read, **told)
    )


def text(label: str, how: str, **told: Unpack[ToldText]) -> Any:
    """Free words on one line."""
    return _field(
        Measure(quantity="text", label=label, how=how, read=lambda given, _: _read_words(given),
                **told)
    )  # fmt: skip


def _read_words(given: Scalar) -> str:
    if not isinstance(given, str):
        raise UnitError("should be words in quotes")
    words = " ".join(given.split())
    if len(words) > _LONGEST_WORDS or not words.isprintable():
        raise UnitError(f"should be at most {_LONGEST_WORDS} printable letters")
    return words


def flag(label: str, how: str, *, default: bool = False) -> Any:
    """A yes or no: true or false in files."""
    return _field(
        Measure(quantity="flag", label=label, how=how, default=default, allowed="true or false",
                read=lambda given, _: _read_flag(given))
    )  # fmt: skip


def _read_flag(given: Scalar) -> bool:
    if not isinstance(given, bool):
        raise UnitError("should be true or false, without quotes")
    return given


def custom(
    label: str,
    how: str,
    *,
    read: Callable[[Any, Unit], Any],
    allowed: str,
    **told: Unpack[ToldText],
) -> Any:
    """A value with a reader of its own: `read(given, unit)` raises UnitError."""
    return _field(
        Measure(quantity="custom", label=label, how=how, read=read, allowed=allowed, **told)
    )


# --- tables and lists -------------------------------------------------------------------------


def _not_alone(_given: Scalar, _unit: Unit) -> Any:
    raise UnitError("a table or list is no single value")


def _read_signed(given: Scalar, unit: Unit) -> float:
    return parse_length(given, unit, negative=True)


def table(label: str, how: str, inside: type, *, optional: bool = False) -> Any:
    """A table of declared measurements. Optional: None when absent or "none"."""
    fills_itself = not any(measure.required for _, measure in fields_of(inside))
    measure = Measure(
        quantity="table",
        label=label,
        how=how,
        inside=inside,
        optional=optional,
        fills_itself=fills_itself,
        read=_not_alone,
    )
    if optional or not fills_itself:
        return _field(measure)
    return dataclasses.field(default_factory=inside, metadata={"measure": measure})


def rows(
    label: str,
    how: str,
    inside: type,
    *,
    minimum: int = 0,
    maximum: int = _MOST_ROWS,
    again: tuple[str, ...] = (),
) -> Any:
    """Any number of like tables: a tuple of the declared class. `again` is in `Measure`."""
    return _list_field("rows", label, how, minimum, maximum, inside, again)


def lengths(label: str, how: str, *, minimum: int = 0, maximum: int = _MOST_ROWS) -> Any:
    """A list of lengths, mm, each of either sign: a tuple of floats."""
    return _list_field("lengths", label, how, minimum, maximum)


def pairs(label: str, how: str, *, minimum: int = 0, maximum: int = _MOST_ROWS) -> Any:
    """A list of [x, y] lengths, mm, each of either sign: a tuple of pairs of floats."""
    return _list_field("pairs", label, how, minimum, maximum)


def _list_field(
    quantity: Quantity,
    label: str,
    how: str,
    low: int,
    high: int,
    inside: type | None = None,
    again: tuple[str, ...] = (),
) -> Any:
    measure = Measure(
        quantity=quantity,
        label=label,
        how=how,
        minimum=low,
        maximum=high,
        inside=inside,
        again=again,
        fills_itself=low == 0,
        read=_not_alone if inside else _read_signed,
    )
    if measure.required:
        return _field(measure)
    return dataclasses.field(default=(), metadata={"measure": measure})


# --- asking a declared class ------------------------------------------------------------------


def fields_of(declared: type) -> tuple[tuple[str, Measure], ...]:
    """(name, measure) of every field of a declared class, in order.

    Raises TypeError for a class with a field that declares no measure.
    """
    found = dataclasses.fields(declared)
    bare = [field.name for field in found if "measure" not in field.metadata]
    if bare:
        raise TypeError(f"{declared.__name__}: fields without a declared measure: {bare}")
    return tuple((field.name, field.metadata["measure"]) for field in found)


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
    return dict(zip((key for key, _ in walk(declared)), _letters(), strict=False))


def _letters() -> Iterator[str]:
    for size in counted(1):
        yield from map("".join, product(ascii_uppercase, repeat=size))
