"""Outlines drawn corner by corner: straight and round edges, rounded and cut corners."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from platewright import measure
from platewright.errors import BuildError
from platewright.geometry.plane import Point
from platewright.geometry.segment import Arc, Line, Segment
from platewright.values import dataclass

#: Corners this close are one, mm.
_SAME = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Treated:
    """What is done at one corner of a drawn outline."""

    at: int = measure.count(
        "Which corner, counted from the first.", "1 to 400", label="corner", default=1
    )
    radius: float | None = measure.length(
        "Rounds this corner.",
        "1/64 in to 120 in", label="corner radius", optional=True, example="1/2 in",
    )  # fmt: skip
    chamfer: float | None = measure.length(
        "Cuts this corner off, this far from it on both edges.",
        "1/64 in to 120 in", optional=True, example="1/2 in",
    )  # fmt: skip
    rise: float | None = measure.length(
        "Makes the edge from here to the next corner an arc: how far its middle stands out beyond "
        "the straight line; with a minus, how far in.",
        "-120 in to 120 in", optional=True, example="1/2 in",
    )  # fmt: skip

    def problems(self) -> measure.Problems:
        """A corner that is both round and cut."""
        if self.radius is not None and self.chamfer is not None:
            yield "chamfer", "the corner is rounded already: keep one"


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineCorner:
    """A corner of a drawn outline, what is done there, and the edge that leaves it, mm."""

    at: Point
    edge: str | None = None
    radius: float | None = None
    chamfer: float | None = None
    rise: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SharpEdge:
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

    edges: tuple[SharpEdge, ...]
    corners: tuple[OutlineCorner, ...]


def drawn_outline(rows: Sequence[OutlineCorner], key: str) -> Outline:
    """The outline through some corners, turned anticlockwise.

    Raises BuildError under `key` for corners that coincide, names that stand twice, or an arc that
    cannot be.
    """
    names = [row.edge for row in rows if row.edge]
    if len(set(names)) < len(names):
        raise BuildError("two edges of one panel share a name", key)
    corners = pairwise([row.at for row in (*rows, rows[0])])
    backward = math.fsum(a.x * b.y - b.x * a.y for a, b in corners) < 0
    order = list(reversed(rows)) if backward else list(rows)
    edges = []
    for i, (row, after) in enumerate(pairwise([*order, order[0]])):
        # listed clockwise, an edge belongs to the corner that now is its end
        owner = after if backward else row
        number = len(rows) - i - 1 if backward else i + 1
        segment = _segment(row.at, after.at, owner.rise, f"{key}[{number or len(rows)}]")
        edges.append(SharpEdge(name=owner.edge or "", segment=segment, backward=backward))
    return Outline(edges=tuple(edges), corners=tuple(order))


def _segment(start: Point, end: Point, rise: float | None, key: str) -> Segment:
    if start.distance(end) <= _SAME:
        raise BuildError("two corners in one place", key)
    if not rise:
        return Line(start, end)
    # an arc that stands out on the right of an anticlockwise travel turns anticlockwise
    return Arc(start, end, 4 * math.atan(2 * rise / start.distance(end)))
