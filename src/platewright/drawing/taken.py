"""What is taken on a drawing, kept so that far ink is passed over quickly.

Trying many places for words asks the same question very often: does this box meet any ink? Every
line and box is kept with its upright bounds as plain numbers, which settles nearly all of them;
lines are kept by the squares of a grid besides, so that far ones are not even asked.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from platewright.drawing.boxes import Box, ink_lines
from platewright.drawing.items import Item, Text, marks
from platewright.geometry.plane import Bounds
from platewright.geometry.segment import Line

_SQUARE = 12.0  # side of a grid's square, mm
_MANY = 100  # lines whose box touches more squares are asked every time

_LineSpan = tuple[float, float, float, float, Line]
_BoxSpan = tuple[float, float, float, float, Box]
_Squares = tuple[int, int, int, int]
_Held = tuple[int, int, _LineSpan]  # after the first column and row of a line's squares


class Ink:
    """Lines after their bounds (xmin, ymin, xmax, ymax), by the squares that these touch."""

    __slots__ = ("_held", "_long")

    def __init__(self, lines: Iterable[Line] = ()) -> None:
        self._held: dict[tuple[int, int], list[_Held]] = {}
        self._long: list[_LineSpan] = []
        for line in lines:
            self._add(_span(line.bounds, line))

    def _add(self, span: _LineSpan) -> None:
        left, low, right, high = _squares(*span[:4])
        if (right - left + 1) * (high - low + 1) > _MANY:
            self._long.append(span)
            return
        for column in range(left, right + 1):
            for row in range(low, high + 1):
                self._held.setdefault((column, row), []).append((left, low, span))

    def near(self, box: Bounds) -> Iterator[Line]:
        """The lines whose bounds meet an upright box, each once."""
        low_x, low_y, high_x, high_y = box.xmin, box.ymin, box.xmax, box.ymax
        for xmin, ymin, xmax, ymax, line in self._long:
            if xmin <= high_x and low_x <= xmax and ymin <= high_y and low_y <= ymax:
                yield line
        left, low, right, high = _squares(low_x, low_y, high_x, high_y)
        for column in range(left, right + 1):
            for row in range(low, high + 1):
                held = self._held.get((column, row), ())
                for first, lowest, (xmin, ymin, xmax, ymax, line) in held:
                    if not (xmin <= high_x and low_x <= xmax and ymin <= high_y and low_y <= ymax):
                        continue
                    # in the first square alone that the line and the box share
                    if (column in (first, left)) and (row in (lowest, low)):
                        yield line


def _squares(xmin: float, ymin: float, xmax: float, ymax: float) -> _Squares:
    """The first column and row of squares that a box touches, and the last."""
    return (
        int(xmin // _SQUARE),
        int(ymin // _SQUARE),
        int(xmax // _SQUARE),
        int(ymax // _SQUARE),
    )


_NO_INK = Ink()


@dataclass(frozen=True, slots=True)
class Taken:
    """Lines and boxes that are taken, each box after its bounds (xmin, ymin, xmax, ymax)."""

    ink: Ink = _NO_INK
    boxes: tuple[_BoxSpan, ...] = ()

    @classmethod
    def by(cls, items: Iterable[Item], margin: float = 0.7) -> Taken:
        """What the ink of a list takes: lines by their course, texts by their box, a margin out."""
        drawn = list(marks(items))
        texts = [mark for mark in drawn if isinstance(mark, Text) and mark.text]
        others = [mark for mark in drawn if not isinstance(mark, Text)]
        return cls.of(ink_lines(others), (Box.round_text(text, margin) for text in texts))

    @classmethod
    def of(cls, lines: Iterable[Line], boxes: Iterable[Box]) -> Taken:
        """These lines and boxes taken."""
        return cls(Ink(lines)).and_boxes(boxes)

    def and_boxes(self, boxes: Iterable[Box]) -> Taken:
        """More boxes taken."""
        more = tuple(_box_span(box.bounds, box) for box in boxes)
        return Taken(self.ink, (*self.boxes, *more))

    def lines_near(self, box: Bounds) -> Iterator[Line]:
        """The lines whose bounds meet an upright box."""
        return self.ink.near(box)

    def boxes_near(self, box: Bounds) -> Iterator[Box]:
        """The boxes whose bounds meet an upright box."""
        low_x, low_y, high_x, high_y = box.xmin, box.ymin, box.xmax, box.ymax
        for xmin, ymin, xmax, ymax, other in self.boxes:
            if xmin <= high_x and low_x <= xmax and ymin <= high_y and low_y <= ymax:
                yield other

    def lines_met(self, box: Box, most: float = math.inf) -> int:
        """How many lines a box meets; beyond `most` the count may stop short."""
        count = 0
        for _ in box.met(self.lines_near(box.bounds)):
            count += 1
            if count > most:
                break
        return count

    def leaves_free(self, box: Box, around: Bounds | None = None) -> bool:
        """Whether a box meets neither ink nor another box; `around` its bounds, if at hand."""
        around = around or box.bounds
        if not self.clear_of_boxes(box, around):
            return False
        return not box.meets_any(self.lines_near(around))

    def clear_of_boxes(self, box: Box, around: Bounds | None = None) -> bool:
        """Whether a box meets no other box; `around` its bounds, if at hand."""
        room = around or box.bounds
        low_x, low_y, high_x, high_y = room.xmin, room.ymin, room.xmax, room.ymax
        for xmin, ymin, xmax, ymax, other in self.boxes:
            close = xmin <= high_x and low_x <= xmax and ymin <= high_y and low_y <= ymax
            if close and _meet(box, other):
                return False
        return True

    def open_to(self, line: Line) -> bool:
        """Whether a line crosses no box."""
        return not any(box.meets_line(line) for box in self.boxes_near(line.bounds))


def _meet(a: Box, b: Box) -> bool:
    """Whether two boxes meet whose bounds do."""
    return not (a.angle or b.angle) or a.meets(b)


def _span(box: Bounds, line: Line) -> _LineSpan:
    return box.xmin, box.ymin, box.xmax, box.ymax, line


def _box_span(bounds: Bounds, box: Box) -> _BoxSpan:
    return bounds.xmin, bounds.ymin, bounds.xmax, bounds.ymax, box
