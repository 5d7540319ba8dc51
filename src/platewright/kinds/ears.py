"""The ear: a tab with a pin hole in its rounded end, as tabs and clevises carry it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from platewright import measure
from platewright.geometry.build import tangent_points
from platewright.geometry.contour import Circle
from platewright.geometry.plane import Point
from platewright.geometry.segment import Arc, Line, Segment
from platewright.kinds.outlines import rectangular_panel, require
from platewright.kinds.places import centre, edge, length, spot
from platewright.plate.bracket import Hole, Mark, Panel
from platewright.plate.dimension import Dimension, Tag


def pin() -> Any:
    """The declaration of a pin's diameter."""
    return measure.length(
        "Diameter of the pin or bolt that goes through the ear.",
        "1/16 in to 6 in", label="pin diameter", fit_critical=True, example="1/2 in",
    )  # fmt: skip


def pin_room() -> Any:
    """The declaration of a pin hole's room."""
    return measure.length(
        "How much wider the hole is than the pin.",
        "0 to 1/4 in", label="pin room", default="1/64 in", default_mm="0.4 mm",
    )  # fmt: skip


def end_radius() -> Any:
    """The declaration of an ear's round end."""
    return measure.length(
        "Radius of the ear's round end about the pin.",
        "1/8 in to 12 in", label="end radius", example="1 in",
    )  # fmt: skip


def ear_panel(
    name: str, edges: tuple[str, str, str], width: float, radius: float, hole: Hole
) -> Panel:
    """An ear with its base along x and its pin hole above the middle, not rounded yet.

    `edges` name the base and the sides at +x and at -x.
    """
    base, right, left = edges
    low, high = Point(-width / 2, 0), Point(width / 2, hole.centre.y + radius)
    panel = rectangular_panel(name, (base, right, "end", left), low, high)
    return replace(panel, holes=(hole,))


def rounded_ear(ear: Panel, base: str, radius: float) -> Panel:
    """The flat ear with a round end about its pin, its sides tangent to it from the base's ends.

    Raises BuildError with the keys that disagree.
    """
    hole, line, at = ear.holes[0], ear.straight_edge(base), ear.edge_index(base)
    sides, circle = [name for name, _ in ear.named_segments], Circle(hole.centre, 2 * radius)
    rise = line.direction.cross(hole.centre - line.start)
    require(hole.diameter / 2 < radius, "the pin hole is as wide as the round end", "pin")
    require(rise > hole.diameter / 2, "the pin hole reaches into the base", "pin_height")
    require(
        line.end.distance(hole.centre) > radius + 1e-6,
        "the round end swallows the base: raise the pin or make the radius smaller",
        "pin_height",
        "end_radius",
    )
    first, last = tangent_points(line.end, circle)[1], tangent_points(line.start, circle)[0]
    sweep = ((last - hole.centre).angle - (first - hole.centre).angle) % math.tau
    outline: list[tuple[str, Segment]] = [
        (base, line),
        (sides[(at + 1) % len(sides)], Line(line.end, first)),
        ("end", Arc(first, last, sweep)),
        (sides[at - 1], Line(last, line.start)),
    ]
    up = line.direction.left * radius
    marks = (
        Mark(Line(line.point_at(0.5), hole.centre + up), "centre"),
        Mark(Line(hole.centre + up.right, hole.centre + up.left), "centre"),
    )
    return replace(ear.redrawn(outline), marks=marks)


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


def ear_listed(ear: Panel, base: str, height: float, radius: float) -> Iterator[Dimension | Tag]:
    """What is measured on an ear; `base` is the edge that it stands on."""
    hole = centre(ear, ear.holes[0])
    yield length("pin_height", height, hole, edge(ear, base), critical=True)
    yield Tag(key="pin", panel=ear.name, at=hole.at)
    end = spot(ear, ear.edge("end").point_at(0.5), f"end of the {ear.name}")
    yield length("end_radius", radius, hole, end)
