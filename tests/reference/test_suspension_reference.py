"""Springs, tyres and linkages against figures from outside."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest

from platewright.geometry.plane import Point, Vector
from platewright.suspension.four_bar import FourBar, angles
from platewright.suspension.linkage import FourLink, TrailingArm
from platewright.suspension.range_of_motion import range_at
from platewright.suspension.spring import Heights, SpringStroke
from platewright.suspension.tyre import estimated_radius, tyre

INCH = 25.4
UP = Vector(0.0, 1.0)


# common practice, no published source
def test_stroke_is_greatest_less_least() -> None:
    assert Heights(least=3 * INCH, greatest=12 * INCH).stroke == pytest.approx(9 * INCH)


# common practice, no published source
def test_mounts_three_inches_too_far_apart_leave_six() -> None:
    heights = Heights(least=3 * INCH, greatest=12 * INCH)
    lost = SpringStroke(heights=heights, gap=6 * INCH).lost
    assert lost == pytest.approx(3 * INCH)
    assert heights.stroke - lost == pytest.approx(6 * INCH)


# ISO 4000-1 designation: 25.4 rim + 2 width aspect / 100, exact
@pytest.mark.parametrize(
    ("designation", "diameter"),
    [("225/70R15", 696.0), ("ST205/75R15", 688.5), ("225/45R17", 634.3), ("31x10.50R15", 787.4)],
)
def test_tyre_diameters(designation: str, diameter: float) -> None:
    assert tyre(designation).diameter == pytest.approx(diameter, abs=1e-9)


# the same, in inches
def test_tyre_diameter_in_inches() -> None:
    assert tyre("ST205/75R15").diameter / INCH == pytest.approx(27.106, abs=5e-4)


# common practice, no published source: loaded radius 3 to 4 % less than free
def test_loaded_radius() -> None:
    estimate = estimated_radius(tyre("225/70R15"))
    assert (estimate.least, estimate.greatest) == pytest.approx((334.08, 337.56))


# Freudenstein 1955; Norton, Design of Machinery, ch. 4: a 2, b 7, c 9, d 6, crank 30 degrees
@pytest.mark.parametrize(
    ("side", "coupler", "rocker", "within"),
    [(1, 88.84, 117.29, 0.005), (-1, -115.2, -143.7, 0.05)],
    ids=["open", "crossed"],
)
def test_the_worked_four_bar(side: int, coupler: float, rocker: float, within: float) -> None:
    bar = FourBar(crank=2, coupler=7, rocker=9, ground=6)
    at = angles(bar, math.radians(30), side)
    assert math.degrees(at.coupler) == pytest.approx(coupler, abs=within)
    assert math.degrees(at.rocker) == pytest.approx(rocker, abs=within)


# exact: rise L (sin q2 - sin q1), fore-aft L (cos q2 - cos q1)
def test_an_arm_from_minus_ten_to_twenty_five_degrees() -> None:
    arm = TrailingArm(pivot=Point(0.0, 0.0), length=600.0)
    q1, q2 = math.radians(-10), math.radians(25)
    motion = range_at(arm, UP, 0.0)
    assert motion is not None
    low, high = (motion.posture(600 * math.sin(q)).axle.origin for q in (q1, q2))
    assert high.y - low.y == pytest.approx(600 * (math.sin(q2) - math.sin(q1)))
    assert high.x - low.x == pytest.approx(600 * (math.cos(q2) - math.cos(q1)))


# exact: equal parallel links make a parallelogram, whose coupler does not turn
def test_equal_parallel_links() -> None:
    links = FourLink(
        lower_pivot=Point(0.0, 0.0),
        lower_length=600.0,
        upper_pivot=Point(20.0, 180.0),
        upper_length=600.0,
        lower_eye=Vector(-10.0, -80.0),
        upper_eye=Vector(10.0, 100.0),
    )
    motion = range_at(links, UP, 150.0)
    assert motion is not None
    for height in (-300.0, 0.0, 150.0, 400.0):
        assert motion.posture(height).axle.angle == pytest.approx(0.0, abs=1e-12)


def _random_links(chance: random.Random) -> FourLink:
    lower_eye = Vector(chance.uniform(-60, 60), chance.uniform(-150, -60))
    upper_eye = Vector(chance.uniform(-80, 80), chance.uniform(60, 180))
    centre = Point(chance.uniform(500, 800), 0.0)
    lower = Point(chance.uniform(-100, 100), chance.uniform(-120, -20))
    upper = Point(chance.uniform(-100, 100), chance.uniform(50, 200))
    return FourLink(
        lower_pivot=lower,
        lower_length=lower.distance(centre + lower_eye),
        upper_pivot=upper,
        upper_length=upper.distance(centre + upper_eye),
        lower_eye=lower_eye,
        upper_eye=upper_eye,
    )


# a general solver (scipy's hybrid Powell method) on the bare constraints: both links keep their
# lengths and the axle is at a height; followed in small steps from the place as measured
@pytest.mark.parametrize("seed", range(12))
def test_positions_against_a_general_solver(seed: int) -> None:
    from scipy.optimize import root  # takes half a second to load

    links = _random_links(random.Random(seed))
    motion = range_at(links, UP, 0.0)
    assert motion is not None
    unknown = np.array([motion.posture(0.0).axle.origin.x, 0.0])
    for height in np.linspace(0, 0.8 * motion.lowest.height, 25):

        def misfit(x: np.ndarray, height: float = float(height)) -> list[float]:
            centre = Point(float(x[0]), height)
            lower = centre + links.lower_eye.turned(float(x[1]))
            upper = centre + links.upper_eye.turned(float(x[1]))
            return [
                links.lower_pivot.distance(lower) - links.lower_length,
                links.upper_pivot.distance(upper) - links.upper_length,
            ]

        found = root(misfit, unknown, tol=1e-11)
        unknown = found.x
        assert max(abs(found.fun)) < 1e-7
        axle = motion.posture(float(height)).axle
        assert axle.origin.x == pytest.approx(unknown[0], abs=1e-6)
        assert axle.angle == pytest.approx(unknown[1], abs=1e-8)
