"""A grid of square cells over segments: which ones are near a place, which pairs may meet."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations

from platewright.geometry.prepared import Box, PreparedSegment

Cell = tuple[int, int]


class Grid:
    """Segments by the cells that their boxes touch.

    With cells about as large as the mean segment is long, building takes time in proportion to the
    number of segments, and a look-up to the number nearby.
    """

    def __init__(
        self, segments: Sequence[PreparedSegment], cell: float, margin: float = 0.0
    ) -> None:
        self._cell = cell
        self._cells: dict[Cell, list[int]] = {}
        for index, segment in enumerate(segments):
            covered = (at for box in segment.boxes(cell) for at in self._covered(box, margin))
            for at in covered:
                held = self._cells.setdefault(at, [])
                if not held or held[-1] != index:
                    held.append(index)

    def _covered(self, box: Box, margin: float) -> Iterator[Cell]:
        size = self._cell
        rows = range(math.floor((box[1] - margin) / size), math.floor((box[3] + margin) / size) + 1)
        first = math.floor((box[0] - margin) / size)
        last = math.floor((box[2] + margin) / size)
        for column in range(first, last + 1):
            for row in rows:
                yield column, row

    def near(self, x: float, y: float, reach: float) -> Iterator[int]:
        """Indexes of the segments with a box within `reach` mm of a place; some come twice."""
        for cell in self._covered((x, y, x, y), reach):
            yield from self._cells.get(cell, ())

    def pairs(self) -> Iterable[tuple[int, int]]:
        """Index pairs, smaller first, of segments that share a cell, in order, each once."""
        found = {pair for held in self._cells.values() for pair in combinations(held, 2)}
        return sorted(found)


def mean_cell(segments: Sequence[PreparedSegment], least: float) -> float:
    """A good cell size, mm: the segments' mean length, but not under `least` mm."""
    return max(least, math.fsum(segment.length for segment in segments) / len(segments))
