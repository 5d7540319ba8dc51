"""One piece of a part as JSON values, judgement and all; what is found about pieces as lines."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

from platewright.files.job import Part
from platewright.findings.finding import Finding
from platewright.findings.rules import Judgement
from platewright.findings.words import finding_words, grouped, measured_words
from platewright.geometry.plane import Point
from platewright.measure import lettered
from platewright.plate.blank import BlankBend
from platewright.shop.brake import BrakeRow
from platewright.shop.scores import ScoreRow, Suggestion
from platewright.shop.strength import Screen
from platewright.shop.wall import Strength
from platewright.units import Unit, format_length


def findings_by_hand(judgements: Sequence[Judgement], unit: Unit) -> tuple[tuple[str, ...], ...]:
    """For each piece of a part what is found about it, worst first, like findings in one line.

    Of a pair, a right hand with the findings of the left just says so.
    """
    told = [
        tuple(f"  {finding_words(each, unit)}" for each in grouped(judgement.findings, unit))
        for judgement in judgements
    ]
    return tuple(
        ("  findings: as the left hand",) if index and lines and lines == told[0] else lines
        for index, lines in enumerate(told)
    )


def figure_lines(part: Part) -> Iterator[str]:
    """What the part takes from the shop file, and what that might have told and does not."""
    taken: dict[str, list[str]] = {}
    for each in part.figures:
        if each.source == "shop":
            taken.setdefault(each.measured_on, []).append(f"{each.label} {each.words}")
    if taken:
        told = (
            ", ".join(words) + (f" ({measured_on})" if measured_on else "")
            for measured_on, words in taken.items()
        )
        yield f"from the shop file: {'; '.join(told)}"
    yield from (
        f"note: the {each.label} is the usual one, {each.words}: {each.note}"
        for each in part.figures_used
        if each.note
    )


def figures_json(part: Part) -> list[dict[str, Any]]:
    """Every figure of a part that a shop measures, and where it comes from."""
    return [
        {
            "key": each.key,
            "label": each.label,
            "words": each.words,
            "from": each.source,
            "measured_on": each.measured_on or None,
            "note": each.note or None,
        }
        for each in part.figures_used
    ]


def piece_json(part: Part, index: int) -> dict[str, Any]:
    """What `check` and `make` alike tell of one piece of a part."""
    from platewright.report.dimensions_json import measured_json

    piece, judgement, plan = part.pieces[index], part.judgements[index], part.plans[index]
    blank, stock = piece.blank, part.stock
    box = blank.bounds
    letters = lettered(part.kind.measurements)
    set_up = None
    if part.mounting is not None:
        from platewright.suspension.mounting import set_up_json

        set_up = set_up_json(part.mounting, stock.thickness)
    return {
        "name": piece.name,
        "hand": piece.hand,
        "quantity": part.quantity,
        "fingerprint": part.fingerprint,
        "thickness_mm": stock.thickness,
        "material": stock.material.name,
        "blank": {
            "area_mm2": blank.outline.area,
            "perimeter_mm": blank.outline.perimeter,
            "bounds_mm": [box.xmin, box.ymin, box.xmax, box.ymax],
            "metal_area_mm2": blank.area,
            "mass_kg": stock.mass_kg(blank.area),
        },
        "holes": [
            {"what": hole.what, **_xy(hole.centre), "diameter_mm": hole.diameter}
            for hole in blank.cut_holes
        ],
        "pilots": [{"what": hole.what, **_xy(hole.centre)} for hole in blank.pilots],
        "bends": [_bend_json(bend) for bend in blank.bends],
        **measured_json(piece, letters),
        "card": measured_json(part.mock_ups[index], letters),
        "scores": [_score_json(row) for row in judgement.scores],
        "brakes": [_brake_json(row) for row in judgement.brakes],
        "suggested_ligament": _suggestion_json(judgement.ligament),
        "strength": _strength_json(judgement.strength),
        "findings": [finding_json(each, part.unit) for each in judgement.findings],
        "torch_path_mm": plan.length,
        "torch": {
            "kerf_mm": plan.kerf,
            "hole_kerf_mm": plan.hole_kerf,
            "burn_mm": plan.burn_length,
            "pierces": plan.pierces,
            "punched": [hole.what for hole in plan.punched],
            "cutting_minutes": plan.minutes,
        },
        "figures": figures_json(part),
        "travel": set_up,
    }


def _bend_json(bend: BlankBend) -> dict[str, Any]:
    return {
        "number": bend.number,
        "parent": bend.parent,
        "child": bend.child,
        "angle_deg": round(math.degrees(bend.angle), 9),
        "direction": bend.direction,
        "way": bend.way.name,
        "score_face": bend.score_face,
        "allowance_mm": bend.allowance,
        "inside_radius_mm": bend.inside_radius,
        "start_mm": [bend.line.start.x, bend.line.start.y],
        "end_mm": [bend.line.end.x, bend.line.end.y],
    }


def _xy(p: Point) -> dict[str, float]:
    return {"x_mm": p.x, "y_mm": p.y}


# --- what is judged of it ----------------------------------------------------------------------


def finding_json(finding: Finding, unit: Unit) -> dict[str, str]:
    """One thing found about a piece."""
    return {
        "severity": finding.severity,
        "rule": finding.rule,
        "place": finding.place,
        "figures": measured_words(finding, unit),
        "change": finding.change,
        "source": finding.source,
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
