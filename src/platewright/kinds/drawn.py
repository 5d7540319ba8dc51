"""Outlines drawn corner by corner: straight and round edges, rounded and cut corners."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from platewright import measure
from platewright.errors import BuildError, GeometryError
from platewright.geometry.build import chamfer, fillet
from platewright.geometry.plane import Point
from platewright.geometry.segment import Arc, Line, Segment

#: Corners this close are one, mm.
_SAME = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Treated:
    """What is done at one corner of a drawn outline."""

    at: int = measure.count(
        "corner", "Which corner, counted from the first.", minimum=1, maximum=400, default=1
    )
    radius: float | None = measure.length(
        "corner radius",
        "Rounds this corner.",
        minimum="1/64 in",
        maximum="120 in",
        optional=True,
        example="1/2 in",
    )
    chamfer: float | None = measure.length(
        "chamfer",
        "Cuts this corner off, this far from it on both edges.",
        minimum="1/64 in",
        maximum="120 in",
        optional=True,
        example="1/2 in",
    )
    rise: float | None = measure.length(
        "rise",
        "Makes the edge from here to the next corner an arc: how far its middle stands out beyond "
        "the straight line; with a minus, how far in.",
        minimum="-120 in",
        maximum="120 in",
        optional=True,
        example="1/2 in",
    )

    def problems(self) -> tuple[tuple[str, str], ...]:
        """A corner that is both round and cut."""
        if self.radius is not None and self.chamfer is not None:
            return (("chamfer", "the corner is rounded already: keep one"),)
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineCorner:
    """A corner of a drawn outline, what is done there, and the edge that leaves it, mm."""

    at: Point
    edge: str | None = None
    radius: float | None = None
    chamfer: float | None = None
    rise: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnEdge:
    """An edge between two sharp corners, before they are rounded.

    `backward` tells that the outline was listed clockwise, so that the file's own beginning of the
    edge is its end.
    """

    name: str
    segment: Segment
    backward: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """An anticlockwise outline: its edges, and what becomes of the corner where each starts."""

    edges: tuple[DrawnEdge, ...]
    corners: tuple[OutlineCorner, ...]

    def index(self, name: str) -> int | None:
        """Index of a named edge."""
        return next((i for i, edge in enumerate(self.edges) if edge.name == name), None)


def drawn_outline(rows: Sequence[OutlineCorner], key: str) -> Outline:
    """The outline through some corners, turned anticlockwise.

    Raises BuildError under `key` for corners that coincide, names that stand twice, or an arc that
    cannot be.
    """
    names = [row.edge for row in rows if row.edge]
    if len(set(names)) < len(names):
        raise BuildError("two edges of one panel share a name", key)
    backward = _twice_area(rows) < 0
    order = list(reversed(rows)) if backward else list(rows)
    edges = []
    for i, (row, after) in enumerate(pairwise([*order, order[0]])):
        # listed clockwise, an edge belongs to the corner that now is its end
        owner = after if backward else row
        number = len(rows) - i - 1 if backward else i + 1
        segment = _segment(row.at, after.at, owner.rise, f"{key}[{number or len(rows)}]")
        edges.append(DrawnEdge(name=owner.edge or "", segment=segment, backward=backward))
    return Outline(edges=tuple(edges), corners=tuple(order))


def _twice_area(rows: Sequence[OutlineCorner]) -> float:
    points = [row.at for row in rows]
    return math.fsum(a.x * b.y - b.x * a.y for a, b in pairwise([*points, points[0]]))


def _segment(start: Point, end: Point, rise: float | None, key: str) -> Segment:
    if start.distance(end) <= _SAME:
        raise BuildError("two corners in one place", key)
    if not rise:
        return Line(start, end)
    # an arc that stands out on the right of an anticlockwise travel turns anticlockwise
    return Arc(start, end, 4 * math.atan(2 * rise / start.distance(end)))


def moved_edges(outline: Outline, inward: Mapping[int, float], key: str) -> Outline:
    """The outline with straight edges, by index, moved inwards by their own distances, mm.

    Raises BuildError where a moved edge has a round neighbour or does not meet it any more.
    """
    if not any(inward.values()):
        return outline
    lines = [_moved(edge, inward.get(i, 0.0)) for i, edge in enumerate(outline.edges)]
    starts = [
        _corner(before, after, edge.segment.start, key)
        for before, after, edge in zip(lines[-1:] + lines[:-1], lines, outline.edges, strict=True)
    ]
    edges = tuple(
        DrawnEdge(name=edge.name, segment=_between(edge, a, b, key), backward=edge.backward)
        for edge, (a, b) in zip(outline.edges, pairwise([*starts, starts[0]]), strict=True)
    )
    return Outline(edges=edges, corners=outline.corners)


def _moved(edge: DrawnEdge, by: float) -> Segment:
    if not by or isinstance(edge.segment, Arc):
        return edge.segment
    inward = edge.segment.direction.left * by
    return Line(edge.segment.start + inward, edge.segment.end + inward)


def _corner(before: Segment, after: Segment, old: Point, key: str) -> Point:
    """Where two edges meet after one of them moved."""
    if before.end == old and after.start == old:
        return old
    if isinstance(before, Arc) or isinstance(after, Arc):
        raise BuildError("an edge that is bent here needs straight edges beside it", key)
    sine = before.direction.cross(after.direction)
    if abs(sine) < 1e-9:
        raise BuildError("an edge that is bent here runs on straight into the next", key)
    along = (after.start - before.start).cross(after.direction) / sine
    return before.start + before.direction * along


def _between(edge: DrawnEdge, start: Point, end: Point, key: str) -> Segment:
    if (start, end) == (edge.segment.start, edge.segment.end):
        return edge.segment
    if (end - start).dot(edge.segment.end - edge.segment.start) <= 0:
        raise BuildError(f"its bends leave nothing of the edge {edge.name!r}", key)
    return Line(start, end)


def finished(outline: Outline, key: str) -> list[tuple[str, Segment]]:
    """The outline's named segments with its corners rounded and cut.

    Raises BuildError where a corner does not fit.
    """
    segments = [edge.segment for edge in outline.edges]
    cuts = [
        _cut(corner, before, after, key)
        for corner, before, after in zip(
            outline.corners, segments[-1:] + segments[:-1], segments, strict=True
        )
    ]
    edges: list[tuple[str, Segment]] = []
    for edge, cut, after in zip(outline.edges, cuts, cuts[1:] + cuts[:1], strict=True):
        if cut is not None:
            edges.append(("", cut))
        start = edge.segment.start if cut is None else cut.end
        end = edge.segment.end if after is None else after.start
        edges += _rest(edge, start, end, key)
    return edges


def _cut(corner: OutlineCorner, before: Segment, after: Segment, key: str) -> Segment | None:
    if corner.radius is None and corner.chamfer is None:
        return None
    if isinstance(before, Arc) or isinstance(after, Arc):
        raise BuildError("only a corner between two straight edges is rounded or cut", key)
    try:
        if corner.radius is not None:
            return fillet(before.start, after.start, after.end, corner.radius)
        return chamfer(before.start, after.start, after.end, corner.chamfer or 0.0)
    except GeometryError as error:
        raise BuildError(str(error), key) from None


def _rest(edge: DrawnEdge, start: Point, end: Point, key: str) -> list[tuple[str, Segment]]:
    """What its corners leave of an edge."""
    if isinstance(edge.segment, Arc):
        return [(edge.name, edge.segment)]
    ahead = (end - start).dot(edge.segment.direction)
    if ahead < -_SAME:
        raise BuildError(f"the corners of the edge {edge.name!r} overlap", key)
    return [(edge.name, Line(start, end))] if ahead > _SAME else []
