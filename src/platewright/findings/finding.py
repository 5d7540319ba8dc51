"""A finding: one thing that is wrong or risky, where, by how much, by which rule, what to do."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from functools import partial
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

#: Figures nearer to their limit than this are taken as on it.
SLACK = 1e-6


@dataclass(frozen=True, slots=True)
class Amount:
    """A figure: mm, radians, N, or a share of 1."""

    value: float
    quantity: Quantity = "length"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What a rule found: how bad, where in words, measured against a limit, and what to change.

    `bound` tells whether the measured value should be at least or at most the limit, or was asked
    to be it. The rule gives its name, and its source where the finding has none of its own.
    """

    severity: Severity
    place: str
    change: str
    rule: str = ""
    source: str = ""
    measured: Amount | None = None
    limit: Amount | None = None
    bound: Bound = "at least"


def short(
    place: str,
    measured: float,
    limit: float,
    change: str,
    severity: Severity = "change",
    source: str = "",
    slack: float = SLACK,
    quantity: Quantity = "length",
    bound: Bound = "at least",
) -> Iterator[Finding]:
    """What is found where a figure comes to less than its least, or to more than its most."""
    if measured < limit - slack if bound == "at least" else measured > limit + slack:
        yield Finding(
            severity=severity,
            place=place,
            change=change,
            source=source,
            measured=Amount(measured, quantity),
            limit=Amount(limit, quantity),
            bound=bound,
        )


beyond = partial(short, bound="at most")
"""What is found where a figure comes to more than its most."""


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: its name in shop words, where it comes from, and the function that looks."""

    name: str
    source: str
    look: Callable[[Case], Iterable[Finding]]

    def findings(self, case: Case) -> tuple[Finding, ...]:
        """What the rule finds in a case."""
        return tuple(
            replace(found, rule=self.name, source=found.source or self.source)
            for found in self.look(case)
        )
