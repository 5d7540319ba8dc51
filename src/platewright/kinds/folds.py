"""Folds and the lengths that people measure to them.

A leg's length is given to the outside, the inside or the centre of the thickness. At a bend of up
to a right angle that is the corner where the faces would meet; beyond a right angle that corner
lies far out in the air, and the length is given to the farthest place of the bend, as DIN 6935
does. At a right angle the two are one.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal

from platewright import measure
from platewright.errors import BuildError
from platewright.plate.bend import BendWay, Direction, Face, inside_face, other_face
from platewright.plate.told import both_units

MeasuredTo = Literal["outside", "inside", "centre", "flat"]

#: Share of the thickness, from the inside face, at which a length is measured.
_SHARES: dict[str, float] = {"outside": 1.0, "inside": 0.0, "centre": 0.5}


@dataclass(frozen=True, slots=True)
class Fold:
    """A bend to make: how far the metal turns, radians, and which way."""

    angle: float
    direction: Direction

    @property
    def outside(self) -> Face:
        """The face on the outside of the bend."""
        return other_face(inside_face(self.direction))


def fold(angle: float, direction: str) -> Fold:
    """A fold from declared values."""
    return Fold(angle, "up" if direction == "up" else "down")


def setback_to(to: str, way: BendWay, angle: float, thickness: float) -> float:
    """From a bend's tangent line to where a leg is measured, mm.

    `to` is "outside", "inside", "centre", or "flat" for the tangent line itself. With r the inside
    radius and c the share of the thickness: (r + cT) tan(angle/2) up to a right angle
    (FAA-H-8083-31 ch. 4), r + cT beyond it (DIN 6935).
    """
    if to == "flat":
        return 0.0
    reach = way.inside_radius(angle, thickness) + _SHARES[to] * thickness
    return reach * (math.tan(angle / 2) if angle < math.pi / 2 else 1.0)


def flat_length(
    length: float, folds: Iterable[Fold], to: str, way: BendWay, thickness: float, *keys: str
) -> float:
    """Flat length of a leg between its tangent lines, mm, from its measured length.

    `folds` are the bends at its ends. Raises BuildError with the keys when the bends leave nothing.
    """
    used = math.fsum(setback_to(to, way, each.angle, thickness) for each in folds)
    if length - used <= 1e-6:
        raise BuildError(
            f"nothing flat is left of this leg: its bends take up {both_units(used)} of it",
            *keys,
        )
    return length - used


def measured_to() -> Any:
    """The declaration that every kind with measured legs shares."""
    return measure.choice(
        "measured to",
        "What the legs' lengths are measured to: the outside corners of the bends, the inside "
        "ones, or the centre of the thickness.",
        ("outside", "inside", "centre"),
        example="outside",
    )


def fold_angle(label: str = "fold angle", default_deg: float | None = 90) -> Any:
    """The declaration of how far a leg is folded."""
    return measure.angle(
        label,
        "How far the metal is folded from flat; 90 stands it square.",
        minimum_deg=1,
        maximum_deg=170,
        default_deg=default_deg,
    )


def fold_direction(default: str | None = "up") -> Any:
    """The declaration of which way a leg is folded."""
    return measure.choice(
        "fold direction", "Up is towards you with the top face up.", ("up", "down"), default=default
    )
