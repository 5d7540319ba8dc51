"""Which edges of a blank moved, turned or changed their shape.

The root's edges are compared where the two blanks lie on each other. Those of a panel that hangs
on a bend are compared with the panel brought back by as much as its bend moved: that is told of the
bend. Metal that came or went is told by the edge that it lies along.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

from platewright.compare.changes import TOLERANCE
from platewright.geometry.contour import Contour
from platewright.geometry.plane import IDENTITY, Motion, Point, Vector
from platewright.geometry.regions import Patch
from platewright.geometry.segment import Arc, Line, Segment
from platewright.plate.blank import Blank
from platewright.plate.bracket import Panel
from platewright.values import dataclass

Sort = Literal["moved", "turned", "reshaped", "redrawn", "new", "gone"]

#: Chords of the arcs that are judged leave them by no more, mm.
_SAGITTA = 0.005

#: In so many places of a segment its patch is measured.
_PLACES = 40


@dataclass(frozen=True, slots=True)
class PlacedEdge:
    """A named edge where it lies on the blank: one segment, or several once it is scribed.

    `start_by` and `end_by` name the edges that it meets at its ends; "" for unnamed ones.
    """

    panel: str
    name: str
    pieces: tuple[Segment, ...]
    start_by: str
    end_by: str

    @property
    def start(self) -> Point:
        """Where it begins, its panel on the left."""
        return self.pieces[0].start

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self.pieces[-1].end

    def nearest(self, p: Point) -> Segment:
        """The piece nearest to a place."""
        return min(self.pieces, key=lambda piece: piece.distance(p))


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeChange:
    """An edge that is not as it was; None where the panel has no such edge."""

    panel: str
    edge: str
    old: PlacedEdge | None
    new: PlacedEdge | None

    @property
    def sort(self) -> Sort:
        """What became of it: "redrawn" has or had more than one piece."""
        if self.old is None or self.new is None:
            return "new" if self.old is None else "gone"
        if len(self.old.pieces) + len(self.new.pieces) > 2:
            return "redrawn"
        before, after = self.radii
        if before is None and after is None:
            return "moved" if abs(self.start_out - self.end_out) <= TOLERANCE else "turned"
        same = before is not None and after is not None and abs(before - after) <= TOLERANCE
        return "moved" if same else "reshaped"

    @property
    def radii(self) -> tuple[float | None, float | None]:
        """The old and the new radius, mm; None where it is no arc."""
        one, other = (
            edge.pieces[0].radius if edge and isinstance(edge.pieces[0], Arc) else None
            for edge in (self.old, self.new)
        )
        return one, other

    @property
    def start_out(self) -> float:
        """How far its start lies outside the old edge's course, mm, negative inside."""
        return _out(self.old, self.new.start) if self.old and self.new else 0.0

    @property
    def end_out(self) -> float:
        """How far its end lies outside the old edge's course, mm, negative inside."""
        return _out(self.old, self.new.end) if self.old and self.new else 0.0

    @property
    def start_by(self) -> Vector:
        """How the corner moved at which it begins, mm."""
        return self.new.start - self.old.start if self.old and self.new else Vector(0.0, 0.0)

    @property
    def end_by(self) -> Vector:
        """How the corner moved at which it ends, mm."""
        return self.new.end - self.old.end if self.old and self.new else Vector(0.0, 0.0)

    @property
    def by(self) -> Vector:
        """How it moved as a whole, mm: square to itself, a round edge with its centre."""
        if self.old is None or self.new is None:
            return Vector(0.0, 0.0)
        before, after = self.old.pieces[0], self.new.pieces[0]
        if isinstance(before, Arc) and isinstance(after, Arc):
            return after.centre - before.centre
        return before.start_direction.right * self.start_out

    @property
    def reach(self) -> tuple[float, float]:
        """How far it runs inside and outside the old edge at most, mm, 0 or more each."""
        if self.old is None or self.new is None:
            return 0.0, 0.0
        places = [p for piece in self.new.pieces for p in piece.flatten(_SAGITTA)]
        # where the old edge stood out between two places of the new one
        back = [p for piece in self.old.pieces for p in piece.flatten(_SAGITTA)]
        offs = [_out(self.old, p) for p in places] + [-_out(self.new, p) for p in back]
        return max(0.0, -min(offs)), max(0.0, *offs)

    @property
    def differs(self) -> bool:
        """Whether it lies elsewhere, or has another shape."""
        return self.old is None or self.new is None or max(self.reach) > TOLERANCE


def _out(edge: PlacedEdge, p: Point) -> float:
    """How far a place lies outside the course of an edge, run on at its ends, mm."""
    least = min(piece.distance(p) for piece in edge.pieces)
    offs = [
        (p - piece.start).dot(piece.direction.right)
        if isinstance(piece, Line)
        else math.copysign(1.0, piece.sweep) * piece.beyond(p)
        for piece in edge.pieces
        if piece.distance(p) <= least + _SAGITTA
    ]
    return max(offs, key=abs)


# --- the edges of a blank -----------------------------------------------------------------------


def placed_edges(blank: Blank) -> tuple[PlacedEdge, ...]:
    """Every named edge that is part of the blank's outline."""
    bases = _bases(blank)
    return tuple(
        edge
        for placed in blank.panels
        for edge in _free_edges(placed.panel, bases, placed.blank_from_panel)
    )


def _bases(blank: Blank) -> dict[str, str]:
    """The base edge of every panel that hangs on a bend."""
    return {bend.panel.name: bend.base for placed in blank.panels for bend in placed.panel.bends}


def _free_edges(panel: Panel, bases: dict[str, str], motion: Motion) -> Iterator[PlacedEdge]:
    """Named edges that are no base and that no bend takes whole."""
    taken = {bend.edge for bend in panel.bends if bend.start is None and bend.end is None}
    names, count = {at: name for name, at in panel.edges}, len(panel.contour.segments)
    for name, index in panel.edges:
        if name in taken or name == bases.get(panel.name):
            continue
        first = last = index
        if name in dict(panel.datums):
            # only the longest piece of a scribed edge carries its name
            while (first - 1) % count not in names:
                first -= 1
            while (last + 1) % count not in names:
                last += 1
        pieces = (panel.contour.segments[at % count].moved(motion) for at in range(first, last + 1))
        beside = (names.get((first - 1) % count, ""), names.get((last + 1) % count, ""))
        yield PlacedEdge(panel.name, name, tuple(pieces), *beside)


def edge_changes(old: Blank, new: Blank) -> Iterator[EdgeChange]:
    """The edges that differ, panel by panel."""
    olds, news = ({p.panel.name: p for p in blank.panels} for blank in (old, new))
    for name in olds:
        before, after = olds[name], news.get(name)
        if after is None:
            continue
        back = _back_with_bend(name, old, new) @ after.blank_from_panel
        ones, others = (
            {edge.name: edge for edge in _free_edges(placed.panel, _bases(blank), motion)}
            for placed, blank, motion in (
                (before, old, before.blank_from_panel),
                (after, new, back),
            )
        )
        both = dict(before.panel.edges).keys() & dict(after.panel.edges).keys()
        for edge in dict.fromkeys((*ones, *others)):
            change = EdgeChange(panel=name, edge=edge, old=ones.get(edge), new=others.get(edge))
            # where a bend takes it whole on one of the blanks it is told of the bend
            if change.differs and (change.sort not in ("new", "gone") or edge not in both):
                yield change


def _back_with_bend(panel: str, old: Blank, new: Blank) -> Motion:
    """The motion that brings a panel's bend back onto its old course, without a slide along it."""
    lines = [bend.line for blank in (old, new) for bend in blank.bends if bend.child == panel]
    if len(lines) != 2:
        return IDENTITY
    before, after = lines
    turn = Motion.rotation(before.direction.angle - after.direction.angle, after.start)
    left = before.direction.left
    return Motion.translation(left * (before.start - after.start).dot(left)) @ turn


# --- where a patch lies ---------------------------------------------------------------------------


def bounding_edge(patch: Patch, edges: tuple[PlacedEdge, ...], other: Contour) -> str:
    """The edge along which most of a patch lies, or the one nearest to its middle.

    `other` is the outline that bounds the patch on its far side.
    """
    if not edges:
        return "its outline"
    rim = Contour.polygon(patch.outer)
    areas = [_beside(rim, edge, other) for edge in edges]
    found = edges[areas.index(max(areas))]
    if max(areas) == 0:
        found = min(edges, key=lambda edge: edge.nearest(patch.middle).distance(patch.middle))
    return f"{found.panel}: {found.name}"


def _beside(rim: Contour, edge: PlacedEdge, other: Contour) -> float:
    """Area of a patch that lies along an edge, mm², by its depth in so many places."""
    box = rim.bounds.grown(TOLERANCE)
    area = 0.0
    for piece in edge.pieces:
        for place in range(_PLACES):
            p = piece.point_at((place + 0.5) / _PLACES)
            inside = box.xmin <= p.x <= box.xmax and box.ymin <= p.y <= box.ymax
            if inside and rim.distance(p) <= TOLERANCE:
                area += piece.length / _PLACES * other.distance(p)
    return area
