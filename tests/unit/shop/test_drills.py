"""Drills by name, and what a hole is good for."""

from fractions import Fraction

import pytest

from platewright.geometry.plane import Point
from platewright.plate.bracket import Hole
from platewright.shop.drills import FRACTIONS, METRIC, NAMED, drills_for, tapped, use_of
from platewright.shop.hardware import BOLTS, PORTS, clearance_hole

INCH = 25.4


def names(diameter, unit="in"):
    return [drill.name for drill in drills_for(diameter, unit)]


# ASME B94.11M: number 7 0.201, letter F 0.257, letter R 0.339 in
@pytest.mark.parametrize(
    ("name", "inches"), [("No. 7", 0.201), ("letter F", 0.257), ("letter R", 0.339)]
)
def test_named_drills_are_those_of_the_standard(name, inches):
    (drill,) = [each for each in NAMED if each.name == name]
    assert drill.diameter == pytest.approx(inches * INCH)
    assert names(inches * INCH)[0] == name


def test_named_drills_grow_with_their_letters_and_shrink_with_their_numbers():
    numbers = [drill.diameter for drill in NAMED if drill.name.startswith("No.")]
    letters = [drill.diameter for drill in NAMED if drill.name.startswith("letter")]
    assert (len(numbers), len(letters)) == (60, 26)
    assert numbers == sorted(numbers, reverse=True)
    assert letters == sorted(letters)
    # the letters go on where the numbers end, and E is a quarter inch
    assert letters[0] > numbers[0]
    assert letters[4] == pytest.approx(INCH / 4)


def test_fractions_are_exact_sixty_fourths():
    for drill in FRACTIONS:
        words = drill.name.removesuffix(" in")
        assert drill.diameter == pytest.approx(float(sum(map(Fraction, words.split()))) * INCH)
        assert drill.diameter * 64 / INCH == pytest.approx(round(drill.diameter * 64 / INCH))


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("bolt", BOLTS)
def test_a_clearance_hole_is_drilled_by_its_own_drill(bolt, unit):
    hole = clearance_hole(BOLTS[bolt], "normal")
    found = drills_for(hole, unit)
    assert all(drill.diameter >= hole - 0.05 for drill in found)
    nearest = min(abs(drill.diameter - hole) for drill in (*FRACTIONS, *NAMED, *METRIC))
    assert min(abs(drill.diameter - hole) for drill in found) <= nearest + 0.06


def test_the_hole_for_a_quarter_inch_pipe_thread_has_a_shop_fraction():
    # 0.540 in outside (ASME B1.20.1) and 1/32 clear: 0.571, so 37/64 = 0.578
    assert names(PORTS["1/4 NPT"].hole)[0] == "37/64 in"


def test_metric_files_name_the_metric_drill_first():
    assert names(13.5, "mm")[0] == "13.5 mm"
    assert names(13.5, "in")[1] == "13.5 mm"


def test_none_is_named_beyond_the_largest():
    assert names(100.0) == []


# coarse threads: the thread less its pitch (ISO 2306; pitches of ISO 261)
@pytest.mark.parametrize(
    ("thread", "pitch"),
    [(3, 0.5), (4, 0.7), (5, 0.8), (6, 1.0), (10, 1.5), (14, 2.0), (16, 2.0), (20, 2.5)],
)
def test_a_metric_tap_drill_is_the_thread_less_its_pitch(thread, pitch):
    assert f"M{thread}" in tapped(thread - pitch)


# National Coarse: No. 7 for 1/4-20, F for 5/16-18 and 5/16 for 3/8-16; 7/16 for 1/4 NPT
@pytest.mark.parametrize(
    ("inches", "thread"),
    [(0.201, "1/4-20"), (0.257, "5/16-18"), (5 / 16, "3/8-16"), (7 / 16, "1/4 NPT")],
)
def test_inch_tap_drills(inches, thread):
    assert thread in tapped(inches * INCH)


def test_what_a_hole_is_for():
    bolt = hole("bolt hole 1", 13 / 32 * INCH, size="for 3/8 in bolt", role="bolt", fastener=9.525)
    assert use_of(bolt) == "clearance for 3/8 in bolt"
    assert use_of(hole("lock", 5 / 16 * INCH)) == "tap drill for 3/8-16, or plain"
    assert use_of(hole("drain", 40.0)) == "plain"


def hole(what, diameter, **more):
    return Hole(what=what, centre=Point(0.0, 0.0), diameter=diameter, **more)
