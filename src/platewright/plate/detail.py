"""Details of the outline at the bends: witness nicks and corner relief.

Both are edits of the spliced outline where it runs along the side of a bend strip, so they are in
the outline and in everything made from it: area, kerf path, template.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from platewright import measure
from platewright.geometry.plane import Point
from platewright.geometry.segment import Arc, Line, Segment
from platewright.units import INCH
from platewright.values import dataclass

_TINY = 1e-9

#: Least relief hole for plate up to this thick (FAA-H-8083-31 ch. 4), both mm.
_LEAST_RELIEF = ((0.064 * INCH, INCH / 8), (0.128 * INCH, INCH * 3 / 16))

LEAST_STRIP = 0.3
"""Bend strips narrower than this get no nicks, mm: a cut as narrow is none. Common practice, no
published source."""

#: Turns between two bend lines that count as a corner, radians.
_CORNER = (math.radians(5), math.radians(175))

#: Below this turn a square relief gets two inner corners: a single one would lie far off.
_SHARP_ENOUGH = math.radians(59)


@dataclass(frozen=True, slots=True, kw_only=True)
class Detail:
    """What is cut into the outline where bends end and where they meet."""

    nicks: bool = measure.flag(
        "Small V nicks where each bend line meets the outline, so that the line is found on both "
        "faces; they relieve the ends of the bend as well.",
        label="witness nicks",
    )
    nick_depth: float | None = measure.length(
        "From the outline to the point of the V; left out, half the thickness. At most a quarter "
        "of the bend's length is used.",
        "0.3 mm to 1 in", optional=True, example="3/32 in",
    )  # fmt: skip
    relief: str = measure.choice(
        "What is cut out where two bends meet.",
        ("none", "round", "square"), label="corner relief", default="none",
    )  # fmt: skip
    relief_size: float | None = measure.length(
        "Diameter, or side of the square; left out, twice the inside radius, at least 1/8 in up "
        "to 0.064 in plate, 3/16 in up to 0.128 in (FAA-H-8083-31), the thickness beyond (common "
        "practice). It never reaches beyond the bend strips.",
        "0.5 mm to 3 in", label="corner relief size", optional=True, example="3/16 in",
    )  # fmt: skip

    def problems(self) -> measure.Problems:
        """Sizes of what is not asked for."""
        if self.nick_depth is not None and not self.nicks:
            yield "nick_depth", "has no use without nicks = true"
        if self.relief_size is not None and self.relief == "none":
            yield "relief_size", 'has no use with relief = "none"'


PLAIN = Detail()
"""No nicks, no relief."""


@dataclass(frozen=True, slots=True)
class StripSide:
    """One side of a bend strip on the outline, and the bend's length and inside radius, mm.

    The metal lies on the left of the line's travel, and the bend line runs square to it.
    """

    line: Line
    bend: int
    bend_length: float
    inside_radius: float


#: What the spliced outline is made of, in order of travel.
Course = Segment | StripSide


def detailed(courses: Sequence[Course], detail: Detail, thickness: float) -> Iterator[Segment]:
    """The closed outline's segments, with nicks and reliefs cut in.

    A strip side that ends in a relief gets no nick, nor one that is narrower than `LEAST_STRIP`.
    """
    reliefs = _reliefs(courses, detail, thickness)
    for i, course in enumerate(courses):
        if not isinstance(course, StripSide):
            yield course
            continue
        before, after = reliefs.get((i - 1) % len(courses)), reliefs.get(i)
        nicked = detail.nicks and course.line.length >= LEAST_STRIP
        if nicked and before is None and after is None:
            depth, mouth = nick_size(course, detail, thickness)
            line, along = course.line, course.line.direction
            middle = line.point_at(0.5)
            whole = mouth > line.length - _TINY
            first = line.start if whole else middle + along * (-mouth / 2)
            last = line.end if whole else middle + along * (mouth / 2)
            apex = middle + along.left * depth
            yield from _line(line.start, first)
            yield Line(first, apex)
            yield Line(apex, last)
            yield from _line(last, line.end)
        else:
            # what the reliefs at its ends leave of a strip side
            yield from _line(
                _from_start(course.line, before or 0.0), _from_end(course.line, after or 0.0)
            )
        if after is not None:
            second = courses[(i + 1) % len(courses)]
            assert isinstance(second, StripSide)
            yield from _relief(course.line, second.line, after, square=detail.relief == "square")


# --- witness nicks ----------------------------------------------------------------------------


def nick_size(side: StripSide, detail: Detail, thickness: float) -> tuple[float, float]:
    """Depth and mouth of a nick, mm.

    Depth: as given, or half the thickness, at most a quarter of the bend. Mouth: twice the depth
    (a right angle at the point), at most the strip's width. Common practice, no published source.
    """
    wanted = thickness / 2 if detail.nick_depth is None else detail.nick_depth
    depth = min(wanted, side.bend_length / 4)
    return depth, min(2 * depth, side.line.length)


# --- corner relief ----------------------------------------------------------------------------


def relief_diameter(inside_radius: float, thickness: float) -> float:
    """Diameter, or side of the square, of a relief, mm.

    Twice the inside radius; at least 1/8 in up to 0.064 in plate and 3/16 in up to 0.128 in
    (FAA-H-8083-31 ch. 4, the gap up to 0.072 taken with the thicker); beyond, at least 3/16 in
    and the thickness (common practice, no published source).
    """
    for thickest, least in _LEAST_RELIEF:
        if thickness <= thickest + _TINY:
            return max(2 * inside_radius, least)
    return max(2 * inside_radius, _LEAST_RELIEF[-1][1], thickness)


def _reliefs(courses: Sequence[Course], detail: Detail, thickness: float) -> Mapping[int, float]:
    """Half sizes of the reliefs, by the index of the strip side that ends in them."""
    if detail.relief == "none":
        return {}
    pairs = enumerate(zip(courses, [*courses[1:], *courses[:1]], strict=True))
    corners = {
        i: (first, second)
        for i, (first, second) in pairs
        if isinstance(first, StripSide) and isinstance(second, StripSide)
        # two bends that meet in a corner, at the point that the sides share
        if first.bend != second.bend and first.line.end == second.line.start
        if _CORNER[0] < _opening(first.line, second.line) < _CORNER[1]
    }
    halves = {}
    for i, (first, second) in corners.items():
        radius = max(first.inside_radius, second.inside_radius)
        wanted = detail.relief_size or relief_diameter(radius, thickness)
        # a side with a relief at either end is shared between them
        before, after = (i - 1) % len(courses), (i + 1) % len(courses)
        room = first.line.length / (2 if before in corners else 1)
        other = second.line.length / (2 if after in corners else 1)
        halves[i] = min(wanted / 2, room, other)
    return halves


def _opening(first: Line, second: Line) -> float:
    """Angle of the empty wedge between two strip sides, radians in (-pi, pi]."""
    back, ahead = -first.direction, second.direction
    return math.atan2(back.cross(ahead), back.dot(ahead))


def _from_start(line: Line, distance: float) -> Point:
    return line.end if distance > line.length - _TINY else line.start + line.direction * distance


def _from_end(line: Line, distance: float) -> Point:
    return line.start if distance > line.length - _TINY else line.end + line.direction * -distance


def _relief(first: Line, second: Line, half: float, *, square: bool) -> Iterator[Segment]:
    """Round the corner that two strip sides share, through the metal.

    The corner is where the bends' inside tangent lines cross, the middle of the relief.
    """
    start, end = _from_end(first, half), _from_start(second, half)
    opening = _opening(first, second)
    if not square:
        yield Arc(start, end, opening - math.tau)
        return
    for a, b in pairwise(_square_stops(first, second, start, end, half)):
        yield from _line(a, b)


def _square_stops(
    first: Line, second: Line, start: Point, end: Point, half: float
) -> tuple[Point, ...]:
    """Corners of a square relief: it holds the round one and is a true square at right angles."""
    centre, opening = first.end, _opening(first, second)
    # a strip's sides are square to its bend line, which comes in along `into`, leaves along `out`
    into, out = first.direction.right, second.direction.left
    outer = (start, start + -into * half), (end + out * half, end)
    if opening >= _SHARP_ENOUGH:
        inner = (centre + (out - into).unit() * (half / math.sin(opening / 2)),)
        return (*outer[0], *inner, *outer[1])
    reach = half * (1 - math.sin(opening / 2)) / math.cos(opening / 2)
    near = centre + -into * half + first.direction * reach
    far = centre + out * half + -second.direction * reach
    return (*outer[0], near, far, *outer[1])


def _line(start: Point, end: Point) -> Iterator[Line]:
    """The line between two points, or nothing when they all but coincide."""
    if start.distance(end) > _TINY:
        yield Line(start, end)
