from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest

from laws.example_setups import ARM, LINKS
from platewright.files.setup import read_setup
from platewright.geometry.plane import Vector
from platewright.suspension.layout import Layout, TravelLimits
from platewright.suspension.spring import HeightTable
from platewright.suspension.travel import travel
from platewright.suspension.warning import (
    CAUTIONS,
    pressure_words,
    warnings,
    where,
)
from platewright.units import parse_length


def layout_of(text: str) -> Layout:
    file = read_setup(text, "setup.toml")
    return file.setup.layout(file.unit)


def said(layout: Layout, weight: str) -> str:
    """Everything of one weight that is said about a layout."""
    return "\n".join(one.words for one in warnings(travel(layout)) if one.weight == weight)


def moved_mount(layout: Layout, by: Vector, turn: float = 0.0) -> Layout:
    """The layout with its upper mount built a little off its place."""
    wanted = travel(layout).wanted
    return replace(layout, mount=replace(wanted, at=wanted.at + by, angle=wanted.angle + turn))


def test_a_good_layout_has_nothing_to_change() -> None:
    assert said(layout_of(LINKS), "change") == ""
    assert said(layout_of(LINKS), "mind") == ""


def test_a_spring_that_bottoms_out_is_told_with_all_three_figures() -> None:
    layout = moved_mount(layout_of(LINKS), Vector(0.0, -22.0))
    words = said(layout, "change")
    assert "bottoms out" in words
    assert "71 mm apart" in words
    assert "22 mm away from the spring" in words
    assert "short of the ground" in words


def test_lost_stroke_tells_how_far_to_move() -> None:
    layout = moved_mount(layout_of(LINKS), Vector(0.0, 40.0))
    words = said(layout, "mind")
    assert "40 mm towards the spring" in words
    assert "0 mm forward, 40 mm down" in words


def test_a_turned_mount_is_told_which_edge() -> None:
    words = said(moved_mount(layout_of(LINKS), Vector(0.0, 0.0), math.radians(3)), "mind")
    assert "turn 3° rear edge down" in words


def test_little_room_is_minded_and_enough_is_not() -> None:
    assert "room is left" in said(replace(layout_of(LINKS), room=3.0), "mind")
    assert "room is left" not in said(replace(layout_of(LINKS), room=7.0), "mind")


def test_stated_limits_are_kept() -> None:
    tight = replace(layout_of(ARM), limits=TravelLimits(tilt=math.radians(5), drift=2.0))
    words = said(tight, "change")
    assert "Too much tilt" in words
    assert "allowed 5°" in words
    assert "Too much drift" in words
    loose = replace(tight, limits=TravelLimits(tilt=math.radians(40), drift=100.0))
    assert said(loose, "change") == ""


def test_pressure_over_the_data_sheet() -> None:
    layout = replace(layout_of(ARM), limits=TravelLimits(pressure_mpa=0.3))
    assert "the data sheet allows 43 psi" in said(layout, "change")


def test_a_table_that_stops_short_of_ride_is_told_not_stretched() -> None:
    short = HeightTable(((80.0, 20000.0), (100.0, 19000.0)))
    layout = replace(layout_of(LINKS), area=short)
    assert "80 mm to 100 mm" in said(layout, "mind")
    ride = travel(layout).ride.load
    assert ride is not None
    assert ride.pressure_mpa is None


def test_a_table_that_ends_inside_the_travel_is_told() -> None:
    whole = layout_of(ARM)
    assert "table" not in said(whole, "mind")
    short = HeightTable(((76.2, 17000.0), (200.0, 14000.0)))
    words = said(replace(whole, area=short), "mind")
    # 200 mm are 7.874 in: the table does not reach 7 7/8
    assert "3 in to 7 13/16 in and does not reach all its heights in the travel" in words
    assert "3 1/2 in to 11 in: beyond it no pressure is told" in words


def test_pressure_at_the_springs_own_greatest_height_is_held_against_the_data_sheets() -> None:
    positions = travel(layout_of(ARM)).positions
    assert all(each.load is not None and each.load.pressure_mpa for each in positions)


def test_tilt_that_pinches_an_edge() -> None:
    wide = replace(layout_of(ARM), diameter=300.0)
    assert "Laid out, tilt brings" in said(wide, "mind")
    assert "pinched" in said(wide, "mind")


def test_an_edge_is_pinched_where_the_frame_stops_when_the_spring_bottoms_out() -> None:
    wide = moved_mount(replace(layout_of(ARM), diameter=300.0), Vector(0.0, -22.0))
    words = said(wide, "mind")
    assert "in above laid out, tilt brings" in words
    assert "Laid out, tilt" not in words


def test_an_estimated_radius_is_owned_up_to() -> None:
    assert "Measure it" in said(layout_of(ARM), "know")
    assert "Measure it" not in said(layout_of(LINKS), "know")


def test_the_heaviest_comes_first() -> None:
    layout = replace(layout_of(ARM), limits=TravelLimits(tilt=0.01), room=1.0)
    weights = [one.weight for one in warnings(travel(layout))]
    assert weights == sorted(weights, key=["change", "mind", "know"].index)
    assert set(weights) == {"change", "mind", "know"}


def test_room_to_keep_is_a_least() -> None:
    """Half of 6 in, 1 in and the drift, 0.588 in: never told as less."""
    layout = layout_of(ARM)
    reach = 76.2 + 25.4 + abs(travel(layout).drift.value)
    told = re.search(r"Keep everything (.*) or more", said(layout, "know"))
    assert told is not None
    assert reach <= parse_length(told[1], "in") < reach + 25.4 / 16


@pytest.mark.parametrize("word", ["pressure", "crushed", "rated stands", "licensed practice"])
def test_every_danger_is_named(word: str) -> None:
    assert word in " ".join(CAUTIONS)


def test_words_for_quantities() -> None:
    assert pressure_words(0.6205, "in") == "90 psi"
    assert pressure_words(0.62, "mm") == "6.2 bar"
    assert where(0.2, "in") == "laid out"
    assert where(101.6, "in") == "4 in above laid out"
