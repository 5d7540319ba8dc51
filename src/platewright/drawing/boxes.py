"""Turned boxes and whether lines or other boxes meet them, for keeping labels and ink apart."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from platewright.drawing.items import Item, Shape, Stroke, Text, marks
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds, Motion, Point
from platewright.geometry.segment import Line

_COARSE = 0.5  # words keep clear of chords that leave a curve by less, mm
_SAGITTA = 0.05


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle turned about its centre: half its length along `angle` and half across, mm."""

    centre: Point
    half_along: float
    half_across: float
    angle: float = 0.0

    @classmethod
    def round_text(cls, text: Text, margin: float = 0.0) -> Box:
        """The box round a text, `margin` mm out."""
        a, b, c, d = text.box(margin)
        return cls(a.midpoint(c), a.distance(b) / 2, a.distance(d) / 2, text.angle)

    @classmethod
    def upright(cls, box: Bounds) -> Box:
        """An upright box."""
        return cls(box.centre, box.width / 2, box.height / 2)

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """The four corners, anticlockwise."""
        c, s = math.cos(self.angle), math.sin(self.angle)
        x, y = self.centre.x, self.centre.y
        ux, uy = self.half_along * c, self.half_along * s
        vx, vy = -self.half_across * s, self.half_across * c
        return (
            Point(x - ux - vx, y - uy - vy),
            Point(x + ux - vx, y + uy - vy),
            Point(x + ux + vx, y + uy + vy),
            Point(x - ux + vx, y - uy + vy),
        )

    @property
    def edges(self) -> tuple[Line, ...]:
        """The four sides, anticlockwise."""
        a, b, c, d = self.corners
        return Line(a, b), Line(b, c), Line(c, d), Line(d, a)

    @property
    def bounds(self) -> Bounds:
        """The upright box round it."""
        c, x, y = self.centre, self.half_along, self.half_across
        if self.angle:
            along, across = abs(math.cos(self.angle)), abs(math.sin(self.angle))
            x, y = along * x + across * y, across * x + along * y
        return Bounds(c.x - x, c.y - y, c.x + x, c.y + y)

    def meets_line(self, line: Line) -> bool:
        """Whether any of the line lies in the box."""
        return self.meets_any((line,))

    def meets_any(self, lines: Iterable[Line]) -> bool:
        """Whether any of some lines lies in the box."""
        return next(self.met(lines), None) is not None

    def met(self, lines: Iterable[Line]) -> Iterator[Line]:
        """Those of some lines of which anything lies in the box."""
        # in plain figures, here and below: asked of very many lines
        c, x, y = self.centre, self.half_along, self.half_across
        room = c.x - x, c.y - y, c.x + x, c.y + y
        turn = Motion.rotation(-self.angle, c) if self.angle else None
        for line in lines:
            a, b = line.start, line.end
            ends = _turned(turn, a.x, a.y, b.x, b.y) if turn else (a.x, a.y, b.x, b.y)
            if _passes(ends, room):
                yield line

    def meets(self, other: Box) -> bool:
        """Whether the boxes share a point."""
        if not self.bounds.meets(other.bounds):
            return False
        if not (self.angle or other.angle):
            return True
        return self.meets_any(other.edges) or other.meets_any(self.edges)

    def inside(self, room: Bounds) -> bool:
        """Whether all of the box lies in an upright box."""
        return room.holds(self.bounds)


def crosses(box: Bounds, line: Line) -> bool:
    """Whether any of a line lies in an upright box (its edges count)."""
    a, b = line.start, line.end
    return _passes((a.x, a.y, b.x, b.y), (box.xmin, box.ymin, box.xmax, box.ymax))


def meet_upright(line: Line, box: Bounds) -> bool:
    """Whether the upright box round a line meets another: asked first, it settles nearly all."""
    a, b = line.start, line.end
    return (
        (a.x >= box.xmin or b.x >= box.xmin)
        and (a.x <= box.xmax or b.x <= box.xmax)
        and (a.y >= box.ymin or b.y >= box.ymin)
        and (a.y <= box.ymax or b.y <= box.ymax)
    )


_Four = tuple[float, float, float, float]


def _turned(turn: Motion, ax: float, ay: float, bx: float, by: float) -> _Four:
    """The two ends of a line after a motion."""
    a, b, c, d, e, f = turn.a, turn.b, turn.c, turn.d, turn.e, turn.f
    return a * ax + c * ay + e, b * ax + d * ay + f, a * bx + c * by + e, b * bx + d * by + f


def _passes(line: _Four, box: _Four) -> bool:
    """Whether any of the line from (x, y) to (x, y) lies in the box from (x, y) to (x, y)."""
    ax, ay, bx, by = line
    xmin, ymin, xmax, ymax = box
    if (ax < xmin and bx < xmin) or (ax > xmax and bx > xmax):
        return False
    if (ay < ymin and by < ymin) or (ay > ymax and by > ymax):
        return False
    enter, leave = _passage(ax, bx - ax, xmin, xmax)
    if enter > leave:
        return False
    first, last = _passage(ay, by - ay, ymin, ymax)
    return max(enter, first) <= min(leave, last)


def _passage(place: float, step: float, low: float, high: float) -> tuple[float, float]:
    """The shares of a step between which it lies from `low` to `high`; (1, 0) where nowhere."""
    if step == 0:
        return (0.0, 1.0) if low <= place <= high else (1.0, 0.0)
    near, far = (low - place) / step, (high - place) / step
    if near > far:
        near, far = far, near
    return max(0.0, near), min(1.0, far)


# --- a drawing's ink as straight lines -----------------------------------------------------------


def ink_lines(items: Iterable[Item]) -> list[Line]:
    """Every line, outline and text box of the items as straight lines."""
    lines: list[Line] = []
    for mark in marks(items):
        match mark:
            case Stroke():
                lines.extend(line for shape in mark.shapes for line in lines_of(shape, _COARSE))
            case Text():
                a, b, c, d = mark.box()
                lines.extend((Line(a, b), Line(b, c), Line(c, d), Line(d, a)))
            case _:
                lines.extend(line for shape in mark.outlines for line in lines_of(shape, _COARSE))
    return lines


def lines_of(shape: Shape, sagitta: float = _SAGITTA) -> tuple[Line, ...]:
    """The shape as straight lines within `sagitta` mm of it."""
    return (shape,) if isinstance(shape, Line) else _chords(shape, sagitta)


@lru_cache(maxsize=512)
def _chords(shape: Shape, sagitta: float) -> tuple[Line, ...]:
    """The same of a shape that may be curved; every page and every mark asks it anew."""
    points = shape.flatten(sagitta)
    if isinstance(shape, Circle | Contour):
        points = [*points, points[0]]
    return tuple(Line(a, b) for a, b in pairwise(points))
