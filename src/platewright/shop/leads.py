"""Lead-ins and overburn of a torch path."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from platewright.geometry.contour import Circle, Contour, Outline
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Arc, Line, Segment

#: Sample points along a lead when it is proved to stay off the part.
_SAMPLES = 9


@dataclass(frozen=True, slots=True)
class LeadShape:
    """A straight or a quarter-turn lead of some length, mm."""

    arc: bool
    length: float


@dataclass(frozen=True, slots=True)
class Lead:
    """The run from the pierce point onto the path."""

    segments: tuple[Segment, ...]

    @property
    def pierce(self) -> Point:
        """Where the torch pierces."""
        return self.segments[0].start


def started_at(run: tuple[Segment, ...], index: int, fraction: float) -> tuple[Segment, ...]:
    """A closed run begun anew at a fraction of one of its segments."""
    if fraction <= 0:
        return run[index:] + run[:index]
    segment = run[index]
    rest = run[index + 1 :] + run[:index]
    return (segment.part(fraction, 1), *rest, segment.part(0, fraction))


def overburn(run: tuple[Segment, ...], length: float) -> tuple[Segment, ...]:
    """The first `length` mm of a closed run once more (at most one whole round)."""
    left = length
    tail: list[Segment] = []
    for segment in run:
        if left <= 1e-9:
            break
        if segment.length <= left:
            tail.append(segment)
        else:
            tail.append(segment.part(0, left / segment.length))
        left -= segment.length
    return tuple(tail)


def hole_lead(
    path: Outline, contour: Contour, shape: LeadShape
) -> tuple[Lead | None, tuple[Segment, ...]]:
    """A lead from within a hole, and the run begun where it arrives.

    In a round hole it starts at the middle, or `length` from the cut when that is nearer.
    """
    if isinstance(path, Circle):
        return _circle_lead(path, shape), contour.segments
    return contour_lead(contour, shape, contour.bounds.centre, contour, 0.0, inside=True)


def _circle_lead(path: Circle, shape: LeadShape) -> Lead:
    arrive = path.centre + Vector(path.radius, 0)
    if shape.arc:
        # half a turn, tangent to the cut where it arrives; it starts at the middle at most
        across = min(shape.length, path.radius)
        begin = arrive + Vector(-across, 0)
        return Lead((Arc(begin, arrive, math.pi),))
    reach = min(shape.length, path.radius)
    return Lead((Line(arrive + Vector(-reach, 0), arrive),))


def contour_lead(
    run: Contour,
    shape: LeadShape,
    near: Point,
    part: Contour,
    room: float,
    *,
    inside: bool = False,
) -> tuple[Lead | None, tuple[Segment, ...]]:
    """A lead onto a contour and the contour begun where it arrives.

    The waste lies on the left of the run. Of the middles of the segments, longest first and then
    nearest to `near`, the first is taken whose lead keeps `room` mm off the part and stays on its
    waste side; None when there is none.
    """
    for index in _start_order(run, near):
        segment = run.segments[index]
        lead = _lead_at(segment.point_at(0.5), segment.direction_at(0.5), shape)
        if _clear(lead, part, room, inside=inside):
            return lead, started_at(run.segments, index, 0.5)
    return None, run.segments


def _start_order(run: Contour, near: Point) -> Iterator[int]:
    longest = max(segment.length for segment in run.segments)
    segments = run.segments

    def rank(index: int) -> tuple[int, float]:
        segment = segments[index]
        return int(segment.length < longest / 3), segment.point_at(0.5).distance(near)

    yield from sorted(range(len(segments)), key=rank)


def _lead_at(arrive: Point, along: Vector, shape: LeadShape) -> Lead:
    """The lead that arrives at a point from the left of the way of travel."""
    if shape.arc:
        # quarter turn to the right's mirror: from the left, turning onto the direction of travel
        begin = arrive + (along.left - along) * (shape.length * 2 / math.pi)
        return Lead((Arc(begin, arrive, math.pi / 2),))
    begin = arrive + (along.left - along) * (shape.length / math.sqrt(2))
    return Lead((Line(begin, arrive),))


def _clear(lead: Lead, part: Contour, room: float, *, inside: bool) -> bool:
    """Whether a lead stays on the waste side and off the net outline by the room."""
    for segment in lead.segments:
        for i in range(_SAMPLES):
            here = segment.point_at(i / _SAMPLES)
            if part.contains(here) != inside:
                return False
            if part.distance(here) < room - 1e-9:
                return False
    return True
