"""`make` as a user runs it: outputs, report, JSON, refusals."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from platewright.cli.root import root

PATTERNS = Path(__file__).parents[2] / "patterns"
SEAT = PATTERNS / "spring-seat.toml"
FOOT = PATTERNS / "pump-foot.toml"
#: Soon made, where it does not matter which: without bends, and with one.
TAB, ANGLE = (PATTERNS / f"{name}.toml" for name in ("tie-down-tab", "rail-angle"))


def run(*args: object):
    return CliRunner().invoke(root, [str(arg) for arg in args])


def made(tmp_path: Path, *args: object) -> dict:
    done = run("make", *args, "--out", tmp_path, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def changed(tmp_path: Path, source: Path, *edits: tuple[str, str]) -> Path:
    text = source.read_text(encoding="utf-8")
    for old, new in edits:
        assert old in text
        text = text.replace(old, new)
    target = tmp_path / source.name
    target.write_text(text, encoding="utf-8")
    return target


def test_three_files_are_written_and_named_in_the_report(tmp_path):
    done = run("make", SEAT, "--out", tmp_path)
    assert done.exit_code == 0, done.output
    names = {"spring-seat-template.pdf", "spring-seat.dxf", "spring-seat-check.pdf"}
    assert {p.name for p in tmp_path.iterdir()} == names | {"spring-seat-view.svg"}
    assert all(name in done.stdout for name in names)
    assert "fold DOWN 90°, score the TOP face" in done.stdout
    assert "fold UP 90°, score the UNDERSIDE face" in done.stdout


def test_a_view_is_drawn_of_every_hand(tmp_path):
    pair = changed(tmp_path, ANGLE, ('units = "in"', 'units = "in"\nhand = "pair"'))
    done = run("make", pair, "--pattern", "plate", "--out", tmp_path / "out")
    assert done.exit_code == 0, done.output
    views = sorted((tmp_path / "out").glob("*-view.svg"))
    assert [p.name for p in views] == ["rail-angle-left-view.svg", "rail-angle-right-view.svg"]
    left, right = (path.read_text(encoding="utf-8") for path in views)
    assert left != right
    assert "<title>rail-angle-left (left hand)</title>" in left


def test_a_part_named_as_a_hand_of_a_pair_is_refused(tmp_path):
    pair = changed(tmp_path, SEAT, ('units = "in"', 'units = "in"\nhand = "pair"'))
    other = tmp_path / "other.toml"
    other.write_text(
        SEAT.read_text(encoding="utf-8").replace('"spring-seat"', '"spring-seat-left"'), "utf-8"
    )
    done = run("make", pair, other, "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert "two parts are called spring-seat-left" in done.stderr
    assert not (tmp_path / "out").exists()


@pytest.fixture(scope="module")
def seat_and_foot(tmp_path_factory) -> list[dict]:
    """The report of both parts, their files kept."""
    return made(tmp_path_factory.mktemp("made"), SEAT, FOOT)["parts"]


@pytest.fixture(scope="module")
def seat(seat_and_foot) -> dict:
    return seat_and_foot[0]


def test_json_holds_what_it_promises(seat):
    assert seat["name"] == "spring-seat"
    assert seat["hand"] == "as drawn"
    assert seat["thickness_mm"] == pytest.approx(3 / 16 * 25.4)
    assert set(seat["blank"]) >= {"area_mm2", "perimeter_mm", "bounds_mm"}
    for hole in seat["holes"]:
        assert set(hole) == {"what", "x_mm", "y_mm", "diameter_mm"}
    keys = {"number", "angle_deg", "direction", "way", "score_face", "allowance_mm"}
    keys |= {"inside_radius_mm", "start_mm", "end_mm"}
    for bend in seat["bends"]:
        assert set(bend) >= keys
    assert seat["torch_path_mm"] > seat["blank"]["perimeter_mm"]
    assert all(Path(name).is_file() for name in seat["files"])


def test_hole_to_wall_is_what_was_measured(seat):
    wall = seat["blank"]["bounds_mm"][1]
    for hole in seat["holes"]:
        if hole["what"].startswith("bolt"):
            assert hole["y_mm"] - wall == pytest.approx((1 + 6.5 / 2) * 25.4, abs=1e-9)


def test_pages_in_the_report_are_those_of_the_template(seat):
    import pypdfium2

    (template,) = (name for name in seat["files"] if name.endswith("spring-seat-template.pdf"))
    with pypdfium2.PdfDocument(template) as pdf:
        assert len(pdf) == seat["pages"]


def test_a_pair_is_two_parts_in_the_same_files(tmp_path):
    pair = changed(tmp_path, SEAT, ('units = "in"', 'units = "in"\nhand = "pair"'))
    left, right = made(tmp_path / "out", pair, "--pattern", "plate")["parts"]
    assert (left["hand"], right["hand"]) == ("left", "right")
    assert left["files"] == right["files"]
    assert left["blank"]["area_mm2"] == pytest.approx(right["blank"]["area_mm2"])
    assert left["blank"]["bounds_mm"][2] < right["blank"]["bounds_mm"][0]
    assert [b["direction"] for b in left["bends"]] == [b["direction"] for b in right["bends"]]


def test_the_same_input_gives_the_same_bytes_in_another_process(tmp_path, seat_and_foot):
    command = [sys.executable, "-m", "platewright", "make", SEAT]
    subprocess.run([*command, "--out", tmp_path], check=True, capture_output=True)
    there = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
    files = map(Path, seat_and_foot[0]["files"])
    assert {p.name: p.read_bytes() for p in files} == there
    assert len(there) >= 3


def test_several_files_show_progress(tmp_path):
    done = run("make", TAB, ANGLE, "--out", tmp_path)
    assert done.exit_code == 0
    assert "1 of 2: tie-down-tab" in done.stderr
    assert "2 of 2: rail-angle" in done.stderr


@pytest.mark.parametrize(
    ("version", "paper"), [("R2010", "letter"), ("R2000", "A3"), ("R12", "single")]
)
def test_every_choice_makes_outputs(tmp_path, version, paper):
    assert made(tmp_path, ANGLE, "--paper", paper, "--dxf-version", version)["parts"]


def test_mistakes_in_all_files_are_told_at_once_and_nothing_is_written(tmp_path):
    bad = changed(
        tmp_path, SEAT, ('wall_gap       = "1"', 'wal_gap = "1"'), ('reach     = "6"', "reach = 0")
    )
    done = run("make", FOOT, bad, tmp_path / "none.toml", "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert "did you mean 'wall_gap'?" in done.stderr
    assert "left.reach" in done.stderr
    assert "none.toml" in done.stderr
    assert "Traceback" not in done.output
    assert not (tmp_path / "out").exists()


def test_measurements_that_make_no_bracket_name_their_keys(tmp_path):
    bad = changed(tmp_path, SEAT, ('shape = "round"', 'shape = "square"\nlength = "2"'))
    done = run("make", bad, "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert "left.reach" in done.stderr
    assert not (tmp_path / "out").exists()


def test_two_parts_of_one_name_are_refused(tmp_path):
    done = run("make", SEAT, SEAT, "--out", tmp_path)
    assert done.exit_code == 2
    assert "spring-seat" in done.stderr
    assert not list(tmp_path.iterdir())


def test_somebody_elses_file_stays(tmp_path):
    theirs = tmp_path / "tie-down-tab.dxf"
    theirs.write_text("mine", encoding="utf-8")
    done = run("make", TAB, "--out", tmp_path)
    assert done.exit_code == 2
    assert theirs.read_text(encoding="utf-8") == "mine"
    assert [p.name for p in tmp_path.iterdir()] == ["tie-down-tab.dxf"]
    assert run("make", TAB, "--out", tmp_path, "--overwrite").exit_code == 0


def test_a_folder_given_as_a_file_is_told(tmp_path):
    done = run("make", tmp_path, "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert "folder" in done.stderr


def test_an_unforeseen_failure_is_told_without_a_traceback(tmp_path, monkeypatch):
    from platewright.files import reader

    def broken(*_args, **_kwargs):
        raise RuntimeError("cogs")

    monkeypatch.setattr(reader, "load_job", broken)
    done = run("make", SEAT, "--out", tmp_path)
    assert done.exit_code == 70
    assert "cogs" in done.stderr
    assert "Traceback" not in done.output


def test_a_suggested_ligament_is_told_with_its_reason(tmp_path, seat):
    text = SEAT.read_text(encoding="utf-8").replace('ligament = "3/64"', "")
    source = tmp_path / "seat.toml"
    source.write_text(text, encoding="utf-8")
    done = run("make", source, "--pattern", "plate", "--out", tmp_path)
    assert "ligament 3/64 in suggested: a quarter of the thickness" in done.stdout
    (part,) = made(tmp_path, source, "--pattern", "plate")["parts"]
    assert part["suggested_ligament"]["mm"] == pytest.approx(3 / 64 * 25.4)
    assert seat["suggested_ligament"] is None


def test_a_pairs_alike_findings_are_told_once(tmp_path):
    crowded = changed(
        tmp_path,
        SEAT,
        ('units = "in"', 'units = "in"\nhand = "pair"'),
        ('spacing = "2 3/4"', 'spacing = "5/8"'),
    )
    done = run("make", crowded, "--pattern", "plate", "--out", tmp_path)
    assert done.stdout.count("findings: as the left hand") == 1
    assert done.stdout.count("change: hole to hole") == 1


def test_json_holds_the_schedules_and_the_screen(tmp_path, seat_and_foot):
    loaded = changed(tmp_path, SEAT, ("[bolts]", '[load]\nforce = "1500 lbf"\n\n[bolts]'))
    (part,) = made(tmp_path, loaded, "--pattern", "plate")["parts"]
    assert [(row["bend"], row["face"]) for row in part["scores"]] == [(1, "top"), (2, "underside")]
    assert part["brakes"] == []
    screen = part["strength"]
    assert screen["load_n"] == pytest.approx(1500 * 4.4482216152605)
    assert screen["section"]["stresses_mpa"]
    assert "approves nothing" in screen["caution"]
    _, brake = seat_and_foot
    assert brake["strength"] is None
    assert [row["bend"] for row in brake["brakes"]] == [1]
