"""A comparison in words: what changed, and what becomes of a part that is cut already."""

from __future__ import annotations

from collections.abc import Iterator

from platewright.compare.changes import TOLERANCE, BendChange, Opening, OpeningChange, edge_of
from platewright.compare.edges import EdgeChange
from platewright.compare.outcome import Comparison, Located, Outcome, Stage
from platewright.geometry.plane import Vector
from platewright.plate.bracket import Hole
from platewright.units import INCH, Unit, format_angle, format_length

_STAGES: dict[Stage, str] = {"cut": "cut flat", "scored": "scored", "bent": "bent"}
_OUTCOMES: dict[Outcome, str] = {
    "as it is": "serves as it is",
    "trim": "can be trimmed",
    "bend anew": "must be bent anew",
    "cut again": "must be cut again",
}


def sections(found: Comparison, unit: Unit) -> Iterator[tuple[str, list[str]]]:
    """What changed, subject by subject; nothing of a subject in which nothing did."""
    told: dict[str, Iterator[str]] = {
        "metal": (
            f"metal {what}: {_patch(each, unit)}"
            for what, patches in (("added", found.added), ("removed", found.removed))
            for each in patches
        ),
        "outline": (f"{c.panel}: {c.edge} {_edge(c, unit)}" for c in found.edges),
        "bends": (
            f"bend {bend.number} ({change.child}): {', '.join(_bend_words(change, unit))}"
            for change in found.bends
            if (bend := change.new or change.old)
        ),
        "holes and cut-outs": (
            (f"{change.what}: {', '.join(_opening_words(change, unit))}")
            for change in found.openings
        ),
        "checks": _dimensions(found, unit),
    }
    for subject, lines in told.items():
        if texts := list(lines):
            yield subject, texts


def _patch(each: Located, unit: Unit) -> str:
    area = each.patch.area
    size = f"{area / INCH**2:.2f} in²" if unit == "in" else f"{area / 100:.1f} cm²"
    return f"{each.where}, {size}, up to {format_length(each.patch.depth, unit)} wide"


def _edge(change: EdgeChange, unit: Unit) -> str:
    match change.sort:
        case "new" | "gone":
            return f"is {change.sort}"
        case "moved" if change.radii == (None, None):
            return f"moves {_out(change.start_out, unit)}"
        case "moved":
            return f"moves {_way(change.by, unit)}"
        case "turned":
            assert change.new is not None
            first = _end(change.start_out, change.start_by, change.new.start_by, "start", unit)
            last = _end(change.end_out, change.end_by, change.new.end_by, "end", unit)
            return f"turns: {first}, {last}"
        case "redrawn":
            ways = zip(("in", "out"), change.reach, strict=True)
            told = [f"{way} up to {format_length(mm, unit)}" for way, mm in ways if mm > TOLERANCE]
            return f"takes another line: {', '.join(told)}"
        case "reshaped":
            old, new = (None if r is None else format_length(r, unit) for r in change.radii)
            if new is None:
                return "becomes straight"
            return f"radius {old} -> {new}" if old else f"becomes round, radius {new}"


def _out(mm: float, unit: Unit) -> str:
    """An edge's way, outwards or inwards."""
    if abs(mm) <= TOLERANCE:
        return "not at all"
    return f"{'out' if mm > 0 else 'in'} {format_length(abs(mm), unit)}"


def _end(out: float, by: Vector, beside: str, which: str, unit: Unit) -> str:
    """How far an end goes out, told by the edge that is met there, and its corner where farther."""
    words = f"{_out(out, unit)} {f'by {beside}' if beside else f'at its {which}'}"
    if by.length <= abs(out) + TOLERANCE:
        return words
    return f"{words} (the corner there moves {format_length(by.length, unit)})"


def _way(by: Vector, unit: Unit) -> str:
    """A way on the blank, top face up."""
    ways = ((by.x, "right", "left"), (by.y, "up", "down"))
    told = [
        f"{format_length(abs(mm), unit)} {more if mm > 0 else less}"
        for mm, more, less in ways
        if abs(mm) > TOLERANCE
    ]
    return f"{format_length(by.length, unit)} ({', '.join(told)} on the blank)"


def _opening_words(change: OpeningChange, unit: Unit) -> Iterator[str]:
    old, new = change.old, change.new
    if old is None or new is None:
        yield "new" if old is None else "gone"
        return
    if change.by.length > TOLERANCE:
        yield f"moves {_way(change.by, unit)}"
    if change.reshaped:
        what = "diameter " if isinstance(old, Hole) and isinstance(new, Hole) else ""
        sizes = _size(old, unit), _size(new, unit)
        yield what + " -> ".join(sizes) if sizes[0] != sizes[1] else "takes another shape"
    was, is_now = (isinstance(each, Hole) and not each.cut for each in (old, new))
    if was != is_now:
        yield "now only marked, was cut" if is_now else "now cut, was only marked"


def _size(opening: Opening, unit: Unit) -> str:
    box = edge_of(opening).bounds
    if isinstance(opening, Hole):
        return format_length(opening.diameter, unit)
    return f"{format_length(box.width, unit)} x {format_length(box.height, unit)}"


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
        face = f": the groove belongs on the {new.score_face} face now" if new.score_face else ""
        yield f"folds {new.direction}, not {old.direction}{face}"
    if old.way != new.way:
        yield f"made otherwise ({old.way.words} -> {new.way.words}, other figures)"


def _dimensions(found: Comparison, unit: Unit) -> Iterator[str]:
    """Distances to measure that changed, * where they decide the fit."""
    for change in found.dimensions:
        old, new = (
            "none" if value is None
            else format_length(value, unit) if change.quantity == "length"
            else format_angle(value)
            for value in (change.old, change.new)
        )  # fmt: skip
        yield f"{change.words}: {old} -> {new}{' *' if change.critical else ''}"


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
        # "A part that is cut, scored or bent", the stages as they come
        first = f"{', '.join(stages[:-1])} or " if stages[1:] else ""
        so_far = f"A part that is {first}{stages[-1]}"
        yield f"{so_far} {_OUTCOMES[outcome]}{': ' if why else ''}{'; '.join(why)}."


def reasons(found: Comparison, stage: Stage, unit: Unit) -> Iterator[str]:
    """Why a part made so far comes to its outcome."""
    match found.outcome(stage):
        case "trim":
            yield from _work(found, unit)
        case "bend anew":
            for change in found.bends:
                if change.old and change.new and change.angle_differs:
                    old, new = format_angle(change.old.angle), format_angle(change.new.angle)
                    yield f"bend {change.new.number} ({change.child}) {old} -> {new}"
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
        round_one = isinstance(each.opening, Hole)
        verb = "drill or open out" if round_one else "cut out" if each.opening else "take off"
        yield f"{verb} {_patch(each, unit)}"


def _hindrances(found: Comparison, stage: Stage, unit: Unit) -> Iterator[str]:
    if not found.same_stock:
        yield "the plate is another"
    for each in found.added:
        what = "the old hole stays open at" if each.opening else "metal is missing at"
        yield f"{what} {_patch(each, unit)}"
    if stage == "cut":
        return
    if found.other_hand:
        yield "the other hand is wanted"
    for bend in found.stranded:
        yield f"old bend {bend.number} ({bend.child}) stays in the metal"
    for change in found.bends:
        if change.old and change.new and not change.same_groove:
            yield f"bend {change.new.number} ({change.child}) is not where or as it was made"
