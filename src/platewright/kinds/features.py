"""Features on any panel of any kind, placed from named edges the way a person measures.

A place is where two distances meet: "2 in from the wall edge, 1 1/4 from the left side". A distance
is square to its edge, into the metal. Where the edge is a bend it counts from the face that the
panel is drawn to there, which card and plate share, unless the file names another.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from platewright import measure
from platewright.errors import UnitError
from platewright.kinds.holes import bolt_fit
from platewright.shop.hardware import (
    BOLTS_ALLOWED,
    PORTS_ALLOWED,
    BoltSize,
    PortSize,
    parse_bolt_size,
    parse_port_size,
)
from platewright.units import Unit
from platewright.values import dataclass

_SIZES = f"{BOLTS_ALLOWED}; {PORTS_ALLOWED}"


def read_hole_size(given: object, unit: Unit) -> BoltSize | PortSize:
    """A bolt, a pipe thread or a drilled hole. Raises UnitError."""
    try:
        return parse_bolt_size(given, unit)
    except UnitError as error:
        reason = error
    try:
        return parse_port_size(given, unit)
    except UnitError:
        raise reason from None


def _size() -> Any:
    return measure.custom(
        "The bolt or pipe thread that goes through, or a drilled hole's diameter.",
        label="size", read=read_hole_size, allowed=_SIZES, example="3/8", example_mm="M10",
    )  # fmt: skip


def panel_name() -> Any:
    """The declaration of which panel something is on."""
    return measure.text(
        "The panel that it is on; left out, the one all others are bent from.",
        label="panel", optional=True,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Off:
    """One distance from an edge."""

    edge: str = measure.text("The edge measured from, by its name.", example="wall edge")
    distance: float | None = measure.length(
        "Square to the edge, into the metal.",
        "-120 in to 120 in", optional=True, fit_critical=True, example="2 in",
    )  # fmt: skip
    midway_to: str | None = measure.text(
        "Instead of a distance: the edge opposite, to stand midway.", optional=True
    )
    bend_face: str | None = measure.choice(
        "Where the edge is a bend: what is measured to, the outside or inside of the bend or its "
        "tangent line on the blank; left out, the face that the panel's own lengths are measured "
        "to, which card and plate share: inside for a seat's gusset.",
        ("outside", "inside", "tangent line"), optional=True,
    )  # fmt: skip

    def problems(self) -> measure.Problems:
        """A distance that is missing or given twice."""
        if (self.distance is None) == (self.midway_to is None):
            yield "distance", "give either a distance or midway_to"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedFeature:
    """Something on a panel and where it stands there."""

    panel: str | None = panel_name()
    name: str | None = measure.text("What the sheets call it.", optional=True)
    measured_from: tuple[Off, ...] = measure.rows(
        "Two distances from two edges, such as "
        '[{ edge = "wall edge", distance = "2" }, { edge = "left side", distance = "1 1/4" }].',
        Off, "at most 2",
    )  # fmt: skip
    measured_to: str = measure.choice(
        "Whether the distances go to its middle or to its near side; of a pattern, to the middle "
        "or to the nearest hole's centre.",
        ("middle", "near side"), default="middle",
    )  # fmt: skip
    x: float | None = measure.length(
        "Instead of distances from edges: place in the drawing of a free panel.",
        "-240 in to 240 in", optional=True,
    )  # fmt: skip
    y: float | None = measure.length(
        "Instead of distances from edges: place in the drawing of a free panel.",
        "-240 in to 240 in", optional=True,
    )  # fmt: skip

    def problems(self) -> measure.Problems:
        """A place that is told in part or twice."""
        drawn = (self.x is not None) + (self.y is not None)
        if drawn == 1:
            yield ("y" if self.y is None else "x"), "x and y go together"
        if drawn and self.measured_from:
            yield "measured_from", "the place is given twice: keep the distances or x and y"
        if not drawn and len(self.measured_from) != 2:
            yield "measured_from", "a place needs two distances from two edges"


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedFeature(PlacedFeature):
    """Something with a direction, given by an edge."""

    along: str | None = measure.text(
        "The edge that it runs along; left out, the first edge measured from, or x.", optional=True
    )
    turn: float = measure.angle(
        "Turned from that edge, anticlockwise with the top face up.", "-180 to 180", default=0
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundHole(PlacedFeature):
    """A round hole."""

    size: BoltSize | PortSize = _size()
    fit: str = bolt_fit()
    mark_only: bool = measure.flag("Punch the place and do not cut the hole.", default=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot(TurnedFeature):
    """A slot with round ends."""

    size: BoltSize | PortSize = _size()
    fit: str = bolt_fit()
    length: float = measure.length(
        "Over its round ends.", "1/8 in to 48 in", label="slot length", example="1 in"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class CutOut(TurnedFeature):
    """A rectangular cut-out, or one of any corners."""

    length: float | None = measure.length(
        "Of a rectangle, along its edge.",
        "1/16 in to 120 in", label="cut-out length", optional=True, example="2 in",
    )  # fmt: skip
    width: float | None = measure.length(
        "Of a rectangle, square to its edge.",
        "1/16 in to 120 in", label="cut-out width", optional=True, example="1 in",
    )  # fmt: skip
    points: tuple[tuple[float, float], ...] = measure.pairs(
        "Of any other shape: its corners, x along its edge and y into the metal, from its place.",
        "at most 60", label="corners",
    )  # fmt: skip
    corner_radius: float = measure.length(
        "Rounding of the corners, so that none begins a crack.", "0 to 12 in", default="0"
    )

    def problems(self) -> measure.Problems:
        """A shape that is missing or given twice."""
        yield from PlacedFeature.problems(self)
        sides = (self.length is not None) + (self.width is not None)
        if self.points and sides:
            yield "points", "the shape is given twice: keep length and width, or the points"
        if not self.points and sides < 2:
            yield "length", "a cut-out needs a length and a width, or its points"
        if 0 < len(self.points) < 3:
            yield "points", "a cut-out needs three corners or more"


#: What each layout of a pattern needs.
_PATTERN_NEEDS = {
    "circle": ("diameter",),
    "line": ("spacing",),
    "grid": ("rows", "spacing", "row_spacing"),
}


_PATTERN_KEYS = {
    "diameter": "that of the circle through the holes' centres",
    "spacing": "from hole to hole along the edge, beside layout under [[pattern]]",
    "rows": "how many rows; count is the holes in each",
    "row_spacing": "from row to row, beside layout under [[pattern]]",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class HolePattern(TurnedFeature):
    """Bolt holes on a circle, in a line or in a grid."""

    layout: str = measure.choice(
        "How the holes stand.", ("circle", "line", "grid"), example="circle"
    )
    count: int = measure.count(
        "How many holes; in a grid, in each row. At most 400 in all of a part.",
        "2 to 200", label="hole count", default=4,
    )  # fmt: skip
    diameter: float | None = measure.length(
        "Of a circle: the diameter through the holes' centres.",
        "1/4 in to 120 in", label="bolt circle", optional=True, fit_critical=True,
    )  # fmt: skip
    spacing: float | None = measure.length(
        "Of a line or grid: from centre to centre along the edge.",
        "1/8 in to 120 in", label="hole spacing", optional=True, fit_critical=True,
    )  # fmt: skip
    rows: int | None = measure.count("Of a grid: how many rows.", "2 to 200", optional=True)
    row_spacing: float | None = measure.length(
        "Of a grid: from row to row.", "1/8 in to 120 in", optional=True, fit_critical=True
    )
    size: BoltSize | PortSize = _size()
    fit: str = bolt_fit()

    def problems(self) -> measure.Problems:
        """Keys that the layout lacks or has no use for."""
        yield from PlacedFeature.problems(self)
        needs = _PATTERN_NEEDS[self.layout]
        for key in ("diameter", "spacing", "rows", "row_spacing"):
            given = getattr(self, key) is not None
            if key in needs and not given:
                yield key, f'layout = "{self.layout}" needs its {key}, {_PATTERN_KEYS[key]}'
            if given and key not in needs:
                yield key, f'has no use with layout = "{self.layout}"; leave it out'


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnMark(TurnedFeature):
    """A line or a circle to mark and not to cut."""

    diameter: float | None = measure.length(
        "Of a circle to mark.", "1/16 in to 120 in", label="circle's diameter", optional=True
    )
    points: tuple[tuple[float, float], ...] = measure.pairs(
        "Points to join by lines, x along its edge and y into the metal, from its place.",
        "at most 200",
    )
    meaning: str = measure.choice("What the line is for.", ("scribe", "centre"), default="scribe")

    def problems(self) -> measure.Problems:
        """A shape that is missing or given twice."""
        yield from PlacedFeature.problems(self)
        if (self.diameter is None) == (not self.points):
            yield "points", "give either the points of a line or the diameter of a circle"
        if len(self.points) == 1:
            yield "points", "a line needs two points or more"


Feature = RoundHole | Slot | CutOut | HolePattern | DrawnMark


def offsets_of(pattern: HolePattern) -> Sequence[tuple[float, float]]:
    """Places of a line's or grid's holes from its middle, mm along and across."""
    columns, rows = pattern.count, pattern.rows or 1
    step, drop = pattern.spacing or 0.0, pattern.row_spacing or 0.0
    return [
        ((i - (columns - 1) / 2) * step, (j - (rows - 1) / 2) * drop)
        for j in range(rows)
        for i in range(columns)
    ]
