"""Deliberately bad files: each of their faults is named, and what cannot be made is refused."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from platewright.cli.root import root
from platewright.errors import FileError
from platewright.files.job import require_possible, worked_out
from platewright.files.reader import load_all
from platewright.findings.finding import Finding

HERE = Path(__file__).parent


def found(name: str) -> list[Finding]:
    (ready,) = worked_out(load_all([HERE / name]))
    return [finding for judgement in ready.judgements for finding in judgement.findings]


def places(name: str, rule: str) -> list[str]:
    return [finding.place for finding in found(name) if finding.rule == rule]


def test_the_bad_seat_has_each_of_its_faults_named() -> None:
    assert {finding.rule for finding in found("bad-seat.toml")} == {
        "body drift",
        "hole edge distance",
        "hole to hole",
        "fitting against bolts",
        "fold beyond the groove",
        "ligament too thick",
        "larger than the sheet",
        "ligament stretch",
        "socket room",
    }


def test_the_bad_seats_faults_are_placed_and_measured() -> None:
    told = {(f.rule, f.place): f for f in found("bad-seat.toml")}
    wall = told["body drift", "body at its fullest, wall"]
    assert (wall.measured.value, wall.limit.value) == pytest.approx((5.0, 12.0))
    # the front bolt hole: plate radius 65 less bolt circle radius 54
    front = told["hole edge distance", "bolt hole 3, nearest edge"]
    assert front.measured.value == pytest.approx(11.0)
    # M16 has a row of its own in the metric table
    assert front.source == "AISC 360-16 Table J3.4M"
    assert front.limit.value == pytest.approx(22.0)
    # chord of an eighth of a circle 108 across: 108 sin 22.5°
    chord = told["hole to hole", "bolt hole 1 to bolt hole 2"]
    assert chord.measured.value == pytest.approx(41.33, abs=0.005)
    # 2 2/3 of M16 is more than 2.4 of its hole of 17.5
    assert chord.limit.value == pytest.approx(42.67, abs=0.005)
    assert chord.source == "AISC 360-16 J3.3, 2 2/3 d"
    # 2 x 2 / 3.2 radians
    fold = told["fold beyond the groove", "bend 1"]
    assert fold.limit.value == pytest.approx(1.25)


def test_the_bad_panels_have_each_of_their_faults_named() -> None:
    assert {finding.rule for finding in found("bad-panels.toml")} == {
        "panel stands in the wall",
        "hole edge distance",
        "hole to bend",
        "washer room",
        "leg too short",
        "bend radius too small",
        "missing corner relief",
        "no room for the torch",
        "hole too small for plasma",
    }


def test_the_bad_panels_faults_are_where_they_were_made() -> None:
    assert places("bad-panels.toml", "hole to bend") == [
        "close hole, bend 1",
        "washer bolt, bend 1",
    ]
    assert places("bad-panels.toml", "leg too short") == ["bend 3, flat of the leg"]
    assert places("bad-panels.toml", "no room for the torch") == [
        "front lip and front tab on the blank"
    ]
    assert places("bad-panels.toml", "panel stands in the wall") == ["tail, wall"]
    assert "bend 3 and bend 4, corner between" in places("bad-panels.toml", "missing corner relief")


@pytest.mark.parametrize(
    ("name", "rule"),
    [
        ("impossible.toml", "panels pass through each other"),
        ("impossible-seat.toml", "hole off the plate"),
    ],
)
def test_what_cannot_be_made_is_refused_with_the_reason(name: str, rule: str) -> None:
    assert next(f.rule for f in found(name) if f.severity == "impossible") == rule
    with pytest.raises(FileError, match=rule):
        require_possible(worked_out(load_all([HERE / name])))


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("bad-seat.toml", 1),
        ("bad-panels.toml", 1),
        ("impossible.toml", 1),
        ("impossible-seat.toml", 1),
        ("impossible-blank.toml", 2),
        ("up-and-down.toml", 0),
    ],
)
def test_check_ends_with_the_code_for_what_it_found(name: str, code: int) -> None:
    result = CliRunner().invoke(root, ["check", str(HERE / name)])
    assert result.exit_code == code, result.output


@pytest.mark.parametrize("name", ["impossible", "impossible-seat", "impossible-blank"])
def test_make_writes_nothing_of_what_cannot_be_made(name: str, tmp_path: Path) -> None:
    result = CliRunner().invoke(
        root, ["make", str(HERE / f"{name}.toml"), "--out", str(tmp_path / "out")]
    )
    assert result.exit_code == 2
    assert not list(tmp_path.rglob("*.pdf"))


def test_check_tells_places_figures_limits_and_sources() -> None:
    output = CliRunner().invoke(root, ["check", str(HERE / "bad-panels.toml")]).output
    lines = [line for line in output.splitlines() if "edge bolt" in line]
    assert len(lines) == 1
    for words in ("9.0 mm", "at least 13.2 mm", "EN 1993-1-8 Table 3.3", "move the hole inwards"):
        assert words in lines[0]
