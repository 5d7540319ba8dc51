"""A finding in words, in the units of the file."""

from __future__ import annotations

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
