"""The spliced blank."""

import math

import pytest

from laws.strategies_bracket import rectangle
from platewright.errors import GeometryError
from platewright.geometry.plane import Motion, Point, Vector
from platewright.plate.bend import Brake, Crease, ScoreFold
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bend, Bracket, Hole, Panel
from platewright.plate.stock import MATERIALS, Stock

STOCK = Stock(5.0, MATERIALS["A36"])
SCORE = ScoreFold(groove=2.0, ligament=1.0)


def bent(edge: str, panel: Panel, **other: object) -> Bend:
    told = {"angle": math.pi / 2, "direction": "up", "way": SCORE} | other
    return Bend(edge=edge, panel=panel, **told)


def bracket(*bends: Bend, holes: tuple[Hole, ...] = ()) -> Bracket:
    return Bracket(stock=STOCK, root=rectangle("root", 100.0, 60.0, bends=bends, holes=holes))


def test_a_panel_without_bends_is_its_own_blank() -> None:
    part = bracket()
    assert blank_of(part).outline == part.root.contour


def test_a_leg_of_full_width_continues_the_sides() -> None:
    blank = blank_of(bracket(bent("far edge", rectangle("leg", 100.0, 40.0))))
    assert len(blank.outline.segments) == 4
    assert blank.bounds.height == pytest.approx(102.0)


def test_a_leg_on_part_of_an_edge_leaves_shoulders() -> None:
    blank = blank_of(bracket(bent("far edge", rectangle("leg", 60.0, 40.0), start=20.0, end=80.0)))
    assert len(blank.outline.segments) == 8
    assert blank.area == pytest.approx(100 * 60 + 60 * 42)


def test_bends_tell_their_strip() -> None:
    (bend,) = blank_of(bracket(bent("far edge", rectangle("leg", 100.0, 40.0)))).bends
    assert (bend.number, bend.parent, bend.child) == (1, "root", "leg")
    assert (bend.near.start.y, bend.line.start.y, bend.far.start.y) == pytest.approx((60, 61, 62))
    assert bend.score_face == "underside"
    assert bend.allowance == 2.0


def test_moved_bends_move_whole() -> None:
    blank = blank_of(bracket(bent("far edge", rectangle("leg", 100.0, 40.0))))
    moved = blank.moved(Motion.translation(Vector(5.0, 7.0)))
    assert moved.bends[0].line.start.y == pytest.approx(blank.bends[0].line.start.y + 7.0)
    assert moved.panel_motion("leg").point(Point(0, 0)).x == pytest.approx(5.0)


def test_a_blank_is_not_mirrored() -> None:
    with pytest.raises(GeometryError, match="mirror its bracket"):
        blank_of(bracket()).moved(Motion.mirror_x())


def test_an_unknown_panel_has_no_place() -> None:
    with pytest.raises(GeometryError, match="no panel 'lid'"):
        blank_of(bracket()).panel_motion("lid")


def test_overlapping_bends_on_one_edge_are_refused() -> None:
    one = bent("far edge", rectangle("one", 60.0, 40.0), start=0.0, end=60.0)
    other = bent("far edge", rectangle("other", 60.0, 40.0), start=40.0, end=100.0)
    with pytest.raises(GeometryError, match="lie apart"):
        blank_of(bracket(one, other))


def test_marks_of_holes_are_not_metal_lost() -> None:
    cut = Hole(what="cut", centre=Point(20, 20), diameter=10.0)
    mark = Hole(what="mark", centre=Point(60, 20), diameter=10.0, cut=False)
    blank = blank_of(bracket(holes=(cut, mark)))
    assert blank.cut_holes == (cut,)
    assert blank.pilots == (mark,)
    assert blank.area == pytest.approx(6000 - math.pi * 25)


@pytest.mark.parametrize("angle_deg", [17, 45, 63, 90])
def test_creased_panels_at_odd_angles_close_up(angle_deg: float) -> None:
    """Without a strip between them the corners of two panels differ in their last digits."""
    turn = Motion.rotation(math.radians(angle_deg))
    corners = [turn.point(Point(x, y)) for x, y in ((0, 0), (90.1, 0), (90.1, 33.3), (0, 33.3))]
    root = Panel(
        name="root",
        contour=rectangle("x", 90.1, 33.3).contour.moved(turn),
        edges=(("base", 0), ("right end", 1), ("far edge", 2), ("left end", 3)),
        bends=(bent("far edge", rectangle("leg", corners[2].distance(corners[3]), 7.7),
                    way=Crease()),),
    )  # fmt: skip
    blank = blank_of(Bracket(stock=STOCK, root=root))
    assert len(blank.outline.segments) == 4
    assert blank.outline.area == pytest.approx(90.1 * (33.3 + 7.7))


def test_unlike_ways_each_use_their_length() -> None:
    brake = Brake(radius=6.0, k=0.4)
    part = bracket(
        bent("far edge", rectangle("one", 100.0, 40.0), way=brake),
        bent("base", rectangle("two", 100.0, 40.0), way=Crease()),
    )
    assert blank_of(part).bounds.height == pytest.approx(60 + 40 + 40 + math.pi / 2 * 8)
