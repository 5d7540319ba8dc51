"""From two read files to what changed, part by part: as text, as JSON, and drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from platewright.compare.changes import DimensionChange, OpeningChange, edge_of
from platewright.compare.edges import EdgeChange
from platewright.compare.outcome import Located, compare
from platewright.compare.words import outcome_words, reasons, sections
from platewright.drawing.pdf import pdf_bytes
from platewright.files.changes import changes
from platewright.files.job import Job
from platewright.plate.blank import BlankBend
from platewright.plate.bracket import Hole
from platewright.report.dimensions_json import in_unit
from platewright.sheets.compare_sheet import Compared, compare_pages
from platewright.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class CompareWork:
    """Parts compared, and the names of parts that only one of the files has."""

    compared: tuple[Compared, ...]
    only_old: tuple[str, ...]
    only_new: tuple[str, ...]


def compare_files(old: Job, new: Job) -> CompareWork:
    """Every part of the new file against the old one of its name, or one part against one.

    Raises FileError where measurements make no bracket.
    """
    olds = {part.name: part for part in old.parts}
    pairs = [(olds[part.name], part) for part in new.parts if part.name in olds]
    if len(old.parts) == len(new.parts) == 1:
        pairs = [(old.parts[0], new.parts[0])]
    matched = {id(part) for pair in pairs for part in pair}
    return CompareWork(
        compared=tuple(
            Compared(
                old_name=one.name,
                new_name=other.name,
                old_fingerprint=one.fingerprint,
                new_fingerprint=other.fingerprint,
                unit=other.unit,
                changes=changes(one, other),
                found=compare(
                    one.bracket,
                    other.bracket,
                    # a pair has both hands
                    other_hand={one.hand, other.hand} == {"as drawn", "mirrored"},
                ),
            )
            for one, other in pairs
        ),
        only_old=tuple(part.name for part in old.parts if id(part) not in matched),
        only_new=tuple(part.name for part in new.parts if id(part) not in matched),
    )


def drawings(work: CompareWork, out: Path, paper: str | None) -> dict[Path, bytes]:
    """A drawing of every part that changed, by the path it is to be written to."""
    return {
        out / f"{each.new_name}-changes.pdf": pdf_bytes(
            compare_pages(each, paper or ("letter" if each.unit == "in" else "A4")),
            title=f"{each.new_name}: what changed",
            subject="Changes of a bracket",
            made_from={each.new_name: each.new_fingerprint},
        )
        for each in work.compared
        if each.changes or not each.found.unchanged
    }


# --- as text and as JSON ------------------------------------------------------------------------


def compare_text(work: CompareWork, files: Sequence[Path]) -> str:
    """The changes for a person."""
    lines = [line for each in work.compared for line in _part_lines(each)]
    lines += [f"{name}: only in the old file" for name in work.only_old]
    lines += [f"{name}: only in the new file" for name in work.only_new]
    return "\n".join([*lines, *(f"wrote {file}" for file in files)])


def _part_lines(each: Compared) -> Iterator[str]:
    yield " -> ".join(dict.fromkeys((each.old_name, each.new_name)))
    if each.found.unchanged and not each.changes:
        yield "  nothing changed"
        return
    written = [
        f"{change.key}: {change.old} -> {change.new}{' *' if change.fit_critical else ''}"
        for change in each.changes
    ]
    for subject, lines in (("in the files", written), *sections(each.found, each.unit)):
        if lines:
            yield f"  {subject}"
            yield from (f"    {line}" for line in lines)
    yield from (f"  {line}" for line in outcome_words(each.found, each.unit))


def compare_json(work: CompareWork, files: Sequence[Path]) -> dict[str, Any]:
    """The changes as JSON values: mm, mm², degrees, the old blank's coordinates."""
    return {
        "parts": [_part_json(each) for each in work.compared],
        "only_old": list(work.only_old),
        "only_new": list(work.only_new),
        "files": [str(file) for file in files],
    }


def _part_json(each: Compared) -> dict[str, Any]:
    found = each.found
    return {
        "name": each.new_name,
        "old": each.old_name,
        "new": each.new_name,
        "old_fingerprint": each.old_fingerprint,
        "new_fingerprint": each.new_fingerprint,
        "unchanged": found.unchanged and not each.changes,
        "measurements": [
            {
                "key": c.key,
                "words": c.label,
                "critical": c.fit_critical,
                "old": c.old,
                "new": c.new,
                "fit_critical": c.fit_critical,
            }
            for c in each.changes
        ],
        "edges": [_edge_json(change) for change in found.edges],
        "added": [_patch_json(patch) for patch in found.added],
        "removed": [_patch_json(patch) for patch in found.removed],
        "bends": [
            {
                "child": change.child,
                "shift_mm": change.shift,
                "old": change.old and _one_bend(change.old),
                "new": change.new and _one_bend(change.new),
            }
            for change in found.bends
        ],
        "holes": [_opening_json(change) for change in found.openings],
        "checks": [_dimension_json(change) for change in found.dimensions],
        "old_part": {
            stage: {"outcome": found.outcome(stage), "why": list(reasons(found, stage, each.unit))}
            for stage in found.stages
        },
    }


def _edge_json(change: EdgeChange) -> dict[str, Any]:
    start, end, whole = change.start_by, change.end_by, change.by
    return {
        "panel": change.panel,
        "edge": change.edge,
        "change": change.sort,
        "start_out_mm": change.start_out,
        "end_out_mm": change.end_out,
        "start_moved_mm": [start.x, start.y],
        "end_moved_mm": [end.x, end.y],
        "moved_mm": [whole.x, whole.y] if change.sort == "moved" else None,
        "most_in_mm": change.reach[0],
        "most_out_mm": change.reach[1],
    }


def _patch_json(each: Located) -> dict[str, Any]:
    return {"where": each.where, "area_mm2": each.patch.area, "width_mm": each.patch.depth}


def _one_bend(bend: BlankBend) -> dict[str, Any]:
    return {
        "number": bend.number,
        "angle_deg": round(math.degrees(bend.angle), 9),
        "direction": bend.direction,
        "length_mm": bend.line.length,
    }


def _opening_json(change: OpeningChange) -> dict[str, Any]:
    """A hole's diameters, and the boxes of a cut-out too."""
    told: dict[str, Any] = {"what": change.what, "moved_mm": [change.by.x, change.by.y]}
    for when, opening in (("old", change.old), ("new", change.new)):
        box = opening and edge_of(opening).bounds
        told[f"{when}_diameter_mm"] = opening.diameter if isinstance(opening, Hole) else None
        told[f"{when}_size_mm"] = box and [box.width, box.height]
    return told


def _dimension_json(change: DimensionChange) -> dict[str, Any]:
    return {
        "words": change.words,
        "critical": change.critical,
        "what": change.words,
        **in_unit({"old": change.old, "new": change.new}, change.quantity),
        "fit_critical": change.critical,
    }
