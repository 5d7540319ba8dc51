"""From read jobs and what the caller says of the stock to nests, their outputs and their report."""

from __future__ import annotations

import math
import os
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from itertools import count
from pathlib import Path
from typing import Any

from platewright.drawing.pdf import pdf_bytes
from platewright.dxf import DxfPiece, DxfSheet, dxf_bytes
from platewright.errors import NestError, UnitError
from platewright.files.job import Job, Part, require_possible, worked_out
from platewright.files.remnant import load_remnant, parse_sheet, rack_of, remnant_text
from platewright.files.sections import read_name
from platewright.files.shop_file import ShopFile
from platewright.files.typed import fingerprint
from platewright.geometry.plane import Bounds
from platewright.nest.layout import (
    Grain,
    Laid,
    Nest,
    NestedSheet,
    NestPart,
    NestRules,
    Sheet,
)
from platewright.nest.nest import nest
from platewright.plate.stock import Stock
from platewright.report.part import figures_json
from platewright.sheets.figures import area_words
from platewright.sheets.nest_sheet import (
    NestNotes,
    at_most,
    kept_file,
    nest_pages,
    rest_words,
    sheet_file,
)
from platewright.shop.cutting import torch_plan
from platewright.shop.notes import (
    CAUTIONS,
    bend_words,
    fingerprint_words,
    kerf_words,
    piece_title,
    short_of_the_torch,
)
from platewright.units import Unit, format_length, parse_length
from platewright.values import dataclass

#: The gap where none is given, mm (common practice, no published source).
USUAL_GAP: Mapping[Unit, float] = {"in": 6.35, "mm": 6.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class NestOptions:
    """What the caller says, as it was written; None where nothing was.

    `standing` are the names of earlier outputs in the folder.
    """

    sheets: tuple[str, ...]
    remnants: tuple[str, ...]
    gap: str | None
    margin: str | None
    grain: Grain
    turn: float
    tries: int
    seed: int
    name: str
    units: Unit | None
    paper: str | None
    dxf_version: str
    torch: bool
    standing: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class NestWork:
    """Nests, one for each plate, with the rules they kept and their outputs by file name.

    `made_from` are the fingerprints of the pieces by their names, `fingerprint` that of the nest,
    `paper` the shop's own, if it has told; `figures` where those of each part come from, by names.
    """

    nests: tuple[Nest, ...]
    rules: NestRules
    unit: Unit
    outputs: Mapping[str, bytes]
    made_from: Mapping[str, str]
    fingerprint: str
    paper: str | None = None
    figures: Mapping[str, list[dict[str, Any]]] = field(default_factory=dict)


def nest_all(
    jobs: Sequence[Job],
    options: NestOptions,
    watch: Callable[[float, str], None],
) -> NestWork:
    """Nest every part of every job, each plate on its own sheets, on the rack's where none is said.

    `watch` is told the share of the work that is done and the best so far in words. Breaking off
    (KeyboardInterrupt) keeps the best that was found; plates not yet begun are laid in one try.
    Raises UnitError for sizes that cannot be read, FileError for remnants and parts that cannot
    be, NestError for parts that do not go on the stock.
    """
    try:
        read_name(options.name, "in")
    except UnitError as error:
        raise UnitError(f"--name {options.name}: {error}") from None
    parts = worked_out(jobs)
    require_possible(parts)
    unit = options.units or parts[0].unit
    rules = _rules(options, unit)
    sheets = _sheets(options, unit, [part.shop for part in parts])
    plates = _plates(parts)
    nests = _numbered(_each(plates, sheets, rules, unit, watch))
    made_from = {piece.name: piece.fingerprint for part in parts for piece in part.pieces}
    laid = (repr((rules, sheets)), *(f"{name} {sign}" for name, sign in made_from.items()))
    work = NestWork(
        nests=nests,
        rules=rules,
        unit=unit,
        outputs={},
        made_from=made_from,
        fingerprint=fingerprint((f"nest {options.name}", *laid)),
        paper=parts[0].shop.figures.paper,
        figures={part.name: figures_json(part) for part in parts},
    )
    return replace(work, outputs=dict(_outputs(work, options)))


def replaced_by(name: str) -> Callable[[str], bool]:
    """Whether a file is called as some output of a nest of that name is."""
    named = re.compile(rf"{re.escape(name)}(-\d+(-torch)?\.dxf|\.pdf)", re.IGNORECASE)
    return lambda file: bool(named.fullmatch(file))


def _each(
    plates: Mapping[Stock, list[NestPart]],
    sheets: Sequence[Sheet],
    rules: NestRules,
    unit: Unit,
    watch: Callable[[float, str], None],
) -> Iterator[Nest]:
    """The nest of each plate."""
    for number, (stock, laid) in enumerate(plates.items()):

        def told(share: float, count: int, reached: float, before: int = number) -> None:
            words = f"{_count(count, 'sheet')}, the last to {format_length(reached, unit)}"
            watch((before + share) / len(plates), words)

        found = nest(laid, _fitting(sheets, stock, single=len(plates) == 1), rules, told)
        if found.stopped:
            rules = replace(rules, tries=1)
        yield found


def _numbered(nests: Iterable[Nest]) -> tuple[Nest, ...]:
    """The sheets of all nests numbered through, from 1."""
    numbers = count(1)
    return tuple(
        replace(found, sheets=tuple(replace(each, number=next(numbers)) for each in found.sheets))
        for found in nests
    )


def _rules(options: NestOptions, unit: Unit) -> NestRules:
    gap = USUAL_GAP[unit] if options.gap is None else _length("--gap", options.gap, unit)
    margin = gap if options.margin is None else _length("--margin", options.margin, unit)
    turns = 360 / options.turn
    if math.isnan(turns) or abs(turns - round(turns)) > 1e-9:
        raise UnitError(f"--turn {options.turn:g}: a step that goes evenly into a full turn")
    return NestRules(
        gap=gap,
        margin=margin,
        grain=options.grain,
        turn_step=math.tau / round(turns),
        seed=options.seed,
        tries=options.tries,
    )


def _length(option: str, text: str, unit: Unit) -> float:
    try:
        return parse_length(text, unit)
    except UnitError as error:
        raise UnitError(f"{option} {text}: {error}") from None


# --- stock and parts --------------------------------------------------------------------------


def _sheets(options: NestOptions, unit: Unit, shops: Sequence[ShopFile]) -> list[Sheet]:
    new = [parse_sheet(text, unit) for text in options.sheets]
    remnants = [_remnant(text, unit) for text in options.remnants]
    if not (new or remnants):
        for shop in {shop.path: shop for shop in shops}.values():
            found = rack_of(shop, unit)
            remnants += [sheet for sheet in found if sheet.remnant]
            new += [sheet for sheet in found if not sheet.remnant]
    if not (new or remnants):
        raise NestError(
            "no stock is given: say --sheet 24x48, or --remnant with what is left, or put the "
            "plate that you have into shop.toml under [[rack]]"
        )
    return [*remnants, *new]


def _remnant(text: str, unit: Unit) -> Sheet:
    if text.lower().endswith(".toml") or os.path.isfile(text):
        return load_remnant(text)
    try:
        return parse_sheet(text, unit, remnant=True)
    except UnitError as error:
        raise UnitError(f"--remnant {text}: no file of that name, and {error}") from None


def _plates(parts: Sequence[Part]) -> dict[Stock, list[NestPart]]:
    """The pieces to lay by the plate they are of, names told apart where files share them."""
    plates: dict[Stock, list[NestPart]] = {}
    for part in parts:
        for piece in part.pieces:
            plan = torch_plan(
                piece.blank, part.stock.thickness, part.common.cutting, kerf_from=part.kerf_from
            )
            laid = NestPart(piece=piece, torch=plan, count=part.quantity)
            plates.setdefault(part.stock, []).append(laid)
    names = [each.piece.name for laid in plates.values() for each in laid]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise NestError(
            f"two parts are called {', '.join(twice)}, and could not be told apart on the sheets; "
            "nothing was written. Give each a name of its own"
        )
    return plates


def _fitting(sheets: Sequence[Sheet], stock: Stock, *, single: bool) -> list[Sheet]:
    """The sheets that are of a plate, or may be: a remnant of no told plate fits a single one."""
    told = [sheet for sheet in sheets if sheet.stock is None or sheet.stock == stock]
    loose = [sheet.name for sheet in told if sheet.remnant and sheet.stock is None]
    if loose and not single:
        raise NestError(
            f"the parts are of more than one plate: say which {', '.join(loose)} is, with "
            "thickness and material in a remnant's file"
        )
    if not told:
        raise NestError(f"no stock is given for {_plate_words(stock)}")
    return told


def _plate_words(stock: Stock) -> str:
    return f"{format_length(stock.thickness, 'in')} {stock.material.label}"


# --- outputs ----------------------------------------------------------------------------------


def _outputs(work: NestWork, options: NestOptions) -> Iterator[tuple[str, bytes]]:
    nests, rules, unit = work.nests, work.rules, work.unit
    alone = re.compile(rf"{re.escape(options.name)}-\d+-torch\.dxf", re.IGNORECASE)
    torch = options.torch or any(map(alone.fullmatch, options.standing))
    for each in nests:
        for nested in each.sheets:
            for torch_only in (False, True)[: 1 + torch]:
                file = sheet_file(options.name, nested, torch_only=torch_only)
                yield file, _sheet_dxf(each.stock, nested, unit, options.dxf_version, torch_only)
            kept = kept_file(options.name, nested)
            if kept and nested.rest:
                size = (at_most(nested.rest.width, unit), at_most(nested.rest.height, unit))
                of = f"sheet {nested.number}, {nested.sheet.name}"
                yield kept, remnant_text(each.stock, size, unit, of).encode()
    notes = NestNotes(
        name=options.name,
        count=sum(len(each.sheets) for each in nests),
        gap=rules.gap,
        margin=rules.margin,
        grain=rules.grain,
        fingerprint=work.fingerprint,
    )
    paper = options.paper or work.paper or ("letter" if unit == "in" else "A4")
    pages = [page for each in nests for page in nest_pages(each, notes, unit, paper)]
    title = f"{options.name}: parts on stock"
    pdf = pdf_bytes(pages, title=title, subject="Nest", made_from=work.made_from)
    yield f"{options.name}.pdf", pdf


def _sheet_dxf(
    stock: Stock, nested: NestedSheet, unit: Unit, version: str, torch_only: bool
) -> bytes:
    names = tuple(
        (f"{number} {piece_title(laid.piece)}", laid.piece.blank.bounds.centre)
        for number, laid in enumerate(nested.laid, 1)
    )
    sheet = DxfSheet(
        outlines=(nested.sheet.outline, *nested.sheet.voids),
        notes=tuple(_dxf_notes(stock, nested, unit)),
        names=names,
    )
    pieces = [DxfPiece(piece=laid.piece, torch=laid.torch) for laid in nested.laid]
    return dxf_bytes(pieces, unit, version, torch_only=torch_only, sheet=sheet)


def _dxf_notes(stock: Stock, nested: NestedSheet, unit: Unit) -> Iterator[str]:
    yield (
        f"{nested.sheet.name}, {format_length(stock.thickness, unit)} {stock.material.label}; "
        f"seen on the TOP face; drawn in {'inches' if unit == 'in' else 'millimetres'}"
    )
    yield "Cut in the order of the numbers: the holes of a part, then its outline."
    kerfs = kerf_words((laid.torch for laid in nested.laid), unit)
    yield (
        f"The torch path allows for a kerf of {kerfs}: "
        "switch the table's own compensation off. Never compensate twice."
    )
    seen = {laid.piece.name: laid for laid in reversed(nested.laid)}
    for name, laid in sorted(seen.items()):
        yield from (f"{name}: {line}" for line in fingerprint_words(laid.piece))
        yield from (f"{name}: {bend_words(bend)}" for bend in laid.piece.blank.bends)
        yield from (f"{name}: {line}" for line in short_of_the_torch(laid.torch, unit))
    yield from CAUTIONS


# --- the report -------------------------------------------------------------------------------


def nest_text(work: NestWork, files: Sequence[Path]) -> str:
    """The report for a person."""
    lines = [line for nest in work.nests for line in _nest_lines(nest, work.unit)]
    if any(nest.stopped for nest in work.nests):
        lines.append("stopped before the end: this is the best that was found until then")
    if down := sum(nest.turned_down for nest in work.nests):
        lines.append(
            f"{_count(down, 'closer layout')} did not stand the proof and gave way to this one, "
            "which does; please report it with the files"
        )
    return "\n".join([*lines, *(f"wrote {file}" for file in files)])


def _nest_lines(nest: Nest, unit: Unit) -> Iterator[str]:
    stock, count = nest.stock, sum(len(nested.laid) for nested in nest.sheets)
    plate = f"{format_length(stock.thickness, unit)} {stock.material.label}"
    yield (
        f"{plate}: {_count(count, 'part')} on {_count(len(nest.sheets), 'sheet')} (the bare area "
        f"would need {nest.least})"
    )
    for nested in nest.sheets:
        names = Counter(laid.piece.name for laid in nested.laid)
        yield f"  {nested.number}: {nested.sheet.name}, {_count(len(nested.laid), 'part')}"
        yield "     " + ", ".join(f"{count} x {name}" for name, count in sorted(names.items()))
        yield (
            f"     in parts {area_words(nested.used, unit)}, {100 * nested.share:.1f} %; "
            f"left {area_words(nested.left, unit)}"
        )
        if nested.rest is not None:
            yield f"     clear: {rest_words(nested.rest, nested.sheet.bounds, unit)}"


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def nest_json(work: NestWork, files: Sequence[Path]) -> dict[str, Any]:
    """The report as JSON values: mm, mm², degrees, coordinates as in the DXF."""
    rules = work.rules
    return {
        "fingerprint": work.fingerprint,
        "made_from": dict(work.made_from),
        "gap_mm": rules.gap,
        "margin_mm": rules.margin,
        "grain": rules.grain,
        "seed": rules.seed,
        "tries": rules.tries,
        "stopped": any(nest.stopped for nest in work.nests),
        "turned_down": sum(nest.turned_down for nest in work.nests),
        "figures": dict(work.figures),
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
        "strip_mm": nested.rest and _box(nested.rest),
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
