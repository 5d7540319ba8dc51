"""The shop file: the shop's own measured figures, each with what it was measured on.

It is read as bracket files are. What is measured later is added at its end.
"""

from __future__ import annotations

import math
import os
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any, Literal

from platewright import measure
from platewright.drawing.printer import MOST_ASKEW, Printer, off_words
from platewright.errors import FileError, UnitError
from platewright.files.declared import FAILED, read_together
from platewright.files.given import KeyTable
from platewright.files.sections import file_units, read_material
from platewright.files.source import LARGEST_FILE, read_text, read_toml
from platewright.files.written import toml
from platewright.findings.limits import SHEET_ALLOWED, read_sheet
from platewright.measure import fields_of
from platewright.measurement import Measure
from platewright.plate.stock import MATERIALS, Material
from platewright.quantities import FORCE, format_quantity
from platewright.shop.cutting import PROCESSES
from platewright.units import MM_PER_INCH, Unit, format_exact
from platewright.values import dataclass

SHOP_NAME = "shop.toml"
"""What a shop file is called that stands beside a bracket file."""

WhichShop = Path | Literal["beside"] | None
"""The shop file to read: a path, the one beside each bracket file if it is there, or none."""

PAPER_NAMES = ("letter", "legal", "tabloid", "A4", "A3")

#: How near a measured piece must come to the part's plate, as a share of that, and its radius or
#: groove to the part's (common practice, no published source).
THICKNESS_SHARE, RADIUS_SHARE = 0.05, 0.1

_MOST_SKEW = math.degrees(MOST_ASKEW)  # beyond it the paper went through askew
_NO_MORE = Fraction(1, 10**6)  # inches: less apart is the same fraction
_HEAD = "# The shop's own figures, each with what it was measured on. Add to it as you measure.\n"


# --- what it may hold -------------------------------------------------------------------------


def _measured_on(example: str) -> Any:
    return measure.text("What it was measured on, and when.", label="measured on", example=example)


def _thickness(how: str, *, optional: bool = False) -> Any:
    return measure.length(
        how,
        "0.2 mm to 2 in", label="thickness", optional=optional, example="3/16 in",
        example_mm="5 mm",
    )  # fmt: skip


def _material(how: str, *, optional: bool = False) -> Any:
    return measure.custom(
        how,
        label="material", read=read_material, allowed=", ".join(MATERIALS), optional=optional,
        example="A36",
    )  # fmt: skip


def _sheet(label: str, how: str, *, optional: bool = False) -> Any:
    return measure.custom(
        how,
        label=label, read=read_sheet, allowed=SHEET_ALLOWED.removeprefix("allowed: "),
        optional=optional, example="48 x 96 in", example_mm="1250 x 2500 mm",
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class TapeSection:
    """The tape that parts are measured with."""

    division: float | None = measure.length(
        "The smallest division of your tape.",
        "0.1 mm to 1/8 in", optional=True, example="1/32 in", example_mm="1 mm",
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Hands:
    """What hands push to fold a score."""

    push: float | None = measure.force(
        "What two hands can push, by a scale.",
        "20 N to 5000 N", label="greatest push", optional=True, example="55 lbf",
        example_mm="250 N",
    )  # fmt: skip
    lever: float | None = measure.length(
        "How far from the bend the push is.",
        "2 in to 120 in", optional=True, example="12 in", example_mm="300 mm",
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredKerf:
    """A kerf by thickness and process."""

    thickness: float = _thickness("Thickness of the plate that was cut.")
    process: str | None = measure.choice(
        "What cut it; left out, it serves parts that name none.",
        PROCESSES, optional=True, example="plasma",
    )  # fmt: skip
    kerf: float = measure.length(
        "Width of the cut, on the outside of a part.",
        "0 to 1/2 in", example="0.06 in", example_mm="1.5 mm",
    )  # fmt: skip
    holes: float | None = measure.length(
        "The same inside of holes, where it differs.",
        "0 to 1/2 in", label="kerf of holes", optional=True, example="0.055 in",
        example_mm="1.4 mm",
    )  # fmt: skip
    measured_on: str = _measured_on("coupon of 3 March, 45 A tip")


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredGroove:
    """How wide a wheel grinds."""

    wheel: float = measure.length(
        "Thickness of the cutoff wheel.", "0.2 mm to 1/2 in", example="1/16 in", example_mm="1.6 mm"
    )
    groove: float = measure.length(
        "Width of the groove that it left.",
        "0.2 mm to 1/2 in", label="groove width", example="0.08 in", example_mm="2 mm",
    )  # fmt: skip
    measured_on: str = _measured_on("trial groove of 3 March")

    def problems(self) -> measure.Problems:
        """A groove that its wheel cannot have ground."""
        if self.groove < self.wheel:
            yield "groove", "a groove cannot be narrower than the wheel that ground it"


#: For each way of bending: what it must have, and what it may have.
_NEEDS = {"score": ("groove", "ligament"), "brake": ("radius",)}
_MAY_HAVE = {"score": ("wheel",), "brake": ("allowance", "k")}

GREATEST_K = 0.5
"""The line that keeps its length lies at most in the middle of the plate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialBend:
    """A trial bend and what was read on it."""

    material: Material = _material("What the trial piece was made of.")
    thickness: float = _thickness("Thickness of the trial piece.")
    way: str = measure.choice(
        "score: ground and folded by hand. brake: a press brake or folder.",
        ("score", "brake"), label="way of bending", example="brake",
    )  # fmt: skip
    radius: float | None = measure.length(
        "Brake only: inside radius of the trial bend.",
        "0 to 12 in", label="inside radius", optional=True, example="1/4 in", example_mm="6 mm",
    )  # fmt: skip
    k: float | None = measure.factor(
        "Brake only: depth of the line that keeps its length, as a share of the thickness. Give "
        "this or the allowance.",
        f"0 to {GREATEST_K}", label="neutral-line factor", optional=True, example=0.4,
    )  # fmt: skip
    allowance: float | None = measure.length(
        "Brake only: flat length that the bend used between its tangent lines, instead of k.",
        "0 to 48 in", optional=True, example="0.51 in", example_mm="13 mm",
    )  # fmt: skip
    angle: float = measure.angle(
        "How far the trial piece was bent, from flat.", "5 to 180", default=90
    )
    groove: float | None = measure.length(
        "Score only: width of the groove.",
        "0.2 mm to 1/2 in", label="groove width", optional=True, example="0.11 in",
        example_mm="2.8 mm",
    )  # fmt: skip
    ligament: float | None = measure.length(
        "Score only: metal left under the groove.",
        "0.05 mm to 1 in", optional=True, example="3/64 in", example_mm="1.2 mm",
    )  # fmt: skip
    wheel: float | None = measure.length(
        "Score only: thickness of the wheel that ground it.",
        "0.2 mm to 1/2 in", optional=True, example="1/16 in", example_mm="1.6 mm",
    )  # fmt: skip
    springback: float | None = measure.angle(
        "How far it opened again when it was let go.", "0 to 30", optional=True, example=2
    )
    measured_on: str = _measured_on("trial strip of 3 March, 2 in wide")

    def problems(self) -> measure.Problems:
        """Figures that the way of bending lacks or has no use for, or that cannot be."""
        needs, may_have = _NEEDS[self.way], _MAY_HAVE[self.way]
        for key in ("radius", "k", "allowance", "groove", "ligament", "wheel"):
            given = getattr(self, key) is not None
            if key in needs and not given:
                yield key, f'a trial bend made by "{self.way}" needs its {key}'
            if given and key not in (*needs, *may_have):
                yield key, f'has no use with way = "{self.way}"; leave it out'
        if self.way == "brake":
            if (self.k is None) == (self.allowance is None):
                yield "k", "give k or the allowance, one of the two"
            elif self.radius is not None and not 0 <= (k := self.neutral_factor or 0) <= GREATEST_K:
                words = f"would mean k = {k:.3f}; allowed: 0 to {GREATEST_K:g}. Measure again"
                yield "allowance", words
        elif self.groove is not None and self.ligament is not None:
            if self.wheel is not None and self.groove < self.wheel:
                yield "groove", "a groove cannot be narrower than the wheel that ground it"
            if self.ligament >= self.thickness:
                yield "ligament", "nothing would be ground: it is no less than the thickness"

    @property
    def neutral_factor(self) -> float | None:
        """The factor k of a brake bend: as read, or (allowance / angle - radius) / thickness."""
        if self.k is not None or self.allowance is None or self.radius is None:
            return self.k
        return (self.allowance / self.angle - self.radius) / self.thickness


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredPrinter:
    """How true a printer prints."""

    name: str | None = measure.text(
        "What you call it, where there is more than one.",
        label="printer", optional=True, example="office",
    )  # fmt: skip
    across: float = measure.factor(
        "Printed over drawn length along the paper's width: 0.995 prints half a percent small.",
        "0.5 to 2", label="scale across", default=1,
    )  # fmt: skip
    up: float = measure.factor(
        "The same along the paper's height.",
        "0.5 to 2", label="scale up", default=1,
    )  # fmt: skip
    skew: float = measure.angle(
        "How far what is drawn upright leans to the right of square; a minus is to the left.",
        f"{-_MOST_SKEW:g} to {_MOST_SKEW:g}", default=0,
    )  # fmt: skip
    measured_on: str = _measured_on("printer page, 3 March")

    def problems(self) -> measure.Problems:
        """A print that was fitted to the page, which is no printer's own scale."""
        for way, scale in (("across", self.across), ("up", self.up)):
            if told := off_words(way, scale):
                yield way, told

    @property
    def printer(self) -> Printer:
        """The printer as a value."""
        return Printer(self.across, self.up, self.skew, self.name or "", self.measured_on)


@dataclass(frozen=True, slots=True, kw_only=True)
class RackSheet:
    """Plate on the rack."""

    material: Material = _material("What it is made of.")
    thickness: float = _thickness("Its thickness.")
    sheet: tuple[float, float] = _sheet(
        "sheet", "Its size, width x height, the grain along the first."
    )
    count: int | None = measure.count(
        "How many there are; left out, as many as are needed.", "1 to 999", optional=True
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RackRemnant:
    """What is left of an earlier job."""

    file: str | None = measure.text(
        "The remnant's own file, in this folder or below; or give its size, material and "
        "thickness here.",
        optional=True, example="nest-1-left.toml",
    )  # fmt: skip
    size: tuple[float, float] | None = _sheet(
        "size", "Its size, width x height, the grain along the first.", optional=True
    )
    material: Material | None = _material("What it is made of.", optional=True)
    thickness: float | None = _thickness("Its thickness.", optional=True)
    count: int = measure.count("How many like it.", "1 to 999", default=1)

    def problems(self) -> measure.Problems:
        """A remnant that is told twice or by half."""
        own = (self.size, self.material, self.thickness)
        if self.file is not None and own != (None, None, None):
            yield "file", "the file tells size, material and thickness; leave them out here"
        if self.file is None and None in own:
            yield "size", "give size, material and thickness, or the remnant's own file"


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopFigures:
    """What a shop knows of itself."""

    units: str = file_units()
    paper: str | None = measure.choice(
        "The paper in your printer.", PAPER_NAMES, optional=True, example="letter", example_mm="A4"
    )
    tape: TapeSection = measure.table("The tape that parts are measured with.", TapeSection)
    hands: Hands = measure.table("What hands push to fold a score.", Hands)
    kerf: tuple[MeasuredKerf, ...] = measure.rows(
        "Found by `platewright coupon`, one for each thickness and process. Serves plate within "
        f"{100 * THICKNESS_SHARE:g} % of its thickness: the nearest one counts, and of two as near "
        "the last.",
        MeasuredKerf,
    )
    groove: tuple[MeasuredGroove, ...] = measure.rows(
        "How wide each wheel grinds, where there is no trial bend.", MeasuredGroove
    )
    bend: tuple[TrialBend, ...] = measure.rows(
        "One for each material, thickness and radius. Serves steel, stainless or aluminium of its "
        f"own sort within {100 * THICKNESS_SHARE:g} % of its thickness, and a radius or groove "
        f"within {100 * RADIUS_SHARE:g} %: its own material goes first, then the nearest, then the "
        "last.",
        TrialBend, label="trial bend",
    )  # fmt: skip
    printer: tuple[MeasuredPrinter, ...] = measure.rows(
        "How true it prints: templates are drawn for it. The last one counts.", MeasuredPrinter
    )
    rack: tuple[RackSheet, ...] = measure.rows(
        "The plate there is: `platewright nest` lays on it where its call names no other.",
        RackSheet,
    )
    remnant: tuple[RackRemnant, ...] = measure.rows(
        "What is left of earlier jobs, laid on before new sheets.", RackRemnant, label="remnant"
    )


SHOP_TABLES = frozenset(("tape", "hands", "kerf", "printer", "rack", "remnant"))
"""Tables that tell a shop file from others."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopFile:
    """A shop's figures; `path` as the user gave it, "" when there is no file."""

    path: str
    unit: Unit
    figures: ShopFigures

    @property
    def name(self) -> str:
        """The file's own name, for sheets that go to another computer."""
        return Path(self.path).name

    @property
    def printer(self) -> Printer | None:
        """The printer as it was measured last."""
        return self.figures.printer[-1].printer if self.figures.printer else None


NO_SHOP = ShopFile(path="", unit="in", figures=ShopFigures(units="in"))
"""A shop that has measured nothing."""


# --- reading ----------------------------------------------------------------------------------


def load_shop(path: Path | str) -> ShopFile:
    """The figures in a shop file. Raises FileError with every mistake."""
    return read_shop(read_text(path), str(path))


def shop_for(bracket_file: Path, which: WhichShop) -> ShopFile:
    """The shop's figures for a bracket file. Raises FileError with every mistake.

    A bracket file that happens to be called as shop files are is none.
    """
    if which is None:
        return NO_SHOP
    if which != "beside":
        return load_shop(which)
    beside = bracket_file.parent / SHOP_NAME
    if bracket_file.name == SHOP_NAME or not os.path.lexists(beside):
        return NO_SHOP
    text = read_text(beside)
    bracket = {"kind", "part"} & read_toml(text, str(beside)).keys()
    return NO_SHOP if bracket else read_shop(text, str(beside))


def is_shop_file(path: Path) -> bool:
    """Whether a path is a folder's own shop file, and no bracket file that happens to be so called.

    One that cannot be read is not.
    """
    try:
        raw = read_toml(read_text(path), str(path)) if path.name == SHOP_NAME else {"kind": ""}
    except FileError:
        return False
    return not {"kind", "part"} & raw.keys()


def read_shop(text: str, path: str) -> ShopFile:
    """The figures in a text; `path` is where it came from. Raises FileError with every mistake."""
    raw = read_toml(text, path)
    for keys, words in (
        ({"made_of", "flat", "folded"}, "readings"),
        ({"kind", "part"}, "bracket"),
        ({"travel"}, "setup"),
    ):
        if keys & raw.keys() and not (words == "readings" and "kind" in raw):
            raise FileError.of(path, f"this is a {words} file, not the shop's own figures")
    ledger, (figures,) = read_together((ShopFigures,), KeyTable.of("", raw), path, [])
    if ledger.mistakes or figures is FAILED:
        raise FileError(tuple(ledger.mistakes))
    return ShopFile(path=path, unit=ledger.unit, figures=figures)


# --- adding to it -----------------------------------------------------------------------------


def add_table(
    path: Path, name: str, rows: Sequence[Mapping[str, float | str]], unit: Unit = "in"
) -> str:
    """Add tables of that name at the end of a shop file, one for each row; the text added.

    Values are by their keys as `ShopFigures` declares them: lengths in mm, angles in radians,
    forces in N, the rest as a file has it. They are written in the file's own unit, lengths to
    0.0001 in or 0.001 mm. Nothing else of the file is touched; it is written whole or not at all.
    A file that is not there is made, in `unit`. Raises FileError when the file does not read, or
    would not with these rows, and OutputError when it cannot be written or is write-protected.
    """
    there = os.path.lexists(path)
    text = read_text(path) if there else f'{_HEAD}\nunits = "{unit}"\n'
    file_unit = read_shop(text, str(path)).unit
    added = "\n".join(_table_lines(name, rows, file_unit))
    gap = "\n" if text.endswith("\n") or not text else "\n\n"
    if "\r\n" in text:
        gap, added = (part.replace("\n", "\r\n") for part in (gap, added))
    whole = f"{text}{gap}{added}"
    read_shop(whole, str(path))
    if len(whole.encode()) > LARGEST_FILE:
        words = f"would be larger than {LARGEST_FILE // 1000} kB with what is added: no shop file"
        raise FileError.of(path, words)
    from platewright.files.outputs import write_all

    write_all({Path(os.path.realpath(path)): whole.encode()}, overwrite=True)
    return added


def _table_lines(name: str, rows: Sequence[Mapping[str, float | str]], unit: Unit) -> Iterator[str]:
    declared = dict(fields_of(ShopFigures))[name]
    assert declared.inside is not None
    measures = dict(fields_of(declared.inside))
    head = f"[[{name}]]" if declared.quantity == "rows" else f"[{name}]"
    for row in rows:
        yield head
        width = max(map(len, row))
        for key, value in row.items():
            yield f"{key:{width}} = {_value(value, measures[key], unit)}"
        yield ""


def _value(value: float | str, declared: Measure, unit: Unit) -> str:
    """A value as TOML, in a file's unit."""
    if isinstance(value, str):
        return toml(value)
    match declared.quantity:
        case "length":
            return toml(_length_words(value, unit))
        case "angle":
            return toml(round(math.degrees(value), 3))
        case "force":
            return toml(format_quantity(value, FORCE, FORCE.shown[unit]))
        case "count":
            return toml(int(value))
        case "factor":
            return toml(round(value, 5))
        case _:
            raise UnitError(f"no single number: {declared.label}")


def _length_words(mm: float, unit: Unit) -> str:
    """A measured length as a person would type it: a fraction of an inch where it is one."""
    if unit == "mm":
        return format_exact(round(mm, 3), unit)
    inches = Fraction(mm) / MM_PER_INCH
    fraction = Fraction(round(inches * 64), 64)
    near = fraction if abs(fraction - inches) < _NO_MORE else round(inches, 4)
    return format_exact(float(near * MM_PER_INCH), unit)
