"""Constructions that bracket shapes are built from."""

from __future__ import annotations

import math

from platewright.errors import GeometryError
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Arc, Line, Segment


def tangent_points(p: Point, circle: Circle) -> tuple[Point, Point]:
    """Where the two tangents from a point outside a circle touch it: clockwise one first.

    Raises GeometryError when the point lies inside.
    """
    spoke = p - circle.centre
    ratio = circle.radius / spoke.length
    if ratio > 1:
        raise GeometryError("no tangent: the point lies inside the circle")
    half = math.acos(ratio)
    behind = circle.centre + Vector.polar(spoke.angle - half, circle.radius)
    ahead = circle.centre + Vector.polar(spoke.angle + half, circle.radius)
    return behind, ahead


def merged(contour: Contour) -> Contour:
    """The contour with straight neighbours that continue each other joined into one line."""
    segments = list(contour.segments)
    kept: list[Segment] = []
    for segment in segments:
        if kept and _continues(kept[-1], segment):
            kept[-1] = Line(kept[-1].start, segment.end)
        else:
            kept.append(segment)
    if len(kept) > 2 and _continues(kept[-1], kept[0]):
        kept[0] = Line(kept.pop().start, kept[0].end)
    return Contour(tuple(kept))


def _continues(before: Segment, after: Segment) -> bool:
    if isinstance(before, Arc) or isinstance(after, Arc):
        return False
    along = before.direction
    return abs(along.cross(after.direction)) < 1e-9 and along.dot(after.direction) > 0
