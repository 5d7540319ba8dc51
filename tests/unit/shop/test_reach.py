"""What a round tool can make of a shape, in cases worked by hand."""

import math

import pytest

from platewright.geometry.build import obround, rectangle, rounded_polygon
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.offset import Region, offset_regions
from platewright.geometry.plane import Bounds, Motion, Point, Vector
from platewright.shop.reach import metal_left, metal_lost, miss_words

BLOCK = rectangle(Bounds(0, 0, 60, 30))


def polygon(*points):
    return Contour.polygon(Point(*p) for p in points)


def region(outline, *holes):
    return (Region(outline, tuple(holes)),)


def rounded_off(regions, radius):
    """Cut small and grown again."""
    made = offset_regions(offset_regions(regions, -radius), radius)
    return made, metal_lost(regions, made, radius)


def filled_in(regions, radius):
    """Grown and cut small again."""
    made = offset_regions(offset_regions(regions, radius), -radius)
    return made, metal_left(regions, made, radius)


def area(regions):
    return sum(r.area for r in regions)


def test_square_corners_are_rounded():
    made, missed = rounded_off(region(BLOCK), 4.0)
    assert area(made) == pytest.approx(1800 - (4 - math.pi) * 16)
    assert [m.kind for m in missed] == ["rounded corner"] * 4
    assert {(m.at.x, m.at.y) for m in missed} == {(0, 0), (60, 0), (60, 30), (0, 30)}
    assert all(m.depth == pytest.approx(4 * (math.sqrt(2) - 1)) for m in missed)
    assert all(m.outline.area == pytest.approx((1 - math.pi / 4) * 16) for m in missed)
    assert miss_words(missed[0], "mm") == "corner rounded to a radius of 4.0 mm, 1.7 mm short"


def test_a_convex_shape_is_not_filled():
    made, missed = filled_in(region(BLOCK), 0.8)
    assert area(made) == pytest.approx(1800)
    assert missed == ()


def test_a_corner_as_round_as_the_tool_is_kept():
    rounded = rounded_polygon(BLOCK.corners, [5.0] * 4)
    assert rounded_off(region(rounded), 5.0)[1] == ()
    assert rounded_off(region(rounded), 4.0)[1] == ()
    assert [m.kind for m in rounded_off(region(rounded), 6.0)[1]] == ["rounded corner"] * 4


def test_an_inside_corner_is_left_round():
    angle = polygon((0, 0), (60, 0), (60, 20), (20, 20), (20, 60), (0, 60))
    made, missed = filled_in(region(angle), 1.5)
    assert area(made) - angle.area == pytest.approx((1 - math.pi / 4) * 1.5**2)
    assert [(m.kind, m.at) for m in missed] == [("filled corner", Point(20, 20))]
    assert miss_words(missed[0], "mm") == "inside corner left with a radius of 1.5 mm"


def test_a_tongue_narrower_than_the_guide_can_be_is_lost():
    tongue = polygon((0, 0), (60, 0), (60, 30), (34, 30), (34, 50), (28, 50), (28, 30), (0, 30))
    made, missed = rounded_off(region(tongue), 4.0)
    lost = next(m for m in missed if m.kind == "lost tip")
    # a disc of radius 4 bulges into a mouth of 6 by this much
    bulge = 4 - math.sqrt(4**2 - 3**2)
    assert lost.depth == pytest.approx(math.hypot(3, 20 - bulge + 4) - 4)
    assert sum(m.outline.area for m in missed) == pytest.approx(tongue.area - area(made))


def test_a_neck_too_narrow_is_cut_through():
    bell = polygon(
        (0, 0), (30, 0), (30, 12), (60, 12), (60, 0), (90, 0), (90, 30), (60, 30), (60, 18),
        (30, 18), (30, 30), (0, 30),
    )  # fmt: skip
    made, missed = rounded_off(region(bell), 4.0)
    assert len(made) == 2
    assert sorted({m.kind for m in missed}) == ["lost neck", "rounded corner"]
    assert sum(m.outline.area for m in missed) == pytest.approx(bell.area - area(made))


def test_a_short_neck_holds_together():
    # the discs of both sides overlap in the neck, which comes out scalloped
    bell = polygon(
        (0, 0), (30, 0), (30, 12), (34, 12), (34, 0), (60, 0), (60, 30), (34, 30), (34, 17.9),
        (30, 17.9), (30, 30), (0, 30),
    )  # fmt: skip
    made, missed = rounded_off(region(bell), 3.0)
    assert len(made) == 1
    assert sum(m.outline.area for m in missed) == pytest.approx(bell.area - area(made))


def test_a_notch_narrower_than_the_kerf_is_left_standing():
    notched = polygon((0, 0), (60, 0), (60, 30), (31, 30), (31, 20), (30, 20), (30, 30), (0, 30))
    made, missed = filled_in(region(notched), 0.8)
    assert [m.kind for m in missed] == ["filled notch"]
    # an arc of radius 0.8 dips into a mouth of 1
    dip = 0.8 - math.sqrt(0.8**2 - 0.5**2)
    segment = 0.8**2 * math.asin(0.5 / 0.8) - 0.5 * (0.8 - dip)
    assert missed[0].outline.area == pytest.approx(10 - segment)
    assert area(made) - notched.area == pytest.approx(10 - segment)


def test_a_slot_that_the_kerf_fills_is_told():
    slot = obround(Point(10, 15), Point(50, 15), 1.0)
    made, missed = filled_in(region(BLOCK, slot), 0.8)
    assert [m.kind for m in missed] == ["filled notch"]
    assert area(made) == pytest.approx(1800)


def test_a_hole_is_made_as_it_is():
    hole = Circle(Point(30, 15), 10)
    made, missed = rounded_off(region(BLOCK, hole), 4.0)
    assert len(missed) == 4
    assert made[0].holes[0].area == pytest.approx(hole.area)


def test_what_is_nowhere_wide_enough_is_lost():
    made, missed = rounded_off(region(BLOCK), 16.0)
    assert made == ()
    assert [(m.kind, m.outline.area) for m in missed] == [("lost piece", 1800)]


def test_places_move_with_their_part():
    motion = Motion.translation(Vector(5, 7)) @ Motion.rotation(0.4)
    moved = rounded_off(region(BLOCK.moved(motion)), 4.0)[1]
    same = [m.moved(motion) for m in rounded_off(region(BLOCK), 4.0)[1]]
    for a in same:
        nearest = min(moved, key=lambda b: b.at.distance(a.at))
        assert nearest.at.distance(a.at) < 1e-9
        assert nearest.outline.area == pytest.approx(a.outline.area)
