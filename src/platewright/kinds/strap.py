"""The strap: flat ears and a middle that goes round a tank or tube.

The middle is made by equal small bends with flats between. Faceted, it stays as it was folded: the
flats touch the tank at their middles. Rolled, it is pulled round the tank after folding: the flats
are as long as the true arc asks, so that the length from shank to shank is that of the cylinder.

Seen from the end with the tank's centre above the mounting face: the middle covers the wrap angle
over the tank, a straight shank runs on from it on each side, and the ears lie on the mounting face.
The face towards the tank is the underside: the wrap folds down, the ears up.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from platewright import measure
from platewright.errors import BuildError
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Arc, Line
from platewright.kinds.folds import Fold, setback_to
from platewright.kinds.holes import BoltRow, row_holes, with_holes
from platewright.kinds.kind import Kind
from platewright.kinds.shown import IN_PLACE, InPlace, Opening, Pointer, Shown, Span
from platewright.kinds.shown_parts import along, between, on_edge, row_told
from platewright.kinds.strip import Leg, Strip, strip_root
from platewright.plate.bend import BendWay
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.dimension import Dimension, Spot, Straight
from platewright.plate.edit import panel_named, with_panel
from platewright.plate.stock import Stock
from platewright.plate.told import both_units


@dataclass(frozen=True, slots=True, kw_only=True)
class Strap:
    """Measurements of a strap."""

    diameter: float = measure.length(
        "tank diameter",
        "Outside diameter of the tank or tube.",
        minimum="1/2 in",
        maximum="96 in",
        fit_critical=True,
        example="8 in",
    )
    liner: float = measure.length(
        "liner",
        "Thickness of the rubber between tank and strap.",
        minimum="0",
        maximum="1 in",
        default="0",
    )
    centre_height: float = measure.length(
        "centre height",
        "From the face that the ears are bolted to, to the tank's centre.",
        minimum="0",
        maximum="96 in",
        fit_critical=True,
        example="4 in",
    )
    wrap: float = measure.angle(
        "wrap",
        "How far round the tank the strap lies against it; 180 is half of it, with square ears.",
        minimum_deg=20,
        maximum_deg=180,
        default_deg=180,
    )
    bends: int = measure.count(
        "bend count",
        "How many small bends make the round middle; more fit closer.",
        minimum=1,
        maximum=60,
        default=12,
    )
    middle: str = measure.choice(
        "middle",
        "Rolled is pulled round the tank after folding and has the true arc's length; faceted "
        "stays as folded, its flats touching the tank.",
        ("rolled", "faceted"),
        default="rolled",
    )
    span: float = measure.length(
        "bolt span",
        "From the bolt line of one ear to that of the other, across the tank.",
        minimum="1/2 in",
        maximum="120 in",
        fit_critical=True,
        example="12 in",
    )
    beyond: float = measure.length(
        "ear beyond the bolts",
        "From the bolt line to the end of the ear.",
        minimum="1/8 in",
        maximum="12 in",
        default="3/4 in",
        default_mm="20 mm",
    )
    width: float = measure.length(
        "width",
        "Width of the strap, along the tank.",
        minimum="1/4 in",
        maximum="48 in",
        example="4 in",
    )
    bolts: BoltRow = measure.table("bolts", "The row of bolts in each ear.", BoltRow)

    @property
    def radius(self) -> float:
        """Radius of the strap's inside face, mm: tank and liner."""
        return self.diameter / 2 + self.liner


@dataclass(frozen=True, slots=True, kw_only=True)
class Developed:
    """Flat lengths of a strap, mm; `line` is from the ear's bend to its bolts.

    Each shank includes half a facet.
    """

    ear: float
    line: float
    shank: float
    facet: float


def developed(strap: Strap, way: BendWay, thickness: float) -> Developed:
    """The strap's flat lengths.

    With inside radius r and angle a of a small bend: a rolled facet is (R - r) a, so that bend and
    facet together are the arc of a on the line that keeps its length; a faceted one is
    2 (R - r) tan(a/2), the side of the polygon round the tank less two setbacks. Raises BuildError
    with the keys that disagree.
    """
    step, lean = strap.wrap / strap.bends, strap.wrap / 2
    inside = way.inside_radius(step, thickness)
    share = step if strap.middle == "rolled" else 2 * math.tan(step / 2)
    facet = (strap.radius - inside) * share
    if facet <= 0:
        raise BuildError("the bends are rounder than the tank: make them tighter", "diameter")
    used = setback_to("outside", way, lean, thickness)
    rise = strap.centre_height + strap.radius * math.cos(lean)
    straight = rise / math.sin(lean)
    corner = strap.radius * math.sin(lean) + straight * math.cos(lean)
    line = strap.span / 2 - corner - used
    if straight < used:
        raise BuildError(
            f"the ears' bends take up {both_units(used)} and only {both_units(straight)} is "
            "straight below the wrap: raise the tank or wrap less of it",
            "centre_height",
            "wrap",
        )
    if line <= 0:
        raise BuildError("the bolts stand in the ears' bends: widen the span", "span")
    return Developed(
        ear=line + strap.beyond, line=line, shank=straight - used + facet / 2, facet=facet
    )


def build(strap: Strap, stock: Stock, way: BendWay) -> Bracket:
    """The bracket of a strap's measurements. Raises BuildError with the keys that disagree."""
    flat = developed(strap, way, stock.thickness)
    root = strip_root(_strip(strap, flat), stock, way)
    bracket = Bracket(stock=stock, root=root)
    for hand in ("left", "right"):
        bracket = with_panel(bracket, f"{hand} ear", lambda ear: _with_bolts(ear, strap, flat))
    return Bracket(stock=stock, root=bracket.root, dimensions=tuple(_checks(bracket, strap)))


def _strip(strap: Strap, flat: Developed) -> Strip:
    """Ear, shank, facets, shank, ear, with flat lengths."""
    facets = [Leg(name=f"facet {i}", length=flat.facet, key="bends") for i in range(1, strap.bends)]
    shanks = [
        Leg(name=f"{hand} shank", length=flat.shank, key="wrap") for hand in ("left", "right")
    ]
    ears = [Leg(name=f"{hand} ear", length=flat.ear, key="span") for hand in ("left", "right")]
    legs = (ears[0], shanks[0], *facets, shanks[1], ears[1])
    up, down = Fold(strap.wrap / 2, "up"), Fold(strap.wrap / strap.bends, "down")
    folds = (up, *[down] * strap.bends, up)
    return Strip(legs=legs, folds=folds, width=strap.width, to="flat", root=(len(legs) - 1) // 2)


def _with_bolts(ear: Panel, strap: Strap, flat: Developed) -> Panel:
    """The ear with its holes; it reaches to the right or, mirrored, to the left."""
    base = ear.straight_edge("base").start.x
    x = base + flat.line * (1 if ear.straight_edge("end").start.x > base else -1)
    holes = row_holes(strap.bolts, [Point(x, y) for y in strap.bolts.offsets], ear.name)
    return with_holes(ear, holes, "bolts")


def _checks(bracket: Bracket, strap: Strap) -> Iterator[Dimension]:
    ears = [panel_named(bracket, f"{hand} ear") for hand in ("left", "right")]
    rows = [
        [Spot(ear.name, hole.centre, hole.what, "underside") for hole in ear.holes] for ear in ears
    ]
    # once pulled round, a rolled strap is rounder than the folds that the sheets know of
    for left, right in zip(*rows, strict=True):
        when: Literal["flat", "either"] = "flat" if strap.middle == "rolled" else "either"
        yield Dimension(start=left, end=right, critical=True, when=when)
    for ear, row in zip(ears, rows, strict=True):
        for a, b in pairwise(row):
            yield Dimension(start=a, end=b, critical=True)
        end = Straight(ear.name, ear.straight_edge("end"), "end of the ear", "underside")
        yield Dimension(start=row[0], end=end)
    # equal diagonals: the blank is square
    half = strap.width / 2
    ends = [ear.straight_edge("end").start.x for ear in ears]
    for front, back in ((-half, half), (half, -half)):
        spots = [
            Spot(ear.name, Point(x, y), f"{'front' if y < 0 else 'back'} corner of the {ear.name}")
            for ear, x, y in zip(ears, ends, (front, back), strict=True)
        ]
        yield Dimension(start=spots[0], end=spots[1], when="flat")


def shown(strap: Strap, bracket: Bracket) -> Iterator[Shown]:
    """Where the measurements show on the flat strap; the tank's are not on it."""
    ear = panel_named(bracket, "right ear")
    yield along("width", ear, "end")
    hole, end = ear.holes[-1].centre, ear.straight_edge("end")
    yield between("beyond", ear, hole, Point(end.start.x, hole.y), 0.8)
    yield from row_told("bolts", ear, strap.bolts)
    yield on_edge("bends", panel_named(bracket, "right shank"), "base")


def in_place(strap: Strap, bracket: Bracket) -> InPlace:
    """The strap over its tank, seen from the end: the tank's centre is the origin."""
    end = strap.span / 2 + strap.beyond
    foot = -strap.centre_height
    carried = Circle(Point(0, 0), strap.diameter)
    reach = max(end, strap.diameter / 2) * 1.2
    bolts = (
        Line(Point(x, foot - reach / 20), Point(x, foot + reach / 8)) for x in _bolt_lines(strap)
    )
    level = Line(Point(-strap.radius * 1.1, 0), Point(reach, 0))
    return InPlace(
        section=_section(strap, bracket.stock.thickness),
        carried=carried,
        face=Line(Point(-reach, foot), Point(reach, foot)),
        centres=(level, *bolts),
        shown=tuple(_told_in_place(strap, bracket.stock.thickness, reach)),
    )


def _bolt_lines(strap: Strap) -> tuple[float, float]:
    return -strap.span / 2, strap.span / 2


def _section(strap: Strap, thickness: float) -> Contour:
    """The bent strap's section with sharp corners, about the tank's centre."""
    inner, outer = _flank(strap, 0.0), _flank(strap, thickness)
    left = [Point(-p.x, p.y) for p in (*outer, *reversed(inner))]
    return Contour(
        (
            Arc(left[-1], inner[0], -strap.wrap),
            *(Line(a, b) for a, b in pairwise((*inner, *reversed(outer)))),
            Arc(outer[0], left[0], strap.wrap),
            *(Line(a, b) for a, b in pairwise(left)),
        )
    )


def _flank(strap: Strap, off: float) -> tuple[Point, Point, Point]:
    """Where the wrap ends, the ear's corner and the ear's end, right, `off` mm from the inside."""
    lean, radius, foot = strap.wrap / 2, strap.radius + off, off - strap.centre_height
    top = Point(radius * math.sin(lean), radius * math.cos(lean))
    corner = Point(top.x + (top.y - foot) / math.tan(lean), foot)
    return top, corner, Point(strap.span / 2 + strap.beyond, foot)


def _told_in_place(strap: Strap, thickness: float, reach: float) -> Iterator[Shown]:
    lean, foot = strap.wrap / 2, -strap.centre_height
    half = Vector(strap.diameter / 2, 0)
    centre = Point(0, 0)
    yield Span(key="diameter", panel=IN_PLACE, start=centre + half * -1, end=centre + half)
    side = Point(reach, 0)
    yield Span(key="centre_height", panel=IN_PLACE, start=side, end=Point(reach, foot))
    left, right = (Point(x, foot) for x in _bolt_lines(strap))
    yield Span(key="span", panel=IN_PLACE, start=left, end=right, row=-1.5)
    start, reached = math.pi / 2 - lean, strap.diameter * 0.3
    yield Opening(
        key="wrap", panel=IN_PLACE, apex=centre, start=start, sweep=strap.wrap, reach=reached
    )
    lined = centre + Vector.polar(math.pi / 2 + lean / 2, (strap.diameter / 2 + strap.radius) / 2)
    yield Pointer(key="liner", panel=IN_PLACE, at=lined)
    outside = centre + Vector.polar(math.pi / 2 - lean / 2, strap.radius + thickness)
    yield Pointer(key="middle", panel=IN_PLACE, at=outside)


KIND = Kind(
    name="strap",
    summary="A saddle for a round tank or tube: flat ears and a middle of many small bends.",
    measurements=Strap,
    build=build,
    shown=shown,
    in_place=in_place,
)
