"""The places of a true piece's dimensions, each as what would move it.

A place is a material point of the blank, a point of a bend's line, or where a tape finds a bend.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache, cached_property
from typing import NamedTuple

from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Line
from platewright.geometry.space import Placing, Point3, Vector3
from platewright.measuring.dimensions import Measured
from platewright.plate.bend import DrawnTo, Face, setback
from platewright.plate.blank import BlankBend
from platewright.plate.bracket import Hole
from platewright.plate.dimension import Spot, Straight, Touch
from platewright.plate.folded import folded
from platewright.plate.piece import Piece
from platewright.readings.reading import State
from platewright.values import dataclass

#: Places this near to each other are one, mm.
_SAME = 1e-6
#: Corners of an outline cross at more than this, as a sine.
_CORNER = 0.05
#: What a blade touches lies this near to the farthest place of a true part, mm.
_MAY_TOUCH = 15.0
_FACES: tuple[Face, ...] = ("top", "underside")
_MEASURED_TO: tuple[DrawnTo, ...] = ("outside", "inside", "centre", "arc", "corner")


@dataclass(frozen=True, slots=True)
class MetalPoint:
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
    foot: MetalPoint
    reach: DrawnTo | float


OnMetal = MetalPoint | OnBendLine | AtBend


class Touched(NamedTuple):
    """What a blade may touch: its way out of the part, in the drawing's frame with the root flat;
    places with their panels and heights, and the rounds of bends.
    """

    way: Vector3
    corners: tuple[tuple[int, OnMetal, float], ...]
    rounds: tuple[int, ...]


class DimensionPlaces:
    """The places of a true piece's dimensions, each looked for once.

    `spot` and `straight` find those of a panel on the folded part, the straight by its two ends,
    `face` one somewhere on it, `touched` what a blade touches; `point` and `line` find those on the
    blank, in the frame of its drawing, `outermost` what a blade touches there.
    """

    def __init__(self, piece: Piece) -> None:
        self.piece = piece
        self.thickness = piece.bracket.stock.thickness
        self.index = {each.panel.name: i for i, each in enumerate(piece.blank.panels)}
        own = [bend for panel in piece.bracket.root.walk() for bend in panel.bends]
        by_child = {bend.panel.name: bend for bend in own}
        self.bends = {each.number: by_child[each.child] for each in piece.blank.bends}
        self.spot = cache(self._spot)
        self.straight = cache(self._straight)
        self.face = cache(self._face)
        self.point = cache(self._point)
        self.line = cache(self._line)
        self.outermost = cache(self._outermost)
        self.touched = cache(self._touched)

    @property
    def holes(self) -> tuple[Hole, ...]:
        """The holes of the blank, panel by panel."""
        return self.piece.blank.holes

    @cached_property
    def hole_panels(self) -> tuple[str, ...]:
        """The panel of each hole of the blank."""
        return tuple(each.panel.name for each in self.piece.blank.panels for _ in each.panel.holes)

    @cached_property
    def bend_ends(self) -> dict[int, tuple[MetalPoint, MetalPoint]]:
        """The material ends of each bend's line."""
        return {
            bend.number: (self.material(bend.line.start), self.material(bend.line.end))
            for bend in self.piece.blank.bends
        }

    def height(self, face: str) -> float:
        """Where a face lies above the top face, mm."""
        return {"top": 0.0, "middle": -self.thickness / 2}.get(face, -self.thickness)

    def material(self, at: Point, along: Vector | None = None) -> MetalPoint:
        """A point of the blank by what moves it; `along` is the way of an edge that it is on."""
        for number, hole in enumerate(self.holes):
            if hole.centre.distance(at) < _SAME:
                return MetalPoint(at, hole=number)
        edges: list[tuple[int, Vector]] = []
        near = list(self._edges_at(at))
        if along is not None:
            near.sort(key=lambda each: abs(along.dot(each[1])) >= _CORNER)
            if near and abs(along.dot(near[0][1])) >= _CORNER:
                near = []
        for index, way in near:
            if all(abs(way.cross(other)) > _CORNER for _, other in edges):
                edges.append((index, way))
        return MetalPoint(at, tuple(edges[:2]))

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

    # --- on the blank -------------------------------------------------------------------------

    def _point(self, at: Point) -> OnMetal:
        for bend in self.piece.blank.bends:
            for share in (0.0, 0.5, 1.0):
                if bend.line.point_at(share).distance(at) < _SAME:
                    return OnBendLine(bend.number, share)
        return self.material(at)

    def _line(self, line: Line) -> tuple[OnMetal, OnMetal]:
        for bend in self.piece.blank.bends:
            for one, other in ((0.0, 1.0), (1.0, 0.0)):
                ends = bend.line.point_at(one), bend.line.point_at(other)
                if ends[0].distance(line.start) < _SAME and ends[1].distance(line.end) < _SAME:
                    return OnBendLine(bend.number, one), OnBendLine(bend.number, other)
        return self._ends(line)

    def _ends(self, line: Line) -> tuple[MetalPoint, MetalPoint]:
        """The ends of a line of the blank, as ends of the edge that it runs along."""
        way = line.direction
        return self.material(line.start, way), self.material(line.end, way)

    def _outermost(self, way: Vector) -> tuple[MetalPoint, ...]:
        """The places of the outline that a blade square to a direction may touch."""
        tops = [each.farthest(way) for each in self.piece.blank.outline.segments]
        most = max(way.x * top.x + way.y * top.y for top in tops)
        return tuple(
            self.material(top)
            for top in dict.fromkeys(tops)
            if way.x * top.x + way.y * top.y > most - _MAY_TOUCH
        )

    # --- on the folded part -------------------------------------------------------------------

    def _spot(self, place: Spot) -> OnMetal:
        return self._place(place.panel, place.at)

    def _straight(self, place: Straight) -> tuple[OnMetal, OnMetal]:
        line = place.line.moved(self.piece.blank.panel_motion(place.panel))
        start, end = (self._beside_bend(place.panel, p, line) for p in (line.start, line.end))
        return (start, end) if start and end else self._ends(line)

    def _face(self, panel: str) -> OnMetal:
        """A place on a panel's faces."""
        placed = self.piece.blank.panels[self.index[panel]]
        return self._place(panel, placed.panel.contour.segments[0].start)

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
        for to in _MEASURED_TO:
            if abs(setback(bend.way, bend.angle, self.thickness, to) - reach) < 10 * _SAME:
                return to
        return reach

    def _touched(self, touch: Touch) -> Touched:
        """The way of a blade, and what of the part it may touch."""
        model = folded(self.piece.bracket)
        own = model.panel(touch.panel).world_from_panel.vector(touch.out)
        found: list[tuple[float, tuple[int, OnMetal, float]]] = []
        for index, placed in enumerate(model.panels):
            down, name = placed.world_from_panel.inverse().vector(own), placed.panel.name
            level = Vector(down.x, down.y)
            segments = placed.panel.contour.segments
            spots = [segment.start for segment in segments]
            if level.length > _SAME:
                spots += [segment.farthest(level) for segment in segments]
            for p in dict.fromkeys(spots):
                spot = self._place(name, p)
                for face in _FACES:
                    reach = along(own, model.place_of(name, p, face))
                    found.append((reach, (index, spot, self.height(face))))
        most = max(reach for reach, _ in found) - _MAY_TOUCH
        rounds = []
        for bend in model.bends:
            first, last = bend.axis
            across = math.sqrt(max(0.0, 1 - along(own, bend.world_from_bend.x_axis) ** 2))
            outer = (bend.inside_radius + bend.bent_thickness) * across
            if max(along(own, first), along(own, last)) + outer > most:
                rounds.append(bend.number)
        root = Placing.flat(self.piece.blank.panel_motion(model.panels[0].panel.name))
        corners = tuple(each for reach, each in found if reach > most)
        return Touched(root.vector(own), corners, tuple(rounds))

    # --- the tape -----------------------------------------------------------------------------

    def hooked(self, measured: Measured, state: State) -> bool:
        """Whether a tape's hook hangs over an edge of the blank's outline: no angle, no blade."""
        each = measured.dimension
        if each.quantity == "angle" or isinstance(each.end, Touch):
            return False
        return each.over_all or any(
            isinstance(place, MetalPoint) and place.edges for place in self._hung(measured, state)
        )

    def _hung(self, measured: Measured, state: State) -> Iterator[OnMetal]:
        if state == "flat":
            for end in measured.blank_ends:
                yield self.line(end.line)[0] if end.line else self.point(end.at)
            return
        for place in (measured.dimension.start, measured.dimension.end):
            if isinstance(place, Straight):
                yield self.straight(place)[0]
            elif isinstance(place, Spot):
                yield self.spot(place)


def along(way: Vector3, p: Point3 | Vector3) -> float:
    """How far a place lies along a direction, mm; of a direction its cosine."""
    return way.x * p.x + way.y * p.y + way.z * p.z
