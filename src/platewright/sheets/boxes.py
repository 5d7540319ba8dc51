"""Turned boxes and whether lines or other boxes meet them, for keeping labels and ink apart."""

from __future__ import annotations

from dataclasses import dataclass

from platewright.geometry.plane import Bounds, Motion, Point, Vector
from platewright.geometry.segment import Line
from platewright.sheets.drawing import Text


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
        u = Vector.polar(self.angle, self.half_along)
        v = Vector.polar(self.angle, self.half_across).left
        c = self.centre
        return c + -u + -v, c + u + -v, c + u + v, c + -u + v

    @property
    def edges(self) -> tuple[Line, ...]:
        """The four sides, anticlockwise."""
        a, b, c, d = self.corners
        return Line(a, b), Line(b, c), Line(c, d), Line(d, a)

    @property
    def bounds(self) -> Bounds:
        """The upright box round it."""
        u = Vector.polar(self.angle)
        x = abs(u.x) * self.half_along + abs(u.y) * self.half_across
        y = abs(u.y) * self.half_along + abs(u.x) * self.half_across
        c = self.centre
        return Bounds(c.x - x, c.y - y, c.x + x, c.y + y)

    def meets_line(self, line: Line) -> bool:
        """Whether any of the line lies in the box."""
        if self.angle:
            line = line.moved(Motion.rotation(-self.angle, self.centre))
        c, x, y = self.centre, self.half_along, self.half_across
        return crosses(Bounds(c.x - x, c.y - y, c.x + x, c.y + y), line)

    def meets(self, other: Box) -> bool:
        """Whether the boxes share a point."""
        return any(self.meets_line(edge) for edge in other.edges) or any(
            other.meets_line(edge) for edge in self.edges
        )

    def inside(self, room: Bounds) -> bool:
        """Whether all of the box lies in an upright box."""
        box = self.bounds
        return (
            room.xmin <= box.xmin
            and box.xmax <= room.xmax
            and room.ymin <= box.ymin
            and box.ymax <= room.ymax
        )


def crosses(box: Bounds, line: Line) -> bool:
    """Whether any of a line lies in an upright box (its edges count)."""
    enter, leave = 0.0, 1.0
    start, along = line.start, line.end - line.start
    slabs = (
        (start.x, along.x, box.xmin, box.xmax),
        (start.y, along.y, box.ymin, box.ymax),
    )
    for place, step, low, high in slabs:
        if step == 0:
            if not low <= place <= high:
                return False
            continue
        near, far = sorted(((low - place) / step, (high - place) / step))
        enter, leave = max(enter, near), min(leave, far)
    return enter <= leave
