"""The ink of a pattern: what is cut, bent, punched or shown, line by line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from platewright.drawing.dimensions import centre_lines
from platewright.drawing.items import Fill, Hatch, Item, Shape, Stroke
from platewright.drawing.style import (
    BEND,
    CENTRE,
    CUT,
    HIDDEN,
    PHANTOM,
    SCRIBE,
    TANGENT,
    LineStyle,
)
from platewright.drawing.trimming import joined, within
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds
from platewright.geometry.segment import Line
from platewright.plate.blank import BlankBend
from platewright.plate.bracket import Hole, Mark, MarkMeaning

HATCH_DEPTH = 3.0
"""Depth of the hatched band outside the wall edge, mm."""

_MARK_STYLES: dict[MarkMeaning, LineStyle] = {
    "phantom": PHANTOM,
    "centre": CENTRE,
    "clearance": HIDDEN,
    "scribe": SCRIBE,
    "original": PHANTOM,
}
_PILOT = 4.0  # diameter of the cross of a hole that is not cut, mm
_BEYOND_HOLE = 3.0  # of centre lines, mm
_DOT = 0.8
# how finely a mark is followed to see whether it touches the part, mm
_LOOK = 0.5  # sagitta of an arc
_STEP = 4.0  # along a line
_WORTH_TANGENTS = 4.0  # allowance from which a bend's tangent lines are drawn, mm


def marks_ink(marks: Iterable[Mark], outline: Contour, window: Bounds) -> Iterator[Stroke]:
    """Marks in the lines of their meaning, as far as they show.

    Straight lines of one meaning that lie on each other become one: two chain lines drawn one on
    the other would fill each other's gaps.
    """
    by_style: dict[LineStyle, list[Shape]] = {}
    for mark in marks:
        by_style.setdefault(_MARK_STYLES[mark.meaning], []).append(mark.shape)
    for style, shapes in by_style.items():
        for shape in joined(shapes):
            if pieces := shown(shape, outline, window):
                yield Stroke(pieces, style)


def shown(shape: Shape, outline: Contour, window: Bounds) -> tuple[Shape, ...]:
    """The pieces of a mark in the window, without those that nowhere touch the part."""
    return tuple(piece for piece in within(shape, window) if _touches(piece, outline))


def _touches(shape: Shape, outline: Contour) -> bool:
    if isinstance(shape, Line):
        steps = max(2, round(shape.length / _STEP))
        looks = [shape.point_at((index + 0.5) / steps) for index in range(steps)]
    else:
        looks = shape.flatten(_LOOK)
    return any(outline.contains(p) for p in looks)


def wall_hatching(wall: Line) -> Hatch:
    """A hatched band outside the wall edge."""
    out = wall.direction.right * HATCH_DEPTH
    band = Contour.polygon((wall.start, wall.start + out, wall.end + out, wall.end))
    return Hatch((band,), angle=wall.direction.angle + 0.8, spacing=2.0)


def bend_ink(bend: BlankBend) -> Iterator[Stroke]:
    """The bend line out to the outline; a wide bend without a score also shows its two ends."""
    if shows_strip(bend):
        yield Stroke(bend.near, TANGENT)
        yield Stroke(bend.far, TANGENT)
    yield Stroke(bend.line, BEND)


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
