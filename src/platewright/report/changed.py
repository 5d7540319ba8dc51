"""What other values change: the distances of two states of the same parts, old and new."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from platewright.compare.changes import numbered
from platewright.errors import FileError
from platewright.files.job import Part, worked_out
from platewright.files.reader import load_all
from platewright.files.shop_file import WhichShop
from platewright.measuring.dimensions import Measured
from platewright.plate.piece import Piece
from platewright.report.dimensions_json import in_unit
from platewright.sheets.figures import dimension_words, tape_divisions
from platewright.sheets.rows import in_rows
from platewright.units import Denominator, Unit, format_angle

_LEAST = {"length": 1e-3, "angle": 1e-6}  # mm, radians: less is no change

Changed = dict[str, Any]


def before_tried(
    files: Sequence[Path], setups: Sequence[Path], tried: Sequence[str], shop: WhichShop = "beside"
) -> tuple[Part, ...]:
    """The parts as the files have them, none where nothing is tried or they make no part."""
    if not tried:
        return ()
    try:
        return worked_out(load_all(files, setups, shop=shop))
    except FileError:
        return ()


def changed_json(before: Iterable[Part], after: Iterable[Part]) -> list[Changed]:
    """Every distance that differs, piece by piece in their order: mm or degrees, None for none."""
    pairs = zip(_pieces(before), _pieces(after), strict=False)
    return [
        {"name": new.name, "fingerprint_before": old.fingerprint, **change}
        for (old, _), (new, _) in pairs
        for change in distances_changed(old, new)
    ]


def changed_lines(
    before: Sequence[Part], after: Iterable[Part], tried: Sequence[str]
) -> Iterator[str]:
    """The same for a person; what was tried first."""
    if not tried:
        return
    yield f"tried: {'; '.join(tried)}"
    if not before:
        yield "  the file as it stands makes no part: there is nothing to compare with"
        return
    for (old, _), (new, unit) in zip(_pieces(before), _pieces(after), strict=False):
        yield f"{new.name}: fingerprint {old.fingerprint} -> {new.fingerprint}"
        lines = [
            line for change in distances_changed(old, new) for line in change_lines(change, unit)
        ]
        yield from (f"  {line}" for line in lines or ["no distance changes"])


def _pieces(parts: Iterable[Part]) -> Iterator[tuple[Piece, Unit]]:
    return ((piece, part.unit) for part in parts for piece in part.pieces)


def distances_changed(old: Piece, new: Piece) -> Iterator[Changed]:
    """Every distance that differs between two states of a piece, as `changed_json` has it."""
    before, after = (
        numbered((words, (each, letters)) for each, words, letters in in_rows(piece))
        for piece in (old, new)
    )
    for key in dict.fromkeys((*after, *before)):
        measured = [found.get(key) for found in (before, after)]
        one, letter = next(each for each in reversed(measured) if each)
        values = {
            f"{when}_value_on_{where}": None if each is None else _value(each[0], where)
            for where in ("blank", "part")
            for when, each in zip(("old", "new"), measured, strict=True)
        }
        quantity = one.dimension.quantity
        if any(_differs(values, where, _LEAST[quantity]) for where in ("blank", "part")):
            yield {
                "key": one.dimension.key,
                "words": key[0],
                "letter": letter,
                "critical": one.critical,
                **in_unit(values, quantity),
            }


def _differs(values: Mapping[str, float | None], where: str, least: float, end: str = "") -> bool:
    one, other = (values[f"{when}_value_on_{where}{end}"] for when in ("old", "new"))
    if one is None or other is None:
        return one is not other
    return abs(one - other) > least


def _value(each: Measured, where: str) -> float | None:
    tape = each.on_blank if where == "blank" else each.on_part
    return tape.value if tape else None


def change_lines(change: Changed, unit: Unit) -> Iterator[str]:
    """A line for the blank and one for the part where they differ, one for both where not.

    A length reads as its row on the check sheet does; one for both, as finely as on the blank.
    """
    end = "_deg" if "new_value_on_part_deg" in change else "_mm"
    least = _LEAST["length"] if end == "_mm" else 1e-4
    told: dict[str, tuple[str, list[str]]] = {}
    for where, name in (("blank", "flat"), ("part", "folded")):
        if _differs(change, where, least, end):
            values = [change[f"{when}_value_on_{where}{end}"] for when in ("old", "new")]
            fine = tape_divisions(flat=where == "blank", critical=change["critical"])
            coarse, shown = (
                " -> ".join(_words(value, unit, end, divisions) for value in values)
                for divisions in (tape_divisions(flat=False, critical=False), fine)
            )
            told.setdefault(coarse, (shown, []))[1].append(name)
    star = " *" if change["critical"] else ""
    yield from (f"{change['words']}, {' and '.join(n)}: {v}{star}" for v, n in told.values())


def _words(value: float | None, unit: Unit, end: str, divisions: Denominator) -> str:
    if value is None:
        return "none"
    if end == "_deg":
        return format_angle(math.radians(value))
    return dimension_words(value, unit, divisions)
