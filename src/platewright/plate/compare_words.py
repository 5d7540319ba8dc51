"""A comparison in words: what changed, and what becomes of a part that is cut already."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.plate.compare import (
    TOLERANCE,
    BendChange,
    Comparison,
    HoleChange,
    Located,
    Outcome,
    Stage,
)
from platewright.plate.compare_edges import EdgeChange
from platewright.units import MM_PER_INCH, Unit, format_angle, format_length

_STAGES: dict[Stage, str] = {"cut": "cut flat", "scored": "scored", "bent": "bent"}
_OUTCOMES: dict[Outcome, str] = {
    "as it is": "serves as it is",
    "trim": "can be trimmed",
    "bend anew": "must be bent anew",
    "cut again": "must be cut again",
}


def outline_words(found: Comparison, unit: Unit) -> Iterator[str]:
    """What changed on the outline, edge by edge."""
    for change in found.edges:
        yield f"{change.panel}: {change.edge} {_edge_words(change, unit)}"


def _edge_words(change: EdgeChange, unit: Unit) -> str:
    match change.sort:
        case "new":
            return "is new"
        case "gone":
            return "is gone"
        case "moved":
            return f"moves {_out(change.start, unit)}"
        case "turned":
            return f"turns: {_both_ends(change, unit)}"
        case "reshaped":
            return _reshaped(change, unit)


def _reshaped(change: EdgeChange, unit: Unit) -> str:
    if change.radius is None:
        return "becomes straight"
    radius = format_length(change.radius, unit)
    if change.old_radius is None:
        return f"becomes round, radius {radius}"
    if abs(change.radius - change.old_radius) <= TOLERANCE:
        return f"moves {_both_ends(change, unit)}"
    return f"radius {format_length(change.old_radius, unit)} -> {radius}"


def _both_ends(change: EdgeChange, unit: Unit) -> str:
    """How far each end goes, the ends told by the edges that are met there."""
    first = f"by {change.start_by}" if change.start_by else "at its start"
    last = f"by {change.end_by}" if change.end_by else "at its end"
    return f"{_out(change.start, unit)} {first}, {_out(change.end, unit)} {last}"


def _out(mm: float, unit: Unit) -> str:
    """An edge's way, outwards or inwards."""
    if abs(mm) <= TOLERANCE:
        return "not at all"
    return f"{'out' if mm > 0 else 'in'} {format_length(abs(mm), unit)}"


def hole_words(found: Comparison, unit: Unit) -> Iterator[str]:
    """What changed about holes."""
    for change in found.holes:
        yield f"{change.what}: {', '.join(_hole_words(change, unit))}"


def _hole_words(change: HoleChange, unit: Unit) -> Iterator[str]:
    old, new = change.old, change.new
    if old is None or new is None:
        yield "new" if old is None else "gone"
        return
    if old.centre.distance(new.centre) > TOLERANCE:
        yield f"moves {format_length(change.by.length, unit)} ({_way(change, unit)})"
    if abs(old.diameter - new.diameter) > TOLERANCE:
        yield f"diameter {format_length(old.diameter, unit)} -> {format_length(new.diameter, unit)}"
    if old.cut != new.cut:
        yield "now cut, was only marked" if new.cut else "now only marked, was cut"


def _way(change: HoleChange, unit: Unit) -> str:
    """A hole's way on the blank, top face up."""
    by = change.by
    ways = ((by.x, "right", "left"), (by.y, "up", "down"))
    told = [
        f"{format_length(abs(mm), unit)} {more if mm > 0 else less}"
        for mm, more, less in ways
        if abs(mm) > TOLERANCE
    ]
    return ", ".join(told) + " on the blank"


def bend_words(found: Comparison, unit: Unit) -> Iterator[str]:
    """What changed about bends."""
    for change in found.bends:
        bend = change.new or change.old
        assert bend is not None
        yield f"bend {bend.number} ({change.child}): {', '.join(_bend_words(change, unit))}"


def _bend_words(change: BendChange, unit: Unit) -> Iterator[str]:
    old, new = change.old, change.new
    if old is None or new is None:
        yield "new" if old is None else "gone"
        return
    if change.shift > TOLERANCE:
        yield f"its line moves {format_length(change.shift, unit)}"
    lengths = old.line.length, new.line.length
    if abs(lengths[0] - lengths[1]) > TOLERANCE:
        yield f"its length {format_length(lengths[0], unit)} -> {format_length(lengths[1], unit)}"
    if change.angle_differs:
        yield f"{format_angle(old.angle)} -> {format_angle(new.angle)}"
    if old.direction != new.direction:
        yield f"folds {new.direction}, not {old.direction}" + _face(change)
    if old.way != new.way:
        yield f"made otherwise ({old.way.words} -> {new.way.words}, other figures)"


def _face(change: BendChange) -> str:
    face = change.new.score_face if change.new else None
    return f": the groove belongs on the {face} face now" if face else ""


def check_words(found: Comparison, unit: Unit) -> Iterator[str]:
    """Distances to measure that changed, * where they decide the fit."""
    for change in found.checks:
        old, new = (
            "none" if mm is None else format_length(mm, unit) for mm in (change.old, change.new)
        )
        yield f"{change.words}: {old} -> {new}{' *' if change.critical else ''}"


def metal_words(found: Comparison, unit: Unit) -> Iterator[str]:
    """Metal that comes off, and metal that the old blank lacks."""
    for each in found.added:
        yield f"metal added: {_patch_words(each, unit)}"
    for each in found.removed:
        yield f"metal removed: {_patch_words(each, unit)}"


def _patch_words(each: Located, unit: Unit) -> str:
    depth = format_length(each.patch.depth, unit)
    return f"{each.where}, {_area(each.patch.area, unit)}, up to {depth} wide"


def _area(mm2: float, unit: Unit) -> str:
    return f"{mm2 / float(MM_PER_INCH) ** 2:.2f} in²" if unit == "in" else f"{mm2 / 100:.1f} cm²"


# --- what becomes of it -----------------------------------------------------------------------


def outcome_words(found: Comparison, unit: Unit) -> Iterator[str]:
    """What becomes of an old part and why; stages that come to the same in one sentence."""
    told = {
        stage: (found.outcome(stage), tuple(reasons(found, stage, unit))) for stage in found.stages
    }
    if found.outcome("cut") == "cut again":
        why = told[found.stages[-1]][1]
        yield f"A part made to the old file must be cut again: {'; '.join(why)}."
        return
    for outcome, why in dict.fromkeys(told.values()):
        stages = [_STAGES[stage] for stage in found.stages if told[stage] == (outcome, why)]
        yield f"{_either(stages)} {_OUTCOMES[outcome]}{': ' if why else ''}{'; '.join(why)}."


def _either(stages: list[str]) -> str:
    """ "A part that is cut, scored or bent", the stages as they come."""
    first = ", ".join(stages[:-1])
    return "A part that is " + (f"{first} or {stages[-1]}" if first else stages[-1])


def reasons(found: Comparison, stage: Stage, unit: Unit) -> Iterator[str]:
    """Why a part made so far comes to its outcome."""
    match found.outcome(stage):
        case "trim":
            yield from _work(found, unit)
        case "bend anew":
            yield from (f"bend {bend}" for bend in _new_angles(found))
            yield from _work(found, unit)
        case "cut again":
            yield from _hindrances(found, stage, unit)
            return
        case _:
            pass
    if stage == "cut" and found.other_hand:
        yield "turn it over: the other hand is wanted"


def _work(found: Comparison, unit: Unit) -> Iterator[str]:
    for each in found.removed:
        verb = "drill or open out" if each.of_hole else "take off"
        yield f"{verb} {_patch_words(each, unit)}"


def _new_angles(found: Comparison) -> Iterator[str]:
    for change in found.bends:
        if change.old and change.new and change.angle_differs:
            old, new = format_angle(change.old.angle), format_angle(change.new.angle)
            yield f"{change.new.number} ({change.child}) {old} -> {new}"


def _hindrances(found: Comparison, stage: Stage, unit: Unit) -> Iterator[str]:
    if not found.same_stock:
        yield "the plate is another"
    for each in found.added:
        what = "the old hole stays open at" if each.of_hole else "metal is missing at"
        yield f"{what} {_patch_words(each, unit)}"
    if stage == "cut":
        return
    if found.other_hand:
        yield "the other hand is wanted"
    for bend in found.stranded:
        yield f"old bend {bend.number} ({bend.child}) stays in the metal"
    for change in found.bends:
        if change.old and change.new and not change.same_groove:
            yield f"bend {change.new.number} ({change.child}) is not where or as it was made"
