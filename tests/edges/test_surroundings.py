"""What stands around a call: its folder, its environment, odd values of its options."""

import os
from pathlib import Path

import pytest
from click.testing import CliRunner

from platewright.cli.root import root

TAB = Path(__file__).parents[2] / "patterns" / "tie-down-tab.toml"


@pytest.mark.skipif(os.name == "nt", reason="there a folder in use cannot be deleted")
@pytest.mark.parametrize(
    "words",
    [
        ["make", str(TAB)],
        ["form", "stepped"],
        ["nest", str(TAB), "--sheet", "24x48"],
        ["start", "stepped", "-o", "x"],
    ],
)
def test_a_deleted_working_folder_is_told(tmp_path, monkeypatch, words):
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    done = CliRunner().invoke(root, words)
    assert done.exit_code == 2
    assert "no longer there" in done.stderr or "nothing was written" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_time_of_the_surroundings_does_not_change_a_sheet(tmp_path, monkeypatch):
    written = []
    for time in (None, "1000000000", "yesterday"):
        monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
        if time:
            monkeypatch.setenv("SOURCE_DATE_EPOCH", time)
        done = CliRunner().invoke(root, ["form", "stepped", "-o", str(tmp_path / "form.pdf")])
        assert done.exit_code == 0, done.output
        written.append((tmp_path / "form.pdf").read_bytes())
    assert len(set(written)) == 1


@pytest.mark.parametrize("step", ["nan", "inf", "7", "0"])
def test_a_turn_that_is_no_step_is_told(tmp_path, step):
    words = ["nest", str(TAB), "--sheet", "24x48", "--out", str(tmp_path), "--turn", step]
    done = CliRunner().invoke(root, words)
    assert done.exit_code == 2
    assert "--turn" in done.stderr
    assert not list(tmp_path.iterdir())
