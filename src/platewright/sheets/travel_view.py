"""The side view of a suspension: linkage, spring and wheel laid out, at ride and at full height.

The frame stands still and the ground moves away under it. Front to the left.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from platewright.drawing.dimensions import bubble, dimension
from platewright.drawing.items import Fill, Item, Stroke, Text
from platewright.drawing.style import (
    CENTRE,
    EDGE,
    HIDDEN,
    OUTLINE,
    PHANTOM,
    RULE,
    TANGENT,
    LineStyle,
)
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import ORIGIN, Bounds, Point, Vector
from platewright.geometry.segment import Arc, Line
from platewright.suspension.mounts import Mount
from platewright.suspension.travel import Position, Travel
from platewright.values import dataclass

SCALES = (2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100, 150, 200, 500)
"""Reductions to choose from: 1:2, 1:3 and on."""

LETTERS = {
    "mount_along": "A",
    "mount_above": "B",
    "spacer": "C",
    "axle_above": "D",
    "axle_along": "E",
}
"""The letters of figures that are drawn."""

_SMALL = 2.0
_LETTER = 1.9
_ROWS = (5.0, 11.0)  # of dimensions, from the drawing, mm
_EYE = 1.6  # diameter of a pivot, mm
_HUB = 2.6
_FOOT = math.radians(40)  # half the share of a tyre that is drawn where it is not at ride
_LINE = 2.9  # least distance between words at the right, mm
_MOUNT_SHARE = 0.75  # of the body's diameter, the width of a mount as drawn
_MARK_WIDTH = 5.4  # of the room that the word "mark" takes, mm


@dataclass(frozen=True, slots=True)
class SideView:
    """A drawing and its reduction, 1 to `scale`."""

    items: tuple[Item, ...]
    scale: int


@dataclass(frozen=True, slots=True)
class _Place:
    """One place of the travel: what it is called and how it is drawn."""

    words: str
    position: Position
    links: LineStyle
    wheel: LineStyle

    @property
    def whole(self) -> bool:
        """Whether it is drawn whole and heavy: the others show where things come to."""
        return self.links is OUTLINE


def side_view(
    of: Travel,
    width: float,
    height: float,
    at: tuple[str, Position] | None = None,
    *,
    lettered: bool = True,
) -> SideView:
    """The side view, as large as fits in `width` x `height` mm of paper at a whole reduction.

    It is drawn whole at ride height, or `at` another place, that is told with its words; the
    letters are those of the figures to set, on the same sheet.
    """
    box = _reach(of)
    # dimensions and words take their share of the paper
    room = min((width - 50) / box.width, (height - 22) / box.height)
    scale = next((scale for scale in SCALES if 1 / scale <= room), SCALES[-1])
    return SideView(
        tuple(_View(of, scale, box, *(at or ("ride", of.ride)), lettered).items()), scale
    )


def _reach(of: Travel) -> Bounds:
    """Everything that is drawn to scale, in the frame's view."""
    radius = of.layout.radius.radius
    points = [of.mount.at, of.wanted.at, ORIGIN]
    corners = ((-1, -1), (1, 1))
    points += [of.ride.axle + Vector(dx * radius, dy * radius) for dx, dy in corners]
    for position in (of.lowest, of.highest):
        points += [position.axle, position.axle + of.layout.ground.up * -radius]
        points += [link.body.origin for link in position.posture.links]
    box = Bounds.of(*points)
    # the frame's lowest point may be far off: the ground is drawn no further than the rest
    sides = (box.xmin, box.xmax)
    ends = [ground_at(of, lift, x) for x in sides for lift in (of.lowest.lift, of.highest.lift)]
    return Bounds.of(*points, *ends)


def lowest_words(of: Travel) -> str:
    """What the lowest place of a travel is called."""
    return "bottomed out" if of.stroke.bottoms_out else "laid out"


def ground_at(of: Travel, lift: float, x: float) -> Point:
    """The ground under a station of the frame, with the frame at a lift, in the frame's view."""
    ground = of.layout.ground
    touch = ground.touch + ground.up * -lift
    return touch + ground.along * ((x - touch.x) / ground.along.x)


@dataclass(frozen=True, slots=True)
class _View:
    of: Travel
    scale: int
    box: Bounds
    words: str
    position: Position
    lettered: bool

    def at(self, p: Point) -> Point:
        """A place of the frame's view on paper."""
        return Point(p.x / self.scale, p.y / self.scale)

    def line(self, a: Point, b: Point) -> Line:
        return Line(self.at(a), self.at(b))

    def items(self) -> Iterator[Item]:
        places = (
            _Place("full height", self.of.highest, PHANTOM, TANGENT),
            _Place(lowest_words(self.of), self.of.lowest, HIDDEN, TANGENT),
            _Place(self.words, self.position, OUTLINE, EDGE),
        )
        for place in places:
            yield from self.ground(place)
            yield from self.wheel(place)
        yield from self.datum()
        yield from self.names(places)
        yield from self.paths()
        for place in places:
            yield from self.spring(place)
            yield from self.linkage(place)
        yield from self.mount(self.of.mount, OUTLINE)
        if self.of.wanted != self.of.mount:
            yield from self.mount(self.of.wanted, PHANTOM)
        if self.lettered:
            yield from self.letters()

    def ground(self, place: _Place) -> Iterator[Item]:
        """The ground as it lies under the frame, with its words at the right."""
        sides = (self.box.xmin, self.box.xmax)
        left, right = (ground_at(self.of, place.position.lift, x) for x in sides)
        yield Stroke(self.line(left, right), place.links if place.whole else EDGE)

    def ground_end(self, place: _Place) -> float:
        """Height on paper of a ground line's right end."""
        return self.at(ground_at(self.of, place.position.lift, self.box.xmax)).y

    def names(self, places: tuple[_Place, ...]) -> Iterator[Item]:
        """Words at the right ends of the level lines, apart where the lines are close."""
        named = [(self.ground_end(place), f"ground, {place.words}") for place in places]
        level = -math.inf
        for height, words in sorted([*named, (0.0, "datum line")]):
            level = max(height, level + _LINE)
            at = Point(self.box.xmax / self.scale + 1.5, level)
            yield Text(at, words, _SMALL, ("left", "middle"))

    def wheel(self, place: _Place) -> Iterator[Item]:
        """The tyre, or of a place that is not drawn whole where it stands on the ground."""
        hub, radius = self.at(place.position.axle), self.of.layout.radius.radius / self.scale
        if place.whole:
            yield Stroke(Circle(hub, 2 * radius), place.wheel)
            return
        down = (-self.of.layout.ground.up).angle
        yield Stroke(Arc.about(hub, radius, down - _FOOT, 2 * _FOOT), place.wheel)

    def paths(self) -> Iterator[Item]:
        """The ways of the axle centre and of the seat through the travel."""
        ways = ([r.axle for r in self.of.positions], [r.seat.at for r in self.of.positions])
        for way in ways:
            lines = tuple(self.line(a, b) for a, b in pairwise(way))
            yield Stroke(lines, RULE)

    def datum(self) -> Iterator[Item]:
        """The datum line and the mark on it, whose word stands clear of lines and words."""
        left, right = Point(self.box.xmin, 0.0), Point(self.box.xmax, 0.0)
        yield Stroke(self.line(left, right), CENTRE)
        mark = self.at(ORIGIN)
        yield Fill((Contour.polygon((mark, mark + Vector(1.2, -2.4), mark + Vector(-1.2, -2.4))),))
        beyond = mark.x + _MARK_WIDTH / 2 - self.box.xmax / self.scale
        middle = mark + Vector(-max(beyond, 0.0), -4.2)
        yield Text(middle, "mark", _SMALL, ("middle", "middle"), backed=True)

    def linkage(self, place: _Place) -> Iterator[Item]:
        """Links with their eyes, the axle with its bracket."""
        posture = place.position.posture
        hub = self.at(posture.axle.origin)
        for link in posture.links:
            yield Stroke(self.line(link.body.origin, link.eye), place.links)
            if self.at(link.eye).distance(hub) > 0.1:
                yield Stroke(Line(hub, self.at(link.eye)), place.links)
            yield from _ring(self.at(link.body.origin), _EYE)
            yield from _ring(self.at(link.eye), _EYE)
        yield from _ring(hub, _HUB)
        yield Fill((Circle(hub, 0.8),))

    def spring(self, place: _Place) -> Iterator[Item]:
        """The body between its mounts, as a plain four-sided outline, and the seat under it."""
        seat, mount = place.position.seat, self.of.mount
        half = self.of.layout.diameter * _MOUNT_SHARE / 2
        along = Vector.polar(seat.angle)
        if along.dot(mount.plane) < 0:
            along = -along
        low = [seat.at + along * -half, seat.at + along * half]
        high = [mount.at + mount.plane * -half, mount.at + mount.plane * half]
        style = EDGE if place.whole else place.wheel
        yield Stroke((self.line(low[0], high[0]), self.line(low[1], high[1])), style)
        yield Stroke(self.line(low[0], low[1]), place.links)

    def mount(self, mount: Mount, style: LineStyle) -> Iterator[Item]:
        """An upper mount, with the frame's side of it ticked."""
        half = self.of.layout.diameter * _MOUNT_SHARE / 2
        left, right = mount.at + mount.plane * -half, mount.at + mount.plane * half
        yield Stroke(self.line(left, right), style)
        for step in range(9):
            foot = self.at(left.towards(right, step / 8))
            yield Stroke(Line(foot, foot + (mount.axis + mount.plane).unit() * 2.0), RULE)

    def letters(self) -> Iterator[Item]:
        """Where the lettered figures are measured, laid out: across on top, upright at the left."""
        mount, axle = self.of.wanted.at, self.of.laid_out.axle.origin
        far, near = self.at(ORIGIN), self.box.ymax / self.scale
        yield from _extension(far, Point(far.x, near + _ROWS[-1]))
        ends = {"mount": mount, "axle": axle}
        # the shorter one nearer, so that no extension line crosses a dimension line
        for out, name in zip(_ROWS, sorted(ends, key=lambda name: abs(ends[name].x)), strict=True):
            yield from self.across(ends[name], f"{name}_along", out)
        for out, name in zip(_ROWS, sorted(ends, key=lambda name: abs(ends[name].y)), strict=True):
            yield from self.upright(ends[name], f"{name}_above", out)
        seat = self.of.seat_laid_out.at
        beside = self.of.layout.diameter * _MOUNT_SHARE / 2 / self.scale + 4.0
        yield from _lettered(self.at(seat), self.at(mount), "spacer", -beside)

    def across(self, p: Point, key: str, out: float) -> Iterator[Item]:
        """From the mark along the datum line to a point, measured `out` mm of paper above all."""
        level = self.box.ymax / self.scale + out
        start, end = Point(0.0, level), Point(self.at(p).x, level)
        yield from _extension(self.at(p), end)
        yield from _lettered(start, end, key)

    def upright(self, p: Point, key: str, out: float) -> Iterator[Item]:
        """From the datum line up to a point, measured `out` mm of paper left of all."""
        side = self.box.xmin / self.scale - out
        start, end = Point(side, 0.0), Point(side, self.at(p).y)
        yield from _extension(Point(self.box.xmin / self.scale, 0.0), start)
        yield from _extension(self.at(p), end)
        yield from _lettered(start, end, key)


def _lettered(a: Point, b: Point, key: str, offset: float = 0.0) -> Iterator[Item]:
    """A dimension with the figure's letter on its line instead of a figure."""
    yield from dimension(a, b, "", offset=offset)
    out = (b - a).unit().left * offset
    yield from bubble(a.midpoint(b) + out, LETTERS[key], _LETTER)


def _extension(start: Point, end: Point) -> Iterator[Item]:
    """From just off a point to just beyond its dimension line."""
    along = (end - start).unit()
    yield Stroke(Line(start + along * 1.5, end + along * 1.5), RULE)


def _ring(at: Point, diameter: float) -> Iterator[Item]:
    circle = Circle(at, diameter)
    yield Fill((circle,), 1.0)
    yield Stroke(circle, EDGE)
