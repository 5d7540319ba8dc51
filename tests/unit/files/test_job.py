"""A part built as drawn, with a ligament suggested where its file gives none."""

from pathlib import Path

import pytest

from platewright.files.job import Part
from platewright.files.reader import read_job
from platewright.kinds.kind import catalogue
from platewright.plate.bend import Brake, ScoreFold
from platewright.plate.blank import blank_of
from platewright.shop.scores import Effort, greatest_ligament, score_of

SEAT = (Path(__file__).parents[3] / "patterns" / "spring-seat.toml").read_text(encoding="utf-8")
T = 3 / 16 * 25.4


def part_of(*edits: tuple[str, str]) -> Part:
    text = SEAT
    for old, new in edits:
        assert old in text
        text = text.replace(old, new)
    return read_job(text, "seat.toml", catalogue()).parts[0]


NONE_GIVEN = ('ligament = "3/64"', "")


def ways(part: Part) -> set[object]:
    return {bend.way for bend in blank_of(part.bracket).bends}


def test_a_given_ligament_is_used() -> None:
    made = part_of()
    assert made.ligament is None
    assert ways(part_of()) == {ScoreFold(2.794, 1.190625)}


def test_one_left_out_is_a_quarter_of_the_plate_while_hands_can_fold_it() -> None:
    made = part_of(NONE_GIVEN)
    assert made.ligament is not None
    assert made.ligament.value == pytest.approx(T / 4)
    assert "a quarter of the thickness" in made.ligament.reason
    assert ways(part_of(NONE_GIVEN)) == {ScoreFold(2.794, made.ligament.value)}


def test_weaker_hands_get_a_thinner_one_for_the_longest_bend() -> None:
    part = part_of(NONE_GIVEN, ("[bolts]", '[limits]\npush = "60 N"\n\n[bolts]'))
    made = part
    assert made.ligament is not None
    bends = blank_of(made.bracket).bends
    longest = max(bend.line.length for bend in bends)
    material, lever = part.stock.material, part.common.limits.lever
    assert made.ligament.value == pytest.approx(
        greatest_ligament(longest, material, Effort(limit=60.0, lever=lever))
    )
    assert "stays at the limit" in made.ligament.reason
    pushes = [score_of(bend, T).moment(material.ultimate_high_mpa) / lever for bend in bends]
    assert max(pushes) == pytest.approx(60.0)


def test_without_bends_none_is_suggested() -> None:
    lines = SEAT.replace('ligament = "3/64"', "").splitlines()
    start, end = lines.index("[front]"), [i for i, x in enumerate(lines) if x.startswith("[left]")]
    flat = "\n".join([*lines[: end[0]], *lines[start:]])
    (part,) = read_job(flat, "seat.toml", catalogue()).parts
    assert part.ligament is None


def test_a_brake_bend_has_no_ligament() -> None:
    brake = part_of(
        ('way      = "score"', 'way = "brake"'),
        ('groove   = "0.11"', 'radius = "1/4"'),
        ('ligament = "3/64"', "k = 0.42"),
    )
    made = brake
    assert made.ligament is None
    assert ways(brake) == {Brake(6.35, 0.42)}
