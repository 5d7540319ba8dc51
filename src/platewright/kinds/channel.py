"""The channel: a web with a flange folded from each side; up it is a trough, down a saddle."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from platewright import measure
from platewright.kinds.folds import fold, fold_angle, fold_direction, measured_to
from platewright.kinds.holes import HoleRow
from platewright.kinds.kind import Kind
from platewright.kinds.shown import Shown
from platewright.kinds.shown_parts import bend_told, panels_of, strip_told
from platewright.kinds.strip import Leg, Strip, strip_bracket
from platewright.plate.bend import BendWay
from platewright.plate.bracket import Bracket
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


def build(channel: Channel, stock: Stock, way: BendWay) -> Bracket:
    """The bracket of a channel's measurements. Raises BuildError with the keys that disagree."""
    legs = (
        Leg(
            name="left flange",
            length=channel.left_flange,
            key="left_flange",
            row=channel.left_holes,
            row_key="left_holes",
        ),
        Leg(name="web", length=channel.web, key="web", row=channel.web_holes, row_key="web_holes"),
        Leg(
            name="right flange",
            length=channel.right_flange,
            key="right_flange",
            row=channel.right_holes,
            row_key="right_holes",
        ),
    )
    angles = (channel.left_angle, channel.right_angle)
    strip = Strip(
        legs=legs,
        folds=tuple(fold(angle, channel.direction) for angle in angles),
        width=channel.width,
        to=channel.measured_to,
        root=1,
    )
    return strip_bracket(strip, stock, way)


def shown(channel: Channel, bracket: Bracket) -> Iterator[Shown]:
    """Where the measurements show on the flat channel."""
    names = ("left flange", "web", "right flange")
    rows = dict(
        zip(
            names,
            (
                ("left_holes", channel.left_holes),
                ("web_holes", channel.web_holes),
                ("right_holes", channel.right_holes),
            ),
            strict=True,
        )
    )
    yield from strip_told(bracket, {name: name.replace(" ", "_") for name in names}, rows)
    panels = panels_of(bracket)
    yield from bend_told("left_angle", "", panels["left flange"])
    yield from bend_told("right_angle", "direction", panels["right flange"])


KIND = Kind(
    name="channel",
    summary="A web with a flange folded from each side: a trough, or turned over a saddle.",
    measurements=Channel,
    build=build,
    shown=shown,
)
