import math
from dataclasses import replace

import pytest

from laws.example_pieces import BRAKE, gusset, seat_piece, seat_pieces
from platewright.drawing.items import Stroke, Text, bounds, marks, words
from platewright.drawing.style import CUT
from platewright.errors import OutputError
from platewright.sheets.gauge_sheet import gauge_pages
from platewright.shop.gauge import gauges

LEANING = replace(gusset("up", reach=110.0), fold=math.radians(60))


def cut_outlines(page):
    return [m.path for m in marks(page.items) if isinstance(m, Stroke) and m.style == CUT]


@pytest.mark.parametrize("paper", ["letter", "A4", "A3", "single"])
def test_every_fold_has_its_gauge_at_full_scale(paper):
    piece = seat_piece(way=BRAKE, right=LEANING)
    (page,) = gauge_pages(piece, "mm", paper)
    wanted = [gauge.outline.area for gauge in gauges(piece.bracket, piece.blank)]
    assert [outline.area for outline in cut_outlines(page)] == pytest.approx(wanted)
    told = " ".join(words(page.items))
    assert "GAUGE fold 90°, bevel 90°" in told
    assert "GAUGE fold 60°, bevel 120°" in told
    assert "overbend" in told
    assert page.bounds.union(bounds(page.items)) == page.bounds


def test_words_lie_on_the_gauges_and_gauges_apart():
    (page,) = gauge_pages(seat_piece(right=LEANING), "in", "letter")
    first, second = cut_outlines(page)
    assert not first.bounds.meets(second.bounds)
    starts = ("GAUGE ", "bend ", "outer corner: ", "notch: ")
    on_arms = [m for m in marks(page.items) if isinstance(m, Text) and m.text.startswith(starts)]
    assert len(on_arms) == 8
    for text in on_arms:
        assert any(all(o.contains(c) for c in text.box()) for o in (first, second))


def test_a_pairs_gauges_come_once():
    left, right = seat_pieces(hand="pair")
    (page,) = gauge_pages(left, "mm", "A4")
    assert "for both hands" in " ".join(words(page.items))
    assert gauge_pages(right, "mm", "A4") == ()


def test_a_flat_plate_has_no_page():
    assert gauge_pages(seat_piece(left=None, right=None), "mm", "A4") == ()


def test_unknown_paper_is_refused():
    with pytest.raises(OutputError):
        gauge_pages(seat_piece(), "mm", "vellum")
