"""Angle gauges: a card bevel for each fold, to lay inside it and over its outside.

A gauge is two arms that meet at the angle between the folded faces. Its outer corner, blunted to
clear the bend's radius, goes inside the fold; its notch, relieved to clear the weld, goes over the
outside. Both show the same angle because a plate's two faces are parallel.
"""

from __future__ import annotations

import math
from functools import cached_property
from itertools import pairwise

from platewright.geometry.contour import Contour
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Arc, Line
from platewright.plate.bend import corner_setback
from platewright.plate.blank import Blank, BlankBend
from platewright.plate.bracket import Bracket
from platewright.shop.legs import flat_legs
from platewright.units import format_angle
from platewright.values import dataclass

STEEPEST = math.radians(150)
"""Folds beyond this get no gauge: its arms would have no width."""

_REACH = (36.0, 62.0)  # flat of an arm that lies on the plate, least and greatest, mm
_LEG_SHARE = 0.85  # an arm reaches over this much of the leg it lies on
_WIDTHS = (14.0, 22.0)
_WIDTH_SHARE = 0.36  # of the reach
_CLEAR = 2.0  # kept between a corner and the bend's radius, mm
_RELIEF = 4.0
_NECK = 7.0  # of card between the outer corner and the notch, mm


@dataclass(frozen=True)
class Gauge:
    """One gauge: the fold that it checks, the bends that have it, its sizes in mm.

    `reach` is the flat of each arm that lies on the plate, `width` an arm's. `blunt` is cut off
    either side of the outer corner; `round` is what the bend takes of the notch's sides.
    """

    fold: float
    bends: tuple[int, ...]
    reach: float
    width: float
    blunt: float
    round: float

    @property
    def opening(self) -> float:
        """Angle between the arms, as a bevel reads it, radians."""
        return math.pi - self.fold

    @property
    def overlap(self) -> float:
        """Length along the outer edges, from the corner, where the arms are one, mm."""
        return self.width / math.tan(self.opening / 2)

    @property
    def arm(self) -> float:
        """Length of an arm's outer edge from the sharp corner, mm."""
        return max(self.blunt, self.overlap + self.round) + self.reach

    @property
    def relief(self) -> float:
        """Radius of the round relief in the notch, mm."""
        return _RELIEF

    @property
    def corner(self) -> Point:
        """The sharp outer corner; one arm lies along +x, the other anticlockwise from it."""
        return Point(0.0, 0.0)

    @property
    def notch(self) -> Point:
        """The sharp corner of the notch."""
        reach = self.width / math.sin(self.opening / 2)
        return self.corner + Vector.polar(self.opening / 2, reach)

    @cached_property
    def outline(self) -> Contour:
        """Where to cut, anticlockwise."""
        one, other = Vector(1.0, 0.0), Vector.polar(self.opening)
        first, last = self.corner + one * self.blunt, self.corner + other * self.blunt
        relief = Arc.about(self.notch, self.relief, 0.0, self.opening - math.tau)
        there = [first, *self._arm_end(one, one.left), relief.start]
        back = [relief.end, *reversed(self._arm_end(other, other.right)), last, first]
        return Contour((*_lines(there), relief, *_lines(back)))

    def _arm_end(self, along: Vector, across: Vector) -> tuple[Point, Point]:
        outer = self.corner + along * self.arm
        return outer, outer + across * self.width


def _lines(points: list[Point]) -> tuple[Line, ...]:
    return tuple(Line(a, b) for a, b in pairwise(points))


def gauges(bracket: Bracket, blank: Blank) -> tuple[Gauge, ...]:
    """A gauge for each distinct fold of a bracket, in the order of its bends."""
    alike: dict[str, list[BlankBend]] = {}
    for bend in blank.bends:
        if bend.angle <= STEEPEST:
            alike.setdefault(format_angle(bend.angle), []).append(bend)
    return tuple(_gauge(bracket, bends) for bends in alike.values())


def _gauge(bracket: Bracket, bends: list[BlankBend]) -> Gauge:
    thickness, fold = bracket.stock.thickness, bends[0].angle
    legs = flat_legs(bracket)
    shortest = min(legs[bend.child].greatest for bend in bends)
    reach = _within(shortest * _LEG_SHARE, _REACH)
    blunt = _CLEAR + max(corner_setback(b.way, b.angle, thickness, 0.0) for b in bends)
    return Gauge(
        fold=fold,
        bends=tuple(bend.number for bend in bends),
        reach=reach,
        width=max(_within(reach * _WIDTH_SHARE, _WIDTHS), least_width(fold, blunt)),
        blunt=blunt,
        round=_CLEAR + max(corner_setback(b.way, b.angle, thickness) for b in bends),
    )


def least_width(fold: float, blunt: float) -> float:
    """Width of arms that leave card between a blunted corner and the notch's relief, mm."""
    half = (math.pi - fold) / 2
    return (blunt * math.cos(half) + _RELIEF + _NECK) * math.sin(half)


def _within(value: float, limits: tuple[float, float]) -> float:
    return min(max(value, limits[0]), limits[1])
