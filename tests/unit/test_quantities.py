from __future__ import annotations

import math

import pytest

from platewright.errors import UnitError
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


@pytest.mark.parametrize(
    ("scale", "text", "value"),
    [
        (FORCE, "2 kN", 2000),
        (FORCE, "12.5 N", 12.5),
        (FORCE, "100 LBF", 444.82216152605),
        (FORCE, "100lb", 444.82216152605),
        (PRESSURE, "700 kPa", 0.7),
        (PRESSURE, "7 bar", 0.7),
        (PRESSURE, "1 MPa", 1),
        (AREA, "1 in2", 645.16),
        (AREA, "1 sq in", 645.16),
        (AREA, "1 in²", 645.16),
        (AREA, "2 cm2", 200),
        (AREA, "3 1/2 mm2", 3.5),
        (SPEED, "100 in/min", 2540),
        (SPEED, "2.5 m/min", 2500),
        (SPEED, "1 mm/min", 1),
    ],
)
def test_reads_quantities(scale: Scale, text: str, value: float) -> None:
    assert parse_quantity(text, scale) == value


@pytest.mark.parametrize(
    ("scale", "given", "reason"),
    [
        (FORCE, 500, "needs its unit"),
        (FORCE, "500", "needs its unit"),
        (FORCE, "500 kg", "kg is a mass"),
        (FORCE, "500 psi", "no unit of force"),
        (FORCE, "-5 N", "negative"),
        (FORCE, "", "nothing"),
        (FORCE, "N", "not a force"),
        (FORCE, "1,000 N", "comma|not a force"),
        (FORCE, "1/0 N", "0 below"),
        (FORCE, math.nan, "finite"),
        (FORCE, True, "true and false"),
        (PRESSURE, "90 N", "no unit of pressure"),
        (AREA, "9 in", "no unit of area"),
        (SPEED, "9 in", "no unit of speed"),
        (SPEED, "9" * 390 + " in/min", "far too large"),
    ],
)
def test_refuses_other_things(scale: Scale, given: object, reason: str) -> None:
    with pytest.raises(UnitError, match=reason):
        parse_quantity(given, scale)


def test_writes_in_a_unit_of_the_scale() -> None:
    assert format_quantity(parse_quantity("90 psi", PRESSURE), PRESSURE, "psi") == "90 psi"
    assert format_quantity(1234.5678, FORCE, "N") == "1235 N"
    assert format_quantity(100_000.0, FORCE, "N") == "100000 N"


def test_a_least_is_rounded_up_and_a_most_down() -> None:
    assert format_quantity(20.0, FORCE, "lbf", "up") == "4.497 lbf"
    assert format_quantity(20.0, FORCE, "lbf", "down") == "4.496 lbf"
    pressure = parse_quantity("90 psi", PRESSURE)
    assert {format_quantity(pressure, PRESSURE, "psi", way) for way in ("up", "down")} == {"90 psi"}


@pytest.mark.parametrize(("given", "count"), [(3, 3), ("3", 3), (0, 0), (" 12 ", 12)])
def test_reads_counts(given: str | float, count: int) -> None:
    assert parse_count(given) == count


@pytest.mark.parametrize("given", [2.0, 2.5, -1, "2.0", "two", "", True, 10**13, "9" * 20])
def test_refuses_what_is_no_count(given: str | float) -> None:
    with pytest.raises(UnitError):
        parse_count(given)


@pytest.mark.parametrize(
    ("given", "factor"), [(0.44, 0.44), ("0.44", 0.44), ("1/3", 1 / 3), (2, 2.0)]
)
def test_reads_factors(given: str | float, factor: float) -> None:
    assert parse_factor(given) == factor


@pytest.mark.parametrize("given", [-0.1, "-1", "x", "", math.inf, True, "9" * 20])
def test_refuses_what_is_no_factor(given: str | float) -> None:
    with pytest.raises(UnitError):
        parse_factor(given)
