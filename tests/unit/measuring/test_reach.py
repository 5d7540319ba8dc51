import math

import pytest

from laws.strategies_bracket import rectangle
from platewright.geometry.space import Point3
from platewright.measuring.reach import sharp_corner
from platewright.plate.bend import BendWay, Brake, Crease, Direction, ScoreFold
from platewright.plate.bracket import Bend, Bracket
from platewright.plate.folded import Folded, folded
from platewright.plate.stock import MATERIALS, Stock

T, R = 4.0, 10.0
BRAKE = Brake(radius=R, k=0.4)


def angle(direction: Direction = "up", way: BendWay = BRAKE, turn: float = math.pi / 2) -> Folded:
    """A shelf 100 by 50 with a leg bent at its right end, x = 100."""
    leg = rectangle("leg", 50.0, 40.0)
    bend = Bend(edge="right end", panel=leg, way=way, angle=turn, direction=direction)
    root = rectangle("shelf", 100.0, 50.0, bends=(bend,))
    return folded(Bracket(stock=Stock(T, MATERIALS["A36"]), root=root))


def test_the_outside_corner_of_a_right_angle_has_its_faces_end_where_they_bend() -> None:
    """Up: the underside is outside, radius 14; the corner is 14 beyond the tangent line."""
    on_shelf, on_leg = sharp_corner(angle(), Point3(114.0, 20.0, -4.0))
    assert on_shelf.distance(Point3(100.0, 20.0, -4.0)) < 1e-9
    assert on_leg.distance(Point3(114.0, 20.0, 10.0)) < 1e-9


def test_the_inside_corner_is_a_place_in_the_air_too() -> None:
    on_shelf, on_leg = sharp_corner(angle(), Point3(110.0, 20.0, 0.0))
    assert on_shelf.distance(Point3(100.0, 20.0, 0.0)) < 1e-9
    assert on_leg.distance(Point3(110.0, 20.0, 10.0)) < 1e-9


def test_down_is_the_mirror_image_of_up() -> None:
    """About the middle of the plate, z = -2."""
    ups = sharp_corner(angle(), Point3(114.0, 20.0, -4.0))
    downs = sharp_corner(angle("down"), Point3(114.0, 20.0, 0.0))
    assert ups
    assert downs
    for up, down in zip(ups, downs, strict=True):
        assert down.distance(Point3(up.x, up.y, -4.0 - up.z)) < 1e-9


@pytest.mark.parametrize("turn", [0.4, 1.0, 2.0])
@pytest.mark.parametrize("way", [BRAKE, ScoreFold(groove=3.0, ligament=1.0)])
def test_both_faces_end_as_far_from_the_corner(turn: float, way: BendWay) -> None:
    """By (r + T) tan(angle / 2), FAA-H-8083-31 ch. 4."""
    setback = (way.inside_radius(turn, T) + T) * math.tan(turn / 2)
    corner = Point3(100.0 + setback, 10.0, -4.0)
    ends = sharp_corner(angle(way=way, turn=turn), corner)
    assert ends
    assert [end.distance(corner) for end in ends] == pytest.approx([setback, setback])


@pytest.mark.parametrize(
    "place",
    [Point3(50.0, 20.0, 0.0), Point3(100.0, 20.0, 0.0), Point3(114.0, 60.0, -4.0)],
)
def test_places_on_the_metal_or_beyond_the_bend_are_none(place: Point3) -> None:
    assert sharp_corner(angle(), place) is None


def test_a_sharp_fold_has_its_inside_corner_on_the_metal() -> None:
    assert sharp_corner(angle(way=Crease()), Point3(100.0, 20.0, 0.0)) is None
