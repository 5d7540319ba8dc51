"""The zee: a web with one flange folded each way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from platewright import measure
from platewright.kinds.folds import fold, fold_angle, fold_direction, measured_to
from platewright.kinds.holes import HoleRow
from platewright.kinds.kind import Kind
from platewright.kinds.places import bend_listed
from platewright.kinds.strip import Leg, Strip
from platewright.plate.bend import BendWay
from platewright.plate.bracket import Bracket
from platewright.plate.dimension import Dimension, Tag
from platewright.plate.flatten import Drawn
from platewright.plate.stock import Stock


@dataclass(frozen=True, slots=True, kw_only=True)
class Zee:
    """Measurements of a zee."""

    measured_to: str = measured_to()
    web: float = measure.length(
        "web",
        "From bend to bend. Measured to the outside it is the step over both flanges' far faces.",
        minimum="1/4 in",
        maximum="72 in",
        fit_critical=True,
        example="2 in",
    )
    left_flange: float = measure.length(
        "left flange",
        "From the bend to the edge of the flange on the left.",
        minimum="1/4 in",
        maximum="48 in",
        fit_critical=True,
        example="2 in",
    )
    right_flange: float = measure.length(
        "right flange",
        "From the bend to the edge of the flange on the right.",
        minimum="1/4 in",
        maximum="48 in",
        fit_critical=True,
        example="2 in",
    )
    width: float = measure.length(
        "length of the zee",
        "Along its bends, from end to end.",
        minimum="1/4 in",
        maximum="120 in",
        example="4 in",
    )
    angle: float = fold_angle()
    direction: str = fold_direction()
    left_holes: HoleRow | None = measure.table(
        "left holes", "A row of holes along the left flange.", HoleRow, optional=True
    )
    right_holes: HoleRow | None = measure.table(
        "right holes", "A row of holes along the right flange.", HoleRow, optional=True
    )


def strip(zee: Zee) -> Strip:
    """The zee as a strip, its right flange folded in the stated direction."""
    other = "down" if zee.direction == "up" else "up"
    legs = (
        ("left flange", zee.left_flange, "left_flange", zee.left_holes, "left_holes"),
        ("web", zee.web, "web", None, ""),
        ("right flange", zee.right_flange, "right_flange", zee.right_holes, "right_holes"),
    )
    return Strip(
        legs=tuple(
            Leg(name=name, length=length, key=key, row=row, row_key=row_key)
            for name, length, key, row, row_key in legs
        ),
        folds=tuple(fold(zee.angle, way, zee.measured_to) for way in (other, zee.direction)),
        width=zee.width,
        root=1,
    )


def draw(zee: Zee, _stock: Stock, way: BendWay) -> Drawn:
    """The zee's panels."""
    return strip(zee).drawn(way)


def dimensions(zee: Zee, bracket: Bracket) -> Iterator[Dimension | Tag]:
    """What is measured on a zee."""
    yield from strip(zee).dimensions(bracket)
    yield from bend_listed("angle", zee.angle, "direction", bracket, "right flange")
    yield from bend_listed("angle", zee.angle, "", bracket, "left flange")


KIND = Kind(
    name="zee",
    summary="A web with one flange folded up and one down, to step from one face to another.",
    measurements=Zee,
    draw=draw,
    dimensions=dimensions,
)
