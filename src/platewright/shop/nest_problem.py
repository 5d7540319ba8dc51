"""What a nest has to solve: the parts in every turn worth trying, and the rooms to lay them in."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from platewright.geometry.contour import Outline
from platewright.geometry.packing import NoFit, Room, Shape, shape_of
from platewright.geometry.plane import Point
from platewright.geometry.segment import Arc, Line, Segment
from platewright.shop.nest_layout import NestPart, NestRules, Sheet, turn_motion, turns_of

#: Looks that differ by less are alike: digits of a mm.
_ALIKE = 6


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
    blank = part.piece.blank
    cut: list[Outline] = [c.path for c in part.torch.cuts if c.inside and c.path.area > smallest]
    leads = [segment for c in part.torch.cuts if c.lead for segment in c.lead.segments]
    half = part.torch.kerf / 2
    return shape_of(blank.outline, cut, also=[box for s in leads for box in _burnt(s, half)])


def _burnt(segment: Segment, half: float) -> Iterator[tuple[Point, ...]]:
    """Rectangles round what the torch burns along a lead, ends included."""
    steps = 8 if isinstance(segment, Arc) else 1
    for i in range(steps):
        chord = Line(segment.point_at(i / steps), segment.point_at((i + 1) / steps))
        # the bow of an arc's eighth is small beside the kerf's half that is added
        out = half + chord.length / 16 if isinstance(segment, Arc) else half
        ahead, side = chord.direction * max(out, 1e-3), chord.direction.left * max(out, 1e-3)
        a, b = chord.start + -ahead, chord.end + ahead
        yield a + -side, b + -side, b + side, a + side


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
