"""The ear: a tab with a pin hole in its rounded end, as tabs and clevises carry it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from platewright import measure
from platewright.geometry.build import tangent_points
from platewright.geometry.contour import Circle
from platewright.geometry.plane import ORIGIN, Point, Vector
from platewright.geometry.segment import Arc, Line, Segment
from platewright.kinds.outlines import require
from platewright.kinds.shown import Pointer, Shown
from platewright.kinds.shown_parts import between
from platewright.plate.bracket import Hole, Mark, Panel


def pin() -> Any:
    """The declaration of a pin's diameter."""
    return measure.length(
        "pin diameter",
        "Diameter of the pin or bolt that goes through the ear.",
        minimum="1/16 in",
        maximum="6 in",
        fit_critical=True,
        example="1/2 in",
    )


def pin_room() -> Any:
    """The declaration of a pin hole's room."""
    return measure.length(
        "pin room",
        "How much wider the hole is than the pin.",
        minimum="0",
        maximum="1/4 in",
        default="1/64 in",
        default_mm="0.4 mm",
    )


def end_radius() -> Any:
    """The declaration of an ear's round end."""
    return measure.length(
        "end radius",
        "Radius of the ear's round end about the pin.",
        minimum="1/8 in",
        maximum="12 in",
        example="1 in",
    )


def ear_panel(
    name: str, edges: tuple[str, str, str], width: float, radius: float, hole: Hole
) -> Panel:
    """An ear with its base along x, its pin hole above the middle, sides tangent to the round end.

    `edges` name the base and the sides at +x and at -x. Raises BuildError with the keys that
    disagree.
    """
    pin_at, right = hole.centre, Point(width / 2, 0)
    require(hole.diameter / 2 < radius, "the pin hole is as wide as the round end", "pin")
    require(pin_at.y > hole.diameter / 2, "the pin hole reaches into the base", "pin_height")
    require(
        right.distance(pin_at) > radius + 1e-6,
        "the round end swallows the base: raise the pin or make the radius smaller",
        "pin_height",
        "end_radius",
    )
    _, first = tangent_points(right, Circle(pin_at, 2 * radius))
    last = Point(-first.x, first.y)
    sweep = ((last - pin_at).angle - (first - pin_at).angle) % math.tau
    left, top = Point(-right.x, 0), Point(0, pin_at.y + radius)
    outline: list[tuple[str, Segment]] = [
        (edges[0], Line(left, right)),
        (edges[1], Line(right, first)),
        ("end", Arc(first, last, sweep)),
        (edges[2], Line(last, left)),
    ]
    across = Line(pin_at + Vector(-radius, 0), pin_at + Vector(radius, 0))
    marks = (Mark(Line(ORIGIN, top), "centre"), Mark(across, "centre"))
    return replace(Panel.of_edges(name, outline), holes=(hole,), marks=marks)


def pin_hole(what: str, height: float, diameter: float, room: float) -> Hole:
    """The pin's hole above the middle of an ear's base."""
    return Hole(
        what=what,
        centre=Point(0, height),
        diameter=diameter + room,
        size="pin hole",
        role="pin",
        fastener=diameter,
    )


def ear_told(ear: Panel, base: str) -> Iterator[Shown]:
    """Where an ear's measurements show on it; `base` is the edge that it stands on."""
    at = ear.holes[0].centre
    yield between("pin_height", ear, ear.straight_edge(base).point_at(0.5), at)
    yield Pointer(key="pin", panel=ear.name, at=at)
    yield between("end_radius", ear, at, ear.edge("end").point_at(0.3))
