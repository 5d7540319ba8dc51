"""The figures to set a bracket by, against the travel's own places."""

from __future__ import annotations

import pytest

from laws.example_setups import ARM, LINKS
from platewright.files.setup import read_setup, travel_of
from platewright.suspension.mounting import End, Mounting, OnTravel, comes_to, set_up
from platewright.suspension.report import Figure

T = 6.0


def mounting(text: str, end: End) -> Mounting:
    travel = travel_of(read_setup(text, "setup.toml"))
    return OnTravel(setup="setup.toml", end=end).mounting(travel, "mm")


def told(text: str, end: End) -> dict[str, Figure]:
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
