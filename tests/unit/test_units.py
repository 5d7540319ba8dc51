from __future__ import annotations

import math
from fractions import Fraction

import pytest

from platewright.errors import UnitError
from platewright.units import (
    TapeReading,
    format_angle,
    format_exact,
    format_length,
    format_mm,
    parse_angle,
    parse_length,
    parse_length_exact,
    parse_number,
    plain_text,
    spoken,
    tape,
)

IN = Fraction(254, 10)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("3/16", Fraction(3, 16)),
        ("3 3/16", Fraction(51, 16)),
        ("3-3/16", Fraction(51, 16)),
        ("  3   3 / 16 ", Fraction(51, 16)),
        ("1' 2 1/2\"", Fraction(29, 2)),
        ("1'-2 1/2\"", Fraction(29, 2)),
        ("1' - 2 1/2", Fraction(29, 2)),
        ("1 ft 2 in", 14),
        ("1ft. 2in.", 14),
        ("1′-2½″", Fraction(29, 2)),
        ("1’ 2 1/2”", Fraction(29, 2)),
        ("1' 2''", 14),
        ("4.5", Fraction(9, 2)),
        ("4.5 in", Fraction(9, 2)),
        ('4.5"', Fraction(9, 2)),
        ("4.5 Inches", Fraction(9, 2)),
        (".5", Fraction(1, 2)),
        ("5.", 5),
        ("2 ft", 24),
        ("1.5'", 18),
        ("½", Fraction(1, 2)),
        ("3½", Fraction(7, 2)),
        ("3 ½", Fraction(7, 2)),
        ("3 ³⁄₁₆", Fraction(51, 16)),
        ("3³⁄₁₆", Fraction(51, 16)),
        ("¹⁵⁄₁₆ in", Fraction(15, 16)),
        ("3-½", Fraction(7, 2)),
        ("3⁄16", Fraction(3, 16)),
        ("3\u00a03/16", Fraction(51, 16)),
        ("0", 0),
        (4, 4),
        (4.1, Fraction(41, 10)),
        ("1000", 1000),
    ],
)
def test_reads_shop_lengths_in_inches(text: str | float, inches: Fraction) -> None:
    assert parse_length_exact(text, "in") == inches * IN


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("80 mm", 80),
        ("80mm", 80),
        ("8 cm", 80),
        ("0.08 m", 80),
        ("80", 80),
        (80, 80),
        ("1/4 in", 6.35),
    ],
)
def test_reads_metric_lengths_and_units_win_over_the_files(text: str | float, mm: float) -> None:
    assert parse_length(text, "mm") == mm


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("7/16 shy", Fraction(7, 16) - Fraction(1, 100)),
        ("8 3/4 strong", Fraction(876, 100)),
        ("13 3/16 in shy", Fraction(211, 16) - Fraction(1, 100)),
        ("5 31/32 strong", Fraction(191, 32) + Fraction(1, 100)),
        ('15 9/16" strong', Fraction(249, 16) + Fraction(1, 100)),
        ("3½ Strong in", Fraction(351, 100)),
        ("1' 2 1/2\" shy", Fraction(1449, 100)),
        ("2 ft strong", Fraction(2401, 100)),
        ("0 strong", Fraction(1, 100)),
        ("-0 strong", Fraction(-1, 100)),
        ("-3 1/4 shy", Fraction(-324, 100)),
    ],
)
def test_reads_strong_and_shy_as_a_hundredth_of_an_inch(text: str, inches: Fraction) -> None:
    assert parse_length_exact(text, "in", negative=True) == inches * IN


def test_a_units_own_word_means_the_same_in_any_file() -> None:
    assert parse_length("80 mm", "in") == parse_length("80 mm", "mm") == 80


@pytest.mark.parametrize("text", ["-3/16", "- 3/16", "−3/16", "-4.7625 mm"])
def test_reads_negative_lengths_only_where_allowed(text: str) -> None:
    assert parse_length(text, "in", negative=True) == -4.7625
    with pytest.raises(UnitError, match="negative"):
        parse_length(text, "in")


@pytest.mark.parametrize(
    ("given", "reason"),
    [
        ("", "nothing"),
        ("   ", "nothing"),
        ("3 3/0", "0 below the bar"),
        ("0/0", "0 below the bar"),
        ("nan", "not a length"),
        ("inf", "not a length"),
        ("1e3", "not a length"),
        ("three", "not a length|no unit"),
        ("1,000", "comma"),
        ("4,5 mm", "comma"),
        ("3 3", "fraction bar missing"),
        ("3 - 3/16", "hyphen"),
        ("strong", "not a length|no unit"),
        ("3 strong 3/16", "not a length"),
        ("3/16 strong shy", "not a length|no unit"),
        ("3/16 stong", "no unit of length: 'stong'"),
        ("80 mm shy", "strong and shy go with inches"),
        ("3-4", "hyphen"),
        ("3 17/16", "less than 1"),
        ("3 16/16", "less than 1"),
        ("1' 13\"", "less than 12"),
        ("1.5' 3\"", "not a length"),
        ("5 kg", "no unit of length"),
        ("1' 20 mm", "not a length"),
        ("3\" 1/2", "not a length"),
        ("+3", "not a length"),
        ("٣", "not a length"),
        ("1001", "1000 in"),
        ("1001 in", "1000 in"),
        ("25.5 m", "1000 in"),
        ("9" * 401, "too long"),
        (1001, "1000 in"),
        (10**400, "too large"),
        (1e300, "too large"),
        (math.nan, "finite"),
        (math.inf, "finite"),
        (True, "true and false"),
    ],
)  # fmt: skip
def test_refuses_what_is_no_length_with_a_reason(given: str | float, reason: str) -> None:
    with pytest.raises(UnitError, match=reason):
        parse_length(given, "in", negative=True)


def test_strong_and_shy_want_inches_in_a_file_of_millimetres() -> None:
    with pytest.raises(UnitError, match="write 7/16 in shy"):
        parse_length("80 strong", "mm")
    with pytest.raises(UnitError, match="negative"):
        parse_length("0 in shy", "mm")
    assert parse_length_exact("7/16 in shy", "mm") == parse_length_exact("7/16 shy", "in")


def test_plain_text_opens_vulgar_fractions_and_straightens_quotes() -> None:
    assert plain_text("1’ 2⅜”") == "1' 2 3/8\""


@pytest.mark.parametrize("text", ["", "-1", "1 1", "1/2/3", "a"])
def test_parse_number_refuses_anything_signed_or_strange(text: str) -> None:
    with pytest.raises(UnitError):
        parse_number(text)


@pytest.mark.parametrize(
    ("given", "degrees"),
    [(45, 45), (22.5, 22.5), ("45", 45), ("45 deg", 45), ("45°", 45), ("22 1/2 degrees", 22.5),
     ("-30", -30), ("+30", 30), (-360, -360)],
)  # fmt: skip
def test_reads_angles_in_degrees(given: str | float, degrees: float) -> None:
    assert parse_angle(given) == math.radians(degrees)


@pytest.mark.parametrize("given", ["", "45 rad", "x", "360.1", 361, math.nan, True, "4,5"])
def test_refuses_what_is_no_angle(given: str | float) -> None:
    with pytest.raises(UnitError):
        parse_angle(given)


def test_refuses_a_negative_angle_where_none_may_be() -> None:
    with pytest.raises(UnitError, match="negative"):
        parse_angle(-1, negative=False)


@pytest.mark.parametrize(
    ("inches", "denominator", "text"),
    [
        (3.1875, 16, "3 3/16"),
        (3.1875 + 0.0078, 16, "3 3/16"),  # just under an eighth of a sixteenth
        (3.1875 + 0.0080, 16, "3 3/16 strong"),
        (3.1875 - 0.0080, 16, "3 3/16 shy"),
        (3.2, 8, "3 1/4 shy"),
        (3.1875, 32, "3 3/16"),
        (0.5, 16, "1/2"),
        (2, 16, "2"),
        (0, 16, "0"),
        (0.02, 16, "0 strong"),
        (-0.02, 16, "-0 strong"),
        (-3.1875, 16, "-3 3/16"),
        (-3.2, 16, "-3 3/16 strong"),
        (-3.17, 16, "-3 3/16 shy"),
        (14.5, 16, "14 1/2"),
    ],
)
def test_tells_a_length_as_a_tape_does(inches: float, denominator: int, text: str) -> None:
    assert str(tape(inches * 25.4, denominator)) == text  # type: ignore[arg-type]


def test_a_tie_reads_up_and_shy() -> None:
    half_way = float(Fraction(7, 32) * IN)
    assert tape(half_way) == TapeReading(4, 16, Fraction(half_way) - IN / 4)
    assert str(tape(half_way)) == "1/4 shy"


def test_the_remainder_is_exact() -> None:
    reading = tape(81.0)
    assert (reading.divisions, reading.nearest) == (51, 80.9625)
    assert reading.divisions * IN / 16 + reading.remainder == 81


@pytest.mark.parametrize("mm", [math.nan, math.inf])
def test_writing_refuses_what_is_not_finite(mm: float) -> None:
    for write in (tape, format_mm, format_angle):
        with pytest.raises(UnitError):
            write(mm)
    for unit in ("in", "mm"):
        with pytest.raises(UnitError):
            format_exact(mm, unit)  # type: ignore[arg-type]
    with pytest.raises(UnitError):
        format_length(mm, "in")


def test_refuses_a_tape_that_does_not_exist() -> None:
    with pytest.raises(UnitError, match="8, 16 or 32"):
        tape(1.0, 10)  # type: ignore[arg-type]


def test_format_mm_has_fixed_places_and_no_minus_nought() -> None:
    assert [format_mm(81), format_mm(-0.01), format_mm(80.9625, 2)] == ["81.0", "0.0", "80.96"]


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        (80.9625, "in", "3 3/16 in"),
        (80.9625, "mm", "81.0 mm"),
        (0.1793 * 25.4, "in", "0.179 in"),
        (0.95 * 25.4, "in", "0.950 in"),
        (-6.35, "in", "-1/4 in"),
        (0, "in", "0 in"),
        (1016, "in", "40 in"),
    ],
)
def test_lengths_in_messages(mm: float, unit: str, text: str) -> None:
    assert format_length(mm, unit) == text  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        (80.9625, "in", "3 3/16 in"),
        (80.9625, "mm", "80.9625 mm"),
        (80.0, "mm", "80 mm"),
        (-6.35, "in", "-1/4 in"),
        (-0.0, "mm", "0 mm"),
        (104.14, "in", "4.1 in"),
        (1e-7, "mm", "0.0000001 mm"),
        (1e-300, "in", "0." + "0" * 299 + "1 mm"),
    ],
)
def test_lengths_in_files(mm: float, unit: str, text: str) -> None:
    assert format_exact(mm, unit) == text  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("inches", "up", "down"),
    [
        (4.588, "4.588 in", "4.588 in"),
        (0.375, "3/8 in", "3/8 in"),
        (0.3749, "3/8 in", "0.374 in"),
        (0.3751, "0.376 in", "3/8 in"),
        (0.37401, "3/8 in", "0.374 in"),
        (-0.3749, "-0.374 in", "-3/8 in"),
    ],
)
def test_a_least_is_rounded_up_and_a_most_down(inches: float, up: str, down: str) -> None:
    assert format_length(inches * 25.4, "in", "up") == up
    assert format_length(inches * 25.4, "in", "down") == down


def test_a_least_and_a_most_in_mm_and_degrees() -> None:
    assert [format_mm(10.01, 1, way) for way in ("up", "down")] == ["10.1", "10.0"]
    assert [format_mm(0.1 + 0.2, 1, way) for way in ("up", "down")] == ["0.3", "0.3"]
    angle = math.radians(9.96)
    assert [format_angle(angle, 1, way) for way in ("up", "down")] == ["10°", "9.9°"]


def test_spoken_lengths() -> None:
    least = 4.588 * 25.4
    assert [spoken(least, "in"), spoken(least, "in", "up")] == ["4 9/16 in", "4 5/8 in"]
    assert [spoken(82.4, "mm"), spoken(82.4, "mm", "up")] == ["82 mm", "83 mm"]
    assert [spoken(-0.2, unit) for unit in ("in", "mm")] == ["0 in", "0 mm"]


@pytest.mark.parametrize(
    ("degrees", "text"),
    [(45, "45°"), (22.5, "22.5°"), (-90, "-90°"), (0, "0°"), (-0.01, "0°"), (100, "100°")],
)
def test_angles_in_messages(degrees: float, text: str) -> None:
    assert format_angle(math.radians(degrees)) == text


def test_angles_to_more_or_no_places() -> None:
    angle = math.radians(33.333)
    assert [format_angle(angle, 2), format_angle(angle, 0)] == ["33.33°", "33°"]
