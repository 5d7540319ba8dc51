"""What `make` tells: a few lines for a person, or one JSON document."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from platewright.files.job import Part
from platewright.plate.piece import Piece
from platewright.report.part import figure_lines, findings_by_hand, piece_json
from platewright.shop.cutting import TorchPlan
from platewright.shop.notes import (
    bend_words,
    kerf_words,
    piece_title,
    run_words,
    short_of_the_torch,
)
from platewright.units import format_length

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
    yield from (f"  {line}" for line in figure_lines(part))
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
    kerf = kerf_words((plan,), unit)
    yield f"  torch path {run_words(plan, unit)}; kerf {kerf} allowed for, never twice"
    yield from (f"  {line}" for line in short_of_the_torch(plan, unit))


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
