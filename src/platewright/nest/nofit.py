"""Where a shape may lie among others: no-fit regions of shapes of any outline.

A shape is a few convex pieces. The places of a moving shape at which it comes nearer than a gap to
a standing one are the Minkowski sum of the standing shape, the moving shape turned through its
origin, and a disc of the gap (the no-fit polygon); what is left of the room is free. The gap is
the metal that is left when each shape has burnt its `burn` round itself. Arcs and the disc are
taken as polygons round them, so a gap is never less than asked: what is lost is at most `coarse`
mm at an arc and 2 % of the gap at a corner.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

from platewright.geometry.contour import Circle, Outline
from platewright.geometry.convex import convex_parts, is_convex
from platewright.geometry.plane import Bounds, Motion, Point, Vector
from platewright.geometry.segment import Arc, Segment

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

XY = tuple[float, float]
Ring = tuple[XY, ...]
"""Corners of a convex polygon, anticlockwise, the first not repeated."""

Column = Any
"""Numbers one below another, reckoned with all at once: an array as shapely gives it."""

#: Shapes may come this much too near, mm, so that an exact fit is a fit.
SLACK = 1e-4

_DISC_CORNERS = 16
#: Turns that differ by less are the same: digits of a radian.
_SAME_TURN = 9
#: Below this radius no notch is worth filling, mm.
_LEAST_FILL = 0.1
#: A frame stands this far outside a room that is no rectangle, mm.
_FRAME = 1.0


@dataclass(frozen=True, slots=True)
class Shape:
    """A solid as convex pieces about an origin of its own, and its box.

    `burn` mm round it are burnt when it is cut out.
    """

    pieces: tuple[Ring, ...]
    box: Bounds
    burn: float = 0.0

    def turned(self, motion: Motion) -> Shape:
        """The shape after a turn about its origin."""
        points = [[motion.point(Point(*xy)) for xy in ring] for ring in self.pieces]
        return _shape(points, self.burn)


def shape_of(
    outer: Outline,
    voids: Iterable[Outline] = (),
    coarse: float = 0.2,
    also: Iterable[Sequence[Point]] = (),
    burn: float = 0.0,
    gap: float = 0.0,
) -> Shape:
    """A shape that holds all the metal inside an outline less its voids (all anticlockwise).

    `also` are convex polygons that belong to the shape as well. Notches that nothing can enter
    that keeps a `gap` may be filled.
    """
    ring = _filled(solid_corners(outer, coarse), burn + gap / 2)
    holes = [_void_corners(void, coarse) for void in voids]
    return _shape([*convex_parts(ring, [hole for hole in holes if len(hole) > 2]), *also], burn)


def _shape(polygons: Iterable[Sequence[Point]], burn: float) -> Shape:
    rings = tuple(tuple((p.x, p.y) for p in polygon) for polygon in polygons)
    xs, ys = [x for ring in rings for x, _ in ring], [y for ring in rings for _, y in ring]
    return Shape(rings, Bounds(min(xs), min(ys), max(xs), max(ys)), burn)


def solid_corners(outer: Outline, coarse: float) -> list[Point]:
    """A polygon round an anticlockwise outline, at most `coarse` mm off it at an arc."""
    return list(_corners(_segments(outer), coarse))


def _filled(ring: list[Point], radius: float) -> list[Point]:
    """A polygon without corners in notches that close when it is grown by a radius.

    What is grown by as much is the same with them and without. The discs that grow and shrink are
    polygons: shrinking by a little more makes up for it.
    """
    from shapely import Polygon

    if radius < _LEAST_FILL or is_convex(ring):
        return ring
    metal = Polygon([(p.x, p.y) for p in ring])
    closed = metal.buffer(radius).buffer(-1.01 * radius).union(metal)
    kept, at, clear = list(ring), 0, 0
    while clear < len(kept) and len(kept) > 3:
        a, b, c = kept[at - 1], kept[at % len(kept)], kept[(at + 1) % len(kept)]
        reflex = (b - a).cross(c - b) < 0
        if reflex and closed.covers(Polygon([(p.x, p.y) for p in (a, b, c)])):
            del kept[at % len(kept)]
            at, clear = max(0, at - 1), 0
        else:
            at, clear = (at + 1) % len(kept), clear + 1
    return kept


def _void_corners(void: Outline, coarse: float) -> list[Point]:
    """A polygon inside an anticlockwise outline of a hole, clockwise."""
    return list(_corners([s.reversed() for s in reversed(_segments(void))], coarse))


def _segments(outline: Outline) -> tuple[Segment, ...]:
    return (outline.contour() if isinstance(outline, Circle) else outline).segments


def _corners(segments: Iterable[Segment], coarse: float) -> Iterator[Point]:
    """Corners of a polygon that holds the metal on the left of a closed run."""
    for segment in segments:
        yield segment.start
        if isinstance(segment, Arc):
            outside = segment.sweep > 0
            yield from (
                _tangent_corners(segment, coarse) if outside else segment.flatten(coarse)[1:-1]
            )


def _tangent_corners(arc: Arc, coarse: float) -> Iterator[Point]:
    """Where the tangents at even steps along an arc cross, at most `coarse` mm off it."""
    half = math.acos(arc.radius / (arc.radius + coarse))
    count = max(1, math.ceil(arc.sweep / (2 * half)), math.ceil(arc.sweep / 2.0))
    step = arc.sweep / count
    reach = arc.radius / math.cos(step / 2)
    for i in range(count):
        yield arc.centre + Vector.polar(arc.start_angle + (i + 0.5) * step, reach)


# --- sums -------------------------------------------------------------------------------------


def disc(radius: float) -> Ring:
    """A polygon round a disc about the origin that touches it on the axes."""
    reach = radius / math.cos(math.pi / _DISC_CORNERS)
    turns = ((i + 0.5) * math.tau / _DISC_CORNERS for i in range(_DISC_CORNERS))
    return tuple((reach * math.cos(turn), reach * math.sin(turn)) for turn in turns)


def convex_sums(some: Sequence[Ring], others: Sequence[Ring]) -> Column:
    """The Minkowski sums of each of some convex polygons with each of others, as polygons.

    Each is the hull of the sums of their corners.
    """
    import numpy as np
    from shapely import convex_hull, linestrings

    columns = [np.array(ring) for ring in some], [np.array(ring) for ring in others]
    sums = [(a[:, None] + b[None]).reshape(-1, 2) for a in columns[0] for b in columns[1]]
    which = np.repeat(np.arange(len(sums)), [len(each) for each in sums])
    return convex_hull(linestrings(np.concatenate(sums), indices=which))


def _no_fit(standing: Sequence[Ring], moving: Shape, gap: float) -> BaseGeometry:
    """Shifts of the moving shape that bring it within a gap of standing convex pieces."""
    from shapely import get_coordinates, union_all

    reach = [tuple((-x, -y) for x, y in ring) for ring in moving.pieces]
    if gap:
        grown = convex_sums(reach, [disc(gap)])
        reach = [tuple(map(tuple, get_coordinates(each)[:-1].tolist())) for each in grown]
    return union_all(convex_sums(standing, reach))


def _areas(region: BaseGeometry) -> BaseGeometry:
    """The polygons of a region alone.

    A difference of regions with edges in common may leave hair lines along them, whose ends are
    no places: a shape there may lie on another.
    """
    from shapely import MultiPolygon, get_parts

    if region.geom_type in ("Polygon", "MultiPolygon"):
        return region
    return MultiPolygon([part for part in get_parts(region) if part.geom_type == "Polygon"])


# --- rooms ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Room:
    """What shapes are laid in: a polygon to keep inside of and polygons to keep out of.

    A `margin` of metal, mm, is left along all of them.
    """

    outline: tuple[Point, ...]
    voids: tuple[tuple[Point, ...], ...] = ()
    margin: float = 0.0

    @cached_property
    def box(self) -> Bounds:
        """The box round the outline."""
        return Bounds.of(*self.outline)

    @cached_property
    def walls(self) -> tuple[Ring, ...]:
        """Convex pieces of what must be kept out of, but for the outside of the box."""
        polygons = [part for void in self.voids for part in convex_parts(void)]
        if not self.upright:
            frame = _box_corners(self.box.grown(_FRAME))
            polygons.extend(convex_parts(frame, [self.outline]))
        return tuple(tuple((p.x, p.y) for p in polygon) for polygon in polygons)

    @property
    def free(self) -> bool:
        """Whether it is its own box with nothing to keep out of."""
        return self.upright and not self.voids

    @property
    def upright(self) -> bool:
        """Whether the outline is its own box."""
        return len(self.outline) == 4 and set(self.outline) == set(_box_corners(self.box))


def _box_corners(box: Bounds) -> tuple[Point, Point, Point, Point]:
    low, high = Point(box.xmin, box.ymin), Point(box.xmax, box.ymax)
    return low, Point(high.x, low.y), high, Point(low.x, high.y)


@dataclass(frozen=True, slots=True)
class Turned:
    """A shape in a turn, radians: `kind` tells what it is a turn of."""

    kind: int
    turn: float
    shape: Shape


@dataclass(slots=True)
class NoFit:
    """Remembers the no-fit regions of some shapes, which many trials ask for again and again.

    `kinds` are the shapes as drawn, `turned` all that may be laid; `gap` mm of metal are left
    between what two of them burn. Only how far one is turned against the other matters to a
    region: it is made once for that and turned along with the one that stands.
    """

    kinds: Sequence[Shape]
    turned: Sequence[Turned]
    gap: float
    _pairs: dict[tuple[int, int], BaseGeometry] = field(default_factory=dict)
    _relative: dict[tuple[int, int, float], BaseGeometry] = field(default_factory=dict)
    _rooms: dict[tuple[Room, int], BaseGeometry] = field(default_factory=dict)

    def beside(self, standing: int, moving: int) -> BaseGeometry:
        """Shifts of one turned shape that bring it too near another that is not shifted."""
        key = (standing, moving)
        if key not in self._pairs:
            one, other = self.turned[standing], self.turned[moving]
            turn = (other.turn - one.turn) % math.tau
            self._pairs[key] = _spun(self.against(one.kind, other.kind, turn), one.turn)
        return self._pairs[key]

    def against(self, standing: int, moving: int, turn: float) -> BaseGeometry:
        """The region of a shape turned against another that stands as drawn."""
        key = (standing, moving, round(turn, _SAME_TURN))
        if key not in self._relative:
            back = (moving, standing, round(-turn % math.tau, _SAME_TURN))
            if back in self._relative:
                # seen from the other shape every shift is reversed
                self._relative[key] = _spun(self._relative[back], turn + math.pi)
            else:
                one, other = self.kinds[standing], self.kinds[moving]
                gap = max(0.0, self.gap + one.burn + other.burn - SLACK)
                turned = other.turned(turn_motion(turn))
                self._relative[key] = _no_fit(one.pieces, turned, gap)
        return self._relative[key]

    def inside(self, room: Room, moving: int) -> BaseGeometry:
        """Shifts of a shape that keep it inside an empty room; an empty region when none does."""
        key = (room, moving)
        if key not in self._rooms:
            self._rooms[key] = self._inside(room, self.turned[moving].shape)
        return self._rooms[key]

    def _inside(self, room: Room, shape: Shape) -> BaseGeometry:
        from shapely import Polygon
        from shapely import box as rectangle

        left, low, right, high = reach(shape, room.box, room.margin)
        if left > right or low > high:
            return Polygon()
        free = rectangle(left, low, right, high)
        if not room.walls:
            return free
        margin = max(0.0, room.margin + shape.burn - SLACK)
        return _areas(free.difference(_no_fit(room.walls, shape, margin)))


def reach(shape: Shape, room: Bounds, margin: float) -> tuple[float, float, float, float]:
    """The least shift along x and y, and the greatest, that keep a shape inside a box.

    A `margin` of metal, mm, is left along the box. Where the least is more than the greatest there
    is no room.
    """
    space, own = room.grown(SLACK - margin - shape.burn), shape.box
    return (
        space.xmin - own.xmin,
        space.ymin - own.ymin,
        space.xmax - own.xmax,
        space.ymax - own.ymax,
    )


def turn_motion(angle: float) -> Motion:
    """A turn about the origin, quarter turns without rounding."""
    quarters = round(angle / (math.pi / 2))
    if abs(angle - quarters * math.pi / 2) > 1e-12:
        return Motion.rotation(angle)
    c, s = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[quarters % 4]
    return Motion(c, s, -s, c)


def _spun(region: BaseGeometry, turn: float) -> BaseGeometry:
    """A region turned about the origin."""
    from shapely import transform

    m = turn_motion(turn)
    return transform(region, lambda at: at @ ((m.a, m.b), (m.c, m.d)))


@dataclass(slots=True)
class Packing:
    """One room being filled: where shapes lie, and what is still free for each of them."""

    room: Room
    no_fit: NoFit
    placed: list[tuple[int, XY]] = field(default_factory=list)
    _free: dict[int, tuple[int, BaseGeometry]] = field(default_factory=dict)

    def lay(self, shape: int, at: XY) -> None:
        """Lay a shape down, shifted by `at`."""
        self.placed.append((shape, at))

    def places(self, shape: int) -> tuple[Column, Column]:
        """The corners of what is free for a shape: shifts at which it touches what lies there."""
        from shapely import get_coordinates

        found = get_coordinates(self._region(shape))
        return found[:, 0], found[:, 1]

    def _region(self, shape: int) -> BaseGeometry:
        from shapely import transform, union_all

        seen, region = self._free.get(shape) or (0, self.no_fit.inside(self.room, shape))
        if not region.is_empty and seen < len(self.placed):
            taken = [
                transform(self.no_fit.beside(standing, shape), lambda xy, at=at: xy + at)
                for standing, at in self.placed[seen:]
            ]
            region = _areas(region.difference(taken[0] if len(taken) == 1 else union_all(taken)))
        self._free[shape] = (len(self.placed), region)
        return region
