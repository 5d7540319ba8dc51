"""A judgement as JSON values: what is found, the schedules, the strength screen."""

from __future__ import annotations

import math
from typing import Any

from platewright.findings.judgement import Judgement
from platewright.findings.words import measured_words
from platewright.shop.brake import BrakeRow
from platewright.shop.scores import ScoreRow, Suggestion
from platewright.shop.strength import Screen
from platewright.shop.wall import Strength
from platewright.units import Unit, format_length


def findings_json(judgement: Judgement, unit: Unit) -> list[dict[str, Any]]:
    """What is found about a piece, every place by itself."""
    return [
        {
            "severity": finding.severity,
            "rule": finding.rule,
            "place": finding.place,
            "figures": measured_words(finding, unit),
            "change": finding.change,
            "source": finding.source,
        }
        for finding in judgement.findings
    ]


def schedules_json(judgement: Judgement) -> dict[str, Any]:
    """The scores, the brake bends, the suggested ligament and the strength screen."""
    return {
        "scores": [_score_json(row) for row in judgement.scores],
        "brakes": [_brake_json(row) for row in judgement.brakes],
        "suggested_ligament": _suggestion_json(judgement.ligament),
        "strength": _strength_json(judgement.strength),
    }


def _suggestion_json(suggested: Suggestion | None) -> dict[str, Any] | None:
    return {"mm": suggested.value, "reason": suggested.reason} if suggested else None


def _score_json(row: ScoreRow) -> dict[str, Any]:
    return {
        "bend": row.number,
        "face": row.face,
        "groove_mm": row.way.groove,
        "depth_mm": row.depth,
        "ligament_mm": row.way.ligament,
        "wheel": f"{format_length(row.wheel, 'in')} cutoff wheel",
        "wheel_mm": row.wheel,
        "passes": row.passes,
        "shut_angle_deg": round(math.degrees(row.shut_angle), 9),
        "opening_mm": row.opening,
        "weld_area_mm2": row.channel_area,
        "weld_g": row.weld_g,
        "wire_m": row.wire_m,
        "moment_yield_nmm": row.moment_yield,
        "moment_hard_nmm": row.moment_hard,
        "push_yield_n": row.push_yield,
        "push_hard_n": row.push_hard,
        "lever_mm": row.effort.lever,
        "push_limit_n": row.effort.limit,
        "ligament_at_limit_mm": row.greatest_ligament,
        "ligament_for_hands": _suggestion_json(row.suggestion),
    }


def _brake_json(row: BrakeRow) -> dict[str, Any]:
    return {
        "bend": row.number,
        "inside_radius_mm": row.inside_radius,
        "least_radius_mm": row.least.radius if row.least else None,
        "least_radius_source": row.least.source if row.least else None,
        "grain": row.grain,
        "die_mm": row.die,
        "force_n": row.force,
        "flat_mm": row.flat,
        "least_flat_mm": row.least_flat,
        "leg_mm": row.flat + row.setback,
        "shortest_leg_mm": row.least_flat + row.setback,
        "springback": row.springback,
    }


def _strength_json(strength: Strength | None) -> dict[str, Any] | None:
    if strength is None:
        return None
    return {
        "load_n": strength.load,
        "load_from": strength.origin,
        "arm_mm": strength.arm,
        "section": {
            "area_mm2": strength.at_wall.area,
            "neutral_axis_mm": strength.at_wall.neutral,
            "second_moment_mm4": strength.at_wall.inertia,
            **_screen_json(strength.plate),
        },
        "weld": {
            "what": strength.weld_words,
            "leg_mm": strength.leg,
            "length_mm": strength.group.length,
            **_screen_json(strength.weld),
        },
        "twists": strength.twists,
        "caution": strength.plate.caution,
    }


def _screen_json(screen: Screen) -> dict[str, Any]:
    return {
        "stresses_mpa": dict(screen.stresses),
        "held_against_mpa": screen.limit_mpa,
        "held_against": screen.limit_words,
        "strength_mpa": screen.strength_mpa,
        "safety_margin": screen.margin,
        "taken_for_granted": list(screen.assumptions),
    }
