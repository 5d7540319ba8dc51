"""What lies between two shapes of which one holds the other: exact outlines of the difference.

The two share most of their boundary (a shape and what a round tool can make of it). The difference
is bounded by the stretches that they do not share, so its lines and arcs are theirs, cut at their
joints.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from platewright.geometry.contour import Contour, Outline
from platewright.geometry.loops import closed
from platewright.geometry.offset import Region
from platewright.geometry.segment import Segment
from platewright.geometry.strands import Places, Strand, Strands
from platewright.geometry.trace import Trace, trace_of

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
    bounds = [trace_of(segment) for segment in _boundary(outer)]
    against = [trace_of(segment.reversed()) for segment in _boundary(inner)]
    places = Places(4 * SAME)
    strands = [
        *_stretches(bounds, 0, against, places),
        *_stretches(against, len(bounds), bounds, places),
    ]
    loops = closed(Strands((*bounds, *against), places.xy, strands), SAME).loops
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
    traces: Sequence[Trace], first: int, others: Sequence[Trace], places: Places
) -> Iterator[Strand]:
    """The traces, numbered from `first`, cut at the others' joints that lie on them."""
    for index, trace in enumerate(traces, start=first):
        cuts = [(0.0, places.number(trace.x0, trace.y0))]
        for fraction, x, y in sorted(_joints_on(trace, others)):
            cuts.append((fraction, places.number(x, y)))
        cuts.append((1.0, places.number(trace.x1, trace.y1)))
        for (begin, tail), (finish, head) in pairwise(cuts):
            if tail != head:
                yield Strand(index, begin, finish, tail, head)


def _joints_on(trace: Trace, others: Sequence[Trace]) -> Iterator[tuple[float, float, float]]:
    """(fraction, x, y) of every joint of the others on a trace, its own ends left out."""
    boxes = list(trace.boxes(trace.length))
    xmin, ymin = min(b[0] for b in boxes) - SAME, min(b[1] for b in boxes) - SAME
    xmax, ymax = max(b[2] for b in boxes) + SAME, max(b[3] for b in boxes) + SAME
    for other in others:
        x, y = other.x0, other.y0
        if xmin <= x <= xmax and ymin <= y <= ymax:
            fraction = trace.fraction(x, y)
            if 0 < fraction < 1 and trace.distance(x, y) <= SAME:
                yield fraction, x, y
