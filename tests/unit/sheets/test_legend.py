import pytest

from laws.example_pieces import seat_piece
from platewright.drawing.items import bounds, words
from platewright.geometry.plane import Bounds
from platewright.sheets.card_sheet import card_pages
from platewright.sheets.legend import view_inset
from platewright.sheets.template import top_pages

PIECE = seat_piece()


def told(pages):
    return [line for page in pages for line in words(page.items)]


def test_the_inset_keeps_to_its_panel_and_numbers_the_bends():
    inset = view_inset(PIECE.bracket)
    for width in inset.widths:
        drawn = inset.drawn(width)
        assert inset.height_at(width) == pytest.approx(drawn.height)
        assert Bounds(0, -drawn.height, width, 0).grown(1e-5).holds(bounds(drawn.items))
        assert {"1", "2"} <= set(words(drawn.items))


@pytest.mark.parametrize("paper", ["letter", "A4", "A3", "single"])
def test_the_first_page_shows_what_comes_of_it(paper):
    first, *others = top_pages(PIECE, "mm", paper)
    shown = [any(line.startswith("Folded") for line in told([page])) for page in (first, *others)]
    assert shown.count(True) == 1


def test_a_flat_plate_has_no_inset():
    flat = seat_piece(left=None, right=None)
    assert not any(line.startswith("Folded") for line in told(top_pages(flat, "mm", "A3")))


def test_the_card_pattern_shows_the_plates_bracket():
    assert any(
        line.startswith("Folded") for line in told(card_pages(PIECE, "mm", "A3", PIECE.bracket))
    )
    assert not any(line.startswith("Folded") for line in told(card_pages(PIECE, "mm", "A3")))
