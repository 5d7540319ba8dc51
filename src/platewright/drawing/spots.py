"""Spots that words would like: along lines, round circles, beside holes, in panels.

Every function gives the spots of words in some sizes, the best first; `FreeSpace.best` takes the
cheapest that is free.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache
from itertools import chain
from typing import Any

from platewright.drawing.dimensions import readable
from platewright.drawing.free_space import Sizes, SpotRow, leaders_round
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.meeting import Rectangles
from platewright.geometry.plane import Bounds, Point, Vector
from platewright.geometry.segment import Arc, Line

_GAP = 1.0  # between a line and words along it, mm
_FARTHER = (0.0, 2.5, 5.0, 8.0, 12.0)
_FRACTIONS = (0.5, 0.4, 0.6, 0.32, 0.68, 0.25, 0.75, 0.18, 0.82, 0.12, 0.88)
_TURNS = 24
_RINGS = (6.0, 9.0, 13.0, 18.0, 25.0, 34.0, 45.0)
_DIRECTIONS = 16
_SHOULDER = 1.6  # from a leader's end to its words, mm
_GRID = 5.0
_NEAR = 64  # places of a grid
_ROUND = ((1, 1), (-1, 1), (1, -1), (-1, -1), (1, 0), (-1, 0), (0, 1), (0, -1))

Spots = Callable[[Sizes], Iterator[SpotRow]]
"""The spots that words of some sizes would like, row after row, the best first."""


def along(line: Line, gap: float = _GAP, farther: tuple[float, ...] = _FARTHER) -> Spots:
    """Reading along a line, on either side of it, from its middle outwards; else on a leader.

    The words keep `gap` mm off the line, or are `farther` off by one of these, mm.
    """
    angle = readable(line.direction.angle)
    up = Vector.polar(angle).left
    places = [(line.point_at(share), up, angle) for share in _FRACTIONS]

    def beside_it(sizes: Sizes) -> Iterator[SpotRow]:
        import numpy as np

        reach = gap + sizes[:, 1:] / 2 + np.array(farther)
        yield _off(places, np.stack((reach, -reach), axis=-1))

    return either(beside_it, led(*(line.point_at(share) for share in (0.5, 0.25, 0.75))))


def round_circle(circle: Circle) -> Spots:
    """Reading along a tangent of a circle, from its upper right; else on a leader from there."""
    steps = ((index + 1) // 2 * (1 if index % 2 else -1) for index in range(_TURNS))
    ways = [Vector.polar(math.pi / 3 + step * math.tau / _TURNS) for step in steps]
    places = [(circle.centre, out, readable(out.left.angle)) for out in ways]

    def along_it(sizes: Sizes) -> Iterator[SpotRow]:
        import numpy as np

        width, height = sizes.T
        outside = circle.radius + _GAP + height / 2
        inside = circle.radius - _GAP - _sagitta(circle.radius, width) - height / 2
        # words that do not fit in the circle stand outside twice
        inside = np.where(inside > 0, inside, outside)
        yield _off(places, np.stack((outside, inside), axis=-1)[:, None])

    corners = (math.pi / 4, 3 * math.pi / 4, -math.pi / 4, -3 * math.pi / 4)
    rim = (circle.centre + Vector.polar(turn, circle.radius) for turn in corners)
    return either(along_it, led(*rim))


def round_arc(arc: Arc) -> Spots:
    """Reading along an arc, on either side of it, from its middle outwards."""
    places = []
    for fraction in _FRACTIONS:
        ahead = arc.direction_at(fraction)
        out = ahead.right if arc.sweep > 0 else ahead.left
        places.append((arc.point_at(fraction), out, readable(ahead.angle)))

    def along_it(sizes: Sizes) -> Iterator[SpotRow]:
        import numpy as np

        width, height = sizes.T
        reach = _GAP + height / 2
        inside = reach + _sagitta(arc.radius, width)
        yield _off(places, np.stack((reach, -inside), axis=-1)[:, None])

    return along_it


def _off(places: Iterable[tuple[Point, Vector, float]], reach: Any) -> SpotRow:
    """Spots off some places: the way out of each, and the angle at which words read there.

    `reach` tells how far, mm: for each size rows of reaches, of which the first of all places
    comes before the next of any.
    """
    import numpy as np

    figures = [(at.x, at.y, out.x, out.y, angle) for at, out, angle in places]
    x, y, out_x, out_y, angle = np.array(figures).T[..., None]
    reach = reach[:, :, None]  # size, row, place, reach
    shape = reach.shape[0], -1
    angles = np.broadcast_to(angle, np.broadcast_shapes(angle.shape, reach.shape[1:])).ravel()
    x, y = (x + out_x * reach).reshape(shape), (y + out_y * reach).reshape(shape)
    return SpotRow(x=x, y=y, angle=angles)


def _sagitta(radius: float, chord: Any) -> Any:
    half = (chord / 2).clip(max=radius)
    return radius - (radius**2 - half**2) ** 0.5


def beside(at: Point, clear: float, arms: float) -> Spots:
    """Level words beside a hole, else on a leader.

    The hole's circle reaches `clear` mm from its centre, its centre lines `arms` mm.
    """

    def close(sizes: Sizes) -> Iterator[SpotRow]:
        """At the four corners, then right and left, above and below."""
        import numpy as np

        right, up = np.array(_ROUND).T
        gap = np.where(right * up, (clear + _GAP) * math.sqrt(0.5), arms + _GAP)
        x = at.x + right * (gap + sizes[:, :1] / 2)
        y = at.y + up * (gap + sizes[:, 1:] / 2)
        yield SpotRow(x=x, y=y, along=np.array(("middle", "left", "right"))[right])

    return either(close, led(at, clear=clear))


def led(*at: Point, clear: float = 0.0) -> Spots:
    """Level words on leaders all round some points, the shorter leaders first."""

    def spots(sizes: Sizes) -> Iterator[SpotRow]:
        import numpy as np

        ends, leaders, costs, sides, aside, point = _led(clear, len(at))
        by = np.array([(p.x, p.y, p.x, p.y) for p in at]).take(point, axis=0)
        ends = ends + by
        yield SpotRow(
            x=ends[:, 2] + aside * (sizes[:, :1] / 2 + _SHOULDER),
            y=ends[:, 3],
            along=sides,
            ends=ends,
            leaders=leaders.shifted(by[:, 0], by[:, 1]),
            demerit=costs,
        )

    return spots


@lru_cache(maxsize=16)
def _led(clear: float, count: int) -> tuple[Any, Rectangles, Any, Any, Any, Any]:
    """Leaders round some points: ends, what they take and cost, words' sides, which point's."""
    import numpy as np

    ends, leaders, costs = leaders_round(_RINGS, _DIRECTIONS, clear)
    shape = (len(_RINGS), count, _DIRECTIONS)
    each = np.broadcast_to(np.arange(len(ends)).reshape(len(_RINGS), 1, -1), shape).ravel()
    point = np.broadcast_to(np.arange(count)[:, None], shape).ravel()
    right = (ends[:, 2] > ends[:, 0])[each]
    sides, aside = np.where(right, "left", "right"), np.where(right, 1.0, -1.0)
    return ends[each], leaders[each], costs[each], sides, aside, point


def inside(contour: Contour, angle: float) -> Spots:
    """In a panel, reading at `angle`, from its middle outwards."""

    def spots(_sizes: Sizes) -> Iterator[SpotRow]:
        """Of a grid over the panel's box what lies in the panel."""
        import numpy as np

        box, ring = contour.bounds, contour.flatten(1.0)
        middle_x = math.fsum(p.x for p in ring) / len(ring)
        middle_y = math.fsum(p.y for p in ring) / len(ring)
        # very large panels get a coarser grid: a few hundred spots are plenty
        step = max(_GRID, math.sqrt(box.width * box.height / 600))
        columns, rows = int(box.width / step), int(box.height / step)
        x = np.tile(box.centre.x + (np.arange(columns + 1) - columns / 2) * step, rows + 1)
        y = np.repeat(box.centre.y + (np.arange(rows + 1) - rows / 2) * step, columns + 1)
        order = np.hypot(x - middle_x, y - middle_y).argsort(kind="stable")
        for some in (order[:_NEAR], order[_NEAR:]):  # mostly there is room near the middle
            within = some[contour.contains_each(x[some], y[some])]
            yield SpotRow(x=x[within], y=y[within], angle=angle)

    return spots


def below_or_above(box: Bounds, gap: float) -> Spots:
    """Level words outside a box, under it or over it."""

    def spots(sizes: Sizes) -> Iterator[SpotRow]:
        import numpy as np

        reach = box.height / 2 + gap + np.array(_FARTHER) + sizes[:, 1:] / 2
        y = box.centre.y + np.stack((-reach, reach), axis=-1).reshape(len(sizes), -1)
        yield SpotRow(x=np.full(2 * len(_FARTHER), box.centre.x), y=y)

    return spots


def either(*wishes: Spots) -> Spots:
    """The spots of several wishes, one after another."""
    return lambda sizes: chain.from_iterable(spots(sizes) for spots in wishes)
