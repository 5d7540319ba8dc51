"""The closed skin of a folded bracket."""

import math

import pytest

from laws.strategies_bracket import rectangle
from laws.triangles import volume
from platewright.geometry.plane import Motion, Point
from platewright.plate.bend import Brake, Crease, ScoreFold
from platewright.plate.bracket import Bend, Bracket, Cutout, Hole, Panel
from platewright.plate.folded import folded
from platewright.plate.skin import Solid, skin_of
from platewright.plate.stock import MATERIALS, Stock

T = 5.0
SCORE = ScoreFold(groove=2.0, ligament=1.0)


def bracket(way: object, direction: str = "up", **panel: object) -> Bracket:
    told = {"angle": math.pi / 2, "direction": direction, "way": way}
    leg = Bend(edge="far edge", panel=rectangle("leg", 60.0, 40.0), start=20.0, end=80.0, **told)
    plain = rectangle("root", 100.0, 60.0, bends=(leg,))
    root = Panel(name="root", contour=plain.contour, edges=plain.edges, bends=(leg,), **panel)
    return Bracket(stock=Stock(T, MATERIALS["A36"]), root=root)


def closed(skin: Solid) -> bool:
    edges = [edge for facet in skin.facets for edge in facet.edges]
    return len(edges) == len(set(edges)) and {(b, a) for a, b in edges} == set(edges)


@pytest.mark.parametrize("way", [SCORE, Brake(6.0, 0.4), Brake(0.0, 0.4), Crease()])
@pytest.mark.parametrize("direction", ["up", "down"])
@pytest.mark.parametrize("amount", [0.0, 0.5, 1.0])
def test_every_edge_belongs_to_two_facets(way: object, direction: str, amount: float) -> None:
    assert closed(skin_of(folded(bracket(way, direction), amount)))


def test_a_flat_score_leaves_its_groove_open() -> None:
    skin = skin_of(folded(bracket(SCORE), 0.0))
    assert volume(skin) == pytest.approx(T * (100 * 60 + 60 * 42) - 60 * 2 * 4)


def test_scores_of_unlike_depth_meet_closed() -> None:
    told = {"angle": 1.0, "direction": "up"}
    one = Bend(edge="far edge", panel=rectangle("a", 100.0, 20.0), way=SCORE, **told)
    two = Bend(edge="left end", panel=rectangle("b", 60.0, 20.0), way=ScoreFold(2.0, 1.3), **told)
    root = rectangle("root", 100.0, 60.0, bends=(one, two))
    part = Bracket(stock=Stock(T, MATERIALS["A36"]), root=root)
    assert closed(skin_of(folded(part)))
    assert closed(skin_of(folded(part, 0.0)))


def test_holes_and_cutouts_go_through() -> None:
    hole = Hole(what="hole", centre=Point(20, 20), diameter=10.0)
    pilot = Hole(what="pilot", centre=Point(20, 40), diameter=10.0, cut=False)
    slot = Cutout("slot", rectangle("x", 20.0, 6.0).contour)
    moved = slot.moved(Motion(e=50, f=20))
    skin = skin_of(folded(bracket(SCORE, holes=(hole, pilot), cutouts=(moved,)), 0.0), 0.001)
    lost = (math.pi * 25 + 120) * T
    assert closed(skin)
    assert volume(skin) == pytest.approx(T * (100 * 60 + 60 * 42) - 480 - lost, rel=1e-5)


def test_normals_point_out_of_the_metal() -> None:
    skin = skin_of(folded(bracket(SCORE), 0.0))
    faces = {facet.skin: skin.normal(facet).z for facet in skin.facets if facet.panel == "root"}
    assert faces["top"] == pytest.approx(1.0)
    assert faces["underside"] == pytest.approx(-1.0)


def test_curves_are_cut_finer_for_a_finer_sagitta() -> None:
    coarse, fine = (skin_of(folded(bracket(Brake(30.0, 0.4))), s) for s in (0.5, 0.005))
    assert len(fine.facets) > len(coarse.facets)
