"""What a nest has to solve: the parts in every turn worth trying, and the rooms to lay them in."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property

from platewright.geometry.contour import Outline
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Line, Segment
from platewright.nest.layout import NestPart, NestRules, NestSpot, Sheet, turns_of
from platewright.nest.nofit import NoFit, Room, Shape, Turned, shape_of, turn_motion
from platewright.values import dataclass

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
        """For each part its turns: (radians, index of the turned shape); like shapes once."""
        found: list[list[tuple[float, int]]] = [[] for _ in self.parts]
        for index, each in enumerate(self.no_fit.turned):
            found[each.kind].append((each.turn, index))
        return tuple(tuple(turns) for turns in found)

    @cached_property
    def shapes(self) -> tuple[Shape, ...]:
        """Every part in every turn."""
        return tuple(each.shape for each in self.no_fit.turned)

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
        """What all trials have in common."""
        smallest = min(part.piece.blank.area for part in self.parts)
        solids = [_solid(part, smallest, self.rules.gap) for part in self.parts]
        turned = [
            Turned(kind, turn, shape)
            for kind, (part, solid) in enumerate(zip(self.parts, solids, strict=True))
            for turn, shape in _distinct(solid, turns_of(part, self.rules))
        ]
        return NoFit(solids, turned, self.rules.gap)

    @cached_property
    def index(self) -> dict[tuple[int, float], int]:
        """The index of the turned shape by part and turn."""
        return {(part, turn): i for part, turns in enumerate(self.turned) for turn, i in turns}

    def burnt_box(self, spot: NestSpot) -> Bounds:
        """The box round what is burnt for a part where it lies."""
        shape = self.shapes[self.index[spot.part, spot.turn]]
        box, x, y = shape.box.grown(shape.burn), spot.shift.x, spot.shift.y
        return Bounds(box.xmin + x, box.ymin + y, box.xmax + x, box.ymax + y)

    def goes_on(self, part: int, sheet: int) -> bool:
        """Whether a part fits an empty sheet in any turn."""
        room = self.rooms[sheet]
        return any(not self.no_fit.inside(room, shape).is_empty for _, shape in self.turned[part])


def _is_square(turn: float) -> bool:
    return abs(math.remainder(turn, math.pi / 2)) < 1e-9


def _solid(part: NestPart, smallest: float, gap: float) -> Shape:
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
        also=[_round(piece) for lead in leads for piece in _drawn_back(lead, plan.widest / 2)],
        burn=plan.widest,
        gap=gap,
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
