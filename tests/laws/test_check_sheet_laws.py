"""Laws of the check sheet and the gauges over generated brackets of every shape."""

import math

from hypothesis import HealthCheck, Phase, given
from hypothesis import strategies as st

from laws.effort import examples
from laws.example_pieces import judged
from laws.meeting import any_meet
from laws.strategies_bracket import brackets
from platewright.drawing.free_space import Box
from platewright.drawing.items import Text, bounds, marks, words
from platewright.drawing.view import views_of
from platewright.geometry.plane import Bounds
from platewright.plate.piece import pieces_of
from platewright.sheets.check_sheet import check_pages
from platewright.sheets.folded_rows import folded_letters
from platewright.sheets.gauge_sheet import gauge_pages
from platewright.sheets.rows import folded_rows
from platewright.shop.gauge import STEEPEST, gauges

few = examples(
    15,
    suppress_health_check=list(HealthCheck),
    # a bracket shrinks slowly and its picture tells more than a smaller one would
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
)
units = st.sampled_from(["in", "mm"])


@st.composite
def pieces(draw):
    """A piece of any bracket, of either hand."""
    hand = draw(st.sampled_from(["as drawn", "mirrored"]))
    return pieces_of("generated", hand, draw(brackets))[0]


@few
@given(pieces(), units, st.sampled_from(["letter", "A4", "A3"]))
def test_the_sheet_keeps_to_its_paper_and_tells_every_bend(piece, unit, paper):
    pages = check_pages((piece,), (judged(piece),), unit, paper)
    for page in pages:
        assert page.bounds.union(bounds(page.items)) == page.bounds
    told = [line for page in pages for line in words(page.items)]
    assert "Findings" in told
    assert ("Scores" in told) == any(bend.score_face for bend in piece.blank.bends)
    assert ("After folding" in told) == bool(piece.blank.bends)


@few
@given(pieces())
def test_every_letter_of_the_folded_pictures_is_clear_of_the_others(piece):
    table = folded_rows(piece)
    if not table.rows:
        return
    views = views_of(piece.bracket)
    letters = folded_letters(table, *views)
    size = (104.0, 78.0)
    for view, places in zip(views, (letters.main, letters.opposite), strict=True):
        named = {place.letter for place in places}
        drawn = [m for m in marks(view.drawn(size, places)) if isinstance(m, Text)]
        texts = [text for text in drawn if text.text in named and text.weight == "bold"]
        assert len(texts) == len(named)
        room = Bounds(0.0, 0.0, *size)
        assert all(room.holds(Box.round_text(text).bounds) for text in texts)
        assert not any_meet(texts)


@few
@given(pieces())
def test_every_reading_has_its_letters_and_no_letter_stands_for_two_places(piece):
    table = folded_rows(piece)
    places = dict(table.places)
    assert len(places) == len(table.places)
    for row in table.rows:
        for letter, end in zip(filter(None, row.letters.split(" to ")), row.ends, strict=True):
            assert places[letter].distance(end) < 0.1


@few
@given(pieces())
def test_every_fold_has_a_gauge_that_is_one_plain_piece(piece):
    made = gauges(piece.bracket, piece.blank)
    numbers = sorted(number for gauge in made for number in gauge.bends)
    assert numbers == sorted(b.number for b in piece.blank.bends if b.angle <= STEEPEST)
    for gauge in made:
        outline = gauge.outline
        assert outline.area > 0
        assert math.isclose(gauge.opening + gauge.fold, math.pi)
        box = gauge.outline.bounds
        assert max(box.width, box.height) < 4 * gauge.arm


@few
@given(pieces(), st.sampled_from(["letter", "A4", "single"]))
def test_gauges_lie_apart_on_their_pages(piece, paper):
    for page in gauge_pages(piece, "mm", paper):
        assert page.bounds.union(bounds(page.items)) == page.bounds
