"""Free panels: any bracket, drawn panel by panel.

The first panel is the one that all others are bent from, each by its own base edge, to any depth.
Outlines are drawn as they lie flat, up to the bends' tangent lines; or, for bends that take a whole
edge, as the folded part measures, up to the outside, the inside or the centre of the thickness.
Where two bends meet, each flange ends with its own bend.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from platewright.errors import BuildError, GeometryError
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.geometry.shapes import self_crossing
from platewright.kinds.abreast import DrawnEdge, Interval, abreast, crowded
from platewright.kinds.drawn import (
    Outline,
    drawn_outline,
    finished,
    moved_edges,
)
from platewright.kinds.folds import fold, setback_to
from platewright.kinds.kind import Kind
from platewright.kinds.panels_measurements import BentFrom, Panels
from platewright.plate.bend import BendWay
from platewright.plate.bracket import Bend, Bracket, Panel
from platewright.plate.dimension import Dimension, Spot
from platewright.plate.place import BASE_TOLERANCE
from platewright.plate.stock import Stock
from platewright.plate.told import both_units


def build(panels: Panels, stock: Stock, way: BendWay) -> Bracket:
    """The bracket of free panels. Raises BuildError with the keys that disagree."""
    root = _Builder(panels, stock.thickness, way).tree(1)
    if panels.wall is not None:
        _require_wall(root, panels.wall)
    checks = tuple(check for panel in root.walk() for check in _checks(panel, root))
    return Bracket(stock=stock, root=root, dimensions=checks, wall=panels.wall)


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
        bare = self._bare(number, free.name, outline)
        bends = tuple(self._bend(each, bare, number) for each in self._children(number))
        return replace(bare, bends=bends)

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
        return moved_edges(self._drawn(number), self._inward(number), f"panel[{number}].points")

    def _inward(self, number: int) -> dict[int, float]:
        """How far each edge of a panel is drawn in, by its index, mm."""
        return self._crowded(number) | self._setbacks(number)

    def _drawn(self, number: int) -> Outline:
        """A panel's outline as it was drawn."""
        return drawn_outline(self.panels.panel[number - 1].outline, f"panel[{number}].points")

    def _setbacks(self, number: int) -> dict[int, float]:
        """How far each bent edge of a panel is drawn back, by its index, mm."""
        own, drawn = self.panels.panel[number - 1].bent_from, self._drawn(number)
        bent = [(held.edge, held) for held in map(self._held, self._children(number))]
        bent += [(own.base, own)] if own is not None else []
        found = ((drawn.index(edge), self._setback(held)) for edge, held in bent)
        return {index: back for index, back in found if index is not None and back}

    def _crowded(self, number: int) -> dict[int, float]:
        """How far a panel's sides are drawn in where its parent is drawn in beside its bend."""
        held = self.panels.panel[number - 1].bent_from
        if held is None or not held.whole:
            return {}
        above = self._above(held)
        drawn, child = self._drawn(above), self._drawn(number)
        edge, base = drawn.index(held.edge), child.index(held.base)
        if edge is None or base is None:
            return {}
        return crowded((drawn, self.outline(above)), edge, self._inward(above), child, base)

    def _above(self, held: BentFrom) -> int:
        """The number of the panel that one is bent from."""
        return [each.name for each in self.panels.panel].index(held.panel) + 1

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

    def _bend(self, number: int, parent: Panel, above: int) -> Bend:
        held, key = self._held(number), f"panel[{number}].bent_from"
        child = self.tree(number)
        self._require_edges(parent, child, held, key)
        if held.whole:
            child, (start, end) = self._abreast(parent, above, child, number)
        else:
            start, end = self._interval(parent, self.outline(above), held, key)
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

    def _abreast(
        self, parent: Panel, above: int, child: Panel, number: int
    ) -> tuple[Panel, Interval]:
        """A panel bent from a whole edge, and the part of the edge that both reach."""
        held = self._held(number)
        edge, base = self._drawn_edge(above, held.edge), self._drawn_edge(number, held.base)
        try:
            return abreast(parent, edge, child, base)
        except GeometryError as error:
            keys = f"panel[{number}].points", f"panel[{number}].bent_from"
            raise BuildError(str(error), *keys) from None

    def _drawn_edge(self, number: int, name: str) -> DrawnEdge:
        """A straight edge as it was drawn, before bends and corners take of it."""
        drawn = self._drawn(number)
        (segment,) = (edge.segment for edge in drawn.edges if edge.name == name)
        assert isinstance(segment, Line)
        return name, segment

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

    def _interval(self, parent: Panel, outline: Outline, held: BentFrom, key: str) -> Interval:
        """From the file's distances to those along the edge as its corners leave it."""
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


def _checks(panel: Panel, root: Panel) -> Iterator[Dimension]:
    """The length of every straight edge with a name, and two diagonals of the first panel."""
    for name, index in panel.edges:
        edge = panel.contour.segments[index]
        if isinstance(edge, Line):
            ends = [Spot(panel.name, p, f"{w} of the {name}") for p, w in
                    ((edge.start, "start"), (edge.end, "end"))]  # fmt: skip
            yield Dimension(start=ends[0], end=ends[1])
    if panel is root and len(panel.contour.segments) == 4:
        a, b, c, d = panel.contour.corners
        for one, other in ((a, c), (b, d)):
            yield Dimension(start=_corner(panel, one), end=_corner(panel, other))


def _corner(panel: Panel, at: Point) -> Spot:
    return Spot(panel.name, at, f"corner of the {panel.name}")


KIND = Kind(
    name="panels",
    summary="Any bracket, drawn panel by panel: outlines, bends from their edges, to any depth.",
    measurements=Panels,
    build=build,
)
