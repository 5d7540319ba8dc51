"""The pattern drawing of one piece: its blank at full size, seen on one face.

A pattern is ink (lines, holes, marks) and callouts (words that still look for their places). The
top pattern shows everything; the underside pattern, mirrored, only the outline and the scores that
are ground on that face.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from platewright.drawing.free_space import Box
from platewright.drawing.items import Item, Stroke
from platewright.drawing.placing import Callout
from platewright.drawing.style import BEND, CUT
from platewright.geometry.contour import Contour
from platewright.geometry.plane import IDENTITY, Bounds, Motion
from platewright.geometry.segment import Line
from platewright.plate.bend import Face
from platewright.plate.blank import BlankBend
from platewright.plate.piece import Piece
from platewright.sheets.pattern_ink import (
    bend_ink,
    hole_ink,
    marks_ink,
    shown,
    shows_strip,
    wall_hatching,
)
from platewright.sheets.pattern_words import (
    bend_callout,
    hole_callout,
    mark_callouts,
    name_callout,
    panel_callout,
    wall_callout,
)
from platewright.units import Unit

WINDOW_MARGIN = 3.0
"""How far marks may run outside the outline's bounds, mm."""


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
    return Pattern(
        face="top",
        outline=blank.outline,
        ink=tuple(_top_ink(piece, window)),
        callouts=tuple(_top_callouts(piece, window, unit)),
        kept=tuple(_strip_box(bend) for bend in blank.bends if shows_strip(bend)),
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
        callouts=tuple(_underside_callouts(piece, bends, mirror, unit)),
    )


def wall_line(piece: Piece) -> Line | None:
    """The wall edge on the blank, None for a bracket without a wall."""
    bracket = piece.bracket
    if bracket.wall is None:
        return None
    edge = bracket.root.straight_edge(bracket.wall)
    return edge.moved(piece.blank.panel_motion(bracket.root.name))


def straight_wall(piece: Piece) -> Line | None:
    """The wall edge while it is straight: None once it follows something."""
    scribed = {name for name, _ in piece.bracket.root.datums}
    return None if piece.bracket.wall in scribed else wall_line(piece)


def _top_ink(piece: Piece, window: Bounds) -> Iterator[Item]:
    """The cut lines last, so that nothing covers them."""
    blank, wall = piece.blank, straight_wall(piece)
    yield from marks_ink(blank.marks, blank.outline, window)
    if wall is not None:
        yield wall_hatching(wall)
    for bend in blank.bends:
        yield from bend_ink(bend)
    for hole in blank.holes:
        yield from hole_ink(hole)
    yield from (Stroke(cutout.contour, CUT) for cutout in blank.cutouts)
    yield Stroke(blank.outline, CUT)


def _top_callouts(piece: Piece, window: Bounds, unit: Unit) -> Iterator[Callout]:
    blank, wall = piece.blank, wall_line(piece)
    if wall is not None:
        yield wall_callout(piece.bracket.wall or "", wall)
    yield from (bend_callout(bend, piece, unit, "top") for bend in blank.bends)
    yield from (hole_callout(hole, unit) for hole in blank.holes)
    yield name_callout(piece, unit, "top", IDENTITY)
    for mark in blank.marks:
        if shown(mark.shape, blank.outline, window):
            yield from mark_callouts(mark, unit)
    yield from (panel_callout(panel, blank.bends) for panel in blank.panels[1:])


def _underside_callouts(
    piece: Piece, bends: list[BlankBend], mirror: Motion, unit: Unit
) -> Iterator[Callout]:
    """`bends` are mirrored already; `mirror` takes the blank to this drawing."""
    wall = wall_line(piece)
    if wall is not None:
        yield wall_callout(piece.bracket.wall or "", wall.moved(mirror))
    yield from (bend_callout(bend, piece, unit, "underside") for bend in bends)
    yield name_callout(piece, unit, "underside", mirror)


def _strip_box(bend: BlankBend) -> Box:
    """The bent metal, which no words but the bend's own may name."""
    line = bend.line
    return Box(line.point_at(0.5), line.length / 2, bend.allowance / 2, line.direction.angle)
