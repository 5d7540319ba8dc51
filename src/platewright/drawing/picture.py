"""A solid as the eye sees it: visible lines, and its facets in the order that they are painted."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from heapq import heapify, heappop, heappush
from itertools import chain, compress
from typing import Any

from platewright.drawing.hidden_lines import Interval, Occluders, Overlaps, visible_parts
from platewright.drawing.style import EDGE, OUTLINE, LineStyle
from platewright.drawing.view_direction import ViewDirection, mesh_of
from platewright.geometry.plane import Point
from platewright.geometry.space import Point3
from platewright.plate.skin import Facet, Skin, Solid
from platewright.values import dataclass

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


Run = tuple[Point, ...]
"""A line through points on the sheet at full size."""


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
    def corners(self) -> Any:
        """The solid's points as the eye sees them: rows of x, y and depth."""
        return self.eye.seen_each(mesh_of(self.solid)[0])

    @cached_property
    def _points(self) -> list[Point]:
        """The same on the sheet."""
        return [Point(x, y) for x, y, _ in self.corners.tolist()]

    @cached_property
    def _occluders(self) -> Occluders:
        return Occluders(self.corners, mesh_of(self.solid)[1])

    # --- lines ------------------------------------------------------------------------------

    @cached_property
    def _edges(self) -> tuple[_Edge, ...]:
        """The edges to draw: those between two faces, and where a curved face turns away."""
        import numpy as np

        owner = {edge: i for i, f in enumerate(self.solid.facets) for edge in f.edges}
        edges = [(a, b, one, owner[b, a]) for (a, b), one in owner.items() if a < b]
        facing, normals = self._occluders.facing.tolist(), self._occluders.normals
        first, second = np.array(edges)[:, 2:].T
        alongs = (normals[first] * normals[second]).sum(axis=1).tolist()
        return tuple(
            _Edge(a, b, style, (one, other))
            for (a, b, one, other), along in zip(edges, alongs, strict=True)
            if (style := self._style(one, other, along, facing[one] + facing[other])) is not None
        )

    def _style(self, one: int, other: int, along: float, seen: int) -> LineStyle | None:
        """How the edge between two facets is drawn; None when it is not.

        `along` is the cosine of the angle between their normals, `seen` how many face the eye.
        """
        if seen == 0:
            return None
        turns_away = OUTLINE if seen == 1 else None
        first, second = self.solid.facets[one], self.solid.facets[other]
        if first.sheet == second.sheet or along > _COPLANAR:
            return turns_away
        if along > math.cos(_TANGENT) and _is_tangent(first, second):
            return turns_away or EDGE
        return OUTLINE

    @cached_property
    def _overlaps(self) -> Overlaps:
        """Where the edges to draw lie over or under facets that are not their own."""
        import numpy as np

        ends = np.array([(edge.start, edge.end) for edge in self._edges])
        a, b = self.corners[ends[:, 0]], self.corners[ends[:, 1]]
        return self._occluders.overlaps(a, b, np.array([edge.facets for edge in self._edges]))

    @cached_property
    def lines(self) -> tuple[SeenLine, ...]:
        """The visible parts of every edge."""
        ends = [(self._points[edge.start], self._points[edge.end]) for edge in self._edges]
        hidden = _hidden(self._overlaps)
        return tuple(
            SeenLine(*part, edge.style)
            for index, (edge, (a, b)) in enumerate(zip(self._edges, ends, strict=True))
            for part in _parts(a, b, hidden[index])
        )

    @cached_property
    def strokes(self) -> tuple[tuple[LineStyle, Run], ...]:
        """The visible parts of every edge, end to end."""
        return tuple(strokes_of(self.lines))

    def visible(self, *rows: Sequence[Point3]) -> Iterator[tuple[Run, tuple[Run, ...]]]:
        """Each of some lines through points in space, and the parts that the solid leaves seen."""
        at = self.eye.seen_each(chain.from_iterable(rows))
        points = [Point(x, y) for x, y, _ in at.tolist()]
        # from each place to the next, and from row to row as well: those are passed over
        hidden = _hidden(self._occluders.overlaps(at[:-1], at[1:], deeper=0.0))
        begin = 0
        for row in rows:
            steps = range(begin, begin + len(row) - 1)
            parts = (_parts(points[i], points[i + 1], hidden[i]) for i in steps)
            end = begin + len(row)
            yield tuple(points[begin:end]), tuple(_runs(chain.from_iterable(parts)))
            begin = end

    def seen(self, *rows: Sequence[Point3]) -> list[tuple[Point3, ...]]:
        """Of each of some rows of places those that no facet hides, in their order."""
        places = [place for row in rows for place in row]
        shown = iter((~self._occluders.hide(self.eye.seen_each(places))).tolist())
        return [tuple(compress(row, shown)) for row in rows]

    # --- faces ------------------------------------------------------------------------------

    @cached_property
    def faces(self) -> tuple[SeenFace, ...]:
        """Every face that faces the eye, the hidden ones first, so that later ones cover them."""
        import numpy as np

        sheets = np.array([facet.sheet for facet in self.solid.facets])
        facing, nearest = self._occluders.facing, self._occluders.nearest.tolist()
        members: dict[int, list[int]] = defaultdict(list)
        for index in np.flatnonzero(facing).tolist():
            members[self.solid.facets[index].sheet].append(index)
        # an edge's own sheets lie below what hides it and above what it hides
        cut = self._overlaps
        own = np.array([edge.facets for edge in self._edges])[cut.edge]
        mine, other = sheets[own], sheets[cut.polygon][:, None]
        below = np.where(cut.behind[:, None] > 0, mine, other)
        pairs = np.stack((below, mine + other - below), axis=2)[facing[own] & (mine != other)]
        order = set(map(tuple, pairs.tolist()))
        depths = {
            sheet: math.fsum(nearest[i] for i in indices) / len(indices)
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
        points = [self._points[i] for i in loop]
        return tuple(p for i, p in enumerate(points) if p.distance(points[i - 1]) > 1e-9)


def _is_tangent(one: Facet, other: Facet) -> bool:
    """Whether one facet is of a plate's face and the other of a bend."""
    skins = {one.skin, other.skin}
    return bool(skins & _FACES) and bool(skins & _CURVES)


def _hidden(overlaps: Overlaps) -> dict[int, list[Interval]]:
    """The hidden intervals of every edge."""
    hidden: dict[int, list[Interval]] = defaultdict(list)
    found = overlaps.only(overlaps.behind > 0)
    columns = (found.edge.tolist(), found.first.tolist(), found.last.tolist())
    for edge, first, last in zip(*columns, strict=True):
        hidden[edge].append((first, last))
    return hidden


def _parts(a: Point, b: Point, hidden: list[Interval]) -> Iterator[tuple[Point, Point]]:
    for first, last in visible_parts(hidden):
        start = a if first == 0 else a.towards(b, first)
        end = b if last == 1 else a.towards(b, last)
        if start.distance(end) > _SPECK:
            yield start, end


def painting_order(depths: dict[int, float], above: Iterable[tuple[int, int]]) -> Iterator[int]:
    """Sheets from the back to the front.

    `above` holds (below, above) pairs that must keep their order; among the free ones, and where
    three cover each other in a ring, the deepest goes first.
    """
    waits: dict[int, set[int]] = {sheet: set() for sheet in depths}
    lifts = defaultdict(list)
    for low, high in above:
        if low in waits and high in waits:
            waits[high].add(low)
            lifts[low].append(high)
    free = [(depths[sheet], sheet) for sheet, lower in waits.items() if not lower]
    heapify(free)
    while waits:
        chosen = heappop(free)[1] if free else min(waits, key=lambda each: (depths[each], each))
        yield chosen
        del waits[chosen]
        for high in lifts[chosen]:
            if high in waits:
                waits[high].discard(chosen)
                if not waits[high]:
                    heappush(free, (depths[high], high))


def strokes_of(lines: Iterable[SeenLine]) -> Iterator[tuple[LineStyle, Run]]:
    """Lines that meet end to end, of one style, as runs of points."""
    by_style: dict[LineStyle, list[tuple[Point, Point]]] = defaultdict(list)
    for line in lines:
        by_style[line.style].append((line.start, line.end))
    for style, group in by_style.items():
        for run in _runs(group):
            yield style, run


def _runs(lines: Iterable[tuple[Point, Point]]) -> Iterator[Run]:
    """Chains through ends that exactly two lines share; other ends stop a chain."""
    # in plain figures, which are quicker to find again than points
    ends = [((a.x, a.y), (b.x, b.y)) for a, b in lines]
    at: dict[tuple[float, float], list[int]] = defaultdict(list)
    for index, (start, end) in enumerate(ends):
        at[start].append(index)
        at[end].append(index)
    left = set(range(len(ends)))

    def following(end: tuple[float, float]) -> Iterator[Point]:
        while len(at[end]) == 2:
            one, other = at[end]
            index = one if one in left else other
            if index not in left:
                break
            left.discard(index)
            first, last = ends[index]
            end = last if first == end else first
            yield Point(*end)

    for index, (start, end) in enumerate(ends):
        if index in left:
            left.discard(index)
            ahead, back = list(following(end)), list(following(start))
            yield (*reversed(back), Point(*start), Point(*end), *ahead)
