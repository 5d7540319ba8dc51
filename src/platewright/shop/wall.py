"""Where a folded bracket meets its wall: the middles of its panels' ends, in the wall's plane."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from platewright.errors import GeometryError
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.geometry.space import Placing
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.place import PlacedPanel, edge_frame, place
from platewright.shop.strength import Rectangle

#: An edge lies in the wall's plane when both its ends are this near, mm.
WALL_TOLERANCE = 1e-6


def wall_lines(bracket: Bracket) -> tuple[Line, ...]:
    """Middle lines of the panel ends that lie in the wall's plane when folded, root first.

    The wall is square to the root panel through its wall edge. x runs along that edge from its
    start, y is height from the root's top face. A scribed edge follows the wall, so it counts as
    the straight one that it was. Raises GeometryError without a wall edge.
    """
    if bracket.wall is None:
        raise GeometryError("the bracket names no wall edge")
    edge = bracket.root.straight_edge(bracket.wall)
    wall_from_world = Placing.flat(edge_frame(edge)).inverse()
    middle = -bracket.stock.thickness / 2
    placed = place(bracket, 1)
    return tuple(
        line for panel in placed for line in _lines_on_wall(panel, wall_from_world, middle)
    )


def _lines_on_wall(placed: PlacedPanel, wall_from_world: Placing, middle: float) -> Iterator[Line]:
    """Lines of one panel at depth `middle` whose ends lie in the wall's plane (y = 0)."""
    wall_from_panel = wall_from_world @ placed.world_from_panel
    for segment in _straight_edges(placed.panel):
        ends = [wall_from_panel.point(end, middle) for end in (segment.start, segment.end)]
        if all(abs(end.y) <= WALL_TOLERANCE for end in ends):
            start, end = (Point(end.x, end.z) for end in ends)
            yield Line(start, end)


def _straight_edges(panel: Panel) -> Iterator[Line]:
    """The straight edges of a panel; a scribed one counts as the line that it ran along."""
    scribed = [line for _, line in panel.datums]
    yield from scribed
    for segment in panel.contour.segments:
        ends = segment.start, segment.end
        if isinstance(segment, Line) and not any(
            all(line.distance(end) <= WALL_TOLERANCE for end in ends) for line in scribed
        ):
            yield segment


def wall_rectangles(lines: Sequence[Line], thickness: float) -> tuple[Rectangle, ...]:
    """The plate's cut faces along such lines, for a section.

    The bends between them are left out: a fold that is not welded up carries little.
    """
    return tuple(
        Rectangle(
            width=line.length,
            height=thickness,
            z=(line.start.y + line.end.y) / 2,
            tilt=line.direction.angle,
        )
        for line in lines
    )
