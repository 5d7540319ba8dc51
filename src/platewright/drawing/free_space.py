"""Free space on a drawing: where words, letters and insets may stand.

Everything that looks for room asks here. It has a size and spots that it would like; each spot is
weighed by what it would cover or cross, and the cheapest wins, the first of equals. The same
drawing and spots give the same places.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from itertools import islice, pairwise
from typing import Any, NamedTuple, Protocol

from platewright.drawing.items import Along, Fill, Item, Shape, Stroke, Text, marks
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds, Point, Vector
from platewright.geometry.segment import Line
from platewright.geometry.shape_tree import Rectangle, Rectangles, ShapeTree

#: Demerits of a spot.
IN_LAP = 6
OUTSIDE = 10
LEADER = 3
_LEADER_LENGTH = 0.1  # for each mm
_ACROSS_LINE = 1
_ACROSS_WORDS = 100

_MARGIN = 0.7  # kept round a text, mm
_HALF_LEADER = 0.3  # half the width kept for a leader, mm
_TIP = 1.0  # of a leader that may lie on what it names, mm
_PALE = 0.5  # fills paler than this are ground, not ink
_SAGITTA = 0.5  # words keep clear of chords that leave a curve by less, mm
_FIRST, _MOST = 16, 256  # spots weighed at once


class Ground(Protocol):
    """What can tell whether a point lies in it."""

    def contains(self, p: Point) -> bool:
        """Whether the point lies inside."""
        ...


@dataclass(frozen=True, slots=True)
class Together:
    """Several outlines, of pieces that lie beside each other."""

    outlines: tuple[Ground, ...]

    def contains(self, p: Point) -> bool:
        """Whether the point lies in any of them."""
        return any(outline.contains(p) for outline in self.outlines)


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
    def round_leader(cls, line: Line) -> Box:
        """What a leader takes, less its tip."""
        ends = (line.start.x, line.start.y, line.end.x, line.end.y)
        x, y, half_along, half_across, angle = _leader_rectangle(ends)
        return cls(Point(x, y), half_along, half_across, angle)

    @classmethod
    def upright(cls, box: Bounds) -> Box:
        """An upright box."""
        return cls(box.centre, box.width / 2, box.height / 2)

    @property
    def rectangle(self) -> Rectangle:
        """The same in plain figures."""
        return (self.centre.x, self.centre.y, self.half_along, self.half_across, self.angle)

    @property
    def bounds(self) -> Bounds:
        """The upright box round it."""
        c, x, y = self.centre, self.half_along, self.half_across
        if self.angle:
            along, across = abs(math.cos(self.angle)), abs(math.sin(self.angle))
            x, y = along * x + across * y, across * x + along * y
        return Bounds(c.x - x, c.y - y, c.x + x, c.y + y)


Ends = tuple[float, float, float, float]
"""Where a leader starts and where it ends: x, y, x, y, mm."""


def _leader_rectangle(ends: Ends) -> Rectangle:
    # in plain figures, as spots are: asked of very many
    x, y, dx, dy = ends[0], ends[1], ends[2] - ends[0], ends[3] - ends[1]
    length = math.hypot(dx, dy)
    tip = min(0.5, _TIP / length)
    middle = (1 + tip) / 2
    half = length * (1 - tip) / 2
    return x + dx * middle, y + dy * middle, half, _HALF_LEADER, math.atan2(dy, dx)


class Spot(NamedTuple):
    """Where something may stand: its middle, the way it reads, a leader from what it names.

    Words stand `along` that middle as in a text. `demerit` is what the spot costs before anything
    is in its way.
    """

    centre: Point
    angle: float = 0.0
    along: Along = "middle"
    ends: Ends | None = None
    demerit: float = 0.0

    @property
    def leader(self) -> Line | None:
        """The leader, from what it names."""
        if self.ends is None:
            return None
        return Line(Point(*self.ends[:2]), Point(*self.ends[2:]))


def ring_spots(at: Point, rings: Sequence[float], ways: int, clear: float = 0.0) -> Iterator[Spot]:
    """Spots on leaders all round a point, the shorter leaders first.

    The leaders begin `clear` mm from the point.
    """
    for ring in rings:
        cost = leader_cost(ring - clear)
        for out in _ways(ways):
            x, y = at.x + out.x * ring, at.y + out.y * ring
            ends = (at.x + out.x * clear, at.y + out.y * clear, x, y)
            yield Spot(Point(x, y), 0.0, "middle", ends, cost)


def leader_cost(length: float) -> float:
    """What a leader costs by its length, mm."""
    return LEADER + _LEADER_LENGTH * length


@lru_cache(maxsize=8)
def _ways(count: int) -> tuple[Vector, ...]:
    return tuple(Vector.polar(math.tau * (index + 0.5) / count) for index in range(count))


Size = tuple[float, float]
"""Width along the reading and height across it, mm."""


@dataclass(frozen=True)
class FreeSpace:
    """What is left of a drawing.

    A thing must lie whole in one of `windows` (the pages; anywhere without), should keep out of
    `bands` (the laps) and had better lie inside `outline`. `ink` is what is drawn, `boxes` what
    was placed already.
    """

    ink: ShapeTree = field(default_factory=ShapeTree)
    boxes: tuple[Box, ...] = ()
    windows: tuple[Bounds, ...] = ()
    bands: tuple[Bounds, ...] = ()
    outline: Ground | None = None
    _taken: ShapeTree | None = field(default=None, repr=False, compare=False)

    @property
    def _placed(self) -> ShapeTree:
        """The boxes, ready to be asked."""
        if self._taken is None:
            rectangles = Rectangles([box.rectangle for box in self.boxes])
            object.__setattr__(self, "_taken", ShapeTree().plus(rectangles))
        assert self._taken is not None
        return self._taken

    @classmethod
    def beside(
        cls,
        items: Iterable[Item],
        windows: Sequence[Bounds] = (),
        bands: Sequence[Bounds] = (),
        outline: Ground | None = None,
    ) -> FreeSpace:
        """What a list leaves free: lines count by their course, texts by their box.

        Pale fills are ground, not ink.
        """
        texts, others = [], []
        for mark in marks(items):
            if isinstance(mark, Text):
                texts.extend([Box.round_text(mark, _MARGIN)] if mark.text else [])
            elif not isinstance(mark, Fill) or mark.grey < _PALE:
                others.append(mark)
        return cls(ink_tree(others), tuple(texts), tuple(windows), tuple(bands), outline)

    def less(self, boxes: Iterable[Box]) -> FreeSpace:
        """The space with more boxes taken."""
        more = tuple(boxes)
        taken = self._placed.plus(Rectangles([box.rectangle for box in more]))
        return replace(self, boxes=(*self.boxes, *more), _taken=taken)

    def best(
        self,
        size: Size,
        spots: Iterable[Spot],
        *,
        over_line: float = math.inf,
        below: float = math.inf,
        where: Callable[[Point], bool] | None = None,
    ) -> tuple[float, Spot] | None:
        """The spot with the fewest demerits, if there are fewer than `below`, and how many.

        Spots come with the likely ones first: the search ends with one that costs nothing, and
        where a whole batch costs too much in itself. `over_line` is the cost of covering a line;
        `where` tells which middles will do.
        """
        waiting, batch, found = iter(spots), _FIRST, None
        while some := list(islice(waiting, batch)):
            hopeful = [spot for spot in some if spot.demerit < below]
            for cost, spot in self._weighed(size, hopeful, over_line):
                # asked last, of few: a contour is slow to answer
                if (
                    cost < below
                    and (total := cost + self._beyond(spot)) < below
                    and (where is None or where(spot.centre))
                ):
                    below, found = total, (total, spot)
            if below <= 0 or not hopeful:
                break
            batch = min(4 * batch, _MOST)
        return found

    def _weighed(
        self, size: Size, spots: Sequence[Spot], over_line: float
    ) -> Iterator[tuple[float, Spot]]:
        """Spots that are possible at all, with their demerits but for those of `_beyond`."""
        import numpy as np

        half_along, half_across = size[0] / 2, size[1] / 2
        boxes = Rectangles(
            [(s.centre.x, s.centre.y, half_along, half_across, s.angle) for s in spots]
        )
        rooms, kept = boxes.bounds(), np.arange(len(spots))

        def without(bad: Any) -> None:
            nonlocal boxes, rooms, kept
            if bad.any():
                boxes, rooms, kept = boxes[~bad], rooms[~bad], kept[~bad]

        if self.windows:
            without(~np.any([_holds(window, rooms) for window in self.windows], axis=0))
        without(self._placed.counts(boxes) > 0)
        covered = self.ink.counts(boxes)
        if over_line == math.inf:
            without(covered > 0)
            covered = np.zeros(len(kept))
        in_lap = np.zeros(len(kept), dtype=bool)
        for band in self.bands:
            in_lap |= _meets(band, rooms)
        led = [(i, ends) for i, k in enumerate(kept.tolist()) if (ends := spots[k].ends)]
        leaders = Rectangles([_leader_rectangle(ends) for _, ends in led])
        across = np.zeros(len(kept))
        across[[i for i, _ in led]] = _ACROSS_WORDS * (
            self._placed.counts(leaders) > 0
        ) + _ACROSS_LINE * self.ink.counts(leaders)
        costs = (
            across
            + IN_LAP * in_lap
            + np.where(covered > 0, covered, 0.0) * (over_line if over_line < math.inf else 0.0)
        )
        for index, cost in zip(kept.tolist(), costs.tolist(), strict=True):
            yield spots[index].demerit + cost, spots[index]

    def _beyond(self, spot: Spot) -> float:
        return OUTSIDE * (self.outline is not None and not self.outline.contains(spot.centre))


def _holds(window: Bounds, rooms: Any) -> Any:
    """Which of some upright boxes lie whole in a window (see `Rectangles.bounds`)."""
    xmin, ymin, xmax, ymax = rooms.T
    return (
        (window.xmin <= xmin)
        & (xmax <= window.xmax)
        & (window.ymin <= ymin)
        & (ymax <= window.ymax)
    )


def _meets(band: Bounds, rooms: Any) -> Any:
    """Which of some upright boxes share a point with a band."""
    xmin, ymin, xmax, ymax = rooms.T
    return (band.xmin <= xmax) & (xmin <= band.xmax) & (band.ymin <= ymax) & (ymin <= band.ymax)


# --- a drawing's ink as straight lines --------------------------------------------------------


def ink_lines(items: Iterable[Item], sagitta: float = _SAGITTA) -> list[Line]:
    """Every line, outline and text box of the items as straight lines within `sagitta` mm."""
    lines: list[Line] = []
    for mark in marks(items):
        if isinstance(mark, Text):
            a, b, c, d = mark.box()
            lines.extend((Line(a, b), Line(b, c), Line(c, d), Line(d, a)) if mark.text else ())
        else:
            shapes = mark.shapes if isinstance(mark, Stroke) else mark.outlines
            lines.extend(line for shape in shapes for line in _chords(shape, sagitta))
    return lines


def ink_tree(items: Iterable[Item]) -> ShapeTree:
    """The same lines, ready to be asked which of them something meets."""
    return ShapeTree.of_lines(ink_lines(items))


@lru_cache(maxsize=512)
def _chords(shape: Shape, sagitta: float) -> tuple[Line, ...]:
    if isinstance(shape, Line):
        return (shape,)
    points = shape.flatten(sagitta)
    if isinstance(shape, Circle | Contour):
        points = [*points, points[0]]
    return tuple(Line(a, b) for a, b in pairwise(points))
