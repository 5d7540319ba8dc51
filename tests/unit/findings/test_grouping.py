from dataclasses import replace

import pytest

from platewright.findings.finding import COMMON, Amount, Finding
from platewright.findings.grouping import grouped, joined_places, numbers_words

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
