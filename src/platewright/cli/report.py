"""What `make` tells: a few lines for a person, or one JSON document."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from platewright.cli.dimensions_json import measured_json
from platewright.cli.judgement_json import findings_json, schedules_json
from platewright.findings.grouping import grouped
from platewright.findings.judgement import Judgement
from platewright.findings.words import finding_words
from platewright.geometry.plane import Bounds, Point
from platewright.measure import lettered
from platewright.plate.blank import BlankBend
from platewright.product import MadePart, MadePiece
from platewright.sheets.figures import weight_words
from platewright.shop.cutting import TorchPlan
from platewright.shop.notes import bend_words, piece_title, run_words, short_of_the_torch
from platewright.units import Unit, format_length

if TYPE_CHECKING:
    from platewright.suspension.mounting import Mounting


def report_text(made: Sequence[MadePart], out: Path) -> str:
    """The report for a person."""
    return "\n".join(line for part in made for line in _part_lines(part, out))


def _part_lines(part: MadePart, out: Path) -> Iterator[str]:
    found = findings_by_hand([each.judgement for each in part.pieces], part.part.unit)
    for piece, lines in zip(part.pieces, found, strict=True):
        yield from _piece_lines(piece, part.part.unit)
        yield from lines
    mounting, stock = part.part.mounting, part.part.stock
    if mounting is not None:
        from platewright.suspension.mounting import set_up_lines

        where = set_up_lines(mounting, stock.thickness, part.part.unit)
        yield from (f"  {line}" for line in where)
    pages = sum(piece.pages for piece in part.pieces)
    yield f"  template {_count(pages, 'page')}, check sheet {_count(part.check_page_count, 'page')}"
    yield from (f"  wrote {out / name}" for name in part.outputs)


def _piece_lines(made: MadePiece, unit: Unit) -> Iterator[str]:
    piece, blank, stock = made.piece, made.piece.blank, made.piece.bracket.stock
    box = blank.bounds
    yield piece_title(piece)
    size = f"{format_length(box.width, unit)} x {format_length(box.height, unit)}"
    plate = f"{format_length(stock.thickness, unit)} {stock.material.label}"
    yield f"  blank {size}, {plate}, {weight_words(stock.mass_kg(blank.area), unit)}"
    for bend in blank.bends:
        yield f"  {bend_words(bend)}"
    if not blank.bends:
        yield "  no bends"
    if ligament := made.judgement.ligament:
        yield f"  ligament {format_length(ligament.value, unit)} suggested: {ligament.reason}"
    kerf = format_length(made.torch.kerf, unit)
    yield f"  torch path {run_words(made.torch, unit)}; kerf {kerf} allowed for, never twice"
    yield from (f"  {line}" for line in short_of_the_torch(made.torch, unit))


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
    return {"parts": [_piece_json(piece, part, out) for part in made for piece in part.pieces]}


def _piece_json(made: MadePiece, part: MadePart, out: Path) -> dict[str, Any]:
    piece, blank = made.piece, made.piece.blank
    stock, mounting = piece.bracket.stock, part.part.mounting
    letters = lettered(part.part.kind.measurements)
    return {
        "name": piece.name,
        "hand": piece.hand,
        "quantity": part.part.quantity,
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
        "card": measured_json(made.card, letters),
        **schedules_json(made.judgement),
        "findings": findings_json(made.judgement, part.part.unit),
        "torch_path_mm": made.torch.length,
        "torch": _torch_json(made.torch),
        "travel": mounting and _set_up_json(mounting, stock.thickness),
        "pages": made.pages,
        "files": [str(out / name) for name in part.outputs],
    }


def _set_up_json(mounting: Mounting, thickness: float) -> dict[str, Any]:
    from platewright.suspension.mounting import set_up_json

    return set_up_json(mounting, thickness)


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
