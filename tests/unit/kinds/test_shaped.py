"""Angles, trays, tabs, clevises and gussets."""

import math

import pytest

from platewright.errors import BuildError
from platewright.geometry.segment import Arc
from platewright.kinds import angle, clevis, gusset, tab, tray
from platewright.kinds.angle import Angle, EndGusset
from platewright.kinds.clevis import Clevis
from platewright.kinds.gusset import Gusset, Return
from platewright.kinds.holes import BoltRow, HoleRow
from platewright.kinds.tab import Foot, Tab
from platewright.kinds.tray import Tray
from platewright.plate.bend import Brake, Crease
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bracket
from platewright.plate.flatten import least_relief
from platewright.plate.folded import folded
from platewright.plate.stock import MATERIALS, Stock
from platewright.shop.hardware import parse_bolt_size
from platewright.shop.wall import wall_lines

PLATE = Stock(3.0, MATERIALS["A36"])
WAY = Brake(radius=4.0, k=0.42)
M8 = parse_bolt_size("M8", "mm")


def refused(module, measured, way=WAY) -> tuple[str, ...]:
    with pytest.raises(BuildError) as caught:
        module.KIND.build(measured, PLATE, way)
    return caught.value.keys


def read(bracket: Bracket, words: str) -> list[float]:
    model = folded(bracket)
    return [model.value(c) for c in bracket.dimensions if words in c.start.words]


def keyed(bracket: Bracket, key: str) -> list[float]:
    model = folded(bracket)
    return [model.value(c) for c in bracket.dimensions if c.key == key]


# --- angle ------------------------------------------------------------------------------------

CLOSED = EndGusset(reach=60.0, height=70.0, nose=10.0)


def ell(**changed) -> Angle:
    measured = {"measured_to": "outside", "shelf": 80.0, "upright": 100.0, "width": 120.0}
    return Angle(**measured | changed)


def test_a_plain_angle_is_one_rectangle():
    blank = blank_of(angle.KIND.build(ell(), PLATE, WAY))
    assert len(blank.outline.segments) == 4
    length = 80 + 100 - 2 * 7 + WAY.allowance(math.pi / 2, 3.0)
    assert (blank.bounds.width, blank.bounds.height) == pytest.approx((120, length))


def test_angle_holes_stand_at_their_gauge():
    row = HoleRow(count=2, spacing=60.0, gauge=30.0, size=M8)
    bracket = angle.KIND.build(ell(shelf_holes=row, upright_holes=row), PLATE, WAY)
    assert keyed(bracket, "shelf_holes.gauge") == pytest.approx([30, 30])
    assert keyed(bracket, "upright_holes.gauge") == pytest.approx([30, 30])


def feeler(model, one: tuple[str, str], other: tuple[str, str], face: str) -> list[float]:
    """From both ends of one panel's edge to the line of another's, on one face, mm."""
    lines = []
    for panel, edge in (one, other):
        line = model.panel(panel).panel.straight_edge(edge)
        lines.append([model.place_of(panel, p, face) for p in (line.start, line.end)])
    (first, last), along = lines[1], (lines[1][1] - lines[1][0]).unit()
    assert first.distance(last) > 1
    return [(p - first).cross(along).length for p in lines[0]]


@pytest.mark.parametrize("fold_deg", [70, 90, 105])
@pytest.mark.parametrize("direction", ["up", "down"])
def test_a_gusset_stands_a_gap_from_the_uprights_inside(fold_deg, direction):
    measured = ell(angle=math.radians(fold_deg), direction=direction, left=CLOSED, right=CLOSED)
    bracket = angle.KIND.build(measured, PLATE, WAY)
    model = folded(bracket)
    inside = "top" if direction == "up" else "underside"
    for hand in ("left", "right"):
        ends = ("upright", f"{hand} side"), (f"{hand} gusset", "upright end")
        gaps = feeler(model, *ends, inside)
        assert gaps == pytest.approx([measured.gap] * 2, abs=1e-9)


def test_the_upright_reaches_between_the_gussets_insides():
    bracket = angle.KIND.build(ell(left=CLOSED, right=CLOSED), PLATE, WAY)
    edge = bracket.panel("upright").straight_edge("edge")
    assert edge.length == pytest.approx(120 - 2 * 3 - 2 * ell().gap / math.sqrt(2))


def test_a_gusset_has_its_reach_and_height_over_the_outsides():
    bracket = angle.KIND.build(ell(right=CLOSED), PLATE, WAY)
    model = folded(bracket)
    placed = model.panel("right gusset")
    corners = [c.underside for c in model.corners("right gusset")]
    assert max(c.z for c in corners) == pytest.approx(70 - 3)
    upright_outside = model.panel("upright").world_from_panel.point(
        bracket.panel("upright").contour.corners[0], -3.0
    )
    front = placed.world_from_panel.point(placed.panel.straight_edge("nose").start)
    assert front.y - upright_outside.y == pytest.approx(60)


@pytest.mark.parametrize(
    ("changed", "keys"),
    [
        ({"right": EndGusset(reach=95.0, height=50.0)}, ("right.reach", "shelf")),
        ({"left": EndGusset(reach=11.0, height=50.0)}, ("left.reach",)),
        ({"left": EndGusset(reach=50.0, height=120.0)}, ("left.height", "upright")),
        ({"shelf": 7.0}, ("shelf",)),
        ({"upright": 6.0}, ("upright",)),
        ({"left": CLOSED, "right": CLOSED, "width": 20.0}, ("width",)),
        ({"shelf_holes": HoleRow(count=1, gauge=79.0, size=M8)}, ("shelf_holes",)),
        ({"upright_holes": HoleRow(count=1, gauge=5.0, size=M8)}, ("upright_holes",)),
    ],
)
def test_angles_that_cannot_be(changed, keys):
    assert refused(angle, ell(**changed)) == keys


# --- tray -------------------------------------------------------------------------------------


def box(**changed) -> Tray:
    measured = {"measured_to": "outside", "length": 200.0, "width": 120.0, "depth": 40.0}
    return Tray(**measured | changed)


def test_open_flanges_end_with_their_bends():
    bracket = tray.KIND.build(box(corners="open"), PLATE, WAY)
    for bend in bracket.root.bends:
        assert len(bend.panel.contour.segments) == 4


def test_closed_flanges_meet_with_a_gap():
    bracket = tray.KIND.build(box(gap=1.0), PLATE, WAY)
    model = folded(bracket)
    ends = ("front flange", "right end"), ("right flange", "front end")
    assert feeler(model, *ends, "top") == pytest.approx([1.0] * 2, abs=1e-9)


@pytest.mark.parametrize("fold_deg", [45, 75, 110])
def test_leaning_flanges_meet_all_the_way_up(fold_deg):
    bracket = tray.KIND.build(box(angle=math.radians(fold_deg), gap=0.5), PLATE, WAY)
    model = folded(bracket)
    ends = ("front flange", "right end"), ("right flange", "front end")
    assert feeler(model, *ends, "top") == pytest.approx([0.5] * 2, abs=1e-9)


def test_each_flange_may_have_a_depth_of_its_own():
    bracket = tray.KIND.build(box(left_depth=60.0, front_depth=30.0), PLATE, WAY)
    depths = [round(v) for v in read(bracket, "edge of the")]
    assert depths == [30, 40, 40, 60]
    assert box(left_depth=60.0).depth_key("left") == "left_depth"
    assert box().depth_key("left") == "depth"


@pytest.mark.parametrize(
    ("changed", "keys"),
    [
        ({"length": 14.0}, ("length",)),
        ({"width": 18.0}, ("width",)),
        ({"back_depth": 5.0}, ("back_depth",)),
        ({"angle": math.radians(150), "depth": 90.0}, ("angle",)),
    ],
)
def test_trays_that_cannot_be(changed, keys):
    assert refused(tray, box(**changed)) == keys


def test_thick_plate_is_relieved_by_more_than_its_thickness():
    for radius, across in ((1.0, 9.0), (8.0, 16.0)):
        bottom = tray.KIND.build(box(), Stock(6.0, PLATE.material), Brake(radius, 0.42)).root
        assert least_relief(bottom, 6.0) == pytest.approx(across)


def test_a_stated_relief_is_used():
    bracket = tray.KIND.build(box(relief=12.0), PLATE, WAY)
    bites = [s for s in bracket.root.contour.segments if isinstance(s, Arc)]
    assert [bite.radius for bite in bites] == pytest.approx([6.0] * 4)


# --- tab and clevis ---------------------------------------------------------------------------


def ear(**changed) -> Tab:
    measured = {"pin_height": 60.0, "pin": 16.0, "end_radius": 20.0, "width": 60.0}
    return Tab(**measured | changed)


def test_a_welded_tab_stands_on_its_wall_edge():
    bracket = tab.KIND.build(ear(), PLATE, Crease())
    assert bracket.wall == "wall edge"
    (line,) = wall_lines(bracket)
    assert line.length == pytest.approx(60)
    assert read(bracket, "pin hole")[0] == pytest.approx(60)
    assert bracket.root.holes[0].role == "pin"


@pytest.mark.parametrize("width", [30.0, 40.0, 60.0, 90.0])
def test_the_sides_run_tangent_into_the_round_end(width):
    root = tab.KIND.build(ear(width=width), PLATE, Crease()).root
    end = root.edge("end")
    assert end.radius == pytest.approx(20)
    assert root.straight_edge("right side").direction.cross(end.start_direction) == pytest.approx(
        0, abs=1e-9
    )
    assert root.contour.bounds.ymax == pytest.approx(80)


def test_a_footed_tab_has_its_pin_over_the_foots_outside():
    foot = Foot(length=50.0, holes=HoleRow(count=2, spacing=30.0, gauge=30.0, size=M8))
    bracket = tab.KIND.build(ear(foot=foot), PLATE, WAY)
    assert bracket.wall is None
    assert read(bracket, "pin hole")[0] == pytest.approx(60)
    assert read(bracket, "foot's end")[0] == pytest.approx(50)
    assert read(bracket, "foot hole 1")[0] == pytest.approx(30)


@pytest.mark.parametrize(
    ("changed", "keys"),
    [
        ({"pin": 45.0}, ("pin",)),
        ({"pin_height": 7.0}, ("pin_height",)),
        ({"pin_height": 18.0, "end_radius": 40.0, "width": 20.0}, ("pin_height", "end_radius")),
        ({"foot": Foot(length=6.0)}, ("foot.length",)),
        ({"foot": Foot(length=50.0), "pin_height": 6.5}, ("pin_height",)),
        (
            {"foot": Foot(length=50.0, holes=HoleRow(count=1, gauge=8.0, size=M8))},
            ("foot.holes",),
        ),
    ],
)
def test_tabs_that_cannot_be(changed, keys):
    assert refused(tab, ear(**changed)) == keys


def jaw(**changed) -> Clevis:
    measured = {
        "jaw": 40.0, "pin_height": 60.0, "pin": 12.0, "end_radius": 20.0, "width": 50.0,
    }  # fmt: skip
    return Clevis(**measured | changed)


def test_a_clevis_is_checked_at_its_pins():
    bracket = clevis.KIND.build(jaw(base_holes=BoltRow(count=2, spacing=30.0, size=M8)), PLATE, WAY)
    assert keyed(bracket, "pin_height") == pytest.approx([60, 60])
    assert keyed(bracket, "jaw") == pytest.approx([40, 40])
    assert len(bracket.root.holes) == 2


@pytest.mark.parametrize(
    ("changed", "keys"),
    [
        ({"jaw": 8.0}, ("jaw",)),
        ({"pin_height": 7.0}, ("pin_height",)),
        ({"base_holes": BoltRow(count=2, spacing=60.0, size=M8)}, ("base_holes",)),
    ],
)
def test_clevises_that_cannot_be(changed, keys):
    assert refused(clevis, jaw(**changed)) == keys


# --- gusset -----------------------------------------------------------------------------------


def corner(**changed) -> Gusset:
    measured = {"base": 150.0, "upright": 120.0, "clip": 25.0, "nose": 15.0}
    return Gusset(**measured | changed)


def test_a_plain_gusset_is_welded_on_its_base():
    bracket = gusset.KIND.build(corner(), PLATE, WAY)
    assert bracket.wall == "base edge"
    assert bracket.root.straight_edge("base edge").length == pytest.approx(125)


def test_a_flanged_gusset_lies_on_both_members():
    returned = Return(width=40.0, holes=HoleRow(count=2, spacing=60.0, gauge=22.0, size=M8))
    bracket = gusset.KIND.build(corner(base_flange=returned, upright_flange=returned), PLATE, WAY)
    assert bracket.wall is None
    model = folded(bracket)
    for name, axis in (("base flange", "y"), ("upright flange", "x")):
        corners = [c.underside for c in model.corners(name)]
        assert [getattr(c, axis) for c in corners] == pytest.approx([0] * 4, abs=1e-9)
    assert keyed(bracket, "base") + keyed(bracket, "upright") == pytest.approx([150, 120])
    assert read(bracket, "flange's edge") == pytest.approx([40, 40])
    assert keyed(bracket, "base_flange.holes.gauge") == pytest.approx([22, 22])


def test_a_gusset_without_clip_comes_to_the_corner():
    root = gusset.KIND.build(corner(clip=0.0), PLATE, WAY).root
    assert "corner" not in dict(root.edges)


@pytest.mark.parametrize(
    ("changed", "keys"),
    [
        ({"clip": 130.0}, ("upright", "clip")),
        ({"nose": 140.0}, ("nose",)),
        ({"clip": 2.0, "base_flange": Return(width=40.0),
          "upright_flange": Return(width=40.0)}, ("clip",)),
        ({"base_flange": Return(width=6.0)}, ("base_flange.width",)),
        ({"lip": 25.0, "base_flange": Return(width=40.0), "nose": 2.0}, ("nose", "lip")),
        ({"lip": 6.0}, ("lip",)),
        ({"base_flange": Return(width=40.0, holes=HoleRow(count=1, gauge=39.0, size=M8))},
         ("base_flange.holes",)),
    ],
)  # fmt: skip
def test_gussets_that_cannot_be(changed, keys):
    assert refused(gusset, corner(**changed)) == keys
