"""The tracing guide's own pages: the guide at full size, and where the torch cannot follow."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import count as counted

from platewright.drawing.insets import Inset
from platewright.drawing.items import Hatch, Item, Page, Stroke
from platewright.drawing.placing import Block, Callout
from platewright.drawing.spots import beside, led
from platewright.drawing.style import CUT, HATCHING, PHANTOM
from platewright.geometry.plane import IDENTITY
from platewright.plate.blank import blank_of
from platewright.plate.piece import Piece
from platewright.sheets.alignment import seam_letters
from platewright.sheets.legend import (
    Meanings,
    legend_inset,
    notes_inset,
)
from platewright.sheets.paper import PaperChoice
from platewright.sheets.pattern import (
    Pattern,
    cross_reach,
    hatched_band,
    hole_ink,
    name_callout,
    stock_words,
)
from platewright.sheets.template import pattern_pages, title_block
from platewright.shop.guide import Guide
from platewright.shop.reach import miss_words
from platewright.units import Unit, format_length

SHEET = "TRACING GUIDE, full scale: smaller than the part, for a hand torch to run round"
"""What every page of the guide is called."""

_MEANINGS: Meanings = (
    (CUT, "edge of the guide: cut the hardboard here"),
    (PHANTOM, "edge of the part, where the torch cuts"),
    (HATCHING, "hatched: the torch cannot follow here, see the letters"),
)
_HATCH_SPACING = 1.0
_SAME = 1e-9
_SMALL = 2.2  # capitals of the holes' names, mm
_LARGE = 3.0  # of the letters
_CLEAR = 0.5  # from a place to the tip of its leader, mm


def guide_pages(piece: Piece, guide: Guide, unit: Unit, paper: PaperChoice) -> tuple[Page, ...]:
    """The guide of a piece as finished pages."""
    pattern = guide_pattern(piece, guide, unit)
    insets = (*_misses_inset(guide, unit), legend_inset(pattern.ink, _MEANINGS))
    block = title_block(piece, pattern, SHEET, stock_words(piece, unit))
    return pattern_pages(pattern, paper, block, insets, _use(piece, guide, unit))


def guide_pattern(piece: Piece, guide: Guide, unit: Unit) -> Pattern:
    """The guide's edge, the part's edge beyond it, punch marks, and the places missed."""
    return Pattern(
        face="top",
        outline=piece.blank.outline,
        ink=tuple(_ink(piece, guide)),
        told=lambda: _callouts(piece, guide, unit),
    )


def _ink(piece: Piece, guide: Guide) -> Iterator[Item]:
    if guide.kept is not None:
        yield hatched_band(guide.kept)
    for missed in guide.missed:
        yield Hatch((missed.outline,), spacing=_HATCH_SPACING)
        yield Stroke(missed.outline, HATCHING)
    for hole in guide.punched:
        yield from hole_ink(replace(hole, cut=False))
    for outline in (piece.blank.outline, *(cut.contour for cut in piece.blank.cutouts)):
        yield Stroke(outline, PHANTOM)
    for region in guide.pieces:
        yield from (Stroke(outline, CUT) for outline in (region.outer, *region.holes))


def _callouts(piece: Piece, guide: Guide, unit: Unit) -> Iterator[Callout]:
    yield name_callout(piece, unit, "top", IDENTITY)
    letters = _lettered(guide, unit)
    for missed in guide.missed:
        block = Block(lines=(letters[miss_words(missed, unit)],), size=_LARGE, bold=1)
        yield Callout(block=block, spots=led(missed.at, clear=_CLEAR), at=missed.at)
    for hole in guide.punched:
        block = Block(lines=(hole.what, "punch through"), size=_SMALL)
        spots = beside(hole.centre, _SMALL, cross_reach(replace(hole, cut=False)))
        yield Callout(block=block, spots=spots, at=hole.centre)


def _lettered(guide: Guide, unit: Unit) -> dict[str, str]:
    """A letter for everything that happens at the places missed, in the order of the list."""
    words = dict.fromkeys(miss_words(missed, unit) for missed in guide.missed)
    return dict(zip(words, map(seam_letters, counted()), strict=False))


def _misses_inset(guide: Guide, unit: Unit) -> Iterator[Inset]:
    """What the letters stand for, and how often."""
    times = Counter(miss_words(missed, unit) for missed in guide.missed)
    notes = [
        (letter, words if times[words] == 1 else f"{words} ({times[words]} places)")
        for words, letter in _lettered(guide, unit).items()
    ]
    if len(guide.pieces) > 1:
        notes.append(("!", f"the guide falls into {len(guide.pieces)} pieces: fix each in place"))
    if notes:
        yield notes_inset(notes, "The torch cannot follow here")


def _use(piece: Piece, guide: Guide, unit: Unit) -> str:
    inset, reach, kerf = (
        format_length(length, unit) for length in (guide.inset, guide.stand_off, guide.kerf)
    )
    kerf += f" ({guide.kerf_from})" if guide.kerf_from else ""
    laid = (
        "Lay its hatched edge flush with a straight edge of the plate, which is not cut."
        if guide.kept
        else "Fix it on the plate, TOP up."
    )
    plain, own = blank_of(piece.bracket).outline.area, piece.blank.outline.area
    # what the torch cannot follow on purpose: nicks and reliefs are too small for it
    small = abs(plain - own) >= _SAME * plain
    after = "Nicks and corner reliefs are sawn or drilled afterwards. " if small else ""
    return (
        f"The guide lies {inset} inside the part: stand-off {reach} less half the kerf of {kerf}. "
        f"Cut it from hardboard, punch the dots through. {laid} Run the nozzle round it; all other "
        f"edges may run large. {after}Make a trial cut first."
    )
