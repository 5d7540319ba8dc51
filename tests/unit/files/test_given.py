from __future__ import annotations

import datetime
from typing import Any

import pytest

from platewright.files.given import Given, KeyTable, Ledger, nearest, shown, sort_of


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ({}, "a table"),
        ([1], "a list"),
        (True, "true"),
        (False, "false"),
        (3.5, "3.5"),
        (10**40, "an endless number"),
        ("3/16", '"3/16"'),
        ("a\nb\x1b", '"a\\u000ab\\u001b"'),
        ("x" * 99, '"' + "x" * 57 + '..."'),
        (datetime.date(2020, 1, 2), "2020-01-02"),
    ],
)
def test_given_values_are_shown_on_one_short_line(value: Any, words: str) -> None:
    assert shown(value) == words


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ({}, "a table"),
        ([], "a list"),
        (datetime.time(1), "a date or a time"),
        ("", "a single value"),
    ],
)
def test_sorts_of_values(value: Any, words: str) -> None:
    assert sort_of(value) == words


@pytest.mark.parametrize(
    ("word", "found"),
    [
        ("spacng", "spacing"),
        ("SPACING", "spacing"),
        ("plate-diameter", "plate_diameter"),
        ("zzz", None),
        ("a36", "A36"),
    ],
)
def test_the_nearest_word(word: str, found: str | None) -> None:
    assert nearest(word, ["spacing", "plate_diameter", "A36"]) == found


def test_a_table_knows_where_its_keys_stand() -> None:
    own = KeyTable.of("part[1]", {"width": 3})
    merged = KeyTable(own.key, {"stock": Given("stock", {}), **own.entries})
    assert merged.below("width") == "part[1].width"
    assert merged.below("stock.gauge") == "stock.gauge"
    assert merged.below("bend") == "part[1].bend"


def test_strange_keys_are_shown_safely() -> None:
    table = KeyTable.of("", {"a\nb": 1, "k" * 99: 2})
    assert [given.key for given in table.entries.values()] == [
        '"a\\u000ab"',
        '"' + "k" * 57 + '..."',
    ]


def test_a_mistake_is_written_down_once() -> None:
    ledger = Ledger("a.toml")
    for _ in range(2):
        ledger.refuse("width", "missing")
    assert [str(mistake) for mistake in ledger.mistakes] == ["a.toml: width: missing"]
