"""What `nest` tells: a few lines for a person, or one JSON document."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from platewright.cli.nest_work import NestWork
from platewright.geometry.plane import Bounds
from platewright.sheets.figures import area_words
from platewright.sheets.nest_sheet import strip_words
from platewright.shop.nest_layout import Laid, Nest, NestedSheet
from platewright.units import Unit, format_length


def nest_text(work: NestWork, files: Sequence[Path]) -> str:
    """The report for a person."""
    lines = [line for nest in work.nests for line in _nest_lines(nest, work.unit)]
    return "\n".join([*lines, *(f"wrote {file}" for file in files)])


def _nest_lines(nest: Nest, unit: Unit) -> Iterator[str]:
    stock, count = nest.stock, sum(len(nested.laid) for nested in nest.sheets)
    plate = f"{format_length(stock.thickness, unit)} {stock.material.label}"
    yield (
        f"{plate}: {_count(count, 'part')} on {_count(len(nest.sheets), 'sheet')} (the bare area "
        f"would need {nest.least})"
    )
    for nested in nest.sheets:
        yield from _sheet_lines(nested, unit)


def _sheet_lines(nested: NestedSheet, unit: Unit) -> Iterator[str]:
    names = Counter(laid.piece.name for laid in nested.laid)
    yield f"  {nested.number}: {nested.sheet.name}, {_count(len(nested.laid), 'part')}"
    yield "     " + ", ".join(f"{count} x {name}" for name, count in sorted(names.items()))
    yield (
        f"     in parts {area_words(nested.used, unit)}, {100 * nested.share:.1f} %; "
        f"left {area_words(nested.left, unit)}"
    )
    if nested.strip is not None:
        yield f"     clear strip {strip_words(nested.strip, nested.sheet.bounds, unit)}"


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def nest_json(work: NestWork, files: Sequence[Path]) -> dict[str, Any]:
    """The report as JSON values: mm, mm², degrees, coordinates as in the DXF."""
    rules = work.rules
    return {
        "gap_mm": rules.gap,
        "margin_mm": rules.margin,
        "grain": rules.grain,
        "seed": rules.seed,
        "tries": rules.tries,
        "plates": [_nest_json(nest) for nest in work.nests],
        "files": [str(file) for file in files],
    }


def _nest_json(nest: Nest) -> dict[str, Any]:
    return {
        "thickness_mm": nest.stock.thickness,
        "material": nest.stock.material.name,
        "least_sheets": nest.least,
        "sheets": [_sheet_json(nested) for nested in nest.sheets],
    }


def _sheet_json(nested: NestedSheet) -> dict[str, Any]:
    return {
        "number": nested.number,
        "stock": nested.sheet.name,
        "remnant": nested.sheet.remnant,
        "area_mm2": nested.sheet.area,
        "used_mm2": nested.used,
        "left_mm2": nested.left,
        "strip_mm": nested.strip and _box(nested.strip),
        "parts": [_laid_json(laid, order) for order, laid in enumerate(nested.laid, 1)],
    }


def _laid_json(laid: Laid, order: int) -> dict[str, Any]:
    return {
        "order": order,
        "name": laid.piece.name,
        "hand": laid.piece.hand,
        "copy": laid.copy,
        "turned_deg": round(math.degrees(laid.turn), 9),
        "bounds_mm": _box(laid.piece.blank.bounds),
        "torch_mm": laid.torch.burn_length,
        "pierces": laid.torch.pierces,
    }


def _box(box: Bounds) -> list[float]:
    return [box.xmin, box.ymin, box.xmax, box.ymax]
