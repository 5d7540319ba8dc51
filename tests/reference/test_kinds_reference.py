"""Kinds against figures from outside; the source stands beside each."""

from __future__ import annotations

import math

import numpy as np
import pytest
from manifold3d import Manifold, Mesh, triangulate

from platewright.geometry.segment import Arc
from platewright.kinds import angle, channel, hat, stepped, strap, tray, zee
from platewright.kinds.angle import Angle
from platewright.kinds.channel import Channel
from platewright.kinds.hat import Hat
from platewright.kinds.holes import BoltRow
from platewright.kinds.stepped import Step, Stepped
from platewright.kinds.strap import Strap
from platewright.kinds.tray import Tray
from platewright.kinds.zee import Zee
from platewright.plate.bend import Brake, Crease, setback
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bracket
from platewright.plate.flatten import least_relief
from platewright.plate.folded import folded
from platewright.plate.skin import skin_of
from platewright.plate.stock import MATERIALS, Stock
from platewright.shop.hardware import parse_bolt_size

INCH = 25.4
A36 = MATERIALS["A36"]
#: k of the aviation allowance (0.01743 R + 0.0078 T) N: 0.0078 T N in degrees is k T in radians.
AVIATION_K = 0.0078 * 180 / math.pi


# --- strips with several bends ----------------------------------------------------------------


def aviation_channel() -> Bracket:
    """T .040, R .16, mold lines 1.00 / 2.00 / 1.00 (FAA-H-8083-31 ch. 4)."""
    measured = Channel(
        measured_to="outside",
        web=2.0 * INCH,
        left_flange=1.0 * INCH,
        right_flange=1.0 * INCH,
        width=3 * INCH,
    )
    return channel.KIND.build(measured, Stock(0.040 * INCH, A36), Brake(0.16 * INCH, AVIATION_K))


def test_flats_of_the_aviation_u_channel():
    # FAA-H-8083-31 ch. 4, read: SB .200, flats .8 / 1.6 / .8
    bracket = aviation_channel()
    flats = [
        bracket.panel(name).contour.bounds.width / INCH
        for name in ("left flange", "web", "right flange")
    ]
    assert flats == pytest.approx([0.8, 1.6, 0.8], abs=1e-9)


def test_developed_width_of_the_aviation_u_channel():
    # FAA-H-8083-31 ch. 4: 3.758 by its formula; the book's rounded 3.74 (memory) within .02
    width = blank_of(aviation_channel()).bounds.width / INCH
    allowance = (0.01743 * 0.16 + 0.0078 * 0.040) * 90
    assert width == pytest.approx(3.2 + 2 * allowance, abs=0.001)
    assert width == pytest.approx(3.758, abs=0.001)
    assert width == pytest.approx(3.74, abs=0.02)


def din_shortening(radius: float, thickness: float, opening_deg: float) -> float:
    """v of DIN 6935 (read), for an opening angle from 0 to 165 degrees."""
    ratio = radius / thickness
    k = 0.65 + 0.5 * math.log10(ratio) if ratio <= 5 else 1.0
    turn = math.radians(180 - opening_deg)
    reach = 2 * (radius + thickness)
    arc = turn * (radius + thickness * k / 2)
    return reach - arc if opening_deg <= 90 else reach * math.tan(turn / 2) - arc


def din_way(radius: float, thickness: float) -> Brake:
    """A brake whose neutral line is where DIN 6935 puts it: at k s / 2."""
    ratio = radius / thickness
    k = 0.65 + 0.5 * math.log10(ratio) if ratio <= 5 else 1.0
    return Brake(radius, k / 2)


@pytest.mark.parametrize(
    ("radius", "thickness", "shortening"),
    [(1, 1, 1.919), (2.5, 2, 3.976), (4, 3, 6.038), (6, 5, 9.867), (10, 6, 12.706)],
)
def test_length_of_a_right_angle_by_din_6935(radius, thickness, shortening):
    # DIN 6935: L = a + b - v; v at 90 degrees exact by its formula, agrees with its table to .1
    measured = Angle(measured_to="outside", shelf=80.0, upright=60.0, width=50.0)
    bracket = angle.KIND.build(measured, Stock(thickness, A36), din_way(radius, thickness))
    assert blank_of(bracket).bounds.height == pytest.approx(80 + 60 - shortening, abs=0.001)


@pytest.mark.parametrize("opening", [30, 45, 60, 75, 90, 105, 120, 135, 150, 165])
def test_length_at_any_opening_by_din_6935(opening):
    # DIN 6935 (read): outside legs, beyond a right angle to the farthest place of the bend
    radius, thickness = 4.0, 3.0
    measured = Angle(
        measured_to="outside",
        shelf=80.0,
        upright=60.0,
        width=50.0,
        angle=math.radians(180 - opening),
    )
    bracket = angle.KIND.build(measured, Stock(thickness, A36), din_way(radius, thickness))
    expected = 80 + 60 - din_shortening(radius, thickness, opening)
    assert blank_of(bracket).bounds.height == pytest.approx(expected, abs=1e-9)


def test_length_of_a_strip_with_four_bends_by_din_6935():
    # DIN 6935 (read): L = sum of outside legs - sum of v, bend by bend
    radius, thickness, openings = 4.0, 3.0, (90, 120, 60, 135)
    legs = (50.0, 70.0, 90.0, 60.0, 40.0)
    bends = [*(math.radians(180 - o) for o in openings), None]
    ways = ("up", "down", "down", "up", "up")
    measured = Stepped(
        measured_to="outside",
        width=30.0,
        leg=tuple(
            Step(length=leg, bend=bend, direction=way)
            for leg, bend, way in zip(legs, bends, ways, strict=True)
        ),
    )
    bracket = stepped.KIND.build(measured, Stock(thickness, A36), din_way(radius, thickness))
    shortened = sum(din_shortening(radius, thickness, o) for o in openings)
    assert blank_of(bracket).bounds.width == pytest.approx(sum(legs) - shortened, abs=1e-9)


def test_bend_deduction_of_the_sheet_metal_workbook():
    # Sheet Metal Workbook, 6th ed. 2012 (read): T .050 R .032, 90 deg: BA .085, 2 SB .164, BD .079
    measured = Angle(measured_to="outside", shelf=2 * INCH, upright=2 * INCH, width=2 * INCH)
    way = Brake(0.032 * INCH, AVIATION_K)
    height = (
        blank_of(angle.KIND.build(measured, Stock(0.050 * INCH, A36), way)).bounds.height / INCH
    )
    assert 4 - height == pytest.approx(0.079, abs=0.0006)


# --- the strap against circle geometry --------------------------------------------------------


def tank_strap(middle: str, wrap_deg: float = 180, bends: int = 12) -> Strap:
    return Strap(
        diameter=200.0,
        centre_height=104.0,
        wrap=math.radians(wrap_deg),
        bends=bends,
        middle=middle,
        span=300.0,
        width=40.0,
        bolts=BoltRow(count=1, size=parse_bolt_size("M10", "mm")),
    )


@pytest.mark.parametrize("bends", [1, 4, 12, 40])
def test_a_rolled_strap_has_the_length_of_its_arc(bends: int):
    # exact: half a circle of radius D/2 + k T is pi (D/2 + k T), however many bends make it
    measured, way, thickness = tank_strap("rolled", bends=bends), Brake(4.0, 0.42), 3.0
    bracket = strap.KIND.build(measured, Stock(thickness, A36), way)
    # from ear to ear, less the straight shanks of 104 mm down to the mounting face
    used = setback(way, math.pi / 2, thickness, "outside")
    shanks = sum(bracket.panel(f"{hand} shank").contour.bounds.width for hand in ("left", "right"))
    facets = sum(
        panel.contour.bounds.width for panel in bracket.root.walk() if "facet" in panel.name
    )
    bend = way.allowance(measured.wrap / bends, thickness)
    middle = shanks - 2 * (104 - used) + facets + bends * bend
    assert middle == pytest.approx(math.pi * (100 + 0.42 * thickness), rel=1e-12)


@pytest.mark.parametrize(("bends", "factor"), [(3, 0.57735), (4, 0.41421), (6, 0.26795)])
def test_facets_are_sides_of_the_polygon_round_the_tank(bends: int, factor: float):
    # exact; K chart of FAA-H-8083-31 ch. 4 for bends of 60, 45 and 30 degrees: K = tan(N/2)
    bracket = strap.KIND.build(tank_strap("faceted", bends=bends), Stock(3.0, A36), Crease())
    facet = bracket.panel("facet 1").contour.bounds.width
    assert facet / 200 == pytest.approx(factor, abs=1e-5)


def test_the_strap_of_a_segment_of_a_circle():
    # Machinery's Handbook 31st ed. p. 50: R 12, depth 2: angle 67.13, arc 14.06 (exact 14.0565)
    measured = Strap(
        diameter=24.0 * INCH,
        centre_height=0.0,
        wrap=math.radians(67.1146),
        bends=8,
        span=60 * INCH,
        width=2 * INCH,
        bolts=BoltRow(count=1, size=parse_bolt_size("3/8", "in")),
    )
    bracket = strap.KIND.build(measured, Stock(0.1 * INCH, A36), Crease())
    facet = bracket.panel("facet 1").contour.bounds.width
    assert 8 * facet / INCH == pytest.approx(14.0565, abs=1e-4)


# --- corner relief ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("thickness", "least"), [(0.040, 1 / 8), (0.064, 1 / 8), (0.072, 3 / 16), (0.128, 3 / 16)]
)
def test_the_least_relief(thickness: float, least: float):
    # FAA-H-8083-31 ch. 4 (read): at least 1/8 for T <= .064, 3/16 for .072 to .128
    measured = Tray(measured_to="outside", length=200.0, width=120.0, depth=40.0)
    bottom = tray.KIND.build(measured, Stock(thickness * INCH, A36), Crease()).root
    assert least_relief(bottom, thickness * INCH) / INCH == pytest.approx(least)


def test_the_tray_is_relieved_where_the_inside_tangent_lines_cross():
    # FAA-H-8083-31 ch. 4 (read): hole about 2 R across on the crossing of the inside tangent lines
    radius = 5.0
    measured = Tray(measured_to="outside", length=200.0, width=120.0, depth=40.0)
    bracket = tray.KIND.build(measured, Stock(1.5, A36), Brake(radius, 0.42))
    bottom = bracket.root
    tangent_x = bottom.straight_edge("right").start.x
    tangent_y = bottom.straight_edge("back").start.y
    bites = [s for s in bottom.contour.segments if isinstance(s, Arc)]
    assert len(bites) == 4
    for bite in bites:
        assert bite.radius == pytest.approx(radius)
        assert abs(bite.centre.x) == pytest.approx(tangent_x)
        assert abs(bite.centre.y) == pytest.approx(tangent_y)


def test_the_tray_folds_to_its_outside_sizes():
    # exact: 200 x 120 x 40 over the outside faces
    measured = Tray(measured_to="outside", length=200.0, width=120.0, depth=40.0)
    bracket = tray.KIND.build(measured, Stock(1.5, A36), Brake(5.0, 0.42))
    assert size_of(bracket) == pytest.approx((200, 120, 40), abs=0.02)


# --- folded sizes by a solid-geometry library -------------------------------------------------


def size_of(bracket: Bracket) -> tuple[float, float, float]:
    """Overall size of the folded bracket by manifold3d, from its skin."""
    skin = skin_of(folded(bracket), 0.005)
    points = np.array([(p.x, p.y, p.z) for p in skin.points], dtype=np.float64)
    triangles = []
    for facet in skin.facets:
        normal = skin.normal(facet)
        n = np.array([normal.x, normal.y, normal.z])
        u = np.linalg.svd(n.reshape(1, 3))[2][1]
        v = np.cross(n, u)
        loops = [list(loop) for loop in facet.loops]
        flat = [np.array([[points[i] @ u, points[i] @ v] for i in loop]) for loop in loops]
        order = [i for loop in loops for i in loop]
        triangles += [[order[k] for k in t] for t in triangulate(flat)]
    mesh = Mesh(points.astype(np.float32), np.array(triangles, dtype=np.uint32))
    mesh.merge()
    body = Manifold(mesh)
    assert body.volume() > 0
    x0, y0, z0, x1, y1, z1 = body.bounding_box()
    return x1 - x0, y1 - y0, z1 - z0


def test_folded_sizes_of_the_strips():
    # exact: what square outside legs add up to
    stock, way = Stock(3.0, A36), Brake(4.0, 0.42)
    trough = Channel(
        measured_to="outside", web=100.0, left_flange=40.0, right_flange=60.0, width=150.0
    )
    assert size_of(channel.KIND.build(trough, stock, way)) == pytest.approx(
        (100, 150, 60), abs=0.01
    )
    step = Zee(measured_to="outside", web=50.0, left_flange=40.0, right_flange=60.0, width=80.0)
    # one thickness of the web lies in both flanges' lengths
    assert size_of(zee.KIND.build(step, stock, way)) == pytest.approx(
        (50, 80, 40 + 60 - 3), abs=0.01
    )
    top = Hat(
        measured_to="outside", top=100.0, side=50.0, left_foot=30.0, right_foot=40.0, width=80.0
    )
    hat_size = size_of(hat.KIND.build(top, stock, way))
    assert hat_size == pytest.approx((100 - 6 + 30 + 40, 80, 50), abs=0.01)


def test_inside_sizes_leave_room_for_what_goes_in():
    # exact: inside sizes are smaller than outside ones by the thickness on each side
    stock, way = Stock(3.0, A36), Brake(4.0, 0.42)
    trough = Channel(
        measured_to="inside", web=100.0, left_flange=40.0, right_flange=40.0, width=150.0
    )
    assert size_of(channel.KIND.build(trough, stock, way)) == pytest.approx(
        (106, 150, 43), abs=0.01
    )
