"""Laws of contours, segments, motions and what is told about them."""

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from laws.effort import examples
from laws.strategies_geometry import (
    circles,
    contours,
    lengths,
    motions,
    segments,
)
from platewright.errors import GeometryError
from platewright.geometry.build import fillet, merged, rounded_polygon, tangent_points
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.crossings import crossings
from platewright.geometry.distances import distance_between, encloses
from platewright.geometry.plane import Motion, Point, Vector, close
from platewright.geometry.segment import Arc, Line, Segment
from platewright.geometry.shapes import polygon

FEW = examples(60)

coordinates = st.floats(-500, 500)
points = st.builds(Point, coordinates, coordinates)
fractions = st.floats(0, 1)


def sampled(shape: Contour | Segment, count: int = 8) -> list[Point]:
    chain = shape.segments if isinstance(shape, Contour) else (shape,)
    return [s.point_at(i / count) for s in chain for i in range(count + 1)]


# --- motions ------------------------------------------------------------------------------------


@FEW
@given(contours(), motions())
def test_motions_keep_area_length_and_turn(contour: Contour, motion: Motion):
    moved = contour.moved(motion)
    assert moved.area == pytest.approx(contour.area, rel=1e-9)
    assert moved.perimeter == pytest.approx(contour.perimeter, rel=1e-9)


@FEW
@given(contours(), motions(), points)
def test_motions_keep_distances_and_insides(contour: Contour, motion: Motion, p: Point):
    there = contour.moved(motion)
    distance = contour.distance(p)
    assert there.distance(motion.point(p)) == pytest.approx(distance, abs=1e-8)
    if distance > 1e-6:
        assert there.contains(motion.point(p)) == contour.contains(p)


@FEW
@given(motions(), motions(), points)
def test_motions_compose_and_undo(first: Motion, second: Motion, p: Point):
    assert close((second @ first).point(p), second.point(first.point(p)), 1e-8)
    assert close(first.inverse().point(first.point(p)), p, 1e-8)
    assert (second @ first).mirrors == (second.mirrors != first.mirrors)


@FEW
@given(contours(), st.floats(-100, 100))
def test_mirrored_twice_is_itself(contour: Contour, about: float):
    mirror = Motion.mirror_x(about)
    twice = contour.moved(mirror).moved(mirror)
    for one, other in zip(contour.segments, twice.segments, strict=True):
        assert close(one.start, other.start, 1e-12 * (1 + abs(about)) + 1e-9)
        assert one.length == pytest.approx(other.length)


# --- segments and contours ----------------------------------------------------------------------


@FEW
@given(segments(), fractions, fractions)
def test_parts_of_a_segment_lie_on_it(segment: Segment, a: float, b: float):
    begin, finish = min(a, b), max(a, b)
    assume(finish - begin > 1e-3)
    part = segment.part(begin, finish)
    assert part.length == pytest.approx(segment.length * (finish - begin))
    for p in sampled(part):
        assert segment.distance(p) < 1e-9


@FEW
@given(segments(), fractions)
def test_the_nearest_fraction_of_a_point_on_a_segment_is_its_own(segment: Segment, at: float):
    p = segment.point_at(at)
    assert close(segment.point_at(segment.nearest_fraction(p)), p, 1e-9)


@FEW
@given(segments(), points)
def test_no_sample_is_nearer_than_the_distance(segment: Segment, p: Point):
    step = segment.length / 64
    sample = min(p.distance(q) for q in sampled(segment, 64))
    assert sample - step <= segment.distance(p) <= sample + 1e-9


@FEW
@given(segments(), fractions)
def test_directions_are_tangents(segment: Segment, at: float):
    near = 1e-5
    begin, finish = max(0.0, at - near), min(1.0, at + near)
    chord = (segment.point_at(finish) - segment.point_at(begin)).unit()
    assert chord.cross(segment.direction_at((begin + finish) / 2)) == pytest.approx(0, abs=1e-5)
    assert segment.direction_at(at).length == pytest.approx(1)


@FEW
@given(segments())
def test_travelled_back_a_segment_is_the_same(segment: Segment):
    back = segment.reversed()
    assert back.reversed() == segment
    assert close(back.point_at(0.25), segment.point_at(0.75), 1e-9)
    assert back.bow_area == pytest.approx(-segment.bow_area)


@FEW
@given(contours())
def test_bounds_hold_everything_and_no_more(contour: Contour):
    box = contour.bounds
    samples = sampled(contour, 200)
    xs, ys = [p.x for p in samples], [p.y for p in samples]
    slack = 0.01 * max(box.width, box.height)
    for low, high, least, most in (
        (box.xmin, box.xmax, min(xs), max(xs)),
        (box.ymin, box.ymax, min(ys), max(ys)),
    ):
        assert low - 1e-9 <= least <= low + slack
        assert high - slack <= most <= high + 1e-9


@FEW
@given(contours(), st.sampled_from((1.0, 0.1, 0.01, 0.001)))
def test_flattening_keeps_within_the_sagitta(contour: Contour, sagitta: float):
    corners = contour.flatten(sagitta)
    for a, b in pairwise([*corners, corners[0]]):
        assert contour.distance(a) < 1e-9
        assert contour.distance(a.midpoint(b)) <= sagitta * (1 + 1e-9)
    assert Contour.polygon(corners).area == pytest.approx(
        contour.area, abs=sagitta * contour.perimeter + 1e-9
    )


@FEW
@given(contours(), points)
def test_the_inside_is_the_inside_of_the_polygon(contour: Contour, p: Point):
    from shapely import Point as ShapelyPoint

    assume(contour.distance(p) > 0.002)
    inside = polygon(contour, (), 0.001).contains(ShapelyPoint(p.x, p.y))
    assert contour.contains(p) == inside


@FEW
@given(contours())
def test_places_just_off_the_line_are_in_or_out(contour: Contour):
    for segment in contour.segments:
        middle, left = segment.point_at(0.5), segment.direction_at(0.5).left
        assert contour.contains(middle + left * 1e-6)
        assert not contour.contains(middle + left * -1e-6)


@FEW
@given(contours(), st.lists(st.floats(0.1, 0.9), min_size=1, max_size=20))
def test_merging_undoes_cutting(contour: Contour, cuts: list[float]):
    plain = merged(contour)
    pieces: list[Segment] = []
    for i, segment in enumerate(plain.segments):
        cut = segment.point_at(cuts[i % len(cuts)])
        pieces += _cut_at(segment, cut, cuts[i % len(cuts)])
    again = merged(Contour(tuple(pieces)))
    assert len(again.segments) == len(plain.segments)
    assert again.area == pytest.approx(plain.area)


def _cut_at(segment: Segment, cut: Point, at: float) -> list[Segment]:
    if isinstance(segment, Line):
        return [Line(segment.start, cut), Line(cut, segment.end)]
    first, second = segment.sweep * at, segment.sweep * (1 - at)
    return [Arc(segment.start, cut, first), Arc(cut, segment.end, second)]


# --- crossings and distances --------------------------------------------------------------------


@FEW
@given(segments(), segments())
def test_crossings_lie_on_both(a: Segment, b: Segment):
    for crossing in crossings(a, b):
        assert close(a.point_at(crossing.first), crossing.point, 1e-8)
        assert close(b.point_at(crossing.second), crossing.point, 1e-8)


@FEW
@given(segments(), fractions, segments(), fractions, motions())
def test_segments_laid_through_one_place_cross_there(
    a: Segment, at_a: float, b: Segment, at_b: float, motion: Motion
):
    b = b.moved(motion)
    p, q = a.point_at(at_a), b.point_at(at_b)
    b = b.moved(Motion.translation(p - q))
    sine = a.direction_at(at_a).cross(b.direction_at(at_b))
    assume(abs(sine) > 1e-2)
    assert any(close(crossing.point, p, 1e-8) for crossing in crossings(a, b))


@FEW
@given(segments(), segments(), motions())
def test_crossings_move_along(a: Segment, b: Segment, motion: Motion):
    here = crossings(a, b)
    directions = [abs(a.direction_at(c.first).cross(b.direction_at(c.second))) for c in here]
    inner = [f for c in here for f in (c.first, c.second)]
    # tangencies and crossings at the very ends come and go with rounding
    assume(all(d > 1e-3 for d in directions) and all(1e-6 < f < 1 - 1e-6 for f in inner))
    assume(here or distance_between(a, b).distance > 1e-6)
    there = crossings(a.moved(motion), b.moved(motion))
    assert len(here) == len(there)
    for one, other in zip(here, there, strict=True):
        assert close(motion.point(one.point), other.point, 1e-7)


@FEW
@given(segments(), segments())
def test_the_distance_between_segments_is_the_least_sampled(a: Segment, b: Segment):
    nearest = distance_between(a, b)
    sample = min(b.distance(p) for p in sampled(a, 64))
    assert sample - a.length / 64 <= nearest.distance <= sample + 1e-9
    assert a.distance(nearest.first) < 1e-8
    assert b.distance(nearest.second) < 1e-8
    back = distance_between(b, a)
    assert back.distance == pytest.approx(nearest.distance, abs=1e-8)
    assert (nearest.distance == 0) == bool(crossings(a, b))


@FEW
@given(contours(), contours(), motions())
def test_the_distance_between_outlines_is_that_of_the_polygons(
    a: Contour, b: Contour, motion: Motion
):
    b = b.moved(motion)
    nearest = distance_between(a, b).distance
    sagitta = 0.001
    lines = polygon(a, (), sagitta).exterior.distance(polygon(b, (), sagitta).exterior)
    assert nearest == pytest.approx(lines, abs=2 * sagitta)
    if nearest > 1e-6 and not encloses(a, b) and not encloses(b, a):
        first, second = polygon(a, (), sagitta), polygon(b, (), sagitta)
        assert first.distance(second) == pytest.approx(nearest, abs=2 * sagitta)
        assert first.intersection(second).area == 0


# --- building -----------------------------------------------------------------------------------


@FEW
@given(points, circles())
def test_tangents_stand_square_on_their_radius(p: Point, circle: Circle):
    assume(p.distance(circle.centre) > circle.radius * (1 + 1e-6))
    behind, ahead = tangent_points(p, circle)
    for touch in (behind, ahead):
        assert circle.distance(touch) < 1e-9 * (1 + p.distance(circle.centre))
        spoke, tangent = touch - circle.centre, touch - p
        assert spoke.dot(tangent) == pytest.approx(0, abs=1e-6 * (1 + tangent.length))
    assert (behind - circle.centre).cross(ahead - circle.centre) > 0


@FEW
@given(points, points, points, lengths(0.5, 20))
def test_fillets_are_tangent_to_both_legs(a: Point, b: Point, c: Point, radius: float):
    assume(min(a.distance(b), b.distance(c)) > 1)
    try:
        arc = fillet(a, b, c, radius)
    except GeometryError:
        assume(False)
        raise
    assert arc.radius == pytest.approx(radius, rel=1e-6)
    assert arc.start_direction.cross((b - a).unit()) == pytest.approx(0, abs=1e-6)
    assert arc.end_direction.cross((c - b).unit()) == pytest.approx(0, abs=1e-6)
    assert Line(a, b).distance(arc.start) < 1e-7
    assert Line(b, c).distance(arc.end) < 1e-7


@FEW
@given(contours(), st.floats(0.01, 0.45))
def test_rounding_a_polygon_takes_its_corners(contour: Contour, share: float):
    corners = contour.corners
    legs = [a.distance(b) for a, b in pairwise([corners[-1], *corners, corners[0]])]
    radii = [min(legs[i], legs[i + 1]) * share for i in range(len(corners))]
    turns = [
        (b - a).unit().cross((c - b).unit())
        for a, b, c in zip(corners[-1:] + corners, corners, corners[1:] + corners[:1], strict=False)
    ]
    assume(all(abs(turn) > 0.05 for turn in turns) and len(corners) > 2)
    try:
        rounded = rounded_polygon(corners, radii)
    except GeometryError:
        assume(False)
        raise
    # a fillet of radius r takes r² (tan(t/2) - t/2) from a corner that turns by t
    sharp = Contour.polygon(corners)
    taken = [
        math.copysign(r * r * (math.tan(t / 2) - t / 2), turn)
        for r, turn, t in zip(radii, turns, _angles(corners), strict=True)
    ]
    assert rounded.area == pytest.approx(sharp.area - math.fsum(taken), rel=1e-9, abs=1e-6)


def _angles(corners: tuple[Point, ...]) -> list[float]:
    def turn(a: Point, b: Point, c: Point) -> float:
        first, second = (b - a).unit(), (c - b).unit()
        return abs(math.atan2(first.cross(second), first.dot(second)))

    trios = zip(corners[-1:] + corners, corners, corners[1:] + corners[:1], strict=False)
    return [turn(a, b, c) for a, b, c in trios]


@FEW
@given(st.floats(-math.pi, math.pi), lengths(1, 50))
def test_polar_vectors_know_their_length_and_angle(angle: float, length: float):
    vector = Vector.polar(angle, length)
    assert vector.length == pytest.approx(length)
    assert math.cos(vector.angle - angle) == pytest.approx(1)
