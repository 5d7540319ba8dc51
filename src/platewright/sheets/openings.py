"""Every hole, slot and cut-out of a piece, and circles to scribe: sizes, drills, how made."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from platewright.drawing.flow import Strip, heading, kept, paragraph
from platewright.drawing.table import Cell, Column, Table, Words, table_strips
from platewright.findings.words import joined_places
from platewright.geometry.build import slot_of
from platewright.geometry.contour import Circle
from platewright.geometry.plane import Point
from platewright.plate.bracket import Hole
from platewright.plate.piece import Piece
from platewright.sheets.figures import size_words
from platewright.sheets.rows import flat_rows
from platewright.shop.drills import drills_for, use_of
from platewright.units import Unit, format_length

_AT = 1e-3  # mm: a letter's place and a centre

_WORDS = (
    "Drill: the nearest that is not smaller, for what is punched or left rough by the torch. A "
    "slot: drill its two ends, then cut between."
)


def opening_strips(
    piece: Piece, punched: Collection[Hole], unit: Unit, width: float
) -> tuple[Strip, ...]:
    """The table of a piece's holes, slots and cut-outs; `punched` are those the torch leaves."""
    rows = (*_hole_rows(piece, punched, unit), *_cutout_rows(piece, unit), *_mark_rows(piece, unit))
    if not rows:
        return ()
    columns = (
        Column(heading="at", width=14),
        Column(heading="hole", width=36),
        Column(heading="size", width=50),
        Column(heading="drill", width=34),
        Column(heading="for", width=38),
        Column(heading="made by", width=26),
    )
    return (
        *heading("Holes", width),
        *kept(paragraph(_WORDS, width)),
        *table_strips(Table(columns=columns, rows=rows).fitted(width)),
    )


def _hole_rows(piece: Piece, punched: Collection[Hole], unit: Unit) -> Iterator[tuple[Cell, ...]]:
    """Holes of one size and use in a row."""
    groups: dict[tuple[Cell, ...], list[Hole]] = {}
    for hole in piece.blank.holes:
        made = "cut"
        if not hole.cut:
            made = "punch only"
        elif hole in punched:
            made = "punch and drill"
        drills = " or ".join(drill.name for drill in drills_for(hole.diameter, unit))
        size = f"Ø {format_length(hole.diameter, unit)}"
        groups.setdefault((size, drills or "none so large", use_of(hole), made), []).append(hole)
    for told, holes in groups.items():
        letters = ", ".join(filter(None, (_letter(piece, hole.centre) for hole in holes)))
        names = joined_places([hole.what for hole in holes])
        yield (Words(letters, "bold"), names, Words(str(told[0]), "bold"), *told[1:])


def _cutout_rows(piece: Piece, unit: Unit) -> Iterator[tuple[Cell, ...]]:
    for cutout in piece.blank.cutouts:
        slot = slot_of(cutout.contour)
        drills = ""
        places = [cutout.contour.bounds.centre]
        if slot:
            drills = " or ".join(drill.name for drill in drills_for(slot.width, unit))
            places = [places[0], *slot.ends]
        letters = ", ".join(sorted(filter(None, (_letter(piece, place) for place in places))))
        size = Words(size_words(cutout, unit), "bold")
        yield (Words(letters, "bold"), cutout.what, size, drills, use_of(cutout), "cut")


def _mark_rows(piece: Piece, unit: Unit) -> Iterator[tuple[Cell, ...]]:
    """Circles to scribe."""
    for mark in piece.blank.marks:
        if isinstance(mark.shape, Circle) and mark.meaning in ("scribe", "centre") and mark.label:
            size = Words(f"Ø {format_length(mark.shape.diameter, unit)}", "bold")
            letter = Words(_letter(piece, mark.shape.centre), "bold")
            yield (letter, mark.label, size, "", "", "scribe only")


def _letter(piece: Piece, at: Point) -> str:
    """The letter of a place in the key, "" where it has none."""
    places = flat_rows(piece).places
    return next((n for n, place in places if not place.line and place.at.distance(at) < _AT), "")
