"""The form of a suspension's setup: a row for everything, letters that stand clear and fit."""

from __future__ import annotations

from itertools import combinations

import pytest

from platewright.drawing.items import Fill, bounds, marks, words
from platewright.geometry.contour import Circle
from platewright.measure import lettered, walk
from platewright.sheets.furniture import plain_field_of
from platewright.sheets.paper import paper_named
from platewright.sheets.setup_form import setup_form_pages, sketches
from platewright.suspension.setup import Setup
from platewright.units import Unit

LETTERS = lettered(Setup)

#: Read off a data sheet or a scale, or chosen: they have no place in a side view.
NO_PLACE = {
    "travel.ride", "travel.centred", "travel.full", "spring.least", "spring.greatest",
    "spring.room", "spring.max_pressure", "spring.table_pressure", "spring.table[].height",
    "spring.table[].area", "spring.table[].force", "seat.on", "trailing_arm.runs",
    "four_link.runs", "stands.tube", "load.wheel", "load.unsprung", "limits.tilt", "limits.drift",
}  # fmt: skip


def drawn() -> list[str]:
    return [word for strip in sketches(LETTERS, 190.0) for word in words(strip.items)]


@pytest.mark.parametrize(("unit", "paper"), [("in", "letter"), ("mm", "A4"), ("mm", "A3")])
def test_every_letter_of_the_file_has_its_row(unit: Unit, paper: str) -> None:
    printed = [word for page in setup_form_pages(unit, paper) for word in words(page.items)]
    declared = dict(walk(Setup))
    for key, letter in LETTERS.items():
        star = " *" if declared[key].fit_critical else ""
        assert f"{letter}{star}" in printed


def test_everything_that_has_a_place_is_drawn_with_its_letter() -> None:
    missing = {key for key, letter in LETTERS.items() if letter not in drawn()}
    assert missing == NO_PLACE


def test_the_sketches_fit_the_narrowest_column() -> None:
    width = min(plain_field_of(paper_named(name)).width for name in ("letter", "A4"))
    for strip in sketches(LETTERS, width):
        if strip.items:
            box = bounds(strip.items)
            assert box.xmin >= -1e-9
            assert box.xmax <= width + 1e-9


def test_letters_stand_clear_of_each_other() -> None:
    for strip in sketches(LETTERS, 190.0):
        white = [mark for mark in marks(strip.items) if isinstance(mark, Fill) and mark.grey == 1.0]
        circles = [shape for mark in white for shape in mark.outlines if isinstance(shape, Circle)]
        letters = [circle for circle in circles if circle.diameter > 4.5]
        for a, b in combinations(letters, 2):
            assert a.centre.distance(b.centre) > a.radius + b.radius


def test_pages_keep_to_their_paper() -> None:
    for page in setup_form_pages("in", "letter"):
        box = bounds(page.items)
        assert min(box.xmin, box.ymin) >= 0
        assert box.xmax <= page.width
        assert box.ymax <= page.height
