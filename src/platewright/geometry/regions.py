"""What one region has that another has not, judged on fine polygons."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from platewright.errors import GeometryError
from platewright.geometry.offset import Region
from platewright.geometry.plane import Point
from platewright.geometry.shapes import SAGITTA, polygon
from platewright.values import dataclass

if TYPE_CHECKING:
    from shapely import Polygon
    from shapely.geometry.base import BaseGeometry


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

    Pieces nowhere wider than `tolerance` mm are passed over. Raises GeometryError for a region
    that crosses itself.
    """
    a, b = _metal(one), _metal(other)
    found = sorted(_pieces(a, b, tolerance), key=lambda piece: -piece.area)
    return tuple(_patch(piece, b) for piece in found)


def _metal(region: Region) -> BaseGeometry:
    """The region less its holes, which may run into each other or out of it."""
    from shapely import union_all

    outer = polygon(region.outer, (), SAGITTA)
    if not outer.is_valid:
        raise GeometryError("a region that crosses itself cannot be compared with another")
    return outer.difference(union_all([polygon(hole, (), SAGITTA) for hole in region.holes]))


def _pieces(a: BaseGeometry, b: BaseGeometry, tolerance: float) -> Iterator[Polygon]:
    from shapely import get_parts

    for piece in get_parts(a.difference(b)):
        if piece.area > 0 and not piece.buffer(-tolerance / 2).is_empty:
            yield piece


def _patch(piece: Polygon, other: BaseGeometry) -> Patch:
    from shapely import Point as Place
    from shapely import maximum_inscribed_circle

    outer = tuple(Point(x, y) for x, y in piece.exterior.coords[:-1])
    holes = tuple(tuple(Point(x, y) for x, y in ring.coords[:-1]) for ring in piece.interiors)
    reach = max(other.distance(Place(p.x, p.y)) for p in outer)
    widest = maximum_inscribed_circle(piece)
    x, y = widest.coords[0]
    return Patch(outer, holes, piece.area, max(reach, 2 * widest.length), Point(x, y))
