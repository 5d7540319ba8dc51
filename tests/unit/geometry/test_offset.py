import math
from itertools import pairwise

import pytest

from platewright.errors import GeometryError
from platewright.geometry.build import obround, rectangle, rounded_polygon
from platewright.geometry.contour import Circle, Contour, Outline
from platewright.geometry.offset import Region, offset, offset_region, offset_regions
from platewright.geometry.plane import ORIGIN, Bounds, Point, Vector, close
from platewright.geometry.segment import Arc, Line
from platewright.geometry.shapes import self_crossing

PLATE = rectangle(Bounds(0, 0, 100, 60))


def kinds(outline: Outline) -> list[str]:
    return [type(s).__name__ for s in outline.segments] if isinstance(outline, Contour) else ["O"]


def slotted(width: float) -> Contour:
    """A plate with a square slot 30 mm deep in the middle of its upper side."""
    half = width / 2
    slot = [Point(50 + half, 60), Point(50 + half, 30), Point(50 - half, 30), Point(50 - half, 60)]
    return Contour.polygon([Point(0, 0), Point(100, 0), Point(100, 60), *slot, Point(0, 60)])


def keyed(width: float) -> Contour:
    """A plate with a 20 mm square chamber behind a neck 20 mm long."""
    half = width / 2
    neck = [Point(50 + half, 60), Point(50 + half, 40)]
    chamber = [Point(60, 40), Point(60, 20), Point(40, 20), Point(40, 40)]
    back = [Point(50 - half, 40), Point(50 - half, 60)]
    outer = [Point(0, 0), Point(100, 0), Point(100, 60)]
    return Contour.polygon([*outer, *neck, *chamber, *back, Point(0, 60)])


def dumbbell(width: float) -> Contour:
    """Two 40 mm squares joined by a neck 20 mm long."""
    low, high = 20 - width / 2, 20 + width / 2
    left = [Point(40, high), Point(40, 40), Point(0, 40), Point(0, 0), Point(40, 0)]
    right = [Point(60, low), Point(60, 0), Point(100, 0), Point(100, 40), Point(60, 40)]
    return Contour.polygon([*left, Point(40, low), *right, Point(60, high)])


# --- circles ------------------------------------------------------------------------------------


def test_a_circle_keeps_its_centre():
    assert offset(Circle(Point(3, 4), 10), 1.5) == (Circle(Point(3, 4), 13),)
    assert offset(Circle(Point(3, 4), 10), -1.5) == (Circle(Point(3, 4), 7),)


@pytest.mark.parametrize("distance", [-5.0, -6.0])
def test_a_circle_vanishes_at_its_radius(distance: float):
    assert offset(Circle(ORIGIN, 10), distance) == ()


def test_half_turns_about_one_centre_become_a_circle():
    (grown,) = offset(Circle(Point(3, 4), 10).contour(), 2)
    assert isinstance(grown, Circle)
    assert grown.diameter == pytest.approx(14)


def test_no_distance_changes_nothing():
    assert offset(PLATE, 0) == (PLATE,)


# --- corners ------------------------------------------------------------------------------------


def test_outside_corners_are_rounded():
    (grown,) = offset(PLATE, 1.5)
    assert kinds(grown) == ["Line", "Arc"] * 4
    assert {round(s.radius, 12) for s in grown.segments if isinstance(s, Arc)} == {1.5}


def test_inside_corners_are_mitred():
    (shrunk,) = offset(PLATE, -1.5)
    assert set(shrunk.corners) == set(rectangle(Bounds(1.5, 1.5, 98.5, 58.5)).corners)


def test_a_corner_that_reaches_in_is_rounded_inward():
    ell = [Point(0, 0), Point(30, 0), Point(30, 10), Point(10, 10), Point(10, 30), Point(0, 30)]
    (shrunk,) = offset(Contour.polygon(ell), -2)
    arcs = [s for s in shrunk.segments if isinstance(s, Arc)]
    assert len(arcs) == 1
    assert close(arcs[0].centre, Point(10, 10))
    assert arcs[0].sweep == pytest.approx(-math.pi / 2)


def test_tangent_joints_stay_joints():
    (grown,) = offset(obround(ORIGIN, Point(30, 0), 10), 2)
    assert kinds(grown) == ["Line", "Arc", "Line", "Arc"]
    assert grown.bounds.height == pytest.approx(14)


def test_the_travel_of_the_outline_does_not_matter():
    assert offset(PLATE.reversed(), 2)[0].area == pytest.approx(offset(PLATE, 2)[0].area)
    assert offset(PLATE.reversed(), 2)[0].area > PLATE.area


def test_needless_joints_leave_none():
    points = [Point(0, 0), Point(40, 0), Point(100, 0), Point(100, 60), Point(0, 60)]
    assert len(offset(Contour.polygon(points), 2)[0].segments) == 8


# --- what vanishes ------------------------------------------------------------------------------


@pytest.mark.parametrize("distance", [-30.0, -31.0, -500.0])
def test_a_plate_vanishes_at_half_its_width(distance: float):
    assert offset(PLATE, distance) == ()


def test_a_sliver_is_left_just_before():
    (left,) = offset(PLATE, -29.999)
    assert left.area == pytest.approx(40.002 * 0.002)


def test_a_slot_vanishes_at_its_radius():
    assert offset(obround(ORIGIN, Point(30, 0), 10), -5) == ()


@pytest.mark.parametrize("radius", [3.0, 2.0, 1.0])
def test_fillets_vanish_at_their_radius(radius: float):
    rounded = rounded_polygon(PLATE.corners, [radius] * 4)
    (shrunk,) = offset(rounded, -2)
    assert kinds(shrunk).count("Arc") == (4 if radius > 2 else 0)
    assert shrunk.area == pytest.approx(96 * 56 - (4 - math.pi) * max(0.0, radius - 2) ** 2)


def test_a_scoop_closes_at_its_radius():
    scoop = Arc(Point(60, 60), Point(40, 60), -math.pi)
    walls = [Point(40, 60), Point(0, 60), Point(0, 0), Point(100, 0), Point(100, 60), Point(60, 60)]
    lines = (Line(a, b) for a, b in pairwise(walls))
    contour = Contour((scoop, *lines))
    assert kinds(offset(contour, 9.5)[0]).count("Arc") == 4 + 3
    assert kinds(offset(contour, 10)[0]).count("Arc") == 4 + 2


# --- slots and necks ----------------------------------------------------------------------------


@pytest.mark.parametrize("width", [3.99, 4 - 1e-10, 4.0, 4 + 1e-10])
def test_a_slot_closes_at_twice_the_distance(width: float):
    (region,) = offset_region(slotted(width), (), 2)
    grown = region.outer
    assert region.holes == ()
    # eleven: four lines, the upper one in two, four corners, two arcs into the closed slot's mouth
    assert len(grown.segments) == 11
    assert min(s.bounds.ymin for s in grown.segments if close_to_slot(s)) > 59


def close_to_slot(segment: Line | Arc) -> bool:
    return abs(segment.point_at(0.5).x - 50) < 3 and segment.point_at(0.5).y > 20


def test_a_slot_stays_open_above_it():
    (grown,) = offset(slotted(4.01), 2)
    assert len(grown.segments) == 14
    assert any(close(c, Point(49.995, 32), 1e-6) for c in grown.corners)


@pytest.mark.parametrize("width", [3.99, 4 - 1e-10, 4.0, 4 + 1e-10])
def test_a_chamber_behind_a_closed_neck_is_a_pocket(width: float):
    (region,) = offset_region(keyed(width), (), 2)
    (pocket,) = region.holes
    # 16 mm square, the neck's two corners round, the cusp between them filled
    half = min(width, 4) / 2
    cusp = 4 * half - 2 * (half * math.sqrt(4 - half**2) / 2 + 2 * math.asin(half / 2))
    assert pocket.area == pytest.approx(16 * 16 + cusp, abs=1e-4)
    assert offset(keyed(width), 2) == (region.outer,)


def test_an_open_neck_makes_no_pocket():
    (region,) = offset_region(keyed(4.01), (), 2)
    assert region.holes == ()


@pytest.mark.parametrize("width", [3.99, 4 - 1e-10, 4.0, 4 + 1e-10])
def test_a_neck_parts_at_twice_the_distance(width: float):
    left, right = offset(dumbbell(width), -2)
    assert left.area == pytest.approx(right.area)
    assert {left.bounds.centre.x < 50, right.bounds.centre.x < 50} == {True, False}


def test_a_neck_holds_above_it():
    assert len(offset(dumbbell(4.01), -2)) == 1


def test_a_keyhole_keeps_its_round_end_when_the_slot_closes():
    # an arc of 300 degrees about the origin, radius 10, behind a slot 10 mm wide
    mouth = math.sqrt(75)
    arc = Arc(Point(5, mouth), Point(-5, mouth), -5 * math.pi / 3)
    corners = [arc.end, Point(-5, 30), Point(-30, 30), Point(-30, -30), Point(30, -30)]
    corners += [Point(30, 30), Point(5, 30), arc.start]
    walls = (Line(a, b) for a, b in pairwise(corners))
    (region,) = offset_region(Contour((arc, *walls)), (), 6)
    (pocket,) = region.holes
    assert kinds(pocket).count("Arc") == 3
    assert any(isinstance(s, Arc) and abs(s.radius - 4) < 1e-9 for s in pocket.segments)


# --- regions ------------------------------------------------------------------------------------


def test_holes_shrink_when_the_metal_grows():
    (region,) = offset_region(PLATE, (Circle(Point(50, 30), 20), Circle(Point(20, 20), 6)), 3)
    assert region.holes == (Circle(Point(50, 30), 14),)


def test_holes_grow_together_when_the_metal_shrinks():
    holes = Circle(Point(45, 30), 20), Circle(Point(66, 30), 20)
    (region,) = offset_region(PLATE, holes, -1)
    (joined,) = region.holes
    assert kinds(joined) == ["Arc", "Arc"]
    assert self_crossing(joined) is None


def test_a_hole_that_reaches_the_edge_opens_it():
    (region,) = offset_region(PLATE, (Circle(Point(50, 12), 20),), -2)
    assert region.holes == ()
    (arc,) = (s for s in region.outer.segments if isinstance(s, Arc))
    assert (arc.centre.x, arc.radius) == (pytest.approx(50), pytest.approx(12))


def test_a_ring_vanishes_at_half_its_width():
    hole = Circle(ORIGIN, 60)
    assert offset_region(Circle(ORIGIN, 100), (hole,), -10) == ()
    (left,) = offset_region(Circle(ORIGIN, 100), (hole,), -9)
    assert left == Region(Circle(ORIGIN, 82), (Circle(ORIGIN, 78),))


def test_a_piece_within_a_hole_owns_its_own_holes():
    island = Region(Circle(ORIGIN, 40), (Circle(ORIGIN, 20),))
    ring = Region(Circle(ORIGIN, 100), (Circle(ORIGIN, 70),))
    outer, inner = offset_regions((island, ring), 2)
    assert outer == Region(Circle(ORIGIN, 104), (Circle(ORIGIN, 66),))
    assert inner == Region(Circle(ORIGIN, 44), (Circle(ORIGIN, 16),))


def test_regions_grow_together():
    pair = (Region(PLATE), Region(rectangle(Bounds(103, 0, 150, 60))))
    assert len(offset_regions(pair, 1)) == 2
    assert len(offset_regions(pair, 2)) == 1


def test_pieces_come_largest_first():
    big, small = rectangle(Bounds(0, 0, 40, 40)), rectangle(Bounds(50, 0, 60, 10))
    outers = [region.outer for region in offset_regions((Region(small), Region(big)), 1)]
    assert [outer.area > 1000 for outer in outers] == [True, False]


def test_no_regions_make_none():
    assert offset_regions((), 1) == ()


def test_a_region_knows_its_area():
    assert Region(PLATE, (Circle(ORIGIN, 2),)).area == pytest.approx(6000 - math.pi)


# --- many pieces --------------------------------------------------------------------------------


def test_a_polygon_of_two_thousand_sides():
    many = Contour.polygon(ORIGIN + Vector.polar(math.tau * i / 2000, 100) for i in range(2000))
    (grown,) = offset(many, 1)
    assert len(grown.segments) == 4000
    assert grown.area == pytest.approx(many.area + many.perimeter + math.pi, rel=1e-12)


def test_touching_pieces_stay_apart():
    left, right = offset(dumbbell(2.0), -1)
    assert self_crossing(left) is None
    assert self_crossing(right) is None


# --- what has no offset -------------------------------------------------------------------------


@pytest.mark.parametrize("distance", [1.0, -1.0])
def test_an_outline_that_crosses_itself_has_no_offset(distance: float):
    dart = Contour.polygon([Point(0, 0), Point(20, 0), Point(20, 10), Point(8, -5), Point(0, 10)])
    with pytest.raises(GeometryError, match="crosses itself"):
        offset(dart, distance)


def test_a_hole_across_the_edge_has_no_offset():
    with pytest.raises(GeometryError, match="crosses itself or its holes"):
        offset_region(PLATE, (Circle(Point(50, 0), 20),), -1)


def test_a_hole_that_touches_the_edge_is_still_a_hole():
    # a slot that reaches the upper edge in one point leaves a corner on either side of it
    plate, slot = rectangle(Bounds(0, 0, 4, 4)), obround(Point(2, 1.5), Point(2, 3), 2)
    areas = [region.area for region in offset_region(plate, (slot,), -0.5)]
    assert len(areas) == 4
    assert areas[0] == pytest.approx(areas[1])


def test_flat_arcs_keep_their_distance():
    # arcs through taped points may be all but straight: here the centre is 5000 km away
    bow = Arc(Point(100, 0), Point(0, 0), -2e-8)
    contour = Contour((bow, Line(Point(0, 0), Point(0, -40)), Line(Point(0, -40), Point(100, 0))))
    for distance in (2.0, -2.0):
        (moved,) = offset(contour, distance)
        arcs = [s for s in moved.segments if isinstance(s, Arc) and s.radius > 1e6]
        assert len(arcs) == 1
        for fraction in (0.0, 0.3, 1.0):
            p = arcs[0].point_at(fraction)
            assert bow.distance(p) == pytest.approx(2, abs=1e-11)


def test_crumbs_beside_a_corner_are_offset_too():
    crumbs = [Point(10, 0), Point(10.002, 0.0005), Point(10.0025, 0.004), Point(10, 10)]
    (grown,) = offset(Contour.polygon([Point(0, 0), *crumbs, Point(0, 10)]), 3)
    assert self_crossing(grown) is None
    assert len(grown.segments) == 12


def test_details_too_small_to_tell_apart_are_left_out():
    # a hairpin ten nanometres wide
    hair = [Point(10, 5), Point(12, 5), Point(10, 5 + 1e-8)]
    outline = [Point(0, 0), Point(10, 0), *hair, Point(10, 10), Point(0, 10)]
    (grown,) = offset(Contour.polygon(outline), 1)
    assert grown.bounds.xmax == pytest.approx(13)
