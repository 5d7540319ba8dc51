"""The check sheet: what to measure on the blank with a tape, what to cut, and how to bend it.

The sheet is a table of sections, each a small function from the piece's matter to strips.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from platewright.drawing.flow import (
    Strip,
    bullets,
    figure,
    gap,
    heading,
    height_of,
    kept,
    paged,
    paragraph,
)
from platewright.drawing.items import Page
from platewright.drawing.table import Cell, Column, Table, Tick, Words, table_strips
from platewright.findings.finding import Finding
from platewright.findings.rules import Judgement
from platewright.findings.words import grouped, measured_words
from platewright.geometry.plane import Bounds
from platewright.plate.blank import BlankBend
from platewright.plate.dimension import OnBlank
from platewright.plate.piece import Piece
from platewright.sheets.figures import (
    area_words,
    other_unit,
    weight_words,
)
from platewright.sheets.folded_rows import folded_section
from platewright.sheets.furniture import plain_field_of
from platewright.sheets.imposition import plain_pages
from platewright.sheets.key import key_drawing
from platewright.sheets.legend import UP_AND_DOWN
from platewright.sheets.paper import SINGLE, Paper, paper_named
from platewright.sheets.pattern import stock_words
from platewright.sheets.rows import Row, flat_rows
from platewright.sheets.schedules import brake_section, score_section
from platewright.sheets.section import SMALLER, Section, SectionInput, Tolerances, reading_strips
from platewright.sheets.strength_rows import strength_section
from platewright.shop.notes import CAUTIONS, many_words, note_words, piece_title
from platewright.shop.scores import score_of
from platewright.units import Unit, format_angle, format_length, spoken

SHEET = "Check sheet"
"""What every page is called."""

TOLERANCES: Tolerances = {
    True: {"in": "± 1/32 in", "mm": "± 0.8 mm"},
    False: {"in": "+ 1/8 in, - 0", "mm": "+ 3 mm, - 0"},
}
"""How far a reading may be off, fit-critical or not. Common practice, no published source."""

TOLERANCE_WORDS = (
    "Tolerances are common practice, no published source. For comparison, ISO 2768-1 class c "
    "allows ± 0.5 mm up to 30 mm, ± 0.8 mm up to 120 mm, ± 1.2 mm up to 400 mm, "
    "± 2 mm up to 1000 mm. What the readings mean is told by: platewright readings."
)

NOTHING = "The rules found nothing. They are a screen: nothing found is no approval."
"""What the sheet says of a bracket without findings."""

_FINDING_WORDS = (
    "CHANGE: change it in the file before you cut. NOTE: know it and decide. The rules are a "
    "screen, no approval."
)

_CAPTION = "The flat blank before bending, TOP face up, not to full scale. Letters as in the rows."
_KEY_HEIGHT = 104.0
_CROWDED_KEY_HEIGHT = 150.0
_CROWD = 26  # letters
_WORTH_TRYING = 0.06  # of a page


def check_pages(
    pieces: Sequence[Piece],
    judgements: Sequence[Judgement],
    unit: Unit,
    paper: str,
    more: Sequence[Section] = (),
) -> tuple[Page, ...]:
    """The check sheets of all pieces, one after another, with `more` sections before the cautions.

    There is a judgement for each piece. `paper` is one of `paper.PAPER_NAMES`; `single`, which has
    no size of its own, becomes letter for inches and A4 for millimetres. Raises OutputError for
    other paper.
    """
    usual = "letter" if unit == "in" else "A4"
    sheet = paper_named(usual if paper.strip().lower() == SINGLE else paper)
    sections = (*SECTIONS[:-1], *more, *SECTIONS[-1:])
    room, all_strips = plain_field_of(sheet), []
    for piece, judgement in zip(pieces, judgements, strict=True):
        matter = matter_of(piece, judgement, unit, sheet)
        all_strips.append([strip for section in sections for strip in section(matter)])
    # the pictures of both hands in one size, so that they can be held against each other
    count = max((_to_shrink(strips, room) for strips in all_strips), default=0)
    pages: list[Page] = []
    for piece, strips in zip(pieces, all_strips, strict=True):
        title, sign, strips = piece_title(piece), piece.fingerprint, _shrunk(strips, count)
        pages.extend(plain_pages(strips, sheet, part=title, sheet=SHEET, fingerprint=sign))
    return tuple(pages)


def _to_shrink(strips: Sequence[Strip], room: Bounds) -> int:
    """How many of the last pictures are set smaller to save a page; 0 where that saves none."""
    pages = len(paged(strips, room))
    if pages > 1 and height_of(strips) < room.height * (pages - 1 + _WORTH_TRYING):
        for count, _ in enumerate(filter(None, (strip.smaller for strip in strips)), 1):
            if len(paged(_shrunk(strips, count), room)) < pages:
                return count
    return 0


def _shrunk(strips: Sequence[Strip], count: int) -> list[Strip]:
    """The strips with the last pictures smaller, so many of them: the key comes first."""
    shrunk = list(strips)
    for index in reversed(range(len(shrunk))):
        if count and (smaller := shrunk[index].smaller):
            shrunk[index], count = smaller(), count - 1
    return shrunk


def matter_of(piece: Piece, judgement: Judgement, unit: Unit, paper: Paper) -> SectionInput:
    """What the sections of a piece's sheet are made of, on that paper."""
    return SectionInput(
        piece=piece, judgement=judgement, unit=unit, width=plain_field_of(paper).width
    )


# --- the key and the rows ---------------------------------------------------------------------


def note_section(matter: SectionInput) -> tuple[Strip, ...]:
    """The words that the file wants on the sheets."""
    words = note_words(matter.piece)
    return paragraph(words, matter.width, weight="bold") if words else ()


def key_section(matter: SectionInput) -> tuple[Strip, ...]:
    """The blank in small, with a letter at everything that is measured."""
    places = flat_rows(matter.piece).places
    height = _KEY_HEIGHT if len(places) <= _CROWD else _CROWDED_KEY_HEIGHT

    def drawn(share: float) -> tuple[Strip, ...]:
        size = (matter.width, height * share)
        return figure(key_drawing(matter.piece, matter.unit, size), matter.width, _CAPTION)

    above, picture, *caption = drawn(1.0)
    return (above, replace(picture, smaller=lambda: drawn(SMALLER)[1]), *caption)


def finding_section(matter: SectionInput) -> tuple[Strip, ...]:
    """Every finding with its place, figures, remedy and source, like ones in one row."""
    found = grouped(matter.judgement.findings, matter.unit)
    title = heading("Findings", matter.width)
    if not found:
        return (*title, *paragraph(NOTHING, matter.width))
    columns = (
        Column(heading="", width=17),
        Column(heading="what and where", width=46),
        Column(heading="measured", width=38),
        Column(heading="what to change", width=54),
        Column(heading="source", width=35),
    )
    rows = tuple(_finding_row(finding, matter.unit) for finding in found)
    table = Table(columns=columns, rows=rows).fitted(matter.width)
    return (*title, *kept(paragraph(_FINDING_WORDS, matter.width)), *table_strips(table))


def _finding_row(finding: Finding, unit: Unit) -> tuple[Cell, ...]:
    return (
        Words(finding.severity.upper(), "bold"),
        f"{finding.rule}: {finding.place}",
        measured_words(finding, unit),
        finding.change,
        finding.source,
    )


def critical_section(matter: SectionInput) -> tuple[Strip, ...]:
    """The distances that decide whether the part fits."""
    rows = [row for row in flat_rows(matter.piece).rows if row.critical]
    words = (
        "Centre to centre: hook the tape on the same side of both holes. Hole to edge: measure "
        "from the near side of the hole and add half its diameter. Square: the shortest reading."
    )
    return _rows_section("Fit-critical: measure these first", words, rows, matter)


def outer_section(matter: SectionInput) -> tuple[Strip, ...]:
    """The distances that may run large."""
    rows = [row for row in flat_rows(matter.piece).rows if not row.critical]
    words = "Outer sizes may run large, never small. Grind back only where something touches."
    return _rows_section("Free: these may run large", words, rows, matter)


def _rows_section(
    title: str, words: str, rows: Sequence[Row[OnBlank]], matter: SectionInput
) -> tuple[Strip, ...]:
    if not rows:
        return ()
    return (
        *heading(title, matter.width),
        *kept(paragraph(words, matter.width)),
        *reading_strips([(row, row.words) for row in rows], TOLERANCES, matter, flat=True),
    )


def tolerance_section(matter: SectionInput) -> tuple[Strip, ...]:
    """Where the tolerances come from."""
    return (gap(2.0), *paragraph(TOLERANCE_WORDS, matter.width, 2.0))


# --- what to cut and how to bend --------------------------------------------------------------


def stock_section(matter: SectionInput) -> tuple[Strip, ...]:
    """The plate to cut from, the blank's size, area and weight."""
    blank, stock, unit = matter.piece.blank, matter.piece.bracket.stock, matter.unit
    other, box = other_unit(unit), matter.piece.blank.bounds
    sizes = [
        " x ".join(spoken(size, each, "up") for size in (box.width, box.height))
        for each in (unit, other)
    ]
    weight = weight_words(stock.mass_kg(blank.area), unit)
    lines = (
        f"To make: {many_words(matter.piece)}, of {stock_words(matter.piece, unit)} "
        f"({format_length(stock.thickness, other)}).",
        f"At least {sizes[0]} ({sizes[1]}), and room for the kerf all round.",
        f"The blank: {area_words(blank.area, unit)}, {weight}{_together(matter)}.",
    )
    return (*heading("Stock to cut", matter.width), *bullets(lines, matter.width))


def _together(matter: SectionInput) -> str:
    """What several blanks weigh together."""
    piece = matter.piece
    if piece.quantity == 1:
        return ""
    mass = piece.quantity * piece.bracket.stock.mass_kg(piece.blank.area)
    return f" each, {weight_words(mass, matter.unit)} together"


def bend_section(matter: SectionInput) -> tuple[Strip, ...]:
    """The bends in order: fold, face to grind, groove and depth, or the brake's radius."""
    bends = matter.piece.blank.bends
    if not bends:
        return ()
    columns = (
        Column(heading="bend", width=13),
        Column(heading="joins", width=42),
        Column(heading="fold", width=28),
        Column(heading="how", width=78),
        Column(heading="inside radius", width=24, along="right"),
        Column(heading="done", width=12),
    )
    rows = tuple(_bend_row(bend, matter) for bend in bends)
    table = Table(columns=columns, rows=rows, least_height=6.7).fitted(matter.width)
    return (
        *heading("Bends", matter.width),
        *kept(paragraph(" ".join(_bend_words(bends)), matter.width)),
        *table_strips(table),
    )


def _bend_words(bends: Sequence[BlankBend]) -> Iterator[str]:
    yield "Bend in this order." if len(bends) > 1 else "One bend."
    yield UP_AND_DOWN
    if any(bend.score_face for bend in bends):
        yield "Plate folds away from its score: the groove is on the outside."


def _bend_row(bend: BlankBend, matter: SectionInput) -> tuple[Cell, ...]:
    return (
        Words(str(bend.number), "bold"),
        f"{bend.child} to {bend.parent}",
        Words(f"{bend.direction.upper()} {format_angle(bend.angle)}", "bold"),
        _bend_way(bend, matter),
        format_length(bend.inside_radius, matter.unit),
        Tick(),
    )


def _bend_way(bend: BlankBend, matter: SectionInput) -> str:
    """How a bend is made, with the figures that its way has."""
    score = score_of(bend, matter.piece.bracket.stock.thickness)
    if score is None:
        allowance = format_length(bend.allowance, matter.unit)
        return f"{bend.way.words}; the bend itself uses {allowance} of the flat"
    face = (bend.score_face or "").upper()
    groove, depth, left = (
        format_length(length, matter.unit)
        for length in (score.way.groove, score.depth, score.way.ligament)
    )
    return f"score the {face} face, groove {groove} wide, {depth} deep, {left} left"


def caution_section(matter: SectionInput) -> tuple[Strip, ...]:
    """What to take care of."""
    return (*heading("Take care", matter.width), *bullets(CAUTIONS, matter.width))


SECTIONS: tuple[Section, ...] = (
    note_section,
    key_section,
    finding_section,
    critical_section,
    outer_section,
    tolerance_section,
    stock_section,
    bend_section,
    score_section,
    brake_section,
    folded_section,
    strength_section,
    caution_section,
)
"""Every section of a piece by itself, in the order of the sheet, the cautions last."""
