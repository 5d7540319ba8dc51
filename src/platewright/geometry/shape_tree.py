"""Which straight lines and rectangles meet others: shapely's tree, asked with plain figures."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from platewright.geometry.plane import Bounds
from platewright.geometry.segment import Line

Rectangle = tuple[float, float, float, float, float]
"""x and y of its middle, half its length, half its width, the angle of its length."""


class Rectangles:
    """Rectangles made ready to be asked what they meet."""

    __slots__ = ("_figures", "_polygons")

    def __init__(self, rectangles: Sequence[Rectangle]) -> None:
        import numpy as np

        self._figures: Any = np.array(rectangles, dtype=float).reshape(-1, 5)
        self._polygons: Any = None

    def __len__(self) -> int:
        return len(self._figures)

    def __getitem__(self, chosen: Any) -> Rectangles:
        """Those of some indices, or those for which an array of truths is true."""
        some = Rectangles(())
        some._figures = self._figures[chosen]
        some._polygons = None if self._polygons is None else self._polygons[chosen]
        return some

    def bounds(self) -> Any:
        """The upright box round each: rows of xmin, ymin, xmax, ymax."""
        import numpy as np

        x, y, along, across, angle = self._figures.T
        c, s = np.abs(np.cos(angle)), np.abs(np.sin(angle))
        wide, high = along * c + across * s, along * s + across * c
        return np.stack((x - wide, y - high, x + wide, y + high), axis=1)

    @property
    def polygons(self) -> Any:
        """The same as polygons."""
        import numpy as np
        from shapely import polygons

        if self._polygons is None:
            x, y, along, across, angle = self._figures.T
            c, s = np.cos(angle), np.sin(angle)
            ux, uy, vx, vy = along * c, along * s, -across * s, across * c
            xs = np.stack((x - ux - vx, x + ux - vx, x + ux + vx, x - ux + vx), axis=1)
            ys = np.stack((y - uy - vy, y + uy - vy, y + uy + vy, y - uy + vy), axis=1)
            self._polygons = polygons(np.stack((xs, ys), axis=2))
        return self._polygons


class ShapeTree:
    """Shapes of which those that meet others are found quickly. Touching is meeting."""

    __slots__ = ("_shapes", "_tree")

    def __init__(self, shapes: Any = ()) -> None:
        from shapely import STRtree

        self._shapes = shapes
        self._tree = STRtree(shapes) if len(shapes) else None

    @classmethod
    def of_lines(cls, lines: Sequence[Line]) -> ShapeTree:
        """A tree of straight lines."""
        from shapely import linestrings

        ends = [((a.x, a.y), (b.x, b.y)) for a, b in ((line.start, line.end) for line in lines)]
        return cls(linestrings(ends) if ends else ())

    def plus(self, more: Rectangles) -> ShapeTree:
        """The tree with rectangles besides."""
        import numpy as np

        return ShapeTree(np.concatenate((self._shapes, more.polygons))) if len(more) else self

    def counts(self, asked: Rectangles) -> Any:
        """How many of the tree's shapes each rectangle meets."""
        import numpy as np

        if self._tree is None or not len(asked):
            return np.zeros(len(asked), dtype=int)
        met = self._tree.query(asked.polygons, predicate="intersects")[0]
        return np.bincount(met, minlength=len(asked))

    def met(self, box: Bounds) -> list[int]:
        """The indices of the tree's shapes that an upright box meets, in their order."""
        from shapely import box as upright

        if self._tree is None:
            return []
        window = upright(box.xmin, box.ymin, box.xmax, box.ymax)
        return sorted(self._tree.query(window, predicate="intersects").tolist())
