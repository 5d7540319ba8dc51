import math

import pytest

from platewright.geometry.build import obround, rectangle
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import ORIGIN, Bounds, Point, close
from platewright.geometry.segment import Arc, Line
from platewright.geometry.shapes import polygon, self_crossing

SQUARE = rectangle(Bounds(0, 0, 10, 10))


def test_a_polygon_with_holes_keeps_within_the_sagitta():
    shape = polygon(SQUARE, [Circle(Point(5, 5), 4)], 0.001)
    assert shape.is_valid
    assert shape.area == pytest.approx(100 - 4 * math.pi, abs=0.001 * 4 * math.pi)


@pytest.mark.parametrize(
    "outline",
    [SQUARE, Circle(ORIGIN, 3), obround(ORIGIN, Point(9, 4), 3), Circle(ORIGIN, 3).contour()],
    ids=["square", "circle", "slot", "two half turns"],
)
def test_simple_outlines_do_not_cross_themselves(outline: Contour | Circle):
    assert self_crossing(outline) is None


def test_a_bow_tie_crosses_in_its_middle():
    bow_tie = Contour.polygon([Point(0, 0), Point(10, 10), Point(10, 0), Point(0, 10)])
    crossing = self_crossing(bow_tie)
    assert crossing is not None
    assert close(crossing, Point(5, 5), 1e-12)


def test_an_arc_that_bulges_through_the_other_side_crosses():
    base = Line(Point(10, 0), Point(0, 0))
    sides = Line(Point(0, 0), Point(0, 3)), Line(Point(10, 3), Point(10, 0))
    sagging = Arc(Point(0, 3), Point(10, 3), math.pi)
    crossing = self_crossing(Contour((base, sides[0], sagging, sides[1])))
    assert crossing is not None
    assert crossing.y == pytest.approx(0)
    assert crossing.x in (pytest.approx(1), pytest.approx(9))


def test_touching_counts():
    pinched = [Point(0, 0), Point(4, 4), Point(8, 0), Point(8, 8), Point(4, 4), Point(0, 8)]
    assert self_crossing(Contour.polygon(pinched)) == Point(4, 4)


def test_running_back_on_itself_counts():
    spike = [Point(0, 0), Point(10, 0), Point(10, 5), Point(15, 5), Point(10, 5), Point(0, 9)]
    assert self_crossing(Contour.polygon(spike)) == Point(10, 5)


@pytest.mark.parametrize(("end", "crosses"), [(Point(-4, 2), False), (Point(-4, -2), True)])
def test_neighbours_that_meet_again_are_found(end: Point, crosses: bool):
    # an arc over half a turn comes back to the line it started from, short of it or through it
    line = Line(Point(-10, 0), Point(0, 0))
    arc = Arc(line.end, end, 4.0)
    contour = Contour((line, arc, Line(end, line.start)))
    assert (self_crossing(contour) is not None) is crosses
