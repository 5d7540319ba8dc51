"""The folder of DXFs against closed forms, so that what it says of a bracket can be believed."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from click.testing import CliRunner

from platewright.cli.root import root
from reference.foldback import (
    Bend,
    Flat,
    Folded,
    braked,
    creased,
    off_plane,
    read_dxf,
    scored,
)

INCH = 25.4


def strip(*stops: float, width: float = 40.0) -> Flat:
    """A strip along x; the bend lines are square to it, between its first and last stop."""
    (left, *bends, right), half = stops, width / 2
    corners = [(left, -half), (right, -half), (right, half), (left, half)]
    return Flat(
        corners=np.array([(x, y, 0.0) for x, y in corners]),
        bends=tuple(np.array([(x, -half), (x, half)]) for x in bends),
        holes=np.empty((0, 3)),
        cutouts=(),
    )


@pytest.mark.parametrize("turn", [5, 45, 90, 120, 170])
@pytest.mark.parametrize("up", [True, False])
def test_one_bend_by_its_closed_form(turn, up):
    # a leg L beyond a bend of radius r: x = r sin a + L cos a, z = r (1 - cos a) + L sin a (exact);
    # a fold down is the same seen from the underside
    angle, radius, thickness = math.radians(turn), 6.0, 4.0
    bend = braked(angle, up, radius, 0.4, thickness)
    used = angle * (radius + 0.4 * thickness)
    part = Folded(strip(0, 50 + used / 2, 80 + used), thickness, lambda _: bend, np.array([1, 0]))
    inside = "top" if up else "underside"
    x, y, z = part.point(np.array([80 + used, 7.0]), inside)
    rise = radius * (1 - math.cos(angle)) + 30 * math.sin(angle)
    assert x == pytest.approx(50 + radius * math.sin(angle) + 30 * math.cos(angle))
    assert y == pytest.approx(7)
    assert z == pytest.approx(rise if up else -thickness - rise)


def test_a_score_keeps_its_ligament_s_middle():
    # the arc of radius r + t/2 is as long as the groove is wide (exact)
    bend = scored(math.pi / 2, True, groove=2.8, ligament=1.2)
    assert (bend.radius + 0.6) * math.pi / 2 == pytest.approx(2.8)
    assert bend.allowance == 2.8
    # so narrow a groove folds sharp
    assert scored(math.pi, True, groove=1.0, ligament=1.2).radius == 0


def test_the_faa_channel():
    # FAA-H-8083-31 ch. 4 (read): T .040, R .16, flats .8 / 1.6 / .8, mold lines 1.00 / 2.00 / 1.00
    thickness, radius = 0.040 * INCH, 0.16 * INCH
    bend = braked(math.pi / 2, True, radius, 0.4, thickness)
    half, used = 0.8 * INCH, bend.allowance
    ends = half + used + 0.8 * INCH
    flat = strip(-ends, -half - used / 2, half + used / 2, ends)
    part = Folded(flat, thickness, lambda _: bend, np.zeros(2))
    far = [part.point(np.array([x, 0.0]), "underside") for x in (-ends, ends)]
    assert (far[1] - far[0])[0] / INCH == pytest.approx(2.0)
    assert [(p[2] + thickness) / INCH for p in far] == pytest.approx([1.0, 1.0])
    for leg in (1, 2):
        joint = part.joint(0, leg)
        # SB = K (R + T), K = 1 at 90 (FAA, read)
        assert part.beyond(0, joint, "outside") / INCH == pytest.approx(0.200)
        assert part.beyond(leg, joint, "inside") / INCH == pytest.approx(0.16)
        x = -ends if part.panels[leg].centroid.x < 0 else ends
        assert part.from_bend(np.array([x, 0.0]), leg, 0, "outside") / INCH == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("turn", "k"),
    # FAA-H-8083-31 ch. 4, K chart (exact: tan(N/2); read)
    [(30, 0.26795), (45, 0.41421), (60, 0.57735), (90, 1.0)],
)
def test_square_corners_by_the_k_chart(turn, k):
    bend = braked(math.radians(turn), False, 5.0, 0.45, 3.0)
    part = Folded(strip(0, 60, 120), 3.0, lambda _: bend, np.array([1, 0]))
    (joint,) = part.joints
    for panel in (0, 1):
        assert part.beyond(panel, joint, "outside") == pytest.approx(8.0 * k, rel=2e-5)
        assert part.beyond(panel, joint, "inside") == pytest.approx(5.0 * k, rel=2e-5)
        assert part.beyond(panel, joint, "centre") == pytest.approx(6.5 * k, rel=2e-5)


@pytest.mark.parametrize("turn", [91, 120, 170])
@pytest.mark.parametrize("up", [True, False])
def test_past_square_it_is_the_farthest_place_of_the_round(turn, up):
    # DIN 6935 (read): beyond 90 degrees a leg is measured to the tangent square to it
    bend = braked(math.radians(turn), up, 5.0, 0.45, 3.0)
    part = Folded(strip(0, 60, 120), 3.0, lambda _: bend, np.array([1, 0]))
    (joint,) = part.joints
    middle, axis = part.axis_of(joint)
    for panel, square in ((0, part.way(0, joint.away(0))), (1, part.way(1, joint.away(1)))):
        start = part.point(joint.tangent(panel), part.face_of(joint, "outside"), panel)
        spoke = start - middle
        turns = [part_of * bend.angle for part_of in np.linspace(-1, 1, 4001)]
        around = [middle + spoke * math.cos(a) + np.cross(axis, spoke) * math.sin(a) for a in turns]
        farthest = max(float((place - start) @ square) for place in around)
        assert part.beyond(panel, joint, "outside") == pytest.approx(farthest, abs=1e-5)


def test_a_zee_by_hand():
    # square folds with the corners sharp: web 40 outside, so the flanges' far faces are 40 apart
    thickness = 4.0
    flat = strip(-60.0, -16.0, 16.0, 60.0)
    part = Folded(flat, thickness, lambda line: creased(math.pi / 2, line[0, 0] > 0), np.zeros(2))
    left, right = (
        next(n for n, p in enumerate(part.panels) if p.centroid.x * s > 20) for s in (-1, 1)
    )
    assert part.normal(left) == pytest.approx([-1, 0, 0])
    assert part.normal(right) == pytest.approx([-1, 0, 0])
    up = part.point(np.array([60.0, 0]), "underside", right)
    down = part.point(np.array([-60.0, 0]), "top", left)
    assert up == pytest.approx([20, 0, 44])
    assert down == pytest.approx([-20, 0, -48])
    assert off_plane(up, down, part.normal(left)) == pytest.approx(-40)


@pytest.mark.parametrize("turn", [30, 90, 150])
def test_the_span_counts_the_round(turn):
    # the round's outside is r + T from its axis, over the tangent line: past square it is the end
    bend = braked(math.radians(turn), True, 5.0, 0.45, 3.0)
    part = Folded(strip(0, 60, 70), 3.0, lambda _: bend, np.array([1, 0]))
    tangent = 60 - bend.allowance / 2
    leg = 10 - bend.allowance / 2
    tip = tangent + 8 * math.sin(bend.angle) + leg * math.cos(bend.angle)
    crown = tangent + 8 if turn >= 90 else tip
    assert part.span(np.array([1.0, 0, 0])) == pytest.approx((0, crown))
    assert part.span(np.array([0, 1.0, 0])) == pytest.approx((-20, 20))
    top = 5 * (1 - math.cos(bend.angle)) + leg * math.sin(bend.angle)
    under = 5 - 8 * math.cos(bend.angle) + leg * math.sin(bend.angle)
    assert part.span(np.array([0, 0, 1.0])) == pytest.approx((-3, max(0, top, under)))


def test_panels_stay_as_they_are_cut():
    bends = [scored(1.1, True, 3.0, 1.0), creased(2.0, False), braked(0.3, True, 4.0, 0.4, 5.0)]
    flat = strip(0, 30, 70, 100, 140)
    at = {tuple(line.ravel()): bend for line, bend in zip(flat.bends, bends, strict=True)}
    part = Folded(flat, 5.0, lambda line: at[tuple(line.ravel())], np.array([1, 0]))
    for number, panel in enumerate(part.panels):
        corners = np.array(panel.exterior.coords)[:-1]
        for face in ("top", "underside"):
            raised = [part.point(c, face, number) for c in corners]
            for (a, b), (p, q) in zip(pairwise(corners), pairwise(raised), strict=True):
                assert math.dist(p, q) == pytest.approx(math.dist(a, b))
        gap = part.point(corners[0], "top", number) - part.point(corners[0], "underside", number)
        assert gap == pytest.approx(5.0 * part.normal(number))


# --- files that the tool wrote ----------------------------------------------------------------


@pytest.fixture(scope="module")
def seat_flats(tmp_path_factory) -> list[Flat]:
    folder = tmp_path_factory.mktemp("seat")
    (folder / "seat.toml").write_text(SEAT)
    done = CliRunner().invoke(root, ["make", str(folder / "seat.toml"), "--out", str(folder)])
    assert done.exit_code == 0, done.output
    return read_dxf((folder / "seat.dxf").read_bytes())


SEAT = """
kind = "seat"
units = "in"
plate_diameter = 5
body_diameter = 6.5
clearance = 0.5
wall_gap = 1
hand = "pair"
stock = { thickness = 0.1875, material = "A36" }
bend = { way = "score", groove = 0.11, ligament = 0.046875 }
bolts = { count = 2, spacing = 2.75, size = "3/8" }
left = { reach = 6, depth = 3.5 }
right = { reach = 4.5, depth = 2.5, direction = "up" }
"""


def test_a_seat_by_hand(seat_flats):
    # w .11, t 3/64: inside radius .11 / (pi/2) - 3/128 = .046590; the gussets' inside faces stand
    # 6.5 / 2 + .5 = 3.75 in from the bolts' middle, the tips 3.5 and 2.5 in off the plate's faces
    for flat, mirror in zip(seat_flats, (1, -1), strict=True):
        centre = flat.holes[:, :2].mean(axis=0)
        assert math.dist(*flat.holes[:, :2]) / INCH == pytest.approx(2.75)

        def side(line, centre=centre, mirror=mirror) -> bool:
            return bool((line.mean(axis=0) - centre)[0] * mirror > 0)

        thickness = 0.1875 * INCH
        part = Folded(
            flat,
            thickness,
            lambda line, side=side: scored(math.pi / 2, side(line), 0.11 * INCH, 3 / 64 * INCH),
            centre,
        )
        assert part.joints[0].bend.radius / INCH == pytest.approx(0.046590, abs=1e-6)
        for joint in part.joints:
            right, gusset = side(joint.line), joint.child
            inside, outside = part.face_of(joint, "inside"), part.face_of(joint, "outside")
            corners = np.array(part.panels[gusset].exterior.coords)
            reach = [abs(part.point(c, inside, gusset)[0] - centre[0]) for c in corners]
            assert min(reach) / INCH == pytest.approx(3.75)
            high = max((part.point(c, outside, gusset) for c in corners), key=lambda p: abs(p[2]))
            if right:
                assert (high[2] + thickness) / INCH == pytest.approx(2.5)
            else:
                assert high[2] / INCH == pytest.approx(-3.5)
        # the wall edge lies 1 + 6.5 / 2 from the bolts
        assert (centre[1] - flat.corners[:, 1].min()) / INCH == pytest.approx(4.25)


def test_bulges_are_read(seat_flats):
    # spring-seat's front is an arc about the bolts' middle with the mounting plate's radius
    flat = seat_flats[0]
    assert np.count_nonzero(flat.corners[:, 2])
    centre = flat.holes[:, :2].mean(axis=0)
    front = flat.outline.intersection(shapely.LineString([centre, centre + np.array([0, 200])]))
    assert front.length / INCH == pytest.approx(2.5, abs=1e-4)


PART = """
kind = "panels"
units = "mm"
drawn_to = "outside"
stock = { thickness = 4, material = "S235" }
bend = { way = "brake", radius = 5, k = 0.4 }
[[panel]]
name = "base"
points = [[0, 0], [160, 0], [160, 90], [0, 90]]
edges = "bottom, right, top, left"
[[panel]]
name = "lug"
points = [[0, 0], [40, 0], [40, 30], [0, 30]]
bent_from = { panel = "base", edge = "top", start = 45, end = 85, angle = ANGLE }
edges = "base"
"""


@pytest.mark.parametrize("degrees", [30, 60, 90, 120])
def test_a_bend_on_part_of_an_edge_by_hand(tmp_path, degrees):
    # the rest of the edge is where the drawing has it, and so is what a square finds of the bend
    path = tmp_path / "part.toml"
    path.write_text(PART.replace("ANGLE", str(degrees)))
    done = CliRunner().invoke(root, ["make", str(path), "--out", str(tmp_path)])
    assert done.exit_code == 0, done.output
    (flat,) = read_dxf((tmp_path / "part.dxf").read_bytes())
    turn = math.radians(degrees)
    allowance = turn * (5 + 0.4 * 4)  # FAA-H-8083-31 ch. 4
    part = Folded(flat, 4.0, lambda _: Bend(turn, True, 5.0, allowance), np.array([80.0, 45]))
    (joint,) = part.joints
    base = np.array(part.panels[joint.parent].exterior.coords)
    assert part.from_bend(np.array([80.0, 0]), joint.parent, joint.child, "outside") == (
        pytest.approx(90.0)
    )
    assert base[:, 1].max() == pytest.approx(90.0)
    assert sorted(flat.bends[0][:, 0]) == pytest.approx([75, 115])
    lug = np.array(part.panels[joint.child].exterior.coords)
    tip = lug[np.argmax(lug[:, 1])]
    assert part.from_bend(tip, joint.child, joint.parent, "outside") == pytest.approx(30.0)


def test_a_bend_is_told_by_the_line_it_is_on():
    told = []
    part = Folded(
        strip(0, 10, 20, 30),
        1.0,
        lambda line: told.append(float(line[0, 0])) or Bend(0.5, True, 1.0, 1.0),
        np.array([15.0, 0]),
    )
    assert told == [10, 20]
    assert [joint.parent for joint in part.joints] == [0, 0]
