import math

import pytest

from platewright.errors import GeometryError
from platewright.geometry.build import (
    chamfer,
    fillet,
    merged,
    obround,
    rectangle,
    rounded_polygon,
    tangent_points,
)
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import ORIGIN, Bounds, Point, close
from platewright.geometry.segment import Arc, Line

SQUARE = rectangle(Bounds(0, 0, 10, 10))


def test_a_rectangle_runs_anticlockwise_from_its_lower_left():
    contour = rectangle(Bounds(1, 2, 11, 7))
    assert contour.corners == (Point(1, 2), Point(11, 2), Point(11, 7), Point(1, 7))
    assert contour.area == 50


def test_a_rectangle_without_height_is_refused():
    with pytest.raises(GeometryError, match="width and a height"):
        rectangle(Bounds(0, 0, 10, 0))


def test_an_obround_is_two_lines_and_two_half_turns():
    slot = obround(Point(0, 0), Point(30, 0), 10)
    assert [type(s) for s in slot.segments] == [Line, Arc, Line, Arc]
    assert slot.area == pytest.approx(300 + 25 * math.pi)
    assert slot.bounds.width == pytest.approx(40)
    assert slot.bounds.height == pytest.approx(10)


@pytest.mark.parametrize(("end", "width"), [(Point(0, 0), 1.0), (Point(5, 0), 0.0)])
def test_a_slot_without_length_or_width_is_refused(end: Point, width: float):
    with pytest.raises(GeometryError, match="two centres"):
        obround(Point(0, 0), end, width)


def test_tangents_touch_square_to_the_radius_clockwise_one_first():
    # 3-4-5: from 5 away a circle of radius 3 is touched 4 off
    clockwise, anticlockwise = tangent_points(Point(5, 0), Circle(ORIGIN, 6))
    assert close(clockwise, Point(1.8, -2.4), 1e-12)
    assert close(anticlockwise, Point(1.8, 2.4), 1e-12)
    assert clockwise.distance(Point(5, 0)) == pytest.approx(4)


def test_a_point_on_the_circle_is_its_own_tangent_point():
    assert tangent_points(Point(3, 0), Circle(ORIGIN, 6)) == (Point(3, 0), Point(3, 0))


def test_no_tangent_from_inside():
    with pytest.raises(GeometryError, match="inside"):
        tangent_points(Point(1, 0), Circle(ORIGIN, 6))


def test_a_fillet_in_a_square_corner_is_a_quarter_turn():
    arc = fillet(Point(0, 0), Point(10, 0), Point(10, 10), 2)
    assert arc == Arc(Point(8, 0), Point(10, 2), math.pi / 2)
    assert close(arc.centre, Point(8, 2), 1e-12)


def test_a_fillet_turns_the_way_its_corner_turns():
    assert fillet(Point(0, 0), Point(10, 0), Point(10, -10), 2).sweep == pytest.approx(-math.pi / 2)


@pytest.mark.parametrize(
    ("after", "radius", "words"),
    [
        (Point(20, 0), 1.0, "straight or folded"),
        (Point(1, 0), 1.0, "straight or folded"),
        (Point(10, 1), 2.0, "on each leg"),
        (Point(10, 5), 0.0, "positive"),
        (Point(10, 0), 1.0, "without length"),
    ],
)
def test_fillets_that_cannot_be(after: Point, radius: float, words: str):
    with pytest.raises(GeometryError, match=words):
        fillet(Point(0, 0), Point(10, 0), after, radius)


def test_a_chamfer_joins_points_at_the_setback():
    assert chamfer(Point(0, 0), Point(10, 0), Point(10, 10), 3) == Line(Point(7, 0), Point(10, 3))


@pytest.mark.parametrize(("setback", "words"), [(0.0, "positive"), (11.0, "on each leg")])
def test_chamfers_that_cannot_be(setback: float, words: str):
    with pytest.raises(GeometryError, match=words):
        chamfer(Point(0, 0), Point(10, 0), Point(10, 10), setback)


def test_a_rounded_square():
    contour = rounded_polygon(SQUARE.corners, [1, 2, 0, 3])
    assert len(contour.segments) == 7
    assert contour.area == pytest.approx(100 - (4 - math.pi) * (1 + 4 + 9) / 4)


def test_roundings_that_meet_in_the_middle_leave_no_line():
    contour = rounded_polygon(SQUARE.corners, [5, 5, 5, 5])
    assert [type(s) for s in contour.segments] == [Arc] * 4
    assert contour.area == pytest.approx(25 * math.pi)


def test_roundings_that_overlap_are_refused():
    with pytest.raises(GeometryError, match="overlap"):
        rounded_polygon(SQUARE.corners, [6, 6, 0, 0])


def test_a_rounded_polygon_needs_a_radius_for_every_corner():
    with pytest.raises(GeometryError, match="radius for each"):
        rounded_polygon(SQUARE.corners, [1])


def test_lines_that_run_on_become_one():
    points = [Point(0, 0), Point(4, 0), Point(10, 0), Point(10, 10), Point(0, 10), Point(0, 3)]
    assert merged(Contour.polygon(points)).area == 100
    assert len(merged(Contour.polygon(points)).segments) == 4


def test_the_seam_is_merged_too():
    points = [Point(5, 0), Point(10, 0), Point(10, 10), Point(0, 10), Point(0, 0)]
    assert set(merged(Contour.polygon(points)).corners) == set(SQUARE.corners)


def test_arcs_about_one_centre_become_one():
    arc = Arc.about(ORIGIN, 5, 0, math.pi)
    halves = arc.part(0, 0.3), arc.part(0.3, 1)
    halves = halves[0], Arc(halves[0].end, halves[1].end, halves[1].sweep)
    contour = merged(Contour((*halves, Line(arc.end, arc.start))))
    assert [type(s) for s in contour.segments] == [Arc, Line]
    assert contour.area == pytest.approx(12.5 * math.pi)


def test_a_whole_circle_keeps_its_two_halves():
    circle = Circle(ORIGIN, 5).contour()
    assert merged(circle) == circle


def test_tangent_arcs_of_different_radius_stay_apart():
    first = Arc(Point(0, 0), Point(2, 0), math.pi)
    second = Arc(Point(2, 0), Point(0, 0), 1.0)
    contour = Contour((first, second))
    assert merged(contour) == contour


def test_folded_lines_stay_apart():
    points = [Point(0, 0), Point(10, 0), Point(4, 0), Point(4, 5)]
    assert len(merged(Contour.polygon(points)).segments) == 4


def test_tiny_segments_are_left_out():
    crumb = 1e-12
    points = [*SQUARE.corners[:2], Point(10, crumb), *SQUARE.corners[2:], Point(0, crumb)]
    contour = merged(Contour.polygon(points))
    assert len(contour.segments) == 4
    assert contour.area == pytest.approx(100)


def test_a_tiny_segment_beside_an_arc_moves_the_line_end():
    arc = Arc(Point(10, 0), Point(0, 0), math.pi)
    nearly = Point(10 - 1e-11, 0)
    contour = merged(Contour((Line(Point(0, 0), nearly), Line(nearly, arc.start), arc)))
    assert contour.segments == (Line(Point(0, 0), Point(10, 0)), arc)


def test_nothing_left_is_an_error():
    with pytest.raises(GeometryError):
        merged(Contour.polygon([Point(0, 0), Point(1e-10, 0), Point(0, 1e-10)]))
