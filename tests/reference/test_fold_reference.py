"""Folded sizes against published bend figures: what is measured outside comes out.

Sources stand beside each check; "read" means seen printed, "memory" not.
"""

import math
from itertools import pairwise

import pytest

from platewright.geometry.contour import Contour
from platewright.geometry.plane import Point
from platewright.geometry.space import Point3
from platewright.plate.bend import BendWay, Brake, corner_setback
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bend, Bracket, Panel
from platewright.plate.folded import Folded, folded
from platewright.plate.stock import MATERIALS, Stock

INCH = 25.4
LONG = 100.0


def aviation_allowance(radius: float, thickness: float, angle: float) -> float:
    """BA = (0.01743 R + 0.0078 T) N, N in degrees: FAA-H-8083-31 ch. 4, read."""
    return (0.01743 * radius + 0.0078 * thickness) * math.degrees(angle)


def din_correction(radius: float, s: float) -> float:
    """k = 0.65 + 0.5 log10(r/s) up to r/s = 5, else 1: DIN 6935, read."""
    return 0.65 + 0.5 * math.log10(radius / s) if radius / s <= 5 else 1.0


def din_shortening(radius: float, s: float, turn: float) -> float:
    """v of DIN 6935 for a turn of 15 degrees and more, read."""
    reach = 2 * (radius + s) * (math.tan(turn / 2) if turn < math.pi / 2 else 1.0)
    return reach - turn * (radius + din_correction(radius, s) * s / 2)


def flat(name: str, depth: float, bends: tuple[Bend, ...] = ()) -> Panel:
    corners = [Point(0, 0), Point(LONG, 0), Point(LONG, depth), Point(0, depth)]
    edges = (("base", 0), ("right end", 1), ("far edge", 2), ("left end", 3))
    return Panel(name=name, contour=Contour.polygon(corners), edges=edges, bends=bends)


def bend(edge: str, depth: float, angle: float, way: BendWay) -> Bend:
    return Bend(
        edge=edge, panel=flat(f"leg at {edge}", depth), angle=angle, direction="up", way=way
    )


def outside_leg(model: Folded, name: str, angle: float) -> float:
    """From the sharp outside corner to a leg's end, along its outside face (the underside)."""
    tips = model.corners(name)
    foot, end = tips[0].underside, tips[3].underside
    along = (end - foot).unit()
    # the root's outside face is z = -T: where the leg's own outside face meets it
    back = (foot.z + model.thickness) / along.z
    corner = foot + along * -back
    return corner.distance(end)


def angle_bracket(a: float, b: float, angle: float, way: Brake, thickness: float) -> Bracket:
    """Two legs that measure `a` and `b` to the outside corner."""
    setback = corner_setback(way, angle, thickness)
    root = flat("root", a - setback, (bend("far edge", b - setback, angle, way),))
    return Bracket(stock=Stock(thickness, MATERIALS["A36"]), root=root)


@pytest.mark.parametrize(
    ("turn", "tangent"),
    # FAA-H-8083-31 ch. 4, K chart (exact: tan(N/2); read)
    [(30, 0.26795), (45, 0.41421), (60, 0.57735), (90, 1.0), (120, 1.73205), (135, 2.41421)],
)
def test_setbacks_by_the_k_chart(turn: float, tangent: float) -> None:
    way, angle = Brake(0.16 * INCH, 0.44), math.radians(turn)
    thickness = 0.040 * INCH
    for share, reach in ((1.0, 0.200), (0.0, 0.16)):
        found = corner_setback(way, angle, thickness, share)
        assert found == pytest.approx(tangent * reach * INCH, rel=1e-5)


def test_the_faa_channel_folds_to_its_mold_lines() -> None:
    """FAA-H-8083-31 ch. 4 (read): T .040, R .16, mold lines 1.00 / 2.00 / 1.00, flats .8 1.6 .8.

    Developed width 3.758 by its formula; the book's rounded 3.74 (memory) within .02.
    """
    thickness, radius = 0.040 * INCH, 0.16 * INCH
    allowance = aviation_allowance(radius, thickness, math.pi / 2)
    k = (allowance / (math.pi / 2) - radius) / thickness
    way = Brake(radius, k)
    legs = (
        bend("far edge", 0.8 * INCH, math.pi / 2, way),
        bend("base", 0.8 * INCH, math.pi / 2, way),
    )
    bracket = Bracket(stock=Stock(thickness, MATERIALS["A36"]), root=flat("web", 1.6 * INCH, legs))
    width = blank_of(bracket).bounds.height / INCH
    assert width == pytest.approx(3.758, abs=0.001)
    assert width == pytest.approx(3.74, abs=0.02)
    model = folded(bracket)
    outsides = [corner.underside for name in ("leg at far edge", "leg at base")
                for corner in model.corners(name)]  # fmt: skip
    assert (max(p.y for p in outsides) - min(p.y for p in outsides)) / INCH == pytest.approx(2.0)
    assert (max(p.z for p in outsides) + thickness) / INCH == pytest.approx(1.0)


@pytest.mark.parametrize("turn", [30, 60, 90])
@pytest.mark.parametrize(("radius", "thickness"), [(1, 1), (2.5, 2), (4, 3), (6, 5), (10, 6)])
def test_legs_by_din_6935_to_the_outside_corner(
    turn: float, radius: float, thickness: float
) -> None:
    """DIN 6935 (read): flat length = a + b - v, legs outside to the corner for turns to 90."""
    angle = math.radians(turn)
    way = Brake(radius, din_correction(radius, thickness) / 2)
    bracket = angle_bracket(60.0, 45.0, angle, way, thickness)
    length = blank_of(bracket).bounds.height
    assert length == pytest.approx(60.0 + 45.0 - din_shortening(radius, thickness, angle))
    assert outside_leg(folded(bracket), "leg at far edge", angle) == pytest.approx(45.0)


@pytest.mark.parametrize("turn", [100, 120, 135])
def test_legs_by_din_6935_to_the_tangent(turn: float) -> None:
    """Beyond 90 the standard measures a leg to the tangent square to it (read)."""
    angle, radius, thickness = math.radians(turn), 6.0, 5.0
    way = Brake(radius, din_correction(radius, thickness) / 2)
    reach = radius + thickness
    root = flat("root", 60.0 - reach, (bend("far edge", 45.0 - reach, angle, way),))
    bracket = Bracket(stock=Stock(thickness, MATERIALS["A36"]), root=root)
    assert blank_of(bracket).bounds.height == pytest.approx(
        60.0 + 45.0 - din_shortening(radius, thickness, angle)
    )
    model = folded(bracket)
    axis, (_, _, right, left) = model.bends[0].axis, model.corners("leg at far edge")
    # the round's outermost place along the leg lies r + T from the axis, against the leg
    along = (left.top - model.corners("leg at far edge")[0].top).unit()
    end = (left.top - axis[0]).dot(along)
    assert end + radius + thickness == pytest.approx(45.0)
    assert right.top.distance(left.top) == pytest.approx(LONG)


@pytest.mark.parametrize("radius", [3.0, 5.0, 9.0])
@pytest.mark.parametrize("share", [0.55, 0.64, 0.71])
def test_legs_by_the_handbook_rule(radius: float, share: float) -> None:
    """Machinery's Handbook 31st ed. p. 1421 (read): 90 degree length .55, .64, .71 T + 1.57 R."""
    thickness, angle = 4.0, math.pi / 2
    way = Brake(radius, share / angle)
    bracket = angle_bracket(70.0, 50.0, angle, way, thickness)
    flats = 70.0 + 50.0 - 2 * (radius + thickness)
    assert blank_of(bracket).bounds.height == pytest.approx(
        flats + share * thickness + 1.57 * radius, abs=0.001 * radius
    )
    assert outside_leg(folded(bracket), "leg at far edge", angle) == pytest.approx(50.0)


def test_the_bench_sheet_example() -> None:
    """Sheet Metal Workbook, 6th ed. 2012 (read): T .050, R .032 at 90: BA .085, BD .079."""
    thickness, radius, angle = 0.050 * INCH, 0.032 * INCH, math.pi / 2
    allowance = aviation_allowance(radius, thickness, angle)
    way = Brake(radius, (allowance / angle - radius) / thickness)
    bracket = angle_bracket(1.0 * INCH, 1.0 * INCH, angle, way, thickness)
    assert 2 - blank_of(bracket).bounds.height / INCH == pytest.approx(0.079, abs=0.0005)


def test_half_inch_plate_round_three_inches() -> None:
    """NAVEDTRA 14119 p. 13-43 (read): plate 1/2, R 3, 90 degrees, mid-thickness axis: 5.10.

    The book takes 1.57 for pi/2 and rounds: together .0051 at most.
    """
    way = Brake(3 * INCH, 0.5)
    bracket = angle_bracket(8 * INCH, 8 * INCH, math.pi / 2, way, 0.5 * INCH)
    (made,) = blank_of(bracket).bends
    assert made.allowance / INCH == pytest.approx(5.10, abs=0.0052)
    model = folded(bracket)
    (round_part,) = model.bends
    middle = [round_part.point(0.0, k / 2000, 0.25 * INCH) for k in range(2001)]
    length = sum(a.distance(b) for a, b in pairwise(middle))
    assert length / INCH == pytest.approx(5.10, abs=0.0052)
    assert (
        round_part.axis[0].distance(Point3(0.0, bracket.root.contour.bounds.ymax, 3 * INCH)) < 1e-9
    )
