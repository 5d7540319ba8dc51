"""How many sheets of paper a pattern takes, and on which paper a template is printed by itself.

Light to load: whoever only checks a part asks here whether a template holds it.
"""

from __future__ import annotations

import math
import sys
from functools import lru_cache

from platewright.drawing.printer import LARGEST
from platewright.errors import FileError, Mistake, OutputError
from platewright.files.job import Part
from platewright.geometry.plane import Bounds
from platewright.sheets.paper import SINGLE, Paper, field_of, paper_named
from platewright.units import format_length

LAP = 12.0
"""Width of the band that neighbouring pages share, mm."""

EDGE_ROOM = 4.0
"""Kept free between the pattern and the outermost borders, mm."""

MOST_PAGES = 400
"""More sheets than this nobody glues together."""

_ROUNDING = 1e-6
#: Words may stand this far outside a blank, mm.
_WORDS = 60.0


def usual_paper(part: Part) -> str:
    """The paper of a part's template where none is chosen: the shop's, or the unit's own.

    One large page if sheets are too many.

    Raises FileError where not even that page holds its blank.
    """
    usual = part.shop.figures.paper or ("letter" if part.unit == "in" else "A4")
    upright = paper_named(usual)
    for piece in (*part.pieces, *part.mock_ups):
        blank = piece.blank.bounds
        box = blank.grown(EDGE_ROOM + _WORDS)
        pages = max(
            pages_along(box.width, field.width, LAP) * pages_along(box.height, field.height, LAP)
            for field in _fields(upright)
        )
        if pages > MOST_PAGES and max(box.width, box.height) > LARGEST - 2 * _WORDS:
            width, height = (format_length(side, part.unit) for side in (blank.width, blank.height))
            message = (
                f"no template holds a blank of {width} x {height}: it would take {pages} pages "
                f"of {usual} paper, or one page longer than {format_length(LARGEST, part.unit)}; "
                "make it of several parts"
            )
            raise FileError((Mistake(file=part.path, key=piece.name, message=message),))
        if pages > MOST_PAGES:
            return SINGLE
    return usual


@lru_cache(maxsize=8)
def _fields(paper: Paper) -> tuple[Bounds, Bounds]:
    return field_of(paper), field_of(paper.turned)


def least_pages(box: Bounds, paper: Paper, lap: float = LAP) -> int:
    """Pages that a box of the pattern takes, upright or on its side; fewer where some are empty.

    As many as there can be for one that is too large either way.
    """
    counts = [
        pages_along(box.width, field.width, lap) * pages_along(box.height, field.height, lap)
        for field in _fields(paper)
    ]
    return min(counts) if max(counts) <= MOST_PAGES else sys.maxsize


def pages_along(length: float, field: float, lap: float) -> int:
    """Pages needed along one side: n pages reach n (field - lap) + lap."""
    if not 0 <= lap < field:
        raise OutputError(f"a lap of {lap:g} mm does not fit a field of {field:g} mm")
    return max(1, math.ceil((length - lap - _ROUNDING) / (field - lap)))
