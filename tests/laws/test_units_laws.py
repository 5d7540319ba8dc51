from __future__ import annotations

import math
from fractions import Fraction
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platewright.errors import UnitError
from platewright.units import (
    LEANING,
    LEANING_SHARE,
    LONGEST,
    Denominator,
    Unit,
    format_angle,
    format_exact,
    format_length,
    format_mm,
    parse_angle,
    parse_length,
    parse_length_exact,
    spoken,
    tape,
)

lengths = st.floats(-float(LONGEST), float(LONGEST))
unit = st.sampled_from(get_args(Unit))
denominators = st.sampled_from(get_args(Denominator))
sixty_fourths = st.integers(0, 64_000).map(lambda n: Fraction(n, 64))


def _shop_text(inches: Fraction) -> str:
    whole, rest = divmod(inches, 1)
    return f"{whole} {rest}" if whole and rest else str(whole or rest)


@given(lengths, unit)
def test_what_a_file_is_written_reads_back_to_the_same_bits(mm: float, unit: Unit) -> None:
    assert parse_length(format_exact(mm, unit), unit, negative=True) == mm


@given(lengths, unit, unit)
def test_a_written_length_means_the_same_in_any_file(mm: float, unit: Unit, other: Unit) -> None:
    assert parse_length(format_exact(mm, unit), other, negative=True) == mm


@given(sixty_fourths)
def test_fraction_and_decimal_give_the_same_bits(inches: Fraction) -> None:
    assert parse_length(_shop_text(inches), "in") == parse_length(float(inches), "in")


@given(sixty_fourths)
def test_feet_and_inches_add_up(inches: Fraction) -> None:
    feet, rest = divmod(inches, 12)
    text = f"{feet}'-{_shop_text(rest)}\""
    assert parse_length_exact(text, "mm") == parse_length_exact(_shop_text(inches), "in")


@given(lengths, denominators)
def test_a_tape_reading_and_its_remainder_are_the_length(mm: float, d: Denominator) -> None:
    reading = tape(mm, d)
    division = Fraction(254, 10) / d
    assert reading.divisions * division + reading.remainder == Fraction(mm)
    assert abs(reading.remainder) <= division / 2
    assert (reading.leaning == "") == (abs(reading.remainder) <= division * LEANING_SHARE)


@given(lengths, denominators)
def test_the_figure_on_the_tape_reads_back_to_the_division(mm: float, d: Denominator) -> None:
    reading = tape(mm, d)
    assert parse_length(reading.figure, "in", negative=True) == pytest.approx(
        reading.nearest, abs=0
    )


@given(st.integers(-32_000, 32_000), denominators)
def test_a_length_on_the_division_leans_neither_way(divisions: int, d: Denominator) -> None:
    reading = tape(float(Fraction(254, 10) * divisions / d), d)
    assert (reading.divisions, reading.leaning) == (divisions, "")


@given(lengths, denominators)
def test_strong_and_shy_are_mirror_images(mm: float, d: Denominator) -> None:
    there, back = tape(mm, d), tape(-mm, d)
    assert (there.divisions, there.remainder) == (-back.divisions, -back.remainder)
    assert there.leaning == back.leaning


@given(lengths, denominators)
def test_a_reading_typed_back_is_within_half_a_division(mm: float, d: Denominator) -> None:
    said = tape(mm, d)
    for text in (f"{said}", f"{said.figure} in {said.leaning}", f'{said.figure}" {said.leaning}'):
        back = parse_length_exact(text, "in", negative=True)
        assert abs(back - Fraction(mm)) <= Fraction(254, 10) / d / 2


@given(lengths, st.sampled_from((16, 32)))
def test_a_reading_typed_back_reads_the_same(mm: float, d: Denominator) -> None:
    said = str(tape(mm, d))
    assert str(tape(parse_length(said, "in", negative=True), d)) == said


@given(st.integers(0, 63_999).map(lambda n: Fraction(n, 64)), st.sampled_from(("strong", "shy")))
def test_strong_and_shy_lean_by_one_amount_each_way(inches: Fraction, word: str) -> None:
    figure = _shop_text(inches)
    there = parse_length_exact(f"{figure} {word}", "in", negative=True)
    assert there - inches * Fraction(254, 10) == (LEANING if word == "strong" else -LEANING)
    assert parse_length_exact(f"-{figure} {word}", "in", negative=True) == -there
    assert parse_length_exact(f"{figure} in {word}", "mm", negative=True) == there


@given(lengths, unit)
def test_messages_are_near_what_they_tell(mm: float, unit: Unit) -> None:
    told = parse_length(format_length(mm, unit), unit, negative=True)
    assert told == pytest.approx(mm, abs=0.0501 if unit == "mm" else 0.0128)
    assert float(format_mm(mm)) == pytest.approx(mm, abs=0.0501)


_A_HAIR = 1e-6


@given(lengths, unit)
def test_a_least_is_never_less_than_the_figure_and_a_most_never_more(mm: float, unit: Unit) -> None:
    for write, step in (
        (format_length, {"in": 0.0254, "mm": 0.1}),
        (spoken, {"in": 1.5875, "mm": 1}),
    ):
        least, most = (
            parse_length(write(mm, unit, way), unit, negative=True) for way in ("up", "down")
        )
        assert mm - _A_HAIR <= least < mm + step[unit] + _A_HAIR
        assert mm - step[unit] - _A_HAIR < most <= mm + _A_HAIR


@given(st.floats(-360, 360))
def test_told_angles_are_near(degrees: float) -> None:
    told = parse_angle(format_angle(parse_angle(degrees)))
    assert math.degrees(told) == pytest.approx(degrees, abs=0.0501)


_LIKELY = st.one_of(
    st.text("0123456789 -/.'\"½⅜°infmtce,x″′–", max_size=14),
    st.builds(
        " ".join,
        st.lists(st.sampled_from(("shy", "strong", "3/16", "-", "2", "in", "mm", "'", '"'))),
    ),
)


@given(st.one_of(st.text(max_size=40), _LIKELY, st.integers(), st.floats()), unit)
def test_any_text_or_number_is_a_length_or_refused(given_value: str | float, unit: Unit) -> None:
    for read in (lambda v: parse_length(v, unit, negative=True), parse_angle):
        try:
            value = read(given_value)
        except UnitError:
            continue
        assert math.isfinite(value)
