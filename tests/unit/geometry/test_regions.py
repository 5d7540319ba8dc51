"""What one region has that another has not."""

from __future__ import annotations

import math

import pytest

from platewright.errors import GeometryError
from platewright.geometry.build import rectangle
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.offset import Region
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.regions import leftover


def box(*sides: float) -> Contour:
    return rectangle(Bounds(*sides))


PLATE = Region(box(0.0, 0.0, 100.0, 60.0))


def test_a_strip_is_as_deep_as_it_is_wide():
    (strip,) = leftover(PLATE, Region(box(0.0, 0.0, 97.0, 60.0)), 0.05)
    assert strip.area == pytest.approx(3 * 60)
    assert strip.depth == pytest.approx(3.0)
    assert 97 < strip.middle.x < 100


def test_nothing_is_left_of_a_region_in_itself():
    assert leftover(PLATE, PLATE, 0.05) == ()


def test_slivers_are_passed_over():
    assert leftover(PLATE, Region(box(0.0, 0.0, 99.96, 60.0)), 0.05) == ()
    assert len(leftover(PLATE, Region(box(0.0, 0.0, 99.9, 60.0)), 0.05)) == 1


def test_a_hole_is_as_deep_as_its_diameter():
    (patch,) = leftover(PLATE, Region(PLATE.outer, (Circle(Point(50, 30), 12.0),)), 0.05)
    assert patch.area == pytest.approx(math.pi * 36, rel=5e-3)
    assert patch.depth == pytest.approx(12.0, rel=1e-2)
    assert patch.middle.distance(Point(50, 30)) < 0.1


def test_the_largest_piece_comes_first():
    other = Region(box(2.0, 0.0, 95.0, 60.0))
    patches = leftover(PLATE, other, 0.05)
    assert [round(patch.depth) for patch in patches] == [5, 2]


def test_a_patch_keeps_its_holes():
    ring = Region(box(0.0, 0.0, 60.0, 60.0), (box(10.0, 10.0, 50.0, 50.0),))
    inner = Region(box(15.0, 15.0, 45.0, 45.0))
    assert leftover(inner, ring, 0.05)[0].area == pytest.approx(900.0)
    (patch,) = leftover(ring, inner, 0.05)
    assert len(patch.holes) == 1


def test_holes_may_run_into_each_other_and_out_of_the_edge():
    holes = (Circle(Point(50, 30), 20.0), Circle(Point(58, 30), 20.0), Circle(Point(0, 0), 10.0))
    assert leftover(Region(PLATE.outer, holes), Region(PLATE.outer, holes), 0.05) == ()


def test_a_region_that_crosses_itself_is_refused():
    bow = Contour.polygon([Point(0, 0), Point(10, 10), Point(10, 0), Point(0, 10)])
    with pytest.raises(GeometryError, match="crosses itself"):
        leftover(Region(bow), PLATE, 0.05)
