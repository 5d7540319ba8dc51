"""What is measured on the folded bracket."""

import math

import pytest

from laws.strategies_bracket import rectangle
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.plate.bend import Brake
from platewright.plate.bracket import Bend, Bracket, Hole, Panel
from platewright.plate.dimension import Dimension, Spot, Straight
from platewright.plate.folded import folded
from platewright.plate.folded_checks import FoldedCheck, folded_checks
from platewright.plate.prism import parts_of
from platewright.plate.stock import MATERIALS, Stock
from platewright.plate.tape import length_inside

T, R = 4.0, 6.0
WAY = Brake(radius=R, k=0.4)


def leg(edge: str, name: str, direction: str = "up", angle: float = math.pi / 2) -> Bend:
    panel = rectangle(name, 100.0, 40.0)
    return Bend(edge=edge, panel=panel, angle=angle, direction=direction, way=WAY)


def channel(*legs: Bend, dimensions: tuple[Dimension, ...] = ()) -> Bracket:
    hole = Hole(what="bolt hole", centre=Point(50, 20), diameter=10.0, role="bolt")
    root = rectangle("web", 100.0, 60.0, bends=legs, holes=(hole,))
    return Bracket(stock=Stock(T, MATERIALS["A36"]), root=root, dimensions=dimensions)


def named(part: Bracket, what: str) -> list[FoldedCheck]:
    return [check for check in folded_checks(part) if check.what == what]


UP = channel(leg("far edge", "back"), leg("base", "front"))


def test_tips_of_a_channel_stand_the_web_and_both_radii_apart() -> None:
    (inside,), (outside,) = named(UP, "tip to tip, inside"), named(UP, "tip to tip, outside")
    assert inside.value == pytest.approx(60 + 2 * R)
    assert outside.value == pytest.approx(60 + 2 * R + 2 * T)
    assert inside.faces == "inside face to inside face"


def test_heights_count_from_the_inside_face_and_over_all() -> None:
    assert [check.value for check in named(UP, "height of the tip")] == pytest.approx([46, 46])
    over_all = named(UP, "height of the tip over all")
    assert [check.value for check in over_all] == pytest.approx([50, 50])
    assert "underside" in over_all[0].faces
    assert "top face" in named(UP, "height of the tip")[0].faces


def test_a_leg_down_is_measured_from_the_underside() -> None:
    (check,) = named(channel(leg("far edge", "back", "down")), "height of the tip")
    assert check.value == pytest.approx(46)
    assert "underside" in check.faces


def test_a_hole_is_square_to_a_square_leg() -> None:
    back, front = named(UP, "hole to inside face")
    assert (back.value, front.value) == pytest.approx((40 + R, 20 + R))
    assert back.critical
    assert (back.start, back.end) == ("bolt hole (middle)", "back")


def test_a_hole_is_measured_to_the_tip_of_a_leaning_leg() -> None:
    (check,) = named(channel(leg("far edge", "back", angle=1.0)), "hole to tip")
    assert check.value == pytest.approx(check.places[0].distance(check.places[1]))


def test_bevels_are_what_is_left_of_a_straight() -> None:
    (check,) = named(channel(leg("far edge", "back", angle=math.radians(50))), "bevel in bend 1")
    assert check.quantity == "angle"
    assert math.degrees(check.value) == pytest.approx(130)
    assert check.places == ()


def test_tips_are_named_by_the_edges_that_meet_there() -> None:
    (check,) = named(channel(leg("far edge", "back")), "height of the tip")
    assert check.start in ("back tip (far edge and right end)", "back tip (far edge and left end)")


def test_the_tip_is_the_far_corner_nearest_to_the_wall() -> None:
    part = channel(leg("right end", "side"))
    side = rectangle("side", 60.0, 40.0)
    bend = Bend(edge="right end", panel=side, angle=1.5, direction="up", way=WAY)
    root = Panel(name="web", contour=part.root.contour, edges=part.root.edges, bends=(bend,))
    walled = Bracket(stock=part.stock, root=root, wall="base")
    (check,) = named(walled, "height of the tip")
    # the right end runs away from the wall, so the leg's right end is the one at the wall
    assert check.start == "side tip (far edge and right end)"
    assert check.places[0].y == pytest.approx(0.0, abs=1e-9)


def test_four_legs_are_measured_across_not_round_the_corner() -> None:
    root = rectangle("floor", 100.0, 100.0, bends=tuple(
        leg(edge, edge) for edge in ("base", "right end", "far edge", "left end")
    ))  # fmt: skip
    tray = Bracket(stock=Stock(T, MATERIALS["A36"]), root=root)
    pairs = {(c.start.split(" tip")[0], c.end.split(" tip")[0]) for c in
             named(tray, "tip to tip, inside")}  # fmt: skip
    assert pairs == {("base", "far edge"), ("right end", "left end")}
    across = [c.value for c in named(tray, "tip to tip, inside")]
    assert across == pytest.approx([112.0, 112.0])


def test_checks_across_bends_are_taken_over_with_their_faces() -> None:
    tip = Spot("back", Point(0, 40), "tip of the back", "underside")
    base = Straight("web", Line(Point(0, 0), Point(100, 0)), "front edge")
    corner = Spot("web", Point(0, 0), "corner")
    flat = Dimension(start=corner, end=Spot("web", Point(100, 0), "other corner"))
    asked = (
        Dimension(start=tip, end=base, critical=True),
        Dimension(start=tip, end=corner),
        flat,
        Dimension(start=corner, end=base, when="folded"),
        Dimension(start=tip, end=corner, when="flat"),
    )
    found = named(channel(leg("far edge", "back"), dimensions=asked), "as asked")
    assert [check.start for check in found] == ["tip of the back", "tip of the back", "corner"]
    assert found[0].end == "square to the front edge"
    assert found[0].faces == "outside face to top face"
    assert found[0].value == pytest.approx(math.hypot(60 + R + T, 40 + R))
    assert found[0].critical


def test_a_diagonal_keeps_clear_of_metal() -> None:
    for check in named(UP, "diagonal"):
        metal = [prism for part in parts_of(folded(UP)) for prism in part.prisms]
        assert max(length_inside(prism, *check.places) for prism in metal) <= 0.5


def test_length_inside_counts_what_passes_through() -> None:
    (plate,) = [part.prisms[0] for part in parts_of(folded(UP)) if part.panel == "web"][:1]
    a, b = folded(UP).place_of("web", Point(50, 30)), folded(UP).place_of("web", Point(90, 30))
    up = folded(UP).panel("web").world_from_panel.z_axis
    assert length_inside(plate, a + up * 5, a + up * -5) == pytest.approx(T)
    assert length_inside(plate, a, b) == 0.0
    assert length_inside(plate, a + up * -1, b + up * -1) == pytest.approx(40.0)
    assert length_inside(plate, a, a) == 0.0


def test_a_panel_between_two_bends_has_no_tip_of_its_own() -> None:
    lip = Bend(
        edge="far edge", panel=rectangle("lip", 100.0, 15.0), angle=1.0, direction="up", way=WAY
    )
    wall = rectangle("wall", 100.0, 40.0, bends=(lip,))
    up = Bend(edge="far edge", panel=wall, angle=math.pi / 2, direction="up", way=WAY)
    told = [check for check in folded_checks(channel(up)) if check.what != "bevel in bend 1"]
    assert not any(check.start.startswith("wall tip") for check in told)
    assert any(check.start.startswith("lip tip") for check in told)


def test_level_feet_are_measured_from_tip_to_tip() -> None:
    def leg_and_foot(edge: str, side: str) -> Bend:
        foot = rectangle(f"{side} foot", 100.0, 25.0)
        out = Bend(edge="far edge", panel=foot, angle=math.pi / 2, direction="down", way=WAY)
        wall = rectangle(f"{side} leg", 100.0, 40.0, bends=(out,))
        return Bend(edge=edge, panel=wall, angle=math.pi / 2, direction="up", way=WAY)

    hat = channel(leg_and_foot("base", "front"), leg_and_foot("far edge", "back"))
    (row,) = [check for check in folded_checks(hat) if check.what.startswith("tip to tip")]
    assert row.value == pytest.approx(60 + 2 * R + 2 * (T + R + 25))
    assert {row.start.split(" tip")[0], row.end.split(" tip")[0]} == {"front foot", "back foot"}


def test_what_is_square_has_one_end_of_its_own() -> None:
    rows = folded_checks(channel(leg("base", "front leg"), leg("far edge", "back leg")))
    square = {check.what for check in rows if check.square}
    assert square == {"height of the tip", "height of the tip over all", "hole to inside face"}
    assert {check.panel for check in rows} == {"front leg", "back leg"}
