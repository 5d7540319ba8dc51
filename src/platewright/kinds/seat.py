"""The seat: a plate on a wall that carries a round thing.

Seen from above: the wall edge straight at the back, two sides square to it, a front that follows
the round mounting plate or is square, and on each side a gusset that folds down or up and meets
the wall. Frame: origin at the seat's centre, +y away from the wall, the wall edge on
y = -(centre distance).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

from platewright.errors import BuildError
from platewright.geometry.build import tangent_points
from platewright.geometry.contour import Circle
from platewright.geometry.plane import ORIGIN, Point, Vector
from platewright.geometry.segment import Arc, Line, Segment
from platewright.kinds.holes import bolt_holes
from platewright.kinds.kind import Kind
from platewright.kinds.outlines import cornered_panel, require
from platewright.kinds.places import bend_listed, centre, derived, edge, length, spot, tag
from platewright.kinds.seat_measurements import Bolts, Port, Seat, SideGusset
from platewright.plate.bend import BendWay, setback
from platewright.plate.bracket import Bend, Body, Bracket, Hole, Mark, Panel
from platewright.plate.dimension import Dimension, Straight, Tag
from platewright.plate.flatten import Drawn
from platewright.plate.stock import Stock
from platewright.units import both_units

SIDES = ("left", "right")


def draw(seat: Seat, stock: Stock, way: BendWay) -> Drawn:
    """The seat's plate, and its gussets to their inside faces: where given, or clear of the body.

    Raises BuildError with the keys that disagree.
    """
    plate = _plate(seat)
    bends = [
        _gusset_bend(side, gusset, plate, stock, way)
        for side, gusset in (("left", seat.left), ("right", seat.right))
        if gusset is not None
    ]
    bolts = seat.bolts
    held_by = bolt_holes("bolt hole", bolt_points(bolts), bolts.size, bolts.fit)
    holes = (*held_by, *_port_holes(seat))
    root = replace(plate, holes=holes, marks=tuple(_marks(seat)), bends=tuple(bends))
    keys = {(f"{side} gusset", ""): (f"{side}.depth",) for side in SIDES}
    keys |= {("plate", f"{side} side"): (f"{side}.from_centre",) for side in SIDES}
    return Drawn(
        root=root,
        wall="wall edge",
        body=Body(
            centre=ORIGIN,
            plate_diameter=seat.plate_diameter,
            diameter=seat.body_diameter,
            clearance=seat.clearance,
            face="underside" if seat.body_face == "underside" else "top",
            drift=seat.drift,
        ),
        shaped=lambda flat: _with_round_front(flat, seat),
        keys=keys,
    )


def _plate(seat: Seat) -> Panel:
    """The plate as drawn, its front level at each side's end until the bends have had theirs."""
    wall, square = -seat.centre_to_wall, seat.front.length
    (left, left_front), (right, right_front) = (_side(seat, name) for name in SIDES)
    if square is not None:
        for name, end in (("left", left_front), ("right", right_front)):
            words = "gusset reaches past the square front: shorten it or make the front longer"
            past = getattr(seat, name) is not None and end > wall + square + 1e-9
            require(not past, f"the {name} {words}", f"{name}.reach", "front.length")
        left_front = right_front = wall + square
    level = left_front == right_front
    corners = [
        ("wall edge", Point(-left, wall)),
        ("right side", Point(right, wall)),
        ("front" if level else "", Point(right, right_front)),
        *([] if level else [("", Point(0, right_front)), ("", Point(0, left_front))]),
        ("left side", Point(-left, left_front)),
    ]
    return cornered_panel("plate", corners)


def _side(seat: Seat, name: str) -> tuple[float, float]:
    """How far out a side stands from the centre, and where its front end is."""
    gusset: SideGusset | None = getattr(seat, name)
    if gusset is not None:
        return seat.inside_of(gusset), gusset.reach - seat.centre_to_wall
    return seat.plain_side or seat.plate_diameter / 2, 0.0


def _gusset_bend(side: str, gusset: SideGusset, plate: Panel, stock: Stock, way: BendWay) -> Bend:
    """A gusset, its base along x from its front end to the wall, measured from the outside."""
    # a nose comes out no narrower than the bend itself
    nose = max(gusset.nose, setback(way, gusset.fold, stock.thickness, "outside"))
    slant, reach = math.tan(gusset.taper), gusset.reach
    leg = nose + reach * slant
    if gusset.depth is not None:
        leg = min(leg, gusset.depth)
    nose = min(nose, leg)
    panel = cornered_panel(
        "right gusset",
        [
            ("base", Point(0, 0)),
            ("wall end", Point(reach, 0)),
            ("far edge", Point(reach, leg)),
            ("slope", Point(min((leg - nose) / slant, reach), leg)),
            ("nose", Point(0, nose)),
        ],
    )
    beyond = plate.straight_edge(f"{side} side").length - reach
    free = beyond if beyond > 1e-9 else None
    return Bend(
        edge=f"{side} side",
        panel=panel if side == "right" else panel.mirrored(),
        angle=gusset.fold,
        direction="up" if gusset.direction == "up" else "down",
        way=way,
        start=free if side == "left" else None,
        end=reach if side == "right" and free else None,
        to="clear" if gusset.from_centre is None else "inside",
        base_to="outside",
    )


# --- the front --------------------------------------------------------------------------------


def _with_round_front(plate: Panel, seat: Seat) -> Panel:
    """The flat plate with a front that follows the mounting plate between its sides."""
    if seat.front.shape == "square":
        return plate
    names = ("wall edge", "right side", "left side")
    wall, right, left = (plate.straight_edge(name) for name in names)
    front = _front_edges(seat, right.end, left.start)
    return plate.redrawn([(names[0], wall), (names[1], right), *front, (names[2], left)])


def _front_edges(seat: Seat, right: Point, left: Point) -> list[tuple[str, Segment]]:
    """The front from the right side's end to the left side's end."""
    circle = Circle(ORIGIN, seat.plate_diameter)
    first = _tangent_point(circle, right, "right", ahead=True)
    last = _tangent_point(circle, left, "left", ahead=False)
    sweep = ((last - ORIGIN).angle - (first - ORIGIN).angle) % math.tau
    if first == last or not 1e-9 < sweep < math.pi + 1.0:
        # both sides stand forward of the plate circle: the straight front already holds it
        return [("front", Line(right, left))]
    edges: list[tuple[str, Segment]] = [("front", Arc(first, last, sweep))]
    if first != right:
        edges.insert(0, ("front right", Line(right, first)))
    if last != left:
        edges.append(("front left", Line(last, left)))
    return edges


def _tangent_point(circle: Circle, end: Point, side: str, *, ahead: bool) -> Point:
    """Where the tangent from a side's front end touches the plate circle on the front side.

    Raises BuildError when the end lies inside the circle.
    """
    distance = end.distance(circle.centre)
    if distance < circle.radius - 1e-9:
        forward = math.sqrt(circle.radius**2 - end.x**2) - end.y
        raise BuildError(
            f"the {side} side ends inside the plate circle, which would overhang it: the gusset "
            f"needs {both_units(forward)} more reach, or stands further out",
            "plate_diameter",
            f"{side}.reach",
            f"{side}.from_centre",
        )
    if distance <= circle.radius + 1e-9:
        return end
    behind_point, ahead_point = tangent_points(end, circle)
    return ahead_point if ahead else behind_point


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


def _port_holes(seat: Seat) -> Iterator[Hole]:
    """The port, or both its places to choose from."""
    port = seat.port
    if port is None:
        return
    along = Vector.polar(seat.bolts.turn)
    for side, sign in (("towards the wall", -1), ("away from the wall", 1)):
        if port.side not in (side, "undecided"):
            continue
        cut = port.side == side
        yield Hole(
            what="port hole" if cut else f"port pilot {side}",
            centre=ORIGIN + along * port.shift + along.left * (sign * port.offset),
            diameter=port.size.hole,
            size=port.size.words,
            cut=cut,
            role="port",
            fastener=port.size.diameter,
        )


def _marks(seat: Seat) -> Iterator[Mark]:
    half = seat.plate_diameter / 2
    along = Vector.polar(seat.bolts.turn) * half
    where = ", underneath" if seat.body_face == "underside" else ""
    yield Mark(Circle(ORIGIN, seat.plate_diameter), "phantom", f"mounting plate{where}")
    yield Mark(Circle(ORIGIN, seat.body_diameter), "phantom", f"body at its fullest{where}")
    yield Mark(Line(Point(0, -seat.centre_to_wall), Point(0, half)), "centre")
    yield Mark(Line(ORIGIN + -along, ORIGIN + along), "centre", "bolt line")
    if seat.clearance > 0:
        full = seat.body_diameter + 2 * seat.clearance
        yield Mark(Circle(ORIGIN, full), "clearance", "clearance")
    if seat.bolts.count > 2 and seat.bolts.spacing:
        yield Mark(Circle(ORIGIN, seat.bolts.spacing), "centre", "bolt circle")


# --- dimensions -------------------------------------------------------------------------------


def dimensions(seat: Seat, bracket: Bracket) -> Iterator[Dimension | Tag]:
    """What is measured on a seat."""
    plate = bracket.root
    wall = edge(plate, "wall edge")
    for hole in plate.holes:
        yield derived(centre(plate, hole), wall, critical=True)
    yield from _bolts(seat.bolts, plate)
    if seat.port is not None:
        yield from _port(seat.port, seat.bolts, plate)
    yield from _round_things(seat, plate)
    for side in SIDES:
        gusset: SideGusset | None = getattr(seat, side)
        if gusset is not None:
            yield from _gusset(side, gusset, bracket)
        elif seat.plain_side is not None:
            seen = spot(plate, ORIGIN, "seat's centre")
            yield length("plain_side", seat.plain_side, seen, edge(plate, f"{side} side"))
    front = plate.edge("front")
    yield tag("front.shape", plate, "front")
    if seat.front.length is not None:
        at = spot(plate, front.point_at(0.5), "middle of the front")
        yield length("front.length", seat.front.length, at, wall)
    # equal diagonals: the plate is square
    left, right = plate.straight_edge("left side"), plate.straight_edge("right side")
    for one, other, words in (
        (wall.line.start, right.end, ("left wall corner", "right front corner")),
        (wall.line.end, left.start, ("right wall corner", "left front corner")),
    ):
        yield derived(spot(plate, one, words[0]), spot(plate, other, words[1]), critical=True)


def _bolts(bolts: Bolts, plate: Panel) -> Iterator[Dimension | Tag]:
    holes = [hole for hole in plate.holes if hole.role == "bolt"]
    yield Tag(key="bolts.size", panel="plate", at=holes[0].centre)
    yield Tag(key="bolts.count", panel="plate", at=holes[-1].centre)
    spots = [centre(plate, hole) for hole in holes]
    for a, b in combinations(range(len(spots)), 2):
        across = 2 * (b - a) == len(spots)
        if across or b - a in (1, len(spots) - 1):
            key, asked = ("bolts.spacing", bolts.spacing) if across else ("", None)
            yield length(key, asked, spots[a], spots[b], critical=True)
    if len(spots) > 1 and len(spots) % 2:
        # of an odd number none stand opposite each other
        yield Tag(key="bolts.spacing", panel="plate", at=holes[1].centre)
    if bolts.count > 1 and bolts.turn:
        yield Dimension(
            start=edge(plate, "wall edge"),
            end=_bolt_line(bolts),
            key="bolts.turn",
            asked=abs(bolts.turn),
            quantity="angle",
        )


def _bolt_line(bolts: Bolts, turn: float = 0.0) -> Straight:
    """The line through the centre and the first bolt, or turned from it."""
    words = "line across the bolt line" if turn else "bolt line"
    return Straight("plate", Line(ORIGIN, ORIGIN + Vector.polar(bolts.turn + turn)), words)


def _port(port: Port, bolts: Bolts, plate: Panel) -> Iterator[Dimension | Tag]:
    ports = [hole for hole in plate.holes if hole.role == "port"]
    bolt = next(hole for hole in plate.holes if hole.role == "bolt")
    yield Tag(key="port.size", panel="plate", at=ports[-1].centre)
    yield Tag(key="port.side", panel="plate", at=ports[0].centre)
    for hole in ports:
        at = centre(plate, hole)
        if bolts.count > 1 and port.offset:
            yield length("port.offset", port.offset, at, _bolt_line(bolts), critical=True)
        if bolts.count > 1 and port.shift:
            # no tape finds the line across: it shows on the form, the bolt below is measured
            line = replace(_bolt_line(bolts, math.pi / 2), when="flat")
            yield length("port.shift", abs(port.shift), at, line)
        yield derived(at, centre(plate, bolt), critical=True)


def _round_things(seat: Seat, plate: Panel) -> Iterator[Dimension | Tag]:
    """The body and its plate, which are marked, and the room beside them."""
    body, wall = seat.body_diameter / 2, edge(plate, "wall edge")
    for key, words, way, radius in (
        ("plate_diameter", "mounting plate's circle", 150, seat.plate_diameter / 2),
        ("body_diameter", "body's circle", 60, body),
    ):
        out = Vector.polar(math.radians(way), radius)
        near, far = (
            # on the body, not on the metal: no tape finds it here
            spot(plate, ORIGIN + each, f"{words}, {side} side", "middle")
            for each, side in ((out, "one"), (-out, "other"))
        )
        yield length(key, 2 * radius, near, far)
    if seat.wall_gap is not None:
        near = spot(plate, Point(0, -body), "near side of the body's circle")
        yield length("wall_gap", seat.wall_gap, near, wall, critical=True)
    if seat.centre_distance is not None:
        at = spot(plate, ORIGIN, "seat's centre")
        yield length("centre_distance", seat.centre_distance, at, wall, critical=True)
    for side, sign in (("left", -1), ("right", 1)):
        gusset: SideGusset | None = getattr(seat, side)
        if gusset is None:
            continue
        inside = edge(plate, f"{side} side")
        if gusset.from_centre is not None:
            at = spot(plate, ORIGIN, "seat's centre")
            yield length(f"{side}.from_centre", gusset.from_centre, at, inside, critical=True)
        elif seat.clearance > 0:
            rim = Point(sign * body, 0)
            near = spot(plate, rim, f"{side} of the body's circle")
            yield length("clearance", seat.clearance, near, inside, critical=True)
            if not plate.contour.contains(rim):
                # the body overhangs there: its middle is on the metal
                yield derived(spot(plate, ORIGIN, "seat's centre"), inside, critical=True)
    if seat.clearance > 0:
        # the room beside the body, also where no gusset stands by it
        beside = Vector.polar(math.radians(-20), (seat.body_diameter + seat.clearance) / 2)
        yield Tag(key="clearance", panel=plate.name, at=ORIGIN + beside)


def _gusset(side: str, gusset: SideGusset, bracket: Bracket) -> Iterator[Dimension | Tag]:
    panel = bracket.panel(f"{side} gusset")
    base, wall_end = edge(panel, "base"), panel.straight_edge("wall end")
    names = dict(panel.edges)
    # mirrored, an edge runs the other way: the far end is the one away from the base
    far = max((wall_end.start, wall_end.end), key=lambda p: abs(p.y - base.line.start.y))
    front = panel.edge("nose" if "nose" in names else "slope")
    tip = min((front.start, front.end), key=lambda p: -p.distance(far))
    at = spot(panel, tip, f"front end of the {panel.name}")
    yield length(f"{side}.reach", gusset.reach, at, edge(panel, "wall end"))
    if gusset.depth is not None:
        at = spot(panel, far, f"far corner of the {panel.name} at the wall")
        yield length(f"{side}.depth", gusset.depth, at, base)
    if "slope" in names:
        slope = panel.straight_edge("slope")
        low, high = sorted((slope.start, slope.end), key=lambda p: abs(p.y - base.line.start.y))
        at = spot(panel, low, f"foot of the {panel.name}'s slope")
        yield length(f"{side}.nose", gusset.nose, at, base)
        along = panel.straight_edge("base")
        along = along if along.direction.dot(high - low) > 0 else along.reversed()
        yield Dimension(
            start=Straight(panel.name, along, "bend line"),
            end=Straight(panel.name, Line(low, high), "slope"),
            key=f"{side}.taper",
            asked=gusset.taper,
            quantity="angle",
        )
    name = panel.name
    yield from bend_listed(f"{side}.fold", gusset.fold, f"{side}.direction", bracket, name)


SUMMARY = "A plate on a wall that carries a round thing, with a gusset folded on each side."
KIND = Kind("seat", SUMMARY, Seat, draw, dimensions, on_travel=lambda seat: seat.on_travel)
