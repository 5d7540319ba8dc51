from __future__ import annotations

import json
import math

import pytest

from laws.example_setups import ARM, LINKS
from platewright.files.setup import read_setup, travel_of
from platewright.suspension.report import (
    TravelFigure,
    figure_groups,
    table,
    travel_json,
    travel_words,
)
from platewright.suspension.travel import Travel
from platewright.suspension.warning import CAUTIONS

LEADING = ARM.replace("length = 24", 'length = 24\nruns = "forward"')


def travel_from(text: str) -> Travel:
    return travel_of(read_setup(text, "setup.toml"))


def by_key(of: Travel) -> dict[str, TravelFigure]:
    return {figure.key: figure for group in figure_groups(of) for figure in group.figures}


def test_the_mount_comes_first() -> None:
    first = figure_groups(travel_from(ARM))[0].figures
    assert [figure.key for figure in first][:3] == ["mount_along", "mount_above", "mount_slope"]


def test_every_figure_has_a_key_of_its_own_and_is_shown_without_a_minus() -> None:
    for text in (ARM, LINKS):
        figures = [figure for group in figure_groups(travel_from(text)) for figure in group.figures]
        assert len({figure.key for figure in figures}) == len(figures)
        assert not any(figure.shown("mm").startswith("-") for figure in figures)


def test_a_figure_keeps_its_sign_and_says_it_in_words() -> None:
    """The same arm running forward: everything along the frame is the other way."""
    behind = by_key(travel_from(ARM))
    forward = ARM.replace("length = 24", 'length = 24\nruns = "forward"')
    ahead = by_key(travel_from(forward.replace("tilt = -10", "tilt = 10")))
    for key in ("mount_along", "axle_along", "mount_slope", "largest_tilt", "largest_drift"):
        assert ahead[key].value == pytest.approx(-behind[key].value)
        assert ahead[key].shown("in") == behind[key].shown("in")
        assert ahead[key].what != behind[key].what
    assert "forward of the mark" in ahead["axle_along"].what


def test_the_arm_by_hand() -> None:
    """Axle 12.579 in above the datum, pivot at 5: the arm's slopes follow from its sines."""
    figures = by_key(travel_from(ARM))
    height = 688.5 / 2 * 0.965 / 25.4 - 0.5
    assert figures["axle_above"].value / 25.4 == pytest.approx(height)
    laid_out, ride = (math.asin((height - lift - 5) / 24) for lift in (0, 4))
    assert figures["axle_along"].value / 25.4 == pytest.approx(24 * math.cos(laid_out))
    assert figures["arm_slope_at_ride"].value == pytest.approx(ride)
    assert figures["arm_slope_at_ride"].what.endswith("datum line at ride, axle end up")
    assert figures["spacer"].value == pytest.approx(3.5 * 25.4)


def test_stroke_is_accounted_for_to_the_last() -> None:
    """Lost at the bottom, used, and left at the top when something else ends the lift."""
    ended = by_key(travel_from(ARM.replace("ride = 4", "ride = 4\nfull = 9")))
    parts = ("stroke_lost", "stroke_used", "stroke_unused")
    assert sum(ended[key].value for key in parts) == pytest.approx(ended["stroke"].value)
    assert "stroke_unused" not in by_key(travel_from(ARM))


def test_stands_tell_where_to_prop() -> None:
    found = travel_from(LINKS)
    figures = by_key(found)
    assert figures["prop_axle"].value - figures["prop_tube"].value == pytest.approx(38.0)
    # the stands' own rake is the frame's 25 mm in 3200 to within a hair
    axle = found.laid_out.axle.origin
    rough = 425 - 25 * (axle.x + 1800) / 3200 + axle.y
    assert figures["prop_axle"].value == pytest.approx(rough, abs=0.2)
    assert "prop_axle" not in by_key(travel_from(ARM))


def test_load_figures_only_with_a_load() -> None:
    assert "force_at_ride" in by_key(travel_from(ARM))
    without = travel_from(ARM.partition("[load]")[0])
    assert "force_at_ride" not in by_key(without)


@pytest.mark.parametrize(
    ("figure", "inch", "metric"),
    [
        (TravelFigure(key="a", what="", value=82.56), '3 1/4"', "82.6 mm"),
        (TravelFigure(key="a", what="", value=83.0), '3 1/4" strong', "83.0 mm"),
        (TravelFigure(key="a", what="", value=math.pi / 4, quantity="angle"), "45°", "45°"),
        (TravelFigure(key="a", what="", value=0.64, quantity="ratio"), "0.640", "0.640"),
        (TravelFigure(key="a", what="", value=1000.0, quantity="force"), "225 lb", "1.00 kN"),
        (TravelFigure(key="a", what="", value=0.5, quantity="pressure"), "73 psi", "5.0 bar"),
    ],
)
def test_figures_in_both_systems(figure: TravelFigure, inch: str, metric: str) -> None:
    assert figure.shown("in") == inch
    assert figure.shown("mm") == metric


# --- words and JSON ---


def test_the_table_begins_down_and_ends_up() -> None:
    found = travel_from(ARM)
    heads, *rows = table(found)
    assert rows[0][:2] == ("0.00", "3.50")
    assert rows[-1][:2] == (f"{found.highest.lift / 25.4:.2f}", "11.00")
    assert heads == (
        "lift, in", "spring, in", "drift, in", "tilt, °", "axle, in", "turn, °", "ratio",
        "pressure, psi",
    )  # fmt: skip


def test_no_pressures_no_column() -> None:
    without = travel_from(LINKS.partition("[load]")[0])
    heads, *rows = table(without)
    assert heads[-1] == "ratio"
    assert {len(row) for row in rows} == {7}


def test_a_height_beyond_the_table_shows_a_dash() -> None:
    short = LINKS.replace("height = 300", "height = 200")
    found = travel_from(short)
    _, *rows = table(found)
    assert rows[-1][-1] == "-"
    assert rows[0][-1] != "-"


@pytest.mark.parametrize("text", [ARM, LINKS], ids=["arm", "links"])
def test_the_words_hold_figures_table_remarks_and_cautions(text: str) -> None:
    words = travel_words(travel_from(text))
    assert words.splitlines()[0] == "Where the upper mount belongs"
    assert all(caution in words for caution in CAUTIONS)
    assert "-0.0 " not in words
    assert "NOTE: Keep everything" in words


@pytest.mark.parametrize("text", [ARM, LINKS, LEADING], ids=["arm", "links", "leading"])
def test_json_is_plain_and_agrees(text: str) -> None:
    found = travel_from(text)
    told = json.loads(json.dumps(travel_json(found), allow_nan=False))
    assert told["ended_by"] == "spring"
    assert told["readings"][0]["lift_mm"] == 0.0
    assert told["readings"][-1]["spring_mm"] == pytest.approx(found.highest.gap)
    assert told["figures"]["spacer"] == pytest.approx(found.stroke.gap)
    assert told["upper_mount"] == told["upper_mount_wanted"]
    assert told["upper_mount"]["at_mm"][0] == pytest.approx(found.mount.at.x)
    assert told["upper_mount_wanted"]["at_mm"] == [
        told["figures"]["mount_along"],
        told["figures"]["mount_above"],
    ]
    assert told["upper_mount_wanted"]["slope_deg"] == told["figures"]["mount_slope"]
    assert told["largest_drift"]["drift_mm"] == told["figures"]["largest_drift"]
    assert told["largest_tilt"]["tilt_deg"] == told["figures"]["largest_tilt"]
    assert told["ride"]["tilt_deg"] == 0.0
    assert told["ride"]["pressure_mpa"] > 0


def test_json_without_a_load_says_null() -> None:
    told = travel_json(travel_from(ARM.partition("[load]")[0]))
    assert told["ride"]["spring_force_n"] is None
    assert told["ride"]["push_on_bracket_n"] is None
