"""The blank as SVG at true scale, for craft cutters and lasers that cut card.

One unit is one millimetre. What is cut, what is creased and what is only marked stand in groups of
their own, each with a colour of its own, so that a cutter can be told what to do with each.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape

from platewright.drawing.items import Shape
from platewright.drawing.lettering import printable
from platewright.drawing.pdf import signs
from platewright.drawing.svg import SIGNATURE, path_data
from platewright.geometry.plane import Motion, Point, Vector
from platewright.geometry.segment import Line
from platewright.plate.blank import Blank
from platewright.plate.piece import Piece
from platewright.shop.notes import bend_words, piece_title

EDGE = 5.0
"""Kept free round the blank, mm."""

_HAIRLINE = 0.1
_CROSS = 3.0  # half the length of a pilot's cross, mm

#: Group, colour, and what it is.
_GROUPS = {
    "cut": ("#000000", "outline and holes: cut"),
    "crease": ("#0000c0", "bend lines: crease, do not cut through"),
    "mark": ("#008000", "centres that are only marked"),
}

#: A path: its words, and the shapes that it follows.
_Path = tuple[str, tuple[Shape, ...]]


def blank_svg(piece: Piece, pattern: str) -> str:
    """The blank of a piece as SVG text; `pattern` says whether it is card's or plate's."""
    box = piece.blank.bounds.grown(EDGE)
    blank = piece.blank.moved(Motion.translation(Vector(-box.xmin, -box.ymin)))
    width, height = f"{box.width:.5f}", f"{box.height:.5f}"
    title = escape(printable(f"{piece_title(piece)}: {pattern} pattern"), quote=False)
    told = "; ".join(f"{name} ({colour}): {what}" for name, (colour, what) in _GROUPS.items())
    made_from = "".join(f" {sign}" for sign in signs({piece.name: piece.fingerprint}))
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}">',
        f"<title>{title}</title>",
        f"<desc>{SIGNATURE}. True scale: one unit is 1 mm. TOP face up. {told}.{made_from}</desc>",
        *_group("cut", _cuts(blank), box.height),
        *_group("crease", ((bend_words(b), (b.line,)) for b in blank.bends), box.height),
        *_group("mark", ((hole.what, _cross(hole.centre)) for hole in blank.pilots), box.height),
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def _group(name: str, paths: Iterable[_Path], height: float) -> Iterator[str]:
    colour, _ = _GROUPS[name]
    yield f'<g id="{name}" fill="none" stroke="{colour}" stroke-width="{_HAIRLINE}">'
    for words, shapes in paths:
        told = escape(printable(words), quote=False)
        yield f'<path d="{path_data(shapes, height)}"><title>{told}</title></path>'
    yield "</g>"


def _cuts(blank: Blank) -> Iterator[_Path]:
    """Holes first, the outline last, as a cutter should."""
    yield from ((hole.what, (hole.circle,)) for hole in blank.cut_holes)
    yield from ((cutout.what, (cutout.contour,)) for cutout in blank.cutouts)
    yield "outline", (blank.outline,)


def _cross(at: Point) -> tuple[Line, Line]:
    level, upright = Vector(_CROSS, 0.0), Vector(0.0, _CROSS)
    return Line(at + -level, at + level), Line(at + -upright, at + upright)
