"""A piece as it was made: what its dimensions come to when it was not made as drawn.

A departure is a number that is 0 on a true part. Places are material points of the blank, points
of its bends' lines, or where a tape finds a bend; departures move them there, and the same steps
as for the true part fold them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cached_property, lru_cache
from typing import Literal, NamedTuple

from platewright.geometry.plane import Motion, Point, Vector
from platewright.geometry.segment import Line
from platewright.geometry.space import Placing, Point3, Vector3
from platewright.measuring.dimensions import Measured
from platewright.plate.bend import BendWay, DrawnTo, setback
from platewright.plate.blank import BlankBend
from platewright.plate.bracket import Hole
from platewright.plate.dimension import (
    Dimension,
    OnBlank,
    PanelFace,
    Place,
    Spot,
    Straight,
    Touch,
)
from platewright.plate.folded import folded, height_above
from platewright.plate.piece import Piece
from platewright.plate.place import bend_step, edge_frame
from platewright.readings.reading import State
from platewright.values import dataclass

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
#: Places this near to each other are one, mm.
_SAME = 1e-6
#: Corners of an outline cross at more than this, as a sine.
_CORNER = 0.05
#: Lines that cross an edge do so at more than this, as a sine.
_ACROSS = 0.2
#: What a blade touches lies this near to the farthest place of a true part, mm.
_MAY_TOUCH = 15.0
_FACES: tuple[DrawnTo, ...] = ("outside", "inside", "centre", "arc", "corner")


class Made:
    """A piece with some departures: what a tape shows on it."""

    def __init__(self, places: Places, departures: Departures) -> None:
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

    def material(self, place: Material) -> Point:
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

    def _slid(self, place: Material, along: Vector) -> Point:
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
        line = self._line(self.places.flat_line(end)) if end.line else None
        if each.quantity == "angle":
            assert line is not None
            return _turn(self._line(self.places.flat_line(start)), line)
        if each.end_to_end and line is not None:
            return line.length
        at = self.stands(self.places.flat_point(start))
        if line is not None:
            return abs(line.direction.cross(at - line.start))
        return at.distance(self.stands(self.places.flat_point(end)))

    def _outermost(self, way: Vector) -> float:
        """How far the blank reaches in a direction, mm from the drawing's origin."""
        reached = (self.material(each) for each in self.places.outermost(way))
        return max(way.x * at.x + way.y * at.y for at in reached)

    def stands(self, place: OnMetal) -> Point:
        """Where a place stands on the blank."""
        if isinstance(place, Material):
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
            at = self.stands(self.places.corners[index][0])
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
            _along(way, self.panel(index).point(self.stands(place), height))
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
            _along(way, frame.point3(Point3(along, y, level + z))) for along in (0.0, near.length)
        )


class _Bent(NamedTuple):
    """A bend as made: its line on the blank, its angle, its way, the flat that it uses."""

    line: Line
    angle: float
    way: BendWay
    allowance: float


# --- places of the true part ------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Material:
    """A point of the blank's metal: in a hole's middle, or on segments of the outline.

    `edges` are at most two segments of the outline by their index, each with the way out of the
    metal there.
    """

    at: Point
    edges: tuple[tuple[int, Vector], ...] = ()
    hole: int | None = None


@dataclass(frozen=True, slots=True)
class OnBendLine:
    """A point of a bend's line, at a share of its length."""

    bend: int
    share: float


@dataclass(frozen=True, slots=True)
class AtBend:
    """Where a tape finds a bend, beyond its tangent line on the parent or on the child.

    `foot` is the place on the tangent line, `reach` what was measured to, or how far from there.
    """

    bend: int
    of_child: bool
    foot: Material
    reach: DrawnTo | float


OnMetal = Material | OnBendLine | AtBend


class Places:
    """The places of a true piece's dimensions, each as what moves it."""

    def __init__(self, piece: Piece) -> None:
        self.piece = piece
        self.thickness = piece.bracket.stock.thickness
        self.index = {each.panel.name: i for i, each in enumerate(piece.blank.panels)}
        own = [bend for panel in piece.bracket.root.walk() for bend in panel.bends]
        by_child = {bend.panel.name: bend for bend in own}
        self.bends = {each.number: by_child[each.child] for each in piece.blank.bends}
        self._spots: dict[Spot, OnMetal] = {}
        self._straights: dict[Straight, tuple[OnMetal, OnMetal]] = {}
        self._on_blank: dict[Point, OnMetal] = {}
        self._flat_lines: dict[Line, tuple[OnMetal, OnMetal]] = {}
        self._touched: dict[Touch, _Touched] = {}
        self._outermost: dict[Vector, tuple[Material, ...]] = {}
        self._slopes: dict[tuple[Dimension, State], dict[Departure, float]] = {}
        self._made: dict[frozenset[tuple[Departure, float]], Made] = {}

    def slopes(self, measured: Measured, state: State) -> dict[Departure, float]:
        """How a dimension changes with each departure that it depends on: central differences."""
        key = measured.dimension, state
        found = self._slopes.get(key)
        if found is None:
            true, asked = Made(self, {}), set[Departure]()
            true.asked = asked
            true.value(measured, state)
            found = self._slopes[key] = {
                departure: self._slope(measured, state, departure) for departure in sorted(asked)
            }
        return found

    def _slope(self, measured: Measured, state: State, departure: Departure) -> float:
        step = _STEPS.get(departure.what, _STEP)
        less, more = (self.made({departure: by}).value(measured, state) for by in (-step, step))
        return (more - less) / (2 * step)

    def made(self, departures: Departures) -> Made:
        """The piece with some departures, kept for the next dimension."""
        key = frozenset(departures.items())
        found = self._made.get(key)
        if found is None:
            found = self._made[key] = Made(self, departures)
        return found

    def hooked(self, measured: Measured, state: State) -> bool:
        """Whether a tape's hook hangs over an edge of the blank's outline: no angle, no blade."""
        each = measured.dimension
        if each.quantity == "angle" or isinstance(each.end, Touch):
            return False
        return each.over_all or any(
            isinstance(place, Material) and place.edges for place in self._ends_of(measured, state)
        )

    def _ends_of(self, measured: Measured, state: State) -> Iterator[OnMetal]:
        if state == "flat":
            for end in measured.blank_ends:
                yield self.flat_line(end)[0] if end.line else self.flat_point(end)
            return
        for place in (measured.dimension.start, measured.dimension.end):
            if isinstance(place, Straight):
                yield self.straight(place)[0]
            elif isinstance(place, Spot):
                yield self.spot(place)

    @property
    def holes(self) -> tuple[Hole, ...]:
        """The holes of the blank, panel by panel."""
        return self.piece.blank.holes

    @cached_property
    def hole_panels(self) -> tuple[str, ...]:
        """The panel of each hole of the blank."""
        return tuple(each.panel.name for each in self.piece.blank.panels for _ in each.panel.holes)

    @cached_property
    def bend_ends(self) -> dict[int, tuple[Material, Material]]:
        """The material ends of each bend's line."""
        return {
            bend.number: (self.material(bend.line.start), self.material(bend.line.end))
            for bend in self.piece.blank.bends
        }

    @cached_property
    def corners(self) -> tuple[tuple[OnMetal, ...], ...]:
        """Of each panel where its segments start."""
        return tuple(
            tuple(self._place(placed.panel.name, p) for p in placed.panel.contour.corners)
            for placed in self.piece.blank.panels
        )

    def height(self, face: str) -> float:
        """Where a face lies above the top face, mm."""
        return {"top": 0.0, "middle": -self.thickness / 2}.get(face, -self.thickness)

    def material(self, at: Point, along: Vector | None = None) -> Material:
        """A point of the blank by what moves it; `along` is the way of an edge that it is on."""
        for number, hole in enumerate(self.holes):
            if hole.centre.distance(at) < _SAME:
                return Material(at, hole=number)
        edges: list[tuple[int, Vector]] = []
        near = list(self._edges_at(at))
        if along is not None:
            near.sort(key=lambda each: abs(along.dot(each[1])) >= _CORNER)
            if near and abs(along.dot(near[0][1])) >= _CORNER:
                near = []
        for index, way in near:
            if all(abs(way.cross(other)) > _CORNER for _, other in edges):
                edges.append((index, way))
        return Material(at, tuple(edges[:2]))

    def _edges_at(self, at: Point) -> Iterator[tuple[int, Vector]]:
        """The outline's segments at a point, then those whose line runs through it, near to it."""
        segments = self.piece.blank.outline.segments
        away = [segment.distance(at) for segment in segments]
        touching = [i for i, far in enumerate(away) if far < _SAME]
        for i in touching:
            yield i, segments[i].direction_at(segments[i].nearest_fraction(at)).right
        if not self.piece.blank.outline.contains(at):
            for i in sorted(range(len(segments)), key=lambda each: away[each]):
                line = segments[i]
                if i not in touching and isinstance(line, Line):
                    way = line.direction
                    if abs(way.cross(at - line.start)) < _SAME:
                        yield i, way.right

    def flat_point(self, place: OnBlank) -> OnMetal:
        """A place found on the blank."""
        found = self._on_blank.get(place.at)
        if found is None:
            found = self._on_blank[place.at] = self._flat_point(place.at)
        return found

    def _flat_point(self, at: Point) -> OnMetal:
        for bend in self.piece.blank.bends:
            for share in (0.0, 0.5, 1.0):
                if bend.line.point_at(share).distance(at) < _SAME:
                    return OnBendLine(bend.number, share)
        return self.material(at)

    def flat_line(self, place: OnBlank) -> tuple[OnMetal, OnMetal]:
        """The two ends of a line found on the blank."""
        line = place.line
        assert line is not None
        found = self._flat_lines.get(line)
        if found is None:
            found = self._flat_lines[line] = self._flat_line(line)
        return found

    def _flat_line(self, line: Line) -> tuple[OnMetal, OnMetal]:
        for bend in self.piece.blank.bends:
            for one, other in ((0.0, 1.0), (1.0, 0.0)):
                ends = bend.line.point_at(one), bend.line.point_at(other)
                if ends[0].distance(line.start) < _SAME and ends[1].distance(line.end) < _SAME:
                    return OnBendLine(bend.number, one), OnBendLine(bend.number, other)
        return self._ends(line)

    def _ends(self, line: Line) -> tuple[Material, Material]:
        """The ends of a line of the blank, as ends of the edge that it runs along."""
        way = line.direction
        return self.material(line.start, way), self.material(line.end, way)

    def outermost(self, way: Vector) -> tuple[Material, ...]:
        """The places of the outline that a blade square to a direction may touch."""
        found = self._outermost.get(way)
        if found is None:
            tops = [each.farthest(way) for each in self.piece.blank.outline.segments]
            most = max(way.x * top.x + way.y * top.y for top in tops)
            found = self._outermost[way] = tuple(
                self.material(top)
                for top in dict.fromkeys(tops)
                if way.x * top.x + way.y * top.y > most - _MAY_TOUCH
            )
        return found

    def spot(self, place: Spot) -> OnMetal:
        """A point of a panel on the folded part."""
        found = self._spots.get(place)
        if found is None:
            found = self._spots[place] = self._place(place.panel, place.at)
        return found

    def straight(self, place: Straight) -> tuple[OnMetal, OnMetal]:
        """The two ends of a straight of a panel on the folded part."""
        found = self._straights.get(place)
        if found is None:
            line = place.line.moved(self.piece.blank.panel_motion(place.panel))
            start, end = (self._beside_bend(place.panel, p, line) for p in (line.start, line.end))
            found = (start, end) if start and end else self._ends(line)
            self._straights[place] = found
        return found

    def _place(self, panel: str, at: Point) -> OnMetal:
        here = self.piece.blank.panel_motion(panel).point(at)
        return self._beside_bend(panel, here) or self.material(here)

    def _beside_bend(self, panel: str, at: Point, along: Line | None = None) -> AtBend | None:
        """A place of a panel as part of one of its bends; only of one that runs `along` a line."""
        for bend in self.piece.blank.bends:
            if panel not in (bend.parent, bend.child):
                continue
            of_child = panel == bend.child
            tangent = bend.far if of_child else bend.near
            way = tangent.direction
            out = way.left if of_child else way.right
            if along is not None:
                if abs(along.direction.cross(way)) > _SAME:
                    continue
                at_middle = along.point_at(0.5)
            else:
                at_middle = at
            reach, run = out.dot(at - tangent.start), way.dot(at_middle - tangent.start)
            if reach < -_SAME or not -_SAME <= run <= tangent.length + _SAME:
                continue
            foot = at + -out * reach
            return AtBend(bend.number, of_child, self.material(foot), self._told(bend, reach))
        return None

    def _told(self, bend: BlankBend, reach: float) -> DrawnTo | float:
        """What a distance beyond a tangent line is measured to."""
        if reach < _SAME:
            return "flat"
        for to in _FACES:
            if abs(setback(bend.way, bend.angle, self.thickness, to) - reach) < 10 * _SAME:
                return to
        return reach

    def touched(self, touch: Touch) -> _Touched:
        """The way of a blade, and what of the part it may touch."""
        found = self._touched.get(touch)
        if found is None:
            found = self._touched[touch] = self._touching(touch)
        return found

    def _touching(self, touch: Touch) -> _Touched:
        model, true = folded(self.piece.bracket), Made(self, {})
        own = model.panel(touch.panel).world_from_panel.vector(touch.out)
        root = Placing.flat(self.piece.blank.panel_motion(model.panels[0].panel.name))
        way = root.vector(own)
        found: list[tuple[float, tuple[int, OnMetal, float]]] = []
        for index, placed in enumerate(self.piece.blank.panels):
            there = true.panel(index)
            down = there.inverse().vector(way)
            level = Vector(down.x, down.y)
            spots = list(self.corners[index])
            if level.length > _SAME:
                for segment in placed.panel.contour.moved(placed.blank_from_panel).segments:
                    top = segment.farthest(level)
                    if top not in (segment.start, segment.end):
                        spots.append(self.material(top))
            for spot in spots:
                for height in (self.height("top"), self.height("underside")):
                    at = there.point(true.stands(spot), height)
                    found.append((_along(way, at), (index, spot, height)))
        most = max(reach for reach, _ in found)
        corners = tuple(each for reach, each in found if reach > most - _MAY_TOUCH)
        rounds = tuple(n for n in self.bends if true.reach_of_round(n, way) > most - _MAY_TOUCH)
        return _Touched(way, corners, rounds)


class _Touched(NamedTuple):
    way: Vector3
    corners: tuple[tuple[int, OnMetal, float], ...]
    rounds: tuple[int, ...]


def _turn(one: Line, other: Line) -> float:
    a, b = one.direction, other.direction
    return abs(math.atan2(a.cross(b), a.dot(b)))


def _along(way: Vector3, p: Point3) -> float:
    return way.x * p.x + way.y * p.y + way.z * p.z


@lru_cache(maxsize=8)
def places_of(piece: Piece) -> Places:
    """The places of a piece, kept: what is found of them serves the next readings too."""
    return Places(piece)
