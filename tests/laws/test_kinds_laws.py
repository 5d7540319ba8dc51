"""Laws that every generated bracket of every kind keeps."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from laws.effort import examples
from laws.strategies_bracket import degrees, lengths
from laws.strategies_kinds import (
    KINDS,
    SMALL,
    anything,
    as_panels,
    bare,
    built,
    channels,
    hats,
    kind_brackets,
    made,
    steppeds,
    stocks,
    ways,
    zees,
)
from platewright.errors import BuildError, GeometryError
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Motion, Point, Vector
from platewright.geometry.segment import Line
from platewright.geometry.shapes import self_crossing
from platewright.geometry.space import Point3, Vector3
from platewright.kinds import channel, hat, panels, stepped, zee
from platewright.kinds.cope import Cope, with_copes
from platewright.kinds.features import Off, RoundHole
from platewright.kinds.fitting import with_feature
from platewright.kinds.kind import Kind, catalogue
from platewright.kinds.making import Corner, Extras, Trim, make_bracket
from platewright.kinds.placing import station_zero
from platewright.kinds.scribe import Scribe, with_scribed
from platewright.plate.bend import Crease
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.edit import trim_edge
from platewright.plate.folded import folded
from platewright.plate.place import PlacedPanel, place
from platewright.plate.stock import MATERIALS, Stock

some = examples(60)
few = examples(25)


# --- the blank --------------------------------------------------------------------------------


@pytest.mark.parametrize("name", sorted(KINDS))
@few
@given(data=st.data())
def test_the_outline_is_simple_and_runs_anticlockwise(name: str, data) -> None:
    *_, bracket = data.draw(made(name))
    outline = blank_of(bracket).outline
    assert self_crossing(outline) is None
    assert outline.area > 0


@pytest.mark.parametrize("name", sorted(KINDS))
@few
@given(data=st.data())
def test_the_blank_is_its_panels_and_its_bend_strips(name: str, data) -> None:
    *_, bracket = data.draw(made(name))
    blank = blank_of(bracket)
    whole = sum(panel.contour.area for panel in bracket.root.walk())
    strips = sum(bend.allowance * bend.near.length for bend in blank.bends)
    assert blank.outline.area == pytest.approx(whole + strips, rel=1e-9)


@pytest.mark.parametrize("name", sorted(KINDS))
@few
@given(data=st.data())
def test_mirrored_twice_it_is_itself(name: str, data) -> None:
    *_, bracket = data.draw(made(name))
    twice = bracket.mirrored().mirrored()
    assert [p.name for p in twice.root.walk()] == [p.name for p in bracket.root.walk()]
    assert same_outline(blank_of(twice).outline, blank_of(bracket).outline)
    assert [c.start.words for c in twice.dimensions] == [c.start.words for c in bracket.dimensions]
    for mine, theirs in zip(bracket.dimensions, twice.dimensions, strict=True):
        near = folded(bracket).value(mine)
        assert folded(twice).value(theirs) == pytest.approx(near, abs=1e-6)


@some
@given(bracket=kind_brackets())
def test_the_other_hand_has_a_blank_that_is_the_mirror_image(bracket: Bracket) -> None:
    mirror = Motion.mirror_x()
    ours = blank_of(bracket).outline.moved(mirror)
    assert same_outline(blank_of(bracket.mirrored()).outline, ours)


@some
@given(bracket=kind_brackets())
def test_folded_or_flat_a_distance_on_one_panel_is_the_same(bracket: Bracket) -> None:
    flat, bent = folded(bracket, 0), folded(bracket, 1)
    for check in bracket.dimensions:
        if check.start.panel == check.end.panel:
            expected = flat.value(check)
            assert bent.value(check) == pytest.approx(expected, abs=1e-6)


def same_outline(one: Contour, other: Contour) -> bool:
    """Whether two outlines have the same corners, begun anywhere."""
    ours, theirs = one.corners, other.corners
    if len(ours) != len(theirs):
        return False
    first = min(range(len(theirs)), key=lambda i: theirs[i].distance(ours[0]))
    turned = theirs[first:] + theirs[:first]
    return all(a.distance(b) < 1e-6 for a, b in zip(ours, turned, strict=True))


# --- measured legs come out folded ------------------------------------------------------------

#: Share of the thickness below the inside face at which a leg is measured.
SHARE = {"inside": 0.0, "centre": 0.5, "outside": 1.0}


def leg_length(bracket: Bracket, name: str, to: str) -> float:
    """A strip's leg as a square would find it in space: corner to corner, or to the free end.

    A corner is where the measured faces of neighbouring legs meet; beyond a right angle it is the
    farthest place of the bend.
    """
    placed = {p.panel.name: p for p in place(bracket, 1)}
    along = placed[name].world_from_panel.x_axis
    bends = [b for b in folded(bracket).bends if name in names_of(bracket, b)]
    ends = [corner_along(bracket, placed, b, name, to) for b in bends]
    box = placed[name].panel.contour.bounds
    for x in (box.xmin, box.xmax):
        here = dot(along, placed[name].world_from_panel.point(Point(x, 0)))
        if not any(near_end(placed[name], b, name, x) for b in bends):
            ends.append(here)
    assert len(ends) == 2
    return abs(ends[1] - ends[0])


def names_of(bracket: Bracket, bend) -> tuple[str, str]:
    panels_ = place(bracket, 1)
    return panels_[bend.parent].panel.name, panels_[bend.child].panel.name


def near_end(leg: PlacedPanel, bend, name: str, x: float) -> bool:
    edge = bend.bend.base if bend.bend.panel.name == name else bend.bend.edge
    return abs(leg.panel.straight_edge(edge).start.x - x) < 1e-9


def corner_along(bracket, placed, bend, name: str, to: str) -> float:
    """Where a bend's measured corner stands along a leg."""
    leg = placed[name]
    other = next(n for n in names_of(bracket, bend) if n != name)
    along = leg.world_from_panel.x_axis
    thickness = bracket.stock.thickness
    depth = SHARE[to] * thickness
    z = -depth if bend.bend.direction == "up" else depth - thickness
    if bend.angle > math.pi / 2:
        return farthest(bend, along, leg, z, depth)
    return faces_meet(leg, placed[other], z, along)


def faces_meet(leg: PlacedPanel, other: PlacedPanel, z: float, along: Vector3) -> float:
    """Where the face of one leg meets that of the next, along the leg."""
    here, there = (p.world_from_panel.point(Point(0, 0), z) for p in (leg, other))
    normal, slope = other.world_from_panel.z_axis, leg.world_from_panel.x_axis
    share = (there - here).dot(normal) / slope.dot(normal)
    return dot(along, here + slope * share)


def farthest(bend, along: Vector3, leg: PlacedPanel, z: float, depth: float) -> float:
    """The place of a bend that lies farthest along a leg, away from the leg."""
    middle = dot(along, leg.world_from_panel.point(leg.panel.contour.bounds.centre, z))
    around = [dot(along, bend.point(0.0, k / 2000, depth)) for k in range(2001)]
    return max(around, key=lambda at: abs(at - middle))


def dot(along: Vector3, p: Point3) -> float:
    return along.x * p.x + along.y * p.y + along.z * p.z


STRIPS = [
    (channel, channels, ("left_flange", "web", "right_flange")),
    (zee, zees, ("left_flange", "web", "right_flange")),
    (hat, hats, ("left_foot", "top", "right_foot")),
]


@pytest.mark.parametrize(("module", "strategy", "keys"), STRIPS)
@few
@given(data=st.data())
def test_measured_legs_come_out_folded(module, strategy, keys, data) -> None:
    stock = data.draw(stocks)
    way, measured = data.draw(ways(stock.thickness)), data.draw(strategy)
    try:
        bracket = module.KIND.build(measured, stock, way)
    except BuildError:
        assume(False)
    for key in keys:
        found = leg_length(bracket, key.replace("_", " "), measured.measured_to)
        assert found == pytest.approx(getattr(measured, key), abs=0.002)


@few
@given(data=st.data())
def test_the_measured_legs_of_any_row_of_bends_come_out_folded(data) -> None:
    stock = data.draw(stocks)
    way, measured = data.draw(ways(stock.thickness)), data.draw(steppeds())
    try:
        bracket = stepped.KIND.build(measured, stock, way)
    except BuildError:
        assume(False)
    for number, step in enumerate(measured.leg, 1):
        found = leg_length(bracket, f"leg {number}", measured.measured_to)
        assert found == pytest.approx(step.length, abs=0.002)


@few
@given(drawn=made("clevis"))
def test_the_pins_of_a_clevis_are_in_line_and_a_jaw_apart(drawn) -> None:
    measured, _, _, bracket = drawn
    model = folded(bracket)
    inner = []
    for panel in bracket.root.walk():
        for pin in (hole for hole in panel.holes if hole.what.startswith("pin")):
            sides = (model.place_of(panel.name, pin.centre, f) for f in ("top", "underside"))
            inner.append(min(sides, key=lambda p: abs(p.x)))
    assert inner[0].distance(inner[1]) == pytest.approx(measured.jaw, abs=1e-6)
    assert inner[0].y == pytest.approx(inner[1].y, abs=1e-9)
    base = 0.0 if measured.direction == "down" else -bracket.stock.thickness
    assert abs(inner[0].z - base) == pytest.approx(measured.pin_height, abs=1e-6)


@few
@given(drawn=made("strap"))
def test_a_strap_is_as_long_as_its_arc_or_touches_its_tank(drawn) -> None:
    measured, stock, way, bracket = drawn
    facets = [p for p in bracket.root.walk() if p.name.startswith("facet")]
    step = measured.wrap / measured.bends
    if measured.middle == "rolled":
        each = way.allowance(step, stock.thickness)
        arc = (measured.radius + way.neutral_depth(stock.thickness)) * step
        if way.inside_radius(step, stock.thickness) > 0:
            assert all(f.contour.bounds.width + each == pytest.approx(arc) for f in facets)
        return
    centre = Point(0, measured.centre_height)
    for name in ("left", "right"):
        assert hole_span(bracket, name) == pytest.approx(measured.span / 2, abs=1e-6)
    for facet in facets:
        assert facet_gap(bracket, facet, centre) == pytest.approx(measured.radius, abs=1e-6)


def side_view(bracket: Bracket, p: Point3) -> Point:
    """A place seen along the strap, x across from the middle, y up from the mounting face."""
    model = folded(bracket)
    ears = [model.panel(f"{hand} ear") for hand in ("left", "right")]
    feet = [e.world_from_panel.point(e.panel.holes[0].centre, -model.thickness) for e in ears]
    across, up = (feet[1] - feet[0]).unit(), ears[0].world_from_panel.z_axis
    middle = feet[0].midpoint(feet[1])
    return Point((p - middle).dot(across), (p - middle).dot(up))


def hole_span(bracket: Bracket, hand: str) -> float:
    ear = folded(bracket).panel(f"{hand} ear")
    at = ear.panel.holes[0].centre
    return abs(side_view(bracket, ear.world_from_panel.point(at, -bracket.stock.thickness)).x)


def facet_gap(bracket: Bracket, facet: Panel, centre: Point) -> float:
    """From the tank's centre to the middle of a facet's inside face."""
    placed = folded(bracket).panel(facet.name)
    middle = placed.world_from_panel.point(facet.contour.bounds.centre, -bracket.stock.thickness)
    return side_view(bracket, middle).distance(centre)


# --- edits ------------------------------------------------------------------------------------


def free_edges(bracket: Bracket) -> list[tuple[Panel, str, str]]:
    """Straight edges that carry no bend, with a named edge that comes before each."""
    bent = {(p.name, b.edge) for p in bracket.root.walk() for b in p.bends}
    bent |= {(b.panel.name, b.base) for p in bracket.root.walk() for b in p.bends}
    found = []
    for panel in bracket.root.walk():
        names = {index: name for name, index in panel.edges}
        count = len(panel.contour.segments)
        for name, index in panel.edges:
            before = names.get((index - 1) % count)
            straight = isinstance(panel.contour.segments[index], Line)
            if straight and before and (panel.name, name) not in bent:
                found.append((panel, name, before))
    return found


@some
@given(bracket=kind_brackets(), data=st.data())
def test_scribing_by_zero_changes_nothing(bracket: Bracket, data) -> None:
    panel, edge, before = data.draw(st.sampled_from(free_edges(bracket)))
    off = data.draw(lengths(0, 30))
    # beside an edge bent at an inner corner the tape has its zero some way along
    zero, _ = station_zero(bracket, panel, edge, before, "zero_at")
    length = panel.straight_edge(edge).length - max(zero, 0.0)
    assume(length > 0)
    stations = sorted(data.draw(st.lists(st.floats(0, 1), min_size=1, max_size=6, unique=True)))
    scribe = Scribe(
        panel=panel.name,
        edge=edge,
        zero_at=before,
        hold_off=off,
        joined=data.draw(st.sampled_from(["straight", "smooth"])),
        readings=tuple((station * length, off) for station in stations),
    )
    assert with_scribed(bracket, (scribe,)) is bracket


@some
@given(bracket=kind_brackets(), data=st.data())
def test_a_trim_and_its_opposite_leave_the_blank_as_it_was(bracket: Bracket, data) -> None:
    panel, edge, _ = data.draw(st.sampled_from(free_edges(bracket)))
    by = data.draw(lengths(0.1, 3))
    try:
        there = trim_edge(bracket, panel.name, edge, -by)
        back = trim_edge(there, panel.name, edge, by)
    except GeometryError:
        assume(False)
    assert blank_of(back).outline.area == pytest.approx(blank_of(bracket).outline.area, rel=1e-7)
    assert there.root.name == bracket.root.name


@some
@given(bracket=kind_brackets(), data=st.data())
def test_a_trim_moves_the_edge_by_what_it_says_and_no_hole(bracket: Bracket, data) -> None:
    panel, edge, _ = data.draw(st.sampled_from(free_edges(bracket)))
    by = data.draw(lengths(-3, 3))
    try:
        trimmed = trim_edge(bracket, panel.name, edge, by)
    except GeometryError:
        assume(False)
    old, new = panel.straight_edge(edge), trimmed.panel(panel.name).straight_edge(edge)
    for end in (new.start, new.end):
        assert (end - old.start).dot(old.direction.left) == pytest.approx(by, abs=1e-6)
    assert [p.holes for p in trimmed.root.walk()] == [p.holes for p in bracket.root.walk()]
    place(trimmed, 1)


@some
@given(bracket=kind_brackets(), data=st.data())
def test_a_scribed_edge_passes_its_readings(bracket: Bracket, data) -> None:
    panel, edge, before = data.draw(st.sampled_from(free_edges(bracket)))
    line = panel.straight_edge(edge)
    assume(line.length > 40)
    shares = sorted(data.draw(st.sets(st.integers(2, 8), min_size=2, max_size=5)))
    readings = tuple((share / 10 * line.length, data.draw(lengths(-2, 2))) for share in shares)
    assume(any(offset for _, offset in readings))
    joined = data.draw(st.sampled_from(["straight", "smooth"]))
    scribe = Scribe(
        panel=panel.name, edge=edge, zero_at=before, joined=joined, tolerance=0.1, readings=readings
    )
    try:
        scribed = with_scribed(bracket, (scribe,))
    except BuildError:
        assume(False)
    contour = scribed.panel(panel.name).contour
    slack = 1e-6 if joined == "straight" else 0.1 + 1e-6
    zero, drawn = line.start, panel.drawn_edge(before)
    if drawn is not None:
        # a strap's small bends have no face of their own to count from
        to = {"arc": "outside", "corner": "inside"}.get(drawn.to)
        drawn = bracket.bent_edge(panel, before, to)
        # beside a bend, where the line that it was drawn to crosses the edge
        normal = drawn.line.direction.left
        share = (drawn.line.start - line.start).dot(normal) / line.direction.dot(normal)
        zero = line.start + line.direction * share
    for station, offset in readings:
        at = zero + line.direction * station + line.direction.right * offset
        assert contour.distance(at) < slack
    assert self_crossing(blank_of(scribed).outline) is None


@few
@given(bracket=kind_brackets(), data=st.data())
def test_a_coped_edge_keeps_out_of_its_tube(bracket: Bracket, data) -> None:
    """On both faces, whichever way the tube leans: nothing of the panel is nearer than its wall."""
    panel, edge, before = data.draw(st.sampled_from(free_edges(bracket)))
    line = panel.straight_edge(edge)
    angle = data.draw(degrees(20, 89) | st.just(math.pi / 2))
    radius, leaning = data.draw(lengths(4, 30)), angle < math.pi / 2
    towards = data.draw(st.sampled_from([name for name, _ in panel.edges]))
    cope = Cope(
        panel=panel.name,
        edge=edge,
        zero_at=before,
        at=data.draw(lengths(0, 1)) * line.length,
        beyond=data.draw(lengths(-0.6, 0.95)) * radius,
        diameter=2 * radius,
        angle=angle,
        leans_towards=towards if leaning else None,
        lean_turn=data.draw(degrees(-180, 180)) if leaning else 0.0,
    )
    zero, ahead = station_zero(bracket, panel, edge, before, "")
    along, out = line.direction, line.direction.right
    at = line.start + along * (zero + ahead * cope.at) + out * cope.beyond
    try:
        coped = with_copes(bracket, (cope,))
    except BuildError:
        assume(False)
    way = Vector(1, 0)
    if leaning:
        way = panel.straight_edge(towards).direction.right
        names = {index: name for name, index in panel.edges}
        own, count = panel.edge_index(edge), len(panel.contour.segments)
        for step in (1, -1):
            if names.get((own + step) % count) == towards:
                way = along * step
        way = way.turned(cope.lean_turn)
    axis = np.array([way.x * math.cos(angle), way.y * math.cos(angle), math.sin(angle)])
    for segment in coped.panel(panel.name).contour.segments:
        for p in (segment.point_at(i / 8) for i in range(9)):
            for z in (0.0, -bracket.stock.thickness):
                off = np.cross([p.x - at.x, p.y - at.y, z], axis)
                assert np.linalg.norm(off) > radius - 1e-3


@few
@given(bracket=kind_brackets(), data=st.data())
def test_two_scribed_passes_add_up(bracket: Bracket, data) -> None:
    panel, edge, before = data.draw(st.sampled_from(free_edges(bracket)))
    length = panel.straight_edge(edge).length
    assume(length > 40)
    first, second = data.draw(lengths(-1, 1)), data.draw(lengths(-1, 1))
    assume(first and second)

    def scribe(*offsets: float) -> tuple[Scribe, ...]:
        return tuple(
            Scribe(panel=panel.name, edge=edge, zero_at=before, readings=((length / 3, offset),))
            for offset in offsets
        )

    try:
        both = with_scribed(bracket, scribe(first, second))
        once = with_scribed(bracket, scribe(first + second))
    except BuildError:
        assume(False)
    assert blank_of(both).outline.area == pytest.approx(blank_of(once).outline.area, rel=1e-9)


# --- features and free panels -----------------------------------------------------------------


@some
@given(bracket=kind_brackets(), data=st.data())
def test_a_hole_stands_where_it_was_measured(bracket: Bracket, data) -> None:
    panel, edge, before = data.draw(st.sampled_from(free_edges(bracket)))
    one, other = panel.straight_edge(edge), panel.edge(before)
    assume(isinstance(other, Line) and abs(one.direction.cross(other.direction)) > 0.2)
    distances = data.draw(lengths(6, 20)), data.draw(lengths(6, 20))
    off = tuple(
        Off(edge=name, distance=d, bend_face=None)
        for name, d in zip((edge, before), distances, strict=True)
    )
    hole = RoundHole(panel=panel.name, name="extra", measured_from=off, size=SMALL)
    try:
        drilled = with_feature(bracket, hole, 1, "hole[1]")
    except BuildError:
        assume(False)
    checks = [c for c in drilled.dimensions if c.start.words == "extra"]
    model = folded(drilled)
    found = [model.value(c) for c in checks]
    assert found == pytest.approx(distances, abs=1e-6)


@some
@given(data=st.data())
def test_a_station_and_a_hole_count_from_one_place_on_card_and_plate(data) -> None:
    """What was read with the card held in place lies there when the plate stands there.

    A hole and a peak of a scribed line, equally far from the edge where the tape's zero was, stand
    at the same place along the edge; and the same on the card as on the plate, in the frame that
    the panel's other holes are measured in.
    """
    kind, strategy = KINDS[data.draw(st.sampled_from(sorted(KINDS)))]
    stock, measured = data.draw(stocks), data.draw(strategy)
    way = data.draw(ways(stock.thickness))
    plate = built(kind, measured, stock, way)
    card = built(kind, measured, Stock(1.0, MATERIALS["card"]), Crease())
    drawn, edge, zero = data.draw(st.sampled_from(free_edges(plate)))
    name = drawn.name
    line = plate.panel(name).straight_edge(edge)
    assume(
        line.length > 60
        and abs(line.direction.dot(plate.panel(name).edge(zero).end_direction)) < 1e-9
    )
    share = data.draw(lengths(0.3, 0.7))
    station = share * line.length
    found = []
    for bracket in (plate, card):
        scribe = Scribe(
            panel=name,
            edge=edge,
            zero_at=zero,
            readings=((station - 5, 0.0), (station, 0.8), (station + 5, 0.0)),
        )
        off = Off(edge=zero, distance=station), Off(edge=edge, distance=8.0)
        hole = RoundHole(panel=name, name="extra", measured_from=off, size=SMALL)
        try:
            drilled = with_feature(bracket, hole, 1, "hole[1]")
            scribed = with_scribed(drilled, (scribe,))
        except BuildError:
            assume(False)
        (at,) = (h.centre for h in scribed.panel(name).holes if h.what == "extra")
        own = bracket.panel(name).straight_edge(edge)
        corners = scribed.panel(name).contour.corners
        peak = max(corners, key=lambda p: (p - own.start).dot(own.direction.right))
        assert (peak - own.start).dot(own.direction.right) == pytest.approx(0.8)
        assert (peak - at).dot(own.direction) == pytest.approx(0, abs=1e-6)
        found.append(at)
    line_of = drawn.drawn_edge(zero)
    if line_of is not None and line_of.to not in ("flat", "arc"):
        # a flange's side may end with the bend beside it, and card has no such bend; what is drawn
        # flat, or to an arc that is rolled later, has no face to share: each counts from its own
        assert (found[1] - found[0]).dot(line.direction) == pytest.approx(0, abs=1e-6)


@some
@given(bracket=kind_brackets())
def test_free_panels_can_say_all_that_a_kind_can(bracket: Bracket) -> None:
    free = panels.KIND.build(as_panels(bracket), bracket.stock, way_of(bracket))
    assert same_outline(blank_of(free).outline, blank_of(bracket).outline)
    ours, theirs = place(bracket, 1), place(free, 1)
    for mine, other in zip(ours, theirs, strict=True):
        gap = mine.world_from_panel.origin - other.world_from_panel.origin
        assert gap.length < 1e-6
    assert bare(free).root.name == bare(bracket).root.name


def way_of(bracket: Bracket):
    """The one way that all bends of a kind's bracket are made; any will do when none is."""
    ways_ = [bend.way for panel in bracket.root.walk() for bend in panel.bends]
    return ways_[0] if ways_ else Crease()


# --- whatever a file says ---------------------------------------------------------------------


@pytest.mark.parametrize("name", sorted(set(catalogue()) - {"panels", "stepped"}))
@some
@given(data=st.data())
def test_anything_allowed_makes_a_sound_blank_or_is_refused(name: str, data) -> None:
    kind = catalogue()[name]
    stock = data.draw(stocks)
    way = data.draw(ways(stock.thickness))
    sound_or_refused(kind, data.draw(anything(kind.measurements)), stock, way, Extras())


@some
@given(drawn=st.sampled_from(sorted(KINDS)).flatmap(made), data=st.data())
def test_anything_done_to_an_edge_is_sound_or_refused(drawn, data) -> None:
    measured, stock, way, bracket = drawn
    kind = next(k for k, _ in KINDS.values() if isinstance(measured, k.measurements))
    panel, edge, before = data.draw(st.sampled_from(free_edges(bracket)))
    place_ = {"panel": panel.name, "edge": edge}
    scribe = dataclasses.replace(data.draw(anything(Scribe)), **place_, zero_at=before)
    trim = dataclasses.replace(data.draw(anything(Trim)), **place_)
    corner = dataclasses.replace(data.draw(anything(Corner)), **place_, next_to=before)
    one = data.draw(
        st.sampled_from([{"scribe": (scribe,)}, {"trim": (trim,)}, {"corner": (corner,)}])
    )
    sound_or_refused(kind, measured, stock, way, Extras(**one))


def sound_or_refused(kind: Kind, measured, stock, way, extras: Extras) -> None:
    try:
        bracket = make_bracket(kind, measured, stock, way, extras)
    except BuildError:
        return
    outline = blank_of(bracket).outline
    assert self_crossing(outline) is None
    assert outline.area > 0
    place(bracket, 1)
