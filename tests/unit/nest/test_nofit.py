"""No-fit regions and rooms of shapes whose answers are known."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import shapely

from platewright.geometry.build import obround, rectangle
from platewright.geometry.contour import Circle
from platewright.geometry.plane import ORIGIN, Bounds, Motion, Point
from platewright.nest.nofit import (
    NoFit,
    Packing,
    Room,
    Shape,
    Turned,
    convex_sums,
    disc,
    shape_of,
    solid_corners,
)

SQUARE = shape_of(rectangle(Bounds(0.0, 0.0, 10.0, 10.0)))
ROOM = Room((Point(0, 0), Point(100, 0), Point(100, 50), Point(0, 50)))


def no_fit(*shapes: Shape, gap: float = 2.0) -> NoFit:
    return NoFit(shapes, [Turned(i, 0.0, shape) for i, shape in enumerate(shapes)], gap)


def area(ring) -> float:
    pairs = zip(ring, ring[1:] + ring[:1], strict=True)
    return sum(a[0] * b[1] - a[1] * b[0] for a, b in pairs) / 2


# --- sums and outlines -------------------------------------------------------------------------


@pytest.mark.parametrize("length", [40.0, 77.0, 105.9, 143.2])
@pytest.mark.parametrize("radius", [17.5, 30.1, 46.9])
def test_a_region_of_a_shape_over_itself_is_the_same_half_round(length, radius):
    shape = shape_of(obround(Point(0.0, 0.0), Point(length, 0.0), 2 * radius))
    box = Bounds(*no_fit(shape, gap=3.0).against(0, 0, 0.0).bounds)
    assert box.centre.distance(ORIGIN) < 1e-6


def test_the_sum_of_two_squares_is_a_square():
    (one,) = SQUARE.pieces
    (total,) = convex_sums([one], [tuple((2 * x, 2 * y) for x, y in one)])
    assert total.area == pytest.approx(30.0**2)
    assert total.bounds == (0, 0, 30, 30)


def test_the_area_of_a_sum_is_that_of_steiner():
    # A + P r + pi r2 for a disc; the polygon round the disc is a little larger
    (one,) = SQUARE.pieces
    total = convex_sums([one], [disc(3.0)])[0].area
    exact = 100 + 40 * 3.0 + math.pi * 9
    assert exact < total < exact * 1.01


def test_the_disc_holds_the_circle_and_touches_it_on_the_axes():
    ring = disc(5.0)
    middles = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in pairwise(ring)]
    assert all(math.hypot(x, y) == pytest.approx(5.0) for x, y in middles)
    assert max(x for x, _ in ring) == pytest.approx(5.0)


@pytest.mark.parametrize("coarse", [0.05, 0.2, 1.0])
def test_a_solid_circle_lies_inside_its_polygon(coarse):
    corners = solid_corners(Circle(ORIGIN, 80.0), coarse)
    reach = [corner.distance(ORIGIN) for corner in corners if corner.distance(ORIGIN) > 40 + 1e-9]
    assert reach
    assert max(reach) <= 40 + coarse + 1e-9
    middles = [a.midpoint(b) for a, b in pairwise(corners)]
    assert all(middle.distance(ORIGIN) >= 40 - 1e-9 for middle in middles)


def test_a_void_is_never_made_larger():
    window = rectangle(Bounds(-30.0, -30.0, 30.0, 30.0))
    shape = shape_of(window, [Circle(ORIGIN, 40.0)])
    metal = sum(area(piece) for piece in shape.pieces)
    assert 60.0**2 - math.pi * 20**2 < metal < 60.0**2 - math.pi * 20**2 * 0.98


# --- places ------------------------------------------------------------------------------------


def free_corners(packing: Packing, shape: int) -> set[tuple[float, float]]:
    xs, ys = packing.places(shape)
    return {(round(x, 2), round(y, 2)) for x, y in zip(xs.tolist(), ys.tolist(), strict=True)}


def test_in_an_empty_room_the_corners_are_free():
    packing = Packing(ROOM, no_fit(SQUARE))
    assert free_corners(packing, 0) == {(0, 0), (90, 0), (90, 40), (0, 40)}


def test_the_margin_shrinks_the_room():
    room = Room(ROOM.outline, (), 5.0)
    packing = Packing(room, no_fit(SQUARE))
    assert free_corners(packing, 0) == {(5, 5), (85, 5), (85, 35), (5, 35)}


def test_a_square_beside_another_keeps_the_gap():
    packing = Packing(ROOM, no_fit(SQUARE))
    packing.lay(0, (0.0, 0.0))
    corners = free_corners(packing, 0)
    assert (12, 0) in corners
    assert (0, 12) in corners
    assert (0, 0) not in corners


def test_what_just_fits_between_two_has_a_place():
    packing = Packing(ROOM, no_fit(SQUARE))
    packing.lay(0, (0.0, 0.0))
    packing.lay(0, (24.0, 0.0))
    assert (12, 0) in free_corners(packing, 0)


def test_a_shape_larger_than_the_room_has_no_place():
    large = shape_of(rectangle(Bounds(0.0, 0.0, 60.0, 60.0)))
    packing = Packing(ROOM, no_fit(SQUARE, large))
    assert free_corners(packing, 1) == set()
    assert no_fit(large).inside(ROOM, 0).is_empty


def test_a_room_of_odd_shape_is_kept_inside_of():
    # an L: the square has no place in the corner that is missing
    corners = [(0, 0), (40, 0), (40, 12), (12, 12), (12, 40), (0, 40)]
    room = Room(tuple(Point(float(x), float(y)) for x, y in corners))
    assert not room.upright
    packing = Packing(room, no_fit(SQUARE))
    found = free_corners(packing, 0)
    assert {(0, 0), (30, 0), (0, 30)} <= found
    assert all(x <= 2.01 or y <= 2.01 for x, y in found)


def test_a_hole_in_the_room_is_kept_out_of():
    hole = (Point(40, 20), Point(60, 20), Point(60, 30), Point(40, 30))
    packing = Packing(Room(ROOM.outline, (hole,), 1.0), no_fit(SQUARE))
    burnt = shapely.box(40, 20, 60, 30)
    corners = free_corners(packing, 0)
    assert corners
    for x, y in corners:
        assert shapely.box(x, y, x + 10, y + 10).distance(burnt) >= 1.0 - 0.02


def test_a_window_of_one_shape_takes_another():
    window = rectangle(Bounds(10.0, 10.0, 40.0, 40.0))
    frame = shape_of(rectangle(Bounds(0.0, 0.0, 50.0, 50.0)), [window])
    packing = Packing(ROOM, no_fit(SQUARE, frame))
    packing.lay(1, (0.0, 0.0))
    assert (12, 12) in free_corners(packing, 0)


def test_a_turned_shape_has_the_turned_box():
    turned = shape_of(rectangle(Bounds(0.0, 0.0, 30.0, 10.0))).turned(Motion.rotation(math.pi / 2))
    assert turned.box.width == pytest.approx(10.0)
    assert turned.box.height == pytest.approx(30.0)
