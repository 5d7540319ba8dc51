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

    __slots__ = ("polygons",)

    def __init__(self, rectangles: Sequence[Rectangle]) -> None:
        self.polygons = _polygons(rectangles)

    def __getitem__(self, chosen: Sequence[int]) -> Rectangles:
        """Those of some indices."""
        some = Rectangles(())
        some.polygons = self.polygons[list(chosen)] if chosen else self.polygons[:0]
        return some

    def bounds(self) -> list[tuple[float, float, float, float]]:
        """The upright box round each: xmin, ymin, xmax, ymax."""
        from shapely import bounds

        return [tuple(each) for each in bounds(self.polygons).tolist()]


class ShapeTree:
    """Shapes of which those that meet others are found quickly. Touching is meeting."""

    __slots__ = ("_tree",)

    def __init__(self, shapes: Any = ()) -> None:
        from shapely import STRtree

        self._tree = STRtree(shapes) if len(shapes) else None

    @classmethod
    def of_lines(cls, lines: Sequence[Line]) -> ShapeTree:
        """A tree of straight lines."""
        from shapely import linestrings

        ends = [((a.x, a.y), (b.x, b.y)) for a, b in ((line.start, line.end) for line in lines)]
        return cls(linestrings(ends) if ends else ())

    def counts(self, asked: Rectangles) -> list[int]:
        """How many of the tree's shapes each rectangle meets."""
        counts = [0] * len(asked.polygons)
        if self._tree is not None and counts:
            for index in self._tree.query(asked.polygons, predicate="intersects")[0].tolist():
                counts[index] += 1
        return counts

    def met(self, box: Bounds) -> list[int]:
        """The indices of the tree's shapes that an upright box meets, in their order."""
        from shapely import box as upright

        if self._tree is None:
            return []
        window = upright(box.xmin, box.ymin, box.xmax, box.ymax)
        return sorted(self._tree.query(window, predicate="intersects").tolist())


def _polygons(rectangles: Sequence[Rectangle]) -> Any:
    import numpy as np
    from shapely import polygons

    if not rectangles:
        return np.empty(0, dtype=object)
    x, y, along, across, angle = np.array(rectangles).T
    c, s = np.cos(angle), np.sin(angle)
    ux, uy, vx, vy = along * c, along * s, -across * s, across * c
    xs = np.stack((x - ux - vx, x + ux - vx, x + ux + vx, x - ux + vx), axis=1)
    ys = np.stack((y - uy - vy, y + uy - vy, y + uy + vy, y - uy + vy), axis=1)
    return polygons(np.stack((xs, ys), axis=2))
