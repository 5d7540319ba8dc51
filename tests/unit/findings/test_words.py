"""Findings in words."""

import math
from dataclasses import replace

import pytest

from platewright.findings.finding import COMMON, Amount, Finding
from platewright.findings.words import (
    finding_words,
    grouped,
    joined_places,
    measured_words,
    numbers_words,
    reading_words,
)


@pytest.mark.parametrize(
    ("reading", "inch", "metric"),
    [
        (Amount(19.05), "3/4 in", "19.1 mm"),
        (Amount(math.radians(62.5), "angle"), "62.5°", "62.5°"),
        (Amount(250.0, "force"), "56 lbf", "250 N"),
        (Amount(0.35, "share"), "35 %", "35 %"),
    ],
)
def test_figures_come_in_the_files_unit(reading: Amount, inch: str, metric: str) -> None:
    assert reading_words(reading, "in") == inch
    assert reading_words(reading, "mm") == metric


def finding(**other: object) -> Finding:
    told = {
        "severity": "change",
        "rule": "hole edge distance",
        "place": "bolt hole 1, nearest edge",
        "change": "move the hole inwards",
        "source": "AISC 360-16 Table J3.4",
    }
    return Finding(**(told | other))


def test_a_finding_is_one_line_with_all_it_has_to_say() -> None:
    line = finding_words(finding(measured=Amount(12.7), limit=Amount(19.05)), "in")
    assert line == (
        "change: hole edge distance: bolt hole 1, nearest edge: 1/2 in, should be at least "
        "3/4 in; move the hole inwards (AISC 360-16 Table J3.4)"
    )


def test_a_finding_without_figures_has_none() -> None:
    assert measured_words(finding(), "mm") == ""
    assert ": ;" not in finding_words(finding(), "mm")
    assert measured_words(finding(measured=Amount(5.0)), "mm") == "5.0 mm"


def test_upper_limits_say_so() -> None:
    told = finding(measured=Amount(300.0, "force"), limit=Amount(250.0, "force"), bound="at most")
    assert measured_words(told, "mm") == "300 N, should be at most 250 N"


def test_a_least_is_rounded_up_and_a_most_down() -> None:
    least = finding(measured=Amount(9.0), limit=Amount(10.02))
    assert measured_words(least, "mm") == "9.0 mm, should be at least 10.1 mm"
    most = finding(measured=Amount(11.0), limit=Amount(10.08), bound="at most")
    assert measured_words(most, "mm") == "11.0 mm, should be at most 10.0 mm"


def test_what_misses_its_limit_never_reads_as_if_it_met_it() -> None:
    least = finding(measured=Amount(9.98), limit=Amount(10.0))
    assert measured_words(least, "mm") == "9.9 mm, should be at least 10.0 mm"
    most = finding(measured=Amount(0.304, "share"), limit=Amount(0.3, "share"), bound="at most")
    assert measured_words(most, "mm") == "31 %, should be at most 30 %"


# --- told once ---------------------------------------------------------------------------------

CLOSE = Finding(
    severity="change",
    rule="hole edge distance",
    place="bolt hole 1",
    change="move the hole in",
    source=COMMON,
    measured=Amount(6.0),
    limit=Amount(9.0),
)


@pytest.mark.parametrize(
    ("places", "words"),
    [
        (["port hole"], "port hole"),
        (["bolt hole 1", "bolt hole 2"], "bolt holes 1 and 2"),
        (["bend 3, leg", "bend 1, leg", "bend 2, leg"], "bends 1 to 3, leg"),
        (["bolt hole 1", "port hole", "bolt hole 3"], "bolt holes 1 and 3; port hole"),
        (["bolt hole 1 to bend 1", "bolt hole 1 to bend 2"], "bolt hole 1 to bends 1 and 2"),
        (["bolt hole 1 to bend 1", "bolt hole 2 to bend 2"],
         "bolt hole 1 to bend 1; bolt hole 2 to bend 2"),
        (["bend 1", "bend 1"], "bend 1"),
    ],
)  # fmt: skip
def test_places_share_their_words(places, words):
    assert joined_places(places) == words


def test_numbers_are_told_in_runs():
    assert numbers_words([4]) == "4"
    assert numbers_words([1, 2, 4, 5, 6]) == "1, 2 and 4 to 6"


def test_the_same_finding_on_several_holes_is_told_once():
    found = (CLOSE, replace(CLOSE, place="bolt hole 2"))
    (only,) = grouped(found, "mm")
    assert only == replace(CLOSE, place="bolt holes 1 and 2")


def test_figures_count_as_they_read():
    nearly = replace(CLOSE, place="bolt hole 2", measured=Amount(6.0 + 1e-9))
    farther = replace(CLOSE, place="bolt hole 3", measured=Amount(7.0))
    assert [each.place for each in grouped((CLOSE, farther, nearly), "mm")] == [
        "bolt holes 1 and 2",
        "bolt hole 3",
    ]


@pytest.mark.parametrize("change", [{"severity": "note"}, {"rule": "other"}, {"source": "other"}])
def test_other_findings_stay_apart(change):
    assert len(grouped((CLOSE, replace(CLOSE, place="bolt hole 2", **change)), "in")) == 2
