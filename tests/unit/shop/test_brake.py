"""Brake bends: figures where no outside figure stands, and the schedule row by row."""

import math

import pytest

from laws.example_pieces import leg, shelf
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.plate.bend import Brake
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Panel
from platewright.plate.stock import MATERIALS
from platewright.shop.brake import brake_schedule, grain_across, least_radius, springback_words
from platewright.shop.legs import flat_depths, flat_legs

T = 5.0
RIGHT = math.pi / 2
INCH = 25.4
BRAKE = Brake(radius=10.0, k=0.42)


@pytest.mark.parametrize(
    ("name", "thickness"),
    [("A36", 0.76 * INCH), ("6061-T6", 0.51 * INCH), ("304", 3.0), ("S355", 6.0), ("card", 1.0)],
)
def test_no_figure_at_hand(name: str, thickness: float) -> None:
    assert least_radius(MATERIALS[name], thickness) is None
    assert least_radius(MATERIALS[name], thickness, along_grain=True) is None


def test_between_rows_the_thicker_counts() -> None:
    found = least_radius(MATERIALS["6061-T6"], 5.0)
    assert found is not None
    assert found.radius == pytest.approx(3.5 * 5.0)


def test_sources_say_which_way_the_grain_runs() -> None:
    steel = least_radius(MATERIALS["A36"], 6.0, along_grain=True)
    aluminium = least_radius(MATERIALS["5052-H32"], 6.0, along_grain=True)
    assert steel is not None
    assert aluminium is not None
    assert steel.source == "ASTM A6 Table X4.2, along the grain"
    assert aluminium.source.endswith("along the grain, common practice")


@pytest.mark.parametrize("family", ["steel", "stainless", "aluminium", "card"])
def test_springback_asks_for_a_test_strip(family) -> None:
    assert springback_words(family).endswith("overbend and check with the gauge")


# --- the schedule -----------------------------------------------------------------------------


def test_a_brake_row_tells_radius_die_and_force() -> None:
    bracket = shelf(leg("far edge", 60.0, BRAKE))
    (row,) = brake_schedule(bracket, blank_of(bracket))
    # six times the radius (common practice)
    assert (row.inside_radius, row.k, row.die) == (10.0, 0.42, 60.0)
    assert row.allowance == pytest.approx(RIGHT * (10 + 0.42 * T))
    # 1.33 Rm b T² / V (common practice)
    assert row.force == pytest.approx(1.33 * 550 * 100 * 25 / 60)
    assert row.flat == pytest.approx(60)
    # from the outside corner to the shoulder: V / (2 cos 45)
    assert row.least_flat + 10 + T == pytest.approx(30 / math.cos(RIGHT / 2))
    assert "overbend" in row.springback


def test_a_radius_beyond_every_die_is_bumped_or_rolled_and_has_no_force() -> None:
    bracket = shelf(leg("far edge", 60.0, Brake(50.0, 0.42)))
    (row,) = brake_schedule(bracket, blank_of(bracket))
    assert (row.die, row.force) == (None, None)
    # half of a die of 8 T for the last step
    assert row.least_flat == pytest.approx(4 * T)


def test_a_radius_sharper_than_the_narrowest_die_leaves_has_no_force() -> None:
    bracket = shelf(leg("far edge", 60.0, Brake(3.0, 0.42)))
    (row,) = brake_schedule(bracket, blank_of(bracket))
    assert (row.die, row.force) == (6 * T, None)


def test_the_least_radius_goes_by_the_grain() -> None:
    """1.5 T across, times 1.5 along (ASTM A6 Table X4.2, read); unknown takes the greater."""
    bracket = shelf(leg("far edge", 60.0, BRAKE))
    blank = blank_of(bracket)
    radii = {}
    for grain in (None, 0.0, RIGHT):
        (row,) = brake_schedule(bracket, blank, grain)
        radii[row.grain] = row.least.radius
    assert radii == {"unknown": 2.25 * T, "along": 2.25 * T, "across": 1.5 * T}


def test_where_no_figure_is_at_hand_none_is_told() -> None:
    bracket = shelf(leg("far edge", 60.0, BRAKE), material="304")
    (row,) = brake_schedule(bracket, blank_of(bracket))
    assert row.least is None


def test_grain_is_across_within_half_a_right_angle() -> None:
    line = Line(Point(0, 0), Point(10, 0))
    assert grain_across(line, math.radians(46)) == "across"
    assert grain_across(line, math.radians(44)) == "along"
    assert grain_across(line, math.radians(180)) == "along"


def test_the_shorter_leg_counts_wherever_it_is() -> None:
    bracket = shelf(leg("far edge", 200.0, BRAKE))
    (bend,) = blank_of(bracket).bends
    legs = flat_legs(bracket)[bend.child]
    assert legs.least == legs.greatest == pytest.approx(80.0)


def test_a_tapered_leg_has_a_least_and_a_greatest() -> None:
    corners = [Point(0, 0), Point(100, 0), Point(100, 50), Point(0, 10)]
    taper = Panel(name="taper", contour=Contour.polygon(corners), edges=(("base", 0),))
    depths = flat_depths(taper, taper.straight_edge("base"))
    assert min(depths) == pytest.approx(10.4)
    assert max(depths) == pytest.approx(49.6)
