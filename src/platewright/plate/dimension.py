"""A dimension: a length or an angle between two places of a bracket, described once.

What a person measures, types, prints, checks and reads back is one of these. Its places stand in
the frames of the bracket's panels, so it has a value at any amount of folding.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Literal

from platewright.geometry.plane import Motion, Point
from platewright.geometry.segment import Line
from platewright.plate.bend import Face

Quantity = Literal["length", "angle"]


@dataclass(frozen=True, slots=True)
class Spot:
    """A point of a panel that a tape can find, named in words; `face` is where it is measured."""

    panel: str
    at: Point
    words: str
    face: Face = "top"

    def mirrored(self, mirror: Motion) -> Spot:
        """The spot of the other hand."""
        return Spot(
            swapped_hand(self.panel), mirror.point(self.at), swapped_hand(self.words), self.face
        )


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight line of a panel that a tape can be squared to: an edge, a bend's face."""

    panel: str
    line: Line
    words: str
    face: Face = "top"

    def mirrored(self, mirror: Motion) -> Straight:
        """The straight of the other hand."""
        line = self.line.moved(mirror).reversed()
        return Straight(swapped_hand(self.panel), line, swapped_hand(self.words), self.face)


@dataclass(frozen=True, slots=True)
class PanelFace:
    """A whole face of a panel, which a square or a bevel is laid on."""

    panel: str
    words: str
    face: Face = "top"

    def mirrored(self, _mirror: Motion) -> PanelFace:
        """The face of the other hand's panel."""
        return PanelFace(swapped_hand(self.panel), swapped_hand(self.words), self.face)


Place = Spot | Straight | PanelFace
"""One end of a dimension."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension:
    """What is measured from a place to another.

    A length runs from a spot to another, square to a straight, or square to a panel's face. An
    angle is how far the metal turns between the faces of two panels, or between two straights of
    one panel. `key` is the dotted key of the file's number, `asked` that number (mm, or radians);
    "" and None for a dimension that no key gives. `when` tells whether a tape finds it on the flat
    blank, on the folded bracket (an outside corner of a bend is not there before), or either.
    """

    start: Place
    end: Place
    critical: bool = False
    when: Literal["flat", "folded", "either"] = "either"
    key: str = ""
    asked: float | None = None
    quantity: Quantity = "length"

    @property
    def square(self) -> bool:
        """Whether it runs square to its end, so that only its start is a place of its own."""
        return not isinstance(self.end, Spot)

    def mirrored(self, mirror: Motion) -> Dimension:
        """The dimension of the other hand."""
        return replace(self, start=self.start.mirrored(mirror), end=self.end.mirrored(mirror))


@dataclass(frozen=True, slots=True, kw_only=True)
class Tag:
    """What the file tells of one place and no tape measures: a size, a count, a choice."""

    key: str
    panel: str
    at: Point

    def mirrored(self, mirror: Motion) -> Tag:
        """The tag of the other hand."""
        return Tag(key=self.key, panel=swapped_hand(self.panel), at=mirror.point(self.at))


_HANDS = re.compile(r"\b(left|right)\b")


def swapped_hand(words: str) -> str:
    """The words with "left" and "right" exchanged."""
    return _HANDS.sub(lambda found: "right" if found[0] == "left" else "left", words)
