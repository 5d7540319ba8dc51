"""Scores: the groove, the hand effort of the fold and the weld that fills the channel.

No published source was found for hand-folded scored plate: widths, depths and limits are common
practice, geometry is exact, moments are plastic strip theory. Angles are how far the metal turns.
"""

from __future__ import annotations

import math

from platewright.plate.bend import Direction, Face, ScoreFold
from platewright.plate.blank import Blank, BlankBend
from platewright.plate.bracket import Bracket
from platewright.plate.stock import Material
from platewright.units import INCH
from platewright.values import dataclass

WHEELS = (0.045 * INCH, INCH / 16, 3 * INCH / 32)
"""Cutoff wheel thicknesses, mm: .045, 1/16 and 3/32 in (common practice)."""

WHEEL_WANDER = 0.015 * INCH
"""How much wider than its wheel a hand-ground groove gets, mm: up to .015 in (common practice)."""

LEAST_LIGAMENT = 0.5
"""Ligament below which a scored blank falls apart in the hand, mm (common practice)."""

PUSH_LIMIT = 250.0
"""Push that one person gives comfortably, N; about 55 lbf (common practice)."""

LEVER = 300.0
"""Distance from the bend at which the push is given, mm; about 12 in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """How hard hands must push to fold: limit in N, lever in mm (both common practice)."""

    limit: float = PUSH_LIMIT
    lever: float = LEVER


USUAL = Effort()
"""What is taken where a file says nothing."""

WIRE_DIAMETER = 0.9
"""Welding wire, mm: the common .035 in."""

DEPOSITION = 0.95
"""Share of solid wire that ends up in the weld (common practice; flux-cored nearer 0.85)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """One score in one plate: how it is made, the thickness, the fold's angle and length."""

    way: ScoreFold
    thickness: float
    angle: float
    length: float

    @property
    def depth(self) -> float:
        """Depth to grind, mm: thickness less ligament."""
        return self.thickness - self.way.ligament

    @property
    def inside_radius(self) -> float:
        """Radius of the inside face when folded, mm."""
        return self.way.inside_radius(self.angle, self.thickness)

    @property
    def shut_angle(self) -> float:
        """Fold at which the groove would shut were it on the inside, radians (exact).

        The ligament's middle keeps the groove's width w as it bends, at the radius w / angle; the
        groove's edges, deeper inside by half the ligament t and the depth d, meet where that
        radius is d + t / 2: at w / (d + t / 2).
        """
        return self.way.groove / (self.depth + self.way.ligament / 2)

    @property
    def greatest_fold(self) -> float:
        """Fold at which the inside radius is used up and the inside begins to pinch, radians.

        groove / (ligament / 2) (exact); beyond it the ligament has to stretch.
        """
        return 2 * self.way.groove / self.way.ligament

    @property
    def opening(self) -> float:
        """Width of the opened groove at the outside face when folded, mm.

        The chord 2 (r + T) sin(angle / 2) between the groove's outer edges (exact).
        """
        return 2 * (self.inside_radius + self.thickness) * math.sin(self.angle / 2)

    @property
    def channel_area(self) -> float:
        """Cross-section of weld that fills the opened groove to a round outside corner, mm².

        The ring sector between the ligament and the plate's outside, angle * d (r + (T + t) / 2);
        equal to d (w + angle T / 2) while the inside keeps a radius. A flatter weld takes less.
        """
        middle = self.inside_radius + (self.thickness + self.way.ligament) / 2
        return self.angle * self.depth * middle

    @property
    def weld_volume(self) -> float:
        """Weld metal to fill the channel, mm³."""
        return self.channel_area * self.length

    @property
    def stretch(self) -> float:
        """Strain of the ligament's outer face when folded: t / (2 r + t).

        Bending theory with the middle as neutral line. Structural steel tears somewhere past a
        fifth to a half; the ligament only holds the fold until it is welded.
        """
        return self.way.ligament / (2 * self.inside_radius + self.way.ligament)

    def moment(self, stress_mpa: float) -> float:
        """Moment that folds the ligament at that stress, N mm.

        Fully plastic strip: stress b t² / 4 (any strength text).
        """
        return stress_mpa * self.length * self.way.ligament**2 / 4


def score_of(bend: BlankBend, thickness: float) -> Score | None:
    """The score of a bend on a blank; None for a bend made another way."""
    way = bend.way.score
    if way is None:
        return None
    return Score(way=way, thickness=thickness, angle=bend.angle, length=bend.line.length)


def greatest_ligament(length: float, material: Material, effort: Effort = USUAL) -> float:
    """Ligament at which the hardest push just reaches the effort's limit, mm.

    The plastic moment at the highest ultimate stress, turned about; infinite for card.
    """
    if material.ultimate_high_mpa == 0 or length == 0:
        return math.inf
    return 2 * math.sqrt(effort.limit * effort.lever / (material.ultimate_high_mpa * length))


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A value in mm and why it is suggested, in words without figures."""

    value: float
    reason: str


def suggest_ligament(
    thickness: float, length: float, material: Material, effort: Effort = USUAL
) -> Suggestion:
    """Ligament for a bend of that length: a quarter of the plate, or less so that hands can fold.

    Never below half a millimetre (half the plate if that is less); where that already takes more
    than the limit the reason says so. Common practice, no published source.
    """
    by_effort = greatest_ligament(length, material, effort)
    floor = min(LEAST_LIGAMENT, thickness / 2)
    if by_effort < floor:
        return Suggestion(
            floor, "the least that holds together; the push passes the limit: use a longer lever"
        )
    if by_effort < thickness / 4:
        return Suggestion(by_effort, "the hardest push stays at the limit")
    if thickness / 4 < floor:
        return Suggestion(floor, "the least that holds together")
    return Suggestion(thickness / 4, "a quarter of the thickness; the push stays under the limit")


# --- the schedule -----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class ScoreRow(Score):
    """One score of a bracket: what to grind, how it opens, the weld that fills it, the push.

    Moments are N mm, pushes N at the effort's lever; "hard" takes the highest ultimate stress to
    expect.
    """

    number: int
    direction: Direction
    face: Face
    material: Material
    effort: Effort

    @property
    def wheel(self) -> float:
        """Thickness of the cutoff wheel, mm: the file's own, else the widest common one that fits.

        Below the narrowest that one is taken all the same: the groove comes out wider.
        """
        if self.way.wheel is not None:
            return self.way.wheel
        return max((w for w in WHEELS if w <= self.way.groove + 1e-9), default=WHEELS[0])

    @property
    def passes(self) -> int:
        """How often the wheel goes along; each pass may wander (common practice)."""
        return max(1, math.ceil(self.way.groove / (self.wheel + WHEEL_WANDER) - 1e-9))

    @property
    def weld_g(self) -> float:
        """Mass of the weld metal, g, taken as dense as the plate."""
        return self.weld_volume * self.material.density_kg_m3 * 1e-6

    @property
    def wire_m(self) -> float:
        """Metres of welding wire that fill the channel, losses included."""
        return self.weld_volume / (math.pi * WIRE_DIAMETER**2 / 4) / DEPOSITION / 1000

    @property
    def moment_yield(self) -> float:
        """Moment at which the fold starts, at the plate's least yield."""
        return self.moment(self.material.least_yield(self.thickness))

    @property
    def moment_hard(self) -> float:
        """The most that the fold can take."""
        return self.moment(self.material.ultimate_high_mpa)

    @property
    def push_yield(self) -> float:
        """Push at which the fold starts."""
        return self.moment_yield / self.effort.lever

    @property
    def push_hard(self) -> float:
        """The hardest push that the fold can take."""
        return self.moment_hard / self.effort.lever

    @property
    def greatest_ligament(self) -> float:
        """Ligament at which the hardest push just reaches the limit, mm."""
        return greatest_ligament(self.length, self.material, self.effort)

    @property
    def suggestion(self) -> Suggestion:
        """A ligament that hands can fold."""
        return suggest_ligament(self.thickness, self.length, self.material, self.effort)


def score_schedule(bracket: Bracket, blank: Blank, effort: Effort = USUAL) -> tuple[ScoreRow, ...]:
    """Every score of a bracket, in the order of its bends."""
    return tuple(
        ScoreRow(
            way=bend.way.score,
            thickness=bracket.stock.thickness,
            angle=bend.angle,
            length=bend.line.length,
            number=bend.number,
            direction=bend.direction,
            face=bend.score_face or "top",
            material=bracket.stock.material,
            effort=effort,
        )
        for bend in blank.bends
        if bend.way.score is not None
    )
