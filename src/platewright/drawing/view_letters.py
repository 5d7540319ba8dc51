"""Letters at places of a folded bracket, in its picture.

A place that the metal hides has a ring and a dashed line to its letter. A sharp corner in the air
has thin lines to it from the faces that would meet there, as drawings do (ISO 129-1 habit).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from platewright.drawing.bubbles import letter_bubbles
from platewright.drawing.items import Item, Stroke
from platewright.drawing.style import NARROW, LineStyle
from platewright.drawing.taken import Taken
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Line
from platewright.geometry.space import Point3
from platewright.plate.folded import Folded
from platewright.plate.sharp import sharp_corner

_EXTENSION = LineStyle("extension", NARROW / 2)
_BEYOND = 1.2  # how far an extension line runs past its corner, mm


@dataclass(frozen=True, slots=True)
class Place:
    """A place on a bracket, in space, the letter that names it, and whether the metal hides it."""

    letter: str
    at: Point3
    hidden: bool = False


OnSheet = Callable[[Point3], Point]
"""Where a place in space lies on the sheet."""


def place_letters(
    places: Sequence[Place], on_sheet: OnSheet, ink: Sequence[Item], box: Bounds
) -> tuple[Item, ...]:
    """The letters, clear of the ink and of each other, in the box; the hidden ones last."""
    taken = Taken.by(ink)
    items: list[Item] = []
    for hidden in (False, True):
        spots = [(each.letter, on_sheet(each.at)) for each in places if each.hidden == hidden]
        if spots:
            lettering = letter_bubbles(spots, taken, box, hidden=hidden)
            items.extend(lettering.items)
            taken = lettering.taken
    return tuple(items)


def extensions(places: Sequence[Place], model: Folded, on_sheet: OnSheet) -> Iterator[Stroke]:
    """Thin lines from the faces beside a bend to the sharp corners that are places."""
    for place in places:
        for end in sharp_corner(model, place.at) or ():
            start, corner = on_sheet(end), on_sheet(place.at)
            if start.distance(corner) > _BEYOND:
                yield Stroke(Line(start, corner + (corner - start).unit() * _BEYOND), _EXTENSION)
