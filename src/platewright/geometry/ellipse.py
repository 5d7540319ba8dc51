"""Ellipses as arcs that keep outside of them, within a tolerance that is proved arc by arc."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from platewright.errors import GeometryError
from platewright.geometry.arcfit import biarc
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Arc, Line, Segment

#: Places at which an arc is held against the ellipse; between them its second derivative bounds it.
_PLACES = 96

_MOST_BIARCS = 64


def swept_ellipse(a: float, b: float, shift: float, tolerance: float) -> Contour:
    """All that an ellipse covers while it moves by `shift` mm against the x axis, anticlockwise.

    Half axes `a` along x and `b`, mm; it starts about the origin, and its own arcs go round the
    first half there, the other half about (-shift, 0); two lines join them. The arcs lie outside of
    the ellipse by at most `tolerance` mm; a circle is exact. Raises GeometryError unless
    a >= b > 0.
    """
    quarter = _quarter(a, b, tolerance)
    ahead, behind = Vector(0.0, 0.0), Vector(-shift, 0.0)
    chain = [
        *_turned(quarter, 1, 1, ahead),
        *_turned(quarter, -1, 1, behind),
        *_turned(quarter, -1, -1, behind),
        *_turned(quarter, 1, -1, ahead),
    ]
    joined: list[Segment] = []
    for before, after in pairwise([chain[-1], *chain]):
        if before.end != after.start:
            joined.append(Line(before.end, after.start))
        joined.append(after)
    return Contour(tuple(joined))


def _turned(quarter: list[Segment], x: int, y: int, by: Vector) -> Iterator[Segment]:
    """A quarter mirrored to where x and y have the given signs, travelled anticlockwise."""

    def put(p: Point) -> Point:
        return Point(x * p.x + by.x, y * p.y)

    for each in quarter if x == y else reversed(quarter):
        ends = (put(each.start), put(each.end))
        start, end = ends if x == y else reversed(ends)
        yield each.between(start, end)


def _quarter(a: float, b: float, tolerance: float) -> list[Segment]:
    """The quarter from (a, 0) to (0, b), as few biarcs as do."""
    if not a >= b > 0:
        raise GeometryError(f"no ellipse has the half axes {a!r} and {b!r}")
    if a - b <= 1e-9 * a:
        return [Arc(Point(b, 0.0), Point(0.0, b), math.pi / 2)]
    for count in range(1, _MOST_BIARCS):
        stops = [math.pi / 2 * i / count for i in range(count + 1)]
        places = [_beside(a, b, tolerance / 2, t) for t in stops]
        pieces: list[Segment] = []
        for (t0, t1), ((p, leaving), (q, arriving)) in zip(
            pairwise(stops), pairwise(places), strict=True
        ):
            pair = biarc(p, leaving, q, arriving)
            if not _keep_outside(pair, a, b, (t0, t1), tolerance):
                break
            pieces += pair
        else:
            return pieces
    raise GeometryError(f"no arcs within {tolerance!r} mm of an ellipse {a!r} by {b!r}")


def _beside(a: float, b: float, off: float, t: float) -> tuple[Point, Vector]:
    """The place `off` mm outside of (a cos t, b sin t), and the direction of travel there."""
    last = t == math.pi / 2
    cosine, sine = (0.0, 1.0) if last else (math.cos(t), math.sin(t))
    way = Vector(-a * sine, b * cosine).unit()
    return Point(a * cosine, b * sine) + way.right * off, way


def _keep_outside(
    pieces: tuple[Segment, ...], a: float, b: float, span: tuple[float, float], tolerance: float
) -> bool:
    """Whether arcs lie outside of an ellipse by no more than the tolerance, all along.

    Seen from an arc's centre c the ellipse stands at the distance f, with f² = (a cos t - cx)² +
    (b sin t - cy)². Between two places a step h apart it is within h²/8 max|(f²)''| of their chord,
    and |(f²)''| <= 2 (a² - b²) + 2 |cx| a + 2 |cy| b (the linear interpolation's remainder).
    """
    begin = span[0]
    for piece in pieces:
        if isinstance(piece, Line):
            return False
        centre, radius = piece.centre, piece.radius
        finish = span[1]
        if piece is not pieces[-1]:
            # the t at which an ellipse crosses a ray from a centre, by halving
            low, high = begin, span[1]
            for _ in range(60):
                middle = (low + high) / 2
                at = Point(a * math.cos(middle), b * math.sin(middle)) - centre
                low, high = (middle, high) if at.cross(piece.end - centre) > 0 else (low, middle)
            finish = (low + high) / 2
        step = (finish - begin) / _PLACES
        bend = 2 * (a * a - b * b + abs(centre.x) * a + abs(centre.y) * b)
        slack = step * step / 8 * bend
        found = [
            (a * math.cos(t) - centre.x) ** 2 + (b * math.sin(t) - centre.y) ** 2
            for t in (begin + step * i for i in range(_PLACES + 1))
        ]
        if max(found) + slack > radius**2 or min(found) - slack < (radius - tolerance) ** 2:
            return False
        begin = finish
    return True
