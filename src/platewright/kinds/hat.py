"""The hat: a top on two sides that stand on two feet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from platewright import measure
from platewright.kinds.folds import fold, fold_angle, measured_to
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
class Hat:
    """Measurements of a hat."""

    measured_to: str = measured_to()
    top: float = measure.length(
        "top",
        "Across the top, from bend to bend. Measured to the inside it is the room for a rail.",
        minimum="1/4 in",
        maximum="72 in",
        fit_critical=True,
        example="3 in",
    )
    side: float = measure.length(
        "side",
        "Along each side, from the top's bend to the foot's. Measured to the outside, with square "
        "folds, it is the height from the feet's lower face to the top.",
        minimum="1/4 in",
        maximum="48 in",
        fit_critical=True,
        example="2 in",
    )
    left_foot: float = measure.length(
        "left foot",
        "From the bend to the edge of the foot on the left.",
        minimum="1/4 in",
        maximum="48 in",
        example="1 1/2 in",
    )
    right_foot: float = measure.length(
        "right foot",
        "From the bend to the edge of the foot on the right.",
        minimum="1/4 in",
        maximum="48 in",
        example="1 1/2 in",
    )
    width: float = measure.length(
        "length of the hat",
        "Along its bends, from end to end.",
        minimum="1/4 in",
        maximum="120 in",
        example="4 in",
    )
    angle: float = fold_angle()
    top_holes: HoleRow | None = measure.table(
        "top holes", "A row of holes along the top.", HoleRow, optional=True
    )
    foot_holes: HoleRow | None = measure.table(
        "foot holes", "A row of holes along each foot.", HoleRow, optional=True
    )


def strip(hat: Hat) -> Strip:
    """The hat as a strip: sides folded down, feet folded out again."""
    down, up = (fold(hat.angle, way, hat.measured_to) for way in ("down", "up"))
    feet, top = (hat.foot_holes, "foot_holes"), (hat.top_holes, "top_holes")
    legs = (
        ("left foot", hat.left_foot, "left_foot", feet),
        ("left side", hat.side, "side", (None, "")),
        ("top", hat.top, "top", top),
        ("right side", hat.side, "side", (None, "")),
        ("right foot", hat.right_foot, "right_foot", feet),
    )
    return Strip(
        legs=tuple(
            Leg(name=name, length=length, key=key, row=row, row_key=row_key)
            for name, length, key, (row, row_key) in legs
        ),
        folds=(up, down, down, up),
        width=hat.width,
        root=2,
    )


def draw(hat: Hat, _stock: Stock, way: BendWay) -> Drawn:
    """The hat's panels."""
    return strip(hat).drawn(way)


def dimensions(hat: Hat, bracket: Bracket) -> Iterator[Dimension | Tag]:
    """What is measured on a hat."""
    yield from strip(hat).dimensions(bracket)
    for panel in ("right side", "right foot", "left side", "left foot"):
        yield from bend_listed("angle", hat.angle, "", bracket, panel)


KIND = Kind(
    name="hat",
    summary="A top on two sides with feet folded out, to straddle a rail or carry over a pipe.",
    measurements=Hat,
    draw=draw,
    dimensions=dimensions,
)
