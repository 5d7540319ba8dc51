"""How far convex pieces of metal are apart."""

import math

import pytest

from laws.apart import gap, part_gap
from laws.strategies_bracket import rectangle
from platewright.geometry.plane import Point
from platewright.geometry.space import Placing, Point3, Vector3
from platewright.plate.bend import Brake, Crease
from platewright.plate.bracket import Bend, Bracket
from platewright.plate.folded import folded
from platewright.plate.prism import SAGITTA, WEDGE, Prism, bend_prisms, parts_of, wedge_count
from platewright.plate.stock import MATERIALS, Stock

SQUARE = (Point(0, 0), Point(10, 0), Point(10, 10), Point(0, 10))


def cube(x: float = 0.0, y: float = 0.0, z: float = 0.0, turn: float = 0.0) -> Prism:
    c, s = math.cos(turn), math.sin(turn)
    place = Placing(Vector3(c, s, 0), Vector3(-s, c, 0), Vector3(0, 0, 1), Point3(x, y, z))
    return Prism(SQUARE, 0.0, 10.0, place)


def test_cubes_apart_are_told_no_farther_than_they_are() -> None:
    assert 3.0 <= gap(cube(), cube(x=13.0)) <= 3.0 + 1e-9
    diagonal = gap(cube(), cube(13.0, 13.0, 13.0))
    assert 3.0 <= diagonal <= 3 * math.sqrt(3) + 1e-9


def test_touching_cubes_have_no_gap() -> None:
    assert gap(cube(), cube(x=10.0)) == pytest.approx(0.0, abs=1e-12)


def test_overlap_is_the_least_shift_that_parts() -> None:
    assert gap(cube(), cube(x=8.0, y=1.0)) == pytest.approx(-2.0)


def test_edges_against_edges_need_crossed_axes() -> None:
    """Two bars set on edge, one ridge along x, and half a millimetre above it one along y."""
    c = math.sqrt(0.5)
    lower = Placing(Vector3(1, 0, 0), Vector3(0, c, c), Vector3(0, -c, c), Point3(0, 0, 0))
    ridge, keel = 20 * c, -10 * c
    middle = Point3(5 - 10 * c, -5, ridge - keel + 0.5)
    upper = Placing(Vector3(0, 1, 0), Vector3(c, 0, c), Vector3(c, 0, -c), middle)
    apart = gap(Prism(SQUARE, 0.0, 10.0, lower), Prism(SQUARE, 0.0, 10.0, upper))
    assert 0 < apart <= 0.5 + 1e-9


def test_a_search_may_stop_at_enough() -> None:
    assert gap(cube(), cube(x=50.0), enough=5.0) >= 5.0


def channel(way: object) -> Bracket:
    leg = Bend(
        edge="far edge", panel=rectangle("leg", 50.0, 40.0), angle=2.0, direction="up", way=way
    )
    return Bracket(
        stock=Stock(4.0, MATERIALS["A36"]), root=rectangle("root", 50.0, 60.0, bends=(leg,))
    )


def test_bends_are_wedges_that_touch_what_they_join() -> None:
    root, leg, bend = parts_of(folded(channel(Brake(6.0, 0.4))))
    assert (root.words, leg.words, bend.words) == ("root", "leg", "bend 1")
    assert part_gap(root, bend) == pytest.approx(0.0, abs=1e-9)
    assert part_gap(leg, bend) == pytest.approx(0.0, abs=1e-9)
    assert part_gap(root, leg) > 0


def test_a_sharp_wedge_has_three_corners() -> None:
    (bend,) = folded(channel(Crease())).bends
    assert {len(prism.polygon) for prism in bend_prisms(bend)} == {3}


def test_a_flat_crease_has_no_metal() -> None:
    (bend,) = folded(channel(Crease()), 0.0).bends
    assert bend_prisms(bend) == ()


def test_a_bend_of_no_thickness_is_cut_into_the_widest_wedges() -> None:
    # card too thin to count: its crease has no outside radius, and no chord leaves it
    widest = wedge_count(math.pi / 2, 0.0)
    assert widest == wedge_count(math.pi / 2, SAGITTA / 2)
    assert widest == math.ceil(math.pi / 2 / min(WEDGE, math.pi))


def test_a_prism_knows_its_radius_and_its_spans() -> None:
    box = cube()
    assert box.radius == pytest.approx(math.sqrt(75))
    assert box.span(Vector3(1, 0, 0)) == pytest.approx((0, 10))
