"""The corner gusset: a plate between two members, with flanges returned along their faces.

Frame: the members' faces meet in the origin; the base member runs along +x, the other at the
corner's angle. Each edge along a member is welded there, or carries a flange that lies on the
member's face; a lip may stiffen the slope between their ends.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from platewright import measure
from platewright.geometry.plane import ORIGIN, Point, Vector
from platewright.geometry.segment import Line
from platewright.kinds.folds import Fold, flat_length, fold, fold_direction, setback_to
from platewright.kinds.holes import HoleRow, bend_words, row_checks, row_holes, with_holes
from platewright.kinds.kind import Kind
from platewright.kinds.outlines import cornered_panel, relief_across, require
from platewright.kinds.shown import Opening, Shown
from platewright.kinds.shown_parts import OFF, ON, along, on_edge, panels_of, row_told
from platewright.kinds.strip import bent_on
from platewright.plate.bend import BendWay
from platewright.plate.bracket import Bend, Bracket, Panel
from platewright.plate.dimension import Dimension, Spot, Straight
from platewright.plate.stock import Stock
from platewright.plate.told import both_units

_SQUARE = math.pi / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Return:
    """A flange returned along a member's face."""

    width: float = measure.length(
        "flange width",
        "From the gusset's outside face to the edge of the flange.",
        minimum="1/4 in",
        maximum="24 in",
        example="1 1/2 in",
    )
    holes: HoleRow | None = measure.table(
        "flange holes",
        "A row of holes along the flange; the gauge is from the gusset's outside face.",
        HoleRow,
        optional=True,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Gusset:
    """Measurements of a corner gusset."""

    base: float = measure.length(
        "base leg",
        "From the corner of the members along the base member to the gusset's tip.",
        minimum="1/2 in",
        maximum="72 in",
        fit_critical=True,
        example="6 in",
    )
    upright: float = measure.length(
        "upright leg",
        "From the corner of the members along the other member to the gusset's tip.",
        minimum="1/2 in",
        maximum="72 in",
        fit_critical=True,
        example="6 in",
    )
    corner_angle: float = measure.angle(
        "corner angle",
        "Angle between the two members.",
        minimum_deg=20,
        maximum_deg=160,
        default_deg=90,
    )
    clip: float = measure.length(
        "corner clip",
        "Cut off at the corner to clear its weld: from the corner along each member.",
        minimum="0",
        maximum="24 in",
        default="3/4 in",
        default_mm="20 mm",
    )
    nose: float = measure.length(
        "nose width",
        "Width of the blunt tips, square to the member.",
        minimum="0",
        maximum="12 in",
        default="1/2 in",
        default_mm="12 mm",
    )
    direction: str = fold_direction()
    base_flange: Return | None = measure.table(
        "base flange", "The flange along the base member.", Return, optional=True
    )
    upright_flange: Return | None = measure.table(
        "upright flange", "The flange along the other member.", Return, optional=True
    )
    lip: float | None = measure.length(
        "lip",
        "A stiffening lip folded along the slope: from the gusset's outside face to its edge.",
        minimum="1/4 in",
        maximum="12 in",
        optional=True,
        example="3/4 in",
    )


def build(gusset: Gusset, stock: Stock, way: BendWay) -> Bracket:
    """The bracket of a gusset's measurements. Raises BuildError with the keys that disagree."""
    bend = fold(_SQUARE, gusset.direction)
    setback = setback_to("outside", way, bend.angle, stock.thickness)
    _require_relief(
        gusset, relief_across(way.inside_radius(bend.angle, stock.thickness), stock.thickness)
    )
    plate = _plate(gusset, setback)
    bends = tuple(_bends(gusset, plate, bend, setback, way, stock.thickness))
    root = replace(plate, bends=bends)
    free = [edge for edge in ("base edge", "upright edge") if not _flanged(gusset, edge)]
    checks = tuple(_checks(gusset, root, bend, setback))
    return Bracket(stock=stock, root=root, dimensions=checks, wall=free[0] if free else None)


def _require_relief(gusset: Gusset, least: float) -> None:
    """A lip's bend and a flange's may not run into each other at a tip."""
    both = gusset.lip is not None and (gusset.base_flange or gusset.upright_flange)
    told = both_units(math.ceil(least * 10 + 0.2) / 10)
    message = f"lip and flange need a nose of at least {told} between their bends"
    require(not both or gusset.nose >= least, message, "nose", "lip")


def _flanged(gusset: Gusset, edge: str) -> bool:
    return bool(gusset.base_flange if edge == "base edge" else gusset.upright_flange)


def _plate(gusset: Gusset, setback: float) -> Panel:
    along, up = Vector(1, 0), Vector.polar(gusset.corner_angle)
    base_in = along.left * (setback if gusset.base_flange else 0.0)
    upright_in = up.right * (setback if gusset.upright_flange else 0.0)
    for key in ("base", "upright"):
        require(getattr(gusset, key) > gusset.clip, "the clip takes the whole leg", key, "clip")
    base_ends = [ORIGIN + along * at + base_in for at in (gusset.clip, gusset.base)]
    upright_ends = [ORIGIN + up * at + upright_in for at in (gusset.upright, gusset.clip)]
    _require_order(gusset, base_ends[0], upright_ends[1], base_in, upright_in)
    tips = base_ends[1] + along.left * gusset.nose, upright_ends[0] + up.right * gusset.nose
    slope = tips[1] - tips[0]
    turn = slope.dot(along) < gusset.base and along.cross(slope) > 0 and slope.cross(up) < 0
    require(turn, "the noses are too wide for these legs", "nose")
    return cornered_panel(
        "plate",
        [
            ("base edge", base_ends[0]),
            ("base nose", base_ends[1]),
            ("slope", tips[0]),
            ("upright nose", tips[1]),
            ("upright edge", upright_ends[0]),
            ("corner", upright_ends[1]),
        ],
    )


def _require_order(
    gusset: Gusset, base: Point, upright: Point, base_in: Vector, upright_in: Vector
) -> None:
    """The clipped corner must run from the upright to the base, not through them."""
    clear = (base - (ORIGIN + upright_in)).cross(Vector.polar(gusset.corner_angle)) >= -1e-9
    level = (upright - (ORIGIN + base_in)).y >= -1e-9
    require(clear and level, "the flanges' bends meet in the corner: make the clip larger", "clip")


def _bends(
    gusset: Gusset, plate: Panel, bend: Fold, setback: float, way: BendWay, thickness: float
) -> Iterator[Bend]:
    for name in ("base", "upright"):
        returned: Return | None = getattr(gusset, f"{name}_flange")
        if returned is not None:
            key = f"{name}_flange"
            edge = plate.straight_edge(f"{name} edge")
            flat = flat_length(returned.width, [bend], "outside", way, thickness, f"{key}.width")
            flange = _flange(f"{name} flange", edge.length, flat)
            yield bent_on(f"{name} edge", _with_row(flange, returned, setback, key), bend, way)
    if gusset.lip is not None:
        flat = flat_length(gusset.lip, [bend], "outside", way, thickness, "lip")
        lip = _flange("lip", plate.straight_edge("slope").length, flat)
        yield bent_on("slope", lip, bend, way)


def _flange(name: str, length: float, flat: float) -> Panel:
    """A flange with its base along x from 0, the end of its edge."""
    return cornered_panel(
        name,
        [
            ("base", Point(0, 0)),
            ("near end", Point(length, 0)),
            ("edge", Point(length, flat)),
            ("far end", Point(0, flat)),
        ],
    )


def _with_row(flange: Panel, returned: Return, setback: float, key: str) -> Panel:
    row = returned.holes
    if row is None:
        return flange
    gauge = returned.width / 2 if row.gauge is None else row.gauge
    middle = flange.straight_edge("base").length / 2
    places = [Point(middle + x, gauge - setback) for x in row.offsets]
    return with_holes(flange, row_holes(row, places, flange.name), f"{key}.holes")


# --- checks -----------------------------------------------------------------------------------


def _checks(gusset: Gusset, plate: Panel, bend: Fold, setback: float) -> Iterator[Dimension]:
    along, up = Line(ORIGIN, Point(1, 0)), Line(ORIGIN, ORIGIN + Vector.polar(gusset.corner_angle))
    for tip, edge, other, line in (
        (plate.straight_edge("base edge").end, "base", "upright", up),
        (plate.straight_edge("upright edge").start, "upright", "base", along),
    ):
        flanged = _flanged(gusset, f"{other} edge")
        words = bend_words(f"{other} flange", "outside") if flanged else f"line of the {other} edge"
        end = Straight("plate", line, words, bend.outside)
        start = Spot("plate", tip, f"tip of the {edge} edge", bend.outside)
        yield Dimension(start=start, end=end, critical=True, when="folded" if flanged else "either")
    tips = plate.straight_edge("slope")
    spots = [Spot("plate", at, f"{w} end of the slope") for at, w in
             ((tips.start, "base"), (tips.end, "upright"))]  # fmt: skip
    yield Dimension(start=spots[0], end=spots[1])
    for each in plate.bends:
        yield from _flange_checks(each.panel, bend, setback)


def _flange_checks(flange: Panel, bend: Fold, setback: float) -> Iterator[Dimension]:
    edge, face = flange.straight_edge("edge"), bend.outside
    line = Line(Point(edge.end.x, -setback), Point(edge.start.x, -setback))
    plate = Straight(flange.name, line, bend_words("plate", "outside"), face)
    spots = [Spot(flange.name, edge.point_at(0.5), f"middle of the {flange.name}'s edge", face)]
    spots += [Spot(flange.name, hole.centre, hole.what, face) for hole in flange.holes[:1]]
    for spot in spots:
        yield Dimension(start=spot, end=plate, critical=bool(flange.holes), when="folded")
    if flange.holes:
        yield from row_checks(flange, flange.holes, ("near end", "far end"))


def shown(gusset: Gusset, bracket: Bracket) -> Iterator[Shown]:
    """Where the measurements show on the flat gusset."""
    plate, panels = bracket.root, panels_of(bracket)
    for name in ("base", "upright"):
        flange, returned = panels.get(f"{name} flange"), getattr(gusset, f"{name}_flange")
        yield along(name, plate, f"{name} edge", OFF if flange is None else ON)
        if flange is not None:
            yield along(f"{name}_flange.width", flange, "near end")
            yield from row_told(f"{name}_flange.holes", flange, returned.holes)
    yield Opening(
        key="corner_angle",
        panel="plate",
        apex=ORIGIN,
        start=0.0,
        sweep=gusset.corner_angle,
        reach=1.5 * gusset.clip + 10,
    )
    names = dict(plate.edges)
    if "corner" in names:
        yield on_edge("clip", plate, "corner")
    if "base nose" in names:
        yield along("nose", plate, "base nose")
    if "lip" in panels:
        yield along("lip", panels["lip"], "near end")


KIND = Kind(
    name="gusset",
    summary="A plate in the corner of two members, with flanges returned along their faces.",
    measurements=Gusset,
    build=build,
    shown=shown,
)
