import math

import pytest

from platewright.drawing.items import Hatch
from platewright.drawing.paths import arc_steps, bezier_pieces, chains, hatch_lines
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Point
from platewright.geometry.segment import Arc, Line

SQUARE = Contour.polygon((Point(0, 0), Point(10, 0), Point(10, 10), Point(0, 10)))


def test_segments_that_share_ends_run_on():
    a, b, c = Point(0, 0), Point(1, 0), Point(1, 1)
    joined, apart = chains([Line(a, b), Line(b, c), Line(Point(5, 5), Point(6, 6))])
    assert joined.segments == (Line(a, b), Line(b, c))
    assert not joined.closed
    assert apart.segments == (Line(Point(5, 5), Point(6, 6)),)


def test_a_run_back_to_its_start_is_closed_and_outlines_always_are():
    a, b, c = Point(0, 0), Point(1, 0), Point(1, 1)
    triangle, square, circle = chains(
        [Line(a, b), Line(b, c), Line(c, a), SQUARE, Circle(Point(0, 0), 3)]
    )
    assert triangle.closed
    assert square.closed
    assert circle.closed
    assert chains([]) == ()


def test_a_quarter_turn_within_a_loose_tolerance_is_one_piece():
    arc = Arc.about(Point(0, 0), 10, 0, math.pi / 2)
    ((first, second, end),) = bezier_pieces(arc, 0.01)
    handle = 4 / 3 * (math.sqrt(2) - 1) * 10  # the well-known quarter-circle cubic
    assert first == pytest.approx(complex(10, handle))
    assert second == pytest.approx(complex(handle, 10))
    assert end == complex(arc.end.x, arc.end.y)


def test_a_metre_radius_is_split_as_finely_as_its_tolerance_asks():
    arc = Arc.about(Point(0, 0), 1000, 0, math.pi)
    assert arc_steps(arc, 1e-3) < arc_steps(arc, 1e-4) < 20


def test_hatching_a_square_gives_level_lines_on_the_common_grid():
    lines = hatch_lines(Hatch((SQUARE,), angle=0.0, spacing=2.5))
    assert [line.start.y for line in lines] == [0.0, 2.5, 5.0, 7.5]
    assert all(line.length == pytest.approx(10) for line in lines)


def test_hatching_leaves_holes_out():
    hole = Circle(Point(5, 5), 4)
    lines = hatch_lines(Hatch((SQUARE, hole), angle=0.0, spacing=5))
    assert [round(line.length, 2) for line in lines if line.start.y == 5.0] == [3.0, 3.0]


def test_hatching_nothing_gives_nothing():
    assert hatch_lines(Hatch(())) == ()
