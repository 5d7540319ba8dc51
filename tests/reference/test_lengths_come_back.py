"""Every length a file gives is found on its part: the DXF is folded by other code and measured.

What a key means is read here from the words of the starter files: "from the bend" is to the face
that the part is measured to, at a bend past square to where a square laid on it touches. Plate and
card, either hand, every way of bending.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import Phase, given, reject
from hypothesis import strategies as st

from laws.effort import examples
from laws.strategies_bracket import directions, lengths, seats
from laws.strategies_kinds import KINDS, faces, folds, legs, stocks, ways
from platewright.dxf import DxfPiece, dxf_bytes
from platewright.errors import BuildError
from platewright.kinds.kind import Kind
from platewright.kinds.making import make_bracket
from platewright.kinds.panels import KIND as PANELS
from platewright.kinds.panels_measurements import BentFrom, FreePanel, Panels
from platewright.kinds.seat import KIND as SEAT
from platewright.plate.bend import BendWay, Brake, Crease, ScoreFold
from platewright.plate.piece import pieces_of
from platewright.plate.stock import MATERIALS, Stock
from platewright.shop.cutting import Cutting, torch_plan
from reference.foldback import (
    Array,
    Bend,
    Flat,
    Folded,
    Joint,
    braked,
    creased,
    off_plane,
    read_dxf,
    scored,
)

#: (key, what the file says, what is found on the folded part), mm or radians.
Found = Iterator[tuple[str, float, float]]
Rule = Callable[[float, str], Bend]

SQUARE = math.pi / 2
MICRON = 2e-6


def rule_of(way: BendWay, thickness: float) -> Rule:
    """From an angle and a direction to what the way makes of it."""

    def bend(angle: float, direction: str) -> Bend:
        up = direction == "up"
        if isinstance(way, ScoreFold):
            return scored(angle, up, way.groove, way.ligament)
        if isinstance(way, Brake):
            return braked(angle, up, way.radius, way.k, thickness)
        return creased(angle, up)

    return bend


def cut(kind: Kind, measurements: Any, stock: Stock, way: BendWay, hand: str) -> Flat:
    """The blank as the DXF has it, the other hand turned back to the one that is drawn."""
    try:
        bracket = make_bracket(kind, measurements, stock, way)
    except BuildError:
        reject()
    (piece,) = pieces_of("part", hand, bracket)
    plan = torch_plan(piece.blank, stock.thickness, Cutting(kerf=0.0))
    (flat,) = read_dxf(dxf_bytes([DxfPiece(piece=piece, torch=plan)], "mm"))
    return flat.mirrored() if hand == "mirrored" else flat


# --- reading a folded part --------------------------------------------------------------------


def upright(line: Array) -> bool:
    return bool(abs(line[0, 0] - line[1, 0]) < 1e-6)


def corners(part: Folded, panel: int) -> Array:
    return np.array(part.panels[panel].exterior.coords)[:-1]


def far_end(part: Folded, joint: Joint) -> Array:
    """The corner of a bend's child that is farthest from the bend."""
    return max(corners(part, joint.child), key=lambda at: at @ joint.out)


def across(part: Folded, one: Joint, other: Joint, to: str) -> float:
    """Over a panel from the bend at one side to the bend at the other."""
    panel = one.parent
    flat = (one.tangent(panel) - other.tangent(panel)) @ one.out
    return float(flat) + part.beyond(panel, one, to) + part.beyond(panel, other, to)


def row_found(
    part: Folded, key: str, row: Any, leg: float, panel: int, beside: int, to: str
) -> Found:
    """A row of holes: its gauge from the bend to the panel beside, and its spacing."""
    holes = [at[:2] for at in part.flat.holes if part.panel_at(at[:2]) == panel]
    assert len(holes) == row.count, key
    for at in holes:
        gauge = leg / 2 if row.gauge is None else row.gauge
        yield f"{key}.gauge", gauge, part.from_bend(at, panel, beside, to)
    for a, b in pairwise(holes):
        yield f"{key}.spacing", row.spacing, math.dist(part.point(a), part.point(b))


# --- strips -----------------------------------------------------------------------------------


def strip_found(
    flat: Flat,
    rule: Rule,
    thickness: float,
    to: str,
    width: float,
    legs: list[tuple[str, float, Any]],
    folds: list[tuple[float, str]],
    root: int,
) -> Found:
    """Legs from left to right, each (key, length, row of holes), with the folds between them."""
    lines = sorted((float(line[0, 0]), n) for n, line in enumerate(flat.bends))
    order = [n for _, n in lines]

    def bend_of(line: Array) -> Bend:
        number = next(n for n, each in enumerate(flat.bends) if each is line)
        return rule(*folds[order.index(number)])

    part = Folded(flat, thickness, bend_of, flat.outline.representative_point().coords[0])
    across_x = sorted(range(len(part.panels)), key=lambda n: part.panels[n].centroid.x)
    yield "width", width, float(np.ptp(flat.corners[:, 1]))
    for index, (panel, (key, length, row)) in enumerate(zip(across_x, legs, strict=True)):
        found = float(np.ptp(corners(part, panel)[:, 0]))
        for beside in across_x[max(0, index - 1) : index] + across_x[index + 1 : index + 2]:
            found += part.beyond(panel, part.joint(panel, beside), to)
        yield key, length, found
        # the root's row counts from the bend on its left, of the first leg from its only one
        base = index + 1 if index < root or index == 0 else index - 1
        if row is not None:
            yield from row_found(part, key, row, length, panel, across_x[base], to)


def channel_found(m: Any, flat: Flat, rule: Rule, thickness: float) -> Found:
    legs = [
        ("left_flange", m.left_flange, m.left_holes),
        ("web", m.web, m.web_holes),
        ("right_flange", m.right_flange, m.right_holes),
    ]
    folds = [(m.left_angle, m.direction), (m.right_angle, m.direction)]
    return strip_found(flat, rule, thickness, m.measured_to, m.width, legs, folds, 1)


def zee_found(m: Any, flat: Flat, rule: Rule, thickness: float) -> Found:
    legs = [
        ("left_flange", m.left_flange, m.left_holes),
        ("web", m.web, None),
        ("right_flange", m.right_flange, m.right_holes),
    ]
    other = "down" if m.direction == "up" else "up"
    folds = [(m.angle, other), (m.angle, m.direction)]
    return strip_found(flat, rule, thickness, m.measured_to, m.width, legs, folds, 1)


def hat_found(m: Any, flat: Flat, rule: Rule, thickness: float) -> Found:
    legs = [
        ("left_foot", m.left_foot, m.foot_holes),
        ("side", m.side, None),
        ("top", m.top, m.top_holes),
        ("side", m.side, None),
        ("right_foot", m.right_foot, m.foot_holes),
    ]
    folds = [(m.angle, way) for way in ("up", "down", "down", "up")]
    return strip_found(flat, rule, thickness, m.measured_to, m.width, legs, folds, 2)


def stepped_found(m: Any, flat: Flat, rule: Rule, thickness: float) -> Found:
    legs = [(f"leg[{n}].length", leg.length, leg.holes) for n, leg in enumerate(m.leg, 1)]
    folds = [(leg.bend, leg.direction) for leg in m.leg[:-1]]
    return strip_found(flat, rule, thickness, m.measured_to, m.width, legs, folds, m.held - 1)


# --- the others -------------------------------------------------------------------------------


def angle_found(m: Any, flat: Flat, rule: Rule, thickness: float) -> Found:
    to, inside = m.measured_to, [0.0, 10.0]
    part = Folded(
        flat,
        thickness,
        lambda line: rule(SQUARE if upright(line) else m.angle, m.direction),
        np.array(inside),
    )
    (back,) = (joint for joint in part.joints if not upright(joint.line))
    shelf, leg = back.parent, back.child
    front = corners(part, shelf)[:, 1].max()
    yield "shelf", m.shelf, part.from_bend(np.array([0.0, front]), shelf, leg, to)
    yield "upright", m.upright, part.from_bend(far_end(part, back), leg, shelf, to)
    width = 0.0
    for side, sign in (("left", -1), ("right", 1)):
        gusset = getattr(m, side)
        if gusset is None:
            width += max(corners(part, shelf)[:, 0] * sign)
            continue
        (joint,) = (j for j in part.joints if upright(j.line) and j.line[0, 0] * sign > 0)
        width += float(joint.tangent(shelf)[0] * sign) + part.beyond(shelf, joint, to)
        tip = np.array([0.0, corners(part, joint.child)[:, 1].max()])
        yield f"{side}.reach", gusset.reach, part.from_bend(tip, shelf, leg, to)
        yield f"{side}.gap", m.gap, part.apart(joint.child, leg)
        ground = part.point(np.array(inside), part.face_of(joint, to), shelf)
        tops = [
            abs(off_plane(part.point(at, face, joint.child), ground, part.normal(shelf)))
            for at in corners(part, joint.child)
            for face in ("top", "underside")
        ]
        if to != "centre":
            yield f"{side}.height", gusset.height, max(tops)
    yield "width", m.width, width
    for key, panel, beside, row, length in (
        ("shelf_holes", shelf, leg, m.shelf_holes, m.shelf),
        ("upright_holes", leg, shelf, m.upright_holes, m.upright),
    ):
        if row is not None:
            yield from row_found(part, key, row, length, panel, beside, to)


def tray_found(m: Any, flat: Flat, rule: Rule, thickness: float) -> Found:
    part = Folded(flat, thickness, lambda _: rule(m.angle, m.direction), np.zeros(2))
    if m.corners == "closed":
        # what a feeler finds where flanges meet
        joints = sorted(part.joints, key=lambda j: math.atan2(j.out[1], j.out[0]))
        for one, other in pairwise([*joints, joints[0]]):
            yield "gap", m.gap, part.apart(one.child, other.child)
    sides = {
        ("right" if j.out[0] > 0.5 else "left" if j.out[0] < -0.5 else
         "back" if j.out[1] > 0.5 else "front"): j
        for j in part.joints
    }  # fmt: skip
    yield "length", m.length, across(part, sides["left"], sides["right"], m.measured_to)
    yield "width", m.width, across(part, sides["front"], sides["back"], m.measured_to)
    for side, joint in sides.items():
        own = getattr(m, f"{side}_depth")
        found = part.from_bend(far_end(part, joint), joint.child, joint.parent, m.measured_to)
        yield f"{side} depth", m.depth if own is None else own, found


def tab_found(m: Any, flat: Flat, rule: Rule, thickness: float) -> Found:
    bend = creased(0.0, True) if m.foot is None else rule(m.foot.angle, m.foot.direction)
    pin = flat.holes[np.argmax(flat.holes[:, 1])]
    part = Folded(flat, thickness, lambda _: bend, pin[:2] + np.array([0, pin[2]]))
    yield "pin", m.pin + m.room, float(pin[2])
    ((start, end),) = ((a, b) for a, b in flat.sides if a[2])
    # bulge = tan(sweep / 4): radius = chord (1 + bulge²) / (4 bulge) (exact)
    round_end = math.dist(start[:2], end[:2]) * (1 + start[2] ** 2) / (4 * abs(start[2]))
    yield "end_radius", m.end_radius, float(round_end)
    low = flat.corners[:, 1].min()
    foot = flat.corners[flat.corners[:, 1] < low + 1e-6]
    yield "width", m.width, float(np.ptp(foot[:, 0]))
    if m.foot is None:
        yield "pin_height", m.pin_height, float(pin[1]) - low
        return
    yield "pin_height", m.pin_height, part.from_bend(pin[:2], 0, 1, "outside")
    end = np.array([0.0, low])
    yield "foot.length", m.foot.length, part.from_bend(end, 1, 0, "outside")
    if m.foot.holes is not None:
        yield from row_found(part, "foot.holes", m.foot.holes, m.foot.length, 1, 0, "outside")


def clevis_found(m: Any, flat: Flat, rule: Rule, thickness: float) -> Found:
    part = Folded(flat, thickness, lambda _: rule(SQUARE, m.direction), np.zeros(2))
    one, other = part.joints
    yield "jaw", m.jaw, across(part, one, other, "inside")
    face = part.face_of(one, "inside")
    pins = [at for at in flat.holes if part.panel_at(at[:2]) != 0]
    raised = [part.point(at[:2], face) for at in pins]
    yield "jaw at the pins", m.jaw, math.dist(*raised)
    under = np.array([0.0, 0.0, -thickness if m.direction == "up" else 0.0])
    for at, place in zip(pins, raised, strict=True):
        yield "pin_height", m.pin_height, abs(off_plane(place, under, np.array([0.0, 0.0, 1.0])))
        yield "pin", m.pin + m.room, float(at[2])
    yield "width", m.width, float(np.ptp(corners(part, 0)[:, 1]))


def gusset_found(m: Any, flat: Flat, rule: Rule, thickness: float) -> Found:
    # the members' faces meet in the origin, the base member along x
    along, up = np.array([1.0, 0.0]), np.array([math.cos(m.corner_angle), math.sin(m.corner_angle)])
    held = along * m.base * 0.35 + up * m.upright * 0.35
    part = Folded(flat, thickness, lambda _: rule(SQUARE, m.direction), held)
    left = list(part.joints)
    for key, way, inward in (
        ("base", along, np.array([0.0, 1.0])),
        ("upright", up, np.array([up[1], -up[0]])),
    ):
        flange = getattr(m, f"{key}_flange")
        if flange is None:
            ends = [at for at in corners(part, 0) if abs(at @ inward) < 1e-6]
        else:
            joint = max(left, key=lambda j: -float(j.out @ inward))
            left.remove(joint)
            ends = list(joint.line)
            member = float(joint.tangent(0) @ inward) - part.beyond(0, joint, "outside")
            yield f"{key} flange on its member", 0.0, member
            found = part.from_bend(far_end(part, joint), joint.child, 0, "outside")
            yield f"{key}_flange.width", flange.width, found
            if flange.holes is not None:
                yield from row_found(
                    part, f"{key}_flange.holes", flange.holes, flange.width, joint.child, 0,
                    "outside",
                )  # fmt: skip
        leg = max(float(at @ way) for at in ends)
        yield key, getattr(m, key), leg
        if m.lip is None:
            # a nose comes out no narrower than the flange's bend is wide
            least = 0.0 if flange is None else 2 * part.beyond(0, joint, "outside")
            tip = [at for at in corners(part, 0) if abs(at @ way - leg) < 1e-6]
            nose = max(float(at @ inward) for at in tip)
            yield "nose", max(m.nose, nose) if m.nose <= least else m.nose, nose
        yield "clip", m.clip, min(float(at @ way) for at in ends)
    for joint in left:
        yield "lip", m.lip, part.from_bend(far_end(part, joint), joint.child, 0, "outside")


def seat_found(m: Any, flat: Flat, rule: Rule, thickness: float) -> Found:
    # the seat's centre is the origin, the wall along x on its -y side
    def gusset_at(line: Array) -> Any:
        return m.right if line[0, 0] > 0 else m.left

    part = Folded(
        flat,
        thickness,
        lambda line: rule(gusset_at(line).fold, gusset_at(line).direction),
        np.array([0.0, 0.0]),
    )
    plate = corners(part, 0)
    wall = plate[:, 1].min()
    if m.centre_distance is not None:
        yield "centre_distance", m.centre_distance, -wall
    else:
        yield "wall_gap", m.wall_gap, -wall - m.body_diameter / 2
    if m.front.length is not None:
        yield "front.length", m.front.length, plate[:, 1].max() - wall
    if m.bolts.count > 1:
        radii = [math.hypot(*at[:2]) for at in flat.holes[: m.bolts.count]]
        yield from (("bolts.spacing", m.bolts.spacing, 2 * radius) for radius in radii)
    for side, sign in (("left", -1), ("right", 1)):
        gusset = getattr(m, side)
        if gusset is None:
            out = m.plate_diameter / 2 if m.plain_side is None else m.plain_side
            edge = plate[np.abs(plate[:, 1] - wall) < 1e-6]
            yield "plain_side", out, max(edge[:, 0] * sign)
            continue
        (joint,) = (j for j in part.joints if j.out[0] * sign > 0)
        ends = corners(part, joint.child)
        yield f"{side}.reach", gusset.reach, ends[:, 1].max() - wall
        # no narrower than the bend is wide, no deeper than the taper leads
        nose = max(gusset.nose, part.beyond(joint.child, joint, "outside"))
        deep = nose + gusset.reach * math.tan(gusset.taper)
        if gusset.depth is not None:
            deep = min(deep, gusset.depth)
        for key, asked, y in (
            ("nose", min(nose, deep), ends[:, 1].max()),
            ("depth", deep, ends[:, 1].min()),
        ):
            at = max(ends[np.abs(ends[:, 1] - y) < 1e-6], key=lambda at: at @ joint.out)
            yield f"{side}.{key}", asked, part.from_bend(at, joint.child, 0, "outside")
        if gusset.from_centre is not None:
            place = float(joint.tangent(0)[0] * sign) + part.beyond(0, joint, "inside")
            yield f"{side}.from_centre", gusset.from_centre, place
            continue
        inside = part.face_of(joint, "inside")
        near = [part.point(at, inside, joint.child)[0] * sign for at in ends]
        if gusset.fold < SQUARE:
            near = [float(joint.tangent(0)[0] * sign) + part.beyond(0, joint, "inside")]
        yield "clearance", m.clearance, min(near) - m.body_diameter / 2


def strap_found(m: Any, flat: Flat, rule: Rule, thickness: float) -> Found:
    lines = sorted(float(line[0, 0]) for line in flat.bends)

    def bend_of(line: Array) -> Bend:
        if line[0, 0] in (lines[0], lines[-1]):
            return rule(m.wrap / 2, "up")
        return rule(m.wrap / m.bends, "down")

    yield "width", m.width, float(np.ptp(flat.corners[:, 1]))
    small = rule(m.wrap / m.bends, "down")
    reach = m.diameter / 2 + m.liner
    bolts = sorted({round(float(at[0]), 9) for at in flat.holes})
    yield "beyond", m.beyond, float(flat.corners[:, 0].max()) - bolts[1]
    if m.middle == "rolled":
        # between the first and the last small bend lies an arc about the tank's centre on the line
        # that keeps its length, half a step short at either end
        kept = small.allowance + (reach - small.radius) * m.wrap / m.bends
        yield "arc", kept * (m.bends - 1), lines[-2] - lines[1]
        return
    part = Folded(flat, thickness, bend_of, flat.outline.representative_point().coords[0])
    order = sorted(range(len(part.panels)), key=lambda n: part.panels[n].centroid.x)
    places = [part.point(np.array([x, 0.0]), "underside") for x in bolts]
    across_ears = part.way(order[0], np.array([1.0, 0.0]))
    yield "span", m.span, float((places[1] - places[0]) @ across_ears)
    ear, other = order[0], order[-1]
    yield "ears level", 0.0, off_plane(places[1], places[0], part.normal(ear))
    yield "ears alike", 1.0, float(part.normal(ear) @ part.normal(other))
    # the tank's centre is where the shanks, half a facet in, and any facet stand off it alike
    middle = (places[0] + places[1]) / 2 + part.normal(ear) * m.centre_height
    for panel in order[1:-1]:
        at = np.array([part.panels[panel].centroid.x, 0.0])
        face = part.point(at, "underside", panel)
        yield "tank", reach, abs(off_plane(middle, face, part.normal(panel)))


@st.composite
def drawn_panels(draw: st.DrawFn) -> Panels:
    """A base with a row of panels bent on from either end, all as wide, drawn as they measure."""
    wide = draw(lengths(30, 120))
    names = "near, right, far, left"

    def sheet(name: str, deep: float, held: BentFrom | None) -> FreePanel:
        corners = ((0.0, 0.0), (wide, 0.0), (wide, deep), (0.0, deep))
        edges = tuple(names.split(", "))
        return FreePanel(name=name, points=corners, edges=edges, bent_from=held)

    made = [sheet("base", draw(legs), None)]
    for row, edge in (("a", "far"), ("b", "near")):
        parent = "base"
        for number in range(draw(st.integers(0, 3))):
            held = BentFrom(
                panel=parent,
                edge=edge,
                base="near",
                angle=draw(folds),
                direction=draw(directions),
            )
            parent, edge = f"{row}{number}", "far"
            made.append(sheet(parent, draw(legs), held))
    return Panels(drawn_to=draw(faces), panel=tuple(made))


def panels_found(m: Any, flat: Flat, rule: Rule, thickness: float) -> Found:
    # along y on the blank: the b row from its end to the base, the base, the a row
    rows = {row: [p for p in m.panel if p.name.startswith(row)] for row in ("b", "base", "a")}
    bs = [p for p in rows["b"] if p.name != "base"]
    order = [*reversed(bs), *rows["base"], *rows["a"]]
    folds = [p.bent_from for p in order if p.bent_from is not None]
    lines = sorted(range(len(flat.bends)), key=lambda n: float(flat.bends[n][0, 1]))

    def bend_of(line: Array) -> Bend:
        number = next(n for n, each in enumerate(flat.bends) if each is line)
        held = folds[lines.index(number)]
        return rule(held.angle, held.direction)

    part = Folded(flat, thickness, bend_of, flat.outline.representative_point().coords[0])
    along_y = sorted(range(len(part.panels)), key=lambda n: part.panels[n].centroid.y)
    for index, (panel, drawn) in enumerate(zip(along_y, order, strict=True)):
        (x, y), size = drawn.points[2], np.ptp(corners(part, panel), axis=0)
        for beside in along_y[max(0, index - 1) : index] + along_y[index + 1 : index + 2]:
            size[1] += part.beyond(panel, part.joint(panel, beside), m.drawn_to)
        yield f"{drawn.name} across", x, float(size[0])
        yield f"{drawn.name} along", y, float(size[1])


MEASURED: dict[str, tuple[Kind, st.SearchStrategy[Any], Callable[..., Found]]] = {
    name: (*KINDS[name], found)
    for name, found in {
        "angle": angle_found,
        "channel": channel_found,
        "clevis": clevis_found,
        "gusset": gusset_found,
        "hat": hat_found,
        "stepped": stepped_found,
        "strap": strap_found,
        "tab": tab_found,
        "tray": tray_found,
        "zee": zee_found,
    }.items()
} | {
    "panels": (PANELS, drawn_panels(), panels_found),
    "seat": (SEAT, seats(), seat_found),
}

cards = st.builds(Stock, lengths(0.2, 2), st.just(MATERIALS["card"]))


@pytest.mark.parametrize("name", sorted(MEASURED))
@examples(60, phases=(Phase.explicit, Phase.reuse, Phase.generate))
@given(data=st.data())
def test_every_length_of_the_file_is_found_on_the_folded_part(name: str, data) -> None:
    kind, strategy, found = MEASURED[name]
    measurements, hand = data.draw(strategy), data.draw(st.sampled_from(["as drawn", "mirrored"]))
    stock = data.draw(st.one_of(stocks, cards))
    card = stock.material.family == "card"
    way = Crease() if card else data.draw(ways(stock.thickness))
    flat = cut(kind, measurements, stock, way, hand)
    lines = list(found(measurements, flat, rule_of(way, stock.thickness), stock.thickness))

    # what a feeler finds is searched for in steps
    wrong = [
        line
        for line in lines
        if abs(line[1] - line[2]) > (1e-3 if line[0].endswith("gap") else MICRON)
    ]
    assert not wrong
