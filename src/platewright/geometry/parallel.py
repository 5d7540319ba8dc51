"""The raw pieces of an offset: every segment's parallel, and an arc about every outside corner."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from platewright.geometry.trace import ArcTrace, LineTrace, Trace, line_trace

#: Neighbours that turn by no more than this, radians, may join smoothly: half its square times
#: the distance is by how much their parallels then miss each other.
_SMOOTH = 1e-6

Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class RawOffset:
    """Traces at the offset distance from their sources, and index pairs of those that run on."""

    pieces: tuple[Trace, ...]
    joined: frozenset[tuple[int, int]]


def raw_offset(rings: Sequence[Sequence[Trace]], distance: float, least: float) -> RawOffset:
    """The parallels of closed rings of traces, `distance` mm to the right of the travel.

    A negative distance is to the left. Arcs that would shrink to a radius under `least` mm are
    left out. Pieces that run on from one to the next share their end exactly.
    """
    pieces: list[Trace] = []
    joined: set[tuple[int, int]] = set()
    for ring in rings:
        slots = _ring_slots(ring, distance, least)
        numbers: list[int | None] = []
        for trace, _ in slots:
            numbers.append(None if trace is None else len(pieces))
            if trace is not None:
                pieces.append(trace)
        for (_, runs_on), here, there in zip(
            slots, numbers, numbers[1:] + numbers[:1], strict=True
        ):
            if runs_on and here is not None and there is not None:
                joined.add((min(here, there), max(here, there)))
    return RawOffset(tuple(pieces), frozenset(joined))


#: A piece, None when it vanishes, and whether it runs on into the next.
_Slot = tuple[Trace | None, bool]


def _ring_slots(ring: Sequence[Trace], distance: float, least: float) -> list[_Slot]:
    """Every segment's parallel, with the arcs about outside corners between them."""
    starts = [_beside(trace, 0, distance) for trace in ring]
    ends = [_beside(trace, 1, distance) for trace in ring]
    radii = [_parallel_radius(trace, distance) for trace in ring]
    turns = [_turn(ring[i - 1], trace) for i, trace in enumerate(ring)]
    smooth = [
        _is_smooth(turn * distance, turn, max(radii[i - 1], radii[i]), least)
        for i, turn in enumerate(turns)
    ]
    _join_smoothly(starts, ends, radii, smooth)
    slots: list[_Slot] = []
    for i, trace in enumerate(ring):
        after = (i + 1) % len(ring)
        turn = turns[after]
        outside = turn * distance > 0 and not smooth[after]
        parallel = _parallel(trace, starts[i], ends[i], radii[i], least)
        slots.append((parallel, outside or smooth[after]))
        if outside:
            corner = trace.x1, trace.y1
            slots.append((_about(corner, ends[i], starts[after], abs(distance), turn), True))
    return slots


def _is_smooth(gap: float, turn: float, radius: float, least: float) -> bool:
    """Whether an end may be moved over the gap between two parallels, onto the other's end.

    Along a circle that leads away from it by gap²/2R.
    """
    return abs(turn) <= _SMOOTH and gap * gap <= 2 * radius * least


def _join_smoothly(
    starts: list[Place], ends: list[Place], radii: list[float], smooth: list[bool]
) -> None:
    """Give the parallels of neighbours that hardly turn one place to meet."""
    for i, runs_on in enumerate(smooth):
        if runs_on:
            # the end of the tighter piece stands: the other has more room to move along
            if radii[i - 1] < radii[i]:
                starts[i] = ends[i - 1]
            else:
                ends[i - 1] = starts[i]


def _beside(trace: Trace, fraction: float, distance: float) -> Place:
    """The place to the right of a trace's end."""
    (x, y), (dx, dy) = trace.at(fraction), trace.direction(fraction)
    return x + dy * distance, y - dx * distance


def _parallel_radius(trace: Trace, distance: float) -> float:
    """Radius of the parallel, negative for one turned inside out, infinite for a line."""
    if isinstance(trace, LineTrace):
        return math.inf
    return trace.radius + math.copysign(distance, distance * trace.sweep)


def _parallel(trace: Trace, start: Place, end: Place, radius: float, least: float) -> Trace | None:
    """A segment's parallel, None when it vanishes or turns inside out."""
    if radius <= least or start == end:
        return None
    if isinstance(trace, LineTrace):
        return line_trace(*start, *end)
    return _about((trace.cx, trace.cy), start, end, radius, trace.sweep)


def _about(centre: Place, start: Place, end: Place, radius: float, sweep: float) -> ArcTrace:
    return ArcTrace(*start, *end, *centre, radius, sweep, radius * abs(sweep))


def _turn(before: Trace, after: Trace) -> float:
    """By how much the travel turns at a joint, radians, positive to the left."""
    (ax, ay), (bx, by) = before.direction(1), after.direction(0)
    sine, cosine = ax * by - ay * bx, ax * bx + ay * by
    if cosine < 0 and abs(sine) <= _SMOOTH:
        # a cusp: the bows tell whether the metal is the spike or what lies round it
        spike = after.curvature + before.curvature
        return math.copysign(math.pi, -spike if spike else sine)
    return math.atan2(sine, cosine)
