"""The zee: a web with one flange folded up and one down, to step from one face to another."""

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
class Zee:
    """Measurements of a zee."""

    measured_to: str = measured_to()
    web: float = leg_length(
        "From bend to bend. Measured to the outside it is the step over both flanges' far faces.",
        "1/4 in to 72 in",
    )
    left_flange: float = flange_length("left")
    right_flange: float = flange_length("right")
    width: float = along_bends()
    angle: float = fold_angle()
    direction: str = fold_direction()
    left_holes: HoleRow | None = leg_holes("the left flange")
    right_holes: HoleRow | None = leg_holes("the right flange")


def strip(zee: Zee) -> FoldedStrip:
    """The zee as a strip, its right flange folded in the stated direction."""
    other = "down" if zee.direction == "up" else "up"
    return FoldedStrip(
        legs=(
            leg(zee, "left flange", "left_flange", "left_holes"),
            leg(zee, "web", "web"),
            leg(zee, "right flange", "right_flange", "right_holes"),
        ),
        folds=(
            fold(zee.angle, other, zee.measured_to, "angle"),
            fold(zee.angle, zee.direction, zee.measured_to, "angle", "direction"),
        ),
        width=zee.width,
        root=1,
    )


SUMMARY = "A web with one flange folded up and one down, to step from one face to another."
KIND = strip_kind("zee", SUMMARY, Zee, strip)
