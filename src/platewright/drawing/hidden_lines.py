"""Hidden lines: which parts of straight edges flat polygons in front of them cover.

Exact up to rounding: an edge is cut where it crosses a polygon's outline on the sheet and where it
dives through the polygon's plane; each piece is then wholly seen or wholly hidden. Places are rows
of x to the right, y up and depth towards the eye, mm; all edges and polygons are asked at once.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import chain
from typing import Any, NamedTuple

from platewright.geometry.meeting import near_pairs

#: An edge is hidden when it lies deeper than this behind a polygon, mm.
DEPTH_TOLERANCE = 1e-4
#: A polygon is turned away from the eye when its normal comes less than this towards it.
_EDGE_ON = 1e-7
#: A place is hidden when it lies deeper than this behind a polygon, mm at full size.
_SPECK = 1e-3
#: Pieces of an edge nearer to a polygon's outline than this are taken as outside it, mm.
_RIM = 1e-6
#: Shares of an edge shorter than this are dropped.
_SLIVER = 1e-9
_MOST = 300_000  # sides of polygons looked at together

Interval = tuple[float, float]
"""Two shares of an edge, from 0 at its start to 1 at its end."""

Loops = Sequence[Sequence[int]]
"""A polygon's corners, by their index, and then those of each of its holes."""


class Overlaps(NamedTuple):
    """Pieces of edges that lie over or under polygons: a column for each of what is told.

    Which edge, which polygon, from which share of the edge to which, how deep behind it (mm).
    """

    edge: Any
    polygon: Any
    first: Any
    last: Any
    behind: Any

    def only(self, chosen: Any) -> Overlaps:
        """Those for which an array of truths is true, or of which it holds the indices."""
        return Overlaps(*(column[chosen] for column in self))


class Polygons:
    """Flat polygons by the indices of their corners, in plain figures, whatever sees them."""

    def __init__(self, polygons: Sequence[Loops]) -> None:
        import numpy as np

        loops = list(chain.from_iterable(polygons))
        self.lengths = np.array([len(loop) for loop in loops])
        self.begins = np.cumsum(self.lengths) - self.lengths
        self.corners = np.fromiter(chain.from_iterable(loops), int, self.lengths.sum())
        following = np.arange(len(self.corners)) + 1
        following[self.begins + self.lengths - 1] = self.begins
        self.following = self.corners[following]
        holes = np.array([len(each) for each in polygons])
        self.outer = np.cumsum(holes) - holes  # the loop round each polygon


class Occluders:
    """Flat polygons as seen; those that face the eye hide what lies behind them.

    `normals` are unit vectors (right, up, towards the eye), `facing` tells which face the eye, and
    `nearest` how near each comes to it, mm.
    """

    def __init__(self, places: Any, polygons: Polygons) -> None:
        import numpy as np

        begins, lengths, outer = polygons.begins, polygons.lengths, polygons.outer
        a, b = places[polygons.corners], places[polygons.following]
        # from the loop's own area (Newell)
        about = np.repeat(a[begins], lengths, axis=0)
        area = np.add.reduceat(np.cross(a - about, b - about), begins)[outer]
        length = np.hypot(np.hypot(area[:, 0], area[:, 1]), area[:, 2])
        self.normals = area / np.where(length, length, 1.0)[:, None]
        self.facing = self.normals[:, 2] > _EDGE_ON
        highs = np.maximum.reduceat(a, begins)[outer]
        self.nearest = highs[:, 2]
        lows = np.minimum.reduceat(a, begins)[outer]
        self._boxes = np.array((*lows.T[:2], *highs.T[:2]))
        self._fronts = np.flatnonzero(self.facing)
        # depth at (x, y) is base + by x * x + by y * y
        towards = np.where(self.facing, self.normals[:, 2], 1.0)
        by_x, by_y = -self.normals[:, 0] / towards, -self.normals[:, 1] / towards
        x, y, depth = a[begins[outer]].T
        self._planes = np.array((depth - by_x * x - by_y * y, by_x, by_y))
        self._edges = np.array((*a.T[:2], *b.T[:2]))
        self._begins = begins[outer]
        self._counts = np.add.reduceat(lengths, outer)

    def overlaps(self, a: Any, b: Any, own: Any = None, deeper: float = -math.inf) -> Overlaps:
        """The pieces of edges from `a` to `b` within the outlines of polygons that face the eye.

        But for polygons that are an edge's `own`, a row for each edge, and for pieces that are no
        `deeper` behind a polygon.
        """
        import numpy as np

        low, high = np.minimum(a, b)[:, :2], np.maximum(a, b)[:, :2]
        edge, polygon = self._near(np.array((*low.T, *high.T)))
        own = np.empty((len(a), 0)) if own is None else own
        others = (own[edge] != polygon[:, None]).all(axis=1)
        edge, polygon = edge[others], polygon[others]
        if len(a) > 1 and self._counts[polygon].sum() > _MOST:
            half = len(a) // 2
            one, other = (
                self.overlaps(a[part], b[part], own[part], deeper)
                for part in (slice(half), slice(half, None))
            )
            other = other._replace(edge=other.edge + half)
            return Overlaps(*map(np.concatenate, zip(one, other, strict=True)))
        at_a, at_b = (self._depth(polygon, *p[edge, :2].T) - p[edge, 2] for p in (a, b))
        asked = np.maximum(at_a, at_b) > deeper
        edge, polygon, at_a, at_b = edge[asked], polygon[asked], at_a[asked], at_b[asked]
        (ax, ay), (bx, by) = a[edge, :2].T, b[edge, :2].T
        dx, dy = bx - ax, by - ay
        # shares at which it crosses the outline on the sheet
        pair, side = self._sides(polygon)
        px, py, qx, qy = self._edges.take(side, axis=1)
        ex, ey = qx - px, qy - py
        px, py, along_x, along_y = px - ax[pair], py - ay[pair], dx[pair], dy[pair]
        with np.errstate(divide="ignore", invalid="ignore"):
            cross = along_x * ey - along_y * ex
            t, u = (px * ey - py * ex) / cross, (px * along_y - py * along_x) / cross
            cut = (t > 0) & (t < 1) & (u >= -_SLIVER) & (u <= 1 + _SLIVER)
        # and where it dives through the polygon's plane
        dives = np.flatnonzero((at_a > 0) != (at_b > 0))
        through = at_a[dives] / (at_a[dives] - at_b[dives])
        every = np.arange(len(edge))
        pair = np.concatenate((every, every, pair[cut], dives))
        shares = np.concatenate((np.zeros(len(edge)), np.ones(len(edge)), t[cut], through))
        order = np.lexsort((shares, pair))
        pair, shares = pair[order], shares[order]
        piece = np.flatnonzero((pair[1:] == pair[:-1]) & (shares[1:] - shares[:-1] >= _SLIVER))
        pair, first, last = pair[piece], shares[piece], shares[piece + 1]
        middle = (first + last) / 2
        behind = at_a[pair] + (at_b - at_a)[pair] * middle
        x, y = ax[pair] + dx[pair] * middle, ay[pair] + dy[pair] * middle
        told = np.flatnonzero((np.abs(behind) > DEPTH_TOLERANCE) & (behind > deeper))
        found = Overlaps(edge[pair], polygon[pair], first, last, behind).only(told)
        return found.only(self._cover(found.polygon, x[told], y[told]))

    def hide(self, places: Any) -> Any:
        """Which of some places lie behind a polygon that faces the eye."""
        import numpy as np

        place, polygon = self._near(places.T[[0, 1, 0, 1]])
        x, y, depth = places[place].T
        behind = self._depth(polygon, x, y) - depth > _SPECK
        place, polygon, x, y = place[behind], polygon[behind], x[behind], y[behind]
        return np.bincount(place[self._cover(polygon, x, y)], minlength=len(places)) > 0

    def _near(self, boxes: Any) -> tuple[Any, Any]:
        """The pairs of upright boxes and polygons that face the eye whose boxes meet."""
        asked, front = near_pairs(boxes, self._boxes.take(self._fronts, axis=1))
        return asked, self._fronts[front]

    def _depth(self, polygon: Any, x: Any, y: Any) -> Any:
        """Depth of polygons' planes at places on the sheet, mm towards the eye."""
        base, by_x, by_y = self._planes.take(polygon, axis=1)
        return base + by_x * x + by_y * y

    def _sides(self, polygon: Any) -> tuple[Any, Any]:
        """Every side of some polygons, holes included, after the index of its polygon in them."""
        import numpy as np

        counts = self._counts[polygon]
        pair = np.repeat(np.arange(len(polygon)), counts)
        ahead = self._begins[polygon] - (np.cumsum(counts) - counts)
        return pair, np.arange(len(pair)) + ahead[pair]

    def _cover(self, polygon: Any, x: Any, y: Any) -> Any:
        """Whether each place lies inside its polygon on the sheet (even-odd), off its outline."""
        import numpy as np

        if len(x) > 1 and self._counts[polygon].sum() > _MOST:
            ways = (slice(0, len(x) // 2), slice(len(x) // 2, None))
            return np.concatenate([self._cover(polygon[part], x[part], y[part]) for part in ways])
        place, side = self._sides(polygon)
        ax, ay, bx, by = self._edges.take(side, axis=1)
        px, py = x[place], y[place]
        dx, dy = bx - ax, by - ay
        with np.errstate(divide="ignore", invalid="ignore"):
            right = ((ay <= py) != (by <= py)) & (px < ax + dx * (py - ay) / dy)
            share = ((px - ax) * dx + (py - ay) * dy) / (dx * dx + dy * dy)
            share = share.clip(0.0, 1.0)
            rim = (np.abs(ax + share * dx - px) < _RIM) & (np.abs(ay + share * dy - py) < _RIM)
        inside = np.bincount(place[right], minlength=len(polygon)) % 2 == 1
        inside[place[rim]] = False
        return inside


def visible_parts(hidden: Iterable[Interval]) -> list[Interval]:
    """What is left of an edge when some intervals of it are hidden."""
    left: list[Interval] = []
    reached = 0.0
    for first, last in sorted(hidden):
        if first - reached > _SLIVER:
            left.append((reached, first))
        reached = max(reached, last)
    if 1.0 - reached > _SLIVER:
        left.append((reached, 1.0))
    return left
