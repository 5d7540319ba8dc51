"""The words of a pattern: what each line and hole is, and what to do there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from platewright.drawing.dimensions import readable
from platewright.drawing.placing import Block, Callout, line_callout
from platewright.drawing.spots import (
    along,
    below_or_above,
    beside,
    either,
    inside,
    led,
    round_arc,
    round_circle,
)
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Motion, Vector
from platewright.geometry.segment import Arc, Line
from platewright.plate.bend import Face, other_face
from platewright.plate.blank import BlankBend, BlankPanel
from platewright.plate.bracket import Hole, Mark
from platewright.plate.piece import Piece
from platewright.sheets.pattern_ink import HATCH_DEPTH, cross_circle, cross_reach, shows_strip
from platewright.shop.notes import bend_words, piece_title
from platewright.shop.scores import score_of
from platewright.units import Unit, format_length

FACE_WORDS: dict[Face, str] = {
    "top": "TOP: this side up",
    "underside": "UNDERSIDE: this side up",
}
"""Which face is up, as it stands on every page."""

_LARGE = 3.2  # capitals of names, mm
_SMALL = 2.2  # of marks' labels
_LINE_GAP = 1.0
_WALL_GAP = 1.6


def stock_words(piece: Piece, unit: Unit) -> str:
    """The plate in words: "3/16 in A36 structural steel"; card too thin to count by its name."""
    stock = piece.bracket.stock
    if stock.thickness == 0:
        return stock.material.label
    return f"{format_length(stock.thickness, unit)} {stock.material.label}"


def bend_callout(bend: BlankBend, piece: Piece, unit: Unit, face: Face) -> Callout:
    """What to do on a bend's line, seen on a face, reading along it."""
    gap = _LINE_GAP + (bend.allowance / 2 if shows_strip(bend) else 0.0)
    block = _bend_block(bend, piece, unit, face)
    return line_callout(block, bend.line, lambda line: along(line, gap))


def _bend_block(bend: BlankBend, piece: Piece, unit: Unit, face: Face) -> Block:
    head = bend_words(bend).replace("bend", "BEND", 1)
    score = score_of(bend, piece.bracket.stock.thickness)
    if score is None and bend.allowance == 0:
        return Block(lines=(head, "sharp: the line is the fold itself"), bold=1)
    if score is None:
        radius = format_length(bend.inside_radius, unit)
        return Block(lines=(head, f"inside radius {radius}"), bold=1)
    if bend.score_face != face:
        warning = f"DO NOT GRIND THIS FACE: see the {other_face(face).upper()} page"
        return Block(lines=(head, warning), bold=2)
    sizes = (score.way.groove, score.depth, score.way.ligament)
    groove, depth, left = (format_length(size, unit) for size in sizes)
    grind = f"grind on this line: {groove} wide, {depth} deep, {left} left"
    away = ("this face up, it folds away from you",) if face == "underside" else ()
    return Block(lines=(head, grind, *away), bold=1)


def hole_callout(hole: Hole, unit: Unit) -> Callout:
    """A hole's name and size beside it; a pilot says that it is not cut."""
    size = (f"Ø {format_length(hole.diameter, unit)}", *((hole.size,) if hole.size else ()))
    pilot = () if hole.cut else ("not cut: punch only",)
    block = Block(lines=(hole.what, *pilot, *size), bold=1)
    spots = beside(hole.centre, cross_circle(hole).radius + 0.4, cross_reach(hole))
    return Callout(block=block, spots=spots, at=hole.centre)


def wall_callout(name: str, wall: Line) -> Callout:
    """The wall edge named along it, inside or beyond its hatching."""
    block = Block(lines=(f"{name.upper()}: this edge meets the wall",), bold=1)
    return line_callout(block, wall, lambda line: along(line, _WALL_GAP))


def name_callout(piece: Piece, unit: Unit, face: Face, drawing_from_blank: Motion) -> Callout:
    """The piece's name, which face is up and the plate, in the root panel or else beside it."""
    mirrored = ("mirrored: lay it on the back of the blank",) if face == "underside" else ()
    lines = (piece_title(piece), FACE_WORDS[face], stock_words(piece, unit), *mirrored)
    root = piece.bracket.root
    contour = root.contour.moved(drawing_from_blank @ piece.blank.panel_motion(root.name))
    box = contour.bounds
    spots = either(inside(contour, 0.0), below_or_above(box, 2 * HATCH_DEPTH))
    block = Block(lines=lines, size=_LARGE, bold=2)
    return Callout(block=block, spots=spots, at=box.centre, needed=False)


def panel_callout(panel: BlankPanel, bends: Iterable[BlankBend]) -> Callout:
    """A folded panel's name, reading along its bend."""
    name = panel.panel.name
    contour = panel.panel.contour.moved(panel.blank_from_panel)
    angles = [readable(bend.line.direction.angle) for bend in bends if bend.child == name]
    return Callout(
        block=Block(lines=(name,), size=_LARGE, bold=1),
        spots=inside(contour, angles[0] if angles else 0.0),
        at=contour.bounds.centre,
        needed=False,
    )


def mark_callouts(mark: Mark, unit: Unit) -> Iterator[Callout]:
    """A mark's label along it, none for a mark without; a circle's diameter is told too."""
    if not mark.label:
        return
    words = mark.label
    match mark.shape:
        case Line() as line:
            spots, at = along(line), line.point_at(0.5)
        case Arc() as arc:
            spots, at = round_arc(arc), arc.point_at(0.5)
        case Circle() as circle:
            words = f"{words}, Ø {format_length(circle.diameter, unit)}"
            spots, at = round_circle(circle), circle.centre + Vector(0.0, circle.radius)
        case Contour() as contour:
            at = contour.segments[0].point_at(0.5)
            spots = led(at, 0.0)
    yield Callout(block=Block(lines=(words,), size=_SMALL), spots=spots, at=at, needed=False)
