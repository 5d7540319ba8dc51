"""Panels from corners, and what kinds with meeting flanges declare."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from platewright import measure
from platewright.errors import BuildError
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.plate.bracket import Panel

#: Corners this close are one, mm.
_SAME = 1e-9


def cornered_panel(name: str, corners: Sequence[tuple[str, Point]]) -> Panel:
    """A straight-edged panel from (edge that leaves, corner) in anticlockwise order.

    Edges without length are left out.
    """
    after = [*corners[1:], corners[0]]
    kept = [
        (edge, here)
        for (edge, here), (_, there) in zip(corners, after, strict=True)
        if here.distance(there) > _SAME
    ]
    ends = [here for _, here in kept[1:] + kept[:1]]
    return Panel.of_edges(
        name, [(edge, Line(here, end)) for (edge, here), end in zip(kept, ends, strict=True)]
    )


def rectangular_panel(name: str, edges: Sequence[str], corner: Point, opposite: Point) -> Panel:
    """A rectangular panel; its four edges run anticlockwise, the first leaves `corner`."""
    flat = (opposite.x - corner.x) * (opposite.y - corner.y) > 0
    before, after = Point(corner.x, opposite.y), Point(opposite.x, corner.y)
    places = (corner, after, opposite, before) if flat else (corner, before, opposite, after)
    return cornered_panel(name, list(zip(edges, places, strict=True)))


def relief() -> Any:
    """The declaration of a corner relief's diameter."""
    return measure.length(
        "Diameter of the relief where two bends meet; left out, twice the inside radius, at least "
        "1/8 in up to 0.064 in plate, 3/16 in up to 0.128 in (FAA-H-8083-31), 1.5 thicknesses "
        "beyond (common practice).",
        "0.5 mm to 3 in", label="corner relief", optional=True, example="1/4 in",
    )  # fmt: skip


def corner_gap() -> Any:
    """The declaration of the room between flanges that meet at a corner."""
    return measure.length(
        "Room left between the flanges that meet at a corner, for the weld: what a feeler finds "
        "between their inside edges.",
        "0 to 1/2 in", label="corner gap", default="1/32 in", default_mm="0.8 mm",
    )  # fmt: skip


def require(condition: bool, message: str, *keys: str) -> None:
    """Raise BuildError with the keys unless a condition holds."""
    if not condition:
        raise BuildError(message, *keys)
