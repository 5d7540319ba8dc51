"""A linkage driven by the axle's height: the posture at a height, and where the motion ends.

Driven this way a linkage is at a dead point where the axle moves level: past it the axle's height
turns back, so no height beyond exists. It also ends where all links of a four-link lie in line and
the axle may go on either way. A link that comes into line with the axle bracket is no end: the
motion is followed through it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from platewright.errors import BuildError
from platewright.geometry.plane import Vector
from platewright.suspension.four_bar import Circuit
from platewright.suspension.linkage import Linkage, Posture, wrapped
from platewright.suspension.roots import crossings, grid, root

Why = Literal["dead point", "folded flat"]

_STEPS = 180
"""Places looked at in one whole circuit: two degrees of a crank that turns fully."""

_SHY = 1e-7
"""How far short of a fold the motion is followed, in the circuit's parameter."""


@dataclass(frozen=True, slots=True)
class Stop:
    """Where the motion ends: the axle's height, mm, and why."""

    height: float
    why: Why


@dataclass(frozen=True, slots=True, kw_only=True)
class Swing:
    """The part of a circuit on which each axle height comes once, between two stops.

    Heights are the axle centre's from the frame datum's origin, along `up`, mm. `low` and `high`
    are circuit parameters.
    """

    linkage: Linkage
    circuit: Circuit
    up: Vector
    low: float
    high: float
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

    def at(self, parameter: float) -> Posture:
        """Where everything is at a parameter of the circuit."""
        return self.linkage.posture(self.circuit, parameter)

    def height(self, parameter: float) -> float:
        """The axle's height at a parameter of the circuit, mm."""
        return height_of(self.at(parameter), self.up)


def height_of(posture: Posture, up: Vector) -> float:
    """The axle centre's height from the frame datum's origin, mm."""
    return posture.axle.origin.x * up.x + posture.axle.origin.y * up.y


def rise_rate(posture: Posture, up: Vector) -> float:
    """How fast the axle rises against the frame, on the posture's scale of time."""
    return posture.axle.velocity.dot(up)


@dataclass(frozen=True, slots=True)
class _Track:
    """One circuit seen along `up`, on the side the axle is on."""

    linkage: Linkage
    circuit: Circuit
    up: Vector
    behind: bool

    def posture(self, t: float) -> Posture:
        return self.linkage.posture(self.circuit, t)

    def height(self, t: float) -> float:
        return height_of(self.posture(t), self.up)

    def rate(self, t: float) -> float:
        return rise_rate(self.posture(t), self.up)

    def on_side(self, t: float) -> bool:
        """Whether the first link runs rearward (or, for a leading linkage, forward)."""
        return (self.lean(t) > 0) == self.behind

    def lean(self, t: float) -> float:
        """How far the first link runs rearward, as a share of its length."""
        return Vector.polar(self.posture(t).links[0].angle).dot(self.up.right)

    def turned(self, t: float) -> float:
        """How far the axle is from standing as it was measured, radians."""
        return abs(wrapped(self.posture(t).axle.angle))

    def arcs(self) -> tuple[tuple[float, float], ...]:
        """Runs of the parameter between folds; one whole turn when it never folds."""
        folds = self.circuit.folds
        if not folds:
            return ((0.0, math.tau),)
        ends = (*folds, folds[0] + math.tau)
        return tuple((a + _SHY, b - _SHY) for a, b in pairwise(ends))

    def places(self, height: float, arc: tuple[float, float]) -> list[float]:
        """The parameters of an arc, on the side, at which the axle is at a height."""
        found = crossings(lambda t: self.height(t) - height, grid(*arc, _STEPS))
        return [t for t in found if self.on_side(t)]

    def heights(self, arc: tuple[float, float]) -> list[float]:
        """Axle heights all along an arc on the side, its turning places and ends among them."""
        places = grid(*arc, _STEPS)
        sides = [self.height(t) for t in crossings(self.lean, places)]
        turns = [t for t in (*places, *crossings(self.rate, places)) if self.on_side(t)]
        return sides + [self.height(t) for t in turns]

    def swing(self, t: float, arc: tuple[float, float]) -> Swing:
        """The run round a parameter on which each height comes once."""
        whole = not self.circuit.folds
        back = self._end(t, t - math.tau if whole else arc[0])
        ahead = self._end(t, t + math.tau if whole else arc[1])
        (low, lowest), (high, highest) = sorted((back, ahead), key=lambda end: end[1].height)
        return Swing(
            linkage=self.linkage,
            circuit=self.circuit,
            up=self.up,
            low=low,
            high=high,
            lowest=lowest,
            highest=highest,
        )

    def _end(self, t: float, limit: float) -> tuple[float, Stop]:
        """The first dead point from a parameter towards a limit, else the fold at the limit."""
        for dead in crossings(self.rate, grid(t, limit, _STEPS)):
            return dead, Stop(self.height(dead), "dead point")
        return limit, Stop(self.height(limit), "folded flat")


def find_swing(linkage: Linkage, up: Vector, height: float, *, behind: bool = True) -> Swing | None:
    """The swing that holds an axle height, the axle turned least from how it was measured.

    `behind` asks for links that run rearward from their frame pivots. None when the linkage cannot
    have its axle at that height on that side.
    """
    found = [
        (track.turned(t), t, arc, track)
        for track in _tracks(linkage, up, behind)
        for arc in track.arcs()
        for t in track.places(height, arc)
    ]
    if not found:
        return None
    _, t, arc, track = min(found, key=lambda candidate: candidate[:2])
    return track.swing(t, arc)


def _tracks(linkage: Linkage, up: Vector, behind: bool) -> tuple[_Track, ...]:
    return tuple(_Track(linkage, circuit, up, behind) for circuit in linkage.circuits())


def reach(linkage: Linkage, up: Vector, *, behind: bool = True) -> tuple[float, float] | None:
    """The least and greatest axle height the linkage has on a side; None when it cannot close."""
    heights = [
        height
        for track in _tracks(linkage, up, behind)
        for arc in track.arcs()
        for height in track.heights(arc)
    ]
    return (min(heights), max(heights)) if heights else None
