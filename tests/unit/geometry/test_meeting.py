"""What meets what against what is found one by one in plane geometry."""

import math

import numpy as np

from platewright.geometry.meeting import Raster, Rectangles
from platewright.geometry.plane import Bounds, Motion, Point

TURNED = (0.0, 0.0, 10.0, 1.0, math.pi / 4)


def counts(ends, *rectangles):
    return Rectangles.between([ends]).counts(Rectangles.of(rectangles)).tolist()


def test_a_turned_rectangle_meets_what_its_slant_meets():
    right, below = (5, 5, 50, 5), (5, -5, 50, -5)
    assert counts(right, TURNED) == [1]
    assert counts(below, TURNED) == [0]
    box = Rectangles.of([TURNED]).bounds[:, 0]
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
    assert counts((10, 0, 20, 0), square) == [1]
    assert counts((3, 3, 4, 4), square) == [1]
    assert counts((10.001, 0, 20, 0), square) == [0]


def test_every_shape_met_is_counted_and_named():
    rows = Rectangles.between([(0, y, 10, y) for y in range(10)])
    asked = Rectangles.of([(5.0, 3.0, 1.0, 1.5, 0.0), (50.0, 3.0, 1.0, 1.0, 0.0)])
    assert rows.counts(asked).tolist() == [3, 0]
    window = Rectangles.of([(0.5, 7.5, 0.5, 1.0, 0.0)])
    assert [each.tolist() for each in rows.pairs(window)] == [[7, 8], [0, 0]]


def test_nothing_meets_nothing():
    assert Rectangles.between([]).counts(Rectangles.of([TURNED])).tolist() == [0]
    assert Rectangles.between([]).counts(Rectangles.of([])).tolist() == []
    assert len(Rectangles.of([TURNED, TURNED])[[]]) == 0


def test_chosen_rectangles_keep_the_figures_of_a_column_side_by_side():
    chosen = Rectangles.of([TURNED] * 5)[[3, 1]]
    assert chosen.frames.flags.c_contiguous
    assert chosen.bounds.flags.c_contiguous


def test_rectangles_meet_where_a_side_of_neither_parts_them():
    tall = (5.0, 0.0, 1.0, 8.0, 0.0)
    assert Rectangles.of([TURNED]).counts(Rectangles.of([tall])).tolist() == [1]
    assert Rectangles.of([TURNED]).counts(Rectangles.of([(5.0, -5.0, 1.0, 3.0, 0.0)])).tolist() == [
        0
    ]


def test_a_box_that_a_line_runs_through_is_surely_met_and_one_beside_it_is_not():
    raster = Raster(np.array([(0.0, 0.0, 100.0, 60.0), (0.0, 60.0, 0.0, 60.0)]))
    boxes = np.array([(45.0, 25.0, 55.0, 35.0), (60.0, 0.0, 70.0, 30.0), (200.0, 0.0, 300.0, 9.0)])
    assert raster.surely_meet(boxes.T).tolist() == [True, False, False]
