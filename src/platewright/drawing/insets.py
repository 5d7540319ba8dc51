"""Insets: small pale panels set where the pattern leaves room.

An inset can be drawn in several widths; each is set on the first page that has a free place for
one of them. What finds no place is handed back.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from typing import Any

from platewright.drawing.flow import Strip, gap, heading, height_of, stacked
from platewright.drawing.free_space import Box, Covered, FreeSpace, Size
from platewright.drawing.items import Fill, Group, Item, rectangle
from platewright.geometry.plane import ORIGIN, Bounds, Motion, Point, Vector
from platewright.values import dataclass

WIDTHS = (84.0, 66.0, 54.0, 110.0, 150.0)
"""Widths that an inset of words may take, the best first, mm."""

PAD = 2.0
"""Kept round what stands in an inset, mm."""

_CLEAR = 2.0  # kept free round an inset, mm
_STEP = 9.0
_FIRST = 32  # places looked at together
_GREY = 0.93
_TITLE = 2.4


@dataclass(frozen=True, slots=True, kw_only=True)
class Inset:
    """Running matter under a title, to be set in any of several widths, the best first, mm."""

    title: str
    strips: Callable[[float], Iterable[Strip]]
    widths: tuple[float, ...] = WIDTHS

    def drawn(self, width: float) -> Strip:
        """The inset `width` mm wide, on a pale ground: a frame might be taken for a cut."""
        height = self.height_at(width)
        ground = _ground(ORIGIN, width, height)
        return Strip(height=height, items=(ground, *stacked(_set(self, width), Point(PAD, -PAD))))

    def height_at(self, width: float) -> float:
        """Its height `width` mm wide."""
        return height_of(_set(self, width)) + 2 * PAD


@lru_cache(maxsize=128)
def _set(inset: Inset, width: float) -> tuple[Strip, ...]:
    """Its title and matter in that width: tried in many places before it is drawn in one."""
    inner = width - 2 * PAD
    return (*heading(inset.title, inner, _TITLE)[1:], *inset.strips(inner))


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidInsets:
    """Insets in their places, each in a width and from an upper left corner; those without one."""

    placed: tuple[tuple[Inset, float, Point], ...]
    left_over: tuple[Inset, ...]

    @property
    def items(self) -> tuple[Group, ...]:
        """The insets drawn, each on its ground: not before it is known that they stand so."""
        return tuple(
            Group(Motion.translation(Vector(corner.x, corner.y)), inset.drawn(width).items)
            for inset, width, corner in self.placed
        )

    @property
    def grounds(self) -> tuple[Fill, ...]:
        """The ground of each, on which all of it lies."""
        return tuple(
            _ground(corner, width, inset.height_at(width)) for inset, width, corner in self.placed
        )


def _ground(corner: Point, width: float, height: float) -> Fill:
    box = Bounds(corner.x, corner.y - height, corner.x + width, corner.y)
    return Fill((rectangle(box),), _GREY)


def lay_insets(
    insets: Sequence[Inset],
    free: FreeSpace,
    rooms: Sequence[Bounds],
    part: Covered | None = None,
    needed: int = 0,
) -> LaidInsets:
    """Each inset in the first room that takes it in one of its widths, beside the `part` first.

    Where one of the first `needed` finds no place, none is laid.
    """
    free = FreeSpace(free.ink, free.taken)
    placed: list[tuple[Inset, float, Point]] = []
    left: list[Inset] = []
    for number, inset in enumerate(insets):
        found = _place(inset, free, rooms, part)
        if found is None and number < needed:
            return LaidInsets(placed=(), left_over=tuple(insets))
        if found is None:
            left.append(inset)
            continue
        width, box = found
        placed.append((inset, width, Point(box.xmin, box.ymax)))
        free = free.less([Box.upright(box.grown(_CLEAR))])
    return LaidInsets(placed=tuple(placed), left_over=tuple(left))


def stacked_insets(insets: Sequence[Inset], corner: Point) -> tuple[Item, ...]:
    """The insets in their first widths, one under another from an upper left corner."""
    strips = (each for inset in insets for each in (inset.drawn(inset.widths[0]), gap(_CLEAR)))
    return stacked(strips, corner)


def _place(
    inset: Inset, free: FreeSpace, rooms: Sequence[Bounds], part: Covered | None
) -> tuple[float, Bounds] | None:
    """The width and the box of an inset, in the part only where no room has a place beside it."""
    import numpy as np

    in_part: tuple[float, Bounds] | None = None
    # often the first width finds a place in the first room; else all widths are asked at once
    best, others = inset.widths[:1], inset.widths[1:]
    tries = [(room, widths) for room in rooms[:1] for widths in (best, others) if widths]
    for room, widths in (*tries, *((room, inset.widths) for room in rooms[1:])):
        sizes = [(each, inset.height_at(each)) for each in widths]
        x, y, width, height, size, far = _spots(sizes, room)
        empty = free.open(x, y, width + 2 * _CLEAR, height + 2 * _CLEAR)
        # of the first size those near the corners first
        empty = empty[np.lexsort((far[empty], size[empty]))]
        for some in (empty[begin : begin + _FIRST] for begin in range(0, len(empty), _FIRST)):
            beside = some[~part.contains_each(x[some], y[some])] if part else some
            first = (beside if len(beside) else some)[0]
            middle, wide = Point(float(x[first]), float(y[first])), float(width[first])
            found = wide, Box(middle, wide / 2, float(height[first]) / 2).bounds
            if len(beside):
                return found
            in_part = in_part or found
    return in_part


def _spots(sizes: Sequence[Size], room: Bounds) -> Any:
    """Where panels may stand in a room: columns of x, y, width and height.

    Then which of the sizes that is, and how far it lies from the room's nearest corner.
    """
    import numpy as np

    found = [np.empty((6, 0))]
    for number, (width, height) in enumerate(sizes):
        across, up = room.width - width, room.height - height
        if across < 0 or up < 0:
            continue
        x, y = _steps(across)[:, None], _steps(up)
        spots = np.empty((6, len(x), len(y)))
        spots[0], spots[1] = room.xmin + width / 2 + x, room.ymin + height / 2 + y
        spots[2], spots[3], spots[4] = width, height, number
        spots[5] = np.hypot(np.minimum(x, across - x), np.minimum(y, up - y))
        found.append(spots.reshape(6, -1))
    return np.concatenate(found, axis=1)


def _steps(length: float) -> Any:
    import numpy as np

    count = max(1, round(length / _STEP))
    return length * np.arange(count + 1) / count
