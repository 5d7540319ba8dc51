"""Laws of the exact offset over generated regions, many of them degenerate on purpose."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from laws.effort import examples
from laws.strategies_geometry import contours, convex, lengths, motions, offsets, regions
from platewright.geometry.contour import Circle, Contour, Outline
from platewright.geometry.offset import (
    Region,
    offset,
    offset_region,
    offset_regions,
)
from platewright.geometry.plane import Motion, Point
from platewright.geometry.segment import Arc, Line, Segment
from platewright.geometry.shapes import polygon, self_crossing

FEW = examples(60)
FRACTIONS = (0.0, 0.13, 0.5, 0.77, 1.0)


def rings(region: Region) -> tuple[Outline, ...]:
    return (region.outer, *region.holes)


def segments(outline: Outline) -> tuple[Segment, ...]:
    return (outline.contour() if isinstance(outline, Circle) else outline).segments


def holds(region: Region, p: Point) -> bool:
    return region.outer.contains(p) and not any(hole.contains(p) for hole in region.holes)


def results(region: Region, distance: float) -> list[Outline]:
    found = offset_region(region.outer, region.holes, distance)
    return [ring for piece in found for ring in rings(piece)]


def total_area(pieces: tuple[Region, ...]) -> float:
    return math.fsum(piece.area for piece in pieces)


@FEW
@given(offsets())
def test_every_point_of_an_offset_keeps_the_distance(case: tuple[Region, float]):
    region, distance = case
    for ring in results(region, distance):
        for segment in segments(ring):
            for fraction in FRACTIONS:
                p = segment.point_at(fraction)
                nearest = min(source.distance(p) for source in rings(region))
                assert nearest == pytest.approx(abs(distance), rel=1e-9, abs=1e-9)


@FEW
@given(offsets(), st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), min_size=30, max_size=30))
def test_a_place_is_inside_when_it_is_near_enough(
    case: tuple[Region, float], shares: list[tuple[float, float]]
):
    region, distance = case
    pieces = offset_region(region.outer, region.holes, distance)
    box = region.outer.bounds.grown(1.2 * abs(distance))
    for across, up in shares:
        p = Point(box.xmin + across * box.width, box.ymin + up * box.height)
        depth = min(ring.distance(p) for ring in rings(region))
        depth = -depth if holds(region, p) else depth
        if abs(depth - distance) > 1e-7:
            assert any(holds(piece, p) for piece in pieces) == (depth < distance)


@FEW
@given(offsets())
def test_an_offset_covers_what_a_finely_polygonised_one_covers(case: tuple[Region, float]):
    region, distance = case
    sagitta, quarter = 1e-3, 64
    shape = polygon(region.outer, region.holes, sagitta)
    # a hair to either side: at the very distance where a neck parts, pieces may be lost by
    # rounding in the polygonised one
    less, more = (shape.buffer(distance + hair, quad_segs=quarter) for hair in (-1e-5, 1e-5))
    pieces = offset_region(region.outer, region.holes, distance)
    length = max(more.length, shape.length, *(ring.perimeter for p in pieces for ring in rings(p)))
    chords = abs(distance) * (1 - math.cos(math.pi / (4 * quarter)))
    # the polygonised one first fills hollows shallower than a hundredth of the distance
    slack = length * (2 * sagitta + 2 * chords + 0.01 * abs(distance)) + 1e-6
    assert less.area - slack <= total_area(pieces) <= more.area + slack


@FEW
@given(offsets())
def test_offsets_run_anticlockwise_without_crossing_themselves(case: tuple[Region, float]):
    for ring in results(*case):
        assert ring.area > 0
        assert self_crossing(ring, 2e-10) is None


@FEW
@given(offsets())
def test_nothing_is_polygonised(case: tuple[Region, float]):
    """Lines are parallel to lines; arcs turn about a source arc's centre or about a corner."""
    region, distance = case
    sources = [s for ring in rings(region) for s in segments(ring)]
    lines = [s for s in sources if isinstance(s, Line)]
    centres = [s.start for s in sources] + [s.centre for s in sources if isinstance(s, Arc)]
    # shorter ones are parallel too, but two rounded ends do not show it
    for segment in (s for ring in results(region, distance) for s in segments(ring)):
        if segment.length > 1e-3:
            if isinstance(segment, Line):
                turns = (abs(segment.direction.cross(line.direction)) for line in lines)
                assert min(turns) < 1e-6
            else:
                slack = 1e-5 + 1e-9 * segment.radius
                assert min(segment.centre.distance(c) for c in centres) < slack


@FEW
@given(convex(), lengths(0.5, 20))
def test_steiner(contour: Contour, distance: float):
    """The parallel body of a convex shape (Steiner 1840): A + P r + pi r², P + 2 pi r."""
    (region,) = offset_region(contour, (), distance)
    grown = region.outer
    area, perimeter = contour.area, contour.perimeter
    assert grown.area == pytest.approx(area + perimeter * distance + math.pi * distance**2)
    assert grown.perimeter == pytest.approx(perimeter + math.tau * distance)
    assert region.holes == ()


@FEW
@given(convex(), lengths(0.5, 20))
def test_out_and_in_again_gives_a_convex_shape_back(contour: Contour, distance: float):
    (grown,) = offset(contour, distance)
    (back,) = offset(grown, -distance)
    assert back.area == pytest.approx(contour.area)
    for segment in segments(back):
        assert contour.distance(segment.point_at(0.5)) < 1e-8
    for corner in contour.corners:
        assert back.distance(corner) < 1e-8


@FEW
@given(regions(), st.floats(0.05, 4), st.floats(0.05, 4), st.sampled_from((1, -1)))
def test_two_steps_the_same_way_are_one(region: Region, first: float, second: float, way: int):
    halfway = offset_regions((region,), way * first)
    there = offset_regions(halfway, way * second)
    at_once = offset_regions((region,), way * (first + second))
    assert total_area(there) == pytest.approx(total_area(at_once), rel=1e-7, abs=1e-6)


@FEW
@given(regions(), st.floats(0.05, 4))
def test_opening_takes_and_closing_fills(region: Region, radius: float):
    opened = offset_regions(offset_regions((region,), -radius), radius)
    closed = offset_regions(offset_regions((region,), radius), -radius)
    assert total_area(opened) <= region.area * (1 + 1e-9)
    assert total_area(closed) >= region.area * (1 - 1e-9)


@FEW
@given(contours(), st.floats(0.1, 5), motions())
def test_motions_carry_offsets_along(contour: Contour, distance: float, motion: Motion):
    here = sum(ring.area for ring in offset(contour, distance))
    there = sum(ring.area for ring in offset(contour.moved(motion), distance))
    assert there == pytest.approx(here, rel=1e-8)


@FEW
@given(offsets(), st.floats(1.001, 2))
def test_farther_out_is_larger(case: tuple[Region, float], factor: float):
    region, distance = case
    size = abs(distance)
    nearer = total_area(offset_region(region.outer, region.holes, size))
    farther = total_area(offset_region(region.outer, region.holes, size * factor))
    assert region.area < nearer < farther


@FEW
@given(contours(), st.floats(0.1, 20))
def test_the_outer_outline_is_the_regions(contour: Contour, distance: float):
    (region,) = offset_region(contour, (), distance)
    assert offset(contour, distance) == (region.outer,)


@FEW
@given(offsets())
def test_pieces_are_sorted_and_hold_their_holes(case: tuple[Region, float]):
    region, distance = case
    pieces = offset_region(region.outer, region.holes, distance)
    areas = [piece.outer.area for piece in pieces]
    assert areas == sorted(areas, reverse=True)
    for piece in pieces:
        for hole in piece.holes:
            assert hole.area < piece.outer.area
            for p in hole.flatten(0.5):
                assert piece.outer.contains(p) or piece.outer.distance(p) < 1e-8


@FEW
@given(st.floats(0.01, 100), st.floats(-60, 60), st.floats(-1e3, 1e3), st.floats(-1e3, 1e3))
def test_circles_offset_like_their_two_halves(d: float, distance: float, x: float, y: float):
    circle = Circle(Point(x, y), d)
    assume(abs(distance) > 1e-3 and abs(d + 2 * distance) > 1e-3)
    whole, halves = offset(circle, distance), offset(circle.contour(), distance)
    assert len(whole) == len(halves)
    for one, other in zip(whole, halves, strict=True):
        assert isinstance(other, Circle)
        assert other.area == pytest.approx(one.area)
