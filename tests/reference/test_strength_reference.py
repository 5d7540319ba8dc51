"""Strength figures from outside, each with its source beside it."""

import pytest

from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.plate.bend import ScoreFold
from platewright.shop.scores import Score
from platewright.shop.strength import THROAT, Rectangle, least_fillet, section, weld_group

INCH = 25.4
KIP_INCH = 4448.2216 * INCH
KSI = 6.894757


def test_fully_plastic_strip() -> None:
    # Mp = Fy b t2 / 4; b 4 in, t .25 in, Fy 36 ksi: 2.25 kip in: exact, any strength text
    strip = Score(way=ScoreFold(2.0, 0.25 * INCH), thickness=INCH, angle=1.0, length=4 * INCH)
    assert strip.moment(36 * KSI) / KIP_INCH == pytest.approx(2.25, rel=1e-6)


@pytest.mark.parametrize(
    ("thinner", "leg"),
    # inches: AISC 360-16 Table J2.4, read
    [
        (0.1, 1 / 8),
        (1 / 4, 1 / 8),
        (0.3, 3 / 16),
        (1 / 2, 3 / 16),
        (0.6, 1 / 4),
        (3 / 4, 1 / 4),
        (1.0, 5 / 16),
    ],
)
def test_least_fillet(thinner: float, leg: float) -> None:
    assert least_fillet(thinner * INCH) == pytest.approx(leg * INCH)


# AISC 360-16 Table J2.4, the figures in mm in brackets beside the inches: from memory
@pytest.mark.parametrize(("thinner", "leg"), [(6, 3), (6.1, 3), (6.5, 5), (13, 6), (20, 8)])
def test_least_fillet_in_mm(thinner: float, leg: float) -> None:
    assert least_fillet(thinner, "mm") == leg


def test_fillet_throat() -> None:
    # .707 leg: exact
    assert pytest.approx(0.707, abs=0.0002) == THROAT


B, D = 120.0, 50.0
BOTTOM = Line(Point(0, 0), Point(B, 0))
TOP = Line(Point(0, D), Point(B, D))
LEFT = Line(Point(0, 0), Point(0, D))
RIGHT = Line(Point(B, 0), Point(B, D))


@pytest.mark.parametrize(
    ("lines", "modulus"),
    # weld as a line: Shigley 9th ed. Table 9-2 and others, read
    [
        ((TOP, BOTTOM, LEFT), B * D + D**2 / 6),
        ((LEFT, RIGHT), D**2 / 3),
        ((TOP, BOTTOM, LEFT, RIGHT), B * D + D**2 / 3),
    ],
    ids=["C shape", "two vertical", "box"],
)
def test_weld_as_a_line(lines: tuple[Line, ...], modulus: float) -> None:
    assert weld_group(lines).modulus == pytest.approx(modulus)


def test_rectangle_modulus() -> None:
    # b h2 / 6: exact, any strength text
    found = section([Rectangle(width=40, height=90, z=13)])
    assert found.modulus_top == pytest.approx(40 * 90**2 / 6)
    assert found.modulus_bottom == pytest.approx(40 * 90**2 / 6)


def test_tee() -> None:
    # flange 100 x 10 on a web 10 x 90: A 1900, neutral axis 71.32 above the foot, I about 1.80e6.
    # Worked by hand with the parallel-axis theorem, as in any strength text:
    # y = (1000 * 95 + 900 * 45) / 1900 = 71.3158; I = 8333.33 + 1000 * 23.6842^2
    #     + 607500 + 900 * 26.3158^2 = 1800044
    found = section([Rectangle(width=100, height=10, z=95), Rectangle(width=10, height=90, z=45)])
    assert found.area == pytest.approx(1900)
    assert found.neutral == pytest.approx(71.3158, abs=5e-5)
    assert found.inertia == pytest.approx(1800044, rel=1e-6)
