"""Laws of the work on the metal."""

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from laws.effort import examples
from laws.strategies_shop import (
    angles,
    bolts,
    lengths,
    metals,
    ports,
    rectangles,
    scores,
    thicknesses,
    welds,
)
from platewright.errors import UnitError
from platewright.findings.holes import aisc_edge, least_edge
from platewright.plate.bend import SHARPEST_DIE, Brake, ScoreFold, corner_setback
from platewright.plate.stock import Stock
from platewright.shop.brake import least_radius
from platewright.shop.hardware import clearance_hole, parse_bolt_size, parse_port_size
from platewright.shop.scores import (
    LEVER,
    PUSH_LIMIT,
    Effort,
    Score,
    greatest_ligament,
    suggest_ligament,
)
from platewright.shop.strength import (
    least_fillet,
    plate_screen,
    section,
    weld_group,
    weld_screen,
)

modest = examples(60)
ROOM = 1 + 1e-9


# --- scores -------------------------------------------------------------------------------------


@modest
@given(scores(), angles)
def test_weld_grows_with_the_angle(score: Score, other: float) -> None:
    low, high = sorted((score.angle, other))
    less, more = replace(score, angle=low), replace(score, angle=high)
    assert less.channel_area <= more.channel_area * ROOM


@modest
@given(scores())
def test_weld_is_more_than_the_groove_took(score: Score) -> None:
    assert score.weld_volume * ROOM >= score.way.groove * score.depth * score.length


@modest
@given(scores(angle=1.0))
def test_channel_is_groove_and_wedge_until_the_radius_is_used_up(score: Score) -> None:
    angle = min(score.angle, score.greatest_fold)
    wedge = score.depth * (score.way.groove + angle * score.thickness / 2)
    assert replace(score, angle=angle).channel_area == pytest.approx(wedge)


@modest
@given(scores())
def test_an_outside_groove_opens(score: Score) -> None:
    assert score.opening * ROOM >= score.way.groove


@modest
@given(scores())
def test_on_the_wrong_face_the_groove_shuts_where_its_edges_meet(score: Score) -> None:
    """The edges stand square to the ligament's ends, as deep as ground, on the inside."""
    ligament, angle = score.way.ligament, min(score.shut_angle, math.pi)
    middle = score.way.groove / angle
    edge = middle - ligament / 2 - score.depth
    gap = 2 * edge * math.sin(angle / 2)
    assert gap == pytest.approx(0, abs=1e-9) if angle < math.pi else gap >= -1e-9


@modest
@given(scores())
def test_the_ligament_stretches_at_most_to_double(score: Score) -> None:
    assert 0 < score.stretch <= 1
    if score.angle < score.greatest_fold * 0.999:
        assert score.stretch < 1


@modest
@given(thicknesses, lengths(1, 3000), metals, lengths(50, 600), lengths(100, 2000))
def test_suggested_ligament_folds_by_hand_or_says_not(thickness, length, metal, limit, lever):
    found = suggest_ligament(thickness, length, metal, Effort(limit=limit, lever=lever))
    score = Score(
        way=ScoreFold(groove=2.0, ligament=found.value),
        thickness=thickness,
        angle=1.0,
        length=length,
    )
    hardest = score.moment(metal.ultimate_high_mpa) / lever
    assert 0 < found.value <= thickness / 2
    assert found.value <= max(thickness / 4, 0.5)
    assert (hardest > limit * ROOM) == ("longer lever" in found.reason)


@modest
@given(thicknesses, lengths(1, 3000), lengths(1, 3000), metals)
def test_a_longer_bend_never_gets_a_thicker_ligament(thickness, a, b, metal) -> None:
    short, long = sorted((a, b))
    of_short, of_long = (suggest_ligament(thickness, each, metal) for each in (short, long))
    assert of_long.value <= of_short.value * ROOM


@modest
@given(lengths(1, 3000), metals)
def test_greatest_ligament_is_the_push_turned_about(length, metal) -> None:
    ligament = greatest_ligament(length, metal)
    score = Score(way=ScoreFold(2.0, ligament), thickness=25.0, angle=1.0, length=length)
    assert score.moment(metal.ultimate_high_mpa) / LEVER == pytest.approx(PUSH_LIMIT)


# --- bending ------------------------------------------------------------------------------------


@modest
@given(lengths(0, 60), lengths(0.5, 20), lengths(0, 0.5), st.floats(0.05, 3.1))
def test_a_leg_of_the_least_flat_never_leaves_the_dies_shoulder(radius, thickness, k, angle):
    """At every turn of the stroke the outside face reaches from its corner over half the die."""
    way = Brake(radius, k)
    die, turn = way.die(thickness), min(angle, SHARPEST_DIE)
    assume(die is not None)
    flat = way.least_flat(angle, thickness)
    for share in (0.001, 0.1, 0.3, 0.5, 0.7, 0.9, 1.0):
        now = share * turn
        not_yet_bent = (way.allowance(turn, thickness) - way.allowance(now, thickness)) / 2
        corner = corner_setback(way, now, thickness)
        assert (flat + not_yet_bent + corner) * math.cos(now / 2) >= die / 2 - 1e-9


@modest
@given(metals, lengths(0.5, 25), lengths(0.5, 25), st.booleans())
def test_thicker_plate_never_bends_tighter(metal, a, b, along) -> None:
    found = [least_radius(metal, each, along_grain=along) for each in sorted((a, b))]
    assume(None not in found)
    thin, thick = (each.radius for each in found if each is not None)
    assert thin <= thick * ROOM


# --- hardware and edges -------------------------------------------------------------------------


@modest
@given(bolts, st.sampled_from(["in", "mm"]))
def test_a_bolt_reads_back_from_its_designation(bolt, unit) -> None:
    assert parse_bolt_size(bolt.designation, unit) is bolt
    holes = [clearance_hole(bolt, fit) for fit in ("close", "normal", "loose")]
    assert bolt.diameter < holes[0] < holes[1] < holes[2]


@modest
@given(ports, st.sampled_from(["in", "mm"]))
def test_a_port_reads_back_from_its_designation(port, unit) -> None:
    assert parse_port_size(port.designation, unit) is port


@modest
@given(
    st.integers(1, 640).map(lambda n: f"hole {n}/64") | lengths(0.01, 11).map("hole {:.3f}".format),
    st.sampled_from(["in", "mm"]),
    st.sampled_from(["in", "mm"]),
)
def test_a_drilled_hole_reads_back_in_either_unit(text, unit, other) -> None:
    hole = parse_bolt_size(text, unit)
    assert parse_bolt_size(hole.designation, other) == hole
    assert parse_port_size(hole.designation, other).hole == hole.normal


@examples(100)
@given(
    st.text("0123456789/.- ″\"'MmGgNPTholein", max_size=14)
    | st.floats()
    | st.integers()
    | st.none()
    | st.booleans()
)
def test_any_size_is_read_or_refused(value) -> None:
    for parse in (parse_bolt_size, parse_port_size):
        try:
            size = parse(value, "in")
        except UnitError:
            continue
        assert parse(size.designation, "mm").designation == size.designation


@modest
@given(lengths(1, 60), st.none() | lengths(1, 60))
def test_least_edge_obeys_both_rules(hole, bolt) -> None:
    found = least_edge(hole, bolt)
    by_bolt = aisc_edge(bolt) if bolt is not None else None
    assert found.distance >= 1.2 * hole
    assert by_bolt is None or found.distance >= by_bolt.distance
    assert found.source


whole_mm = st.integers(16, 60).map(float)
inch_bolts = lengths(13, 60).filter(lambda mm: abs(mm - round(mm)) > 1e-6)


@modest
@given(st.tuples(inch_bolts, inch_bolts) | st.tuples(whole_mm, whole_mm))
def test_a_greater_bolt_never_stands_nearer_the_edge(pair) -> None:
    """Within one table: a bolt of whole mm has its own."""
    small, great = (aisc_edge(each) for each in sorted(pair))
    assert small is not None
    assert great is not None
    assert small.distance <= great.distance


# --- stock and strength -------------------------------------------------------------------------


@modest
@given(metals, thicknesses, lengths(1, 1e6), lengths(1, 1e6))
def test_mass_adds_up(metal, thickness, a, b) -> None:
    stock = Stock(thickness, metal)
    assert stock.mass_kg(a + b) == pytest.approx(stock.mass_kg(a) + stock.mass_kg(b))


@modest
@given(st.lists(rectangles, min_size=1, max_size=4), lengths(-500, 500))
def test_a_section_moves_whole(parts, shift) -> None:
    here = section(parts)
    there = section([replace(part, z=part.z + shift) for part in parts])
    assert there.neutral == pytest.approx(here.neutral + shift, abs=1e-6)
    assert there.inertia == pytest.approx(here.inertia, rel=1e-6)
    assert there.modulus_top == pytest.approx(here.modulus_top, rel=1e-6)


@modest
@given(rectangles, lengths(0.05, 0.95))
def test_a_rectangle_cut_across_is_the_same_section(part, share) -> None:
    upright = replace(part, tilt=0.0)
    low, high = part.height * share, part.height * (1 - share)
    halves = [
        replace(upright, height=low, z=part.z - part.height / 2 + low / 2),
        replace(upright, height=high, z=part.z + part.height / 2 - high / 2),
    ]
    whole, both = section([upright]), section(halves)
    assert both.inertia == pytest.approx(whole.inertia)
    assert both.neutral == pytest.approx(whole.neutral, abs=1e-9)


@modest
@given(rectangles)
def test_square_axes_share_the_polar_moment(part) -> None:
    turned = replace(part, tilt=part.tilt + math.pi / 2)
    polar = part.area * (part.width**2 + part.height**2) / 12
    assert part.own_inertia + turned.own_inertia == pytest.approx(polar)


@modest
@given(st.lists(welds, min_size=1, max_size=4), lengths(0.05, 0.95))
def test_a_weld_in_two_runs_is_the_same_group(lines, share) -> None:
    whole = weld_group(lines)
    runs = weld_group([line.part(*ends) for line in lines for ends in ((0, share), (share, 1))])
    assert runs.length == pytest.approx(whole.length)
    assert runs.modulus == pytest.approx(whole.modulus)


@modest
@given(st.lists(welds, min_size=1, max_size=3), lengths(1, 1e5), lengths(0, 500), lengths(2, 12))
def test_weld_stress_is_linear_in_the_load(lines, load, arm, leg) -> None:
    group = weld_group(lines)
    one, two = (weld_screen(each, arm, group, leg) for each in (load, 2 * load))
    assert two.ratio == pytest.approx(2 * one.ratio)
    assert weld_screen(load / one.ratio, arm, group, leg).ratio == pytest.approx(1)


@modest
@given(st.lists(rectangles, min_size=1, max_size=3), lengths(1, 1e5), lengths(1, 500), metals)
def test_plate_stress_is_linear_in_the_load(parts, load, arm, metal) -> None:
    at_wall = section(parts)
    stock = Stock(5.0, metal)
    screen = plate_screen(load, arm, at_wall, stock)
    assert plate_screen(load, 2 * arm, at_wall, stock).ratio == pytest.approx(2 * screen.ratio)
    assert plate_screen(load / screen.ratio, arm, at_wall, stock).ratio == pytest.approx(1)


@modest
@given(metals, thicknesses, thicknesses, st.sampled_from(["in", "mm"]))
def test_thicker_plate_never_yields_later(metal, a, b, unit) -> None:
    thin, thick = sorted((a, b))
    assert 0 < metal.least_yield(thick, unit) <= metal.least_yield(thin, unit)


@modest
@given(thicknesses, thicknesses)
def test_thicker_parts_need_no_smaller_fillet(a, b) -> None:
    thin, thick = sorted((a, b))
    assert least_fillet(thin) <= least_fillet(thick)
