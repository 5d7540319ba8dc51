"""What is measured on the links: pivots on the frame, lengths, eyes on the axle, in side view.

Places are as in `measurements`: along rearward of the mark, above the datum line.
"""

from __future__ import annotations

from dataclasses import dataclass

from platewright import measure
from platewright.suspension.measurements import Problems

RUNS = ("rearward", "forward")


@dataclass(frozen=True, slots=True, kw_only=True)
class ArmSection:
    """A trailing arm: one pivot on the frame."""

    pivot_along: float = measure.length(
        "pivot along",
        "From the mark rearward to the arm's pivot.",
        minimum="-400 in",
        maximum="400 in",
        example="0 in",
    )
    pivot_above: float = measure.length(
        "pivot above",
        "From the datum line up to the arm's pivot.",
        minimum="-40 in",
        maximum="40 in",
        example="5 in",
    )
    length: float = measure.length(
        "arm length",
        "Pivot to axle centre.",
        minimum="2 in",
        maximum="120 in",
        fit_critical=True,
        example="24 in",
    )
    runs: str = measure.choice(
        "arm runs", "Which way the arm runs from its pivot.", RUNS, default="rearward"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class FourLinkSection:
    """A parallel or unequal four-link, in side view two links."""

    lower_along: float = measure.length(
        "lower pivot along",
        "From the mark rearward to the lower link's frame pivot.",
        minimum="-400 in",
        maximum="400 in",
        example="0 in",
    )
    lower_above: float = measure.length(
        "lower pivot above",
        "From the datum line up to the lower link's frame pivot.",
        minimum="-40 in",
        maximum="40 in",
        example="7 in",
    )
    lower_length: float = measure.length(
        "lower link length",
        "Eye to eye, as seen from the side.",
        minimum="2 in",
        maximum="120 in",
        fit_critical=True,
        example="24 in",
    )
    upper_along: float = measure.length(
        "upper pivot along",
        "From the mark rearward to the upper link's frame pivot.",
        minimum="-400 in",
        maximum="400 in",
        example="3 1/2 in",
    )
    upper_above: float = measure.length(
        "upper pivot above",
        "From the datum line up to the upper link's frame pivot.",
        minimum="-40 in",
        maximum="60 in",
        example="13 3/4 in",
    )
    upper_length: float = measure.length(
        "upper link length",
        "Eye to eye, as seen from the side.",
        minimum="2 in",
        maximum="120 in",
        fit_critical=True,
        example="20 1/2 in",
    )
    lower_eye_along: float = measure.length(
        "lower eye along",
        "From the axle centre rearward to the lower link's eye.",
        minimum="-40 in",
        maximum="40 in",
        default="0",
    )
    lower_eye_above: float = measure.length(
        "lower eye above",
        "From the axle centre up to the lower link's eye (below: negative).",
        minimum="-40 in",
        maximum="40 in",
        example="-3 1/2 in",
    )
    upper_eye_along: float = measure.length(
        "upper eye along",
        "From the axle centre rearward to the upper link's eye.",
        minimum="-40 in",
        maximum="40 in",
        default="0",
    )
    upper_eye_above: float = measure.length(
        "upper eye above",
        "From the axle centre up to the upper link's eye.",
        minimum="-40 in",
        maximum="40 in",
        example="4 1/2 in",
    )
    runs: str = measure.choice(
        "links run", "Which way the links run from their frame pivots.", RUNS, default="rearward"
    )

    def problems(self) -> Problems:
        """Pivots or eyes on top of each other."""
        if (self.lower_along, self.lower_above) == (self.upper_along, self.upper_above):
            return (("upper_above", "the two frame pivots are at one place"),)
        lower = (self.lower_eye_along, self.lower_eye_above)
        if lower == (self.upper_eye_along, self.upper_eye_above):
            return (("upper_eye_above", "the two eyes on the axle are at one place"),)
        return ()
