"""Laws of trial bends: true strips tell how they were bent, a wrong reading is named."""

import math

from hypothesis import assume, given
from hypothesis import strategies as st

from platewright.plate.bend import Brake, ScoreFold, setback
from platewright.shop.trial_bend import LegReading, TrialFit, TrialStrip

TAPES = {"in": [25.4 / 64, 25.4 / 32], "mm": [0.1, 0.5]}


@st.composite
def trials(draw):
    """A way of bending, its strip, and what its tape is divided into."""
    thickness = draw(st.floats(1.0, 13.0))
    if draw(st.booleans()):
        way = Brake(draw(st.floats(0.3, 5.0)) * thickness, draw(st.floats(0.2, 0.5)))
    else:
        groove = draw(st.floats(1.0, 4.0))
        way = ScoreFold(groove, draw(st.floats(0.1, 0.6)) * min(groove, 0.8 * thickness))
    angle = math.radians(draw(st.integers(30, 135)))
    unit = draw(st.sampled_from(["in", "mm"]))
    strip = TrialStrip(thickness=thickness, way=way, angle=angle, unit=unit)
    return strip, draw(st.sampled_from(TAPES[unit]))


def bent(strip, turned, share):
    """Both legs of a strip that turned so far, its line off by a share of a leg: exact."""
    total = strip.flat + 2 * setback(strip.way, turned, strip.thickness, "outside")
    total -= strip.way.allowance(turned, strip.thickness)
    return total * (0.5 + share), total * (0.5 - share)


@st.composite
def read_strips(draw, least=1, most=6):
    """A trial, and its strips as a tape and a protractor read them, each to the nearest."""
    strip, division = draw(trials())
    count = draw(st.integers(least, most))
    readings = []
    for _ in range(count):
        turned = strip.angle - math.radians(draw(st.floats(0.0, 2.0)))
        legs = bent(strip, turned, draw(st.floats(-0.02, 0.02)))
        one, other = (round(leg / division) * division for leg in legs)
        readings.append(LegReading(one, other, math.radians(round(math.degrees(turned) * 2) / 2)))
    return strip, division, tuple(readings)


def fit_of(strip, division, readings):
    return TrialFit(
        thickness=strip.thickness,
        way=strip.way,
        angle=strip.angle,
        flat=strip.flat,
        readings=readings,
        fineness=division,
    )


def wanted(way):
    return way.k if way.brake else way.ligament


@given(read_strips())
def test_true_strips_tell_how_they_were_bent_within_the_error_they_state(case):
    fit = fit_of(*case)
    assert abs(fit.found - wanted(case[0].way)) <= fit.error * (1 + 1e-3) + 1e-9
    assert not fit.apart
    assert fit.agrees


@given(read_strips(least=4), st.data())
def test_a_planted_wrong_reading_is_named(case, data):
    strip, division, readings = case
    number = data.draw(st.integers(0, len(readings) - 1))
    wrong = data.draw(st.sampled_from([25.4 / 8, -25.4 / 8, 25.4 / 4, -10.0, 25.4 / 2]))
    # beyond what rounding may leave the others apart: 3.5 deviations of it, and its own share
    assume(abs(wrong) > 7 * fit_open(strip, division))
    one = readings[number]
    planted = LegReading(one.one + wrong, one.other, one.angle)
    fit = fit_of(strip, division, (*readings[:number], planted, *readings[number + 1 :]))
    assert [(each.strip, each.what) for each in fit.apart] == [(number + 1, "legs")]
    assert abs(fit.found - wanted(strip.way)) <= fit.error * (1 + 1e-3) + 1e-9


def fit_open(strip, division):
    """What tape and protractor leave open of a strip's legs together, mm: half of each division."""
    half = math.radians(0.25)
    legs = [sum(bent(strip, strip.angle + by, 0.0)) for by in (-half, 0.0, half)]
    return division + max(abs(legs[1] - legs[0]), abs(legs[2] - legs[1]))
