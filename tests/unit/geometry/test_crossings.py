import math

import pytest

from platewright.geometry.crossings import Crossing, crossings
from platewright.geometry.plane import ORIGIN, Point, close
from platewright.geometry.segment import Arc, Line, Segment

FLAT = Line(Point(0, 0), Point(10, 0))
UPPER = Arc.about(ORIGIN, 5, 0, math.pi)


def line(x0: float, y0: float, x1: float, y1: float) -> Line:
    return Line(Point(x0, y0), Point(x1, y1))


def places(found: tuple[Crossing, ...]) -> list[tuple[float, float]]:
    return [(round(c.point.x, 9), round(c.point.y, 9)) for c in found]


def fractions(found: tuple[Crossing, ...]) -> list[tuple[float, float]]:
    return [(round(c.first, 9), round(c.second, 9)) for c in found]


def test_two_lines_cross_once():
    assert crossings(FLAT, line(4, -1, 4, 3)) == (Crossing(Point(4, 0), 0.4, 0.25),)


@pytest.mark.parametrize(
    "other",
    [line(4, 1, 4, 3), line(11, -1, 11, 1), line(0, 1, 10, 1), line(11, 0, 20, 0)],
    ids=["short of it", "beyond its end", "parallel", "farther along the same line"],
)
def test_lines_that_do_not_meet(other: Line):
    assert crossings(FLAT, other) == ()


def test_a_shared_end_is_that_end_exactly():
    assert crossings(FLAT, line(10, 0, 17, 3)) == (Crossing(Point(10, 0), 1.0, 0.0),)


def test_an_end_upon_the_other_line_counts():
    found = crossings(FLAT, line(3, 1e-12, 3, 5))
    assert fractions(found) == [(0.3, 0.0)]
    assert found[0].point == Point(3, 1e-12)


def test_lines_that_run_together_give_the_ends_of_the_shared_stretch():
    assert fractions(crossings(FLAT, line(15, 0, 4, 0))) == [(0.4, 1.0), (1.0, 0.454545455)]
    assert fractions(crossings(FLAT, FLAT)) == [(0.0, 0.0), (1.0, 1.0)]
    assert fractions(crossings(FLAT, line(2, 0, 8, 0))) == [(0.2, 0.0), (0.8, 1.0)]


def test_lines_a_hair_apart_run_together():
    assert fractions(crossings(FLAT, line(4, 1e-10, 6, -1e-10))) == [(0.4, 0.0), (0.6, 1.0)]


def test_nearly_parallel_lines_cross_where_they_cross():
    found = crossings(FLAT, line(0, -1e-6, 10, 1e-6))
    assert places(found) == [(5.0, 0.0)]


def test_collinear_lines_apart_do_not_meet_by_rounding():
    a = line(255.5007763539835, 8.530134665700984, 260.65722044151437, 2.4136745479394213)
    b = line(261.9463314633971, 0.8845595184990309, 263.2354424852798, -0.6445555109413597)
    assert crossings(a, b) == ()


def test_a_line_through_a_circle_crosses_twice_in_order():
    found = crossings(line(-10, 3, 10, 3), UPPER)
    assert places(found) == [(-4.0, 3.0), (4.0, 3.0)]
    assert [c.first for c in found] == pytest.approx([0.3, 0.7])
    assert found[0].second > found[1].second


def test_only_the_swept_part_of_the_circle_counts():
    assert places(crossings(line(3, -10, 3, 10), UPPER)) == [(3.0, 4.0)]
    assert crossings(line(-10, -3, 10, -3), UPPER) == ()


def test_a_tangent_touches_once():
    assert places(crossings(line(-10, 5, 10, 5), UPPER)) == [(0.0, 5.0)]
    assert places(crossings(line(-10, 5 + 1e-10, 10, 5 + 1e-10), UPPER)) == [(0.0, 5.0)]
    assert crossings(line(-10, 5 + 1e-8, 10, 5 + 1e-8), UPPER) == ()


def test_a_line_that_runs_on_tangent_shares_the_joint_alone():
    onward = Line(UPPER.end, Point(UPPER.end.x, -8))
    assert crossings(UPPER, onward) == (Crossing(UPPER.end, 1.0, 0.0),)


@pytest.mark.parametrize(
    ("other", "where"),
    [
        (Arc.about(Point(6, 0), 5, 0, math.pi), [(3.0, 4.0)]),
        (Arc.about(Point(0, 6), 5, 0, -math.pi), [(4.0, 3.0), (-4.0, 3.0)]),
        (Arc.about(Point(0, 8), 3, math.pi, math.pi), [(0.0, 5.0)]),
        (Arc.about(Point(0, 3), 2, 0, math.pi), [(0.0, 5.0)]),
        (Arc.about(Point(20, 0), 5, 0, math.pi), []),
        (Arc.about(Point(0, 1), 2, 0, math.pi), []),
        (Arc.about(ORIGIN, 4, 0, math.pi), []),
        (Arc.about(ORIGIN, 5, math.pi, math.pi), [(5.0, 0.0), (-5.0, 0.0)]),
    ],
    ids=[
        "beside",
        "above",
        "touching from outside",
        "touching from inside",
        "far off",
        "within",
        "same centre",
        "the other half",
    ],
)
def test_arcs(other: Arc, where: list[tuple[float, float]]):
    assert places(crossings(UPPER, other)) == where


def test_arcs_of_one_circle_give_the_ends_of_the_shared_stretch():
    other = Arc.about(ORIGIN, 5, math.pi / 2, math.pi)
    assert fractions(crossings(UPPER, other)) == [(0.5, 0.0), (1.0, 0.5)]


def test_an_arc_over_half_a_turn_wraps_round_its_start():
    most = Arc.about(ORIGIN, 5, 0, 6.0)
    found = crossings(most, line(0, 0, 10, -1e-3))
    # the line leaves through the gap's edge: fraction 0 or just before the start, never near 1
    assert found == ()
    assert fractions(crossings(most, line(0, 0, 10, 0))) == [(0.0, 0.5)]


@pytest.mark.parametrize("other", [line(3, -10, 3, 10), Arc.about(Point(6, 1), 5, 0, math.pi)])
def test_the_order_of_the_two_does_not_matter(other: Segment):
    there, back = crossings(UPPER, other), crossings(other, UPPER)
    assert len(there) == len(back) == 1
    assert close(there[0].point, back[0].point, 1e-12)
    assert (there[0].first, there[0].second) == pytest.approx((back[0].second, back[0].first))


def test_a_wider_tolerance_takes_a_near_miss_for_a_meeting():
    short = line(4, 0.01, 4, 3)
    assert crossings(FLAT, short) == ()
    assert fractions(crossings(FLAT, short, 0.02)) == [(0.4, 0.0)]


@pytest.mark.parametrize("sweep", [1e-3, 1e-6, 1e-9, -1e-9])
def test_flat_arcs_cross_like_the_lines_they_hardly_leave(sweep: float):
    flat = Arc(Point(0, 0), Point(100, 0), sweep)
    for other in (
        line(30, -5, 30, 5),
        Arc(Point(30, -5), Point(30, 5), -sweep),
        line(20, -5, 40, 5),
    ):
        (found,) = crossings(flat, other)
        assert flat.distance(found.point) < 1e-12
        assert other.distance(found.point) < 1e-12
        assert found.first == pytest.approx(0.3, abs=0.01)


def test_a_flat_arc_crosses_a_tight_one_twice():
    flat = Arc(Point(-50, 4), Point(50, 4), 1e-8)
    found = crossings(flat, UPPER)
    assert [round(c.point.x, 6) for c in found] == [-3.0, 3.0]
    assert all(UPPER.distance(c.point) < 1e-12 for c in found)
