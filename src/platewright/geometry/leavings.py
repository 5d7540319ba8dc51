"""What lies between two shapes of which one holds the other: exact outlines of the difference.

The two share most of their boundary (a shape and what a round tool can make of it). The difference
is bounded by the stretches that they do not share, so its lines and arcs are theirs, cut at their
joints.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, pairwise

from platewright.geometry.contour import Contour, Outline
from platewright.geometry.grid import Grid, mean_cell
from platewright.geometry.loops import closed
from platewright.geometry.offset import Region
from platewright.geometry.segment import Segment
from platewright.geometry.strands import Places, Strand, Strands
from platewright.geometry.trace import Trace, trace_of

#: Boundaries this close run together, mm: far above rounding, far below what a shop can see.
SAME = 1e-5

#: How far boundaries that part in a tangent may run together, mm: sqrt(2 R SAME), R up to 50 m.
_BRIDGE = 1.0


@dataclass(frozen=True, slots=True)
class Leaving:
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

    @property
    def inner_runs(self) -> int:
        """How many stretches without a break bound the smaller shape; 0 when none does."""
        if not any(self.of_outer):
            return 1
        before = (*self.of_outer[-1:], *self.of_outer)
        return sum(a and not b for a, b in pairwise(before))


def leavings(outer: Sequence[Region], inner: Sequence[Region]) -> tuple[Leaving, ...]:
    """What the outer regions have beyond the inner ones, largest first.

    The inner regions lie within the outer ones. Holes that float free inside a leaving are not
    told: its outline alone is.
    """
    outside, inside = list(_boundary(outer)), list(_boundary(inner))
    if not outside:
        return ()
    against = [trace_of(segment.reversed()) for segment in inside]
    bounds = [trace_of(segment) for segment in outside]
    strands = _unshared(bounds, against)
    found = (loop.outline for loop in closed(strands, SAME).loops if not loop.is_hole)
    contours = (o if isinstance(o, Contour) else o.contour() for o in found)
    lines = _Lines(bounds)
    told = (_told(contour, lines) for contour in contours)
    return tuple(sorted(told, key=lambda leaving: -leaving.outline.area))


def _told(contour: Contour, bounds: _Lines) -> Leaving:
    middles = (segment.point_at(0.5) for segment in contour.segments)
    return Leaving(contour, tuple(bounds.hold(p.x, p.y) for p in middles))


def _boundary(regions: Iterable[Region]) -> Iterator[Segment]:
    """Every segment of the regions' outlines, the shape on the left of the travel."""
    for region in regions:
        yield from _segments(region.outer)
        for hole in region.holes:
            yield from _contour(hole).reversed().segments


def _segments(outline: Outline) -> tuple[Segment, ...]:
    return _contour(outline).segments


def _contour(outline: Outline) -> Contour:
    contour = outline if isinstance(outline, Contour) else outline.contour()
    return contour.anticlockwise()


def _unshared(bounds: Sequence[Trace], against: Sequence[Trace]) -> Strands:
    """The stretches of either boundary that do not run along the other."""
    places = Places(4 * SAME)
    pieces = (*bounds, *against)
    along_outer, along_inner = _Lines(bounds), _Lines(against)
    kept: list[Strand] = []
    shared: list[Strand] = []
    for strand in chain(
        _stretches(bounds, 0, against, places), _stretches(against, len(bounds), bounds, places)
    ):
        middle = pieces[strand.piece].at((strand.begin + strand.finish) / 2)
        other = along_inner if strand.piece < len(bounds) else along_outer
        (shared if other.hold(*middle) else kept).append(strand)
    short = [strand for strand in shared if _length(strand, pieces) < _BRIDGE]
    return Strands(pieces, places.xy, [*kept, *_bridges(kept, short)])


def _stretches(
    traces: Sequence[Trace], first: int, others: Sequence[Trace], places: Places
) -> Iterator[Strand]:
    """The traces cut at the others' joints."""
    ends = _Ends(others)
    for index, trace in enumerate(traces, start=first):
        cuts = [(0.0, places.number(trace.x0, trace.y0))]
        for fraction, x, y in sorted(ends.on(trace)):
            cuts.append((fraction, places.number(x, y)))
        cuts.append((1.0, places.number(trace.x1, trace.y1)))
        for (begin, tail), (finish, head) in pairwise(cuts):
            if tail != head:
                yield Strand(index, begin, finish, tail, head)


def _length(strand: Strand, pieces: Sequence[Trace]) -> float:
    return pieces[strand.piece].length * (strand.finish - strand.begin)


def _bridges(kept: Sequence[Strand], short: Sequence[Strand]) -> Iterator[Strand]:
    """Short shared stretches that close what the kept ones leave open.

    Where two boundaries part in a tangent they run together for a little way, and a joint in it
    lies on both.
    """
    owed = Counter(strand.head for strand in kept)
    owed.subtract(strand.tail for strand in kept)
    left = list(short)
    while bridge := next((strand for strand in left if owed[strand.tail] > 0), None):
        left.remove(bridge)
        owed[bridge.tail] -= 1
        owed[bridge.head] += 1
        yield bridge


class _Lines:
    """Tells whether a place lies on any of some traces."""

    def __init__(self, traces: Sequence[Trace]) -> None:
        self._traces = traces
        self._grid = Grid(traces, mean_cell(traces, 1.0), SAME) if traces else None

    def hold(self, x: float, y: float) -> bool:
        """Whether some trace passes within `SAME` of a place."""
        if self._grid is None:
            return False
        return any(self._traces[i].distance(x, y) <= SAME for i in self._grid.near(x, y, SAME))


class _Ends:
    """The joints of some traces, and which of them lie on another trace."""

    def __init__(self, traces: Sequence[Trace]) -> None:
        self._places = [(trace.x0, trace.y0) for trace in traces]

    def on(self, trace: Trace) -> Iterator[tuple[float, float, float]]:
        """(fraction, x, y) of every joint on a trace, its own ends left out."""
        boxes = list(trace.boxes(trace.length))
        xmin, ymin = min(b[0] for b in boxes) - SAME, min(b[1] for b in boxes) - SAME
        xmax, ymax = max(b[2] for b in boxes) + SAME, max(b[3] for b in boxes) + SAME
        for x, y in self._places:
            if not (xmin <= x <= xmax and ymin <= y <= ymax):
                continue
            fraction = trace.fraction(x, y)
            if 0 < fraction < 1 and trace.distance(x, y) <= SAME:
                yield fraction, x, y
