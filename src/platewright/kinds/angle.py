"""The angle: a shelf with an upright folded from its back edge, with or without end gussets.

Frame: the shelf lies flat with the upright's bend along y = 0, the middle of its width on x = 0 and
the shelf towards +y. A gusset folds from the shelf's side the same way as the upright and meets
the upright's inside face.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from platewright import measure
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.kinds.folds import bent_on, fold, fold_angle, fold_direction, measured_to
from platewright.kinds.holes import HoleRow, leg_holes, row_listed, with_row
from platewright.kinds.kind import Kind
from platewright.kinds.outlines import corner_gap, rectangular_panel, relief, require
from platewright.kinds.places import (
    across,
    bend_listed,
    derived,
    edge,
    inside_of,
    length,
    middle,
    spot,
)
from platewright.plate.bend import BendWay
from platewright.plate.bracket import Bend, Bracket, Panel
from platewright.plate.dimension import Dimension, Straight, Tag
from platewright.plate.flatten import CornerCut, Drawn, Meeting
from platewright.plate.stock import Stock
from platewright.values import dataclass

_SQUARE = math.pi / 2
_HANDS = ("left", "right")


@dataclass(frozen=True, slots=True, kw_only=True)
class EndGusset:
    """A gusset that closes one end of the angle."""

    reach: float = measure.length(
        "Along the shelf, from the upright's bend to the gusset's front end, measured to the same "
        "face as the legs.",
        "1/2 in to 48 in", label="gusset reach", example="2 in",
    )  # fmt: skip
    height: float = measure.length(
        "Square to the shelf, from its bend to the gusset's top, measured to the same face as "
        "the legs.",
        "1/2 in to 48 in", label="gusset height", example="2 in",
    )  # fmt: skip
    nose: float = measure.length(
        "Width of the gusset's blunt front end, from the bend outwards.",
        "0 to 12 in", label="nose width", default="3/8 in", default_mm="10 mm",
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Angle:
    """Measurements of an angle."""

    measured_to: str = measured_to()
    shelf: float = measure.length(
        "From the bend to the shelf's front edge.",
        "1/4 in to 72 in", fit_critical=True, example="3 in",
    )  # fmt: skip
    upright: float = measure.length(
        "From the bend to the upright's edge.", "1/4 in to 72 in", fit_critical=True, example="3 in"
    )
    width: float = measure.length(
        "Along the bend, from end to end; where there is a gusset, to its bend, measured to the "
        "same face as the legs.",
        "1/4 in to 120 in", example="4 in",
    )  # fmt: skip
    angle: float = fold_angle()
    direction: str = fold_direction()
    shelf_holes: HoleRow | None = leg_holes("the shelf")
    upright_holes: HoleRow | None = leg_holes("the upright")
    left: EndGusset | None = measure.table(
        "The gusset on the left, top face up and the upright farthest from you.",
        EndGusset, label="left gusset", optional=True,
    )  # fmt: skip
    right: EndGusset | None = measure.table(
        "The gusset on the right, top face up and the upright farthest from you.",
        EndGusset, label="right gusset", optional=True,
    )  # fmt: skip
    gap: float = corner_gap()
    relief: float | None = relief()


def draw(angle: Angle, stock: Stock, way: BendWay) -> Drawn:
    """The angle's panels; gussets follow the upright's inside face.

    Raises BuildError with the keys that disagree.
    """
    x, shelf = angle.width / 2, angle.shelf
    sides = ("back", "right side", "front", "left side")
    root = rectangular_panel("shelf", sides, Point(-x, 0), Point(x, shelf))
    sides = ("base", "left side", "edge", "right side")
    upright = rectangular_panel("upright", sides, Point(x, 0), Point(-x, -angle.upright))
    rows = (angle.shelf_holes, shelf, 1), (angle.upright_holes, angle.upright, -1)
    root, upright = (
        with_row(panel, row, [Point(at, sign * row.gauge_on(leg)) for at in row.offsets])
        if row
        else panel
        for panel, (row, leg, sign) in zip((root, upright), rows, strict=True)
    )
    hands = [hand for hand in _HANDS if getattr(angle, hand) is not None]
    bend = fold(angle.angle, angle.direction, angle.measured_to)
    gussets = [_gusset_bend(angle, hand, stock, way) for hand in hands]
    keys = {("shelf", ""): ("shelf",), ("shelf", "back"): ("width",), ("upright", ""): ("upright",)}
    keys |= dict.fromkeys((("shelf", "front"), ("upright", "edge")), ("width",))
    keys |= {(f"{hand} gusset", ""): (f"{hand}.height",) for hand in hands}
    keys |= {
        (f"{hand} gusset", edge): (f"{hand}.reach",) for hand in hands for edge in ("base", "slope")
    }
    keys |= {(panel, "holes"): (f"{panel}_holes",) for panel in ("shelf", "upright")}
    return Drawn(
        root=replace(root, bends=(bent_on("back", upright, bend, way), *gussets)),
        corners=tuple(
            CornerCut("shelf", _HANDS.index(hand), "relief", angle.relief) for hand in hands
        ),
        meetings=tuple(
            Meeting(
                one=(f"{hand} gusset", "upright end"),
                other=("upright", f"{hand} side"),
                gap=angle.gap,
            )
            for hand in hands
        ),
        shaped=lambda flat: _with_slopes(flat, angle),
        keys=keys,
    )


def _gusset_bend(angle: Angle, hand: str, stock: Stock, way: BendWay) -> Bend:
    """A gusset, x outward from its bend, y as on the shelf, still square at its top front."""
    gusset: EndGusset = getattr(angle, hand)
    reach, height = gusset.reach, gusset.height
    past = "the gusset reaches past the shelf's front edge"
    require(reach <= angle.shelf + 1e-9, past, f"{hand}.reach", "shelf")
    tall = height / math.sin(angle.angle) > angle.upright + stock.thickness
    require(not tall, "the gusset is taller than the upright", f"{hand}.height", "upright")
    sides = ("base", "upright end", "slope", "nose")
    panel = rectangular_panel("right gusset", sides, Point(0, reach), Point(height, 0))
    square = fold(_SQUARE, angle.direction, angle.measured_to)
    bend = bent_on(f"{hand} side", panel if hand == "right" else panel.mirrored(), square, way)
    if reach >= angle.shelf - 1e-9:
        return bend
    return replace(bend, end=reach) if hand == "right" else replace(bend, start=angle.shelf - reach)


def _with_slopes(shelf: Panel, angle: Angle) -> Panel:
    """The flat shelf, its gussets cut from the upright's end to their noses."""
    gussets = {f"{hand} gusset": getattr(angle, hand) for hand in _HANDS}
    bends = (
        replace(bend, panel=_sloped(bend.panel, gussets[bend.panel.name]))
        if bend.panel.name in gussets
        else bend
        for bend in shelf.bends
    )
    return replace(shelf, bends=tuple(bends))


def _sloped(panel: Panel, gusset: EndGusset) -> Panel:
    """A gusset with its slope: the nose comes out no narrower than the bend."""
    top, nose = panel.straight_edge("slope"), panel.straight_edge("nose")
    drawn = panel.drawn_edge("base")
    assert drawn is not None
    inward = drawn.line.direction.left
    low = min(nose.start, nose.end, key=lambda p: (p - drawn.line.start).dot(inward))
    rest = gusset.nose - (low - drawn.line.start).dot(inward)
    foot = low + inward * min(max(rest, 0.0), nose.length)
    lines = {"slope": Line(top.start, foot), "nose": Line(foot, nose.end)}
    if nose.end == top.start:
        lines = {"nose": Line(nose.start, foot), "slope": Line(foot, top.end)}
    edges = [(name, lines.get(name, segment)) for name, segment in panel.named_segments]
    return panel.redrawn([e for e in edges if e[1].start.distance(e[1].end) > 1e-9])


def dimensions(angle: Angle, bracket: Bracket) -> Iterator[Dimension | Tag]:
    """What is measured on an angle."""
    shelf, upright = bracket.root, bracket.panel("upright")
    legs, sides = (angle.shelf, angle.upright), ("left side", "right side")
    yield from across(bracket, "shelf", legs[0], shelf, ("front", "back"), critical=True)
    yield from across(bracket, "upright", legs[1], upright, ("edge", "base"), critical=True)
    yield from across(bracket, "width", angle.width, shelf, sides)
    yield from bend_listed("angle", angle.angle, "direction", bracket, "upright")
    yield from row_listed("shelf_holes", shelf, angle.shelf_holes, "back", sides)
    yield from row_listed("upright_holes", upright, angle.upright_holes, "base", sides)
    for hand in _HANDS:
        if getattr(angle, hand) is not None:
            yield from _gusset_dimensions(angle, hand, bracket)
    front, edge_ = (
        middle(edge(p, n, f"{n} of the {p.name}")) for p, n in ((shelf, "front"), (upright, "edge"))
    )
    yield derived(front, edge_)
    if (angle.left is None) == (angle.right is None):
        # equal diagonals: the shelf is square
        back, line = shelf.straight_edge("back"), shelf.straight_edge("front")
        for one, other, words in (
            (line.start, back.start, ("right front corner", "left end of the bend line")),
            (line.end, back.end, ("left front corner", "right end of the bend line")),
        ):
            end = replace(spot(shelf, other, words[1]), when="flat")
            yield derived(spot(shelf, one, words[0]), end)


def _gusset_dimensions(angle: Angle, hand: str, bracket: Bracket) -> Iterator[Dimension | Tag]:
    gusset: EndGusset = getattr(angle, hand)
    panel, upright = bracket.panel(f"{hand} gusset"), bracket.panel("upright")
    base, top = edge(panel, "base"), panel.straight_edge("slope")
    # straight up from the outside of the bend to the upright
    line = Line(Point(0, 0), Point(1 if hand == "right" else -1, 0))
    plumb = Straight(panel.name, line, edge(bracket.root, "back").words, base.face, "folded")
    low, high = sorted((top.start, top.end), key=lambda p: abs(p.x))
    front = spot(panel, low, f"front end of the {panel.name}")
    yield length(f"{hand}.reach", gusset.reach, front, plumb)
    at = spot(panel, high, f"top of the {panel.name}")
    yield length(f"{hand}.height", gusset.height, at, base)
    at = spot(panel, low, f"foot of the {panel.name}'s slope")
    yield length(f"{hand}.nose", gusset.nose, at, base)
    inside = inside_of(bracket, panel.name)
    end = edge(panel, "upright end", "end of the gusset", inside)
    side = replace(edge(upright, f"{hand} side", "side of the upright", inside), when="folded")
    at = replace(middle(end), when="folded")
    yield length("gap", angle.gap, at, side)


SUMMARY = "A shelf with an upright folded from its back edge, with or without end gussets."
KIND = Kind("angle", SUMMARY, Angle, draw, dimensions)
