from __future__ import annotations

import math
from pathlib import Path

import pytest

from laws.strategies_files import BODY, COMMON, GOOD, KINDS, SECTIONS, TABLES, TOY, Tab, Toy
from platewright.errors import FileError, Mistake
from platewright.files.job import Part
from platewright.files.reader import load_job, read_job
from platewright.plate.bend import ScoreFold


def refused(text: str) -> list[str]:
    with pytest.raises(FileError) as caught:
        read_job(text, "toy.toml", KINDS)
    return [str(mistake) for mistake in caught.value.mistakes]


def one(text: str) -> Part:
    (part,) = read_job(text, "toy.toml", KINDS).parts
    return part


def test_reads_one_part() -> None:
    part = one(GOOD)
    assert (part.name, part.kind, part.unit, part.hand, part.quantity) == (
        "toy",
        TOY,
        "in",
        "as drawn",
        1,
    )
    assert (part.stock.thickness, part.stock.material.name) == (4.7625, "A36")
    assert part.bend == ScoreFold(0.07 * 25.4, 4.7625 / 4)
    assert (part.note, part.at) == ("", "")


def test_measurements_are_millimetres_and_radians() -> None:
    toy = one(GOOD.replace("width", "turn = 90\nwidth")).measurements
    assert isinstance(toy, Toy)
    assert (toy.width, toy.turn) == (139.7, math.pi / 2)
    assert toy.corners == ((0, 0), (101.6, -12.7), (101.6, 50))
    assert toy.holes.spacing == 88.9
    assert toy.tabs == (Tab(long=50.8),)


def test_bare_numbers_follow_the_files_unit() -> None:
    part = one(metric())
    assert (part.unit, part.measurements.width, part.stock.thickness) == ("mm", 140, 5)


def metric() -> str:
    text = GOOD.replace('"in"', '"mm"').replace('"5 1/2"', "140").replace("3.5", "35")
    return text.replace("long = 2", "long = 30").replace('"3/16"', "5").replace('"0.07"', "2")


def test_what_is_left_out_is_a_round_figure_in_the_files_own_unit() -> None:
    inches, mm = one(GOOD).common, one(metric()).common
    assert inches.limits.lever == pytest.approx(12 * 25.4)
    assert inches.limits.push == pytest.approx(55 * 4.4482216152605)
    assert (mm.limits.lever, mm.limits.push) == (300.0, 250.0)
    assert inches.cutting.kerf == pytest.approx(0.06 * 25.4)
    assert (mm.cutting.kerf, mm.cutting.lead_length) == (1.5, 6.0)


def test_an_optional_table_may_be_there_absent_or_none() -> None:
    assert one(GOOD).measurements.lug is None
    assert one(COMMON + 'lug = "none"\n' + BODY + SECTIONS + TABLES).measurements.lug is None
    assert one(GOOD + "[lug]\nlong = 1\n").measurements.lug == Tab(long=25.4)


def test_an_unknown_key_is_told_with_the_nearest() -> None:
    assert refused(GOOD.replace("spacing", "spacng")) == [
        "toy.toml: holes.spacng: no such key (given: 3.5); did you mean 'spacing'?",
        "toy.toml: holes.spacing: several holes need a spacing",
    ]


def test_hyphens_in_keys_are_near_too() -> None:
    (mistake,) = refused(GOOD.replace("width", "wi-dth=1\nwidth"))
    assert "did you mean 'width'?" in mistake


def test_a_key_in_the_wrong_table_is_sent_home() -> None:
    assert "belongs in [holes]" in refused("spacing = 3\n" + GOOD)[0]
    assert "above the first [table]" in refused(GOOD + "quantity = 2\n")[0]


@pytest.mark.parametrize(
    ("old", "new", "mistake"),
    [
        (
            '"5 1/2"',
            '"5 1/0"',
            "width: a fraction cannot have 0 below the bar. Allowed: 1 in to 20 in",
        ),
        (
            '"5 1/2"',
            "50",
            'width: too large; allowed: 1 in to 20 in. If millimetres were meant, write "50 mm", '
            'or units = "mm" for the file (given: 50)',
        ),
        ('"5 1/2"', "600", "width: too large; allowed: 1 in to 20 in (given: 600)"),
        ('"5 1/2"', "true", "width: true and false belong only to a yes or no."),
        ('"5 1/2"', "[1]", "width: should be a single value, not a list."),
        ('"5 1/2"', "{a = 1}", "width: should be a single value, not a table."),
        ('"5 1/2"', "2020-01-01", "width: should be a single value, not a date or a time."),
        ('"5 1/2"', "nan", "width: not a finite number. Allowed: 1 in to 20 in (given: nan)"),
        ('width = "5 1/2"', "", "width: missing: across the plate. Allowed: 1 in to 20 in"),
        (
            "spacing = 3.5",
            'spacing = 3.5\nfit = "norml"',
            'holes.fit: should be one of "close", "normal", "loose" (given: "norml"); did',
        ),
        ("[[tabs]]\nlong = 2", "", "tabs: missing: its tabs. Allowed: 1 to 3"),
        ("[[tabs]]", "[tabs]", "tabs: should be one or more tables, each under [[tabs]] in double"),
        ("long = 2", "long = 0.1", "tabs[1].long: too small; allowed: 1/2 in to 9 in (given: 0.1)"),
        ("long = 2", "long = 6", "tabs[1].long: longer than the width"),
        ("long = 2", "", "tabs[1].long: missing: along the tab. Allowed: 1/2 in to 9 in"),
        ("corners = [[0, 0], ", "corners = [", "corners: 2 given; allowed: 3 to 200"),
        ("[0, 0]", "[0, 0, 0]", "corners[1]: should be a pair of lengths, [x, y] (given: a list)"),
        ("[0, 0]", '[0, "x"]', 'corners[1]: not a length (given: "x")'),
        (
            "corners = ",
            "corners = 3 #",
            "corners: should be a list of pairs of lengths, [x, y], in brackets (given: 3)",
        ),
        (
            "width =",
            "steps = 3\nwidth =",
            "steps: should be a list of lengths, in brackets (given: 3)",
        ),
        ("width =", "steps = [1, 'x']\nwidth =", 'steps[2]: not a length (given: "x")'),
        ("width =", "steps = [1,1,1,1,1,1]\nwidth =", "steps: 6 given; allowed: 0 to 5"),
        ("width =", "lug = 3\nwidth =", 'lug: should be a table, [lug] or "none" (given: 3)'),
        ("width =", "letter = 'w'\nwidth =", 'letter: allowed: x, y or z (given: "w")'),
        (
            '"toy"',
            '"tow"',
            'kind: no such kind of bracket. Allowed: "toy" (given: "tow"); did you mean \'toy\'?',
        ),
        ('kind = "toy"', "kind = 3", "kind: should be words in quotes (given: 3)"),
        ('kind = "toy"', "", "kind: missing: which kind of bracket this is"),
        ("width =", 'name = "a/b"\nwidth =', "name: no name for files; allowed: letters"),
        ("width =", 'name = "CON"\nwidth =', "name: some computers keep this name for themselves"),
        ("width =", "quantity = 0\nwidth =", "quantity: too small; allowed: 1 to 999 (given: 0)"),
        (
            "width =",
            'hand = "left"\nwidth =',
            'hand: should be one of "as drawn", "mirrored", "pair" (given: "left")',
        ),
    ],
)
def test_each_mistake_says_where_what_and_what_is_allowed(old: str, new: str, mistake: str) -> None:
    assert any(
        line.startswith(f"toy.toml: {mistake}") for line in refused(GOOD.replace(old, new, 1))
    )


def test_all_mistakes_come_at_once_in_the_files_order() -> None:
    text = GOOD.replace('"5 1/2"', "true").replace('"A36"', '"A37"').replace("3.5", '"x"')
    keys = [line.split(": ")[1] for line in refused(text.replace("long", "lonk"))]
    assert keys == ["width", "stock.material", "holes.spacing", "tabs[1].lonk", "tabs[1].long"]


def test_a_file_without_units_is_a_hazard() -> None:
    mistakes = refused(GOOD.replace('units = "in"\n', "").replace("width", "widht"))
    assert [line.split(": ")[1] for line in mistakes] == ["widht", "units", "width"]
    assert "what a number without a unit of its own means" in mistakes[1]


def test_wrong_units_hide_no_lengths_behind_false_limits() -> None:
    (mistake,) = refused(GOOD.replace('"in"', '"inch"').replace('"5 1/2"', "140"))
    assert mistake == (
        'toy.toml: units: should be one of "in", "mm" (given: "inch"); did you mean \'in\'?'
    )


def test_an_unknown_kind_still_has_its_shared_keys_judged() -> None:
    keys = [
        line.split(": ")[1] for line in refused(GOOD.replace("toy", "cog").replace("A36", "A3"))
    ]
    assert keys == ["kind", "stock.material"]


def test_two_relations_of_nested_tables_are_told_together() -> None:
    mistakes = refused(GOOD.replace("spacing = 3.5", "").replace("long = 2", "long = 8"))
    assert [line.split(": ")[1] for line in mistakes] == ["holes.spacing", "tabs[1].long"]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("kind = ", "line 1, column"),
        ("a = 1\na = 2", "line 2, column"),
        ('kind = "toy"\nwidth = 3 3/16', 'stands in quotes, as in "3 3/16": width = 3 3/16'),
        ("width = 80 mm", "stands in quotes"),
        ("width = 1/4", "stands in quotes"),
        ('width = "1/2""', 'inch mark ends the quotes: .*: width = "1/2""'),
        ("units = in", "words stand in quotes: units = in"),
        ("a = " + "9" * 5000, "not readable"),
        ("a = " + "[" * 20000, "nested too deeply|not readable"),
        ("\x00", "not readable"),
    ],
)
def test_what_is_no_toml_is_told_with_its_place(text: str, words: str) -> None:
    with pytest.raises(FileError, match=words):
        read_job(text, "toy.toml", KINDS)


def test_a_byte_order_mark_and_windows_line_ends_are_no_matter() -> None:
    assert one("\ufeff" + GOOD.replace("\n", "\r\n")).measurements == one(GOOD).measurements


# --- several parts ----------------------------------------------------------------------------

_PART = '[[part]]\nkind = "toy"\n' + BODY
_PART_TABLES = "[part.holes]\nspacing = 3\n[[part.tabs]]\nlong = 2\n"


def test_several_parts_share_what_stands_above_them() -> None:
    text = 'units = "in"\nquantity = 3\n' + SECTIONS + (_PART + _PART_TABLES) * 2
    first, second = read_job(text, "rack.toml", KINDS).parts
    assert (first.name, second.name) == ("rack-1", "rack-2")
    assert (first.at, second.at) == ("part[1]", "part[2]")
    assert first.stock == second.stock
    assert (first.quantity, second.quantity) == (3, 3)


def test_a_parts_own_table_replaces_the_shared_one_whole() -> None:
    own = '[part.bend]\nway = "brake"\nradius = "1/8"\nk = 0.4\n'
    text = 'units = "in"\n' + SECTIONS + _PART + _PART_TABLES + _PART + _PART_TABLES + own
    first, second = read_job(text, "rack.toml", KINDS).parts
    assert (first.bend.words, second.bend.words) == ("score and fold", "brake")


def test_a_mistake_in_a_shared_key_is_told_once_and_where_it_stands() -> None:
    text = 'units = "in"\n' + SECTIONS.replace("A36", "A37") + (_PART + _PART_TABLES) * 2
    assert [line.split(": ")[1] for line in refused(text)] == ["stock.material"]


def test_mistakes_of_every_part_are_told_with_their_part() -> None:
    text = 'units = "in"\n' + SECTIONS + (_PART.replace("5 1/2", "55") + _PART_TABLES) * 2
    assert [line.split(": ")[1] for line in refused(text)] == ["part[1].width", "part[2].width"]


def test_two_parts_may_not_share_a_name() -> None:
    named = _PART.replace("kind", 'name = "Lug"\nkind') + _PART_TABLES
    text = 'units = "in"\n' + SECTIONS + named + named.replace("Lug", "lug")
    (mistake,) = refused(text)
    assert mistake.startswith("toy.toml: part[2].name: part[1] has this name too")
    hand = named.replace('kind = "toy"', 'kind = "toy"\nhand = "pair"')
    text = 'units = "in"\n' + SECTIONS + hand + named.replace("Lug", "lug-right")
    (mistake,) = refused(text)
    assert mistake.startswith("toy.toml: part[2].name: part[1] has a piece called lug-right too")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('[part]\nkind = "toy"\n', "double brackets"),
        ("part = []\n", "0 parts given; allowed: 1 to 500"),
        ('name = "x"\n' + _PART + _PART_TABLES, "name: no key for all parts at once"),
        ("width = 3\n" + _PART + _PART_TABLES, "width: no key for all parts at once"),
    ],
)
def test_shared_keys_and_parts_that_cannot_be(text: str, words: str) -> None:
    assert any(words in line for line in refused(text))


@pytest.mark.parametrize(
    ("path", "name"),
    [
        ("a b.toml", "a-b"),
        ("x/é!.toml", "part"),
        ("_seat.v2.toml", "seat-v2"),
        ("q" * 90 + ".toml", "q" * 50),
    ],
)
def test_a_parts_name_comes_from_the_file(path: str, name: str) -> None:
    assert read_job(GOOD, path, KINDS).parts[0].name == name


def test_measurements_that_make_no_bracket_become_a_mistake_with_its_place() -> None:
    text = 'units = "in"\n' + SECTIONS + _PART + _PART_TABLES
    (part,) = read_job(text, "toy.toml", KINDS).parts
    with pytest.raises(FileError) as caught:
        _ = part.bracket
    assert caught.value.mistakes == (
        Mistake(
            file="toy.toml",
            key="part[1].width",
            message="the toy makes no bracket (see also holes.spacing)",
        ),
    )


def test_loads_a_file(tmp_path: Path) -> None:
    path = tmp_path / "lug.toml"
    path.write_text(GOOD, encoding="utf-8")
    job = load_job(path, KINDS)
    assert (job.path, job.parts[0].name) == (str(path), "lug")
