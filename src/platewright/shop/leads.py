"""Lead-ins and overburn of a torch path."""

from __future__ import annotations

import math
from collections.abc import Sequence

from platewright.geometry.contour import Circle, Contour, Outline
from platewright.geometry.crossings import crossings
from platewright.geometry.plane import Bounds, Motion, Point, Vector
from platewright.geometry.segment import Arc, Line, Segment
from platewright.values import dataclass

#: A lead that meets its run this near to where it arrives, mm, only arrives.
_AT_THE_END = 1e-3


@dataclass(frozen=True, slots=True)
class LeadShape:
    """A straight or a quarter-turn lead of some length, mm: in round holes, from the cut."""

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

    def moved(self, motion: Motion) -> Lead:
        """The lead after a motion."""
        return Lead(tuple(segment.moved(motion) for segment in self.segments))


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


def hole_lead(path: Outline, shape: LeadShape) -> tuple[Lead | None, tuple[Segment, ...]]:
    """A lead from within a hole, and the run begun where it arrives.

    In a round hole it starts at the middle, or `length` from the cut when that is nearer.
    """
    if isinstance(path, Circle):
        arrive = path.centre + Vector(path.radius, 0)
        begin = arrive + Vector(-min(shape.length, path.radius), 0)
        # the arc is half a turn, tangent to the cut where it arrives
        onto = Arc(begin, arrive, math.pi) if shape.arc else Line(begin, arrive)
        return Lead((onto,)), path.contour().segments
    contour = path.anticlockwise()
    return contour_lead(contour, shape, contour.bounds.centre, inside=True)


def contour_lead(
    run: Contour,
    shape: LeadShape,
    near: Point,
    *,
    beside: Sequence[Bounds] = (),
    inside: bool = False,
) -> tuple[Lead | None, tuple[Segment, ...]]:
    """A lead onto a contour and the contour begun where it arrives.

    The waste lies on the left of the run, inside it or outside. Of the middles of the segments,
    long ones first and then those nearest to `near`, the first is taken whose lead stays in the
    waste and out of the boxes `beside`; where a whole lead has no room a shorter one is tried.
    None when there is none.
    """
    longest = max(segment.length for segment in run.segments)

    def rank(index: int) -> tuple[bool, float]:
        segment = run.segments[index]
        return segment.length < longest / 3, segment.point_at(0.5).distance(near)

    order = sorted(range(len(run.segments)), key=rank)
    for length in (shape.length, shape.length / 2, shape.length / 4):
        for index in order:
            segment = run.segments[index]
            arrive, along = segment.point_at(0.5), segment.direction_at(0.5)
            lead = _lead_at(arrive, along, LeadShape(shape.arc, length))
            if _clear(lead, run, beside, inside=inside):
                return lead, started_at(run.segments, index, 0.5)
    return None, run.segments


def _lead_at(arrive: Point, along: Vector, shape: LeadShape) -> Lead:
    """The lead that arrives at a point from the left of the way of travel.

    A quarter turn tangent to the run, or a straight at half a right angle to it.
    """
    if shape.arc:
        begin = arrive + (along.left - along) * (shape.length * 2 / math.pi)
        return Lead((Arc(begin, arrive, math.pi / 2),))
    begin = arrive + (along.left - along) * (shape.length / math.sqrt(2))
    return Lead((Line(begin, arrive),))


def _clear(lead: Lead, run: Contour, beside: Sequence[Bounds], *, inside: bool) -> bool:
    """Whether a lead begins in the waste, meets the run nowhere but at its end, and no box.

    The run keeps half a kerf off the part, and so does whatever does not cross it.
    """
    if run.contains(lead.pierce) != inside:
        return False
    if any(segment.bounds.meets(box) for segment in lead.segments for box in beside):
        return False
    arrive = lead.segments[-1].end
    return all(
        meeting.point.distance(arrive) < _AT_THE_END
        for segment in lead.segments
        for other in run.segments
        if segment.bounds.grown(_AT_THE_END).meets(other.bounds)
        for meeting in crossings(segment, other)
    )
