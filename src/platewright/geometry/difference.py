"""What lies between two shapes of which one holds the other: exact outlines of the difference.

The two share most of their boundary (a shape and what a round tool can make of it). The difference
is bounded by the stretches that they do not share, so its lines and arcs are theirs, cut at their
joints.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from platewright.geometry.contour import Contour, Outline
from platewright.geometry.loops import closed
from platewright.geometry.offset import Region
from platewright.geometry.prepared import PreparedSegment, prepared
from platewright.geometry.segment import Segment
from platewright.geometry.stretches import Places, Stretch, Stretches
from platewright.values import dataclass

#: Boundaries this close run together, mm: far above rounding, far below what a shop can see.
SAME = 1e-5


@dataclass(frozen=True, slots=True)
class Difference:
    """One piece of a difference, anticlockwise: `outline`, and which of its segments are whose.

    `of_outer` tells of each segment whether it bounds the larger shape; the others bound the
    smaller one.
    """

    outline: Contour
    of_outer: tuple[bool, ...]

    @property
    def outer_segments(self) -> tuple[Segment, ...]:
        """The segments that bound the larger shape."""
        return self._segments(of_outer=True)

    @property
    def inner_segments(self) -> tuple[Segment, ...]:
        """The segments that bound the smaller shape."""
        return self._segments(of_outer=False)

    def _segments(self, *, of_outer: bool) -> tuple[Segment, ...]:
        pairs = zip(self.outline.segments, self.of_outer, strict=True)
        return tuple(segment for segment, outer in pairs if outer == of_outer)


def differences(outer: Sequence[Region], inner: Sequence[Region]) -> tuple[Difference, ...]:
    """What the outer regions have beyond the inner ones, largest first.

    The inner regions lie within the outer ones. Holes that float free inside a piece are not
    told: its outline alone is. Both boundaries are cut at each other's joints; where they run
    together they go there and back, and what goes there and back bounds nothing.
    """
    bounds = [prepared(segment) for segment in _boundary(outer)]
    against = [prepared(segment.reversed()) for segment in _boundary(inner)]
    places = Places(4 * SAME)
    stretches = [
        *_stretches(bounds, 0, against, places),
        *_stretches(against, len(bounds), bounds, places),
    ]
    loops = closed(Stretches((*bounds, *against), places.xy, stretches), SAME).loops
    found = []
    for loop in loops:
        if not loop.is_hole:
            outline = loop.outline
            contour = outline if isinstance(outline, Contour) else outline.contour()
            middles = [segment.point_at(0.5) for segment in contour.segments]
            whose = (any(edge.distance(p.x, p.y) <= SAME for edge in bounds) for p in middles)
            found.append(Difference(contour, tuple(whose)))
    return tuple(sorted(found, key=lambda piece: -piece.outline.area))


def _boundary(regions: Iterable[Region]) -> Iterator[Segment]:
    """Every segment of the regions' outlines, the shape on the left of the travel."""
    for region in regions:
        yield from _anticlockwise(region.outer).segments
        for hole in region.holes:
            yield from _anticlockwise(hole).reversed().segments


def _anticlockwise(outline: Outline) -> Contour:
    contour = outline if isinstance(outline, Contour) else outline.contour()
    return contour.anticlockwise()


def _stretches(
    segments: Sequence[PreparedSegment],
    first: int,
    others: Sequence[PreparedSegment],
    places: Places,
) -> Iterator[Stretch]:
    """The segments, numbered from `first`, cut at the others' joints that lie on them."""
    for index, segment in enumerate(segments, start=first):
        cuts = [(0.0, places.number(segment.x0, segment.y0))]
        for fraction, x, y in sorted(_joints_on(segment, others)):
            cuts.append((fraction, places.number(x, y)))
        cuts.append((1.0, places.number(segment.x1, segment.y1)))
        for (begin, tail), (finish, head) in pairwise(cuts):
            if tail != head:
                yield Stretch(index, begin, finish, tail, head)


def _joints_on(
    segment: PreparedSegment, others: Sequence[PreparedSegment]
) -> Iterator[tuple[float, float, float]]:
    """(fraction, x, y) of every joint of the others on a segment, its own ends left out."""
    boxes = list(segment.boxes(segment.length))
    xmin, ymin = min(b[0] for b in boxes) - SAME, min(b[1] for b in boxes) - SAME
    xmax, ymax = max(b[2] for b in boxes) + SAME, max(b[3] for b in boxes) + SAME
    for other in others:
        x, y = other.x0, other.y0
        if xmin <= x <= xmax and ymin <= y <= ymax:
            fraction = segment.fraction(x, y)
            if 0 < fraction < 1 and segment.distance(x, y) <= SAME:
                yield fraction, x, y
