"""The hat: a top on two sides that stand on two feet."""

from __future__ import annotations

from typing import Any

from platewright.kinds.folds import along_bends, fold, fold_angle, leg_length, measured_to
from platewright.kinds.holes import HoleRow, leg_holes
from platewright.kinds.strip import FoldedStrip, leg, strip_kind
from platewright.values import dataclass


def foot_length(side: str) -> Any:
    """The declaration of a foot's length on one side."""
    how = f"From the bend to the edge of the foot on the {side}."
    return leg_length(how, example="1 1/2 in", fit_critical=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hat:
    """Measurements of a hat."""

    measured_to: str = measured_to()
    top: float = leg_length(
        "Across the top, from bend to bend. Measured to the inside it is the room for a rail.",
        "1/4 in to 72 in", example="3 in",
    )  # fmt: skip
    side: float = leg_length(
        "Along each side, from the top's bend to the foot's. Measured to the outside, with square "
        "folds, it is the height from the feet's lower face to the top."
    )
    left_foot: float = foot_length("left")
    right_foot: float = foot_length("right")
    width: float = along_bends()
    angle: float = fold_angle()
    top_holes: HoleRow | None = leg_holes("the top")
    foot_holes: HoleRow | None = leg_holes("each foot")


def strip(hat: Hat) -> FoldedStrip:
    """The hat as a strip: sides folded down, feet folded out again."""
    down, up = (fold(hat.angle, way, hat.measured_to, "angle") for way in ("down", "up"))
    return FoldedStrip(
        legs=(
            leg(hat, "left foot", "left_foot", "foot_holes"),
            leg(hat, "left side", "side"),
            leg(hat, "top", "top", "top_holes"),
            leg(hat, "right side", "side"),
            leg(hat, "right foot", "right_foot", "foot_holes"),
        ),
        folds=(up, down, down, up),
        width=hat.width,
        root=2,
    )


SUMMARY = "A top on two sides with feet folded out, to straddle a rail or carry over a pipe."
KIND = strip_kind("hat", SUMMARY, Hat, strip)
