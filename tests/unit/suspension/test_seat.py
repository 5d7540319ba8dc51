from __future__ import annotations

import math

import pytest

from platewright.geometry.plane import Point, Vector
from platewright.suspension.linkage import TrailingArm
from platewright.suspension.seat import (
    Mount,
    Seat,
    SeatPlace,
    drift,
    edge_gap,
    gap,
    gap_rate,
    mount_for,
    seat_place,
    tilt,
)

STILL = Vector(0.0, 0.0)


def place(x: float, y: float, angle: float = 0.0, velocity: Vector = STILL) -> SeatPlace:
    return SeatPlace(at=Point(x, y), angle=angle, velocity=velocity, spin=0.0)


def test_a_seat_rides_on_its_part() -> None:
    arm = TrailingArm(pivot=Point(10.0, 0.0), length=500.0)
    posture = arm.posture(arm.circuits()[0], math.pi / 2)
    found = seat_place(Seat(on="arm", at=Vector(300.0, 50.0), angle=-0.1), posture)
    assert found.at.distance(Point(-40.0, 300.0)) < 1e-9
    assert found.angle == pytest.approx(math.pi / 2 - 0.1)
    assert found.velocity.x == pytest.approx(-300.0)
    assert found.velocity.y == pytest.approx(-50.0)


def test_figures_against_a_level_mount() -> None:
    mount = Mount(at=Point(0.0, 200.0), angle=0.0)
    low = place(30.0, 40.0, 0.05, Vector(0.0, -1.0))
    assert gap(low, mount) == pytest.approx(math.hypot(30, 160))
    assert drift(low, mount) == 30.0
    assert tilt(low, mount) == pytest.approx(0.05)
    assert gap_rate(low, mount) == pytest.approx(160 / math.hypot(30, 160))


def test_the_wanted_mount_is_parallel_and_centred_where_chosen() -> None:
    chosen, lowest = place(12.0, -150.0, 0.1), place(0.0, 0.0, 0.2)
    mount = mount_for(chosen, lowest, 90.0)
    assert mount is not None
    assert tilt(chosen, mount) == 0.0
    assert drift(chosen, mount) == pytest.approx(0.0, abs=1e-12)
    assert gap(lowest, mount) == pytest.approx(90.0)
    assert gap(chosen, mount) > 150.0


def test_a_seat_that_drifts_further_than_the_gap_has_no_mount() -> None:
    assert mount_for(place(95.0, -10.0), place(0.0, 0.0), 90.0) is None


def test_tilt_brings_one_edge_nearer() -> None:
    assert edge_gap(100.0, math.radians(-30), 80.0) == pytest.approx(80.0)
