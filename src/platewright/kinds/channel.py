"""The channel: a web with a flange folded from each side; up it is a trough, down a saddle."""

from __future__ import annotations

from platewright.kinds.folds import (
    along_bends,
    flange_length,
    fold,
    fold_angle,
    fold_direction,
    leg_length,
    measured_to,
)
from platewright.kinds.holes import HoleRow, leg_holes
from platewright.kinds.strip import FoldedStrip, leg, strip_kind
from platewright.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Channel:
    """Measurements of a channel."""

    measured_to: str = measured_to()
    web: float = leg_length(
        "Across the channel, from bend to bend. Measured to the inside it is the room between the "
        "flanges.",
        "1/4 in to 72 in", example="4 in",
    )  # fmt: skip
    left_flange: float = flange_length("left")
    right_flange: float = flange_length("right")
    width: float = along_bends("6 in")
    left_angle: float = fold_angle("left fold")
    right_angle: float = fold_angle("right fold")
    direction: str = fold_direction()
    web_holes: HoleRow | None = leg_holes("the web")
    left_holes: HoleRow | None = leg_holes("the left flange")
    right_holes: HoleRow | None = leg_holes("the right flange")


def strip(channel: Channel) -> FoldedStrip:
    """The channel as a strip."""
    way, to = channel.direction, channel.measured_to
    return FoldedStrip(
        legs=(
            leg(channel, "left flange", "left_flange", "left_holes"),
            leg(channel, "web", "web", "web_holes"),
            leg(channel, "right flange", "right_flange", "right_holes"),
        ),
        folds=(
            fold(channel.left_angle, way, to, "left_angle"),
            fold(channel.right_angle, way, to, "right_angle", "direction"),
        ),
        width=channel.width,
        root=1,
    )


SUMMARY = "A web with a flange folded from each side: a trough, or turned over a saddle."
KIND = strip_kind("channel", SUMMARY, Channel, strip)
