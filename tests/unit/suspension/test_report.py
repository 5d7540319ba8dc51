from __future__ import annotations

import json

import pytest

from laws.example_setups import ARM, LINKS
from platewright.files.setup import read_setup, travel_of
from platewright.suspension.report import table, travel_json, travel_words
from platewright.suspension.travel import Travel
from platewright.suspension.warning import CAUTIONS

LEADING = ARM.replace("length = 24", 'length = 24\nruns = "forward"')


def travel_from(text: str) -> Travel:
    return travel_of(read_setup(text, "setup.toml"))


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
