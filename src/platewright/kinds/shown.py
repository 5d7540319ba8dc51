"""Where a kind's measurements show on the flat bracket, for the picture of the measuring form.

Places are in the plane frames of the bracket's panels, so that a kind can point at the edges and
holes that it has just built. `key` is the dotted key of the measurement.
"""

from __future__ import annotations

from dataclasses import dataclass

from platewright.geometry.plane import Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A length from one place of a panel to another.

    Its line is drawn `row` rows to the left of the way from start to end, negative to the right,
    0 on the places themselves.
    """

    key: str
    panel: str
    start: Point
    end: Point
    row: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """An angle at a place of a panel, from a direction (radians) by a signed sweep.

    `reach` is how far from its corner it is drawn, mm on the bracket.
    """

    key: str
    panel: str
    apex: Point
    start: float
    sweep: float
    reach: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Pointer:
    """What is told of one place of a panel: a hole's size, a bend's angle, the shape of an edge."""

    key: str
    panel: str
    at: Point


Shown = Span | Opening | Pointer
"""One measurement on the picture."""
