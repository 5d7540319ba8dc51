"""Bend and score figures from outside, each with its source beside it. Inches unless stated."""

import math

import pytest

from platewright.plate.bend import Brake, ScoreFold
from platewright.plate.stock import MATERIALS
from platewright.shop.brake import air_bend_force, least_radius
from platewright.shop.scores import WHEEL_WANDER, WHEELS, Score

INCH = 25.4


def test_least_radius_of_steel() -> None:
    # 1.5 T for A36 up to 3/4 in, times 1.5 along the grain: ASTM A6 Table X4.2, read
    for inches in (0.25, 0.75):
        across = least_radius(MATERIALS["A36"], inches * INCH)
        along = least_radius(MATERIALS["A36"], inches * INCH, along_grain=True)
        assert across is not None
        assert along is not None
        assert across.radius == pytest.approx(1.5 * inches * INCH)
        assert along.radius == pytest.approx(2.25 * inches * INCH)


@pytest.mark.parametrize(
    ("name", "times"),
    # at 3/16 in and 90 degrees: Aluminum Association style table, read
    [("5052-H32", 1.5), ("6061-T4", 2.5), ("6061-T6", 3)],
)
def test_least_radius_of_aluminium(name: str, times: float) -> None:
    found = least_radius(MATERIALS[name], 3 / 16 * INCH)
    assert found is not None
    assert found.radius == pytest.approx(times * 3 / 16 * INCH)


def test_moment_falls_with_the_square_of_the_ligament() -> None:
    # strip moment in a half-depth score: exact
    whole, half = (
        Score(way=ScoreFold(2.0, ligament), thickness=6, angle=1.0, length=100).moment(250)
        for ligament in (6, 3)
    )
    assert half / whole == pytest.approx(0.25)


def test_groove_on_the_inside_shuts() -> None:
    # where the ligament's middle has turned w / (d + t / 2) radians: geometry, w 0.110, d 0.1406,
    # t 0.0469 in
    way = ScoreFold(groove=0.110 * INCH, ligament=0.0469 * INCH)
    score = Score(way=way, thickness=(0.1406 + 0.0469) * INCH, angle=1.0, length=100.0)
    assert math.degrees(score.shut_angle) == pytest.approx(38.4, abs=0.05)


@pytest.mark.parametrize(
    ("thickness", "radius", "die"),
    # inches: six times the radius, the radius that mild steel takes on an open die; from 6 to 20
    # thicknesses. Common practice, no published source
    [(3 / 16, 1 / 4, 1.5), (1 / 8, 5 / 16, 1.875), (3 / 16, 1 / 8, 1.125), (3 / 16, 2, None)],
)
def test_die_opening(thickness: float, radius: float, die: float | None) -> None:
    found = Brake(radius * INCH, 0.4).die(thickness * INCH)
    assert found == (None if die is None else pytest.approx(die * INCH))


@pytest.mark.parametrize(
    ("included", "factor"),
    # least flange to the tangent on dies of 60 and 30 degrees, against the same at 90 degrees:
    # press-brake tool charts, from memory, which round to a tenth
    [(90, 1.0), (60, 1.1), (30, 1.6)],
)
def test_least_flange_on_sharper_dies(included: float, factor: float) -> None:
    thickness, radius = 3.0, 4.0  # a die of 8 thicknesses
    way = Brake(radius, 0.4)
    flange, square = (
        way.least_flat(math.radians(180 - each), thickness) + radius + thickness
        for each in (included, 90)
    )
    assert flange / square == pytest.approx(factor, abs=0.05)


def test_least_flange_at_a_right_angle() -> None:
    # 0.7 V: press-brake tool charts, from memory; V / (2 cos 45) by geometry
    way = Brake(6.0, 0.4)
    assert way.least_flat(math.pi / 2, 4.0) + 6.0 + 4.0 == pytest.approx(0.707 * 36, rel=1e-3)


def test_cutoff_wheels() -> None:
    # .045, 1/16, 3/32 in; groove up to .015 wider: common practice, no published source
    assert [wheel / INCH for wheel in WHEELS] == pytest.approx([0.045, 1 / 16, 3 / 32])
    assert pytest.approx(0.015) == WHEEL_WANDER / INCH


def test_air_bend_force() -> None:
    # 1.33 Rm b T2 / V: common practice, no published source; worked by hand for A36's 550 MPa,
    # 1 m of 6 mm plate over a 50 mm die
    assert air_bend_force(MATERIALS["A36"], 1000, 6, 50) == pytest.approx(526_680)
