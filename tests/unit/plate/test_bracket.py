"""Brackets as values: names, edges, the other hand."""

import math
from dataclasses import replace

import pytest

from laws.strategies_bracket import rectangle
from platewright.errors import GeometryError
from platewright.geometry.contour import Contour
from platewright.geometry.plane import ORIGIN, Point
from platewright.geometry.segment import Line
from platewright.plate.bend import Crease
from platewright.plate.bracket import Bend, Body, Bracket, Hole, Panel
from platewright.plate.dimension import Dimension, Spot, Straight, swapped_hand
from platewright.plate.stock import MATERIALS, Stock

STOCK = Stock(5.0, MATERIALS["A36"])


def with_leg(start: float | None = None, end: float | None = None) -> Bracket:
    width = 100.0 if start is None or end is None else end - start
    leg = Bend(edge="far edge", panel=rectangle("left leg", width, 40.0), angle=1.0,
               direction="up", way=Crease(), start=start, end=end)  # fmt: skip
    return Bracket(stock=STOCK, root=rectangle("root", 100.0, 60.0, bends=(leg,)))


def test_left_and_right_swap_as_words_only() -> None:
    assert swapped_hand("left gusset, right side") == "right gusset, left side"
    assert swapped_hand("upright leftover") == "upright leftover"
    assert swapped_hand("left side (left.nose)") == "right side (left.nose)"
    assert swapped_hand("end.left of the left.") == "end.left of the right."


def test_a_clockwise_outline_is_refused() -> None:
    clockwise = rectangle("x", 10.0, 10.0).contour.reversed()
    with pytest.raises(GeometryError, match="anticlockwise"):
        Panel(name="x", contour=clockwise)


def test_an_edge_name_stands_once() -> None:
    with pytest.raises(GeometryError, match="share a name"):
        replace(rectangle("x", 10.0, 10.0), edges=(("a", 0), ("a", 1)))


def test_an_unknown_edge_is_told_with_those_there_are() -> None:
    with pytest.raises(GeometryError, match=r"no edge 'lid' \(it has: base"):
        rectangle("x", 10.0, 10.0).edge("lid")


def test_panels_have_names_of_their_own() -> None:
    part = with_leg()
    twin = replace(part.root.bends[0], panel=rectangle("root", 100.0, 40.0))
    with pytest.raises(GeometryError, match="two panels share a name"):
        replace(part, root=replace(part.root, bends=(twin,)))


def test_a_bend_on_all_of_an_edge_takes_its_very_ends() -> None:
    root = with_leg().root
    assert root.bend_base(root.bends[0]) == root.straight_edge("far edge")


def test_a_bend_on_part_of_an_edge_is_measured_from_its_start() -> None:
    root = with_leg(20.0, 70.0).root
    base = root.bend_base(root.bends[0])
    assert (base.start, base.end) == (Point(80, 60), Point(30, 60))


def test_the_other_hand_swaps_names_and_measures_from_the_other_end() -> None:
    root = with_leg(20.0, 70.0).mirrored().root
    (bend,) = root.bends
    assert bend.panel.name == "right leg"
    assert (bend.start, bend.end) == (30.0, 80.0)
    base = root.bend_base(bend)
    assert (base.start, base.end) == (Point(-30, 60), Point(-80, 60))


def test_the_other_hand_keeps_outlines_anticlockwise() -> None:
    mirrored = with_leg().mirrored()
    assert all(panel.contour.area > 0 for panel in mirrored.root.walk())
    assert mirrored.root.straight_edge("far edge").start == Point(0, 60)


def test_checks_and_body_go_along() -> None:
    start, line = Spot("root", Point(10, 5), "left hole"), Line(Point(0, 0), Point(100, 0))
    check = Dimension(start=start, end=Straight("root", line, "left edge"), critical=True)
    between = Dimension(start=start, end=Spot("root", Point(20, 5), "right hole"))
    body = Body(centre=Point(7, 0), plate_diameter=20, diameter=30, clearance=1)
    part = replace(with_leg(), dimensions=(check, between), body=body, wall="base")
    other = part.mirrored()
    assert other.dimensions[0].start == Spot("root", Point(-10, 5), "right hole")
    assert other.dimensions[0].end.line == Line(Point(-100, 0), Point(0, 0))
    assert other.dimensions[1].end.words == "left hole"
    assert other.body.centre == Point(-7, 0)
    assert other.wall == "base"


def test_holes_swap_their_names() -> None:
    hole = Hole(what="left hole", centre=Point(1, 2), diameter=3.0)
    root = rectangle("root", 10.0, 10.0, holes=(hole,))
    (other,) = root.mirrored().holes
    assert (other.what, other.centre) == ("right hole", Point(-1, 2))


def test_an_arc_is_no_straight_edge() -> None:
    half = Contour.polygon([Point(0, 0), Point(10, 0), Point(10, 10)])
    bowed = replace(rectangle("x", 10.0, 10.0), contour=half, edges=(("a", 0),))
    assert bowed.straight_edge("a").length == 10.0
    assert math.isclose(bowed.contour.area, 50.0)
    assert ORIGIN in bowed.contour.corners
