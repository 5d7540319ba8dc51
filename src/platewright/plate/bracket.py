"""A bracket: stock and a tree of panels joined by bends.

Each panel is drawn in a plane frame of its own. Its top face is the plane z = 0, the metal lies
below it. A bend joins a child panel's base edge to an edge of its parent, or to a part of it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import field, replace
from typing import TYPE_CHECKING, Literal

from platewright.errors import BuildError, GeometryError
from platewright.geometry.contour import Circle, Contour, Outline
from platewright.geometry.plane import Motion, Point
from platewright.geometry.segment import Line, Segment
from platewright.plate.bend import (
    BendWay,
    Direction,
    DrawnTo,
    Face,
    inside_face,
    other_face,
    setback,
)
from platewright.plate.dimension import Dimension, Level, Tag, swapped_hand
from platewright.plate.stock import Stock
from platewright.values import KeepsHash, dataclass

if TYPE_CHECKING:
    from platewright.plate.blank import Blank

Edge = tuple[str, Segment]
"""A segment of an outline with its name; "" is none."""

#: What is no more than this, mm2, is no panel.
_NO_AREA = 1e-6

MarkMeaning = Literal["phantom", "centre", "clearance", "scribe", "original", "station"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A round hole, or with `cut` False a place to punch only.

    `fastener` is the bolt's or fitting's own diameter, mm; None for a plain hole. `size` says the
    size in shop words ("for 3/8 bolt").
    """

    what: str
    centre: Point
    diameter: float
    size: str = ""
    cut: bool = True
    role: Literal["bolt", "port", "pin", "plain"] = "plain"
    fastener: float | None = None

    def moved(self, motion: Motion) -> Hole:
        """The hole after a motion."""
        what = swapped_hand(self.what) if motion.mirrors else self.what
        return replace(self, what=what, centre=motion.point(self.centre))

    @property
    def circle(self) -> Circle:
        """The hole's edge."""
        return Circle(self.centre, self.diameter)


@dataclass(frozen=True, slots=True)
class Cutout:
    """A hole of any shape: an anticlockwise contour.

    A slot for a bolt has the bolt's own diameter as its `fastener`, mm, and says its `size`.
    """

    what: str
    contour: Contour
    size: str = ""
    fastener: float | None = None

    def moved(self, motion: Motion) -> Cutout:
        """The cut-out after a motion."""
        what = swapped_hand(self.what) if motion.mirrors else self.what
        return replace(self, what=what, contour=self.contour.moved(motion))


@dataclass(frozen=True, slots=True)
class Mark:
    """A line drawn on the plate but not cut; an empty label prints no words.

    `told` is a length, mm, that is printed with the label: where a station stands.
    """

    shape: Segment | Outline
    meaning: MarkMeaning
    label: str = ""
    told: float | None = None

    def moved(self, motion: Motion) -> Mark:
        """The mark after a motion."""
        label = swapped_hand(self.label) if motion.mirrors else self.label
        return Mark(self.shape.moved(motion), self.meaning, label, self.told)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bend:
    """A fold that joins `panel` by its edge `base` to the edge `edge` of its parent.

    `start` and `end` are distances along the parent's edge, in its direction of travel, between
    which the base lies; None means the edge's own ends. `angle` is how far the metal turns. `to`
    and `base_to` tell what the parent's edge and the base are drawn to; once flattened, both are
    tangent lines ("flat").
    """

    edge: str
    panel: Panel
    base: str = "base"
    angle: float
    direction: Direction
    way: BendWay
    start: float | None = None
    end: float | None = None
    to: DrawnTo = "flat"
    base_to: DrawnTo = "flat"

    @property
    def outside(self) -> Face:
        """The face on the outside of the bend."""
        return other_face(inside_face(self.direction))


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnEdge:
    """The line that a bent edge was drawn to, which card and plate of one bracket share.

    Distances from the bend count from it. `face` is where a tape finds it, `neighbour` the panel
    beyond the bend.
    """

    edge: str
    line: Line
    to: DrawnTo
    face: Level
    neighbour: str

    @property
    def words(self) -> str:
        """The line in words."""
        return drawn_words(self.to, self.neighbour)


def drawn_words(to: DrawnTo, neighbour: str) -> str:
    """What a bend is measured to, in words."""
    if to == "flat":
        return f"bend's edge towards the {neighbour}"
    if to == "clear":
        return f"nearest of the inside of the {neighbour}"
    return f"{to} of the bend to the {neighbour}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel(KeepsHash):
    """One flat region: an anticlockwise contour, names for its edges, holes, marks and bends.

    `edges` pairs a name with the index of the segment that carries it. `datums` pairs the name of
    an edge that no longer is one straight line (it was scribed) with the line that it ran along:
    measurements still refer to that; `drawn` tells what bent edges were drawn to. Raises
    GeometryError for a contour that is clockwise or encloses nothing, or a name of two edges.
    """

    name: str
    contour: Contour
    edges: tuple[tuple[str, int], ...] = ()
    holes: tuple[Hole, ...] = ()
    cutouts: tuple[Cutout, ...] = ()
    marks: tuple[Mark, ...] = ()
    bends: tuple[Bend, ...] = ()
    datums: tuple[tuple[str, Line], ...] = ()
    drawn: tuple[DrawnEdge, ...] = ()

    def __post_init__(self) -> None:
        if abs(area := self.contour.area) < _NO_AREA:
            words = "encloses nothing: it crosses itself, or its corners lie in one line"
            raise GeometryError(f"panel {self.name!r}: its outline {words}")
        if area < 0:
            raise GeometryError(f"panel {self.name!r}: its outline must run anticlockwise")
        names = [name for name, _ in self.edges]
        if len(set(names)) != len(names):
            raise GeometryError(f"panel {self.name!r}: two edges share a name: {names}")

    @classmethod
    def of_edges(cls, name: str, edges: list[Edge]) -> Panel:
        """A panel from (edge name, segment) pairs in travel order; "" leaves a segment unnamed."""
        contour = Contour(tuple(segment for _, segment in edges))
        names = tuple((edge, i) for i, (edge, _) in enumerate(edges) if edge)
        return cls(name=name, contour=contour, edges=names)

    def redrawn(self, edges: list[Edge]) -> Panel:
        """The panel with another outline, told as in `of_edges`."""
        other = Panel.of_edges(self.name, edges)
        return replace(self, contour=other.contour, edges=other.edges)

    @property
    def named_segments(self) -> list[Edge]:
        """The segments all round, each with its name or ""."""
        names = {index: name for name, index in self.edges}
        return [(names.get(i, ""), segment) for i, segment in enumerate(self.contour.segments)]

    def edge_index(self, name: str) -> int:
        """Index of a named edge. Raises GeometryError with the names there are."""
        for edge, index in self.edges:
            if edge == name:
                return index
        known = ", ".join(edge for edge, _ in self.edges) or "none"
        raise GeometryError(f"panel {self.name!r} has no edge {name!r} (it has: {known})")

    def edge(self, name: str) -> Segment:
        """A named edge."""
        return self.contour.segments[self.edge_index(name)]

    def straight_edge(self, name: str) -> Line:
        """A named edge that must be straight, or its datum. Raises GeometryError for an arc."""
        for datum, line in self.datums:
            if datum == name:
                return line
        edge = self.edge(name)
        if not isinstance(edge, Line):
            raise GeometryError(f"panel {self.name!r}: edge {name!r} is not straight")
        return edge

    def drawn_edge(self, name: str) -> DrawnEdge | None:
        """What a bent edge was drawn to; None for an edge that is not bent."""
        return next((each for each in self.drawn if each.edge == name), None)

    def bend_interval(self, bend: Bend) -> tuple[float, float]:
        """Where along its edge a bend begins and ends, mm from the edge's start."""
        length = self.straight_edge(bend.edge).length
        start = 0.0 if bend.start is None else bend.start
        return start, length if bend.end is None else bend.end

    def bend_base(self, bend: Bend) -> Line:
        """The part of the parent's edge that a bend takes, in the edge's direction."""
        edge = self.straight_edge(bend.edge)
        start, end = self.bend_interval(bend)
        return Line(
            edge.start if start == 0 else edge.start + edge.direction * start,
            edge.end if end == edge.length else edge.start + edge.direction * end,
        )

    def require_inside(self, hole: Hole, *keys: str) -> None:
        """Raises BuildError with the keys when a hole does not lie on the panel, clear of edges."""
        inside = self.contour.contains(hole.centre)
        if not inside or self.contour.distance(hole.centre) <= hole.diameter / 2:
            raise BuildError(f"{hole.what} does not lie wholly on the {self.name}", *keys)

    def walk(self) -> Iterator[Panel]:
        """This panel and all below it, parents first."""
        yield self
        for bend in self.bends:
            yield from bend.panel.walk()

    def mirrored(self) -> Panel:
        """The other hand: mirrored about x = 0, "left" and "right" swapped in every name."""
        mirror = Motion.mirror_x()
        last = len(self.contour.segments) - 1
        bends = []
        for bend in self.bends:
            length = self.straight_edge(bend.edge).length
            bends.append(
                replace(
                    bend,
                    edge=swapped_hand(bend.edge),
                    base=swapped_hand(bend.base),
                    panel=bend.panel.mirrored(),
                    start=None if bend.end is None else length - bend.end,
                    end=None if bend.start is None else length - bend.start,
                )
            )
        return Panel(
            name=swapped_hand(self.name),
            contour=self.contour.moved(mirror),
            edges=tuple((swapped_hand(name), last - index) for name, index in self.edges),
            holes=tuple(hole.moved(mirror) for hole in self.holes),
            cutouts=tuple(cutout.moved(mirror) for cutout in self.cutouts),
            marks=tuple(mark.moved(mirror) for mark in self.marks),
            bends=tuple(bends),
            datums=tuple(
                (swapped_hand(name), line.moved(mirror).reversed()) for name, line in self.datums
            ),
            drawn=tuple(
                replace(
                    each,
                    edge=swapped_hand(each.edge),
                    line=each.line.moved(mirror).reversed(),
                    neighbour=swapped_hand(each.neighbour),
                )
                for each in self.drawn
            ),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """The round thing that sits on the root panel: plate circle and fullest circle, mm.

    `face` is the side of the root panel that it sits on; `drift` how far it may move sideways.
    """

    centre: Point
    plate_diameter: float
    diameter: float
    clearance: float
    face: Face = "top"
    drift: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bracket(KeepsHash):
    """Stock, the tree of panels, and what the finished part must agree with.

    `wall` names the root's edge that meets the wall; `dimensions` are what is measured on it,
    `tags` what else the file tells of its places, `notes` what should be known of how it is drawn.
    `mirror_of` is the bracket of the other hand that it is the mirror image of, whose pictures
    serve both; one that is changed is nobody's image. `plain_blank` is its blank without details,
    once that was worked out (see `blank_of`). Raises GeometryError when two panels share a name.
    """

    stock: Stock
    root: Panel
    dimensions: tuple[Dimension, ...] = ()
    wall: str | None = None
    body: Body | None = None
    tags: tuple[Tag, ...] = ()
    notes: tuple[str, ...] = ()
    mirror_of: Bracket | None = field(default=None, init=False, repr=False)
    plain_blank: Blank | None = field(default=None, init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        names = [panel.name for panel in self.root.walk()]
        if len(set(names)) != len(names):
            raise GeometryError(f"two panels share a name: {names}")

    def panel(self, name: str) -> Panel:
        """A panel by its name. Raises GeometryError with the names there are."""
        for panel in self.root.walk():
            if panel.name == name:
                return panel
        known = ", ".join(repr(panel.name) for panel in self.root.walk())
        raise GeometryError(f"no panel {name!r}; this bracket has: {known}")

    def bent_edge(self, panel: Panel, name: str, to: DrawnTo | None = None) -> DrawnEdge | None:
        """What a bent edge was drawn to, or the same bend's line for another face.

        None for an edge that is not bent.
        """
        drawn = panel.drawn_edge(name)
        if drawn is None or to is None or to == drawn.to:
            return drawn
        bend = next(
            bend
            for parent in self.root.walk()
            for bend in parent.bends
            if (panel.name, name) in ((parent.name, bend.edge), (bend.panel.name, bend.base))
        )
        thickness = self.stock.thickness
        flat = panel.bend_base(bend) if bend.edge == name else panel.straight_edge(name)
        out = drawn.line.direction.right
        level = out.dot(flat.start - drawn.line.start)
        level += setback(bend.way, bend.angle, thickness, to)
        line = Line(drawn.line.start + out * level, drawn.line.end + out * level)
        face = bend.outside if to in ("outside", "flat") else other_face(bend.outside)
        return replace(drawn, line=line, to=to, face=face)

    def bend_of(self, name: str) -> tuple[Panel, Bend]:
        """The panel that one is bent from, and the bend. Raises GeometryError for the root."""
        for parent in self.root.walk():
            for bend in parent.bends:
                if bend.panel.name == name:
                    return parent, bend
        raise GeometryError(f"no bend holds a panel {name!r}")

    def mirrored(self) -> Bracket:
        """The bracket of the other hand: mirrored about x = 0 of the root's frame."""
        mirror = Motion.mirror_x()
        body = self.body and replace(self.body, centre=mirror.point(self.body.centre))
        other = replace(
            self,
            root=self.root.mirrored(),
            dimensions=tuple(each.mirrored(mirror) for each in self.dimensions),
            wall=self.wall and swapped_hand(self.wall),
            body=body,
            tags=tuple(tag.mirrored(mirror) for tag in self.tags),
        )
        object.__setattr__(other, "mirror_of", self)
        return other
