"""Which parts of an edge flat polygons hide."""

import math

import numpy as np
import pytest

from platewright.drawing import hidden_lines
from platewright.drawing.hidden_lines import Occluders, Overlaps, Polygons, visible_parts
from platewright.drawing.view_direction import ViewDirection
from platewright.errors import GeometryError
from platewright.geometry.space import Point3, Vector3

Place = tuple[float, float, float]


def polygon(*loops: list[Place]) -> Occluders:
    places = [place for loop in loops for place in loop]
    indices = iter(range(len(places)))
    loops_of = [[[next(indices) for _ in loop] for loop in loops]]
    return Occluders(np.array(places, dtype=float), Polygons(loops_of))


def square(size: float = 10.0, depth: float = 0.0, **hole: float) -> Occluders:
    loops = [[(0, 0, depth), (size, 0, depth), (size, size, depth), (0, size, depth)]]
    if hole:
        a, b = hole["a"], hole["b"]
        loops.append([(a, a, depth), (a, b, depth), (b, b, depth), (b, a, depth)])
    return polygon(*loops)


def overlaps(a: Place, b: Place, front: Occluders) -> Overlaps:
    return front.overlaps(np.array([a], dtype=float), np.array([b], dtype=float))


def hidden(a: Place, b: Place, front: Occluders) -> list[tuple[float, float]]:
    found = overlaps(a, b, front)
    found = found.only(found.behind > 0)
    return list(zip(found.first.tolist(), found.last.tolist(), strict=True))


def test_an_edge_behind_is_hidden_between_the_sides() -> None:
    assert hidden((-10, 5, -1), (20, 5, -1), square()) == [
        (pytest.approx(1 / 3), pytest.approx(2 / 3))
    ]


def test_an_edge_in_front_is_not() -> None:
    assert hidden((-10, 5, 1), (20, 5, 1), square()) == []
    assert overlaps((-10, 5, 1), (20, 5, 1), square()).behind == pytest.approx([-1.0])


def test_only_what_lies_deeper_is_told_where_asked() -> None:
    dives = np.array([(2.0, 5.0, 1.0)]), np.array([(8.0, 5.0, -2.0)])
    found = square().overlaps(*dives, deeper=0.0)
    assert found.first == pytest.approx([1 / 3])
    assert found.behind == pytest.approx([1.0])
    assert not len(square().overlaps(*dives, deeper=2.0).edge)


def test_an_edge_in_the_polygons_own_plane_is_not_hidden() -> None:
    assert not len(overlaps((-10, 5, 0), (20, 5, 0), square()).edge)


def test_an_edge_that_dives_through_is_cut_where_it_does() -> None:
    assert hidden((2, 5, 1), (8, 5, -2), square()) == [(pytest.approx(1 / 3), 1.0)]


def test_an_edge_shows_through_a_hole() -> None:
    assert hidden((0, 5, -1), (10, 5, -1), square(a=4, b=6)) == [
        (0.0, pytest.approx(0.4)),
        (pytest.approx(0.6), 1.0),
    ]


def test_an_edge_along_the_rim_is_not_hidden() -> None:
    assert hidden((-5, 0, -1), (15, 0, -1), square()) == []


def test_an_edge_beside_or_away_is_left_alone() -> None:
    assert not len(overlaps((20, 0, -1), (30, 5, -1), square()).edge)
    assert not len(overlaps((0, 20, -1), (5, 30, -1), square()).edge)


def test_a_polygon_turned_away_hides_nothing() -> None:
    back = polygon([(0, 0, 0), (0, 10, 0), (10, 10, 0), (10, 0, 0)])
    assert back.facing.tolist() == [False]
    assert hidden((-10, 5, -1), (20, 5, -1), back) == []


@pytest.mark.parametrize("most", [1, 1000])
def test_many_edges_and_polygons_are_asked_at_once(
    most: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every edge against every polygon alone gives the same (two levels, the nearer smaller)."""
    low = [(0, 0, 0), (10, 0, 0), (10, 10, 0), (0, 10, 0)]
    high = [(4, 4, 5), (6, 4, 5), (6, 6, 5), (4, 6, 5)]
    polygons = Polygons([[[0, 1, 2, 3]], [[4, 5, 6, 7]]])
    both = Occluders(np.array(low + high, dtype=float), polygons)
    a = np.array([(-10, 5, -1), (0, 5, 2), (5, 5, 7), (20, 20, -1)], dtype=float)
    b = np.array([(20, 5, -1), (10, 5, 2), (5, 6, 7), (30, 20, -1)], dtype=float)
    alone = [polygon(low).overlaps(a, b), polygon(high).overlaps(a, b)]
    monkeypatch.setattr(hidden_lines, "_MOST", most)
    found = both.overlaps(a, b)
    assert not (both.overlaps(a, b, np.zeros((4, 1))).polygon == 0).any()
    told = {tuple(row) for row in zip(*(column.tolist() for column in found), strict=True)}
    for number, each in enumerate(alone):
        assert {row for row in told if row[1] == number} == {
            (edge, number, *rest)
            for edge, _, *rest in zip(*(column.tolist() for column in each), strict=True)
        }
    assert both.hide(np.array([(5, 5, 2), (5, 5, 6), (1, 1, -1), (1, 1, 1)])).tolist() == [
        True, False, True, False,
    ]  # fmt: skip


def test_a_slanting_polygon_has_its_depth_everywhere() -> None:
    slope = polygon([(0, 0, 0), (10, 0, 5), (10, 10, 5), (0, 10, 0)])
    under = np.array([(4.0, 7.0, 1.99), (4.0, 7.0, 2.01)])
    assert slope.hide(under).tolist() == [True, False]
    # level at depth 2: hidden where the slope stands higher, x from 4 to 10
    assert hidden((0, 5, 2), (10, 5, 2), slope) == [(pytest.approx(0.4), 1.0)]


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
