from __future__ import annotations

import math

import pytest

from platewright.errors import BuildError, GeometryError
from platewright.geometry.plane import Point, Vector
from platewright.suspension.linkage import FourLink, Posture, TrailingArm, wrapped

ARM = TrailingArm(pivot=Point(100.0, -50.0), length=500.0)
LINKS = FourLink(
    lower_pivot=Point(0.0, -50.0),
    lower_length=600.0,
    upper_pivot=Point(100.0, 120.0),
    upper_length=480.0,
    lower_eye=Vector(0.0, -90.0),
    upper_eye=Vector(10.0, 110.0),
)


def posture(linkage: TrailingArm | FourLink, parameter: float) -> Posture:
    return linkage.posture(linkage.circuits()[0], parameter)


def test_the_arm_carries_the_axle_round_its_pivot() -> None:
    up = posture(ARM, math.pi / 6)
    assert up.axle.origin.y == pytest.approx(-50 + 250)
    assert up.axle.angle == up.body("arm").angle == math.pi / 6


def test_a_point_of_a_body_moves_with_it() -> None:
    arm = posture(ARM, 0.3).body("arm")
    at = Vector(200.0, 40.0)
    step = 1e-6
    moved = posture(ARM, 0.3 + step).body("arm").place(at) - arm.place(at)
    assert (moved / step - arm.speed(at)).length < 1e-3


def test_a_linkage_has_only_its_own_parts() -> None:
    with pytest.raises(BuildError, match="no upper link"):
        posture(ARM, 0.0).body("upper link")
    with pytest.raises(BuildError, match="no arm"):
        posture(LINKS, -1.0).body("arm")


def test_lengths_are_looked_over() -> None:
    with pytest.raises(BuildError, match="length"):
        TrailingArm(pivot=Point(0.0, 0.0), length=0.0)
    with pytest.raises(GeometryError, match="lengths"):
        FourLink(
            lower_pivot=Point(0.0, 0.0),
            lower_length=1.0,
            upper_pivot=Point(0.0, 0.0),
            upper_length=1.0,
            lower_eye=Vector(0.0, 0.0),
            upper_eye=Vector(0.0, 1.0),
        )


def test_links_end_on_the_eyes_of_the_axle() -> None:
    at = posture(LINKS, 4.9)
    for part, eye, length in (
        ("lower link", LINKS.lower_eye, LINKS.lower_length),
        ("upper link", LINKS.upper_eye, LINKS.upper_length),
    ):
        end = at.body(part).place(Vector(length, 0.0))  # type: ignore[arg-type]
        assert end.distance(at.axle.place(eye)) < 1e-9


def test_angles_wrap_to_half_a_turn() -> None:
    assert wrapped(3 * math.pi / 2) == pytest.approx(-math.pi / 2)
