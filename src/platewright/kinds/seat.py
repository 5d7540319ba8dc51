"""The seat: a plate on a wall that carries a round thing.

Seen from above: the wall edge straight at the back, two sides square to it, a front that follows
the round mounting plate or is square, and on each side a gusset that folds down or up and meets
the wall. Frame: origin at the seat's centre, +y away from the wall, the wall edge on
y = -(centre distance).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations

from platewright.errors import BuildError
from platewright.geometry.build import tangent_points
from platewright.geometry.contour import Circle
from platewright.geometry.plane import ORIGIN, Point, Vector
from platewright.geometry.segment import Arc, Line, Segment
from platewright.kinds.kind import Kind
from platewright.kinds.seat_measurements import Bolts, Seat
from platewright.kinds.seat_shown import seat_shown
from platewright.kinds.seat_sides import Side, departures_of, gusset_bend, side_of
from platewright.plate.bend import BendWay
from platewright.plate.bracket import Body, Bracket, Hole, Mark, Panel
from platewright.plate.dimension import Dimension, Spot, Straight
from platewright.plate.stock import Stock
from platewright.shop.hardware import (
    PortSize,
    clearance_hole,
)

# --- the plate --------------------------------------------------------------------------------


def _front_corners(seat: Seat, left: Side, right: Side) -> tuple[Point, Point]:
    """Front ends of the left and the right side."""
    if seat.front.length is None:
        return Point(-left.out, left.front), Point(right.out, right.front)
    y = seat.front.length - seat.centre_to_wall
    for side in (left, right):
        if side.gusset is not None and side.front > y + 1e-9:
            raise BuildError(
                f"the {side.name} gusset reaches past the square front: shorten it or make "
                "the front longer",
                f"{side.name}.reach",
                "front.length",
            )
    return Point(-left.out, y), Point(right.out, y)


def _front_edges(seat: Seat, left_end: Point, right_end: Point) -> list[tuple[str, Segment]]:
    """The front from the right side's end to the left side's end."""
    if seat.front.shape == "square":
        return [("front", Line(right_end, left_end))]
    circle = Circle(ORIGIN, seat.plate_diameter)
    first = _tangent_point(circle, right_end, ahead=True)
    last = _tangent_point(circle, left_end, ahead=False)
    sweep = _turn(first, last)
    if sweep is None:
        # both sides stand forward of the plate circle: the straight front already holds it
        return [("front", Line(right_end, left_end))]
    edges: list[tuple[str, Segment]] = [("front", Arc(first, last, sweep))]
    if first != right_end:
        edges.insert(0, ("front right", Line(right_end, first)))
    if last != left_end:
        edges.append(("front left", Line(last, left_end)))
    return edges


def _tangent_point(circle: Circle, end: Point, *, ahead: bool) -> Point:
    """Where the tangent from a side's front end touches the plate circle on the front side.

    Raises BuildError when the end lies inside the circle.
    """
    distance = end.distance(circle.centre)
    if distance < circle.radius - 1e-9:
        raise BuildError(
            "a side ends inside the plate circle: the plate would overhang it", "plate_diameter"
        )
    if distance <= circle.radius + 1e-9:
        return end
    behind_point, ahead_point = tangent_points(end, circle)
    return ahead_point if ahead else behind_point


def _turn(first: Point, last: Point) -> float | None:
    """Anticlockwise sweep of the front arc; None when the tangents cross before touching."""
    sweep = ((last - ORIGIN).angle - (first - ORIGIN).angle) % math.tau
    return sweep if 1e-9 < sweep < math.pi + 1.0 and first != last else None


def _plate_panel(seat: Seat, left: Side, right: Side) -> Panel:
    wall = -seat.centre_to_wall
    back_left, back_right = Point(-left.out, wall), Point(right.out, wall)
    left_end, right_end = _front_corners(seat, left, right)
    edges: list[tuple[str, Segment]] = [
        ("wall edge", Line(back_left, back_right)),
        ("right side", Line(back_right, right_end)),
        *_front_edges(seat, left_end, right_end),
        ("left side", Line(left_end, back_left)),
    ]
    return Panel.of_edges("plate", edges)


# --- holes and marks --------------------------------------------------------------------------


def bolt_points(bolts: Bolts) -> tuple[Point, ...]:
    """Bolt centres: one at the centre, two about it, more on a circle, the first at the turn."""
    if bolts.count == 1:
        return (ORIGIN,)
    radius = (bolts.spacing or 0.0) / 2
    return tuple(
        ORIGIN + Vector.polar(bolts.turn + math.tau * i / bolts.count, radius)
        for i in range(bolts.count)
    )


def _bolt_holes(bolts: Bolts) -> list[Hole]:
    return [
        Hole(
            what=f"bolt hole {i}" if bolts.count > 1 else "bolt hole",
            centre=centre,
            diameter=clearance_hole(bolts.size, bolts.fit),
            size=bolts.size.words,
            role="bolt",
            fastener=bolts.size.diameter,
        )
        for i, centre in enumerate(bolt_points(bolts), 1)
    ]


def _port_holes(seat: Seat) -> list[Hole]:
    port = seat.port
    if port is None:
        return []
    along = Vector.polar(seat.bolts.turn)
    places = {
        "towards the wall": along * port.shift - along.left * port.offset,
        "away from the wall": along * port.shift + along.left * port.offset,
    }
    if port.side in places:
        return [_port_hole("port hole", ORIGIN + places[port.side], port.size, cut=True)]
    return [
        _port_hole(f"port pilot {side}", ORIGIN + place, port.size, cut=False)
        for side, place in places.items()
    ]


def _port_hole(what: str, centre: Point, size: PortSize, *, cut: bool) -> Hole:
    return Hole(
        what=what,
        centre=centre,
        diameter=size.hole,
        size=size.words,
        cut=cut,
        role="port",
        fastener=size.diameter,
    )


def _marks(seat: Seat) -> list[Mark]:
    half = seat.plate_diameter / 2
    along = Vector.polar(seat.bolts.turn) * half
    where = ", underneath" if seat.body_face == "underside" else ""
    marks = [
        Mark(Circle(ORIGIN, seat.plate_diameter), "phantom", f"mounting plate{where}"),
        Mark(Circle(ORIGIN, seat.body_diameter), "phantom", f"body at its fullest{where}"),
        Mark(Line(Point(0, -seat.centre_to_wall), Point(0, half)), "centre"),
        Mark(Line(ORIGIN + -along, ORIGIN + along), "centre", "bolt line"),
    ]
    if seat.clearance > 0:
        full = seat.body_diameter + 2 * seat.clearance
        marks.append(Mark(Circle(ORIGIN, full), "clearance", "clearance"))
    if seat.bolts.count > 2 and seat.bolts.spacing:
        marks.append(Mark(Circle(ORIGIN, seat.bolts.spacing), "centre", "bolt circle"))
    return marks


# --- checks -----------------------------------------------------------------------------------


def _checks(plate: Panel, seat: Seat, holes: list[Hole]) -> Iterator[Dimension]:
    wall = Straight("plate", plate.straight_edge("wall edge"), "wall edge")
    spots = [Spot("plate", hole.centre, hole.what) for hole in holes]
    for spot in spots:
        yield Dimension(start=spot, end=wall, critical=True)
    bolts = [s for s, hole in zip(spots, holes, strict=True) if hole.role == "bolt"]
    for a, b in _bolt_pairs(len(bolts)):
        yield Dimension(start=bolts[a], end=bolts[b], critical=True)
    if seat.bolts.count > 1:
        along = Vector.polar(seat.bolts.turn)
        line = Straight("plate", Line(ORIGIN, ORIGIN + along), "bolt line")
        for spot, hole in zip(spots, holes, strict=True):
            if hole.role == "port":
                yield Dimension(start=spot, end=line, critical=True)
    for spot, hole in zip(spots, holes, strict=True):
        if hole.role == "port":
            # square to the bolt line it is told already, along it only by a bolt
            yield Dimension(start=spot, end=bolts[0], critical=True)
    yield from _square_checks(plate)


def _bolt_pairs(count: int) -> Iterator[tuple[int, int]]:
    """Neighbours round the circle, and those that stand opposite each other."""
    for a, b in combinations(range(count), 2):
        if b - a in (1, count - 1) or 2 * (b - a) == count:
            yield a, b


def _square_checks(plate: Panel) -> Iterator[Dimension]:
    wall, front = plate.straight_edge("wall edge"), plate.edge("right side").end
    left_front = plate.edge("left side").start
    corners = {
        "left wall corner": wall.start,
        "right wall corner": wall.end,
        "right front corner": front,
        "left front corner": left_front,
    }
    spots = {words: Spot("plate", at, words) for words, at in corners.items()}
    for a, b in (
        ("left wall corner", "right front corner"),
        ("right wall corner", "left front corner"),
    ):
        yield Dimension(start=spots[a], end=spots[b], critical=True)


def build(seat: Seat, stock: Stock, way: BendWay) -> Bracket:
    """The bracket of a seat's measurements.

    Raises BuildError with the keys that disagree.
    """
    left = side_of("left", seat, way, stock.thickness)
    right = side_of("right", seat, way, stock.thickness)
    bare = _plate_panel(seat, left, right)
    holes = _bolt_holes(seat.bolts) + _port_holes(seat)
    bends = [gusset_bend(side, bare, way) for side in (left, right)]
    plate = Panel(
        name=bare.name,
        contour=bare.contour,
        edges=bare.edges,
        holes=tuple(holes),
        marks=tuple(_marks(seat)),
        bends=tuple(bend for bend in bends if bend is not None),
    )
    return Bracket(
        stock=stock,
        root=plate,
        dimensions=tuple(_checks(plate, seat, holes)),
        wall="wall edge",
        departures=tuple(
            each for side in (left, right) for each in departures_of(side, way, stock.thickness)
        ),
        body=Body(
            centre=ORIGIN,
            plate_diameter=seat.plate_diameter,
            diameter=seat.body_diameter,
            clearance=seat.clearance,
            face="underside" if seat.body_face == "underside" else "top",
            drift=seat.drift,
        ),
    )


KIND = Kind(
    name="seat",
    summary="A plate on a wall that carries a round thing, with a gusset folded on each side.",
    measurements=Seat,
    build=build,
    shown=seat_shown,
    on_travel=lambda seat: seat.on_travel,
)
