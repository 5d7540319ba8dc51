"""Which edges of a blank moved, turned or changed their shape.

The root's edges are compared where the two blanks lie on each other. Those of a panel that hangs
on a bend are compared with the panel brought back by as much as its bend moved: that is told of the
bend. Metal that came or went is told by the edge that it lies along.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from platewright.geometry.plane import IDENTITY, Motion, Point, Vector
from platewright.geometry.regions import Patch
from platewright.geometry.segment import Arc, Line, Segment
from platewright.plate.blank import Blank
from platewright.plate.bracket import Panel

Sort = Literal["moved", "turned", "reshaped", "new", "gone"]


@dataclass(frozen=True, slots=True)
class PlacedEdge:
    """A named edge of the outline, where it lies on the blank."""

    panel: str
    name: str
    segment: Segment

    @property
    def words(self) -> str:
        """The edge and its panel."""
        return f"{self.panel}: {self.name}"


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeChange:
    """An edge that is not as it was.

    `start` and `end` are how far its two ends lie outside the old edge's course, mm, negative
    inside; `start_by` and `end_by` name the edges that it meets there. `radius` is the new radius
    where the edge is an arc, `old_radius` the old one.
    """

    panel: str
    edge: str
    sort: Sort
    start: float = 0.0
    end: float = 0.0
    start_by: str = ""
    end_by: str = ""
    radius: float | None = None
    old_radius: float | None = None


def placed_edges(blank: Blank) -> tuple[PlacedEdge, ...]:
    """Every named edge that is part of the blank's outline."""
    bases = _bases(blank)
    return tuple(
        PlacedEdge(placed.panel.name, name, segment.moved(placed.blank_from_panel))
        for placed in blank.panels
        for name, segment in _free_edges(placed.panel, bases.get(placed.panel.name))
    )


def _bases(blank: Blank) -> dict[str, str]:
    """The base edge of every panel that hangs on a bend."""
    return {bend.panel.name: bend.base for placed in blank.panels for bend in placed.panel.bends}


def _free_edges(panel: Panel, base: str | None) -> Iterator[tuple[str, Segment]]:
    """Named edges that are no base and that no bend takes whole."""
    taken = {bend.edge for bend in panel.bends if bend.start is None and bend.end is None}
    for name, index in panel.edges:
        if name != base and name not in taken:
            yield name, panel.contour.segments[index]


def edge_changes(old: Blank, new: Blank, tolerance: float) -> Iterator[EdgeChange]:
    """The edges that differ by more than the tolerance, mm, panel by panel."""
    olds, news = ({p.panel.name: p for p in blank.panels} for blank in (old, new))
    bases = _bases(old), _bases(new)
    for name in dict.fromkeys((*olds, *news)):
        before, after = olds.get(name), news.get(name)
        if before is None or after is None:
            continue
        back = _back_with_bend(name, old, new) @ after.blank_from_panel
        yield from _panel_changes(
            PanelEdges.of(before.panel, bases[0].get(name), before.blank_from_panel),
            PanelEdges.of(after.panel, bases[1].get(name), back),
            tolerance,
        )


def _back_with_bend(panel: str, old: Blank, new: Blank) -> Motion:
    """The motion that brings a panel's bend back onto its old course, without a slide along it."""
    lines = [bend.line for blank in (old, new) for bend in blank.bends if bend.child == panel]
    if len(lines) != 2:
        return IDENTITY
    before, after = lines
    turn = Motion.rotation(before.direction.angle - after.direction.angle, after.start)
    left = before.direction.left
    return Motion.translation(left * (before.start - after.start).dot(left)) @ turn


@dataclass(frozen=True, slots=True)
class PanelEdges:
    """The free edges of a panel where they lie on the blank, and the panel they are of."""

    panel: Panel
    segments: dict[str, Segment]

    @classmethod
    def of(cls, panel: Panel, base: str | None, motion: Motion) -> PanelEdges:
        """A panel's edges after a motion."""
        return cls(panel, {n: s.moved(motion) for n, s in _free_edges(panel, base)})

    def neighbours(self, edge: str) -> tuple[str, str]:
        """Names of the edges that one meets at its start and at its end; "" for unnamed ones."""
        index, count = self.panel.edge_index(edge), len(self.panel.contour.segments)
        names = {at: name for name, at in self.panel.edges}
        return names.get((index - 1) % count, ""), names.get((index + 1) % count, "")


def _panel_changes(before: PanelEdges, after: PanelEdges, tolerance: float) -> Iterator[EdgeChange]:
    panel = after.panel.name
    for edge in dict.fromkeys((*before.segments, *after.segments)):
        old, new = before.segments.get(edge), after.segments.get(edge)
        if old is None or new is None:
            yield EdgeChange(panel=panel, edge=edge, sort="new" if old is None else "gone")
            continue
        change = _change(panel, edge, old, new, tolerance)
        if change is not None:
            start_by, end_by = after.neighbours(edge)
            yield replace(change, start_by=start_by, end_by=end_by)


def _change(
    panel: str, edge: str, old: Segment, new: Segment, tolerance: float
) -> EdgeChange | None:
    if isinstance(old, Line) and isinstance(new, Line):
        return _line_change(panel, edge, old, new, tolerance)
    radii = [each.radius if isinstance(each, Arc) else None for each in (old, new)]
    offs = [_outside(old, new.point_at(at)) for at in (0.0, 0.5, 1.0)]
    if None not in radii and max(map(abs, offs)) <= tolerance:
        return None
    return EdgeChange(
        panel=panel, edge=edge, sort="reshaped", old_radius=radii[0], radius=radii[1],
        start=offs[0], end=offs[2],
    )  # fmt: skip


def _line_change(
    panel: str, edge: str, old: Line, new: Line, tolerance: float
) -> EdgeChange | None:
    right = old.direction.right
    start, end = (new.start - old.start).dot(right), (new.end - old.start).dot(right)
    if max(abs(start), abs(end)) <= tolerance:
        return None
    sort: Sort = "moved" if abs(start - end) <= tolerance else "turned"
    return EdgeChange(panel=panel, edge=edge, sort=sort, start=start, end=end)


def _outside(old: Segment, p: Point) -> float:
    """How far a place lies outside the course of an edge, mm, negative inside."""
    if isinstance(old, Line):
        return (p - old.start).dot(old.direction.right)
    out = p.distance(old.centre) - old.radius
    return math.copysign(1.0, old.sweep) * out


def bounding_edge(patch: Patch, edges: tuple[PlacedEdge, ...], tolerance: float) -> str:
    """The edge that bounds most of a patch, or the one nearest to its middle."""
    if not edges:
        return "its outline"
    shared = max(edges, key=lambda edge: _shared(patch, edge.segment, tolerance))
    if _shared(patch, shared.segment, tolerance) > tolerance:
        return shared.words
    return min(edges, key=lambda edge: edge.segment.distance(patch.middle)).words


def _shared(patch: Patch, segment: Segment, tolerance: float) -> float:
    """Length of a patch's outline that runs along a segment, mm.

    What runs along it there and back again is a hair of rounding and does not count.
    """
    sides = zip(patch.outer, patch.outer[1:] + patch.outer[:1], strict=True)
    ran = math.fsum(
        math.copysign(a.distance(b), (b - a).dot(_ahead(segment, a.midpoint(b))))
        for a, b in sides
        if max(segment.distance(p) for p in (a, b, a.midpoint(b))) <= tolerance
    )
    return abs(ran)


def _ahead(segment: Segment, p: Point) -> Vector:
    """Which way a segment runs beside a place."""
    if isinstance(segment, Line):
        return segment.direction
    return (p - segment.centre).left * math.copysign(1.0, segment.sweep)
