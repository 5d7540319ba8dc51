"""One piece of a part as JSON values, and what is found about its pieces as lines."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

from platewright.files.job import Part
from platewright.findings.grouping import grouped
from platewright.findings.judgement import Judgement
from platewright.findings.words import finding_words
from platewright.geometry.plane import Bounds, Point
from platewright.measure import lettered
from platewright.plate.blank import BlankBend
from platewright.report.judgement_json import findings_json, schedules_json
from platewright.shop.cutting import TorchPlan
from platewright.units import Unit


def findings_by_hand(judgements: Sequence[Judgement], unit: Unit) -> tuple[tuple[str, ...], ...]:
    """For each piece of a part what is found about it, worst first, like findings in one line.

    Of a pair, a right hand with the findings of the left just says so.
    """
    told = [tuple(_findings_lines(judgement, unit)) for judgement in judgements]
    return tuple(
        _AS_THE_LEFT if index and lines and lines == told[0] else lines
        for index, lines in enumerate(told)
    )


_AS_THE_LEFT = ("  findings: as the left hand",)


def _findings_lines(judgement: Judgement, unit: Unit) -> Iterator[str]:
    for finding in grouped(judgement.findings, unit):
        yield f"  {finding_words(finding, unit)}"


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
    letters = lettered(part.kind.measurements)
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
            "bounds_mm": _box(blank.bounds),
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
        **schedules_json(judgement),
        "findings": findings_json(judgement, part.unit),
        "torch_path_mm": plan.length,
        "torch": _torch_json(plan),
        "figures": figures_json(part),
        "travel": _set_up_json(part),
    }


def _set_up_json(part: Part) -> dict[str, Any] | None:
    if part.mounting is None:
        return None
    from platewright.suspension.mounting import set_up_json

    return set_up_json(part.mounting, part.stock.thickness)


def _torch_json(plan: TorchPlan) -> dict[str, Any]:
    return {
        "kerf_mm": plan.kerf,
        "hole_kerf_mm": plan.hole_kerf,
        "burn_mm": plan.burn_length,
        "pierces": plan.pierces,
        "punched": [hole.what for hole in plan.punched],
        "cutting_minutes": plan.minutes,
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
        "start_mm": _pair(bend.line.start),
        "end_mm": _pair(bend.line.end),
    }


def _xy(p: Point) -> dict[str, float]:
    return {"x_mm": p.x, "y_mm": p.y}


def _pair(p: Point) -> list[float]:
    return [p.x, p.y]


def _box(box: Bounds) -> list[float]:
    return [box.xmin, box.ymin, box.xmax, box.ymax]
