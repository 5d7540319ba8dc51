"""The coupon command: files to cut, and the kerf from readings."""

import json

import pytest
from click.testing import CliRunner

from platewright.cli import coupon as coupon_command
from platewright.cli.root import root
from platewright.files.outputs import is_own
from platewright.files.shop_file import load_shop
from platewright.shop.cutting import PROCESSES


def run(*words):
    return CliRunner().invoke(root, ["coupon", *map(str, words)])


def test_a_thickness_makes_a_dxf_and_a_sheet(tmp_path):
    found = run("--thickness", "3/16 in", "--out", tmp_path / "made")
    assert found.exit_code == 0
    files = sorted((tmp_path / "made").iterdir())
    assert [path.name for path in files] == ["coupon.dxf", "coupon.pdf"]
    assert all(is_own(path) for path in files)
    assert found.output.splitlines() == [f"wrote {path}" for path in files]


@pytest.mark.parametrize("units", ["in", "mm"])
def test_the_same_call_makes_the_same_bytes(tmp_path, units):
    words = ("--thickness", "6 mm", "--units", units, "--out")
    made = []
    for name in ("a", "b"):
        assert run(*words, tmp_path / name).exit_code == 0
        made.append([path.read_bytes() for path in sorted((tmp_path / name).iterdir())])
    assert made[0] == made[1]


def test_a_file_of_somebody_else_s_is_left_alone(tmp_path):
    (tmp_path / "coupon.pdf").write_text("mine")
    found = run("--thickness", "6 mm", "--out", tmp_path)
    assert found.exit_code == 2
    assert not (tmp_path / "coupon.dxf").exists()
    assert run("--thickness", "6 mm", "--out", tmp_path, "--overwrite").exit_code == 0


def test_readings_tell_the_kerf_and_what_to_write():
    found = run("--outside", 48.5, "--outside", "48.6 mm", "--slot", 1.5, "--hole", 12, 13.4)
    assert found.exit_code == 0
    assert "kerf 1.45 mm from 4 readings, spread 0.10 mm" in found.output
    assert found.output.splitlines()[-2:] == ["  [cutting]", '  kerf = "1.45 mm"']


def test_inches():
    found = run("--units", "in", "--outside", "1.940", "--slot", "0.060")
    assert found.exit_code == 0
    assert 'kerf = "0.060 in"' in found.output


def test_readings_that_do_not_agree_are_told():
    found = run("--outside", 49.1, "--slot", 2.3)
    assert found.exit_code == 0
    assert "spread 1.40 mm" in found.output
    assert "do not agree" in found.output
    assert "Write in the bracket file" not in found.output
    assert "do not agree" not in run("--outside", 48.5, "--slot", 1.5).output


def test_json():
    found = run("--outside", 48.5, "--json")
    kerf = json.loads(found.output)
    assert kerf["kerf_mm"] == pytest.approx(1.5)
    assert kerf["readings"] == [{"what": "outside", "measured_mm": 48.5, "kerf_mm": 1.5}]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--outside", "1.91"), "mind the unit"),
        (("--slot", "none"), "--slot none"),
        (("--hole", "12", "11"), "mind the unit"),
        (("--thickness", "3/16"), 'write "3/16 in"'),
        (("--thickness", "9 in"), "0.2 mm to 2 in"),
        ((), "give --thickness"),
    ],
)
def test_nonsense_is_refused_with_a_reason(words, told, tmp_path):
    found = run(*words, "--out", tmp_path)
    assert found.exit_code == 2
    assert told in found.output + found.stderr
    assert not list(tmp_path.iterdir())


# --- into the shop file -------------------------------------------------------------------------

READ = ("--units", "in", "--outside", "1.938", "--slot", "0.062")
TOLD = ("--thickness", "3/16 in", "--measured-on", "coupon of 3 March")


def test_the_kerf_is_added_to_the_shop_file_for_its_plate(tmp_path):
    shop = tmp_path / "shop.toml"
    shop.write_text('units = "in"   # ours\n[hands]\npush = "60 lbf"\n')
    found = run(*READ, *TOLD, "--process", "plasma", "--write", "--shop", shop)
    assert found.exit_code == 0
    assert found.output.endswith(f"added to {shop}\n")
    (kerf,) = load_shop(shop).figures.kerf
    assert (kerf.thickness, kerf.kerf) == pytest.approx((4.7625, 1.5748))
    assert (kerf.process, kerf.measured_on) == ("plasma", "coupon of 3 March")
    assert shop.read_text().startswith(
        'units = "in"   # ours\n[hands]\npush = "60 lbf"\n\n[[kerf]]\n'
    )
    assert sorted(path.name for path in tmp_path.iterdir()) == ["shop.toml"]


def test_a_shop_file_is_made_where_there_is_none(tmp_path):
    shop = tmp_path / "deep" / "shop.toml"
    assert run(*READ, *TOLD, "--write", "--shop", shop).exit_code == 0
    assert load_shop(shop).unit == "in"


@pytest.mark.parametrize(
    "words",
    [
        (*READ, "--write"),
        (*READ, *TOLD[:2], "--write"),
        (*TOLD, "--write"),
        (*TOLD, "--units", "in", "--outside", "1.938", "--slot", "0.2", "--write"),
    ],
)
def test_what_cannot_be_written_is_refused_and_nothing_is(tmp_path, words):
    shop = tmp_path / "shop.toml"
    found = run(*words, "--shop", shop)
    assert found.exit_code == 2
    assert not shop.exists()


def test_a_shop_file_that_does_not_read_is_left_as_it_is(tmp_path):
    shop = tmp_path / "shop.toml"
    shop.write_text("units = in")
    found = run(*READ, *TOLD, "--write", "--shop", shop)
    assert found.exit_code == 2
    assert "words stand in quotes" in found.output
    assert shop.read_text() == "units = in"


def test_the_processes_are_those_of_bracket_files():
    assert coupon_command.PROCESSES == PROCESSES


# --- several plates, holes by themselves --------------------------------------------------------


def test_coupons_for_several_plates_carry_their_thickness(tmp_path):
    found = run("--thickness", "3/16", "--thickness", "1/4", "--units", "in", "--out", tmp_path)
    assert found.exit_code == 0
    names = sorted(path.name for path in tmp_path.iterdir())
    assert names == [
        f"coupon-{plate}-in.{end}" for plate in ("1-4", "3-16") for end in ("dxf", "pdf")
    ]


def test_readings_make_nothing_and_are_of_one_plate(tmp_path):
    assert run(*READ, "--thickness", "3/16", "--out", tmp_path).exit_code == 0
    assert not list(tmp_path.iterdir())
    two = run(*READ, "--thickness", "3/16", "--thickness", "1/4", "--out", tmp_path)
    assert two.exit_code == 2
    assert "readings are of one plate" in two.stderr


HOLES = ("--hole", "1/2", "0.570", "--hole", "3/4", "0.821")


def test_holes_that_differ_from_the_outside_have_a_kerf_of_their_own(tmp_path):
    shop = tmp_path / "shop.toml"
    found = run(*READ, *HOLES, *TOLD, "--write", "--shop", shop)
    assert found.exit_code == 0
    assert "kerf 0.062 in outside, 0.071 in for holes" in found.output
    assert found.output.splitlines()[-4:-1] == [
        "  [cutting]",
        '  kerf = "0.062 in"',
        '  hole_kerf = "0.071 in"',
    ]
    (kerf,) = load_shop(shop).figures.kerf
    assert (kerf.kerf, kerf.holes) == pytest.approx((0.062 * 25.4, 0.0705 * 25.4), abs=0.01)


# --- a trial bend -------------------------------------------------------------------------------

BRAKE = ("--bend", "brake", "--thickness", "3/16", "--radius", "3/16", "--units", "in")
LEGS = [("--legs", "2 5/32", other, "89") for other in ("2 5/32", "2 3/16", "2 5/32")]


def test_a_strip_is_made_with_its_sheet(tmp_path):
    found = run(*BRAKE, "--out", tmp_path)
    assert found.exit_code == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["trial-bend.dxf", "trial-bend.pdf"]
    assert all(is_own(path) for path in tmp_path.iterdir())


def test_legs_tell_k_and_go_into_the_shop_file(tmp_path):
    shop = tmp_path / "shop.toml"
    words = [word for strip in LEGS for word in strip]
    measured = ("--measured-on", "strips of 3 March", "--material", "A36")
    found = run(*BRAKE, *words, *measured, "--write", "--shop", shop, "--tape", "1/64")
    assert found.exit_code == 0, found.output
    assert "least squares over 3 strips" in found.output
    assert "springback 1.0°, spread 0.0°" in found.output
    (bend,) = load_shop(shop).figures.bend
    assert (bend.way, bend.radius, bend.material.name) == ("brake", pytest.approx(4.7625), "A36")
    # by hand: 4 - 4.3229 + 2 x 0.375 tan(44.5 deg), over the angle, less the radius, over T
    known = ((4 - 4.3229 + 0.75 * 0.98270) / 1.55334 - 0.1875) / 0.1875
    assert bend.k == pytest.approx(known, abs=0.005)


def test_a_leg_misread_is_named_and_nothing_is_written(tmp_path):
    words = [word for strip in (*LEGS, ("--legs", "2 9/32", "2 5/32", "89")) for word in strip]
    measured = ("--measured-on", "x", "--material", "A36", "--write", "--tape", "1/64")
    found = run(*BRAKE, *words, *measured, "--shop", tmp_path / "shop.toml")
    assert found.exit_code == 2
    assert "Strip 4 does not belong: its legs" in found.output
    assert "Iglewicz and Hoaglin 1993" in found.output
    assert not list(tmp_path.iterdir())


def test_a_score_tells_its_ligament():
    words = ("--bend", "score", "--thickness", "3/16", "--groove", "0.11", "--units", "in")
    found = run(*words, "--legs", "2.17", "2.175", "90", "--json", "--tape", "0.005")
    assert found.exit_code == 0
    told = json.loads(found.output)
    # by hand, inches: 2 (w / (pi / 2) + T) - w - (2.17 + 2.175 - 4) = t
    known = 2 * (0.11 / 1.570796 + 0.1875) - 0.11 - 0.345
    assert told["ligament_mm"] / 25.4 == pytest.approx(known, abs=1e-4)


# --- a printer ----------------------------------------------------------------------------------

PRINTER = ("--printer", "office", "--units", "in", "--tape", "1/64")


def test_a_printer_s_page_is_made(tmp_path):
    assert run("--printer", "office", "--units", "in", "--out", tmp_path).exit_code == 0
    (page,) = tmp_path.iterdir()
    assert page.name == "printer-page.pdf"
    assert is_own(page)


def test_its_bars_give_the_scales_to_the_shop_file(tmp_path):
    shop = tmp_path / "shop.toml"
    # 7 1/2 x 10 in at 0.996 and 1.002, square
    read = ("--bars", "7.47", "10.02", "--diagonals", "12.4981", "12.4981")
    found = run(*PRINTER, *read, "--write", "--measured-on", "page of 3 March", "--shop", shop)
    assert found.exit_code == 0
    assert "across: prints 0.4 % smaller" in found.output
    printer = load_shop(shop).printer
    assert (printer.across, printer.up, printer.skew) == pytest.approx((0.996, 1.002, 0), abs=1e-5)
    assert printer.name == "office"


def test_bars_and_diagonals_that_do_not_agree_correct_nothing(tmp_path):
    read = ("--bars", "7.47", "10.02", "--diagonals", "12.5", "12.7")
    found = run(*PRINTER, *read)
    assert found.exit_code == 0
    assert "four readings do not agree" in found.output
    assert "[[printer]]" not in found.output


def test_a_page_that_was_fitted_is_refused():
    read = ("--bars", "7.2", "9.6", "--diagonals", "12", "12")
    found = run(*PRINTER, *read)
    assert found.exit_code == 2
    assert "fitted to the page. Print at 100 %" in found.stderr


def test_a_true_printer_needs_no_correction():
    found = run(*PRINTER, "--bars", "7.5", "10", "--diagonals", "12.5", "12.5")
    assert "nothing to correct" in found.output


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--bend", "brake", "--thickness", "5 mm"), "needs --thickness and --radius"),
        (("--bend", "score", "--groove", "3"), "needs --thickness and --groove"),
        ((*BRAKE, "--groove", "3"), "--groove has no use"),
        ((*BRAKE, "--angle", "170"), "5° to 150°"),
        ((*BRAKE, "--angle", "square"), "--angle square"),
        ((*BRAKE, "--radius", "0"), "inside radius"),
        ((*BRAKE, "--legs", "2", "2", "0"), "bent 0° from flat?"),
        ((*BRAKE, "--legs", "50", "50", "90"), "mind the unit"),
        ((*BRAKE, "--legs", "2 1/4", "2 1/4", "90", "--tape", "1"), "1/8 in at most"),
        ((*BRAKE, "--legs", "2 1/4", "2 1/4", "90", "--material", "tin"), "no known material"),
        ((*BRAKE, "--legs", "2 1/4", "2 1/4", "90", "--write"), "--material of its plate"),
        ((*BRAKE, "--printer", "office"), "one trial piece at a time"),
        ((*BRAKE, "--slot", "1"), "is read on a kerf's coupon"),
        (("--legs", "2", "2", "90"), "goes with --bend"),
        ((*BRAKE, "--flat", "4"), "--flat goes with --legs"),
        (("--thickness", "5 mm", "--outside", "48", "--tape", "x"), "--tape goes with"),
        (("--thickness", "3/16 in", "--thickness", "4.8 mm"), "would both write coupon-4.8-mm.dxf"),
        ((*PRINTER, "--bars", "7", "10"), "together"),
        ((*PRINTER, "--bars", "0", "0", "--diagonals", "0", "0"), "longer than nothing"),
        ((*PRINTER, "--bars", "190", "254", "--diagonals", "317.5", "317.5"), "mind the unit"),
        ((*PRINTER, "--radius", "7"), "goes with --bend, not with --printer"),
    ],
)
def test_other_nonsense_is_refused_with_a_reason(words, told, tmp_path):
    found = run(*words, "--out", tmp_path)
    assert found.exit_code == 2
    assert told in found.output + found.stderr
    assert not list(tmp_path.iterdir())
