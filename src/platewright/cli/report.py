"""What `make` tells: a few lines for a person, or one JSON document."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from platewright.cli.judgement_json import findings_json, schedules_json
from platewright.files.job import Part
from platewright.findings.grouping import grouped
from platewright.findings.judgement import Judgement
from platewright.findings.words import finding_words
from platewright.geometry.plane import Bounds, Point
from platewright.measure import lettered
from platewright.plate.blank import BlankBend
from platewright.plate.piece import Piece
from platewright.shop.cutting import TorchPlan
from platewright.shop.notes import bend_words, piece_title, run_words, short_of_the_torch
from platewright.units import Unit, format_length

if TYPE_CHECKING:
    from platewright.product import MadePart


def report_text(made: Sequence[MadePart], out: Path) -> str:
    """The report for a person."""
    return "\n".join(line for each in made for line in _part_lines(each, each.part, out))


def _part_lines(made: MadePart, part: Part, out: Path) -> Iterator[str]:
    found = findings_by_hand(part.judgements, part.unit)
    for piece, plan, lines in zip(part.pieces, part.plans, found, strict=True):
        yield from _piece_lines(piece, plan, part)
        yield from lines
    if part.mounting is not None:
        from platewright.suspension.mounting import set_up_lines

        where = set_up_lines(part.mounting, part.stock.thickness, part.unit)
        yield from (f"  {line}" for line in where)
    template, check = _count(sum(made.template_pages), "page"), _count(made.check_pages, "page")
    yield f"  template {template}, check sheet {check}, fingerprint {part.fingerprint}"
    yield from (f"  wrote {out / name}" for name in made.outputs)


def _piece_lines(piece: Piece, plan: TorchPlan, part: Part) -> Iterator[str]:
    from platewright.sheets.figures import weight_words

    blank, stock, unit = piece.blank, part.stock, part.unit
    box = blank.bounds
    yield piece_title(piece)
    size = f"{format_length(box.width, unit)} x {format_length(box.height, unit)}"
    plate = f"{format_length(stock.thickness, unit)} {stock.material.label}"
    yield f"  blank {size}, {plate}, {weight_words(stock.mass_kg(blank.area), unit)}"
    for bend in blank.bends:
        yield f"  {bend_words(bend)}"
    if not blank.bends:
        yield "  no bends"
    if ligament := part.ligament:
        yield f"  ligament {format_length(ligament.value, unit)} suggested: {ligament.reason}"
    kerf = format_length(plan.kerf, unit)
    yield f"  torch path {run_words(plan, unit)}; kerf {kerf} allowed for, never twice"
    yield from (f"  {line}" for line in short_of_the_torch(plan, unit))


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


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def report_json(made: Sequence[MadePart], out: Path) -> dict[str, Any]:
    """The report as JSON values: mm, degrees, coordinates as in the DXF."""
    parts = [
        {
            **piece_json(each.part, index),
            "pages": each.template_pages[index],
            "files": [str(out / name) for name in each.outputs],
        }
        for each in made
        for index in range(len(each.part.pieces))
    ]
    return {"parts": parts}


def piece_json(part: Part, index: int) -> dict[str, Any]:
    """What `check` and `make` alike tell of one piece of a part."""
    from platewright.cli.dimensions_json import measured_json

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
