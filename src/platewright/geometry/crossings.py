"""Where lines and arcs cross, touch or run together, in closed form."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platewright.geometry.plane import Point
from platewright.geometry.prepared import PreparedArc, PreparedLine, PreparedSegment, prepared
from platewright.geometry.segment import Segment
from platewright.values import dataclass

#: Places this close count as one, mm.
TOLERANCE = 1e-9

#: Below this sine of the angle between two segments their ends are looked at too.
_GRAZING = 1e-3

#: A place and its fractions of the first and the second segment.
Meeting = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Crossing:
    """A place that two segments share, with its fraction of the length of either."""

    point: Point
    first: float
    second: float


def crossings(a: Segment, b: Segment, tolerance: float = TOLERANCE) -> tuple[Crossing, ...]:
    """The places that two segments share, in order along the first.

    Places within `tolerance` mm of an end are that end, fraction 0 or 1 exactly. Segments that
    pass each other within the tolerance touch. Where they run together the two ends of the shared
    stretch are given.
    """
    found = meetings(prepared(a), prepared(b), tolerance)
    ordered = sorted(found, key=lambda meeting: meeting[2])
    return tuple(Crossing(Point(x, y), first, second) for x, y, first, second in ordered)


def meetings(a: PreparedSegment, b: PreparedSegment, tolerance: float) -> list[Meeting]:
    """`crossings` of two segments, in no order."""
    if isinstance(a, PreparedLine):
        if isinstance(b, PreparedLine):
            return _of_lines(a, b, tolerance)
        return _of_line_and_arc(a, b, tolerance)
    if isinstance(b, PreparedLine):
        return [(x, y, t, u) for x, y, u, t in _of_line_and_arc(b, a, tolerance)]
    return _of_arcs(a, b, tolerance)


def _of_lines(a: PreparedLine, b: PreparedLine, tolerance: float) -> list[Meeting]:
    sine = a.dx * b.dy - a.dy * b.dx
    if sine == 0:
        return _at_ends(a, b, tolerance)
    wx, wy = b.x0 - a.x0, b.y0 - a.y0
    along = (wx * b.dy - wy * b.dx) / sine
    if abs(sine) >= _GRAZING:
        across = (wx * a.dy - wy * a.dx) / sine
        return _hit(a, b, along / a.length, across / b.length, tolerance)
    # rounding moves the crossing of nearly parallel lines along them, or makes one up
    place = a.at(along / a.length)
    hits = _hit(a, b, along / a.length, b.fraction(*place), tolerance)
    return _grazing(a, b, [h for h in hits if b.distance(*place) <= tolerance], tolerance)


def _of_line_and_arc(a: PreparedLine, b: PreparedArc, tolerance: float) -> list[Meeting]:
    line = a.x0, a.y0, a.dx, a.dy
    square, ways = _on_circle(line, b, 2 * tolerance / b.radius)
    hits = []
    for way in ways:
        x, y = a.x0 + a.dx * way, a.y0 + a.dy * way
        hits += _hit(a, b, way / a.length, b.fraction(x, y), tolerance)
    return _grazing(a, b, hits, tolerance) if ways and square < _GRAZING**2 else hits


def _on_circle(
    line: tuple[float, float, float, float], arc: PreparedArc, slack: float
) -> tuple[float, list[float]]:
    """Where a line through a place in a unit direction meets an arc's whole circle, mm along it.

    With w from the arc's start to a place of the line, n the unit normal there and k = 1 / radius,
    the circle is k w² + 2 w n = 0: no centre far away, no digits lost. Also the squared sine of
    the angle of crossing: one place where it is 0 up to the slack, none below.
    """
    x, y, dx, dy = line
    wx, wy = x - arc.x0, y - arc.y0
    half = (wx * dx + wy * dy) / arc.radius + dx * arc.nx + dy * arc.ny
    rest = (wx * wx + wy * wy) / arc.radius + 2 * (wx * arc.nx + wy * arc.ny)
    square = half * half - rest / arc.radius
    if square < -slack:
        return square, []
    if square <= slack:
        return 0.0, [-half * arc.radius]
    far = -half - math.copysign(math.sqrt(square), half)
    return square, [rest / far, far * arc.radius]


def _of_arcs(a: PreparedArc, b: PreparedArc, tolerance: float) -> list[Meeting]:
    ka, kb = 1 / a.radius, 1 / b.radius
    wx, wy = a.x0 - b.x0, a.y0 - b.y0
    # from one centre to the other, times both curvatures
    gx, gy = kb * a.nx - ka * b.nx - ka * kb * wx, kb * a.ny - ka * b.ny - ka * kb * wy
    apart = math.hypot(gx, gy)
    if apart <= ka * kb * tolerance:
        return _at_ends(a, b, tolerance) if abs(a.radius - b.radius) <= tolerance else []
    # both circles meet the line on which their equations are one; the tighter one more squarely
    power = ka * (kb * (wx * wx + wy * wy) + 2 * (wx * b.nx + wy * b.ny)) / (2 * apart * apart)
    line = a.x0 + gx * power, a.y0 + gy * power, -gy / apart, gx / apart
    tight, k = (a, ka) if ka > kb else (b, kb)
    square, ways = _on_circle(line, tight, 2 * tolerance * k * k / apart)
    hits = []
    for way in ways:
        x, y = line[0] + line[2] * way, line[1] + line[3] * way
        hits += _hit(a, b, a.fraction(x, y), b.fraction(x, y), tolerance)
    sine = math.sqrt(max(0.0, square)) * apart / k
    return _grazing(a, b, hits, tolerance) if ways and sine < _GRAZING else hits


def _hit(
    a: PreparedSegment, b: PreparedSegment, first: float, second: float, tolerance: float
) -> list[Meeting]:
    """The meeting at two fractions, or none when one lies off its segment."""
    first, second = _held(a, first, tolerance), _held(b, second, tolerance)
    if not (0 <= first <= 1 and 0 <= second <= 1):
        return []
    x, y = b.at(second) if second in (0, 1) else a.at(first)
    return [(x, y, first, second)]


def _held(segment: PreparedSegment, fraction: float, tolerance: float) -> float:
    """The fraction, held to an end when it lies within the tolerance of it."""
    slack = tolerance / segment.length
    if abs(fraction) <= slack:
        return 0.0
    return 1.0 if abs(fraction - 1) <= slack else fraction


def _grazing(
    a: PreparedSegment, b: PreparedSegment, hits: list[Meeting], tolerance: float
) -> list[Meeting]:
    """The ends that lie on the other segment, and the hits that do not belong to one of them."""
    ends = _at_ends(a, b, tolerance)
    return ends + [hit for hit in hits if not any(_one(a, b, hit, end, tolerance) for end in ends)]


def _one(
    a: PreparedSegment, b: PreparedSegment, first: Meeting, second: Meeting, tolerance: float
) -> bool:
    """Whether the segments stay together all the way between two meetings."""
    middle = a.at((first[2] + second[2]) / 2)
    return b.distance(*middle) <= tolerance


def _at_ends(a: PreparedSegment, b: PreparedSegment, tolerance: float) -> list[Meeting]:
    """The ends of either segment that lie on the other."""
    found: list[Meeting] = []
    for meeting in _ends_on(a, b, tolerance):
        if not any(_same(meeting, other, tolerance) for other in found):
            found.append(meeting)
    return found


def _same(first: Meeting, second: Meeting, tolerance: float) -> bool:
    return math.hypot(first[0] - second[0], first[1] - second[1]) <= 2 * tolerance


def _ends_on(a: PreparedSegment, b: PreparedSegment, tolerance: float) -> Iterator[Meeting]:
    for fraction, x, y in ((0.0, a.x0, a.y0), (1.0, a.x1, a.y1)):
        if b.distance(x, y) <= tolerance:
            yield x, y, fraction, _held(b, _clamped(b.fraction(x, y)), tolerance)
    for fraction, x, y in ((0.0, b.x0, b.y0), (1.0, b.x1, b.y1)):
        if a.distance(x, y) <= tolerance:
            yield x, y, _held(a, _clamped(a.fraction(x, y)), tolerance), fraction


def _clamped(fraction: float) -> float:
    return min(1.0, max(0.0, fraction))
