"""`check` as a user runs it: exit codes, words, JSON; and `make` refusing what cannot be made."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from platewright.cli.root import root
from platewright.files.job import worked_out
from platewright.files.reader import load_job
from platewright.sheets.page_count import usual_paper

PATTERNS = Path(__file__).parents[2] / "patterns"
SEAT = PATTERNS / "spring-seat.toml"
FOOT = PATTERNS / "pump-foot.toml"


def run(*args: object):
    return CliRunner().invoke(root, [str(arg) for arg in args])


def changed(tmp_path: Path, *edits: tuple[str, str]) -> Path:
    text = SEAT.read_text(encoding="utf-8")
    for old, new in edits:
        assert old in text
        text = text.replace(old, new)
    target = tmp_path / "seat.toml"
    target.write_text(text, encoding="utf-8")
    return target


def test_notes_alone_leave_exit_code_0():
    done = run("check", FOOT)
    assert done.exit_code == 0
    assert "ASTM A6 Table X4.2" in done.stdout


def test_what_must_be_changed_gives_exit_code_1_and_its_source(tmp_path):
    close = changed(tmp_path, ('spacing = "2 3/4"', 'spacing = "5/8"'))
    done = run("check", close)
    assert done.exit_code == 1
    assert "change: " in done.stdout
    assert "bolt hole 1" in done.stdout


def test_a_bad_file_gives_exit_code_2(tmp_path):
    assert run("check", changed(tmp_path, ("count   = 2", "count = 20"))).exit_code == 2


def test_json_carries_the_same_findings():
    done = run("check", FOOT, "--json")
    (part,) = json.loads(done.stdout)["parts"]
    assert {"severity", "rule", "place", "figures", "change", "source"} == set(part["findings"][0])


def test_json_carries_what_is_measured_on_plate_and_card():
    (part,) = json.loads(run("check", SEAT, "--json").stdout)["parts"]
    for told in (part, part["card"]):
        assert told["root_on_blank"]["panel"] == "plate"
        found = {each["key"]: each for each in told["dimensions"] if each["key"]}
        depth = found["left.depth"]
        assert depth["asked_mm"] == depth["value_on_part_mm"] == pytest.approx(3.5 * 25.4)
        assert depth["value_on_blank_mm"] is None
        # to the outside of the bend: on no blank of plate, the crease itself in card
        assert (depth["end"]["blank_mm"] is None) == (told is part)
        assert depth["letter"]
        assert found["left.fold"]["value_on_part_deg"] == pytest.approx(90)


def test_make_refuses_a_hole_off_the_plate_and_writes_nothing(tmp_path):
    off = changed(tmp_path, ('offset = "1 1/4"', 'offset = "6"'))
    done = run("make", off, "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert "port hole" in done.stderr
    assert "impossible" in done.stderr
    assert not (tmp_path / "out").exists()


def test_make_tells_the_findings_and_still_writes(tmp_path):
    close = changed(tmp_path, ('spacing = "2 3/4"', 'spacing = "5/8"'))
    done = run("make", close, "--out", tmp_path)
    assert done.exit_code == 0
    assert "change: " in done.stdout
    assert (tmp_path / "spring-seat.dxf").is_file()


def test_a_load_adds_no_finding_but_is_read(tmp_path):
    loaded = changed(tmp_path, ("[bolts]", '[load]\nforce = "1500 lbf"\n\n[bolts]'))
    assert run("check", loaded).exit_code == 0


def test_a_load_without_figures_is_refused(tmp_path):
    loaded = changed(tmp_path, ("[bolts]", '[load]\npressure = "90 psi"\n\n[bolts]'))
    done = run("check", loaded)
    assert done.exit_code == 2
    assert "load.force" in done.stderr


FLAT = """
kind = "panels"
units = "in"
drawn_to = "outside"
[stock]
thickness = "1/4"
material = "A36"
[bend]
way = "score"
groove = "1/8"
[[panel]]
name = "base"
points = [[0, 0], [SIDE, 0], [SIDE, SIDE], [0, SIDE]]
edges = "a, b, c, d"
"""


def test_what_no_template_holds_is_refused_by_check_and_make_alike(tmp_path):
    path = tmp_path / "flat.toml"
    path.write_text(FLAT.replace("SIDE", "200"), encoding="utf-8")
    told = [run(name, path) for name in ("check", "make")]
    assert [done.exit_code for done in told] == [2, 2]
    assert told[0].stderr == told[1].stderr
    assert "no template holds a blank of 200 in x 200 in" in told[0].stderr


def test_a_plate_for_too_many_sheets_gets_one_large_page(tmp_path):
    path = tmp_path / "flat.toml"
    path.write_text(FLAT.replace("SIDE", "150"), encoding="utf-8")
    (part,) = worked_out([load_job(path)])
    assert usual_paper(part) == "single"
    refused = run("make", path, "--paper", "letter", "--out", tmp_path / "out")
    assert refused.exit_code == 2
    assert "--paper single" in refused.stderr


def test_card_is_not_scored(tmp_path):
    path = tmp_path / "flat.toml"
    path.write_text(FLAT.replace("SIDE", "9").replace("A36", "card"), encoding="utf-8")
    told = [run(name, path) for name in ("check", "make")]
    assert [done.exit_code for done in told] == [2, 2]
    assert all("bend.way: card is not ground but creased" in done.stderr for done in told)


def test_a_guide_that_cannot_be_is_told_by_check(tmp_path):
    guide = '\n[cutting.guide]\nstand_off = "2 in"\n'
    text = (PATTERNS / "lamp-tab.toml").read_text(encoding="utf-8") + guide
    path = tmp_path / "tab.toml"
    path.write_text(text, encoding="utf-8")
    told = [run(name, path) for name in ("check", "make")]
    assert [done.exit_code for done in told] == [2, 2]
    assert all("cutting.guide.stand_off: nothing is left" in done.stderr for done in told)


@pytest.mark.parametrize("command", [("check",), ("make", "--out", "out")])
def test_parts_that_would_write_one_another_s_files_are_refused_by_key(command, tmp_path):
    text = (PATTERNS / "rail-angle.toml").read_text(encoding="utf-8")
    pair, other = tmp_path / "a.toml", tmp_path / "b.toml"
    pair.write_text(text.replace('"rail-angle"', '"a"\nhand = "pair"'), "utf-8")
    other.write_text(text.replace('"rail-angle"', '"A-left"'), "utf-8")
    done = run(*command, pair, other)
    assert done.exit_code == 2
    assert "b.toml: name: two parts are called A-left" in done.stderr


@pytest.mark.parametrize("command", [("check",), ("make", "--pattern", "plate", "--out", "out")])
def test_a_card_that_overlaps_itself_is_told_as_card(command, tmp_path):
    text = (PATTERNS / "battery-tray.toml").read_text(encoding="utf-8")
    path = tmp_path / "tray.toml"
    path.write_text(text.replace('left_depth = "2"', 'gap = "0"  #'), "utf-8")
    done = run(*command, path)
    assert done.exit_code == 2
    assert "mock-up in card" in done.stderr
    assert "leave a gap where its panels meet" in done.stderr
