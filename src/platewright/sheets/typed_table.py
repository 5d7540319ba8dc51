"""What the file said, to hold a sheet against it, and where the shop's figures come from."""

from __future__ import annotations

from collections.abc import Sequence

from platewright.drawing.flow import Strip, heading, paragraph
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
    bare = "inches" if unit == "in" else "mm"
    words = f"What the file said, letter for letter. A length without a unit is in {bare}."
    lines = [f"{f'[{name}] ' if name else ''}{'; '.join(t)}" for name, t in tables.items()]
    return (*heading("As typed", width), *_small(words, *lines, width=width))


def figure_strips(figures: Sequence[Figure], width: float) -> tuple[Strip, ...]:
    """Every figure that a shop measures for itself, by where this part has it from."""
    by_source: dict[str, list[str]] = {}
    for each in figures:
        note = f" ({each.note})" if each.note else ""
        by_source.setdefault(each.source_words, []).append(f"{each.label} = {each.words}{note}")
    lines = [f"{source}: {'; '.join(told)}" for source, told in by_source.items()]
    return (
        *paragraph("The shop's own figures", width, weight="bold"),
        *_small(*lines, width=width),
    ) * bool(lines)


def _small(*lines: str, width: float) -> tuple[Strip, ...]:
    return tuple(strip for line in lines for strip in paragraph(line, width, _SIZE))
