"""Published lengths of bends, read as legs on a trial strip, give back their own neutral line."""

import math

import pytest

from platewright.plate.bend import Brake
from platewright.shop.trial_bend import LegReading, TrialFit

INCH = 25.4


def factor(legs, flat, angle, radius, thickness):
    """The k that one strip tells; lengths mm, the angle as the metal turns, degrees."""
    reading = LegReading(legs / 2, legs / 2, math.radians(angle))
    fit = TrialFit(
        thickness=thickness,
        way=Brake(radius, 0.0),
        angle=math.radians(angle),
        flat=flat,
        readings=(reading,),
        fineness=0.5,
    )
    return fit.found


@pytest.mark.parametrize("angle", [30, 45, 60, 90])
@pytest.mark.parametrize(("radius", "thickness"), [(0.25, 0.050), (0.032, 0.050), (0.1875, 0.1875)])
def test_aviation_allowance(angle, radius, thickness):
    # FAA-H-8083-31 ch. 4, read (AC 43.13-1B has the same, from memory): SB = (R + T) tan(N/2),
    # BA = (0.01743 R + 0.0078 T) N. 0.01743 stands for pi/180: what it lacks of R comes back too
    allowance = (0.01743 * radius + 0.0078 * thickness) * angle
    setback = (radius + thickness) * math.tan(math.radians(angle) / 2)
    legs = 4.0 - allowance + 2 * setback
    told = factor(legs * INCH, 4.0 * INCH, angle, radius * INCH, thickness * INCH)
    known = 0.0078 * 180 / math.pi
    assert known == pytest.approx(0.4469, abs=1e-4)
    rounding = (0.01743 * 180 / math.pi - 1) * radius / thickness
    assert told == pytest.approx(known + rounding, abs=1e-9)


def test_aviation_example_as_printed():
    # r .25, T .050, 45 degrees, mould lines 2.00 + 2.00: the printed flat 3.965 gives k 0.437, its
    # last digit worth 0.025
    told = factor(4.0 * INCH, 3.965 * INCH, 45, 0.25 * INCH, 0.050 * INCH)
    assert told == pytest.approx(0.437, abs=0.001)
    assert told == pytest.approx(0.4469, abs=0.025)


@pytest.mark.parametrize("opening", [165, 150, 120, 90, 75, 45])
@pytest.mark.parametrize(
    ("radius", "thickness"), [(1, 1), (2.5, 2), (4, 3), (6, 5), (10, 6), (40, 6)]
)
def test_din_6935(opening, radius, thickness):
    # DIN 6935, read: flat = a + b - v, v by the opening, k = 0.65 + 0.5 log10(r/s) up to r/s = 5,
    # else 1, of half the thickness
    factor_din = 0.65 + 0.5 * math.log10(radius / thickness) if radius / thickness <= 5 else 1.0
    turned = math.pi * (180 - opening) / 180
    corner = 1.0 if opening <= 90 else math.tan(turned / 2)
    v = 2 * (radius + thickness) * corner - turned * (radius + thickness / 2 * factor_din)
    told = factor(200 + v, 200, 180 - opening, radius, thickness)
    assert told == pytest.approx(factor_din / 2, abs=1e-9)


@pytest.mark.parametrize(
    ("radius", "thickness", "v"),
    # mm, at 90 degrees: exact by the formula, agree with the printed table to .1 (memory)
    [(1, 1, 1.919), (2.5, 2, 3.976), (4, 3, 6.038), (6, 5, 9.867), (10, 6, 12.706)],
)
def test_din_6935_figures(radius, thickness, v):
    told = factor(200 + v, 200, 90, radius, thickness)
    known = (0.65 + 0.5 * math.log10(radius / thickness)) / 2
    assert told == pytest.approx(known, abs=0.001 / thickness)


@pytest.mark.parametrize("angle", [60, 90, 120])
@pytest.mark.parametrize("share", [0.55, 0.64, 0.71])
def test_machinerys_handbook(share, angle):
    # Machinery's Handbook 31st ed. p. 1421, read: 0.55 T, 0.64 T or 0.71 T + 1.57 R at 90 degrees,
    # other angles in proportion
    radius, thickness = 0.25, 0.1875
    allowance = (share * thickness + 1.57 * radius) * angle / 90
    turned = math.radians(angle)
    setback = (radius + thickness) * (math.tan(turned / 2) if angle <= 90 else 1.0)
    legs = 4.0 - allowance + 2 * setback
    told = factor(legs * INCH, 4.0 * INCH, angle, radius * INCH, thickness * INCH)
    # 1.57 stands for pi/2
    rounding = (1.57 / (math.pi / 2) - 1) * radius / thickness
    assert told == pytest.approx(share / (math.pi / 2) + rounding, abs=1e-9)


def test_plate_bent_about_its_middle():
    # NAVEDTRA 14119 p. 13-43, read: plate 1/2, R 3, mid-thickness axis, BA 5.10 (with 1.57)
    legs = 12 - 5.10 + 2 * 3.5
    assert factor(legs * INCH, 12 * INCH, 90, 3 * INCH, 0.5 * INCH) == pytest.approx(0.5, abs=0.01)
