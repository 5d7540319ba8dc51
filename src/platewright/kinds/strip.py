"""A strip of plate with any row of bends: the ground of channels, zees, hats, straps and steps.

The strip runs along x, its width along y, with the top face up. One leg is the root; the legs to
its right and to its left hang from it, each from the end of the one before. Every leg has the
edges "front side", "back side", "base" (at the bend that holds it) and "end"; the root has "left
end" and "right end".
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from platewright.errors import BuildError
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.kinds.folds import Fold, flat_length, setback_to
from platewright.kinds.holes import HoleRow, bend_words, row_checks, row_holes, with_holes
from platewright.plate.bend import BendWay, Face, other_face
from platewright.plate.bracket import Bend, Bracket, Panel
from platewright.plate.dimension import Dimension, Spot, Straight, swapped_hand
from platewright.plate.stock import Stock


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """One leg: its name, its measured length in mm, the file's key for it, and its holes."""

    name: str
    length: float
    key: str
    row: HoleRow | None = None
    row_key: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """Legs from left to right, the folds between them, and the index of the root.

    `to` is what the lengths are measured to, "flat" for flat lengths. Mm and radians.
    """

    legs: tuple[Leg, ...]
    folds: tuple[Fold, ...]
    width: float
    to: str
    root: int

    def folds_of(self, index: int) -> tuple[Fold | None, Fold | None]:
        """The folds at a leg's left and right end, None for a free end."""
        left = self.folds[index - 1] if index > 0 else None
        right = self.folds[index] if index < len(self.folds) else None
        return left, right


def strip_root(strip: Strip, stock: Stock, way: BendWay) -> Panel:
    """The tree of a strip's panels. Raises BuildError as `strip_bracket`."""
    return _Builder(strip, stock, way).root()


def strip_bracket(strip: Strip, stock: Stock, way: BendWay) -> Bracket:
    """The bracket of a strip, with checks of every leg.

    Raises BuildError with the keys of legs that their bends use up, or of holes that do not fit.
    """
    builder = _Builder(strip, stock, way)
    return Bracket(stock=stock, root=builder.root(), dimensions=tuple(builder.checks()))


def leg_panel(name: str, flat: float, width: float) -> Panel:
    """A leg that reaches from its base on x = 0 to the right."""
    half = width / 2
    corners = [Point(0, -half), Point(flat, -half), Point(flat, half), Point(0, half)]
    names = ["front side", "end", "back side", "base"]
    lines = [Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    return Panel.of_edges(name, list(zip(names, lines, strict=True)))


def root_panel(name: str, flat: float, width: float) -> Panel:
    """The root, its middle in the origin."""
    x, y = flat / 2, width / 2
    corners = [Point(-x, -y), Point(x, -y), Point(x, y), Point(-x, y)]
    names = ["front side", "right end", "back side", "left end"]
    lines = [Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    return Panel.of_edges(name, list(zip(names, lines, strict=True)))


def bent_on(edge: str, panel: Panel, fold: Fold, way: BendWay) -> Bend:
    """The bend that joins a panel by its whole base to a whole edge."""
    return Bend(edge=edge, panel=panel, angle=fold.angle, direction=fold.direction, way=way)


@dataclass(frozen=True, slots=True)
class _Builder:
    strip: Strip
    stock: Stock
    way: BendWay

    def root(self) -> Panel:
        strip = self.strip
        panel = self._with_row(self._root_leg(strip.root), strip.root)
        bends = []
        if strip.root + 1 < len(strip.legs):
            right, fold = self._chain(strip.root + 1, 1), strip.folds[strip.root]
            bends.append(bent_on("right end", right, fold, self.way))
        if strip.root > 0:
            # built as a right-hand chain and mirrored, so that its words swap twice
            left, fold = self._chain(strip.root - 1, -1).mirrored(), strip.folds[strip.root - 1]
            bends.append(bent_on("left end", left, fold, self.way))
        return replace(panel, bends=tuple(bends))

    def _root_leg(self, index: int) -> Panel:
        return root_panel(self.strip.legs[index].name, self.flat(index), self.strip.width)

    def _chain(self, index: int, step: int) -> Panel:
        """A leg and all beyond it, as if it stood on the right."""
        name = self.strip.legs[index].name
        bare = leg_panel(
            name if step > 0 else swapped_hand(name), self.flat(index), self.strip.width
        )
        panel = self._with_row(bare, index, step)
        beyond = index + step
        if not 0 <= beyond < len(self.strip.legs):
            return panel
        fold = self.strip.folds[min(index, beyond)]
        return replace(panel, bends=(bent_on("end", self._chain(beyond, step), fold, self.way),))

    # --- lengths ----------------------------------------------------------------------------

    def flat(self, index: int) -> float:
        """Flat length of a leg, mm."""
        leg = self.strip.legs[index]
        folds = [fold for fold in self.strip.folds_of(index) if fold]
        to, thickness = self.strip.to, self.stock.thickness
        return flat_length(leg.length, folds, to, self.way, thickness, leg.key)

    def setback(self, fold: Fold | None, to: str) -> float:
        """Setback of a fold, 0 for a free end, mm."""
        return setback_to(to, self.way, fold.angle, self.stock.thickness) if fold else 0.0

    def side(self, index: int) -> int:
        """-1 for a leg to the left of the root, 1 to the right, 0 for the root."""
        return (index > self.strip.root) - (index < self.strip.root)

    def base_fold(self, index: int) -> Fold | None:
        """The fold that a leg is measured from: its base's, for the root the left one."""
        left, right = self.strip.folds_of(index)
        return right if self.side(index) < 0 else left

    # --- holes ------------------------------------------------------------------------------

    def _with_row(self, panel: Panel, index: int, step: int = 1) -> Panel:
        leg = self.strip.legs[index]
        row = leg.row
        if row is None:
            return panel
        begin = -self.flat(index) / 2 if self.side(index) == 0 else 0.0
        gauge = leg.length / 2 if row.gauge is None else row.gauge
        x = begin + gauge - self.setback(self.base_fold(index), self.strip.to)
        holes = row_holes(row, [Point(x, y) for y in row.offsets], panel.name)
        try:
            return with_holes(panel, holes, leg.row_key)
        except BuildError as error:
            words = error.message if step > 0 else swapped_hand(error.message)
            raise BuildError(words, *error.keys) from None

    # --- checks -----------------------------------------------------------------------------

    def checks(self) -> Iterator[Dimension]:
        panels = {panel.name: panel for panel in self.root().walk()}
        for index, leg in enumerate(self.strip.legs):
            yield self._leg_check(index)
            holes = panels[leg.name].holes
            if holes:
                yield from row_checks(panels[leg.name], holes, ("front side",))
                yield from self._gauge_checks(index, holes[0].centre, holes[0].what)
        yield from self._overall()

    def _leg_check(self, index: int) -> Dimension:
        """The leg's length as it was measured, to a face that a tape finds."""
        to = "inside" if self.strip.to == "inside" else "outside"
        start, end = self._ends(index, to)
        name, face = self.strip.legs[index].name, self._face(index, to)
        words = [self._end_words(index, side, to) for side in (-1, 1)]
        return Dimension(
            start=Spot(name, Point(start, 0), words[0], face),
            end=Straight(name, self._across(end), words[1], face),
            critical=True,
            when="folded",
        )

    def _gauge_checks(self, index: int, at: Point, what: str) -> Iterator[Dimension]:
        if self.base_fold(index) is None:
            return
        to = "inside" if self.strip.to == "inside" else "outside"
        near = self._ends(index, to)[1 if self.side(index) < 0 else 0]
        name, face = self.strip.legs[index].name, self._face(index, to)
        neighbour = self.strip.legs[index + (1 if self.side(index) < 0 else -1)].name
        line = Straight(name, self._across(near), bend_words(neighbour, to), face)
        yield Dimension(start=Spot(name, at, what, face), end=line, critical=True, when="folded")

    def _ends(self, index: int, to: str) -> tuple[float, float]:
        """Where a leg begins and ends along x in its panel's frame, as measured to a face."""
        left, right = self.strip.folds_of(index)
        flat, side = self.flat(index), self.side(index)
        begin = {-1: -flat, 0: -flat / 2, 1: 0.0}[side]
        return begin - self.setback(left, to), begin + flat + self.setback(right, to)

    def _face(self, index: int, to: str) -> Face:
        left, right = self.strip.folds_of(index)
        fold = self.base_fold(index) or left or right
        outside: Face = fold.outside if fold else "top"
        return other_face(outside) if to == "inside" else outside

    def _end_words(self, index: int, side: int, to: str) -> str:
        fold = self.strip.folds_of(index)[0 if side < 0 else 1]
        if fold is None:
            return f"end of the {self.strip.legs[index].name}"
        return bend_words(self.strip.legs[index + side].name, to)

    def _across(self, x: float) -> Line:
        half = self.strip.width / 2
        return Line(Point(x, -half), Point(x, half))

    def _overall(self) -> Iterator[Dimension]:
        """End to end, which on the blank is its developed length, and the width."""
        last = len(self.strip.legs) - 1
        ends = [
            Spot(self.strip.legs[i].name, Point(self._ends(i, "flat")[k], 0), words)
            for i, k, words in (
                (0, 0, f"middle of the end of the {self.strip.legs[0].name}"),
                (last, 1, f"middle of the end of the {self.strip.legs[last].name}"),
            )
        ]
        yield Dimension(start=ends[0], end=ends[1])
        name, half = self.strip.legs[self.strip.root].name, self.strip.width / 2
        x = self.flat(self.strip.root) / 2
        back = Straight(name, Line(Point(x, half), Point(-x, half)), "back side")
        yield Dimension(start=Spot(name, Point(0, -half), "middle of the front side"), end=back)
