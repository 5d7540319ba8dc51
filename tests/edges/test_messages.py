"""What is said of the slips that a fabricator makes with a starter file."""

from __future__ import annotations

import re

import pytest

from platewright.errors import FileError
from platewright.files.reader import read_job
from platewright.files.starter import setup_starter, starter
from platewright.kinds.kind import catalogue

KINDS = catalogue()
SEAT = starter(KINDS["seat"], "in")
ZEE = starter(KINDS["zee"], "in")


def told(text: str) -> str:
    with pytest.raises(FileError) as caught:
        read_job(text, "a.toml", KINDS)
    return str(caught.value)


def with_line(start: str, key: str, line: str) -> str:
    changed, count = re.subn(rf"^#?{key} = .*$", lambda _: line, start, count=1, flags=re.MULTILINE)
    assert count == 1
    return changed


def test_a_head_that_is_still_behind_its_mark_is_told_by_the_tables_that_know_the_key():
    opened = SEAT.replace("#[port]", "[port]").replace("#offset", "offset")
    opened = opened.replace("#reach", "reach", 1)
    words = told(opened)
    assert "port.reach: no such key here; it belongs in [left] or [right]" in words
    assert "Does a # still stand before that head?" in words


def test_a_key_spelt_much_like_one_of_another_table_is_told_where_that_one_belongs():
    words = told(SEAT.replace("\n[cutting]\n", '\n[cutting]\nstandoff = "3/16 in"\n'))
    assert "cutting.standoff: no such key here; stand_off belongs in [cutting.guide]" in words


def test_a_key_hardly_like_one_of_another_table_is_not_taken_for_it():
    words = told(SEAT.replace("\n[cutting]\n", "\n[cutting]\nshelf = 3\n"))
    assert "cutting.shelf: no such key (given: 3)" in words


def test_a_key_that_nobody_would_see_is_told_in_quotes():
    words = told(SEAT.replace("\n[cutting]\n", '\n[cutting]\n"" = 1\n" " = 1\n'))
    assert 'cutting."": no such key' in words
    assert 'cutting." ": no such key' in words


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ('width = "3 3/16', "a quote is missing"),
        ('width = "3 3/16  # of the flange', "a quote is missing"),
        ("width = “3 3/16”", "the quotes are curly"),
        ('width = "3 3/16”', "the quotes are curly"),
        ("width = ‘3’", "the quotes are curly"),
        ('width = 3 3/16"', "stands in quotes"),
        ('width = "3 3/16""', "an inch mark ends the quotes"),
    ],
)
def test_quotes(line, words):
    assert words in told(with_line(ZEE, "width", line))


def test_where_the_distances_of_a_grid_go():
    grid = '[[pattern]]\nlayout = "grid"\nrows = 2\nsize = "1/4"\nmeasured_from = [{ edge = '
    grid += '"front side", distance = 1, spacing = 2 }, { edge = "left end", distance = 1 }]\n'
    words = told(ZEE + grid)
    assert (
        "pattern[1].measured_from[1].spacing: no such key here; it belongs in [[pattern]]" in words
    )
    assert 'layout = "grid" needs its row_spacing, from row to row, beside layout' in words


def test_a_sheet_in_the_other_unit():
    sheet = '[limits]\nsheet = "24 x 48"\n'
    metric = starter(KINDS["zee"], "mm").replace("[limits]\n", sheet)
    assert 'If inches were meant, write "24 x 48 in"' in told(metric)
    (part,) = read_job(metric.replace('24 x 48"', '24 x 48 in"'), "a.toml", KINDS).parts
    assert part.common.limits.sheet == pytest.approx((24 * 25.4, 48 * 25.4))


def test_a_word_of_a_label_is_told_its_key():
    mark = '[[mark]]\ncircle = 1\nmeasured_from = [{ edge = "front side", distance = 1 }, '
    words = told(ZEE + mark + '{ edge = "left end", distance = 1 }]\n')
    assert "mark[1].circle: no such key; the circle's diameter is diameter" in words


@pytest.mark.parametrize("name", [*KINDS, "travel"])
def test_a_metric_starter_file_has_metric_values(name):
    text = setup_starter("mm") if name == "travel" else starter(KINDS[name], "mm")
    values = [line for line in text.splitlines() if re.match(r"#?[a-z_]+ = ", line)]
    assert values
    foreign = [
        each for each in values if re.search(r'\d ?(in|in2|sq in|in/min|lbf?|psi|ft)"', each)
    ]
    assert foreign == []
