"""Laws of the sheets over generated brackets of every shape."""

from functools import cache
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given
from hypothesis import strategies as st

from laws.effort import examples
from laws.meeting import any_meet, cover_ink, texts_of
from laws.on_paper import cut_off
from laws.strategies_bracket import brackets
from platewright import product
from platewright.drawing.free_space import Box
from platewright.drawing.items import Fill, Stroke, Text, bounds, marks, words
from platewright.drawing.placing import place_callouts
from platewright.drawing.style import CUT, OUTLINE
from platewright.files.reader import load_job
from platewright.geometry.plane import Point, close
from platewright.plate.piece import pieces_of
from platewright.sheets.gauge_sheet import gauge_pages
from platewright.sheets.key import key_drawing
from platewright.sheets.paper import PAPER_NAMES
from platewright.sheets.pattern import WINDOW_MARGIN, top_pattern, underside_pattern
from platewright.sheets.rows import flat_rows
from platewright.sheets.template import free_space, template_pages, top_pages, underside_pages
from platewright.sheets.tiling import tile_pattern

few = examples(
    25,
    suppress_health_check=list(HealthCheck),
    # a bracket shrinks slowly and its picture tells more than a smaller one would
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
)
papers = st.sampled_from(["letter", "A4", "A3", "single"])
units = st.sampled_from(["in", "mm"])
hands = st.sampled_from(["as drawn", "mirrored", "pair"])


@st.composite
def pieces(draw):
    """A piece of any bracket, of either hand, or the right one of a pair."""
    return pieces_of("generated", draw(hands), draw(brackets))[-1]


def placed(pattern, paper):
    tiling = tile_pattern(pattern.ink, paper)
    return place_callouts(free_space(pattern, tiling), pattern.callouts), tiling


@few
@given(pieces(), papers, units)
def test_words_cover_neither_lines_nor_each_other_and_no_seam_cuts_them(piece, paper, unit):
    for pattern in (top_pattern(piece, unit), underside_pattern(piece, unit)):
        if pattern is None:
            continue
        found, tiling = placed(pattern, paper)
        texts = texts_of(found.items)
        assert not cover_ink(texts, pattern.ink)
        assert not any_meet(texts)
        if paper != "single":  # which grows for its words
            for box in (Box.round_text(text).bounds for text in texts):
                assert any(tile.window.holds(box) for tile in tiling.tiles)


@few
@given(pieces(), st.sampled_from(PAPER_NAMES), units)
def test_no_mark_or_word_of_any_page_lies_outside_its_paper(piece, paper, unit):
    pages = template_pages([piece], unit, paper, (top_pages, underside_pages, gauge_pages)).pages
    assert cut_off(pages) == []


@cache
def job_of(name):
    """The pattern's job, with what is worked out of its part."""
    return load_job(Path(__file__).parents[2] / "patterns" / f"{name}.toml")


@pytest.mark.parametrize("paper", PAPER_NAMES)
@pytest.mark.parametrize("name", ["damper-clevis", "valve-plate", "deck-zee", "sensor-steps"])
def test_nothing_of_a_parts_sheets_lies_outside_its_paper(name, paper, monkeypatch):
    made = []
    monkeypatch.setattr(product, "pdf_bytes", lambda pages, **_: made.append(pages) or b"")
    monkeypatch.setattr(product, "dxf_bytes", lambda *_, **__: b"")
    monkeypatch.setattr(product, "view_svg", lambda *_, **__: "")
    product.make_parts([job_of(name)], product.MakeOptions(paper=paper), lambda _: None)
    assert len(made) == 2
    assert [lost for pages in made for lost in cut_off(pages)] == []


@few
@given(pieces(), papers)
def test_nothing_that_must_be_said_is_lost(piece, paper):
    pattern = top_pattern(piece, "mm")
    found, _ = placed(pattern, paper)
    told = " ".join((*words(found.items), *(note for _, note in found.notes)))
    for bend in piece.blank.bends:
        assert f"BEND {bend.number}: fold {bend.direction.upper()}" in told
    for hole in piece.blank.holes:
        assert hole.what in told


@few
@given(pieces())
def test_the_ink_is_no_larger_than_the_part_and_its_margin(piece):
    window = piece.blank.bounds.grown(WINDOW_MARGIN + 4.0)  # a hole's cross may reach over an edge
    assert window.union(bounds(top_pattern(piece, "mm").ink)) == window


@few
@given(pieces())
def test_the_underside_is_the_same_part(piece):
    pattern = underside_pattern(piece, "mm")
    scored = [bend for bend in piece.blank.bends if bend.score_face == "underside"]
    assert (pattern is None) == (not scored)
    if pattern is not None:
        (outline,) = (m.path for m in pattern.ink if isinstance(m, Stroke) and m.style == CUT)
        assert abs(outline.area - piece.blank.outline.area) < 1e-6 * outline.area
        assert len(pattern.ink) == 1 + len(scored)


@few
@given(pieces())
def test_flat_distances_are_real_and_each_is_told_once(piece):
    rows = flat_rows(piece).rows
    assert all(row.value > 0 for row in rows)
    letters = [frozenset(row.letters.split(" to ")) for row in rows if row.letters]
    assert len(set(letters)) == len(letters)
    longest = max(row.value for row in rows if not row.angle)
    box = piece.blank.bounds
    assert longest <= (box.width**2 + box.height**2) ** 0.5 + 1e-6


@few
@given(pieces())
def test_every_letter_of_the_key_is_drawn_clear_of_the_others(piece):
    letters = flat_rows(piece).places
    drawing = key_drawing(piece, "mm", (190.0, 150.0))
    told = {letter for letter, _ in letters}
    found = [m for m in marks(drawing) if isinstance(m, Text) and m.text in told]
    assert {text.text for text in found} == told
    assert not any_meet(found)


@few
@given(brackets, st.booleans())
def test_every_letter_of_the_right_hands_key_points_at_its_place(bracket, first):
    left, right = pieces_of("generated", "pair", bracket)
    if first:  # whether the left hand's was drawn before makes no difference
        key_drawing(left, "mm", (190.0, 150.0))
    drawing = list(marks(key_drawing(right, "mm", (190.0, 150.0))))
    drawn = max(
        (m.path.bounds for m in drawing if isinstance(m, Stroke) and m.style is OUTLINE),
        key=lambda box: box.width * box.height,
    )
    blank, dots = right.blank.bounds, [m for m in drawing if isinstance(m, Fill) and m.grey == 0]
    scale = drawn.width / blank.width
    for letter, place in flat_rows(right).places:
        at = Point(
            drawn.xmin + (place.at.x - blank.xmin) * scale,
            drawn.ymin + (place.at.y - blank.ymin) * scale,
        )
        assert any(close(dot.outlines[0].bounds.centre, at, 1e-4) for dot in dots), letter
