"""A finding: one thing that is wrong or risky, where, by how much, by which rule, what to do."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Literal

from platewright.findings.case import Case
from platewright.values import dataclass

Severity = Literal["impossible", "change", "note"]

SEVERITIES: tuple[Severity, ...] = ("impossible", "change", "note")
"""Worst first."""

Quantity = Literal["length", "angle", "force", "share"]

Bound = Literal["at least", "at most", "asked"]
"""How a figure is held to its limit; "asked" is what the file says, told beside what comes."""

COMMON = "common practice, no published source"
EXACT = "geometry"


@dataclass(frozen=True, slots=True)
class Reading:
    """A figure: mm, radians, N, or a share of 1."""

    value: float
    quantity: Quantity = "length"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """What a rule found: how bad, where in words, measured against a limit, and what to change.

    `bound` tells whether the measured value should be at least or at most the limit, or was asked
    to be it. A fault may name its own source where the rule has several.
    """

    severity: Severity
    place: str
    change: str
    measured: Reading | None = None
    limit: Reading | None = None
    bound: Bound = "at least"
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """A fault with the name of its rule and its source."""

    severity: Severity
    rule: str
    place: str
    change: str
    source: str
    measured: Reading | None = None
    limit: Reading | None = None
    bound: Bound = "at least"


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: its name in shop words, where it comes from, and the function that looks."""

    name: str
    source: str
    look: Callable[[Case], Iterable[Fault]]

    def findings(self, case: Case) -> tuple[Finding, ...]:
        """What the rule finds in a case."""
        return tuple(
            Finding(
                severity=fault.severity,
                rule=self.name,
                place=fault.place,
                change=fault.change,
                source=fault.source or self.source,
                measured=fault.measured,
                limit=fault.limit,
                bound=fault.bound,
            )
            for fault in self.look(case)
        )
