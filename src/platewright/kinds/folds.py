"""Folds, and the declarations that kinds with measured legs share.

A leg's length is given to the outside, the inside or the centre of the thickness (see
`plate.bend.setback`).
"""

from __future__ import annotations

from typing import Any

from platewright import measure
from platewright.plate.bend import BendWay, Direction, DrawnTo
from platewright.plate.bracket import Bend, Panel
from platewright.values import dataclass


@dataclass(frozen=True, slots=True)
class Fold:
    """A bend to make: how far the metal turns, radians, which way, what it is drawn to.

    `key` and `direction_key` are the file's, "" for what no key gives.
    """

    angle: float
    direction: Direction
    to: DrawnTo = "outside"
    key: str = ""
    direction_key: str = ""


def fold(
    angle: float, direction: str, to: str = "outside", key: str = "", direction_key: str = ""
) -> Fold:
    """A fold from declared values."""
    drawn: DrawnTo = "inside" if to == "inside" else "centre" if to == "centre" else "outside"
    return Fold(angle, "up" if direction == "up" else "down", drawn, key, direction_key)


def bent_on(edge: str, panel: Panel, each: Fold, way: BendWay) -> Bend:
    """The bend that joins a panel by its whole base to a whole edge."""
    return Bend(
        edge=edge,
        panel=panel,
        angle=each.angle,
        direction=each.direction,
        way=way,
        to=each.to,
        base_to=each.to,
    )


def measured_to() -> Any:
    """The declaration that every kind with measured legs shares."""
    return measure.choice(
        "What the legs' lengths are measured to: the outside corners of the bends, the inside "
        "ones, or the centre of the thickness. Past a right angle, to where a square laid against "
        "the bend finds it.",
        ("outside", "inside", "centre"), label="measured to", example="outside",
    )  # fmt: skip


def leg_length(
    how: str, within: str = "1/4 in to 48 in", *, example: str = "2 in", fit_critical: bool = True
) -> Any:
    """The declaration of a leg's length, or of the length along its bends."""
    return measure.length(how, within, fit_critical=fit_critical, example=example)


def flange_length(side: str) -> Any:
    """The declaration of a flange's length on one side."""
    return leg_length(f"From the bend to the edge of the flange on the {side}.")


def along_bends(example: str = "4 in") -> Any:
    """The declaration of the width along the bends."""
    how = "Along the bends, from end to end."
    return leg_length(how, "1/4 in to 120 in", example=example, fit_critical=False)


def fold_angle(label: str = "fold angle") -> Any:
    """The declaration of how far a leg is folded."""
    how = "How far the metal is folded from flat; 90 stands it square."
    return measure.angle(how, "1 to 170", label=label, default=90)


def fold_direction() -> Any:
    """The declaration of which way a leg is folded."""
    how = "Up is towards you with the top face up."
    return measure.choice(how, ("up", "down"), label="fold direction", default="up")
