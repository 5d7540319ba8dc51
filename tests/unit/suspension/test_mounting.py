"""A bracket in its travel: how its body leans from either mount, and what it bears."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from laws.example_setups import ARM, LINKS
from platewright.files.setup import read_setup, travel_of
from platewright.suspension.mounting import End, Mounting, OnTravel
from platewright.suspension.travel import Travel


def travel(text: str) -> Travel:
    return travel_of(read_setup(text, "setup.toml"))


def mounting(text: str, end: End, *, along: bool = True) -> Mounting:
    return OnTravel(setup="setup.toml", end=end, along_wall=along).mounting(travel(text), "mm")


@pytest.mark.parametrize("text", [ARM, LINKS], ids=["arm", "links"])
def test_the_upper_mount_sees_the_drift_and_the_tilt_that_the_travel_tells(text: str) -> None:
    upper = mounting(text, "upper")
    for stance, reading in zip(upper.lean.stances, upper.travel.positions, strict=True):
        assert stance.offset == pytest.approx(reading.drift, abs=1e-9)
        assert stance.slope == pytest.approx(math.tan(reading.tilt), abs=1e-9)
        assert math.hypot(stance.height, stance.offset) == pytest.approx(reading.gap)


@pytest.mark.parametrize("text", [ARM, LINKS], ids=["arm", "links"])
def test_the_two_mounts_see_each_other_from_afar_alike(text: str) -> None:
    upper, lower = mounting(text, "upper").lean, mounting(text, "lower").lean
    for above, below in zip(upper.stances, lower.stances, strict=True):
        assert math.hypot(above.height, above.offset) == pytest.approx(
            math.hypot(below.height, below.offset)
        )
        # seen from the other end the middle leans the same way, turned by the tilt
        turn = math.atan(above.slope)
        assert math.atan2(below.offset, below.height) == pytest.approx(
            turn - math.atan2(above.offset, above.height), abs=1e-9
        )
        assert below.slope == pytest.approx(above.slope, abs=1e-9)


def test_parallel_and_centred_at_ride_there_is_no_lean() -> None:
    upper = mounting(ARM, "upper")
    at_ride = min(upper.lean.stances, key=lambda stance: abs(stance.slope))
    assert at_ride.shift(at_ride.height) < 2.0


def test_an_upper_bracket_goes_where_it_belongs_a_lower_one_works_under_what_stands() -> None:
    standing = ARM.replace("[tyre]", "[mount]\nalong = 14\nabove = 11\n[tyre]")
    right, off = travel(ARM), travel(standing)
    assert off.mount != off.wanted
    assert right.wanted == off.wanted
    assert mounting(standing, "upper").must_change == ()
    assert (
        mounting(standing, "upper").travel.greatest_force
        == mounting(ARM, "upper").travel.greatest_force
    )
    assert mounting(standing, "lower").travel.mount == off.mount
    first = {text: mounting(text, "upper").lean.stances[0] for text in (ARM, standing)}
    assert first[standing] == first[ARM]
    lower = mounting(standing, "lower").lean.stances[0]
    assert math.hypot(lower.height, lower.offset) == pytest.approx(off.lowest.gap)
    assert lower != mounting(ARM, "lower").lean.stances[0]


def test_the_greatest_force_is_the_greatest_of_all_readings() -> None:
    upper = mounting(ARM, "upper")
    forces = [reading.load.force_n for reading in upper.travel.positions if reading.load]
    assert upper.travel.greatest_force == max(forces)
    unloaded = replace(upper, travel=travel(ARM.split("[load]")[0]))
    assert unloaded.travel.greatest_force is None


def test_what_must_be_changed_is_told_in_the_brackets_unit() -> None:
    tilted = ARM + "\n[limits]\ntilt = 3\ndrift = 0.1\n"
    told = mounting(tilted, "upper").must_change
    assert len(told) == 2
    assert any("Too much drift" in words and " mm" in words for words in told)
    assert mounting(ARM, "upper").must_change == ()


def test_which_way_the_wall_runs_goes_with_the_lean() -> None:
    assert mounting(ARM, "upper").lean.along_wall
    assert not mounting(ARM, "upper", along=False).lean.along_wall
