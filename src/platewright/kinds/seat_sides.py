"""The seat's sides: how far out they stand, and the gussets folded from them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from platewright.errors import BuildError
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line, Segment
from platewright.kinds.seat_measurements import Gusset, Seat
from platewright.plate.bend import BendWay, inside_setback, outside_setback
from platewright.plate.bracket import (
    Bend,
    Departure,
    Panel,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One side of the seat plate: how far out it stands, where its front end is, its gusset."""

    name: str
    out: float
    front: float
    gusset: Gusset | None
    leg: float = 0.0
    nose: float = 0.0


def flat_leg(gusset: Gusset, way: BendWay, thickness: float) -> float:
    """Depth of the gusset's flat leg at the wall, from the bend's tangent line, mm.

    Raises BuildError when the depth is used up by the bend itself.
    """
    by_taper = flat_nose(gusset, way, thickness) + gusset.reach * math.tan(gusset.taper)
    if gusset.depth is None:
        return by_taper
    by_depth = gusset.depth - outside_setback(way, gusset.fold, thickness)
    if by_depth <= 0:
        raise BuildError("the gusset's depth is used up by the bend: make it deeper", "depth")
    return min(by_taper, by_depth)


def flat_nose(gusset: Gusset, way: BendWay, thickness: float) -> float:
    """Width of the gusset's blunt end beyond the bend's tangent line, mm; 0 when the bend uses it.

    Measured from the outside face as the depth is, so that card and plate fold to one shape.
    """
    return max(0.0, gusset.nose - outside_setback(way, gusset.fold, thickness))


def tangent_line_distance(seat: Seat, gusset: Gusset, way: BendWay, thickness: float) -> float:
    """From the seat's centre to the bend's tangent line on the seat plate, mm.

    Placed so that the nearest place of the folded gusset's inside face stands half the body
    diameter plus the clearance from the centre: that is the inside corner for folds up to a right
    angle, and the far edge for a gusset that leans in over the body.
    """
    setback = inside_setback(way, gusset.fold, thickness)
    lean = max(0.0, -math.cos(gusset.fold)) * (setback + flat_leg(gusset, way, thickness))
    return seat.inside_half_width + lean - setback


def side_of(name: str, seat: Seat, way: BendWay, thickness: float) -> Side:
    """The left or the right side. Raises BuildError with the gusset's keys."""
    gusset = seat.left if name == "left" else seat.right
    if gusset is None:
        out = seat.plain_side if seat.plain_side is not None else seat.plate_diameter / 2
        return Side(name=name, out=out, front=0.0, gusset=None)
    try:
        out = tangent_line_distance(seat, gusset, way, thickness)
        leg = flat_leg(gusset, way, thickness)
        nose = min(leg, flat_nose(gusset, way, thickness))
    except BuildError as error:
        raise BuildError(error.message, *(f"{name}.{key}" for key in error.keys)) from None
    front = gusset.reach - seat.centre_to_wall
    return Side(name=name, out=out, front=front, gusset=gusset, leg=leg, nose=nose)


def departures_of(side: Side, way: BendWay, thickness: float) -> Iterator[Departure]:
    """A nose that the bend itself is wider than."""
    gusset = side.gusset
    if gusset is None:
        return
    least = outside_setback(way, gusset.fold, thickness)
    if gusset.nose < least - 1e-6:
        yield Departure(
            words=f"nose of the {side.name} gusset",
            asked=gusset.nose,
            comes=least,
            change="it comes out as wide as the bend, and moves the far edge with it: give a "
            "wider nose or a smaller inside radius",
        )


def _gusset_panel(side: Side, gusset: Gusset) -> Panel:
    """The right-hand gusset: base along x from the front end (0) to the wall (reach)."""
    reach, leg, nose = gusset.reach, side.leg, side.nose
    run = (leg - nose) / math.tan(gusset.taper)
    points = [
        ("base", Point(0, 0)),
        ("wall end", Point(reach, 0)),
        ("far edge", Point(reach, leg)),
        ("slope", Point(min(run, reach), leg)),
        ("nose", Point(0, nose)),
    ]
    kept = [
        (name, here)
        for (name, here), (_, after) in zip(points, points[1:] + points[:1], strict=True)
        if here.distance(after) > 1e-9
    ]
    ends = [here for _, here in kept]
    edges: list[tuple[str, Segment]] = [
        (name, Line(here, after))
        for (name, here), after in zip(kept, ends[1:] + ends[:1], strict=True)
    ]
    return Panel.of_edges("right gusset", edges)


def gusset_bend(side: Side, plate: Panel, way: BendWay) -> Bend | None:
    """The bend that joins a side's gusset to the plate; None for a plain side."""
    gusset = side.gusset
    if gusset is None:
        return None
    panel = _gusset_panel(side, gusset)
    edge = f"{side.name} side"
    length = plate.straight_edge(edge).length
    start: float | None = None
    end = gusset.reach if gusset.reach < length - 1e-9 else None
    if side.name == "left":
        panel = panel.mirrored()
        start, end = (None if end is None else length - end), None
    return Bend(
        edge=edge,
        panel=panel,
        angle=gusset.fold,
        direction="up" if gusset.direction == "up" else "down",
        way=way,
        start=start,
        end=end,
    )
