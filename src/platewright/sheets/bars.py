"""Check bars: lengths to measure on the print before any steel is cut."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from platewright.drawing.items import Group, Item, Stroke, Text
from platewright.drawing.style import BAR
from platewright.geometry.plane import Motion, Point, Vector
from platewright.geometry.segment import Line

_END_TICK = 3.0
_TICK = 1.6
_LABEL = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A bar's true length in mm, its label, and how many equal divisions it is ticked into."""

    length: float
    label: str
    divisions: int


FOUR_INCH = Bar(length=101.6, label="4 in", divisions=8)
"""Four inches in half inches."""

HUNDRED_MM = Bar(length=100.0, label="100 mm", divisions=10)
"""A hundred millimetres in centimetres."""

BAR_ROOM = _TICK + 0.8 + _LABEL
"""How far a bar and its label reach to the left of its line, mm."""


def check_bar(bar: Bar, start: Point, direction: Vector) -> Group:
    """A bar from `start` along a unit direction, ticks and label to its left.

    Its true length runs between the middles of its two long ticks.
    """
    return Group(Motion.frame(start, direction), tuple(_level_bar(bar)))


def _level_bar(bar: Bar) -> Iterator[Item]:
    yield Stroke(Line(Point(0.0, 0.0), Point(bar.length, 0.0)), BAR)
    for index in range(bar.divisions + 1):
        x = bar.length * index / bar.divisions
        height = _END_TICK if index in (0, bar.divisions) else _TICK
        yield Stroke(Line(Point(x, 0.0), Point(x, height)), BAR)
    words = f"{bar.label} between the long ticks"
    at = Point(bar.length / 2, _TICK + 0.8)
    yield Text(at, words, _LABEL, ("middle", "baseline"))
