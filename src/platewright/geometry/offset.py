"""Exact offsets: the outline of everything within a distance of a shape, or of what keeps off.

The offset of a region by d > 0 is the region with every place within d mm of it; by d < 0 what is
left after every place within |d| mm of its outside is taken away. Both are bounded by parallels of
the lines, arcs about the same centres, and arcs of radius |d| about the corners that stick out of
what grows; nothing becomes a polygon. Every joint is one shared point.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from platewright.errors import GeometryError
from platewright.geometry.build import TINY, merged
from platewright.geometry.contour import Circle, Contour, Outline
from platewright.geometry.loops import Closed, Loop, closed
from platewright.geometry.parallel import raw_offset
from platewright.geometry.plane import close
from platewright.geometry.prepared import PreparedSegment, prepared_outline
from platewright.geometry.segment import Arc
from platewright.geometry.stretches import surviving
from platewright.values import dataclass

#: Depths under this count as touching, mm.
_TOUCH = 2.5e-10

#: Stretches of more than this length in all that close into no loop are a failure, mm.
_LOOSE = 1e-3

#: What is tried one after the other: a change of the distance, and the length of segments that
#: are left out, mm. All but the first are for shapes with details under a thousandth of a micron.
_ATTEMPTS = ((0.0, TINY), (1e-9, TINY), (-1e-9, TINY), (0.0, 1e-6), (1e-8, 1e-6), (-1e-8, 1e-6))

_CROSSED = "an outline that crosses itself or its holes has no offset"


@dataclass(frozen=True, slots=True)
class Region:
    """A piece of the plane: an outer outline and the outlines of its holes, all anticlockwise."""

    outer: Outline
    holes: tuple[Outline, ...] = ()

    @property
    def area(self) -> float:
        """Area without the holes, mm²."""
        return self.outer.area - math.fsum(hole.area for hole in self.holes)


def offset(outline: Outline, distance: float) -> tuple[Outline, ...]:
    """The outer outlines of a solid shape offset by `distance` mm, largest first.

    Positive is outward, negative inward. The travel of the outline does not matter as long as it
    does not cross itself; the results run anticlockwise. Inward, a shape may fall into several
    pieces or vanish (an empty tuple). Pockets that close outward
    are the holes of `offset_region`. Raises
    GeometryError for most outlines that cross themselves; `shapes.self_crossing` tells them all.
    """
    return tuple(region.outer for region in offset_region(outline, (), distance))


def offset_region(outer: Outline, holes: Iterable[Outline], distance: float) -> tuple[Region, ...]:
    """The regions that a region becomes when offset by `distance` mm, largest first.

    The holes lie inside the outer outline, apart from each other; they shrink when the distance is
    positive. Touching leftovers without width are dropped. Raises GeometryError for most outlines
    that cross themselves or each other.
    """
    return offset_regions((Region(outer, tuple(holes)),), distance)


def offset_regions(regions: Iterable[Region], distance: float) -> tuple[Region, ...]:
    """The same for several regions that lie apart; outward they may grow together."""
    regions = tuple(regions)
    if distance == 0 or not regions:
        return tuple(_plain(region) for region in regions)
    if len(regions) == 1 and isinstance(regions[0].outer, Circle) and not regions[0].holes:
        circle = regions[0].outer
        diameter = circle.diameter + 2 * distance
        return (Region(Circle(circle.centre, diameter)),) if diameter > 0 else ()
    for nudge, tiny in _ATTEMPTS:
        attempt = _closed_at([_plain(region, tiny) for region in regions], distance + nudge)
        if attempt.loose <= _LOOSE:
            # loops sorted into outer outlines with their holes, largest first
            found = [_whole(loop) for loop in attempt.loops]
            outers = _by_size(loop.outline for loop in found if not loop.is_hole)
            holes = _by_size(loop.outline for loop in found if loop.is_hole)
            held: list[list[Outline]] = [[] for _ in outers]
            for hole in holes:
                held[_owner(hole, outers)].append(hole)
            return tuple(Region(o, tuple(h)) for o, h in zip(outers, held, strict=True))
    raise GeometryError(_CROSSED)


def _closed_at(regions: Sequence[Region], distance: float) -> Closed:
    """The loops that regions without needless joints become."""
    # every outline, the metal on the left of the travel
    rings: list[Sequence[PreparedSegment]] = []
    for region in regions:
        rings.append(prepared_outline(region.outer))
        rings += [prepared_outline(hole, clockwise=True) for hole in region.holes]
    # depth that counts as touching, mm: well above rounding, well below the distance
    boxes = [region.outer.bounds for region in regions]
    reach = max(max(abs(v) for v in (b.xmin, b.ymin, b.xmax, b.ymax)) for b in boxes)
    tolerance = min(max(_TOUCH, 1e-14 * reach), abs(distance) / 1000)
    raw = raw_offset(rings, distance, tolerance)
    if not raw.pieces:
        return Closed((), 0.0)
    sources = [segment for ring in rings for segment in ring]
    return closed(surviving(raw, sources, abs(distance), tolerance), tolerance)


def _plain(region: Region, tiny: float = TINY) -> Region:
    """The region, all anticlockwise, without tiny segments and needless joints."""
    holes = (_plain_outline(hole, tiny) for hole in region.holes)
    return Region(_plain_outline(region.outer, tiny), tuple(holes))


def _plain_outline(outline: Outline, tiny: float) -> Outline:
    return outline if isinstance(outline, Circle) else merged(outline.anticlockwise(), tiny)


def _whole(loop: Loop) -> Loop:
    """The loop with the arcs joined that a circle's two half turns left."""
    outline = loop.outline
    if isinstance(outline, Circle) or not _has_seam(outline):
        return loop
    return replace(loop, outline=merged(outline))


def _has_seam(contour: Contour) -> bool:
    """Whether two arcs about one centre follow each other."""
    chain = contour.segments
    return any(
        isinstance(a, Arc) and isinstance(b, Arc) and close(a.centre, b.centre)
        for a, b in zip(chain, chain[1:] + chain[:1], strict=True)
    )


def _by_size(outlines: Iterable[Outline]) -> list[Outline]:
    return sorted(outlines, key=lambda outline: -outline.area)


def _owner(hole: Outline, outers: Sequence[Outline]) -> int:
    """Index of the smallest outer outline round a hole."""
    if len(outers) == 1:
        return 0
    # A place on a hole's outline, off its corners: only there may other outlines touch it
    segments = (hole.contour() if isinstance(hole, Circle) else hole).segments
    on_hole = max(segments, key=lambda segment: segment.length).point_at(0.41)
    round_it = [i for i, outer in enumerate(outers) if outer.contains(on_hole)]
    if not round_it:
        raise GeometryError(_CROSSED)
    return max(round_it)
