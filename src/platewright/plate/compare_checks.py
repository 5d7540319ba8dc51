"""Which of the distances to measure changed between two brackets."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from platewright.plate.bracket import Bracket
from platewright.plate.dimension import Dimension
from platewright.plate.folded import folded


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckChange:
    """A distance that changed, mm; None where one of the brackets has no such check."""

    words: str
    old: float | None
    new: float | None
    critical: bool


def check_changes(old: Bracket, new: Bracket, tolerance: float) -> Iterator[CheckChange]:
    """The checks whose distance differs by more than the tolerance, mm, or that only one has.

    Distances are those on the finished bracket, or on the blank where they are there alone.
    """
    before, after = _measured(old), _measured(new)
    critical = {_words(check): check.critical for check in (*old.dimensions, *new.dimensions)}
    for words in dict.fromkeys((*after, *before)):
        one, other = before.get(words), after.get(words)
        if one is None or other is None or abs(one - other) > tolerance:
            yield CheckChange(words=words, old=one, new=other, critical=critical[words])


def _measured(bracket: Bracket) -> dict[str, float]:
    flat, finished = folded(bracket, 0.0), folded(bracket)
    return {
        _words(check): (flat if check.when == "flat" else finished).value(check)
        for check in bracket.dimensions
    }


def _words(check: Dimension) -> str:
    """What is measured, panels named where the two ends are on different ones."""
    start, end = check.start, check.end
    if start.panel == end.panel:
        return f"{start.words} to {end.words}"
    return f"{start.words} ({start.panel}) to {end.words} ({end.panel})"
