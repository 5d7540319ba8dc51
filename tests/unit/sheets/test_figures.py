import re
from fractions import Fraction

import pytest

from platewright.sheets import check_sheet, folded_rows
from platewright.sheets.figures import (
    area_words,
    dimension_words,
    other_unit,
    reading,
    tape_divisions,
    weight_words,
)
from platewright.units import spoken

INCH = 25.4


@pytest.mark.parametrize(
    ("mm", "unit", "words"),
    [
        (3.1875 * INCH, "in", "3 3/16"),
        (3.1875 * INCH + 0.5, "in", "3 3/16 strong"),
        (3.1875 * INCH - 0.5, "in", "3 3/16 shy"),
        (81.04, "mm", "81.0"),
    ],
)
def test_a_reading_is_what_the_tape_shows(mm, unit, words):
    assert reading(mm, unit) == words


@pytest.mark.parametrize(
    ("mm", "unit", "words"),
    [
        (3.1875 * INCH, "in", "3 3/16 in"),
        (3.1875 * INCH - 0.5, "in", "3 3/16 in shy"),
        (81.04, "mm", "81.0 mm"),
    ],
)
def test_a_dimension_says_its_unit_before_it_leans(mm, unit, words):
    assert dimension_words(mm, unit) == words


@pytest.mark.parametrize(
    ("inches", "sixteenths", "thirty_seconds"),
    [
        (5 + 31 / 32 + 0.001, "6 shy", "5 31/32"),
        (5 + 31 / 32 + 0.006, "6 shy", "5 31/32 strong"),
        (3 + 3 / 16 + 0.015, "3 3/16 strong", "3 3/16 strong"),
        (8.75, "8 3/4", "8 3/4"),
    ],
)
def test_a_finer_tape_leaves_less_to_be_strong_or_shy(inches, sixteenths, thirty_seconds):
    assert reading(inches * INCH, "in", 16) == sixteenths
    assert reading(inches * INCH, "in", 32) == thirty_seconds
    assert reading(inches * INCH, "mm", 32) == reading(inches * INCH, "mm")


@pytest.mark.parametrize("flat", [True, False])
@pytest.mark.parametrize("critical", [True, False])
def test_the_tape_is_as_fine_as_the_tolerance_printed_beside_it(flat, critical):
    told = (check_sheet if flat else folded_rows).TOLERANCES[critical]["in"]
    allowed = Fraction(re.search(r"1/\d+", told)[0])
    # the tape shows what is allowed, and nothing finer than a sixteenth without need
    assert tape_divisions(flat=flat, critical=critical) == max(16, 1 / allowed)


@pytest.mark.parametrize(
    ("mm", "unit", "words"),
    [
        (6.75 * INCH, "in", "6 3/4 in"),
        (6.75 * INCH + 0.01, "in", "6 13/16 in"),
        (171.0, "mm", "171 mm"),
        (171.01, "mm", "172 mm"),
    ],
)
def test_stock_is_rounded_up(mm, unit, words):
    assert spoken(mm, unit, "up") == words


def test_areas_and_weights_tell_the_files_unit_first():
    assert area_words(INCH**2 * 10, "in") == "10.0 in² (65 cm²)"
    assert area_words(INCH**2 * 10, "mm") == "65 cm² (10.0 in²)"
    # 0.45359237 kg in a pound, by definition
    assert weight_words(0.45359237, "in") == "1.00 lb (0.45 kg)"
    assert weight_words(0.45359237, "mm") == "0.45 kg (1.00 lb)"


def test_the_other_unit_is_the_other():
    assert other_unit("in") == "mm"
    assert other_unit("mm") == "in"
