"""Brake figures where no outside figure stands."""

import math

import pytest

from platewright.plate.stock import MATERIALS
from platewright.shop.bending import (
    din_correction,
    din_shortening,
    least_radius,
    springback_words,
)

INCH = 25.4


def test_din_correction_of_a_sharp_bend_is_not_negative() -> None:
    assert din_correction(0, 3) == 0
    assert din_correction(0.01, 3) == 0


def test_slight_bends_are_not_shortened() -> None:
    assert din_shortening(5, 3, math.radians(14.9)) == 0
    assert din_shortening(5, 3, math.radians(15)) > 0


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
