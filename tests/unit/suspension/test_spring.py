from __future__ import annotations

import pytest

from platewright.errors import BuildError
from platewright.geometry.plane import Vector
from platewright.suspension.spring import (
    Heights,
    HeightTable,
    SpringStroke,
    area_from_force,
    spring_force,
)

HEIGHTS = Heights(least=80.0, greatest=300.0)
TABLE = HeightTable(((80.0, 40000.0), (200.0, 34000.0), (300.0, 22000.0)))


@pytest.mark.parametrize(("least", "greatest"), [(0.0, 300.0), (300.0, 300.0), (300.0, 80.0)])
def test_heights_must_rise(least: float, greatest: float) -> None:
    with pytest.raises(BuildError) as caught:
        Heights(least=least, greatest=greatest)
    assert caught.value.keys == ("spring.greatest", "spring.least")


def test_room_is_left_above_the_least_height() -> None:
    stroke = SpringStroke(heights=HEIGHTS, gap=100.0, room=12.0)
    assert stroke.lost == 20.0
    assert stroke.closer == 8.0
    assert not stroke.bottoms_out


def test_too_small_a_gap_bottoms_out_and_the_mount_must_move_away() -> None:
    stroke = SpringStroke(heights=HEIGHTS, gap=70.0, room=12.0)
    assert stroke.bottoms_out
    assert stroke.closer == -22.0
    assert stroke.lost == 0.0


def test_mounts_beyond_the_greatest_height_leave_no_stroke() -> None:
    stroke = SpringStroke(heights=HEIGHTS, gap=400.0)
    assert stroke.lost == HEIGHTS.stroke == 220.0


def test_a_table_gives_its_rows_and_straight_lines_between() -> None:
    assert [TABLE.at(height) for height, _ in TABLE.rows] == [40000.0, 34000.0, 22000.0]
    assert TABLE.at(140.0) == 37000.0
    assert TABLE.at(250.0) == 28000.0


@pytest.mark.parametrize(("height", "end"), [(80.0 - 1e-12, 80.0), (300.0 + 1e-12, 300.0)])
def test_the_ends_of_a_table_are_in_it_however_they_were_worked_out(
    height: float, end: float
) -> None:
    assert TABLE.covers(height)
    assert TABLE.at(height) == TABLE.at(end)


@pytest.mark.parametrize("height", [79.999, 300.001])
def test_a_table_never_guesses_beyond_its_rows(height: float) -> None:
    with pytest.raises(BuildError, match=r"80\.0 to 300\.0 mm"):
        TABLE.at(height)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (((80.0, 1.0),), "two rows"),
        (((80.0, 1.0), (80.0, 2.0)), "rise"),
        (((80.0, 1.0), (90.0, 0.0)), "more than zero"),
    ],
)
def test_a_table_is_looked_over(rows: tuple[tuple[float, float], ...], words: str) -> None:
    with pytest.raises(BuildError, match=words):
        HeightTable(rows)


def test_a_table_of_force_becomes_one_of_area() -> None:
    force = HeightTable(((80.0, 20000.0), (300.0, 11000.0)))
    assert area_from_force(force, 0.5).rows == ((80.0, 40000.0), (300.0, 22000.0))
    with pytest.raises(BuildError, match="pressure"):
        area_from_force(force, 0.0)


LINE = Vector(60.0, 80.0)
"""From the seat to the mount, 100 mm."""


def test_half_the_motion_is_twice_the_force() -> None:
    assert spring_force(4000.0, 0.5, LINE, None).force_n == 8000.0


@pytest.mark.parametrize("ratio", [0.0, -0.3])
def test_a_spring_that_does_not_lengthen_carries_nothing(ratio: float) -> None:
    with pytest.raises(BuildError, match="does not lengthen"):
        spring_force(4000.0, ratio, LINE, None)


def test_the_push_runs_along_the_spring() -> None:
    load = spring_force(4000.0, 0.5, LINE, None)
    assert load.push_n == Vector(0.6 * 8000, 0.8 * 8000)
    assert load.pressure_mpa is None


def test_pressure_is_force_over_area_and_none_outside_the_table() -> None:
    table = HeightTable(((90.0, 20000.0), (110.0, 16000.0)))
    load = spring_force(4500.0, 0.5, LINE, table)
    assert load.pressure_mpa == pytest.approx(0.5)
    short = HeightTable(((90.0, 20000.0), (99.0, 16000.0)))
    assert spring_force(4500.0, 0.5, LINE, short).pressure_mpa is None
