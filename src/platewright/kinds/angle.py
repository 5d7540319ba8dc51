"""The angle: a shelf with an upright folded from its back edge, with or without end gussets.

Frame: the shelf lies flat with the upright's bend along y = 0, the middle of its width on x = 0 and
the shelf towards +y. A gusset folds from the shelf's side the same way as the upright and meets
the upright's inside face.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from platewright import measure
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line, Segment
from platewright.kinds.angle_shown import angle_shown
from platewright.kinds.folds import (
    Fold,
    flat_length,
    fold,
    fold_angle,
    fold_direction,
    measured_to,
    setback_to,
)
from platewright.kinds.holes import HoleRow, bend_words, row_checks, row_holes, with_holes
from platewright.kinds.kind import Kind
from platewright.kinds.outlines import (
    bite,
    corner_gap,
    cornered_panel,
    relief,
    relief_across,
    require,
)
from platewright.kinds.strip import bent_on
from platewright.plate.bend import BendWay, other_face
from platewright.plate.bracket import Bend, Bracket, Panel
from platewright.plate.dimension import Dimension, Spot, Straight
from platewright.plate.stock import Stock

_SQUARE = math.pi / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class EndGusset:
    """A gusset that closes one end of the angle."""

    reach: float = measure.length(
        "gusset reach",
        "Along the shelf, from the upright's bend to the gusset's front end, measured to the same "
        "face as the legs.",
        minimum="1/2 in",
        maximum="48 in",
        example="2 in",
    )
    height: float = measure.length(
        "gusset height",
        "Up the upright, from the shelf's bend to the gusset's top, measured to the same face as "
        "the legs.",
        minimum="1/2 in",
        maximum="48 in",
        example="2 in",
    )
    nose: float = measure.length(
        "nose width",
        "Width of the gusset's blunt front end, from the bend outwards.",
        minimum="0",
        maximum="12 in",
        default="3/8 in",
        default_mm="10 mm",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Angle:
    """Measurements of an angle."""

    measured_to: str = measured_to()
    shelf: float = measure.length(
        "shelf",
        "From the bend to the shelf's front edge.",
        minimum="1/4 in",
        maximum="72 in",
        fit_critical=True,
        example="3 in",
    )
    upright: float = measure.length(
        "upright",
        "From the bend to the upright's edge.",
        minimum="1/4 in",
        maximum="72 in",
        fit_critical=True,
        example="3 in",
    )
    width: float = measure.length(
        "width",
        "Along the bend, from end to end; where there is a gusset, to its bend, measured to the "
        "same face as the legs.",
        minimum="1/4 in",
        maximum="120 in",
        example="4 in",
    )
    angle: float = fold_angle()
    direction: str = fold_direction()
    shelf_holes: HoleRow | None = measure.table(
        "shelf holes", "A row of holes along the shelf.", HoleRow, optional=True
    )
    upright_holes: HoleRow | None = measure.table(
        "upright holes", "A row of holes along the upright.", HoleRow, optional=True
    )
    left: EndGusset | None = measure.table(
        "left gusset",
        "The gusset on the left, top face up and the upright farthest from you.",
        EndGusset,
        optional=True,
    )
    right: EndGusset | None = measure.table(
        "right gusset",
        "The gusset on the right, top face up and the upright farthest from you.",
        EndGusset,
        optional=True,
    )
    gap: float = corner_gap()
    relief: float | None = relief()


def build(angle: Angle, stock: Stock, way: BendWay) -> Bracket:
    """The bracket of an angle's measurements. Raises BuildError with the keys that disagree."""
    shape = _shape(angle, stock, way)
    upright = bent_on("back", _upright(shape), shape.fold, way)
    gussets = [_gusset_bend(shape, hand) for hand in ("right", "left") if shape.gusset(hand)]
    root = replace(_shelf(shape), bends=(upright, *gussets))
    return Bracket(stock=stock, root=root, dimensions=tuple(_checks(shape, root, upright.panel)))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shape:
    """Flat sizes, mm: sides of the shelf between its tangent lines, legs, the relief's radius."""

    angle: Angle
    way: BendWay
    thickness: float
    left: float
    right: float
    shelf: float
    upright: float
    bite: float

    @property
    def fold(self) -> Fold:
        return fold(self.angle.angle, self.angle.direction)

    @property
    def square(self) -> Fold:
        """The gussets' bend."""
        return fold(_SQUARE, self.angle.direction)

    def setback(self, bend: Fold, to: str | None = None) -> float:
        return setback_to(to or self.angle.measured_to, self.way, bend.angle, self.thickness)

    def gusset(self, hand: str) -> EndGusset | None:
        return self.angle.left if hand == "left" else self.angle.right

    def bite_at(self, hand: str) -> float:
        return self.bite if self.gusset(hand) else 0.0

    def behind(self, height: float) -> float:
        """How far behind the upright's tangent line its inside face is, at a height, mm."""
        turn, radius = self.fold.angle, self.way.inside_radius(self.fold.angle, self.thickness)
        up = (height - radius * (1 - math.cos(turn))) / math.sin(turn)
        return radius * math.sin(turn) + up * math.cos(turn)


def _shape(angle: Angle, stock: Stock, way: BendWay) -> _Shape:
    bend, square = fold(angle.angle, angle.direction), fold(_SQUARE, angle.direction)
    to, thickness = angle.measured_to, stock.thickness
    lost = setback_to(to, way, square.angle, thickness)
    ends = [square for hand in (angle.left, angle.right) if hand]
    flat_length(angle.width, ends, to, way, thickness, "width")
    shape = _Shape(
        angle=angle,
        way=way,
        thickness=thickness,
        left=-angle.width / 2 + (lost if angle.left else 0.0),
        right=angle.width / 2 - (lost if angle.right else 0.0),
        shelf=flat_length(angle.shelf, [bend], to, way, thickness, "shelf"),
        upright=flat_length(angle.upright, [bend], to, way, thickness, "upright"),
        bite=(angle.relief or relief_across(way.inside_radius(bend.angle, thickness), thickness))
        / 2,
    )
    room = shape.right - shape.left - shape.bite_at("left") - shape.bite_at("right")
    require(room > 0, "the corner reliefs leave nothing of the width", "width")
    require(shape.shelf > shape.bite or not ends, "the relief is as deep as the shelf", "shelf")
    return shape


def _shelf(shape: _Shape) -> Panel:
    left, right, depth = shape.left, shape.right, shape.shelf
    on_left, on_right = shape.bite_at("left"), shape.bite_at("right")
    back = Line(Point(left + on_left, 0), Point(right - on_right, 0))
    side = Line(Point(right, on_right), Point(right, depth))
    other = Line(Point(left, depth), Point(left, on_left))
    edges: list[tuple[str, Segment]] = [("back", back)]
    if on_right:
        edges.append(("", bite(back.end, side.start)))
    edges += [("right side", side), ("front", Line(side.end, other.start)), ("left side", other)]
    if on_left:
        edges.append(("", bite(other.end, back.start)))
    panel = Panel.of_edges("shelf", edges)
    row = shape.angle.shelf_holes
    if row is None:
        return panel
    gauge = shape.angle.shelf / 2 if row.gauge is None else row.gauge
    y = gauge - shape.setback(shape.fold)
    holes = row_holes(row, [Point(x, y) for x in row.offsets], "shelf")
    return with_holes(panel, holes, "shelf_holes")


def _upright(shape: _Shape) -> Panel:
    """The upright, drawn below its base as the blank shows it."""
    left, right, height = shape.left, shape.right, shape.upright
    base_left, base_right = left + shape.bite_at("left"), right - shape.bite_at("right")
    # between gussets it reaches out to their inside faces
    inside = shape.way.inside_radius(_SQUARE, shape.thickness) - shape.angle.gap
    left -= max(-shape.bite, inside) if shape.angle.left else 0.0
    right += max(-shape.bite, inside) if shape.angle.right else 0.0
    panel = cornered_panel(
        "upright",
        [
            ("base", Point(base_right, 0)),
            ("", Point(base_left, 0)),
            ("left side", Point(left, 0)),
            ("edge", Point(left, -height)),
            ("right side", Point(right, -height)),
            ("", Point(right, 0)),
        ],
    )
    row = shape.angle.upright_holes
    if row is None:
        return panel
    gauge = shape.angle.upright / 2 if row.gauge is None else row.gauge
    y = shape.setback(shape.fold) - gauge
    holes = row_holes(row, [Point(x, y) for x in row.offsets], "upright")
    return with_holes(panel, holes, "upright_holes")


def _gusset_bend(shape: _Shape, hand: str) -> Bend:
    gusset = shape.gusset(hand)
    assert gusset is not None
    front = gusset.reach - shape.setback(shape.fold)
    require(front > shape.bite, "the corner relief leaves nothing of the gusset", f"{hand}.reach")
    require(
        front <= shape.shelf + 1e-9,
        "the gusset reaches past the shelf's front edge",
        f"{hand}.reach",
        "shelf",
    )
    panel = _gusset(shape, gusset, front, hand)
    bend = bent_on(f"{hand} side", panel, shape.square, shape.way)
    if front >= shape.shelf - 1e-9:
        return bend
    if hand == "right":
        return replace(bend, end=front - shape.bite)
    return replace(bend, start=shape.shelf - front)


def _gusset(shape: _Shape, gusset: EndGusset, front: float, hand: str) -> Panel:
    """A gusset: x outward from its bend, y as on the shelf; its end follows the upright."""
    top = flat_length(
        gusset.height,
        [shape.square],
        shape.angle.measured_to,
        shape.way,
        shape.thickness,
        f"{hand}.height",
    )
    low = shape.way.inside_radius(_SQUARE, shape.thickness)
    ends = [-shape.behind(low + at) + shape.angle.gap for at in (0.0, top)]
    up = (top + low) / math.sin(shape.fold.angle)
    require(up <= shape.upright + low + 1e-9 + shape.thickness, "the gusset is taller than the "
            "upright", f"{hand}.height", "upright")  # fmt: skip
    require(ends[1] < front, "the upright leans in past the gusset's front end", f"{hand}.height")
    nose = min(gusset.nose, top)
    panel = cornered_panel(
        "right gusset",
        [
            ("base", Point(0, front)),
            ("", Point(0, shape.bite)),
            ("upright end", Point(0, min(shape.bite, ends[0]))),
            ("slope", Point(top, ends[1])),
            ("nose", Point(nose, front)),
        ],
    )
    return panel if hand == "right" else panel.mirrored()


# --- checks -----------------------------------------------------------------------------------


def _checks(shape: _Shape, shelf: Panel, upright: Panel) -> Iterator[Dimension]:
    to = "inside" if shape.angle.measured_to == "inside" else "outside"
    face = shape.fold.outside if to == "outside" else other_face(shape.fold.outside)
    setback = shape.setback(shape.fold, to)
    for panel, edge, other, y in (
        (shelf, "front", "upright", -setback),
        (upright, "edge", "shelf", setback),
    ):
        far = panel.straight_edge(edge)
        line = Line(Point(far.start.x, y), Point(far.end.x, y))
        bend = Straight(panel.name, line, bend_words(other, to), face)
        spot = Spot(
            panel.name, far.point_at(0.5), f"middle of the {edge} of the {panel.name}", face
        )
        yield Dimension(start=spot, end=bend, critical=True, when="folded")
        for hole in panel.holes[:1]:
            spot = Spot(panel.name, hole.centre, hole.what, face)
            yield Dimension(start=spot, end=bend, critical=True, when="folded")
            yield from row_checks(panel, panel.holes, ("left side", "right side"))
    yield from _flat_checks(shelf, upright)
    if shape.bite_at("left") == shape.bite_at("right"):
        yield from _square_checks(shelf)


def _flat_checks(shelf: Panel, upright: Panel) -> Iterator[Dimension]:
    """The developed length, which folded is from front to edge."""
    front, edge = shelf.straight_edge("front"), upright.straight_edge("edge")
    start = Spot("shelf", front.point_at(0.5), "middle of the front of the shelf")
    end = Spot("upright", edge.point_at(0.5), "middle of the edge of the upright")
    yield Dimension(start=start, end=end)


def _square_checks(shelf: Panel) -> Iterator[Dimension]:
    """The shelf's diagonals, alike when it is square."""
    front, back = shelf.straight_edge("front"), shelf.straight_edge("back")
    for a, b, words in (
        (front.start, back.start, ("right front corner", "left end of the bend line")),
        (front.end, back.end, ("left front corner", "right end of the bend line")),
    ):
        yield Dimension(
            start=Spot("shelf", a, words[0]), end=Spot("shelf", b, words[1]), when="flat"
        )


KIND = Kind(
    name="angle",
    summary="A shelf with an upright folded from its back edge, with or without end gussets.",
    measurements=Angle,
    build=build,
    shown=angle_shown,
)
