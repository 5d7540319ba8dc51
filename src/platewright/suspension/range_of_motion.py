"""A linkage driven by the axle's height: the posture at a height, and where the motion ends.

Driven this way a linkage is at a dead point where the axle moves level: past it the axle's height
turns back, so no height beyond exists. It also ends where all links of a four-link lie in line and
the axle may go on either way. A link that comes into line with the axle bracket is no end: the
motion is followed through it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Literal

from platewright.errors import BuildError
from platewright.geometry.plane import Vector
from platewright.suspension.four_bar import Circuit
from platewright.suspension.linkage import Linkage, Posture, wrapped
from platewright.suspension.roots import crossings, grid, root
from platewright.values import dataclass

_STEPS = 180
"""Places looked at in one whole circuit: two degrees of a crank that turns fully."""

_SHY = 1e-7
"""How far short of a fold the motion is followed, in the circuit's parameter."""


@dataclass(frozen=True, slots=True)
class Stop:
    """Where the motion ends: the axle's height, mm, and why."""

    height: float
    why: Literal["dead point", "folded flat"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitRun:
    """A run of one circuit between two of its parameters.

    Heights are the axle centre's from the frame datum's origin, along `up`, mm.
    """

    linkage: Linkage
    circuit: Circuit
    up: Vector
    low: float
    high: float

    def at(self, parameter: float) -> Posture:
        """Where everything is at a parameter of the circuit."""
        return self.linkage.posture(self.circuit, parameter)

    def height(self, parameter: float) -> float:
        """The axle's height at a parameter of the circuit, mm."""
        return self.at(parameter).height(self.up)

    def rise_rate(self, parameter: float) -> float:
        """How fast the axle rises there."""
        return self.at(parameter).rise_rate(self.up)

    def rearward(self, parameter: float) -> float:
        """How far the first link runs rearward there, as a share of its length."""
        return Vector.polar(self.at(parameter).links[0].angle).dot(self.up.right)

    def places(self) -> list[float]:
        """Parameters close enough together to see every turn."""
        return grid(self.low, self.high, _STEPS)

    def parameters(self, height: float) -> Iterator[float]:
        """Every parameter with the axle at a height."""
        return crossings(lambda t: self.height(t) - height, self.places())


@dataclass(frozen=True, slots=True, kw_only=True)
class RangeOfMotion(CircuitRun):
    """A run on which each axle height comes once, between two stops."""

    lowest: Stop
    highest: Stop

    def reaches(self, height: float) -> bool:
        """Whether the axle can be at a height."""
        return self.lowest.height <= height <= self.highest.height

    def posture(self, height: float) -> Posture:
        """Where everything is with the axle at a height. Raises BuildError beyond a stop."""
        return self.at(self.parameter(height))

    def parameter(self, height: float) -> float:
        """The circuit's parameter with the axle at a height. Raises BuildError beyond a stop."""
        if not self.reaches(height):
            stop = self.lowest if height < self.lowest.height else self.highest
            raise BuildError(
                f"the axle cannot be at {height:.3f} mm: its motion ends at {stop.height:.3f} mm "
                f"({stop.why})",
                "linkage",
            )
        return root(lambda t: self.height(t) - height, self.low, self.high)


def range_at(
    linkage: Linkage, up: Vector, height: float, *, behind: bool = True
) -> RangeOfMotion | None:
    """The range that holds an axle height, the axle turned least from how it was measured.

    `behind` asks for links that run rearward from their frame pivots. None when the linkage cannot
    have its axle at that height on that side.
    """
    found = [
        (abs(wrapped(run.at(t).axle.angle)), t, run)
        for run in _circuit_runs(linkage, up)
        for t in run.parameters(height)
        if (run.rearward(t) > 0) == behind
    ]
    if not found:
        return None
    _, t, run = min(found, key=lambda candidate: candidate[:2])

    def end(limit: float) -> tuple[float, Stop]:
        """The first dead point towards a limit, else the fold at the limit."""
        for dead in crossings(run.rise_rate, grid(t, limit, _STEPS)):
            return dead, Stop(run.height(dead), "dead point")
        return limit, Stop(run.height(limit), "folded flat")

    folds = run.circuit.folds
    ends = (end(run.low), end(run.high)) if folds else (end(t - math.tau), end(t + math.tau))
    (low, lowest), (high, highest) = sorted(ends, key=lambda end: end[1].height)
    return RangeOfMotion(
        linkage=linkage,
        circuit=run.circuit,
        up=up,
        low=low,
        high=high,
        lowest=lowest,
        highest=highest,
    )


def reach(linkage: Linkage, up: Vector, *, behind: bool = True) -> tuple[float, float] | None:
    """The least and greatest axle height the linkage has on a side; None when it cannot close."""
    heights = [
        run.height(t)
        for run in _circuit_runs(linkage, up)
        for places in (run.places(),)
        for t in (*places, *crossings(run.rise_rate, places), *crossings(run.rearward, places))
        if (run.rearward(t) > 0) == behind or abs(run.rearward(t)) < _SHY
    ]
    return (min(heights), max(heights)) if heights else None


def _circuit_runs(linkage: Linkage, up: Vector) -> Iterator[CircuitRun]:
    """Each circuit between its folds; one whole turn of one that never folds."""
    for circuit in linkage.circuits():
        ends = [(0.0, math.tau)]
        if circuit.folds:
            folds = (*circuit.folds, circuit.folds[0] + math.tau)
            ends = [(a + _SHY, b - _SHY) for a, b in pairwise(folds)]
        for low, high in ends:
            yield CircuitRun(linkage=linkage, circuit=circuit, up=up, low=low, high=high)
