"""The seat: a plate on a wall that carries a round thing.

Seen from above: the wall edge straight at the back, two sides square to it, a front that follows
the round mounting plate or is square, and on each side a gusset that folds down or up and meets
the wall. Frame: origin at the seat's centre, +y away from the wall, the wall edge on
y = -(centre distance).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from platewright import measure
from platewright.errors import BuildError
from platewright.fit.mounting import End, OnTravel
from platewright.geometry.build import tangent_points
from platewright.geometry.contour import Circle
from platewright.geometry.plane import ORIGIN, Point, Vector
from platewright.geometry.segment import Arc, Line, Segment
from platewright.kinds.kind import Kind
from platewright.kinds.seat_shown import seat_shown
from platewright.plate.bend import BendWay, inside_setback, outside_setback
from platewright.plate.bracket import (
    Bend,
    Body,
    Bracket,
    Check,
    Hole,
    Mark,
    Panel,
    Spot,
    Straight,
)
from platewright.plate.stock import Stock
from platewright.shop.hardware import (
    BoltSize,
    PortSize,
    clearance_hole,
    parse_bolt_size,
    parse_port_size,
)

Problems = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bolts:
    """The bolts that hold the round thing's plate."""

    count: int = measure.count(
        "bolt count", "How many bolts hold the plate.", minimum=1, maximum=8, default=2
    )
    spacing: float | None = measure.length(
        "bolt spacing",
        "Two bolts: centre to centre. Three or more: the diameter of the circle they stand on.",
        minimum="1/4 in",
        maximum="48 in",
        optional=True,
        fit_critical=True,
        example="2 3/4 in",
    )
    size: BoltSize = measure.custom(
        "bolt size",
        "The bolt, not its hole; a drilled hole's diameter serves too.",
        read=parse_bolt_size,
        allowed='an inch bolt such as 3/8, a metric bolt such as M10, or "hole 0.4 in"',
        default="3/8",
    )
    fit: str = measure.choice(
        "bolt fit",
        "How much room the hole gives the bolt (ASME B18.2.8, ISO 273).",
        ("close", "normal", "loose"),
        default="normal",
    )
    turn: float = measure.angle(
        "turn of the bolt line",
        "Angle between the wall and the line through the centre and the first bolt, "
        "anticlockwise seen on the top face.",
        minimum_deg=-180,
        maximum_deg=180,
        default_deg=0,
    )

    def problems(self) -> Problems:
        """Bolts that need a spacing and have none."""
        if self.count > 1 and self.spacing is None:
            return (("spacing", f"{self.count} bolts need a spacing; only a single bolt has none"),)
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Port:
    """The air or fluid port beside the bolts."""

    offset: float = measure.length(
        "port offset",
        "From the bolt line to the middle of the port, square to the line.",
        minimum="0",
        maximum="24 in",
        fit_critical=True,
        example="1 1/4 in",
    )
    shift: float = measure.length(
        "port shift",
        "From the seat's centre to the port, along the bolt line, towards the first bolt.",
        minimum="-24 in",
        maximum="24 in",
        default="0",
        negative=True,
    )
    size: PortSize = measure.custom(
        "port size",
        "The fitting's thread; a hole diameter serves too.",
        read=parse_port_size,
        allowed='a pipe thread such as 1/4 NPT or G 1/4, or "hole 3/4 in"',
        default="1/4 NPT",
    )
    side: str = measure.choice(
        "port side",
        "Which side of the bolt line the port lies on; undecided marks both places and cuts none.",
        ("towards the wall", "away from the wall", "undecided"),
        default="undecided",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Gusset:
    """A gusset folded from one side of the seat."""

    reach: float = measure.length(
        "gusset reach",
        "How far the gusset reaches along the side, from the wall edge forwards.",
        minimum="1/2 in",
        maximum="60 in",
        example="6 in",
    )
    taper: float = measure.angle(
        "gusset taper",
        "Slope of the gusset's long edge against the side it is folded from.",
        minimum_deg=5,
        maximum_deg=85,
        default_deg=45,
    )
    fold: float = measure.angle(
        "fold angle",
        "How far the gusset is folded from flat.",
        minimum_deg=5,
        maximum_deg=135,
        default_deg=90,
    )
    direction: str = measure.choice(
        "fold direction",
        "Up is towards you with the top face up.",
        ("down", "up"),
        default="down",
    )
    depth: float | None = measure.length(
        "greatest gusset depth",
        "From the seat's outside face to the gusset's far edge at the wall, along the gusset; "
        "left out, the taper alone decides.",
        minimum="1/2 in",
        maximum="48 in",
        optional=True,
        example="3 1/2 in",
    )
    nose: float = measure.length(
        "nose width",
        "Depth of the gusset's blunt front end, from the seat's outside face.",
        minimum="0",
        maximum="12 in",
        default="1/2 in",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Front:
    """The front edge."""

    shape: str = measure.choice(
        "front shape",
        "Round follows the mounting plate's circle; square is straight, parallel to the wall.",
        ("round", "square"),
        default="round",
    )
    length: float | None = measure.length(
        "front length",
        "Square front only: from the wall edge to the front edge.",
        minimum="1/2 in",
        maximum="72 in",
        optional=True,
        example="7 in",
    )

    def problems(self) -> Problems:
        """A length that is missing or has no use."""
        if self.shape == "square" and self.length is None:
            return (("length", "a square front needs its length from the wall edge"),)
        if self.shape == "round" and self.length is not None:
            return (("length", "a round front follows the plate circle: leave the length out"),)
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """Measurements of a seat."""

    plate_diameter: float = measure.length(
        "plate diameter",
        "Diameter of the round mounting plate.",
        minimum="1/2 in",
        maximum="48 in",
        example="5 in",
    )
    body_diameter: float = measure.length(
        "body diameter",
        "Fullest diameter of whatever sits there, its plate included; for an air spring at full "
        "pressure.",
        minimum="1/2 in",
        maximum="48 in",
        example="6 1/2 in",
    )
    clearance: float = measure.length(
        "clearance",
        "Room to leave between the fullest body and the inside of a gusset.",
        minimum="0",
        maximum="12 in",
        default="1/2 in",
        fit_critical=True,
    )
    wall_gap: float | None = measure.length(
        "wall gap",
        "From the wall to the near edge of the body. Give this or the centre distance.",
        minimum="0",
        maximum="48 in",
        optional=True,
        fit_critical=True,
        example="1 in",
    )
    centre_distance: float | None = measure.length(
        "centre distance",
        "From the wall to the seat's centre. Give this or the wall gap.",
        minimum="1/4 in",
        maximum="72 in",
        optional=True,
        fit_critical=True,
        example="4 1/4 in",
    )
    plain_side: float | None = measure.length(
        "plain side",
        "From the seat's centre to a side without a gusset; left out, half the plate diameter.",
        minimum="1/4 in",
        maximum="48 in",
        optional=True,
        example="2 1/2 in",
    )
    body_face: str = measure.choice(
        "body face",
        "The face of the plate that the body sits on.",
        ("top", "underside"),
        default="top",
    )
    drift: float | None = measure.length(
        "body drift",
        "How far the body may move sideways through its travel, if known.",
        minimum="0",
        maximum="12 in",
        optional=True,
        example="1/4 in",
    )
    travel: str | None = measure.text(
        "setup file",
        "The setup file of the suspension that this seat belongs to, beside this file; it tells "
        "where the seat sits and how the body moves.",
        optional=True,
        example="rear-axle-travel.toml",
    )
    mount: str | None = measure.choice(
        "mount",
        "With a setup file: whether this seat is the spring's upper mount, on the frame, or its "
        "lower one, on what moves.",
        ("upper", "lower"),
        optional=True,
    )
    wall_runs: str = measure.choice(
        "wall runs",
        "With a setup file: whether the wall runs along the vehicle, like a rail, or across it, "
        "like an axle.",
        ("along", "across"),
        default="along",
    )
    bolts: Bolts = measure.table("bolts", "The bolts that hold the plate.", Bolts)
    port: Port | None = measure.table("port", "The port beside the bolts.", Port, optional=True)
    left: Gusset | None = measure.table(
        "left gusset",
        "The gusset on the left, top face up and the wall edge nearest to you.",
        Gusset,
        optional=True,
    )
    right: Gusset | None = measure.table(
        "right gusset",
        "The gusset on the right, top face up and the wall edge nearest to you.",
        Gusset,
        optional=True,
    )
    front: Front = measure.table("front", "The front edge.", Front)

    def problems(self) -> Problems:
        """Keys that contradict each other."""
        return tuple(_seat_problems(self))

    @property
    def on_travel(self) -> OnTravel | None:
        """The suspension that the seat says it belongs to."""
        if self.travel is None or self.mount is None:
            return None
        end: End = "upper" if self.mount == "upper" else "lower"
        return OnTravel(setup=self.travel, end=end, along_wall=self.wall_runs == "along")

    @property
    def centre_to_wall(self) -> float:
        """From the seat's centre to the wall, mm, whichever way it was measured."""
        if self.centre_distance is not None:
            return self.centre_distance
        return (self.wall_gap or 0.0) + self.body_diameter / 2

    @property
    def inside_half_width(self) -> float:
        """From the seat's centre to the nearest place of a gusset's inside face, mm."""
        return self.body_diameter / 2 + self.clearance


def _seat_problems(seat: Seat) -> Iterator[tuple[str, str]]:
    if (seat.wall_gap is None) == (seat.centre_distance is None):
        both = "both were given" if seat.wall_gap is not None else "neither was given"
        yield "wall_gap", f"give either wall_gap or centre_distance; {both}"
    if seat.body_diameter < seat.plate_diameter:
        yield (
            "body_diameter",
            "the fullest diameter includes the mounting plate, so it cannot be less than "
            "plate_diameter",
        )
    if seat.centre_distance is not None and seat.centre_distance < seat.body_diameter / 2:
        yield (
            "centre_distance",
            "less than half the body diameter: the body would stand in the wall",
        )
    if seat.plain_side is not None and seat.plain_side < seat.plate_diameter / 2:
        yield "plain_side", "less than half the plate diameter: the plate would overhang the side"
    if seat.travel is not None and seat.mount is None:
        yield "mount", 'say which mount of the spring this seat is: "upper" or "lower"'
    if seat.travel is None and seat.mount is not None:
        yield "mount", "has no use without travel, the setup file of the suspension"


# --- the sides --------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class _Side:
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


def _side(name: str, seat: Seat, way: BendWay, thickness: float) -> _Side:
    gusset = seat.left if name == "left" else seat.right
    if gusset is None:
        out = seat.plain_side if seat.plain_side is not None else seat.plate_diameter / 2
        return _Side(name=name, out=out, front=0.0, gusset=None)
    try:
        out = tangent_line_distance(seat, gusset, way, thickness)
        leg = flat_leg(gusset, way, thickness)
        nose = min(leg, flat_nose(gusset, way, thickness))
    except BuildError as error:
        raise BuildError(error.message, *(f"{name}.{key}" for key in error.keys)) from None
    front = gusset.reach - seat.centre_to_wall
    return _Side(name=name, out=out, front=front, gusset=gusset, leg=leg, nose=nose)


# --- the plate --------------------------------------------------------------------------------


def _front_corners(seat: Seat, left: _Side, right: _Side) -> tuple[Point, Point]:
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


def _plate_panel(seat: Seat, left: _Side, right: _Side) -> Panel:
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


def _gusset_panel(side: _Side, gusset: Gusset) -> Panel:
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


def _gusset_bend(side: _Side, plate: Panel, way: BendWay) -> Bend | None:
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
    marks = [
        Mark(Circle(ORIGIN, seat.plate_diameter), "phantom", "mounting plate"),
        Mark(Circle(ORIGIN, seat.body_diameter), "phantom", "body at its fullest"),
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


def _checks(plate: Panel, seat: Seat, holes: list[Hole]) -> Iterator[Check]:
    wall = Straight("plate", plate.straight_edge("wall edge"), "wall edge")
    spots = [Spot("plate", hole.centre, hole.what) for hole in holes]
    for spot in spots:
        yield Check(start=spot, end=wall, critical=True)
    bolts = [s for s, hole in zip(spots, holes, strict=True) if hole.role == "bolt"]
    for a, b in _bolt_pairs(len(bolts)):
        yield Check(start=bolts[a], end=bolts[b], critical=True)
    if seat.bolts.count > 1:
        along = Vector.polar(seat.bolts.turn)
        line = Straight("plate", Line(ORIGIN, ORIGIN + along), "bolt line")
        for spot, hole in zip(spots, holes, strict=True):
            if hole.role == "port":
                yield Check(start=spot, end=line, critical=True)
    yield from _square_checks(plate)


def _bolt_pairs(count: int) -> Iterator[tuple[int, int]]:
    """Neighbours round the circle, and those that stand opposite each other."""
    for a, b in combinations(range(count), 2):
        if b - a in (1, count - 1) or 2 * (b - a) == count:
            yield a, b


def _square_checks(plate: Panel) -> Iterator[Check]:
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
        yield Check(start=spots[a], end=spots[b], critical=True)


def build(seat: Seat, stock: Stock, way: BendWay) -> Bracket:
    """The bracket of a seat's measurements.

    Raises BuildError with the keys that disagree.
    """
    left = _side("left", seat, way, stock.thickness)
    right = _side("right", seat, way, stock.thickness)
    bare = _plate_panel(seat, left, right)
    holes = _bolt_holes(seat.bolts) + _port_holes(seat)
    bends = [_gusset_bend(side, bare, way) for side in (left, right)]
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
        checks=tuple(_checks(plate, seat, holes)),
        wall="wall edge",
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
