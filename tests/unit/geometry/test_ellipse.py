"""Ellipses as arcs, against their closed forms."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platewright.errors import GeometryError
from platewright.geometry.ellipse import swept_ellipse
from platewright.geometry.plane import ORIGIN, Vector
from platewright.geometry.segment import Arc, Line


def support(contour, way: Vector) -> float:
    return max((s.farthest(way) - ORIGIN).dot(way) for s in contour.segments)


@given(
    radius=st.floats(3, 300),
    degrees=st.floats(15, 89.99),
    shift=st.floats(0, 60),
    tolerance=st.sampled_from([0.02, 0.005, 0.2]),
)
def test_arcs_keep_outside_within_the_tolerance(radius, degrees, shift, tolerance):
    """Two convex bodies lie as far apart as their support functions differ at most.

    (Schneider, Convex Bodies, 1.8, from memory.) An ellipse has the support sqrt(a² cos² + b²
    sin²); what it sweeps by a shift against x has that and the shift's own.
    """
    a, b = radius / math.sin(math.radians(degrees)), radius
    swept = swept_ellipse(a, b, shift, tolerance)
    for i in range(360):
        way = Vector.polar(math.tau * (i + 0.37) / 360)
        exact = math.hypot(a * way.x, b * way.y) + max(0.0, -shift * way.x)
        assert -1e-9 <= support(swept, way) - exact <= tolerance + 1e-9


def test_a_circle_is_exact():
    circle = swept_ellipse(30.0, 30.0, 0.0, 0.02)
    assert all(isinstance(each, Arc) for each in circle.segments)
    assert [each.radius for each in circle.segments] == pytest.approx([30.0] * 4, abs=1e-12)
    assert circle.area == pytest.approx(math.pi * 900)


def test_joints_run_on_without_a_corner():
    swept = swept_ellipse(60.0, 30.0, 5.0, 0.02)
    ring = swept.segments
    for before, after in zip(ring, ring[1:] + ring[:1], strict=True):
        assert before.end_direction.cross(after.start_direction) == pytest.approx(0, abs=1e-9)
    assert [each.length for each in ring if isinstance(each, Line)] == pytest.approx([5.0, 5.0])


def test_no_ellipse_is_thicker_than_long():
    with pytest.raises(GeometryError, match="half axes"):
        swept_ellipse(10.0, 20.0, 0.0, 0.02)
