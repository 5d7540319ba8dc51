"""What `compare` tells: a few lines for a person, or one JSON document."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from platewright.cli.compare_work import CompareWork
from platewright.files.changes import Change
from platewright.plate.blank import BlankBend
from platewright.plate.compare import BendChange, Comparison, HoleChange, Located
from platewright.plate.compare_words import (
    bend_words,
    check_words,
    hole_words,
    metal_words,
    outcome_words,
    outline_words,
    reasons,
)
from platewright.sheets.compare_sheet import Compared


def compare_text(work: CompareWork, files: Sequence[Path]) -> str:
    """The changes for a person."""
    lines = [line for each in work.compared for line in _part_lines(each)]
    lines += [f"{name}: only in the old file" for name in work.only_old]
    lines += [f"{name}: only in the new file" for name in work.only_new]
    return "\n".join([*lines, *(f"wrote {file}" for file in files)])


def _part_lines(each: Compared) -> Iterator[str]:
    found, unit = each.found, each.unit
    yield " -> ".join(dict.fromkeys((each.old_name, each.new_name)))
    if found.unchanged and not each.changes:
        yield "  nothing changed"
        return
    yield from _section("in the files", (_change_line(each) for each in each.changes))
    yield from _section("outline", outline_words(found, unit))
    yield from _section("metal", metal_words(found, unit))
    yield from _section("bends", bend_words(found, unit))
    yield from _section("holes", hole_words(found, unit))
    yield from _section("checks", check_words(found, unit))
    yield from (f"  {line}" for line in outcome_words(found, unit))


def _change_line(change: Change) -> str:
    star = " *" if change.fit_critical else ""
    return f"{change.key}: {change.old} -> {change.new}{star}"


def _section(title: str, lines: Iterable[str]) -> Iterator[str]:
    texts = list(lines)
    if texts:
        yield f"  {title}"
        yield from (f"    {text}" for text in texts)


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
        "old": each.old_name,
        "new": each.new_name,
        "unchanged": found.unchanged and not each.changes,
        "measurements": [
            {"key": c.key, "old": c.old, "new": c.new, "fit_critical": c.fit_critical}
            for c in each.changes
        ],
        "edges": [
            {
                "panel": edge.panel,
                "edge": edge.edge,
                "change": edge.sort,
                "start_out_mm": edge.start,
                "end_out_mm": edge.end,
            }
            for edge in found.edges
        ],
        "added": [_patch_json(patch) for patch in found.added],
        "removed": [_patch_json(patch) for patch in found.removed],
        "bends": [_bend_json(change) for change in found.bends],
        "holes": [_hole_json(change) for change in found.holes],
        "checks": [
            {"what": c.words, "old_mm": c.old, "new_mm": c.new, "fit_critical": c.critical}
            for c in found.checks
        ],
        "old_part": _fates(found, each),
    }


def _fates(found: Comparison, each: Compared) -> dict[str, Any]:
    return {
        stage: {
            "outcome": found.outcome(stage),
            "why": list(reasons(found, stage, each.unit)),
        }
        for stage in found.stages
    }


def _patch_json(each: Located) -> dict[str, Any]:
    return {"where": each.where, "area_mm2": each.patch.area, "width_mm": each.patch.depth}


def _bend_json(change: BendChange) -> dict[str, Any]:
    return {
        "child": change.child,
        "shift_mm": change.shift,
        "old": change.old and _one_bend(change.old),
        "new": change.new and _one_bend(change.new),
    }


def _one_bend(bend: BlankBend) -> dict[str, Any]:
    return {
        "number": bend.number,
        "angle_deg": round(math.degrees(bend.angle), 9),
        "direction": bend.direction,
        "length_mm": bend.line.length,
    }


def _hole_json(change: HoleChange) -> dict[str, Any]:
    return {
        "what": change.what,
        "moved_mm": [change.by.x, change.by.y],
        "old_diameter_mm": change.old and change.old.diameter,
        "new_diameter_mm": change.new and change.new.diameter,
    }
