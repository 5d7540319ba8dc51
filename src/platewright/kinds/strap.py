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
from dataclasses import replace
from itertools import pairwise

from platewright import measure
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import ORIGIN, Point, Vector
from platewright.geometry.segment import Arc, Line
from platewright.kinds.folds import Fold
from platewright.kinds.holes import BoltRow, row_listed
from platewright.kinds.kind import IN_PLACE, InPlace, Kind
from platewright.kinds.outlines import require
from platewright.kinds.places import centre, derived, edge, length, tag
from platewright.kinds.strip import FoldedStrip, Leg
from platewright.plate.bend import BendWay, setback
from platewright.plate.bracket import Bracket
from platewright.plate.dimension import Dimension, Spot, Straight, Tag
from platewright.plate.flatten import Drawn
from platewright.plate.stock import Stock
from platewright.units import both_units
from platewright.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Strap:
    """Measurements of a strap."""

    diameter: float = measure.length(
        "Outside diameter of the tank or tube.",
        "1/2 in to 96 in", label="tank diameter", fit_critical=True, example="8 in",
    )  # fmt: skip
    liner: float = measure.length(
        "Thickness of the rubber between tank and strap.", "0 to 1 in", default="0"
    )
    centre_height: float = measure.length(
        "From the face that the ears are bolted to, to the tank's centre.",
        "0 to 96 in", fit_critical=True, example="4 in",
    )  # fmt: skip
    wrap: float = measure.angle(
        "How far round the tank the strap lies against it; 180 is half of it, with square ears.",
        "20 to 180", default=180,
    )  # fmt: skip
    bends: int = measure.count(
        "How many small bends make the round middle; more fit closer.",
        "1 to 60", label="bend count", default=12,
    )  # fmt: skip
    middle: str = measure.choice(
        "Rolled is pulled round the tank after folding and has the true arc's length; faceted "
        "stays as folded, its flats touching the tank.",
        ("rolled", "faceted"), default="rolled",
    )  # fmt: skip
    span: float = measure.length(
        "From the bolt line of one ear to that of the other, across the tank.",
        "1/2 in to 120 in", label="bolt span", fit_critical=True, example="12 in",
    )  # fmt: skip
    beyond: float = measure.length(
        "From the bolt line to the end of the ear.",
        "1/8 in to 12 in", label="ear beyond the bolts", default="3/4 in", default_mm="20 mm",
    )  # fmt: skip
    width: float = measure.length(
        "Width of the strap, along the tank.", "1/4 in to 48 in", example="4 in"
    )
    bolts: BoltRow = measure.table("The row of bolts in each ear.", BoltRow)

    @property
    def radius(self) -> float:
        """Radius of the strap's inside face, mm: tank and liner."""
        return self.diameter / 2 + self.liner


def strip(strap: Strap) -> FoldedStrip:
    """Ear, shank, facets, shank, ear.

    The shanks run from the ears' outside faces to the wrap and on to its first bend. A facet is
    the side of the polygon round the tank, R the radius of the strap's inside and a one bend's
    angle: 2 R tan(a/2) to the corners of the inside; or, rolled, R a, bend and flat together.
    """
    step, lean = strap.wrap / strap.bends, strap.wrap / 2
    rolled = strap.middle == "rolled"
    facet = strap.radius * (step if rolled else 2 * math.tan(step / 2))
    corner, straight = _corner(strap)
    line = strap.span / 2 - corner
    ears = [
        Leg(
            name=f"{hand} ear",
            length=line + strap.beyond,
            key="",
            row=strap.bolts,
            row_key="bolts",
            gauge=line,
        )
        for hand in ("left", "right")
    ]
    shanks = [
        Leg(name=f"{hand} shank", length=straight + facet / 2, key="") for hand in ("left", "right")
    ]
    facets = [Leg(name=f"facet {i}", length=facet, key="") for i in range(1, strap.bends)]
    up, down = Fold(lean, "up"), Fold(step, "down", "arc" if rolled else "corner")
    legs = (ears[0], shanks[0], *facets, shanks[1], ears[1])
    folds = (up, *[down] * strap.bends, up)
    return FoldedStrip(legs=legs, folds=folds, width=strap.width, root=(len(legs) - 1) // 2)


def _corner(strap: Strap) -> tuple[float, float]:
    """The ear's corner from the tank's centre, and the straight from there to the wrap, mm."""
    lean = strap.wrap / 2
    straight = (strap.centre_height + strap.radius * math.cos(lean)) / math.sin(lean)
    return strap.radius * math.sin(lean) + straight * math.cos(lean), straight


def draw(strap: Strap, stock: Stock, way: BendWay) -> Drawn:
    """The strap's panels. Raises BuildError with the keys that disagree."""
    step, lean = strap.wrap / strap.bends, strap.wrap / 2
    far = strap.middle == "rolled" or step <= math.radians(170)
    require(far, "one bend cannot turn so far: give more bends", "bends")
    rounder = way.inside_radius(step, stock.thickness) >= strap.radius
    require(not rounder, "the bends are rounder than the tank: make them tighter", "diameter")
    used = setback(way, lean, stock.thickness, "outside")
    corner, straight = _corner(strap)
    require(
        straight >= used,
        f"the ears' bends take up {both_units(used)} and only {both_units(straight)} is "
        "straight below the wrap: raise the tank or wrap less of it",
        "centre_height",
        "wrap",
    )
    outside = strap.span / 2 - corner > used
    require(outside, "the bolts stand in the ears' bends: widen the span", "span")
    return strip(strap).drawn(way)


def dimensions(strap: Strap, bracket: Bracket) -> Iterator[Dimension | Tag]:
    """What is measured on a strap; the tank's measurements show only in its place.

    Once pulled round, a rolled strap is rounder than the folds that the model knows of: its bolts
    are measured across the blank.
    """
    ears = [bracket.panel(f"{hand} ear") for hand in ("left", "right")]
    rolled = strap.middle == "rolled"
    for left, right in zip(ears[0].holes, ears[1].holes, strict=True):
        ends = [
            replace(centre(ear, hole, "underside"), when="flat" if rolled else "either")
            for ear, hole in zip(ears, (left, right), strict=True)
        ]
        key, asked = ("", None) if rolled else ("span", strap.span)
        yield length(key, asked, ends[0], ends[1], critical=True)
    for ear in ears:
        yield from row_listed("bolts", ear, strap.bolts)
        bolts, end = centre(ear, ear.holes[0], "underside"), edge(ear, "end", "end of the ear")
        yield length("beyond", strap.beyond, bolts, end)
    front, back = (edge(bracket.root, f"{side} side") for side in ("front", "back"))
    across = Spot(front.panel, front.line.point_at(0.5), "front side")
    yield length("width", strap.width, across, back)
    yield tag("bends", bracket.panel("right shank"), "base")
    # equal diagonals: the blank is square
    for at in ("start", "end"):
        ends = [
            Spot(ear.name, getattr(ear.straight_edge("end"), at), f"corner of the {ear.name}")
            for ear in ears
        ]
        yield derived(*(replace(each, when="flat") for each in ends))


def in_place(strap: Strap, bracket: Bracket) -> InPlace:
    """The strap over its tank, seen from the end: the tank's centre is the origin."""
    end, foot = strap.span / 2 + strap.beyond, -strap.centre_height
    reach = max(end, strap.diameter / 2) * 1.2
    bolts = (
        Line(Point(x, foot - reach / 20), Point(x, foot + reach / 8)) for x in _bolt_lines(strap)
    )
    level = Line(Point(-strap.radius * 1.1, 0), Point(reach, 0))
    # the bent strap's section with sharp corners, about the tank's centre
    inner, outer = _flank(strap, 0.0), _flank(strap, bracket.stock.thickness)
    left = [Point(-p.x, p.y) for p in (*outer, *reversed(inner))]
    lined = Vector.polar(math.pi / 2 + strap.wrap / 4, (strap.diameter / 2 + strap.radius) / 2)
    over = strap.radius + bracket.stock.thickness
    outside = Vector.polar(math.pi / 2 - strap.wrap / 4, over)
    return InPlace(
        section=Contour(
            (
                Arc(left[-1], inner[0], -strap.wrap),
                *(Line(a, b) for a, b in pairwise((*inner, *reversed(outer)))),
                Arc(outer[0], left[0], strap.wrap),
                *(Line(a, b) for a, b in pairwise(left)),
            )
        ),
        carried=Circle(Point(0, 0), strap.diameter),
        face=Line(Point(-reach, foot), Point(reach, foot)),
        centres=(level, *bolts),
        dimensions=tuple(_in_place_lengths(strap, reach)),
        tags=(
            Tag(key="liner", panel=IN_PLACE, at=ORIGIN + lined),
            Tag(key="middle", panel=IN_PLACE, at=ORIGIN + outside),
        ),
    )


def _bolt_lines(strap: Strap) -> tuple[float, float]:
    return -strap.span / 2, strap.span / 2


def _flank(strap: Strap, off: float) -> tuple[Point, Point, Point]:
    """Where the wrap ends, the ear's corner and the ear's end, right, `off` mm from the inside."""
    lean, radius, foot = strap.wrap / 2, strap.radius + off, off - strap.centre_height
    top = Point(radius * math.sin(lean), radius * math.cos(lean))
    corner = Point(top.x + (top.y - foot) / math.tan(lean), foot)
    return top, corner, Point(strap.span / 2 + strap.beyond, foot)


def _in_place_lengths(strap: Strap, reach: float) -> Iterator[Dimension]:
    middle, foot, half = Point(0, 0), -strap.centre_height, Vector(strap.diameter / 2, 0)
    left, right = (Point(x, foot) for x in _bolt_lines(strap))
    side = Point(reach, 0)
    for key, asked, start, end in (
        ("diameter", strap.diameter, middle + half * -1, middle + half),
        ("centre_height", strap.centre_height, side, Point(reach, foot)),
        ("span", strap.span, left, right),
    ):
        ends = (Spot(IN_PLACE, at, key) for at in (start, end))
        yield length(key, asked, *ends)
    lean, out = strap.wrap / 2, strap.diameter * 0.3
    rays = (
        Straight(IN_PLACE, Line(middle, middle + Vector.polar(math.pi / 2 + turn, out)), "wrap")
        for turn in (-lean, lean)
    )
    first, last = rays
    yield Dimension(start=first, end=last, key="wrap", asked=strap.wrap, quantity="angle")


SUMMARY = "A saddle for a round tank or tube: flat ears and a middle of many small bends."
KIND = Kind("strap", SUMMARY, Strap, draw, dimensions, in_place)
