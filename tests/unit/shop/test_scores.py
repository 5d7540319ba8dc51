"""Scores: geometry, effort, weld and suggestions."""

import math
from dataclasses import replace

import pytest

from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.plate.bend import BendWay, Brake, ScoreFold
from platewright.plate.blank import BlankBend
from platewright.plate.stock import MATERIALS
from platewright.shop.scores import (
    PUSH_LIMIT,
    Score,
    greatest_ligament,
    push,
    score_of,
    suggest_groove,
    suggest_ligament,
    weld_mass_g,
    wire_length_m,
)

A36 = MATERIALS["A36"]
SCORE = Score(
    way=ScoreFold(groove=2.0, ligament=1.0), thickness=6.0, angle=math.pi / 2, length=100.0
)


def _bend(way: BendWay) -> BlankBend:
    line = Line(Point(0, 0), Point(80, 0))
    return BlankBend(
        number=1,
        parent="plate",
        child="gusset",
        line=line,
        near=line,
        far=line,
        angle=1.2,
        direction="down",
        way=way,
        allowance=2.0,
        inside_radius=1.0,
    )


def test_depth_and_inside_radius() -> None:
    assert SCORE.depth == 5.0
    assert SCORE.inside_radius == pytest.approx(2 / (math.pi / 2) - 0.5)


def test_opening_is_the_chord_between_the_outer_edges() -> None:
    radius = SCORE.inside_radius + 6.0
    edges = Point(radius, 0), Point(0, radius)
    assert SCORE.opening == pytest.approx(edges[0].distance(edges[1]))


def test_channel_is_groove_plus_wedge() -> None:
    assert SCORE.channel_area == pytest.approx(5 * (2 + math.pi / 2 * 6 / 2))
    assert SCORE.weld_volume == pytest.approx(100 * SCORE.channel_area)


def test_groove_volume_and_stretch() -> None:
    assert SCORE.groove_volume == pytest.approx(1000)
    assert SCORE.stretch == pytest.approx(1 / (2 * SCORE.inside_radius + 1))


def test_shut_angle_is_small() -> None:
    assert SCORE.shut_angle == pytest.approx(SCORE.way.groove / (5.0 + SCORE.way.ligament / 2))


def test_score_of_a_bend() -> None:
    score = score_of(_bend(SCORE.way), 6.0)
    assert score == Score(way=SCORE.way, thickness=6.0, angle=1.2, length=80.0)
    assert score_of(_bend(Brake(radius=6, k=0.4)), 6.0) is None


def test_weld_mass_and_wire() -> None:
    # 1 cm3 of steel is 7.85 g; 1 m of 0.9 mm wire is 636.17 mm3
    assert weld_mass_g(1000, A36) == pytest.approx(7.85)
    assert wire_length_m(636.17, deposition=1.0) == pytest.approx(1.0, abs=1e-5)
    assert wire_length_m(636.17, deposition=0.5) == pytest.approx(2.0, abs=1e-5)
    assert wire_length_m(636.17, diameter=1.8, deposition=1.0) == pytest.approx(0.25, abs=1e-5)


def test_push() -> None:
    # 550 MPa * 100 mm * 1 mm2 / 4 = 13750 N mm, at 300 mm 45.8 N
    assert push(SCORE, A36.ultimate_high_mpa) == pytest.approx(13750 / 300)
    assert push(SCORE, A36.yield_mpa, lever=250) == pytest.approx(25)


def test_card_folds_at_any_thickness() -> None:
    assert greatest_ligament(100, MATERIALS["card"]) == math.inf


def test_short_bend_keeps_a_quarter() -> None:
    found = suggest_ligament(6.0, 50.0, A36)
    assert found.value == pytest.approx(1.5)
    assert "quarter" in found.reason


def test_long_bend_is_ground_thinner() -> None:
    found = suggest_ligament(6.0, 300.0, A36)
    assert found.value == pytest.approx(greatest_ligament(300.0, A36))
    assert found.value < 1.5
    assert "limit" in found.reason


def test_bend_too_long_for_hands_says_so() -> None:
    found = suggest_ligament(6.0, 5000.0, A36)
    assert found.value == 0.5
    assert "longer lever" in found.reason
    long_score = Score(
        way=ScoreFold(groove=2.0, ligament=0.5), thickness=6.0, angle=1.0, length=5000.0
    )
    assert push(long_score, A36.ultimate_high_mpa) > PUSH_LIMIT


@pytest.mark.parametrize(("thickness", "ligament"), [(1.5, 0.5), (0.8, 0.4)])
def test_thin_plate_keeps_enough_to_hold_together(thickness: float, ligament: float) -> None:
    found = suggest_ligament(thickness, 50.0, A36)
    assert found.value == pytest.approx(ligament)
    assert found.reason == "the least that holds together"


@pytest.mark.parametrize(
    ("thickness", "inches", "words"),
    [(3.0, 0.060, ".045 in"), (4.7, 0.0775, "1/16 in"), (6.35, 0.10875, "3/32 in")],
)
def test_groove_by_wheel(thickness: float, inches: float, words: str) -> None:
    found = suggest_groove(thickness)
    assert found.value == pytest.approx(inches * 25.4)
    assert f"one pass of a {words}" in found.reason


def test_thick_plate_needs_several_passes() -> None:
    found = suggest_groove(12.7)
    assert found.value == pytest.approx(math.pi / 2 * 12.7 / 4)
    assert "side by side" in found.reason


def test_thinner_ligament_takes_a_narrower_groove() -> None:
    assert suggest_groove(12.7, ligament=1.0).value < suggest_groove(12.7).value


def test_greatest_fold_uses_up_the_radius() -> None:
    score = replace(SCORE, way=ScoreFold(groove=2.0, ligament=3.0))
    assert score.way.inside_radius(score.greatest_fold, 6.0) == pytest.approx(0, abs=1e-12)
