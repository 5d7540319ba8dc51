"""What one region has that another has not, judged on fine polygons."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from platewright.geometry.offset import Region
from platewright.geometry.plane import Point
from platewright.geometry.shapes import SAGITTA, polygon

if TYPE_CHECKING:
    from shapely import Polygon


@dataclass(frozen=True, slots=True)
class Patch:
    """A piece of the plane: its outer corners, those of its holes, its area and its depth.

    `depth` is the greater of: how far it reaches from the other region, and the widest circle in
    it, mm. `middle` is a place inside.
    """

    outer: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...]
    area: float
    depth: float
    middle: Point


def leftover(one: Region, other: Region, tolerance: float) -> tuple[Patch, ...]:
    """What the first region has beyond the second, the largest piece first.

    Pieces nowhere wider than `tolerance` mm are passed over.
    """
    a, b = _polygon(one), _polygon(other)
    found = sorted(_pieces(a, b, tolerance), key=lambda piece: -piece.area)
    return tuple(_patch(piece, b) for piece in found)


def _polygon(region: Region) -> Polygon:
    return polygon(region.outer, region.holes, SAGITTA)


def _pieces(a: Polygon, b: Polygon, tolerance: float) -> Iterator[Polygon]:
    from shapely import get_parts

    for piece in get_parts(a.difference(b)):
        if piece.area > 0 and not piece.buffer(-tolerance / 2).is_empty:
            yield piece


def _patch(piece: Polygon, other: Polygon) -> Patch:
    from shapely import Point as Place
    from shapely import maximum_inscribed_circle

    outer = tuple(Point(x, y) for x, y in piece.exterior.coords[:-1])
    holes = tuple(tuple(Point(x, y) for x, y in ring.coords[:-1]) for ring in piece.interiors)
    reach = max(other.distance(Place(p.x, p.y)) for p in outer)
    widest = maximum_inscribed_circle(piece)
    x, y = widest.coords[0]
    return Patch(outer, holes, piece.area, max(reach, 2 * widest.length), Point(x, y))
