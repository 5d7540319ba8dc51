"""Fitting a new chain of lines and arcs between the edges beside it."""

from __future__ import annotations

from platewright.errors import GeometryError
from platewright.geometry.crossings import crossings
from platewright.geometry.plane import Point, close
from platewright.geometry.segment import Arc, Line, Segment

#: Ends this close are one point, mm.
SAME = 1e-7

#: A named segment of an outline; "" is no name.
Edge = tuple[str, Segment]


def fitted(chain: tuple[Segment, ...], ring: list[Edge]) -> tuple[tuple[Segment, ...], list[Edge]]:
    """The chain and the other edges, cut where they meet at both ends."""
    chain, ring = _met(chain, ring)
    back, turned = _met(_reversed(chain), [(name, s.reversed()) for name, s in reversed(ring)])
    return _reversed(back), [(name, s.reversed()) for name, s in reversed(turned)]


def _reversed(chain: tuple[Segment, ...]) -> tuple[Segment, ...]:
    return tuple(segment.reversed() for segment in reversed(chain))


def _met(chain: tuple[Segment, ...], ring: list[Edge]) -> tuple[tuple[Segment, ...], list[Edge]]:
    """The chain from where it last meets the ring's last edge; the ring up to there."""
    run = _straight_run(ring)
    carrier = _carrier(ring[run][1], ring[-1][1], chain)
    met = [(i, c) for i, segment in enumerate(chain) for c in crossings(segment, carrier, SAME)]
    if not met:
        raise GeometryError(f"the new edge does not meet the edge beside it, {_words(ring[-1])}")
    index, crossing = met[-1]
    at = crossing.point
    kept = _kept(ring[:run], ring[run:], at)
    at = kept[-1][1].end
    return _begun(chain[index:], crossing.first, at), kept


def _words(edge: Edge) -> str:
    return repr(edge[0]) if edge[0] else "without a name"


def _straight_run(ring: list[Edge]) -> int:
    """Index where the straight run begins that the ring ends with."""
    at = len(ring) - 1
    while at > 0 and runs_on(ring[at - 1][1], ring[at][1]):
        at -= 1
    return at


def runs_on(before: Segment, after: Segment) -> bool:
    """Whether a line goes on straight in another."""
    if isinstance(before, Arc) or isinstance(after, Arc):
        return False
    one, other = before.direction, after.direction
    return abs(one.cross(other)) < 1e-9 and one.dot(other) > 0


def _carrier(first: Segment, last: Segment, chain: tuple[Segment, ...]) -> Segment:
    """Where the edge beside may end: its own line extended, or no farther than its own arc."""
    if isinstance(last, Arc) or isinstance(first, Arc):
        return last
    far = max(p.distance(last.end) for s in chain for p in (s.start, s.end))
    return Line(first.start, last.end + last.direction * far)


def _kept(ring: list[Edge], run: list[Edge], at: Point) -> list[Edge]:
    """The ring and as much of its last run as ends at a point."""
    for index in range(len(run) - 1, -1, -1):
        name, segment = run[index]
        if isinstance(segment, Arc):
            fraction = segment.nearest_fraction(at)
            return [*ring, (name, Arc(segment.start, at, segment.sweep * fraction))]
        if (at - segment.start).dot(segment.direction) > SAME:
            return [*ring, *run[:index], (name, Line(segment.start, at))]
    if not ring:
        raise GeometryError("nothing of the outline is left")
    return ring


def _begun(chain: tuple[Segment, ...], fraction: float, at: Point) -> tuple[Segment, ...]:
    """The chain from a fraction of its first segment, which begins at `at`."""
    first, rest = chain[0], chain[1:]
    if close(at, first.end, SAME) and rest:
        return _begun(rest, 0.0, at)
    if isinstance(first, Line):
        return (Line(at, first.end), *rest)
    return (Arc(at, first.end, first.sweep * (1 - fraction)), *rest)


def pieces_named(edge: str, pieces: tuple[Segment, ...]) -> list[Edge]:
    """The pieces of an edge; the longest carries the name."""
    longest = max(range(len(pieces)), key=lambda i: pieces[i].length)
    return [(edge if i == longest else "", piece) for i, piece in enumerate(pieces)]
