from __future__ import annotations

import math

import pytest

from platewright.errors import BuildError
from platewright.geometry.plane import Point, Vector
from platewright.suspension.linkage import FourLink, TrailingArm
from platewright.suspension.range_of_motion import range_at, reach

UP = Vector(0.0, 1.0)
ARM = TrailingArm(pivot=Point(0.0, 40.0), length=500.0)
LINKS = FourLink(
    lower_pivot=Point(0.0, -50.0),
    lower_length=600.0,
    upper_pivot=Point(100.0, 120.0),
    upper_length=480.0,
    lower_eye=Vector(0.0, -90.0),
    upper_eye=Vector(10.0, 110.0),
)
PARALLEL = FourLink(
    lower_pivot=Point(0.0, -50.0),
    lower_length=600.0,
    upper_pivot=Point(0.0, 150.0),
    upper_length=600.0,
    lower_eye=Vector(0.0, -90.0),
    upper_eye=Vector(0.0, 110.0),
)


def test_an_arm_locks_straight_up_and_straight_down() -> None:
    motion = range_at(ARM, UP, 0.0)
    assert motion is not None
    assert motion.lowest.height == pytest.approx(40 - 500, abs=1e-9)
    assert motion.highest.height == pytest.approx(40 + 500, abs=1e-9)
    assert motion.lowest.why == motion.highest.why == "dead point"


def test_beyond_a_stop_the_height_of_the_stop_is_told() -> None:
    motion = range_at(ARM, UP, 0.0)
    assert motion is not None
    with pytest.raises(BuildError, match=r"-460\.000 mm \(dead point\)"):
        motion.posture(-461.0)
    with pytest.raises(BuildError, match=r"540\.000 mm"):
        motion.posture(541.0)


@pytest.mark.parametrize(("behind", "sign"), [(True, 1), (False, -1)])
def test_an_arm_trails_or_leads(behind: bool, sign: int) -> None:
    motion = range_at(ARM, UP, 140.0, behind=behind)
    assert motion is not None
    assert motion.posture(140.0).axle.origin.x == pytest.approx(sign * math.sqrt(500**2 - 100**2))


def test_a_height_out_of_reach_has_no_swing() -> None:
    assert range_at(ARM, UP, 541.0) is None
    least, greatest = reach(ARM, UP) or (0.0, 0.0)
    assert least == pytest.approx(-460.0)
    assert greatest == pytest.approx(540.0)


def test_links_that_cannot_close_have_no_reach() -> None:
    loose = FourLink(
        lower_pivot=Point(0.0, 0.0),
        lower_length=900.0,
        upper_pivot=Point(0.0, 100.0),
        upper_length=500.0,
        lower_eye=Vector(0.0, 0.0),
        upper_eye=Vector(0.0, 100.0),
    )
    assert range_at(loose, UP, 0.0) is None
    assert reach(loose, UP) is None


@pytest.mark.parametrize("height", [-400.0, -100.0, 0.0, 300.0, 547.0])
def test_the_axle_is_where_it_was_asked_for(height: float) -> None:
    motion = range_at(LINKS, UP, 0.0)
    assert motion is not None
    assert motion.posture(height).height(UP) == pytest.approx(height, abs=1e-9)


def test_a_dead_point_is_where_the_axle_moves_level() -> None:
    motion = range_at(LINKS, UP, 0.0)
    assert motion is not None
    low = motion.at(motion.low)
    speed = low.axle.velocity
    assert abs(low.rise_rate(UP)) < 1e-9 * speed.length
    assert low.height(UP) == motion.lowest.height


def test_parallel_links_fold_flat_where_they_meet_their_pivots() -> None:
    motion = range_at(PARALLEL, UP, 50.0)
    assert motion is not None
    assert (motion.lowest.why, motion.highest.why) == ("folded flat", "folded flat")
    assert motion.lowest.height == pytest.approx(40 - 600, abs=1e-9)
    assert motion.highest.height == pytest.approx(40 + 600, abs=1e-9)


def test_the_axle_stands_as_it_was_measured_not_crossed() -> None:
    motion = range_at(LINKS, UP, 0.0)
    assert motion is not None
    assert abs(motion.posture(0.0).axle.angle) < 0.2


def test_the_vertical_may_lean() -> None:
    up = Vector(-math.sin(0.05), math.cos(0.05))
    motion = range_at(ARM, up, 0.0)
    assert motion is not None
    pivot_height = 40 * math.cos(0.05)
    assert motion.lowest.height == pytest.approx(pivot_height - 500, abs=1e-9)
