"""A bend of a whole edge, as long as both the panels that it joins reach along it.

Two edges that are drawn equally long lie on each other as drawn. What bends and corners then leave
of them may differ. Beside another bend a flange ends with its own bend; where an outline slants,
the bend takes what the two share and the longer one keeps a free end.
"""

from __future__ import annotations

from collections.abc import Container

from platewright.errors import GeometryError
from platewright.geometry.segment import Line
from platewright.kinds.drawn import Outline
from platewright.plate.bracket import Panel
from platewright.plate.neighbours import SAME
from platewright.plate.place import BASE_TOLERANCE
from platewright.plate.regrow import Cut, rebased
from platewright.plate.told import both_units

DrawnEdge = tuple[str, Line]
"""A straight edge's name, and the edge as it was drawn."""


Interval = tuple[float | None, float | None]
"""Where a bend begins and ends along its edge, mm; None at the edge's own end."""


def abreast(
    parent: Panel, edge: DrawnEdge, child: Panel, base: DrawnEdge
) -> tuple[Panel, Interval]:
    """The child, its base cut to what it shares with the parent's whole edge, and where that lies.

    Raises GeometryError when they are not drawn equally long or share nothing.
    """
    (name, drawn), (own, laid) = edge, base
    if abs(drawn.length - laid.length) > BASE_TOLERANCE:
        raise GeometryError(
            f"the base of {child.name!r} is drawn {both_units(laid.length)} long, and the edge "
            f"{name!r} of {parent.name!r} {both_units(drawn.length)}: make them alike, or give "
            "start and end"
        )
    # a base runs against the edge that it lies on
    here = _reach(drawn, parent.straight_edge(name))
    there = _reach(laid.reversed(), child.straight_edge(own).reversed())
    low, high = max(here[0], there[0]), min(here[1], there[1])
    if high - low <= SAME:
        raise GeometryError(f"nothing is left of the bend to {child.name!r}")
    length = here[1] - here[0]
    start, end = _lost(low - here[0]), _lost(here[1] - high)
    interval = start or None, length - end if end else None
    return rebased(child, own, Cut(_lost(there[1] - high), _lost(low - there[0]))), interval


def crowded(
    parent: tuple[Outline, Outline], edge: int, inward: Container[int], child: Outline, base: int
) -> dict[int, float]:
    """How far a child's sides are drawn in where the parent is bent right beside it too, mm.

    `parent` is its outline as drawn and with the edges `inward` drawn in; `edge` and `base` are
    indices as they are. There is no metal for two flanges in one corner: each ends with its bend.
    """
    drawn, left = (outline.edges[edge].segment for outline in parent)
    own, count, sides = child.edges[base].segment, len(parent[0].edges), len(child.edges)
    if not (isinstance(drawn, Line) and isinstance(left, Line) and isinstance(own, Line)):
        return {}
    start, end = _reach(drawn, left)
    beside = (
        ((edge - 1) % count, (base + 1) % sides, start),
        ((edge + 1) % count, (base - 1) % sides, drawn.length - end),
    )
    return {
        side: lost * abs(own.direction.cross(segment.direction))
        for other, side, lost in beside
        if other in inward
        and lost > SAME
        and isinstance(segment := child.edges[side].segment, Line)
    }


def _reach(drawn: Line, left: Line) -> tuple[float, float]:
    """Where what is left of an edge begins and ends along the edge as drawn, mm."""
    along = drawn.direction
    return (left.start - drawn.start).dot(along), (left.end - drawn.start).dot(along)


def _lost(length: float) -> float:
    """What an edge loses at an end, but for rounding."""
    return length if length > SAME else 0.0
