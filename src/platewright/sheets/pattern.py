"""The pattern drawing of one piece: its blank at full size, seen on one face.

A pattern is ink (lines, holes, marks) and callouts (words that still look for their places). The
top pattern shows everything; the underside pattern, mirrored, only the outline and the scores that
are ground on that face.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import lru_cache, partial

from platewright.drawing.dimensions import centre_lines, readable
from platewright.drawing.free_space import Box, Covered
from platewright.drawing.items import Fill, Hatch, Item, Shape, Stroke
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
from platewright.drawing.style import BEND, CENTRE, CUT, HIDDEN, PHANTOM, SCRIBE, TANGENT, LineStyle
from platewright.drawing.trimming import joined, within
from platewright.geometry.build import slot_of
from platewright.geometry.contour import Circle, Contour, Outline
from platewright.geometry.plane import IDENTITY, Bounds, Motion, Point, Vector
from platewright.geometry.segment import Arc, Line
from platewright.plate.bend import Face, other_face
from platewright.plate.blank import BlankBend, BlankPanel
from platewright.plate.bracket import Cutout, Hole, Mark, MarkMeaning
from platewright.plate.piece import Piece
from platewright.sheets.figures import size_words
from platewright.shop.drills import drills_for
from platewright.shop.notes import bend_words, piece_title
from platewright.shop.scores import score_of
from platewright.units import Unit, format_length
from platewright.values import dataclass

WINDOW_MARGIN = 3.0
"""How far marks may run outside the outline's bounds, mm."""

FACE_WORDS: dict[Face, str] = {
    "top": "TOP: this side up",
    "underside": "UNDERSIDE: this side up",
}
"""Which face is up, as it stands on every page."""

_LARGE = 3.2  # capitals of names, mm
_SMALL = 2.2  # of marks' labels
_LINE_GAP = 1.0
_STRIP_GAP = 2.0  # beyond a dashed line, mm
_WALL_GAP = 1.6

HATCH_DEPTH = 3.0
"""Depth of the hatched band outside the wall edge, mm."""

_MARK_STYLES: dict[MarkMeaning, LineStyle] = {
    "phantom": PHANTOM,
    "centre": CENTRE,
    "clearance": HIDDEN,
    "scribe": SCRIBE,
    "original": PHANTOM,
    "station": SCRIBE,
}
_PILOT = 4.0  # diameter of the cross of a hole that is not cut, mm
_BEYOND_HOLE = 3.0  # of centre lines, mm
_DOT = 0.8
# how finely a mark is followed to see whether it touches the part, mm
_LOOK = 0.5  # sagitta of an arc
_STEP = 4.0  # along a line
_WORTH_TANGENTS = 4.0  # allowance from which a bend's tangent lines are drawn, mm


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Pattern:
    """One face of a blank: its outline, the ink, and the callouts. A pattern equals itself alone.

    `kept` are boxes without ink that words keep out of, `openings` the holes and cut-outs, which
    no seam should cross. The words are `told` when they are asked for: many a pattern is drawn only
    to count its pages.
    """

    face: Face
    outline: Covered
    ink: tuple[Item, ...]
    told: Callable[[], Iterable[Callout]]
    kept: tuple[Box, ...] = ()
    openings: tuple[Outline, ...] = ()

    @property
    def callouts(self) -> tuple[Callout, ...]:
        """The words that look for their places, the important first."""
        return tuple(self.told())


@lru_cache(maxsize=16)
def top_pattern(piece: Piece, unit: Unit) -> Pattern:
    """Everything that is cut, bent, punched or shown on the top face."""
    blank = piece.blank
    window = blank.bounds.grown(WINDOW_MARGIN)
    strips = [(bend.line, bend.allowance) for bend in blank.bends if shows_strip(bend)]
    return Pattern(
        face="top",
        outline=blank.outline,
        ink=tuple(_top_ink(piece, window)),
        told=partial(_top_callouts, piece, window, unit),
        # the bent metal, which no words but the bend's own may name
        kept=tuple(
            Box(line.point_at(0.5), line.length / 2, allowance / 2, line.direction.angle)
            for line, allowance in strips
        ),
        openings=(
            *(cross_circle(hole) for hole in blank.holes),
            *(cutout.contour for cutout in blank.cutouts),
        ),
    )


def underside_pattern(piece: Piece, unit: Unit) -> Pattern | None:
    """The outline and the underside's scores, mirrored; None when nothing is scored there."""
    blank = piece.blank
    mirror = Motion.mirror_x(blank.bounds.centre.x)
    bends = [bend.moved(mirror) for bend in blank.bends if bend.score_face == "underside"]
    if not bends:
        return None
    outline = blank.outline.moved(mirror)
    return Pattern(
        face="underside",
        outline=outline,
        ink=(*(Stroke(bend.line, BEND) for bend in bends), Stroke(outline, CUT)),
        told=lambda: (
            *_line_callouts(piece, bends, "underside", mirror, unit),
            name_callout(piece, unit, "underside", mirror),
        ),
    )


def _top_ink(piece: Piece, window: Bounds) -> Iterator[Item]:
    """The cut lines last, so that nothing covers them."""
    blank, wall = piece.blank, piece.straight_wall
    yield from _marks_ink(blank.marks, blank.outline, window)
    if wall is not None:
        yield hatched_band(wall)
    for bend in blank.bends:
        if shows_strip(bend):
            yield from (Stroke(bend.near, TANGENT), Stroke(bend.far, TANGENT))
        yield Stroke(bend.line, BEND)
    for hole in blank.holes:
        yield from hole_ink(hole)
    for cutout in blank.cutouts:
        if slot := slot_of(cutout.contour):
            for end in slot.ends:
                yield from centre_lines(Circle(end, slot.width), _BEYOND_HOLE)
                yield Fill((Circle(end, _DOT),))
        yield Stroke(cutout.contour, CUT)
    yield Stroke(blank.outline, CUT)


def _top_callouts(piece: Piece, window: Bounds, unit: Unit) -> Iterator[Callout]:
    blank = piece.blank
    yield from _line_callouts(piece, blank.bends, "top", IDENTITY, unit)
    yield from (_hole_callout(hole, unit) for hole in blank.holes)
    yield from (_cutout_callout(cutout, unit) for cutout in blank.cutouts)
    yield name_callout(piece, unit, "top", IDENTITY)
    for mark in blank.marks:
        if (mark.label or mark.told is not None) and _shown(mark.shape, blank.outline, window):
            yield _mark_callout(mark, unit)
    yield from (_panel_callout(panel, blank.bends) for panel in blank.panels[1:])


def _line_callouts(
    piece: Piece, bends: Sequence[BlankBend], face: Face, drawing_from_blank: Motion, unit: Unit
) -> Iterator[Callout]:
    """What the wall edge is, inside or beyond its hatching; what to do on each bend's line."""
    wall = piece.wall_line
    if wall is not None:
        words = f"{(piece.bracket.wall or '').upper()}: this edge meets the wall"
        edge = wall.moved(drawing_from_blank)
        yield line_callout(Block(lines=(words,), bold=1), edge, partial(along, gap=_WALL_GAP))
    for bend in bends:
        gap = _STRIP_GAP + bend.allowance / 2 if shows_strip(bend) else _LINE_GAP
        yield line_callout(_bend_block(bend, piece, unit, face), bend.line, partial(along, gap=gap))


# --- ink --------------------------------------------------------------------------------------


def _marks_ink(marks: Iterable[Mark], outline: Contour, window: Bounds) -> Iterator[Stroke]:
    """Marks in the lines of their meaning, as far as they show.

    Straight lines of one meaning that lie on each other become one: two chain lines drawn one on
    the other would fill each other's gaps.
    """
    by_style: dict[LineStyle, list[Shape]] = {}
    for mark in marks:
        by_style.setdefault(_MARK_STYLES[mark.meaning], []).append(mark.shape)
    for style, shapes in by_style.items():
        for shape in joined(shapes):
            if pieces := _shown(shape, outline, window):
                yield Stroke(pieces, style)


def _shown(shape: Shape, outline: Contour, window: Bounds) -> tuple[Shape, ...]:
    """The pieces of a mark in the window, without those that nowhere touch the part."""
    return tuple(
        piece for piece in within(shape, window) if any(map(outline.contains, _looks(piece)))
    )


def _looks(shape: Shape) -> Iterable[Point]:
    """Places along a shape, close enough to tell whether it touches the part."""
    if not isinstance(shape, Line):
        return shape.flatten(_LOOK)
    steps = max(2, round(shape.length / _STEP))
    return (shape.point_at((index + 0.5) / steps) for index in range(steps))


def hatched_band(edge: Line, depth: float = HATCH_DEPTH, spacing: float = 2.0) -> Hatch:
    """A hatched band on the right of an edge: what stands there is no part of the bracket."""
    out = edge.direction.right * depth
    band = Contour.polygon((edge.start, edge.start + out, edge.end + out, edge.end))
    return Hatch((band,), edge.direction.angle + 0.8, spacing)


def shows_strip(bend: BlankBend) -> bool:
    """Whether a bend's tangent lines are drawn."""
    return bend.score_face is None and bend.allowance >= _WORTH_TANGENTS


def hole_ink(hole: Hole) -> Iterator[Item]:
    """A cross, a dot to punch, and the circle when it is cut."""
    yield from centre_lines(cross_circle(hole), _BEYOND_HOLE)
    yield Fill((Circle(hole.centre, _DOT),))
    if hole.cut:
        yield Stroke(hole.circle, CUT)


def cross_circle(hole: Hole) -> Circle:
    """The circle that a hole's cross runs beyond: its own, or a small one where nothing is cut."""
    return hole.circle if hole.cut else Circle(hole.centre, _PILOT)


def cross_reach(hole: Hole) -> float:
    """How far a hole's cross reaches from its centre, mm."""
    return cross_circle(hole).radius + _BEYOND_HOLE


# --- words ------------------------------------------------------------------------------------


def stock_words(piece: Piece, unit: Unit) -> str:
    """The plate in words: "3/16 in A36 structural steel"; card too thin to count by its name."""
    stock = piece.bracket.stock
    if stock.thickness == 0:
        return stock.material.label
    return f"{format_length(stock.thickness, unit)} {stock.material.label}"


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


def _hole_callout(hole: Hole, unit: Unit) -> Callout:
    """A hole's name and size beside it; a pilot says that it is not cut."""
    told = f"Ø {format_length(hole.diameter, unit)}"
    given = hole.size if hole.size != f"hole {told[2:]}" else ""
    if "." in told and unit == "in" and (drills := drills_for(hole.diameter, unit)):
        told = f"{told}, drill {drills[0].name}"
    pilot = () if hole.cut else ("not cut: punch only",)
    block = Block(lines=(hole.what, *pilot, told, *((given,) if given else ())), bold=1)
    spots = beside(hole.centre, cross_circle(hole).radius + 0.4, cross_reach(hole))
    return Callout(block=block, spots=spots, at=hole.centre)


def _cutout_callout(cutout: Cutout, unit: Unit) -> Callout:
    """A slot's or cut-out's name and size, in it where it is large enough, else beside it."""
    box = cutout.contour.bounds
    block = Block(lines=(cutout.what, size_words(cutout, unit)), bold=1)
    spots = either(inside(cutout.contour, 0.0), below_or_above(box, _BEYOND_HOLE))
    return Callout(block=block, spots=spots, at=box.centre)


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


def _panel_callout(panel: BlankPanel, bends: Iterable[BlankBend]) -> Callout:
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


def _mark_callout(mark: Mark, unit: Unit) -> Callout:
    """A mark's label along it; a circle's diameter is told too."""
    words = mark.label
    if mark.told is not None:
        words = f"{words} {format_length(mark.told, unit)}".strip()
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
            spots = led(at)
    return Callout(block=Block(lines=(words,), size=_SMALL), spots=spots, at=at, needed=False)
