"""Trimming: what of a line, arc or circle lies in an upright window, and lines laid end to end."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from itertools import pairwise

from platewright.drawing.items import Shape
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Arc, Line, Segment

_LEAST = 1e-6  # mm: shorter pieces are dropped


def within(shape: Shape, window: Bounds) -> tuple[Shape, ...]:
    """The pieces of a shape inside a window; the shape itself when all of it is."""
    if _holds(window, shape.bounds):
        return (shape,)
    if not window.meets(shape.bounds):
        return ()
    return tuple(piece for segment in _segments(shape) for piece in _pieces(segment, window))


def _holds(window: Bounds, box: Bounds) -> bool:
    return window.union(box) == window


def _segments(shape: Shape) -> tuple[Segment, ...]:
    if isinstance(shape, Circle):
        return shape.contour().segments
    return shape.segments if isinstance(shape, Contour) else (shape,)


def _pieces(segment: Segment, window: Bounds) -> Iterator[Segment]:
    stops = [0.0, *sorted(_cuts(segment, window)), 1.0]
    for begin, finish in pairwise(stops):
        if (finish - begin) * segment.length < _LEAST:
            continue
        if _inside(window, segment.point_at((begin + finish) / 2)):
            yield segment.part(begin, finish)


def _cuts(segment: Segment, window: Bounds) -> Iterator[float]:
    """Fractions of a segment where it crosses the lines of the window's sides."""
    return _line_cuts(segment, window) if isinstance(segment, Line) else _arc_cuts(segment, window)


def _inside(window: Bounds, p: Point) -> bool:
    return window.xmin <= p.x <= window.xmax and window.ymin <= p.y <= window.ymax


def _line_cuts(line: Line, window: Bounds) -> Iterator[float]:
    start, along = line.start, line.end - line.start
    sides = (
        (start.x, along.x, window.xmin, window.xmax),
        (start.y, along.y, window.ymin, window.ymax),
    )
    for place, step, low, high in sides:
        for side in (low, high):
            if step and 0 < (fraction := (side - place) / step) < 1:
                yield fraction


def _arc_cuts(arc: Arc, window: Bounds) -> Iterator[float]:
    for p in _circle_cuts(Circle(arc.centre, 2 * arc.radius), window):
        if 0 < (fraction := arc.nearest_fraction(p)) < 1:
            yield fraction


def _circle_cuts(circle: Circle, window: Bounds) -> Iterator[Point]:
    c, r = circle.centre, circle.radius
    for x in (window.xmin, window.xmax):
        if abs(x - c.x) < r:
            reach = math.sqrt(r**2 - (x - c.x) ** 2)
            yield from (Point(x, c.y + reach), Point(x, c.y - reach))
    for y in (window.ymin, window.ymax):
        if abs(y - c.y) < r:
            reach = math.sqrt(r**2 - (y - c.y) ** 2)
            yield from (Point(c.x + reach, y), Point(c.x - reach, y))


def joined(shapes: Iterable[Shape]) -> Iterator[Shape]:
    """The shapes with straight lines that lie on each other, in part or whole, made one."""
    lines: list[Line] = []
    for shape in shapes:
        if not isinstance(shape, Line):
            yield shape
            continue
        line = shape
        for other in [each for each in lines if _overlap(each, shape)]:
            lines.remove(other)
            line = _union(line, other)
        lines.append(line)
    yield from lines


def _overlap(a: Line, b: Line) -> bool:
    """Whether two lines lie on one straight line and share a point."""
    u = a.direction
    if any(abs(u.cross(p - a.start)) > _LEAST for p in (b.start, b.end)):
        return False
    low, high = sorted(u.dot(p - a.start) for p in (b.start, b.end))
    return low <= a.length and high >= 0


def _union(a: Line, b: Line) -> Line:
    """The line from end to end of two that overlap, in the first one's direction."""
    u = a.direction
    ends = sorted((a.start, a.end, b.start, b.end), key=lambda p: u.dot(p - a.start))
    return Line(ends[0], ends[-1])
