"""The least distance between two outlines or segments, in closed form, and where it is."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platewright.geometry.contour import Outline
from platewright.geometry.crossings import TOLERANCE, meetings
from platewright.geometry.plane import Point
from platewright.geometry.prepared import (
    Box,
    PreparedArc,
    PreparedSegment,
    prepared,
    prepared_outline,
)
from platewright.geometry.segment import Arc, Line, Segment
from platewright.values import dataclass


@dataclass(frozen=True, slots=True)
class Nearest:
    """The least distance between two shapes, mm, and a place on either where it is reached."""

    distance: float
    first: Point
    second: Point


def distance_between(a: Outline | Segment, b: Outline | Segment) -> Nearest:
    """The least distance between two outlines or segments, and where.

    An outline is its line alone: one that lies inside another keeps its distance from it. Shapes
    that cross or touch within 1e-9 mm are 0 apart.
    """
    others = [(segment, _box(segment)) for segment in _prepared(b)]
    best = Nearest(math.inf, Point(0, 0), Point(0, 0))
    for segment in _prepared(a):
        box = _box(segment)
        for other, other_box in others:
            # distance between two boxes, mm: no less lies between what they hold
            dx = max(box[0] - other_box[2], other_box[0] - box[2], 0.0)
            dy = max(box[1] - other_box[3], other_box[1] - box[3], 0.0)
            if math.hypot(dx, dy) < best.distance:
                best = min(best, _nearest(segment, other), key=lambda nearest: nearest.distance)
    return best


def _prepared(shape: Outline | Segment) -> Sequence[PreparedSegment]:
    return (prepared(shape),) if isinstance(shape, Line | Arc) else prepared_outline(shape)


def _box(segment: PreparedSegment) -> Box:
    """One upright box round a segment."""
    boxes = list(segment.boxes(segment.length))
    xmins, ymins, xmaxs, ymaxs = zip(*boxes, strict=True)
    return min(xmins), min(ymins), max(xmaxs), max(ymaxs)


def _nearest(a: PreparedSegment, b: PreparedSegment) -> Nearest:
    for x, y, _, _ in meetings(a, b, TOLERANCE):
        return Nearest(0.0, Point(x, y), Point(x, y))
    # every end with the nearest place on the other segment, and places that face each other
    pairs = [(*end, *_foot(b, *end)) for end in ((a.x0, a.y0), (a.x1, a.y1))]
    pairs += [(*_foot(a, *end), *end) for end in ((b.x0, b.y0), (b.x1, b.y1))]
    pairs += _between(a, b)
    x, y, u, v = min(pairs, key=lambda p: math.hypot(p[2] - p[0], p[3] - p[1]))
    return Nearest(math.hypot(u - x, v - y), Point(x, y), Point(u, v))


#: A place on the first segment and one on the second.
_Pair = tuple[float, float, float, float]


def _foot(segment: PreparedSegment, x: float, y: float) -> tuple[float, float]:
    """The place on a segment nearest to a point."""
    fraction = segment.fraction(x, y)
    if isinstance(segment, PreparedArc) and not 0 <= fraction <= 1:
        to_start = math.hypot(x - segment.x0, y - segment.y0)
        return segment.at(0 if to_start <= math.hypot(x - segment.x1, y - segment.y1) else 1)
    return segment.at(min(1.0, max(0.0, fraction)))


def _between(a: PreparedSegment, b: PreparedSegment) -> Iterator[_Pair]:
    """Pairs within both segments that face each other square on."""
    if isinstance(a, PreparedArc):
        if isinstance(b, PreparedArc):
            way = b.cx - a.cx, b.cy - a.cy
            for x, y in _rim(a, *way):
                yield from ((x, y, u, v) for u, v in _rim(b, *way))
        else:
            yield from ((x, y, u, v) for u, v, x, y in _between(b, a))
    elif isinstance(b, PreparedArc):
        fraction = a.fraction(b.cx, b.cy)
        if 0 <= fraction <= 1:
            # the line's normal leads from the foot to the centre, also where the line has it on it
            for x, y in _rim(b, -a.dy, a.dx):
                yield *a.at(fraction), x, y


def _rim(arc: PreparedArc, dx: float, dy: float) -> Iterator[tuple[float, float]]:
    """Places on an arc to both sides of its centre along a direction."""
    length = math.hypot(dx, dy)
    for reach in (arc.radius, -arc.radius) if length else ():
        x, y = arc.cx + dx / length * reach, arc.cy + dy / length * reach
        if 0 <= arc.fraction(x, y) <= 1:
            yield x, y


def encloses(outer: Outline, inner: Outline) -> bool:
    """Whether an outline lies wholly inside another without touching it."""
    if distance_between(outer, inner).distance == 0:
        return False
    segment = prepared_outline(inner)[0]
    return outer.contains(Point(segment.x0, segment.y0))
