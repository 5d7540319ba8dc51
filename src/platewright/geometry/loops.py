"""Closing strands into contours."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from platewright.geometry.contour import Circle, Contour, Outline
from platewright.geometry.plane import Point
from platewright.geometry.segment import Arc, Line, Segment
from platewright.geometry.strands import Strand, Strands
from platewright.geometry.trace import ArcTrace, LineTrace, Trace, swept

#: A strand up to this long may be a spur, mm.
_SPUR = 1e-6


@dataclass(frozen=True, slots=True)
class Loop:
    """An anticlockwise outline, and whether the travel round it was clockwise, round a hole."""

    outline: Outline
    is_hole: bool


@dataclass(frozen=True, slots=True)
class Closed:
    """Loops, and the length of the strands that close into none, mm."""

    loops: tuple[Loop, ...]
    loose: float


def closed(found: Strands, tolerance: float) -> Closed:
    """The closed outlines that strands make.

    Strands that lead nowhere are left over from near misses; loops thinner than the tolerance are
    two strands that lie on each other. Neither bounds anything.
    """
    strands = _uncancelled(found, 4 * tolerance)
    chains = list(_chains(strands, found.pieces))
    loose = _length(strands, found) - math.fsum(_length(chain, found) for chain in chains)
    runs = (_without_spurs(_run_together(chain), found, 4 * tolerance) for chain in chains)
    made = (_loop(run, found, tolerance) for run in runs)
    thick = (m for m in made if m.outline.area > 4 * tolerance * m.outline.perimeter)
    return Closed(tuple(thick), loose)


def _length(strands: Iterable[Strand], found: Strands) -> float:
    return math.fsum(found.pieces[s.piece].length * (s.finish - s.begin) for s in strands)


def _uncancelled(found: Strands, tolerance: float) -> list[Strand]:
    """The strands without pairs that run on each other, there and back: nothing lies between."""
    kept: dict[tuple[int, int], list[Strand]] = {}
    for strand in found.strands:
        back = kept.get((strand.head, strand.tail), [])
        opposite = next((o for o in back if _together(strand, o, found, tolerance)), None)
        if opposite:
            back.remove(opposite)
        else:
            kept.setdefault((strand.tail, strand.head), []).append(strand)
    return [strand for strands in kept.values() for strand in strands]


def _together(a: Strand, b: Strand, found: Strands, tolerance: float) -> bool:
    (x, y), (u, v) = (found.pieces[s.piece].at((s.begin + s.finish) / 2) for s in (a, b))
    return math.hypot(u - x, v - y) <= tolerance


def _chains(strands: Sequence[Strand], pieces: Sequence[Trace]) -> Iterator[list[Strand]]:
    """Closed chains of strands that visit no place twice, every strand used at most once."""
    leaving: dict[int, list[Strand]] = {}
    for strand in strands:
        leaving.setdefault(strand.tail, []).append(strand)
    for strand in strands:
        if strand in leaving[strand.tail]:
            leaving[strand.tail].remove(strand)
            yield from _walk(strand, leaving, pieces)


def _walk(
    first: Strand, leaving: dict[int, list[Strand]], pieces: Sequence[Trace]
) -> Iterator[list[Strand]]:
    """The closed chains on a walk from a strand; dead ends are walked back and forgotten."""
    path = [first]
    position = {first.tail: 0}
    while path:
        here = path[-1].head
        if here in position:
            chain = path[position[here] :]
            del path[position[here] :]
            for strand in chain:
                del position[strand.tail]
            yield chain
        elif leaving.get(here):
            position[here] = len(path)
            path.append(_taken(path[-1], leaving[here], pieces))
        else:
            del position[path.pop().tail]


def _taken(before: Strand, ways: list[Strand], pieces: Sequence[Trace]) -> Strand:
    """The way furthest to the left, taken from the list: it keeps touching loops apart."""
    if len(ways) == 1:
        return ways.pop()
    ax, ay = pieces[before.piece].direction(before.finish)

    def leftness(way: Strand) -> tuple[float, float]:
        piece = pieces[way.piece]
        bx, by = piece.direction(way.begin)
        # ways that leave in one direction part by their bows
        return round(math.atan2(ax * by - ay * bx, ax * bx + ay * by), 6), piece.curvature

    onward = max(ways, key=leftness)
    ways.remove(onward)
    return onward


def _run_together(chain: list[Strand]) -> list[Strand]:
    """A closed chain in which strands that run on along one piece are one."""
    runs = [chain[0]]
    for strand in chain[1:]:
        if _runs_on(runs[-1], strand):
            runs[-1] = _one(runs[-1], strand)
        else:
            runs.append(strand)
    if len(runs) > 1 and _runs_on(runs[-1], runs[0]):
        runs[0] = _one(runs.pop(), runs[0])
    return runs


def _runs_on(before: Strand, after: Strand) -> bool:
    return before.piece == after.piece and before.finish == after.begin


def _one(before: Strand, after: Strand) -> Strand:
    return Strand(before.piece, before.begin, after.finish, before.tail, after.head)


def _without_spurs(chain: list[Strand], found: Strands, tolerance: float) -> list[Strand]:
    """A closed chain without short strands that run back along a neighbour.

    They are what is left of a gap or a tongue whose two sides count as one.
    """
    lengths = [found.pieces[s.piece].length * (s.finish - s.begin) for s in chain]
    if min(lengths) > _SPUR or max(lengths) <= _SPUR:
        return chain
    # begun with the longest, which is none, so that every spur has its neighbours beside it
    first = lengths.index(max(lengths))
    ring = [*chain[first:], *chain[:first], chain[first]]
    shorts = {strand for strand, length in zip(chain, lengths, strict=True) if length <= _SPUR}
    kept: list[Strand] = []
    for strand in ring:
        if kept and kept[-1] in shorts and _starts_on(kept[-1], strand, found, tolerance):
            strand = replace(strand, tail=kept.pop().tail)
        elif strand in shorts and _ends_on(strand, kept[-1], found, tolerance):
            kept[-1] = replace(kept[-1], head=strand.head)
            continue
        kept.append(strand)
    last = kept.pop()
    return [replace(kept[0], tail=last.tail), *kept[1:]] if len(kept) > 1 else chain


def _starts_on(strand: Strand, onward: Strand, found: Strands, tolerance: float) -> bool:
    return found.pieces[onward.piece].distance(*found.places[strand.tail]) <= tolerance


def _ends_on(strand: Strand, before: Strand, found: Strands, tolerance: float) -> bool:
    return found.pieces[before.piece].distance(*found.places[strand.head]) <= tolerance


def _loop(chain: list[Strand], found: Strands, tolerance: float) -> Loop:
    circle = _circle(chain, found, tolerance)
    if circle:
        return circle
    points = [Point(*found.places[strand.tail]) for strand in chain]
    ends = points[1:] + points[:1]
    contour = Contour(
        tuple(
            _segment(found.pieces[strand.piece], strand, start, end)
            for strand, start, end in zip(chain, points, ends, strict=True)
        )
    )
    is_hole = contour.area < 0
    return Loop(contour.reversed() if is_hole else contour, is_hole)


def _segment(piece: Trace, strand: Strand, start: Point, end: Point) -> Segment:
    if isinstance(piece, LineTrace):
        return Line(start, end)
    # the sweep between the shared ends, not the fractions', keeps the arc on its circle
    told = piece.sweep * (strand.finish - strand.begin)
    return Arc(start, end, swept(piece, (start.x, start.y), (end.x, end.y), told))


def _circle(chain: list[Strand], found: Strands, tolerance: float) -> Loop | None:
    """The whole circle that a chain goes round, if it does."""
    first = found.pieces[chain[0].piece]
    if not isinstance(first, ArcTrace):
        return None
    sweep = 0.0
    for strand in chain:
        piece = found.pieces[strand.piece]
        if not (isinstance(piece, ArcTrace) and _concentric(first, piece, tolerance)):
            return None
        sweep += piece.sweep * (strand.finish - strand.begin)
    if (math.tau - abs(sweep)) * first.radius > 8 * tolerance:
        return None
    return Loop(Circle(Point(first.cx, first.cy), 2 * first.radius), sweep < 0)


def _concentric(a: ArcTrace, b: ArcTrace, tolerance: float) -> bool:
    apart = math.hypot(a.cx - b.cx, a.cy - b.cy)
    return apart + abs(a.radius - b.radius) <= tolerance
