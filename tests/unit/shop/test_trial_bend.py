"""The trial strip, and how the metal bends as its legs tell it."""

import math

import pytest

from platewright.errors import UnitError
from platewright.geometry.plane import Bounds
from platewright.plate.bend import Brake, ScoreFold
from platewright.shop.trial_bend import LegReading, TrialFit, TrialStrip

RIGHT = math.pi / 2
BRAKE = Brake(5.0, 0.0)
SCORE = ScoreFold(2.8, 0.0)


def read(way, *readings, thickness=5.0, flat=100.0, fineness=0.1, angle=RIGHT):
    return TrialFit(
        thickness=thickness,
        way=way,
        angle=angle,
        flat=flat,
        readings=tuple(LegReading(*each) for each in readings),
        fineness=fineness,
    )


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("way", [Brake(6.0, 0.44), ScoreFold(2.8, 1.2)])
@pytest.mark.parametrize("thickness", [1.5, 4.7625, 12.7])
def test_the_marks_are_round_figures_and_stand_on_the_strip(way, thickness, unit):
    strip = TrialStrip(thickness=thickness, way=way, angle=RIGHT, unit=unit)
    step = 12.7 if unit == "in" else 10
    assert strip.leg / step == pytest.approx(round(strip.leg / step))
    box = strip.outline.bounds
    assert box.holds(Bounds(-strip.leg, 0, strip.leg, strip.width))
    assert strip.width >= 8 * thickness
    assert box.xmax >= way.least_flat(RIGHT, thickness)
    assert [line.start.x for line in strip.marks] == [-strip.leg, strip.leg]
    lead, run = strip.lead
    assert lead is not None
    assert not strip.outline.contains(lead.pierce)
    assert lead.segments[-1].end == run.segments[0].start


def test_a_brake_bend_worked_by_hand():
    # 90 degrees, r 5, T 5, legs 54.2 + 53.9 of 100: allowance 100 - 108.1 + 2 x 10 = 11.9,
    # k = (11.9 / (pi / 2) - 5) / 5
    fit = read(BRAKE, (54.2, 53.9, RIGHT))
    assert fit.found == pytest.approx((11.9 / RIGHT - 5) / 5)
    assert fit.bent.allowance(RIGHT, 5.0) == pytest.approx(11.9)


def test_a_score_worked_by_hand():
    # 90 degrees, groove 2.8, T 5: the ligament's middle keeps 2.8, so r = 2.8 / (pi / 2) - t / 2,
    # and the legs exceed the flat by 2 (r + 5) - 2.8; t 1.2 gives 9.5651
    fit = read(SCORE, (54.78255, 54.78255, RIGHT))
    assert fit.found == pytest.approx(1.2, abs=1e-4)
    assert fit.bent.allowance(RIGHT, 5.0) == 2.8


def test_springback_and_spread():
    fit = read(
        BRAKE,
        (54.2, 53.9, math.radians(89)),
        (54.1, 53.9, math.radians(88)),
        (54.2, 54.0, math.radians(88.5)),
    )
    assert [round(math.degrees(each), 6) for each in fit.springbacks] == [1, 2, 1.5]
    assert fit.spread == pytest.approx(max(fit.values) - min(fit.values))
    assert fit.agrees


def test_two_strips_that_differ_do_not_agree():
    good = (54.2, 53.9, RIGHT)
    assert read(BRAKE, good, (54.1, 53.9, RIGHT)).agrees
    assert not read(BRAKE, good, (55.2, 53.9, RIGHT)).agrees


def test_a_leg_misread_by_an_eighth_of_an_inch_is_named_and_left_out():
    good = (54.2, 53.9, RIGHT)
    fit = read(BRAKE, good, good, (54.2 + 25.4 / 8, 53.9, RIGHT), (54.2, 53.8, RIGHT))
    (odd,) = fit.apart
    assert (odd.strip, odd.what) == (3, "legs")
    assert fit.found == pytest.approx(read(BRAKE, good, good, (54.2, 53.8, RIGHT)).found)
    assert not fit.agrees


def test_an_angle_misread_is_named():
    good = (54.2, 53.9, math.radians(89))
    fit = read(BRAKE, good, good, good, (54.2, 53.9, math.radians(80)))
    assert ("angle", 4) in {(each.what, each.strip) for each in fit.apart}


def test_the_error_is_what_the_tape_leaves_open_or_how_the_strips_vary():
    one = read(BRAKE, (54.2, 53.9, RIGHT))
    alike = read(BRAKE, *[(54.2, 53.9, RIGHT)] * 5)
    assert alike.error == pytest.approx(one.error)
    varied = read(BRAKE, (54.2, 53.9, RIGHT), (54.9, 53.9, RIGHT), (53.6, 53.9, RIGHT))
    assert varied.error > one.error
    assert read(BRAKE, (54.2, 53.9, RIGHT), fineness=1.0).error > 2 * one.error


@pytest.mark.parametrize("legs", [(2.1, 2.1), (54.2, 5.4), (540, 54), (0.0, 0.0)])
def test_legs_that_no_bend_has_are_refused(legs):
    with pytest.raises(UnitError, match=r"strip 2: .*mind the unit"):
        read(BRAKE, (54.2, 53.9, RIGHT), (*legs, RIGHT))


def test_without_readings_there_is_nothing_to_tell():
    with pytest.raises(UnitError):
        read(BRAKE)
