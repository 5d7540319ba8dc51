"""The picture of a measuring form: the flat bracket with the letter of each measurement.

Lengths are dimension lines, angles arcs between arrows, the rest points; the letter stands in a
circle on its line where that covers least ink, else beside it on a short leader.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain

from platewright.drawing.dimensions import (
    angle_dimension,
    bubble,
    bubble_radius,
    dimension,
)
from platewright.drawing.free_space import Box, FreeSpace, Spot, ring_spots
from platewright.drawing.items import Fill, Item, Stroke, Text, bounds
from platewright.drawing.scaling import scaled, scaled_line, scaled_point
from platewright.drawing.style import BEND, CENTRE, LEADER, OUTLINE, PHANTOM
from platewright.geometry.contour import Circle
from platewright.geometry.plane import Bounds, Motion, Point, Vector
from platewright.geometry.segment import Arc, Line
from platewright.kinds.kind import InPlace
from platewright.plate.bracket import Panel
from platewright.plate.dimension import Dimension, PanelFace, Straight, Tag
from platewright.plate.dimension import Spot as Ending
from platewright.plate.piece import Piece
from platewright.sheets.key import small_blank
from platewright.sheets.pattern import hatched_band

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A length from one place of a panel to another."""

    key: str
    panel: str
    start: Point
    end: Point
    row: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """An angle at a place of a panel, from a direction (radians) by a signed sweep."""

    key: str
    panel: str
    apex: Point
    start: float
    sweep: float
    reach: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Pointer:
    """What is told of one place of a panel."""

    key: str
    panel: str
    at: Point


Shown = Span | Opening | Pointer


def shown(
    panels: Mapping[str, Panel], dimensions: Iterable[Dimension], tags: Iterable[Tag]
) -> Iterator[Shown]:
    """Where each key shows, once."""
    seen = set()
    for each in dimensions:
        key = re.sub(r"\[\d+\]", "[]", each.key)
        found = _shown(key, each, panels) if key and key not in seen else None
        if found is not None:
            seen.add(key)
            yield found
    for tag in tags:
        key = re.sub(r"\[\d+\]", "[]", tag.key)
        if key not in seen:
            seen.add(key)
            yield Pointer(key=key, panel=tag.panel, at=tag.at)


def _shown(key: str, each: Dimension, panels: Mapping[str, Panel]) -> Shown | None:
    start, end = each.start, each.end
    if isinstance(end, PanelFace):
        base = panels[end.panel].straight_edge("base")
        return Pointer(key=key, panel=end.panel, at=base.point_at(0.75))
    if isinstance(start, Straight) and isinstance(end, Straight):
        one, other = start.line.direction, end.line.direction
        sine = one.cross(other)
        along = (end.line.start - start.line.start).cross(other) / sine
        apex = start.line.start + one * along
        sweep = math.atan2(sine, one.dot(other))
        reach = min(start.line.length, 40.0) * 0.5
        return Opening(
            key=key, panel=start.panel, apex=apex, start=one.angle, sweep=sweep, reach=reach
        )
    if start.panel != end.panel or not isinstance(start, Ending):
        return None
    if not isinstance(end, Ending | Straight):
        return None
    there = end.at if isinstance(end, Ending) else _foot(start.at, end.line)
    return Span(key=key, panel=start.panel, start=start.at, end=there)


def _foot(at: Point, line: Line) -> Point:
    return line.start + line.direction * line.direction.dot(at - line.start)


@dataclass(frozen=True, slots=True)
class _Lettered:
    """A letter, the places on its own line that it may take, and the place it belongs to."""

    letter: str
    on: tuple[Point, ...]
    at: Point


def form_key(
    piece: Piece, shown: Iterable[Shown], letters: Mapping[str, str], size: tuple[float, float]
) -> tuple[Item, ...]:
    """The blank with its letters, about the origin at the scale that fits a box of `size` mm.

    Measurements whose letter is not known are left out.
    """
    factor = _factor(piece.blank.bounds, size)
    told = [
        _drawn(each, letters[each.key], _Paper(piece.blank.panel_motion(each.panel), factor))
        for each in shown
        if each.key in letters
    ]
    return _with_letters(tuple(_ink(piece, factor)), told)


def place_key(
    place: InPlace, letters: Mapping[str, str], size: tuple[float, float]
) -> tuple[Item, ...]:
    """The bracket in its place with its letters, at the scale that fits a box of `size` mm."""
    box = place.section.bounds.union(place.carried.bounds).union(place.face.bounds)
    factor = _factor(box, size)
    paper = _Paper(Motion(), factor)
    told = [
        _drawn(each, letters[each.key], paper)
        for each in shown({}, place.dimensions, place.tags)
        if each.key in letters
    ]
    return _with_letters(tuple(_place_ink(place, factor)), told)


def _with_letters(
    ink: tuple[Item, ...], told: Sequence[tuple[tuple[Item, ...], _Lettered]]
) -> tuple[Item, ...]:
    drawn = (*ink, *(item for lines, _ in told for item in lines))
    return (*drawn, *_bubbles([mark for _, mark in told], drawn))


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


# --- lines and places -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Paper:
    """From a panel's frame to the picture."""

    blank_from_panel: Motion
    factor: float

    def point(self, p: Point) -> Point:
        return scaled_point(self.blank_from_panel.point(p), self.factor)

    def angle(self, angle: float) -> float:
        return self.blank_from_panel.vector(Vector.polar(angle)).angle


def _drawn(each: Shown, letter: str, paper: _Paper) -> tuple[tuple[Item, ...], _Lettered]:
    match each:
        case Span():
            return _span(each, letter, paper)
        case Opening():
            return _opening(each, letter, paper)
        case Pointer():
            at = paper.point(each.at)
            return (), _Lettered(letter, (), at)


def _span(each: Span, letter: str, paper: _Paper) -> tuple[tuple[Item, ...], _Lettered]:
    start, end = paper.point(each.start), paper.point(each.end)
    offset = each.row * _ROW
    out = (end - start).unit().left * offset
    line = Line(start + out, end + out)
    drawn = _wordless(dimension(start, end, "", offset=offset))
    room = line.length > 4 * bubble_radius(letter, _SIZE)
    on = tuple(line.point_at(f) for f in _FRACTIONS) if room else ()
    return drawn, _Lettered(letter, on, line.point_at(0.5))


def _opening(each: Opening, letter: str, paper: _Paper) -> tuple[tuple[Item, ...], _Lettered]:
    apex, start = paper.point(each.apex), paper.angle(each.start)
    radius = max(9.0, each.reach * paper.factor)
    arc = Arc.about(apex, radius, start, each.sweep)
    leg = Line(apex, apex + Vector.polar(start, radius + 2.0))
    drawn = _wordless(angle_dimension(apex, start, each.sweep, radius, ""))
    room = arc.length > 4 * bubble_radius(letter, _SIZE)
    on = (arc.point_at(0.5),) if room else ()
    return (Stroke(leg, LEADER), *drawn), _Lettered(letter, on, arc.point_at(0.5))


def _wordless(items: Iterable[Item]) -> tuple[Item, ...]:
    return tuple(item for item in items if not isinstance(item, Text))


# --- letters ----------------------------------------------------------------------------------


def _bubbles(marks: Iterable[_Lettered], ink: tuple[Item, ...]) -> Iterator[Item]:
    """Every letter in its circle; those with a line of their own first, for they cannot go far."""
    free = FreeSpace.beside(ink, (bounds(ink).grown(_RIM),))
    for mark in sorted(marks, key=lambda each: not each.on):
        reach = bubble_radius(mark.letter, _SIZE) + _MARGIN
        # on its own line a circle covers that line, which is as it should be
        on = (Spot(at, demerit=i * 0.1 - _OVER_LINE - 2) for i, at in enumerate(mark.on))
        spots = chain(on, ring_spots(mark.at, _RINGS, _DIRECTIONS))
        found = free.best((2 * reach, 2 * reach), spots, over_line=_OVER_LINE)
        spot = found[1] if found else Spot(mark.at)
        free = free.less((Box(spot.centre, reach, reach),))
        if spot.leader is not None:
            yield Fill((Circle(mark.at, 0.9),))
            yield Stroke(spot.leader, LEADER)
        yield from bubble(spot.centre, mark.letter, _SIZE)
