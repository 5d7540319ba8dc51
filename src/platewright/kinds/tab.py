"""The tab: one ear with a rounded end and a pin hole, welded on edge or bolted by a foot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from platewright import measure
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.kinds.ears import ear_panel, ear_told, end_radius, pin, pin_hole, pin_room
from platewright.kinds.folds import Fold, flat_length, fold, fold_angle, fold_direction, setback_to
from platewright.kinds.holes import HoleRow, bend_words, row_checks, row_holes, with_holes
from platewright.kinds.kind import Kind
from platewright.kinds.outlines import cornered_panel, require
from platewright.kinds.shown import Shown
from platewright.kinds.shown_parts import OFF, ON, along, bend_told, panels_of, row_told
from platewright.kinds.strip import bent_on
from platewright.plate.bend import BendWay
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.dimension import Dimension, Spot, Straight
from platewright.plate.stock import Stock


@dataclass(frozen=True, slots=True, kw_only=True)
class Foot:
    """A foot folded from the tab's base, to bolt it down."""

    length: float = measure.length(
        "foot length",
        "From the ear's outside face to the end of the foot.",
        minimum="1/4 in",
        maximum="24 in",
        example="2 in",
    )
    angle: float = fold_angle()
    direction: str = fold_direction()
    holes: HoleRow | None = measure.table(
        "foot holes",
        "A row of holes along the foot's bend; the gauge is from the ear's outside face.",
        HoleRow,
        optional=True,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Tab:
    """Measurements of a tab."""

    pin_height: float = measure.length(
        "pin height",
        "From the wall, or from the outside face of the foot, to the middle of the pin.",
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
        "Width of the ear where it stands on the wall or on its foot.",
        minimum="1/4 in",
        maximum="48 in",
        example="2 in",
    )
    foot: Foot | None = measure.table(
        "foot", "A foot to bolt the tab down; without it the tab is welded.", Foot, optional=True
    )


def build(tab: Tab, stock: Stock, way: BendWay) -> Bracket:
    """The bracket of a tab's measurements. Raises BuildError with the keys that disagree."""
    foot = tab.foot
    if foot is None:
        ear = _ear(tab, tab.pin_height, "wall edge")
        checks = tuple(_wall_checks(ear))
        return Bracket(stock=stock, root=ear, dimensions=checks, wall="wall edge")
    bend = fold(foot.angle, foot.direction)
    setback = setback_to("outside", way, bend.angle, stock.thickness)
    require(tab.pin_height > setback, "the pin stands in the foot's bend", "pin_height")
    ear = _ear(tab, tab.pin_height - setback, "bottom")
    flat = flat_length(foot.length, [bend], "outside", way, stock.thickness, "foot.length")
    panel = _foot(tab, foot, flat, setback)
    root = replace(ear, bends=(bent_on("bottom", panel, bend, way),))
    checks = tuple(_foot_checks(root, panel, bend, setback))
    return Bracket(stock=stock, root=root, dimensions=checks)


def _ear(tab: Tab, height: float, base: str) -> Panel:
    hole = pin_hole("pin hole", height, tab.pin, tab.room)
    return ear_panel("ear", (base, "right side", "left side"), tab.width, tab.end_radius, hole)


def _foot(tab: Tab, foot: Foot, flat: float, setback: float) -> Panel:
    """The foot, drawn below its base as the blank shows it."""
    half = tab.width / 2
    panel = cornered_panel(
        "foot",
        [
            ("base", Point(half, 0)),
            ("left side", Point(-half, 0)),
            ("end", Point(-half, -flat)),
            ("right side", Point(half, -flat)),
        ],
    )
    if foot.holes is None:
        return panel
    gauge = foot.length / 2 if foot.holes.gauge is None else foot.holes.gauge
    places = [Point(x, setback - gauge) for x in foot.holes.offsets]
    return with_holes(panel, row_holes(foot.holes, places, "foot"), "foot.holes")


def _wall_checks(ear: Panel) -> Iterator[Dimension]:
    pin_at = Spot("ear", ear.holes[0].centre, "pin hole")
    wall = ear.straight_edge("wall edge")
    yield Dimension(start=pin_at, end=Straight("ear", wall, "wall edge"), critical=True)
    for at, words in ((wall.start, "left wall corner"), (wall.end, "right wall corner")):
        yield Dimension(start=pin_at, end=Spot("ear", at, words))


def _foot_checks(ear: Panel, foot: Panel, bend: Fold, setback: float) -> Iterator[Dimension]:
    face = bend.outside
    bottom, end = ear.straight_edge("bottom"), foot.straight_edge("end")
    under = Line(Point(bottom.start.x, -setback), Point(bottom.end.x, -setback))
    ear_face = Line(Point(end.start.x, setback), Point(end.end.x, setback))
    pin_at = Spot("ear", ear.holes[0].centre, "pin hole", face)
    yield Dimension(
        start=pin_at,
        end=Straight("ear", under, bend_words("foot", "outside"), face),
        critical=True,
        when="folded",
    )
    to_ear = Straight("foot", ear_face, bend_words("ear", "outside"), face)
    ends = [Spot("foot", end.point_at(0.5), "middle of the foot's end", face)]
    ends += [Spot("foot", hole.centre, hole.what, face) for hole in foot.holes[:1]]
    for spot in ends:
        yield Dimension(start=spot, end=to_ear, critical=bool(foot.holes), when="folded")
    if foot.holes:
        yield from row_checks(foot, foot.holes, ("left side", "right side"))
    yield Dimension(start=replace(pin_at, face="top"), end=replace(ends[0], face="top"))


def shown(tab: Tab, bracket: Bracket) -> Iterator[Shown]:
    """Where the measurements show on the flat tab."""
    ear = bracket.root
    base = "wall edge" if tab.foot is None else "bottom"
    yield along("width", ear, base, OFF if tab.foot is None else ON)
    yield from ear_told(ear, base)
    if tab.foot is not None:
        foot = panels_of(bracket)["foot"]
        yield along("foot.length", foot, "right side")
        yield from bend_told("foot.angle", "foot.direction", foot)
        yield from row_told("foot.holes", foot, tab.foot.holes)


KIND = Kind(
    name="tab",
    summary="One ear with a rounded end and a pin hole, welded on edge or bolted by a foot.",
    measurements=Tab,
    build=build,
    shown=shown,
)
