"""Room round an axis, hulls and distances in plan."""

import math

import pytest

from laws.strategies_bracket import rectangle
from platewright.findings.plan import (
    distance_to_polygon,
    hull,
    polygon_distance,
    room_round,
    shadows_of,
)
from platewright.geometry.plane import Point
from platewright.geometry.space import Placing
from platewright.plate.bend import Crease
from platewright.plate.bracket import Bend, Bracket
from platewright.plate.folded import folded
from platewright.plate.prism import parts_of
from platewright.plate.stock import MATERIALS, Stock

SQUARE = [Point(0, 0), Point(10, 0), Point(10, 10), Point(0, 10)]


def test_a_hull_leaves_inner_points_out() -> None:
    assert hull([*SQUARE, Point(5, 5), Point(5, 0)]) == SQUARE
    assert hull([Point(1, 1)]) == [Point(1, 1)]
    assert hull([Point(1, 1), Point(0, 0), Point(1, 1)]) == [Point(0, 0), Point(1, 1)]


def test_distances_count_the_inside() -> None:
    assert distance_to_polygon(Point(5, 5), SQUARE) == 0.0
    assert distance_to_polygon(Point(13, 14), SQUARE) == pytest.approx(5.0)
    assert distance_to_polygon(Point(3, 4), [Point(0, 0)]) == pytest.approx(5.0)
    assert distance_to_polygon(Point(5, 3), [Point(0, 0), Point(10, 0)]) == pytest.approx(3.0)


def test_polygons_are_apart_at_their_nearest() -> None:
    other = [Point(13, 14), Point(20, 14), Point(20, 20)]
    assert polygon_distance(SQUARE, other) == pytest.approx(5.0)
    assert polygon_distance(other, SQUARE) == pytest.approx(5.0)


def walled(direction: str, angle: float = 90.0) -> tuple:
    leg = Bend(edge="far edge", panel=rectangle("leg", 40.0, 30.0), angle=math.radians(angle),
               direction=direction, way=Crease())  # fmt: skip
    part = Bracket(
        stock=Stock(2.0, MATERIALS["A36"]), root=rectangle("web", 40.0, 60.0, bends=(leg,))
    )
    return tuple(part for part in parts_of(folded(part)) if part.words == "leg")


@pytest.mark.parametrize(("direction", "face"), [("up", "top"), ("down", "underside")])
def test_a_leg_limits_the_room_on_its_own_side(direction: str, face: str) -> None:
    others = walled(direction)
    found = room_round(Point(20, 35), shadows_of(others, face, 2.0, Placing()))
    assert found is not None
    assert found[0] == pytest.approx(25.0)
    other_face = "underside" if face == "top" else "top"
    beyond = room_round(Point(20, 35), shadows_of(others, other_face, 2.0, Placing()))
    # the sharp crease leaves the leg's own thickness beside the plate, none beyond it
    assert beyond is None


def test_a_leaning_leg_stands_over_the_plate() -> None:
    others = walled("up", 135.0)
    found = room_round(Point(20, 55), shadows_of(others, "top", 2.0, Placing()))
    assert found is not None
    assert found[0] == 0.0
