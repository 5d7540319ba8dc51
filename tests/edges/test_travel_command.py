"""`travel` as a user runs it."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from platewright.cli.root import root

PATTERNS = Path(__file__).parents[2] / "patterns"
SETUPS = [PATTERNS / "travel-trailing-arm.toml", PATTERNS / "travel-four-link.toml"]


def run(*args: object):
    return CliRunner().invoke(root, [str(arg) for arg in args])


@pytest.mark.parametrize("setup", SETUPS, ids=lambda path: path.stem)
def test_a_table_is_printed_and_nothing_written_without_out(setup, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    done = run("travel", setup)
    assert done.exit_code == 0, done.output
    assert "lift" in done.stdout
    assert not list(tmp_path.iterdir())


def test_sheets_are_written_where_asked(tmp_path):
    done = run("travel", *SETUPS, "--out", tmp_path)
    assert done.exit_code == 0, done.output
    sheets = sorted(tmp_path.glob("*-travel.pdf"))
    assert len(sheets) == 2
    assert all(str(sheet) in done.stdout for sheet in sheets)


def test_two_setups_of_one_name_are_refused(tmp_path):
    done = run("travel", SETUPS[0], SETUPS[0], "--out", tmp_path)
    assert done.exit_code == 2
    assert "would both write travel-trailing-arm-travel.pdf" in done.stderr
    assert not list(tmp_path.iterdir())


def test_json_holds_both_setups():
    done = run("travel", *SETUPS, "--json")
    assert len(json.loads(done.stdout)["setups"]) == 2


@pytest.mark.parametrize("both", [False, True])
def test_a_linkage_too_few_or_too_many_is_told_with_the_other_mistakes(tmp_path, both):
    path = tmp_path / "setup.toml"
    path.write_text('units = "in"\ntrailing_arm = {}\nfour_link = {}\n' if both else "")
    done = run("travel", str(path))
    words = "both were given" if both else "neither was given"
    assert f"trailing_arm: give [trailing_arm] or [four_link]; {words}" in done.output
    assert "travel.ride: missing" in done.output
    assert done.exit_code == 2


def test_mistakes_are_told_at_once(tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text(SETUPS[0].read_text("utf-8").replace("least", "leest"), encoding="utf-8")
    done = run("travel", bad, tmp_path / "none.toml", "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert "leest" in done.stderr
    assert "none.toml" in done.stderr
    assert not (tmp_path / "out").exists()
