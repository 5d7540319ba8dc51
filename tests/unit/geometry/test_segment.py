import math

import pytest

from platewright.errors import GeometryError
from platewright.geometry.plane import ORIGIN, Bounds, Motion, Point, Vector, close
from platewright.geometry.segment import Arc, Line

LINE = Line(Point(1, 2), Point(4, 6))
QUARTER = Arc(Point(5, 0), Point(0, 5), math.pi / 2)
MOST = Arc.about(ORIGIN, 5, 0, -1.5 * math.pi)


def near(v: Vector, w: Vector) -> bool:
    return (v - w).length < 1e-12


def test_a_line():
    assert LINE.length == 5
    assert LINE.direction == LINE.start_direction == LINE.end_direction == Vector(0.6, 0.8)
    assert LINE.direction_at(0.3) == Vector(0.6, 0.8)
    assert LINE.bounds == Bounds(1, 2, 4, 6)
    assert LINE.point_at(0.5) == Point(2.5, 4)
    assert LINE.point_at(1) == LINE.end
    assert LINE.reversed() == Line(Point(4, 6), Point(1, 2))
    assert LINE.part(0, 0.5) == Line(Point(1, 2), Point(2.5, 4))
    assert LINE.flatten(0.1) == [LINE.start, LINE.end]
    assert LINE.bow_area == 0


@pytest.mark.parametrize(
    ("p", "fraction", "distance"),
    [
        (Point(-3, -1), 0.0, 5.0),
        (Point(7, 10), 1.0, 5.0),
        (Point(2.5 - 4, 4 + 3), 0.5, 5.0),
        (Point(2.5, 4), 0.5, 0.0),
    ],
)
def test_the_nearest_place_on_a_line(p: Point, fraction: float, distance: float):
    assert LINE.nearest_fraction(p) == pytest.approx(fraction)
    assert LINE.distance(p) == pytest.approx(distance)


def test_a_line_without_length_is_as_far_as_its_point():
    assert Line(ORIGIN, ORIGIN).distance(Point(3, 4)) == 5


def test_a_quarter_turn():
    assert QUARTER.radius == pytest.approx(5)
    assert close(QUARTER.centre, ORIGIN, 1e-12)
    assert QUARTER.length == pytest.approx(2.5 * math.pi)
    assert QUARTER.start_angle == pytest.approx(0)
    assert near(QUARTER.start_direction, Vector(0, 1))
    assert near(QUARTER.end_direction, Vector(-1, 0))
    assert near(QUARTER.direction_at(0.5), Vector(-1, 1) * math.sqrt(0.5))
    assert close(QUARTER.point_at(0.5), Point(5, 5).towards(ORIGIN, 1 - math.sqrt(0.5)), 1e-12)
    assert QUARTER.bow_area == pytest.approx(25 * math.pi / 4 - 12.5)


def test_an_arc_over_half_a_turn_clockwise():
    assert close(MOST.start, Point(5, 0), 1e-12)
    assert close(MOST.end, Point(0, 5), 1e-12)
    assert close(MOST.centre, ORIGIN, 1e-12)
    assert MOST.length == pytest.approx(7.5 * math.pi)
    assert near(MOST.start_direction, Vector(0, -1))
    assert MOST.bulge == pytest.approx(math.tan(-3 * math.pi / 8))


def test_bounds_are_exact_at_the_quadrant_points():
    assert (MOST.bounds.width, MOST.bounds.height) == pytest.approx((10, 10))
    box = Arc.about(Point(1, 1), 2, math.pi / 4, math.pi / 2).bounds
    root = math.sqrt(2)
    assert (box.xmin, box.xmax) == pytest.approx((1 - root, 1 + root))
    assert (box.ymin, box.ymax) == pytest.approx((1 + root, 3))


@pytest.mark.parametrize(
    ("p", "fraction", "distance"),
    [
        (Point(8, 0), 0.0, 3.0),
        (Point(3, 3), 0.5, 5 - math.sqrt(18)),
        (Point(6, 6), 0.5, math.sqrt(72) - 5),
        (Point(5, -4), 0.0, 4.0),
        (Point(-4, 5), 1.0, 4.0),
    ],
    ids=["on the start's spoke", "inside", "outside", "before", "beyond"],
)
def test_the_nearest_place_on_an_arc(p: Point, fraction: float, distance: float):
    assert QUARTER.nearest_fraction(p) == pytest.approx(fraction, abs=1e-9)
    assert QUARTER.distance(p) == pytest.approx(distance)


def test_all_of_an_arc_is_as_far_from_its_centre():
    assert QUARTER.distance(ORIGIN) == pytest.approx(5)


@pytest.mark.parametrize("sweep", [0.0, 2 * math.pi, -7.0, math.nan])
def test_arcs_sweep_less_than_a_whole_turn(sweep: float):
    with pytest.raises(GeometryError, match="whole turn"):
        Arc(Point(0, 0), Point(1, 0), sweep)


def test_an_arc_needs_two_ends():
    with pytest.raises(GeometryError, match="coincide"):
        Arc(Point(1, 1), Point(1, 1), 1)


def test_parts_and_reversals_of_an_arc():
    half = QUARTER.part(0, 0.5)
    assert half.sweep == pytest.approx(math.pi / 4)
    assert half.start == QUARTER.start
    assert close(half.centre, ORIGIN, 1e-12)
    assert QUARTER.reversed() == Arc(Point(0, 5), Point(5, 0), -math.pi / 2)


def test_a_mirroring_turns_the_sweep_round():
    mirrored = QUARTER.moved(Motion.mirror_x())
    assert mirrored == Arc(Point(-5, 0), Point(0, 5), -math.pi / 2)
    assert close(mirrored.centre, ORIGIN, 1e-12)


def test_flattening_takes_the_fewest_chords():
    # a chord over 2a leaves the arc by r (1 - cos a)
    points = QUARTER.flatten(5 * (1 - math.cos(math.pi / 12)))
    assert len(points) == 4
    assert points[0] == QUARTER.start
    assert points[-1] == QUARTER.end


def test_a_sagitta_wider_than_the_circle_gives_the_chord():
    assert QUARTER.flatten(50) == [QUARTER.start, QUARTER.end]


@pytest.mark.parametrize("sagitta", [0.0, -1.0, math.nan])
def test_flattening_needs_a_positive_sagitta(sagitta: float):
    with pytest.raises(GeometryError, match="sagitta"):
        QUARTER.flatten(sagitta)


def test_nearly_straight_arcs_keep_their_digits():
    flat = Arc(Point(0, 0), Point(100, 0), 1e-6)
    # sagitta = chord tan(sweep / 4) / 2
    assert flat.point_at(0.5).y == pytest.approx(-100 * math.tan(2.5e-7) / 2, rel=1e-9)
    assert flat.length == pytest.approx(100)


def test_nearly_straight_arcs_measure_without_their_far_centre():
    # radius 1e10 mm: the centre's own digits end at a micron
    flat = Arc(Point(0, 0), Point(100, 0), 1e-8)
    sagitta = 100 * 1e-8 / 8
    assert flat.distance(Point(50, 3)) == pytest.approx(3 + sagitta, abs=1e-12)
    assert flat.distance(flat.point_at(0.3)) == pytest.approx(0, abs=1e-13)
    assert flat.nearest_fraction(Point(30, -7)) == pytest.approx(0.3, abs=1e-8)
    assert flat.beyond(Point(50, -1)) == pytest.approx(1 - sagitta, abs=1e-12)
    assert flat.bow_area == pytest.approx(100 * sagitta * 2 / 3, rel=1e-9)


@pytest.mark.parametrize("sweep", [0.0099999, -0.0100001])
def test_the_area_of_a_bow_is_one_on_either_side_of_its_series(sweep: float):
    arc = Arc(Point(0, 0), Point(100, 0), sweep)
    exact = sweep**3 / 6 - sweep**5 / 120 + sweep**7 / 5040
    assert arc.bow_area == pytest.approx(arc.radius**2 * exact / 2, rel=1e-9)


@pytest.mark.parametrize("arc", [QUARTER, MOST, QUARTER.reversed()])
@pytest.mark.parametrize("degrees", range(0, 360, 30))
def test_the_farthest_point_of_an_arc_is_beyond_all_others(arc, degrees):
    way = Vector.polar(math.radians(degrees))
    top = arc.farthest(way)
    reach = max((p - ORIGIN).dot(way) for p in arc.flatten(1e-4))
    assert (top - ORIGIN).dot(way) >= reach - 1e-12
    assert arc.distance(top) < 1e-12


def test_of_a_line_square_to_the_way_the_farthest_is_its_start():
    assert LINE.farthest(Vector(-4.0, 3.0)) == LINE.start
    assert LINE.farthest(Vector(1.0, 0.0)) == LINE.end
