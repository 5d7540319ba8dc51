"""Contours from a few numbers: rectangles, polygons, slots, rounded and cut corners, tangents."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

from platewright.errors import GeometryError
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds, Point, Vector
from platewright.geometry.prepared import prepared_arc, swept
from platewright.geometry.segment import Arc, Line, Segment
from platewright.values import dataclass

#: Segments up to this long count as nothing, mm.
TINY = 1e-9
_SAME = 1e-6  # mm and radians: of a slot's two ends


def rectangle(bounds: Bounds) -> Contour:
    """An upright rectangle, anticlockwise from its lower left corner.

    Raises GeometryError when the box has no area.
    """
    if not (bounds.width > 0 and bounds.height > 0):
        raise GeometryError("a rectangle needs a width and a height above 0")
    return Contour.polygon(
        (
            Point(bounds.xmin, bounds.ymin),
            Point(bounds.xmax, bounds.ymin),
            Point(bounds.xmax, bounds.ymax),
            Point(bounds.xmin, bounds.ymax),
        )
    )


def obround(first: Point, second: Point, width: float) -> Contour:
    """A slot with round ends about two centres, `width` mm across, anticlockwise.

    Raises GeometryError when the centres coincide or the width is not above 0.
    """
    if not width > 0 or first == second:
        raise GeometryError("a slot needs a width above 0 and two centres that lie apart")
    out = (second - first).unit().right * (width / 2)
    right = Line(first + out, second + out)
    left = Line(second + -out, first + -out)
    return Contour(
        (right, Arc(right.end, left.start, math.pi), left, Arc(left.end, right.start, math.pi))
    )


@dataclass(frozen=True, slots=True)
class SlotSize:
    """A slot with round ends: its width, its length over the ends and the ends' centres, mm."""

    width: float
    length: float
    ends: tuple[Point, Point]

    @property
    def apart(self) -> float:
        """From one end's centre to the other's."""
        return self.ends[0].distance(self.ends[1])


def slot_of(contour: Contour) -> SlotSize | None:
    """The slot that a contour is, None for any other shape."""
    arcs = [each for each in contour.segments if isinstance(each, Arc)]
    if len(contour.segments) != 4 or len(arcs) != 2:
        return None
    one, other = arcs
    half_turns = all(abs(abs(arc.sweep) - math.pi) < _SAME for arc in arcs)
    if not half_turns or abs(one.radius - other.radius) > _SAME:
        return None
    apart = one.centre.distance(other.centre)
    return SlotSize(2 * one.radius, apart + 2 * one.radius, (one.centre, other.centre))


def tangent_points(point: Point, circle: Circle) -> tuple[Point, Point]:
    """Where the two tangents from a point touch a circle.

    Seen from the centre, the first lies clockwise of the point and the second anticlockwise; a
    point on the circle is its own tangent point. Raises GeometryError for a point inside.
    """
    spoke = point - circle.centre
    distance, radius = spoke.length, circle.radius
    if distance < radius * (1 - 1e-12):
        raise GeometryError(f"no tangent reaches a circle from {point} inside it")
    if distance <= radius:
        return point, point
    # Thales: the foot of the tangent chord lies r²/D from the centre, half a chord beside it
    foot = circle.centre + spoke * (radius / distance) ** 2
    half_chord = math.sqrt((distance - radius) * (distance + radius)) * radius / distance
    beside = spoke.left * (half_chord / distance)
    return foot + -beside, foot + beside


#: A corner that turns less, or comes back so straight, is no corner for an arc, radians.
_NO_TURN = 1e-6


def fillet(before: Point, corner: Point, after: Point, radius: float) -> Arc:
    """The arc of `radius` mm tangent to the two legs of a corner.

    Raises GeometryError when the legs are straight, folded back or shorter than the arc needs.
    """
    first, second = _legs(before, corner, after)
    turn = math.atan2(first.cross(second), first.dot(second))
    if not radius > 0:
        raise GeometryError(f"a fillet's radius must be positive, not {radius!r}")
    if abs(turn) < _NO_TURN or abs(turn) > math.pi - _NO_TURN:
        raise GeometryError(f"no fillet fits the straight or folded corner at {corner}")
    # tan(turn / 2) by the half-angle formula: 1 at a right angle, but without digits near a fold
    sharp = first.dot(second) < -0.5
    half = math.tan(abs(turn) / 2) if sharp else abs(first.cross(second)) / (1 + first.dot(second))
    setback = radius * half
    _require_room(before, corner, after, setback)
    return Arc(corner + first * -setback, corner + second * setback, turn)


def chamfer(before: Point, corner: Point, after: Point, setback: float) -> Line:
    """The line that cuts a corner `setback` mm from it on both legs.

    Raises GeometryError when the setback is not above 0 or a leg is shorter.
    """
    first, second = _legs(before, corner, after)
    if not setback > 0:
        raise GeometryError(f"a chamfer's setback must be positive, not {setback!r}")
    _require_room(before, corner, after, setback)
    return Line(corner + first * -setback, corner + second * setback)


def _legs(before: Point, corner: Point, after: Point) -> tuple[Vector, Vector]:
    """Unit directions into and out of a corner."""
    if before == corner or corner == after:
        raise GeometryError(f"the corner at {corner} has a leg without length")
    return (corner - before).unit(), (after - corner).unit()


def _require_room(before: Point, corner: Point, after: Point, setback: float) -> None:
    room = min(corner.distance(before), corner.distance(after))
    if setback > room * (1 + 1e-12):
        raise GeometryError(
            f"the corner at {corner} needs {setback:.4f} mm on each leg and has {room:.4f} mm"
        )


def rounded_polygon(points: Sequence[Point], radii: Sequence[float]) -> Contour:
    """The closed polygon through some points with its corners rounded, 0 for a sharp corner.

    Raises GeometryError when the numbers do not match or roundings overlap on a leg.
    """
    if len(points) < 3 or len(radii) != len(points):
        raise GeometryError("a rounded polygon needs three points or more and a radius for each")
    before, after = [points[-1], *points[:-1]], [*points[1:], points[0]]
    corners = [
        fillet(into, corner, out, radius) if radius else corner
        for into, corner, out, radius in zip(before, points, after, radii, strict=True)
    ]
    first = corners[0].end if isinstance(corners[0], Arc) else corners[0]
    chain: list[Segment] = []
    for one, other in pairwise([first, *corners[1:], corners[0]]):
        start = one.end if isinstance(one, Arc) else one
        finish = other.start if isinstance(other, Arc) else other
        if start != finish:
            # the line between two corners, proved not to run backwards
            line = Line(start, finish)
            along = one.end_direction if isinstance(one, Arc) else None
            if isinstance(other, Arc):
                along = other.start_direction
            if line.length > TINY and along and line.direction.dot(along) < 0:
                raise GeometryError(
                    "two roundings overlap: the side between them is too short for both"
                )
            chain.append(line)
        if isinstance(other, Arc):
            chain.append(other)
    return Contour(tuple(_ring(chain)))


def merged(contour: Contour, tolerance: float = TINY) -> Contour:
    """The contour without tiny segments and without needless joints.

    Segments up to `tolerance` mm long are left out, lines that run on in one line and arcs that
    run on about one centre become one, as long as no joint moves by more than the tolerance.
    Raises GeometryError when nothing is left.
    """
    # A closed chain in which neighbours that run on in one line or arc are one segment
    chain = _ring(contour.segments, tolerance)
    runs: list[tuple[Segment, list[Point]]] = []
    for segment in chain:
        run = _run_on(runs[-1], (segment, []), tolerance) if runs else None
        if run:
            runs[-1] = run
        else:
            runs.append((segment, []))
    if len(runs) > 2:
        seam = _run_on(runs[-1], runs[0], tolerance)
        if seam:
            runs = [seam, *runs[1:-1]]
    return Contour(tuple(segment for segment, _ in runs))


def without_tiny(chain: Iterable[Segment], tolerance: float = TINY) -> list[Segment]:
    """A chain without the segments up to `tolerance` mm long; their neighbours meet instead."""
    kept: list[Segment] = []
    end: Point | None = None
    for segment in chain:
        end = segment.end
        if segment.length <= tolerance:
            continue
        if kept and kept[-1].end != segment.start:
            if isinstance(segment, Line):
                segment = Line(kept[-1].end, segment.end)
            else:
                kept[-1] = ended(kept[-1], segment.start)
        kept.append(segment)
    if kept and end is not None and kept[-1].end != end:
        kept[-1] = ended(kept[-1], end)
    return kept


def _ring(chain: Iterable[Segment], tolerance: float = TINY) -> list[Segment]:
    """A closed chain without tiny segments, closed again where the first or last is left out."""
    kept = without_tiny(chain, tolerance)
    if len(kept) > 1 and kept[-1].end != kept[0].start:
        kept[-1] = ended(kept[-1], kept[0].start)
    return kept


def ended(segment: Segment, end: Point) -> Segment:
    """The segment with its end moved to a point close by."""
    if isinstance(segment, Line):
        return Line(segment.start, end)
    # the circle stays, so the sweep goes with the end
    start, place = (segment.start.x, segment.start.y), (end.x, end.y)
    return Arc(segment.start, end, swept(prepared_arc(segment), start, place, segment.sweep))


def _run_on(
    first: tuple[Segment, list[Point]], second: tuple[Segment, list[Point]], tolerance: float
) -> tuple[Segment, list[Point]] | None:
    """Two segments as one, with the points that it must pass; None when it would leave them."""
    whole = _joined(first[0], second[0])
    if whole is None or whole.distance(second[0].start) > tolerance:
        return None
    # the middles tell flat arcs of different bow apart, whose ends alone would not
    middles = [s.point_at(0.5) for s in (first[0], second[0]) if isinstance(s, Arc)]
    passed = [*first[1], second[0].start, *middles, *second[1]]
    if any(whole.distance(p) > tolerance for p in passed):
        return None
    return whole, passed


def _joined(first: Segment, second: Segment) -> Segment | None:
    """One line or one arc from the start of the first to the end of the second, if any."""
    if isinstance(first, Line) and isinstance(second, Line):
        onward = first.direction.dot(second.direction) > 0
        return Line(first.start, second.end) if onward else None
    if isinstance(first, Arc) and isinstance(second, Arc) and first.start != second.end:
        sweep = first.sweep + second.sweep
        onward = first.sweep * second.sweep > 0 and abs(sweep) < math.tau - TINY
        return Arc(first.start, second.end, sweep) if onward else None
    return None
