"""Putting a tree of panels together again after one outline has changed.

Bends stay where they were. One that loses part of its edge becomes shorter and the panel that it
carries keeps a free stub there; one whose edge and panel both gain at an end becomes longer.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from platewright.errors import GeometryError
from platewright.geometry.contour import Contour
from platewright.geometry.crossings import crossings
from platewright.geometry.plane import Point, Vector, close
from platewright.geometry.segment import Arc, Line, Segment
from platewright.geometry.shapes import self_crossing
from platewright.plate.bracket import Bend, Edge, Panel
from platewright.values import dataclass

#: Ends this close are one point, mm.
SAME = 1e-7


def edges_from(panel: Panel, edge: str) -> list[Edge]:
    """A panel's named segments all round, beginning with one of them."""
    pairs, first = panel.named_segments, panel.edge_index(edge)
    return pairs[first:] + pairs[:first]


@dataclass(frozen=True, slots=True)
class EdgeLoss:
    """What an edge lost at its start and at its end, mm; negative where it gained."""

    start: float = 0.0
    end: float = 0.0


Change = Callable[[Panel, str | None], tuple[Panel, EdgeLoss]]


def changed(panel: Panel, name: str, change: Change, base: str | None) -> tuple[Panel, EdgeLoss]:
    """The tree with one panel changed, and what this panel's own base lost."""
    if panel.name == name:
        return change(panel, base)
    bends = []
    for bend in panel.bends:
        child, cut = changed(bend.panel, name, change, bend.base)
        bends.append(_followed(panel, replace(bend, panel=child), cut))
    return replace(panel, bends=tuple(bends)), EdgeLoss()


def _followed(panel: Panel, bend: Bend, cut: EdgeLoss) -> Bend:
    """The bend after its child's base lost, or gained, at its ends.

    It takes up what the parent's edge has to spare; the rest of a gain becomes a free stub. The
    base runs against the edge, so its end is the bend's start.
    """
    if cut == EdgeLoss():
        return bend
    start, end = panel.bend_interval(bend)
    room = _spare(panel, bend)
    rest = EdgeLoss(max(0.0, -cut.start - room.end), max(0.0, -cut.end - room.start))
    return replace(
        bend,
        panel=rebased(bend.panel, bend.base, rest),
        start=start + cut.end + rest.end,
        end=end - cut.start - rest.start,
    )


def _spare(panel: Panel, bend: Bend) -> EdgeLoss:
    """Free length of the parent's edge before and after a bend, mm."""
    start, end = panel.bend_interval(bend)
    others = [
        panel.bend_interval(other)
        for other in panel.bends
        if other.edge == bend.edge and other.panel.name != bend.panel.name
    ]
    before = max((finish for _, finish in others if finish <= start), default=0.0)
    length = panel.straight_edge(bend.edge).length
    return EdgeLoss(start - before, min((b for b, _ in others if b >= end), default=length) - end)


def rebuilt(panel: Panel, edges: list[Edge], base: str | None) -> tuple[Panel, EdgeLoss]:
    """The panel with other edges, its bends where they were, and what its base lost."""
    contour = Contour(tuple(segment for _, segment in edges))
    if self_crossing(contour) is not None or contour.area <= 0:
        raise GeometryError(f"panel {panel.name!r}: the new outline would cross itself")
    bare = replace(panel.redrawn(edges), bends=())
    bends = tuple(_kept_bend(panel, bare, bend) for bend in panel.bends)
    lost = _lost(panel.straight_edge(base), bare.straight_edge(base)) if base else EdgeLoss()
    return replace(bare, bends=bends), lost


def _lost(old: Line, new: Line) -> EdgeLoss:
    """What an edge lost at its ends on its own line."""
    start = (new.start - old.start).dot(old.direction)
    end = (old.end - new.end).dot(old.direction)
    return EdgeLoss(*(cut if abs(cut) > SAME else 0.0 for cut in (start, end)))


def _kept_bend(old: Panel, new: Panel, bend: Bend) -> Bend:
    """A bend at its old place on an edge that may have lost or gained at its ends."""
    lost = _lost(old.straight_edge(bend.edge), new.straight_edge(bend.edge))
    if lost == EdgeLoss():
        return bend
    room, stubs = _spare(old, bend), _stubs(bend.panel, bend.base)
    # lost where the bend is: shorter; gained right beside it: as much longer as the child has stub
    over = EdgeLoss(_moved_end(lost.start, room.start, stubs.end),
                _moved_end(lost.end, room.end, stubs.start))  # fmt: skip
    start, end = old.bend_interval(bend)
    start, end = start - lost.start + over.start, end - lost.start - over.end
    if end - start <= SAME:
        raise GeometryError(f"nothing is left of the bend to {bend.panel.name!r}")
    length = new.straight_edge(bend.edge).length
    return replace(
        bend,
        panel=rebased(bend.panel, bend.base, EdgeLoss(over.end, over.start)),
        start=None if start <= SAME else start,
        end=None if end >= length - SAME else end,
    )


def _moved_end(lost: float, room: float, stub: float) -> float:
    """By how much a bend's end draws in when its edge loses there, negative: how far out."""
    if lost > 0:
        return max(0.0, lost - room)
    return -min(-lost, stub) if room <= SAME else 0.0


def _stubs(panel: Panel, base: str) -> EdgeLoss:
    """Length of the free stubs that run on from a panel's base at its start and end, mm."""
    (_, line), *ring = edges_from(panel, base)
    before, after = ring[-1], ring[0]
    return EdgeLoss(
        before[1].length if not before[0] and runs_on(before[1], line) else 0.0,
        after[1].length if not after[0] and runs_on(line, after[1]) else 0.0,
    )


def rebased(panel: Panel, base: str, cut: EdgeLoss) -> Panel:
    """A panel whose base lost its ends to free stubs, or where negative took stubs up."""
    if cut == EdgeLoss():
        return panel
    ring, stubs, line = edges_from(panel, base)[1:], _stubs(panel, base), panel.straight_edge(base)
    begin = ring.pop()[1].start if stubs.start else line.start
    finish = ring.pop(0)[1].end if stubs.end else line.end
    start = _nudged(line.start, line.direction * cut.start, begin)
    end = _nudged(line.end, line.direction * -cut.end, finish)
    pieces = [(base, Line(start, end)), ("", Line(end, finish)), *ring, ("", Line(begin, start))]
    return rebuilt(panel, [edge for edge in pieces if edge[1].start != edge[1].end], None)[0]


def _nudged(at: Point, by: Vector, stop: Point) -> Point:
    """A point moved, and put on `stop` exactly where it comes close to it."""
    moved = at + by
    return stop if close(moved, stop, SAME) else moved


# --- fitting a new chain between the edges beside it ------------------------------------------


def fitted(chain: tuple[Segment, ...], ring: list[Edge]) -> tuple[tuple[Segment, ...], list[Edge]]:
    """The chain and the other edges, cut where they meet at both ends."""
    chain, ring = _met(chain, ring)
    back, turned = _met(_reversed(chain), [(name, s.reversed()) for name, s in reversed(ring)])
    return _reversed(back), [(name, s.reversed()) for name, s in reversed(turned)]


def _reversed(chain: tuple[Segment, ...]) -> tuple[Segment, ...]:
    return tuple(segment.reversed() for segment in reversed(chain))


def _met(chain: tuple[Segment, ...], ring: list[Edge]) -> tuple[tuple[Segment, ...], list[Edge]]:
    """The chain from where it last meets the ring's last edge; the ring up to there."""
    # where the straight run begins that the ring ends with
    run = len(ring) - 1
    while run > 0 and runs_on(ring[run - 1][1], ring[run][1]):
        run -= 1
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
