"""The clevis: a pair of ears with rounded ends on a base, their pin holes in line."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from platewright import measure
from platewright.geometry.plane import Point
from platewright.kinds.ears import (
    ear_listed,
    ear_panel,
    end_radius,
    pin,
    pin_hole,
    pin_room,
    rounded_ear,
)
from platewright.kinds.folds import Fold, bent_on, fold, fold_direction
from platewright.kinds.holes import BoltRow, row_listed, with_row
from platewright.kinds.kind import Kind
from platewright.kinds.outlines import rectangular_panel
from platewright.kinds.places import across, centre, derived, edge, inside_of, length, middle, tag
from platewright.plate.bend import BendWay
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.dimension import Dimension, Tag
from platewright.plate.flatten import Drawn
from platewright.plate.stock import Stock
from platewright.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Clevis:
    """Measurements of a clevis."""

    jaw: float = measure.length(
        "Room between the ears' inside faces.",
        "1/8 in to 48 in", fit_critical=True, example="1 1/2 in",
    )  # fmt: skip
    pin_height: float = measure.length(
        "From the base's outside face to the middle of the pin.",
        "1/4 in to 48 in", fit_critical=True, example="2 in",
    )  # fmt: skip
    pin: float = pin()
    room: float = pin_room()
    end_radius: float = end_radius()
    width: float = measure.length(
        "Width of base and ears along the bends.",
        "1/4 in to 48 in", label="base width", example="2 in",
    )  # fmt: skip
    direction: str = fold_direction()
    base_holes: BoltRow | None = measure.table(
        "A row of holes in the middle of the base, along the bends.", BoltRow, optional=True
    )


def draw(clevis: Clevis, _stock: Stock, way: BendWay) -> Drawn:
    """The base between the ears' inside faces, and the ears from the base's outside face."""
    x, y = clevis.jaw / 2, clevis.width / 2
    sides = ("front side", "right end", "back side", "left end")
    base = rectangular_panel("base", sides, Point(-x, -y), Point(x, y))
    row = clevis.base_holes
    base = with_row(base, row, [Point(0, at) for at in row.offsets] if row else [])
    hole = pin_hole("pin hole in the right ear", clevis.pin_height, clevis.pin, clevis.room)
    edges = ("base", "front side", "back side")
    ear = ear_panel("right ear", edges, clevis.width, clevis.end_radius, hole)
    square = Fold(math.pi / 2, fold(0, clevis.direction).direction, "inside")
    bends = (
        replace(bent_on(f"{hand} end", panel, square, way), base_to="outside")
        for hand, panel in (("right", ear), ("left", ear.mirrored()))
    )

    def shaped(flat: Panel) -> Panel:
        ears = [rounded_ear(bend.panel, "base", clevis.end_radius) for bend in flat.bends]
        bends = (replace(b, panel=ear) for b, ear in zip(flat.bends, ears, strict=True))
        return replace(flat, bends=tuple(bends))

    keys = {(f"{hand} ear", ""): ("pin_height",) for hand in ("left", "right")}
    return Drawn(
        root=replace(base, bends=tuple(bends)),
        shaped=shaped,
        keys={**keys, ("base", ""): ("jaw",), ("base", "holes"): ("base_holes",)},
    )


def dimensions(clevis: Clevis, bracket: Bracket) -> Iterator[Dimension | Tag]:
    """What is measured on a clevis."""
    base = bracket.root
    ears = [bracket.panel(f"{hand} ear") for hand in ("right", "left")]
    for ear in ears:
        yield from ear_listed(ear, "base", clevis.pin_height, clevis.end_radius)
    inside = inside_of(bracket, "right ear")
    # folded, it is the jaw at the pins
    pins = [centre(ear, ear.holes[0], inside) for ear in ears]
    yield length("jaw", clevis.jaw, *pins, critical=True)
    yield from across(bracket, "jaw", clevis.jaw, base, ("left end", "right end"))
    yield length("width", clevis.width, middle(edge(base, "front side")), edge(base, "back side"))
    yield tag("direction", ears[0], "base", 0.25)
    yield from row_listed("base_holes", base, clevis.base_holes, "", ("front side",))
    if base.holes:
        yield derived(centre(base, base.holes[0]), edge(base, "left end"))


SUMMARY = "A pair of ears with rounded ends on one base, for a pin through both."
KIND = Kind("clevis", SUMMARY, Clevis, draw, dimensions)
