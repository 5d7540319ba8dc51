"""Which of the shop's figures a part takes, and what is said of where each comes from."""

from __future__ import annotations

import math

import pytest

from platewright.errors import FileError
from platewright.files.reader import read_job
from platewright.files.shop_file import NO_SHOP, read_shop
from platewright.files.starter import shop_starter
from platewright.kinds.kind import catalogue

KINDS = catalogue()

ZEE = """
kind = "zee"
name = "zee"
units = "in"
width = "4"
web = "3"
left_flange = "2"
right_flange = "2"
measured_to = "outside"

[stock]
thickness = "3/16"
material = "A36"

[bend]
"""
BRAKE = ZEE + 'way = "brake"\n'
SCORE = ZEE + 'way = "score"\n'

KERFS = """
[[kerf]]
thickness = "3/16"
process = "plasma"
kerf = "0.062"
holes = "0.055"
measured_on = "coupon A"
[[kerf]]
thickness = "1/4"
process = "plasma"
kerf = "0.07"
measured_on = "coupon B"
"""


def trial(thickness="3/16", material="A36", words="strip", **more):
    told = {"thickness": thickness, "material": material, "measured_on": words, **more}
    return "[[bend]]\n" + "".join(
        f"{key} = {value if isinstance(value, float) else repr(value)}\n"
        for key, value in told.items()
    )


def part_of(text, shop):
    whole = read_shop('units = "in"\n' + shop, "shop.toml")
    (part,) = read_job(text, "zee.toml", KINDS, shop=whole).parts
    return part


def figure(part, key):
    return next((each for each in part.figures if each.key == key), None)


def refused(text, shop):
    with pytest.raises(FileError) as error:
        part_of(text, shop)
    return str(error.value)


QUARTER = trial(way="brake", radius="1/4", k=0.41, words="quarter strip")


# --- kerf ---------------------------------------------------------------------------------------


def test_a_kerf_of_that_thickness_is_taken_with_that_of_holes():
    part = part_of(BRAKE + 'radius = "1/4"\nk = 0.4\n', KERFS)
    assert part.common.cutting.kerf == 0.062 * 25.4
    assert part.common.cutting.hole_kerf == pytest.approx(0.055 * 25.4)
    told = figure(part, "cutting.kerf")
    assert (told.source, told.measured_on, told.words) == ("shop", "coupon A", "0.062 in")
    assert part.kerf_from == "shop file: coupon A"


@pytest.mark.parametrize(
    ("thickness", "kerf"),
    [("0.180", 0.062), ("0.240", 0.07), ("0.196", 0.062), ("0.215", 0.06), ("1/2", 0.06)],
)
def test_a_kerf_serves_plate_within_a_twentieth_of_its_thickness(thickness, kerf):
    text = BRAKE.replace("3/16", thickness) + 'radius = "1/2"\nk = 0.4\n'
    assert part_of(text, KERFS).common.cutting.kerf == pytest.approx(kerf * 25.4)


def test_where_no_kerf_is_of_that_thickness_the_sheet_says_which_there_are():
    part = part_of(BRAKE.replace("3/16", "1/2") + 'radius = "1/2"\nk = 0.4\n', KERFS)
    told = figure(part, "cutting.kerf")
    assert told.source == "default"
    assert told.note == "shop.toml has kerfs of 3/16 in and 1/4 in plate, none of 1/2 in"


def test_the_file_s_own_kerf_counts_for_its_holes_too():
    part = part_of(BRAKE + 'radius = "1/4"\nk = 0.4\n[cutting]\nkerf = "0.09"\n', KERFS)
    assert part.common.cutting.kerf == pytest.approx(0.09 * 25.4)
    assert part.common.cutting.hole_kerf is None
    assert figure(part, "cutting.kerf").source == "file"


def test_of_two_processes_the_file_s_own_is_taken_and_none_without():
    laser = '[[kerf]]\nthickness = "3/16"\nprocess = "laser"\nkerf = "0.01"\nmeasured_on = "C"\n'
    text = BRAKE + 'radius = "1/4"\nk = 0.4\n'
    named = part_of(text + '[cutting]\nprocess = "laser"\n', KERFS + laser)
    assert named.common.cutting.kerf == pytest.approx(0.254)
    told = figure(part_of(text, KERFS + laser), "cutting.kerf")
    assert told.source == "default"
    assert "kerfs of plasma and laser for this plate: say which" in told.note


def test_of_two_as_near_the_last_counts():
    again = '[[kerf]]\nthickness = "3/16"\nprocess = "plasma"\nkerf = "0.066"\nmeasured_on = "D"\n'
    part = part_of(BRAKE + 'radius = "1/4"\nk = 0.4\n', KERFS + again)
    assert part.common.cutting.kerf == pytest.approx(0.066 * 25.4)
    assert part.common.cutting.hole_kerf is None


# --- bends --------------------------------------------------------------------------------------


def test_radius_and_k_come_from_the_only_trial_bend_of_that_plate():
    part = part_of(BRAKE, QUARTER)
    assert part.bend.brake.radius == pytest.approx(6.35)
    assert part.bend.brake.k == 0.41
    assert figure(part, "bend.k").source_words == "shop file: quarter strip"


HAS = "shop.toml has trial bends"


def test_the_file_s_own_radius_takes_the_k_that_was_read_near_it():
    half = trial(way="brake", radius="1/2", k=0.44, words="half strip")
    part = part_of(BRAKE + 'radius = "0.26"\n', QUARTER + half)
    assert part.bend.brake.radius == pytest.approx(0.26 * 25.4)
    assert part.bend.brake.k == 0.41
    words = refused(BRAKE + 'radius = "3/8"\n', QUARTER + half)
    assert (
        "needs its k; shop.toml has trial bends of this plate with radius 1/4 in and 1/2 in"
        in words
    )
    words = refused(BRAKE, QUARTER + half)
    assert f"needs its radius; {HAS} of this plate with radius" in words


def test_an_allowance_gives_its_k_back():
    # FAA-H-8083-31 ch. 4, the bend allowance turned round: k = (BA / a - R) / T
    allowance = math.pi / 2 * (0.25 + 0.446 * 0.1875)
    part = part_of(BRAKE, trial(way="brake", radius="1/4", allowance=f"{allowance!r}"))
    assert part.bend.brake.k == pytest.approx(0.446, abs=1e-12)


def test_a_trial_of_other_plate_is_not_used_and_told_of():
    words = refused(BRAKE + 'radius = "1/4"\n', trial("1/4", way="brake", radius="1/4", k=0.4))
    assert (
        "needs its k; shop.toml has trial bends in steel of 1/4 in plate, none of 3/16 in" in words
    )
    words = refused(
        BRAKE + 'radius = "1/4"\n', trial(material="304", way="brake", radius="1/4", k=0.4)
    )
    assert "shop.toml" not in words


def test_the_own_material_goes_before_its_family():
    other = trial(material="S355", way="brake", radius="1/4", k=0.3, words="other steel")
    assert part_of(BRAKE, QUARTER + other).bend.brake.k == 0.41
    assert part_of(BRAKE, other).bend.brake.k == 0.3


def test_a_score_takes_groove_ligament_and_wheel_from_its_trial_bend():
    row = trial(way="score", groove="0.11", ligament="3/64", wheel="1/16")
    part = part_of(SCORE, row)
    way = part.bend.score
    assert (way.groove, way.ligament) == pytest.approx((0.11 * 25.4, 25.4 * 3 / 64))
    assert way.wheel == pytest.approx(25.4 / 16)
    own = part_of(SCORE + 'groove = "0.105"\n', row)
    assert own.bend.score.groove == pytest.approx(0.105 * 25.4)
    assert own.bend.score.ligament == pytest.approx(25.4 * 3 / 64)
    far = part_of(SCORE + 'groove = "0.2"\n', row)
    assert figure(far, "bend.ligament").source == "default"


def test_a_groove_comes_from_its_wheel():
    grooves = (
        '[[groove]]\nwheel = "1/16"\ngroove = "0.08"\nmeasured_on = "thin"\n'
        '[[groove]]\nwheel = "1/8"\ngroove = "0.14"\nmeasured_on = "thick"\n'
    )
    part = part_of(SCORE + 'wheel = "1/8"\n', grooves)
    assert part.bend.score.groove == pytest.approx(0.14 * 25.4)
    assert figure(part, "bend.groove").measured_on == "thick"
    words = refused(SCORE, grooves)
    assert (
        "needs its groove; shop.toml has grooves of wheels 1/16 in and 1/8 in: say which" in words
    )


def test_springback_that_was_read_stands_in_the_brake_schedule():
    part = part_of(BRAKE, QUARTER + "springback = 1.5\n")
    (judgement,) = part.judgements
    assert all("1.5° (shop file: quarter strip)" in row.springback for row in judgement.brakes)


# --- the rest -----------------------------------------------------------------------------------


def test_hands_tape_paper_and_printer():
    shop = (
        'paper = "A4"\n[tape]\ndivision = "1/64"\n[hands]\npush = "300 N"\n'
        '[[printer]]\nacross = 0.995\nmeasured_on = "page"\n'
    )
    part = part_of(SCORE + 'groove = "0.11"\n', shop)
    assert part.common.limits.push == 300
    told = {each.key: (each.words, each.source) for each in part.figures}
    assert told["limits.push"][1] == "shop"
    assert told["limits.lever"] == ("12 in", "default")
    assert told["tape.division"] == ("1/64 in", "shop")
    assert told["paper"] == ("A4", "shop")
    assert told["printer"] == ("99.50 % across, 100.00 % up", "shop")
    assert part.shop.printer.across == 0.995


def test_without_a_shop_file_each_figure_is_the_file_s_or_usual():
    (part,) = read_job(SCORE + 'groove = "0.11"\n', "zee.toml", KINDS).parts
    assert part.shop is NO_SHOP
    assert {each.key: each.source for each in part.figures} == {
        "cutting.kerf": "default",
        "bend.groove": "file",
        "bend.ligament": "default",
        "limits.push": "default",
        "limits.lever": "default",
        "tape.division": "default",
    }


def test_what_the_shop_gives_to_a_part_counts_in_its_fingerprint():
    text = BRAKE + 'radius = "1/4"\nk = 0.4\n'
    bare = part_of(text, "").fingerprint
    (without,) = read_job(text, "zee.toml", KINDS).parts
    assert without.fingerprint == bare
    with_kerf = part_of(text, KERFS).fingerprint
    assert with_kerf != bare
    assert part_of(text, KERFS.replace("0.062", "0.063")).fingerprint != with_kerf
    assert part_of(text, KERFS.replace("coupon A", "coupon of May")).fingerprint != with_kerf
    # another plate's figure, the printer and the paper are none of the part's
    assert part_of(text, KERFS.replace("0.07", "0.08")).fingerprint == with_kerf
    assert part_of(text, 'paper = "A4"\n' + KERFS).fingerprint == with_kerf


def test_a_shop_s_figure_that_the_file_contradicts_is_told_as_the_shop_s():
    row = trial(way="score", groove="0.11", ligament="3/64")
    words = refused(SCORE + 'wheel = "1/8"\n', row)
    assert "bend.groove" in words
    assert "narrower than the wheel that ground it; from shop.toml" in words


def test_the_words_of_a_pattern_say_what_its_bends_come_from():
    (piece,) = part_of(BRAKE, QUARTER).pieces
    assert piece.bent_by == (
        "inside radius 1/4 in, neutral-line factor 0.41 (shop file: quarter strip)"
    )
    (own,) = part_of(BRAKE + 'radius = "1/4"\nk = 0.4\n', QUARTER).pieces
    assert own.bent_by == "inside radius 1/4 in, neutral-line factor 0.4 (this file)"


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_the_starter_reads_back_and_its_rows_once_their_marks_are_taken_away(unit):
    text = shop_starter(unit)
    assert read_shop(text, "shop.toml").unit == unit
    lines = text.splitlines()
    opened = [
        line.removeprefix("#") if line.startswith("#[[") or " = " in line else line
        for line in lines
    ]
    # of a trial bend the keys of one way, of a remnant its file
    shut = ("allowance", "groove", "ligament", "wheel", "size", "material", "thickness")
    at = next(i for i, line in enumerate(opened) if line == "[[bend]]")
    kept = [
        line
        for i, line in enumerate(opened)
        if i < at or not line.startswith(tuple(f"{key} =" for key in shut))
    ]
    whole = "\n".join(kept).replace("[[bend]]", '[[bend]]\nmaterial = "A36"\nthickness = "3/16 in"')
    whole = whole.replace("[[rack]]", '[[rack]]\nmaterial = "A36"\nthickness = "3/16 in"')
    figures = read_shop(whole, "shop.toml").figures
    assert figures.kerf
    assert figures.groove
    assert figures.bend
    assert figures.printer
    assert figures.rack
    assert figures.remnant
