"""What the file said, to hold a sheet against it, and where the shop's figures come from."""

from __future__ import annotations

from collections.abc import Sequence

from platewright.drawing.flow import Strip, heading, kept, paragraph
from platewright.drawing.table import Column, Table, Words, table_strips
from platewright.files.shop_figures import Figure
from platewright.files.typed import Typed
from platewright.units import Unit

#: What stands on the sheet anyway, or says nothing of the part.
_LEFT_OUT = ("kind", "name", "note", "units", "hand", "quantity")
_SIZE = 2.0


def typed_strips(typed: Sequence[Typed], unit: Unit, width: float) -> tuple[Strip, ...]:
    """Every value as typed, a row for each table; none where nothing is known of the file."""
    told = [each for each in typed if each.key not in _LEFT_OUT]
    if not told:
        return ()
    tables: dict[str, list[str]] = {}
    for each in told:
        table, _, key = each.key.partition(".")
        # rows within rows are told by their keys: their labels are all alike
        label = key if "[" in key else each.label
        name, words = (table, f"{label} = {each.words}") if key else ("", f"{label} = {each.words}")
        tables.setdefault(name, []).append(words)
    columns = (Column(heading="in the file", width=30), Column(heading="as typed", width=160))
    rows = tuple((Words(name or "the part", "bold"), "; ".join(t)) for name, t in tables.items())
    bare = "inches" if unit == "in" else "mm"
    words = f"What the file said, letter for letter. A length without a unit is in {bare}."
    return (
        *heading("As typed", width),
        *kept(paragraph(words, width)),
        *table_strips(
            Table(columns=columns, rows=rows, size=_SIZE, least_height=4.5).fitted(width)
        ),
    )


def figure_strips(figures: Sequence[Figure], width: float) -> tuple[Strip, ...]:
    """Every figure that a shop measures for itself, and where this part has it from."""
    if not figures:
        return ()
    columns = (
        Column(heading="figure", width=30),
        Column(heading="value", width=40),
        Column(heading="where it comes from", width=120),
    )
    rows = tuple(
        (
            Words(each.label, "bold"),
            each.words,
            f"{each.source_words}{f'; {each.note}' if each.note else ''}",
        )
        for each in figures
    )
    return (
        *heading("The shop's own figures", width),
        *table_strips(
            Table(columns=columns, rows=rows, size=_SIZE, least_height=4.5).fitted(width)
        ),
    )
