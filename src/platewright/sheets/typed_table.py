"""What the file said, so that a sheet can be held against the tape's own numbers."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest

from platewright.drawing.flow import Strip, heading, kept, paragraph
from platewright.drawing.table import Cell, Column, Table, Words, table_strips
from platewright.files.typed import Typed
from platewright.units import Unit

#: What stands on the sheet anyway, or says nothing of the part.
_LEFT_OUT = ("kind", "name", "note", "units", "hand", "quantity")


def typed_strips(typed: Sequence[Typed], unit: Unit, width: float) -> tuple[Strip, ...]:
    """Every value as typed, two in a row; none where nothing is known of the file."""
    told = [each for each in typed if each.key not in _LEFT_OUT]
    if not told:
        return ()
    columns = (
        Column(heading="in the file", width=58),
        Column(heading="as typed", width=37),
        Column(heading="in the file", width=58),
        Column(heading="as typed", width=37),
    )
    half = (len(told) + 1) // 2
    rows = tuple(
        (*_cells(one), *(_cells(other) if other else ("", "")))
        for one, other in zip_longest(told[:half], told[half:])
    )
    bare = "inches" if unit == "in" else "mm"
    words = f"What the file said, letter for letter. A length without a unit is in {bare}."
    return (
        *heading("As typed", width),
        *kept(paragraph(words, width)),
        *table_strips(Table(columns=columns, rows=rows).fitted(width)),
    )


def _cells(each: Typed) -> tuple[Cell, Cell]:
    label = "" if each.label == each.key.rpartition(".")[2].replace("_", " ") else f": {each.label}"
    return f"{each.key}{label}", Words(each.words, "bold")
