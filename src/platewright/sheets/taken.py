"""What is taken on a drawing, kept so that far ink is passed over quickly.

Trying many places for words asks the same question very often: does this box meet any ink? Every
line and box is kept with its upright bounds as plain numbers, which settles nearly all of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from platewright.geometry.plane import Bounds
from platewright.geometry.segment import Line
from platewright.sheets.alignment import ink_lines
from platewright.sheets.boxes import Box
from platewright.sheets.drawing import Item, Text, marks

_LineSpan = tuple[float, float, float, float, Line]
_BoxSpan = tuple[float, float, float, float, Box]


@dataclass(frozen=True, slots=True)
class Taken:
    """Lines and boxes that are taken, each after its bounds (xmin, ymin, xmax, ymax)."""

    lines: tuple[_LineSpan, ...] = ()
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
        return cls(tuple(_span(line.bounds, line) for line in lines)).and_boxes(boxes)

    def and_boxes(self, boxes: Iterable[Box]) -> Taken:
        """More boxes taken."""
        more = tuple(_box_span(box.bounds, box) for box in boxes)
        return Taken(self.lines, (*self.boxes, *more))

    def lines_near(self, box: Bounds) -> Iterator[Line]:
        """The lines whose bounds meet an upright box."""
        low_x, low_y, high_x, high_y = box.xmin, box.ymin, box.xmax, box.ymax
        for xmin, ymin, xmax, ymax, line in self.lines:
            if xmin <= high_x and low_x <= xmax and ymin <= high_y and low_y <= ymax:
                yield line

    def boxes_near(self, box: Bounds) -> Iterator[Box]:
        """The boxes whose bounds meet an upright box."""
        low_x, low_y, high_x, high_y = box.xmin, box.ymin, box.xmax, box.ymax
        for xmin, ymin, xmax, ymax, other in self.boxes:
            if xmin <= high_x and low_x <= xmax and ymin <= high_y and low_y <= ymax:
                yield other

    def lines_met(self, box: Box) -> int:
        """How many lines a box meets."""
        return sum(1 for _ in box.met(self.lines_near(box.bounds)))

    def leaves_free(self, box: Box, around: Bounds | None = None) -> bool:
        """Whether a box meets neither ink nor another box; `around` its bounds, if at hand."""
        around = around or box.bounds
        if not self.clear_of_boxes(box, around):
            return False
        return not box.meets_any(self.lines_near(around))

    def clear_of_boxes(self, box: Box, around: Bounds | None = None) -> bool:
        """Whether a box meets no other box; `around` its bounds, if at hand."""
        return not any(_meet(box, other) for other in self.boxes_near(around or box.bounds))

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
