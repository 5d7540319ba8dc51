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
from platewright.plate.bracket import Hole
from platewright.plate.piece import Piece
from platewright.sheets.alignment import seam_letters
from platewright.sheets.furniture import TitleBlock
from platewright.sheets.legend import (
    Meanings,
    legend_inset,
    notes_inset,
)
from platewright.sheets.pattern import (
    FACE_WORDS,
    Pattern,
    cross_reach,
    hatched_band,
    hole_ink,
    name_callout,
    stock_words,
)
from platewright.sheets.template import pattern_pages
from platewright.shop.guide import Guide
from platewright.shop.notes import piece_title
from platewright.shop.reach import Missed, miss_words
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


def guide_pages(piece: Piece, guide: Guide, unit: Unit, paper: str) -> tuple[Page, ...]:
    """The guide of a piece as finished pages."""
    pattern = guide_pattern(piece, guide, unit)
    block = TitleBlock(
        part=piece_title(piece),
        sheet=SHEET,
        face=FACE_WORDS[pattern.face],
        notes=(stock_words(piece, unit),),
    )
    insets = (
        *_misses_inset(guide, unit),
        legend_inset(pattern.ink, _MEANINGS),
    )
    return pattern_pages(pattern, paper, block, insets, _use(piece, guide, unit))


def guide_pattern(piece: Piece, guide: Guide, unit: Unit) -> Pattern:
    """The guide's edge, the part's edge beyond it, punch marks, and the places missed."""
    letters = _lettered(guide, unit)
    return Pattern(
        face="top",
        outline=piece.blank.outline,
        ink=tuple(_ink(piece, guide)),
        callouts=(
            name_callout(piece, unit, "top", IDENTITY),
            *(_letter_callout(m, letters[miss_words(m, unit)]) for m in guide.missed),
            *(_punch_callout(hole) for hole in guide.punched),
        ),
    )


def _ink(piece: Piece, guide: Guide) -> Iterator[Item]:
    if guide.kept is not None:
        yield hatched_band(guide.kept)
    for missed in guide.missed:
        yield Hatch((missed.outline,), spacing=_HATCH_SPACING)
        yield Stroke(missed.outline, HATCHING)
    for hole in guide.punched:
        yield from hole_ink(_punched(hole))
    for outline in (piece.blank.outline, *(cut.contour for cut in piece.blank.cutouts)):
        yield Stroke(outline, PHANTOM)
    for region in guide.pieces:
        yield from (Stroke(outline, CUT) for outline in (region.outer, *region.holes))


def _lettered(guide: Guide, unit: Unit) -> dict[str, str]:
    """A letter for everything that happens at the places missed, in the order of the list."""
    words = dict.fromkeys(miss_words(missed, unit) for missed in guide.missed)
    return dict(zip(words, map(seam_letters, counted()), strict=False))


def _letter_callout(missed: Missed, letter: str) -> Callout:
    block = Block(lines=(letter,), size=_LARGE, bold=1)
    return Callout(block=block, spots=led(missed.at, _CLEAR), at=missed.at)


def _punched(hole: Hole) -> Hole:
    """The hole as a place to punch: none is cut in the guide."""
    return replace(hole, cut=False)


def _punch_callout(hole: Hole) -> Callout:
    block = Block(lines=(hole.what, "punch through"), size=_SMALL)
    spots = beside(hole.centre, _SMALL, cross_reach(_punched(hole)))
    return Callout(block=block, spots=spots, at=hole.centre)


def _misses_inset(guide: Guide, unit: Unit) -> Iterator[Inset]:
    """What the letters stand for, and how often."""
    letters = _lettered(guide, unit)
    times = Counter(miss_words(missed, unit) for missed in guide.missed)
    notes = [(letter, _told(words, times[words])) for words, letter in letters.items()]
    if len(guide.pieces) > 1:
        notes.append(("!", f"the guide falls into {len(guide.pieces)} pieces: fix each in place"))
    if notes:
        yield notes_inset(notes, "The torch cannot follow here")


def _told(words: str, times: int) -> str:
    return words if times == 1 else f"{words} ({times} places)"


def _use(piece: Piece, guide: Guide, unit: Unit) -> str:
    inset, reach, kerf = (
        format_length(length, unit) for length in (guide.inset, guide.stand_off, guide.kerf)
    )
    laid = (
        "Lay its hatched edge flush with a straight edge of the plate, which is not cut."
        if guide.kept
        else "Fix it on the plate, TOP up."
    )
    return (
        f"The guide lies {inset} inside the part: stand-off {reach} less half the kerf of {kerf}. "
        f"Cut it from hardboard, punch the dots through. {laid} Run the nozzle round it; all other "
        f"edges may run large. {_after(piece)}Make a trial cut first."
    )


def _after(piece: Piece) -> str:
    """What the torch cannot follow on purpose: nicks and reliefs are too small for it."""
    plain = blank_of(piece.bracket).outline
    if abs(plain.area - piece.blank.outline.area) < _SAME * plain.area:
        return ""
    return "Nicks and corner reliefs are sawn or drilled afterwards. "
