"""The box-cornered tray: a bottom with a flange folded from each of its four sides.

Where two bends meet, their tangent lines cross in a corner of the bottom; a round relief is taken
out there, so that neither bend tears into the other.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from platewright import measure
from platewright.geometry.plane import Point
from platewright.kinds.folds import bent_on, fold, fold_angle, fold_direction, measured_to
from platewright.kinds.kind import Kind
from platewright.kinds.outlines import corner_gap, rectangular_panel, relief
from platewright.kinds.places import (
    across,
    bend_listed,
    derived,
    edge,
    inside_of,
    length,
    middle,
    spot,
    tag,
)
from platewright.plate.bend import BendWay
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.dimension import Dimension, Tag
from platewright.plate.flatten import CornerCut, Drawn, Meeting
from platewright.plate.stock import Stock
from platewright.values import dataclass

#: Sides in the order of travel round the bottom.
_SIDES = ("front", "right", "back", "left")
#: Corners of the bottom: each side and the next.
_CORNERS = tuple(zip(_SIDES, (*_SIDES[1:], _SIDES[0]), strict=True))


def _own_depth(side: str) -> Any:
    how = f"Depth of the {side} flange, where it differs."
    return measure.length(how, "1/8 in to 48 in", optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tray:
    """Measurements of a tray."""

    measured_to: str = measured_to()
    length: float = measure.length(
        "From the left flange to the right one, at the bottom.",
        "1/2 in to 120 in", fit_critical=True, example="8 in",
    )  # fmt: skip
    width: float = measure.length(
        "From the front flange to the back one, at the bottom.",
        "1/2 in to 120 in", fit_critical=True, example="5 in",
    )  # fmt: skip
    depth: float = measure.length(
        "Along a flange, from the bend to its edge.",
        "1/8 in to 48 in", fit_critical=True, example="1 1/2 in",
    )  # fmt: skip
    front_depth: float | None = _own_depth("front")
    back_depth: float | None = _own_depth("back")
    left_depth: float | None = _own_depth("left")
    right_depth: float | None = _own_depth("right")
    angle: float = fold_angle()
    direction: str = fold_direction()
    corners: str = measure.choice(
        "Closed flanges meet inside edge to inside edge, ready to weld; open ones end with their "
        "bends.",
        ("closed", "open"), default="closed",
    )  # fmt: skip
    gap: float = corner_gap()
    relief: float | None = relief()

    def depth_of(self, side: str) -> float:
        """Depth of the flange on a side, mm."""
        own: float | None = getattr(self, f"{side}_depth")
        return self.depth if own is None else own

    def depth_key(self, side: str) -> str:
        """The key that gives the depth of the flange on a side."""
        return "depth" if getattr(self, f"{side}_depth") is None else f"{side}_depth"


def draw(tray: Tray, _stock: Stock, way: BendWay) -> Drawn:
    """The tray's bottom and its four flanges; closed ones meet inside edge to inside edge."""
    x, y = tray.length / 2, tray.width / 2
    bottom = rectangular_panel("bottom", _SIDES, Point(-x, -y), Point(x, y))
    square = fold(tray.angle, tray.direction, tray.measured_to)
    bends = tuple(bent_on(side, _flange(tray, side), square, way) for side in _SIDES)
    meetings = tuple(
        Meeting(
            one=(f"{side} flange", f"{after} end"),
            other=(f"{after} flange", f"{side} end"),
            gap=tray.gap,
        )
        for side, after in _CORNERS
    )
    keys = {("bottom", side): ("length" if side in ("front", "back") else "width",)
            for side in _SIDES}  # fmt: skip
    keys |= {(f"{side} flange", ""): (tray.depth_key(side),) for side in _SIDES}
    keys |= {(f"{side} flange", "edge"): ("angle",) for side in _SIDES}
    return Drawn(
        root=replace(bottom, bends=bends),
        corners=tuple(CornerCut("bottom", i, "relief", tray.relief) for i in range(4)),
        meetings=meetings if tray.corners == "closed" else (),
        keys=keys,
    )


def _flange(tray: Tray, side: str) -> Panel:
    """A flange with its base along x from 0, its ends named after the flanges beside it."""
    long = tray.length if side in ("front", "back") else tray.width
    at, deep = _SIDES.index(side), tray.depth_of(side)
    before, after = _SIDES[at - 1], _SIDES[(at + 1) % 4]
    sides = ("base", f"{before} end", "edge", f"{after} end")
    return rectangular_panel(f"{side} flange", sides, Point(0, 0), Point(long, deep))


def dimensions(tray: Tray, bracket: Bracket) -> Iterator[Dimension | Tag]:
    """What is measured on a tray."""
    bottom = bracket.root
    sizes = (("length", tray.length, ("left", "right")), ("width", tray.width, ("front", "back")))
    for key, asked, ends in sizes:
        yield from across(bracket, key, asked, bottom, ends, critical=True)
    for side in _SIDES:
        panel, asked = bracket.panel(f"{side} flange"), tray.depth_of(side)
        ends = ("edge", "base")
        yield from across(bracket, tray.depth_key(side), asked, panel, ends, critical=True)
        yield from bend_listed("angle", tray.angle, "", bracket, panel.name)
    yield tag("direction", bracket.panel("back flange"), "base", 0.25)
    yield tag("corners", bracket.panel("right flange"), "front end")
    if tray.corners == "closed":
        for side, after in _CORNERS:
            # between the inside edges of two flanges, in a corner
            one, other = bracket.panel(f"{side} flange"), bracket.panel(f"{after} flange")
            inside = inside_of(bracket, one.name)
            first = edge(one, f"{after} end", f"end of the {side} flange", inside)
            second = edge(other, f"{side} end", f"end of the {after} flange", inside)
            start, end = (replace(each, when="folded") for each in (middle(first), second))
            yield length("gap", tray.gap, start, end)
    # equal diagonals: the bottom is square
    for pair in ((0, 2), (1, 3)):
        spots = []
        for i in pair:
            words = f"{_SIDES[i - 1]} {_SIDES[i]} end of the bend lines"
            at = bottom.straight_edge(_SIDES[i]).start
            spots.append(replace(spot(bottom, at, words), when="flat"))
        yield derived(*spots)


SUMMARY = "A bottom with four flanges and relieved corners: a box, a battery tray, a cover."
KIND = Kind("tray", SUMMARY, Tray, draw, dimensions)
