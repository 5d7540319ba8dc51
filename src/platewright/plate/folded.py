"""The bracket in space: where spots, edges, holes and bends stand when it is folded.

Built on `place`, the same traversal that lays the blank flat, so that flat and folded cannot
disagree. Space is the frame of the root panel: its top face is z = 0.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache

from platewright.errors import GeometryError
from platewright.geometry.plane import Point
from platewright.geometry.space import Placing, Point3, Vector3
from platewright.plate.bend import Face, inside_face, radius_part_way
from platewright.plate.bracket import Bend, Bracket
from platewright.plate.dimension import Dimension, Level, OnBlank, Place, Spot, Straight, Touch
from platewright.plate.place import PlacedPanel, edge_frame, place
from platewright.values import dataclass

#: Below this angle a bend is taken as flat, radians: its curve would leave the plane by less than
#: a millionth of its width.
FLAT_ANGLE = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldedBend:
    """The bent metal between a panel and its parent: a sector of a cylinder.

    `world_from_bend` has its origin on the parent's top face at one end of the bend, x along the
    bend, y away from the parent, z out of the top face. `angle` is what the bend has turned so
    far, `inside_radius` its radius then, `bent_thickness` the metal that bends (the ligament under
    a score, else the plate). `parent` and `child` are indices of placed panels.
    """

    number: int
    parent: int
    child: int
    bend: Bend
    world_from_bend: Placing
    length: float
    angle: float
    inside_radius: float
    thickness: float

    @property
    def bent_thickness(self) -> float:
        """Thickness of the metal that bends, mm."""
        return self.bend.way.bent_thickness(self.thickness)

    @property
    def flat(self) -> bool:
        """Whether the bend is not made yet."""
        return self.angle < FLAT_ANGLE

    @property
    def sharp(self) -> bool:
        """Whether the inside comes to a line: parent and child share their inside edge."""
        if self.flat:
            return self.bend.way.allowance(self.bend.angle, self.thickness) == 0
        return self.inside_radius == 0

    def point(self, along: float, share: float, depth: float) -> Point3:
        """A place in the bent metal.

        `along` mm from the bend's origin, `share` of the way round from parent (0) to child (1),
        `depth` mm below the inside face.
        """
        # how far out, and how far towards the inside, it has moved by the bend
        y, rise = share * self.bend.way.allowance(self.bend.angle, self.thickness), 0.0
        if not self.flat:
            turn, radius = share * self.angle, self.inside_radius + depth
            y, rise = radius * math.sin(turn), radius * 2 * math.sin(turn / 2) ** 2
        z = rise - depth if self.bend.direction == "up" else depth - self.thickness - rise
        return self.world_from_bend.point3(Point3(along, y, z))

    @property
    def axis(self) -> tuple[Point3, Point3]:
        """The line that the metal bends round, from end to end. Not for a flat bend."""
        above = self.inside_radius
        z = above if self.bend.direction == "up" else -self.thickness - above
        ends = (Point3(along, 0.0, z) for along in (0.0, self.length))
        first, last = (self.world_from_bend.point3(end) for end in ends)
        return first, last


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldedCorner:
    """A corner of a panel in space: where segment `index` of its contour starts."""

    panel: str
    index: int
    at: Point
    top: Point3
    underside: Point3

    def on(self, face: Face) -> Point3:
        """The corner on a face."""
        return self.top if face == "top" else self.underside


@dataclass(frozen=True, slots=True, kw_only=True)
class Folded:
    """A bracket folded by an amount from 0 (the blank) to 1 (finished)."""

    bracket: Bracket
    amount: float
    panels: tuple[PlacedPanel, ...]
    bends: tuple[FoldedBend, ...]

    @property
    def thickness(self) -> float:
        """Thickness of the plate, mm."""
        return self.bracket.stock.thickness

    def panel(self, name: str) -> PlacedPanel:
        """A panel by its name. Raises GeometryError with the names there are."""
        for placed in self.panels:
            if placed.panel.name == name:
                return placed
        known = ", ".join(repr(placed.panel.name) for placed in self.panels)
        raise GeometryError(f"the bracket has no panel {name!r} (it has: {known})")

    def height(self, face: Level) -> float:
        """Where a face lies above a panel's top face, mm: 0 or less."""
        return 0.0 if face == "top" else -self.thickness / (2 if face == "middle" else 1)

    def place_of(self, panel: str, at: Point, face: Level = "top") -> Point3:
        """A point of a panel's face in space."""
        return self.panel(panel).world_from_panel.point(at, self.height(face))

    def spot(self, spot: Spot) -> Point3:
        """A spot in space, on the face where it is measured."""
        return self.place_of(spot.panel, spot.at, spot.face)

    def straight(self, straight: Straight) -> tuple[Point3, Point3]:
        """The two ends of a straight in space, on the face where it is measured."""
        line = straight.line
        return (
            self.place_of(straight.panel, line.start, straight.face),
            self.place_of(straight.panel, line.end, straight.face),
        )

    def ends(self, dimension: Dimension) -> tuple[Point3, Point3]:
        """The two places in space that a dimension runs between.

        Square to a straight or a face the second is the foot of the perpendicular. An angle has
        the places where its two sides are laid on.
        """
        start, end = dimension.start, dimension.end
        if isinstance(end, Straight) and dimension.end_to_end:
            return self.straight(end)
        here = self._on(start)
        if dimension.quantity == "angle" or isinstance(end, Spot):
            return here, self._on(end)
        if isinstance(end, Straight):
            first, last = self.straight(end)
            along = (last - first).unit()
            return here, first + along * (here - first).dot(along)
        if isinstance(end, Touch):
            normal = self.panel(end.panel).world_from_panel.vector(end.out)
        else:
            normal = self.face_normal(end.panel, end.face)
        return here, here + normal * -height_above(here, self._on(end), normal)

    def _on(self, place: Place) -> Point3:
        """A place of its own: a spot, the middle of a straight, somewhere on a panel's face."""
        if isinstance(place, OnBlank):
            raise GeometryError(f"{place.words} is on the flat blank alone")
        if isinstance(place, Spot):
            return self.spot(place)
        if isinstance(place, Touch):
            return self.panel(place.panel).world_from_panel.point3(place.at)
        if isinstance(place, Straight):
            return self.place_of(place.panel, place.line.point_at(0.5), place.face)
        contour = self.panel(place.panel).panel.contour
        return self.place_of(place.panel, contour.segments[0].start, place.face)

    def value(self, dimension: Dimension) -> float:
        """What a dimension measures: mm, or the radians that the metal turns."""
        start, end = dimension.start, dimension.end
        if dimension.quantity == "length":
            here, there = self.ends(dimension)
            return here.distance(there)
        if isinstance(start, Straight) and isinstance(end, Straight):
            one, other = start.line.direction, end.line.direction
            return abs(math.atan2(one.cross(other), one.dot(other)))
        one3, other3 = (self.panel(p.panel).world_from_panel.z_axis for p in (start, end))
        return math.atan2(one3.cross(other3).length, one3.dot(other3))

    def face_normal(self, panel: str, face: Level) -> Vector3:
        """Unit vector out of a panel's face."""
        up = self.panel(panel).world_from_panel.z_axis
        return up if face == "top" else -up

    def corners(self, panel: str) -> tuple[FoldedCorner, ...]:
        """Every corner of a panel in space, in the order of its contour."""
        placed = self.panel(panel)
        return tuple(
            FoldedCorner(
                panel=panel,
                index=index,
                at=at,
                top=placed.world_from_panel.point(at),
                underside=placed.world_from_panel.point(at, -self.thickness),
            )
            for index, at in enumerate(placed.panel.contour.corners)
        )

    def bend_of(self, panel: str) -> FoldedBend | None:
        """The bend that holds a panel to its parent; None for the root."""
        self.panel(panel)
        for bend in self.bends:
            if self.panels[bend.child].panel.name == panel:
                return bend
        return None

    def face_words(self, panel: str, face: Level) -> str:
        """Which face in words: inside or outside of its own fold, top or underside of the root."""
        bend = self.bend_of(panel)
        if face == "middle":
            return "middle of the thickness"
        if bend is None:
            return "top face" if face == "top" else "underside"
        inside = inside_face(bend.bend.direction)
        return "inside face" if face == inside else "outside face"


@lru_cache(maxsize=16)  # rules, views and rows all ask for the finished one
def folded(bracket: Bracket, amount: float = 1.0) -> Folded:
    """The bracket folded by an amount from 0 to 1. Raises GeometryError for another amount."""
    panels = place(bracket, amount)
    return Folded(
        bracket=bracket,
        amount=amount,
        panels=panels,
        bends=tuple(_folded_bends(panels, bracket.stock.thickness, amount)),
    )


def _folded_bends(
    panels: tuple[PlacedPanel, ...], thickness: float, amount: float
) -> Iterator[FoldedBend]:
    for index, child in enumerate(panels):
        if child.bend is None or child.parent is None or child.number is None:
            continue
        bend, parent = child.bend, panels[child.parent]
        edge = parent.panel.bend_base(bend)
        angle = bend.angle * amount
        flat = angle < FLAT_ANGLE
        yield FoldedBend(
            number=child.number,
            parent=child.parent,
            child=index,
            bend=bend,
            world_from_bend=parent.world_from_panel @ Placing.flat(edge_frame(edge.reversed())),
            length=edge.length,
            angle=angle,
            inside_radius=(
                math.inf if flat else radius_part_way(bend.way, bend.angle, thickness, amount)
            ),
            thickness=thickness,
        )


def height_above(p: Point3, on: Point3, normal: Vector3) -> float:
    """How far a point lies above the plane through `on` with that unit normal, mm."""
    return (p - on).dot(normal)
