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
