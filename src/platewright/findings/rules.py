"""All rules in one table, what they find, and all else that is told about a piece.

A new rule is a function and a line here.
"""

from __future__ import annotations

import math
from dataclasses import replace

from platewright.findings import bends, holes, room, suspension, whole
from platewright.findings.case import Case, Context
from platewright.findings.finding import COMMON, EXACT, SEVERITIES, Finding, Rule
from platewright.findings.limits import Limits, Load
from platewright.plate.blank import Blank
from platewright.plate.bracket import Bracket
from platewright.plate.dimension import swapped_hand
from platewright.plate.lean import Lean
from platewright.plate.piece import Piece
from platewright.shop.brake import BrakeRow, brake_schedule
from platewright.shop.cutting import Cutting
from platewright.shop.scores import ScoreRow, Suggestion, score_schedule
from platewright.shop.wall import Strength, strength_of
from platewright.units import Unit
from platewright.values import dataclass

RULES: tuple[Rule, ...] = (
    Rule("blank overlaps itself", EXACT, whole.blank_overlaps_itself),
    Rule("hole off the plate", EXACT, holes.hole_off_the_plate),
    Rule("openings overlap", EXACT, holes.openings_overlap),
    Rule("panels pass through each other", EXACT, whole.panels_pass_through),
    Rule("panel stands in the wall", EXACT, whole.into_the_wall),
    Rule("body room", EXACT, room.body_room),
    Rule("weld beside the body", EXACT, room.weld_room),
    Rule("body drift", COMMON, room.drift_room),
    Rule("suspension", COMMON, suspension.suspension_itself),
    Rule("body unlike the spring", EXACT, suspension.body_unlike_the_spring),
    Rule("body through the travel", COMMON, suspension.lean_room),
    Rule("body towards the wall", COMMON, suspension.lean_to_wall),
    Rule("longer than the spring", EXACT, suspension.past_the_other_mount),
    Rule("plate circle supported", COMMON, room.plate_circle_supported),
    Rule("hole edge distance", COMMON, holes.hole_edge_distance),
    Rule("cut-out edge distance", COMMON, holes.cutout_edge_distance),
    Rule("hole to hole", COMMON, holes.hole_to_hole),
    Rule("hole to bend", COMMON, holes.hole_to_bend),
    Rule("washer room", COMMON, room.washer_room),
    Rule("fitting against bolts", COMMON, room.fitting_against_bolts),
    Rule("port pilot", COMMON, room.pilot_without_room),
    Rule("fold beyond the groove", EXACT, bends.fold_beyond_groove),
    Rule("ligament too thick", COMMON, bends.ligament_too_thick),
    Rule("ligament too thin", COMMON, bends.ligament_too_thin),
    Rule("leg too short", COMMON, bends.leg_too_short),
    Rule("bend radius too small", COMMON, bends.radius_too_small),
    Rule("missing corner relief", COMMON, bends.missing_relief),
    Rule("strength screen", whole.SCREEN, whole.screen_exceeded),
    Rule("larger than the sheet", EXACT, whole.larger_than_sheet),
    Rule("no room for the torch", EXACT, whole.no_room_for_torch),
    Rule("not as asked", EXACT, whole.not_as_asked),
    Rule("how it is drawn", EXACT, whole.told_of_the_drawing),
    Rule("ligament stretch", COMMON, bends.ligament_stretch),
    Rule("nicks without a strip", COMMON, bends.nicks_without_a_strip),
    Rule("socket room", COMMON, room.socket_room),
    Rule("hole too small for plasma", COMMON, holes.plasma_hole_too_small),
)
"""Every rule, the graver ones first."""

_SQUARE = 1e-9


def findings(bracket: Bracket, blank: Blank, context: Context | None = None) -> tuple[Finding, ...]:
    """Everything wrong or risky about a bracket, worst first; within a severity as in the table.

    `blank` is the bracket's own blank, moved or not.
    """
    case = Case(bracket, blank, context or Context())
    found = [finding for rule in RULES for finding in rule.findings(case)]
    return tuple(sorted(found, key=lambda finding: SEVERITIES.index(finding.severity)))


def must_change(found: tuple[Finding, ...]) -> bool:
    """Whether something is found that has to be changed before cutting."""
    return any(finding.severity != "note" for finding in found)


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

    def mirrored(self) -> Judgement:
        """The judgement of the other hand: the same figures, places by their other names."""
        found = (
            # the setup's own words name no place of the part
            each if each.rule == "suspension" else replace(each, place=swapped_hand(each.place))
            for each in self.findings
        )
        return replace(self, findings=tuple(found))


def same_for_both_hands(limits: Limits) -> bool:
    """Whether a mirrored blank is judged alike: not where the rolling runs askew to the mirror."""
    return limits.grain is None or abs(math.sin(2 * limits.grain)) < _SQUARE


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
    leg, strength = limits.weld_leg, None
    if load is not None:
        force, arm, origin = load.newtons, load.arm, load.origin
        strength = strength_of(bracket, force, arm=arm, leg=leg, origin=origin, unit=unit)
    context = Context(
        sheet=limits.sheet,
        effort=limits.effort,
        kerf=cutting.kerf,
        hole_factor=cutting.hole_factor,
        grain=limits.grain,
        weld_leg=leg,
        lean=lean,
        suspension=suspension,
        strength=strength,
    )
    return Judgement(
        findings=findings(bracket, blank, context),
        scores=score_schedule(bracket, blank, limits.effort),
        brakes=brake_schedule(bracket, blank, limits.grain),
        strength=strength,
    )
