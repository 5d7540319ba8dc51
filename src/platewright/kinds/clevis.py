"""The clevis: a pair of ears with rounded ends on a base, their pin holes in line."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from platewright import measure
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.kinds.ears import ear_panel, ear_told, end_radius, pin, pin_hole, pin_room
from platewright.kinds.folds import Fold, flat_length, fold, fold_direction, setback_to
from platewright.kinds.holes import BoltRow, bend_words, row_checks, row_holes, with_holes
from platewright.kinds.kind import Kind
from platewright.kinds.outlines import require
from platewright.kinds.shown import Shown
from platewright.kinds.shown_parts import ON, along, bend_told, panels_of, row_told
from platewright.kinds.strip import bent_on, root_panel
from platewright.plate.bend import BendWay, other_face
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.dimension import Dimension, Spot, Straight
from platewright.plate.stock import Stock


@dataclass(frozen=True, slots=True, kw_only=True)
class Clevis:
    """Measurements of a clevis."""

    jaw: float = measure.length(
        "jaw",
        "Room between the ears' inside faces.",
        minimum="1/8 in",
        maximum="48 in",
        fit_critical=True,
        example="1 1/2 in",
    )
    pin_height: float = measure.length(
        "pin height",
        "From the base's outside face to the middle of the pin.",
        minimum="1/4 in",
        maximum="48 in",
        fit_critical=True,
        example="2 in",
    )
    pin: float = pin()
    room: float = pin_room()
    end_radius: float = end_radius()
    width: float = measure.length(
        "base width",
        "Width of base and ears along the bends.",
        minimum="1/4 in",
        maximum="48 in",
        example="2 in",
    )
    direction: str = fold_direction()
    base_holes: BoltRow | None = measure.table(
        "base holes",
        "A row of holes in the middle of the base, along the bends.",
        BoltRow,
        optional=True,
    )


def build(clevis: Clevis, stock: Stock, way: BendWay) -> Bracket:
    """The bracket of a clevis's measurements. Raises BuildError with the keys that disagree."""
    bend = fold(math.pi / 2, clevis.direction)
    flat = flat_length(clevis.jaw, [bend, bend], "inside", way, stock.thickness, "jaw")
    setback = setback_to("outside", way, bend.angle, stock.thickness)
    require(clevis.pin_height > setback, "the pins stand in the bends", "pin_height")
    ear = _ear(clevis, clevis.pin_height - setback)
    bends = (
        bent_on("right end", ear, bend, way),
        bent_on("left end", ear.mirrored(), bend, way),
    )
    root = replace(_base(clevis, flat), bends=bends)
    return Bracket(stock=stock, root=root, dimensions=tuple(_checks(root, bend, setback)))


def _ear(clevis: Clevis, height: float) -> Panel:
    """The right-hand ear."""
    hole = pin_hole("pin hole in the right ear", height, clevis.pin, clevis.room)
    sides = ("base", "front side", "back side")
    return ear_panel("right ear", sides, clevis.width, clevis.end_radius, hole)


def _base(clevis: Clevis, flat: float) -> Panel:
    panel, row = root_panel("base", flat, clevis.width), clevis.base_holes
    if row is None:
        return panel
    holes = row_holes(row, [Point(0, y) for y in row.offsets], "base")
    return with_holes(panel, holes, "base_holes")


def _checks(root: Panel, bend: Fold, setback: float) -> Iterator[Dimension]:
    outside, inside = bend.outside, other_face(bend.outside)
    pins = []
    for each in root.bends:
        ear = each.panel
        hole, base = ear.holes[0], ear.straight_edge("base")
        under = Line(Point(base.start.x, -setback), Point(base.end.x, -setback))
        spot = Spot(ear.name, hole.centre, hole.what, outside)
        line = Straight(ear.name, under, bend_words("base", "outside"), outside)
        yield Dimension(start=spot, end=line, critical=True, when="folded")
        pins.append(replace(spot, face=inside))
    # folded, it is the jaw at the pins
    yield Dimension(start=pins[0], end=pins[1], critical=True)
    if root.holes:
        yield from row_checks(root, root.holes, ("front side",))


def shown(clevis: Clevis, bracket: Bracket) -> Iterator[Shown]:
    """Where the measurements show on the flat clevis."""
    ear = panels_of(bracket)["right ear"]
    yield along("jaw", bracket.root, "front side")
    yield along("width", bracket.root, "left end", ON)
    yield from ear_told(ear, "base")
    yield from bend_told("", "direction", ear)
    yield from row_told("base_holes", bracket.root, clevis.base_holes)


KIND = Kind(
    name="clevis",
    summary="A pair of ears with rounded ends on one base, for a pin through both.",
    measurements=Clevis,
    build=build,
    shown=shown,
)
