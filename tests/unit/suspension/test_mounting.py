"""A bracket in its travel: how its body leans from either mount, what it bears, where it is set."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from laws.example_setups import ARM, LINKS
from platewright.files.setup import read_setup, travel_of
from platewright.suspension.mounting import End, Mounting, OnTravel, comes_to, set_up
from platewright.suspension.report import TravelFigure
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


# --- the figures to set it by ---

T = 6.0


def told(text: str, end: End) -> dict[str, TravelFigure]:
    of = mounting(text, end)
    figures = (*set_up(of, T), *comes_to(of))
    by_key = {figure.key: figure for figure in figures}
    assert len(by_key) == len(figures)
    return by_key


@pytest.mark.parametrize("text", [ARM, LINKS], ids=["arm", "links"])
def test_an_upper_plate_sits_where_the_travel_wants_the_mount(text: str) -> None:
    figures, wanted = told(text, "upper"), mounting(text, "upper").travel.wanted
    assert figures["plate_along"].value == wanted.at.x
    assert figures["plate_height"].value == wanted.at.y
    assert "above the datum line" in figures["plate_height"].what
    assert figures["plate_slope"].value == wanted.angle
    # its back is one thickness further from the spring, square to the plate
    back = figures["plate_back"].value - figures["plate_height"].value
    assert back == pytest.approx(T * wanted.axis.y)


def test_a_plate_below_the_datum_line_has_a_drop() -> None:
    # a frame whose datum line is 15 in above the ground it lies on
    low = ARM.replace('lowest_below = "1/2"', "lowest_below = 15").replace(
        "pivot_above = 5", "pivot_above = -9.5"
    )
    figures = told(low, "upper")
    assert "plate_height" not in figures
    assert figures["plate_drop"].value == pytest.approx((14.5 - 10.83) * 25.4, abs=12)
    assert "drop" in figures["plate_drop"].what
    assert "below the datum line" in figures["plate_drop"].what


def test_a_lower_plate_sits_on_its_part_as_it_was_measured() -> None:
    figures = told(ARM, "lower")
    assert figures["plate_along"].value == pytest.approx(15 * 25.4)
    assert "from the arm's frame pivot towards its other end" in figures["plate_along"].what
    assert figures["plate_height"].value == pytest.approx(-2.5 * 25.4)
    assert figures["plate_height"].shown("in") == '2 1/2"'
    assert "below the line from that pivot" in figures["plate_height"].what
    of = mounting(ARM, "lower").travel
    assert figures["plate_height_laid_out"].value == pytest.approx(of.seat_laid_out.at.y)


def test_a_lower_plate_on_a_four_links_axle() -> None:
    figures = told(LINKS, "lower")
    assert figures["plate_along"].value == 125.0
    assert "rearward of the axle centre" in figures["plate_along"].what
    assert "above the axle centre" in figures["plate_height"].what


def test_a_lower_plate_on_an_arms_axle() -> None:
    on_axle = ARM.replace('on = "arm"\nalong = 15', 'on = "axle"\nalong = -9')
    figures = told(on_axle, "lower")
    assert "before the axle centre on the arm's line" in figures["plate_along"].what
    assert "below the arm's line" in figures["plate_height"].what


def test_a_leading_arm_has_its_seat_above_where_it_was_measured_above() -> None:
    leading = (
        ARM.replace("length = 24", 'length = 24\nruns = "forward"')
        .replace('above = "-2 1/2"', 'above = "2 1/2"')
        .replace("tilt = -10", "tilt = 10")
    )
    figures = told(leading, "lower")
    assert "above the line from that pivot" in figures["plate_height"].what
    assert figures["plate_height"].value == pytest.approx(2.5 * 25.4)


@pytest.mark.parametrize("end", ["upper", "lower"])
def test_heights_are_those_of_the_spring_and_its_spacer(end: End) -> None:
    figures, of = told(ARM, end), mounting(ARM, end).travel
    layout = of.layout
    assert figures["set_up_height"].value == pytest.approx(layout.heights.least + layout.room)
    assert figures["ride_height"].value == layout.ride
    assert figures["spring_at_ride"].value == pytest.approx(of.ride.gap)
    assert figures["greatest_force"].quantity == "force"
    low, high = sorted(figures[key].value for key in ("spacer_front", "spacer_rear"))
    assert low < figures["set_up_height"].value < high + 5.0
