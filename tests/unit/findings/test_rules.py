"""Each rule once: a bracket that breaks it, and the same bracket put right."""

import math
from collections.abc import Iterable
from dataclasses import replace

import pytest

from laws.strategies_bracket import rectangle
from platewright.findings.case import Context
from platewright.findings.finding import SEVERITIES, Finding
from platewright.findings.rules import RULES, findings, must_change
from platewright.geometry.build import obround
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Motion, Point, Vector
from platewright.plate.bend import BendWay, Brake, Crease, ScoreFold
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bend, Body, Bracket, Cutout, Hole, Panel
from platewright.plate.detail import Detail
from platewright.plate.stock import MATERIALS, Stock
from platewright.shop.hardware import BOLTS, PORTS
from platewright.shop.scores import Effort
from platewright.shop.wall import strength_of

T = 5.0
RIGHT = math.pi / 2
SCORE = ScoreFold(groove=3.0, ligament=1.0)
BRAKE = Brake(radius=12.0, k=0.42)


def plain(name: str, at: tuple[float, float], diameter: float) -> Hole:
    return Hole(what=name, centre=Point(*at), diameter=diameter)


def bolt(name: str, at: tuple[float, float], size: str = "M10") -> Hole:
    listed = BOLTS[size]
    return Hole(
        what=name, centre=Point(*at), diameter=listed.normal, role="bolt", fastener=listed.diameter
    )


def port(at: tuple[float, float], size: str = "G 1/4") -> Hole:
    listed = PORTS[size]
    return Hole(
        what="port", centre=Point(*at), diameter=listed.hole, role="port", fastener=listed.diameter
    )


def leg(edge: str, panel: Panel, way: BendWay = SCORE, **other: object) -> Bend:
    told = {"angle": RIGHT, "direction": "up"} | other
    return Bend(edge=edge, panel=panel, way=way, **told)


def part(*bends: Bend, holes: Iterable[Hole] = (), width: float = 200.0, depth: float = 120.0,
         thickness: float = T, **other: object) -> Bracket:  # fmt: skip
    root = rectangle("plate", width, depth, bends=bends, holes=tuple(holes))
    return Bracket(stock=Stock(thickness, MATERIALS["A36"]), root=root, **other)


def found(bracket: Bracket, rule: str, **context: object) -> list[Finding]:
    blank = blank_of(bracket)
    return [f for f in findings(bracket, blank, Context(**context)) if f.rule == rule]


def gusset(width: float = 120.0, depth: float = 80.0) -> Panel:
    return rectangle("gusset", width, depth)


# --- the table --------------------------------------------------------------------------------


def test_a_sound_bracket_has_nothing_to_tell() -> None:
    sound = part(leg("left end", gusset()), holes=[bolt("bolt hole 1", (100, 60))])
    assert findings(sound, blank_of(sound)) == ()


def test_rules_have_names_of_their_own() -> None:
    names = [rule.name for rule in RULES]
    assert len(names) == len(set(names))
    assert all(rule.source for rule in RULES)


def test_worst_comes_first() -> None:
    bad = part(
        leg("left end", gusset(), Brake(2.0, 0.4)),
        holes=[plain("small", (100, 60), 4.0), plain("off", (199, 60), 12.0)],
    )
    severities = [finding.severity for finding in findings(bad, blank_of(bad))]
    assert severities == sorted(severities, key=SEVERITIES.index)
    assert {"impossible", "change", "note"} <= set(severities)
    told = findings(bad, blank_of(bad))
    assert must_change(told)
    assert not must_change(())


# --- holes ------------------------------------------------------------------------------------


def test_a_hole_over_the_edge_is_impossible() -> None:
    (finding,) = found(part(holes=[plain("hole", (196, 60), 12.0)]), "hole off the plate")
    assert finding.severity == "impossible"
    assert finding.measured.value == pytest.approx(4.0)
    assert not found(part(holes=[plain("hole", (190, 60), 12.0)]), "hole off the plate")


def test_a_mark_must_only_lie_on_the_plate() -> None:
    mark = replace(plain("pilot", (199, 60), 12.0), cut=False)
    assert not found(part(holes=[mark]), "hole off the plate")
    outside = replace(plain("pilot", (201, 60), 12.0), cut=False)
    (finding,) = found(part(holes=[outside]), "hole off the plate")
    assert finding.measured.value == pytest.approx(-1.0)


def test_a_cutout_over_the_edge_is_impossible() -> None:
    slot = Cutout("slot", rectangle("x", 30.0, 8.0).contour.moved(Motion(e=185, f=50)))
    sound = part()
    bad = replace(sound, root=replace(sound.root, cutouts=(slot,)))
    (finding,) = found(bad, "hole off the plate")
    assert finding.place == "slot, edge of the blank"


def test_bolts_keep_the_standards_edge_distance() -> None:
    """M10 in an 11 mm hole: 1.2 d0 = 13.2 (EN 1993-1-8 Table 3.3)."""
    (finding,) = found(part(holes=[bolt("bolt", (187, 60))]), "hole edge distance")
    assert (finding.measured.value, finding.limit.value) == pytest.approx((13.0, 13.2))
    assert finding.source == "EN 1993-1-8 Table 3.3"
    assert not found(part(holes=[bolt("bolt", (186.8, 60))]), "hole edge distance")


def test_half_inch_bolts_keep_the_american_one() -> None:
    """1/2 in: 3/4 in (AISC 360-16 Table J3.4)."""
    (finding,) = found(part(holes=[bolt("bolt", (181, 60), "1/2")]), "hole edge distance")
    assert finding.limit.value == pytest.approx(19.05)
    assert "AISC" in finding.source


def test_other_holes_keep_a_thickness_of_metal() -> None:
    (finding,) = found(part(holes=[plain("hole", (190, 60), 12.0)]), "hole edge distance")
    assert finding.limit.value == pytest.approx(11.0)
    assert "common practice" in finding.source


def test_the_edge_of_a_cutout_counts() -> None:
    slot = Cutout("slot", rectangle("x", 30.0, 8.0).contour.moved(Motion(e=80, f=50)))
    sound = part(holes=[bolt("bolt", (95, 66))])
    bad = replace(sound, root=replace(sound.root, cutouts=(slot,)))
    (finding,) = found(bad, "hole edge distance")
    assert finding.place == "bolt, slot"


def test_bolts_keep_apart() -> None:
    """M10: 2 2/3 d (AISC 360-16 J3.3) is more than 2.4 d0 (EN 1993-1-8 Table 3.3)."""
    near = part(holes=[bolt("one", (90, 60)), bolt("two", (116, 60))])
    (finding,) = found(near, "hole to hole")
    assert (finding.measured.value, finding.limit.value) == pytest.approx((26.0, 80 / 3))
    assert finding.place == "one to two"
    assert finding.source == "AISC 360-16 J3.3, 2 2/3 d"


def slotted(x: float, *holes: Hole) -> Bracket:
    """A slot 30 by 8 from (x, 50), and holes."""
    slot = Cutout("slot", rectangle("x", 30.0, 8.0).contour.moved(Motion(e=x, f=50)))
    bare = part(holes=holes)
    return replace(bare, root=replace(bare.root, cutouts=(slot,)))


def test_holes_that_run_into_each_other_cannot_be_cut() -> None:
    near = part(holes=[plain("one", (90, 60), 12.0), plain("two", (99.9, 60), 8.0)])
    (finding,) = found(near, "openings overlap")
    assert finding.severity == "impossible"
    assert finding.place == "one and two, which run into each other"
    assert not found(near, "hole to hole")
    touching = part(holes=[plain("one", (90, 60), 12.0), plain("two", (100, 60), 8.0)])
    assert not found(touching, "openings overlap")


def test_a_hole_on_a_pilot_is_no_overlap() -> None:
    pilot = replace(plain("two", (90, 60), 8.0), cut=False)
    assert not found(part(holes=[plain("one", (90, 60), 12.0), pilot]), "openings overlap")


@pytest.mark.parametrize(
    ("at", "diameter", "overlaps"),
    [
        ((95.0, 54.0), 4.0, True),  # within the slot
        ((95.0, 54.0), 90.0, True),  # all round it
        ((95.0, 61.0), 8.0, True),  # over its edge
        ((95.0, 63.0), 8.0, False),
    ],
)
def test_a_hole_in_a_cutout_cannot_be_cut(
    at: tuple[float, float], diameter: float, overlaps: bool
) -> None:
    assert bool(found(slotted(80, plain("one", at, diameter)), "openings overlap")) is overlaps


def with_cutouts(*cutouts: Cutout) -> Bracket:
    bare = part()
    return replace(bare, root=replace(bare.root, cutouts=cutouts))


def window(what: str, x: float, y: float) -> Cutout:
    """A cut-out 30 by 8 with its lower left corner there."""
    return Cutout(what, rectangle("x", 30.0, 8.0).contour.moved(Motion(e=x, f=y)))


def test_a_cutout_keeps_a_thickness_of_metal_to_the_edge() -> None:
    """Common practice, no published source: as round a plain hole."""
    (finding,) = found(with_cutouts(window("window", 60, T - 1)), "cut-out edge distance")
    assert finding.place == "window, nearest edge"
    assert (finding.measured.value, finding.limit.value) == pytest.approx((T - 1, T))
    assert not found(with_cutouts(window("window", 60, T)), "cut-out edge distance")


def test_two_cutouts_keep_a_thickness_between() -> None:
    near = with_cutouts(window("one", 60, 50), window("two", 60, 58 + T - 2))
    (finding,) = found(near, "cut-out edge distance")
    assert finding.place == "two, one"
    assert finding.measured.value == pytest.approx(T - 2)
    assert not found(with_cutouts(window("one", 60, 50), window("two", 60, 58 + T)), finding.rule)


@pytest.mark.parametrize("turned", [0.0, RIGHT])
def test_a_slot_for_a_bolt_keeps_half_as_much_again_to_side_and_end(turned: float) -> None:
    """M10 in an 11 mm slot: e3 and e4 1.5 d0 = 16.5 (EN 1993-1-8 Table 3.3, from memory)."""
    slot = obround(Point(-10, 0), Point(10, 0), 11.0).moved(Motion.rotation(turned))
    reach = 0.0 if turned == 0.0 else 10.0  # of the ends' centres towards the edge

    def at(y: float) -> Bracket:
        moved = slot.moved(Motion(e=100, f=y + reach))
        return with_cutouts(Cutout("slot", moved, "for M10 bolt", 10.0))

    (finding,) = found(at(16.0), "cut-out edge distance")
    assert (finding.measured.value, finding.limit.value) == pytest.approx((16.0, 16.5))
    assert finding.source == "EN 1993-1-8 Table 3.3, slots, 1.5 d0"
    assert not found(at(16.5), "cut-out edge distance")


def test_a_slot_for_a_large_bolt_keeps_what_its_hole_would() -> None:
    """1/2 in through a narrow slot: the row of AISC 360-16 Table J3.4, 3/4 in, is more."""
    slot = obround(Point(90, 18), Point(110, 18), 12.0)
    told = found(
        with_cutouts(Cutout("slot", slot, "for 1/2 in bolt", 12.7)), "cut-out edge distance"
    )
    assert [finding.limit.value for finding in told] == pytest.approx([19.05])


def test_a_bolt_and_another_hole_keep_a_thickness_between() -> None:
    near = part(holes=[bolt("one", (90, 60)), plain("two", (104, 60), 10.0)])
    (finding,) = found(near, "hole to hole")
    assert finding.limit.value == pytest.approx(10.5 + T)


def test_a_hole_keeps_a_thickness_from_a_groove() -> None:
    near = part(leg("right end", gusset(120)), holes=[plain("hole", (192, 60), 8.0)])
    (finding,) = found(near, "hole to bend")
    assert (finding.measured.value, finding.limit.value) == pytest.approx((4.0, T))


def test_a_hole_keeps_two_from_a_brake_bend() -> None:
    near = part(leg("right end", gusset(120), BRAKE), holes=[plain("hole", (187, 60), 8.0)])
    (finding,) = found(near, "hole to bend")
    assert (finding.measured.value, finding.limit.value) == pytest.approx((9.0, 2 * T))


def test_holes_of_the_child_count_too() -> None:
    child = replace(gusset(120), holes=(plain("hole", (60, 7), 8.0),))
    (finding,) = found(part(leg("right end", child)), "hole to bend")
    assert finding.measured.value == pytest.approx(3.0)


def test_a_cutout_keeps_clear_of_a_bend() -> None:
    slot = Cutout("slot", rectangle("x", 8.0, 30.0).contour.moved(Motion(e=189, f=50)))
    sound = part(leg("right end", gusset(120)))
    bad = replace(sound, root=replace(sound.root, cutouts=(slot,)))
    (finding,) = found(bad, "hole to bend")
    assert finding.measured.value == pytest.approx(3.0, abs=1e-4)


def test_small_holes_are_drilled() -> None:
    (finding,) = found(part(holes=[plain("hole", (100, 60), 7.0)]), "hole too small for plasma")
    assert (finding.severity, finding.limit.value) == ("note", 7.5)
    assert not found(part(holes=[plain("hole", (100, 60), 7.0)]), "hole too small for plasma",
                     hole_factor=1.0)  # fmt: skip


# --- room -------------------------------------------------------------------------------------


def test_a_washer_does_not_ride_up_a_bend() -> None:
    """M10 washer 20 mm (ISO 7089, memory): 10 mm to the groove."""
    near = part(leg("right end", gusset(120)), holes=[bolt("bolt", (191, 60))])
    places = {f.place: f.measured.value for f in found(near, "washer room")}
    assert places["washer at bolt, bend 1"] == pytest.approx(9.0, abs=1e-4)
    clear = part(leg("right end", gusset(120)), holes=[bolt("bolt", (180, 60))])
    assert not found(clear, "washer room")


def test_a_socket_needs_room_beside_a_gusset() -> None:
    """Hex 16 across flats, socket 24: 12 mm to the gusset's inside face."""
    near = part(leg("right end", gusset(120)), holes=[bolt("bolt", (190, 60))])
    (finding,) = found(near, "socket room")
    assert finding.severity == "note"
    assert finding.place == "socket on bolt, gusset, top face"
    radius = SCORE.inside_radius(RIGHT, T)
    assert finding.measured.value == pytest.approx(10.0 + radius)


def test_a_gusset_down_is_in_the_way_on_the_underside() -> None:
    near = part(leg("right end", gusset(120), direction="down"), holes=[bolt("bolt", (190, 60))])
    (finding,) = found(near, "socket room")
    assert "underside" in finding.place


def test_a_fitting_keeps_clear_of_bolts() -> None:
    """G 1/4: hex to 1.4 x 13.157 across flats, 21.3 over its corners; M10 washer 20."""
    near = part(holes=[bolt("bolt", (100, 60)), port((119, 60))])
    (finding,) = found(near, "fitting against bolts")
    assert finding.measured.value == pytest.approx(19 - 13.157 * 1.4 / math.sqrt(3))
    assert found(near, "socket room")
    assert not found(
        part(holes=[bolt("bolt", (100, 60)), port((125, 60))]), "fitting against bolts"
    )


def body(**other: object) -> Body:
    told = {"centre": Point(100, 60), "plate_diameter": 100.0, "diameter": 120.0, "clearance": 10.0}
    return Body(**(told | other))


def test_bolts_beside_the_body_lose_its_room() -> None:
    near = part(holes=[bolt("bolt", (170, 60))], body=body())
    (finding,) = found(near, "socket room")
    assert finding.measured.value == pytest.approx(10.0)
    inside = part(holes=[bolt("bolt", (130, 60))], body=body())
    assert not found(inside, "socket room")


def test_the_bodys_plate_lies_on_metal() -> None:
    over = part(body=body(plate_diameter=124.0, diameter=130.0))
    (finding,) = found(over, "plate circle supported")
    assert (finding.measured.value, finding.limit.value) == pytest.approx((60.0, 62.0))
    assert not found(part(body=body()), "plate circle supported")


def test_the_body_keeps_its_clearance_from_a_gusset() -> None:
    near = part(leg("right end", gusset(120)), body=body(diameter=190.0, clearance=10.0))
    (finding,) = found(near, "body room")
    inside = 100 + SCORE.inside_radius(RIGHT, T)
    assert (finding.measured.value, finding.limit.value) == pytest.approx((inside, 105.0))
    assert "rubs" not in finding.change
    rubbing = part(leg("right end", gusset(120)), body=body(diameter=210.0))
    assert "rubs" in found(rubbing, "body room")[0].change


def test_a_gusset_on_the_other_face_is_not_in_the_bodys_way() -> None:
    down = leg("right end", gusset(120), direction="down")
    assert not found(part(down, body=body(diameter=300.0)), "body room")
    assert found(part(down, body=body(diameter=300.0, face="underside")), "body room")


def test_a_lip_that_swings_past_the_body_is_told() -> None:
    """A lip folded back out ends clear of the body, but sweeps inwards on its way."""
    lip = leg("far edge", rectangle("lip", 120.0, 60.0), angle=math.radians(170))
    post = leg("right end", rectangle("post", 120.0, 60.0, bends=(lip,)), angle=math.radians(100))
    swinging = part(post, body=body(diameter=194.0, clearance=0.0))
    told = found(swinging, "body room")
    assert told
    assert told[0].severity == "change"


def test_weld_toes_at_the_wall_keep_off_the_body() -> None:
    against = body(diameter=198.0, clearance=0.0, centre=Point(100, 3))
    tight = part(leg("right end", gusset(120)), wall="base", body=against)
    told = found(tight, "weld beside the body")
    assert told[0].place.startswith("weld of gusset to the wall")
    thin = found(tight, "weld beside the body", weld_leg=0.5)
    assert thin == []


def test_a_filled_groove_on_the_bodys_face_is_ground_flush() -> None:
    crowned = part(leg("right end", gusset(120), direction="down"), body=body(diameter=204.0))
    (finding,) = found(crowned, "weld beside the body")
    assert finding.measured.value == pytest.approx(100.0)
    below = part(leg("right end", gusset(120), direction="up"), body=body(diameter=204.0))
    assert not found(below, "weld beside the body")


def test_drift_needs_its_room_to_wall_and_gusset() -> None:
    walled = part(leg("right end", gusset(120)), wall="base", body=body(diameter=100.0, drift=20.0))
    (finding,) = found(walled, "body drift")
    assert finding.place == "body at its fullest, wall"
    assert finding.measured.value == pytest.approx(10.0)
    known = replace(walled, body=body(diameter=100.0))
    assert not found(known, "body drift")
    assert len(found(known, "body drift", drift=60.0)) == 2


# --- bends ------------------------------------------------------------------------------------


def test_a_short_leg_falls_into_the_die() -> None:
    short = part(leg("right end", gusset(120, 10), BRAKE))
    (finding,) = found(short, "leg too short")
    assert finding.severity == "change"
    assert finding.measured.value == pytest.approx(10)
    # radius 12: a die of 72; from the outside corner to its shoulder 36 / cos 45
    assert finding.limit.value == pytest.approx(36 * math.sqrt(2) - 12 - T)


@pytest.mark.parametrize("degrees", [60, 90, 120, 150, 170])
def test_the_flat_that_stands_on_the_die_is_judged_at_every_angle(degrees) -> None:
    """3 mm of flat is too little for any die of 72; a setback beyond the tangent is no flat."""
    angle = math.radians(degrees)
    (finding,) = found(part(leg("right end", gusset(120, 3), BRAKE, angle=angle)), "leg too short")
    assert finding.severity == "change"
    assert finding.measured.value == pytest.approx(3)


def test_a_tapered_leg_is_only_noted() -> None:
    corners = [Point(0, 0), Point(120, 0), Point(120, 80), Point(0, 8)]
    taper = Panel(name="gusset", contour=Contour.polygon(corners), edges=(("base", 0),))
    (finding,) = found(part(leg("right end", taper, BRAKE)), "leg too short")
    assert finding.severity == "note"
    assert "narrow end" in finding.place


def test_hands_need_a_leg_to_hold() -> None:
    (finding,) = found(part(leg("right end", gusset(120, 12))), "leg too short")
    assert (finding.measured.value, finding.limit.value) == pytest.approx((12.0, 4 * T))


def test_a_thick_ligament_takes_more_than_hands() -> None:
    way = ScoreFold(groove=7.0, ligament=3.5)
    (finding,) = found(part(leg("right end", gusset(120), way)), "ligament too thick")
    assert finding.severity == "change"
    # plastic strip: 550 MPa x 120 x 3.5² / 4 over 300 mm
    assert finding.measured.value == pytest.approx(550 * 120 * 3.5**2 / 4 / 300)
    longer = Effort(lever=900.0)
    assert not found(part(leg("right end", gusset(120), way)), "ligament too thick", effort=longer)


def test_a_ligament_that_may_come_out_hard_is_noted() -> None:
    way = ScoreFold(groove=5.0, ligament=1.5)
    (finding,) = found(
        part(leg("right end", gusset(120), way)), "ligament too thick", effort=Effort(limit=100.0)
    )
    assert finding.severity == "note"


def test_a_thin_ligament_does_not_hold() -> None:
    (finding,) = found(
        part(leg("right end", gusset(120), ScoreFold(3.0, 0.3))), "ligament too thin"
    )
    assert finding.limit.value == 0.5


def test_a_fold_beyond_its_groove_pinches() -> None:
    way = ScoreFold(groove=1.0, ligament=1.5)
    (finding,) = found(part(leg("right end", gusset(120), way)), "fold beyond the groove")
    assert finding.measured.quantity == "angle"
    assert finding.limit.value == pytest.approx(2 * 1.0 / 1.5)
    assert found(part(leg("right end", gusset(120), way)), "ligament stretch")


def test_a_sharp_brake_bend_cracks() -> None:
    tight = part(leg("right end", gusset(120), Brake(5.0, 0.42)))
    (finding,) = found(tight, "bend radius too small")
    assert finding.severity == "change"
    assert finding.limit.value == pytest.approx(1.5 * 1.5 * T)
    (finding,) = found(part(leg("right end", gusset(120), Crease())), "bend radius too small")
    assert finding.change == "plate does not crease: bend it in a brake or over a score"


def test_grain_decides_between_the_two_radii() -> None:
    between = part(leg("right end", gusset(120), Brake(8.0, 0.42)))
    assert found(between, "bend radius too small")[0].severity == "note"
    # the bend runs along y: grain along x is across it
    assert found(between, "bend radius too small", grain=0.0) == []
    assert found(between, "bend radius too small", grain=RIGHT)[0].severity == "change"


def corner(start: float = 0.0, way: BendWay = SCORE) -> Bracket:
    one = leg("right end", gusset(120 - start), way, start=0.0, end=120 - start)
    two = Bend(edge="far edge", panel=rectangle("lip", 200.0 - start, 60.0), angle=RIGHT,
               direction="up", way=way, start=start, end=200.0)  # fmt: skip
    return part(one, two)


def test_bends_that_meet_need_relief() -> None:
    (finding,) = found(corner(), "missing corner relief")
    assert finding.measured.value == pytest.approx(0.0)
    assert finding.limit.value == T
    assert not found(corner(start=8.0), "missing corner relief")


def test_brake_bends_need_relief_by_their_radius() -> None:
    (finding,) = found(corner(start=4.0, way=BRAKE), "missing corner relief")
    assert finding.limit.value == pytest.approx(12.0)
    assert "FAA" in finding.source


def test_a_relief_that_is_cut_counts() -> None:
    bracket = corner(way=BRAKE)
    assert found(bracket, "missing corner relief")
    relieved = blank_of(bracket, Detail(relief="round"))
    told = [f.rule for f in findings(bracket, relieved)]
    assert "missing corner relief" not in told


def test_a_hole_at_the_corner_is_a_relief() -> None:
    bracket = corner()
    hole = plain("relief", (199, 119), 14.0)
    holed = replace(bracket, root=replace(bracket.root, holes=(hole,)))
    assert not found(holed, "missing corner relief")


def test_legs_on_one_edge_folded_apart_need_a_gap() -> None:
    up = leg("far edge", rectangle("up", 98.0, 60.0), start=0.0, end=98.0)
    down = leg("far edge", rectangle("down", 100.0, 60.0), direction="down", start=100.0, end=200.0)
    (finding,) = found(part(up, down), "missing corner relief")
    assert finding.measured.value == pytest.approx(2.0)


# --- strength ---------------------------------------------------------------------------------


def loaded(newtons: float) -> Context:
    """A shelf of 200 by 120 on its base edge, loaded at 60 mm."""
    return Context(strength=strength_of(part(wall="base"), newtons, arm=60.0))


def test_a_stress_beyond_its_limit_must_be_changed() -> None:
    """200 x 5 plate: 200 * 5^2 / 6 = 833.3 mm3; 250 / 1.67 MPa of A36 by 2079 N at 60 mm."""
    shelf = part(wall="base")
    yields = 250 / 1.67 * (200 * 25 / 6) / 60
    below, above = (
        [
            f
            for f in findings(shelf, blank_of(shelf), loaded(share * yields))
            if "section" in f.place
        ]
        for share in (0.99, 1.2)
    )
    assert not below
    (finding,) = above
    assert finding.rule == "strength screen"
    assert finding.severity == "change"
    assert (finding.measured.value, finding.limit.value) == pytest.approx((1.2, 1.0))
    assert "least yield of A36" in finding.place
    assert "approves nothing" in finding.source


def test_the_weld_is_screened_too() -> None:
    shelf = part(wall="base")
    told = {f.place for f in findings(shelf, blank_of(shelf), loaded(50000.0))}
    assert any("weld" in place and "AISC 360-16 J2.4" in place for place in told)


# --- the whole --------------------------------------------------------------------------------


def test_panels_over_each_other_in_the_flat_are_impossible() -> None:
    """An arm down from the left flap and a wing out from the front flap want the same metal."""
    arm = leg("left end", rectangle("arm", 60.0, 100.0))
    left = leg("left end", rectangle("left", 100.0, 60.0, bends=(arm,)), start=0.0, end=100.0)
    wing = leg("right end", rectangle("wing", 80.0, 50.0))
    front = leg("base", rectangle("front", 190.0, 80.0, bends=(wing,)), start=0.0, end=190.0)
    told = found(part(left, front), "blank overlaps itself")
    assert any("arm" in f.place and "wing" in f.place for f in told)
    assert all(f.severity == "impossible" for f in told)


def test_an_outline_that_crosses_itself_is_impossible() -> None:
    crossing = [Point(0, 0), Point(100, 0), Point(100, 60), Point(50, -10), Point(0, 60)]
    root = Panel(name="plate", contour=Contour.polygon(crossing))
    bad = Bracket(stock=Stock(T, MATERIALS["A36"]), root=root)
    (finding,) = found(bad, "blank overlaps itself")
    assert finding.place == "outline of plate"


def leaning(angle: float) -> Bracket:
    tall = [
        leg(edge, rectangle(edge, 100.0, 90.0), angle=math.radians(angle))
        for edge in ("left end", "right end")
    ]
    return part(*tall, width=80.0, depth=100.0)


def test_panels_that_pass_through_each_other_are_impossible() -> None:
    (finding, *_) = found(leaning(125), "panels pass through each other")
    assert finding.severity == "impossible"
    assert "first with bend" in finding.place
    assert not found(leaning(95), "panels pass through each other")


def test_panels_that_meet_only_on_the_way_are_a_matter_of_order() -> None:
    """A long lip swings through the opposite wall and comes to rest beyond it."""
    lip = leg("far edge", rectangle("lip", 100.0, 110.0), angle=math.radians(150))
    left = leg("left end", rectangle("left", 100.0, 60.0, bends=(lip,)))
    right = leg("right end", rectangle("right", 100.0, 75.0))
    told = found(part(left, right, width=80.0, depth=100.0), "panels pass through each other")
    assert {f.severity for f in told} <= {"change", "impossible"}
    assert any("while folding" in f.place for f in told)


def test_a_panel_that_stands_in_the_wall_is_told() -> None:
    long_one = leg("right end", gusset(120), angle=RIGHT)
    skew = rectangle("tail", 80.0, 40.0)
    tailed = replace(long_one, panel=replace(gusset(120), bends=(
        leg("left end", skew, angle=math.radians(20)),)))  # fmt: skip
    walled = part(tailed, wall="far edge")
    (finding,) = found(walled, "panel stands in the wall")
    assert finding.place == "tail, wall"
    assert finding.measured.value < 0


def test_a_small_sheet_is_told_by_its_tight_side() -> None:
    (finding,) = found(part(), "larger than the sheet", sheet=(100.0, 300.0))
    assert finding.bound == "at most"
    assert finding.limit.value == 100.0
    assert not found(part(), "larger than the sheet", sheet=(125.0, 205.0))


def test_a_sheet_may_be_used_slantwise() -> None:
    """A strip 10 wide and longer than the sheet's sides fits along its diagonal."""
    strip = part(width=300.0, depth=10.0)
    assert not found(strip, "larger than the sheet", sheet=(230.0, 230.0))
    assert found(strip, "larger than the sheet", sheet=(205.0, 205.0))


def test_slits_narrower_than_the_kerf_are_told() -> None:
    one = leg("far edge", rectangle("one", 99.5, 60.0), start=0.0, end=99.5)
    two = leg("far edge", rectangle("two", 99.5, 60.0), start=100.5, end=200.0)
    (finding,) = found(part(one, two), "no room for the torch", kerf=1.5)
    assert (finding.measured.value, finding.limit.value) == pytest.approx((1.0, 1.5))
    assert not found(part(one, two), "no room for the torch", kerf=0.5)


def test_a_moved_blank_gives_the_same_findings() -> None:
    bad = part(leg("right end", gusset(120)), holes=[plain("hole", (192, 60), 7.0)])
    blank = blank_of(bad)
    turned = blank.moved(Motion.rotation(0.7) @ Motion.translation(Vector(30, -80)))
    for one, other in zip(findings(bad, blank), findings(bad, turned), strict=True):
        assert (one.rule, one.place) == (other.rule, other.place)
        if one.measured is not None:
            assert one.measured.value == pytest.approx(other.measured.value, abs=1e-6)
