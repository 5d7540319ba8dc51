import math

import pytest

from platewright.drawing.scaling import scaled
from platewright.drawing.trimming import joined, within
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Arc, Line

WINDOW = Bounds(0, 0, 100, 60)


def test_what_lies_inside_is_left_alone():
    line, circle = Line(Point(1, 1), Point(99, 59)), Circle(Point(50, 30), 40)
    assert within(line, WINDOW) == (line,)
    assert within(circle, WINDOW) == (circle,)


def test_what_lies_outside_is_gone():
    assert within(Line(Point(-5, -5), Point(200, -5)), WINDOW) == ()
    assert within(Circle(Point(200, 200), 10), WINDOW) == ()
    # its box meets the window, its line does not
    assert within(Circle(Point(50, 30), 500), WINDOW) == ()


def test_a_line_is_cut_at_the_windows_sides():
    (piece,) = within(Line(Point(-50, 30), Point(150, 30)), WINDOW)
    assert (piece.start, piece.end) == (Point(0, 30), Point(100, 30))


def test_a_circle_is_cut_into_the_arcs_that_show():
    circle = Circle(Point(50, 30), 80)
    pieces = within(circle, WINDOW)
    assert all(isinstance(piece, Arc) for piece in pieces)
    # the chord 60 mm high of a circle of radius 40 leaves out two caps of 2 acos(3 / 4) each
    shown = 2 * math.pi * 40 - 2 * 40 * 2 * math.acos(30 / 40)
    assert sum(piece.length for piece in pieces) == pytest.approx(shown)
    for piece in pieces:
        assert piece.radius == pytest.approx(40)
        assert piece.centre.distance(circle.centre) < 1e-9
        assert WINDOW.grown(1e-9).union(piece.bounds) == WINDOW.grown(1e-9)


def test_a_contour_is_cut_segment_by_segment():
    square = Contour.polygon([Point(50, 30), Point(150, 30), Point(150, 90), Point(50, 90)])
    pieces = within(square, WINDOW)
    assert sum(piece.length for piece in pieces) == pytest.approx(50 + 30)


def test_lines_that_overlap_become_one():
    a, b = Line(Point(0, 0), Point(10, 0)), Line(Point(15, 0), Point(5, 0))
    assert list(joined([a, b])) == [Line(Point(15, 0), Point(0, 0))]


def test_a_line_between_two_others_joins_all_three():
    ends = [Line(Point(0, 0), Point(4, 0)), Line(Point(6, 0), Point(9, 0))]
    (line,) = joined([*ends, Line(Point(3, 0), Point(7, 0))])
    assert line.length == pytest.approx(9)


@pytest.mark.parametrize(
    "other",
    [
        Line(Point(0, 1), Point(10, 1)),
        Line(Point(11, 0), Point(20, 0)),
        Line(Point(5, -5), Point(5, 5)),
    ],
)
def test_lines_apart_or_across_stay_two(other):
    line = Line(Point(0, 0), Point(10, 0))
    assert list(joined([line, other])) == [line, other]


@pytest.mark.parametrize("factor", [0.25, 1.0, 3.0])
def test_shapes_scale_about_the_origin(factor):
    arc = Arc(Point(10, 0), Point(0, 10), math.pi / 2)
    contour = Contour((arc, Line(Point(0, 10), Point(0, 0)), Line(Point(0, 0), Point(10, 0))))
    assert scaled(contour, factor).area == pytest.approx(contour.area * factor**2)
    assert scaled(arc, factor).radius == pytest.approx(10 * factor)
    circle = scaled(Circle(Point(4, 2), 6), factor)
    assert circle == Circle(Point(4 * factor, 2 * factor), 6 * factor)
