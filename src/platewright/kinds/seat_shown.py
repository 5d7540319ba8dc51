"""Where the seat's measurements show on its flat bracket."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from platewright.geometry.plane import ORIGIN, Point, Vector
from platewright.geometry.segment import Line
from platewright.kinds.shown import Opening, Pointer, Shown, Span
from platewright.plate.bracket import Bend, Bracket, Panel

if TYPE_CHECKING:
    from platewright.kinds.seat_measurements import Bolts, Gusset, Seat

#: Directions in which the two diameters are drawn through the centre, radians.
_PLATE_WAY = math.radians(160)
_BODY_WAY = math.radians(125)


def seat_shown(seat: Seat, bracket: Bracket) -> Iterator[Shown]:
    """Every measurement of a seat that has a place on it."""
    plate = bracket.root
    yield from _round_things(seat)
    yield from _to_the_wall(seat)
    yield from _sides(seat, plate)
    yield from _bolts(seat.bolts, plate)
    yield from _port(seat, plate)
    for bend in plate.bends:
        yield from _gusset(seat, bend)
    yield from _front(seat, plate)


def _span(key: str, start: Point, end: Point, row: float = 0.0) -> Span:
    return Span(key=key, panel="plate", start=start, end=end, row=row)


def _pointer(key: str, at: Point) -> Pointer:
    return Pointer(key=key, panel="plate", at=at)


def _round_things(seat: Seat) -> Iterator[Shown]:
    """The plate, the body and the room beside it."""
    plate, body = seat.plate_diameter / 2, seat.body_diameter / 2
    for key, way, radius in (
        ("plate_diameter", _PLATE_WAY, plate),
        ("body_diameter", _BODY_WAY, body),
    ):
        out = Vector.polar(way, radius)
        yield _span(key, ORIGIN + out, ORIGIN + -out)
    if seat.clearance > 0:
        yield _span("clearance", Point(-body - seat.clearance, 0), Point(-body, 0))


def _to_the_wall(seat: Seat) -> Iterator[Shown]:
    wall, body = -seat.centre_to_wall, seat.body_diameter / 2
    if seat.wall_gap:
        yield _span("wall_gap", Point(0, wall), Point(0, -body))
    if seat.centre_distance is not None:
        x = body / 2
        yield _span("centre_distance", Point(x, wall), Point(x, 0))


def _sides(seat: Seat, plate: Panel) -> Iterator[Shown]:
    if seat.plain_side is None:
        return
    for name, gusset in (("left side", seat.left), ("right side", seat.right)):
        if gusset is None:
            x = plate.straight_edge(name).start.x
            yield _span("plain_side", Point(0, 0), Point(x, 0))
            return


def _bolts(bolts: Bolts, plate: Panel) -> Iterator[Shown]:
    holes = [hole for hole in plate.holes if hole.role == "bolt"]
    yield _pointer("bolts.size", holes[0].centre)
    yield _pointer("bolts.count", holes[-1].centre)
    if len(holes) == 2:
        yield _span("bolts.spacing", holes[1].centre, holes[0].centre, -0.6)
    elif bolts.spacing:
        out = Vector.polar(bolts.turn + 0.3, bolts.spacing / 2)
        yield _span("bolts.spacing", ORIGIN + -out, ORIGIN + out)
    if abs(bolts.turn) > math.radians(5):
        reach = (bolts.spacing or 20.0) * 0.35
        yield Opening(
            key="bolts.turn", panel="plate", apex=ORIGIN, start=0.0, sweep=bolts.turn, reach=reach
        )


def _port(seat: Seat, plate: Panel) -> Iterator[Shown]:
    ports = [hole for hole in plate.holes if hole.role == "port"]
    if seat.port is None or not ports:
        return
    port = ports[-1]
    yield _pointer("port.size", port.centre)
    yield _pointer("port.side", ports[0].centre)
    foot = Line(ORIGIN, ORIGIN + Vector.polar(seat.bolts.turn))
    along = foot.direction
    at = ORIGIN + along * along.dot(port.centre - ORIGIN)
    if seat.port.offset > 0:
        yield _span("port.offset", at, port.centre, 1.0)
    if seat.port.shift:
        yield _span("port.shift", ORIGIN, at)


def _gusset(seat: Seat, bend: Bend) -> Iterator[Shown]:
    panel = bend.panel
    side = panel.name.partition(" ")[0]
    gusset = seat.left if side == "left" else seat.right
    if gusset is None:
        return
    base, wall_end = panel.straight_edge("base"), panel.straight_edge("wall end")
    far = Vector(0.0, panel.contour.bounds.ymax)
    yield _gusset_span(panel, f"{side}.reach", base.start + far, base.end + far, 1.2)
    if gusset.depth is not None:
        yield _gusset_span(panel, f"{side}.depth", wall_end.start, wall_end.end, -1.2)
    yield from _gusset_front(side, gusset, panel)
    yield Pointer(key=f"{side}.fold", panel=panel.name, at=base.point_at(0.65))
    yield Pointer(key=f"{side}.direction", panel=panel.name, at=base.point_at(0.35))


def _gusset_span(panel: Panel, key: str, start: Point, end: Point, row: float) -> Span:
    return Span(key=key, panel=panel.name, start=start, end=end, row=row)


def _gusset_front(side: str, gusset: Gusset, panel: Panel) -> Iterator[Shown]:
    names = [name for name, _ in panel.edges]
    if "nose" in names:
        nose = panel.straight_edge("nose")
        yield _gusset_span(panel, f"{side}.nose", nose.start, nose.end, -0.8)
    if "slope" not in names:
        return
    slope = panel.straight_edge("slope")
    low = min((slope.start, slope.end), key=lambda p: abs(p.y))
    high = slope.end if low == slope.start else slope.start
    along = Vector(high.x - low.x, 0.0)
    sweep = math.remainder((high - low).angle - along.angle, math.tau)
    yield Opening(
        key=f"{side}.taper",
        panel=panel.name,
        apex=low,
        start=along.angle,
        sweep=sweep,
        reach=gusset.reach * 0.3,
    )


def _front(seat: Seat, plate: Panel) -> Iterator[Shown]:
    front = plate.edge("front")
    yield _pointer("front.shape", front.point_at(0.5))
    if seat.front.length is not None:
        wall = plate.straight_edge("wall edge").start
        x = plate.straight_edge("left side").start.x / 2
        yield _span("front.length", Point(x, wall.y), Point(x, front.point_at(0.5).y))
