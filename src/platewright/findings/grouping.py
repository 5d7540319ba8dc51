"""Findings that say the same of several places, told once.

Places are words such as "bolt hole 2" or "bend 1, leg"; those that differ in one number are joined
under it: "bolt holes 1 and 2", "bends 1 to 4, leg".
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from platewright.findings.finding import Finding
from platewright.findings.words import measured_words
from platewright.units import Unit

_NUMBER = re.compile(r"(\d+)")
_RUN = 3  # so many numbers in a row are told as "1 to 3"


def grouped(found: Iterable[Finding], unit: Unit) -> tuple[Finding, ...]:
    """The findings in their order, those with the same words but another place made one.

    Figures count as the same when they read the same in `unit`.
    """
    groups: dict[object, list[Finding]] = {}
    for finding in found:
        figures = measured_words(finding, unit)
        key = (finding.severity, finding.rule, figures, finding.change, finding.source)
        groups.setdefault(key, []).append(finding)
    return tuple(
        replace(group[0], place=joined_places([finding.place for finding in group]))
        for group in groups.values()
    )


def joined_places(places: Sequence[str]) -> str:
    """Places in one line, each once; those that differ in one number share their words."""
    alike: dict[tuple[str, ...], list[list[str]]] = {}
    for place in dict.fromkeys(places):
        parts = _NUMBER.split(place)
        alike.setdefault(tuple(parts[::2]), []).append(parts)
    return "; ".join(words for group in alike.values() for words in _joined(group))


def _joined(group: list[list[str]]) -> Iterator[str]:
    """Places with the same words: under one number where only that differs, else each by itself."""
    first = group[0]
    varying = [i for i in range(1, len(first), 2) if len({parts[i] for parts in group}) > 1]
    if len(varying) != 1:
        yield from ("".join(parts) for parts in group)
        return
    at = varying[0]
    numbers = sorted(int(parts[at]) for parts in group)
    yield "".join(
        (*first[: at - 1], _several(first[at - 1]), numbers_words(numbers), *first[at + 1 :])
    )


def _several(words: str) -> str:
    """The words before a number, for several numbers: "bolt hole " becomes "bolt holes "."""
    named = words.rstrip()
    return f"{named}s{words[len(named) :]}" if named[-1:].isalpha() else words


def numbers_words(numbers: Sequence[int]) -> str:
    """Rising numbers in words: "1 and 2", "1, 4 and 6", "1 to 6 and 8 to 13"."""
    told: list[str] = []
    for run in _runs(numbers):
        told += [f"{run[0]} to {run[-1]}"] if len(run) >= _RUN else map(str, run)
    return told[0] if len(told) == 1 else f"{', '.join(told[:-1])} and {told[-1]}"


def _runs(numbers: Sequence[int]) -> list[list[int]]:
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return runs
