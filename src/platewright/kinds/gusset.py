"""The corner gusset: a plate between two members, with flanges returned along their faces.

Frame: the members' faces meet in the origin; the base member runs along +x, the other at the
corner's angle. Each edge along a member is welded there, or carries a flange that lies on the
member's face; a lip may stiffen the slope between their ends.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from platewright import measure
from platewright.geometry.plane import ORIGIN, Point, Vector
from platewright.kinds.folds import bent_on, fold, fold_direction
from platewright.kinds.holes import HoleRow, row_listed, with_row
from platewright.kinds.kind import Kind
from platewright.kinds.outlines import cornered_panel, rectangular_panel, require
from platewright.kinds.places import derived, edge, length, middle, spot, tag
from platewright.plate.bend import BendWay, setback
from platewright.plate.bracket import Bend, Bracket, Panel
from platewright.plate.dimension import Dimension, Straight, Tag
from platewright.plate.flatten import Drawn, least_relief
from platewright.plate.stock import Stock
from platewright.units import both_units
from platewright.values import dataclass

_SQUARE = math.pi / 2
_LEGS = ("base", "upright")


@dataclass(frozen=True, slots=True, kw_only=True)
class Return:
    """A flange returned along a member's face."""

    width: float = measure.length(
        "From the gusset's outside face to the edge of the flange.",
        "1/4 in to 24 in", label="flange width", example="1 1/2 in",
    )  # fmt: skip
    holes: HoleRow | None = measure.table(
        "A row of holes along the flange; the gauge is from the gusset's outside face.",
        HoleRow, label="flange holes", optional=True,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Gusset:
    """Measurements of a corner gusset."""

    base: float = measure.length(
        "From the corner of the members along the base member to the gusset's tip.",
        "1/2 in to 72 in", label="base leg", fit_critical=True, example="6 in",
    )  # fmt: skip
    upright: float = measure.length(
        "From the corner of the members along the other member to the gusset's tip.",
        "1/2 in to 72 in", label="upright leg", fit_critical=True, example="6 in",
    )  # fmt: skip
    corner_angle: float = measure.angle("Angle between the two members.", "20 to 160", default=90)
    clip: float = measure.length(
        "Cut off at the corner to clear its weld: from the corner along each member.",
        "0 to 24 in", label="corner clip", default="3/4 in", default_mm="20 mm",
    )  # fmt: skip
    nose: float = measure.length(
        "Width of the blunt tips, square to the member.",
        "0 to 12 in", label="nose width", default="1/2 in", default_mm="12 mm",
    )  # fmt: skip
    direction: str = fold_direction()
    base_flange: Return | None = measure.table(
        "The flange along the base member.", Return, optional=True
    )
    upright_flange: Return | None = measure.table(
        "The flange along the other member.", Return, optional=True
    )
    lip: float | None = measure.length(
        "A stiffening lip folded along the slope: from the gusset's outside face to its edge.",
        "1/4 in to 12 in", optional=True, example="3/4 in",
    )  # fmt: skip


def draw(gusset: Gusset, stock: Stock, way: BendWay) -> Drawn:
    """The gusset's plate between the members' faces, and its flanges on them.

    Raises BuildError with the keys that disagree.
    """
    plate = _plate(gusset, setback(way, _SQUARE, stock.thickness, "outside"))
    both = gusset.base_flange is not None and gusset.upright_flange is not None
    words = "the flanges' bends meet in the corner: make the clip larger"
    require(not both or gusset.clip > 0, words, "clip")
    bends = tuple(_bends(gusset, plate, way))
    free = [name for name in _LEGS if getattr(gusset, f"{name}_flange") is None]
    nose = ("nose",) if gusset.lip is None else ("nose", "lip")
    keys = {("plate", f"{name} nose"): nose for name in _LEGS}
    keys |= {(f"{name} flange", ""): (f"{name}_flange.width",) for name in _LEGS}
    keys |= {(f"{name} flange", "holes"): (f"{name}_flange.holes",) for name in _LEGS}
    return Drawn(
        root=replace(plate, bends=bends),
        wall=f"{free[0]} edge" if free else None,
        shaped=lambda flat: _with_room(flat, stock.thickness),
        keys={**keys, ("plate", "corner"): ("clip",), ("lip", ""): ("lip",)},
    )


def _with_room(plate: Panel, thickness: float) -> Panel:
    """The plate, its lip's bend and its flanges' kept from running into each other at a tip."""
    bent, names = {bend.edge for bend in plate.bends}, dict(plate.edges)
    if "slope" not in bent:
        return plate
    least = least_relief(plate, thickness)
    told = both_units(math.ceil(least * 10 + 0.2) / 10)
    message = f"lip and flange need {told} of the nose left between their bends: a wider nose"
    for name in _LEGS:
        nose = f"{name} nose"
        left = plate.straight_edge(nose).length if nose in names else 0.0
        require(f"{name} edge" not in bent or left >= least, message, "nose", "lip")
    return plate


def _plate(gusset: Gusset, least: float) -> Panel:
    """The plate; a nose comes out no narrower than a flange's bend, `least` mm."""
    along, up = Vector(1, 0), Vector.polar(gusset.corner_angle)
    for key in _LEGS:
        require(getattr(gusset, key) > gusset.clip, "the clip takes the whole leg", key, "clip")
    base = ORIGIN + along * gusset.base
    upright = ORIGIN + up * gusset.upright
    base_nose, upright_nose = (
        gusset.nose if flange is None else max(gusset.nose, least)
        for flange in (gusset.base_flange, gusset.upright_flange)
    )
    tips = base + along.left * base_nose, upright + up.right * upright_nose
    slope = tips[1] - tips[0]
    turn = slope.dot(along) < gusset.base and along.cross(slope) > 0 and slope.cross(up) < 0
    require(turn, "the noses are too wide for these legs", "nose")
    return cornered_panel(
        "plate",
        [
            ("base edge", ORIGIN + along * gusset.clip),
            ("base nose", base),
            ("slope", tips[0]),
            ("upright nose", tips[1]),
            ("upright edge", upright),
            ("corner", ORIGIN + up * gusset.clip),
        ],
    )


def _bends(gusset: Gusset, plate: Panel, way: BendWay) -> Iterator[Bend]:
    square = fold(_SQUARE, gusset.direction)
    for name in _LEGS:
        returned: Return | None = getattr(gusset, f"{name}_flange")
        if returned is not None:
            long = plate.straight_edge(f"{name} edge").length
            flange = _flange(f"{name} flange", long, returned.width)
            if returned.holes is not None:
                gauge = returned.holes.gauge_on(returned.width)
                places = [Point(long / 2 + x, gauge) for x in returned.holes.offsets]
                flange = with_row(flange, returned.holes, places)
            yield bent_on(f"{name} edge", flange, square, way)
    if gusset.lip is not None:
        lip = _flange("lip", plate.straight_edge("slope").length, gusset.lip)
        # the slope is where the lip's bend begins, the lip counts from the plate's outside
        yield replace(bent_on("slope", lip, square, way), to="flat")


def _flange(name: str, length: float, depth: float) -> Panel:
    """A flange with its base along x from 0, the end of its edge."""
    sides = ("base", "near end", "edge", "far end")
    return rectangular_panel(name, sides, Point(0, 0), Point(length, depth))


def dimensions(gusset: Gusset, bracket: Bracket) -> Iterator[Dimension | Tag]:
    """What is measured on a corner gusset, its legs from the faces of the members."""
    plate, names = bracket.root, dict(bracket.root.edges)
    edges = {name: edge(plate, f"{name} edge") for name in _LEGS}
    ends = {
        "base": plate.straight_edge("base edge").end,
        "upright": plate.straight_edge("upright edge").start,
    }
    rays = {"base": Vector(1, 0), "upright": Vector.polar(gusset.corner_angle)}
    for name, other in (("base", "upright"), ("upright", "base")):
        own: Straight = edges[name]
        asked, lean = getattr(gusset, name), math.sin(gusset.corner_angle)
        # square to the other member, which at a right angle is along its own
        tip = spot(plate, ends[name], f"tip of the {name} edge")
        reach = ORIGIN + rays[name] * asked
        at = replace(tip, at=reach, when=own.when, words=f"tip at the {name} member")
        if abs(lean - 1) < 1e-9:
            yield length(name, asked, at, edges[other], critical=True)
        else:
            corner = spot(plate, ORIGIN, "corner where the members meet")
            yield length(name, asked, replace(corner, when="folded"), at, critical=True)
            yield derived(tip, edges[other], critical=True)
        returned: Return | None = getattr(gusset, f"{name}_flange")
        if returned is not None:
            flange, key = bracket.panel(f"{name} flange"), f"{name}_flange"
            outer = middle(edge(flange, "edge"), f"middle of the {flange.name}'s edge")
            inner, holes = edge(flange, "base"), returned.holes
            yield length(f"{key}.width", returned.width, outer, inner, critical=holes is not None)
            yield from row_listed(f"{key}.holes", flange, holes, "base", ("near end", "far end"))
        nose = f"{name} nose"
        if nose in names:
            line = plate.straight_edge(nose)
            far = spot(plate, line.end if name == "base" else line.start, f"{nose}, at the slope")
            # beside a lip it is the end of the bend line
            far = far if gusset.lip is None else replace(far, when="flat")
            yield length("nose", gusset.nose, far, replace(own, when=far.when))
    base, upright = plate.straight_edge("base edge"), plate.straight_edge("upright edge")
    yield Dimension(
        start=Straight("plate", base, "base edge"),
        end=Straight("plate", upright.reversed(), "upright edge"),
        key="corner_angle",
        asked=gusset.corner_angle,
        quantity="angle",
        critical=True,
    )
    if "corner" in names:
        yield tag("clip", plate, "corner")
    slope = plate.straight_edge("slope")
    yield derived(
        *(spot(plate, at, f"{w} end of the slope")
          for at, w in zip((slope.start, slope.end), _LEGS, strict=True))
    )  # fmt: skip
    if gusset.lip is not None:
        lip = bracket.panel("lip")
        far = middle(edge(lip, "edge", "edge of the lip"))
        yield length("lip", gusset.lip, far, edge(lip, "base"))
    if plate.bends:
        yield tag("direction", plate.bends[0].panel, "base", 0.25)


SUMMARY = "A plate in the corner of two members, with flanges returned along their faces."
KIND = Kind("gusset", SUMMARY, Gusset, draw, dimensions)
