import math

import pytest

from platewright.geometry.contour import Circle
from platewright.geometry.loops import Closed, closed
from platewright.geometry.plane import ORIGIN, Point
from platewright.geometry.prepared import prepared
from platewright.geometry.segment import Arc, Line, Segment
from platewright.geometry.stretches import Places, Stretch, Stretches

SQUARE = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]


def lines(*corners: tuple[float, float]) -> list[Segment]:
    """The lines round some corners."""
    ends = [*corners[1:], corners[0]]
    return [Line(Point(*a), Point(*b)) for a, b in zip(corners, ends, strict=True)]


def closing(segments: list[Segment]) -> Closed:
    """What stretches over whole segments close into."""
    places = Places(1e-9)
    pieces = [prepared(segment) for segment in segments]
    ends = [(places.number(p.x0, p.y0), places.number(p.x1, p.y1)) for p in pieces]
    stretches = [Stretch(i, 0.0, 1.0, tail, head) for i, (tail, head) in enumerate(ends)]
    return closed(Stretches(pieces, places.xy, stretches), 2.5e-10)


def areas(result: Closed) -> list[float]:
    return sorted(
        -loop.outline.area if loop.is_hole else loop.outline.area for loop in result.loops
    )


def test_a_ring_closes():
    result = closing(lines(*SQUARE))
    assert areas(result) == [100]
    assert result.loose == 0


def test_a_clockwise_ring_is_a_hole_and_given_anticlockwise():
    (loop,) = closing(lines(*reversed(SQUARE))).loops
    assert loop.is_hole
    assert loop.outline.area == 100


def test_rings_that_touch_in_a_corner_stay_apart():
    other = [(10.0, 10.0), (20.0, 10.0), (20.0, 20.0), (10.0, 20.0)]
    assert areas(closing([*lines(*SQUARE), *lines(*other)])) == [100, 100]


def test_a_hole_that_touches_the_ring_in_a_corner_stays_a_hole():
    hole = [(0.0, 0.0), (2.0, 4.0), (4.0, 2.0)]
    assert areas(closing([*lines(*SQUARE), *lines(*hole)])) == [-6, 100]


def test_ways_that_leave_in_one_direction_part_by_their_bows():
    # two discs cut by their common tangent, touching in the origin from either side
    left, right = Arc(Point(0, 0), Point(0, 10), -math.pi), Arc(Point(0, 0), Point(0, 10), math.pi)
    back = [Line(Point(0, 10), Point(-20, 10)), Line(Point(-20, 10), Point(0, 0))]
    front = [Line(Point(0, 10), Point(20, -10)), Line(Point(20, -10), Point(0, 0))]
    result = closing([left, right, *back, *front])
    assert len(result.loops) == 2
    assert result.loose == 0


def test_stretches_that_lead_nowhere_are_left_over():
    stray = [Line(Point(10, 0), Point(14, 3)), Line(Point(-3, -4), Point(0, 0))]
    result = closing([*stray, *lines(*SQUARE)])
    assert areas(result) == [100]
    assert result.loose == pytest.approx(10)


def test_two_stretches_on_each_other_bound_nothing():
    there = [Line(Point(0, 0), Point(7, 0)), Line(Point(7, 0), Point(0, 0))]
    result = closing(there)
    assert result.loops == ()
    assert result.loose == 0


def test_a_ring_with_a_folded_tail_loses_the_tail():
    tail = [Line(Point(10, 0), Point(15, 0)), Line(Point(15, 0), Point(10, 0))]
    (loop,) = closing([*lines(*SQUARE), *tail]).loops
    assert loop.outline.area == 100


@pytest.mark.parametrize(
    "corners",
    [
        [(0.0, 0.0), (10.0, 0.0), (10.0, -5e-7), (10.0, 10.0), (0.0, 10.0)],
        [(0.0, 0.0), (10.0 + 5e-7, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)],
        [(10.0, -5e-7), (10.0, 10.0), (0.0, 10.0), (0.0, 0.0), (10.0, 0.0)],
    ],
    ids=["down and up again", "past and back", "at the seam"],
)
def test_spurs_are_left_out(corners: list[tuple[float, float]]):
    (loop,) = closing(lines(*corners)).loops
    assert {(c.x, c.y) for c in getattr(loop.outline, "corners", ())} == set(SQUARE)


def test_short_sides_that_turn_off_stay():
    nick = [(10.0, 0.0), (10.0 + 5e-7, 5e-7), (10.0, 10.0), (0.0, 10.0), (0.0, 0.0)]
    (loop,) = closing(lines(*nick)).loops
    assert len(getattr(loop.outline, "segments", ())) == 5


def test_a_tiny_ring_has_no_spurs():
    tiny = [(0.0, 0.0), (5e-7, 0.0), (5e-7, 5e-7), (0.0, 5e-7)]
    assert areas(closing(lines(*tiny))) == [pytest.approx(2.5e-13)]


@pytest.mark.parametrize("sweep", [math.pi, -math.pi])
def test_arcs_about_one_centre_that_go_all_round_are_a_circle(sweep: float):
    halves = [Arc(Point(5, 0), Point(-5, 0), sweep), Arc(Point(-5, 0), Point(5, 0), sweep)]
    (loop,) = closing(list(halves)).loops
    assert isinstance(loop.outline, Circle)
    assert loop.outline.centre.distance(ORIGIN) < 1e-12
    assert loop.is_hole == (sweep < 0)
