"""What a nest has to solve: the parts in every turn worth trying, and the rooms to lay them in."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from platewright.geometry.contour import Outline
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line, Segment
from platewright.nest.layout import NestPart, NestRules, Sheet, turn_motion, turns_of
from platewright.nest.nofit import NoFit, Room, Shape, shape_of

#: Looks that differ by less are alike: digits of a mm.
_ALIKE = 6

#: Half the width of the rectangle that stands for a straight lead, mm.
_HALF = 1e-3


@dataclass(frozen=True)
class Problem:
    """The parts, each in every turn that is worth trying, and the rooms to lay them in."""

    parts: Sequence[NestPart]
    sheets: Sequence[Sheet]
    rules: NestRules

    def turns(self, part: int, *, square: bool) -> tuple[tuple[float, int], ...]:
        """The turns of a part; only those a quarter turn from the first, or all."""
        return self._square[part] if square else self.turned[part]

    @cached_property
    def _square(self) -> tuple[tuple[tuple[float, int], ...], ...]:
        return tuple(
            tuple(each for each in turns if _is_square(each[0] - turns[0][0]))
            for turns in self.turned
        )

    @cached_property
    def turned(self) -> tuple[tuple[tuple[float, int], ...], ...]:
        """For each part its turns: (radians, index of the shape); like shapes once."""
        found: list[tuple[tuple[float, int], ...]] = []
        count = 0
        for part in self._turned_shapes:
            found.append(tuple((turn, count + i) for i, (turn, _) in enumerate(part)))
            count += len(part)
        return tuple(found)

    @cached_property
    def _turned_shapes(self) -> tuple[tuple[tuple[float, Shape], ...], ...]:
        smallest = min(part.piece.blank.area for part in self.parts)
        return tuple(
            tuple(_distinct(_solid(part, smallest), turns_of(part, self.rules)))
            for part in self.parts
        )

    @cached_property
    def shapes(self) -> tuple[Shape, ...]:
        """Every part in every turn."""
        return tuple(shape for part in self._turned_shapes for _, shape in part)

    @cached_property
    def rooms(self) -> tuple[Room, ...]:
        """The room of each sheet."""
        return tuple(
            Room(
                sheet.outline.corners,
                tuple(void.corners for void in sheet.voids),
                self.rules.margin,
            )
            for sheet in self.sheets
        )

    @cached_property
    def no_fit(self) -> NoFit:
        """What the trials have in common."""
        return NoFit(self.shapes, self.rules.gap)

    def goes_on(self, part: int, sheet: int) -> bool:
        """Whether a part fits an empty sheet in any turn."""
        room = self.rooms[sheet]
        return any(not self.no_fit.inside(room, shape).is_empty for _, shape in self.turned[part])


def _is_square(turn: float) -> bool:
    return abs(math.remainder(turn, math.pi / 2)) < 1e-9


def _solid(part: NestPart, smallest: float) -> Shape:
    """The metal of a part and the leads of its torch; holes too small for any part are filled."""
    blank, plan = part.piece.blank, part.torch
    voids: list[Outline] = [hole.circle for hole in blank.cut_holes if hole not in plan.punched]
    voids += [cutout.contour for cutout in blank.cutouts]
    kept = [void for void in voids if void.area > smallest]
    leads = [
        cut.lead.segments
        for cut in plan.cuts
        if cut.lead and (not cut.inside or cut.path.area > smallest)
    ]
    return shape_of(
        blank.outline,
        kept,
        also=[_round(piece) for lead in leads for piece in _drawn_back(lead, plan.kerf / 2)],
        burn=plan.kerf,
    )


def _drawn_back(lead: Sequence[Segment], by: float) -> Sequence[Segment]:
    """A lead without its first `by` mm: it burns half as wide as is kept free round a part."""
    first, *rest = lead
    return [*([first.part(by / first.length, 1)] if first.length > by else []), *rest]


def _round(segment: Segment) -> tuple[Point, ...]:
    """A rectangle round a segment of at most half a turn."""
    chord = Line(segment.start, segment.end)
    ahead, side = chord.direction, chord.direction.left
    bow = (segment.point_at(0.5) - chord.point_at(0.5)).dot(side)
    reach = max((segment.point_at(i / 8) - chord.start).dot(ahead) for i in range(9))
    back = min((segment.point_at(i / 8) - chord.start).dot(ahead) for i in range(9))
    low, high = min(0.0, bow) - _HALF, max(0.0, bow) + _HALF
    begin, end = chord.start + ahead * (back - _HALF), chord.start + ahead * (reach + _HALF)
    return begin + side * low, end + side * low, end + side * high, begin + side * high


def _distinct(shape: Shape, turns: Iterable[float]) -> Iterator[tuple[float, Shape]]:
    """The shape in its turns, those left out that look like one before."""
    seen = set()
    for turn in turns:
        turned = shape.turned(turn_motion(turn))
        low = (turned.box.xmin, turned.box.ymin)
        look = frozenset(
            (round(x - low[0], _ALIKE), round(y - low[1], _ALIKE))
            for ring in turned.pieces
            for x, y in ring
        )
        if look not in seen:
            seen.add(look)
            yield turn, turned
