"""Old paper told from new: the fingerprint on every output, and what is made again with it."""

import json
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import ezdxf
import pypdfium2
import pytest
from click.testing import CliRunner

from platewright.cli.root import root
from platewright.files.outputs import is_own, own_in
from platewright.files.typed import RELEASE

PATTERNS = Path(__file__).parents[2] / "patterns"
SEAT = PATTERNS / "spring-seat.toml"
SIGN = re.compile(r"[0-9A-Z]{3}-[0-9A-Z]{3}")


def run(*args: object):
    return CliRunner().invoke(root, [str(arg) for arg in args])


def made(out: Path, *args: object) -> dict:
    done = run("make", *args, "--out", out, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def sign_of(tmp_path: Path, text: str, name: str = "seat.toml") -> str:
    path = tmp_path / name
    path.write_text(text, "utf-8")
    done = run("check", path, "--json")
    assert done.exit_code in (0, 1), done.output
    return json.loads(done.stdout)["parts"][0]["fingerprint"]


def seat(*edits: tuple[str, str]) -> str:
    text = SEAT.read_text("utf-8")
    for old, new in edits:
        assert old in text
        text = text.replace(old, new, 1)
    return text


def test_it_stands_on_every_page_in_the_dxf_and_in_the_json(tmp_path):
    report = made(tmp_path, PATTERNS / "spring-seat-travel.toml", "--torch", "--svg")
    (sign,) = {part["fingerprint"] for part in report["parts"]}
    assert SIGN.fullmatch(sign)
    pdfs = sorted(tmp_path.glob("*.pdf"))
    assert len(pdfs) == 2
    for path in pdfs:
        for page in pypdfium2.PdfDocument(path):
            assert f"fingerprint {sign}" in page.get_textpage().get_text_range()
    for path in tmp_path.glob("*.dxf"):
        notes = " ".join(text.dxf.text for text in ezdxf.readfile(path).query("TEXT"))
        assert f"fingerprint {sign}" in notes
    assert all(sign in path.read_text("utf-8") for path in tmp_path.glob("*.svg"))
    assert all(is_own(path) for path in tmp_path.iterdir())


def test_remarks_blanks_and_order_do_not_change_it_a_value_does(tmp_path):
    usual = sign_of(tmp_path, seat())
    assert sign_of(tmp_path, "# a remark\n\n" + seat()) == usual
    swapped = ('reach     = "6"\ndepth     = "3 1/2"', 'depth="3 1/2"\nreach="6"  # longer')
    assert sign_of(tmp_path, seat(swapped)) == usual
    assert sign_of(tmp_path, seat(('wall_gap       = "1"', 'wall_gap = "1 1/16"'))) != usual
    assert sign_of(tmp_path, seat(('units = "in"', 'units = "in"\nhand = "mirrored"'))) != usual


def test_a_setup_that_a_file_names_changes_it(tmp_path):
    setup = (PATTERNS / "travel-trailing-arm.toml").read_text("utf-8")
    bracket = (PATTERNS / "spring-seat-travel.toml").read_text("utf-8")
    signs = []
    for ride in (None, '"4 1/8"'):
        text = (
            setup
            if ride is None
            else re.sub(r'(?m)^(ride\w*\s*=\s*)"[^"]*"', rf"\g<1>{ride}", setup)
        )
        assert ride is None or text != setup
        (tmp_path / "travel-trailing-arm.toml").write_text(text, "utf-8")
        signs.append(sign_of(tmp_path, bracket))
    assert signs[0] != signs[1]


def test_another_process_finds_the_same(tmp_path):
    path = PATTERNS / "spring-seat-travel.toml"
    told = sign_of(tmp_path, seat())
    files = [str(tmp_path / "seat.toml"), str(path)]
    words = [sys.executable, "-m", "platewright", "check", *files, "--json"]
    done = subprocess.run(words, capture_output=True, check=False, text=True)
    assert json.loads(done.stdout)["parts"][0]["fingerprint"] == told
    here = json.loads(run("check", path, "--json").stdout)["parts"][0]["fingerprint"]
    assert json.loads(done.stdout)["parts"][1]["fingerprint"] == here


def test_what_was_made_earlier_is_made_again(tmp_path):
    made(tmp_path, SEAT, "--torch", "--svg")
    changed = tmp_path / "spring-seat.toml"
    changed.write_text(seat(('wall_gap       = "1"', 'wall_gap = "1 1/8"')), "utf-8")
    before = {path: path.read_bytes() for path in own_in(tmp_path)}
    report = made(tmp_path, changed, "--pattern", "plate")
    assert report["out_of_date"] == []
    sign = report["parts"][0]["fingerprint"].encode()
    assert len(before) == 7
    assert all(path.read_bytes() != data for path, data in before.items())
    assert all(sign in path.read_bytes() for path in before)


def test_a_torch_file_of_somebody_else_is_not_made_again(tmp_path):
    other = tmp_path / "spring-seat-torch.dxf"
    other.write_text("0\nEOF\n", "utf-8")
    made(tmp_path, SEAT, "--pattern", "plate")
    assert other.read_text("utf-8") == "0\nEOF\n"


def test_what_is_out_of_date_is_named(tmp_path):
    out = tmp_path / "out"
    run("nest", SEAT, "--sheet", "24x48", "--tries", "1", "--out", out)
    run("compare", SEAT, PATTERNS / "spring-seat-fitted.toml", "--out", out)
    assert made(out, SEAT, "--pattern", "plate")["out_of_date"] == []
    pair = tmp_path / "spring-seat.toml"
    pair.write_text(seat(('units = "in"', 'units = "in"\nhand = "pair"')), "utf-8")
    done = run("make", pair, "--pattern", "plate", "--out", out)
    for name in ("nest-1.dxf", "nest.pdf", "spring-seat-view.svg"):
        assert f"OUT OF DATE, not made again: {out / name}" in done.stderr
    assert done.stderr.count("OUT OF DATE") == 3
    # of another part nothing is said
    assert made(out, PATTERNS / "tie-down-tab.toml")["out_of_date"] == []


def test_a_nest_makes_its_torch_files_again_and_names_sheets_it_no_longer_has(tmp_path):
    text = seat(('units = "in"', 'units = "in"\nquantity = 4'))
    file = tmp_path / "seat.toml"
    file.write_text(text, "utf-8")
    words = ("nest", file, "--tries", "1", "--out", tmp_path, "--sheet")
    assert run(*words, "16x18", "--torch").exit_code == 0
    first = {path.name for path in own_in(tmp_path)}
    assert {"nest-1-torch.dxf", "nest-2-torch.dxf"} <= first
    done = run(*words, "48x96", "--json")
    report = json.loads(done.stdout)
    wrote = {Path(path).name for path in report["files"]}
    assert wrote == {"nest-1.dxf", "nest-1-torch.dxf", "nest-1-left.toml", "nest.pdf"}
    assert {Path(path).name for path in report["out_of_date"]} == first - wrote
    assert report["made_from"] == {"spring-seat": sign_of(tmp_path, text)}


@pytest.mark.parametrize("command", ["make", "nest"])
def test_a_folder_that_is_not_there_has_nothing_in_it(tmp_path, command):
    more = ("--sheet", "24x48", "--tries", "1") if command == "nest" else ()
    done = run(command, PATTERNS / "tie-down-tab.toml", *more, "--out", tmp_path / "new")
    assert done.exit_code == 0, done.output
    assert "OUT OF DATE" not in done.output


def test_the_release_is_that_of_the_package():
    project = tomllib.loads((PATTERNS.parent / "pyproject.toml").read_text("utf-8"))
    assert project["project"]["version"] == RELEASE
