import math

import pytest

from platewright.geometry.build import obround, rectangle
from platewright.geometry.contour import Circle, Contour, Outline
from platewright.geometry.distances import distance_between, encloses
from platewright.geometry.plane import ORIGIN, Bounds, Point, close
from platewright.geometry.segment import Arc, Line, Segment

SQUARE = rectangle(Bounds(0, 0, 10, 10))
UPPER = Arc.about(ORIGIN, 5, 0, math.pi)


@pytest.mark.parametrize(
    ("a", "b", "distance", "first", "second"),
    [
        (SQUARE, rectangle(Bounds(13, 14, 20, 20)), 5.0, (10, 10), (13, 14)),
        (SQUARE, Circle(Point(18, 5), 6), 5.0, (10, 5), (15, 5)),
        (SQUARE, Circle(Point(13, 14), 4), 3.0, (10, 10), (11.8, 12.4)),
        (Circle(ORIGIN, 10), Circle(Point(20, 0), 6), 12.0, (5, 0), (17, 0)),
        (SQUARE, Circle(Point(2, 5), 2), 1.0, (0, 5), (1, 5)),
        (Circle(ORIGIN, 20), Circle(Point(3, 0), 4), 5.0, (10, 0), (5, 0)),
        (UPPER, Line(Point(-9, 7), Point(9, 7)), 2.0, (0, 5), (0, 7)),
        (UPPER, Line(Point(-1, 2), Point(1, 2)), 2.763932022500, None, None),
        (UPPER, Arc.about(Point(0, 12), 4, math.pi, math.pi), 3.0, (0, 5), (0, 8)),
        (UPPER, Arc.about(Point(0, 12), 4, 0, math.pi), 7.649110640674, None, None),
        (Line(Point(0, 0), Point(4, 0)), Line(Point(1, 3), Point(9, 3)), 3.0, None, None),
    ],
    ids=[
        "corner to corner",
        "side to circle",
        "corner to circle",
        "circle to circle",
        "circle inside a square",
        "circle inside a circle",
        "line above an arc",
        "line under an arc",
        "arc to arc",
        "ends of a turned-away arc",
        "parallel lines",
    ],
)
def test_the_least_distance_and_where(
    a: Outline | Segment,
    b: Outline | Segment,
    distance: float,
    first: tuple[float, float] | None,
    second: tuple[float, float] | None,
):
    nearest = distance_between(a, b)
    assert nearest.distance == pytest.approx(distance, abs=1e-9)
    assert nearest.first.distance(nearest.second) == pytest.approx(nearest.distance, abs=1e-12)
    if first and second:
        assert close(nearest.first, Point(*first), 1e-9)
        assert close(nearest.second, Point(*second), 1e-9)


def test_shapes_that_cross_are_nothing_apart_where_they_cross():
    nearest = distance_between(SQUARE, Circle(Point(10, 5), 4))
    assert nearest.distance == 0
    assert nearest.first == nearest.second
    assert nearest.first.x == pytest.approx(10)


def test_concentric_circles_keep_the_difference_of_their_radii():
    assert distance_between(Circle(ORIGIN, 10), Circle(ORIGIN, 7)).distance == pytest.approx(1.5)


@pytest.mark.parametrize(
    ("inner", "inside"),
    [
        (Circle(Point(5, 5), 4), True),
        (Circle(Point(5, 5), 10), False),
        (Circle(Point(9, 5), 4), False),
        (Circle(Point(15, 5), 4), False),
        (rectangle(Bounds(-5, -5, 20, 20)), False),
        (obround(Point(3, 5), Point(7, 5), 2), True),
    ],
    ids=["inside", "touching", "across", "outside", "round it", "slot inside"],
)
def test_encloses(inner: Outline, inside: bool):
    assert encloses(SQUARE, inner) is inside


def test_an_outline_is_not_inside_itself():
    assert not encloses(SQUARE, Contour(SQUARE.segments))
