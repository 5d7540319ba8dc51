"""A closed skin of flat facets: points in space and the polygons between them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from platewright.geometry.space import Point3, Vector3
from platewright.values import dataclass

Skin = Literal["top", "underside", "side", "hole", "bend inside", "bend outside", "bend end"]
"""What a facet is part of; a groove's wall is a side."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Facet:
    """A flat polygon of the skin, seen anticlockwise from outside, with holes clockwise.

    Corners are indices into the solid's points. `panel` names the panel (of a bend, its child),
    `sheet` numbers the smooth surface that the facet is part of.
    """

    loop: tuple[int, ...]
    skin: Skin
    panel: str
    sheet: int
    holes: tuple[tuple[int, ...], ...] = ()

    @property
    def loops(self) -> tuple[tuple[int, ...], ...]:
        """The outer loop and then the holes."""
        return (self.loop, *self.holes)

    @property
    def edges(self) -> Iterator[tuple[int, int]]:
        """Every edge in the direction of travel, holes included."""
        for loop in self.loops:
            yield from zip(loop, (*loop[1:], loop[0]), strict=True)


@dataclass(frozen=True, slots=True)
class Solid:
    """Points in space and the facets between them."""

    points: tuple[Point3, ...]
    facets: tuple[Facet, ...]

    def normal(self, facet: Facet) -> Vector3:
        """Unit vector out of the metal, from the loop's own area (Newell)."""
        ring = [self.points[i] for i in facet.loop]
        total = Vector3(0.0, 0.0, 0.0)
        for a, b in zip(ring, [*ring[1:], ring[0]], strict=True):
            total = total + (a - ring[0]).cross(b - ring[0])
        return total.unit()
