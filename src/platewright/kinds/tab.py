"""The tab: one ear with a rounded end and a pin hole, welded on edge or bolted by a foot."""

from __future__ import annotations

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
from platewright.kinds.folds import bent_on, fold, fold_angle, fold_direction
from platewright.kinds.holes import HoleRow, row_listed, with_row
from platewright.kinds.kind import Kind
from platewright.kinds.outlines import rectangular_panel
from platewright.kinds.places import bend_listed, centre, derived, edge, length, middle, spot
from platewright.plate.bend import BendWay
from platewright.plate.bracket import Bracket
from platewright.plate.dimension import Dimension, Tag
from platewright.plate.flatten import Drawn
from platewright.plate.stock import Stock
from platewright.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Foot:
    """A foot folded from the tab's base, to bolt it down."""

    length: float = measure.length(
        "From the ear's outside face to the end of the foot.",
        "1/4 in to 24 in", label="foot length", example="2 in",
    )  # fmt: skip
    angle: float = fold_angle()
    direction: str = fold_direction()
    holes: HoleRow | None = measure.table(
        "A row of holes along the foot's bend; the gauge is from the ear's outside face.",
        HoleRow, label="foot holes", optional=True,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Tab:
    """Measurements of a tab."""

    pin_height: float = measure.length(
        "From the wall, or from the outside face of the foot, to the middle of the pin.",
        "1/4 in to 48 in", fit_critical=True, example="2 in",
    )  # fmt: skip
    pin: float = pin()
    room: float = pin_room()
    end_radius: float = end_radius()
    width: float = measure.length(
        "Width of the ear where it stands on the wall or on its foot.",
        "1/4 in to 48 in", label="base width", example="2 in",
    )  # fmt: skip
    foot: Foot | None = measure.table(
        "A foot to bolt the tab down; without it the tab is welded.", Foot, optional=True
    )


def draw(tab: Tab, _stock: Stock, way: BendWay) -> Drawn:
    """The tab's ear, and its foot to the outside."""
    base = "wall edge" if tab.foot is None else "bottom"
    hole = pin_hole("pin hole", tab.pin_height, tab.pin, tab.room)
    ear = ear_panel("ear", (base, "right side", "left side"), tab.width, tab.end_radius, hole)
    if tab.foot is not None:
        foot, half = tab.foot, tab.width / 2
        sides = ("base", "left side", "end", "right side")
        panel = rectangular_panel("foot", sides, Point(half, 0), Point(-half, -foot.length))
        if foot.holes is not None:
            gauge = foot.holes.gauge_on(foot.length)
            panel = with_row(panel, foot.holes, [Point(x, -gauge) for x in foot.holes.offsets])
        bend = bent_on("bottom", panel, fold(foot.angle, foot.direction), way)
        ear = replace(ear, bends=(bend,))
    return Drawn(
        root=ear,
        wall="wall edge" if tab.foot is None else None,
        shaped=lambda flat: rounded_ear(flat, base, tab.end_radius),
        keys={
            ("ear", ""): ("pin_height",),
            ("ear", "holes"): ("pin_height",),
            ("foot", ""): ("foot.length",),
            ("foot", "holes"): ("foot.holes",),
        },
    )


def dimensions(tab: Tab, bracket: Bracket) -> Iterator[Dimension | Tag]:
    """What is measured on a tab."""
    ear, foot = bracket.root, tab.foot
    base = "wall edge" if foot is None else "bottom"
    pin = centre(ear, ear.holes[0])
    yield from ear_listed(ear, base, tab.pin_height, tab.end_radius)
    line = ear.straight_edge(base)
    corners = [
        spot(ear, at, f"{hand} {'wall corner' if foot is None else 'end of the bend'}")
        for hand, at in (("left", line.start), ("right", line.end))
    ]
    yield length("width", tab.width, *corners)
    if foot is None:
        yield from (derived(pin, corner) for corner in corners)
        return
    panel = bracket.panel("foot")
    end = middle(edge(panel, "end", "end of the foot"), "middle of the foot's end")
    yield length("foot.length", foot.length, end, edge(panel, "base"), critical=bool(foot.holes))
    yield from bend_listed("foot.angle", foot.angle, "foot.direction", bracket, "foot")
    yield from row_listed("foot.holes", panel, foot.holes, "base", ("left side", "right side"))
    yield derived(pin, end)


SUMMARY = "One ear with a rounded end and a pin hole, welded on edge or bolted by a foot."
KIND = Kind("tab", SUMMARY, Tab, draw, dimensions)
