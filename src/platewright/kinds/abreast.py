"""A bend of a whole edge, as long as both the panels that it joins reach along it.

Two edges that are drawn equally long lie on each other as drawn. What bends and corners then leave
of them may differ: beside another bend, and where an outline slants. The bend takes what they
share; the longer one keeps a free end.
"""

from __future__ import annotations

from platewright.errors import GeometryError
from platewright.geometry.segment import Line
from platewright.plate.bracket import Panel
from platewright.plate.neighbours import SAME
from platewright.plate.place import BASE_TOLERANCE
from platewright.plate.regrow import Cut, rebased
from platewright.plate.told import both_units

DrawnEdge = tuple[str, Line]
"""A straight edge's name, and the edge as it was drawn."""


def abreast(
    parent: Panel, edge: DrawnEdge, child: Panel, base: DrawnEdge
) -> tuple[Panel, Panel]:  # fmt: skip
    """A panel and the one bent from its whole edge, both edges cut to what they share.

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
    return (
        rebased(parent, name, _cut(low - here[0], here[1] - high)),
        rebased(child, own, _cut(there[1] - high, low - there[0])),
    )


def _reach(drawn: Line, left: Line) -> tuple[float, float]:
    """Where what is left of an edge begins and ends along the edge as drawn, mm."""
    along = drawn.direction
    return (left.start - drawn.start).dot(along), (left.end - drawn.start).dot(along)


def _cut(start: float, end: float) -> Cut:
    """What an edge loses at its ends, but for rounding."""
    return Cut(*(lost if lost > SAME else 0.0 for lost in (start, end)))
