"""What a bracket kind is."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from platewright.plate.bend import BendWay
from platewright.plate.bracket import Bracket
from platewright.plate.stock import Stock

if TYPE_CHECKING:
    from platewright.kinds.shown import InPlace, Shown
    from platewright.suspension.mounting import OnTravel


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A bracket kind: its name in files, a sentence, its declared measurements, its builder.

    `measurements` is a frozen dataclass with declared fields (see `measure`). `build` turns its
    values, the stock and the way of bending into a bracket, and raises BuildError for measurements
    that make no bracket together. `shown` tells where the measurements show on the flat bracket,
    for the picture of the measuring form; a kind may leave it out. `in_place` draws the folded
    bracket where it will stand, for measurements that the flat one does not show. `on_travel`
    tells the suspension that the measurements say they belong to; only a kind that carries a
    spring has one.
    """

    name: str
    summary: str
    measurements: type
    build: Callable[[Any, Stock, BendWay], Bracket]
    shown: Callable[[Any, Bracket], Iterable[Shown]] = lambda _, __: ()
    in_place: Callable[[Any, Bracket], InPlace | None] = lambda _, __: None
    on_travel: Callable[[Any], OnTravel | None] = lambda _: None
