"""Edits of a bracket's outline: an edge replaced or trimmed, a corner cut, metal added to a panel.

An edit leaves the rest where it was. Edges beside the edited one grow or shrink along their own
lines; a bend that loses part of its edge becomes shorter, and the panel that it carries keeps a
free stub there; checks follow the edge and its corners.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from platewright.errors import GeometryError
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line, Segment
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.dimension import Dimension, Place, Spot, Straight
from platewright.plate.regrow import (
    SAME,
    EdgeLoss,
    changed,
    edges_from,
    fitted,
    pieces_named,
    rebuilt,
    runs_on,
)


def with_panel(bracket: Bracket, name: str, change: Callable[[Panel], Panel]) -> Bracket:
    """The bracket with one panel changed in anything but its outline.

    Raises GeometryError for an unknown panel.
    """
    bracket.panel(name)
    root, _ = changed(bracket.root, name, lambda panel, _: (change(panel), EdgeLoss()), None)
    return replace(bracket, root=root)


def replace_edge(
    bracket: Bracket, panel: str, edge: str, chain: Sequence[Segment], *, straightedge: bool = False
) -> Bracket:
    """The bracket with a straight edge of a panel replaced by a chain of lines and arcs.

    The chain runs in the edge's direction and reaches beyond, or to, the edges on both sides; it is
    cut where it meets their lines. Where it is more than one straight line, the old line becomes
    the edge's datum; with `straightedge` checks to it stay where a straightedge, held to what is
    left of the line, spans half of it. Raises GeometryError for an edge that is bent or round or
    scribed already, or when the chain leaves no outline.
    """
    old = free_edge(bracket, panel, edge)
    found: list[tuple[Segment, ...]] = []

    def change(target: Panel, base: str | None) -> tuple[Panel, EdgeLoss]:
        ring = edges_from(target, edge)
        pieces, ring = fitted(tuple(chain), ring[1:])
        found.append(pieces)
        panel, cut = rebuilt(target, pieces_named(edge, pieces) + ring, base)
        if len(pieces) > 1:
            panel = replace(panel, datums=(*panel.datums, (edge, old)))
        return panel, cut

    root, _ = changed(bracket.root, panel, change, None)
    held = _held(old, found[0]) if straightedge else None
    checks = tuple(_following(check, panel, old, found[0], held) for check in bracket.dimensions)
    return replace(bracket, root=root, dimensions=checks)


def trim_edge(bracket: Bracket, panel: str, edge: str, by: float) -> Bracket:
    """The bracket with `by` mm taken off a straight edge, or added where negative.

    Raises GeometryError as `replace_edge`.
    """
    if by == 0:
        return bracket
    line = free_edge(bracket, panel, edge)
    inwards = line.direction.left * by
    moved = Line(line.start + inwards, line.end + inwards)
    return replace_edge(bracket, panel, edge, (extended(moved, reach_of(bracket, panel)),))


def cut_corner(
    bracket: Bracket, panel: str, edges: tuple[str, str], cut: Callable[[Line, Line], Segment]
) -> Bracket:
    """The bracket with the corner between two straight edges of a panel cut off.

    `cut` makes the piece from the line into the corner and the line out of it. Checks that start
    or end at the corner are left out: no tape finds it any more. Raises GeometryError for edges
    that do not meet.
    """
    first, second = _in_order(bracket.panel(panel), edges)
    target = bracket.panel(panel)
    into, out = target.straight_edge(first), target.straight_edge(second)
    bases = [target.bend_base(bend) for bend in target.bends]
    for each in bracket.root.walk():
        bases += [target.straight_edge(b.base) for b in each.bends if b.panel.name == target.name]
    if any(out.start.distance(end) <= SAME for base in bases for end in (base.start, base.end)):
        raise GeometryError(f"panel {target.name!r}: a bend reaches this corner")
    piece = cut(into, out)

    def change(target: Panel, base: str | None) -> tuple[Panel, EdgeLoss]:
        ring = edges_from(target, second)[1:-1]
        edges = [("", piece), (second, Line(piece.end, out.end)), *ring]
        edges.append((first, Line(into.start, piece.start)))
        return rebuilt(target, [e for e in edges if e[1].length > SAME], base)

    root, _ = changed(bracket.root, panel, change, None)
    checks = tuple(c for c in bracket.dimensions if not _stands_at(c, panel, out.start))
    return replace(bracket, root=root, dimensions=checks)


# --- what an edge is --------------------------------------------------------------------------


def free_edge(bracket: Bracket, panel: str, edge: str) -> Line:
    """A straight edge that carries no bend. Raises GeometryError where it is not that."""
    for each in bracket.root.walk():
        for bend in each.bends:
            if (panel, edge) in ((each.name, bend.edge), (bend.panel.name, bend.base)):
                raise GeometryError(f"panel {panel!r}: {edge!r} is a bend, not a free edge")
    found = bracket.panel(panel)
    if edge in dict(found.datums):
        raise GeometryError(f"panel {panel!r}: edge {edge!r} is scribed already")
    return found.straight_edge(edge)


def reach_of(bracket: Bracket, panel: str) -> float:
    """A length beyond anything on the panel, mm."""
    box = bracket.panel(panel).contour.bounds
    return 4 * (box.width + box.height)


def extended(line: Line, by: float) -> Line:
    """A line made longer at both ends by `by` mm."""
    along = line.direction * by
    return Line(line.start + -along, line.end + along)


def _in_order(panel: Panel, edges: tuple[str, str]) -> tuple[str, str]:
    """Two edges that meet, in the direction of travel. Raises GeometryError."""
    count = len(panel.contour.segments)
    first, second = (panel.edge_index(edge) for edge in edges)
    if (first + 1) % count == second:
        return edges
    if (second + 1) % count == first:
        return edges[1], edges[0]
    raise GeometryError(f"panel {panel.name!r}: edges {edges[0]!r} and {edges[1]!r} do not meet")


# --- checks follow ----------------------------------------------------------------------------


def _held(old: Line, pieces: tuple[Segment, ...]) -> Line | None:
    """The longest piece that still lies on the old line, if all that do span half of it."""
    rests = [
        each for each in pieces if isinstance(each, Line) and runs_on(old, each)
        and abs(old.direction.cross(each.start - old.start)) <= SAME
    ]  # fmt: skip
    if not rests or rests[0].start.distance(rests[-1].end) < old.length / 2:
        return None
    return max(rests, key=lambda rest: rest.length)


def _following(
    check: Dimension, panel: str, old: Line, pieces: tuple[Segment, ...], held: Line | None
) -> Dimension:
    """A check whose spots stand on the new corners and whose straight is the new edge."""
    moved = {old.start: pieces[0].start, old.end: pieces[-1].end}
    start, end = (
        _moved_straight(place, panel, old, pieces, held)
        if isinstance(place, Straight) and place is check.end
        else _moved_spot(place, panel, moved)
        for place in (check.start, check.end)
    )
    return replace(check, start=start, end=end)


def _moved_spot(place: Place, panel: str, moved: dict[Point, Point]) -> Place:
    if not isinstance(place, Spot) or place.panel != panel:
        return place
    return replace(place, at=moved.get(place.at, place.at))


def _moved_straight(
    straight: Straight, panel: str, old: Line, pieces: tuple[Segment, ...], held: Line | None
) -> Straight:
    if straight.panel != panel or straight.line != old:
        return straight
    if len(pieces) == 1 and isinstance(pieces[0], Line):
        return replace(straight, line=pieces[0])
    if held is not None:
        return replace(straight, line=held)
    return replace(straight, words=f"original line of the {straight.words}")


def _stands_at(check: Dimension, panel: str, at: Point) -> bool:
    spots = (check.start, check.end)
    return any(isinstance(s, Spot) and s.panel == panel and s.at == at for s in spots)
