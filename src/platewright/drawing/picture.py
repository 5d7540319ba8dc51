"""A solid as the eye sees it: visible lines, and its facets in the order that they are painted."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator
from functools import cached_property
from itertools import pairwise

from platewright.drawing.hidden_lines import Interval, Occluder, occluder, overlaps, visible_parts
from platewright.drawing.style import EDGE, OUTLINE, LineStyle
from platewright.drawing.view_direction import Seen, ViewDirection
from platewright.geometry.plane import Point
from platewright.geometry.space import Point3, Vector3
from platewright.plate.solid import Facet, Skin, Solid
from platewright.values import dataclass

#: A facet is turned away from the eye when its normal comes less than this towards it.
_EDGE_ON = 1e-7
#: A curved face runs smoothly into a flat one when their facets differ by less, radians.
_TANGENT = math.radians(16)
_COPLANAR = 1 - 1e-9
#: Lines of a curve shorter than this on the sheet are left out, mm at full size.
_SPECK = 1e-3

_FACES: frozenset[Skin] = frozenset(("top", "underside"))
_CURVES: frozenset[Skin] = frozenset(("bend inside", "bend outside"))


@dataclass(frozen=True, slots=True)
class SeenLine:
    """A straight line on the sheet at full size, and how it is to be drawn."""

    start: Point
    end: Point
    style: LineStyle


Run = tuple[LineStyle, tuple[Point, ...]]
"""A line through points on the sheet at full size, and how it is to be drawn."""


@dataclass(frozen=True, slots=True)
class SeenFace:
    """The polygons (outer loops and holes) of one smooth face on the sheet, at full size."""

    loops: tuple[tuple[Point, ...], ...]
    skin: Skin
    panel: str


@dataclass(frozen=True, slots=True)
class _Edge:
    """An edge of the skin: its ends, its style, and the facets that meet in it."""

    start: int
    end: int
    style: LineStyle
    facets: tuple[int, ...]


@dataclass(frozen=True)
class Picture:
    """A solid seen by an eye."""

    solid: Solid
    eye: ViewDirection

    @cached_property
    def _points(self) -> tuple[Seen, ...]:
        return tuple(self.eye.seen(p) for p in self.solid.points)

    @cached_property
    def _normals(self) -> tuple[Vector3, ...]:
        return tuple(self.solid.normal(facet) for facet in self.solid.facets)

    @cached_property
    def _occluders(self) -> dict[int, Occluder]:
        """The facets that face the eye, by their index."""
        found, eye = {}, self.eye
        for index, (facet, normal) in enumerate(zip(self.solid.facets, self._normals, strict=True)):
            towards = normal.dot(eye.towards)
            if towards > _EDGE_ON:
                loops = [[self._points[i] for i in loop] for loop in facet.loops]
                found[index] = occluder(loops, (normal.dot(eye.right), normal.dot(eye.up), towards))
        return found

    @cached_property
    def _spans(self) -> tuple[tuple[float, float, float, float, int, Occluder], ...]:
        """Every occluder after its box on the sheet (xmin, ymin, xmax, ymax) and its facet."""
        return tuple(
            (front.box.xmin, front.box.ymin, front.box.xmax, front.box.ymax, index, front)
            for index, front in self._occluders.items()
        )

    def _fronts(self, a: Seen, b: Seen) -> list[tuple[int, Occluder]]:
        """The occluders whose box the line from `a` to `b` could meet, each after its facet."""
        left, right = (a.x, b.x) if a.x < b.x else (b.x, a.x)
        low, high = (a.y, b.y) if a.y < b.y else (b.y, a.y)
        return [
            (index, front)
            for xmin, ymin, xmax, ymax, index, front in self._spans
            if xmin <= right and left <= xmax and ymin <= high and low <= ymax
        ]

    # --- lines ------------------------------------------------------------------------------

    @cached_property
    def _edges(self) -> tuple[_Edge, ...]:
        """The edges to draw: those between two faces, and where a curved face turns away."""
        owner = {edge: i for i, f in enumerate(self.solid.facets) for edge in f.edges}
        return tuple(
            _Edge(a, b, style, (one, other))
            for (a, b), one in owner.items()
            if a < b and (style := self._style(one, other := owner[b, a])) is not None
        )

    def _style(self, one: int, other: int) -> LineStyle | None:
        """How the edge between two facets is drawn; None when it is not."""
        seen = (one in self._occluders) + (other in self._occluders)
        if seen == 0:
            return None
        turns_away = OUTLINE if seen == 1 else None
        first, second = self.solid.facets[one], self.solid.facets[other]
        if first.sheet == second.sheet:
            return turns_away
        along = self._normals[one].dot(self._normals[other])
        if along > _COPLANAR:
            return turns_away
        if along > math.cos(_TANGENT) and _is_tangent(first, second):
            return turns_away or EDGE
        return OUTLINE

    @cached_property
    def _cut(self) -> tuple[tuple[list[Interval], set[tuple[int, int]]], ...]:
        """For each edge its hidden intervals, and (below, above) pairs of sheets that overlap."""
        return tuple(self._cut_edge(edge) for edge in self._edges)

    def _cut_edge(self, edge: _Edge) -> tuple[list[Interval], set[tuple[int, int]]]:
        a, b = self._points[edge.start], self._points[edge.end]
        facets = self.solid.facets
        own = {facets[i].sheet for i in edge.facets if i in self._occluders}
        hidden: list[Interval] = []
        order: set[tuple[int, int]] = set()
        for index, front in self._fronts(a, b):
            if index in edge.facets:
                continue
            sheet = facets[index].sheet
            for overlap in overlaps(a, b, front):
                if overlap.behind > 0:
                    hidden.append(overlap.interval)
                    order.update((mine, sheet) for mine in own if mine != sheet)
                else:
                    order.update((sheet, mine) for mine in own if mine != sheet)
        return hidden, order

    @cached_property
    def lines(self) -> tuple[SeenLine, ...]:
        """The visible parts of every edge."""
        return tuple(
            line
            for edge, (hidden, _) in zip(self._edges, self._cut, strict=True)
            for line in _parts(self._points[edge.start], self._points[edge.end], hidden, edge.style)
        )

    def visible(self, start: Point3, end: Point3, style: LineStyle) -> Iterator[SeenLine]:
        """The parts of a straight line in space that the solid does not hide."""
        a, b = self.eye.seen(start), self.eye.seen(end)
        hidden = [
            overlap.interval
            for _, front in self._fronts(a, b)
            for overlap in overlaps(a, b, front)
            if overlap.behind > 0
        ]
        yield from _parts(a, b, hidden, style)

    @cached_property
    def strokes(self) -> tuple[Run, ...]:
        """The visible parts of every edge, end to end."""
        return tuple(strokes_of(self.lines))

    @cached_property
    def _paths(self) -> dict[tuple[tuple[Point3, ...], LineStyle], tuple[Run, ...]]:
        """What was asked for already: a picture is drawn in several sizes."""
        return {}

    def visible_path(self, row: tuple[Point3, ...], style: LineStyle) -> tuple[Run, ...]:
        """The parts of a line through points in space that the solid does not hide."""
        if (row, style) not in self._paths:
            parts = (self.visible(a, b, style) for a, b in pairwise(row))
            self._paths[row, style] = tuple(strokes_of(line for part in parts for line in part))
        return self._paths[row, style]

    def sees(self, p: Point3) -> bool:
        """Whether no facet lies in front of a point."""
        at = self.eye.seen(p)
        return not any(
            front.depth(at.x, at.y) - at.depth > _SPECK and front.covers(at.x, at.y)
            for _, front in self._fronts(at, at)
        )

    # --- faces ------------------------------------------------------------------------------

    @cached_property
    def faces(self) -> tuple[SeenFace, ...]:
        """Every face that faces the eye, the hidden ones first, so that later ones cover them."""
        members: dict[int, list[int]] = defaultdict(list)
        for index in self._occluders:
            members[self.solid.facets[index].sheet].append(index)
        order = {pair for _, pairs in self._cut for pair in pairs}
        depths = {
            sheet: math.fsum(self._occluders[i].nearest for i in indices) / len(indices)
            for sheet, indices in members.items()
        }
        return tuple(
            face
            for sheet in painting_order(depths, order)
            for face in self._seen_faces(members[sheet])
        )

    def _seen_faces(self, indices: list[int]) -> Iterator[SeenFace]:
        """One face for a bend, a hole or a flat face; a wavy side facet by facet."""
        first = self.solid.facets[indices[0]]
        groups = [[i] for i in indices] if first.skin == "side" else [indices]
        for group in groups:
            loops = [self._loop(loop) for i in group for loop in self.solid.facets[i].loops]
            kept = tuple(loop for loop in loops if len(loop) > 2)
            if kept:
                yield SeenFace(kept, first.skin, first.panel)

    def _loop(self, loop: tuple[int, ...]) -> tuple[Point, ...]:
        points = [self._points[i].point for i in loop]
        return tuple(p for i, p in enumerate(points) if p.distance(points[i - 1]) > 1e-9)


def _is_tangent(one: Facet, other: Facet) -> bool:
    """Whether one facet is of a plate's face and the other of a bend."""
    skins = {one.skin, other.skin}
    return bool(skins & _FACES) and bool(skins & _CURVES)


def _parts(a: Seen, b: Seen, hidden: list[Interval], style: LineStyle) -> Iterator[SeenLine]:
    for first, last in visible_parts(hidden):
        start = a.point if first == 0 else a.point.towards(b.point, first)
        end = b.point if last == 1 else a.point.towards(b.point, last)
        if start.distance(end) > _SPECK:
            yield SeenLine(start, end, style)


def painting_order(depths: dict[int, float], above: Iterable[tuple[int, int]]) -> Iterator[int]:
    """Sheets from the back to the front.

    `above` holds (below, above) pairs that must keep their order; among the free ones, and where
    three cover each other in a ring, the deepest goes first.
    """
    waits: dict[int, set[int]] = {sheet: set() for sheet in depths}
    for low, high in above:
        if low in waits and high in waits:
            waits[high].add(low)
    while waits:
        free = [sheet for sheet, lower in waits.items() if not lower] or list(waits)
        chosen = min(free, key=lambda sheet: (depths[sheet], sheet))
        yield chosen
        del waits[chosen]
        for lower in waits.values():
            lower.discard(chosen)


def strokes_of(lines: Iterable[SeenLine]) -> Iterator[Run]:
    """Lines that meet end to end, of one style, as runs of points."""
    by_style: dict[LineStyle, list[SeenLine]] = defaultdict(list)
    for line in lines:
        by_style[line.style].append(line)
    for style, group in by_style.items():
        for run in _runs(group):
            yield style, run


def _runs(lines: list[SeenLine]) -> Iterator[tuple[Point, ...]]:
    """Chains through ends that exactly two lines share; other ends stop a chain."""
    at: dict[Point, list[int]] = defaultdict(list)
    for index, line in enumerate(lines):
        at[line.start].append(index)
        at[line.end].append(index)
    left = set(range(len(lines)))
    for index in range(len(lines)):
        if index in left:
            left.discard(index)
            line = lines[index]
            ahead = _follow(lines, at, left, line.end)
            back = _follow(lines, at, left, line.start)
            yield (*reversed(back), line.start, line.end, *ahead)


def _follow(
    lines: list[SeenLine], at: dict[Point, list[int]], left: set[int], end: Point
) -> list[Point]:
    points: list[Point] = []
    while len(at[end]) == 2:
        following = [i for i in at[end] if i in left]
        if not following:
            break
        left.discard(following[0])
        line = lines[following[0]]
        end = line.end if line.start == end else line.start
        points.append(end)
    return points
