"""A tree's answers against those found one by one in plane geometry."""

import math

from platewright.geometry.plane import Bounds, Motion, Point
from platewright.geometry.segment import Line
from platewright.geometry.shape_tree import Rectangles, ShapeTree

TURNED = (0.0, 0.0, 10.0, 1.0, math.pi / 4)


def counts(line, *rectangles):
    return ShapeTree.of_lines([line]).counts(Rectangles(rectangles)).tolist()


def test_a_turned_rectangle_meets_what_its_slant_meets():
    right, below = Line(Point(5, 5), Point(50, 5)), Line(Point(5, -5), Point(50, -5))
    assert counts(right, TURNED) == [1]
    assert counts(below, TURNED) == [0]
    (box,) = Rectangles([TURNED]).bounds()
    corners = [Point(x, y) for x in (-10, 10) for y in (-1, 1)]
    expected = Bounds.of(*(Motion.rotation(math.pi / 4).point(p) for p in corners))
    assert all(
        math.isclose(a, b)
        for a, b in zip(
            box, (expected.xmin, expected.ymin, expected.xmax, expected.ymax), strict=True
        )
    )


def test_touching_is_meeting_and_lying_inside_too():
    square = (5.0, 5.0, 5.0, 5.0, 0.0)
    assert counts(Line(Point(10, 0), Point(20, 0)), square) == [1]
    assert counts(Line(Point(3, 3), Point(4, 4)), square) == [1]
    assert counts(Line(Point(10.001, 0), Point(20, 0)), square) == [0]


def test_every_shape_met_is_counted_and_named():
    rows = ShapeTree.of_lines([Line(Point(0, y), Point(10, y)) for y in range(10)])
    asked = Rectangles([(5.0, 3.0, 1.0, 1.5, 0.0), (50.0, 3.0, 1.0, 1.0, 0.0)])
    assert rows.counts(asked).tolist() == [3, 0]
    assert rows.met(Bounds(0, 6.5, 1, 8.5)) == [7, 8]


def test_nothing_meets_nothing():
    assert ShapeTree().counts(Rectangles([TURNED])).tolist() == [0]
    assert ShapeTree().met(Bounds(0, 0, 1, 1)) == []
    assert ShapeTree.of_lines([]).counts(Rectangles([])).tolist() == []
    assert len(Rectangles([TURNED, TURNED])[[]].bounds()) == 0
