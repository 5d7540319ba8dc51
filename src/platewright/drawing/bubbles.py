"""Letters in circles beside the places they name, clear of ink and of each other."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from platewright.drawing.boxes import Box
from platewright.drawing.dimensions import bubble_radius, lettered_point
from platewright.drawing.items import Item
from platewright.drawing.taken import Taken
from platewright.geometry.plane import Bounds, Point, Vector
from platewright.geometry.segment import Line

_RINGS = (6.5, 9.0, 12.0, 16.0, 21.0, 27.0, 35.0, 45.0, 58.0, 75.0, 100.0)
_DIRECTIONS = 24

# costs of a letter's place
_ON_LETTER = 10000
_LEADER_ON_LETTER = 300
_ON_LINE = 30
_FAR = 0.05  # for each mm of leader
_LEADER = 0.35  # half the width kept for a leader, mm


@dataclass(frozen=True, slots=True)
class Lettering:
    """Letters drawn, and what is taken on the drawing afterwards."""

    items: tuple[Item, ...]
    taken: Taken


NO_LETTERS = Lettering((), Taken())
"""Nothing lettered."""


def letter_bubbles(
    letters: Iterable[tuple[str, Point]], taken: Taken, room: Bounds, *, hidden: bool = False
) -> Lettering:
    """Every letter in a circle beside its place, in the room, where its leader crosses least.

    `hidden` places have a ring for a dot and dashed leaders.
    """
    items: list[Item] = []
    for letter, at in letters:
        away = _away(at, letter, taken, room)
        items.extend(lettered_point(at, letter, away=away, hidden=hidden))
        taken = taken.and_boxes(_boxes(at, away, letter))
    return Lettering(tuple(items), taken)


def _away(at: Point, letter: str, taken: Taken, room: Bounds) -> Vector:
    """The way to the free place whose leader crosses least, the nearest of equals."""
    best, least = Vector(_RINGS[0], 0.0), math.inf
    for ring in _RINGS:
        if least < _ON_LINE:
            break
        for index in range(_DIRECTIONS):
            way = Vector.polar(math.tau * (index + 0.5) / _DIRECTIONS, ring)
            cost = _cost(at, way, letter, taken, room, least - ring * _FAR) + ring * _FAR
            if cost < least:
                best, least = way, cost
    return best


def _cost(at: Point, way: Vector, letter: str, taken: Taken, room: Bounds, below: float) -> float:
    """What a letter's place costs; it may be told short once it is not `below` what counts."""
    bubble, leader = _boxes(at, way, letter)
    around = bubble.bounds
    if not room.holds(around) or not taken.clear_of_boxes(bubble, around):
        return _ON_LETTER
    on_lines = _ON_LINE * taken.lines_met(bubble, below / _ON_LINE)
    if on_lines > below:
        return on_lines
    cost = on_lines + _LEADER_ON_LETTER * (not taken.clear_of_boxes(leader))
    return cost + taken.lines_met(leader, below - cost)


def _boxes(at: Point, way: Vector, letter: str) -> tuple[Box, Box]:
    """What a letter's circle and its leader take."""
    radius = bubble_radius(letter) + 0.4
    begin, end = at + way.unit(), at + way
    line = Line(begin, end)
    leader = Box(line.point_at(0.5), line.length / 2, _LEADER, way.angle)
    return Box(end, radius, radius), leader
