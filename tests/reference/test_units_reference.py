from __future__ import annotations

from fractions import Fraction

import pytest

from platewright.quantities import AREA, FORCE, N_PER_LBF, PRESSURE, parse_quantity
from platewright.units import parse_angle, parse_length, parse_length_exact


def test_the_inch() -> None:
    # exact by definition: international yard and pound agreement of 1959
    assert parse_length_exact("1 in", "mm") == Fraction(254, 10)
    assert parse_length("1 ft", "mm") == 304.8


def test_the_pound_force() -> None:
    # exact by definition: 0.45359237 kg (1959 agreement) at 9.80665 m/s2 (3rd CGPM, 1901)
    assert Fraction("4.4482216152605") == N_PER_LBF
    assert parse_quantity("1 lbf", FORCE) == 4.4482216152605


def test_the_pound_per_square_inch() -> None:
    # from memory of NIST SP 811 appendix B: 1 psi = 6.894757 kPa
    assert parse_quantity("1 psi", PRESSURE) * 1000 == pytest.approx(6.894757, abs=5e-7)
    # exact by definition: 1 bar = 100 kPa
    assert parse_quantity("1 bar", PRESSURE) == parse_quantity("100 kPa", PRESSURE)


def test_the_square_inch() -> None:
    # exact: 25.4 squared
    assert parse_quantity("1 in2", AREA) == 645.16


@pytest.mark.parametrize(
    ("text", "mm"),
    # exact from 25.4 mm to the inch; drill charts print them to two or three places
    [
        ("1/64", 0.396875),
        ("1/32", 0.79375),
        ("3/16", 4.7625),
        ("13/32", 10.31875),
        ("27/64", 10.715625),
    ],
)
def test_fractions_of_an_inch(text: str, mm: float) -> None:
    assert parse_length(text, "in") == mm


def test_sheet_gauge_by_law_is_an_exact_fraction() -> None:
    # 15 U.S.C. 206: 7 gauge is 3/16 in, 10 gauge 9/64 in, 16 gauge 1/16 in
    by_law = {"3/16": 0.1875, "9/64": 0.140625, "1/16": 0.0625}
    for fraction, decimal in by_law.items():
        assert parse_length(fraction, "in") == parse_length(decimal, "in")


def test_right_angles_are_the_floats_that_trigonometry_uses() -> None:
    # exact: a full turn is 2 pi
    import math

    assert [parse_angle(90), parse_angle(180), parse_angle(360)] == [math.pi / 2, math.pi, math.tau]
