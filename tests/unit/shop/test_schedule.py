"""Schedules and strength of a bracket, row by row."""

import math

import pytest

from laws.strategies_bracket import rectangle
from platewright.errors import BuildError
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.plate.bend import BendWay, Brake, Crease, ScoreFold
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bend, Body, Bracket, Panel
from platewright.plate.stock import MATERIALS, Stock
from platewright.shop.legs import flat_depths, flat_leg
from platewright.shop.schedule import (
    Effort,
    brake_schedule,
    grain_across,
    load_arm,
    score_schedule,
    strength_of,
    wheel_for,
)

T = 5.0
RIGHT = math.pi / 2
INCH = 25.4
SCORE = ScoreFold(groove=2.4, ligament=1.2)
BRAKE = Brake(radius=10.0, k=0.42)


def leg(edge: str, depth: float, way: BendWay, **other: object) -> Bend:
    told = {"angle": RIGHT, "direction": "up"} | other
    return Bend(edge=edge, panel=rectangle(f"{edge} leg", 100.0, depth), way=way, **told)


def part(*bends: Bend, material: str = "A36", **other: object) -> Bracket:
    root = rectangle("plate", 100.0, 80.0, bends=bends)
    return Bracket(stock=Stock(T, MATERIALS[material]), root=root, **other)


# --- scores -----------------------------------------------------------------------------------


def scored(**other: object):
    bracket = part(leg("far edge", 60.0, SCORE, **other))
    return score_schedule(bracket, blank_of(bracket))[0]


def test_a_score_row_tells_what_to_grind() -> None:
    row = scored(direction="down")
    assert (row.number, row.face, row.direction) == (1, "top", "down")
    assert (row.groove, row.ligament, row.depth) == (2.4, 1.2, 3.8)
    assert row.length == pytest.approx(100.0)
    assert scored().face == "underside"


def test_a_score_row_tells_how_it_opens_and_shuts() -> None:
    row = scored()
    radius = 2.4 / RIGHT - 0.6
    assert row.inside_radius == pytest.approx(radius)
    assert row.shut_angle == pytest.approx(2.4 / (3.8 + 1.2 / 2))
    assert row.opening == pytest.approx(2 * (radius + T) * math.sin(RIGHT / 2))
    assert row.weld_area == pytest.approx(RIGHT / 2 * ((radius + T) ** 2 - (radius + 1.2) ** 2))
    assert row.weld_volume == pytest.approx(row.weld_area * 100)
    assert row.weld_g == pytest.approx(row.weld_volume * 7850e-6)
    # solid wire 0.9 mm, 95 % of it in the weld
    assert row.wire_m == pytest.approx(row.weld_volume / (math.pi * 0.45**2) / 0.95 / 1000)


def test_a_score_row_tells_the_push() -> None:
    """Fully plastic strip, stress b t² / 4 (any strength text): b 100, t 1.2, A36."""
    row = scored()
    assert row.moment_yield == pytest.approx(250 * 100 * 1.2**2 / 4)
    assert row.moment_hard == pytest.approx(550 * 100 * 1.2**2 / 4)
    assert row.push_yield == pytest.approx(row.moment_yield / 300)
    assert row.push_hard == pytest.approx(row.moment_hard / 300)
    assert 550 * 100 * row.greatest_ligament**2 / 4 / 300 == pytest.approx(250)
    assert row.suggestion.value == pytest.approx(T / 4)
    assert "quarter" in row.suggestion.reason


def test_another_effort_moves_push_and_limit() -> None:
    bracket = part(leg("far edge", 60.0, SCORE))
    (row,) = score_schedule(bracket, blank_of(bracket), Effort(limit=100.0, lever=600.0))
    assert row.push_hard == pytest.approx(row.moment_hard / 600)
    assert 550 * 100 * row.greatest_ligament**2 / 4 / 600 == pytest.approx(100)


def test_other_bends_have_no_score_row() -> None:
    bracket = part(leg("far edge", 60.0, BRAKE), leg("base", 60.0, Crease()))
    assert score_schedule(bracket, blank_of(bracket)) == ()


@pytest.mark.parametrize(
    ("groove", "given", "wheel", "passes"),
    # inches; wheels .045, 1/16, 3/32; a groove wanders up to .015 wider (common practice)
    [
        (0.035, None, 0.045, 1),
        (0.050, None, 0.045, 1),
        (0.0775, None, 1 / 16, 1),
        (3 / 32, None, 3 / 32, 1),
        (0.2, None, 3 / 32, 2),
        (0.11, None, 3 / 32, 2),
        (0.11, 1 / 16, 1 / 16, 2),
        (0.11, 0.045, 0.045, 2),
        (0.11, 0.04, 0.04, 2),
        (0.11, 0.035, 0.035, 3),
        (0.11, 0.10, 0.10, 1),
    ],
)
def test_the_wheel_for_a_groove(groove, given, wheel, passes) -> None:
    way = ScoreFold(groove * INCH, 1.2, None if given is None else given * INCH)
    assert wheel_for(way) == (pytest.approx(wheel * INCH), passes)


# --- brake bends ------------------------------------------------------------------------------


def test_a_brake_row_tells_radius_die_and_force() -> None:
    bracket = part(leg("far edge", 60.0, BRAKE))
    (row,) = brake_schedule(bracket, blank_of(bracket))
    # six times the radius (common practice)
    assert (row.inside_radius, row.k, row.die) == (10.0, 0.42, 60.0)
    assert row.allowance == pytest.approx(RIGHT * (10 + 0.42 * T))
    # 1.33 Rm b T² / V (common practice)
    assert row.force == pytest.approx(1.33 * 550 * 100 * 25 / 60)
    assert row.flat == pytest.approx(60)
    # from the outside corner to the shoulder: V / (2 cos 45)
    assert row.least_flat + 10 + T == pytest.approx(30 / math.cos(RIGHT / 2))
    assert "overbend" in row.springback


def test_a_radius_beyond_every_die_is_bumped_or_rolled_and_has_no_force() -> None:
    bracket = part(leg("far edge", 60.0, Brake(50.0, 0.42)))
    (row,) = brake_schedule(bracket, blank_of(bracket))
    assert (row.die, row.force) == (None, None)
    # half of a die of 8 T for the last step
    assert row.least_flat == pytest.approx(4 * T)


def test_a_radius_sharper_than_the_narrowest_die_leaves_has_no_force() -> None:
    bracket = part(leg("far edge", 60.0, Brake(3.0, 0.42)))
    (row,) = brake_schedule(bracket, blank_of(bracket))
    assert (row.die, row.force) == (6 * T, None)


def test_the_least_radius_goes_by_the_grain() -> None:
    """1.5 T across, times 1.5 along (ASTM A6 Table X4.2, read); unknown takes the greater."""
    bracket = part(leg("far edge", 60.0, BRAKE))
    blank = blank_of(bracket)
    radii = {}
    for grain in (None, 0.0, RIGHT):
        (row,) = brake_schedule(bracket, blank, grain)
        radii[row.grain] = row.least.radius
    assert radii == {"unknown": 2.25 * T, "along": 2.25 * T, "across": 1.5 * T}


def test_where_no_figure_is_at_hand_none_is_told() -> None:
    bracket = part(leg("far edge", 60.0, BRAKE), material="304")
    (row,) = brake_schedule(bracket, blank_of(bracket))
    assert row.least is None


def test_grain_is_across_within_half_a_right_angle() -> None:
    line = Line(Point(0, 0), Point(10, 0))
    assert grain_across(line, math.radians(46)) == "across"
    assert grain_across(line, math.radians(44)) == "along"
    assert grain_across(line, math.radians(180)) == "along"


def test_the_shorter_leg_counts_wherever_it_is() -> None:
    bracket = part(leg("far edge", 200.0, BRAKE))
    (bend,) = blank_of(bracket).bends
    legs = flat_leg(bracket, bend)
    assert legs.least == legs.greatest == pytest.approx(80.0)


def test_a_tapered_leg_has_a_least_and_a_greatest() -> None:
    corners = [Point(0, 0), Point(100, 0), Point(100, 50), Point(0, 10)]
    taper = Panel(name="taper", contour=Contour.polygon(corners), edges=(("base", 0),))
    depths = flat_depths(taper, taper.straight_edge("base"))
    assert min(depths) == pytest.approx(10.4)
    assert max(depths) == pytest.approx(49.6)


# --- strength ---------------------------------------------------------------------------------


def test_a_plain_plate_bends_by_its_own_thickness() -> None:
    """Rectangle b t² / 6 (any strength text): 100 x 5 at 60 mm under 100 N."""
    strength = strength_of(part(wall="base"), 100.0, arm=60.0)
    stress = 100 * 60 / (100 * 25 / 6)
    assert dict(strength.plate.stresses)["bending, top"] == pytest.approx(stress)
    assert strength.weld_words.startswith("two fillets")
    # two lines of 100, T apart: line modulus b d (Shigley Table 9-2)
    assert strength.group.modulus == pytest.approx(100 * T)
    # AISC 360-16 Table J2.4, in mm and in inches
    assert strength.leg == pytest.approx(3.0)
    assert strength_of(part(wall="base"), 100.0, unit="in").leg == pytest.approx(INCH / 8)


def test_gussets_at_the_wall_carry_far_more() -> None:
    side = {"start": 0.0, "end": 80.0}
    legs = [
        Bend(edge=edge, panel=rectangle(edge, 80.0, 60.0), angle=RIGHT, direction="down",
             way=SCORE, **side)
        for edge in ("left end", "right end")
    ]  # fmt: skip
    alone, gusseted = (
        strength_of(part(wall="base"), 100.0),
        strength_of(part(*legs, wall="base"), 100.0),
    )
    assert gusseted.plate.greatest_mpa < alone.plate.greatest_mpa / 10
    assert gusseted.weld.greatest_mpa < alone.weld.greatest_mpa / 4
    assert gusseted.weld_words.startswith("one fillet")


def test_the_load_acts_at_the_bodys_centre_or_the_far_end() -> None:
    body = Body(centre=Point(50, 45), plate_diameter=40, diameter=50, clearance=0)
    assert load_arm(part(wall="base", body=body)) == pytest.approx(45.0)
    assert load_arm(part(wall="base")) == pytest.approx(80.0)


def test_a_load_needs_a_wall_and_a_metal() -> None:
    with pytest.raises(BuildError, match="wall edge"):
        strength_of(part(), 100.0)
    with pytest.raises(BuildError, match="wall edge"):
        load_arm(part())
    with pytest.raises(BuildError, match="carries no load"):
        strength_of(part(wall="base", material="card"), 100.0)


def gusset(edge: str, direction: str) -> Bend:
    panel = rectangle(edge, 80.0, 60.0)
    return Bend(edge=edge, panel=panel, angle=RIGHT, direction=direction, way=SCORE)


def test_unlike_gussets_are_said_to_twist() -> None:
    unlike = part(gusset("left end", "up"), gusset("right end", "down"), wall="base")
    alike = part(gusset("left end", "up"), gusset("right end", "up"), wall="base")
    assert strength_of(unlike, 100.0).twists
    assert not strength_of(alike, 100.0).twists
    assert strength_of(part(gusset("left end", "up"), wall="base"), 100.0).twists
