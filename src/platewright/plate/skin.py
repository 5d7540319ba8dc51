"""The folded bracket as one closed skin of flat facets, for pictures and for outside checks.

Panels are plates of the stock's thickness; brake bends and creases are sectors of a cylinder cut
into narrow facets; at a score the plates end at the groove's edges, square to their faces, and the
ligament alone goes round. Arcs and circles become chords within a stated sagitta, so the skin is
exact for straight panels and within the sagitta elsewhere. Neighbours share their corners: every
edge belongs to exactly two facets.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Literal

from platewright.geometry.contour import Outline
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Segment
from platewright.geometry.space import Point3, Vector3
from platewright.plate.folded import Folded, FoldedBend
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


@dataclass(frozen=True, slots=True, eq=False)
class Solid:
    """Points in space and the facets between them. A solid equals itself alone."""

    points: tuple[Point3, ...]
    facets: tuple[Facet, ...]

    def normal(self, facet: Facet) -> Vector3:
        """Unit vector out of the metal, from the loop's own area (Newell)."""
        ring = [self.points[i] for i in facet.loop]
        total = Vector3(0.0, 0.0, 0.0)
        for a, b in zip(ring, [*ring[1:], ring[0]], strict=True):
            total = total + (a - ring[0]).cross(b - ring[0])
        return total.unit()


#: Neighbouring segments whose directions differ by less run on smoothly, radians.
_SMOOTH = 1e-6
#: Heights and shares are told apart by this, mm.
_SAME = 1e-9


def skin_of(folded: Folded, sagitta: float = 0.1) -> Solid:
    """The skin of a folded bracket; curves are flattened within `sagitta` mm."""
    builder = _Builder(folded, sagitta)
    for index in range(len(folded.panels)):
        builder.panel(index)
    for bend in folded.bends:
        builder.bend(bend)
    return Solid(tuple(builder.points), tuple(builder.facets))


@dataclass(frozen=True, slots=True)
class _Piece:
    """A straight piece of a panel's flattened outline.

    `bend` is the bend that leaves (or holds) the panel there, None for a free edge; `smooth` tells
    whether the outline ran on smoothly into this piece.
    """

    start: Point
    bend: FoldedBend | None
    smooth: bool


class _Builder:
    def __init__(self, folded: Folded, sagitta: float) -> None:
        self.folded = folded
        self.sagitta = sagitta
        self.points: list[Point3] = []
        self.facets: list[Facet] = []
        self._sheets = 0
        self._at: dict[tuple[int, Point, float], int] = {}
        self._outlines = [self._pieces(index) for index in range(len(folded.panels))]
        self._corner_levels = [self._levels(pieces) for pieces in self._outlines]
        # give the two panels of a flat bend without width the same heights at its ends
        joined = [bend for bend in self.folded.bends if bend.flat and bend.sharp]
        for bend in (*reversed(joined), *joined):
            for mine, theirs in _base_ends(self.folded, bend):
                child, parent = self._corner_levels[bend.child], self._corner_levels[bend.parent]
                both = sorted({*child[mine], *parent[theirs]}, reverse=True)
                child[mine], parent[theirs] = both, list(both)

    # --- points -----------------------------------------------------------------------------

    def _point(self, panel: int, at: Point, z: float) -> int:
        """The index of a panel's point at height `z`, made when it is new."""
        key = (panel, at, z)
        if key not in self._at:
            place = self.folded.panels[panel].world_from_panel
            self._at[key] = self._new(place.point(at, z))
        return self._at[key]

    def _new(self, point: Point3) -> int:
        self.points.append(point)
        return len(self.points) - 1

    def _sheet(self) -> int:
        self._sheets += 1
        return self._sheets

    def _add(self, loop: tuple[int, ...], skin: Skin, panel: str, sheet: int) -> None:
        self.facets.append(Facet(loop=loop, skin=skin, panel=panel, sheet=sheet))

    # --- panels -----------------------------------------------------------------------------

    def panel(self, index: int) -> None:
        """The two faces, the sides and the hole walls of one panel."""
        panel = self.folded.panels[index].panel
        self._share_sharp_ends(index)
        pieces = self._outlines[index]
        outlines: list[Outline] = [hole.circle for hole in panel.holes if hole.cut]
        outlines += [cutout.contour for cutout in panel.cutouts]
        holes = [outline.flatten(self.sagitta) for outline in outlines]
        ring = [piece.start for piece in pieces]
        name, deep = self.folded.panels[index].panel.name, -self.folded.thickness
        faces: tuple[tuple[Skin, float, int], ...] = (("top", 0.0, 1), ("underside", deep, -1))
        for skin, z, step in faces:
            loop = tuple(self._point(index, p, z) for p in ring[::step])
            inner = tuple(tuple(self._point(index, p, z) for p in hole[::-step]) for hole in holes)
            self.facets.append(
                Facet(loop=loop, skin=skin, panel=name, sheet=self._sheet(), holes=inner)
            )
        # free edges over the whole thickness, groove walls above or below a ligament
        levels, sheet = self._corner_levels[index], self._sheet()
        for i, piece in enumerate(pieces):
            after = pieces[(i + 1) % len(pieces)].start
            sheet = sheet if piece.smooth else self._sheet()
            high, low = 0.0, -self.folded.thickness
            if piece.bend is not None:
                root = _height(piece.bend, piece.bend.bent_thickness)
                high, low = (high, root) if piece.bend.bend.direction == "down" else (root, low)
            if high - low > _SAME:
                down = self._column(index, piece.start, levels, high, low)
                up = self._column(index, after, levels, high, low)[::-1]
                self._add((*down, *up), "side", name, sheet)
        for hole in holes:
            self._hole_wall(index, hole)

    def _share_sharp_ends(self, index: int) -> None:
        """Let a sharp bend's child take its inside corners from its parent, flat its whole end."""
        bend = next((bend for bend in self.folded.bends if bend.child == index), None)
        if bend is None or not bend.sharp:
            return
        for mine, theirs in _base_ends(self.folded, bend):
            levels = self._corner_levels[index][mine] if bend.flat else [_height(bend, 0.0)]
            for z in levels:
                self._at[index, mine, z] = self._point(bend.parent, theirs, z)

    def _pieces(self, index: int) -> list[_Piece]:
        panel = self.folded.panels[index].panel
        own = next((bend for bend in self.folded.bends if bend.child == index), None)
        segments = panel.contour.segments
        pieces: list[_Piece] = []
        for i, segment in enumerate(segments):
            # whether an outline passes smoothly from a segment to the next
            ends: tuple[Vector, Vector] = (segments[i - 1].end_direction, segment.start_direction)
            smooth = abs(ends[0].cross(ends[1])) < _SMOOTH and ends[0].dot(ends[1]) > 0
            if own is not None and panel.edge_index(own.bend.base) == i:
                pieces.append(_Piece(segment.start, own, smooth=False))
            else:
                pieces.extend(self._split(index, i, segment, smooth=smooth))
        return pieces

    def _split(self, index: int, i: int, segment: Segment, *, smooth: bool) -> Iterator[_Piece]:
        """One segment as pieces, parted where bends begin and end."""
        panel = self.folded.panels[index].panel
        found = [
            (panel.bend_interval(bend.bend)[0], bend, panel.bend_base(bend.bend))
            for bend in self.folded.bends
            if bend.parent == index and panel.edge_index(bend.bend.edge) == i
        ]
        if not found:
            points = segment.flatten(self.sagitta)[:-1]
            yield from (_Piece(p, None, smooth or k > 0) for k, p in enumerate(points))
            return
        at = segment.start
        for _, bend, base in sorted(found, key=lambda each: each[0]):
            if at != base.start:
                yield _Piece(at, None, smooth=False)
            yield _Piece(base.start, bend, smooth=False)
            at = base.end
        if at != segment.end:
            yield _Piece(at, None, smooth=False)

    def _levels(self, pieces: list[_Piece]) -> dict[Point, list[float]]:
        """Heights at which other facets meet the upright edge at each corner, high ones first."""
        thickness = self.folded.thickness
        found: dict[Point, set[float]] = {}
        for i, piece in enumerate(pieces):
            root = None
            if piece.bend is not None:
                root = _height(piece.bend, piece.bend.bent_thickness)
            for corner in (piece.start, pieces[(i + 1) % len(pieces)].start):
                heights = found.setdefault(corner, {0.0, -thickness})
                if root is not None:
                    heights.add(root)
        return {corner: sorted(heights, reverse=True) for corner, heights in found.items()}

    def _column(
        self, index: int, at: Point, levels: dict[Point, list[float]], high: float, low: float
    ) -> tuple[int, ...]:
        between = (z for z in levels[at] if low - _SAME <= z <= high + _SAME)
        return tuple(self._point(index, at, z) for z in between)

    def _hole_wall(self, index: int, hole: list[Point]) -> None:
        name, deep = self.folded.panels[index].panel.name, -self.folded.thickness
        sheet = self._sheet()
        ring = hole[::-1]  # travelled with the metal on the left, as the outline is
        for a, b in zip(ring, [*ring[1:], ring[0]], strict=True):
            corners = ((a, 0.0), (a, deep), (b, deep), (b, 0.0))
            self._add(tuple(self._point(index, p, z) for p, z in corners), "hole", name, sheet)

    # --- bends ------------------------------------------------------------------------------

    def bend(self, bend: FoldedBend) -> None:
        """The curved metal of a bend: inside, outside and two ends."""
        if bend.flat and bend.sharp:
            return
        name = self.folded.panels[bend.child].panel.name
        rows = self._steps(bend)
        inner = self._strip(bend, rows, 0.0)
        outer = self._strip(bend, rows, bend.bent_thickness)
        up = bend.bend.direction == "up"
        self._surface(inner, "bend inside", name, facing=up)
        self._surface(outer, "bend outside", name, facing=not up)
        for end, (mine, theirs) in enumerate(_base_ends(self.folded, bend)):
            ring = [
                *(pair[end] for pair in inner),
                *self._between(bend, bend.child, mine),
                *(pair[end] for pair in reversed(outer)),
                *reversed(self._between(bend, bend.parent, theirs)),
            ]
            loop = tuple(p for i, p in enumerate(ring) if p != ring[i - 1])
            self._add(loop if up == (end == 0) else loop[::-1], "bend end", name, self._sheet())

    def _between(self, bend: FoldedBend, panel: int, at: Point) -> list[int]:
        """Points of an upright edge within the bent metal, inside first, its ends left out.

        Another score that meets there may leave another ligament.
        """
        ends = (_height(bend, 0.0), _height(bend, bend.bent_thickness))
        levels = self._corner_levels[panel][at]
        inner = [z for z in levels if min(ends) + _SAME < z < max(ends) - _SAME]
        inside_first = inner if bend.bend.direction == "up" else inner[::-1]
        return [self._point(panel, at, z) for z in inside_first]

    def _steps(self, bend: FoldedBend) -> int:
        """Facets round a bend so that the outside stays within the sagitta, at least 6."""
        if bend.flat:
            return 1
        radius = bend.inside_radius + bend.bent_thickness
        half = math.acos(max(0.0, 1 - self.sagitta / radius))
        return max(6, math.ceil(bend.angle / (2 * half)))

    def _strip(self, bend: FoldedBend, rows: int, depth: float) -> list[tuple[int, int]]:
        """Row by row the two ends of a curved face's lines, from the parent to the child."""
        (mine0, theirs0), (mine1, theirs1) = _base_ends(self.folded, bend)
        z = _height(bend, depth)
        first = (self._point(bend.parent, theirs0, z), self._point(bend.parent, theirs1, z))
        last = (self._point(bend.child, mine0, z), self._point(bend.child, mine1, z))
        if first == last:
            return [first] * (rows + 1)
        middle = [
            (
                self._new(bend.point(0.0, k / rows, depth)),
                self._new(bend.point(bend.length, k / rows, depth)),
            )
            for k in range(1, rows)
        ]
        return [first, *middle, last]

    def _surface(
        self, strip: list[tuple[int, int]], skin: Skin, name: str, *, facing: bool
    ) -> None:
        sheet = self._sheet()
        for (a, b), (c, d) in pairwise(strip):
            if (a, b) != (c, d):
                self._add((a, b, d, c) if facing else (c, d, b, a), skin, name, sheet)


def _height(bend: FoldedBend, depth: float) -> float:
    """Height in a panel's frame of a place `depth` mm below the bend's inside face."""
    up = bend.bend.direction == "up"
    if depth == 0:
        return 0.0 if up else -bend.thickness
    if depth == bend.thickness:
        return -bend.thickness if up else 0.0
    # rounded, so that equal ligaments of bends up and down agree to the last digit
    return round(-depth if up else depth - bend.thickness, 9)


def _base_ends(folded: Folded, bend: FoldedBend) -> tuple[tuple[Point, Point], ...]:
    """The ends of a bend, child's corner and parent's, first the one at the bend's origin."""
    child, parent = folded.panels[bend.child].panel, folded.panels[bend.parent].panel
    own, base = child.straight_edge(bend.bend.base), parent.bend_base(bend.bend)
    return (own.start, base.end), (own.end, base.start)
