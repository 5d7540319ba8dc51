"""A strip of plate with any row of bends: the ground of channels, zees, hats, straps and steps.

The strip runs along x, its width along y, with the top face up. One leg is the root; the legs to
its right and to its left hang from it, each from the end of the one before. Every leg has the
edges "front side", "back side", "base" (at the bend that holds it) and "end"; the root has "left
end" and "right end".
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from platewright.geometry.plane import Point
from platewright.kinds.folds import Fold, bent_on
from platewright.kinds.holes import BoltRow, HoleRow, row_listed, with_row
from platewright.kinds.kind import Kind
from platewright.kinds.outlines import rectangular_panel
from platewright.kinds.places import across, bend_listed, derived, edge, length, middle
from platewright.plate.bend import BendWay
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.dimension import Dimension, Tag, swapped_hand
from platewright.plate.flatten import Drawn
from platewright.plate.stock import Stock
from platewright.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """One leg: its name, its measured length in mm, the file's key for it, and its holes.

    `row` is a row of holes across the leg, `row_key` the key of its table, `gauge` how far it is
    from the end that holds the leg, mm.
    """

    name: str
    length: float
    key: str
    row: BoltRow | None = None
    row_key: str = ""
    gauge: float | None = None
    critical: bool = True

    @property
    def row_gauge(self) -> float:
        """How far the holes are from the end that holds the leg, mm."""
        if self.gauge is not None or not isinstance(self.row, HoleRow):
            return self.gauge or self.length / 2
        return self.row.gauge_on(self.length)


def leg(measured: Any, name: str, key: str, row_key: str = "") -> Leg:
    """A leg by the keys of its length and of its row of holes."""
    row = getattr(measured, row_key) if row_key else None
    return Leg(name=name, length=getattr(measured, key), key=key, row=row, row_key=row_key)


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldedStrip:
    """Legs from left to right, the folds between them, the index of the root; mm and radians."""

    legs: tuple[Leg, ...]
    folds: tuple[Fold, ...]
    width: float
    root: int

    def drawn(self, way: BendWay) -> Drawn:
        """The strip's panels, drawn to what its folds say."""
        panel, bends = self._leg(self.root, 0), []
        if self.root + 1 < len(self.legs):
            right = self._chain(self.root + 1, 1, way)
            bends.append(bent_on("right end", right, self.folds[self.root], way))
        if self.root > 0:
            # built as a right-hand chain and mirrored, so that its words swap twice
            left = self._chain(self.root - 1, -1, way).mirrored()
            bends.append(bent_on("left end", left, self.folds[self.root - 1], way))
        keys = {(leg.name, ""): (leg.key,) for leg in self.legs}
        keys |= {(leg.name, "holes"): (leg.row_key,) for leg in self.legs if leg.row}
        return Drawn(root=replace(panel, bends=tuple(bends)), keys=keys)

    def _chain(self, index: int, step: int, way: BendWay) -> Panel:
        """A leg and all beyond it, as if it stood on the right."""
        panel, beyond = self._leg(index, step), index + step
        if not 0 <= beyond < len(self.legs):
            return panel
        fold = self.folds[min(index, beyond)]
        return replace(panel, bends=(bent_on("end", self._chain(beyond, step, way), fold, way),))

    def _leg(self, index: int, side: int) -> Panel:
        """A leg from its base on x = 0 to the right; the root with its middle in the origin."""
        leg, half = self.legs[index], self.width / 2
        left = -leg.length / 2 if side == 0 else 0.0
        right = left + leg.length
        name = swapped_hand(leg.name) if side < 0 else leg.name
        ends = ("right end", "left end") if side == 0 else ("end", "base")
        sides = ("front side", ends[0], "back side", ends[1])
        panel = rectangular_panel(name, sides, Point(left, -half), Point(right, half))
        # a leg held at no bend on its left counts from the one on its right
        lone = side == 0 and index == 0 and len(self.legs) > 1
        at = right - leg.row_gauge if lone else left + leg.row_gauge
        places = [Point(at, y) for y in leg.row.offsets] if leg.row else []
        return with_row(panel, leg.row, places)

    def ends(self, index: int) -> tuple[str, str]:
        """The edges at a leg's left and right end."""
        if index == self.root:
            return "left end", "right end"
        return ("end", "base") if index < self.root else ("base", "end")

    def dimensions(self, bracket: Bracket, width: str = "width") -> Iterator[Dimension | Tag]:
        """Every leg's length and row of holes, the developed length, the width by its key."""
        for index, leg in enumerate(self.legs):
            panel, ends = bracket.panel(leg.name), self.ends(index)
            if leg.key:
                yield from across(bracket, leg.key, leg.length, panel, ends, critical=leg.critical)
            base = ends[1] if index < self.root or index == 0 else ends[0]
            held = panel.drawn_edge(base) is not None
            yield from row_listed(leg.row_key, panel, leg.row, base * held, ("front side",))
        first, last = (
            middle(edge(bracket.panel(leg.name), self.ends(i)[side], f"end of the {leg.name}"))
            for i, side, leg in ((0, 0, self.legs[0]), (len(self.legs) - 1, 1, self.legs[-1]))
        )
        if len(self.legs) > 1:
            yield derived(first, last)
        root = bracket.root
        yield length(width, self.width, middle(edge(root, "front side")), edge(root, "back side"))
        for index, fold in enumerate(self.folds):
            # a bend holds the leg that is farther from the one held still
            far = self.legs[index + (index >= self.root)].name
            yield from bend_listed(fold.key, fold.angle, fold.direction_key, bracket, far)


def strip_kind(
    name: str, summary: str, measurements: type, strip: Callable[[Any], FoldedStrip]
) -> Kind:
    """The kind of a bracket that is one strip."""

    def draw(measured: Any, _stock: Stock, way: BendWay) -> Drawn:
        return strip(measured).drawn(way)

    def dimensions(measured: Any, bracket: Bracket) -> Iterator[Dimension | Tag]:
        return strip(measured).dimensions(bracket)

    return Kind(name, summary, measurements, draw, dimensions)
