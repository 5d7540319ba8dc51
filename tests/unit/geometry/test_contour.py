import math

import pytest

from platewright.errors import GeometryError
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import ORIGIN, Bounds, Motion, Point, Vector, close
from platewright.geometry.segment import Arc, Line

SQUARE = Contour.polygon([Point(0, 0), Point(10, 0), Point(10, 10), Point(0, 10)])
CIRCLE = Circle(Point(3, 4), 10)

#: A disc of radius 5 with its upper right quarter cut away.
PACMAN = Contour(
    (
        Line(ORIGIN, Point(0, 5)),
        Arc(Point(0, 5), Point(5, 0), 1.5 * math.pi),
        Line(Point(5, 0), ORIGIN),
    )
)


@pytest.mark.parametrize("diameter", [0.0, -1.0, math.nan])
def test_a_circle_needs_a_diameter(diameter: float):
    with pytest.raises(GeometryError, match="diameter"):
        Circle(ORIGIN, diameter)


def test_a_circle():
    assert CIRCLE.radius == 5
    assert CIRCLE.area == pytest.approx(25 * math.pi)
    assert CIRCLE.perimeter == pytest.approx(10 * math.pi)
    assert CIRCLE.bounds == Bounds(-2, -1, 8, 9)
    assert CIRCLE.moved(Motion.mirror_x()) == Circle(Point(-3, 4), 10)
    assert CIRCLE.distance(Point(3, 4)) == 5
    assert CIRCLE.distance(Point(11, 4)) == 3
    assert CIRCLE.contains(Point(7, 4))
    assert not CIRCLE.contains(Point(8, 4))


def test_a_circle_as_a_contour():
    contour = CIRCLE.contour()
    assert contour.area == pytest.approx(CIRCLE.area)
    assert contour.bounds.width == pytest.approx(10)
    assert all(CIRCLE.distance(p) < 1e-12 for p in CIRCLE.flatten(0.1))


def test_a_contour_closes_exactly():
    with pytest.raises(GeometryError, match="gaps"):
        Contour((Line(ORIGIN, Point(1, 0)), Line(Point(1, 1e-15), ORIGIN)))


def test_a_contour_has_no_segment_without_length():
    with pytest.raises(GeometryError, match="without length"):
        Contour((Line(ORIGIN, ORIGIN), Line(ORIGIN, ORIGIN)))


def test_a_contour_has_two_segments_or_more():
    with pytest.raises(GeometryError, match="two segments"):
        Contour((Line(ORIGIN, Point(1, 0)),))


def test_area_and_perimeter():
    assert SQUARE.area == 100
    assert SQUARE.perimeter == 40
    assert PACMAN.area == pytest.approx(0.75 * 25 * math.pi)
    assert PACMAN.perimeter == pytest.approx(10 + 7.5 * math.pi)
    assert PACMAN.bounds.width == pytest.approx(10)


def test_far_away_shapes_keep_their_area():
    far = SQUARE.moved(Motion.translation(Vector(1e7, -1e7)))
    assert far.area == 100


def test_travel():
    back = SQUARE.reversed()
    assert back.area == -100
    assert back.anticlockwise().area == 100
    assert SQUARE.anticlockwise() is SQUARE
    assert SQUARE.moved(Motion.mirror_x()).area == 100
    assert SQUARE.corners == (Point(0, 0), Point(10, 0), Point(10, 10), Point(0, 10))


@pytest.mark.parametrize(
    ("p", "inside"),
    [
        (Point(-1, 1), True),
        (Point(-3, -3), True),
        (Point(3, -3), True),
        (Point(1, 1), False),
        (Point(3, 3), False),
        (Point(4.9, -0.1), True),
        (Point(-4, 4), False),
        (Point(0, -4.999), True),
        (Point(0, -5.001), False),
    ],
)
def test_inside_an_arc_over_half_a_turn(p: Point, inside: bool):
    assert PACMAN.contains(p) is inside
    assert PACMAN.reversed().contains(p) is inside


def test_distance_to_the_line():
    assert SQUARE.distance(Point(5, 4)) == 4
    assert SQUARE.distance(Point(13, 14)) == 5
    assert PACMAN.distance(Point(3, 3)) == pytest.approx(3)


def test_flattening_leaves_lines_alone():
    assert SQUARE.flatten(0.1) == list(SQUARE.corners)
    corners = PACMAN.flatten(0.01)
    assert corners[0] == ORIGIN
    assert close(corners[1], Point(0, 5))
    assert all(PACMAN.distance(p) < 1e-12 for p in corners)
