"""The trial bend's sheet: what to cut, scribe and bend, and how to read the legs."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platewright.drawing.dimensions import angle_dimension, bubble, dimension
from platewright.drawing.flow import bullets, figure, gap, heading, paragraph, steps
from platewright.drawing.items import Item, Page, Stroke, Text, bounds, shifted
from platewright.drawing.scaling import scaled, scaled_line
from platewright.drawing.style import BEND, CUT, OUTLINE, PUNCH, SCORE, SCRIBE
from platewright.drawing.table import Cell, Column, ReadingBox, Table, Words, table_strips
from platewright.files.typed import fingerprint
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Arc, Line
from platewright.plate.bend import setback
from platewright.sheets.figures import command_length
from platewright.sheets.furniture import plain_field_of
from platewright.sheets.imposition import plain_pages
from platewright.sheets.paper import paper_named
from platewright.shop.notes import CAUTIONS
from platewright.shop.trial_bend import TrialStrip, deduction
from platewright.units import Unit, format_angle, format_length

SHEET = "A strip with two marks, to bend and to read"
"""What the page is called."""

_STRIPS = 4
_FINE: dict[Unit, float] = {"in": 25.4 / 32, "mm": 0.5}
_TALLEST = 50.0  # of a picture, mm
_APART = 14.0
_WORDS = 2.3
_OUT = 9.0  # from a leg to its dimension
_ARC = 6.0


def trial_pages(strip: TrialStrip, paper: str) -> tuple[Page, ...]:
    """The sheet. Raises OutputError for unknown paper."""
    sheet, unit = paper_named(paper), strip.unit
    width = plain_field_of(sheet).width
    columns = (
        Column(heading="strip", width=16),
        Column(heading="M to M before", width=42),
        Column(heading="leg A", width=42),
        Column(heading="leg B", width=42),
        Column(heading="bent from flat", width=42),
    )
    rows = tuple(_row(str(number), unit) for number in range(1, _STRIPS + 1))
    strips = (
        *paragraph(_intro(strip), width),
        *figure(tuple(_picture(strip, width)), width),
        *heading("Make three strips or more", width),
        *steps(_making(strip), width),
        *heading("Read each one", width),
        *steps(_reading(strip), width),
        gap(1.5),
        *table_strips(Table(columns=columns, rows=rows, least_height=7.0).fitted(width)),
        *heading("What it tells", width),
        *bullets(_telling(strip), width),
        *heading("Take care", width),
        *bullets((_BENDING, CAUTIONS[0]), width),
    )
    return plain_pages(strips, sheet, part=title_of(strip), sheet=SHEET, fingerprint=sign_of(strip))


def title_of(strip: TrialStrip) -> str:
    """What the strip is for: "Trial bend: 3/16 in, brake, 90°"."""
    plate = format_length(strip.thickness, strip.unit)
    return f"Trial bend: {plate}, {strip.way.name}, {format_angle(strip.angle)}"


def sign_of(strip: TrialStrip) -> str:
    """The fingerprint of what the strip was made from."""
    return fingerprint(
        (f"trial bend {strip.thickness!r} {strip.way!r} {strip.angle!r}", strip.unit)
    )


def notes_of(strip: TrialStrip) -> tuple[str, ...]:
    """The lines of words on the strip's DXF."""
    unit = strip.unit
    return (
        f"{title_of(strip)}; drawn in {'inches' if unit == 'in' else 'millimetres'}",
        f"fingerprint {sign_of(strip)}, as on its sheet",
        f"Seen on the face that is OUTSIDE the bend. Punch points end the two marks, "
        f"{format_length(strip.flat, unit)} apart; the bend line is half way",
        "The torch runs on the lines as drawn: the strip's own size does not matter, its marks do",
        CAUTIONS[0],
    )


_BENDING = (
    "Keep hands out of the brake and from under the strip's ends: they kick up fast. Wear gloves, "
    "file the burrs off first."
)


def _intro(strip: TrialStrip) -> str:
    unit, groove = strip.unit, strip.way.score
    if groove is not None:
        deep = format_length(strip.thickness - groove.ligament, unit)
        how = f"a groove {format_length(groove.groove, unit)} wide and {deep} deep"
    else:
        radius = strip.way.inside_radius(strip.angle, strip.thickness)
        how = f"an inside radius of {format_length(radius, unit)}"
    return (
        "How much flat metal a bend takes stands in no book: it is in your plate and your tools. "
        f"Bend strips of the same {format_length(strip.thickness, unit)} plate with {how}, "
        f"{format_angle(strip.angle)} from flat, as the job will be bent and with the grain the "
        "same way across the bend. What their legs read tells the job's. The pictures are "
        "not to scale; M are the marks."
    )


def _making(strip: TrialStrip) -> tuple[str, ...]:
    unit = strip.unit
    leg, flat = format_length(strip.leg, unit), format_length(strip.flat, unit)
    box = strip.outline.bounds
    size = f"{format_length(box.width, unit)} x {format_length(box.height, unit)}"
    cut = (
        f"Cut trial-bend.dxf, or saw strips of {size}; square edges, burrs off, dead flat. "
        "Number them."
    )
    scribe = (
        f"On the face that will be OUTSIDE: scribe the bend line, and a mark M {leg} to each side "
        f"of it. Measure mark to mark: {flat}. If yours is not, write down what it is."
    )
    if strip.way.score is not None:
        return (
            cut,
            scribe,
            "Grind the groove on the bend line, on the same face: plate folds away from its "
            "score. Measure its width with a caliper, and its depth.",
            f"Fold it by hand, away from the groove, to {format_angle(strip.angle)} by a gauge; "
            "let go, and do not correct it.",
        )
    return (
        cut,
        f"{scribe} Scribe the bend line on the other face too, for the punch.",
        f"Bend it on that line, marks to the die, to {format_angle(strip.angle)} under the punch; "
        "let go, and do not correct it. All strips with the same tools.",
        "Measure the inside radius with a radius gauge: the punch's own is not always the bend's.",
    )


def _reading(strip: TrialStrip) -> tuple[str, ...]:
    if strip.angle < math.pi / 2 - 1e-9:
        how = (
            "Lay a straightedge on the outside of one leg, past the bend. Measure along the other "
            "leg's outside, from the straightedge to the mark: leg A. Then the other way: leg B."
        )
    else:
        how = (
            "Hold a square's blade against the outside of one leg, or stand that leg on a flat "
            "plate. Measure along the other leg from there to its mark: leg A. Then turn it: leg B."
        )
    return (
        f"{how} As finely as you can: a caliper's rod is better than a tape.",
        "Read with a protractor how far it is bent from flat, in the middle of the legs. 90° is a "
        "square bend.",
    )


def _row(number: str, unit: Unit) -> tuple[Cell, ...]:
    return (
        Words(number, "bold"),
        ReadingBox(unit),
        ReadingBox(unit),
        ReadingBox(unit),
        ReadingBox("°"),
    )


def _telling(strip: TrialStrip) -> Iterator[str]:
    unit = strip.unit
    half = (strip.flat + deduction(strip.way, strip.angle, strip.thickness)) / 2
    legs, other = (
        command_length(round(half / step) * step + by, unit).strip('"')
        for step, by in ((_FINE[unit], 0.0), (_FINE[unit], _FINE[unit]))
    )
    bent = format_angle(strip.angle - math.radians(1.0))[:-1]
    if strip.way.score is not None:
        groove = strip.way.score.groove
        how = f"--groove {command_length(groove, unit)}"
        gives = "the ligament that the groove counts as, to write under [bend]"
    else:
        radius = strip.way.inside_radius(strip.angle, strip.thickness)
        how = f"--radius {command_length(radius, unit)}"
        gives = "the allowance and k, to write under [bend]"
    call = (
        f"platewright coupon --bend {strip.way.name} --units {unit} "
        f"--thickness {command_length(strip.thickness, unit)} {how} "
        f"--angle {format_angle(strip.angle, 2)[:-1]} --legs A B BENT"
    )
    yield (
        f"Let the readings be worked out: {call}  (--legs again for each strip, such as "
        f'--legs "{legs}" "{other}" {bent}; --flat where M to M is not '
        f"{format_length(strip.flat, unit)}). It gives {gives}, the springback, and names "
        "a reading that does not belong."
    )
    if strip.way.score is None:
        at_most = ", no more than 1" if strip.angle > math.pi / 2 else ""
        yield (
            "By hand: allowance = M to M, less both legs, plus twice (radius + thickness) x tan of "
            f"half the angle{at_most}."
        )


# --- the picture ------------------------------------------------------------------------------


def _picture(strip: TrialStrip, width: float) -> Iterator[Item]:
    """The strip on the bench, and beside it bent."""
    room = width * 0.46 / strip.outline.bounds.width
    flat = tuple(_flat(strip, min(_TALLEST / strip.width, room)))
    bent = tuple(_bent(strip, width * 0.32))
    box, beside = bounds(flat), bounds(bent)
    yield from flat
    yield from shifted(bent, box.xmax + _APART - beside.xmin, box.centre.y - beside.centre.y)


def _flat(strip: TrialStrip, factor: float) -> Iterator[Item]:
    """Its outside face up."""
    outline, line = scaled(strip.outline, factor), scaled_line(strip.bend_line, factor)
    scored = strip.way.score is not None
    yield Stroke(outline, CUT)
    yield Stroke(line, SCORE if scored else BEND)
    words = "groove" if scored else "bend line"
    yield Text(line.end + Vector(0.0, 2.0), words, _WORDS, ("middle", "baseline"))
    feet = [line.start]
    for mark in (scaled_line(each, factor) for each in strip.marks):
        yield Stroke(mark, SCRIBE)
        yield from bubble(mark.end + Vector(0.0, 4.0), "M")
        feet.append(mark.start)
    middle, left, right = feet
    leg = format_length(strip.leg, strip.unit)
    yield from dimension(left, middle, leg, offset=-7.0)
    yield from dimension(middle, right, leg, offset=-7.0)
    yield from dimension(left, right, format_length(strip.flat, strip.unit), offset=-14.0)
    box = outline.bounds
    low, high = Point(box.xmin, box.ymin), Point(box.xmin, box.ymax)
    yield from dimension(low, high, format_length(strip.width, strip.unit), offset=7.0)
    face = left.midpoint(middle) + Vector(0.0, box.height / 2)
    yield Text(face, "OUTSIDE", _WORDS, ("middle", "middle"), weight="bold")


def _bent(strip: TrialStrip, room: float) -> Iterator[Item]:
    """Seen on its edge: leg A level, leg B turned up, both read from the outside."""
    angle, thickness = strip.angle, strip.thickness
    back = setback(strip.way, angle, thickness, "outside")
    allowance = strip.way.allowance(angle, thickness)
    reach = strip.outline.bounds.xmax - allowance / 2  # of a leg from its tangent line
    wide = (reach + 2 * back) * (1 + max(0.0, math.cos(angle)))
    factor = min(_TALLEST / (reach + 2 * back), room / wide)
    inside = strip.way.inside_radius(angle, thickness) * factor
    reach, back, thick = reach * factor, back * factor, thickness * factor
    mark = (strip.leg - allowance / 2) * factor
    centre, one, other = Point(0.0, inside + thick), Vector(-1.0, 0.0), Vector.polar(angle)
    down = Vector(0.0, -1.0)
    for radius in (inside + thick, inside):
        if radius:
            start, end = centre + down * radius, centre + down.turned(angle) * radius
            yield Stroke(Arc(start, end, angle), OUTLINE)
    ends = [
        (centre + out * (inside + thick), centre + out * inside)
        for out in (down, down.turned(angle))
    ]
    for (outer, inner), along, name in zip(ends, (one, other), "AB", strict=True):
        tip, top = outer + along * reach, inner + along * reach
        yield Stroke((Line(outer, tip), Line(tip, top), Line(top, inner)), OUTLINE)
        read_from, at = outer + along * -back, outer + along * mark
        out = (outer - inner).unit()
        yield from bubble(at + out * -(thick + 4.0), "M")
        first, last = (at, read_from) if along is one else (read_from, at)
        yield from dimension(first, last, f"leg {name}", offset=-_OUT)
    # where the outside faces would meet
    corner = Point((inside + thick) * math.tan(angle / 2), 0.0)
    yield Stroke((Line(corner + Vector(_ARC + 2.0, 0.0), corner), Line(corner, ends[1][0])), PUNCH)
    yield from angle_dimension(corner, 0.0, angle, _ARC, "")
    below = Point((back - mark) / 2, -_OUT - 3.0)
    yield Text(below, f"bent {format_angle(angle)} from flat", _WORDS, ("middle", "top"))
