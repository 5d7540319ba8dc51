"""How far two prisms are apart, one axis after the other: the sweep of a fold is held to it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platewright.geometry.space import Vector3
from platewright.plate.prism import Prism, SolidPart

_SMALL = 1e-12


def gap(a: Prism, b: Prism, enough: float = math.inf) -> float:
    """How far two prisms are apart, mm, or less than nothing when they overlap.

    A positive figure is a safe bound: they are at least so far apart; the search stops at the
    first bound that is `enough`. A negative one is exact: the least shift that would part them.
    """
    best = a.centre.distance(b.centre) - a.radius - b.radius
    if best >= enough:
        return best
    for found in _face_gaps(a, b):
        best = max(best, found)
        if best >= enough:
            return best
    if best > 0:
        return best
    for axis in _edge_axes(a, b):
        best = max(best, _gap_along(axis, a, b))
        if best > 0:
            return best
    return best


def _gap_along(axis: Vector3, a: Prism, b: Prism) -> float:
    low_a, high_a = a.span(axis)
    low_b, high_b = b.span(axis)
    return max(low_b - high_a, low_a - high_b)


def _face_gaps(a: Prism, b: Prism) -> Iterator[float]:
    """How far apart they are from centre to centre, then across every face of either."""
    between = b.centre - a.centre
    if between.length > _SMALL:
        yield _gap_along(between.unit(), a, b)
    for one, other in ((a, b), (b, a)):
        for normal, low, high in one.slabs:
            least, greatest = other.span(normal)
            yield max(least - high, low - greatest)


def _edge_axes(a: Prism, b: Prism) -> Iterator[Vector3]:
    for one in _edges(a):
        for other in _edges(b):
            axis = one.cross(other)
            if axis.length > 1e-6:
                yield axis.unit()


def _edges(prism: Prism) -> Iterator[Vector3]:
    ring = prism.corners[: len(prism.polygon)]
    yield prism.world_from_prism.z_axis
    yield from (end - start for start, end in zip(ring, (*ring[1:], ring[0]), strict=True))


def part_gap(one: SolidPart, other: SolidPart, enough: float = math.inf) -> float:
    """How far two parts are apart, mm (see `gap`); infinity when one has no metal."""
    least = math.inf
    for a in one.prisms:
        for b in other.prisms:
            # what is no nearer than the nearest so far need not be known any better
            least = min(least, gap(a, b, min(enough, least)))
    return least
