"""Changes of measurements in words."""

from __future__ import annotations

from typing import Any

import pytest

from laws.strategies_files import KINDS
from platewright.files.changes import Change, changes
from platewright.files.job import Part
from platewright.files.reader import read_job
from platewright.files.starter import starter
from platewright.kinds.kind import catalogue

TOY = KINDS["toy"]
HEAD = """
kind = "toy"
units = "in"
width = "4"
corners = [["0", "0"], ["4", "0"], ["0", "4"]]
steps = ["1", "2"]
holes = { spacing = "1" }
stock = { thickness = "3/16", material = "A36" }
bend = { way = "crease" }
[[tabs]]
long = "2"
"""


def part(text: str) -> Part:
    (found,) = read_job(text, "toy.toml", KINDS).parts
    return found


def told(text: str, **swaps: str) -> list[tuple[str, str, str]]:
    found = changes(part(HEAD), part(text))
    return [(change.key, change.old, change.new) for change in found]


@pytest.mark.parametrize(
    ("old", "new", "change"),
    [
        ('width = "4"', 'width = "4 3/16"', ("width", "4 in", "4 3/16 in")),
        ('width = "4"', 'width = "4"\nturn = 30', ("turn", "0°", "30°")),
        ('width = "4"', 'width = "4"\nshare = 0.25', ("share", "0.5", "0.25")),
        ('width = "4"', 'width = "4"\npainted = true', ("painted", "false", "true")),
        ('width = "4"', 'width = "4"\nletter = "z"', ("letter", "X", "Z")),
        ('width = "4"', 'width = "4"\nwords = "so"', ("words", "not given", "so")),
        ('["1", "2"]', '["1", "2 1/2"]', ("steps", "1 in, 2 in", "1 in, 2 1/2 in")),
        (
            '["0", "4"]',
            '["0", "5"]',
            ("corners", "[0 in, 0 in] [4 in, 0 in] [0 in, 4 in]",
             "[0 in, 0 in] [4 in, 0 in] [0 in, 5 in]"),
        ),
        ('spacing = "1"', 'spacing = "1 1/4"', ("holes.spacing", "1 in", "1 1/4 in")),
        ('long = "2"', 'long = "3"', ("tabs[1].long", "2 in", "3 in")),
        ('"A36"', '"304"', ("stock.material", "A36 structural steel", "304 stainless steel")),
        ('way = "crease"', 'way = "brake"\nradius = 0.25\nk = 0.4', None),
    ],
)  # fmt: skip
def test_each_sort_of_value_is_told_in_words(old: str, new: str, change: Any) -> None:
    assert old in HEAD
    if change is None:
        new = new.replace("\n", ", ")
        assert [key for key, _, _ in told(HEAD.replace(old, new))] == [
            "bend.way",
            "bend.radius",
            "bend.k",
        ]
    else:
        assert told(HEAD.replace(old, new)) == [change]


def test_a_row_more_and_a_table_more_are_given() -> None:
    found = told(HEAD + '[[tabs]]\nlong = "1"\n[lug]\nlong = "1"\n')
    assert ("tabs[2]", "not given", "tab length 1 in") in found
    assert not any(key.startswith("tabs[2].") for key, _, _ in found)
    assert ("lug", "not given", "given") in found


def test_nothing_is_told_of_the_same() -> None:
    assert changes(part(HEAD), part(HEAD)) == ()


def test_names_and_notes_are_no_measurements() -> None:
    other = HEAD.replace('kind = "toy"', 'kind = "toy"\nname = "other"\nnote = "words"')
    assert told(other) == []


def test_what_decides_the_fit_is_marked() -> None:
    found = changes(part(HEAD), part(HEAD.replace('width = "4"', 'width = "5"')))
    assert found == (Change(key="width", label="width", old="4 in", new="5 in", fit_critical=True),)


def test_of_another_kind_only_the_kind_is_told() -> None:
    seat = catalogue()["seat"]
    (other,) = read_job(starter(seat, "in"), "seat.toml", {"seat": seat}).parts
    found = changes(part(HEAD), other)
    assert ("kind", "toy", "seat") in [(each.key, each.old, each.new) for each in found]
    assert not any(each.key.startswith(("width", "tabs")) for each in found)
