"""A bracket that stands out from its wall: where it meets it, and the screens of its load there.

Lines in the wall's plane are the middles of the panels' ends.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platewright.errors import BuildError, GeometryError
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Line
from platewright.geometry.space import Placing
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.place import edge_frame, place
from platewright.shop.strength import (
    Rectangle,
    Screen,
    Section,
    WeldGroup,
    least_fillet,
    plate_screen,
    section,
    weld_group,
    weld_screen,
)
from platewright.units import Unit
from platewright.values import dataclass

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
    found = []
    for placed in place(bracket, 1):
        wall_from_panel = wall_from_world @ placed.world_from_panel
        for segment in _straight_edges(placed.panel):
            ends = [wall_from_panel.point(end, middle) for end in (segment.start, segment.end)]
            if all(abs(end.y) <= WALL_TOLERANCE for end in ends):
                start, end = (Point(end.x, end.z) for end in ends)
                found.append(Line(start, end))
    return tuple(found)


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


# --- strength ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """The screens of a bracket that stands out from its wall.

    `origin` says where the load is from, `arm` is mm from the wall to it, `weld_words` says which
    fillets were counted. `twists` tells that the section at the wall is not alike left and right:
    the load then bends it sideways and twists it too, which these figures leave out.
    """

    load: float
    origin: str
    arm: float
    at_wall: Section
    plate: Screen
    group: WeldGroup
    leg: float
    weld_words: str
    weld: Screen
    twists: bool


def strength_of(
    bracket: Bracket,
    load: float,
    *,
    arm: float | None = None,
    leg: float | None = None,
    origin: str = "",
    unit: Unit = "mm",
) -> Strength:
    """The bracket as a cantilever from its wall under `load` N.

    The load acts at the body's centre unless `arm` (mm from the wall) is given, else at the root's
    far end; the fillet's leg is the least for the thickness unless given. `unit` is the shop's own:
    the standards' figures are taken in it. Raises BuildError for a bracket without a wall edge, or
    of a material that carries nothing.
    """
    if bracket.wall is None:
        raise BuildError("a strength screen needs a wall edge to stand out from", "wall")
    lines = wall_lines(bracket)
    thickness = bracket.stock.thickness
    reach = load_arm(bracket) if arm is None else arm
    fillet = least_fillet(thickness, unit) if leg is None else leg
    at_wall = section(wall_rectangles(lines, thickness))
    words, welds = _fillets(lines, thickness)
    group = weld_group(welds)
    return Strength(
        load=load,
        origin=origin,
        arm=reach,
        at_wall=at_wall,
        plate=plate_screen(load, reach, at_wall, bracket.stock, unit),
        group=group,
        leg=fillet,
        weld_words=words,
        weld=weld_screen(load, reach, group, fillet, bracket.stock.material.family),
        twists=_twists(lines),
    )


def _twists(lines: tuple[Line, ...]) -> bool:
    """Whether lines on the wall have a product of inertia: they are unlike left and right."""
    length = math.fsum(line.length for line in lines)
    x = math.fsum(line.length * line.point_at(0.5).x for line in lines) / length
    y = math.fsum(line.length * line.point_at(0.5).y for line in lines) / length
    middle = Point(x, y)
    # the integral of x y along each line about their middle, mm³ (exact)
    ends = [(line.length, line.start - middle, line.end - middle) for line in lines]
    product = math.fsum(
        long * (2 * a.x * a.y + 2 * b.x * b.y + a.x * b.y + b.x * a.y) / 6 for long, a, b in ends
    )
    reach = max(end.distance(middle) for line in lines for end in (line.start, line.end))
    return abs(product) > 1e-3 * length * reach**2


def load_arm(bracket: Bracket) -> float:
    """From the wall to the body's centre, or to the root's far end where no body is told, mm."""
    if bracket.wall is None:
        raise BuildError("a load's arm needs a wall edge", "wall")
    edge = bracket.root.straight_edge(bracket.wall)
    out = edge.direction.left
    if bracket.body is not None:
        return (bracket.body.centre - edge.start).dot(out)
    return max((p - edge.start).dot(out) for p in bracket.root.contour.flatten(0.1))


def _fillets(lines: tuple[Line, ...], thickness: float) -> tuple[str, tuple[Line, ...]]:
    """The fillets that a screen counts: one along each end, or two round a plate alone."""
    heights = {round(end.y, 6) for line in lines for end in (line.start, line.end)}
    if len(heights) > 1:
        return "one fillet along the plate and along each gusset", lines
    rises = (Vector(0.0, thickness / 2), Vector(0.0, -thickness / 2))
    return "two fillets, above and below the plate", tuple(
        Line(line.start + rise, line.end + rise) for line in lines for rise in rises
    )
