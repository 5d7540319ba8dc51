"""Which straight lines and rectangles meet others: many asked at once, in plain figures.

Touching is meeting. Two of them meet unless one of the directions along their sides parts them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

Ends = tuple[float, float, float, float]
"""A straight line's two ends: x, y, x, y, mm."""

Rectangle = tuple[float, float, float, float, float]
"""x and y of its middle, half its length, half its width, the angle of its length."""

_CELL = 1.5  # of the table that tells where lines lie, mm
_CELLS = 200_000  # at most
_MOST = 2_000_000  # pairs looked at together


class Rectangles:
    """Rectangles, and lines as those without width, to be asked what meets them.

    `frames` are their x, y, half length, half width, cosine and sine of the angle, each an array;
    `bounds` likewise the xmin, ymin, xmax and ymax of the upright box round each.
    """

    __slots__ = ("_rows", "bounds", "frames")

    def __init__(self, rows: Any) -> None:
        """Of the rows of `frames` and then those of `bounds`, in one array."""
        self._rows, self.frames, self.bounds = rows, rows[:6], rows[6:]

    @classmethod
    def of(cls, rectangles: Iterable[Rectangle]) -> Rectangles:
        """Some rectangles."""
        import numpy as np

        # in plain figures: mostly there are one or two
        found = []
        for x, y, along, across, angle in rectangles:
            c, s = math.cos(angle), math.sin(angle)
            wide = along * abs(c) + across * abs(s)
            high = along * abs(s) + across * abs(c)
            found.append((x, y, along, across, c, s, x - wide, y - high, x + wide, y + high))
        return cls(np.array(found, dtype=float).reshape(-1, 10).T)

    @classmethod
    def alike(cls, x: Any, y: Any, sizes: Any, angle: Any) -> Rectangles:
        """Rectangles about some places, one angle for all or one for each.

        `sizes` has lengths and widths in two columns: all of one size, then all of the next. `x`
        and `y` may have a line for each size.
        """
        import numpy as np

        along, across = np.asarray(sizes, dtype=float).T[..., None] / 2
        return cls._framed(
            (len(along), x.shape[-1]), (x, y, along, across, np.cos(angle), np.sin(angle))
        )

    @classmethod
    def level(cls, x: Any, y: Any, width: Any, height: Any) -> Rectangles:
        """Upright boxes about some places, of their own sizes, mm."""
        return cls._framed(x.shape, (x, y, width / 2, height / 2, 1.0, 0.0))

    @classmethod
    def between(cls, ends: Any, half_width: float = 0.0) -> Rectangles:
        """Straight lines, rows of `Ends`, or what lies within half a width of them."""
        import numpy as np

        ax, ay, bx, by = np.asarray(ends, dtype=float).reshape(-1, 4).T
        dx, dy = bx - ax, by - ay
        length = np.hypot(dx, dy)
        whole = np.where(length > 0, length, 1.0)
        c, s = np.where(length > 0, dx / whole, 1.0), dy / whole
        x, y = (ax + bx) / 2, (ay + by) / 2
        return cls._framed(x.shape, (x, y, length / 2, half_width, c, s))

    @classmethod
    def _framed(cls, shape: tuple[int, ...], frames: tuple[Any, ...]) -> Rectangles:
        """By their frames, each with a figure for every one of that shape, or one for many."""
        import numpy as np

        x, y, along, across, c, s = frames
        rows = np.empty((10, *shape))
        rows[0], rows[1], rows[2], rows[3], rows[4], rows[5] = frames
        c, s = abs(c), abs(s)
        wide, high = along * c + across * s, along * s + across * c
        rows[6], rows[7], rows[8], rows[9] = x - wide, y - high, x + wide, y + high
        return cls(rows.reshape(10, -1))

    def __len__(self) -> int:
        return self._rows.shape[1]  # type: ignore[no-any-return]

    def __getitem__(self, chosen: Any) -> Rectangles:
        """Those of some indices."""
        # taken, not indexed: so a column's figures lie side by side, which all that follows needs
        return Rectangles(self._rows.take(chosen, axis=1))

    def plus(self, more: Rectangles) -> Rectangles:
        """These and then others."""
        import numpy as np

        return Rectangles(np.concatenate((self._rows, more._rows), axis=1))

    def shifted(self, dx: Any, dy: Any) -> Rectangles:
        """These moved to the right and up, mm: all by as much, or each by its own."""
        rows = self._rows.copy()
        for row in (0, 6, 8):
            rows[row] += dx
            rows[row + 1] += dy
        return Rectangles(rows)

    def counts(self, asked: Rectangles) -> Any:
        """How many of these each of the others meets."""
        import numpy as np

        return np.bincount(self.pairs(asked)[1], minlength=len(asked))

    def pairs(self, asked: Rectangles) -> tuple[Any, Any]:
        """The indices of those of these and of others that meet, the others in their order."""
        import numpy as np

        theirs, ours = near_pairs(asked.bounds, self.bounds)
        if not len(ours):
            return ours, theirs
        ax, ay, a_along, a_across, ac, as_ = self.frames.take(ours, axis=1)
        bx, by, b_along, b_across, bc, bs = asked.frames.take(theirs, axis=1)
        dx, dy = bx - ax, by - ay
        # how much of one's length lies along and across the other's
        level, slant = np.abs(ac * bc + as_ * bs), np.abs(as_ * bc - ac * bs)
        meets = (
            (np.abs(dx * ac + dy * as_) <= a_along + b_along * level + b_across * slant)
            & (np.abs(dy * ac - dx * as_) <= a_across + b_along * slant + b_across * level)
            & (np.abs(dx * bc + dy * bs) <= b_along + a_along * level + a_across * slant)
            & (np.abs(dy * bc - dx * bs) <= b_across + a_along * slant + a_across * level)
        )
        return ours[meets], theirs[meets]


def near_pairs(ours: Any, theirs: Any) -> tuple[Any, Any]:
    """The pairs of upright boxes that share a point, by their indices, ours in their order.

    Boxes are arrays of xmin, of ymin, of xmax and of ymax. Those that stand apart by less than a
    ten-millionth of how far they lie out may be told as well.
    """
    import numpy as np

    if not ours.shape[1] or not theirs.shape[1]:
        return np.zeros(0, dtype=int), np.zeros(0, dtype=int)
    # first those of theirs near any of ours: mostly few
    low, high = ours[:2].min(axis=1)[:, None], ours[2:].max(axis=1)[:, None]
    within = (theirs[:2] <= high) & (low <= theirs[2:])
    some = (within[0] & within[1]).nonzero()[0]
    # rounded, so that twice as many are compared at once; no pair is lost, as all round alike
    ours = ours.astype(np.float32)
    low, high = theirs.take(some, axis=1).astype(np.float32).reshape(2, 2, 1, -1)
    count = max(1, len(some))
    found, step = [], max(1, _MOST // count)
    for begin in range(0, ours.shape[1], step):
        boxes = ours[:, begin : begin + step, None]
        # across and up at once
        near = boxes[:2] <= high
        near &= low <= boxes[2:]
        found.append((near[0] & near[1]).ravel().nonzero()[0] + begin * count)
    place = np.concatenate(found)
    first = place // count
    return first, some[place - first * count]


class Raster:
    """Where lines lie, in cells: tells at once which of very many upright boxes surely meet one."""

    __slots__ = ("_cell", "_most", "_origin", "_sums")

    def __init__(self, ends: Any) -> None:
        """Of rows of `Ends`, at least one."""
        import numpy as np

        start, end = ends[:, :2], ends[:, 2:]
        low = np.minimum(start, end).min(axis=0)
        width, height = np.maximum(start, end).max(axis=0) - low
        self._cell = max(_CELL, math.sqrt(width * height / _CELLS), max(width, height) / _CELLS)
        # places along each line, no farther apart than a cell is wide
        way = end - start
        steps = np.ceil(np.hypot(way[:, 0], way[:, 1]) / self._cell).astype(int) + 1
        line = np.repeat(np.arange(len(steps)), steps)
        share = np.arange(len(line)) - (np.cumsum(steps) - steps)[line]
        along = way[line] * (share / np.maximum(steps - 1, 1)[line])[:, None]
        column, row = ((start[line] + along - low) / self._cell).astype(int).T
        inked = np.zeros(
            (int(height / self._cell) + 2, int(width / self._cell) + 2), dtype=np.int32
        )
        inked[row + 1, column + 1] = 1
        # how many inked cells lie below and to the left of each joint of the grid; in place, as
        # sums of their own would be twice as wide
        inked.cumsum(axis=0, out=inked)
        self._sums = inked.cumsum(axis=1, out=inked)
        self._origin = np.tile(low, 2)[:, None]
        self._most = np.tile(inked.shape[::-1], 2)[:, None] - 1

    def surely_meet(self, boxes: Any) -> Any:
        """Which upright boxes (see `Rectangles.bounds`) hold a whole cell with ink.

        One that does not may meet a line all the same.
        """
        import numpy as np

        # from the first to past the last of the cells that lie whole in each box
        cells = (boxes - self._origin) / self._cell
        np.ceil(cells[:2], out=cells[:2])
        np.maximum(cells, 0.0, out=cells)
        cells = np.minimum(cells, self._most).astype(int).reshape(2, 2, -1)
        np.maximum(cells[0], cells[1], out=cells[1])
        # at the joints of a row and a column of each: how many inked cells lie below and left
        joints = cells[:, 1, None] * self._sums.shape[1] + cells[:, 0]
        (corner, right), (top, whole) = self._sums.take(joints)
        return whole - right - top + corner > 0
