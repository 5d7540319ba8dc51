"""Room round an upright axis on a plate: how near other metal comes to it on one side.

Everything that stands out beyond a face of the plate is looked at square to the plate, whatever
its height: a bolt's socket or a round body needs the room all the way up.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Line
from platewright.geometry.space import Placing, Point3
from platewright.plate.bend import Face
from platewright.plate.lean import STILL, Sideways
from platewright.plate.prism import Part, Prism

#: Metal that stands out less than this beyond a face is taken as flush, mm.
_FLUSH = 1e-6


@dataclass(frozen=True, slots=True)
class Leaning:
    """An axis whose upper end goes to and fro: along a unit vector, by a bound up to a reach."""

    way: Vector
    sideways: Callable[[float], Sideways]


UNMOVED = Leaning(Vector(0.0, 0.0), lambda _reach: STILL)
"""An axis that stays upright."""


def room_round(
    axis: Point,
    face: Face,
    thickness: float,
    plate_from_world: Placing,
    parts: Iterable[Part],
    leaning: Leaning = UNMOVED,
) -> tuple[float, Part] | None:
    """The least distance from an axis to metal beyond a face, mm, and the part it belongs to.

    0 where metal stands on the axis itself; None where nothing stands out on that side. Of an axis
    that leans, the least distance on its way.
    """
    found = [
        (distance_to_polygon(axis, hull(list(shadow))), part)
        for part in parts
        for prism in part.prisms
        if (shadow := _shadow(prism, face, thickness, plate_from_world, leaning))
    ]
    return min(found, key=lambda each: each[0]) if found else None


def _shadow(
    prism: Prism, face: Face, thickness: float, plate_from_world: Placing, leaning: Leaning
) -> set[Point]:
    """Places, in the plate's plane, whose hull is where an axis meets what stands out.

    What an axis meets at a height that it leans to, an upright one meets moved back by as much.
    The bound is concave over the height, so that corners, and edges where it has its knee, suffice.
    """
    edges = [
        (_raised(plate_from_world.point3(a), face, thickness),
         _raised(plate_from_world.point3(b), face, thickness))
        for a, b in prism.edge_pairs
    ]  # fmt: skip
    reach = max(p.z for edge in edges for p in edge)
    if reach <= _FLUSH:
        return set()
    sideways = leaning.sideways(reach)
    ways = [leaning.way * side for side in (-1.0, 1.0)] if sideways.most else [Vector(0.0, 0.0)]
    standing = _standing(edges, sideways.knee)
    return {Point(p.x, p.y) + way * sideways.at(p.z) for p in standing for way in ways}


def _standing(edges: list[tuple[Point3, Point3]], knee: float) -> Iterator[Point3]:
    """Corners above the face, and where edges cross the face or the height of the knee."""
    for start, end in edges:
        yield from (p for p in (start, end) if p.z > _FLUSH)
        for level in (_FLUSH, knee):
            if level >= _FLUSH and (start.z > level) != (end.z > level):
                share = (level - start.z) / (end.z - start.z)
                flat = Point(start.x, start.y).towards(Point(end.x, end.y), share)
                yield Point3(flat.x, flat.y, level)


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
