"""Everything that is told about a piece besides its shape."""

from __future__ import annotations

from dataclasses import replace

from platewright.findings.finding import Finding
from platewright.findings.limits import Limits, Load, context_of
from platewright.findings.rules import findings
from platewright.plate.lean import Lean
from platewright.plate.piece import Piece
from platewright.shop.brake import BrakeRow, brake_schedule
from platewright.shop.cutting import Cutting
from platewright.shop.scores import ScoreRow, Suggestion, score_schedule
from platewright.shop.wall import Strength, strength_of
from platewright.units import Unit
from platewright.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """Findings worst first, the score and brake schedules, the strength screen of a load.

    `ligament` is the one that was suggested and used because the file gives none.
    """

    findings: tuple[Finding, ...]
    scores: tuple[ScoreRow, ...]
    brakes: tuple[BrakeRow, ...]
    strength: Strength | None
    ligament: Suggestion | None = None


def judge(
    piece: Piece,
    limits: Limits,
    cutting: Cutting,
    load: Load | None,
    lean: Lean | None = None,
    suspension: tuple[str, ...] = (),
    unit: Unit = "mm",
) -> Judgement:
    """The judgement of a piece; `lean` and `suspension` as in `Context`, `unit` the file's.

    Raises BuildError for a load on a bracket without a wall edge.
    """
    bracket, blank = piece.bracket, piece.blank
    strength = (
        strength_of(
            bracket,
            load.newtons,
            arm=load.arm,
            leg=limits.weld_leg,
            origin=load.origin,
            unit=unit,
        )
        if load is not None
        else None
    )
    context = replace(
        context_of(limits, cutting), lean=lean, suspension=suspension, strength=strength
    )
    return Judgement(
        findings=findings(bracket, blank, context),
        scores=score_schedule(bracket, blank, limits.effort),
        brakes=brake_schedule(bracket, blank, limits.grain),
        strength=strength,
    )
