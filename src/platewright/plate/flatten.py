"""From drawn panels to flat ones: the one place where setbacks are taken.

Panels are drawn as a tape finds them on the finished part: their bent edges lie on the outside, the
inside or the centre of the thickness (`Bend.to`, `Bend.base_to`). Flattening moves each bent edge
back to the bend's tangent line. Edges beside it grow or shrink along their own lines; where two
bends meet in a corner, each panel ends with its own bend, or is drawn to the inside of the panel
that it meets there (`Meeting`).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from typing import Literal

from platewright.errors import FlattenError, GeometryError
from platewright.geometry.build import chamfer, fillet
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Arc, Line, Segment
from platewright.geometry.space import Vector3
from platewright.plate.bend import DrawnTo, inside_face, setback
from platewright.plate.bracket import Bend, Body, Bracket, DrawnEdge, Edge, Panel
from platewright.plate.detail import relief_diameter
from platewright.plate.dimension import Level
from platewright.plate.place import BASE_TOLERANCE, PlacedPanel, place
from platewright.plate.regrow import SAME, EdgeLoss, rebased
from platewright.plate.stock import Stock
from platewright.units import both_units
from platewright.values import dataclass

#: Edges this short are used up, mm.
_TINY = 1e-6

#: Below this cosine two edges run back along each other.
_BACK = -1 + 1e-9

#: The thickest plate that the published reliefs are for, mm (FAA-H-8083-31 ch. 4).
_THIN = 0.128 * 25.4


@dataclass(frozen=True, slots=True)
class CornerCut:
    """What is done at the corner where segment `corner` of a drawn panel starts.

    `size` is the radius of a round corner, how far from it a chamfer starts, or the diameter of a
    relief; None for a relief as wide as its bends need.
    """

    panel: str
    corner: int
    shape: Literal["round", "chamfer", "relief"]
    size: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """Two edges of folded panels that meet at a corner, `gap` mm between their inside edges."""

    one: tuple[str, str]
    other: tuple[str, str]
    gap: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A bracket's panels as they are drawn, with what is done to them once they are flat.

    `wall` names the root's edge that meets the wall, `body` is what sits on the root. `shaped`
    gives the flat root its last shape, where that follows what its bends left of it. With
    `stepped` what a bend leaves free of its edge stays as drawn, and a relief is cut at the step;
    otherwise all of the edge goes back to the tangent line.
    `keys` names the file's keys that a mistake on an edge of a panel is told under, by
    (panel, edge), or by (panel, "") for the rest of it.
    """

    root: Panel
    corners: tuple[CornerCut, ...] = ()
    meetings: tuple[Meeting, ...] = ()
    wall: str | None = None
    body: Body | None = None
    shaped: Callable[[Panel], Panel] = lambda root: root
    notes: tuple[str, ...] = ()
    stepped: bool = False
    keys: Mapping[tuple[str, str], tuple[str, ...]] = field(default_factory=dict)

    def keys_of(self, error: FlattenError) -> tuple[str, ...]:
        """The file's keys that a mistake belongs to."""
        return self.keys.get((error.panel, error.edge)) or self.keys.get((error.panel, ""), ())


def flatten(drawn: Drawn, stock: Stock) -> Panel:
    """The tree of flat panels. Raises FlattenError with the panel and edge at fault."""
    if drawn.stepped:
        drawn = _with_steps(drawn, stock.thickness)
    flattener = _Flattener(drawn, stock.thickness, {})
    root = flattener.panel(drawn.root, None)
    if not drawn.meetings:
        return root
    placed = {each.panel.name: each for each in place(Bracket(stock=stock, root=root), 1.0)}
    ends = dict(end for met in drawn.meetings for end in _ends(met, placed, drawn, stock.thickness))
    return _Flattener(drawn, stock.thickness, ends).panel(drawn.root, None)


# --- bends on a part of an edge ---------------------------------------------------------------


def _with_steps(drawn: Drawn, thickness: float) -> Drawn:
    """The drawing with each bent part an edge of its own, between reliefs to its tangent line."""
    flattener, starts = _Flattener(drawn, thickness, {}), dict[tuple[str, int], int]()

    def step(panel: Panel) -> Panel:
        edges: list[Edge] = []
        taken: dict[str, Bend] = {}
        for i, (name, segment) in enumerate(panel.named_segments):
            starts[panel.name, i] = len(edges)
            own = [bend for bend in panel.bends if panel.edge_index(bend.edge) == i]
            if isinstance(segment, Line) and any((b.start, b.end) != (None, None) for b in own):
                chain, bends = flattener.steps(panel, segment, own)
                edges += chain
                taken |= {bend.panel.name: bend for bend in bends}
            else:
                edges.append((name, segment))
        own = [taken.get(bend.panel.name, bend) for bend in panel.bends]
        stepped = tuple(replace(bend, panel=step(bend.panel)) for bend in own)
        return replace(panel.redrawn(edges), bends=stepped)

    root = step(drawn.root)
    corners = tuple(replace(cut, corner=starts[cut.panel, cut.corner]) for cut in drawn.corners)
    return replace(drawn, root=root, corners=corners)


# --- where folded panels meet -----------------------------------------------------------------

_End = tuple[tuple[str, str], Line]


def _ends(
    met: Meeting, placed: Mapping[str, PlacedPanel], drawn: Drawn, thickness: float
) -> tuple[_End, _End]:
    """The lines that two meeting edges are drawn to, in their panels' frames.

    Both stand back alike from the line where the inside faces cross, so that a feeler between
    their inside edges finds the gap: each by gap / (2 sin(angle/2)), with the angle between the
    panels.
    """
    panels = {panel.name: panel for panel in drawn.root.walk()}
    one, other = (placed[name] for name, _ in (met.one, met.other))
    crossings = []
    for (name, edge), here, there in ((met.one, one, other), (met.other, other, one)):
        line = _trace(panels[name].straight_edge(edge), here, there, thickness)
        if line is None:
            raise FlattenError(f"{met.one[0]} and {met.other[0]} never meet", name, edge)
        crossings.append(line)
    into = [
        here.world_from_panel.vector(Vector3(line.direction.left.x, line.direction.left.y, 0.0))
        for here, line in zip((one, other), crossings, strict=True)
    ]
    opening = math.atan2(into[0].cross(into[1]).length, into[0].dot(into[1]))
    back = met.gap / (2 * math.sin(opening / 2))
    first, second = (_shifted(line, back) for line in crossings)
    return (met.one, first), (met.other, second)


def _trace(edge: Line, here: PlacedPanel, there: PlacedPanel, thickness: float) -> Line | None:
    """Where the inside face of one panel crosses that of another, travelled as the edge is."""
    directions = (each.bend.direction if each.bend else "up" for each in (there, here))
    plane_level, level = (-thickness * (inside_face(way) != "top") for way in directions)
    normal = there.world_from_panel.z_axis
    on = there.world_from_panel.point(Point(0, 0), plane_level)
    frame = here.world_from_panel
    x, y = (frame.vector(axis).dot(normal) for axis in (Vector3(1, 0, 0), Vector3(0, 1, 0)))
    across = Vector(x, y)
    if across.length < 1e-9:
        return None
    high = (on - frame.point(Point(0, 0), level)).dot(normal) / across.length
    foot = Point(0, 0) + across.unit() * high
    along = across.unit().left
    if along.dot(edge.direction) < 0:
        along = -along
    return Line(foot, foot + along * edge.length)


def _shifted(line: Line, by: float) -> Line:
    across = line.direction.left * by
    return Line(line.start + across, line.end + across)


# --- one panel after the other ----------------------------------------------------------------

_Inward = Mapping[int, float]
"""How far edges are drawn in, mm, by their index."""

_NOWHERE: _Inward = {}


@dataclass(frozen=True, slots=True)
class _Flattener:
    """`ends` are the lines that meeting edges are drawn to, by panel and edge."""

    drawn: Drawn
    thickness: float
    ends: Mapping[tuple[str, str], Line]

    def panel(
        self, panel: Panel, held: Bend | None = None, parent: str = "", sides: _Inward = _NOWHERE
    ) -> Panel:
        """A drawn panel laid flat with all that hangs on it.

        `held` is the bend that holds it to its `parent`; `sides` tells how far its sides are drawn
        in besides.
        """
        backs: dict[int, float] = {}
        for bend in panel.bends:
            index, back = panel.edge_index(bend.edge), self._back(bend)
            if abs(backs.setdefault(index, back) - back) > SAME:
                words = f"two unlike bends on the edge {bend.edge!r} cannot be drawn to one line"
                raise FlattenError(words, panel.name, bend.edge)
        inward = {**sides, **backs}
        if held is not None:
            inward[panel.edge_index(held.base)] = self._setback(held, held.base_to)
        moved = self._moved(panel, inward)
        cut = [e for e in self._cornered(panel, moved) if e[1].start != e[1].end]
        drawn = tuple(_drawn_edges(panel, held, parent))
        bare = replace(panel.redrawn(cut), bends=(), drawn=drawn)
        bends = []
        for bend in panel.bends:
            crowded = self._crowding(panel, bare, bend, inward)
            child = self.panel(bend.panel, bend, panel.name, crowded)
            bends.append(self._laid(panel, bare, bend, child))
        return replace(bare, bends=tuple(bends))

    def _setback(self, bend: Bend, to: DrawnTo) -> float:
        return setback(bend.way, bend.angle, self.thickness, to)

    def _back(self, bend: Bend) -> float:
        """How far a parent's edge is drawn back to its tangent line, mm."""
        if bend.to != "clear" or bend.angle <= math.pi / 2:
            return self._setback(bend, bend.to)
        # of a panel that leans in, the far edge stands nearest
        child = self.panel(bend.panel, bend)
        base = child.straight_edge(bend.base)
        reach = max((p - base.start).dot(base.direction.left) for p in child.contour.corners)
        radius = bend.way.inside_radius(bend.angle, self.thickness)
        return radius * math.sin(bend.angle) + reach * math.cos(bend.angle)

    def steps(
        self, panel: Panel, line: Line, bends: Sequence[Bend]
    ) -> tuple[list[Edge], list[Bend]]:
        """An edge cut up where it is bent in part, and its bends on their own parts of it.

        A relief as wide as a corner's stands at each step, its round end at the tangent line; what
        is narrower beside a bend, or between two, goes back with it.
        """
        width, along, out = least_relief(panel, self.thickness), line.direction, line.length
        depths = {bend.panel.name: self._back(bend) for bend in bends}
        if width <= SAME or max(depths.values()) <= SAME:
            return [(bends[0].edge, line)], list(bends)

        def at(x: float, y: float = 0.0) -> Point:
            if y == 0 and x in (0.0, out):
                return line.start if x == 0 else line.end
            return line.start + along * x + along.left * y

        spans = sorted(((*panel.bend_interval(b), b) for b in bends), key=lambda span: span[:2])
        parts: list[tuple[float, float, list[Bend]]] = []
        for start, end, bend in spans:
            if parts and start - parts[-1][1] <= 2 * width:
                first, last, own = parts.pop()
                parts.append((first, max(last, end), [*own, bend]))
            else:
                parts.append((0.0 if start <= width else start, end, [bend]))
        if out - parts[-1][1] <= width:
            parts[-1] = (parts[-1][0], out, parts[-1][2])
        chain: list[Edge] = []
        moved: list[Bend] = []
        begin = 0.0
        for first, last, own in parts:
            name, depth = bends[0].edge, depths[own[0].panel.name]
            if moved:
                name = f"{name} at the {own[0].panel.name}"
            if first > 0:
                chain += [("", Line(at(begin), at(first - width)))]
                chain += _notch(at, first - width, first, depth)
            chain.append((name, Line(at(first), at(last))))
            if last < out:
                chain += _notch(at, last, last + width, depth)
                begin = last + width
            for bend in own:
                start, end = panel.bend_interval(bend)
                moved.append(
                    replace(
                        bend,
                        edge=name,
                        start=None if start - first <= SAME else start - first,
                        end=None if last - end <= SAME else end - first,
                    )
                )
        if parts[-1][1] < out:
            chain.append(("", Line(at(begin), line.end)))
        return chain, moved

    # --- outlines ---------------------------------------------------------------------------

    def _moved(self, panel: Panel, inward: _Inward) -> list[Edge]:
        """A panel's named segments, its edges moved in, or on to the line that they meet."""
        named, old = panel.named_segments, panel.contour.segments
        lines: list[Segment] = []
        for i, (name, segment) in enumerate(named):
            met, by = self.ends.get((panel.name, name)), inward.get(i, 0.0)
            moved = _shifted(segment, by) if by and isinstance(segment, Line) else segment
            lines.append(moved if met is None else met)
        if all(line is segment for line, segment in zip(lines, old, strict=True)):
            return named
        starts = [
            self._corner(panel.name, lines[i - 1], lines[i], old[i].start) for i in range(len(old))
        ]
        for i, line in enumerate(lines):
            after = starts[(i + 1) % len(old)]
            if i not in inward and abs((after - starts[i]).dot(line.end_direction)) <= _TINY:
                # a free edge that is just used up by the bend beside it
                starts[i] = after if starts[i].distance(after) <= _TINY else starts[i]
        found = []
        for i, (line, (name, segment)) in enumerate(zip(lines, named, strict=True)):
            start, end = starts[i], starts[(i + 1) % len(old)]
            unmoved = line is segment and (start, end) == (line.start, line.end)
            if isinstance(line, Arc) or unmoved:
                found.append((name, segment))
                continue
            left = (end - start).dot(line.direction)
            beside = lines[i - 1].end_direction, lines[(i + 1) % len(old)].start_direction
            # where it is used up, the edges beside it meet, unless they lie on each other
            needed = i in inward or beside[0].dot(beside[1]) < _BACK
            if left < -_TINY or (left <= _TINY and needed):
                used = sum(inward.get(j % len(old), 0.0) for j in (i - 1, i + 1))
                words = f"its bends take up {both_units(abs(used))} of it"
                what = f"nothing flat is left of the {panel.name}: {words}"
                raise FlattenError(what, panel.name, name)
            found.append((name, Line(start, end)))
        return found

    def _corner(self, panel: str, before: Segment, after: Segment, old: Point) -> Point:
        """Where two edges meet after one of them moved."""
        if before.end == old and after.start == old:
            return old
        if isinstance(before, Arc) or isinstance(after, Arc):
            raise FlattenError("an edge that is bent here needs straight edges beside it", panel)
        sine = before.direction.cross(after.direction)
        if abs(sine) < 1e-9:
            raise FlattenError("an edge that is bent here runs on straight into the next", panel)
        along = (after.start - before.start).cross(after.direction) / sine
        return before.start + before.direction * along

    def _cornered(self, panel: Panel, edges: Sequence[Edge]) -> list[Edge]:
        """The outline with its corners rounded, cut and relieved."""
        wanted = {cut.corner: cut for cut in self.drawn.corners if cut.panel == panel.name}
        cuts = [
            self._cut(panel, wanted[i], edges[i - 1], edges[i]) if i in wanted else None
            for i in range(len(edges))
        ]
        found: list[Edge] = []
        for i, (name, segment) in enumerate(edges):
            before, after = cuts[i], cuts[(i + 1) % len(edges)]
            if before is not None:
                found.append(("", before))
            if isinstance(segment, Arc) or (before is None and after is None):
                found.append((name, segment))
                continue
            start = segment.start if before is None else before.end
            end = segment.end if after is None else after.start
            ahead = (end - start).dot(segment.direction)
            if ahead < -1e-9:
                words = f"the corners of the edge {name!r} overlap"
                raise FlattenError(words, panel.name, name)
            if ahead > 1e-9:
                found.append((name, Line(start, end)))
        return found

    def _cut(self, panel: Panel, cut: CornerCut, before: Edge, after: Edge) -> Segment:
        """What takes a corner's place."""
        into, out = before[1], after[1]
        if isinstance(into, Arc) or isinstance(out, Arc):
            words = "only a corner between two straight edges is rounded or cut"
            raise FlattenError(words, panel.name, after[0])
        try:
            if cut.shape == "round":
                return fillet(into.start, out.start, out.end, cut.size or 0.0)
            if cut.shape == "chamfer":
                return chamfer(into.start, out.start, out.end, cut.size or 0.0)
        except GeometryError as error:
            raise FlattenError(str(error), panel.name, after[0]) from None
        radius = (cut.size or least_relief(panel, self.thickness)) / 2
        sides = (into.length, out.length)
        if radius >= min(sides):
            edge = before[0] if sides[0] < sides[1] else after[0]
            words = "the corner reliefs leave nothing of this side"
            raise FlattenError(words, panel.name, edge)
        start, end = out.start + into.direction * -radius, out.start + out.direction * radius
        turn = math.atan2(into.direction.cross(out.direction), into.direction.dot(out.direction))
        return Arc(start, end, turn - math.pi)

    # --- bends --------------------------------------------------------------------------------

    def _crowding(self, panel: Panel, bare: Panel, bend: Bend, inward: _Inward) -> dict[int, float]:
        """How far a child's sides are drawn in where the parent is bent right beside it too, mm.

        There is no metal for two flanges in one corner: each ends with its bend, unless it is told
        what it meets there.
        """
        child, at, count = bend.panel, panel.edge_index(bend.edge), len(panel.contour.segments)
        edge = panel.straight_edge(bend.edge)
        base, sides = child.edge_index(bend.base), len(child.contour.segments)
        low, high = _reach(edge, bare.straight_edge(bend.edge))
        named = child.named_segments
        direction = child.straight_edge(bend.base).direction
        found = {}
        for beside, side, lost in (
            ((at - 1) % count, (base + 1) % sides, low if bend.start is None else 0.0),
            ((at + 1) % count, (base - 1) % sides, edge.length - high if bend.end is None else 0.0),
        ):
            name, segment = named[side]
            end = child.name, name
            if beside not in inward or lost <= SAME or isinstance(segment, Arc):
                continue
            if not any(end in (met.one, met.other) for met in self.drawn.meetings):
                found[side] = lost * abs(direction.cross(segment.direction))
        return found

    def _laid(self, panel: Panel, bare: Panel, bend: Bend, child: Panel) -> Bend:
        """The bend between flat panels: it takes what both reach of the edge as drawn."""
        drawn, base = panel.straight_edge(bend.edge), bend.panel.straight_edge(bend.base)
        first, last = panel.bend_interval(bend)
        if abs(last - first - base.length) > BASE_TOLERANCE:
            raise FlattenError(
                f"the base of {child.name!r} is drawn {both_units(base.length)} long, and its "
                f"place on the edge {bend.edge!r} of {panel.name!r} {both_units(last - first)}",
                child.name,
                bend.base,
            )
        edge = bare.straight_edge(bend.edge)
        here = _reach(drawn, edge)
        # a base runs against the edge that it lies on
        own = child.straight_edge(bend.base)
        there = tuple(first + at for at in _reach(base.reversed(), own.reversed()))
        low, high = max(here[0], there[0]), min(here[1], there[1])
        if high - low <= SAME:
            words = f"nothing is left of the bend to the {child.name}"
            raise FlattenError(words, child.name, bend.base)
        start, end = _lost(low - here[0]), _lost(here[1] - high)
        return replace(
            bend,
            panel=rebased(
                child, bend.base, EdgeLoss(_lost(there[1] - high), _lost(low - there[0]))
            ),
            start=start or None,
            end=edge.length - end if end else None,
            to="flat",
            base_to="flat",
        )


def _notch(at: Callable[..., Point], start: float, end: float, depth: float) -> Iterator[Edge]:
    """A notch with a round end, from `start` to `end` along an edge."""
    yield "", Line(at(start), at(start, depth))
    yield "", Arc(at(start, depth), at(end, depth), -math.pi)
    yield "", Line(at(end, depth), at(end))


def least_relief(panel: Panel, thickness: float) -> float:
    """Diameter of the relief that a panel's bends need, mm.

    As `detail.relief_diameter`; beyond the plate that FAA-H-8083-31 speaks of, at least 1.5 T,
    which leaves more than the thickness between the bends' ends (common practice, no published
    source).
    """
    radius = max(b.way.inside_radius(b.angle, thickness) for b in panel.bends)
    least = relief_diameter(radius, thickness)
    return least if thickness <= _THIN else max(least, 1.5 * thickness)


def _drawn_edges(panel: Panel, held: Bend | None, parent: str) -> Iterator[DrawnEdge]:
    """What a panel's bent edges were drawn to."""
    bent = [(bend.edge, bend, bend.to, bend.panel.name) for bend in panel.bends]
    bent += [] if held is None else [(held.base, held, held.base_to, parent)]
    for edge, bend, drawn_to, neighbour in bent:
        plain = drawn_to == "clear" and bend.angle <= math.pi / 2
        to: DrawnTo = "inside" if plain else drawn_to
        on_outside = to in ("outside", "flat")
        face: Level = bend.outside if on_outside else inside_face(bend.direction)
        yield DrawnEdge(
            edge=edge,
            line=panel.straight_edge(edge),
            to=to,
            face="middle" if to == "centre" else face,
            neighbour=neighbour,
        )


def _reach(drawn: Line, left: Line) -> tuple[float, float]:
    """Where what is left of an edge begins and ends along the edge as drawn, mm."""
    along = drawn.direction
    return (left.start - drawn.start).dot(along), (left.end - drawn.start).dot(along)


def _lost(length: float) -> float:
    """What an edge loses at an end, but for rounding."""
    return length if length > SAME else 0.0
