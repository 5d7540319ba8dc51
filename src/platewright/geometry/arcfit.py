"""Smooth lines of lines and arcs along an edge, corrected by what is read at stations.

Neighbouring arcs share their tangent (biarcs), so that a torch runs through without a corner and
no spline is left to flatten. A line here runs on in +x: it has one height y at every station x.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

from platewright.errors import GeometryError
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Arc, Line, Segment
from platewright.values import dataclass

#: An arc that leaves its chord by less is drawn as a line, mm.
_STRAIGHT = 1e-7

#: A line counts as nowhere above another when it is by less, mm: a few straightened arcs.
_HAIR = 5e-7

#: Stations this close are one, mm.
_BESIDE = 1e-7

#: No piece is steeper than this, radians from the x axis; steeper ones are drawn in shorter pieces.
_STEEPEST = math.radians(89.9)

#: The most that the tangent at a reading may fall towards 0 before the next reading, in readings. A
#: cubic between two values of one sign keeps that sign up to 3 (Schmidt and Hess, Positivity of
#: cubic polynomials on intervals and positive spline interpolation, BIT 28, 1988; from memory); a
#: parabola that starts level has 2, and short of 3 arcs can follow a correction up from nothing.
_KEEPS_SIGN = 2.5

#: The most that it may rise or fall before the farther neighbour, in what the readings beside it
#: differ by: a reading close to another does not throw the curve far where nothing was read.
_STEADY = 4.0


#: A place on a line and the direction in which it passes.
_Joint = tuple[Point, Vector]


def biarc(start: Point, leaving: Vector, end: Point, arriving: Vector) -> tuple[Segment, ...]:
    """One or two arcs, or lines, from `start` to `end` with the given unit directions there.

    Both arcs have tangents of one length (the usual choice of joint). Raises GeometryError when
    the ends coincide or the directions point backwards.
    """
    across = end - start
    if across.length == 0:
        raise GeometryError("a smooth curve needs two ends that lie apart")
    # the length d with |across - d (leaving + arriving)| = 2 d, the smaller positive one
    forward = across.dot(leaving + arriving)
    curl = 2 * (1 - leaving.dot(arriving))
    # curl d² + 2 forward d - across² = 0, in the form that keeps its digits as curl vanishes
    root = forward + math.sqrt(forward * forward + curl * across.dot(across))
    if not root > 1e-9 * across.length:
        raise GeometryError("no smooth curve: its ends point backwards")
    reach = across.dot(across) / root
    corners = start + leaving * reach, end + arriving * -reach
    joint = corners[0].midpoint(corners[1])
    first = tangent_arc(start, leaving, joint)
    second = tangent_arc(end, -arriving, joint).reversed()
    if isinstance(first, Line) and isinstance(second, Line):
        return (Line(start, end),)
    return (first, second)


def tangent_arc(start: Point, leaving: Vector, end: Point) -> Segment:
    """The arc from `start` to `end` that leaves in a direction; a line when it hardly bows.

    Raises GeometryError when the ends coincide or the arc would have to turn straight back.
    """
    chord = end - start
    if chord.length == 0:
        raise GeometryError("an arc needs two ends that lie apart")
    sweep = 2 * math.atan2(leaving.cross(chord), leaving.dot(chord))
    if abs(math.tan(sweep / 4)) * chord.length / 2 < _STRAIGHT:
        return Line(start, end)
    return Arc(start, end, sweep)


# --- a line and its corrections ---------------------------------------------------------------


def corrected(
    line: Sequence[Segment],
    readings: Sequence[Point],
    tolerance: float,
    *,
    level: tuple[bool, bool] = (True, True),
) -> tuple[Segment, ...]:
    """A smooth line after corrections: x of a reading is its station, y the correction there, mm.

    The new line lies within `tolerance` mm of the old one's height plus the correction at every
    station and every joint of the old line between them; in as few arcs as come of joining
    greedily. Between two readings of which none is below 0 it is nowhere below the old line,
    between two of which none is above 0 nowhere above; where the correction stays the same it is
    the old line, moved. The first and the last reading hold to the ends of the line; `level` says
    whether the curve runs in from there without a corner.

    The line runs beyond the stations at both ends, without a corner between them. Raises
    GeometryError for no reading, stations that do not rise, or a negative tolerance.
    """
    if not readings or tolerance < 0:
        raise GeometryError("a smooth curve needs a reading and a tolerance of 0 or more")
    if any(after.x <= before.x for before, after in pairwise(readings)):
        raise GeometryError("a smooth curve needs stations that rise")
    path = _Path(tuple(line), tuple(readings), _slopes(readings, level))
    begin, finish = line[0].start.x, line[-1].end.x
    joints = [begin, *(reading.x for reading in readings), finish]
    pieces: list[Segment] = []
    for moved, spans in groupby(pairwise(joints), lambda span: path.is_moved(*span)):
        stations = list(spans)
        start, end = stations[0][0], stations[-1][1]
        if moved:
            pieces.extend(path.moved(start, end))
        else:
            pieces.extend(_joined(path, path.joints(start, end), tolerance))
    return tuple(pieces)


def _slopes(readings: Sequence[Point], level: tuple[bool, bool]) -> tuple[float, ...]:
    """Slope of the correction at each reading: that of the circle through it and its neighbours.

    It is held back where the correction would run far beyond the readings, or change its sign
    between two of one sign.
    """
    if len(readings) == 1:
        return (0.0,)
    steps = [after - before for before, after in pairwise(readings)]
    middle = [b / b.dot(b) + a / a.dot(a) for b, a in pairwise(steps)]
    ahead = Vector(1.0, 0.0)
    first = ahead if level[0] else _other_end(middle[0] if middle else steps[0], steps[0])
    last = ahead if level[1] else _other_end(middle[-1] if middle else first, steps[-1])
    return tuple(
        _held_back(readings, index, way.y / way.x)
        for index, way in enumerate((first, *middle, last))
    )


def _other_end(direction: Vector, chord: Vector) -> Vector:
    """The direction at the other end of a circular arc over a chord; the chord's if it is steep."""
    along, way = chord.unit(), direction.unit()
    found = along * (2 * along.dot(way)) - way
    return found if found.x > math.cos(_STEEPEST) else along


def _held_back(readings: Sequence[Point], index: int, slope: float) -> float:
    """A slope at a reading by which the correction runs neither far away nor out of its sign."""
    here, beside = readings[index], readings[max(index - 1, 0) : index + 2]
    middle = min(max(index, 1), len(readings) - 2)
    near = [reading.y for reading in readings[max(middle - 1, 0) : middle + 2]]
    longest = max(abs(other.x - here.x) for other in beside)
    most = _STEADY * (max(near) - min(near)) / longest
    slope = min(most, max(-most, slope))
    for other in beside:
        run = other.x - here.x
        if run and min(here.y, other.y) >= 0:
            slope = max(slope * run, -_KEEPS_SIGN * here.y) / run
        if run and max(here.y, other.y) <= 0:
            slope = min(slope * run, -_KEEPS_SIGN * here.y) / run
    return slope


@dataclass(frozen=True, slots=True)
class _Path:
    """A line and the cubic pieces that are added to it between readings (Hermite)."""

    line: tuple[Segment, ...]
    readings: tuple[Point, ...]
    slopes: tuple[float, ...]

    def correction(self, x: float) -> Vector:
        """(correction, its slope) at a station, held beyond the first and last reading."""
        first, last = self.readings[0], self.readings[-1]
        if x < first.x or x > last.x or first == last:
            return Vector((first if x < last.x else last).y, 0.0)
        index = max(i for i, p in enumerate(self.readings[:-1]) if p.x <= x)
        a, b = self.readings[index : index + 2]
        run = b.x - a.x
        # the cubic's values by Bernstein: exactly 0 where all four are
        one, two = a.y + self.slopes[index] * run / 3, b.y - self.slopes[index + 1] * run / 3
        t = (x - a.x) / run
        s = 1 - t
        height = s**3 * a.y + 3 * s * t * (s * one + t * two) + t**3 * b.y
        rise = s * s * (one - a.y) + 2 * s * t * (two - one) + t * t * (b.y - two)
        return Vector(height, 3 * rise / run)

    def is_moved(self, start: float, end: float) -> bool:
        """Whether the correction stays the same between neighbouring readings or beyond them."""
        if start < self.readings[0].x or end > self.readings[-1].x:
            return True
        index = next(i for i, p in enumerate(self.readings) if p.x == start)
        same = self.readings[index].y == self.readings[index + 1].y
        return same and self.slopes[index] == self.slopes[index + 1] == 0

    def joint(self, x: float, beside: float = 0.0) -> _Joint:
        """Where the new line passes a station, and in which direction it does beside it."""
        added = self.correction(x)
        slope = math.tan(_angle(_over(self.line, x + beside), x)) + added.y
        # one place, to the last digit, for what runs in and what runs out
        place = Point(x, _height(_over(self.line, x), x) + added.x)
        return place, Vector(1.0, slope).unit()

    def joints(self, start: float, end: float) -> list[_Joint]:
        """The joints of a stretch between readings: there, and where the old line has one."""
        read = [p.x for p in self.readings if start <= p.x <= end]
        first, *others = sorted({*read, *self.old_joints(start, end, read)})
        # the old line may have a corner where its own readings begin or end
        return [self.joint(first, _BESIDE), *(self.joint(x, -_BESIDE) for x in others)]

    def old_joints(self, start: float, end: float, apart: Sequence[float]) -> list[float]:
        """Stations of the old line's joints in a stretch, apart from some others."""
        inner = (s.start.x for s in self.line[1:] if start < s.start.x < end)
        return [x for x in inner if min(abs(x - other) for other in apart) > _BESIDE]

    def moved(self, start: float, end: float) -> Iterator[Segment]:
        """The stretch of the old line between two stations, moved by the correction there."""
        for begin, finish in pairwise([start, *self.old_joints(start, end, (start, end)), end]):
            old = _over(self.line, (begin + finish) / 2)
            (a, _), (b, _) = self.joint(begin), self.joint(finish)
            straight = isinstance(old, Line)
            yield Line(a, b) if straight else Arc(a, b, _angle(old, finish) - _angle(old, begin))

    def keeps_sides(self, pieces: Sequence[Segment]) -> bool:
        """Whether pieces lie on the old line's side that the readings at both ends are on."""
        begin, finish = pieces[0].start.x, pieces[-1].end.x
        beside = [s for s in self.line if s.start.x < finish and s.end.x > begin]
        for a, b in pairwise(self.readings):
            least, most = sorted((a.y, b.y))
            if a.x < finish and b.x > begin and not least < 0 < most:
                gaps = [g for new in pieces for old in beside for g in _gaps(new, old, a.x, b.x)]
                if (least >= 0 and min(gaps) < -_HAIR) or (most <= 0 and max(gaps) > _HAIR):
                    return False
        return True


def _joined(path: _Path, joints: Sequence[_Joint], tolerance: float) -> Iterator[Segment]:
    """Biarcs through joints, each as far as it stays within the tolerance and on its side."""
    steps = [step for pair in pairwise(joints) for step in _steps(path, *pair)]
    at = 0
    while at < len(steps):
        pieces, reached = steps[at].pieces, at + 1
        while reached < len(steps):
            wider = _biarc(path, steps[at].start, steps[reached].end)
            passed = [p for step in steps[at : reached + 1] for p in step.places]
            if not wider or any(min(s.distance(p) for s in wider) > tolerance for p in passed):
                break
            pieces, reached = wider, reached + 1
        yield from pieces
        at = reached


@dataclass(frozen=True, slots=True)
class _Step:
    """A biarc between two joints that lie beside each other."""

    start: _Joint
    end: _Joint
    pieces: tuple[Segment, ...]

    @property
    def places(self) -> Iterator[Point]:
        """Places that it passes: halfway along each piece, and its end."""
        return (piece.point_at(at) for piece in self.pieces for at in (0.5, 1))


def _steps(path: _Path, start: _Joint, end: _Joint) -> Iterator[_Step]:
    """The biarc from one joint to the next, in two halves where one does not do."""
    pieces = _biarc(path, start, end)
    if pieces:
        yield _Step(start, end, pieces)
        return
    if end[0].x - start[0].x < _BESIDE:
        raise GeometryError("the readings rise too steeply for a smooth curve; join them straight")
    middle = path.joint((start[0].x + end[0].x) / 2)
    yield from _steps(path, start, middle)
    yield from _steps(path, middle, end)


def _biarc(path: _Path, start: _Joint, end: _Joint) -> tuple[Segment, ...]:
    """The biarc from joint to joint, nothing where it turns back or leaves its side."""
    try:
        pieces = biarc(*start, *end)
    except GeometryError:
        return ()
    return pieces if all(map(_runs_on, pieces)) and path.keeps_sides(pieces) else ()


# --- one segment over its stations ------------------------------------------------------------


def _runs_on(segment: Segment) -> bool:
    """Whether a segment has one height at every station, and is not too steep."""
    ways = segment.start_direction, segment.end_direction
    turns = isinstance(segment, Arc) and abs(segment.sweep) >= math.pi
    return not turns and min(way.x for way in ways) > math.cos(_STEEPEST)


def _over(line: Sequence[Segment], x: float) -> Segment:
    """The segment of a line over a station."""
    return next((segment for segment in line if x <= segment.end.x), line[-1])


def _sine(segment: Segment) -> tuple[float, float]:
    """(a, k): the sine of a segment's direction is a + k x over the station x."""
    way = segment.start_direction
    if isinstance(segment, Line):
        return way.y, 0.0
    bend = math.copysign(1 / segment.radius, segment.sweep)
    return way.y - bend * segment.start.x, bend


def _angle(segment: Segment, x: float) -> float:
    """Direction of a segment over a station, radians from the x axis."""
    start, bend = _sine(segment)
    return math.asin(min(1.0, max(-1.0, start + bend * x)))


def _height(segment: Segment, x: float) -> float:
    """Height of a segment over a station: an arc's chord halves the turn."""
    start = segment.start
    turned = segment.start_direction.angle + _angle(segment, x)
    return start.y + (x - start.x) * math.tan(turned / 2)


def _gaps(piece: Segment, old: Segment, begin: float, finish: float) -> list[float]:
    """Heights of one segment above another over shared stations: at the ends, where greatest."""
    begin = max(begin, piece.start.x, old.start.x)
    finish = min(finish, piece.end.x, old.end.x)
    if begin > finish:
        return []
    stations = [begin, finish]
    (a, k), (b, m) = _sine(piece), _sine(old)
    # the gap is greatest or least where both run the same way
    if k != m and begin < (b - a) / (k - m) < finish:
        stations.append((b - a) / (k - m))
    return [_height(piece, x) - _height(old, x) for x in stations]
