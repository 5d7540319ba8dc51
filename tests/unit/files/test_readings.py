"""Readings files: what is written, what is read back, and every mistake at once."""

from __future__ import annotations

import math

import pytest

from platewright.errors import FileError
from platewright.files.readings import Asked, Measuring, filled_in, read_readings, readings_text


def row(name, value=70.0, state="flat", angle=False, critical=True):
    return Asked(
        state=state,
        name=name,
        words=f"what {name} measures",
        value=value,
        told="70.0, ± 0.8 mm",
        critical=critical,
        angle=angle,
    )


ROWS = (
    row("A to B"),
    row("C"),
    row("across", 210.7, critical=False),
    row("bevel 1", math.pi / 2, "folded", angle=True),
    row("a", 40.0, "folded"),
    row("g 1", 90.0, "folded"),
    row("g 2", 96.0, "folded"),
)


def measuring(part="angle", made_of="plate", unit="mm", hand="as drawn", alone="ABC-DEF"):
    return Measuring(
        part=part,
        hand=hand,
        made_of=made_of,
        fingerprint="ABC-DEF",
        without_shop=alone,
        unit=unit,
        rows=lambda: ROWS,
    )


def read(text, *pieces):
    return read_readings(text, "r.toml", pieces or (measuring(),), "angle.toml")


def values(text, *pieces):
    return {asked.name: value for asked, value in read(text, *pieces).readings}


def mistakes(text, *pieces):
    with pytest.raises(FileError) as refused:
        read(text, *pieces)
    return [str(each) for each in refused.value.mistakes]


HEAD = 'part = "angle"\nhand = "as drawn"\nfingerprint = "ABC-DEF"\nunits = "mm"\n'


def test_the_written_file_has_a_blank_for_every_row_and_says_whose_it_is():
    text = readings_text(measuring())
    for asked in ROWS:
        (line,) = (each for each in text.splitlines() if each.startswith(f'"{asked.name}"'))
        assert '= ""' in line
        assert asked.words in line
        assert asked.told in line
        assert ("FIT" in line) == asked.critical
    assert 'fingerprint = "ABC-DEF"' in text
    assert filled_in(text) == ()


def test_what_is_filled_in_is_read_back():
    text = readings_text(measuring())
    filled = text.replace('"A to B" = ""', '"A to B" = "70.5"')
    filled = filled.replace('"bevel 1" = ""', '"bevel 1" = "89 1/2"')
    assert filled_in(filled) == ("A to B", "bevel 1")
    assert values(filled) == {"A to B": 70.5, "bevel 1": pytest.approx(math.radians(89.5))}


@pytest.mark.parametrize(
    ("given", "mm"),
    [
        ('"70"', 70.0),
        ("70", 70.0),
        ("70.5", 70.5),
        ('"2 3/4 in"', 69.85),
        # shy takes a hundredth of an inch off
        ('"2 3/4 in shy"', 69.85 - 0.254),
        ('"700 sure"', 700.0),
    ],
)
def test_a_reading_is_a_shop_length(given, mm):
    assert values(f'{HEAD}[flat]\n"A to B" = {given}\n') == {"A to B": pytest.approx(mm)}


@pytest.mark.parametrize("name", ["A to B", "B to A", "A-B", "A - B", "A, B"])
def test_a_row_may_be_named_as_it_is_said(name):
    assert values(f'{HEAD}[flat]\n"{name}" = 70\n') == {"A to B": 70.0}


def test_a_bare_number_without_a_unit_is_in_the_bracket_files_and_that_is_told():
    found = read(f"{HEAD}[flat]\nC = 70\n".replace('units = "mm"\n', ""))
    assert [value for _, value in found.readings] == [70.0]
    assert found.taken == (
        "units: not given; numbers without a unit are taken as angle.toml has them, mm",
    )


def test_readings_without_a_fingerprint_are_taken_to_be_of_today():
    found = read('[flat]\nC = "70 mm"\n')
    assert found.of.part == "angle"
    assert any("fingerprint: not given" in line for line in found.taken)


def test_every_mistake_is_told_at_once():
    told = mistakes(
        'part = "angle"\nunits = "mm"\nmade_of = "tin"\nfingerprint = "XYZ-123"\nwho = 1\n'
        '[flat]\n"A to Q" = 1\nC = "7 0"\nacross = "-4"\n[folded]\n"bevel 1" = "400"\na = [1]\n'
    )
    for words in (
        'made_of: should be one of "plate", "card"', "fingerprint: angle.toml has changed since",
        "who: no such key",
        "flat.A to Q: no such key", "did you mean 'A to B'?", "flat.C: two numbers side by side",
        "flat.across: a length cannot be negative", "folded.bevel 1: more than a full turn",
        "folded.a: should be a single value",
    ):  # fmt: skip
        assert any(words in each for each in told), (words, told)


@pytest.mark.parametrize(
    ("name", "given", "words"),
    [
        ("A to B", "700", "about 10 times too large"),
        ("A to B", "7.05", "about 10 times too small"),
        ("across", "21", "about 10 times too small"),
        ("A to B", "0", "far off"),
    ],
)
def test_a_misplaced_point_is_asked_about(name, given, words):
    (told,) = mistakes(f'{HEAD}[flat]\n"{name}" = "{given}"\n')
    assert words in told
    assert "write sure behind it" in told


def test_inches_read_for_millimetres_are_left_to_be_explained():
    assert values(f'{HEAD}[flat]\n"A to B" = 2.756\n') == {"A to B": 2.756}


@pytest.mark.parametrize("text", ["", HEAD, f"{HEAD}[flat]\nC = ''\n", "# nothing\n"])
def test_nothing_filled_in_is_refused(text):
    (told,) = mistakes(text)
    assert "no reading is filled in" in told


def test_the_file_that_changed_is_named():
    of = measuring(alone="AAA-111")
    assert 'of_the_file = "AAA-111"' in readings_text(of)
    before = 'fingerprint = "ZZZ-999"\n[flat]\nC = 70\n'
    (told,) = mistakes(f'of_the_file = "AAA-111"\n{before}', of)
    assert "the shop file has changed since" in told
    (told,) = mistakes(f'of_the_file = "BBB-222"\n{before}', of)
    assert "angle.toml has changed since" in told
    # a shop file has come since
    (told,) = mistakes('fingerprint = "AAA-111"\n[flat]\nC = 70\n', of)
    assert "the shop file has changed since" in told


def test_another_part_and_another_hand_are_refused():
    pair = measuring("angle-left", hand="left"), measuring("angle-right", hand="right")
    (told,) = mistakes('part = "angle"\n[flat]\nC = 70\n', *pair)
    assert 'no such part in angle.toml. Allowed: "angle-left", "angle-right"' in told
    (told,) = mistakes("[flat]\nC = 70\n", *pair)
    assert "missing: the part that was measured" in told
    (told,) = mistakes('part = "angle-left"\nhand = "right"\n[flat]\nC = 70\n', *pair)
    assert 'angle-left is the hand "left"' in told


def test_the_mock_up_has_readings_of_its_own():
    pieces = measuring(), measuring(made_of="card")
    assert read(f'made_of = "card"\n{HEAD}[flat]\nC = 70\n', *pieces).of is pieces[1]
    assert pieces[1].file_name == "angle-card-readings.toml"


def test_a_row_told_twice_and_a_bracket_file_are_refused():
    (told,) = mistakes(f'{HEAD}[flat]\n"A to B" = 70\n"B to A" = 71\n')
    assert "A to B stands twice" in told
    (told,) = mistakes('kind = "angle"\n')
    assert "this is a bracket file" in told
