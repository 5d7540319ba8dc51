"""Room round an upright axis on a plate: how near other metal comes to it on one side.

Everything that stands out beyond a face of the plate is looked at square to the plate, whatever
its height: a bolt's socket or a round body needs the room all the way up.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from itertools import pairwise

from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.geometry.space import Placing, Point3
from platewright.plate.bend import Face
from platewright.plate.prism import Part, Prism

#: Metal that stands out less than this beyond a face is taken as flush, mm.
_FLUSH = 1e-6


def room_round(
    axis: Point, face: Face, thickness: float, plate_from_world: Placing, parts: Iterable[Part]
) -> tuple[float, Part] | None:
    """The least distance from an axis to metal beyond a face, mm, and the part it belongs to.

    0 where metal stands on the axis itself; None where nothing stands out on that side.
    """
    found = [
        (distance, part)
        for part in parts
        for prism in part.prisms
        if (distance := _plan_distance(axis, face, thickness, plate_from_world, prism)) is not None
    ]
    return min(found, key=lambda each: each[0]) if found else None


def _plan_distance(
    axis: Point, face: Face, thickness: float, plate_from_world: Placing, prism: Prism
) -> float | None:
    shadow = hull(list(_beyond(prism, face, thickness, plate_from_world)))
    return distance_to_polygon(axis, shadow) if shadow else None


def _beyond(
    prism: Prism, face: Face, thickness: float, plate_from_world: Placing
) -> Iterator[Point]:
    """Corners, in the plate's plane, of what stands out beyond a face."""
    for a, b in prism.edge_pairs:
        start, end = (_raised(plate_from_world.point3(p), face, thickness) for p in (a, b))
        if start.z > _FLUSH:
            yield Point(start.x, start.y)
        if end.z > _FLUSH:
            yield Point(end.x, end.y)
        if (start.z > _FLUSH) != (end.z > _FLUSH):
            share = (_FLUSH - start.z) / (end.z - start.z)
            yield Point(start.x, start.y).towards(Point(end.x, end.y), share)


def _raised(p: Point3, face: Face, thickness: float) -> Point3:
    """The point with its height counted out of the face."""
    return p if face == "top" else Point3(p.x, p.y, -thickness - p.z)


def hull(points: list[Point]) -> list[Point]:
    """The convex hull, anticlockwise (Andrew's monotone chain); fewer than 3 points as they are."""
    ordered = sorted(set(points), key=lambda p: (p.x, p.y))
    if len(ordered) < 3:
        return ordered
    return [*_chain(ordered)[:-1], *_chain(ordered[::-1])[:-1]]


def _chain(ordered: list[Point]) -> list[Point]:
    kept: list[Point] = []
    for p in ordered:
        while len(kept) > 1 and (kept[-1] - kept[-2]).cross(p - kept[-1]) <= 0:
            kept.pop()
        kept.append(p)
    return kept


def distance_to_polygon(p: Point, polygon: list[Point]) -> float:
    """Distance from a point to a convex anticlockwise polygon with its inside, mm."""
    if len(polygon) == 1:
        return p.distance(polygon[0])
    sides = [*pairwise(polygon), (polygon[-1], polygon[0])]
    if len(polygon) > 2 and all((b - a).cross(p - a) >= 0 for a, b in sides):
        return 0.0
    return min((Line(a, b).distance(p) for a, b in sides), default=math.inf)


def polygon_distance(one: list[Point], other: list[Point]) -> float:
    """Distance between two convex polygons with their insides that do not overlap, mm."""
    return min(
        min(distance_to_polygon(p, other) for p in one),
        min(distance_to_polygon(p, one) for p in other),
    )
