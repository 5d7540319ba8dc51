"""The raw pieces of an offset: every segment's parallel, and an arc about every outside corner."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from platewright.geometry.prepared import (
    Place,
    PreparedArc,
    PreparedLine,
    PreparedSegment,
    arc_about,
    prepared_line,
    swept,
)
from platewright.values import dataclass

#: Neighbours that turn by no more than this, radians, may join smoothly: half its square times
#: the distance is by how much their parallels then miss each other.
_SMOOTH = 1e-6


@dataclass(frozen=True, slots=True)
class RawOffset:
    """Segments at the offset distance from their sources, and index pairs of those that run on."""

    pieces: tuple[PreparedSegment, ...]
    joined: frozenset[tuple[int, int]]


def raw_offset(
    rings: Sequence[Sequence[PreparedSegment]], distance: float, least: float
) -> RawOffset:
    """The parallels of closed rings of segments, `distance` mm to the right of the travel.

    A negative distance is to the left. Arcs that would shrink to a radius under `least` mm are
    left out. Pieces that run on from one to the next share their end exactly.
    """
    pieces: list[PreparedSegment] = []
    joined: set[tuple[int, int]] = set()
    for ring in rings:
        slots = _ring_slots(ring, distance, least)
        numbers: list[int | None] = []
        for segment, _ in slots:
            numbers.append(None if segment is None else len(pieces))
            if segment is not None:
                pieces.append(segment)
        for (_, runs_on), here, there in zip(
            slots, numbers, numbers[1:] + numbers[:1], strict=True
        ):
            if runs_on and here is not None and there is not None:
                joined.add((min(here, there), max(here, there)))
    return RawOffset(tuple(pieces), frozenset(joined))


#: A piece, None when it vanishes, and whether it runs on into the next.
_Slot = tuple[PreparedSegment | None, bool]


def _ring_slots(ring: Sequence[PreparedSegment], distance: float, least: float) -> list[_Slot]:
    """Every segment's parallel, with the arcs about outside corners between them."""
    parallels = [_parallel(segment, distance) for segment in ring]
    starts = [(p.x0, p.y0) for p in parallels]
    ends = [(p.x1, p.y1) for p in parallels]
    radii = [p.radius if isinstance(p, PreparedArc) else math.inf for p in parallels]
    turns = [_turn(ring[i - 1], segment) for i, segment in enumerate(ring)]
    smooth = [
        _is_smooth(turn * distance, turn, max(radii[i - 1], radii[i]), least)
        for i, turn in enumerate(turns)
    ]
    # give the parallels of neighbours that hardly turn one place to meet
    for i, runs_on in enumerate(smooth):
        if runs_on:
            # the end of the tighter piece stands: the other has more room to move along
            if radii[i - 1] < radii[i]:
                starts[i] = ends[i - 1]
            else:
                ends[i - 1] = starts[i]
    slots: list[_Slot] = []
    for i, segment in enumerate(ring):
        after = (i + 1) % len(ring)
        turn = turns[after]
        outside = turn * distance > 0 and not smooth[after]
        exists = radii[i] > least and starts[i] != ends[i]
        piece = _between(parallels[i], starts[i], ends[i]) if exists else None
        slots.append((piece, outside or smooth[after]))
        if outside:
            corner = segment.x1, segment.y1
            slots.append((arc_about(corner, ends[i], starts[after], abs(distance), turn), True))
    return slots


def _parallel(segment: PreparedSegment, distance: float) -> PreparedSegment:
    """The parallel of a whole segment; turned inside out, its radius is negative."""
    (x0, y0), (x1, y1) = _beside(segment, 0, distance), _beside(segment, 1, distance)
    if isinstance(segment, PreparedLine):
        return replace(segment, x0=x0, y0=y0, x1=x1, y1=y1)
    radius = segment.radius + math.copysign(distance, distance * segment.sweep)
    return replace(segment, x0=x0, y0=y0, x1=x1, y1=y1, radius=radius)


def _beside(segment: PreparedSegment, fraction: float, distance: float) -> Place:
    """The place to the right of a segment's end."""
    (x, y), (dx, dy) = segment.at(fraction), segment.direction(fraction)
    return x + dy * distance, y - dx * distance


def _between(parallel: PreparedSegment, start: Place, end: Place) -> PreparedSegment:
    """A parallel whose ends may have been moved along it."""
    if isinstance(parallel, PreparedLine):
        return prepared_line(*start, *end)
    begin = parallel.fraction(*start) * parallel.sweep
    sweep = swept(parallel, start, end, parallel.sweep)
    c, s = math.cos(begin), math.sin(begin)
    nx, ny = c * parallel.nx - s * parallel.ny, s * parallel.nx + c * parallel.ny
    radius, centre = parallel.radius, (parallel.cx, parallel.cy)
    return PreparedArc(*start, *end, *centre, radius, sweep, radius * abs(sweep), nx, ny)


def _is_smooth(gap: float, turn: float, radius: float, least: float) -> bool:
    """Whether an end may be moved over the gap between two parallels, onto the other's end.

    Along a circle that leads away from it by gap²/2R.
    """
    return abs(turn) <= _SMOOTH and gap * gap <= 2 * radius * least


def _turn(before: PreparedSegment, after: PreparedSegment) -> float:
    """By how much the travel turns at a joint, radians, positive to the left."""
    (ax, ay), (bx, by) = before.direction(1), after.direction(0)
    sine, cosine = ax * by - ay * bx, ax * bx + ay * by
    if cosine < 0 and abs(sine) <= _SMOOTH:
        # a cusp: the bows tell whether the metal is the spike or what lies round it
        spike = after.curvature + before.curvature
        return math.copysign(math.pi, -spike if spike else sine)
    return math.atan2(sine, cosine)
