import math

import pytest

from platewright.geometry.plane import Motion, Point, Vector
from platewright.geometry.space import Placing, Point3, Vector3


def near(p: Point3, q: Point3) -> bool:
    return p.distance(q) < 1e-12


def test_vectors_in_space():
    v, w = Vector3(1, 2, 2), Vector3(0, 1, 0)
    assert v + w == Vector3(1, 3, 2)
    assert v - w == Vector3(1, 1, 2)
    assert 2 * v == v * 2 == Vector3(2, 4, 4)
    assert -v == Vector3(-1, -2, -2)
    assert v.length == 3
    assert v.dot(w) == 2
    assert Vector3(1, 0, 0).cross(w) == Vector3(0, 0, 1)
    assert v.unit().length == pytest.approx(1)


def test_points_in_space():
    p, q = Point3(1, 1, 1), Point3(2, 3, 3)
    assert q - p == Vector3(1, 2, 2)
    assert p + (q - p) == q
    assert p.distance(q) == 3
    assert p.midpoint(q) == Point3(1.5, 2, 2)


def test_a_turn_about_x_carries_the_origin():
    turn = Placing.about_x(math.pi / 2, 5, -2)
    assert near(turn.point3(Point3(0, 0, 0)), Point3(0, 5, -2))
    assert near(turn.point3(Point3(7, 1, 0)), Point3(7, 5, -1))
    assert near(turn.point(Point(7, 1), 3), Point3(7, 2, -1))


def test_a_flat_placing_is_its_motion():
    motion = Motion.translation(Vector(3, 4)) @ Motion.rotation(0.5)
    placing = Placing.flat(motion)
    p = motion.point(Point(6, 7))
    assert near(placing.point(Point(6, 7), 2), Point3(p.x, p.y, 2))
    assert placing.plane_motion() == motion


def test_placings_compose_right_one_first_and_undo():
    first, second = Placing.about_x(0.4, 1, 2), Placing.flat(Motion.rotation(1.1))
    p = Point3(3, -2, 5)
    assert near((second @ first).point3(p), second.point3(first.point3(p)))
    assert near(first.inverse().point3(first.point3(p)), p)
    assert near((first.inverse() @ first).point3(p), p)
    assert (first.vector(Vector3(0, 1, 0)) - first.y_axis).length == 0
