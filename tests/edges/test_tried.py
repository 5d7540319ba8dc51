"""`--set`: another value tried without touching the file, and what it changes."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from platewright.cli.root import root
from platewright.errors import FileError
from platewright.files.reader import with_tried

PATTERNS = Path(__file__).parents[2] / "patterns"
SEAT = PATTERNS / "spring-seat.toml"
TRAY = PATTERNS / "battery-tray.toml"


def run(*args: object):
    return CliRunner().invoke(root, [str(arg) for arg in args])


@pytest.mark.parametrize("command", ["check", "make"])
def test_distances_that_change_are_told_old_and_new(tmp_path, command):
    text = SEAT.read_bytes()
    out = ("--out", tmp_path) if command == "make" else ()
    done = run(command, SEAT, "--set", "wall_gap=1 1/8", *out)
    assert done.exit_code == 0, done.output
    assert "tried: wall_gap=1 1/8" in done.stdout
    # the middle of the body stands half of 6 1/2 in beyond the gap
    assert (
        "bolt hole 1 to wall edge, square to it, flat and folded: 4 1/4 in -> 4 3/8 in *"
        in done.stdout
    )
    assert "bolt hole 1 to bolt hole 2" not in done.stdout
    assert text == SEAT.read_bytes()


def test_a_reading_as_a_sheet_prints_it_can_be_tried():
    done = run("check", SEAT, "--set", "wall_gap=1 1/32 strong")
    assert done.exit_code == 0, done.output
    # 4 1/4 in and 1/32 in and 1/100 in more; the flat row allows 1/32 in and reads to 32nds
    assert (
        "bolt hole 1 to wall edge, square to it, flat and folded: 4 1/4 in -> 4 9/32 in strong *"
        in done.stdout
    )


def test_the_json_tells_the_same_in_mm():
    done = run("check", SEAT, "--set", "wall_gap=1 1/8", "--set", "bolts.spacing=3", "--json")
    report = json.loads(done.stdout)
    assert report["tried"] == ["wall_gap=1 1/8", "bolts.spacing=3"]
    changed = {each["words"]: each for each in report["changed"]}
    gap = changed["bolt hole 1 to wall edge, square to it"]
    assert gap["new_value_on_blank_mm"] - gap["old_value_on_blank_mm"] == pytest.approx(25.4 / 8)
    apart = changed["bolt hole 1 to bolt hole 2"]
    assert apart["new_value_on_blank_mm"] == pytest.approx(3 * 25.4)
    assert apart["key"] == "bolts.spacing"
    assert apart["critical"] is True
    untried = json.loads(run("check", SEAT, "--json").stdout)
    assert "changed" not in untried
    assert untried["parts"][0]["fingerprint"] != report["parts"][0]["fingerprint"]


def test_a_fold_that_changes_is_told_in_degrees():
    done = run("check", SEAT, "--set", "left.fold=80", "--json")
    angles = [
        each for each in json.loads(done.stdout)["changed"] if "new_value_on_part_deg" in each
    ]
    assert any(each["new_value_on_part_deg"] == pytest.approx(80) for each in angles)


def test_rows_are_counted_from_one(tmp_path):
    key = "slot[2].measured_from[1].distance"
    done = run("check", TRAY, "--set", f"{key}=5/8", "--json")
    (changed,) = [each for each in json.loads(done.stdout)["changed"] if each["key"] == key]
    assert changed["new_value_on_blank_mm"] == pytest.approx(5 / 8 * 25.4)


@pytest.mark.parametrize(
    ("tried", "words"),
    [
        ("bolts.spacng=3", "did you mean 'spacing'"),
        ("wall_gap", "write KEY=VALUE"),
        ("=3", "write KEY=VALUE"),
        ("slot[3].length=2", "there is no row 3"),
        ("kind.size=3", "would stand in what is no table"),
        ("left.fold=200", "too large; allowed"),
    ],
)
def test_what_cannot_be_tried_is_told_and_nothing_is_written(tmp_path, tried, words):
    done = run("make", SEAT, "--set", tried, "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert words in done.stderr
    assert "Traceback" not in done.output
    assert not (tmp_path / "out").exists()


def test_a_file_that_makes_no_part_yet_has_nothing_to_compare_with(tmp_path):
    file = tmp_path / "seat.toml"
    file.write_text(SEAT.read_text("utf-8").replace('wall_gap       = "1"', ""), "utf-8")
    done = run("check", file, "--set", "wall_gap=1")
    assert done.exit_code == 0, done.output
    assert "nothing to compare with" in done.stdout


def test_values_are_numbers_flags_lists_or_words():
    raw = {"a": 1, "rows": [{"b": 1}]}
    tried = ["a=3/16", "n=2", "f=true", "t.x=2.5", "l=[1, 2]", 'w="6 1/2"', "rows[1].b=9"]
    assert with_tried(raw, tried, "x.toml") == {
        "a": "3/16",
        "n": 2,
        "f": True,
        "t": {"x": 2.5},
        "l": [1, 2],
        "w": "6 1/2",
        "rows": [{"b": 9}],
    }
    assert raw == {"a": 1, "rows": [{"b": 1}]}
    with pytest.raises(FileError, match="no row 0"):
        with_tried(raw, ["rows[0].b=1"], "x.toml")


def test_check_make_and_compare_share_their_names(tmp_path):
    check = json.loads(run("check", SEAT, "--json").stdout)["parts"][0]
    made = json.loads(run("make", SEAT, "--out", tmp_path, "--json").stdout)["parts"][0]
    assert set(made) - set(check) == {"pages", "files"}
    assert {key: made[key] for key in check} == check
    fitted = PATTERNS / "spring-seat-fitted.toml"
    compared = json.loads(run("compare", SEAT, fitted, "--json").stdout)["parts"][0]
    assert compared["name"] == "spring-seat-fitted"
    assert compared["old_fingerprint"] == check["fingerprint"]
    for each in compared["measurements"]:
        assert {"key", "words", "critical"} <= set(each)
    for each in compared["checks"]:
        assert {"words", "critical"} <= set(each)


def test_a_value_that_would_fill_the_memory_is_words(monkeypatch):
    """A key of very many names, which is not so much as begun to be read."""
    monkeypatch.setattr("tomllib.loads", lambda text: pytest.fail(f"reads {text}"))
    deep = "{" + "a." * 50 + "a = 1}"
    assert with_tried({}, [f"width={deep}"], "a.toml") == {"width": deep}
