"""Closing stretches into contours."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from platewright.geometry.contour import Circle, Contour, Outline
from platewright.geometry.plane import Point
from platewright.geometry.prepared import PreparedArc, PreparedLine, PreparedSegment, swept
from platewright.geometry.segment import Arc, Line, Segment
from platewright.geometry.stretches import Stretch, Stretches
from platewright.values import dataclass

#: A stretch up to this long may be a spur, mm.
_SPUR = 1e-6


@dataclass(frozen=True, slots=True)
class Loop:
    """An anticlockwise outline, and whether the travel round it was clockwise, round a hole."""

    outline: Outline
    is_hole: bool


@dataclass(frozen=True, slots=True)
class Closed:
    """Loops, and the length of the stretches that close into none, mm."""

    loops: tuple[Loop, ...]
    loose: float


def closed(found: Stretches, tolerance: float) -> Closed:
    """The closed outlines that stretches make.

    Stretches that lead nowhere are left over from near misses; loops thinner than the tolerance are
    two stretches that lie on each other. Neither bounds anything.
    """
    # the stretches without pairs that run on each other, there and back: nothing lies between
    kept: dict[tuple[int, int], list[Stretch]] = {}
    for stretch in found.stretches:
        back = kept.get((stretch.head, stretch.tail), [])
        opposite = next((o for o in back if _together(stretch, o, found, 4 * tolerance)), None)
        if opposite:
            back.remove(opposite)
        else:
            kept.setdefault((stretch.tail, stretch.head), []).append(stretch)
    stretches = [stretch for between in kept.values() for stretch in between]
    chains = list(_chains(stretches, found.pieces))
    loose = _length(stretches, found) - math.fsum(_length(chain, found) for chain in chains)
    runs = (_without_spurs(_run_together(chain), found, 4 * tolerance) for chain in chains)
    made = (_loop(run, found, tolerance) for run in runs)
    thick = (m for m in made if m.outline.area > 4 * tolerance * m.outline.perimeter)
    return Closed(tuple(thick), loose)


def _length(stretches: Iterable[Stretch], found: Stretches) -> float:
    return math.fsum(found.pieces[s.piece].length * (s.finish - s.begin) for s in stretches)


def _together(a: Stretch, b: Stretch, found: Stretches, tolerance: float) -> bool:
    (x, y), (u, v) = (found.pieces[s.piece].at((s.begin + s.finish) / 2) for s in (a, b))
    return math.hypot(u - x, v - y) <= tolerance


def _chains(
    stretches: Sequence[Stretch], pieces: Sequence[PreparedSegment]
) -> Iterator[list[Stretch]]:
    """Closed chains of stretches that visit no place twice, every stretch used at most once."""
    leaving: dict[int, list[Stretch]] = {}
    for stretch in stretches:
        leaving.setdefault(stretch.tail, []).append(stretch)
    for stretch in stretches:
        if stretch in leaving[stretch.tail]:
            leaving[stretch.tail].remove(stretch)
            yield from _walk(stretch, leaving, pieces)


def _walk(
    first: Stretch, leaving: dict[int, list[Stretch]], pieces: Sequence[PreparedSegment]
) -> Iterator[list[Stretch]]:
    """The closed chains on a walk from a stretch; dead ends are walked back and forgotten."""
    path = [first]
    position = {first.tail: 0}
    while path:
        here = path[-1].head
        if here in position:
            chain = path[position[here] :]
            del path[position[here] :]
            for stretch in chain:
                del position[stretch.tail]
            yield chain
        elif leaving.get(here):
            position[here] = len(path)
            path.append(_taken(path[-1], leaving[here], pieces))
        else:
            del position[path.pop().tail]


def _taken(before: Stretch, ways: list[Stretch], pieces: Sequence[PreparedSegment]) -> Stretch:
    """The way furthest to the left, taken from the list: it keeps touching loops apart."""
    if len(ways) == 1:
        return ways.pop()
    ax, ay = pieces[before.piece].direction(before.finish)

    def leftness(way: Stretch) -> tuple[float, float]:
        piece = pieces[way.piece]
        bx, by = piece.direction(way.begin)
        # ways that leave in one direction part by their bows
        return round(math.atan2(ax * by - ay * bx, ax * bx + ay * by), 6), piece.curvature

    onward = max(ways, key=leftness)
    ways.remove(onward)
    return onward


def _run_together(chain: list[Stretch]) -> list[Stretch]:
    """A closed chain in which stretches that run on along one piece are one."""
    runs = [chain[0]]
    for stretch in chain[1:]:
        if _runs_on(runs[-1], stretch):
            runs[-1] = _one(runs[-1], stretch)
        else:
            runs.append(stretch)
    if len(runs) > 1 and _runs_on(runs[-1], runs[0]):
        runs[0] = _one(runs.pop(), runs[0])
    return runs


def _runs_on(before: Stretch, after: Stretch) -> bool:
    return before.piece == after.piece and before.finish == after.begin


def _one(before: Stretch, after: Stretch) -> Stretch:
    return Stretch(before.piece, before.begin, after.finish, before.tail, after.head)


def _without_spurs(chain: list[Stretch], found: Stretches, tolerance: float) -> list[Stretch]:
    """A closed chain without short stretches that run back along a neighbour.

    They are what is left of a gap or a tongue whose two sides count as one.
    """
    lengths = [found.pieces[s.piece].length * (s.finish - s.begin) for s in chain]
    if min(lengths) > _SPUR or max(lengths) <= _SPUR:
        return chain
    # begun with the longest, which is none, so that every spur has its neighbours beside it
    first = lengths.index(max(lengths))
    ring = [*chain[first:], *chain[:first], chain[first]]
    shorts = {stretch for stretch, length in zip(chain, lengths, strict=True) if length <= _SPUR}
    kept: list[Stretch] = []
    for stretch in ring:
        if kept and kept[-1] in shorts and _lies_on(stretch, kept[-1].tail, found, tolerance):
            stretch = replace(stretch, tail=kept.pop().tail)
        elif stretch in shorts and _lies_on(kept[-1], stretch.head, found, tolerance):
            kept[-1] = replace(kept[-1], head=stretch.head)
            continue
        kept.append(stretch)
    last = kept.pop()
    return [replace(kept[0], tail=last.tail), *kept[1:]] if len(kept) > 1 else chain


def _lies_on(stretch: Stretch, place: int, found: Stretches, tolerance: float) -> bool:
    return found.pieces[stretch.piece].distance(*found.places[place]) <= tolerance


def _loop(chain: list[Stretch], found: Stretches, tolerance: float) -> Loop:
    circle = _circle(chain, found, tolerance)
    if circle:
        return circle
    points = [Point(*found.places[stretch.tail]) for stretch in chain]
    ends = points[1:] + points[:1]
    contour = Contour(
        tuple(
            _segment(found.pieces[stretch.piece], stretch, start, end)
            for stretch, start, end in zip(chain, points, ends, strict=True)
        )
    )
    is_hole = contour.area < 0
    return Loop(contour.reversed() if is_hole else contour, is_hole)


def _segment(piece: PreparedSegment, stretch: Stretch, start: Point, end: Point) -> Segment:
    if isinstance(piece, PreparedLine):
        return Line(start, end)
    # the sweep between the shared ends, not the fractions', keeps the arc on its circle
    told = piece.sweep * (stretch.finish - stretch.begin)
    return Arc(start, end, swept(piece, (start.x, start.y), (end.x, end.y), told))


def _circle(chain: list[Stretch], found: Stretches, tolerance: float) -> Loop | None:
    """The whole circle that a chain goes round, if it does."""
    first = found.pieces[chain[0].piece]
    if not isinstance(first, PreparedArc):
        return None
    sweep = 0.0
    for stretch in chain:
        piece = found.pieces[stretch.piece]
        if not (isinstance(piece, PreparedArc) and _concentric(first, piece, tolerance)):
            return None
        sweep += piece.sweep * (stretch.finish - stretch.begin)
    if (math.tau - abs(sweep)) * first.radius > 8 * tolerance:
        return None
    return Loop(Circle(Point(first.cx, first.cy), 2 * first.radius), sweep < 0)


def _concentric(a: PreparedArc, b: PreparedArc, tolerance: float) -> bool:
    apart = math.hypot(a.cx - b.cx, a.cy - b.cy)
    return apart + abs(a.radius - b.radius) <= tolerance
