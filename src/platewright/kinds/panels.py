"""Free panels: any bracket, drawn panel by panel.

The first panel is the one that all others are bent from, each by its own base edge, to any depth.
Outlines are drawn as they lie flat, up to the bends' tangent lines; or, for bends that take a whole
edge, as the folded part measures, up to the outside, the inside or the centre of the thickness.
A whole edge is bent as far as both panels reach along it: beside another bend, and where an outline
slants, one of them keeps a free end.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from platewright import measure
from platewright.errors import BuildError, GeometryError, UnitError
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.geometry.shapes import self_crossing
from platewright.kinds.abreast import abreast
from platewright.kinds.drawn import (
    Outline,
    OutlineCorner,
    Treated,
    drawn_outline,
    finished,
    moved_edges,
)
from platewright.kinds.folds import fold, fold_angle, fold_direction, setback_to
from platewright.kinds.kind import Kind
from platewright.measurement import Scalar
from platewright.plate.bend import BendWay
from platewright.plate.bracket import Bend, Bracket, Check, Panel, Spot
from platewright.plate.place import BASE_TOLERANCE
from platewright.plate.stock import Stock
from platewright.plate.told import both_units
from platewright.units import Unit


def read_names(given: Scalar, _unit: Unit) -> tuple[str, ...]:
    """Names with commas between them. Raises UnitError."""
    if not isinstance(given, str) or not given.isprintable():
        raise UnitError("should be names with commas between them, in one pair of quotes")
    return tuple(" ".join(name.split()) for name in given.split(",")) if given.strip() else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BentFrom:
    """How a panel hangs on another."""

    panel: str = measure.text("panel", "The panel that it is bent from.", example="base")
    edge: str = measure.text("edge", "That panel's edge.", example="right side")
    base: str = measure.text("base", "This panel's own edge that lies there.", default="base")
    start: float | None = measure.length(
        "start",
        "Where the bend begins, along the edge from its first corner; left out, at the corner.",
        minimum="0",
        maximum="240 in",
        optional=True,
    )
    end: float | None = measure.length(
        "end",
        "Where the bend ends, along the edge from its first corner; left out, at its end.",
        minimum="0",
        maximum="240 in",
        optional=True,
    )
    angle: float = fold_angle()
    direction: str = fold_direction()

    def problems(self) -> tuple[tuple[str, str], ...]:
        """A bend that ends before it begins."""
        if self.start is not None and self.end is not None and self.end <= self.start:
            return (("end", "the bend ends before it begins"),)
        return ()

    @property
    def whole(self) -> bool:
        """Whether the bend takes the whole edge."""
        return self.start is None and self.end is None


@dataclass(frozen=True, slots=True, kw_only=True)
class FreePanel:
    """One panel."""

    name: str = measure.text("panel name", "What the sheets call it.", example="base")
    bent_from: BentFrom | None = measure.table(
        "bent from", "The bend that holds it; the first panel has none.", BentFrom, optional=True
    )
    points: tuple[tuple[float, float], ...] = measure.pairs(
        "corners",
        "Its corners in order, each [to the right, upwards], either way round.",
        minimum=2,
        maximum=400,
    )
    edges: tuple[str, ...] = measure.custom(
        "edge names",
        "Names of its edges, the one from the first corner to the second first; an empty place "
        "between commas is an edge without a name.",
        read=read_names,
        allowed="names with commas between them, in one pair of quotes",
        default="",
        example="wall edge, right side, front, left side",
    )
    corner: tuple[Treated, ...] = measure.rows(
        "treated corners", "Corners that are rounded or cut, and edges that are arcs.", Treated
    )

    def problems(self) -> tuple[tuple[str, str], ...]:
        """Names and corners beyond those that there are."""
        return tuple(self._problems())

    def _problems(self) -> Iterator[tuple[str, str]]:
        count = len(self.points)
        if len(self.edges) > count:
            yield "edges", f"{len(self.edges)} names for {count} edges"
        named = [name for name in self.edges if name]
        if len(set(named)) < len(named):
            yield "edges", "two edges share a name"
        places = [corner.at for corner in self.corner]
        for number, at in enumerate(places, 1):
            if at > count:
                yield f"corner[{number}].at", f"there are only {count} corners"
            if at in places[: number - 1]:
                yield f"corner[{number}].at", "this corner is told of already"

    @property
    def outline(self) -> tuple[OutlineCorner, ...]:
        """The corners with all that is told of each."""
        told = {corner.at: corner for corner in self.corner}
        names = [*self.edges, *[""] * len(self.points)]
        return tuple(
            OutlineCorner(
                at=Point(x, y),
                edge=name or None,
                radius=told[n].radius if n in told else None,
                chamfer=told[n].chamfer if n in told else None,
                rise=told[n].rise if n in told else None,
            )
            for n, ((x, y), name) in enumerate(zip(self.points, names, strict=False), 1)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Panels:
    """A bracket of free panels."""

    drawn_to: str = measure.choice(
        "drawn to",
        "What the outlines are drawn to at bends: flat is the tangent lines on the blank; outside, "
        "inside and centre are the corners that the folded faces make, for bends of whole edges.",
        ("flat", "outside", "inside", "centre"),
        default="flat",
    )
    wall: str | None = measure.text(
        "wall", "The first panel's edge that meets the wall, if any.", optional=True
    )
    panel: tuple[FreePanel, ...] = measure.rows("panels", "The panels.", FreePanel, minimum=1)

    def problems(self) -> tuple[tuple[str, str], ...]:
        """Panels that hang on nothing, or names that stand twice."""
        return tuple(_problems(self))


def _problems(panels: Panels) -> Iterator[tuple[str, str]]:
    names = [panel.name for panel in panels.panel]
    for number, panel in enumerate(panels.panel, 1):
        key, held = f"panel[{number}]", panel.bent_from
        if panel.name in names[: number - 1]:
            yield f"{key}.name", "another panel has this name"
        if number == 1 and held is not None:
            yield f"{key}.bent_from", "the first panel is the one that the others are bent from"
        if number > 1 and held is None:
            yield f"{key}.bent_from", "every panel but the first is bent from another"
        if held is not None and held.panel not in names[: number - 1]:
            known = ", ".join(repr(name) for name in names[: number - 1]) or "none"
            yield f"{key}.bent_from.panel", f"no panel of this name stands before it: {known}"


def build(panels: Panels, stock: Stock, way: BendWay) -> Bracket:
    """The bracket of free panels. Raises BuildError with the keys that disagree."""
    root = _Builder(panels, stock.thickness, way).tree(1)
    if panels.wall is not None:
        _require_wall(root, panels.wall)
    checks = tuple(check for panel in root.walk() for check in _checks(panel, root))
    return Bracket(stock=stock, root=root, checks=checks, wall=panels.wall)


def _require_wall(root: Panel, wall: str) -> None:
    try:
        root.straight_edge(wall)
    except GeometryError as error:
        raise BuildError(str(error), "wall") from None


@dataclass(frozen=True, slots=True)
class _Builder:
    panels: Panels
    thickness: float
    way: BendWay

    def tree(self, number: int) -> Panel:
        """A panel, counted from 1, with all that hangs on it."""
        free, outline = self.panels.panel[number - 1], self.outline(number)
        panel = self._bare(number, free.name, outline)
        for each in self._children(number):
            panel, child = self._abreast(panel, number, self.tree(each), each)
            panel = replace(panel, bends=(*panel.bends, self._bend(each, panel, child, outline)))
        return panel

    def _bare(self, number: int, name: str, outline: Outline) -> Panel:
        key = f"panel[{number}].points"
        try:
            panel = Panel.of_edges(name, finished(outline, key))
        except GeometryError as error:
            raise BuildError(str(error), key) from None
        if self_crossing(panel.contour) is not None:
            raise BuildError(f"the outline of {name!r} crosses itself", key)
        return panel

    def outline(self, number: int) -> Outline:
        """A panel's outline with its bent edges drawn back to their tangent lines."""
        free, key = self.panels.panel[number - 1], f"panel[{number}].points"
        outline = drawn_outline(free.outline, key)
        inward = {
            each.edge: self._setback(each)
            for each in (self._held(child) for child in self._children(number))
        }
        if free.bent_from is not None:
            inward[free.bent_from.base] = self._setback(free.bent_from)
        return moved_edges(outline, inward, key)

    def _children(self, number: int) -> list[int]:
        name = self.panels.panel[number - 1].name
        return [
            i
            for i, each in enumerate(self.panels.panel, 1)
            if each.bent_from is not None and each.bent_from.panel == name
        ]

    def _held(self, number: int) -> BentFrom:
        held = self.panels.panel[number - 1].bent_from
        assert held is not None
        return held

    def _setback(self, held: BentFrom) -> float:
        if not held.whole:
            return 0.0
        return setback_to(self.panels.drawn_to, self.way, held.angle, self.thickness)

    def _abreast(self, parent: Panel, above: int, child: Panel, number: int) -> tuple[Panel, Panel]:
        """A panel and one bent from it, the bend of a whole edge as long as both reach."""
        held, key = self._held(number), f"panel[{number}].bent_from"
        self._require_edges(parent, child, held, key)
        if not held.whole:
            return parent, child
        edge = held.edge, self._drawn(above, held.edge)
        base = held.base, self._drawn(number, held.base)
        try:
            return abreast(parent, edge, child, base)
        except GeometryError as error:
            raise BuildError(str(error), f"panel[{number}].points", key) from None

    def _drawn(self, number: int, name: str) -> Line:
        """A straight edge as it was drawn, before bends and corners take of it."""
        outline = drawn_outline(self.panels.panel[number - 1].outline, f"panel[{number}].points")
        (segment,) = (edge.segment for edge in outline.edges if edge.name == name)
        assert isinstance(segment, Line)
        return segment

    def _bend(self, number: int, parent: Panel, child: Panel, outline: Outline) -> Bend:
        held, key = self._held(number), f"panel[{number}].bent_from"
        start, end = self._interval(parent, outline, held, key)
        turn = fold(held.angle, held.direction)
        bend = Bend(
            edge=held.edge,
            panel=child,
            base=held.base,
            angle=turn.angle,
            direction=turn.direction,
            way=self.way,
            start=start,
            end=end,
        )
        room, base = parent.bend_base(bend).length, child.straight_edge(held.base).length
        if abs(room - base) > BASE_TOLERANCE:
            raise BuildError(
                f"the base of {child.name!r} is {both_units(base)} long and its place on the edge "
                f"{held.edge!r} {both_units(room)}",
                f"panel[{number}].points",
                key,
            )
        return bend

    def _require_edges(self, parent: Panel, child: Panel, held: BentFrom, key: str) -> None:
        for panel, edge, own in ((parent, held.edge, "edge"), (child, held.base, "base")):
            try:
                panel.straight_edge(edge)
            except GeometryError as error:
                raise BuildError(str(error), f"{key}.{own}") from None
        if self.panels.drawn_to != "flat" and not held.whole:
            raise BuildError(
                "a bend on part of an edge has no corner to draw to: bend the whole edge, or draw "
                'all panels flat (drawn_to = "flat")',
                f"{key}.start",
                "drawn_to",
            )

    def _interval(
        self, parent: Panel, outline: Outline, held: BentFrom, key: str
    ) -> tuple[float | None, float | None]:
        """From the file's distances to those along the edge as its corners leave it."""
        if held.whole:
            return None, None
        index = outline.index(held.edge)
        assert index is not None
        sharp, left = outline.edges[index], parent.straight_edge(held.edge)
        full = sharp.segment.length
        start = 0.0 if held.start is None else held.start
        end = full if held.end is None else held.end
        if sharp.backward:
            start, end = full - end, full - start
        before = sharp.segment.start.distance(left.start)
        start, end = start - before, end - before
        if end <= start:
            raise BuildError("the bend has no length on this edge", f"{key}.end")
        if start < -1e-6 or end > left.length + 1e-6:
            raise BuildError(
                f"the bend reaches beyond the straight part of {held.edge!r}", f"{key}.start"
            )
        return max(0.0, start), min(left.length, end)


def _checks(panel: Panel, root: Panel) -> Iterator[Check]:
    """The length of every straight edge with a name, and two diagonals of the first panel."""
    for name, index in panel.edges:
        edge = panel.contour.segments[index]
        if isinstance(edge, Line):
            ends = [Spot(panel.name, p, f"{w} of the {name}") for p, w in
                    ((edge.start, "start"), (edge.end, "end"))]  # fmt: skip
            yield Check(start=ends[0], end=ends[1])
    if panel is root and len(panel.contour.segments) == 4:
        a, b, c, d = panel.contour.corners
        for one, other in ((a, c), (b, d)):
            yield Check(start=_corner(panel, one), end=_corner(panel, other))


def _corner(panel: Panel, at: Point) -> Spot:
    return Spot(panel.name, at, f"corner of the {panel.name}")


KIND = Kind(
    name="panels",
    summary="Any bracket, drawn panel by panel: outlines, bends from their edges, to any depth.",
    measurements=Panels,
    build=build,
)
