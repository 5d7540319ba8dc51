"""Findings in words, in the units of the file; those that say the same of several places, once.

Places are words such as "bolt hole 2" or "bend 1, leg"; those that differ in one number are joined
under it: "bolt holes 1 and 2", "bends 1 to 4, leg".
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from platewright.findings.finding import Amount, Finding
from platewright.quantities import N_PER_LBF
from platewright.units import Rounding, Unit, format_angle, format_figure, format_length


def reading_words(reading: Amount, unit: Unit, rounding: Rounding = "nearest") -> str:
    """A figure with its unit: "3/8 in", "62.5°", "55 lbf", "35 %"."""
    match reading.quantity:
        case "length":
            return format_length(reading.value, unit, rounding)
        case "angle":
            return format_angle(reading.value, 1, rounding)
        case "force":
            return force_words(reading.value, unit, rounding)
        case "share":
            return f"{format_figure(100 * reading.value, 0, rounding)} %"


def force_words(force: float, unit: Unit, rounding: Rounding = "nearest") -> str:
    """A force in lbf for inch files, in N for metric ones."""
    size, word = (force / float(N_PER_LBF), "lbf") if unit == "in" else (force, "N")
    return f"{format_figure(size, 0, rounding)} {word}"


def measured_words(finding: Finding, unit: Unit) -> str:
    """What was measured against what, or nothing where there is no figure.

    A least is rounded up and a most down, and what misses its limit never reads as if it met it.
    """
    if finding.measured is None:
        return ""
    words = reading_words(finding.measured, unit)
    if finding.limit is None:
        return words
    if finding.bound == "asked":
        return f"{words}, the file says {reading_words(finding.limit, unit)}"
    least = finding.bound == "at least"
    limit = reading_words(finding.limit, unit, "up" if least else "down")
    if words == limit:
        words = reading_words(finding.measured, unit, "down" if least else "up")
    return f"{words}, should be {finding.bound} {limit}"


def finding_words(finding: Finding, unit: Unit) -> str:
    """The finding in one line: severity, rule, place, figures, what to change, source."""
    figures = measured_words(finding, unit)
    middle = f": {figures}" if figures else ""
    return (
        f"{finding.severity}: {finding.rule}: {finding.place}{middle}; {finding.change} "
        f"({finding.source})"
    )


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
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    for run in runs:
        told += [f"{run[0]} to {run[-1]}"] if len(run) >= _RUN else map(str, run)
    return told[0] if len(told) == 1 else f"{', '.join(told[:-1])} and {told[-1]}"
