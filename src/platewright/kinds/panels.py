"""Free panels: any bracket, drawn panel by panel.

The first panel is the one that all others are bent from, each by its own base edge, to any depth.
Outlines are drawn as the folded part measures, up to the outside, the inside or the centre of the
thickness, or as they lie flat, up to the bends' tangent lines. Where two bends meet, each flange
ends with its own bend; where one takes a part of an edge, the rest stays as drawn behind a relief.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from platewright.errors import BuildError, GeometryError
from platewright.geometry.segment import Line
from platewright.geometry.shapes import self_crossing
from platewright.kinds.folds import fold
from platewright.kinds.kind import Kind
from platewright.kinds.panels_measurements import BentFrom, Outline, Panels, drawn_outline
from platewright.kinds.places import bend_listed, derived, edge, length, middle, spot
from platewright.plate.bend import BendWay
from platewright.plate.bracket import Bend, Bracket, Panel
from platewright.plate.dimension import Dimension, Tag
from platewright.plate.flatten import CornerCut, Drawn
from platewright.plate.stock import Stock


def draw(panels: Panels, _stock: Stock, way: BendWay) -> Drawn:
    """The free panels as their file draws them. Raises BuildError with the keys that disagree."""
    outlines = [
        drawn_outline(each.outline, f"panel[{number}].points")
        for number, each in enumerate(panels.panel, 1)
    ]
    root = _tree(panels, outlines, 1, way)
    if panels.wall is not None:
        _straight(root, panels.wall, "wall")
    notes: tuple[str, ...] = ()
    if panels.drawn_to is None and any(each.bent_from is not None for each in panels.panel):
        # files of before that left it out meant flat: the metal differs, so it is told
        notes = (
            'drawn_to is left out, so the outlines are drawn to the outside: say "outside", or '
            '"flat" where they end at the tangent lines',
        )
    # corners that are rounded or cut off, by where they stand in the anticlockwise outline
    cuts = []
    for free, outline in zip(panels.panel, outlines, strict=True):
        for at, corner in enumerate(outline.corners):
            if corner.radius is not None:
                cuts.append(CornerCut(free.name, at, "round", corner.radius))
            elif corner.chamfer is not None:
                cuts.append(CornerCut(free.name, at, "chamfer", corner.chamfer))
    # a panel that does not come out is told of by its points, its bend by its place as well
    found: dict[tuple[str, str], tuple[str, ...]] = {}
    for number, each in enumerate(panels.panel, 1):
        points = f"panel[{number}].points"
        found[each.name, ""] = (points,)
        if each.bent_from is not None:
            found[each.name, each.bent_from.base] = (points, f"panel[{number}].bent_from")
    return Drawn(
        root=root,
        corners=tuple(cuts),
        wall=panels.wall,
        stepped=panels.drawn_to != "flat",
        notes=notes,
        shaped=lambda flat: _uncrossed(flat, panels),
        keys=found,
    )


def _tree(panels: Panels, outlines: list[Outline], number: int, way: BendWay) -> Panel:
    """A panel, counted from 1, with all that hangs on it."""
    free, outline = panels.panel[number - 1], outlines[number - 1]
    try:
        panel = Panel.of_edges(free.name, [(each.name, each.segment) for each in outline.edges])
    except GeometryError as error:
        raise BuildError(str(error), f"panel[{number}].points") from None
    bends = [
        _bend(panels, outlines, child, panel, way)
        for child, each in enumerate(panels.panel, 1)
        if each.bent_from is not None and each.bent_from.panel == free.name
    ]
    return replace(panel, bends=tuple(bends))


def _bend(
    panels: Panels, outlines: list[Outline], number: int, parent: Panel, way: BendWay
) -> Bend:
    held, key = panels.panel[number - 1].bent_from, f"panel[{number}].bent_from"
    assert held is not None
    child, turn = _tree(panels, outlines, number, way), fold(held.angle, held.direction)
    _straight(parent, held.edge, f"{key}.edge")
    _straight(child, held.base, f"{key}.base")
    above = [each.name for each in panels.panel].index(held.panel)
    start, end = _interval(held, outlines[above], parent, key)
    to = "flat" if panels.drawn_to == "flat" else fold(0, "up", panels.drawn_to or "outside").to
    return Bend(
        edge=held.edge,
        panel=child,
        base=held.base,
        angle=turn.angle,
        direction=turn.direction,
        way=way,
        start=start,
        end=end,
        to=to,
        base_to=to,
    )


def _straight(panel: Panel, name: str, key: str) -> None:
    try:
        panel.straight_edge(name)
    except GeometryError as error:
        raise BuildError(str(error), key) from None


def _interval(
    held: BentFrom, outline: Outline, parent: Panel, key: str
) -> tuple[float | None, float | None]:
    """From the file's distances, which count the way its corners go, to those along the edge."""
    if held.whole:
        return None, None
    full = parent.straight_edge(held.edge).length
    start = 0.0 if held.start is None else held.start
    end = full if held.end is None else held.end
    if end <= start or start >= full:
        raise BuildError("the bend has no length on this edge", f"{key}.end")
    if end > full + 1e-6:
        words = f"the bend reaches beyond the straight part of {held.edge!r}"
        raise BuildError(words, f"{key}.start")
    if next(each for each in outline.edges if each.name == held.edge).backward:
        start, end = full - end, full - start
    return max(0.0, start), min(full, end)


def _uncrossed(root: Panel, panels: Panels) -> Panel:
    names = [free.name for free in panels.panel]
    for panel in root.walk():
        if self_crossing(panel.contour) is not None:
            key = f"panel[{names.index(panel.name) + 1}].points"
            held = [each.bent_from for each in panels.panel if each.bent_from is not None]
            stepped = any(each.panel == panel.name and not each.whole for each in held)
            where = ", or a relief at the end of a bend runs into something" if stepped else ""
            raise BuildError(f"the outline of {panel.name!r} crosses itself{where}", key)
    return root


def dimensions(panels: Panels, bracket: Bracket) -> Iterator[Dimension | Tag]:
    """What is measured on free panels: their edges and angles, two diagonals of the first panel.

    An edge between two that stand square to it is as long as the file draws it; of another, what
    is left of it is measured.
    """
    for number, free in enumerate(panels.panel, 1):
        panel, held = bracket.panel(free.name), free.bent_from
        key = f"panel[{number}]"
        outline = drawn_outline(free.outline, key)
        for index, each in enumerate(outline.edges):
            if isinstance(each.segment, Line) and each.name in dict(panel.edges):
                yield from _edge_length(panel, outline, index, f"{key}.points")
        if held is not None:
            bend = f"{key}.bent_from"
            yield from bend_listed(
                f"{bend}.angle", held.angle, f"{bend}.direction", bracket, free.name
            )
    corners = bracket.root.contour.corners
    if len(corners) == 4:
        name = bracket.root.name
        for one, other in ((0, 2), (1, 3)):
            ends = (spot(bracket.root, corners[i], f"corner of the {name}") for i in (one, other))
            yield derived(*ends)


def _edge_length(panel: Panel, outline: Outline, index: int, key: str) -> Iterator[Dimension]:
    edges, count = outline.edges, len(outline.edges)
    own = edges[index]
    drawn = own.segment
    beside = [edges[(index + step) % count] for step in (-1, 1)]
    left = dict(panel.edges)
    square = all(
        isinstance(each.segment, Line)
        and abs(each.segment.direction.dot(drawn.start_direction)) < 1e-9
        and each.name in left
        for each in beside
    )
    if square:
        before, after = (
            edge(
                panel,
                each.name,
                "" if panel.drawn_edge(each.name) else f"{each.name} of the {panel.name}",
            )
            for each in beside
        )
        yield length(key, drawn.length, middle(before), after)
    elif panel.drawn_edge(own.name) is None:
        line = panel.straight_edge(own.name)
        start, end = (
            spot(panel, at, f"{word} of the {own.name}")
            for at, word in ((line.start, "start"), (line.end, "end"))
        )
        yield derived(start, end)


SUMMARY = "Any bracket, drawn panel by panel: outlines, bends from their edges, to any depth."
KIND = Kind("panels", SUMMARY, Panels, draw, dimensions)
