"""The check sheet's findings, schedules and strength screen as they are printed."""

from dataclasses import replace

import pytest

from laws.example_pieces import BRAKE, SCORE, gusset, judged, seat_piece
from platewright.drawing.items import words
from platewright.findings.finding import COMMON, Amount, Finding
from platewright.findings.limits import Limits, Load, SpringLoad
from platewright.findings.rules import judge
from platewright.plate.bend import Brake
from platewright.sheets.check_sheet import NOTHING, finding_section, matter_of
from platewright.sheets.paper import A4
from platewright.sheets.schedules import brake_section, score_section
from platewright.sheets.strength_rows import strength_section
from platewright.shop.cutting import Cutting
from platewright.shop.scores import Suggestion

SCORED, BRAKED = seat_piece(), seat_piece(way=BRAKE)
LOAD = Load(force=6000.0)


def matter(piece=SCORED, unit="mm", load=None, **changes):
    judgement = replace(judged(piece, load), **changes)
    return matter_of(piece, judgement, unit, A4)


def lines(section, of):
    return words([item for strip in section(of) for item in strip.items])


def text(section, of):
    return " ".join(lines(section, of))


# --- findings ---------------------------------------------------------------------------------

CLOSE = Finding(
    severity="change",
    rule="hole edge distance",
    place="bolt hole 1",
    change="move the hole in",
    source="AISC 360-16 J3.4",
    measured=Amount(6.0),
    limit=Amount(9.0),
)
SMALL = replace(CLOSE, severity="note", rule="hole too small for plasma", source=COMMON)


def test_a_finding_tells_place_figures_remedy_and_source():
    told = text(finding_section, matter(findings=(CLOSE,)))
    for words_of in (
        "CHANGE",
        "hole edge distance: bolt hole 1",
        "6.0 mm, should be at least 9.0 mm",
        "move the hole in",
        "AISC 360-16 J3.4",
    ):
        assert words_of in told


def test_findings_stand_worst_first_and_like_ones_together():
    found = (CLOSE, replace(CLOSE, place="bolt hole 2"), SMALL)
    told = lines(finding_section, matter(findings=found))
    assert told.count("CHANGE") == 1
    assert told.index("CHANGE") < told.index("NOTE")
    assert "bolt holes 1 and 2" in " ".join(told)


def test_nothing_found_is_said_and_is_no_approval():
    assert NOTHING in text(finding_section, matter(findings=()))
    assert "no approval" in NOTHING


# --- scores -----------------------------------------------------------------------------------


def test_a_score_tells_face_depth_wheel_and_where_it_would_shut():
    told = lines(score_section, matter())
    assert [line for line in told if line in ("TOP", "UNDERSIDE")] == ["TOP", "UNDERSIDE"]
    # groove 3 mm, depth 4 mm, ligament 1 mm: shut at 3 / (4 + 1 / 2) radians
    assert told.count("38°") == 2
    assert told.count("4.0 mm") == 2
    assert told.count("1.0 mm") >= 2
    assert "cutoff wheel" in " ".join(told)


def test_the_wheel_is_named_in_the_files_unit():
    assert "2.4 mm cutoff wheel, 2 passes" in text(score_section, matter())
    assert "3/32 in cutoff wheel, 2 passes" in text(score_section, matter(unit="in"))


def test_the_files_own_wheel_tells_the_passes():
    own = seat_piece(way=replace(SCORE, wheel=1.5875))
    assert "1/16 in cutoff wheel, 2 passes" in text(score_section, matter(own, "in"))
    assert "1.6 mm cutoff wheel, 2 passes" in text(score_section, matter(own))


def test_the_weld_is_area_times_length_in_grams_and_metres_of_wire():
    told = text(score_section, matter())
    row = matter().judgement.scores[0]
    assert f"{row.channel_area:.1f} mm² x 130.0 mm: {row.weld_g:.0f} g" in told
    assert f"{row.wire_m:.1f} m of wire" in told
    inches = text(score_section, matter(unit="in"))
    assert f"{row.weld_g / 28.349523:.1f} oz ({row.weld_g:.0f} g)" in inches
    assert f"{row.wire_m / 0.3048:.0f} ft ({row.wire_m:.1f} m) of wire" in inches
    assert "0.9 mm (0.035 in)" in told


def test_the_push_runs_from_yield_to_the_hard_end_at_the_lever():
    row = matter().judgement.scores[0]
    told = text(score_section, matter())
    assert f"{row.push_yield:.0f} to {row.push_hard:.0f} N" in told
    assert "push at 300 mm" in told
    low, high = row.moment_yield / 1000, row.moment_hard / 1000
    assert f"To fold bend 1 takes {low:.1f} to {high:.1f} N m; with" in told
    assert f"{row.greatest_ligament:.1f} mm left it would take all of 250 N at 300 mm" in told
    assert "push at 11.8 in" in text(score_section, matter(unit="in"))


def test_the_suggested_ligament_is_told_with_its_reason():
    assert "Ligament suggested for bends 1 and 2: 1.3 mm" in text(score_section, matter())
    used = Suggestion(0.9, "the hardest push stays at the limit")
    told = text(score_section, matter(ligament=used))
    assert "The file gives no ligament: 0.9 mm is taken, chosen for the longest bend" in told
    assert "the hardest push stays at the limit" in told


def test_scores_alike_share_a_row():
    alike = seat_piece(left=gusset("down"), right=gusset("down"))
    told = lines(score_section, matter(alike))
    assert told.count("TOP") == 1
    assert "1 and 2" in told


def test_a_brake_bend_has_no_score_and_a_score_no_brake():
    assert score_section(matter(BRAKED)) == ()
    assert brake_section(matter(SCORED)) == ()


# --- brake ------------------------------------------------------------------------------------


def test_a_brake_bend_tells_radius_against_least_grain_die_and_legs():
    told = text(brake_section, matter(BRAKED))
    # A36, 5 mm, grain not known: 1.5 T x 1.5 along; die 6 R; flat V / (2 cos 45) - R - T
    for figure in ("8.0 mm", "11.3 mm", "not known", "48.0 mm", "21.0 mm"):
        assert figure in told
    assert "ASTM A6 Table X4.2" in told
    assert "overbend and check with the gauge" in told
    assert "no published source" in told


def test_a_bend_that_no_die_makes_is_bumped_or_rolled_without_a_force():
    told = text(brake_section, matter(seat_piece(way=Brake(radius=20.0, k=0.42))))
    assert "bump or roll no figure" in told
    assert "no die up to 20 thicknesses wide" in told
    assert "bottomed" not in told


def test_a_bend_sharper_than_air_bending_leaves_has_no_force():
    told = text(brake_section, matter(seat_piece(way=Brake(radius=3.0, k=0.42))))
    assert "30.0 mm no figure" in told
    assert "it is bottomed" in told


def test_forces_are_in_the_files_own_system():
    force = matter(BRAKED).judgement.brakes[0].force
    assert f"{force / 1000:.0f} kN" in text(brake_section, matter(BRAKED))
    assert f"{force / 8896.443230521:.1f} tons" in text(brake_section, matter(BRAKED, "in"))


# --- strength ---------------------------------------------------------------------------------


def test_without_a_load_there_is_no_screen():
    assert strength_section(matter()) == ()


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_the_screen_tells_load_section_stresses_and_that_it_approves_nothing(unit):
    told = text(strength_section, matter(unit=unit, load=LOAD))
    assert "A screen only, it approves nothing" in told
    assert "6000 N" in told
    assert "1349 lbf" in told
    assert "neutral axis" in told
    assert "combined on the throat" in told
    assert "AISC 360-16 J2.4" in told
    assert "least yield of A36 structural steel, " in told
    assert "over a safety margin of 1.67 (AISC 360-16 F1)" in told
    assert "over a safety margin of 2 (AISC 360-16 J2.4)" in told
    assert "no shock, no fatigue" in told


def test_the_screen_says_where_its_load_is_from():
    assert "6000 N (1349 lbf): as the file states it" in text(strength_section, matter(load=LOAD))
    by_pressure = matter(load=Load(pressure=0.7, area=8000.0))
    assert "pressure times effective area, as the file" in text(strength_section, by_pressure)
    told = text(strength_section, matter(load=SpringLoad(force=6000.0, setup="rear.toml")))
    assert "the greatest force in the spring through its travel, from rear.toml" in told
    assert "stated" not in told


def test_stresses_are_those_of_the_screen():
    of = matter(load=LOAD)
    strength = of.judgement.strength
    told = lines(strength_section, of)
    for screen in (strength.plate, strength.weld):
        for name, stress in screen.stresses:
            at = next(i for i, line in enumerate(told) if line.endswith(name))
            share = f"{100 * stress / screen.limit_mpa:.0f} %"
            assert told[at + 1 : at + 5] == (
                f"{stress:.0f} MPa",
                f"{screen.strength_mpa:.0f} MPa / {screen.margin:.2f}",
                f"{screen.limit_mpa:.0f} MPa",
                share,
            )


def test_gussets_unlike_left_and_right_are_told_to_twist():
    assert "twists it" in text(strength_section, matter(load=LOAD))
    alike = seat_piece(left=gusset("down"), right=gusset("down"))
    assert "twists it" not in text(strength_section, matter(alike, load=LOAD))


def test_the_lever_and_limit_are_those_of_the_file():
    weak = judge(SCORED, Limits(push=100.0, lever=600.0), Cutting(), None)
    told = text(score_section, matter_of(SCORED, weak, "mm", A4))
    assert "push at 600 mm" in told
    assert "100 N is taken as the most for hands" in told
