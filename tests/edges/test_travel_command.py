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


def test_json_holds_both_setups():
    done = run("travel", *SETUPS, "--json")
    assert len(json.loads(done.stdout)["setups"]) == 2


def test_mistakes_are_told_at_once(tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text(SETUPS[0].read_text("utf-8").replace("least", "leest"), encoding="utf-8")
    done = run("travel", bad, tmp_path / "none.toml", "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert "leest" in done.stderr
    assert "none.toml" in done.stderr
    assert not (tmp_path / "out").exists()
