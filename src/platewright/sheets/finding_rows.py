"""The check sheet's part for findings: what is wrong or risky, worst first, and what to change."""

from __future__ import annotations

from platewright.drawing.flow import Strip, heading, kept, paragraph
from platewright.drawing.table import Cell, Column, Table, Words, table_strips
from platewright.findings.finding import Finding
from platewright.findings.grouping import grouped
from platewright.findings.words import measured_words
from platewright.sheets.matter import Matter
from platewright.units import Unit

NOTHING = "The rules found nothing. They are a screen: nothing found is no approval."
"""What the sheet says of a bracket without findings."""

_WORDS = (
    "CHANGE: change it in the file before you cut. NOTE: know it and decide. The rules are a "
    "screen, no approval."
)


def finding_section(matter: Matter) -> tuple[Strip, ...]:
    """Every finding with its place, figures, remedy and source, like ones in one row."""
    found = grouped(matter.judgement.findings, matter.unit)
    title = heading("Findings", matter.width)
    if not found:
        return (*title, *paragraph(NOTHING, matter.width))
    columns = (
        Column(heading="", width=17),
        Column(heading="what and where", width=46),
        Column(heading="measured", width=38),
        Column(heading="what to change", width=54),
        Column(heading="source", width=35),
    )
    rows = tuple(_row(finding, matter.unit) for finding in found)
    table = Table(columns=columns, rows=rows).fitted(matter.width)
    return (*title, *kept(paragraph(_WORDS, matter.width)), *table_strips(table))


def _row(finding: Finding, unit: Unit) -> tuple[Cell, ...]:
    return (
        Words(finding.severity.upper(), "bold"),
        f"{finding.rule}: {finding.place}",
        measured_words(finding, unit),
        finding.change,
        finding.source,
    )
