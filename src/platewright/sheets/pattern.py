"""The pattern drawing of one piece: its blank at full size, seen on one face.

A pattern is ink (lines, holes, marks) and callouts (words that still look for their places). The
top pattern shows everything; the underside pattern, mirrored, only the outline and the scores that
are ground on that face.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import IDENTITY, Bounds, Motion, Vector
from platewright.geometry.segment import Arc, Line
from platewright.plate.bend import Face
from platewright.plate.blank import BlankBend, BlankPanel
from platewright.plate.bracket import Hole, Mark, MarkMeaning
from platewright.plate.piece import Piece
from platewright.sheets.boxes import Box
from platewright.sheets.callouts import Block, Callout
from platewright.sheets.dimensions import centre_lines, readable
from platewright.sheets.drawing import Fill, Hatch, Item, Stroke
from platewright.sheets.places import along, beside, inside, led, round_arc, round_circle
from platewright.sheets.style import (
    BEND,
    CENTRE,
    CUT,
    HIDDEN,
    PHANTOM,
    SCRIBE,
    TANGENT,
    LineStyle,
)
from platewright.sheets.trimming import within
from platewright.shop.notes import bend_words, piece_title
from platewright.shop.scores import score_of
from platewright.units import Unit, format_length

WINDOW_MARGIN = 3.0
"""How far marks may run outside the outline's bounds, mm; also the depth of the wall's hatching."""

FACE_WORDS: dict[Face, str] = {
    "top": "TOP: this side up",
    "underside": "UNDERSIDE: this side up",
}
"""Which face is up, as it stands on every page."""

_MARK_STYLES: dict[MarkMeaning, LineStyle] = {
    "phantom": PHANTOM,
    "centre": CENTRE,
    "clearance": HIDDEN,
    "scribe": SCRIBE,
    "original": PHANTOM,
}
_BEYOND_HOLE = 3.0  # of the centre lines, mm
_DOT = 0.8
_WORTH_TANGENTS = 4.0  # allowance from which a brake bend's tangent lines are drawn, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """One face of a blank: its outline, the ink, and the callouts, the important first.

    `kept` are boxes without ink that words keep out of.
    """

    face: Face
    outline: Contour
    ink: tuple[Item, ...]
    callouts: tuple[Callout, ...]
    kept: tuple[Box, ...] = ()


def top_pattern(piece: Piece, unit: Unit) -> Pattern:
    """Everything that is cut, bent, punched or shown on the top face."""
    blank = piece.blank
    window = blank.bounds.grown(WINDOW_MARGIN)
    wall = wall_line(piece)
    ink = (
        *(item for mark in blank.marks for item in _mark_ink(mark, window)),
        *(_wall_hatching(wall) if wall else ()),
        *(item for bend in blank.bends for item in _bend_ink(bend)),
        *(item for hole in blank.holes for item in _hole_ink(hole)),
        *(Stroke(cutout.contour, CUT) for cutout in blank.cutouts),
        Stroke(blank.outline, CUT),
    )
    return Pattern(
        face="top",
        outline=blank.outline,
        ink=ink,
        callouts=tuple(_top_callouts(piece, wall, window, unit)),
        kept=tuple(_strip_box(bend) for bend in blank.bends if _shows_strip(bend)),
    )


def underside_pattern(piece: Piece, unit: Unit) -> Pattern | None:
    """The outline and the underside's scores, mirrored; None when nothing is scored there."""
    blank = piece.blank
    scored = [bend for bend in blank.bends if bend.score_face == "underside"]
    if not scored:
        return None
    mirror = Motion.mirror_x(blank.bounds.centre.x)
    bends = [bend.moved(mirror) for bend in scored]
    outline = blank.outline.moved(mirror)
    wall = wall_line(piece)
    ink = (*(Stroke(bend.line, BEND) for bend in bends), Stroke(outline, CUT))
    return Pattern(
        face="underside",
        outline=outline,
        ink=ink,
        callouts=tuple(_underside_callouts(piece, bends, wall and wall.moved(mirror), unit)),
    )


def wall_line(piece: Piece) -> Line | None:
    """The wall edge on the blank, None for a bracket without a wall."""
    bracket = piece.bracket
    if bracket.wall is None:
        return None
    edge = bracket.root.straight_edge(bracket.wall)
    return edge.moved(piece.blank.panel_motion(bracket.root.name))


def stock_words(piece: Piece, unit: Unit) -> str:
    """The plate in words: "3/16 in A36 structural steel"."""
    stock = piece.bracket.stock
    return f"{format_length(stock.thickness, unit)} {stock.material.label}"


# --- ink --------------------------------------------------------------------------------------


def _mark_ink(mark: Mark, window: Bounds) -> Iterator[Item]:
    pieces = within(mark.shape, window)
    if pieces:
        yield Stroke(pieces, _MARK_STYLES[mark.meaning])


def _wall_hatching(wall: Line) -> Iterator[Item]:
    """A hatched band outside the wall edge."""
    out = wall.direction.right * WINDOW_MARGIN
    band = (wall.start, wall.start + out, wall.end + out, wall.end)
    yield Hatch((Contour.polygon(band),), angle=wall.direction.angle + 0.8, spacing=2.0)


def _bend_ink(bend: BlankBend) -> Iterator[Item]:
    """The bend line out to the outline; a wide brake bend also shows where it begins and ends."""
    if _shows_strip(bend):
        yield Stroke(bend.near, TANGENT)
        yield Stroke(bend.far, TANGENT)
    yield Stroke(bend.line, BEND)


def _shows_strip(bend: BlankBend) -> bool:
    return bend.score_face is None and bend.allowance >= _WORTH_TANGENTS


def _strip_box(bend: BlankBend) -> Box:
    """The bent metal, which no words but the bend's own may name."""
    line = bend.line
    return Box(line.point_at(0.5), line.length / 2, bend.allowance / 2, line.direction.angle)


def _hole_ink(hole: Hole) -> Iterator[Item]:
    """A cross, a dot to punch, and the circle when it is cut."""
    yield from centre_lines(_cross_circle(hole), _BEYOND_HOLE)
    yield Fill((Circle(hole.centre, _DOT),))
    if hole.cut:
        yield Stroke(hole.circle, CUT)


def _cross_circle(hole: Hole) -> Circle:
    return hole.circle if hole.cut else Circle(hole.centre, 4.0)


# --- words ------------------------------------------------------------------------------------


def _top_callouts(piece: Piece, wall: Line | None, window: Bounds, unit: Unit) -> Iterator[Callout]:
    blank = piece.blank
    for bend in blank.bends:
        yield _bend_callout(bend, _bend_lines(bend, piece, unit, "top"))
    yield from (_hole_callout(hole, unit) for hole in blank.holes)
    yield from _wall_callouts(piece, wall)
    yield _name_callout(piece, unit, "top", IDENTITY)
    for mark in blank.marks:
        yield from _mark_callouts(mark, window, unit)
    yield from (_panel_callout(panel, blank.bends) for panel in blank.panels[1:])


def _underside_callouts(
    piece: Piece, bends: Iterable[BlankBend], wall: Line | None, unit: Unit
) -> Iterator[Callout]:
    for bend in bends:
        yield _bend_callout(bend, _bend_lines(bend, piece, unit, "underside"))
    yield from _wall_callouts(piece, wall)
    mirror = Motion.mirror_x(piece.blank.bounds.centre.x)
    yield _name_callout(piece, unit, "underside", mirror)


def _bend_callout(bend: BlankBend, lines: tuple[str, ...]) -> Callout:
    block = Block(lines=lines, bold=1)
    gap = bend.allowance / 2 + 1.0 if _shows_strip(bend) else 1.0
    return Callout(block=block, places=along(bend.line, gap), at=bend.line.point_at(0.5))


def _bend_lines(bend: BlankBend, piece: Piece, unit: Unit, face: Face) -> tuple[str, ...]:
    """What to do on this line, seen on that face."""
    head = bend_words(bend).replace("bend", "BEND", 1)
    score = score_of(bend, piece.bracket.stock.thickness)
    if score is None:
        radius = format_length(bend.inside_radius, unit)
        return (head, f"inside radius {radius}; the line is the middle of the bend")
    if bend.score_face != face:
        return (head, "DO NOT GRIND THIS FACE: see the UNDERSIDE page")
    groove, depth, left = (
        format_length(length, unit)
        for length in (score.way.groove, score.depth, score.way.ligament)
    )
    grind = f"grind on this line: {groove} wide, {depth} deep, {left} left"
    if face == "underside":
        return (head, grind, "this face up, it folds away from you")
    return (head, grind)


def _hole_callout(hole: Hole, unit: Unit) -> Callout:
    clear = max(_cross_circle(hole).radius, 1.0) + 0.4
    places = beside(hole.centre, clear)
    return Callout(
        block=Block(lines=_hole_lines(hole, unit), bold=1), places=places, at=hole.centre
    )


def _hole_lines(hole: Hole, unit: Unit) -> tuple[str, ...]:
    size = (f"Ø {format_length(hole.diameter, unit)}", *((hole.size,) if hole.size else ()))
    if hole.cut:
        return (hole.what, *size)
    return (hole.what, "not cut: punch only", *size)


def _wall_callouts(piece: Piece, wall: Line | None) -> Iterator[Callout]:
    if wall is not None:
        name = (piece.bracket.wall or "").upper()
        block = Block(lines=(f"{name}: this edge meets the wall",), bold=1)
        yield Callout(block=block, places=along(wall, 1.6), at=wall.point_at(0.5))


def _name_callout(piece: Piece, unit: Unit, face: Face, motion: Motion) -> Callout:
    """The piece's name, which face is up and the plate, in the middle of the root panel."""
    mirrored = ("mirrored: lay it on the back of the blank",) if face == "underside" else ()
    lines = (piece_title(piece), FACE_WORDS[face], stock_words(piece, unit), *mirrored)
    root = piece.bracket.root
    contour = root.contour.moved(motion @ piece.blank.panel_motion(root.name))
    middle = contour.bounds.centre
    block = Block(lines=lines, size=3.2, bold=2)
    return Callout(block=block, places=inside(contour, 0.0), at=middle)


def _panel_callout(panel: BlankPanel, bends: Iterable[BlankBend]) -> Callout:
    """A folded panel's name, reading along its bend."""
    contour = panel.panel.contour.moved(panel.blank_from_panel)
    angles = [
        readable(bend.line.direction.angle) for bend in bends if bend.child == panel.panel.name
    ]
    return Callout(
        block=Block(lines=(panel.panel.name,), size=3.2, bold=1),
        places=inside(contour, angles[0] if angles else 0.0),
        at=contour.bounds.centre,
    )


def _mark_callouts(mark: Mark, window: Bounds, unit: Unit) -> Iterator[Callout]:
    """A mark's label along it; a circle's diameter is told too."""
    pieces = within(mark.shape, window)
    if not mark.label or not pieces:
        return
    match mark.shape:
        case Line() as line:
            places, at, words = along(line), line.point_at(0.5), mark.label
        case Arc() as arc:
            places, at, words = round_arc(arc), arc.point_at(0.5), mark.label
        case Circle() as circle:
            words = f"{mark.label}, Ø {format_length(circle.diameter, unit)}"
            places, at = round_circle(circle), circle.centre + Vector(0.0, circle.radius)
        case Contour() as contour:
            at, words = contour.segments[0].point_at(0.5), mark.label
            places = led(at, 0.0)
    yield Callout(block=Block(lines=(words,), size=2.2), places=places, at=at)
