"""Arrows that show by how much something is off, with words beside their tips."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from platewright.drawing.dimensions import ARROW, arrowhead
from platewright.drawing.items import Item, Stroke
from platewright.drawing.placing import Block, Callout
from platewright.drawing.spots import beside
from platewright.drawing.style import WIDE, LineStyle
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Line
from platewright.values import dataclass

POINTER = LineStyle("pointer", WIDE)
"""The shaft of an arrow that shows an error."""

_ROOT = LineStyle("measured along", 0.13, (0.6, 0.9))
_LEAST = 0.4  # mm: what is shorter shows no way
_SIZE = 2.1


@dataclass(frozen=True, slots=True)
class FlatPointer:
    """An arrow from a place of a drawing, its words, and where its thin line comes from."""

    at: Point
    by: Vector
    words: str = ""
    root: Point | None = None

    @property
    def tip(self) -> Point:
        """Where it points."""
        return self.at + self.by


def pointed(pointers: Iterable[FlatPointer]) -> Iterator[Item]:
    """The arrows' lines: a thin one along what was measured, a wide one by how much it is off."""
    for each in pointers:
        if each.root is not None and each.root.distance(each.at) > _LEAST:
            yield Stroke(Line(each.root, each.at), _ROOT)
        length = each.by.length
        if length > _LEAST:
            way = each.by.unit()
            # a head that is longer than its arrow would show more than there is
            shaft = max(length - ARROW, 0.0)
            if shaft > 0:
                yield Stroke(Line(each.at, each.at + way * shaft), POINTER)
                yield arrowhead(each.tip, way)
            else:
                yield Stroke(Line(each.at, each.tip), POINTER)


def pointer_callouts(pointers: Iterable[FlatPointer]) -> Iterator[Callout]:
    """The words of the arrows, beside their tips; those without room are left out."""
    for each in pointers:
        if each.words:
            block = Block(lines=(each.words,), size=_SIZE, bold=1)
            spots = beside(each.tip, 0.6, 0.6)
            yield Callout(block=block, spots=spots, at=each.tip, needed=False, shrinks=False)
