"""The channel: a web with a flange folded from each side; up it is a trough, down a saddle."""

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
class Channel:
    """Measurements of a channel."""

    measured_to: str = measured_to()
    web: float = measure.length(
        "web",
        "Across the channel, from bend to bend. Measured to the inside it is the room between the "
        "flanges.",
        minimum="1/4 in",
        maximum="72 in",
        fit_critical=True,
        example="4 in",
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
        "length of the channel",
        "Along its bends, from end to end.",
        minimum="1/4 in",
        maximum="120 in",
        example="6 in",
    )
    left_angle: float = fold_angle("left fold")
    right_angle: float = fold_angle("right fold")
    direction: str = fold_direction()
    web_holes: HoleRow | None = measure.table(
        "web holes", "A row of holes along the web.", HoleRow, optional=True
    )
    left_holes: HoleRow | None = measure.table(
        "left holes", "A row of holes along the left flange.", HoleRow, optional=True
    )
    right_holes: HoleRow | None = measure.table(
        "right holes", "A row of holes along the right flange.", HoleRow, optional=True
    )


def strip(channel: Channel) -> Strip:
    """The channel as a strip."""
    rows = (channel.left_holes, channel.web_holes, channel.right_holes)
    names = ("left flange", "web", "right flange")
    return Strip(
        legs=tuple(
            Leg(
                name=name,
                length=getattr(channel, name.replace(" ", "_")),
                key=name.replace(" ", "_"),
                row=row,
                row_key=f"{name.partition(' ')[0]}_holes",
            )
            for name, row in zip(names, rows, strict=True)
        ),
        folds=tuple(
            fold(angle, channel.direction, channel.measured_to)
            for angle in (channel.left_angle, channel.right_angle)
        ),
        width=channel.width,
        root=1,
    )


def draw(channel: Channel, _stock: Stock, way: BendWay) -> Drawn:
    """The channel's panels."""
    return strip(channel).drawn(way)


def dimensions(channel: Channel, bracket: Bracket) -> Iterator[Dimension | Tag]:
    """What is measured on a channel."""
    yield from strip(channel).dimensions(bracket)
    yield from bend_listed("left_angle", channel.left_angle, "", bracket, "left flange")
    yield from bend_listed("right_angle", channel.right_angle, "direction", bracket, "right flange")


KIND = Kind(
    name="channel",
    summary="A web with a flange folded from each side: a trough, or turned over a saddle.",
    measurements=Channel,
    draw=draw,
    dimensions=dimensions,
)
