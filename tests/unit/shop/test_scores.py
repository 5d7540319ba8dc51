"""Scores: geometry, effort, weld and suggestions."""

import math
from dataclasses import replace

import pytest

from laws.example_pieces import leg, shelf
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.plate.bend import BendWay, Brake, Crease, ScoreFold
from platewright.plate.blank import BlankBend, blank_of
from platewright.plate.stock import MATERIALS
from platewright.shop.scores import (
    LEVER,
    PUSH_LIMIT,
    Effort,
    Score,
    greatest_ligament,
    score_of,
    score_schedule,
    suggest_ligament,
)

A36 = MATERIALS["A36"]
T = 5.0
RIGHT = math.pi / 2
INCH = 25.4
FOLD = ScoreFold(groove=2.4, ligament=1.2)
BRAKE = Brake(radius=10.0, k=0.42)
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


def test_stretch() -> None:
    assert SCORE.stretch == pytest.approx(1 / (2 * SCORE.inside_radius + 1))


def test_shut_angle_is_small() -> None:
    assert SCORE.shut_angle == pytest.approx(SCORE.way.groove / (5.0 + SCORE.way.ligament / 2))


def test_score_of_a_bend() -> None:
    score = score_of(_bend(SCORE.way), 6.0)
    assert score == Score(way=SCORE.way, thickness=6.0, angle=1.2, length=80.0)
    assert score_of(_bend(Brake(radius=6, k=0.4)), 6.0) is None


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
    assert long_score.moment(A36.ultimate_high_mpa) / LEVER > PUSH_LIMIT


@pytest.mark.parametrize(("thickness", "ligament"), [(1.5, 0.5), (0.8, 0.4)])
def test_thin_plate_keeps_enough_to_hold_together(thickness: float, ligament: float) -> None:
    found = suggest_ligament(thickness, 50.0, A36)
    assert found.value == pytest.approx(ligament)
    assert found.reason == "the least that holds together"


def test_greatest_fold_uses_up_the_radius() -> None:
    score = replace(SCORE, way=ScoreFold(groove=2.0, ligament=3.0))
    assert score.way.inside_radius(score.greatest_fold, 6.0) == pytest.approx(0, abs=1e-12)


# --- the schedule -----------------------------------------------------------------------------


def scored(**other: object):
    bracket = shelf(leg("far edge", 60.0, FOLD, **other))
    return score_schedule(bracket, blank_of(bracket))[0]


def test_a_score_row_tells_what_to_grind() -> None:
    row = scored(direction="down")
    assert (row.number, row.face, row.direction) == (1, "top", "down")
    assert (row.way.groove, row.way.ligament, row.depth) == (2.4, 1.2, 3.8)
    assert row.length == pytest.approx(100.0)
    assert scored().face == "underside"


def test_a_score_row_tells_how_it_opens_and_shuts() -> None:
    row = scored()
    radius = 2.4 / RIGHT - 0.6
    assert row.inside_radius == pytest.approx(radius)
    assert row.shut_angle == pytest.approx(2.4 / (3.8 + 1.2 / 2))
    assert row.opening == pytest.approx(2 * (radius + T) * math.sin(RIGHT / 2))
    assert row.channel_area == pytest.approx(RIGHT / 2 * ((radius + T) ** 2 - (radius + 1.2) ** 2))
    assert row.weld_volume == pytest.approx(row.channel_area * 100)
    assert row.weld_g == pytest.approx(row.weld_volume * 7850e-6)
    # solid wire 0.9 mm, 95 % of it in the weld
    assert row.wire_m == pytest.approx(row.weld_volume / (math.pi * 0.45**2) / 0.95 / 1000)


def test_a_score_row_tells_the_push() -> None:
    """Fully plastic strip, stress b t² / 4 (any strength text): b 100, t 1.2, A36."""
    row = scored()
    assert row.moment_yield == pytest.approx(250 * 100 * 1.2**2 / 4)
    assert row.moment_hard == pytest.approx(550 * 100 * 1.2**2 / 4)
    assert row.push_yield == pytest.approx(row.moment_yield / 300)
    assert row.push_hard == pytest.approx(row.moment_hard / 300)
    assert 550 * 100 * row.greatest_ligament**2 / 4 / 300 == pytest.approx(250)
    assert row.suggestion.value == pytest.approx(T / 4)
    assert "quarter" in row.suggestion.reason


def test_another_effort_moves_push_and_limit() -> None:
    bracket = shelf(leg("far edge", 60.0, FOLD))
    (row,) = score_schedule(bracket, blank_of(bracket), Effort(limit=100.0, lever=600.0))
    assert row.push_hard == pytest.approx(row.moment_hard / 600)
    assert 550 * 100 * row.greatest_ligament**2 / 4 / 600 == pytest.approx(100)


def test_other_bends_have_no_score_row() -> None:
    bracket = shelf(leg("far edge", 60.0, BRAKE), leg("base", 60.0, Crease()))
    assert score_schedule(bracket, blank_of(bracket)) == ()


@pytest.mark.parametrize(
    ("groove", "given", "wheel", "passes"),
    # inches; wheels .045, 1/16, 3/32; a groove wanders up to .015 wider (common practice)
    [
        (0.035, None, 0.045, 1),
        (0.050, None, 0.045, 1),
        (0.0775, None, 1 / 16, 1),
        (3 / 32, None, 3 / 32, 1),
        (0.2, None, 3 / 32, 2),
        (0.11, None, 3 / 32, 2),
        (0.11, 1 / 16, 1 / 16, 2),
        (0.11, 0.045, 0.045, 2),
        (0.11, 0.04, 0.04, 2),
        (0.11, 0.035, 0.035, 3),
        (0.11, 0.10, 0.10, 1),
    ],
)
def test_the_wheel_for_a_groove(groove, given, wheel, passes) -> None:
    way = ScoreFold(groove * INCH, 1.2, None if given is None else given * INCH)
    bracket = shelf(leg("far edge", 60.0, way))
    (row,) = score_schedule(bracket, blank_of(bracket))
    assert (row.wheel, row.passes) == (pytest.approx(wheel * INCH), passes)
