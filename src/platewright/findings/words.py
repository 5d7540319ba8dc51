"""A finding in words, in the units of the file."""

from __future__ import annotations

from platewright.findings.finding import Finding, Reading
from platewright.quantities import N_PER_LBF
from platewright.units import Unit, format_angle, format_length


def reading_words(reading: Reading, unit: Unit) -> str:
    """A figure with its unit: "3/8 in", "62.5°", "55 lbf", "35 %"."""
    match reading.quantity:
        case "length":
            return format_length(reading.value, unit)
        case "angle":
            return format_angle(reading.value)
        case "force":
            return force_words(reading.value, unit)
        case "share":
            return f"{100 * reading.value:.0f} %"


def force_words(force: float, unit: Unit) -> str:
    """A force in lbf for inch files, in N for metric ones."""
    return f"{force / float(N_PER_LBF):.0f} lbf" if unit == "in" else f"{force:.0f} N"


def measured_words(finding: Finding, unit: Unit) -> str:
    """What was measured against what, or nothing where there is no figure."""
    if finding.measured is None:
        return ""
    words = reading_words(finding.measured, unit)
    if finding.limit is None:
        return words
    return f"{words}, should be {finding.bound} {reading_words(finding.limit, unit)}"


def finding_words(finding: Finding, unit: Unit) -> str:
    """The finding in one line: severity, rule, place, figures, what to change, source."""
    figures = measured_words(finding, unit)
    middle = f": {figures}" if figures else ""
    return (
        f"{finding.severity}: {finding.rule}: {finding.place}{middle}; {finding.change} "
        f"({finding.source})"
    )
