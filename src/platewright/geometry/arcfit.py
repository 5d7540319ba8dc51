"""Smooth chains of lines and arcs through points, within a stated tolerance.

Neighbouring arcs share their tangent (biarcs), so that a torch runs through without a corner and
no spline is left to flatten.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from platewright.errors import GeometryError
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Arc, Line, Segment

#: An arc that leaves its chord by less is drawn as a line, mm.
_STRAIGHT = 1e-7


def biarc(start: Point, leaving: Vector, end: Point, arriving: Vector) -> tuple[Segment, ...]:
    """One or two arcs, or lines, from `start` to `end` with the given unit directions there.

    Both arcs have tangents of one length (the usual choice of joint). Raises GeometryError when
    the ends coincide or the directions point backwards.
    """
    across = end - start
    if across.length == 0:
        raise GeometryError("a smooth curve needs two ends that lie apart")
    reach = _tangent_length(across, leaving, arriving)
    corners = start + leaving * reach, end + arriving * -reach
    joint = corners[0].midpoint(corners[1])
    first = tangent_arc(start, leaving, joint)
    second = tangent_arc(end, -arriving, joint).reversed()
    if isinstance(first, Line) and isinstance(second, Line):
        return (Line(start, end),)
    return (first, second)


def _tangent_length(across: Vector, leaving: Vector, arriving: Vector) -> float:
    """The length d with |across - d (leaving + arriving)| = 2 d, the smaller positive one."""
    forward = across.dot(leaving + arriving)
    curl = 2 * (1 - leaving.dot(arriving))
    # curl d² + 2 forward d - across² = 0, in the form that keeps its digits as curl vanishes
    root = forward + math.sqrt(forward * forward + curl * across.dot(across))
    if not root > 1e-9 * across.length:
        raise GeometryError("no smooth curve: its ends point backwards")
    return across.dot(across) / root


def tangent_arc(start: Point, leaving: Vector, end: Point) -> Segment:
    """The arc from `start` to `end` that leaves in a direction; a line when it hardly bows.

    Raises GeometryError when the ends coincide or the arc would have to turn straight back.
    """
    chord = end - start
    if chord.length == 0:
        raise GeometryError("an arc needs two ends that lie apart")
    sweep = 2 * math.atan2(leaving.cross(chord), leaving.dot(chord))
    if abs(math.tan(sweep / 4)) * chord.length / 2 < _STRAIGHT:
        return Line(start, end)
    return Arc(start, end, sweep)


def smooth_chain(
    points: Sequence[Point],
    tolerance: float,
    leaving: Vector | None = None,
    arriving: Vector | None = None,
) -> tuple[Segment, ...]:
    """A tangent-continuous chain from the first point to the last, near all between.

    Every point lies within `tolerance` mm of the chain (0: on it); the chain uses as few arcs as
    come of joining points greedily. Directions at the points are those of the circle through each
    and its neighbours; `leaving` and `arriving` fix the ends. Raises GeometryError for fewer than
    two points, neighbours that coincide, or a negative tolerance.
    """
    if len(points) < 2 or tolerance < 0:
        raise GeometryError("a smooth curve needs two points or more and a tolerance of 0 or more")
    directions = _directions(points, leaving, arriving)
    chain: list[Segment] = []
    at = 0
    while at < len(points) - 1:
        pieces, at = _longest(points, directions, at, tolerance)
        chain.extend(pieces)
    return tuple(chain)


def _directions(
    points: Sequence[Point], leaving: Vector | None, arriving: Vector | None
) -> list[Vector]:
    """Unit direction of the curve at every point."""
    steps = [after - before for before, after in pairwise(points)]
    if any(step.length == 0 for step in steps):
        raise GeometryError("a smooth curve needs points that lie apart")
    middle = [_through(before, after) for before, after in pairwise(steps)]
    first = leaving or _mirrored(middle[0] if middle else arriving or steps[0], steps[0])
    last = arriving or _mirrored(middle[-1] if middle else first, steps[-1])
    return [first.unit(), *middle, last.unit()]


def _through(before: Vector, after: Vector) -> Vector:
    """Direction at the middle of three points of the circle through them."""
    total = before / before.dot(before) + after / after.dot(after)
    if total.length == 0:
        raise GeometryError("a smooth curve cannot turn straight back")
    return total.unit()


def _mirrored(direction: Vector, chord: Vector) -> Vector:
    """The direction at the other end of a circular arc over a chord."""
    along = chord.unit()
    return along * (2 * along.dot(direction)) - direction


def _longest(
    points: Sequence[Point], directions: Sequence[Vector], at: int, tolerance: float
) -> tuple[tuple[Segment, ...], int]:
    """The pieces from a point to the farthest that one biarc reaches, and that point's index."""
    reached = at + 1
    pieces = biarc(points[at], directions[at], points[reached], directions[reached])
    for index in range(at + 2, len(points)):
        wider = _biarc_within(points, directions, at, index, tolerance)
        if wider is None:
            break
        pieces, reached = wider, index
    return pieces, reached


def _biarc_within(
    points: Sequence[Point], directions: Sequence[Vector], first: int, last: int, tolerance: float
) -> tuple[Segment, ...] | None:
    """The biarc between two points if all points between lie within the tolerance of it."""
    try:
        pieces = biarc(points[first], directions[first], points[last], directions[last])
    except GeometryError:
        return None
    between = points[first + 1 : last]
    near = all(min(piece.distance(p) for piece in pieces) <= tolerance for p in between)
    return pieces if near else None
