"""One traversal places every panel in space, flat, folded, or anything between."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platewright.errors import GeometryError
from platewright.geometry.plane import Motion
from platewright.geometry.segment import Line
from platewright.geometry.space import Placing
from platewright.plate.bend import radius_part_way
from platewright.plate.bracket import Bend, Bracket, Panel
from platewright.values import dataclass

#: A child's base and its place on the parent's edge may differ in length by this much, mm.
BASE_TOLERANCE = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedPanel:
    """A panel with its place in space.

    `world_from_panel` takes the panel's frame (top face z = 0) to the root's frame. `number` and
    `bend` tell the bend that holds it to `parent`, an index into the same tuple; all three are
    None for the root. Bends are numbered from 1 in the order of the tree.
    """

    panel: Panel
    world_from_panel: Placing
    number: int | None = None
    bend: Bend | None = None
    parent: int | None = None


def place(bracket: Bracket, amount: float) -> tuple[PlacedPanel, ...]:
    """Every panel in space, parents first.

    `amount` 0 is the flat blank, 1 the finished bracket, between them each bend is that share of
    its angle. Raises GeometryError for an amount outside [0, 1], or for a bend whose base does not
    fit its edge.
    """
    if not 0 <= amount <= 1:
        raise GeometryError(f"a bracket folds by an amount from 0 to 1, not {amount!r}")
    placed: list[PlacedPanel] = [PlacedPanel(panel=bracket.root, world_from_panel=Placing())]
    for parent, bend in _bends(bracket.root, [0]):
        above = placed[parent]
        step = parent_from_child(above.panel, bend, bracket.stock.thickness, amount)
        placed.append(
            PlacedPanel(
                panel=bend.panel,
                world_from_panel=above.world_from_panel @ step,
                number=len(placed),
                bend=bend,
                parent=parent,
            )
        )
    return tuple(placed)


def _bends(panel: Panel, count: list[int]) -> Iterator[tuple[int, Bend]]:
    """(index of the parent, bend) in tree order; `count` holds the last index given out."""
    own = count[0]
    for bend in panel.bends:
        count[0] += 1
        yield own, bend
        yield from _bends(bend.panel, count)


def parent_from_child(panel: Panel, bend: Bend, thickness: float, amount: float) -> Placing:
    """Placing of a bend's child in its parent's frame, the bend made by `amount`."""
    edge = panel.bend_base(bend)
    base = bend.panel.straight_edge(bend.base)
    if abs(edge.length - base.length) > BASE_TOLERANCE:
        raise GeometryError(
            f"panel {bend.panel.name!r} has a base of {base.length:.4f} mm on an edge part of "
            f"{edge.length:.4f} mm"
        )
    parent_from_edge = Placing.flat(edge_frame(edge.reversed()))
    base_from_child = Placing.flat(edge_frame(base).inverse())
    return parent_from_edge @ bend_step(bend, thickness, amount) @ base_from_child


def edge_frame(edge: Line) -> Motion:
    """The frame on an edge: origin at its start, +x along it, +y to its left."""
    return Motion.frame(edge.start, edge.direction)


def bend_step(bend: Bend, thickness: float, amount: float) -> Placing:
    """From the child's base frame to the parent's edge frame (x along, y outward, z up)."""
    angle = bend.angle * amount
    if angle == 0:
        return Placing.about_x(0.0, bend.way.allowance(bend.angle, thickness), 0.0)
    inside = radius_part_way(bend.way, bend.angle, thickness, amount)
    # the top face is the inside of a fold up and the outside of a fold down
    radius = inside if bend.direction == "up" else inside + thickness
    sign = 1.0 if bend.direction == "up" else -1.0
    # 2 sin² of the half angle is 1 - cos without loss of digits at small angles
    rise = radius * 2 * math.sin(angle / 2) ** 2
    return Placing.about_x(sign * angle, radius * math.sin(angle), sign * rise)
