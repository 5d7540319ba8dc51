"""The picture of a nest: each sheet with its parts, their names, and what is left."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from platewright.drawing.dimensions import SIZE, arrowhead, bubble, bubble_radius, dimension
from platewright.drawing.flow import Strip, figure, paragraph
from platewright.drawing.free_space import FreeSpace
from platewright.drawing.items import Fill, Hatch, Item, Page, Stroke, Text, rectangle
from platewright.drawing.placing import Block, Callout, place_callouts
from platewright.drawing.scaling import scaled, scaled_line, scaled_point
from platewright.drawing.spots import inside
from platewright.drawing.style import BEND, DIMENSION, EDGE, OUTLINE
from platewright.drawing.table import Column, Table, Words, table_strips
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds, Point, Vector
from platewright.geometry.segment import Line
from platewright.nest.layout import Grain, Laid, Nest, NestedSheet
from platewright.plate.stock import Stock
from platewright.sheets.figures import area_words, reading, weight_words
from platewright.sheets.furniture import plain_field_of
from platewright.sheets.imposition import plain_pages
from platewright.sheets.paper import Paper, paper_named
from platewright.shop.notes import kerf_words, piece_title
from platewright.units import Unit, format_angle, format_length
from platewright.values import dataclass

SHEET = "Nest"
"""What every page is called."""

CAUTION = (
    "Check one part against its template before you cut the rest. Torch path and kerf are in the "
    "DXF: never compensate twice."
)

LEAST_KEPT = 50.0
"""A narrower rectangle is not worth keeping, mm (common practice, no published source)."""

_HEIGHT = 158.0  # of the picture, mm
_RIM = 10.0  # kept round the sheet for its sizes and the grain's arrow, mm
_PART_GREY = 0.92
_THIN = replace(OUTLINE, width=0.35)
_NAME_SIZE = 2.1
_BUBBLE = 1.7
_MM_PER: dict[Unit, float] = {"in": 25.4, "mm": 1.0}
_SIXTEENTH = 25.4 / 16
_ROUNDING = 1e-6
_COLUMNS = (
    Column(heading="Cut", width=12, along="middle"),
    Column(heading="Part", width=64),
    Column(heading="Copy", width=14, along="middle"),
    Column(heading="Turned", width=20, along="right"),
    Column(heading="Box: left, bottom", width=44),
    Column(heading="Box: size", width=42),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class NestNotes:
    """What the pages tell besides the nest.

    `name` is what the sheets' DXF files begin with, `count` how many sheets there are in all. Gap
    and margin are in mm. `fingerprint` is the sign of all that it was made from.
    """

    name: str
    count: int
    gap: float
    margin: float
    grain: Grain
    fingerprint: str = ""


def nest_pages(nest: Nest, notes: NestNotes, unit: Unit, paper: str) -> tuple[Page, ...]:
    """A page for each sheet of a nest, or more where the list of parts is long."""
    sheet = paper_named(paper)
    return tuple(
        page for nested in nest.sheets for page in _sheet_pages(nest, nested, notes, unit, sheet)
    )


def _sheet_pages(
    nest: Nest, nested: NestedSheet, notes: NestNotes, unit: Unit, paper: Paper
) -> tuple[Page, ...]:
    width = plain_field_of(paper).width
    drawing = tuple(nest_drawing(nested, notes.grain, unit, (width, _HEIGHT)))
    count = len(nested.laid)
    parts = "1 part" if count == 1 else f"{count} parts"
    plate = f"{format_length(nest.stock.thickness, unit)} {nest.stock.material.label}"
    rows = tuple(
        (
            Words(str(number), "bold"),
            piece_title(laid.piece),
            str(laid.copy),
            format_angle(laid.turn),
            _pair(laid.piece.blank.bounds.xmin, laid.piece.blank.bounds.ymin, unit, ", "),
            _pair(laid.piece.blank.bounds.width, laid.piece.blank.bounds.height, unit, " x "),
        )
        for number, laid in enumerate(nested.laid, 1)
    )
    columns = tuple(_with_unit(column, unit) for column in _COLUMNS)
    strips: list[Strip] = [
        *paragraph(f"{plate}; {parts}; {sheet_file(notes.name, nested)}", width, weight="bold"),
        *paragraph(" ".join(_figures(nest.stock, nested, notes, unit)), width),
        *figure(drawing, width),
        *table_strips(Table(columns=columns, rows=rows, size=2.0, least_height=4.6).fitted(width)),
    ]
    title = f"Stock {nested.number} of {notes.count}: {nested.sheet.name}"
    sign = notes.fingerprint
    return plain_pages(strips, paper, part=title, sheet=SHEET, caution=CAUTION, fingerprint=sign)


# --- words ------------------------------------------------------------------------------------


def sheet_file(name: str, nested: NestedSheet, *, torch_only: bool = False) -> str:
    """The name of a sheet's DXF, or of the one with the torch path alone."""
    return f"{name}-{nested.number}{'-torch' if torch_only else ''}.dxf"


def kept_file(name: str, nested: NestedSheet) -> str | None:
    """The name of the file with a sheet's clear rectangle; None where that is not worth keeping."""
    rest = nested.rest
    if rest is None or min(rest.width, rest.height) < LEAST_KEPT:
        return None
    return f"{name}-{nested.number}-left.toml"


def _figures(stock: Stock, nested: NestedSheet, notes: NestNotes, unit: Unit) -> Iterator[str]:
    yield f"In parts {area_words(nested.used, unit)}, {100 * nested.share:.1f} % of the stock;"
    yield f"left {area_words(nested.left, unit)}."
    yield f"Parts weigh {weight_words(stock.mass_kg(nested.used), unit)}."
    if nested.rest is not None:
        kept = kept_file(notes.name, nested)
        words = rest_words(nested.rest, nested.sheet.bounds, unit)
        yield f"Clear: {words} (hatched){f', kept as {kept}' if kept else ''}."
    gap, margin = format_length(notes.gap, unit), format_length(notes.margin, unit)
    yield f"Metal left between parts {gap}, along the edge {margin}, kerf and leads counted."
    yield f"None mirrored. {grain_words(notes.grain)}"
    pierces = sum(laid.torch.pierces for laid in nested.laid)
    run = math.fsum(laid.torch.burn_length for laid in nested.laid)
    kerfs = kerf_words((laid.torch for laid in nested.laid), unit)
    yield f"Torch burns {run / _MM_PER[unit]:.0f} {unit} with {pierces} pierces; kerf {kerfs}."
    yield "Cut in the order of the numbers: the holes of a part, then its outline."


def rest_words(rest: Bounds, sheet: Bounds, unit: Unit) -> str:
    """A clear rectangle's size and where it lies."""
    across = "left" if rest.xmin <= sheet.xmin else "right"
    up = "bottom" if rest.ymin <= sheet.ymin else "top"
    if rest.height >= sheet.height:
        side = f"at the {across}"
    elif rest.width >= sheet.width:
        side = f"at the {up}"
    else:
        side = f"in the {up} {across} corner"
    return f"{at_most(rest.width, unit)} x {at_most(rest.height, unit)} {unit} {side}"


def at_most(mm: float, unit: Unit) -> str:
    """A length that is there for certain: the tape division below it, or the mm below it."""
    step = _SIXTEENTH if unit == "in" else 1.0
    whole = math.floor(mm / step + _ROUNDING) * step
    return reading(whole, "in") if unit == "in" else f"{whole:.0f}"


def grain_words(grain: Grain) -> str:
    """How the grain was heeded."""
    return {
        "any": "Grain not heeded.",
        "drawn": "Grain along the arrow, parts as drawn or half round.",
        "across": "Grain along the arrow; across it the way that most bends of a part run.",
    }[grain]


def _with_unit(column: Column, unit: Unit) -> Column:
    heading = column.heading
    return replace(column, heading=f"{heading}, {unit}") if heading.startswith("Box") else column


def _pair(a: float, b: float, unit: Unit, between: str) -> str:
    return f"{reading(a, unit)}{between}{reading(b, unit)}"


# --- the picture ------------------------------------------------------------------------------


def nest_drawing(
    nested: NestedSheet, grain: Grain, unit: Unit, size: tuple[float, float]
) -> Iterator[Item]:
    """A sheet with its parts, scaled to fit a box of `size` mm."""
    box = nested.sheet.bounds
    factor = min((size[0] - 3 * _RIM) / box.width, (size[1] - 2 * _RIM) / box.height)
    if nested.rest is not None:
        rest = scaled(rectangle(nested.rest), factor)
        assert isinstance(rest, Contour)
        yield Hatch((rest,), math.pi / 4, 4.0)
        yield Stroke(rest, EDGE)
    for outline in (nested.sheet.outline, *nested.sheet.voids):
        yield Stroke(scaled(outline, factor), OUTLINE)
    ink = [item for laid in nested.laid for item in _part_items(laid, factor)]
    yield from ink
    yield from _names(nested, ink, factor)
    yield from _sizes(nested.sheet.bounds, unit, factor)
    if grain != "any":
        yield from _grain_arrow(nested.sheet.bounds, factor)


def _part_items(laid: Laid, factor: float) -> Iterator[Item]:
    blank = laid.piece.blank
    outline = scaled(blank.outline, factor)
    voids = [hole.circle for hole in blank.cut_holes] + [cut.contour for cut in blank.cutouts]
    drawn = (outline, *(scaled(void, factor) for void in voids))
    loops = tuple(loop for loop in drawn if isinstance(loop, Circle | Contour))
    yield Fill(loops, _PART_GREY)
    yield from (Stroke(scaled_line(bend.line, factor), BEND) for bend in blank.bends)
    yield from (Stroke(loop, _THIN) for loop in loops)


def _names(nested: NestedSheet, ink: Sequence[Item], factor: float) -> Iterator[Item]:
    """The cutting number and name in every part; the number alone where there is no room."""
    whole = scaled(nested.sheet.outline, factor)
    assert isinstance(whole, Contour)
    free = FreeSpace.beside(ink, (whole.bounds,), outline=whole)
    for number, laid in enumerate(nested.laid, 1):
        outline = scaled(laid.piece.blank.outline, factor)
        assert isinstance(outline, Contour)
        block = Block(lines=(f"{number}  {laid.piece.name}",), size=_NAME_SIZE, bold=1)
        level, upright = inside(outline, 0.0), inside(outline, math.pi / 2)
        wish = level if outline.bounds.width >= outline.bounds.height else upright
        at = outline.bounds.centre
        placed = place_callouts(free, [Callout(block=block, spots=wish, at=at, needed=False)])
        free = placed.free
        yield from placed.items or bubble(_inner_point(outline, free), str(number), _BUBBLE)


def _inner_point(outline: Contour, free: FreeSpace) -> Point:
    """A place for a number on the part, clear of ink if there is one."""
    reach = 2 * bubble_radius("00", _BUBBLE)
    sizes = [(reach, reach)]
    rows = [row for row in inside(outline, 0.0)(sizes) if len(row)]
    if found := free.best(sizes, rows):
        return found.spot.centre
    return rows[0].spot(0).centre if rows else outline.bounds.centre


def _sizes(box: Bounds, unit: Unit, factor: float) -> Iterator[Item]:
    low, right = scaled_point(Point(box.xmin, box.ymin), factor), box.xmax * factor
    width, height = format_length(box.width, unit), format_length(box.height, unit)
    yield from dimension(low, Point(right, low.y), width, offset=-6.0)
    yield from dimension(Point(right, low.y), Point(right, box.ymax * factor), height, offset=-6.0)


def _grain_arrow(box: Bounds, factor: float) -> Iterator[Item]:
    """A double arrow along the grain, over the sheet."""
    middle = scaled_point(Point(box.centre.x, box.ymax), factor) + Vector(0.0, 5.0)
    half = Vector(14.0, 0.0)
    line = Line(middle + -half, middle + half)
    yield Stroke(line, DIMENSION)
    yield arrowhead(line.end, half)
    yield arrowhead(line.start, -half)
    yield Text(middle + Vector(0.0, 1.0), "grain", SIZE, ("middle", "baseline"))
