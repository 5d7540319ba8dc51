"""Where a folded bracket meets its wall, and the screens of a load on it."""

import math

import pytest

from laws.example_pieces import shelf
from laws.strategies_bracket import rectangle
from platewright.errors import BuildError, GeometryError
from platewright.geometry.plane import Point
from platewright.geometry.segment import Arc, Line
from platewright.kinds.scribe import Scribe, with_scribed
from platewright.plate.bend import Brake, ScoreFold
from platewright.plate.bracket import Bend, Body, Bracket, Panel
from platewright.plate.stock import MATERIALS, Stock
from platewright.shop.strength import section, weld_group
from platewright.shop.wall import load_arm, strength_of, wall_lines, wall_rectangles

T, R = 6.0, 9.0
RIGHT = math.pi / 2
INCH = 25.4
FOLD = ScoreFold(groove=2.4, ligament=1.2)
WAY = Brake(radius=R, k=0.44)


def _panel(name: str, width: float, depth: float, edges: tuple[str, str, str, str]) -> Panel:
    corners = [Point(0, 0), Point(width, 0), Point(width, depth), Point(0, depth)]
    ends = corners[1:] + corners[:1]
    lines = [Line(a, b) for a, b in zip(corners, ends, strict=True)]
    return Panel.of_edges(name, list(zip(edges, lines, strict=True)))


def _gusset(name: str, side: str, direction, angle: float = math.pi / 2) -> Bend:
    panel = _panel(name, 80, 50, ("base", "one end", "far edge", "other end"))
    return Bend(edge=side, panel=panel, angle=angle, direction=direction, way=WAY)


def _bracket(*bends: Bend, wall: str | None = "wall edge") -> Bracket:
    plate = _panel("plate", 120, 80, ("wall edge", "right side", "front", "left side"))
    root = Panel(name="plate", contour=plate.contour, edges=plate.edges, bends=bends)
    return Bracket(stock=Stock(T, MATERIALS["A36"]), root=root, wall=wall)


def test_a_flat_plate_meets_the_wall_in_one_line() -> None:
    (line,) = wall_lines(_bracket())
    assert line.length == pytest.approx(120)
    assert (line.start.y, line.end.y) == pytest.approx((-T / 2, -T / 2))


def test_a_scribed_edge_meets_the_wall_as_far_as_the_edge_ran() -> None:
    readings = ((10.0, 0.0), (40.0, 1.0), (80.0, -1.0), (110.0, 0.0))
    scribe = Scribe(edge="wall edge", zero_at="left side", readings=readings)
    (line,) = wall_lines(with_scribed(_bracket(), (scribe,)))
    assert line.length == pytest.approx(120)


@pytest.mark.parametrize(("direction", "sign"), [("down", -1), ("up", 1)])
def test_gussets_stand_on_the_wall_on_the_side_they_fold_to(direction, sign: int) -> None:
    bracket = _bracket(_gusset("a", "right side", direction), _gusset("b", "left side", direction))
    root, *gussets = wall_lines(bracket)
    assert root.length == pytest.approx(120)
    assert len(gussets) == 2
    inside = 0 if direction == "up" else -T
    for line in gussets:
        near, far = sorted((line.start.y, line.end.y), key=abs)
        assert near == pytest.approx(inside + sign * R)
        assert far == pytest.approx(inside + sign * (R + 50))
        assert line.start.x == pytest.approx(line.end.x)


def test_gussets_stand_one_bend_outside_the_plate() -> None:
    lines = wall_lines(
        _bracket(_gusset("a", "right side", "down"), _gusset("b", "left side", "down"))
    )
    assert sorted(line.start.x for line in lines[1:]) == pytest.approx(
        [-R - T / 2, 120 + R + T / 2]
    )


def test_a_front_flange_does_not_touch_the_wall() -> None:
    panel = _panel("lip", 120, 30, ("base", "right", "far", "left"))
    lip = Bend(edge="front", panel=panel, angle=math.pi / 2, direction="down", way=WAY)
    assert len(wall_lines(_bracket(lip))) == 1


def test_a_round_front_is_no_wall_line() -> None:
    edges = [
        ("wall edge", Line(Point(0, 0), Point(120, 0))),
        ("front", Arc(Point(120, 0), Point(0, 0), math.pi)),
    ]
    bracket = Bracket(
        stock=Stock(T, MATERIALS["A36"]), root=Panel.of_edges("plate", edges), wall="wall edge"
    )
    assert len(wall_lines(bracket)) == 1


def test_gussets_stiffen_the_section() -> None:
    flat = section(wall_rectangles(wall_lines(_bracket()), T))
    lines = wall_lines(_bracket(_gusset("a", "right side", "down")))
    stiff = section(wall_rectangles(lines, T))
    assert flat.inertia == pytest.approx(120 * T**3 / 12)
    assert stiff.area == pytest.approx((120 + 50) * T)
    assert stiff.bottom == pytest.approx(-T - R - 50)
    assert stiff.inertia > 20 * flat.inertia


def test_a_leaning_gusset_reaches_less_far() -> None:
    upright = weld_group(wall_lines(_bracket(_gusset("a", "right side", "down"))))
    leaning = weld_group(wall_lines(_bracket(_gusset("a", "right side", "down", math.radians(60)))))
    assert leaning.length == pytest.approx(upright.length)
    assert leaning.bottom > upright.bottom


def test_a_bracket_without_a_wall() -> None:
    with pytest.raises(GeometryError, match="no wall edge"):
        wall_lines(_bracket(wall=None))


# --- strength ---------------------------------------------------------------------------------


def test_a_plain_plate_bends_by_its_own_thickness() -> None:
    """Rectangle b t² / 6 (any strength text): 100 x 5 at 60 mm under 100 N."""
    strength = strength_of(shelf(wall="base"), 100.0, arm=60.0)
    stress = 100 * 60 / (100 * 25 / 6)
    assert dict(strength.plate.stresses)["bending, top"] == pytest.approx(stress)
    assert strength.weld_words.startswith("two fillets")
    # two lines of 100, 5 apart: line modulus b d (Shigley Table 9-2)
    assert strength.group.modulus == pytest.approx(100 * 5.0)
    # AISC 360-16 Table J2.4, in mm and in inches
    assert strength.leg == pytest.approx(3.0)
    assert strength_of(shelf(wall="base"), 100.0, unit="in").leg == pytest.approx(INCH / 8)


def test_gussets_at_the_wall_carry_far_more() -> None:
    side = {"start": 0.0, "end": 80.0}
    legs = [
        Bend(edge=edge, panel=rectangle(edge, 80.0, 60.0), angle=RIGHT, direction="down",
             way=FOLD, **side)
        for edge in ("left end", "right end")
    ]  # fmt: skip
    alone, gusseted = (
        strength_of(shelf(wall="base"), 100.0),
        strength_of(shelf(*legs, wall="base"), 100.0),
    )
    assert gusseted.plate.greatest_mpa < alone.plate.greatest_mpa / 10
    assert gusseted.weld.greatest_mpa < alone.weld.greatest_mpa / 4
    assert gusseted.weld_words.startswith("one fillet")


def test_the_load_acts_at_the_bodys_centre_or_the_far_end() -> None:
    body = Body(centre=Point(50, 45), plate_diameter=40, diameter=50, clearance=0)
    assert load_arm(shelf(wall="base", body=body)) == pytest.approx(45.0)
    assert load_arm(shelf(wall="base")) == pytest.approx(80.0)


def test_a_load_needs_a_wall_and_a_metal() -> None:
    with pytest.raises(BuildError, match="wall edge"):
        strength_of(shelf(), 100.0)
    with pytest.raises(BuildError, match="wall edge"):
        load_arm(shelf())
    with pytest.raises(BuildError, match="carries no load"):
        strength_of(shelf(wall="base", material="card"), 100.0)


def gusset(edge: str, direction: str) -> Bend:
    panel = rectangle(edge, 80.0, 60.0)
    return Bend(edge=edge, panel=panel, angle=RIGHT, direction=direction, way=FOLD)


def test_unlike_gussets_are_said_to_twist() -> None:
    unlike = shelf(gusset("left end", "up"), gusset("right end", "down"), wall="base")
    alike = shelf(gusset("left end", "up"), gusset("right end", "up"), wall="base")
    assert strength_of(unlike, 100.0).twists
    assert not strength_of(alike, 100.0).twists
    assert strength_of(shelf(gusset("left end", "up"), wall="base"), 100.0).twists
