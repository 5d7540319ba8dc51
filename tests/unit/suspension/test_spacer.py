from __future__ import annotations

import math
from dataclasses import replace

import pytest

from laws.example_setups import ARM, LINKS
from platewright.files.setup import read_setup
from platewright.geometry.plane import Vector
from platewright.suspension.seat import seat_place
from platewright.suspension.spacer import spacer
from platewright.suspension.travel import Travel, travel


def travel_from(text: str, **changed: object) -> Travel:
    file = read_setup(text, "setup.toml")
    return travel(replace(file.setup.layout(file.unit), **changed))  # type: ignore[arg-type]


@pytest.mark.parametrize("text", [ARM, LINKS], ids=["arm", "links"])
def test_the_top_lies_flat_under_the_mount(text: str) -> None:
    found = travel_from(text)
    made = spacer(found, 32.0)
    assert made is not None
    assert made.height == pytest.approx(found.layout.heights.least + found.layout.room)
    seat = seat_place(found.layout.seat, found.laid_out)
    up, along = Vector.polar(seat.angle).left, Vector.polar(seat.angle)
    for side, wall in ((-1, made.front), (1, made.rear)):
        corner = seat.at + along * (side * 16) + up * wall
        assert (corner - found.wanted.at).dot(found.wanted.axis) == pytest.approx(0, abs=1e-9)


def test_parallel_mounts_have_a_level_top() -> None:
    made = spacer(travel_from(ARM, centred=0.0), 32.0)
    assert made is not None
    assert made.front == pytest.approx(made.rear)
    assert made.front == pytest.approx(made.height)
    assert made.slope == pytest.approx(0, abs=1e-12)


def test_mounts_that_lean_too_far_have_no_box() -> None:
    found = travel_from(ARM)
    steep = replace(found, wanted=replace(found.wanted, angle=math.radians(80)))
    assert spacer(steep, 32.0) is None
    assert spacer(replace(steep, wanted=replace(found.wanted, angle=math.radians(59))), 200) is None
