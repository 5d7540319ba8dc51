"""Shapes drawn smaller or larger than they are, about the origin."""

from __future__ import annotations

from platewright.drawing.items import Shape
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Point
from platewright.geometry.segment import Arc, Line, Segment


def scaled_point(p: Point, factor: float) -> Point:
    """A point at `factor` times its distance from the origin."""
    return Point(p.x * factor, p.y * factor)


def scaled_line(line: Line, factor: float) -> Line:
    """A line at `factor` times its size."""
    return Line(scaled_point(line.start, factor), scaled_point(line.end, factor))


def scaled(shape: Shape, factor: float) -> Shape:
    """Any shape at `factor` (> 0) times its size."""
    match shape:
        case Contour():
            return Contour(tuple(_scaled_segment(part, factor) for part in shape.segments))
        case Circle():
            return Circle(scaled_point(shape.centre, factor), shape.diameter * factor)
        case Line() | Arc():
            return _scaled_segment(shape, factor)


def _scaled_segment(segment: Segment, factor: float) -> Segment:
    return segment.between(scaled_point(segment.start, factor), scaled_point(segment.end, factor))
