"""A dimension: a length or an angle between two places of a bracket, described once.

What a person measures, types, prints, checks and reads back is one of these. Its places stand in
the frames of the bracket's panels, so it has a value at any amount of folding.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache
from typing import Any, Literal, TypeVar

from platewright.geometry.plane import Motion, Point
from platewright.geometry.segment import Line
from platewright.geometry.space import Point3, Vector3
from platewright.plate.bend import Face
from platewright.values import KeepsHash, dataclass

Level = Face | Literal["middle"]
"""Where in the thickness something is measured: on a face, or at the middle, where no tape is."""

Quantity = Literal["length", "angle"]
When = Literal["flat", "folded", "either"]
"""Whether a tape finds something on the flat blank, on the folded bracket, or on either."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A point of a panel that a tape can find, named in words.

    `face` is where it is measured, `when` before or after folding: an outside corner of a bend is
    not there before.
    """

    panel: str
    at: Point
    words: str
    face: Level = "top"
    when: When = "either"

    def mirrored(self, mirror: Motion) -> Spot:
        """The spot of the other hand."""
        return _other_hand(self, at=mirror.point(self.at))


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight line of a panel that a tape can be squared to: an edge, a bend's face.

    `face` and `when` as of a spot.
    """

    panel: str
    line: Line
    words: str
    face: Level = "top"
    when: When = "either"

    def mirrored(self, mirror: Motion) -> Straight:
        """The straight of the other hand."""
        return _other_hand(self, line=self.line.moved(mirror).reversed())


@dataclass(frozen=True, slots=True)
class PanelFace:
    """A whole face of a panel, which a square or a bevel is laid on."""

    panel: str
    words: str
    face: Level = "top"
    when: When = "either"

    def mirrored(self, _mirror: Motion) -> PanelFace:
        """The face of the other hand's panel."""
        return _other_hand(self)


@dataclass(frozen=True, slots=True)
class Touch:
    """Where a square's blade touches the folded part from outside: `out` of it, in its panel."""

    panel: str
    at: Point3
    out: Vector3
    words: str
    face: Level = "top"
    when: When = "folded"

    def mirrored(self, _mirror: Motion) -> Touch:
        """The touch on the other hand."""
        out = Vector3(-self.out.x, self.out.y, self.out.z)
        return _other_hand(self, at=Point3(-self.at.x, self.at.y, self.at.z), out=out)


@dataclass(frozen=True, slots=True)
class OnBlank:
    """A point, or with a line a line, of the flat blank alone, such as a bend's line.

    In the frame of the drawing that carries the blank; its letter stands at the point.
    """

    at: Point
    words: str
    line: Line | None = None
    panel: str = ""
    face: Level = "top"
    when: When = "flat"

    def mirrored(self, mirror: Motion) -> OnBlank:
        """The place on the blank of the other hand."""
        line = self.line and self.line.moved(mirror).reversed()
        return _other_hand(self, at=mirror.point(self.at), line=line)


Place = Spot | Straight | PanelFace | Touch | OnBlank
"""One end of a dimension."""

P = TypeVar("P", Spot, Straight, PanelFace, Touch, OnBlank)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension(KeepsHash):
    """What is measured from a place to another.

    A length runs from a spot to another, square to a straight, a panel's face or a blade's touch,
    or along a straight from end to end where both places are that straight. An angle is how far
    the metal turns between the faces of two panels, or between two straights of one panel. `what`
    says what its two places do not ("over all"). `key` is the dotted key of the file's number,
    `asked` that number (mm, or radians); "" and None for a dimension that no key gives. `when`
    tells whether a tape finds it on the flat blank, on the folded bracket (an outside corner of a
    bend is not there before), or either.
    """

    start: Place
    end: Place
    critical: bool = False
    key: str = ""
    asked: float | None = None
    quantity: Quantity = "length"
    what: str = ""

    @property
    def when(self) -> When:
        """Whether a tape finds both ends on the flat blank, on the folded bracket, or either."""
        return next((p.when for p in (self.start, self.end) if p.when != "either"), "either")

    @property
    def title(self) -> tuple[str, ...]:
        """What it is called, whatever it measures: another bracket of its kind has it too."""
        ends = (word for p in (self.start, self.end) for word in (p.panel, p.words, p.face))
        return self.key, self.what, *ends

    @property
    def square(self) -> bool:
        """Whether it runs square to its end, so that only its start is a place of its own."""
        return not isinstance(self.end, Spot)

    @property
    def end_to_end(self) -> bool:
        """Whether it is the length of one straight."""
        return self.quantity == "length" and self.start == self.end

    @property
    def over_all(self) -> bool:
        """Whether it is a size of the whole, between a line or a blade at either end."""
        return isinstance(self.end, Touch) or (isinstance(self.end, OnBlank) and bool(self.what))

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


#: Not in a key of the file, which is the same for both hands.
_HANDS = re.compile(r"(?<!\w\.)\b(left|right)\b(?!\.\w)")


@lru_cache(maxsize=1024)
def swapped_hand(words: str) -> str:
    """The words with "left" and "right" exchanged, but for keys such as "left.nose"."""
    return _HANDS.sub(lambda found: "right" if found[0] == "left" else "left", words)


def _other_hand(place: P, **moved: Any) -> P:
    """A place called as on the other hand, with what lies elsewhere there."""
    moved |= {"panel": swapped_hand(place.panel), "words": swapped_hand(place.words)}
    return replace(place, **moved)
