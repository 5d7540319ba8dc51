"""The ways to make a bend.

Every way answers the same few questions and nothing else in the code knows which it is: the
inside radius and the flat length (allowance) for an angle and a thickness, and how deep below the
inside face the line lies that keeps its length. Angles are how far the metal turns, radians.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, Protocol

Direction = Literal["up", "down"]
Face = Literal["top", "underside"]


class BendWay(Protocol):
    """What every way of making a bend can tell."""

    @property
    def name(self) -> str:
        """The way's spelling in bracket files."""
        ...

    @property
    def words(self) -> str:
        """How the bend is made, in shop words."""
        ...

    @property
    def scored(self) -> bool:
        """Whether a groove is ground before folding."""
        ...

    def inside_radius(self, angle: float, thickness: float) -> float:
        """Radius of the inside face at the full angle, mm."""
        ...

    def allowance(self, angle: float, thickness: float) -> float:
        """Flat length used between the two tangent lines, mm."""
        ...

    def neutral_depth(self, thickness: float) -> float:
        """Depth below the inside face of the line that keeps its length, mm."""
        ...

    def bent_thickness(self, thickness: float) -> float:
        """Thickness of the metal that bends, from the inside face outwards, mm."""
        ...


@dataclass(frozen=True, slots=True)
class ScoreFold:
    """A groove ground on the outside of the bend, then folded by hand.

    The ligament (the metal left under the groove, thickness `ligament`) bends over the groove's
    width; its middle neither grows nor shrinks, so the allowance is the groove's width and the
    inside radius is groove/angle - ligament/2, never below 0.
    """

    groove: float
    ligament: float

    @property
    def name(self) -> str:
        """The way's spelling in bracket files."""
        return "score"

    @property
    def words(self) -> str:
        """How the bend is made."""
        return "score and fold"

    @property
    def scored(self) -> bool:
        """A groove is ground."""
        return True

    def inside_radius(self, angle: float, thickness: float) -> float:  # noqa: ARG002
        """Radius of the inside face, mm: max(0, groove/angle - ligament/2)."""
        return max(0.0, self.groove / angle - self.ligament / 2)

    def allowance(self, angle: float, thickness: float) -> float:  # noqa: ARG002
        """The groove's width, mm."""
        return self.groove

    def neutral_depth(self, thickness: float) -> float:  # noqa: ARG002
        """The ligament's middle, mm below the inside face."""
        return self.ligament / 2

    def bent_thickness(self, thickness: float) -> float:
        """The ligament, mm: the rest is ground away (all of the plate when nothing is)."""
        return min(self.ligament, thickness)


@dataclass(frozen=True, slots=True)
class Brake:
    """A bend in a press brake or folder: inside radius and neutral-line factor k.

    Allowance = angle * (radius + k * thickness), the textbook neutral-line rule.
    """

    radius: float
    k: float

    @property
    def name(self) -> str:
        """The way's spelling in bracket files."""
        return "brake"

    @property
    def words(self) -> str:
        """How the bend is made."""
        return "brake"

    @property
    def scored(self) -> bool:
        """No groove is ground."""
        return False

    def inside_radius(self, angle: float, thickness: float) -> float:  # noqa: ARG002
        """The punch's radius, mm, whatever the angle."""
        return self.radius

    def allowance(self, angle: float, thickness: float) -> float:
        """angle * (radius + k * thickness), mm."""
        return angle * (self.radius + self.k * thickness)

    def neutral_depth(self, thickness: float) -> float:
        """k * thickness, mm below the inside face."""
        return self.k * thickness

    def bent_thickness(self, thickness: float) -> float:
        """The whole plate, mm."""
        return thickness


@dataclass(frozen=True, slots=True)
class Crease:
    """A sharp fold in card: no radius, no allowance."""

    @property
    def name(self) -> str:
        """The way's spelling in bracket files."""
        return "crease"

    @property
    def words(self) -> str:
        """How the bend is made."""
        return "crease"

    @property
    def scored(self) -> bool:
        """No groove is ground."""
        return False

    def inside_radius(self, angle: float, thickness: float) -> float:  # noqa: ARG002
        """0: the fold is sharp."""
        return 0.0

    def allowance(self, angle: float, thickness: float) -> float:  # noqa: ARG002
        """0: the fold uses no length."""
        return 0.0

    def neutral_depth(self, thickness: float) -> float:  # noqa: ARG002
        """0: the inside face itself."""
        return 0.0

    def bent_thickness(self, thickness: float) -> float:
        """The whole card, mm."""
        return thickness


def inside_setback(way: BendWay, angle: float, thickness: float) -> float:
    """From the tangent line to the sharp inside corner, mm: r tan(angle/2)."""
    return way.inside_radius(angle, thickness) * math.tan(angle / 2)


def outside_setback(way: BendWay, angle: float, thickness: float) -> float:
    """From the tangent line to the sharp outside corner, mm: (r + T) tan(angle/2).

    FAA-H-8083-31 ch. 4: SB = K (R + T) with K = tan(angle/2).
    """
    return (way.inside_radius(angle, thickness) + thickness) * math.tan(angle / 2)


def radius_part_way(way: BendWay, angle: float, thickness: float, amount: float) -> float:
    """Inside radius of a bend made only in part, mm, for 0 < amount <= 1.

    The neutral line keeps its length while the angle grows, so the radius shrinks towards its
    final value.
    """
    if amount == 1:
        return way.inside_radius(angle, thickness)
    return max(
        0.0, way.allowance(angle, thickness) / (angle * amount) - way.neutral_depth(thickness)
    )


def inside_face(direction: Direction) -> Face:
    """The face that ends up inside the fold."""
    return "top" if direction == "up" else "underside"


def other_face(face: Face) -> Face:
    """The face behind a face."""
    return "underside" if face == "top" else "top"


def score_face(way: BendWay, direction: Direction) -> Face | None:
    """The face to grind, None when none is: plate folds away from its score."""
    if not way.scored:
        return None
    return "top" if direction == "down" else "underside"
