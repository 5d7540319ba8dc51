"""Plane geometry against figures from outside, each with its source."""

import math

import pytest

from platewright.geometry.build import chamfer, fillet, rectangle, tangent_points
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.offset import offset
from platewright.geometry.plane import ORIGIN, Bounds, Point, Vector
from platewright.geometry.segment import Arc, Line

PLATE = rectangle(Bounds(0, 0, 100, 60))


def test_outward_parallel_of_a_plate():
    # Steiner 1840, exact: A + P r + pi r² = 6000 + 480 + 2.25 pi, P + 2 pi r = 320 + 3 pi
    (grown,) = offset(PLATE, 1.5)
    assert grown.area == pytest.approx(6487.0686, abs=5e-5)
    assert grown.perimeter == pytest.approx(329.4248, abs=5e-5)


def test_inward_parallel_of_a_plate():
    # exact: 97 x 57
    (shrunk,) = offset(PLATE, -1.5)
    assert shrunk.area == pytest.approx(5529, rel=1e-12)
    assert len(shrunk.segments) == 4


def test_parallel_of_a_triangle_inward():
    # exact: a triangle shrinks about its incentre by (rho - d) / rho; 3-4-5 has rho = 1
    right = Contour.polygon([Point(0, 0), Point(4, 0), Point(0, 3)])
    (shrunk,) = offset(right, -0.5)
    assert shrunk.area == pytest.approx(6 * 0.25)
    assert shrunk.perimeter == pytest.approx(12 * 0.5)
    assert offset(right, -1.0) == ()


def test_parallel_of_a_reuleaux_triangle():
    # exact: constant width b, perimeter pi b (Barbier 1860), area (pi - sqrt 3) b² / 2
    b = 10.0
    corners = [ORIGIN + Vector.polar(math.pi / 2 + i * math.tau / 3, b / 3**0.5) for i in range(3)]
    sides = zip(corners, corners[1:] + corners[:1], strict=True)
    contour = Contour(tuple(Arc(a, c, math.pi / 3) for a, c in sides))
    assert contour.perimeter == pytest.approx(math.pi * b)
    assert contour.area == pytest.approx((math.pi - math.sqrt(3)) * b * b / 2)
    (grown,) = offset(contour, 2)
    assert grown.perimeter == pytest.approx(math.pi * (b + 4))
    assert grown.area == pytest.approx(contour.area + contour.perimeter * 2 + 4 * math.pi)


def bow(radius: float, depth: float) -> Contour:
    """The segment of a circle cut off `depth` mm below its top, chord and arc."""
    half = math.acos(1 - depth / radius)
    arc = Arc.about(ORIGIN, radius, math.pi / 2 - half, 2 * half)
    return Contour((arc, Line(arc.end, arc.start)))


def test_segment_of_a_circle_from_the_handbook():
    # Machinery's Handbook 31st ed. p. 50 (read): R 12, depth 2: chord 13.27, angle 67.13,
    # arc 14.06, area 18.01; its angle is rounded from the table, so the exact figures follow
    arc, chord = bow(12, 2).segments
    assert isinstance(arc, Arc)
    assert chord.length == pytest.approx(13.27, abs=0.005)
    assert math.degrees(arc.sweep) == pytest.approx(67.13, abs=0.02)
    assert arc.length == pytest.approx(14.06, abs=0.005)
    assert bow(12, 2).area == pytest.approx(18.01, abs=0.005)


def test_segment_of_a_circle_exactly():
    # exact: chord 2 sqrt(2 R h - h²), angle 2 acos(1 - h / R), area R² (angle - sin angle) / 2
    arc, chord = bow(12, 2).segments
    assert isinstance(arc, Arc)
    assert chord.length == pytest.approx(13.2665, abs=5e-5)
    assert math.degrees(arc.sweep) == pytest.approx(67.1146, abs=5e-5)
    assert arc.length == pytest.approx(14.0565, abs=5e-5)
    assert bow(12, 2).area == pytest.approx(18.0062, abs=5e-5)


def test_radius_from_chord_and_height():
    # Machinery's Handbook 31st ed. p. 79 (read): chord 16, height 6: radius 8 1/3
    arc = Arc(Point(0, 0), Point(16, 0), -4 * math.atan(6 / 8))
    assert arc.radius == pytest.approx(25 / 3)
    assert arc.bounds.ymax == pytest.approx(6)


@pytest.mark.parametrize(
    ("sweep_deg", "bulge"),
    [(90, 0.414214), (180, 1.0), (-90, -0.414214), (60, 0.267949), (270, 2.414214)],
)
def test_bulge_of_a_polyline_vertex(sweep_deg: float, bulge: float):
    # DXF reference, LWPOLYLINE group 42 (from memory): tangent of a quarter of the included angle,
    # negative clockwise; the values are exact tangents
    arc = Arc(Point(0, 0), Point(10, 0), math.radians(sweep_deg))
    assert arc.bulge == pytest.approx(bulge, abs=5e-7)


def test_bulge_is_twice_the_height_over_the_chord():
    # exact: bulge = 2 h / chord, the height of the bow over half the chord
    arc = Arc(Point(0, 0), Point(10, 0), -2.0)
    assert -arc.bulge == pytest.approx(2 * arc.bounds.ymax / 10)


def test_tangent_from_a_point():
    # Euclid III.36, exact: tangent² = distance² - radius²; 13² - 5² = 12²
    for touch in tangent_points(Point(13, 0), Circle(ORIGIN, 10)):
        assert touch.distance(Point(13, 0)) == pytest.approx(12)


def test_fillet_in_a_right_angle():
    # exact: the corner of a quarter turn loses r² (1 - pi / 4)
    arc = fillet(Point(0, 0), Point(10, 0), Point(10, 10), 4)
    corner = Contour((arc, Line(arc.end, Point(10, 0)), Line(Point(10, 0), arc.start)))
    assert abs(corner.area) == pytest.approx(16 * (1 - math.pi / 4))


def test_chamfer_of_a_right_angle():
    # exact: setbacks of 1 leave a face of sqrt 2
    assert chamfer(Point(0, 0), Point(10, 0), Point(10, 10), 1).length == pytest.approx(2**0.5)


def test_sagitta_of_a_chord():
    # exact: R (1 - cos(angle / 2)); 24 chords round R 50 stand 0.4278 mm off the circle
    points = Circle(ORIGIN, 100).flatten(0.4278)
    assert len(points) == 24
