"""What a bracket kind is."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from platewright.errors import BuildError, FlattenError, GeometryError
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.segment import Line
from platewright.plate.bend import BendWay
from platewright.plate.bracket import Bracket
from platewright.plate.dimension import Dimension, Tag
from platewright.plate.flatten import Drawn, flatten
from platewright.plate.stock import Stock
from platewright.values import dataclass

if TYPE_CHECKING:
    from platewright.suspension.mounting import OnTravel

IN_PLACE = ""
"""The panel's name of what is measured on a picture of the bracket in its place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InPlace:
    """The folded bracket seen from its end, in its place, with the measurements that tell of it.

    All in one plane frame, mm: the bracket's section, what it carries, the face that it is fixed
    to (metal on the left of the way, what carries it on the right), its centre lines. The panel of
    what is measured is `IN_PLACE`.
    """

    section: Contour
    carried: Circle
    face: Line
    centres: tuple[Line, ...]
    dimensions: tuple[Dimension, ...]
    tags: tuple[Tag, ...]


@dataclass(frozen=True, slots=True)
class Kind:
    """A bracket kind: its name in files, a sentence, its measurements, how it is drawn.

    `measurements` is a frozen dataclass with declared fields (see `measure`). `draw` turns its
    values into panels as a tape finds them on the finished part, and raises BuildError for
    measurements that make no bracket together. `dimensions` tells what is measured on the bracket
    that they made: every length and angle of the file with its key, and a tag for what else the
    file tells of a place. `in_place` draws the folded bracket where it will stand, for measurements
    that the flat one does not show. `on_travel` tells the suspension that the measurements say
    they belong to; only a kind that carries a spring has one.
    """

    name: str
    summary: str
    measurements: type
    draw: Callable[[Any, Stock, BendWay], Drawn]
    dimensions: Callable[[Any, Bracket], Iterable[Dimension | Tag]]
    in_place: Callable[[Any, Bracket], InPlace | None] = lambda _, __: None
    on_travel: Callable[[Any], OnTravel | None] = lambda _: None

    def build(self, measurements: Any, stock: Stock, way: BendWay) -> Bracket:
        """The bracket of a kind's measurements.

        Raises BuildError with the keys that disagree.
        """
        drawn = self.draw(measurements, stock, way)
        try:
            root = drawn.shaped(flatten(drawn, stock))
        except FlattenError as error:
            raise BuildError(str(error), *drawn.keys_of(error)) from None
        except GeometryError as error:
            raise BuildError(str(error)) from None
        for panel in root.walk():
            for hole in panel.holes if (panel.name, "holes") in drawn.keys else ():
                panel.require_inside(hole, *drawn.keys[panel.name, "holes"])
        bracket = Bracket(
            stock=stock, root=root, wall=drawn.wall, body=drawn.body, notes=drawn.notes
        )
        listed = tuple(self.dimensions(measurements, bracket))
        return replace(
            bracket,
            dimensions=tuple(each for each in listed if isinstance(each, Dimension)),
            tags=tuple(each for each in listed if isinstance(each, Tag)),
        )
