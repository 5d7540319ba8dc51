"""A value changed in a text: that line alone, and what the file then says is what was asked."""

import tomllib
from copy import deepcopy
from functools import cache
from pathlib import Path

import pytest

from platewright.kinds.kind import catalogue
from platewright.measure import walk
from platewright.page.edits import steps_of, with_edits
from platewright.page.state import fields_in, starter_text, typed_in

PATTERNS = Path(__file__).parents[3] / "patterns"
NAMES = [path.name for path in sorted(PATTERNS.glob("*.toml"))]
STARTERS = [f"starter of a {kind}" for kind in (*catalogue(), "travel")]
OTHER = "7/8 in"


@cache
def text_of(name: str) -> str:
    """A pattern, or the file that a kind starts with."""
    if name in STARTERS:
        return starter_text(name.split()[-1], "in")
    return (PATTERNS / name).read_text("utf-8")


@cache
def fields_of(text: str) -> object:
    return fields_in(tomllib.loads(text), 1)


def edit(text: str, *edits: dict[str, object]) -> str:
    changed, refused = with_edits(text, edits, fields_of(text))
    assert refused == ()
    return changed


def put(raw: dict, key: str, value: object) -> dict:
    """The file's table with a value in its place, by dictionaries alone."""
    changed = deepcopy(raw)
    *around, last = steps_of(key)
    table = changed
    for step in around:
        table = table[step - 1] if isinstance(step, int) else table.setdefault(step, {})
    table[last if isinstance(last, str) else last - 1] = value
    return changed


def lines_that_differ(one: str, other: str) -> list[int]:
    before, after = one.split("\n"), other.split("\n")
    assert len(before) == len(after)
    return [i for i, (a, b) in enumerate(zip(before, after, strict=True)) if a != b]


def single_values(text: str) -> dict[str, object]:
    typed = typed_in(tomllib.loads(text), 1)["typed"]
    return {key: value for key, value in typed.items() if not isinstance(value, list)}


@pytest.mark.parametrize("name", [*NAMES, *STARTERS])
def test_each_value_can_be_changed_in_its_own_line_and_nothing_else_is(name):
    text = text_of(name)
    raw = tomllib.loads(text)
    for key, value in single_values(text).items():
        assert edit(text, {"key": key, "value": value}) == text
        changed = edit(text, {"key": key, "value": OTHER})
        assert tomllib.loads(changed) == put(raw, key, OTHER)
        assert len(lines_that_differ(text, changed)) == 1


@pytest.mark.parametrize("name", [*NAMES, *STARTERS])
def test_a_value_that_is_cleared_waits_behind_a_hash_and_comes_back_there(name):
    text = text_of(name)
    for key, value in single_values(text).items():
        if "[" in key:  # what stands in a list's braces has no line of its own
            continue
        shut = edit(text, {"key": key, "value": None})
        (line,) = lines_that_differ(text, shut)
        assert shut.split("\n")[line].startswith("#")
        opened = edit(shut, {"key": key, "value": value})
        assert tomllib.loads(opened) == tomllib.loads(text)
        assert lines_that_differ(text, opened) in ([], [line])


@pytest.mark.parametrize("kind", catalogue())
def test_what_a_starter_file_leaves_out_is_opened_where_it_is_explained(kind):
    text = text_of(f"starter of a {kind}")
    raw = tomllib.loads(text)
    for key, _ in walk(catalogue()[kind].measurements):
        if "[" in key or key in single_values(text):
            continue
        opened = edit(text, {"key": key, "value": OTHER})
        assert tomllib.loads(opened) == put(raw, key, OTHER)
        assert len(opened.split("\n")) == len(text.split("\n"))


def test_rows_are_added_filled_in_and_taken_out_with_remarks_kept():
    text = text_of("corner-gusset.toml")
    raw = tomllib.loads(text)
    grown = edit(
        text,
        {"add_row": "hole", "values": {"size": "3/8"}},
        {"add_row": "hole"},
        {"add_row": "hole[1].measured_from", "values": {"edge": "wall edge"}},
        {"key": "hole[1].measured_from[1].distance", "value": "2"},
        {"key": "hole[2].size", "value": "1/4"},
    )
    assert grown.startswith(text.rstrip("\n"))
    rows = [
        {"size": "3/8", "measured_from": [{"edge": "wall edge", "distance": "2"}]},
        {"size": "1/4"},
    ]
    assert tomllib.loads(grown) == raw | {"hole": rows}
    one_less = edit(grown, {"remove_row": "hole[1]"})
    assert tomllib.loads(one_less) == raw | {"hole": rows[1:]}
    none = edit(one_less, {"remove_row": "hole[1]"})
    assert tomllib.loads(none) == raw


def test_numbers_stay_numbers_and_words_words():
    text = 'kind = "tab"\nname = "a" # mine\nquantity = 2\nwidth = 3\n[detail]\nnicks = true\n'
    changed = edit(
        text,
        {"key": "quantity", "value": "12"},
        {"key": "name", "value": "12"},
        {"key": "width", "value": "4.5"},
        {"key": "detail.nicks", "value": "false"},
    )
    assert changed == (
        'kind = "tab"\nname = "12" # mine\nquantity = 12\nwidth = 4.5\n[detail]\nnicks = false\n'
    )


def test_readings_of_a_scribed_edge_are_a_list_of_pairs():
    text = 'kind = "tab"\n[[scribe]]\nedge = "a"\nreadings = [["0", "1"], ["2", "1 1/16"]]\n'
    changed = edit(text, {"key": "scribe[1].readings", "value": [["0", "1"], ["3", "7/8"]]})
    assert tomllib.loads(changed)["scribe"][0]["readings"] == [["0", "1"], ["3", "7/8"]]
    assert 'edge = "a"' in changed


def test_a_row_among_several_parts_is_the_right_one():
    text = (
        'units = "in"\n[[part]]\nkind = "tab"\nwidth = "1" # one\n[[part.hole]]\nsize = "1/4"\n'
        '[[part]]\nkind = "tab"\nwidth = "2" # two\n[[part.hole]]\nsize = "3/8"\n'
    )
    changed = edit(text, {"key": "part[2].hole[1].size", "value": "1/2"})
    assert changed == text.replace('"3/8"', '"1/2"')
    changed = edit(text, {"key": "part[2].width", "value": "3"})
    assert changed == text.replace('"2" # two', '"3" # two')


@pytest.mark.parametrize(
    "key", ["", ".", "a..b", "a[0]", "a[x]", "a b", 'a"', "[1]", "a." * 40 + "a", "hole[9].size"]
)
def test_a_key_that_leads_nowhere_is_refused_in_words_and_changes_nothing(key):
    text = text_of("spring-seat.toml")
    for how in ({"key": key, "value": "1"}, {"add_row": f"{key}[7]"}, {"remove_row": key}):
        changed, refused = with_edits(text, [how], fields_in(tomllib.loads(text), 1))
        assert changed == text
        assert len(refused) == 1


def test_a_key_that_is_not_there_goes_behind_the_last_of_its_table():
    text = 'kind = "tab"  # a tab\n\n# about the plate\n[stock]\nthickness = "1/4"\n\n# end\n'
    changed = edit(text, {"key": "stock.material", "value": "A36"}, {"key": "width", "value": "2"})
    assert changed == (
        'kind = "tab"  # a tab\nwidth = "2"\n\n# about the plate\n[stock]\nthickness = "1/4"\n'
        'material = "A36"\n\n# end\n'
    )
    changed = edit(
        text, {"key": "bend.way", "value": "score"}, {"key": "bend.groove", "value": "2"}
    )
    assert changed == text + '\n[bend]\nway = "score"\ngroove = "2"\n'


def test_words_cannot_break_out_of_their_quotes():
    text = text_of("spring-seat.toml")
    nasty = 'x"\n[stock]\nthickness = "9\\'
    changed = edit(text, {"key": "note", "value": nasty})
    assert tomllib.loads(changed) == tomllib.loads(text) | {"note": nasty.strip()}


def test_a_text_that_would_fill_the_memory_is_no_toml(monkeypatch):
    monkeypatch.setattr(tomllib, "loads", lambda text: pytest.fail(f"reads {text}"))
    deep = "a." * 50 + "a = 1"
    assert with_edits(deep, [{"key": "b", "value": 2}], {}) == (
        deep,
        (("b", "the text of this file is no TOML: set that right first"),),
    )


def test_a_text_that_is_no_toml_is_left_as_it_is():
    assert with_edits("a = = 1", [{"key": "a", "value": 2}], {})[0] == "a = = 1"
