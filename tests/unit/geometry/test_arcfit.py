"""Smooth chains of arcs through points."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from platewright.errors import GeometryError
from platewright.geometry.arcfit import biarc, smooth_chain, tangent_arc
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Arc, Line

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


def test_points_of_one_circle_need_one_biarc():
    points = [Point(50 * math.cos(t), 50 * math.sin(t)) for t in (0.0, 0.2, 0.5, 0.6, 1.1)]
    chain = smooth_chain(points, 1e-6)
    assert len(chain) == 2
    assert all(abs(piece.radius - 50) < 1e-6 for piece in chain)


def test_points_of_one_line_need_one_line():
    points = [Point(x, 2 * x) for x in (0, 1, 3, 8)]
    assert smooth_chain(points, 0.0) == (Line(points[0], points[-1]),)


def test_two_points_are_joined_by_a_line():
    assert smooth_chain([Point(0, 0), Point(3, 4)], 0) == (Line(Point(0, 0), Point(3, 4)),)


def test_ends_leave_and_arrive_as_told():
    chain = smooth_chain([Point(0, 0), Point(5, 2), Point(10, 0)], 0, leaving=EAST, arriving=EAST)
    assert chain[0].start_direction.cross(EAST) == pytest.approx(0, abs=1e-12)
    assert chain[-1].end_direction.cross(EAST) == pytest.approx(0, abs=1e-12)


def test_a_wider_tolerance_needs_fewer_arcs():
    points = [Point(5 * i, math.sin(i)) for i in range(20)]
    close, rough = smooth_chain(points, 0.0), smooth_chain(points, 1.0)
    assert len(rough) < len(close)


@pytest.mark.parametrize(
    ("points", "tolerance"),
    [([Point(0, 0)], 0.1), ([Point(0, 0), Point(1, 0)], -1), ([Point(0, 0), Point(0, 0)], 0.1)],
)
def test_what_is_no_curve_is_refused(points, tolerance):
    with pytest.raises(GeometryError):
        smooth_chain(points, tolerance)


def test_a_curve_cannot_turn_straight_back():
    with pytest.raises(GeometryError, match="straight back"):
        smooth_chain([Point(0, 0), Point(5, 0), Point(0, 0)], 0.1)


@settings(max_examples=80, deadline=None)
@given(
    st.lists(st.floats(-3, 3), min_size=3, max_size=12),
    st.floats(4, 20),
    st.sampled_from([0.0, 0.1, 0.5]),
)
def test_chains_are_smooth_and_near_their_points(heights, step, tolerance):
    points = [Point(i * step, y) for i, y in enumerate(heights)]
    chain = smooth_chain(points, tolerance)
    for before, after in pairwise(chain):
        assert before.end == after.start
        assert before.end_direction.cross(after.start_direction) == pytest.approx(0, abs=1e-6)
        assert before.end_direction.dot(after.start_direction) > 0
    for point in points:
        assert min(piece.distance(point) for piece in chain) <= tolerance + 1e-9
