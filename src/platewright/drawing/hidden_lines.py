"""Hidden lines: which parts of a straight edge flat polygons in front of it cover.

Exact up to rounding: an edge is cut where it crosses a polygon's outline on the sheet and where it
dives through the polygon's plane; each piece is then wholly seen or wholly hidden.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from platewright.drawing.view_direction import Seen
from platewright.geometry.plane import Bounds
from platewright.values import dataclass

#: An edge is hidden when it lies deeper than this behind a polygon, mm.
DEPTH_TOLERANCE = 1e-4
#: Pieces of an edge nearer to a polygon's outline than this are taken as outside it, mm.
_RIM = 1e-6
#: Shares of an edge shorter than this are dropped.
_SLIVER = 1e-9

Interval = tuple[float, float]
"""Two shares of an edge, from 0 at its start to 1 at its end."""

_Ring = tuple[tuple[float, float, float, float], ...]


@dataclass(frozen=True, slots=True)
class Occluder:
    """A flat polygon that faces the eye, as seen: its edges, its box, and its depth everywhere.

    Depth at (x, y) is `base` + `by_x` x + `by_y` y.
    """

    edges: _Ring
    box: Bounds
    base: float
    by_x: float
    by_y: float
    nearest: float

    def depth(self, x: float, y: float) -> float:
        """Depth of the polygon's plane at a place on the sheet, mm towards the eye."""
        return self.base + self.by_x * x + self.by_y * y

    def covers(self, x: float, y: float) -> bool:
        """Whether a place lies inside the polygon on the sheet (even-odd), off its outline."""
        box = self.box
        if not (box.xmin <= x <= box.xmax and box.ymin <= y <= box.ymax):
            return False
        inside = False
        for ax, ay, bx, by in self.edges:
            if (ay <= y) != (by <= y) and x < ax + (bx - ax) * (y - ay) / (by - ay):
                inside = not inside
        return inside and not self._on_rim(x, y)

    def _on_rim(self, x: float, y: float) -> bool:
        for ax, ay, bx, by in self.edges:
            dx, dy = bx - ax, by - ay
            square = dx * dx + dy * dy
            t = ((x - ax) * dx + (y - ay) * dy) / square if square else 0.0
            t = min(1.0, max(0.0, t))
            if abs(ax + t * dx - x) < _RIM and abs(ay + t * dy - y) < _RIM:
                return True
        return False


def occluder(loops: Sequence[Sequence[Seen]], normal: tuple[float, float, float]) -> Occluder:
    """A polygon with holes; `normal` is (right, up, towards the eye), towards > 0."""
    edges = tuple(
        (a.x, a.y, b.x, b.y)
        for loop in loops
        for a, b in zip(loop, [*loop[1:], loop[0]], strict=True)
    )
    right, up, towards = normal
    at = loops[0][0]
    by_x, by_y = -right / towards, -up / towards
    return Occluder(
        edges=edges,
        box=Bounds.of(*(p.point for p in loops[0])),
        base=at.depth - by_x * at.x - by_y * at.y,
        by_x=by_x,
        by_y=by_y,
        nearest=max(p.depth for p in loops[0]),
    )


@dataclass(frozen=True, slots=True)
class Overlap:
    """A piece of an edge that lies over or under an occluder, and how deep behind it (mm)."""

    interval: Interval
    behind: float


def overlaps(a: Seen, b: Seen, front: Occluder) -> Iterator[Overlap]:
    """The pieces of the edge from `a` to `b` that lie within an occluder's outline on the sheet."""
    box = front.box
    # most edges lie wholly beside an occluder
    if (a.x < box.xmin and b.x < box.xmin) or (a.x > box.xmax and b.x > box.xmax):
        return
    if (a.y < box.ymin and b.y < box.ymin) or (a.y > box.ymax and b.y > box.ymax):
        return
    at_a, at_b = front.depth(a.x, a.y) - a.depth, front.depth(b.x, b.y) - b.depth
    cuts = {0.0, 1.0, *_crossings(a, b, front)}
    if (at_a > 0) != (at_b > 0) and at_a != at_b:
        cuts.add(at_a / (at_a - at_b))  # where it dives through the occluder's plane
    for first, last in pairwise(sorted(cuts)):
        middle = (first + last) / 2
        behind = at_a + (at_b - at_a) * middle
        if last - first < _SLIVER or abs(behind) <= DEPTH_TOLERANCE:
            continue
        if front.covers(a.x + (b.x - a.x) * middle, a.y + (b.y - a.y) * middle):
            yield Overlap((first, last), behind)


def _crossings(a: Seen, b: Seen, front: Occluder) -> Iterator[float]:
    """Shares of the edge at which it crosses the occluder's outline on the sheet."""
    dx, dy = b.x - a.x, b.y - a.y
    for px, py, qx, qy in front.edges:
        ex, ey = qx - px, qy - py
        cross = dx * ey - dy * ex
        if cross == 0:
            continue
        t = ((px - a.x) * ey - (py - a.y) * ex) / cross
        if 0 < t < 1:
            u = ((px - a.x) * dy - (py - a.y) * dx) / cross
            if -1e-9 <= u <= 1 + 1e-9:
                yield t


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
