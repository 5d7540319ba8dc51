"""Differences of nested shapes, and places that lie on the chord of an arc."""

import math
from itertools import pairwise

import pytest

from platewright.geometry.build import rectangle
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.difference import differences
from platewright.geometry.offset import Region, offset_regions
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Arc, Line

BLOCK = Region(rectangle(Bounds(0, 0, 40, 20)))


def test_a_shape_leaves_nothing_of_itself():
    assert differences((BLOCK,), (BLOCK,)) == ()


def test_everything_is_left_when_nothing_is_made():
    (whole,) = differences((BLOCK,), ())
    assert whole.outline.area == pytest.approx(800)
    assert whole.of_outer == (True,) * 4
    assert differences((), ()) == ()


def test_the_corners_that_a_round_tool_leaves():
    made = offset_regions(offset_regions((BLOCK,), -5), 5)
    found = differences((BLOCK,), made)
    assert len(found) == 4
    for corner in found:
        assert corner.outline.area == pytest.approx(25 * (1 - math.pi / 4))
        assert len(corner.outer_segments) == 2
        (bow,) = corner.inner_segments
        assert bow.radius == pytest.approx(5)


def test_the_larger_come_first():
    stepped = Region(
        Contour.polygon(Point(*p) for p in [(0, 0), (40, 0), (40, 20), (8, 20), (8, 28), (0, 28)])
    )
    areas = [found.outline.area for found in differences((stepped,), (BLOCK,))]
    assert areas == [pytest.approx(64)]
    inner = Region(rectangle(Bounds(0, 0, 30, 20)))
    areas = [found.outline.area for found in differences((stepped,), (inner,))]
    assert areas == [pytest.approx(200), pytest.approx(64)]


def test_a_hole_that_is_filled_is_left():
    holed = Region(BLOCK.outer, (Circle(Point(20, 10), 6),))
    (found,) = differences((BLOCK,), (holed,))
    assert found.outline.area == pytest.approx(math.pi * 9)
    assert found.of_outer
    assert not any(found.of_outer)


def keyhole():
    """A block whose round pocket is entered through a neck as wide as the pocket's chord."""
    arc = Arc(Point(0.5, math.sqrt(0.75)), Point(-0.5, math.sqrt(0.75)), -5 * math.pi / 3)
    corners = [
        Point(-0.5, 2),
        Point(-2, 2),
        Point(-2, -2),
        Point(2, -2),
        Point(2, 2),
        Point(0.5, 2),
    ]
    chain = [arc.end, *corners, arc.start]
    return Contour((arc, *(Line(a, b) for a, b in pairwise(chain))))


@pytest.mark.parametrize("x", [-0.4, 0.0, 0.4])
def test_a_place_on_the_chord_of_an_arc_is_on_its_right_side(x):
    level = math.sqrt(0.75)
    assert not keyhole().contains(Point(x, level))
    assert keyhole().contains(Point(1.5, level))
    cap = Arc(Point(1, 0), Point(-1, 0), math.pi)
    half = Contour((cap, Line(cap.end, cap.start)))
    assert half.contains(Point(x, 1e-12))
    assert not half.contains(Point(x, -1e-12))
