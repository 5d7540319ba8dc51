"""Bend and score figures from outside, each with its source beside it. Inches unless stated."""

import math

import pytest

from platewright.plate.bend import Brake, ScoreFold, outside_setback
from platewright.plate.stock import MATERIALS
from platewright.shop.bending import (
    air_bend_force,
    aviation_allowance,
    corner_relief,
    din_correction,
    din_shortening,
    handbook_allowance,
    handbook_k,
    least_radius,
)
from platewright.shop.scores import WHEEL_WANDER, WHEELS, Score, plastic_moment

INCH = 25.4
RIGHT = math.pi / 2

# exact; the FAA-H-8083-31 ch. 4 chart
K_CHART = [(30, 0.26795), (45, 0.41421), (60, 0.57735), (90, 1.0), (120, 1.73205), (135, 2.41421)]


@pytest.mark.parametrize(("degrees", "k"), K_CHART)
def test_setback_is_k_times_radius_and_thickness(degrees: float, k: float) -> None:
    # SB = K (R + T), K = tan(N / 2): FAA-H-8083-31 ch. 4, read
    found = outside_setback(Brake(radius=0.6, k=0.44), math.radians(degrees), 0.4)
    assert found == pytest.approx(k, abs=6e-6)


def test_bend_allowance_of_aviation() -> None:
    # BA = (0.01743 R + 0.0078 T) N: FAA-H-8083-31 ch. 4, read (a Navy text prints 0.0173)
    assert aviation_allowance(1, 0, math.radians(1)) == pytest.approx(0.01743)
    assert aviation_allowance(0, 1, math.radians(1)) == pytest.approx(0.0078)


def test_u_channel() -> None:
    # T .040 R .16, mold lines 1.00/2.00/1.00: FAA-H-8083-31 ch. 4, read
    setback = outside_setback(Brake(radius=0.16, k=0.44), RIGHT, 0.040)
    flats = (1 - setback, 2 - 2 * setback, 1 - setback)
    width = sum(flats) + 2 * aviation_allowance(0.16, 0.040, RIGHT)
    assert setback == pytest.approx(0.200)
    assert flats == pytest.approx((0.8, 1.6, 0.8))
    assert width == pytest.approx(3.758, abs=0.0005)
    # the book's own rounded width, memory
    assert width == pytest.approx(3.74, abs=0.02)


def test_sheet_metal_workbook() -> None:
    # T .050 R .032, 90 deg: BA .085, 2 SB .164, BD .079: Sheet Metal Workbook, 6th ed. 2012, read
    allowance = aviation_allowance(0.032, 0.050, RIGHT)
    both = 2 * outside_setback(Brake(radius=0.032, k=0.44), RIGHT, 0.050)
    assert allowance == pytest.approx(0.085, abs=0.0005)
    assert both == pytest.approx(0.164, abs=0.0005)
    assert both - allowance == pytest.approx(0.079, abs=0.0005)


def test_mid_thickness_axis() -> None:
    # plate 1/2, R 3, 90 deg: 5.10 with 1.57 for pi/2: NAVEDTRA 14119 p. 13-43, read
    assert Brake(radius=3, k=0.5).allowance(RIGHT, 0.5) == pytest.approx(5.10, abs=0.006)


@pytest.mark.parametrize(
    ("temper", "factor"),
    # Machinery's Handbook 31st ed. p. 1421, read
    [("soft", 0.55), ("medium", 0.64), ("hard", 0.71)],
)
def test_handbook_length(temper: str, factor: float) -> None:
    assert handbook_allowance(3, 2, RIGHT, temper) == pytest.approx(factor * 2 + 1.57 * 3)
    # other angles: times N / 90, same page
    assert handbook_allowance(3, 2, RIGHT / 2, temper) == pytest.approx(factor + 1.57 * 1.5)
    # the same as a neutral-line factor: 1.57 stands for pi / 2
    by_factor = Brake(radius=3, k=handbook_k(temper)).allowance(RIGHT, 2)
    assert by_factor == pytest.approx(factor * 2 + 1.57 * 3, abs=0.003)


DIN_90 = [
    # r, s, v in mm: DIN 6935 at 90 degrees, exact; the printed table agrees to .1 (memory)
    (1, 1, 1.919),
    (2.5, 2, 3.976),
    (4, 3, 6.038),
    (6, 5, 9.867),
    (10, 6, 12.706),
]


@pytest.mark.parametrize(("radius", "thickness", "shortening"), DIN_90)
def test_din_6935_at_90(radius: float, thickness: float, shortening: float) -> None:
    assert din_shortening(radius, thickness, RIGHT) == pytest.approx(shortening, abs=0.0005)


def _din_6935(radius: float, s: float, opening: float) -> float:
    """DIN 6935 as it is printed, from the opening angle in degrees (read)."""
    k = 0.65 + 0.5 * math.log10(radius / s) if radius / s <= 5 else 1.0
    arc = math.pi * (180 - opening) / 180 * (radius + k * s / 2)
    if opening <= 90:
        return 2 * (radius + s) - arc
    if opening <= 165:
        return 2 * (radius + s) * math.tan(math.radians(180 - opening) / 2) - arc
    return 0.0


@pytest.mark.parametrize("opening", [30, 60, 90, 91, 120, 150, 164, 166, 179])
def test_din_6935_at_other_openings(opening: float) -> None:
    for radius, s in ((1.0, 1.0), (6.0, 5.0), (40.0, 6.0)):
        found = din_shortening(radius, s, math.radians(180 - opening))
        assert found == pytest.approx(_din_6935(radius, s, opening), abs=1e-9)


def test_din_6935_factor() -> None:
    # k = 0.65 + 0.5 log10(r/s) up to r/s = 5, else 1: DIN 6935, read
    assert din_correction(3, 3) == pytest.approx(0.65)
    assert din_correction(30, 3) == 1.0


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


@pytest.mark.parametrize(
    ("thickness", "radius", "hole"),
    # about 2R; at least 1/8 for T to .064, 3/16 for .072-.128: FAA-H-8083-31 ch. 4, read
    [(0.064, 0.03, 1 / 8), (0.072, 0.03, 3 / 16), (0.128, 0.03, 3 / 16), (0.064, 0.25, 0.5)],
)
def test_corner_relief(thickness: float, radius: float, hole: float) -> None:
    assert corner_relief(radius * INCH, thickness * INCH) == pytest.approx(hole * INCH)


def test_moment_falls_with_the_square_of_the_ligament() -> None:
    # strip moment in a half-depth score: exact
    whole = plastic_moment(100, 6, 250)
    assert plastic_moment(100, 3, 250) / whole == pytest.approx(0.25)


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
