"""How each dimension changes when a number of the file changes: small differences, same build."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from platewright.errors import BuildError, GeometryError
from platewright.measure import fields_of
from platewright.measuring.dimensions import Measured, Tape, dimensions_of
from platewright.plate.piece import Piece

#: How far a number is changed either way, mm or radians.
_STEP = 1e-4


@dataclass(frozen=True, slots=True)
class Slope:
    """Change of a dimension for each mm or radian of a number; None where it cannot be told."""

    on_blank: float | None
    on_part: float | None


def numbers_of(measurements: Any, before: str = "") -> Iterator[tuple[str, float]]:
    """Every length and angle of a file's measurements by its dotted key, mm and radians."""
    for name, measure in fields_of(measurements.__class__):
        value, key = getattr(measurements, name), f"{before}{name}"
        if measure.quantity == "rows":
            for number, row in enumerate(value, 1):
                yield from numbers_of(row, f"{key}[{number}].")
        elif measure.inside is not None and value is not None:
            yield from numbers_of(value, f"{key}.")
        elif measure.quantity in ("length", "angle") and value is not None:
            yield key, value


def with_number(measurements: Any, key: str, value: float) -> Any:
    """The measurements with another number at a dotted key."""
    name, _, rest = key.partition(".")
    if not rest:
        return replace(measurements, **{name: value})
    table, _, number = name.partition("[")
    held = getattr(measurements, table)
    if not number:
        return replace(measurements, **{table: with_number(held, rest, value)})
    at = int(number.rstrip("]")) - 1
    rows = (*held[:at], with_number(held[at], rest, value), *held[at + 1 :])
    return replace(measurements, **{table: rows})


def slopes_of(measurements: Any, piece_of: Callable[[Any], Piece]) -> dict[str, tuple[Slope, ...]]:
    """For each number of the file, the slope of every dimension of the piece, in their order."""
    told = dimensions_of(piece_of(measurements))
    found = {}
    for key, number in numbers_of(measurements):
        less, more = (
            _by_name(with_number(measurements, key, number + step), piece_of)
            for step in (-_STEP, _STEP)
        )
        found[key] = tuple(_slope(each, less, more) for each in told)
    return found


_Name = tuple[str, ...]


def _by_name(measurements: Any, piece_of: Callable[[Any], Piece]) -> dict[_Name, Measured]:
    try:
        piece = piece_of(measurements)
    except (BuildError, GeometryError):
        return {}
    return {each.dimension.title: each for each in dimensions_of(piece)}


def _slope(each: Measured, less: dict[_Name, Measured], more: dict[_Name, Measured]) -> Slope:
    one, other = less.get(each.dimension.title), more.get(each.dimension.title)
    if one is None or other is None:
        return Slope(None, None)
    return Slope(_rise(one.on_blank, other.on_blank), _rise(one.on_part, other.on_part))


def _rise(less: Tape[Any] | None, more: Tape[Any] | None) -> float | None:
    return (more.value - less.value) / (2 * _STEP) if less and more else None
