"""Where a kind's measurements show, for the pictures of the measuring form.

Places are in the plane frames of the bracket's panels, so that a kind can point at the edges and
holes that it has just built. `key` is the dotted key of the measurement.
"""

from __future__ import annotations

from dataclasses import dataclass

from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line


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

IN_PLACE = ""
"""The panel's name of what is told on a picture of the bracket in its place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InPlace:
    """The folded bracket seen from its end, in its place, with the measurements that tell of it.

    All in one plane frame, mm: the bracket's section, what it carries, the face that it is fixed
    to (metal on the left of the way, what carries it on the right), its centre lines. The panel
    of what is shown is `IN_PLACE`.
    """

    section: Contour
    carried: Circle
    face: Line
    centres: tuple[Line, ...]
    shown: tuple[Shown, ...]
