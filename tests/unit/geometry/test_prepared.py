import math

import pytest

from platewright.geometry.build import obround
from platewright.geometry.contour import Circle, Outline
from platewright.geometry.grid import Grid, mean_cell
from platewright.geometry.plane import ORIGIN, Point
from platewright.geometry.prepared import PreparedArc, PreparedSegment, prepared, prepared_outline
from platewright.geometry.segment import Arc, Line, Segment

SEGMENTS = [
    Line(Point(1, 2), Point(4, 6)),
    Arc.about(Point(3, 3), 5, 0.3, 2.0),
    Arc.about(Point(3, 3), 5, 0.3, -5.5),
]


@pytest.mark.parametrize("segment", SEGMENTS)
@pytest.mark.parametrize("fraction", [0, 0.25, 0.8, 1])
def test_a_prepared_segment_goes_where_its_segment_goes(segment: Segment, fraction: float):
    ready = prepared(segment)
    p, direction = segment.point_at(fraction), segment.direction_at(fraction)
    assert ready.at(fraction) == pytest.approx((p.x, p.y))
    assert ready.direction(fraction) == pytest.approx((direction.x, direction.y))
    assert ready.fraction(p.x, p.y) == pytest.approx(fraction)
    assert ready.length == pytest.approx(segment.length)


@pytest.mark.parametrize("segment", SEGMENTS)
def test_a_prepared_segment_is_as_far_as_its_segment(segment: Segment):
    ready = prepared(segment)
    for x in range(-12, 13, 3):
        for y in range(-12, 13, 3):
            assert ready.distance(x, y) == pytest.approx(segment.distance(Point(x, y)))


def test_fractions_beyond_the_ends_lie_on_the_nearer_one():
    line = prepared(Line(Point(0, 0), Point(10, 0)))
    assert line.fraction(-5, 3) == -0.5
    assert line.fraction(15, 3) == 1.5
    arc = prepared(Arc.about(ORIGIN, 5, 0, math.pi))
    assert arc.fraction(5, -1) < 0
    assert arc.fraction(-5, -1) > 1


def test_curvature_is_positive_to_the_left():
    curvatures = [prepared(segment).curvature for segment in SEGMENTS]
    assert curvatures == pytest.approx([0, 0.2, -0.2])


@pytest.mark.parametrize("segment", SEGMENTS)
@pytest.mark.parametrize("size", [0.3, 2.0, 100.0])
def test_boxes_cover_a_segment(segment: Segment, size: float):
    ready = prepared(segment)
    boxes = list(ready.boxes(size))
    for i in range(101):
        x, y = ready.at(i / 100)
        assert any(
            b[0] - 1e-9 <= x <= b[2] + 1e-9 and b[1] - 1e-9 <= y <= b[3] + 1e-9 for b in boxes
        )
    assert all(max(b[2] - b[0], b[3] - b[1]) <= size * 1.3 for b in boxes)


@pytest.mark.parametrize(
    "outline",
    [Circle(Point(1, 1), 6), obround(ORIGIN, Point(9, 0), 4)],
    ids=["circle", "slot"],
)
@pytest.mark.parametrize("clockwise", [False, True])
def test_outlines_are_traced_either_way_round(outline: Outline, clockwise: bool):
    ready = prepared_outline(outline, clockwise=clockwise)
    for before, after in zip(ready, ready[1:] + ready[:1], strict=True):
        assert (before.x1, before.y1) == (after.x0, after.y0)
    area = math.fsum(_swept(each) for each in ready)
    assert area == pytest.approx(-outline.area if clockwise else outline.area)


def _swept(ready: PreparedSegment) -> float:
    chord = (ready.x0 * ready.y1 - ready.x1 * ready.y0) / 2
    if isinstance(ready, PreparedArc):
        return chord + ready.radius**2 * (ready.sweep - math.sin(ready.sweep)) / 2
    return chord


# --- the grid over segments -----------------------------------------------------------------------


def comb(count: int) -> list[PreparedSegment]:
    """Upright lines 10 mm long, 3 mm apart."""
    return [prepared(Line(Point(3 * i, 0), Point(3 * i, 10))) for i in range(count)]


def test_near_traces_are_found():
    ready = comb(10)
    grid = Grid(ready, mean_cell(ready, 1.0))
    assert {3, 4} <= set(grid.near(10.5, 5, 2))
    assert set(grid.near(500, 5, 2)) == set()


def test_pairs_that_share_a_cell_come_once_in_order():
    crossing = prepared(Line(Point(-1, 5), Point(8, 5)))
    pairs = list(Grid([*comb(10), crossing], 4.0).pairs())
    assert {(0, 10), (1, 10), (2, 10)} <= set(pairs)
    assert pairs == sorted(set(pairs))
    assert (9, 10) not in pairs


def test_a_margin_pairs_traces_beside_a_cell_border():
    left, right = Line(Point(3.9, 0), Point(3.9, 1)), Line(Point(4.1, 0), Point(4.1, 1))
    ready = [prepared(left), prepared(right)]
    assert list(Grid(ready, 4.0).pairs()) == []
    assert list(Grid(ready, 4.0, 0.2).pairs()) == [(0, 1)]


def test_the_cell_is_the_mean_length_but_not_less_than_asked():
    assert mean_cell(comb(4), 1.0) == 10
    assert mean_cell(comb(4), 25.0) == 25
