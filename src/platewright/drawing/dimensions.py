"""Drafting marks: dimensions, leaders, arrowheads, lettered points, punch marks, balloons.

After ISO 129-1 habit: text above an unbroken dimension line, readable from the bottom or the right.
"""

from __future__ import annotations

import math

from platewright.drawing.items import Along, Fill, Item, Stroke, Text
from platewright.drawing.lettering import text_width
from platewright.drawing.style import (
    CENTRE,
    DIMENSION,
    HIDDEN_LEADER,
    LEADER,
    PUNCH,
    LineStyle,
)
from platewright.errors import GeometryError
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Arc, Line

ARROW = 2.5
"""Length of an arrowhead, mm."""

SIZE = 2.5
"""Height of capitals of dimension figures, mm."""

_ARROW_HALF = ARROW / 6
_GAP = 1.0  # from the part to where an extension line begins
_BEYOND = 1.5  # of an extension line past the dimension line
_LIFT = 0.9  # from a dimension line to its figure
_RING = 1.4  # across the ring round a hidden point, mm
_LONG_ARM = 12.0  # a centre line this long has room for its dashes


def readable(angle: float) -> float:
    """The direction, or its opposite, that reads from the bottom or from the right, radians.

    Lies in (-pi/2, pi/2]; a line within rounding of upright reads from the right.
    """
    turned = math.remainder(angle, math.pi)
    hangs = turned <= -math.pi / 2 + 1e-9
    return min(turned + math.pi, math.pi / 2) if hangs else turned


def arrowhead(tip: Point, direction: Vector) -> Fill:
    """A filled arrowhead with its tip at a point, pointing along a direction."""
    along = direction.unit()
    back = tip + along * -ARROW
    side = along.left * _ARROW_HALF
    return Fill((Contour.polygon((tip, back + side, back + -side)),))


def arrow(start: Point, tip: Point, style: LineStyle = LEADER) -> tuple[Item, ...]:
    """A line from `start` with an arrowhead at `tip`. Raises GeometryError when they coincide."""
    if start == tip:
        raise GeometryError("an arrow needs a length")
    return (Stroke(Line(start, tip), style), arrowhead(tip, tip - start))


def dimension(
    a: Point, b: Point, text: str, *, offset: float = 10.0, size: float = SIZE
) -> tuple[Item, ...]:
    """The distance from `a` to `b`, its line `offset` mm to the left of going there.

    A negative offset puts it to the right. Where the room is short the arrows point inwards from
    outside, and the figure goes beyond `b`. Raises GeometryError when the points coincide.
    """
    if a == b:
        raise GeometryError("a dimension needs two points apart")
    along = (b - a).unit()
    across, reach = along.left * math.copysign(1.0, offset), abs(offset)
    start, end = a + across * reach, b + across * reach
    width, room = text_width(text, size), start.distance(end)
    first, last, middle, outwards = start, end, start.midpoint(end), along
    if room < width + 2 * ARROW:
        beyond = end + along * (2 * ARROW)
        first, last = start + along * (-2 * ARROW), beyond + along * width
        middle, outwards = beyond.midpoint(last), -along
    angle = readable(along.angle)
    at = middle + Vector.polar(angle).left * _LIFT
    extensions = (Line(p + across * _GAP, p + across * (reach + _BEYOND)) for p in (a, b))
    return (
        *(Stroke(line, DIMENSION) for line in extensions if reach > _GAP),
        Stroke(Line(first, last), DIMENSION),
        arrowhead(start, -outwards),
        arrowhead(end, outwards),
        Text(at, text, size, ("middle", "baseline"), angle),
    )


def angle_dimension(
    apex: Point, start: float, sweep: float, radius: float, text: str
) -> tuple[Item, ...]:
    """An angle at `apex` from direction `start` turning by `sweep` radians, arc of `radius` mm."""
    arc = Arc.about(apex, radius, start, sweep)
    outwards = Vector.polar(start + sweep / 2)
    turn = 1.0 if sweep > 0 else -1.0
    lean = turn * min(abs(sweep) / 4, ARROW / radius / 2)
    heads = (
        arrowhead(arc.start, -arc.start_direction.turned(lean)),
        arrowhead(arc.end, arc.end_direction.turned(-lean)),
    )
    along: Along = "middle" if abs(outwards.x) < 0.4 else "left" if outwards.x > 0 else "right"
    words = Text(apex + outwards * (radius + 1.5 + SIZE / 2), text, SIZE, (along, "middle"))
    return (Stroke(arc, DIMENSION), *heads, words)


def lettered_point(
    at: Point, letter: str, *, away: Vector, hidden: bool = False
) -> tuple[Item, ...]:
    """A point with its letter in a small circle `away` from it, with a short line.

    A `hidden` point is a ring with a dashed line.
    """
    reach = away.length - bubble_radius(letter)
    begin = at + away.unit() * (_RING / 2 if hidden else 0.0)
    style = HIDDEN_LEADER if hidden else LEADER
    line = (Stroke(Line(begin, at + away.unit() * reach), style),) if reach > _RING else ()
    dot = Stroke(Circle(at, _RING), LEADER) if hidden else Fill((Circle(at, 1.0),))
    return (dot, *line, *bubble(at + away, letter))


def bubble_radius(letter: str, size: float = SIZE) -> float:
    """Radius of the circle round a letter or number, mm."""
    return max(size, text_width(letter, size, "bold") / 2 + 0.35 * size)


def bubble(centre: Point, letter: str, size: float = SIZE) -> tuple[Item, ...]:
    """A letter or number in a white circle."""
    circle = Circle(centre, 2 * bubble_radius(letter, size))
    words = Text(centre, letter, size, ("middle", "middle"), weight="bold")
    return (Fill((circle,), 1.0), Stroke(circle, LEADER), words)


def punch_mark(at: Point, reach: float = 4.0) -> tuple[Item, ...]:
    """A cross with a dot where a centre punch goes through the paper."""
    level, upright = Vector(reach, 0.0), Vector(0.0, reach)
    return (
        Stroke((Line(at + -level, at + level), Line(at + -upright, at + upright)), PUNCH),
        Fill((Circle(at, 0.8),)),
    )


def centre_lines(circle: Circle, beyond: float = 3.0) -> tuple[Item, ...]:
    """The two centre lines of a hole, `beyond` mm past it; on small holes they are continuous.

    Each runs outwards from the centre, so that the crossing is always inked.
    """
    reach = circle.radius + beyond
    c = circle.centre
    arms = (Vector(reach, 0.0), Vector(-reach, 0.0), Vector(0.0, reach), Vector(0.0, -reach))
    style = CENTRE if reach > _LONG_ARM else PUNCH
    return tuple(Stroke(Line(c, c + arm), style) for arm in arms)
