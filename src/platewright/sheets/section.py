"""What each section of a check sheet is made of."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from platewright.drawing.flow import Strip
from platewright.findings.judgement import Judgement
from platewright.plate.piece import Piece
from platewright.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionInput:
    """A piece with what is told about it; `width` is the column's, mm."""

    piece: Piece
    judgement: Judgement
    unit: Unit
    width: float


Section = Callable[[SectionInput], tuple[Strip, ...]]
"""From what a piece's sections are made of to strips; none where the piece needs none."""
