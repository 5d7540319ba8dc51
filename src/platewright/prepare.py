"""From read jobs to pieces that are judged: what `check` tells and `make` draws."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from platewright.errors import BuildError, FileError, Mistake
from platewright.files.job import Job, Part, built
from platewright.findings.judgement import Judgement, judge
from platewright.findings.limits import Limits, Load, SpringLoad
from platewright.findings.words import finding_words
from platewright.plate.piece import Piece, pieces_of
from platewright.shop.strength import least_fillet


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepared:
    """A part of a file with its pieces and what is found about each."""

    path: str
    part: Part
    pieces: tuple[Piece, ...]
    judgements: tuple[Judgement, ...]


def prepared(jobs: Iterable[Job]) -> tuple[Prepared, ...]:
    """Every part of every job.

    Raises FileError with the mistakes of all parts at once when measurements make no bracket.
    """
    mistakes: list[Mistake] = []
    found: list[Prepared] = []
    for job in jobs:
        for part in job.parts:
            try:
                found.append(_prepared(job.path, part))
            except FileError as error:
                mistakes.extend(error.mistakes)
    if mistakes:
        raise FileError(tuple(mistakes))
    return tuple(found)


def _prepared(path: str, part: Part) -> Prepared:
    made = built(part, path)
    pieces = pieces_of(
        part.name,
        part.hand,
        made.bracket,
        part.common.detail,
        quantity=part.quantity,
        note=part.note,
    )
    try:
        judgements = tuple(
            replace(_judged(piece, part), ligament=made.ligament) for piece in pieces
        )
    except BuildError as error:
        key = ".".join(word for word in (part.at, "load") if word)
        raise FileError((Mistake(file=path, key=key, message=error.message),)) from error
    return Prepared(path=path, part=part, pieces=pieces, judgements=judgements)


def _judged(piece: Piece, part: Part) -> Judgement:
    common, mounting = part.common, part.mounting
    return judge(
        piece,
        _limits(part),
        common.cutting,
        load_of(part),
        lean=mounting.lean if mounting else None,
        suspension=mounting.must_change if mounting else (),
        unit=part.unit,
    )


def _limits(part: Part) -> Limits:
    """The file's limits; a weld that it does not tell is the least, in its own unit's figures."""
    limits = part.common.limits
    if limits.weld_leg is not None:
        return limits
    return replace(limits, weld_leg=least_fillet(part.stock.thickness, part.unit))


def load_of(part: Part) -> Load | None:
    """What a part carries: as its file says, else the greatest force of its spring.

    A mock-up in card has a spring and yet carries nothing.
    """
    own, mounting = part.common.load, part.mounting
    force = mounting.travel.greatest_force if mounting else None
    if own is not None or mounting is None or force is None:
        return own
    if not part.stock.material.carries_load:
        return None
    return SpringLoad(force=force, setup=Path(mounting.on.setup).name)


def require_possible(parts: Sequence[Prepared]) -> None:
    """Refuse parts that cannot be made at all. Raises FileError saying why, for all of them."""
    mistakes = [
        Mistake(file=each.path, key=piece.name, message=finding_words(finding, each.part.unit))
        for each in parts
        for piece, judgement in zip(each.pieces, each.judgements, strict=True)
        for finding in judgement.findings
        if finding.severity == "impossible"
    ]
    if mistakes:
        raise FileError(tuple(mistakes))
