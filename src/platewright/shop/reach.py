"""What a round tool can make of a shape: corners it rounds, places it cannot get into.

A torch that runs outside a shape, its cut a disc of some radius, leaves inside corners filled and
cannot enter slots narrower than the disc (the shape's closing). A guide that is cut small and run
round gives back rounded outside corners and loses what is narrower than twice its inset (the
shape's opening). Both are two exact offsets, and so is every place told here.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Literal

from platewright.geometry.contour import Contour
from platewright.geometry.difference import Difference, differences
from platewright.geometry.offset import Region
from platewright.geometry.plane import Motion, Point
from platewright.geometry.segment import Arc, Segment
from platewright.units import Unit, format_length
from platewright.values import dataclass

MissKind = Literal[
    "rounded corner", "lost tip", "lost neck", "lost piece", "filled corner", "filled notch"
]

#: Places less deep than this are not told, mm: no torch is as true.
LEAST_DEPTH = 0.05

#: Directions this near to each other are one, radians.
_STRAIGHT = 0.01

#: Between curved sides a corner lies a little deeper than between straight ones.
_FAR = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Missed:
    """A place where the tool makes something else than the shape.

    `outline` bounds the metal that is lost or left standing; `at` is the place of it farthest from
    what the tool makes, `depth` mm away; `radius` is the tool's, mm.
    """

    kind: MissKind
    outline: Contour
    at: Point
    radius: float
    depth: float

    def moved(self, motion: Motion) -> Missed:
        """The place after a motion."""
        return replace(self, outline=self.outline.moved(motion), at=motion.point(self.at))


def metal_lost(
    shape: Sequence[Region], made: Sequence[Region], radius: float
) -> tuple[Missed, ...]:
    """What the shape has beyond what a tool of that radius, mm, makes of it, from inside it."""
    return tuple(_missed(differences(shape, made), radius, outside=True))


def metal_left(
    shape: Sequence[Region], made: Sequence[Region], radius: float
) -> tuple[Missed, ...]:
    """What a tool of that radius, mm, that stays outside the shape leaves beyond it."""
    return tuple(_missed(differences(made, shape), radius, outside=False))


def _missed(found: Sequence[Difference], radius: float, *, outside: bool) -> Iterator[Missed]:
    for piece in found:
        shape, tool = piece.outer_segments, piece.inner_segments
        if not outside:
            shape, tool = tool, shape
        at, depth = _deepest(piece, shape, tool)
        if depth >= LEAST_DEPTH:
            runs = _runs(piece, of_outer=not outside)
            kind = _kind(piece, runs, depth, outside=outside)
            yield Missed(kind=kind, outline=piece.outline, at=at, radius=radius, depth=depth)


def _deepest(
    piece: Difference, shape: Sequence[Segment], tool: Sequence[Segment]
) -> tuple[Point, float]:
    """The joint or middle of the shape farthest from the tool's cut, and how far."""
    if not tool:
        box = piece.outline.bounds
        return box.centre, min(box.width, box.height) / 2
    places = [p for segment in shape for p in (segment.start, segment.point_at(0.5))]
    at = max(places, key=lambda p: _distance(tool, p))
    return at, _distance(tool, at)


def _distance(segments: Sequence[Segment], p: Point) -> float:
    return min(segment.distance(p) for segment in segments)


def _runs(piece: Difference, *, of_outer: bool) -> list[tuple[int, int]]:
    """First and last index of every stretch without a break that is the tool's."""
    whose, count = piece.of_outer, len(piece.of_outer)
    starts = [i for i in range(count) if whose[i] == of_outer and whose[i - 1] != of_outer]
    runs = []
    for start in starts:
        length = next(k for k in range(1, count + 1) if whose[(start + k) % count] != of_outer)
        runs.append((start, (start + length - 1) % count))
    return runs


def _kind(
    piece: Difference, runs: Sequence[tuple[int, int]], depth: float, *, outside: bool
) -> MissKind:
    """A corner that the tool's cut takes in one smooth bow; else something too narrow."""
    if len(runs) == 1 and _is_corner(piece.outline.segments, *runs[0], depth):
        return "rounded corner" if outside else "filled corner"
    if not outside:
        return "filled notch"
    if not runs:
        return "lost piece"
    return "lost tip" if len(runs) == 1 else "lost neck"


def _is_corner(segments: Sequence[Segment], first: int, last: int, depth: float) -> bool:
    """Whether the tool's stretch is one arc that leaves and meets the shape smoothly.

    The travel round the place then turns right back at the arc's ends. Behind an arc of sweep s a
    corner lies r / cos(s / 2) - r deep; what is far deeper is a slot with a rounded mouth.
    """
    bow = segments[first]
    if first != last or not isinstance(bow, Arc) or abs(bow.sweep) >= math.pi:
        return False
    before, after = segments[first - 1], segments[(last + 1) % len(segments)]
    smooth = min(abs(_turn(before, bow)), abs(_turn(bow, after))) > math.pi - _STRAIGHT
    return smooth and depth < _FAR * bow.radius * (1 / math.cos(bow.sweep / 2) - 1)


def _turn(before: Segment, after: Segment) -> float:
    a, b = before.end_direction, after.start_direction
    return math.atan2(a.cross(b), a.dot(b))


_WORDS: dict[MissKind, str] = {
    "rounded corner": "corner rounded to a radius of {radius}, {depth} short",
    "lost tip": "too narrow for the guide: {depth} of it is lost",
    "lost neck": "too narrow for the guide: the neck is cut through",
    "lost piece": "too narrow for the guide: lost altogether",
    "filled corner": "inside corner left with a radius of {radius}",
    "filled notch": "narrower than the kerf: {depth} deep left standing",
}


def miss_words(missed: Missed, unit: Unit) -> str:
    """What happens at a place, in words."""
    radius, depth = format_length(missed.radius, unit), format_length(missed.depth, unit)
    return _WORDS[missed.kind].format(radius=radius, depth=depth)
