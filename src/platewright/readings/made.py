"""A piece as it was made: what its dimensions come to when it was not made as drawn.

A departure is a number that is 0 on a true part. Departures move the places on the blank, and the
same steps as for the true part fold them.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Literal, NamedTuple

from platewright.geometry.plane import Motion, Point, Vector
from platewright.geometry.segment import Line
from platewright.geometry.space import Placing, Point3, Vector3
from platewright.measuring.dimensions import Measured
from platewright.plate.bend import BendWay, setback
from platewright.plate.blank import BlankBend
from platewright.plate.dimension import Dimension, PanelFace, Place, Spot, Straight, Touch
from platewright.plate.folded import height_above
from platewright.plate.piece import Piece
from platewright.plate.place import bend_step, edge_frame
from platewright.readings.places import (
    AtBend,
    DimensionPlaces,
    MetalPoint,
    OnBendLine,
    OnMetal,
    along,
)
from platewright.readings.reading import State

What = Literal[
    "scale x", "scale y", "edges", "edge", "hole x", "hole y", "shift", "turn", "allowance", "angle"
]


class Departure(NamedTuple):
    """One way in which a part can be made otherwise than drawn; what its number means.

    "scale x" and "scale y": the print's share too long, left to right and bottom to top of the
    drawing. "edges": metal missing at every cut edge, mm; "edge": at segment `at` of the outline.
    "hole x" and "hole y": how far hole `at` of the blank stands off, mm. "shift": how far the line
    of bend `at` stands off towards its child, mm, "turn": how far it is turned about its middle,
    radians; "allowance": how much more flat it uses, mm; "angle": how much farther it is folded,
    radians.
    """

    what: What
    at: int = 0


Departures = Mapping[Departure, float]

#: How far a departure is changed either way for its slope: mm, and shares and radians.
_STEP, _STEPS = 0.5, {"scale x": 0.002, "scale y": 0.002, "turn": 0.005, "angle": 0.01}
#: Lines that cross an edge do so at more than this, as a sine.
_ACROSS = 0.2


class Made:
    """A piece with some departures: what a tape shows on it."""

    def __init__(self, places: DimensionPlaces, departures: Departures) -> None:
        self.places, self.by = places, departures
        #: Where it is a set, what is asked for goes into it.
        self.asked: set[Departure] | None = None
        self._bends: dict[int, _Bent] = {}
        self._panels: dict[int, Placing] = {0: Placing()}

    def value(self, measured: Measured, state: State) -> float:
        """What a dimension comes to, mm or radians."""
        if state == "flat":
            return self._on_blank(measured)
        return self._on_part(measured.dimension)

    def off(self, what: What, at: int = 0) -> float:
        """A departure, 0 where there is none."""
        if self.asked is not None:
            self.asked.add(Departure(what, at))
        # a plain pair finds what is kept by a departure, and is sooner made
        return self.by.get((what, at), 0.0) if self.by else 0.0  # type: ignore[call-overload]

    # --- the blank ----------------------------------------------------------------------------

    def material(self, place: MetalPoint) -> Point:
        """Where a material point stands on the blank."""
        at = self._scaled(place.at)
        if place.hole is not None:
            return at + Vector(self.off("hole x", place.hole), self.off("hole y", place.hole))
        missing = [(way, self._missing(edge)) for edge, way in place.edges]
        if len(missing) == 1:
            way, less = missing[0]
            return at + way * -less
        if len(missing) == 2:
            (a, s), (b, t) = missing
            return at + Vector(t * a.y - s * b.y, s * b.x - t * a.x) / a.cross(b)
        return at

    def _scaled(self, at: Point) -> Point:
        return Point(at.x * (1 + self.off("scale x")), at.y * (1 + self.off("scale y")))

    def _missing(self, edge: int) -> float:
        return self.off("edges") + self.off("edge", edge)

    def _slid(self, place: MetalPoint, along: Vector) -> Point:
        """Where a line in a direction, from a place at an edge, ends at that edge now."""
        at = self._scaled(place.at)
        for edge, way in place.edges:
            across = way.dot(along)
            if abs(across) > _ACROSS:
                return at + along * (-self._missing(edge) / across)
        return at

    def bent(self, number: int) -> _Bent:
        """A bend as it was made, by its number."""
        found = self._bends.get(number)
        if found is None:
            found = self._bends[number] = self._bent(self.places.piece.blank.bends[number - 1])
        return found

    def _bent(self, bend: BlankBend) -> _Bent:
        along = self._scaled(bend.line.end) - self._scaled(bend.line.start)
        along = along.unit()
        start, end = (self._slid(each, along) for each in self.places.bend_ends[bend.number])
        middle = self._scaled(bend.line.point_at(0.5))
        out = along.right * self.off("shift", bend.number)
        turn = Motion.rotation(self.off("turn", bend.number), middle)
        line = Line(turn.point(start) + out, turn.point(end) + out)
        angle = bend.angle + self.off("angle", bend.number)
        thickness = self.places.thickness
        more = self.off("allowance", bend.number)
        way = bend.way.using(more, angle, thickness) if more else bend.way
        return _Bent(line, angle, way, way.allowance(angle, thickness))

    def _on_blank(self, measured: Measured) -> float:
        each = measured.dimension
        start, end = measured.blank_ends[0], measured.blank_ends[-1]
        if each.over_all and end.line:
            way = end.line.direction.left
            return sum(self._outermost(out) for out in (way, -way))
        line = self._line(self.places.line(end.line)) if end.line else None
        if each.quantity == "angle":
            assert line is not None
            return _turn(self._line(self.places.line(start.line)), line)
        if each.end_to_end and line is not None:
            return line.length
        at = self.stands(self.places.point(start.at))
        if line is not None:
            return abs(line.direction.cross(at - line.start))
        return at.distance(self.stands(self.places.point(end.at)))

    def _outermost(self, way: Vector) -> float:
        """How far the blank reaches in a direction, mm from the drawing's origin."""
        reached = (self.material(each) for each in self.places.outermost(way))
        return max(way.x * at.x + way.y * at.y for at in reached)

    def stands(self, place: OnMetal) -> Point:
        """Where a place stands on the blank."""
        if isinstance(place, MetalPoint):
            return self.material(place)
        bend = self.bent(place.bend)
        if isinstance(place, OnBendLine):
            return bend.line.point_at(place.share)
        return self._at_bend(place, bend)

    def _at_bend(self, place: AtBend, bend: _Bent) -> Point:
        """Beyond a bend's tangent line, where the bend as made is found."""
        out = bend.line.direction.right * (-1.0 if place.of_child else 1.0)
        reach = bend.allowance / -2 + (
            place.reach
            if isinstance(place.reach, float)
            else setback(bend.way, bend.angle, self.places.thickness, place.reach)
        )
        along = bend.line.direction
        foot = self._slid(place.foot, along)
        on_line = bend.line.start + along * along.dot(foot - bend.line.start)
        return on_line + out * reach

    def _line(self, ends: tuple[OnMetal, OnMetal]) -> Line:
        return Line(self.stands(ends[0]), self.stands(ends[1]))

    # --- the folded part ----------------------------------------------------------------------

    def panel(self, index: int) -> Placing:
        """From the blank to the folded part, of what is on one panel."""
        found = self._panels.get(index)
        if found is None:
            bend, number = self.places.piece.blank.bends[index - 1], index
            made, parent = self.bent(number), self.places.index[bend.parent]
            half = made.line.direction.right * (made.allowance / 2)
            near, far = (
                edge_frame(Line(made.line.end + way, made.line.start + way))
                for way in (-half, half)
            )
            turned = replace(self.places.bends[number], angle=made.angle, way=made.way)
            found = self._panels[index] = (
                self.panel(parent)
                @ Placing.flat(near)
                @ bend_step(turned, self.places.thickness, 1.0)
                @ Placing.flat(far.inverse())
            )
        return found

    def _on_part(self, each: Dimension) -> float:
        start, end = each.start, each.end
        if each.quantity == "angle":
            if isinstance(start, Straight) and isinstance(end, Straight):
                lines = [self._line(self.places.straight(place)) for place in (start, end)]
                return _turn(*lines)
            one, other = (self.panel(self.places.index[p.panel]).z_axis for p in (start, end))
            return math.atan2(one.cross(other).length, one.dot(other))
        if isinstance(start, Touch) and isinstance(end, Touch):
            return self._reach(start) + self._reach(end)
        if isinstance(end, Straight):
            first, last = self._straight(end)
            if each.end_to_end:
                return first.distance(last)
            way = (last - first).unit()
            return way.cross(self._there(start) - first).length
        here, there = self._there(start), self._there(end)
        if isinstance(end, PanelFace):
            return abs(height_above(here, there, self.panel(self.places.index[end.panel]).z_axis))
        return here.distance(there)

    def _there(self, place: Place) -> Point3:
        index = self.places.index[place.panel]
        height = self.places.height(place.face)
        if isinstance(place, Straight):
            at = self._line(self.places.straight(place)).point_at(0.5)
        elif isinstance(place, PanelFace):
            at = self.stands(self.places.face(place.panel))
        else:
            assert isinstance(place, Spot)
            at = self.stands(self.places.spot(place))
        return self.panel(index).point(at, height)

    def _straight(self, place: Straight) -> tuple[Point3, Point3]:
        line = self._line(self.places.straight(place))
        frame = self.panel(self.places.index[place.panel])
        height = self.places.height(place.face)
        return frame.point(line.start, height), frame.point(line.end, height)

    def _reach(self, touch: Touch) -> float:
        """How far the part reaches towards a blade, mm from the drawing's origin."""
        way, corners, rounds = self.places.touched(touch)
        found = [
            along(way, self.panel(index).point(self.stands(place), height))
            for index, place, height in corners
        ]
        found += [self.reach_of_round(number, way) for number in rounds]
        return max(found)

    def reach_of_round(self, number: int, way: Vector3) -> float:
        """How far the round of a bend reaches in a direction, mm."""
        bend, made = self.places.bends[number], self.bent(number)
        thickness, up = self.places.thickness, bend.direction == "up"
        half = made.line.direction.right * (made.allowance / 2)
        near = Line(made.line.end + -half, made.line.start + -half)
        parent = self.places.index[self.places.piece.blank.bends[number - 1].parent]
        frame = self.panel(parent) @ Placing.flat(edge_frame(near))
        radius = made.way.inside_radius(made.angle, thickness)
        outer = radius + made.way.bent_thickness(thickness)
        own = frame.inverse().vector(way)
        fold = -1.0 if up else 1.0
        turn = min(max(math.atan2(own.y, fold * own.z), 0.0), made.angle)
        y, z = outer * math.sin(turn), fold * outer * math.cos(turn)
        level = radius if up else -thickness - radius
        return max(
            along(way, frame.point3(Point3(end, y, level + z))) for end in (0.0, near.length)
        )


class _Bent(NamedTuple):
    """A bend as made: its line on the blank, its angle, its way, the flat that it uses."""

    line: Line
    angle: float
    way: BendWay
    allowance: float


class Slopes:
    """How each dimension of a piece changes with each departure, worked out when asked for."""

    def __init__(self, places: DimensionPlaces) -> None:
        self.places = places
        self._slopes: dict[tuple[Dimension, State], dict[Departure, float]] = {}
        self._made: dict[frozenset[tuple[Departure, float]], Made] = {}

    def of(self, measured: Measured, state: State) -> dict[Departure, float]:
        """The slope of a dimension by each departure that it depends on: central differences."""
        key = measured.dimension, state
        found = self._slopes.get(key)
        if found is None:
            true, asked = Made(self.places, {}), set[Departure]()
            true.asked = asked
            true.value(measured, state)
            found = self._slopes[key] = {}
            for each in sorted(asked):
                step = _STEPS.get(each.what, _STEP)
                less, more = (self.made({each: by}).value(measured, state) for by in (-step, step))
                found[each] = (more - less) / (2 * step)
        return found

    def made(self, departures: Departures) -> Made:
        """The piece with some departures, kept for the next dimension."""
        key = frozenset(departures.items())
        found = self._made.get(key)
        if found is None:
            found = self._made[key] = Made(self.places, departures)
        return found


@lru_cache(maxsize=8)
def slopes_of(piece: Piece) -> Slopes:
    """The slopes of a piece, kept: what is found of them serves the next readings too."""
    return Slopes(DimensionPlaces(piece))


def _turn(one: Line, other: Line) -> float:
    a, b = one.direction, other.direction
    return abs(math.atan2(a.cross(b), a.dot(b)))
