"""The metal as convex prisms, to decide which parts of a bracket touch, and how far apart they are.

Panels are cut into convex plates, bends into wedges. Two convex bodies are apart exactly when some
plane parts them, and it is enough to try planes square to the faces of either and to the cross
products of their edges (the separating axis theorem).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cached_property, lru_cache

from platewright.geometry.convex import Polygon, convex_parts
from platewright.geometry.plane import Point
from platewright.geometry.space import Placing, Point3, Vector3
from platewright.plate.bracket import Panel
from platewright.plate.folded import Folded, FoldedBend
from platewright.values import dataclass

#: Arcs are replaced by chords that leave them by at most this, mm.
SAGITTA = 0.05
#: A bend is cut into wedges of at most this angle, radians.
WEDGE = math.radians(15)

_SMALL = 1e-12


@dataclass(frozen=True)
class Prism:
    """A convex polygon of the plane z = 0, from height `low` to `high`, placed in space."""

    polygon: Polygon
    low: float
    high: float
    world_from_prism: Placing

    def span(self, axis: Vector3) -> tuple[float, float]:
        """The least and the greatest reach along a direction, mm from the origin of space."""
        place = self.world_from_prism
        x, y, z = axis.dot(place.x_axis), axis.dot(place.y_axis), axis.dot(place.z_axis)
        base = axis.x * place.origin.x + axis.y * place.origin.y + axis.z * place.origin.z
        reach = [x * px + y * py for px, py in self._flat]
        low, high = (z * self.low, z * self.high) if z >= 0 else (z * self.high, z * self.low)
        return base + min(reach) + low, base + max(reach) + high

    @cached_property
    def _flat(self) -> tuple[tuple[float, float], ...]:
        return tuple((p.x, p.y) for p in self.polygon)

    @cached_property
    def centre(self) -> Point3:
        """The middle of the corners."""
        count = len(self.polygon)
        x = math.fsum(p.x for p in self.polygon) / count
        y = math.fsum(p.y for p in self.polygon) / count
        return self.world_from_prism.point(Point(x, y), (self.low + self.high) / 2)

    @cached_property
    def radius(self) -> float:
        """Radius of a ball about the centre that holds the prism, mm."""
        back = self.world_from_prism.inverse().point3(self.centre)
        flat = max(math.hypot(p.x - back.x, p.y - back.y) for p in self.polygon)
        return math.hypot(flat, (self.high - self.low) / 2)

    @cached_property
    def slabs(self) -> tuple[tuple[Vector3, float, float], ...]:
        """Unit vectors out of the end face and of every side, the prism's bounds along each."""
        # in plain figures: asked of every prism in the way of a tape
        place, flat = self.world_from_prism, self._flat
        x, y, z, o = place.x_axis, place.y_axis, place.z_axis, place.origin
        level = z.x * o.x + z.y * o.y + z.z * o.z
        found = [(z, level + self.low, level + self.high)]
        for (ax, ay), (bx, by) in zip(flat, (*flat[1:], flat[0]), strict=True):
            length = math.hypot(bx - ax, by - ay)
            if length == 0:
                continue
            u, v = (by - ay) / length, (ax - bx) / length
            normal = Vector3(x.x * u + y.x * v, x.y * u + y.y * v, x.z * u + y.z * v)
            level = normal.x * o.x + normal.y * o.y + normal.z * o.z
            reach = [u * px + v * py for px, py in flat]
            found.append((normal, level + min(reach), level + max(reach)))
        return tuple(found)

    @cached_property
    def corners(self) -> tuple[Point3, ...]:
        """Every corner in space, the lower ring first."""
        place = self.world_from_prism
        return tuple(place.point(p, h) for h in (self.low, self.high) for p in self.polygon)

    @property
    def sides(self) -> Iterator[tuple[Point3, Point3]]:
        """The two ends of every edge in space."""
        count = len(self.polygon)
        low, high = self.corners[:count], self.corners[count:]
        yield from zip(low, high, strict=True)
        for ring in (low, high):
            yield from zip(ring, ring[1:] + ring[:1], strict=True)


@lru_cache(maxsize=256)
def panel_polygons(panel: Panel) -> tuple[Polygon, ...]:
    """A panel's outline less its cutouts as convex polygons."""
    outer = panel.contour.flatten(SAGITTA)
    holes = [cutout.contour.flatten(SAGITTA) for cutout in panel.cutouts]
    return tuple(convex_parts(outer, holes))


def panel_prisms(panel: Panel, placing: Placing, thickness: float) -> tuple[Prism, ...]:
    """A panel's plate in space. Round holes are taken as filled: nothing passes through them."""
    return tuple(Prism(part, -thickness, 0.0, placing) for part in panel_polygons(panel))


def bend_prisms(bend: FoldedBend) -> tuple[Prism, ...]:
    """A bend's metal in space as wedges along it."""
    outside = bend.inside_radius + bend.bent_thickness
    count = 1 if bend.flat else wedge_count(bend.angle, outside)
    corners = [bend.point(0.0, i / count, 0.0) for i in range(count + 1)]
    if bend.flat and corners[0].distance(corners[-1]) < _SMALL:
        return ()
    return tuple(_wedge(bend, i / count, (i + 1) / count) for i in range(count))


def wedge_count(angle: float, outside: float) -> int:
    """Into how many wedges a bend is cut; `outside` is its outside radius, mm.

    Their chords leave the outside by no more than the sagitta.
    """
    widest = min(WEDGE, 2 * math.acos(1 - SAGITTA / max(outside, SAGITTA)))
    return max(1, math.ceil(angle / widest))


def _wedge(bend: FoldedBend, first: float, last: float) -> Prism:
    """The part of a bend between two shares of the way round."""
    along = bend.world_from_bend.x_axis
    across, up = bend.world_from_bend.y_axis, bend.world_from_bend.z_axis
    # the prism's own z runs along the bend; y out and z up of the bend are its x and y
    placing = Placing(across, up, along, bend.world_from_bend.origin)
    back, deep = placing.inverse(), bend.bent_thickness
    ring = [(first, 0.0), (first, deep), (last, deep), (last, 0.0)]
    placed = [back.point3(bend.point(0.0, share, depth)) for share, depth in ring]
    points = [Point(p.x, p.y) for p in placed]
    # without repeats: a sharp bend's wedge has three corners
    corners = (p for i, p in enumerate(points) if p.distance(points[i - 1]) > _SMALL)
    return Prism(tuple(corners), 0.0, bend.length, placing)


@dataclass(frozen=True, slots=True)
class SolidPart:
    """A panel or a bend as prisms. `bend` is the bend's number, None for a panel."""

    words: str
    panel: str
    prisms: tuple[Prism, ...]
    bend: int | None = None


@lru_cache(maxsize=8)
def parts_of(folded: Folded) -> tuple[SolidPart, ...]:
    """Every panel, then every bend, of a folded bracket."""
    panels = (
        SolidPart(
            placed.panel.name,
            placed.panel.name,
            panel_prisms(placed.panel, placed.world_from_panel, folded.thickness),
        )
        for placed in folded.panels
    )
    bends = (
        SolidPart(
            f"bend {bend.number}",
            folded.panels[bend.child].panel.name,
            bend_prisms(bend),
            bend.number,
        )
        for bend in folded.bends
    )
    return (*panels, *bends)
