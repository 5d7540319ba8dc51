"""What a bracket kind is, and the kinds there are: every module here that holds a `KIND`."""

from __future__ import annotations

import pkgutil
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from importlib import import_module
from typing import TYPE_CHECKING, Any

from platewright import kinds
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


# --- the kinds there are ----------------------------------------------------------------------


@cache
def catalogue() -> dict[str, Kind]:
    """Every kind by its name, in the order of the modules' names."""
    found = (_kind_in(module) for module in _modules())
    return {kind.name: kind for kind in found if kind is not None}


@cache
def _modules() -> tuple[str, ...]:
    names = sorted(module.name for module in pkgutil.iter_modules(kinds.__path__))
    return tuple(name for name in names if name != "kind")


def _kind_in(module: str) -> Kind | None:
    return getattr(import_module(f"{kinds.__name__}.{module}"), "KIND", None)


class KindsOnDemand(Mapping[str, Kind]):
    """The catalogue, of which only the modules of the kinds that are asked for are loaded.

    A kind's module is called as the kind is; asking for a name that is none loads them all.
    """

    def __getitem__(self, name: str) -> Kind:
        kind = _kind_in(name) if name in _modules() else None
        return kind if kind is not None and kind.name == name else catalogue()[name]

    def __iter__(self) -> Iterator[str]:
        return iter(catalogue())

    def __len__(self) -> int:
        return len(catalogue())
