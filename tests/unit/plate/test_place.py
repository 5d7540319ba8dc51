"""Placing panels in space."""

import math

import pytest

from laws.strategies_bracket import rectangle
from platewright.errors import GeometryError
from platewright.geometry.plane import Point
from platewright.geometry.space import Point3
from platewright.plate.bend import Brake, Crease
from platewright.plate.bracket import Bend, Bracket, Panel
from platewright.plate.place import place
from platewright.plate.stock import MATERIALS, Stock

WAY = Brake(radius=6.0, k=0.4)
T = 5.0


def bent(edge: str, panel: Panel, **other: object) -> Bend:
    told = {"angle": math.pi / 2, "direction": "up", "way": WAY} | other
    return Bend(edge=edge, panel=panel, **told)


def bracket(*bends: Bend) -> Bracket:
    root = rectangle("root", 100.0, 60.0, bends=bends)
    return Bracket(stock=Stock(T, MATERIALS["A36"]), root=root)


def tip(part: Bracket, amount: float, panel: int = 1) -> Point3:
    return place(part, amount)[panel].world_from_panel.point(Point(0.0, 40.0))


def test_flat_panels_lie_an_allowance_apart() -> None:
    part = bracket(bent("far edge", rectangle("leg", 100.0, 40.0)))
    at = tip(part, 0)
    assert at.distance(Point3(0.0, 60.0 + math.pi / 2 * 8.0 + 40.0, 0.0)) < 1e-9


def test_a_right_angle_up_stands_above_its_radius() -> None:
    part = bracket(bent("far edge", rectangle("leg", 100.0, 40.0)))
    assert tip(part, 1).distance(Point3(0.0, 66.0, 46.0)) < 1e-9


def test_a_right_angle_down_hangs_below_the_thickness_and_radius() -> None:
    part = bracket(bent("far edge", rectangle("leg", 100.0, 40.0), direction="down"))
    assert tip(part, 1).distance(Point3(0.0, 71.0, -51.0)) < 1e-9


def test_a_part_of_an_edge_can_bend() -> None:
    leg = rectangle("leg", 30.0, 40.0)
    part = bracket(bent("far edge", leg, start=10.0, end=40.0))
    # the far edge runs from right to left
    assert tip(part, 1).x == pytest.approx(60.0)


def test_panels_are_numbered_in_the_order_of_the_tree() -> None:
    lip = bent("far edge", rectangle("lip", 100.0, 10.0))
    first = bent("far edge", rectangle("first", 100.0, 40.0, bends=(lip,)))
    second = bent("base", rectangle("second", 100.0, 40.0))
    placed = place(bracket(first, second), 1)
    assert [p.panel.name for p in placed] == ["root", "first", "lip", "second"]
    assert [p.number for p in placed] == [None, 1, 2, 3]
    assert [p.parent for p in placed] == [None, 0, 1, 0]


def test_nested_right_angles_come_back_over_the_root() -> None:
    lip = bent("far edge", rectangle("lip", 100.0, 20.0), way=Crease())
    first = bent("far edge", rectangle("first", 100.0, 40.0, bends=(lip,)), way=Crease())
    at = place(bracket(first), 1)[2].world_from_panel.point(Point(0.0, 20.0))
    assert at.distance(Point3(0.0, 40.0, 40.0)) < 1e-9


@pytest.mark.parametrize("amount", [-0.01, 1.01, math.nan])
def test_an_amount_outside_the_fold_is_refused(amount: float) -> None:
    with pytest.raises(GeometryError, match="from 0 to 1"):
        place(bracket(), amount)


def test_a_base_of_another_length_is_refused() -> None:
    with pytest.raises(GeometryError, match="base of 90"):
        place(bracket(bent("far edge", rectangle("leg", 90.0, 40.0))), 1)
