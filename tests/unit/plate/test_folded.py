"""Where things stand when folded."""

import math

import pytest

from laws.strategies_bracket import rectangle
from platewright.errors import GeometryError
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.geometry.space import Point3
from platewright.plate.bend import Brake, Crease, ScoreFold
from platewright.plate.bracket import Bend, Bracket, Hole
from platewright.plate.dimension import Dimension, Spot, Straight
from platewright.plate.folded import folded
from platewright.plate.stock import MATERIALS, Stock

T = 4.0


def leg(way: object, direction: str = "up", angle: float = math.pi / 2) -> Bracket:
    hole = Hole(what="hole", centre=Point(50, 20), diameter=10.0)
    panel = rectangle("leg", 100.0, 40.0, holes=(hole,))
    bend = Bend(edge="far edge", panel=panel, angle=angle, direction=direction, way=way)
    root = rectangle("root", 100.0, 60.0, bends=(bend,))
    return Bracket(stock=Stock(T, MATERIALS["A36"]), root=root)


BRAKE = Brake(radius=6.0, k=0.4)
SCORE = ScoreFold(groove=2.0, ligament=1.0)


def test_a_spot_is_on_the_face_where_it_is_measured() -> None:
    part = leg(BRAKE)
    top = folded(part).spot(Spot("leg", Point(0, 40), "tip"))
    under = folded(part).spot(Spot("leg", Point(0, 40), "tip", "underside"))
    assert top.distance(Point3(0, 66, 46)) < 1e-9
    assert under.distance(Point3(0, 70, 46)) < 1e-9


def test_distances_run_across_a_bend() -> None:
    part = leg(BRAKE)
    tip, corner = Spot("leg", Point(0, 40), "tip"), Spot("root", Point(0, 0), "corner")
    assert folded(part).value(Dimension(start=corner, end=tip)) == pytest.approx(math.hypot(66, 46))
    line = Straight("root", Line(Point(0, 0), Point(100, 0)), "base")
    assert folded(part).value(Dimension(start=tip, end=line)) == pytest.approx(math.hypot(66, 46))
    start, end = folded(part, 0.5).straight(line)
    assert start.distance(end) == pytest.approx(100.0)


def test_holes_keep_their_axis_square_to_the_plate() -> None:
    model = folded(leg(BRAKE))
    (hole,) = model.panel("leg").panel.holes
    assert model.place_of("leg", hole.centre, "top").distance(Point3(50, 66, 26)) < 1e-9
    assert model.place_of("leg", hole.centre, "underside").distance(Point3(50, 70, 26)) < 1e-9


def test_faces_are_told_from_the_panels_own_fold() -> None:
    up, down = folded(leg(BRAKE)), folded(leg(BRAKE, "down"))
    assert up.face_words("leg", "top") == "inside face"
    assert down.face_words("leg", "top") == "outside face"
    assert up.face_words("root", "top") == "top face"
    assert up.face_words("root", "underside") == "underside"


def test_an_unknown_panel_is_told() -> None:
    with pytest.raises(GeometryError, match="no panel 'lid'"):
        folded(leg(BRAKE)).panel("lid")


def test_the_root_hangs_on_no_bend() -> None:
    model = folded(leg(BRAKE))
    assert model.bend_of("root") is None
    assert model.bend_of("leg") is model.bends[0]


def test_a_brake_bend_is_a_sector_of_the_whole_plate() -> None:
    (bend,) = folded(leg(BRAKE)).bends
    assert bend.bent_thickness == T
    first, last = bend.axis
    assert first.distance(last) == pytest.approx(100.0)
    for share in (0.0, 0.3, 1.0):
        assert bend.point(0.0, share, 0.0).distance(first) == pytest.approx(6.0)
        assert bend.point(0.0, share, T).distance(first) == pytest.approx(10.0)


def test_a_score_bends_the_ligament_alone() -> None:
    (bend,) = folded(leg(SCORE)).bends
    radius = 2.0 / (math.pi / 2) - 0.5
    assert bend.bent_thickness == 1.0
    assert bend.inside_radius == pytest.approx(radius)
    assert bend.point(0, 0.5, 1.0).distance(bend.axis[0]) == pytest.approx(radius + 1.0)


def test_a_groove_opens_by_the_chord_of_its_outer_edges() -> None:
    """Plates end square at the groove: the two outer edges stand 2 (r + T) sin(angle/2) apart."""
    model = folded(leg(SCORE))
    near = model.place_of("root", Point(0, 60), "underside")
    far = model.place_of("leg", Point(0, 0), "underside")
    radius = 2.0 / (math.pi / 2) - 0.5
    assert near.distance(far) == pytest.approx(2 * (radius + T) * math.sin(math.pi / 4))


@pytest.mark.parametrize("way", [BRAKE, SCORE, Crease()])
@pytest.mark.parametrize("direction", ["up", "down"])
@pytest.mark.parametrize("amount", [0.0, 1e-9, 0.4, 1.0])
def test_the_bend_joins_its_two_panels(way: object, direction: str, amount: float) -> None:
    model = folded(leg(way, direction), amount)
    (bend,) = model.bends
    inside = "top" if direction == "up" else "underside"
    near = model.place_of("root", Point(0, 60), inside)
    far = model.place_of("leg", Point(0, 0), inside)
    assert bend.point(0.0, 0.0, 0.0).distance(near) < 1e-6
    assert bend.point(0.0, 1.0, 0.0).distance(far) < 1e-5


def test_sharp_bends_share_their_inside_edge() -> None:
    assert folded(leg(Crease())).bends[0].sharp
    assert folded(leg(Crease()), 0.0).bends[0].sharp
    assert not folded(leg(BRAKE)).bends[0].sharp
    assert not folded(leg(Brake(0.0, 0.4)), 0.0).bends[0].sharp
    assert folded(leg(Brake(0.0, 0.4))).bends[0].sharp
