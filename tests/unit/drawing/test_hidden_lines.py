"""Which parts of an edge flat polygons hide."""

import math

import pytest

from platewright.drawing.hidden_lines import Occluder, occluder, overlaps, visible_parts
from platewright.drawing.view_direction import Seen, ViewDirection
from platewright.errors import GeometryError
from platewright.geometry.space import Point3, Vector3

FLAT = (0.0, 0.0, 1.0)


def square(size: float = 10.0, depth: float = 0.0, **hole: float) -> Occluder:
    ring = [Seen(0, 0, depth), Seen(size, 0, depth), Seen(size, size, depth), Seen(0, size, depth)]
    loops = [ring]
    if hole:
        a, b = hole["a"], hole["b"]
        loops.append([Seen(a, a, depth), Seen(a, b, depth), Seen(b, b, depth), Seen(b, a, depth)])
    return occluder(loops, FLAT)


def hidden(a: Seen, b: Seen, front: Occluder) -> list[tuple[float, float]]:
    return [overlap.interval for overlap in overlaps(a, b, front) if overlap.behind > 0]


def test_an_edge_behind_is_hidden_between_the_sides() -> None:
    assert hidden(Seen(-10, 5, -1), Seen(20, 5, -1), square()) == [
        (pytest.approx(1 / 3), pytest.approx(2 / 3))
    ]


def test_an_edge_in_front_is_not() -> None:
    assert hidden(Seen(-10, 5, 1), Seen(20, 5, 1), square()) == []
    (over,) = overlaps(Seen(-10, 5, 1), Seen(20, 5, 1), square())
    assert over.behind == pytest.approx(-1.0)


def test_an_edge_in_the_polygons_own_plane_is_not_hidden() -> None:
    assert list(overlaps(Seen(-10, 5, 0), Seen(20, 5, 0), square())) == []


def test_an_edge_that_dives_through_is_cut_where_it_does() -> None:
    assert hidden(Seen(2, 5, 1), Seen(8, 5, -2), square()) == [(pytest.approx(1 / 3), 1.0)]


def test_an_edge_shows_through_a_hole() -> None:
    assert hidden(Seen(0, 5, -1), Seen(10, 5, -1), square(a=4, b=6)) == [
        (0.0, pytest.approx(0.4)),
        (pytest.approx(0.6), 1.0),
    ]


def test_an_edge_along_the_rim_is_not_hidden() -> None:
    assert hidden(Seen(-5, 0, -1), Seen(15, 0, -1), square()) == []


def test_an_edge_beside_or_away_is_left_alone() -> None:
    assert list(overlaps(Seen(20, 0, -1), Seen(30, 5, -1), square())) == []
    assert list(overlaps(Seen(0, 20, -1), Seen(5, 30, -1), square())) == []


def test_a_slanting_polygon_has_its_depth_everywhere() -> None:
    slope = occluder([[Seen(0, 0, 0), Seen(10, 0, 5), Seen(10, 10, 5), Seen(0, 10, 0)]],
                   (-0.5, 0.0, 1.0))  # fmt: skip
    assert slope.depth(4.0, 7.0) == pytest.approx(2.0)
    # level at depth 2: hidden where the slope stands higher, x from 4 to 10
    assert hidden(Seen(0, 5, 2), Seen(10, 5, 2), slope) == [(pytest.approx(0.4), 1.0)]


def test_what_is_left_of_an_edge() -> None:
    assert visible_parts([]) == [(0.0, 1.0)]
    assert visible_parts([(0.2, 0.4), (0.3, 0.5)]) == [(0.0, 0.2), (0.5, 1.0)]
    assert visible_parts([(0.0, 0.3), (0.8, 1.0)]) == [(0.3, 0.8)]
    assert visible_parts([(0.0, 1.0)]) == []


def test_the_eye_keeps_up_upright_and_depth_towards_it() -> None:
    eye = ViewDirection(math.radians(30), math.radians(20))
    low, high = eye.seen(Point3(0, 0, 0)), eye.seen(Point3(0, 0, 10))
    assert high.x == pytest.approx(low.x)
    assert high.y - low.y == pytest.approx(10 * math.cos(math.radians(20)))
    nearer = eye.seen(Point3(0, 0, 0) + eye.towards * 7)
    assert nearer.depth == pytest.approx(7.0)
    assert (nearer.x, nearer.y) == (pytest.approx(0.0), pytest.approx(0.0))


def test_the_eyes_axes_are_a_right_handed_frame() -> None:
    eye = ViewDirection(math.radians(200), math.radians(-35))
    across = eye.right.cross(eye.up) - eye.towards
    assert across.length == pytest.approx(0.0, abs=1e-12)
    assert eye.up.dot(Vector3(0, 0, 1)) > 0


def test_an_eye_straight_above_is_refused() -> None:
    with pytest.raises(GeometryError, match="less than a right angle"):
        ViewDirection(0.0, math.pi / 2)
