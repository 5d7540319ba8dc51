from __future__ import annotations

import math
from dataclasses import replace

import pytest

from laws.example_setups import ARM, LINKS
from platewright.files.setup import read_setup
from platewright.geometry.plane import Point, Vector
from platewright.suspension.linkage import TrailingArm
from platewright.suspension.mounts import (
    Mount,
    SeatPlace,
    Spacer,
    SpringSeat,
    edge_gap,
    mount_for,
    spacer,
)
from platewright.suspension.travel import Travel, travel

STILL = Vector(0.0, 0.0)


def place(x: float, y: float, angle: float = 0.0, velocity: Vector = STILL) -> SeatPlace:
    return SeatPlace(at=Point(x, y), angle=angle, velocity=velocity, spin=0.0)


def test_a_seat_rides_on_its_part() -> None:
    arm = TrailingArm(pivot=Point(10.0, 0.0), length=500.0)
    posture = arm.posture(arm.circuits()[0], math.pi / 2)
    found = SpringSeat(on="arm", at=Vector(300.0, 50.0), angle=-0.1).place(posture)
    assert found.at.distance(Point(-40.0, 300.0)) < 1e-9
    assert found.angle == pytest.approx(math.pi / 2 - 0.1)
    assert found.velocity.x == pytest.approx(-300.0)
    assert found.velocity.y == pytest.approx(-50.0)


def test_figures_against_a_level_mount() -> None:
    mount = Mount(at=Point(0.0, 200.0), angle=0.0)
    low = place(30.0, 40.0, 0.05, Vector(0.0, -1.0))
    assert mount.gap(low) == pytest.approx(math.hypot(30, 160))
    assert mount.drift(low) == 30.0
    assert mount.tilt(low) == pytest.approx(0.05)
    assert mount.gap_rate(low) == pytest.approx(160 / math.hypot(30, 160))


def test_the_wanted_mount_is_parallel_and_centred_where_chosen() -> None:
    chosen, lowest = place(12.0, -150.0, 0.1), place(0.0, 0.0, 0.2)
    mount = mount_for(chosen, lowest, 90.0)
    assert mount is not None
    assert mount.tilt(chosen) == 0.0
    assert mount.drift(chosen) == pytest.approx(0.0, abs=1e-12)
    assert mount.gap(lowest) == pytest.approx(90.0)
    assert mount.gap(chosen) > 150.0


def test_a_seat_that_drifts_further_than_the_gap_has_no_mount() -> None:
    assert mount_for(place(95.0, -10.0), place(0.0, 0.0), 90.0) is None


def test_tilt_brings_one_edge_nearer() -> None:
    assert edge_gap(100.0, math.radians(-30), 80.0) == pytest.approx(80.0)


# --- the spacer ---


def travel_from(text: str, **changed: object) -> Travel:
    file = read_setup(text, "setup.toml")
    return travel(replace(file.setup.layout(file.unit), **changed))  # type: ignore[arg-type]


def spacer_of(found: Travel, depth: float) -> Spacer | None:
    return spacer(found.seat_laid_out, found.wanted, depth)


@pytest.mark.parametrize("text", [ARM, LINKS], ids=["arm", "links"])
def test_the_top_lies_flat_under_the_mount(text: str) -> None:
    found = travel_from(text)
    made = spacer_of(found, 32.0)
    assert made is not None
    assert made.height == pytest.approx(found.layout.heights.least + found.layout.room)
    seat = found.seat_laid_out
    up, along = Vector.polar(seat.angle).left, Vector.polar(seat.angle)
    for side, wall in ((-1, made.front), (1, made.rear)):
        corner = seat.at + along * (side * 16) + up * wall
        assert (corner - found.wanted.at).dot(found.wanted.axis) == pytest.approx(0, abs=1e-9)


def test_parallel_mounts_have_a_level_top() -> None:
    made = spacer_of(travel_from(ARM, centred=0.0), 32.0)
    assert made is not None
    assert made.front == pytest.approx(made.rear)
    assert made.front == pytest.approx(made.height)


def test_mounts_that_lean_too_far_have_no_box() -> None:
    found = travel_from(ARM)
    steep = replace(found, wanted=replace(found.wanted, angle=math.radians(80)))
    assert spacer_of(steep, 32.0) is None
    assert (
        spacer_of(replace(steep, wanted=replace(found.wanted, angle=math.radians(59))), 200) is None
    )
