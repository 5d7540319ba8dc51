"""The box-cornered tray: a bottom with a flange folded from each of its four sides.

Where two bends meet, their tangent lines cross in a corner of the bottom; a round relief is taken
out there, so that neither bend tears into the other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from platewright import measure
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line, Segment
from platewright.kinds.folds import (
    Fold,
    flat_length,
    fold,
    fold_angle,
    fold_direction,
    measured_to,
    setback_to,
)
from platewright.kinds.kind import Kind
from platewright.kinds.outlines import (
    bite,
    corner_gap,
    cornered_panel,
    relief,
    relief_across,
    require,
)
from platewright.kinds.shown import Shown
from platewright.kinds.shown_parts import ON, along, bend_told, on_edge, panels_of
from platewright.kinds.strip import bent_on
from platewright.plate.bend import BendWay, Face, other_face
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.dimension import Dimension, Spot, Straight
from platewright.plate.stock import Stock

#: Sides in the order of travel round the bottom, each with the one after it.
_SIDES = ("front", "right", "back", "left")
#: Which end of a flange its base ends at, and which it begins at, against the travel of its side.
_ENDS = {
    "front": ("left", "right"),
    "right": ("front", "back"),
    "back": ("right", "left"),
    "left": ("back", "front"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Tray:
    """Measurements of a tray."""

    measured_to: str = measured_to()
    length: float = measure.length(
        "length",
        "From the left flange to the right one, at the bottom.",
        minimum="1/2 in",
        maximum="120 in",
        fit_critical=True,
        example="8 in",
    )
    width: float = measure.length(
        "width",
        "From the front flange to the back one, at the bottom.",
        minimum="1/2 in",
        maximum="120 in",
        fit_critical=True,
        example="5 in",
    )
    depth: float = measure.length(
        "depth",
        "Along a flange, from the bend to its edge.",
        minimum="1/8 in",
        maximum="48 in",
        fit_critical=True,
        example="1 1/2 in",
    )
    front_depth: float | None = measure.length(
        "front depth",
        "Depth of the front flange, where it differs.",
        minimum="1/8 in",
        maximum="48 in",
        optional=True,
    )
    back_depth: float | None = measure.length(
        "back depth",
        "Depth of the back flange, where it differs.",
        minimum="1/8 in",
        maximum="48 in",
        optional=True,
    )
    left_depth: float | None = measure.length(
        "left depth",
        "Depth of the left flange, where it differs.",
        minimum="1/8 in",
        maximum="48 in",
        optional=True,
    )
    right_depth: float | None = measure.length(
        "right depth",
        "Depth of the right flange, where it differs.",
        minimum="1/8 in",
        maximum="48 in",
        optional=True,
    )
    angle: float = fold_angle()
    direction: str = fold_direction()
    corners: str = measure.choice(
        "corners",
        "Closed flanges meet inside edge to inside edge, ready to weld; open ones end with their "
        "bends.",
        ("closed", "open"),
        default="closed",
    )
    gap: float = corner_gap()
    relief: float | None = relief()

    def depth_of(self, side: str) -> float:
        """Depth of the flange on a side, mm."""
        own: float | None = getattr(self, f"{side}_depth")
        return self.depth if own is None else own

    def depth_key(self, side: str) -> str:
        """The key that gives the depth of the flange on a side."""
        return "depth" if getattr(self, f"{side}_depth") is None else f"{side}_depth"


def build(tray: Tray, stock: Stock, way: BendWay) -> Bracket:
    """The bracket of a tray's measurements. Raises BuildError with the keys that disagree."""
    shape = _shape(tray, stock, way)
    bottom = _bottom(shape)
    bends = tuple(bent_on(side, _flange(shape, side), shape.fold, way) for side in _SIDES)
    root = replace(bottom, bends=bends)
    return Bracket(stock=stock, root=root, dimensions=tuple(_checks(shape, root)))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shape:
    """Flat sizes, mm: the bottom between its tangent lines, the relief's radius."""

    tray: Tray
    way: BendWay
    thickness: float
    fold: Fold
    length: float
    width: float
    bite: float

    def flat(self, side: str) -> float:
        """Flat length of a flange from its tangent line."""
        depth, key = self.tray.depth_of(side), self.tray.depth_key(side)
        to = self.tray.measured_to
        return flat_length(depth, [self.fold], to, self.way, self.thickness, key)

    def base(self, side: str) -> float:
        """Length of the bend on a side."""
        return (self.length if side in ("front", "back") else self.width) - 2 * self.bite

    def beyond(self, at: float) -> float:
        """How far a closed flange reaches beyond the bottom's corner, `at` mm from its bend."""
        radius = self.way.inside_radius(self.fold.angle, self.thickness)
        lean = at * math.cos(self.fold.angle)
        return radius * math.sin(self.fold.angle) + lean - self.tray.gap


def _shape(tray: Tray, stock: Stock, way: BendWay) -> _Shape:
    bend, thickness = fold(tray.angle, tray.direction), stock.thickness
    ends, to = [bend, bend], tray.measured_to
    diameter = tray.relief or relief_across(way.inside_radius(tray.angle, thickness), thickness)
    shape = _Shape(
        tray=tray,
        way=way,
        thickness=thickness,
        fold=bend,
        length=flat_length(tray.length, ends, to, way, thickness, "length"),
        width=flat_length(tray.width, ends, to, way, thickness, "width"),
        bite=diameter / 2,
    )
    for side, key in (("front", "length"), ("left", "width")):
        require(shape.base(side) > 0, "the corner reliefs leave nothing of this side", key)
    return shape


def _bottom(shape: _Shape) -> Panel:
    x, y, r = shape.length / 2, shape.width / 2, shape.bite
    ends = [
        (Point(-x + r, -y), Point(x - r, -y)),
        (Point(x, -y + r), Point(x, y - r)),
        (Point(x - r, y), Point(-x + r, y)),
        (Point(-x, y - r), Point(-x, -y + r)),
    ]
    edges: list[tuple[str, Segment]] = []
    for side, (start, end), (after, _) in zip(_SIDES, ends, ends[1:] + ends[:1], strict=True):
        edges += [(side, Line(start, end)), ("", bite(end, after))]
    return Panel.of_edges("bottom", edges)


def _flange(shape: _Shape, side: str) -> Panel:
    """A flange with its base along x from 0; its ends follow its neighbours where it is closed."""
    flat, base = shape.flat(side), shape.base(side)
    near = far = 0.0
    if shape.tray.corners == "closed":
        near = max(0.0, shape.beyond(0.0) + shape.bite)
        far = shape.beyond(flat) + shape.bite
        require(base + 2 * far > 0, "the flanges lean in and meet: make them shallower", "angle")
    one, other = _ENDS[side]
    return cornered_panel(
        f"{side} flange",
        [
            ("base", Point(0, 0)),
            ("", Point(base, 0)),
            (f"{one} end", Point(base + near, 0)),
            ("edge", Point(base + far, flat)),
            (f"{other} end", Point(-far, flat)),
            ("", Point(-near, 0)),
        ],
    )


# --- checks -----------------------------------------------------------------------------------


def _checks(shape: _Shape, root: Panel) -> Iterator[Dimension]:
    to = "inside" if shape.tray.measured_to == "inside" else "outside"
    setback = setback_to(to, shape.way, shape.fold.angle, shape.thickness)
    face = shape.fold.outside if to == "outside" else other_face(shape.fold.outside)
    x, y = shape.length / 2 + setback, shape.width / 2 + setback
    words = {side: f"{to} of the bend to the {side} flange" for side in _SIDES}
    left = Spot("bottom", Point(-x, 0), words["left"], face)
    front = Spot("bottom", Point(0, -y), words["front"], face)
    right = Straight("bottom", Line(Point(x, -y), Point(x, y)), words["right"], face)
    back = Straight("bottom", Line(Point(x, y), Point(-x, y)), words["back"], face)
    yield Dimension(start=left, end=right, critical=True, when="folded")
    yield Dimension(start=front, end=back, critical=True, when="folded")
    for bend in root.bends:
        yield _depth_check(bend.panel, setback, f"{to} of the bend", face)
    yield from _square_checks(root)


def _depth_check(flange: Panel, setback: float, words: str, face: Face) -> Dimension:
    edge, base = flange.straight_edge("edge"), flange.straight_edge("base")
    middle = base.start.midpoint(base.end)
    start = Spot(flange.name, Point(middle.x, edge.start.y), f"edge of the {flange.name}", face)
    line = Line(Point(base.start.x, -setback), Point(base.end.x, -setback))
    end = Straight(flange.name, line, words, face)
    return Dimension(start=start, end=end, critical=True, when="folded")


def _square_checks(root: Panel) -> Iterator[Dimension]:
    """The bottom's diagonals between the ends of its bends, alike when it is square."""
    front, back = root.straight_edge("front"), root.straight_edge("back")
    spots = {
        "front left": front.start,
        "front right": front.end,
        "back right": back.start,
        "back left": back.end,
    }
    for a, b in (("front left", "back right"), ("front right", "back left")):
        ends = [Spot("bottom", spots[w], f"{w} end of the bend lines") for w in (a, b)]
        yield Dimension(start=ends[0], end=ends[1])


def shown(tray: Tray, bracket: Bracket) -> Iterator[Shown]:
    """Where the measurements show on the flat tray."""
    panels = panels_of(bracket)
    yield along("length", panels["bottom"], "front", ON)
    yield along("width", panels["bottom"], "left", ON)
    deep = {key: side for side in reversed(_SIDES) for key in (tray.depth_key(side),)}
    for key, side in deep.items():
        flange = panels[f"{side} flange"]
        yield along(key, flange, f"{_ENDS[side][0]} end")
    yield from bend_told("angle", "direction", panels["back flange"])
    yield on_edge("corners", panels["right flange"], "front end")


KIND = Kind(
    name="tray",
    summary="A bottom with four flanges and relieved corners: a box, a battery tray, a cover.",
    measurements=Tray,
    build=build,
    shown=shown,
)
