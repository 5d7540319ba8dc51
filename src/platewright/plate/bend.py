"""The ways to make a bend.

Every way answers the same questions and nothing else in the code knows which it is: inside radius
and flat length (allowance) for an angle and a thickness, how deep below the inside face the line
lies that keeps its length, what is ground or pressed, and how much flat metal the work needs.
Angles are how far the metal turns, radians; lengths mm.
"""

from __future__ import annotations

import math
from dataclasses import field, replace
from typing import ClassVar, Literal

from platewright.values import dataclass

Direction = Literal["up", "down"]
Face = Literal["top", "underside"]
DrawnTo = Literal["outside", "inside", "centre", "flat", "arc", "corner", "clear"]
"""What a panel is drawn to at a bend.

The outside, the inside or the centre of the thickness of the finished part; "flat" is the tangent
line on the blank; "arc" shares the bend's inside arc between its two panels, as a strap that is
rolled after folding needs it; "corner" is where the inside faces would cross, however far the bend
turns; "clear" is the line that nothing of the inside of the panel beyond
stands nearer than.
"""

NARROWEST_DIE, WIDEST_DIE = 6.0, 20.0
"""Practical openings of an air-bending die, in thicknesses (common practice)."""

DIE_PER_RADIUS = 6.0
"""Die opening per inside radius when air bending.

Common practice, no published source: mild steel bends to about a sixth of the opening, whatever
the punch; stainless nearer to a fifth, soft aluminium to a seventh.
"""

BUMPING_DIE = 8.0
"""Die opening, in thicknesses, for a bend that is bumped in small steps (common practice)."""

SHARPEST_DIE = math.radians(150)
"""Beyond this turn an acute die is spent, and the bend is flattened shut (common practice)."""

HAND_LEG = 4.0
"""Flat leg that hands need to fold a score, in thicknesses (common practice)."""


class BendWay:
    """What every way of making a bend can tell; a sharp fold as it stands here."""

    __slots__ = ()

    name: ClassVar[str]
    """The way's spelling in bracket files."""

    words: ClassVar[str]
    """How the bend is made, in shop words."""

    @property
    def score(self) -> ScoreFold | None:
        """The groove to grind before folding, None when none is."""
        return None

    @property
    def brake(self) -> Brake | None:
        """The bend to make in a press brake, None when it is made by hand."""
        return None

    def inside_radius(self, angle: float, thickness: float) -> float:  # noqa: ARG002
        """Radius of the inside face at the full angle, mm."""
        return 0.0

    def allowance(self, angle: float, thickness: float) -> float:  # noqa: ARG002
        """Flat length used between the two tangent lines, mm."""
        return 0.0

    def using(self, more: float, angle: float, thickness: float) -> BendWay:  # noqa: ARG002
        """This way with `more` mm of flat used by a bend; a crease uses none."""
        return self

    def neutral_depth(self, thickness: float) -> float:  # noqa: ARG002
        """Depth below the inside face of the line that keeps its length, mm."""
        return 0.0

    def bent_thickness(self, thickness: float) -> float:
        """Thickness of the metal that bends, from the inside face outwards, mm."""
        return thickness

    def least_flat(self, angle: float, thickness: float) -> float:  # noqa: ARG002
        """Least flat of a leg, from its tangent line, with which the bend can be made, mm."""
        return 0.0

    def flat_beside(self, thickness: float) -> float:  # noqa: ARG002
        """Least flat metal between a hole's edge and the tangent line, mm."""
        return 0.0

    def corner_gap(self, angle: float, thickness: float) -> float:  # noqa: ARG002
        """Least room to the end of another bend at a corner, mm."""
        return thickness


@dataclass(frozen=True, slots=True)
class ScoreFold(BendWay):
    """A groove ground on the outside of the bend, then folded by hand.

    The ligament (the metal left under the groove, thickness `ligament`) bends over the groove's
    width; its middle neither grows nor shrinks, so the allowance is the groove's width and the
    inside radius is groove/angle - ligament/2, never below 0. `wheel` is the thickness of the
    cutoff wheel that grinds it, None where the file names none; the bend is the same with any.
    """

    groove: float
    ligament: float
    wheel: float | None = field(default=None, compare=False)

    name = "score"
    words = "score and fold"

    @property
    def score(self) -> ScoreFold:
        """This groove."""
        return self

    def inside_radius(self, angle: float, thickness: float) -> float:  # noqa: ARG002
        """Radius of the inside face, mm: max(0, groove/angle - ligament/2)."""
        return max(0.0, self.groove / angle - self.ligament / 2)

    def allowance(self, angle: float, thickness: float) -> float:  # noqa: ARG002
        """The groove's width, mm."""
        return self.groove

    def using(self, more: float, angle: float, thickness: float) -> ScoreFold:  # noqa: ARG002
        """A groove that much wider."""
        return replace(self, groove=self.groove + more)

    def neutral_depth(self, thickness: float) -> float:  # noqa: ARG002
        """The ligament's middle, mm below the inside face."""
        return self.ligament / 2

    def bent_thickness(self, thickness: float) -> float:
        """The ligament, mm: the rest is ground away (all of the plate when nothing is)."""
        return min(self.ligament, thickness)

    def least_flat(self, angle: float, thickness: float) -> float:  # noqa: ARG002
        """Four thicknesses for hands to hold, mm (common practice)."""
        return HAND_LEG * thickness

    def flat_beside(self, thickness: float) -> float:
        """One thickness from a hole to the groove, mm (common practice)."""
        return thickness


@dataclass(frozen=True, slots=True)
class Brake(BendWay):
    """A bend in a press brake or folder: inside radius and neutral-line factor k.

    Allowance = angle * (radius + k * thickness), the textbook neutral-line rule.
    """

    radius: float
    k: float

    name = "brake"
    words = "brake"

    @property
    def brake(self) -> Brake:
        """This bend."""
        return self

    def inside_radius(self, angle: float, thickness: float) -> float:  # noqa: ARG002
        """The radius, mm, whatever the angle."""
        return self.radius

    def allowance(self, angle: float, thickness: float) -> float:
        """angle * (radius + k * thickness), mm."""
        return angle * (self.radius + self.k * thickness)

    def using(self, more: float, angle: float, thickness: float) -> Brake:
        """The same radius with another k."""
        return replace(self, k=self.k + more / (angle * thickness))

    def neutral_depth(self, thickness: float) -> float:
        """k * thickness, mm below the inside face."""
        return self.k * thickness

    def bottomed(self, thickness: float) -> bool:
        """Whether the radius is sharper than the narrowest die leaves by air bending."""
        return DIE_PER_RADIUS * self.radius < NARROWEST_DIE * thickness * (1 - 1e-9)

    def die(self, thickness: float) -> float | None:
        """Die opening that leaves the radius, mm; None where no die of practical size does.

        Six times the radius, from 6 to 20 thicknesses (common practice, no published source).
        Where there is none the bend is bumped in small steps, or rolled.
        """
        opening = max(DIE_PER_RADIUS * self.radius, NARROWEST_DIE * thickness)
        return opening if opening <= WIDEST_DIE * thickness * (1 + 1e-9) else None

    def least_flat(self, angle: float, thickness: float) -> float:
        """Least flat with which a leg stays on the die's shoulder to the end of the stroke, mm.

        At the start the flat and half the allowance reach half the opening V. At the end the
        outside face, that far from the middle, has turned by half the angle a: from its sharp
        corner to the shoulder it is V / (2 cos(a/2)), and the setback (r + T) tan(a/2) of that is
        no flat (exact; at 90 degrees the 0.7 V of the tool charts). A bumped bend stands on a
        die of 8 thicknesses at its last step.
        """
        die = self.die(thickness)
        if die is None:
            return BUMPING_DIE * thickness / 2
        turn = min(angle, SHARPEST_DIE)
        at_end = die / 2 / math.cos(turn / 2) - corner_setback(self, turn, thickness)
        return max(0.0, (die - self.allowance(turn, thickness)) / 2, at_end)

    def flat_beside(self, thickness: float) -> float:
        """Two thicknesses from a hole to the tangent line, mm (common practice)."""
        return 2 * thickness

    def corner_gap(self, angle: float, thickness: float) -> float:  # noqa: ARG002
        """The radius, and no less than the thickness, mm."""
        return max(self.radius, thickness)


@dataclass(frozen=True, slots=True)
class Crease(BendWay):
    """A sharp fold in card: no radius, no allowance."""

    name = "crease"
    words = "crease"


#: Share of the thickness, from the inside face, at which a length is measured.
_SHARES = {"outside": 1.0, "inside": 0.0, "centre": 0.5}


def setback(way: BendWay, angle: float, thickness: float, to: DrawnTo) -> float:
    """From a bend's tangent line to where a panel is drawn to, mm ("clear" counts as inside).

    With r the inside radius and c the share of the thickness: (r + cT) tan(angle/2) up to a right
    angle, where the faces would meet (FAA-H-8083-31 ch. 4); r + cT beyond it, where a square laid
    against the bend finds it (DIN 6935). At a right angle the two are one.
    """
    if to == "flat":
        return 0.0
    radius = way.inside_radius(angle, thickness)
    if to == "arc":
        return radius * angle / 2
    share = _SHARES.get(to, 0.0)
    if to == "corner" or angle < math.pi / 2:
        return corner_setback(way, angle, thickness, share)
    return radius + share * thickness


def corner_setback(way: BendWay, angle: float, thickness: float, share: float = 1.0) -> float:
    """From the tangent line to the sharp corner at a share of the thickness, mm; 1 is outside.

    FAA-H-8083-31 ch. 4: SB = K (R + T) with K = tan(angle/2).
    """
    reach = way.inside_radius(angle, thickness) + share * thickness
    return reach * math.tan(angle / 2)


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
    if way.score is None:
        return None
    return "top" if direction == "down" else "underside"
