import math

import pytest

from platewright.geometry.plane import IDENTITY, ORIGIN, Bounds, Motion, Point, Vector, close


def test_vectors_add_scale_and_turn():
    v, w = Vector(3, 4), Vector(1, -2)
    assert v + w == Vector(4, 2)
    assert v - w == Vector(2, 6)
    assert v * 2 == 2 * v == Vector(6, 8)
    assert v / 2 == Vector(1.5, 2)
    assert -v == Vector(-3, -4)
    assert v.left == Vector(-4, 3)
    assert v.right == Vector(4, -3)


def test_products_of_vectors():
    v = Vector(3, 4)
    assert v.dot(Vector(1, -2)) == -5
    assert v.cross(Vector(1, -2)) == -10
    assert v.cross(v.left) == v.length**2 == 25
    assert v.unit() == Vector(0.6, 0.8)


def test_the_zero_vector_has_no_direction():
    with pytest.raises(ZeroDivisionError):
        Vector(0, 0).unit()


def test_polar_and_turned_vectors():
    assert Vector.polar(math.pi / 2, 3).y == pytest.approx(3)
    turned = Vector(1, 0).turned(math.pi / 6)
    assert (turned.x, turned.y) == pytest.approx((math.sqrt(3) / 2, 0.5))
    assert Vector(-1, 0).angle == pytest.approx(math.pi)


def test_points_differ_by_vectors():
    p = Point(1, 2)
    assert p + Vector(3, 4) == Point(4, 6)
    assert Point(4, 6) - p == Vector(3, 4)
    assert p.distance(Point(4, 6)) == 5
    assert p.midpoint(Point(4, 6)) == Point(2.5, 4)
    assert p.towards(Point(5, 6), 0.25) == Point(2, 3)


def test_a_point_is_not_a_vector():
    assert Point(1, 2) != Vector(1, 2)


def test_closeness_is_not_equality():
    assert close(Point(1, 2), Point(1, 2 + 1e-10))
    assert Point(1, 2) != Point(1, 2 + 1e-10)
    assert not close(Point(1, 2), Point(1, 2.1), 0.05)


def test_bounds():
    box = Bounds.of(Point(1, 5), Point(4, -2), Point(2, 2))
    assert box == Bounds(1, -2, 4, 5)
    assert (box.width, box.height, box.centre) == (3, 7, Point(2.5, 1.5))
    assert box.grown(1) == Bounds(0, -3, 5, 6)
    assert box.union(Bounds(0, 0, 9, 1)) == Bounds(0, -2, 9, 5)


@pytest.mark.parametrize(
    ("other", "meet"),
    [
        (Bounds(4, 5, 9, 9), True),
        (Bounds(2, 0, 3, 1), True),
        (Bounds(4.1, 0, 9, 9), False),
        (Bounds(0, 5.1, 9, 9), False),
    ],
)
def test_boxes_meet_when_they_share_a_point(other: Bounds, meet: bool):
    assert Bounds(1, -2, 4, 5).meets(other) is meet
    assert other.meets(Bounds(1, -2, 4, 5)) is meet


def test_motions():
    assert IDENTITY.point(Point(3, 4)) == Point(3, 4)
    assert Motion.translation(Vector(1, -1)).point(Point(3, 4)) == Point(4, 3)
    assert Motion.translation(Vector(1, -1)).vector(Vector(3, 4)) == Vector(3, 4)
    assert Motion.mirror_x(5).point(Point(3, 4)) == Point(7, 4)
    about = Motion.rotation(math.pi / 2, Point(1, 1))
    assert close(about.point(Point(2, 1)), Point(1, 2), 1e-12)
    assert close(about.point(Point(1, 1)), Point(1, 1), 1e-12)


def test_a_frame_takes_the_origin_and_x_there():
    frame = Motion.frame(Point(5, 6), Vector(0, 1))
    assert frame.point(ORIGIN) == Point(5, 6)
    assert frame.vector(Vector(1, 0)) == Vector(0, 1)
    assert frame.point(Point(0, 1)) == Point(4, 6)


def test_the_right_motion_comes_first():
    shift, mirror = Motion.translation(Vector(10, 0)), Motion.mirror_x()
    assert (mirror @ shift).point(ORIGIN) == Point(-10, 0)
    assert (shift @ mirror).point(ORIGIN) == Point(10, 0)


def test_only_mirrorings_mirror():
    assert Motion.mirror_x().mirrors
    assert not Motion.rotation(3).mirrors
    assert not (Motion.mirror_x(1) @ Motion.mirror_x(7)).mirrors


def test_the_inverse_leads_back():
    motion = Motion.translation(Vector(3, 1)) @ Motion.rotation(0.7) @ Motion.mirror_x(2)
    assert close((motion.inverse() @ motion).point(Point(8, 9)), Point(8, 9), 1e-12)
