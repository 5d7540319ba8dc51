"""Weight of a blank and of the bracket made from it."""

import math

import pytest

from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.plate.bend import BendWay, Brake, ScoreFold
from platewright.plate.blank import Blank, BlankBend
from platewright.plate.bracket import Hole
from platewright.plate.stock import MATERIALS, Stock
from platewright.shop.weight import LB_PER_KG, weight

STOCK = Stock(6.0, MATERIALS["A36"])


def _blank(way: BendWay) -> Blank:
    corners = [Point(0, 0), Point(200, 0), Point(200, 100), Point(0, 100)]
    edges = tuple(Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True))
    line = Line(Point(100, 0), Point(100, 100))
    bend = BlankBend(
        number=1,
        parent="a",
        child="b",
        line=line,
        near=line,
        far=line,
        angle=math.pi / 2,
        direction="down",
        way=way,
        allowance=2.0,
        inside_radius=1.0,
    )
    hole = Hole(what="hole", centre=Point(50, 50), diameter=20)
    pilot = Hole(what="pilot", centre=Point(150, 50), diameter=20, cut=False)
    return Blank(
        outline=Contour(edges),
        holes=(hole, pilot),
        cutouts=(),
        bends=(bend,),
        marks=(),
        panels=(),
    )


def test_brake_bend_weighs_what_was_cut() -> None:
    found = weight(_blank(Brake(radius=9, k=0.4)), STOCK)
    area = 20_000 - Circle(Point(0, 0), 20).area
    assert found.cut_kg == pytest.approx(area * 6 * 7850e-9)
    assert (found.ground_kg, found.weld_kg) == (0, 0)
    assert found.finished_kg == found.cut_kg


def test_score_loses_its_groove_and_gains_its_weld() -> None:
    found = weight(_blank(ScoreFold(groove=2.0, ligament=1.0)), STOCK)
    assert found.ground_kg == pytest.approx(2 * 5 * 100 * 7850e-9)
    assert found.weld_kg == pytest.approx(5 * (2 + math.pi / 2 * 3) * 100 * 7850e-9)
    assert found.finished_kg == pytest.approx(found.cut_kg - found.ground_kg + found.weld_kg)


def test_pounds() -> None:
    assert pytest.approx(2.2046226) == LB_PER_KG
