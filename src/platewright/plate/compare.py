"""What changed between two brackets, and what becomes of a part that is cut already.

The new blank is laid on the old one where it fits best: where it needs no metal that is not there,
where its bends stay, where least changes. All changes are told in the old blank's coordinates.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

from platewright.geometry.offset import Region
from platewright.geometry.plane import IDENTITY, Motion, Point, Vector
from platewright.geometry.regions import Patch, leftover
from platewright.geometry.segment import Line
from platewright.plate.blank import Blank, BlankBend, blank_of
from platewright.plate.bracket import Bracket, Hole
from platewright.plate.compare_checks import CheckChange, check_changes
from platewright.plate.compare_edges import EdgeChange, bounding_edge, edge_changes, placed_edges

TOLERANCE = 0.05
"""What differs by less counts as the same, mm: below what a shop cuts or measures."""

#: Angles that differ by less are the same, radians.
_ANGLE = 1e-6

Outcome = Literal["as it is", "trim", "bend anew", "cut again"]
"""What becomes of a part made to the old file."""

Stage = Literal["cut", "scored", "bent"]
"""How far the old part is made."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleChange:
    """A hole that is new, gone, moved (`by`, mm), of another size, or now cut or only punched."""

    what: str
    old: Hole | None
    new: Hole | None

    @property
    def by(self) -> Vector:
        """How far it moved; nothing for a hole that is new or gone."""
        if self.old is None or self.new is None:
            return Vector(0.0, 0.0)
        return self.new.centre - self.old.centre


@dataclass(frozen=True, slots=True, kw_only=True)
class BendChange:
    """A bend that is new, gone, or not as it was; `shift` is how far its line lies off, mm."""

    child: str
    old: BlankBend | None
    new: BlankBend | None
    shift: float = 0.0

    @property
    def runs_beyond(self) -> bool:
        """Whether the new line runs beyond the ends of the old one."""
        if self.old is None or self.new is None:
            return False
        return any(
            not -TOLERANCE <= along <= self.old.line.length + TOLERANCE
            for along in _along(self.old.line, self.new.line)
        )

    @property
    def angle_differs(self) -> bool:
        """Whether it is folded by another angle; a bend that is new or gone is."""
        if self.old is None or self.new is None:
            return True
        return abs(self.old.angle - self.new.angle) > _ANGLE

    @property
    def same_groove(self) -> bool:
        """Whether what has been ground or struck for the old bend serves the new one."""
        if self.old is None or self.new is None:
            return False
        same = self.old.way == self.new.way and self.old.direction == self.new.direction
        return same and self.shift <= TOLERANCE and not self.runs_beyond


@dataclass(frozen=True, slots=True, kw_only=True)
class Located:
    """A patch of metal and the edge that it lies along, or the hole that it is of."""

    patch: Patch
    where: str
    of_hole: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Two brackets compared: `new` is the new blank laid on the old one.

    `added` is metal that the old blank lacks, `removed` what must come off it. `stranded` are old
    bends that are gone while their line stays in the metal.
    """

    old: Blank
    new: Blank
    edges: tuple[EdgeChange, ...]
    holes: tuple[HoleChange, ...]
    bends: tuple[BendChange, ...]
    added: tuple[Located, ...]
    removed: tuple[Located, ...]
    stranded: tuple[BlankBend, ...]
    checks: tuple[CheckChange, ...]
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
        if stage != "cut" and (self.other_hand or self.stranded or not self._bends_serve):
            return "cut again"
        anew = any(change.angle_differs for change in self.bends if change.new)
        if stage == "bent" and anew:
            return "bend anew"
        return "trim" if self.removed else "as it is"

    @property
    def _bends_serve(self) -> bool:
        return all(change.same_groove for change in self.bends if change.old and change.new)

    @property
    def unchanged(self) -> bool:
        """Whether nothing that is made differs."""
        found = (self.edges, self.holes, self.bends, self.added, self.removed, self.checks)
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
    best = min(bare, key=_badness)
    return replace(
        best,
        edges=tuple(edge_changes(before, best.new, TOLERANCE)),
        added=tuple(_located(best.added, before.cut_holes, best.new)),
        removed=tuple(_located(best.removed, best.new.cut_holes, before)),
        checks=tuple(check_changes(old, new, TOLERANCE)),
    )


def _badness(found: Comparison) -> tuple[int, int, float]:
    """Whether it must be cut again, first unbent and then worked, and how much metal differs."""
    area = math.fsum(each.patch.area for each in (*found.added, *found.removed))
    again = [found.outcome(stage) == "cut again" for stage in found.stages]
    return int(again[0]), sum(again), round(area, 3)


def _laid(before: Blank, after: Blank, *, same_stock: bool, other_hand: bool) -> Comparison:
    """The comparison as far as outcomes need it: patches are not located, edges not compared."""
    added = leftover(_metal(after), _metal(before), TOLERANCE)
    removed = leftover(_metal(before), _metal(after), TOLERANCE)
    return Comparison(
        old=before,
        new=after,
        edges=(),
        holes=tuple(_hole_changes(before.holes, after.holes)),
        bends=tuple(_bend_changes(before, after)),
        added=tuple(Located(patch=patch, where="") for patch in added),
        removed=tuple(Located(patch=patch, where="") for patch in removed),
        stranded=tuple(_stranded(before, after)),
        checks=(),
        same_stock=same_stock,
        other_hand=other_hand,
    )


def _metal(blank: Blank) -> Region:
    voids = [hole.circle for hole in blank.cut_holes]
    return Region(blank.outline, (*voids, *(cutout.contour for cutout in blank.cutouts)))


# --- laying one blank on another --------------------------------------------------------------


def _motions(before: Blank, after: Blank) -> list[Motion]:
    """Ways to lay the new blank on the old: as drawn, by holes, by bends, by edges."""
    found = [
        IDENTITY,
        *_by_holes(before, after),
        *_by_lines(_bend_pairs(before, after)),
        *_by_lines(_edge_pairs(before, after)),
    ]
    seen: dict[tuple[float, ...], Motion] = {}
    for motion in found:
        key = (motion.a, motion.b, motion.e, motion.f)
        seen.setdefault(tuple(round(value, 6) + 0.0 for value in key), motion)
    return list(seen.values())


def _by_holes(before: Blank, after: Blank) -> Iterator[Motion]:
    for new in after.cut_holes:
        for old in before.cut_holes:
            if abs(new.diameter - old.diameter) <= TOLERANCE and new.what == old.what:
                yield Motion.translation(old.centre - new.centre)


def _bend_pairs(before: Blank, after: Blank) -> Iterator[tuple[Line, Line]]:
    olds = {bend.child: bend.line for bend in before.bends}
    for bend in after.bends:
        if bend.child in olds:
            yield olds[bend.child], bend.line


def _edge_pairs(before: Blank, after: Blank) -> Iterator[tuple[Line, Line]]:
    """The straight edges of the root that both have."""
    root = before.panels[0].panel.name
    olds = {edge.name: edge.segment for edge in placed_edges(before) if edge.panel == root}
    for edge in placed_edges(after):
        old = olds.get(edge.name)
        if edge.panel == root and isinstance(old, Line) and isinstance(edge.segment, Line):
            yield old, edge.segment


def _by_lines(pairs: Iterable[tuple[Line, Line]]) -> Iterator[Motion]:
    """A line on a line: start on start, end on end, and slid without a turn."""
    for old, new in pairs:
        turn = Motion.rotation(old.direction.angle - new.direction.angle)
        turned = new.moved(turn)
        for old_end, new_end in ((old.start, turned.start), (old.end, turned.end)):
            yield Motion.translation(old_end - new_end) @ turn


# --- holes, bends, patches --------------------------------------------------------------------


def _hole_changes(olds: tuple[Hole, ...], news: tuple[Hole, ...]) -> Iterator[HoleChange]:
    """Holes by their names; those of one name by the order in which they come."""
    before, after = _by_name(olds), _by_name(news)
    for key in dict.fromkeys((*before, *after)):
        old, new = before.get(key), after.get(key)
        if old is None or new is None or _hole_differs(old, new):
            yield HoleChange(what=key[0], old=old, new=new)


def _by_name(holes: tuple[Hole, ...]) -> dict[tuple[str, int], Hole]:
    found: dict[tuple[str, int], Hole] = {}
    for hole in holes:
        number = sum(what == hole.what for what, _ in found)
        found[hole.what, number] = hole
    return found


def _hole_differs(old: Hole, new: Hole) -> bool:
    return (
        old.centre.distance(new.centre) > TOLERANCE
        or abs(old.diameter - new.diameter) > TOLERANCE
        or old.cut != new.cut
    )


def _bend_changes(before: Blank, after: Blank) -> Iterator[BendChange]:
    olds = {bend.child: bend for bend in before.bends}
    news = {bend.child: bend for bend in after.bends}
    for child in dict.fromkeys((*olds, *news)):
        old, new = olds.get(child), news.get(child)
        if old is None or new is None:
            yield BendChange(child=child, old=old, new=new)
            continue
        change = BendChange(child=child, old=old, new=new, shift=_shift(old.line, new.line))
        longer = abs(old.line.length - new.line.length) > TOLERANCE
        if not change.same_groove or longer or change.angle_differs:
            yield change


def _shift(old: Line, new: Line) -> float:
    """How far the ends of a line lie off the course of another, the greater, mm."""
    left = old.direction.left
    return max(abs((end - old.start).dot(left)) for end in (new.start, new.end))


def _along(old: Line, new: Line) -> tuple[float, float]:
    """Where the ends of a line lie along another, mm from its start."""
    along = old.direction
    return (new.start - old.start).dot(along), (new.end - old.start).dot(along)


def _stranded(before: Blank, after: Blank) -> Iterator[BlankBend]:
    """Old bends that are gone although some of their line lies in the new metal."""
    kept = {bend.child for bend in after.bends}
    for bend in before.bends:
        spots = (bend.line.point_at((i + 0.5) / 8) for i in range(8))
        if bend.child not in kept and any(_within(after, spot) for spot in spots):
            yield bend


def _within(blank: Blank, p: Point) -> bool:
    return blank.outline.contains(p) and blank.outline.distance(p) > TOLERANCE


def _located(
    patches: tuple[Located, ...], holes: tuple[Hole, ...], bearer: Blank
) -> Iterator[Located]:
    """Each patch with the hole that it is of, or the edge of the bearer that it lies along."""
    edges = placed_edges(bearer)
    for patch in (each.patch for each in patches):
        hole = next((hole.what for hole in holes if _is_of(patch, hole)), None)
        where = hole or bounding_edge(patch, edges, TOLERANCE)
        yield Located(patch=patch, where=where, of_hole=hole is not None)


def _is_of(patch: Patch, hole: Hole) -> bool:
    reach = hole.diameter / 2 + TOLERANCE
    return all(p.distance(hole.centre) <= reach for p in patch.outer)
