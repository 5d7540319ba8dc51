"""The card pattern's pages, and the difference told in numbers."""

from pathlib import Path

import pytest

from platewright.drawing.items import words
from platewright.files.reader import load_job
from platewright.plate.piece import pieces_of
from platewright.sheets.card_sheet import SHEET, card_pages, card_strips
from platewright.sheets.rows import flat_rows

PATTERNS = Path(__file__).parents[3] / "patterns"


def pieces(name):
    job = load_job(PATTERNS / f"{name}.toml")
    part = job.parts[0]
    card = pieces_of(part.name, part.hand, part.card)[0]
    return card, pieces_of(part.name, part.hand, part.bracket)[0]


def told(strips):
    return [text for strip in strips for text in words(strip.items)]


def test_every_page_says_that_it_is_the_card_pattern():
    card, _ = pieces("spring-seat")
    pages = card_pages(card, "in", "letter")
    assert len(pages) > 1
    for page in pages:
        assert page.title.startswith(SHEET)
        assert any("CARD PATTERN" in text for text in words(page.items))
        assert not any("score" in text.lower() for text in words(page.items))


def test_a_crease_is_sharp():
    card, _ = pieces("spring-seat")
    found = [text for page in card_pages(card, "in", "single") for text in words(page.items)]
    assert "BEND 1: fold DOWN 90°, crease" in found
    assert "sharp: the line is the fold itself" in found


@pytest.mark.parametrize("name", ["spring-seat", "pump-foot", "damper-clevis"])
def test_the_difference_is_told_in_numbers(name):
    card, plate = pieces(name)
    found = told(card_strips(card, plate, "mm", 180.0))
    assert "Card and plate are two blanks" in found
    wide = plate.blank.bounds.width, card.blank.bounds.width
    assert f"{wide[0]:.1f}" in found
    assert f"{wide[1]:.1f}" in found
    sign = "+" if wide[0] > wide[1] else "-"
    assert f"{sign} {abs(wide[0] - wide[1]):.1f} mm" in found


def test_what_does_not_differ_is_not_told():
    card, plate = pieces("spring-seat")
    found = told(card_strips(card, plate, "in", 180.0))
    same = {r.words for r in flat_rows(card).rows} & {r.words for r in flat_rows(plate).rows}
    between = "bolt hole 1 to bolt hole 2"
    assert between in same
    assert between not in found


def test_without_bends_there_is_nothing_to_tell():
    card, plate = pieces("tie-down-tab")
    assert card_strips(card, plate, "in", 180.0) == ()
