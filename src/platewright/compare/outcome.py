"""Two brackets compared: what changed, and what becomes of a part that is cut already.

The new blank is laid on the old one where it fits best: where it needs no metal that is not there,
where its bends stay, where least changes. All changes are told in the old blank's coordinates.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Literal

from platewright.compare.changes import (
    TOLERANCE,
    BendChange,
    DimensionChange,
    Opening,
    OpeningChange,
    alike,
    bend_changes,
    dimension_changes,
    edge_of,
    opening_changes,
)
from platewright.compare.edges import EdgeChange, bounding_edge, edge_changes, placed_edges
from platewright.geometry.offset import Region
from platewright.geometry.plane import IDENTITY, Motion
from platewright.geometry.regions import Patch, leftover
from platewright.geometry.segment import Line
from platewright.plate.blank import Blank, BlankBend, blank_of
from platewright.plate.bracket import Bracket
from platewright.values import dataclass

Outcome = Literal["as it is", "trim", "bend anew", "cut again"]
"""What becomes of a part made to the old file."""

Stage = Literal["cut", "scored", "bent"]
"""How far the old part is made."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Located:
    """A patch of metal and the edge that it lies along, or the opening that it is of."""

    patch: Patch
    where: str
    opening: Opening | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Two brackets compared: `new` is the new blank laid on the old one.

    `added` is metal that the old blank lacks, `removed` what must come off it. `stranded` are old
    bends that are gone while their line stays in the metal.
    """

    old: Blank
    new: Blank
    edges: tuple[EdgeChange, ...]
    openings: tuple[OpeningChange, ...]
    bends: tuple[BendChange, ...]
    added: tuple[Located, ...]
    removed: tuple[Located, ...]
    stranded: tuple[BlankBend, ...]
    dimensions: tuple[DimensionChange, ...]
    same_stock: bool
    other_hand: bool

    @property
    def stages(self) -> tuple[Stage, ...]:
        """How far an old part may have been made."""
        scored: tuple[Stage, ...] = ("scored",) if any(b.score_face for b in self.old.bends) else ()
        bent: tuple[Stage, ...] = ("bent",) if self.old.bends else ()
        return ("cut", *scored, *bent)

    def outcome(self, stage: Stage) -> Outcome:
        """What becomes of a part made to the old file so far."""
        if not self.same_stock or self.added:
            return "cut again"
        serve = all(change.same_groove for change in self.bends if change.old and change.new)
        if stage != "cut" and (self.other_hand or self.stranded or not serve):
            return "cut again"
        anew = any(change.angle_differs for change in self.bends if change.new)
        if stage == "bent" and anew:
            return "bend anew"
        return "trim" if self.removed else "as it is"

    @property
    def unchanged(self) -> bool:
        """Whether nothing that is made differs."""
        found = (
            self.edges, self.openings, self.bends, self.added, self.removed, self.dimensions
        )  # fmt: skip
        return self.same_stock and not self.other_hand and not any(found)


def compare(old: Bracket, new: Bracket, *, other_hand: bool = False) -> Comparison:
    """What changed from one bracket to another.

    `other_hand` tells that the new one is to be made as the mirror image of the hand that the old
    one was; the brackets are compared as drawn.
    """
    before, after = blank_of(old), blank_of(new)
    bare = [
        _laid(before, after.moved(motion), same_stock=old.stock == new.stock, other_hand=other_hand)
        for motion in _motions(before, after)
    ]

    def badness(found: Comparison) -> tuple[int, int, float]:
        """Whether it must be cut again, unbent first and then worked; how much metal differs."""
        area = math.fsum(each.patch.area for each in (*found.added, *found.removed))
        again = [found.outcome(stage) == "cut again" for stage in found.stages]
        return int(again[0]), sum(again), round(area, 3)

    best = min(bare, key=badness)
    return replace(
        best,
        edges=tuple(edge_changes(before, best.new)),
        added=tuple(_located(best.added, before, best.new)),
        removed=tuple(_located(best.removed, best.new, before)),
        dimensions=tuple(dimension_changes(old, new, (before, best.new))),
    )


def _laid(before: Blank, after: Blank, *, same_stock: bool, other_hand: bool) -> Comparison:
    """The comparison as far as outcomes need it: patches are not located, edges not compared."""
    added = leftover(_metal(after), _metal(before), TOLERANCE)
    removed = leftover(_metal(before), _metal(after), TOLERANCE)
    return Comparison(
        old=before,
        new=after,
        edges=(),
        openings=tuple(opening_changes(before, after)),
        bends=tuple(bend_changes(before, after)),
        added=tuple(Located(patch=patch, where="") for patch in added),
        removed=tuple(Located(patch=patch, where="") for patch in removed),
        stranded=tuple(_stranded(before, after)),
        dimensions=(),
        same_stock=same_stock,
        other_hand=other_hand,
    )


def openings_of(blank: Blank) -> tuple[Opening, ...]:
    """The holes and cut-outs that are cut."""
    return (*blank.cut_holes, *blank.cutouts)


def _metal(blank: Blank) -> Region:
    return Region(blank.outline, tuple(edge_of(opening) for opening in openings_of(blank)))


# --- laying one blank on another --------------------------------------------------------------


def _motions(before: Blank, after: Blank) -> list[Motion]:
    """Ways to lay the new blank on the old: as drawn, by holes and cut-outs, by bends, by edges."""
    olds = {bend.child: bend.line for bend in before.bends}
    bends = [(olds[bend.child], bend.line) for bend in after.bends if bend.child in olds]
    found = [
        IDENTITY,
        *_by_openings(before, after),
        *_by_lines(bends),
        *_by_lines(_edge_pairs(before, after)),
    ]
    seen: dict[tuple[float, ...], Motion] = {}
    for motion in found:
        key = (motion.a, motion.b, motion.e, motion.f)
        seen.setdefault(tuple(round(value, 6) + 0.0 for value in key), motion)
    return list(seen.values())


def _by_openings(before: Blank, after: Blank) -> Iterator[Motion]:
    for new in openings_of(after):
        for old in openings_of(before):
            by = edge_of(old).bounds.centre - edge_of(new).bounds.centre
            motion = Motion.translation(by)
            if new.what == old.what and alike(edge_of(new).moved(motion), edge_of(old)):
                yield motion


def _edge_pairs(before: Blank, after: Blank) -> Iterator[tuple[Line, Line]]:
    """The straight edges of the root that both have."""
    root = before.panels[0].panel.name
    olds = {edge.name: edge.pieces for edge in placed_edges(before) if edge.panel == root}
    for edge in placed_edges(after):
        if edge.panel == root and edge.name in olds:
            old, new = olds[edge.name][0], edge.pieces[0]
            if isinstance(old, Line) and isinstance(new, Line):
                yield old, new


def _by_lines(pairs: Iterable[tuple[Line, Line]]) -> Iterator[Motion]:
    """A line on a line: start on start, end on end, and slid without a turn."""
    for old, new in pairs:
        turn = Motion.rotation(old.direction.angle - new.direction.angle)
        turned = new.moved(turn)
        for old_end, new_end in ((old.start, turned.start), (old.end, turned.end)):
            yield Motion.translation(old_end - new_end) @ turn


# --- bends and patches ------------------------------------------------------------------------


def _stranded(before: Blank, after: Blank) -> Iterator[BlankBend]:
    """Old bends that are gone although some of their line lies in the new metal."""
    kept, outline = {bend.child for bend in after.bends}, after.outline
    for bend in before.bends:
        spots = (bend.line.point_at((i + 0.5) / 8) for i in range(8))
        if bend.child not in kept and any(
            outline.contains(spot) and outline.distance(spot) > TOLERANCE for spot in spots
        ):
            yield bend


def _located(patches: tuple[Located, ...], other: Blank, bearer: Blank) -> Iterator[Located]:
    """Metal that one blank has beyond another, each with its place.

    That is the other's opening that it fills, or the bearer's edge that it lies along.
    """
    edges = placed_edges(bearer)
    openings = [(each, edge_of(each)) for each in openings_of(other)]
    for patch in (each.patch for each in patches):
        filled = (
            opening
            for opening, edge in openings
            if all(edge.contains(p) or edge.distance(p) <= TOLERANCE for p in patch.outer)
        )
        opening = next(filled, None)
        where = opening.what if opening else bounding_edge(patch, edges, other.outline)
        yield Located(patch=patch, where=where, opening=opening)
