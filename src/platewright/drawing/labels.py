"""Placing labels where they cover neither ink nor each other.

A board knows what is taken: lines of the drawing and boxes of texts. Placing a label tries spots
round its point, near ones first, then farther ones with a leader; when nothing is free the label
becomes a number at the point and an entry in a legend. The same board and labels give the same
places.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from platewright.drawing.boxes import Box, ink_lines
from platewright.drawing.dimensions import arrowhead, bubble, bubble_radius
from platewright.drawing.items import Across, Along, Fill, Item, Stroke, Text, marks
from platewright.drawing.lettering import Weight
from platewright.drawing.style import LEADER
from platewright.drawing.taken import Taken
from platewright.geometry.contour import Circle
from platewright.geometry.plane import Bounds, Point, Vector
from platewright.geometry.segment import Line

_MARGIN = 0.7  # kept round a text, mm
_NEAR = 1.6  # from a point to a label beside it
_RINGS = (7.0, 11.0, 16.0, 23.0, 32.0, 44.0)  # leader lengths, mm
_DIRECTIONS = 16
_DOT = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """Words for a point. `clear` is how far from the point they must stand (a hole's radius).

    `also` are other points that the words may stand at as well.
    """

    at: Point
    text: str
    size: float = 2.5
    weight: Weight = "regular"
    clear: float = 0.0
    also: tuple[Point, ...] = ()

    @property
    def each(self) -> tuple[Label, ...]:
        """The label at every point that it may have."""
        return (self, *(replace(self, at=at) for at in self.also))


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """What is taken on a drawing: the room labels may use, ink as lines, boxes of texts."""

    room: Bounds
    lines: tuple[Line, ...] = ()
    boxes: tuple[Box, ...] = ()

    def with_items(self, items: Iterable[Item]) -> Board:
        """The board with everything on a list taken: lines by their course, texts by their box."""
        drawn = list(marks(items))
        texts = [mark for mark in drawn if isinstance(mark, Text) and mark.text]
        others = [mark for mark in drawn if not isinstance(mark, Text)]
        return replace(
            self,
            lines=(*self.lines, *ink_lines(others)),
            boxes=(*self.boxes, *(Box.round_text(text, _MARGIN) for text in texts)),
        )

    def with_box(self, box: Box) -> Board:
        """The board with one more box taken."""
        return replace(self, boxes=(*self.boxes, box))

    def free(self, box: Box) -> bool:
        """Whether a box lies in the room and touches no ink and no other box."""
        return self.sight().free(box)

    def sight(self) -> _Sight:
        """The board made ready for many questions."""
        return _Sight(self.room, Taken.of(self.lines, self.boxes))


@dataclass(frozen=True, slots=True)
class _Sight:
    """A board made ready for many questions."""

    room: Bounds
    taken: Taken

    def free(self, box: Box) -> bool:
        """Whether a box lies in the room and touches no ink and no other box."""
        around = box.bounds
        return self.room.holds(around) and self.taken.leaves_free(box, around)

    def open_to(self, line: Line) -> bool:
        """Whether a leader crosses no taken box."""
        return self.taken.open_to(line)

    def crossings(self, line: Line, most: float) -> int:
        """How many inked lines a leader crosses away from its own point (see `lines_met`)."""
        return self.taken.lines_met(_line_box(line.part(min(1.0, 1.0 / line.length), 1.0)), most)


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """Labels on a drawing: what to draw, the legend's numbered entries, the board afterwards."""

    items: tuple[Item, ...]
    legend: tuple[tuple[str, str], ...]
    board: Board


def place_labels(board: Board, labels: Sequence[Label]) -> Placed:
    """Each label in its turn, so that the more important stand first.

    Labels without a free spot become numbers, counted from 1, and legend entries (number, text).
    """
    items: list[Item] = []
    legend: list[tuple[str, str]] = []
    sight = board.sight()
    for label in labels:
        spot = _spot(sight, label)
        if spot is None:
            number = str(len(legend) + 1)
            legend.append((number, label.text))
            spot = _numbered(sight, label, number)
        drawn, boxes = spot
        items.extend(drawn)
        board = replace(board, boxes=(*board.boxes, *boxes))
        sight = replace(sight, taken=sight.taken.and_boxes(boxes))
    return Placed(items=tuple(items), legend=tuple(legend), board=board)


_Spot = tuple[tuple[Item, ...], tuple[Box, ...]]


def _spot(near: _Sight, label: Label) -> _Spot | None:
    """The first free spot: beside the point, then on a leader that crosses less and less little."""
    for text in (text for each in label.each for text in _beside(each)):
        box = Box.round_text(text, _MARGIN)
        if near.free(box):
            return (text,), (box,)
    if (led := _least_crossing(near, label)) is None:
        return None
    text, line, box = led
    end = arrowhead(line.start, line.start - line.end) if label.clear else _dot(line.start)
    return (Stroke(line, LEADER), end, text), (box, _line_box(line))


def _least_crossing(near: _Sight, label: Label) -> tuple[Text, Line, Box] | None:
    """The free place whose leader crosses the fewest lines, on the shortest of equals."""
    best, least = None, (math.inf, math.inf)
    for ring in _RINGS:
        for text, line in (led for each in label.each for led in _led(each, ring)):
            box = Box.round_text(text, _MARGIN)
            if near.free(box) and near.open_to(line):
                cost = (near.crossings(line, least[0]), line.length)
                if cost < least:
                    best, least = (text, line, box), cost
        if least[0] == 0:
            break
    return best


def _dot(at: Point) -> Fill:
    return Fill((Circle(at, _DOT),))


def _line_box(line: Line) -> Box:
    middle = line.start.midpoint(line.end)
    return Box(middle, line.length / 2, 0.2, (line.end - line.start).angle)


def _beside(label: Label) -> Iterator[Text]:
    """Level texts round the point: right, left, above, below, then the corners."""
    d = label.clear + _NEAR
    s = d * math.sqrt(0.5)
    places: tuple[tuple[Vector, Along, Across], ...] = (
        (Vector(d, 0.0), "left", "middle"),
        (Vector(-d, 0.0), "right", "middle"),
        (Vector(0.0, d), "middle", "baseline"),
        (Vector(0.0, -d), "middle", "top"),
        (Vector(s, s), "left", "baseline"),
        (Vector(-s, s), "right", "baseline"),
        (Vector(s, -s), "left", "top"),
        (Vector(-s, -s), "right", "top"),
    )
    for by, along, across in places:
        yield _text(label, label.at + by, (along, across))


def _led(label: Label, ring: float) -> Iterator[tuple[Text, Line]]:
    """Texts all round on leaders `ring` mm long."""
    for index in range(_DIRECTIONS):
        by = Vector.polar(math.tau * (index + 0.5) / _DIRECTIONS)
        start, end = label.at + by * label.clear, label.at + by * (label.clear + ring)
        along: Along = "left" if by.x > 0 else "right"
        gap = Vector(_MARGIN + 0.4 if by.x > 0 else -_MARGIN - 0.4, 0.0)
        yield _text(label, end + gap, (along, "middle")), Line(start, end)


def _text(label: Label, at: Point, anchor: tuple[Along, Across]) -> Text:
    return Text(at, label.text, label.size, anchor, weight=label.weight)


def _numbered(near: _Sight, label: Label, number: str) -> _Spot:
    """A number in a circle as near the point as is free, or on the point itself."""
    radius = bubble_radius(number)
    for centre in _bubble_places(label, radius):
        box = Box(centre, radius + 0.3, radius + 0.3)
        if near.free(box):
            line = Line(label.at, centre)
            return (Stroke(line, LEADER), *bubble(centre, number)), (box,)
    box = Box(label.at, radius, radius)
    return bubble(label.at, number), (box,)


def _bubble_places(label: Label, radius: float) -> Iterator[Point]:
    for ring in (radius + _NEAR, *_RINGS):
        for index in range(_DIRECTIONS):
            angle = math.tau * index / _DIRECTIONS
            yield label.at + Vector.polar(angle, ring + label.clear)
