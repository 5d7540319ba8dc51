"""The tracing guide's pages."""

from dataclasses import replace
from pathlib import Path

import pytest

from platewright.drawing.items import Hatch, Stroke, marks, words
from platewright.drawing.style import CUT, PHANTOM
from platewright.files.reader import load_job
from platewright.plate.piece import pieces_of
from platewright.sheets.guide_sheet import SHEET, guide_pages, guide_pattern
from platewright.shop.guide import GuideSetup, tracing_guide

PATTERNS = Path(__file__).parents[3] / "patterns"


def made(name="spring-seat", nozzle=16.0, wall_edge="inset"):
    job = load_job(PATTERNS / f"{name}.toml")
    part = job.parts[0]
    piece = pieces_of(part.name, part.hand, part.bracket)[0]
    setup = GuideSetup(nozzle=nozzle, wall_edge=wall_edge)
    return piece, tracing_guide(piece.blank, setup, 1.5, piece.straight_wall)


def test_every_page_says_that_it_is_not_the_part():
    pages = guide_pages(*made(), "in", "letter")
    assert len(pages) > 1
    for page in pages:
        assert page.title.startswith(SHEET)
        assert any("smaller than the part" in text for text in words(page.items))


def test_the_guide_is_cut_and_the_part_only_shown():
    piece, guide = made()
    drawn = [m for m in marks(guide_pattern(piece, guide, "mm").ink) if isinstance(m, Stroke)]
    cut = [shape for m in drawn if m.style == CUT for shape in m.shapes]
    assert cut == [guide.pieces[0].outer]
    shown = [shape for m in drawn if m.style == PHANTOM for shape in m.shapes]
    assert shown == [piece.blank.outline]


def test_places_missed_are_hatched_lettered_and_listed():
    piece, guide = made()
    hatched = [m for m in marks(guide_pattern(piece, guide, "mm").ink) if isinstance(m, Hatch)]
    assert [m.outlines[0] for m in hatched] == [missed.outline for missed in guide.missed]
    found = [
        text for page in guide_pages(piece, guide, "mm", "single") for text in words(page.items)
    ]
    assert "The torch cannot follow here" in found
    assert found.count("A") == 2
    listed = " ".join(found)
    assert "corner rounded to a radius of 7.3 mm, 3.0 mm short (2 places)" in listed


def test_every_hole_is_punched_through():
    piece, guide = made()
    found = [
        text for page in guide_pages(piece, guide, "mm", "single") for text in words(page.items)
    ]
    assert found.count("punch through") == len(piece.blank.holes)


@pytest.mark.parametrize(("wall_edge", "hatches"), [("inset", 0), ("net", 1)])
def test_a_kept_wall_edge_is_hatched_outside(wall_edge, hatches):
    piece, guide = made(wall_edge=wall_edge)
    hatched = [m for m in marks(guide_pattern(piece, guide, "mm").ink) if isinstance(m, Hatch)]
    assert len(hatched) == len(guide.missed) + hatches
    found = " ".join(
        text for page in guide_pages(piece, guide, "mm", "single") for text in words(page.items)
    )
    assert ("hatched edge flush" in found) == (wall_edge == "net")


def test_a_guide_in_pieces_says_so():
    piece, guide = made()
    broken = replace(guide, pieces=guide.pieces * 2)
    for each, told in ((guide, False), (broken, True)):
        pages = guide_pages(piece, each, "mm", "single")
        found = " ".join(text for page in pages for text in words(page.items))
        assert ("falls into 2 pieces" in found) == told
