"""Findings in words."""

import math

import pytest

from platewright.findings.finding import Amount, Finding
from platewright.findings.words import finding_words, measured_words, reading_words


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
