"""The sheet of what readings mean: verdict, causes, arrows to scale, table."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from laws.example_pieces import seat_piece
from platewright.drawing.items import Stroke, marks, words
from platewright.drawing.pointers import POINTER
from platewright.readings.cause import Remedy
from platewright.readings.diagnosis import Alternative, Diagnosis, Found
from platewright.readings.fate import Fate
from platewright.readings.reading import Fineness, Reading, verdicts
from platewright.sheets.readings_sheet import (
    VERDICTS,
    Diagnosed,
    ReadRow,
    alternative_words,
    readings_pages,
    remedy_words,
)
from platewright.sheets.rows import flat_rows, folded_rows

SERVES = Fate(outcome="serves", words="It serves as it is.")


def diagnosed(flat=(), folded=(), fate=SERVES, causes=(), alternatives=(), unit="mm"):
    """Readings of a seat: by the place of their row, how much they are off, mm or degrees."""
    piece = seat_piece()
    rows, readings = [], []
    for state, table, offs in (
        ("flat", flat_rows(piece), dict(flat)),
        ("folded", folded_rows(piece), dict(folded)),
    ):
        for number, off in offs.items():
            row = table.rows[number]
            tape = row.told[0].on_blank if state == "flat" else row.told[0].on_part
            more = -math.radians(off) if row.is_bevel else off
            rows.append(row)
            readings.append(
                Reading(letter=row.name, measured=row.told[0], state=state, value=tape.value + more)
            )
    told = verdicts(readings, Fineness(division=1.0))
    return Diagnosed(
        piece=piece,
        made_of="plate",
        unit=unit,
        rows=tuple(ReadRow(row, each, unit) for row, each in zip(rows, told, strict=True)),
        found=Diagnosis(
            verdicts=told, causes=tuple(causes), alternatives=tuple(alternatives), fate=fate
        ),
        taken=("tape read to 1.0 mm",),
    )


def printed(of, paper="A4"):
    return " ".join(word for page in readings_pages(of, paper) for word in words(page.items))


@pytest.mark.parametrize("outcome", VERDICTS)
def test_the_verdict_stands_first(outcome):
    of = diagnosed({0: 2.0}, fate=Fate(outcome=outcome, words="So it is."))
    first, second, *_ = words(readings_pages(of, "letter")[0].items)
    assert (first, second) == (VERDICTS[outcome], "So it is.")


def test_trims_sets_causes_and_what_cannot_be_told_apart_are_printed():
    cause = Found(
        name="kerf",
        words="the kerf is 2.1 mm",
        size=0.3,
        error=0.1,
        unit="mm",
        evidence=("A to B", "across"),
        remedies=(
            Remedy(words="Measure it", where="at the work"),
            Remedy(words="The kerf", where="bracket file", key="cutting.kerf", value="2.1 mm"),
        ),
    )
    row = flat_rows(seat_piece()).rows[3]
    other = Alternative(found="kerf", name="hook", words="the tape's hook", settles=row.told[0])
    of = diagnosed(
        {0: 2.0},
        fate=Fate(
            outcome="trim", words="Trim it.", trims=("take 3.0 mm off",), sets=("cutting.kerf=2",)
        ),
        causes=(cause,),
        alternatives=(other,),
    )
    text = printed(of)
    for told in (
        "take 3.0 mm off", '--set "cutting.kerf=2"', "The kerf is 2.1 mm (told by A to B, across)",
        "Measure it", 'The kerf: [cutting] kerf = "2.1 mm" in the bracket file',
        f"kerf, or: the tape's hook; to tell, measure {row.name}", "tape read to 1.0 mm",
    ):  # fmt: skip
        assert told in text
    assert "no further measurement" in alternative_words(of, replace(other, settles=None))
    assert remedy_words(cause.remedies[0]) == "Measure it"


def test_what_is_off_is_drawn_to_the_scale_that_is_told():
    of = diagnosed({0: 2.0})
    (page,) = readings_pages(of, "A4")
    text = " ".join(words(page.items))
    assert "5 times full size" in text
    lengths = [
        math.dist((line.start.x, line.start.y), (line.end.x, line.end.y))
        for mark in marks(page.items)
        if isinstance(mark, Stroke) and mark.style == POINTER
        for line in mark.shapes
    ]
    # five times 2 mm, less the arrow's head
    assert lengths == [pytest.approx(10.0 - 2.5)]
    assert f"{of.rows[0].row.name}: + 2.0 mm" in text


def test_a_true_part_has_no_arrows_and_says_nothing_of_any():
    text = printed(diagnosed({0: 0.0}, {0: 0.0, 2: 0.0}))
    assert "arrow" not in text
    assert "IT SERVES AS IT IS" in text


def test_a_bevel_is_told_as_it_was_read():
    of = diagnosed({}, {0: 2.0})
    (row,) = of.rows
    assert row.row.is_bevel
    assert row.off == pytest.approx(math.radians(2))
    assert (row.figure(row.value), row.off_words) == ("92°", "+ 2°")
    assert row.verdict.error == pytest.approx(-math.radians(2))
    text = printed(of)
    assert f"{row.row.name}: + 2°" in text
    assert "angle between them 10 times as large as it is" in text


def test_a_tape_in_inches_tells_what_is_off_in_its_own_fractions():
    of = diagnosed({0: 25.4 / 16, 1: 0.1}, unit="in")
    assert [row.off_words for row in of.rows] == ["+ 1/16 in", ""]


@pytest.mark.parametrize("paper", ["letter", "A4", "A3"])
def test_every_reading_has_its_line_in_the_table(paper):
    piece = seat_piece()
    every = {n: (-1) ** n * n / 4 for n in range(len(flat_rows(piece).rows))}
    of = diagnosed(every, dict.fromkeys(range(len(folded_rows(piece).rows)), 1.0))
    text = printed(of, paper)
    for row in of.rows:
        assert row.figure(row.value) in text
        assert f" {row.row.name} " in text
