"""What each section of a check sheet is made of, and the table of readings that some have."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from platewright.drawing.flow import Strip
from platewright.drawing.table import Cell, Column, ReadingBox, Table, Tick, Words, table_strips
from platewright.findings.rules import Judgement
from platewright.plate.piece import Piece
from platewright.sheets.figures import other_unit, reading, tape_divisions
from platewright.sheets.rows import P, Row
from platewright.units import Unit, format_angle
from platewright.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionInput:
    """A piece with what is told about it; `width` is the column's, mm."""

    piece: Piece
    judgement: Judgement
    unit: Unit
    width: float


Tolerances = Mapping[bool, Mapping[Unit, str]]
"""How far a reading may be off, fit-critical or not, as it is printed."""

ANGLE_TOLERANCE = "± 1°"
"""How far a bevel may be off. Common practice, no published source."""

SMALLER = 0.8
"""How large a picture is drawn, of its usual size, where that saves a page."""

_NAMES: Mapping[Unit, str] = {"in": "tape, in", "mm": "mm"}
_WIDTHS: Mapping[Unit, float] = {"in": 34.0, "mm": 18.0}  # 13 27/32 strong in one line
_VALUE_SIZE = 3.0


def reading_strips(
    rows: Sequence[tuple[Row[P], str]], tolerances: Tolerances, of: SectionInput, *, flat: bool
) -> tuple[Strip, ...]:
    """A table of rows, each with its words: value in both units, tolerance, a box for a reading.

    Rows of the `flat` blank have other tolerances than those of the folded part, and a finer tape.
    """
    units: tuple[Unit, Unit] = (of.unit, other_unit(of.unit))
    columns = (
        Column(heading="", width=8),
        Column(heading="points", width=16),
        Column(heading="measure", width=73),
        Column(heading=_NAMES[units[0]], width=_WIDTHS[units[0]], along="right"),
        Column(heading=_NAMES[units[1]], width=_WIDTHS[units[1]] - 5, along="right"),
        Column(heading="may be off", width=22, along="right"),
        Column(heading="reading", width=22),
        Column(heading="good", width=11.5),
    )
    cells: list[tuple[Cell, ...]] = []
    for row, words in rows:
        divisions = tape_divisions(flat=flat, critical=row.critical)
        values = [reading(row.value, unit, divisions) for unit in units]
        if row.angle:
            values = [format_angle(row.value), ""]
        cells.append(
            (
                Words("FIT", "bold") if row.critical else "",
                Words(row.name, "bold"),
                words,
                Words(values[0], "bold", _VALUE_SIZE),
                values[1],
                ANGLE_TOLERANCE if row.angle else tolerances[row.critical][of.unit],
                ReadingBox("°" if row.angle else of.unit),
                Tick(),
            )
        )
    table = Table(columns=columns, rows=tuple(cells), least_height=6.7)
    return table_strips(table.fitted(of.width))


Section = Callable[[SectionInput], tuple[Strip, ...]]
"""From what a piece's sections are made of to strips; none where the piece needs none."""
