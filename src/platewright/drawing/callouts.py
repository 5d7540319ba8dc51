"""Callouts: words on a pattern, set where they cover no ink and no page seam cuts them.

A callout is a block of lines and the places it would like, the best first: along a line, round a
circle, beside a hole, in the middle of a panel (see `places`). Each takes the first good place:
free of ink, inside the outline, whole on one page, clear of the laps. Where there is none the
words are set smaller, or in a worse place; at last a number stands for them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from platewright.drawing.boxes import Box
from platewright.drawing.dimensions import arrowhead, bubble, bubble_radius
from platewright.drawing.items import Along, Item, Stroke, Text
from platewright.drawing.lettering import DESCENT, LINE_PITCH, Weight, text_width
from platewright.drawing.style import LEADER
from platewright.drawing.taken import Taken
from platewright.drawing.trimming import within
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Bounds, Point, Vector
from platewright.geometry.segment import Line

_MARGIN = 0.8  # kept free round a block, mm
_SIZES = ((1.0, 0), (0.85, 2), (0.72, 4))  # times the wanted size, and its demerits

_NUMBER_RINGS = (5.0, 7.0, 10.0, 14.0, 19.0, 25.0, 32.0, 40.0, 50.0, 62.0, 76.0)
_NUMBER_TURNS = 24

_WORTH_NAMING = 70.0  # mm of a line on a page

# demerits of a place
_IN_LAP = 6
_OUTSIDE = 10
_LEADER = 3
_LEADER_ACROSS_LINE = 1
_LEADER_ACROSS_WORDS = 100
_WORST = 40  # beyond it a number is better


@dataclass(frozen=True, slots=True)
class Place:
    """Where a block may stand: its middle, the way it reads, and a leader from what it names."""

    centre: Point
    angle: float = 0.0
    along: Along = "middle"
    leader: Line | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Lines of words set as one: capitals `size` mm high, the first `bold` of them bold."""

    lines: tuple[str, ...]
    size: float = 2.5
    bold: int = 0

    @property
    def width(self) -> float:
        """Length of the longest line, mm."""
        return _width(self.lines, self.bold) * self.size

    @property
    def height(self) -> float:
        """From the top of the first line to the descenders of the last, mm."""
        return self.size * (1 + (len(self.lines) - 1) * LINE_PITCH + DESCENT)

    def weight(self, index: int) -> Weight:
        """Weight of a line."""
        return "bold" if index < self.bold else "regular"

    def texts(self, place: Place) -> Iterator[Text]:
        """The lines drawn."""
        along = Vector.polar(place.angle)
        side = {"left": -0.5, "middle": 0.0, "right": 0.5}[place.along] * self.width
        for index, line in enumerate(self.lines):
            drop = self.height / 2 - self.size * (1 + index * LINE_PITCH)
            yield Text(
                place.centre + along * side + along.left * drop,
                line,
                self.size,
                (place.along, "baseline"),
                place.angle,
                self.weight(index),
            )


@lru_cache(maxsize=256)
def _width(lines: tuple[str, ...], bold: int) -> float:
    """Length of the longest line with capitals 1 mm high, the first `bold` lines bold."""
    return max(
        text_width(line, 1.0, "bold" if index < bold else "regular")
        for index, line in enumerate(lines)
    )


Places = Callable[[Block], Iterator[Place]]
"""The places that a block would like, the best first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Callout:
    """A block, the places it would like, and the point it belongs to.

    `needed` is whether a number must stand for it when there is no room. What belongs to a `line`
    stands on every page that carries much of it; `along` gives the places for a part of the line.
    """

    block: Block
    places: Places
    at: Point
    needed: bool = True
    line: Line | None = None
    along: Callable[[Line], Places] | None = None


def line_callout(block: Block, line: Line, along: Callable[[Line], Places]) -> Callout:
    """A block that belongs to a line."""
    return Callout(block=block, places=along(line), at=line.point_at(0.5), line=line, along=along)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """Where callouts may stand.

    `taken` holds all ink; inside `outline` is better than beyond it; a block must lie whole in one
    of `windows` (the pages) and should keep out of `bands` (the laps).
    """

    taken: Taken
    outline: Contour
    windows: tuple[Bounds, ...]
    bands: tuple[Bounds, ...] = ()

    def demerits(self, box: Box, leader: Line | None, below: float = math.inf) -> int | None:
        """0 for a good place, more for a worse one.

        None where words must not stand, and where the demerits are not `below` what is asked for.
        """
        around = box.bounds
        if not any(window.holds(around) for window in self.windows):
            return None
        in_lap = _IN_LAP * any(around.meets(band) for band in self.bands)
        # the cheap questions first: most places fall by them
        if in_lap + (_LEADER if leader else 0) >= below:
            return None
        if not self.taken.leaves_free(box, around):
            return None
        found = in_lap + self._leader_demerits(leader)
        if found < below:
            found += _OUTSIDE * (not self.outline.contains(box.centre))
        return found if found < below else None

    def _leader_demerits(self, leader: Line | None) -> int:
        if leader is None:
            return 0
        if not self.taken.open_to(leader):
            return _LEADER_ACROSS_WORDS
        beyond = leader.part(min(0.5, 1.0 / leader.length), 1.0)
        return _LEADER + _LEADER_ACROSS_LINE * self.taken.lines_met(_line_box(beyond))

    def and_boxes(self, boxes: Iterable[Box]) -> Ground:
        """The ground with more boxes taken."""
        return replace(self, taken=self.taken.and_boxes(boxes))


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """Callouts drawn, the notes of those that became numbers, and the ground afterwards."""

    items: tuple[Item, ...]
    notes: tuple[tuple[str, str], ...]
    ground: Ground


def settle(ground: Ground, callouts: Sequence[Callout]) -> Settled:
    """Each callout in its turn, so that the more important stand first.

    Those without room become numbers in circles, counted from 1, and notes (number, words).
    """
    items: list[Item] = []
    notes: list[tuple[str, str]] = []
    for callout in _on_each_page(callouts, ground.windows):
        found = _place(ground, callout)
        if found is None and not callout.needed:
            continue
        if found is None:
            number = str(len(notes) + 1)
            notes.append((number, ", ".join(callout.block.lines)))
            found = _numbered(ground, callout.at, number)
        drawn, boxes = found
        items.extend(drawn)
        ground = ground.and_boxes(boxes)
    return Settled(items=tuple(items), notes=tuple(notes), ground=ground)


def _on_each_page(callouts: Sequence[Callout], windows: Sequence[Bounds]) -> Iterator[Callout]:
    """What belongs to a line that runs over several pages, once for each of them."""
    for callout in callouts:
        parts = _parts(callout.line, windows) if callout.line else []
        if len(parts) < 2 or callout.along is None:
            yield callout
            continue
        for part in parts:
            yield replace(line_callout(callout.block, part, callout.along), needed=callout.needed)


def _parts(line: Line, windows: Sequence[Bounds]) -> list[Line]:
    """The parts of a line on each page that are worth naming, each once."""
    parts = dict.fromkeys(
        part
        for window in windows
        for part in within(line, window)
        if isinstance(part, Line) and part.length >= _WORTH_NAMING
    )
    return list(parts)


_Drawn = tuple[tuple[Item, ...], tuple[Box, ...]]


def _place(ground: Ground, callout: Callout) -> _Drawn | None:
    """The callout in the size and place with the fewest demerits."""
    found: list[tuple[int, Block, Place]] = []
    for factor, own in _SIZES:
        if found and found[0][0] <= own:
            break
        block = replace(callout.block, size=callout.block.size * factor)
        least = found[0][0] if found else _WORST + 1
        best = _best(ground, block, callout.places, least - own)
        if best is not None:
            found.append((best[0] + own, block, best[1]))
            found.sort(key=lambda each: each[0])
    return _drawn(*found[0][1:]) if found else None


def _best(ground: Ground, block: Block, places: Places, below: int) -> tuple[int, Place] | None:
    """The place with the fewest demerits, the first of equals; None when none has fewer."""
    best: tuple[int, Place] | None = None
    box_at = boxes_of(block)
    for place in places(block):
        if place.leader is not None and below <= _LEADER:
            continue
        demerits = ground.demerits(box_at(place), place.leader, below)
        if demerits is None:
            continue
        below, best = demerits, (demerits, place)
        if demerits == 0:
            break
    return best


def boxes_of(block: Block) -> Callable[[Place], Box]:
    """The box that a block takes in a place, a margin round it."""
    half_along, half_across = block.width / 2 + _MARGIN, block.height / 2 + _MARGIN
    return lambda place: Box(place.centre, half_along, half_across, place.angle)


def _drawn(block: Block, place: Place) -> _Drawn:
    texts, box = tuple(block.texts(place)), boxes_of(block)(place)
    if place.leader is None:
        return texts, (box,)
    start, end = place.leader.start, place.leader.end
    line = (Stroke(place.leader, LEADER), arrowhead(start, start - end))
    return (*line, *texts), (box, _line_box(place.leader))


def _line_box(line: Line) -> Box:
    middle = line.start.midpoint(line.end)
    return Box(middle, line.length / 2, 0.3, (line.end - line.start).angle)


def _numbered(ground: Ground, at: Point, number: str) -> _Drawn:
    """A number in a circle as near a point as is free; nothing when there is no room at all."""
    radius = bubble_radius(number)
    for ring in _NUMBER_RINGS:
        for index in range(_NUMBER_TURNS):
            centre = at + Vector.polar(math.tau * (index + 0.5) / _NUMBER_TURNS, ring)
            box = Box(centre, radius + 0.3, radius + 0.3)
            if ground.demerits(box, None) is not None:
                line = Line(at, centre)
                return (Stroke(line, LEADER), *bubble(centre, number)), (box, _line_box(line))
    return (), ()
