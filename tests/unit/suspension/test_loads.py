from __future__ import annotations

import pytest

from platewright.errors import BuildError
from platewright.geometry.plane import Point, Vector
from platewright.suspension.loads import spring_force, spring_load
from platewright.suspension.seat import Mount, SeatPlace
from platewright.suspension.spring import HeightTable

SEAT = SeatPlace(at=Point(0.0, 0.0), angle=0.0, velocity=Vector(0.0, 1.0), spin=0.0)
MOUNT = Mount(at=Point(60.0, 80.0), angle=0.0)


def test_half_the_motion_is_twice_the_force() -> None:
    assert spring_force(4000.0, 0.5) == 8000.0


@pytest.mark.parametrize("ratio", [0.0, -0.3])
def test_a_spring_that_does_not_lengthen_carries_nothing(ratio: float) -> None:
    with pytest.raises(BuildError, match="does not lengthen"):
        spring_force(4000.0, ratio)


def test_the_push_runs_along_the_spring() -> None:
    load = spring_load(4000.0, 0.5, SEAT, MOUNT, None)
    assert load.push_n == Vector(0.6 * 8000, 0.8 * 8000)
    assert load.pressure_mpa is None


def test_pressure_is_force_over_area_and_none_outside_the_table() -> None:
    table = HeightTable(((90.0, 20000.0), (110.0, 16000.0)))
    load = spring_load(4500.0, 0.5, SEAT, MOUNT, table)
    assert load.pressure_mpa == pytest.approx(0.5)
    short = HeightTable(((90.0, 20000.0), (99.0, 16000.0)))
    assert spring_load(4500.0, 0.5, SEAT, MOUNT, short).pressure_mpa is None
