"""The ways to make a bend, one by one."""

import math

import pytest

from platewright.plate.bend import (
    Brake,
    Crease,
    ScoreFold,
    corner_setback,
    inside_face,
    other_face,
    radius_part_way,
    score_face,
)

RIGHT = math.pi / 2


def test_a_score_bends_its_ligament_over_the_groove() -> None:
    way = ScoreFold(groove=2.4, ligament=1.2)
    assert way.allowance(RIGHT, 5.0) == 2.4
    assert way.inside_radius(RIGHT, 5.0) == pytest.approx(2.4 / RIGHT - 0.6)
    assert way.neutral_depth(5.0) == 0.6
    assert way.bent_thickness(5.0) == 1.2
    assert way.score is way


def test_a_score_too_narrow_for_its_fold_comes_to_a_point() -> None:
    assert ScoreFold(groove=1.0, ligament=2.0).inside_radius(RIGHT, 5.0) == 0.0


def test_a_ligament_is_never_thicker_than_the_plate() -> None:
    assert ScoreFold(groove=1.0, ligament=9.0).bent_thickness(5.0) == 5.0


def test_a_brake_turns_about_its_radius() -> None:
    way = Brake(radius=6.0, k=0.4)
    assert way.allowance(RIGHT, 5.0) == pytest.approx(RIGHT * 8.0)
    assert way.inside_radius(0.3, 5.0) == 6.0
    assert way.neutral_depth(5.0) == 2.0
    assert way.bent_thickness(5.0) == 5.0
    assert way.score is None


def test_a_crease_uses_nothing() -> None:
    way = Crease()
    assert (way.allowance(RIGHT, 0.5), way.inside_radius(RIGHT, 0.5)) == (0.0, 0.0)
    assert (way.neutral_depth(0.5), way.bent_thickness(0.5)) == (0.0, 0.5)


@pytest.mark.parametrize("way", [ScoreFold(2.4, 1.2), Brake(6.0, 0.4), Crease()])
def test_each_way_says_how_it_is_made(way: ScoreFold | Brake | Crease) -> None:
    assert way.words in ("score and fold", "brake", "crease")


def test_setbacks_of_a_right_angle_are_the_radii() -> None:
    way = Brake(radius=6.0, k=0.4)
    assert corner_setback(way, RIGHT, 5.0, 0.0) == pytest.approx(6.0)
    assert corner_setback(way, RIGHT, 5.0) == pytest.approx(11.0)


def test_half_made_bends_are_rounder() -> None:
    way = Brake(radius=6.0, k=0.4)
    assert radius_part_way(way, RIGHT, 5.0, 1) == 6.0
    assert radius_part_way(way, RIGHT, 5.0, 0.5) == pytest.approx(2 * 8.0 - 2.0)
    assert radius_part_way(Crease(), RIGHT, 0.5, 0.3) == 0.0


def test_the_score_is_on_the_face_that_the_plate_folds_away_from() -> None:
    way = ScoreFold(2.4, 1.2)
    assert score_face(way, "down") == "top"
    assert score_face(way, "up") == "underside"
    assert score_face(Brake(6.0, 0.4), "up") is None


def test_the_inside_face_is_the_other_one() -> None:
    for direction in ("up", "down"):
        assert other_face(inside_face(direction)) == score_face(ScoreFold(1, 1), direction)
