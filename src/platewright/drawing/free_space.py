"""Free space on a drawing: where words, letters and insets may stand.

Everything that looks for room asks here. It has a size and spots that it would like; each spot is
weighed by what it would cover or cross, and the cheapest wins, the first of equals. The same
drawing and spots give the same places.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import field
from functools import cached_property, lru_cache
from itertools import pairwise
from typing import Any, NamedTuple, Protocol

from platewright.drawing.items import (
    Along,
    Clip,
    Fill,
    Group,
    Item,
    Shape,
    Stroke,
    Text,
    marks,
)
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.meeting import Ends, Raster, Rectangle, Rectangles
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Line
from platewright.values import dataclass

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
_FIRST = 24  # spots looked at closely at once, then more
_LEVEL = 1e-9  # of the angle's cosine times sine, where a box stands level or upright


class Covered(Protocol):
    """What can tell whether a point lies in it."""

    @property
    def bounds(self) -> Bounds:
        """The upright box round it."""
        ...

    def contains(self, p: Point) -> bool:
        """Whether the point lies inside."""
        ...

    def contains_each(self, x: Any, y: Any) -> Any:
        """Whether each of many points, given as arrays of x and of y, lies inside."""
        ...


@dataclass(frozen=True, slots=True)
class Together:
    """Several outlines, of pieces that lie beside each other."""

    outlines: tuple[Covered, ...]

    @property
    def bounds(self) -> Bounds:
        """The upright box round all of them."""
        return Bounds.around([outline.bounds for outline in self.outlines])

    def contains(self, p: Point) -> bool:
        """Whether the point lies in any of them."""
        return any(outline.contains(p) for outline in self.outlines)

    def contains_each(self, x: Any, y: Any) -> Any:
        """Whether each of many points lies in any of them."""
        import numpy as np

        return np.any([outline.contains_each(x, y) for outline in self.outlines], axis=0)


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
        tip = min(0.5, _TIP / line.length)
        return cls(
            line.point_at((1 + tip) / 2),
            line.length * (1 - tip) / 2,
            _HALF_LEADER,
            line.direction.angle,
        )

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


class LabelSpot(NamedTuple):
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


class Chosen(NamedTuple):
    """The cheapest spot, its demerits, and which of the sizes fits there."""

    demerits: float
    spot: LabelSpot
    size: int


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class SpotRow:
    """Many spots in plain figures, the cheap ones first: a column for each field of `LabelSpot`.

    `x` and `y` have a line for each of the sizes that were asked for, or one for all. `angle` and
    `along` may be one for all; without `ends` and their `leaders` none has a leader, without
    `demerit` none has any.
    """

    x: Any
    y: Any
    angle: Any = 0.0
    along: Any = "middle"
    ends: Any = None
    leaders: Rectangles | None = None
    demerit: Any = 0.0

    @classmethod
    def of(cls, spots: Iterable[LabelSpot]) -> SpotRow:
        """Spots, none of them on a leader, as a row."""
        import numpy as np

        figures = [(spot.centre.x, spot.centre.y, spot.angle, spot.demerit) for spot in spots]
        x, y, angle, demerit = np.array(figures, dtype=float).reshape(-1, 4).T
        return cls(x=x, y=y, angle=angle, demerit=demerit)

    def __len__(self) -> int:
        """How many there are for each size."""
        return self.x.shape[-1]  # type: ignore[no-any-return]

    @property
    def least(self) -> float:
        """What the cheapest costs, of at least one."""
        return self.demerit if isinstance(self.demerit, float) else float(self.demerit.min())

    def spot(self, index: int, size: int = 0) -> LabelSpot:
        """One of them."""
        x, y = (each if each.ndim == 1 else each[size] for each in (self.x, self.y))
        angle, along, demerit = (
            each if isinstance(each, float | str) else each[index]
            for each in (self.angle, self.along, self.demerit)
        )
        ends = None if self.ends is None else tuple(self.ends[index].tolist())
        at = Point(float(x[index]), float(y[index]))
        return LabelSpot(at, float(angle), str(along), ends, float(demerit))  # type: ignore[arg-type]


def ring_spots(at: Point, rings: tuple[float, ...], ways: int) -> SpotRow:
    """Spots on leaders all round a point, the shorter leaders first."""
    import numpy as np

    ends, leaders, costs = leaders_round(rings, ways, 0.0)
    ends = ends + np.array((at.x, at.y, at.x, at.y))
    leaders = leaders.shifted(at.x, at.y)
    return SpotRow(x=ends[:, 2], y=ends[:, 3], ends=ends, leaders=leaders, demerit=costs)


@lru_cache(maxsize=16)
def leaders_round(
    lengths: tuple[float, ...], ways: int, clear: float
) -> tuple[Any, Rectangles, Any]:
    """Leaders of some lengths all round the origin, `clear` mm from it, the shorter first.

    Their ends, what they take, and what they cost.
    """
    import numpy as np

    turns = math.tau * (np.arange(ways) + 0.5) / ways
    out = np.tile(np.column_stack((np.cos(turns), np.sin(turns))), (len(lengths), 1))
    length = np.repeat(lengths, ways)
    begin, end = out * clear, out * (length + clear)[:, None]
    # less its tip
    start = begin + out * np.minimum(length / 2, _TIP)[:, None]
    takes = Rectangles.between(np.concatenate((start, end), axis=1), _HALF_LEADER)
    costs = LEADER + _LEADER_LENGTH * length
    return np.concatenate((begin, end), axis=1), takes, costs


Size = tuple[float, float]
"""Width along the reading and height across it, mm."""

Sizes = Any
"""Some sizes, the preferred first: an array of widths and heights in two columns."""


@dataclass(frozen=True, eq=False)
class FreeSpace:
    """What is left of a drawing. It equals itself alone.

    A thing must lie whole in one of `windows` (the pages; anywhere without), should keep out of
    `bands` (the laps) and had better lie inside `outline`, which lies in `box`. `ink` is what is
    drawn, `taken` what was placed already.
    """

    ink: StraightInk = field(default_factory=lambda: StraightInk(()))
    taken: Rectangles = field(default_factory=lambda: Rectangles.of(()))
    windows: tuple[Bounds, ...] = ()
    bands: tuple[Bounds, ...] = ()
    outline: Covered | None = None
    box: Bounds | None = None

    def __post_init__(self) -> None:
        if self.outline is not None and self.box is None:
            object.__setattr__(self, "box", self.outline.bounds)

    @cached_property
    def _obstacles(self) -> Rectangles:
        """The ink, and then what was placed, ready to be asked."""
        return self.ink.lines.plus(self.taken)

    @classmethod
    def beside(
        cls,
        items: Iterable[Item],
        windows: Sequence[Bounds] = (),
        bands: Sequence[Bounds] = (),
        outline: Covered | None = None,
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
        taken = Rectangles.of([box.rectangle for box in texts])
        return cls(straight_ink(others), taken, tuple(windows), tuple(bands), outline)

    def less(self, boxes: Iterable[Box]) -> FreeSpace:
        """The space with more boxes taken."""
        taken = self.taken.plus(Rectangles.of([box.rectangle for box in boxes]))
        return FreeSpace(self.ink, taken, self.windows, self.bands, self.outline, self.box)

    def best(
        self,
        sizes: Sizes,
        rows: Iterable[SpotRow],
        *,
        own: Sequence[float] = (0.0,),
        over_line: float = math.inf,
        below: float = math.inf,
    ) -> Chosen | None:
        """The size and spot with the fewest demerits, if there are fewer than `below`.

        Rows come with the likely ones first: the search ends with one that costs nothing. `own` is
        what each of the sizes costs, `over_line` the cost of covering a line.
        """
        found: tuple[SpotRow, int] | None = None
        for row in rows:
            if not len(row) or own[0] + row.least >= below:
                continue
            boxes, before, kept, least = self._hopeful(sizes, row, own, over_line, below)
            count = _FIRST
            while len(kept := kept[least[kept] < below]):
                some, kept = kept[:count], kept[count:]
                costs = before[some] + self._costs(boxes[some], row, some % len(row), over_line)
                for index in costs.argsort(kind="stable").tolist():
                    total, spot = float(costs[index]), int(some[index])
                    if total >= below:
                        break
                    # asked last, of few: a contour is slow to answer
                    total += self._beyond(boxes, spot)
                    if total < below:
                        below, found = total, (row, spot)
                count *= 4
            if below <= 0:
                break
        if found is None:
            return None
        row, (size, index) = found[0], divmod(found[1], len(found[0]))
        return Chosen(below, row.spot(index, size), size)

    def open(self, x: Any, y: Any, width: Any, height: Any) -> Any:
        """The indices of those of some upright boxes, told by their middles, that cover nothing."""
        import numpy as np

        boxes = Rectangles.level(x, y, width, height)
        kept = np.arange(len(x))
        if len(self.ink.lines):
            kept = (~self.ink.raster.surely_meet(boxes.bounds)).nonzero()[0]
        return kept[self._obstacles.counts(boxes[kept]) == 0]

    def _hopeful(
        self, sizes: Sizes, row: SpotRow, own: Sequence[float], over_line: float, below: float
    ) -> tuple[Rectangles, Any, Any, Any]:
        """The boxes of a row, all of one size after all of another, and what each costs by itself.

        With those that a quick look does not rule out, the cheap ones first, and what each box
        costs at least.
        """
        import numpy as np

        boxes = Rectangles.alike(row.x, row.y, sizes, row.angle)
        before = np.add.outer(own, row.demerit + np.zeros(len(row))).ravel()
        least, kept = before.copy(), (before < below).nonzero()[0]
        if self.windows:
            bounds = boxes.bounds.take(kept, axis=1)
            kept = kept[_in_any(self.windows, bounds[:2], bounds[2:])]
        # where each line that is covered counts, the first of equals is meant
        if over_line > _ACROSS_LINE and len(kept) > _FIRST and len(self.ink.lines):
            some = boxes[kept]
            level = np.abs(some.frames[4] * some.frames[5]) < _LEVEL
            least[kept[level & self.ink.raster.surely_meet(some.bounds)]] += over_line
        kept = kept[least[kept].argsort(kind="stable")]
        if self.box is not None and len(kept) > _FIRST:
            x, y = boxes.frames[:2]
            beyond = (x < self.box.xmin) | (x > self.box.xmax)
            beyond |= (y < self.box.ymin) | (y > self.box.ymax)
            least[beyond] += OUTSIDE
        return boxes, before, kept, least

    def _costs(self, boxes: Rectangles, row: SpotRow, spots: Any, over_line: float) -> Any:
        """What boxes about spots of a row cost for what they cover and their leaders cross."""
        import numpy as np

        count = len(boxes)
        asked = boxes if row.leaders is None else boxes.plus(row.leaders[spots])
        obstacle, hit = self._obstacles.pairs(asked)
        # over a line, over words; its leader across a line, across words
        prices = np.array((over_line, math.inf, _ACROSS_LINE, _ACROSS_WORDS))
        paid = prices[(obstacle >= len(self.ink.lines)) + 2 * (hit >= count)]
        costs = np.bincount(hit, paid, 2 * count)
        costs = costs[:count] + costs[count:]
        if self.bands:
            costs += IN_LAP * _in_any(self.bands, boxes.bounds[2:], boxes.bounds[:2])
        return costs

    def _beyond(self, boxes: Rectangles, spot: int) -> float:
        if self.outline is None or self.box is None:
            return 0.0
        at, box = Point(*boxes.frames[:2, spot].tolist()), self.box
        near = box.xmin <= at.x <= box.xmax and box.ymin <= at.y <= box.ymax
        return OUTSIDE * (not (near and self.outline.contains(at)))


def _in_any(areas: tuple[Bounds, ...], first: Any, second: Any) -> Any:
    """Which boxes have their first corner above and right of an area's lower left one.

    And the second below and left of its upper right one: with the lower left corner first it lies
    in the area whole, with the upper right first it shares a point with it.
    """
    import numpy as np

    low, high = _corners(areas)
    found = (low <= first) & (second <= high)
    return np.logical_or.reduce(found[:, 0] & found[:, 1])


@lru_cache(maxsize=64)
def _corners(areas: tuple[Bounds, ...]) -> Any:
    """The areas' lower left corners and their upper right ones, each area's in two lines."""
    import numpy as np

    sides = [((area.xmin, area.ymin), (area.xmax, area.ymax)) for area in areas]
    return np.array(sides).transpose(1, 0, 2)[..., None]


# --- a drawing's ink as straight lines --------------------------------------------------------


def ink_ends(items: Iterable[Item], sagitta: float = _SAGITTA) -> list[Ends]:
    """Every line, outline and text box of the items as straight lines within `sagitta` mm."""
    ends: list[Ends] = []
    for item in items:
        chains: list[list[Point]] = []
        match item:
            case Group() | Clip():
                m = item.motion
                # the ends are moved, not what they are of: a pattern holds thousands
                ends.extend(
                    (m.a * ax + m.c * ay + m.e, m.b * ax + m.d * ay + m.f,
                     m.a * bx + m.c * by + m.e, m.b * bx + m.d * by + m.f)
                    for ax, ay, bx, by in ink_ends(item.items, sagitta)
                )  # fmt: skip
                continue
            case Text():
                shapes: Sequence[Shape] = ()
                chains += [list(item.box())] if item.text else []
            case Stroke():
                shapes = item.shapes
            case _:
                shapes = item.outlines
        for shape in shapes:
            if isinstance(shape, Circle):
                chains.append(shape.flatten(sagitta))
                continue
            for segment in shape.segments if isinstance(shape, Contour) else (shape,):
                if isinstance(segment, Line):
                    a, b = segment.start, segment.end
                    ends.append((a.x, a.y, b.x, b.y))
                else:
                    points = segment.flatten(sagitta)
                    ends.extend((a.x, a.y, b.x, b.y) for a, b in pairwise(points))
        for chain in chains:
            ends.extend((a.x, a.y, b.x, b.y) for a, b in pairwise((*chain, chain[0])))
    return ends


def ink_lines(items: Iterable[Item]) -> list[Line]:
    """The same as lines."""
    return [Line(Point(ax, ay), Point(bx, by)) for ax, ay, bx, by in ink_ends(items)]


class StraightInk:
    """The same lines, ready to be asked which of them something meets."""

    def __init__(self, ends: Any) -> None:
        """Of rows of `Ends`."""
        import numpy as np

        self._ends = np.asarray(ends, dtype=float).reshape(-1, 4)
        self.lines = Rectangles.between(self._ends)

    @cached_property
    def raster(self) -> Raster:
        """Where the lines, at least one, lie in cells."""
        return Raster(self._ends)

    def plus(self, more: StraightInk) -> StraightInk:
        """These lines and then others."""
        import numpy as np

        return StraightInk(np.concatenate((self._ends, more._ends)))


def straight_ink(items: Iterable[Item]) -> StraightInk:
    """The ink of some items."""
    return StraightInk(ink_ends(items))
