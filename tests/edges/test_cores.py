"""Several files on all cores: the same bytes, the same words, and nothing left behind."""

import multiprocessing
import os
from pathlib import Path

import pytest
from click.testing import CliRunner

from platewright.cli import cores
from platewright.cli.root import root

FILES = [f"patterns/{name}.toml" for name in ("lamp-tab", "deck-zee", "damper-lug", "tie-down-tab")]


@pytest.fixture(autouse=True)
def at_the_root(monkeypatch):
    monkeypatch.chdir(Path(__file__).parents[2])


def made(folder, *more, on, monkeypatch):
    """What a call prints and writes, and its exit code, on so many cores."""
    monkeypatch.setattr(cores, "_cores", lambda: on)
    done = CliRunner().invoke(root, ["make", *FILES, "--out", str(folder), *more])
    assert not multiprocessing.active_children()
    told = (done.exit_code, done.stdout.replace(str(folder), "OUT"), done.stderr)
    return told, {path.name: path.read_bytes() for path in sorted(folder.glob("*"))}


def test_several_cores_make_the_bytes_and_say_the_words_of_one(tmp_path, monkeypatch):
    one, three = tmp_path / "one", tmp_path / "three"
    alone = made(one, "--svg", on=1, monkeypatch=monkeypatch)
    together = made(three, "--svg", on=3, monkeypatch=monkeypatch)
    assert alone[0][0] == 0
    assert len(alone[1]) > 3 * len(FILES)
    assert together == alone
    assert alone[0][2].splitlines()[:2] == ["1 of 4: lamp-tab", "2 of 4: deck-zee"]


def test_what_another_process_does_not_hand_back_is_made_here(tmp_path, monkeypatch):
    alone = made(tmp_path / "one", on=1, monkeypatch=monkeypatch)
    monkeypatch.setattr(cores, "_answer_each", lambda *_: os._exit(3))
    assert made(tmp_path / "many", on=3, monkeypatch=monkeypatch) == alone


def test_a_refusal_is_told_in_the_words_of_one_core(tmp_path, monkeypatch):
    wide = ("--paper", "letter", "--set", "name=same")
    alone = made(tmp_path / "one", *wide, on=1, monkeypatch=monkeypatch)
    assert alone[0][0] == 2
    assert made(tmp_path / "many", *wide, on=3, monkeypatch=monkeypatch) == alone
    assert alone[1] == {}


def checked(*arguments, on, monkeypatch):
    """What `check` prints and its exit code, on so many cores."""
    monkeypatch.setattr(cores, "_cores", lambda: on)
    monkeypatch.setattr(cores, "CHECKING", (2, 2))
    done = CliRunner().invoke(root, ["check", *arguments])
    assert not multiprocessing.active_children()
    return done.exit_code, done.stdout, done.stderr


@pytest.mark.parametrize("more", [(), ("--json",), ("--set", "quantity=3")])
def test_several_cores_check_in_the_words_of_one(more, monkeypatch):
    alone = checked(*FILES, *more, on=1, monkeypatch=monkeypatch)
    assert alone[0] == 0
    assert all(Path(file).stem in alone[1] for file in FILES)
    assert checked(*FILES, *more, on=3, monkeypatch=monkeypatch) == alone


@pytest.mark.parametrize(
    ("old", "new", "code", "words"),
    [
        ('radius = "9/32"', 'radius = "1/32"', 1, ["bend radius too small"]),
        ('left_flange  = "1 3/4"', 'left_flange = "1/4"', 2, ["two.toml: left_flange", "three"]),
    ],
)
def test_a_change_and_the_mistakes_of_all_files_are_told_as_by_one_core(
    old, new, code, words, tmp_path, monkeypatch
):
    spoilt = Path(FILES[1]).read_text(encoding="utf-8").replace(old, new)
    files = [FILES[0]]
    for name in ("two", "three"):
        files.append(str(tmp_path / f"{name}.toml"))
        Path(files[-1]).write_text(spoilt.replace("deck-zee", name), encoding="utf-8")
    alone = checked(*files, on=1, monkeypatch=monkeypatch)
    assert alone[0] == code
    assert all(each in alone[1] + alone[2] for each in words)
    assert checked(*files, on=3, monkeypatch=monkeypatch) == alone
