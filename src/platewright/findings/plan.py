"""Room round an upright axis on a plate: how near other metal comes to it on one side.

Everything that stands out beyond a face of the plate is looked at square to the plate, whatever
its height: a bolt's socket or a round body needs the room all the way up.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import chain

from platewright.geometry.plane import Point, Vector
from platewright.geometry.space import Placing
from platewright.plate.bend import Face
from platewright.plate.lean import STILL, Sideways
from platewright.plate.prism import Prism, SolidPart
from platewright.values import dataclass

#: Metal that stands out less than this beyond a face is taken as flush, mm.
_FLUSH = 1e-6


@dataclass(frozen=True, slots=True)
class Leaning:
    """An axis whose upper end goes to and fro: along a unit vector, by a bound up to a reach."""

    way: Vector
    sideways: Callable[[float], Sideways]


UNMOVED = Leaning(Vector(0.0, 0.0), lambda _reach: STILL)
"""An axis that stays upright."""


@dataclass(frozen=True, slots=True)
class Shadow:
    """Where an axis meets what stands out beyond a face: a convex polygon in the plate's plane."""

    polygon: list[Point]
    part: SolidPart


def room_round(axis: Point, shadows: Iterable[Shadow]) -> tuple[float, SolidPart] | None:
    """The least distance from an axis to metal beyond a face, mm, and the part it belongs to.

    0 where metal stands on the axis itself; None where nothing stands out on that side. Of an axis
    that leans, the least distance on its way.
    """
    found = [(distance_to_polygon(axis, shadow.polygon), shadow.part) for shadow in shadows]
    return min(found, key=lambda each: each[0]) if found else None


def shadows_of(
    parts: Iterable[SolidPart],
    face: Face,
    thickness: float,
    plate_from_world: Placing,
    leaning: Leaning = UNMOVED,
) -> tuple[Shadow, ...]:
    """The shadows of all that stands out beyond a face of a plate."""
    return tuple(
        Shadow(hull(shadow), part)
        for part in parts
        for prism in part.prisms
        if (shadow := _shadow(prism, face, thickness, plate_from_world, leaning))
    )


def _shadow(
    prism: Prism, face: Face, thickness: float, plate_from_world: Placing, leaning: Leaning
) -> set[Point]:
    """Places, in the plate's plane, whose hull is where an axis meets what stands out.

    What an axis meets at a height that it leans to, an upright one meets moved back by as much.
    The bound is concave over the height, so that corners, and edges where it has its knee, suffice.
    """
    # in plain figures: asked of every prism about every plate with bolts
    a, b, c = plate_from_world.x_axis, plate_from_world.y_axis, plate_from_world.z_axis
    origin, corners = plate_from_world.origin, prism.corners
    heights = [origin.z + (a.z * p.x + b.z * p.y + c.z * p.z) for p in corners]
    if face == "underside":
        heights = [-thickness - height for height in heights]
    reach = max(heights)
    if reach <= _FLUSH:
        return set()
    places = [
        (
            origin.x + (a.x * p.x + b.x * p.y + c.x * p.z),
            origin.y + (a.y * p.x + b.y * p.y + c.y * p.z),
            height,
        )
        for p, height in zip(corners, heights, strict=True)
    ]
    sideways = leaning.sideways(reach)
    standing = _standing(places, sideways.knee)
    if not sideways.most:
        return {Point(x, y) for x, y, _ in standing}
    shifts = ((x, y, leaning.way * sideways.at(height)) for x, y, height in standing)
    return {Point(x + k * by.x, y + k * by.y) for x, y, by in shifts for k in (-1.0, 1.0)}


_Place = tuple[float, float, float]
"""A place on a plate and its height above the face, mm."""


def _standing(corners: Sequence[_Place], knee: float) -> Iterator[_Place]:
    """A prism's corners above the face, and where edges cross it or the height of the knee.

    The lower ring's corners come first.
    """
    yield from (corner for corner in corners if corner[2] > _FLUSH)
    count = len(corners) // 2
    low, high = corners[:count], corners[count:]
    edges = chain(
        zip(low, high, strict=True),
        *(zip(ring, (*ring[1:], ring[0]), strict=True) for ring in (low, high)),
    )
    levels = (_FLUSH, knee) if knee > _FLUSH else (_FLUSH,)
    for (ax, ay, start), (bx, by, end) in edges:
        for level in levels:
            if (start > level) != (end > level):
                share = (level - start) / (end - start)
                yield ax + (bx - ax) * share, ay + (by - ay) * share, level


def hull(points: Iterable[Point]) -> list[Point]:
    """The convex hull, anticlockwise (Andrew's monotone chain); fewer than 3 points as they are."""
    ordered = sorted(set(points), key=lambda p: (p.x, p.y))
    if len(ordered) < 3:
        return ordered
    return [*_chain(ordered)[:-1], *_chain(ordered[::-1])[:-1]]


def _chain(ordered: list[Point]) -> list[Point]:
    kept: list[Point] = []
    for p in ordered:
        while len(kept) > 1:
            a, b = kept[-2], kept[-1]
            if (b.x - a.x) * (p.y - b.y) - (b.y - a.y) * (p.x - b.x) > 0:
                break
            kept.pop()
        kept.append(p)
    return kept


def distance_to_polygon(p: Point, polygon: Sequence[Point]) -> float:
    """Distance from a point to a convex anticlockwise polygon with its inside, mm."""
    nearest, inside = math.inf, len(polygon) > 2
    for a, b in zip(polygon, [*polygon[1:], polygon[0]], strict=True):
        # in plain figures: asked very often
        run, rise, x, y = b.x - a.x, b.y - a.y, p.x - a.x, p.y - a.y
        inside = inside and run * y >= rise * x
        square = run * run + rise * rise
        share = min(1.0, max(0.0, (x * run + y * rise) / square)) if square else 0.0
        nearest = min(nearest, math.hypot(x - share * run, y - share * rise))
    return 0.0 if inside else nearest


def polygon_distance(one: Sequence[Point], other: Sequence[Point]) -> float:
    """Distance between two convex polygons with their insides that do not overlap, mm."""
    return min(
        min(distance_to_polygon(p, other) for p in one),
        min(distance_to_polygon(p, one) for p in other),
    )
