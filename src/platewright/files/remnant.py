"""Stock to nest on: sizes such as 24x48, and remnants drawn in small files."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from platewright import measure
from platewright.errors import FileError, Mistake, UnitError
from platewright.files.declared import FAILED, read_together
from platewright.files.given import KeyTable
from platewright.files.outputs import DXF_SIGNATURE
from platewright.files.sections import file_units, read_material
from platewright.files.shop_file import ShopFile
from platewright.files.source import read_text, read_toml
from platewright.files.written import list_of, remark, toml
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Point
from platewright.geometry.shapes import self_crossing
from platewright.nest.layout import Sheet, rectangle_sheet
from platewright.plate.stock import Material, Stock
from platewright.units import Unit, format_length, parse_length
from platewright.values import dataclass

Corners = tuple[tuple[float, float], ...]

_SIZE = re.compile(r"(.+?)\s*(?:x|X|×)\s*(.+?)(?:\s*:\s*(\d{1,4}))?")
_WORD = re.compile(r"[a-zA-Z.'\"]+$")
#: A corner list that encloses less is a slip, mm².
_LEAST_AREA = 1.0


def parse_sheet(text: str, unit: Unit, *, remnant: bool = False) -> Sheet:
    """Rectangular stock from a text such as "24x48", "4 ft x 8 ft" or "1250x2500 mm:2".

    A unit after the second size serves both; a number after a colon is how many there are. New
    sheets are otherwise as many as are needed, a remnant is one. Raises UnitError.
    """
    found = _SIZE.fullmatch(text.strip())
    if not found:
        raise UnitError(f"not a size of stock: {text!r}; write two lengths such as 24x48")
    first, second, count = found.groups()
    word = _WORD.search(second)
    if word and not _WORD.search(first):
        first = f"{first} {word[0]}"
    try:
        width, height = parse_length(first, unit), parse_length(second, unit)
    except UnitError as error:
        raise UnitError(f"not a size of stock: {text!r}: {error}") from None
    name = f"{format_length(width, unit)} x {format_length(height, unit)}"
    counted = int(count) if count else (1 if remnant else None)
    if counted == 0 or not (width > 0 and height > 0):
        raise UnitError(f"no metal in {text!r}")
    label = f"remnant {name}" if remnant else name
    return rectangle_sheet(label, width, height, remnant=remnant, count=counted)


# --- remnants in files ------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleInRemnant:
    """What has been cut out of a remnant."""

    outline: Corners = measure.pairs(
        "The corners round the hole, one after another.", "at least 3", label="corners of the hole"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RemnantFile:
    """A piece of plate that is left of an earlier job."""

    units: str = file_units()
    name: str | None = measure.text(
        "What the remnant is called; left out, the name of this file.", optional=True
    )
    thickness: float | None = measure.length(
        "Thickness of the plate; left out, it serves parts of any.",
        "0.2 mm to 2 in", optional=True, example="3/16 in",
    )  # fmt: skip
    material: Material | None = measure.custom(
        "What the plate is made of; give it with the thickness.",
        read=read_material, allowed="a material as in bracket files", optional=True,
    )  # fmt: skip
    count: int = measure.count("How many like it.", "1 to 999", default=1)
    outline: Corners = measure.pairs(
        "The corners of the plate, one after another, x along the grain.",
        "at least 3", label="corners",
    )  # fmt: skip
    hole: tuple[HoleInRemnant, ...] = measure.rows(
        "What has been cut out of it.", HoleInRemnant, label="holes"
    )

    def problems(self) -> measure.Problems:
        """Outlines that cannot be, and half a stock."""
        if (self.thickness is None) != (self.material is None):
            yield "thickness", "give thickness and material together, or neither"
        yield from _outline_problems("outline", self.outline)
        for number, hole in enumerate(self.hole, 1):
            yield from _outline_problems(f"hole[{number}].outline", hole.outline)


def _outline_problems(key: str, corners: Corners) -> Iterator[tuple[str, str]]:
    if any(a == b for a, b in zip(corners, corners[1:] + corners[:1], strict=True)):
        yield key, "a corner stands twice in a row; the first is not repeated at the end"
        return
    polygon = _polygon(corners)
    if polygon.area < _LEAST_AREA:
        yield key, "the corners enclose no metal"
    elif self_crossing(polygon) is not None:
        yield key, "the outline crosses itself: give the corners in order"


def _polygon(corners: Corners) -> Contour:
    return Contour.polygon(Point(x, y) for x, y in corners).anticlockwise()


def load_remnant(path: Path | str) -> Sheet:
    """The remnant in a file. Raises FileError with every mistake."""
    return read_remnant(read_text(path), str(path))


def read_remnant(text: str, path: str) -> Sheet:
    """The remnant in a text; `path` is where it came from. Raises FileError with every mistake."""
    table = KeyTable.of("", read_toml(text, path))
    ledger, (found,) = read_together((RemnantFile,), table, path, [])
    if ledger.mistakes or found is FAILED:
        raise FileError(tuple(ledger.mistakes))
    stock = None
    if found.thickness is not None and found.material is not None:
        stock = Stock(found.thickness, found.material)
    return Sheet(
        name=f"remnant {found.name or Path(path).stem}",
        outline=_polygon(found.outline),
        voids=tuple(_polygon(hole.outline) for hole in found.hole),
        count=found.count,
        remnant=True,
        stock=stock,
    )


def rack_of(shop: ShopFile, unit: Unit) -> tuple[Sheet, ...]:
    """The plate that a shop has: remnants, then sheets, sizes in words of that unit.

    A remnant's own file lies in the shop file's folder or below. Raises FileError with every
    mistake.
    """
    found: list[Sheet] = []
    mistakes: list[Mistake] = []
    folder = Path(os.path.abspath(shop.path)).parent
    for number, left in enumerate(shop.figures.remnant, 1):
        try:
            if left.file is not None:
                place = Path(os.path.abspath(folder / left.file))
                if not place.is_relative_to(folder):
                    raise FileError.of(left.file, "outside the folder of the shop file")
                sheet = _on_the_rack(Path(shop.path).parent / left.file)
                found.append(replace(sheet, count=left.count * (sheet.count or 1)))
            elif left.size and left.thickness and left.material:
                plate = Stock(left.thickness, left.material)
                found.append(_rack_sheet(left.size, plate, unit, left.count, remnant=True))
        except FileError as error:
            # a mistake of a remnant's file as the shop file's
            for each in error.mistakes:
                where = f"{Path(each.file).name}: {f'{each.key}: ' if each.key else ''}"
                key, words = f"remnant[{number}].file", f"{where}{each.message}"
                mistakes.append(replace(each, file=shop.path, key=key, message=words))
    if mistakes:
        raise FileError(tuple(mistakes))
    found += [
        _rack_sheet(row.sheet, Stock(row.thickness, row.material), unit, row.count)
        for row in shop.figures.rack
    ]
    return tuple(found)


def _on_the_rack(path: Path) -> Sheet:
    """The remnant in a file that a shop file names: of a file that is none nothing is told."""
    text = read_text(path)
    try:
        raw = read_toml(text, str(path))
    except FileError:
        raw = {}
    if "outline" not in raw:
        words = "outline: missing: no remnant can be read from it"
        more = f"{words}; `platewright nest --remnant {path}` says more"
        raise FileError.of(path, more)
    return read_remnant(text, str(path))


def _rack_sheet(
    size: tuple[float, float], plate: Stock, unit: Unit, count: int | None, *, remnant: bool = False
) -> Sheet:
    width, height = (format_length(side, unit) for side in size)
    name = f"{'remnant ' if remnant else ''}{width} x {height}, off the rack"
    return replace(rectangle_sheet(name, *size, remnant=remnant, count=count), stock=plate)


def remnant_text(stock: Stock, size: tuple[str, str], unit: Unit, of: str) -> str:
    """The file of a rectangle that is left of a sheet, its sizes as written in a unit.

    The first size runs along the grain; `of` tells what it was left of.
    """
    width, height = size
    corners = (("0", "0"), (width, "0"), (width, height), ("0", height))
    outline = list_of(list_of((toml(x), toml(y))) for x, y in corners)
    return "\n".join(
        (
            *remark(f"{DXF_SIGNATURE}: what is left of {of}, for nest --remnant"),
            f"units     = {toml(unit)}",
            f"thickness = {toml(f'{stock.thickness!r} mm')}",
            f"material  = {toml(stock.material.name)}",
            f"outline   = {outline}   # x along the grain",
            "",
        )
    )
