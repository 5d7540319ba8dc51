"""Words and letters set on a drawing where they cover no ink and no page seam cuts them.

A callout is a block of lines and the spots it would like (see `spots`). It takes the cheapest that
is free, smaller if it must; where there is none a number stands for it. Letters stand in circles
on leaders, and may cover a line where nothing else is left.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

from platewright.drawing.dimensions import arrowhead, bubble, bubble_radius, lettered_point
from platewright.drawing.free_space import Box, FreeSpace, LabelSpot, Size, ring_spots
from platewright.drawing.items import Item, Stroke, Text
from platewright.drawing.lettering import DESCENT, LINE_PITCH, Weight, text_width
from platewright.drawing.spots import Spots
from platewright.drawing.style import LEADER
from platewright.drawing.trimming import within
from platewright.geometry.plane import Bounds, Point, Vector
from platewright.geometry.segment import Line
from platewright.values import dataclass

OVER_LINE = 30
"""Demerits of a letter's circle on a line: hardly ever better than a longer leader."""

_MARGIN = 0.8  # kept free round a block, mm
_SIZES = ((1.0, 0), (0.85, 2), (0.72, 4))  # times the wanted size, and its demerits
_WORST = 40  # demerits from which a number is better

_NUMBER_RINGS = (5.0, 7.0, 10.0, 14.0, 19.0, 25.0, 32.0, 40.0, 50.0, 62.0, 76.0)
_LETTER_RINGS = (6.5, 9.0, 12.0, 16.0, 21.0, 27.0, 35.0, 45.0, 58.0, 75.0, 100.0)
_WAYS = 24
_CROWDED_RINGS = tuple(5.5 + 2.5 * step for step in range(60))
_CROWDED_WAYS = 60
_CIRCLE_MARGIN = 0.4

_WORTH_NAMING = 70.0  # mm of a line on a page


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Lines of words set as one: capitals `size` mm high, the first `bold` of them bold."""

    lines: tuple[str, ...]
    size: float = 2.5
    bold: int = 0

    @property
    def width(self) -> float:
        """Length of the longest line, mm."""
        return self.size_at(self.size)[0]

    @property
    def height(self) -> float:
        """From the top of the first line to the descenders of the last, mm."""
        return self.size_at(self.size)[1]

    def size_at(self, size: float) -> Size:
        """Its width and height with capitals `size` mm high."""
        high = 1 + (len(self.lines) - 1) * LINE_PITCH + DESCENT
        return _width(self.lines, self.bold) * size, size * high

    def weight(self, index: int) -> Weight:
        """Weight of a line."""
        return "bold" if index < self.bold else "regular"

    def texts(self, spot: LabelSpot) -> Iterator[Text]:
        """The lines drawn."""
        along = Vector.polar(spot.angle)
        side = {"left": -0.5, "middle": 0.0, "right": 0.5}[spot.along] * self.width
        for index, line in enumerate(self.lines):
            drop = self.height / 2 - self.size * (1 + index * LINE_PITCH)
            yield Text(
                spot.centre + along * side + along.left * drop,
                line,
                self.size,
                (spot.along, "baseline"),
                spot.angle,
                self.weight(index),
            )


@lru_cache(maxsize=256)
def _width(lines: tuple[str, ...], bold: int) -> float:
    """Length of the longest line with capitals 1 mm high, the first `bold` lines bold."""
    return max(
        text_width(line, 1.0, "bold" if index < bold else "regular")
        for index, line in enumerate(lines)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Callout:
    """A block, the spots it would like, and the point it belongs to.

    `needed` is whether a number must stand for it when there is no room, `shrinks` whether the
    words may be set smaller. What belongs to a `line` stands on every page that carries much of it;
    `along` gives the spots for a part of the line.
    """

    block: Block
    spots: Spots
    at: Point
    needed: bool = True
    shrinks: bool = True
    line: Line | None = None
    along: Callable[[Line], Spots] | None = None


def line_callout(block: Block, line: Line, along: Callable[[Line], Spots]) -> Callout:
    """A block that belongs to a line."""
    return Callout(block=block, spots=along(line), at=line.point_at(0.5), line=line, along=along)


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """What was drawn, the notes of callouts that became numbers, and what is still free."""

    items: tuple[Item, ...]
    notes: tuple[tuple[str, str], ...] = ()
    free: FreeSpace


_Drawn = tuple[tuple[Item, ...], tuple[Box, ...]]


def place_callouts(
    free: FreeSpace, callouts: Sequence[Callout], *, numbered: bool = True
) -> Placed:
    """Each callout in its turn, so that the more important stand first.

    Those without room become numbers in circles, counted from 1, and notes (number, words); if
    they must not be `numbered`, the first of them ends it.
    """
    items: list[Item] = []
    notes: list[tuple[str, str]] = []
    for callout in _on_each_page(callouts, free.windows):
        found = _words(free, callout)
        if found is None and callout.needed:
            notes.append((str(len(notes) + 1), ", ".join(callout.block.lines)))
            if not numbered:
                break
            found = _numbered(free, callout.at, notes[-1][0])
        if found is not None:
            items.extend(found[0])
            free = free.less(found[1])
    return Placed(items=tuple(items), notes=tuple(notes), free=free)


def _on_each_page(callouts: Sequence[Callout], windows: Sequence[Bounds]) -> Iterator[Callout]:
    """What belongs to a line that runs over several pages, once for each page worth naming it."""
    for callout in callouts:
        parts = dict.fromkeys(
            part
            for window in windows
            for part in (within(callout.line, window) if callout.line else ())
            if isinstance(part, Line) and part.length >= _WORTH_NAMING
        )
        if len(parts) < 2 or callout.along is None:
            yield callout
            continue
        for part in parts:
            yield replace(line_callout(callout.block, part, callout.along), needed=callout.needed)


def _words(free: FreeSpace, callout: Callout) -> _Drawn | None:
    """The callout in the size and spot with the fewest demerits."""
    import numpy as np

    factors, own = zip(*(_SIZES if callout.shrinks else _SIZES[:1]), strict=True)
    block, letters = callout.block, [callout.block.size * factor for factor in factors]
    sizes = np.array([block.size_at(size) for size in letters])
    found = free.best(sizes + 2 * _MARGIN, callout.spots(sizes), own=own, below=_WORST)
    if found is None:
        return None
    block, spot = replace(block, size=letters[found.size]), found.spot
    box = Box(spot.centre, block.width / 2 + _MARGIN, block.height / 2 + _MARGIN, spot.angle)
    texts = tuple(block.texts(spot))
    if spot.leader is None:
        return texts, (box,)
    start, end = spot.leader.start, spot.leader.end
    leader = (Stroke(spot.leader, LEADER), arrowhead(start, start - end))
    return (*leader, *texts), (box, Box.round_leader(spot.leader))


def _numbered(free: FreeSpace, at: Point, number: str) -> _Drawn | None:
    """A number in a circle as near a point as is free; nothing when there is no room at all."""
    reach = bubble_radius(number) + _CIRCLE_MARGIN
    found = free.best([(2 * reach, 2 * reach)], [ring_spots(at, _NUMBER_RINGS, _WAYS)])
    if found is None:
        return None
    line = Line(at, found.spot.centre)
    boxes = (Box(line.end, reach, reach), Box.round_leader(line))
    return (Stroke(line, LEADER), *bubble(line.end, number)), boxes


def place_letters(
    free: FreeSpace, letters: Iterable[tuple[str, Point]], *, hidden: bool = False
) -> Placed:
    """Every letter in a circle beside its place, where its leader crosses least.

    `hidden` places have a ring for a dot and dashed leaders.
    """
    items: list[Item] = []
    for letter, at in letters:
        placed = _lettered(free, letter, at, hidden=hidden)
        items.extend(placed.items)
        free = placed.free
    return Placed(items=tuple(items), free=free)


@lru_cache(maxsize=64)  # most letters of the other hand stand as the first one's
def _lettered(free: FreeSpace, letter: str, at: Point, *, hidden: bool) -> Placed:
    """One letter, which is never left out, even where nothing is free."""
    reach = bubble_radius(letter) + _CIRCLE_MARGIN
    sizes = [(2 * reach, 2 * reach)]
    near = ring_spots(at, _LETTER_RINGS, _WAYS)
    found = free.best(sizes, [near], over_line=OVER_LINE)
    if found is None:
        anywhere = ring_spots(at, _CROWDED_RINGS, _CROWDED_WAYS)
        found = free.best(sizes, [anywhere], over_line=OVER_LINE)
    centre = found.spot.centre if found else at + Vector(_LETTER_RINGS[0], 0.0)
    return Placed(
        items=lettered_point(at, letter, away=centre - at, hidden=hidden),
        free=free.less((Box(centre, reach, reach), Box.round_leader(Line(at, centre)))),
    )
