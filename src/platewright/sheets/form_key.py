"""The picture of a measuring form: the flat bracket with the letter of each measurement.

Lengths are dimension lines, angles arcs between arrows, the rest points; the letter stands in a
circle on its line where that covers least ink, else beside it on a short leader.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from platewright.drawing.dimensions import (
    angle_dimension,
    bubble,
    bubble_radius,
    dimension,
)
from platewright.drawing.free_space import Box, FreeSpace, LabelSpot, SpotRow, ink_lines, ring_spots
from platewright.drawing.items import Fill, Item, Stroke, Text, bounds
from platewright.drawing.scaling import scaled, scaled_line, scaled_point
from platewright.drawing.style import BEND, CENTRE, LEADER, OUTLINE, PHANTOM
from platewright.geometry.contour import Circle
from platewright.geometry.crossings import crossings
from platewright.geometry.plane import Bounds, Motion, Point, close
from platewright.geometry.segment import Arc, Line
from platewright.kinds.kind import InPlace
from platewright.plate.dimension import Dimension, PanelFace, Place, Spot, Straight, Tag
from platewright.plate.piece import Piece
from platewright.sheets.key import small_blank
from platewright.sheets.pattern import hatched_band
from platewright.values import dataclass

LARGEST = 1.0
"""Greatest scale of the picture: never larger than life."""

_ROW = 7.5  # from row to row of dimension lines, mm
_RIM = 16.0  # kept round the blank for rows and letters, mm
_BAND = 2.5  # depth of the hatching of a wall, mm
_SIZE = 2.2  # height of the letters, mm
_FRACTIONS = (0.5, 0.36, 0.64, 0.22, 0.78, 0.1, 0.9)
_RINGS = (5.5, 8.0, 11.0, 15.0, 20.0, 26.0)
_DIRECTIONS = 24
_OVER_LINE = 6  # demerits of a circle on a line
_MARGIN = 0.5  # kept round a letter's circle, mm
_NUMBERED = re.compile(r"\[\d+\]")
_LEAST = 1.0  # of a dimension line, mm
_ROWS = (0.0, 0.8, -0.8, 1.2, -1.2, 1.8, -1.8, 2.6, -2.6)
_REACHES = (9.0, 13.0, 18.0, 25.0)
#: Demerits of a dimension's lines.
_FOR_A_ROW = 0.7
_CROSSES = 1.0
_RUNS_ALONG = 0.4  # for each mm
_EXTENDS = 0.1  # for each mm
_OUTSIDE = 8.0
_ALONG = 0.05  # rad: lines that turn less from each other run along
_BESIDE = 1.5  # mm


@dataclass(frozen=True, slots=True)
class _Sketch:
    """One way to show a measurement: its lines, the places on them for its letter, where it is."""

    lines: tuple[Item, ...]
    on: tuple[Point, ...]
    at: Point
    demerit: float = 0.0


@dataclass(frozen=True, slots=True)
class _Paper:
    """From the frames of a bracket's panels to the picture."""

    motion_of: Callable[[str], Motion]
    bends: Mapping[str, Line]
    factor: float

    def point(self, panel: str, p: Point) -> Point:
        return scaled_point(self.motion_of(panel).point(p), self.factor)

    def line(self, straight: Straight) -> Line:
        return Line(
            *(self.point(straight.panel, p) for p in (straight.line.start, straight.line.end))
        )


Stand = Point | Line | tuple[Line, Line]
"""Where a measurement is: a place, from a place to another, or the two ways of an angle.

The two ways start at their corner.
"""


def form_key(
    piece: Piece, letters: Mapping[str, str], size: tuple[float, float]
) -> tuple[Item, ...]:
    """The blank with its letters, about the origin at the scale that fits a box of `size` mm.

    What has no letter, or no place on the flat, is left out.
    """
    factor = _factor(piece.blank.bounds, size)
    return _with_letters(tuple(_ink(piece, factor)), flat_stands(piece, factor), letters)


def place_key(
    place: InPlace, letters: Mapping[str, str], size: tuple[float, float]
) -> tuple[Item, ...]:
    """The bracket in its place with its letters, at the scale that fits a box of `size` mm."""
    box = place.section.bounds.union(place.carried.bounds).union(place.face.bounds)
    factor = _factor(box, size)
    stands = place_stands(place, factor)
    return _with_letters(tuple(_place_ink(place, factor)), stands, letters)


def flat_stands(piece: Piece, factor: float = 1.0) -> Mapping[str, Stand]:
    """Where the file's keys stand on the flat blank of a piece, about the origin at a scale."""
    blank = piece.blank
    bends = {bend.child: bend.line for bend in blank.bends}
    paper = _Paper(blank.panel_motion, bends, factor)
    return _stands(piece.bracket.dimensions, piece.bracket.tags, paper)


def place_stands(place: InPlace, factor: float = 1.0) -> Mapping[str, Stand]:
    """Where the file's keys stand on the picture of a bracket in its place, at a scale."""
    return _stands(place.dimensions, place.tags, _Paper(lambda _: Motion(), {}, factor))


def _stands(
    dimensions: Iterable[Dimension], tags: Iterable[Tag], paper: _Paper
) -> Mapping[str, Stand]:
    """By key: a dimension within one panel before others and tags."""
    found: dict[str, Dimension | Tag] = {}
    listed = [each for each in dimensions if each.key]
    within = [each for each in listed if each.start.panel == each.end.panel]
    told: tuple[Dimension | Tag, ...] = (*within, *listed, *tags)
    for each in told:
        found.setdefault(each.key, each)
    stands = {key: _stand(each, paper) for key, each in found.items()}
    return {key: stand for key, stand in stands.items() if stand is not None}


def _with_letters(
    ink: tuple[Item, ...], stands: Mapping[str, Stand], letters: Mapping[str, str]
) -> tuple[Item, ...]:
    """The picture with each measurement drawn where it covers least, then the letters.

    Of rows of one letter the first has it.
    """
    room, drawn, marks = bounds(ink).grown(_RIM), ink, []
    first: dict[str, Stand] = {}
    for key, stand in stands.items():
        first.setdefault(_NUMBERED.sub("[]", key), stand)
    for key, stand in first.items():
        ways = list(_sketches(stand, letters[key])) if key in letters else []
        if ways:
            taken = [(line, line.bounds) for line in ink_lines(drawn) if line.start != line.end]
            best = min(ways, key=lambda way: _covered(way, taken, room))
            drawn = (*drawn, *best.lines)
            marks.append((letters[key], best))
    return (*drawn, *_bubbles(marks, drawn))


def _factor(box: Bounds, size: tuple[float, float]) -> float:
    width, height = size[0] - 2 * _RIM, size[1] - 2 * _RIM
    return min(width / box.width, height / box.height, LARGEST)


def _ink(piece: Piece, factor: float) -> Iterator[Item]:
    yield from small_blank(piece, factor, {"centre": CENTRE, "phantom": PHANTOM})
    if wall := piece.straight_wall:
        edge = scaled_line(wall, factor)
        below = edge.start.midpoint(edge.end) + edge.direction.right * (1.5 * _BAND)
        yield Text(below, "wall", 2.0, ("middle", "top"))


def _place_ink(place: InPlace, factor: float) -> Iterator[Item]:
    yield from (Stroke(scaled_line(line, factor), CENTRE) for line in place.centres)
    yield Stroke(scaled(place.carried, factor), PHANTOM)
    face = scaled_line(place.face, factor)
    yield hatched_band(face, _BAND, 1.6)
    yield Stroke(face, BEND)
    yield Stroke(scaled(place.section, factor), OUTLINE)


# --- ways to draw a measurement ---------------------------------------------------------------


def _stand(each: Dimension | Tag, paper: _Paper) -> Stand | None:
    """Where a measurement stands on the paper; None where it has no place there."""
    if isinstance(each, Tag):
        return paper.point(each.panel, each.at)
    start, end = each.start, each.end
    if isinstance(end, PanelFace):
        bend = paper.bends.get(end.panel)
        return None if bend is None else scaled_point(bend.point_at(0.75), paper.factor)
    if each.quantity == "angle" and isinstance(start, Straight) and isinstance(end, Straight):
        # two straights from the corner where they meet, run on beyond their ends
        one = paper.line(start)
        other = paper.line(end)
        sine = one.direction.cross(other.direction)
        if close(one.start, other.start):
            apex = one.start
        elif abs(sine) > _ALONG:
            along = (other.start - one.start).cross(other.direction) / sine
            apex = one.start + one.direction * along
        else:
            return None
        return Line(apex, apex + one.direction), Line(apex, apex + other.direction)
    ends = _ends(start, end, paper)
    return None if ends is None or ends[0] == ends[1] else Line(*ends)


def _sketches(stand: Stand, letter: str) -> Iterator[_Sketch]:
    """Every way to draw a measurement: a line in some row, an arc of some reach, a point."""
    if isinstance(stand, Point):
        yield _Sketch((), (), stand)
    elif isinstance(stand, tuple):
        yield from _arcs(*stand, letter)
    elif stand.length > _LEAST:
        # A dimension line between the places themselves, or in a row beside them
        start = stand.start
        end = stand.end
        across = (end - start).unit().left
        for row in _ROWS:
            line = Line(start + across * (row * _ROW), end + across * (row * _ROW))
            drawn = _wordless(dimension(start, end, "", offset=row * _ROW))
            room = line.length > 4 * bubble_radius(letter, _SIZE)
            on = tuple(line.point_at(f) for f in _FRACTIONS) if room else ()
            yield _Sketch(drawn, on, line.point_at(0.5), abs(row) * _FOR_A_ROW)


def _ends(start: Place, end: Place, paper: _Paper) -> tuple[Point, Point] | None:
    if isinstance(start, Straight) and start == end:
        line = paper.line(start)
        return line.start, line.end
    if not isinstance(start, Spot | Straight) or not isinstance(end, Spot | Straight):
        return None
    here = start.line.point_at(0.5) if isinstance(start, Straight) else start.at
    at = paper.point(start.panel, here)
    if isinstance(end, Spot):
        return at, paper.point(end.panel, end.at)
    line = paper.line(end)
    return at, line.start + line.direction * line.direction.dot(at - line.start)


def _arcs(one: Line, other: Line, letter: str) -> Iterator[_Sketch]:
    """An arc about the corner of two ways."""
    apex = one.start
    turn, sine = one.direction.dot(other.direction), one.direction.cross(other.direction)
    # two ways that are opposite open upwards
    sweep = math.atan2(sine, turn) if abs(sine) > 1e-9 else math.pi
    for reach in _REACHES:
        arc = Arc.about(apex, reach, one.direction.angle, sweep)
        legs = (Line(apex, apex + way.direction * (reach + 2.0)) for way in (one, other))
        drawn = _wordless(angle_dimension(apex, one.direction.angle, sweep, reach, ""))
        on = (arc.point_at(0.5),) if arc.length > 4 * bubble_radius(letter, _SIZE) else ()
        lines = (*(Stroke(leg, LEADER) for leg in legs), *drawn)
        yield _Sketch(lines, on, arc.point_at(0.5), reach * 0.1)


def _wordless(items: Iterable[Item]) -> tuple[Item, ...]:
    return tuple(item for item in items if not isinstance(item, Text))


def _covered(way: _Sketch, taken: Sequence[tuple[Line, Bounds]], room: Bounds) -> float:
    """What a drawing costs: lines it crosses, lines it runs along, leaving the room."""
    own = [shape for item in way.lines if isinstance(item, Stroke) for shape in item.shapes]
    cost = way.demerit
    for line in (each for each in own if isinstance(each, Line)):
        box = line.bounds
        cost += _OUTSIDE * (room.union(box) != room)
        along = line.direction
        for other, its_box in taken:
            if not _near(box, its_box):
                continue
            if abs(along.cross(other.direction)) < _ALONG:
                # an extension line may well lie on the edge that it extends
                own_line = line.distance(way.at) < _BESIDE
                cost += (_RUNS_ALONG if own_line else _EXTENDS) * _overlap(line, other)
            else:
                cost += _CROSSES * bool(crossings(line, other))
    return cost


def _near(a: Bounds, b: Bounds) -> bool:
    reach = _BESIDE
    return (
        a.xmin - reach < b.xmax
        and b.xmin - reach < a.xmax
        and a.ymin - reach < b.ymax
        and b.ymin - reach < a.ymax
    )


def _overlap(line: Line, other: Line) -> float:
    """How far another line runs along one, close beside it, mm."""
    along, start = line.direction, line.start
    if abs(along.cross(other.start - start)) > _BESIDE:
        return 0.0
    low, high = sorted(along.dot(p - start) for p in (other.start, other.end))
    return max(0.0, min(high, line.length) - max(low, 0.0))


# --- letters ----------------------------------------------------------------------------------


def _bubbles(marks: Sequence[tuple[str, _Sketch]], ink: tuple[Item, ...]) -> Iterator[Item]:
    """Every letter in its circle; those with a line of their own first, for they cannot go far."""
    free = FreeSpace.beside(ink, (bounds(ink).grown(_RIM),))
    for letter, mark in sorted(marks, key=lambda each: not each[1].on):
        reach = bubble_radius(letter, _SIZE) + _MARGIN
        # on its own line a circle covers that line, which is as it should be
        on = (LabelSpot(at, demerit=i * 0.1 - _OVER_LINE - 2) for i, at in enumerate(mark.on))
        spots = (SpotRow.of(on), ring_spots(mark.at, _RINGS, _DIRECTIONS))
        found = free.best([(2 * reach, 2 * reach)], spots, over_line=_OVER_LINE)
        spot = found.spot if found else LabelSpot(mark.at)
        free = free.less((Box(spot.centre, reach, reach),))
        if spot.leader is not None:
            yield Fill((Circle(mark.at, 0.9),))
            yield Stroke(spot.leader, LEADER)
        yield from bubble(spot.centre, letter, _SIZE)
