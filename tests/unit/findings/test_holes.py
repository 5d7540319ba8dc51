"""Edge rules: which one governs, and that each names its source."""

import pytest

from platewright.findings.holes import aisc_edge, least_edge

INCH = 25.4


def test_bolt_between_rows_takes_the_next_greater() -> None:
    rule = aisc_edge(9 / 16 * INCH)
    assert rule is not None
    assert rule.distance == pytest.approx(7 / 8 * INCH)
    assert rule.source == "AISC 360-16 Table J3.4, row of the next greater bolt (5/8 in)"


def test_a_metric_bolt_between_rows_takes_the_next_greater_of_its_own_table() -> None:
    rule = aisc_edge(18)
    assert rule is not None
    assert rule.distance == 26
    assert rule.source == "AISC 360-16 Table J3.4M, row of the next greater bolt (M20)"


def test_bolt_rule_governs_an_ordinary_hole() -> None:
    rule = least_edge(9 / 16 * INCH, 0.5 * INCH)
    assert rule.source == "AISC 360-16 Table J3.4"
    assert rule.distance == pytest.approx(0.75 * INCH)


@pytest.mark.parametrize("bolt", [None, 3 / 8 * INCH, 0.5 * INCH])
def test_hole_rule_governs_large_holes_and_small_bolts(bolt: float | None) -> None:
    rule = least_edge(20.0, bolt)
    assert rule.source == "EN 1993-1-8 Table 3.3"
    assert rule.distance == pytest.approx(24.0)
