"""What changed between two blanks laid on each other: holes, cut-outs, bends, dimensions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TypeVar

from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Motion, Vector
from platewright.plate.blank import Blank, BlankBend
from platewright.plate.bracket import Bracket, Cutout, Hole
from platewright.plate.dimension import Dimension, PanelFace, Quantity, Spot, Straight
from platewright.plate.folded import folded
from platewright.values import dataclass

TOLERANCE = 0.05
"""What differs by less counts as the same, mm: below what a shop cuts or measures."""

#: Angles that differ by less are the same, radians.
_ANGLE = 1e-6

T = TypeVar("T")

Opening = Hole | Cutout


def edge_of(opening: Opening) -> Circle | Contour:
    """The outline of a hole or a cut-out."""
    return opening.circle if isinstance(opening, Hole) else opening.contour


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningChange:
    """A hole or cut-out that is new, gone, moved (`by`, mm), or not as it was."""

    what: str
    old: Opening | None
    new: Opening | None

    @property
    def by(self) -> Vector:
        """How far its middle moved; nothing for one that is new or gone."""
        if self.old is None or self.new is None:
            return Vector(0.0, 0.0)
        return edge_of(self.new).bounds.centre - edge_of(self.old).bounds.centre

    @property
    def reshaped(self) -> bool:
        """Whether it is of another size or shape."""
        if self.old is None or self.new is None:
            return True
        return not alike(edge_of(self.old).moved(Motion.translation(self.by)), edge_of(self.new))

    @property
    def differs(self) -> bool:
        """Whether anything changed."""
        was, is_now = (
            each is not None and (isinstance(each, Cutout) or each.cut)
            for each in (self.old, self.new)
        )
        return self.reshaped or self.by.length > TOLERANCE or was != is_now


def alike(one: Circle | Contour, other: Circle | Contour) -> bool:
    """Whether two outlines lie on each other."""
    if isinstance(one, Circle) and isinstance(other, Circle):
        off = one.centre.distance(other.centre)
        return max(off, abs(one.diameter - other.diameter)) <= TOLERANCE
    pairs = ((one.flatten(TOLERANCE / 4), other), (other.flatten(TOLERANCE / 4), one))
    return all(shape.distance(p) <= TOLERANCE for points, shape in pairs for p in points)


def opening_changes(before: Blank, after: Blank) -> Iterator[OpeningChange]:
    """Holes and cut-outs by their names; those of one name by the order in which they come."""
    each_blank: list[tuple[Opening, ...]] = [(*b.holes, *b.cutouts) for b in (before, after)]
    olds, news = (numbered((each.what, each) for each in openings) for openings in each_blank)
    for key in dict.fromkeys((*olds, *news)):
        change = OpeningChange(what=key[0], old=olds.get(key), new=news.get(key))
        if change.differs:
            yield change


def numbered(things: Iterable[tuple[str, T]]) -> dict[tuple[str, int], T]:
    """Things by their words, and by their number among those of the same words."""
    found: dict[tuple[str, int], T] = {}
    for words, thing in things:
        number = sum(words == other for other, _ in found)
        found[words, number] = thing
    return found


# --- bends ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class BendChange:
    """A bend that is new, gone, or not as it was; `shift` is how far its line lies off, mm."""

    child: str
    old: BlankBend | None
    new: BlankBend | None
    shift: float = 0.0

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
        old, new = self.old.line, self.new.line
        along = [(end - old.start).dot(old.direction) for end in (new.start, new.end)]
        within = min(along) >= -TOLERANCE and max(along) <= old.length + TOLERANCE
        return same and self.shift <= TOLERANCE and within


def bend_changes(before: Blank, after: Blank) -> Iterator[BendChange]:
    """Bends by the panels that they carry."""
    olds = {bend.child: bend for bend in before.bends}
    news = {bend.child: bend for bend in after.bends}
    for child in dict.fromkeys((*olds, *news)):
        old, new = olds.get(child), news.get(child)
        if old is None or new is None:
            yield BendChange(child=child, old=old, new=new)
            continue
        # how far the ends of its line lie off the course of the old one, the greater
        left, ends = old.line.direction.left, (new.line.start, new.line.end)
        shift = max(abs((end - old.line.start).dot(left)) for end in ends)
        change = BendChange(child=child, old=old, new=new, shift=shift)
        longer = abs(old.line.length - new.line.length) > TOLERANCE
        if not change.same_groove or longer or change.angle_differs:
            yield change


# --- dimensions -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class DimensionChange:
    """A dimension that changed, mm or radians; None where one of the brackets has none like it.

    `words` say what is measured, and whether on the blank or on the bent part where it is on both.
    """

    words: str
    old: float | None
    new: float | None
    critical: bool
    quantity: Quantity = "length"


def dimension_changes(
    old: Bracket, new: Bracket, blanks: tuple[Blank, Blank]
) -> Iterator[DimensionChange]:
    """The dimensions that differ, or that only one bracket has, where the check sheet takes them.

    Angles of bends are told of the bends.
    """
    before, after = (numbered(_measured(*each)) for each in ((old, blanks[0]), (new, blanks[1])))
    for key in dict.fromkeys((*after, *before)):
        values = [found[key][1] if key in found else None for found in (before, after)]
        dimensions = [found[key][0] for found in (before, after) if key in found]
        quantity = dimensions[0].quantity
        least = TOLERANCE if quantity == "length" else _ANGLE
        one, other = values
        if one is None or other is None or abs(one - other) > least:
            yield DimensionChange(
                words=key[0],
                old=one,
                new=other,
                critical=any(each.critical for each in dimensions),
                quantity=quantity,
            )


def _measured(bracket: Bracket, blank: Blank) -> Iterator[tuple[str, tuple[Dimension, float]]]:
    """The words of every dimension, with the dimension and its value."""
    model = folded(bracket)
    for dimension in bracket.dimensions:
        if isinstance(dimension.end, PanelFace) and dimension.quantity == "angle":
            continue
        across = dimension.start.panel != dimension.end.panel
        flat = dimension.when != "folded" and dimension.quantity == "length"
        bent = dimension.when == "folded" or not flat or (across and dimension.when == "either")
        for is_asked, where in ((flat, "flat"), (bent, "bent")):
            if is_asked:
                words = _words(dimension) + (f", {where}" if flat and bent else "")
                value = _on_blank(dimension, blank) if where == "flat" else model.value(dimension)
                yield words, (dimension, value)


def _on_blank(dimension: Dimension, blank: Blank) -> float:
    """A length between two places that a tape finds on the blank, mm."""
    start, end = dimension.start, dimension.end
    assert isinstance(start, Spot)
    here, _ = blank.tape_end(start.panel, start.at)
    if isinstance(end, Spot):
        return here.distance(blank.tape_end(end.panel, end.at)[0])
    assert isinstance(end, Straight)
    line = end.line.moved(blank.panel_motion(end.panel))
    return abs(line.direction.cross(here - line.start))


def _words(dimension: Dimension) -> str:
    """What is measured, panels named where the two ends are on different ones."""
    start, end = dimension.start, dimension.end
    # an edge that is scribed keeps its dimensions, to the line that it ran along
    words = end.words.removeprefix("original line of the ")
    if start.panel == end.panel:
        return f"{start.words} to {words}"
    return f"{start.words} ({start.panel}) to {words} ({end.panel})"
