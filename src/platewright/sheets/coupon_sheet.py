"""The coupon's sheet: what is cut, what to measure with a caliper, and how the kerf follows."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.drawing.dimensions import dimension, lettered_point
from platewright.drawing.flow import bullets, figure, heading, paragraph, steps
from platewright.drawing.items import Fill, Item, Page, Shape, Stroke, Text, rectangle
from platewright.drawing.scaling import scaled, scaled_point
from platewright.drawing.style import CUT, PHANTOM, TORCH
from platewright.drawing.table import Cell, Column, ReadingBox, Table, Tick, Words, table_strips
from platewright.files.typed import fingerprint
from platewright.geometry.contour import Circle
from platewright.geometry.plane import Point, Vector
from platewright.sheets.figures import command_length, other_unit
from platewright.sheets.furniture import plain_field_of
from platewright.sheets.imposition import plain_pages
from platewright.sheets.paper import paper_named
from platewright.shop.coupon import SIDES, Coupon
from platewright.shop.notes import CAUTIONS
from platewright.units import Unit, format_length, format_mm

SHEET = "Coupon: a trial cut for the kerf"
"""What the page is called."""

_TALLEST = 62.0  # of the picture, mm

#: Readings as they are typed, and the kerf that follows.
_EXAMPLES: dict[Unit, tuple[str, str]] = {
    "in": ("--units in --outside 1.940 --slot 0.060 --hole 0.500 0.560", "0.060 in"),
    "mm": ("--outside 48.5 --slot 1.5 --hole 12 13.5", "1.5 mm"),
}


def coupon_pages(coupon: Coupon, unit: Unit, paper: str) -> tuple[Page, ...]:
    """The sheet. Raises OutputError for unknown paper."""
    sheet = paper_named(paper)
    width = plain_field_of(sheet).width
    plate = format_length(coupon.thickness, unit)
    strips = (
        *paragraph(_intro(plate), width),
        *figure(tuple(_picture(coupon, unit, width)), width, "The cuts, not to full scale."),
        *heading("Cut it", width),
        *steps(_cutting(), width),
        *heading("Measure it with a caliper", width),
        *table_strips(_table(coupon, unit).fitted(width)),
        *heading("The kerf", width),
        *paragraph(_kerf_words(), width),
        *bullets(_commands(coupon, unit), width),
        *heading("Take care", width),
        *bullets(CAUTIONS[:1], width),
    )
    title = f"Coupon for {plate} plate"
    return plain_pages(strips, sheet, part=title, sheet=SHEET, fingerprint=sign_of(coupon, unit))


def sign_of(coupon: Coupon, unit: Unit) -> str:
    """The fingerprint of what a coupon was made from."""
    return fingerprint((f"coupon {coupon.thickness!r}", unit))


def _intro(plate: str) -> str:
    return (
        f"Cut this from a scrap of the same {plate} plate, with the same tip, current and feed as "
        "the job. The torch runs on the lines as drawn: nothing allows for the kerf, so the kerf "
        "shows in every size."
    )


def _cutting() -> tuple[str, ...]:
    return (
        "Switch the table's own compensation OFF and cut the coupon's DXF as it is: slot, holes, "
        "square.",
        "Let it cool, knock off the dross, break no edge.",
        "Measure across the middle of each side, near the top face; in the slot well away from "
        "both ends. A feeler gauge or a drill's shank goes where the caliper does not.",
    )


def _table(coupon: Coupon, unit: Unit) -> Table:
    columns = (
        Column(heading="", width=10),
        Column(heading="measure", width=66),
        Column(heading="drawn", width=38),
        Column(heading="reading", width=30),
        Column(heading="kerf", width=46),
        Column(heading="round and clean", width=22),
    )
    return Table(columns=columns, rows=tuple(_rows(coupon, unit)), least_height=7.5)


def _rows(coupon: Coupon, unit: Unit) -> Iterator[tuple[Cell, ...]]:
    side = _both(SIDES[unit], unit)
    for letter, way in (("A", "left to right"), ("B", "bottom to top")):
        told = f"square, outside, {way}"
        yield _row(letter, told, side, unit, "drawn less reading")
    yield _row("C", "slot, width, a single pass", "no width", unit, "the reading itself")
    for letter, hole in zip("DEFGH", coupon.holes, strict=False):
        share = f"hole, {hole.diameter / coupon.thickness:.1f} thicknesses"
        row = _row(letter, share, _both(hole.diameter, unit), unit, "reading less drawn")
        yield (*row[:-1], Tick())


def _row(letter: str, what: str, drawn: str, unit: Unit, kerf: str) -> tuple[Cell, ...]:
    return (Words(letter, "bold"), what, drawn, ReadingBox(unit), kerf, "")


def _both(mm: float, unit: Unit) -> str:
    """A drawn size in hundredths of a mm and thousandths of an inch, the file's unit first."""
    sizes = {"in": f"{mm / 25.4:.3f} in", "mm": f"{format_mm(mm, 1)} mm"}
    return f"{sizes[unit]} ({sizes[other_unit(unit)]})"


def _kerf_words() -> str:
    return (
        "Take the mean of the readings that agree. When they differ by more than 0.25 mm "
        "(0.010 in) or a fifth of the kerf, measure again: a worn tip, a leaning torch or dross "
        "does that. With two readings or more of the outside and of holes, each gets its own kerf "
        "where the two differ. The smallest hole that is round and clean tells the least hole "
        "factor for this thickness. Common practice, no published source."
    )


def _commands(coupon: Coupon, unit: Unit) -> tuple[str, ...]:
    readings, kerf = _EXAMPLES[unit]
    plate = command_length(coupon.thickness, unit)
    return (
        f"Let the readings be worked out: platewright coupon --thickness {plate} {readings}",
        f'Then write in the bracket file, under [cutting]:  kerf = "{kerf}"  and, if it differs '
        "from 1.5,  hole_factor. Or let it go into the shop file, for every part of this plate: "
        '--write --measured-on "this coupon, today".',
    )


# --- the picture ------------------------------------------------------------------------------


def _picture(coupon: Coupon, unit: Unit, width: float) -> Iterator[Item]:
    factor = min(1.0, (width - 16) / coupon.scrap.width, _TALLEST / coupon.scrap.height)
    yield Stroke(scaled(rectangle(coupon.scrap), factor), PHANTOM)
    shapes: tuple[Shape, ...] = (coupon.square, coupon.slot, *coupon.holes)
    for shape in shapes:
        yield Stroke(scaled(shape, factor), CUT)
    for lead in (coupon.square_lead, *coupon.hole_leads):
        if lead is not None:
            yield Stroke(tuple(scaled(s, factor) for s in lead.segments), TORCH)
            yield Fill((Circle(scaled_point(lead.pierce, factor), 1.0),))
    yield Fill((Circle(scaled_point(coupon.slot.start, factor), 1.0),))
    yield from _letters(coupon, unit, factor)


def _letters(coupon: Coupon, unit: Unit, factor: float) -> Iterator[Item]:
    box = scaled(coupon.square, factor).bounds
    corner = Point(box.xmin, box.ymin)
    for end, letter, offset in (
        (Point(box.xmax, box.ymin), "A", 6.0),
        (Point(box.xmin, box.ymax), "B", -6.0),
    ):
        yield from dimension(corner, end, f"{letter}  {_size(SIDES[unit], unit)}", offset=offset)
    slot = scaled(coupon.slot, factor).bounds.centre
    yield from lettered_point(slot, "C", away=Vector(7.0, 5.0))
    top = scaled_point(Point(coupon.slot.start.x, coupon.slot.end.y), factor)
    yield Text(top + Vector(0.0, 1.5), _size(coupon.slot.length, unit), 2.0, ("middle", "baseline"))
    for letter, hole in zip("DEFGH", coupon.holes, strict=False):
        edge = scaled(hole, factor).bounds
        at = Point(edge.centre.x, edge.ymax)
        yield from lettered_point(at, letter, away=Vector(0.0, 6.0))


def _size(mm: float, unit: Unit) -> str:
    return format_length(mm, unit) if unit == "in" else f"{mm:g} mm"


def notes_of(coupon: Coupon, unit: Unit) -> tuple[str, ...]:
    """The lines of words on the coupon's DXF."""
    return (
        f"Coupon for {format_length(coupon.thickness, unit)} plate; drawn in "
        f"{'inches' if unit == 'in' else 'millimetres'}",
        f"fingerprint {sign_of(coupon, unit)}, as on its sheet",
        "The torch runs on the lines as drawn: nothing allows for the kerf. Switch the table's "
        "own compensation OFF for this cut.",
        f"Square {_both(SIDES[unit], unit)} outside; slot a single pass; holes "
        + ", ".join(_both(hole.diameter, unit) for hole in coupon.holes),
        CAUTIONS[0],
    )
