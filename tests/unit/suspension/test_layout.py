from __future__ import annotations

import math

import pytest

from platewright.errors import BuildError
from platewright.geometry.plane import Point
from platewright.suspension.layout import Ground, Stand, on_stands, rake


def test_level_the_ground_is_under_the_lowest_point() -> None:
    ground = Ground(Point(500.0, -100.0))
    assert ground.height(Point(-2000.0, 30.0)) == 130.0
    assert ground.height(Point(500.0, -100.0)) == 0.0


def test_with_the_front_high_points_ahead_are_higher() -> None:
    ground = Ground(Point(0.0, 0.0), rake(front=120.0, rear=20.0, apart=1000.0))
    assert math.sin(ground.rake) == pytest.approx(0.1)
    assert ground.height(Point(-1000.0, 0.0)) == pytest.approx(100.0)
    assert ground.height(Point(1000.0, 0.0)) == pytest.approx(-100.0)
    assert ground.up.dot(ground.along) == pytest.approx(0.0)


def test_heights_further_apart_than_their_marks_make_no_rake() -> None:
    with pytest.raises(BuildError) as caught:
        rake(front=1000.0, rear=0.0, apart=1000.0)
    assert "frame.marks_apart" in caught.value.keys


def test_equal_stands_hold_the_datum_level_at_their_height() -> None:
    floor = on_stands(Stand(-1000.0, 300.0), Stand(1500.0, 300.0))
    assert floor.rake == 0.0
    assert floor.height(Point(200.0, 45.0)) == pytest.approx(345.0)


def test_unequal_stands_each_hold_their_own_point() -> None:
    front, rear = Stand(-800.0, 350.0), Stand(1200.0, 250.0)
    floor = on_stands(front, rear)
    assert floor.height(Point(front.station, 0.0)) == pytest.approx(350.0)
    assert floor.height(Point(rear.station, 0.0)) == pytest.approx(250.0)
    assert floor.rake > 0


def test_stands_the_wrong_way_round_are_refused() -> None:
    with pytest.raises(BuildError, match="behind"):
        on_stands(Stand(100.0, 300.0), Stand(0.0, 300.0))
