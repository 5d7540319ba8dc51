"""Trimming: what of a line, arc or circle lies in an upright window, and lines laid end to end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from platewright.drawing.items import Shape, rectangle
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.crossings import crossings
from platewright.geometry.plane import Bounds
from platewright.geometry.segment import Line, Segment

_LEAST = 1e-6  # mm: shorter pieces are dropped


def within(shape: Shape, window: Bounds) -> tuple[Shape, ...]:
    """The pieces of a shape inside a window; the shape itself when all of it is."""
    if window.holds(shape.bounds):
        return (shape,)
    if not window.meets(shape.bounds):
        return ()
    whole = shape.contour() if isinstance(shape, Circle) else shape
    segments = whole.segments if isinstance(whole, Contour) else (whole,)
    return tuple(piece for segment in segments for piece in _pieces(segment, window))


def _pieces(segment: Segment, window: Bounds) -> Iterator[Segment]:
    cuts = {
        crossing.first
        for side in rectangle(window).segments
        for crossing in crossings(segment, side)
    }
    for begin, finish in pairwise(sorted({0.0, *cuts, 1.0})):
        middle = segment.point_at((begin + finish) / 2)
        if (finish - begin) * segment.length >= _LEAST and window.holds(Bounds.of(middle)):
            yield segment.part(begin, finish)


def joined(shapes: Sequence[Shape]) -> Iterator[Shape]:
    """The shapes with straight lines that lie on each other, in part or whole, made one."""
    import numpy as np

    lines: dict[int, Line] = {}
    # the box of each, as marks may be of many thousands of lines; one that nothing meets for none
    boxes = np.full((4, len(shapes)), np.inf)
    for at, shape in enumerate(shapes):
        if not isinstance(shape, Line):
            yield shape
            continue
        line, box, (xmin, ymin, xmax, ymax) = shape, shape.bounds.grown(2 * _LEAST), boxes[:, :at]
        meets = (xmin <= box.xmax) & (xmax >= box.xmin) & (ymin <= box.ymax) & (ymax >= box.ymin)
        for near in np.flatnonzero(meets).tolist():
            if not _overlap(lines[near], shape):
                continue
            other = lines.pop(near)
            boxes[:, near] = np.inf
            along = line.direction
            ends = (line.start, line.end, other.start, other.end)
            first, *_, last = sorted(ends, key=lambda p: along.dot(p - line.start))
            line = Line(first, last)
        lines[at], box = line, line.bounds
        boxes[:, at] = box.xmin, box.ymin, box.xmax, box.ymax
    yield from lines.values()


def _overlap(a: Line, b: Line) -> bool:
    """Whether two lines lie on one straight line and share a point."""
    u = a.direction
    if any(abs(u.cross(p - a.start)) > _LEAST for p in (b.start, b.end)):
        return False
    low, high = sorted(u.dot(p - a.start) for p in (b.start, b.end))
    return low <= a.length and high >= 0
