"""Laws of setup files: whatever stands in one, it makes a travel or is refused in words."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from laws.example_setups import ARM, LINKS
from laws.strategies_suspension import FEW, MODEST, layouts
from platewright.drawing.items import Text, bounds, marks
from platewright.drawing.plot import Plot, plot_items
from platewright.errors import BuildError, FileError
from platewright.files.setup import read_setup, travel_of
from platewright.geometry.plane import Bounds, Vector
from platewright.sheets.travel_view import SCALES, side_view
from platewright.suspension.layout import Layout, TravelLimits
from platewright.suspension.mounts import spacer
from platewright.suspension.report import travel_json, travel_words
from platewright.suspension.travel import Travel, travel
from platewright.suspension.warning import warnings
from platewright.units import Unit, parse_angle, parse_length

_VALUE = re.compile(r"= (.+)$", re.MULTILINE)


@st.composite
def spoilt_files(draw: st.DrawFn) -> str:
    """An example file with some of its values replaced."""
    text = draw(st.sampled_from([ARM, LINKS]))
    for _ in range(draw(st.integers(1, 3))):
        places = list(_VALUE.finditer(text))
        place = places[draw(st.integers(0, len(places) - 1))]
        numbers = st.floats(-50, 900).map(lambda number: f"{number:.4f}")
        value = draw(
            numbers
            | st.sampled_from(['""', '"3 1/2"', '"-8 in"', "0", "nan", "[]", "true", '"axle"'])
        )
        text = text[: place.start(1)] + value + text[place.end(1) :]
    return text


@MODEST
@given(spoilt_files())
def test_a_file_makes_a_travel_or_is_refused_in_words(text: str) -> None:
    told = ""
    try:
        found = travel_of(read_setup(text, "setup.toml"))
        told = travel_words(found)
        travel_json(found)
    except FileError as refused:
        told = "\n".join(mistake.message for mistake in refused.mistakes)
    assert told
    assert "nan" not in told.replace('"nan"', "")
    assert "Error" not in told


def travel_or_none(layout: Layout) -> Travel | None:
    try:
        return travel(layout)
    except BuildError:
        return None


@FEW
@given(layouts(), st.floats(10, 60))
def test_a_spacer_stands_on_the_seat_and_lies_under_the_mount(layout: Layout, depth: float) -> None:
    found = travel_or_none(layout)
    made = spacer(found.seat_laid_out, found.wanted, depth) if found else None
    if found is None or made is None:
        return
    seat = found.seat_laid_out
    along = Vector.polar(seat.angle)
    for side, wall in ((-1, made.front), (1, made.rear)):
        corner = seat.at + along * (side * depth / 2) + along.left * wall
        assert (corner - found.wanted.at).dot(found.wanted.axis) == pytest.approx(0, abs=1e-6)
    assert made.height == pytest.approx(layout.heights.least + layout.room)


@FEW
@given(layouts())
def test_a_mount_where_it_was_wanted_is_never_told_to_move(layout: Layout) -> None:
    found = travel_or_none(layout)
    if found is not None:
        assert not any("should move" in warning.words for warning in warnings(found))
        assert found.mount == found.wanted


@FEW
@given(layouts(), st.sampled_from(["in", "mm"]), st.floats(0.05, 0.95))
def test_a_least_is_never_told_as_less_nor_a_most_as_more(
    layout: Layout, unit: Unit, share: float
) -> None:
    found = travel_or_none(layout)
    if found is None:
        return
    tilt, drift = abs(found.tilt.value) * share, abs(found.drift.value) * share
    assume(tilt > 1e-6)
    assume(drift > 1e-3)
    strict = replace(layout, unit=unit, limits=TravelLimits(tilt=tilt, drift=drift))
    told = "\n".join(warning.words for warning in warnings(travel(strict)))
    kept = re.search(r"Keep everything (.*) or more", told)
    assert kept is not None
    room = layout.diameter / 2 + abs(found.drift.value) + 25.4
    assert parse_length(kept[1], unit) >= room - 1e-6
    leaned = re.search(r"Too much tilt: .*, allowed (.*?),", told)
    assert leaned is not None
    assert parse_angle(leaned[1]) <= tilt + 1e-7
    drifted = re.search(r"Too much drift: .*, allowed (.*?),", told)
    assert drifted is not None
    assert parse_length(drifted[1], unit) <= drift + 1e-6


@FEW
@given(layouts())
def test_figures_keep_the_signs_of_the_places_they_tell(layout: Layout) -> None:
    found = travel_or_none(layout)
    if found is None:
        return
    told = travel_json(found)
    figures, wanted = told["figures"], told["upper_mount_wanted"]
    assert [figures["mount_along"], figures["mount_above"]] == wanted["at_mm"]
    assert figures["mount_slope"] == wanted["slope_deg"]
    assert figures["largest_tilt"] == told["largest_tilt"]["tilt_deg"]
    assert figures["largest_drift"] == told["largest_drift"]["drift_mm"]
    axle = found.laid_out.axle.origin
    assert (figures["axle_along"], figures["axle_above"]) == pytest.approx((axle.x, axle.y))


@FEW
@given(layouts())
def test_the_side_view_fits_and_keeps_its_words_apart(layout: Layout) -> None:
    found = travel_or_none(layout)
    if found is None:
        return
    view = side_view(found, 190.0, 118.0)
    drawn = bounds(view.items)
    assert view.scale in SCALES
    assert drawn.width <= 190.0
    assert drawn.height <= 118.0
    heights = sorted(
        mark.at.y for mark in marks(view.items) if isinstance(mark, Text) and "ground" in mark.text
    )
    assert all(b - a > 2.5 for a, b in pairwise(heights))


@given(st.lists(st.floats(-1e4, 1e4), min_size=2, max_size=20), st.floats(1e-3, 100))
def test_a_plot_has_few_ticks_that_hold_its_curve(ys: list[float], least: float) -> None:
    plot = Plot(
        title="t",
        across="x",
        curve=tuple(enumerate(ys)),  # type: ignore[arg-type]
        least_span=least,
    )
    items = plot_items(plot, Bounds(0.0, 0.0, 90.0, 50.0))
    assert len(items) < 60
    curve = bounds(items[-1:])
    assert curve.ymin > 0
    assert curve.ymax < 50
