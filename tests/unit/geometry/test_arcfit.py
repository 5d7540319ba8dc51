"""Smooth chains of arcs through points."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from laws.effort import examples
from platewright.errors import GeometryError
from platewright.geometry.arcfit import biarc, corrected, tangent_arc
from platewright.geometry.plane import Point, Vector, close
from platewright.geometry.segment import Arc, Line, Segment

EAST, NORTH = Vector(1.0, 0.0), Vector(0.0, 1.0)


def test_a_biarc_leaves_and_arrives_as_told():
    pieces = biarc(Point(0, 0), EAST, Point(10, 4), EAST)
    assert (pieces[0].start, pieces[-1].end) == (Point(0, 0), Point(10, 4))
    assert pieces[0].start_direction.cross(EAST) == pytest.approx(0, abs=1e-12)
    assert pieces[-1].end_direction.cross(EAST) == pytest.approx(0, abs=1e-12)


def test_a_biarc_on_a_circle_is_that_circle():
    pieces = biarc(Point(10, 0), NORTH, Point(0, 10), Vector(-1.0, 0.0))
    for piece in pieces:
        assert isinstance(piece, Arc)
        assert piece.radius == pytest.approx(10)
        assert piece.centre.distance(Point(0, 0)) < 1e-9


def test_a_biarc_straight_ahead_is_one_line():
    assert biarc(Point(0, 0), EAST, Point(7, 0), EAST) == (Line(Point(0, 0), Point(7, 0)),)


def test_a_biarc_makes_half_a_turn():
    pieces = biarc(Point(0, 0), NORTH, Point(4, 0), -NORTH)
    assert sum(piece.length for piece in pieces) == pytest.approx(2 * math.pi)


@pytest.mark.parametrize(
    ("leaving", "end", "arriving"),
    [(EAST, Point(0, 0), EAST), (EAST, Point(-5, 0), EAST)],
)
def test_no_biarc_goes_nowhere_or_straight_back(leaving, end, arriving):
    with pytest.raises(GeometryError):
        biarc(Point(0, 0), leaving, end, arriving)


def test_a_tangent_arc_needs_a_length():
    with pytest.raises(GeometryError):
        tangent_arc(Point(1, 1), EAST, Point(1, 1))


# --- a line corrected -------------------------------------------------------------------------


def straight(end: float = 1000.0) -> Line:
    return Line(Point(-1000, 0), Point(end, 0))


def through(points: list[Point], tolerance: float, *, level: bool = False) -> tuple[Segment, ...]:
    """What a straight line becomes from the first of its readings to the last."""
    chain = corrected((straight(),), points, tolerance, level=(level, level))
    return tuple(s for s in chain if s.end.x > points[0].x and s.start.x < points[-1].x)


def test_points_of_one_circle_need_one_biarc():
    points = [Point(-50 * math.cos(t), 50 * math.sin(t)) for t in (0.9, 1.1, 1.4, 1.5, 2.0)]
    chain = through(points, 1e-6)
    assert len(chain) == 2
    assert all(abs(piece.radius - 50) < 1e-6 for piece in chain)


def test_points_of_one_line_need_one_line():
    points = [Point(x, 2 * x) for x in (0, 1, 3, 8)]
    assert through(points, 0.0) == (Line(points[0], points[-1]),)


def test_two_points_are_joined_by_a_line():
    assert through([Point(0, 0), Point(3, 4)], 0) == (Line(Point(0, 0), Point(3, 4)),)


def test_ends_run_in_level_where_told():
    chain = through([Point(0, 0), Point(5, 2), Point(10, 0)], 0, level=True)
    assert chain[0].start_direction.cross(EAST) == pytest.approx(0, abs=1e-12)
    assert chain[-1].end_direction.cross(EAST) == pytest.approx(0, abs=1e-12)


def test_the_first_and_last_reading_hold_to_the_ends():
    chain = corrected((straight(),), [Point(0, 1), Point(10, -2)], 0)
    assert chain[0] == Line(Point(-1000, 1), Point(0, 1))
    assert chain[-1] == Line(Point(10, -2), Point(1000, -2))


def test_a_correction_that_stays_the_same_moves_the_line():
    hump = (Line(Point(-90, 0), Point(-3, 0)), Arc(Point(-3, 0), Point(3, 0), -1.0),
            Line(Point(3, 0), Point(90, 0)))  # fmt: skip
    moved = corrected(hump, [Point(-20, 2), Point(20, 2)], 0.1)
    for piece, old in zip(moved, hump, strict=True):
        assert close(piece.start, old.start + Vector(0, 2), 1e-12)
        assert piece.length == pytest.approx(old.length)


def test_a_wider_tolerance_needs_fewer_arcs():
    points = [Point(5 * i, math.sin(i)) for i in range(20)]
    close, rough = through(points, 0.0), through(points, 1.0)
    assert len(rough) < len(close)


def test_one_reading_near_the_end_does_not_throw_the_curve_far():
    """A circle through these three would be 75 high where nothing was read."""
    chain = through([Point(0, 0), Point(2, 6), Point(200, 0)], 0.4)
    assert max(piece.bounds.ymax for piece in chain) < 10


@pytest.mark.parametrize(
    ("points", "tolerance"),
    [([], 0.1), ([Point(0, 0), Point(1, 0)], -1), ([Point(0, 0), Point(0, 1)], 0.1)],
)
def test_what_is_no_curve_is_refused(points, tolerance):
    with pytest.raises(GeometryError):
        corrected((straight(),), points, tolerance)


@examples(80)
@given(
    st.lists(st.floats(-3, 3), min_size=3, max_size=12),
    st.floats(4, 20),
    st.sampled_from([0.0, 0.1, 0.5]),
)
def test_chains_are_smooth_and_near_their_points(heights, step, tolerance):
    points = [Point(i * step, y) for i, y in enumerate(heights)]
    chain = through(points, tolerance)
    for before, after in pairwise(chain):
        assert before.end == after.start
        assert before.end_direction.cross(after.start_direction) == pytest.approx(0, abs=1e-6)
        assert before.end_direction.dot(after.start_direction) > 0
    for point in points:
        assert min(piece.distance(point) for piece in chain) <= tolerance + 1e-9
