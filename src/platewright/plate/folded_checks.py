"""What to measure on the folded bracket with a tape, a square and a bevel.

Made for any bracket: nothing here knows what kind it is. A panel's tip is its corner farthest from
its bend; of several, the one nearest to the wall, or to the root's middle where there is no wall.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, islice, product
from typing import Literal

from platewright.geometry.plane import Point
from platewright.geometry.space import Point3
from platewright.plate.bend import Face, inside_face, other_face
from platewright.plate.bracket import Bracket, Hole, Panel
from platewright.plate.folded import Folded, FoldedBend, folded, height_above
from platewright.plate.prism import Prism
from platewright.plate.tape import is_clear, metal_of

Quantity = Literal["length", "angle"]

HOLES = ("hole to inside face", "hole to tip")
"""What readings from a hole to a bent panel are called."""

#: Folds this near to a right angle are measured as one, radians.
_SQUARE = math.radians(1)
#: Corners this near to the farthest one from the bend are as far, mm.
_AS_FAR = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldedCheck:
    """One reading on the folded bracket.

    `value` is mm, or radians where `quantity` is "angle". `faces` says which faces are measured
    between. `places` are the two ends in space, for a picture; an angle has none. A `square` one
    runs square to a face or an edge: only its first end is a place of its own. `panel` is the one
    whose stand the reading tells.
    """

    what: str
    start: str
    end: str
    faces: str
    value: float
    quantity: Quantity = "length"
    critical: bool = False
    places: tuple[Point3, ...] = ()
    square: bool = False
    panel: str = ""


@dataclass(frozen=True, slots=True)
class _Tip:
    """A panel's tip: its place in the panel and its name."""

    bend: FoldedBend
    at: Point
    words: str
    panel: str

    @property
    def inside(self) -> Face:
        return inside_face(self.bend.bend.direction)


def folded_checks(bracket: Bracket) -> tuple[FoldedCheck, ...]:
    """Every reading worth taking on a folded bracket, in the order to take them.

    Bevels; then what the file asks for across bends; tip to tip; heights of the tips; holes to
    the inside faces; diagonals that a tape can reach.
    """
    model = folded(bracket)
    corners = [far for bend in model.bends if (far := _far_corners(model, bend))]
    tips = [far[0] for far in corners]
    return (
        *_bevels(model),
        *_asked(model),
        *_tip_to_tip(model, corners),
        *(check for tip in tips for check in _heights(model, tip)),
        *(check for tip in tips for check in _hole_reaches(model, tip)),
        *_diagonals(model, tips),
    )


# --- tips and corners -------------------------------------------------------------------------


def _far_corners(model: Folded, bend: FoldedBend) -> list[_Tip]:
    """The corners of a bend's child farthest from it, the tip proper first.

    Where the metal is bent on, no corner can be found: a panel between two bends has no tip.
    """
    panel = bend.bend.panel
    base = panel.straight_edge(bend.bend.base)
    out = base.direction.left
    corners = list(enumerate(panel.contour.corners))
    reach = max((p - base.start).dot(out) for _, p in corners)
    far = [
        (i, p)
        for i, p in corners
        if (p - base.start).dot(out) > reach - _AS_FAR and not _bent_on(panel, p)
    ]
    place = model.panels[bend.child].world_from_panel
    far.sort(key=lambda each: _from_wall(model, place.point(each[1])))
    return [_Tip(bend, at, f"{panel.name} tip{_meeting(panel, i)}", panel.name) for i, at in far]


def _bent_on(panel: Panel, p: Point) -> bool:
    """Whether a corner lies where another panel is bent from this one."""
    return any(panel.bend_base(bend).distance(p) < _AS_FAR for bend in panel.bends)


def _from_wall(model: Folded, p: Point3) -> float:
    """Distance from the wall, or from the root's middle, mm (rounded, so that ties stay ties)."""
    bracket = model.bracket
    if bracket.wall is None:
        middle = bracket.root.contour.bounds.centre
        return round(math.hypot(p.x - middle.x, p.y - middle.y), 6)
    edge = bracket.root.straight_edge(bracket.wall)
    return round(abs((Point(p.x, p.y) - edge.start).cross(edge.direction)), 6)


def _meeting(panel: Panel, index: int) -> str:
    """The two edges that meet in a corner, in brackets, where both have names."""
    names = {i: name for name, i in panel.edges}
    count = len(panel.contour.segments)
    before, after = names.get((index - 1) % count), names.get(index)
    return f" ({' and '.join(sorted((before, after)))})" if before and after else ""


# --- the readings -----------------------------------------------------------------------------


def _bevels(model: Folded) -> Iterator[FoldedCheck]:
    for bend in model.bends:
        parent, child = model.panels[bend.parent].panel.name, bend.bend.panel.name
        inside = inside_face(bend.bend.direction)
        yield FoldedCheck(
            what=f"bevel in bend {bend.number}",
            start=parent,
            end=child,
            faces=f"{model.face_words(parent, inside)} to inside face",
            value=math.pi - bend.angle,
            quantity="angle",
            critical=True,
            panel=child,
        )


def _asked(model: Folded) -> Iterator[FoldedCheck]:
    """The bracket's own checks that only the fold makes possible."""
    for check in model.bracket.dimensions:
        start, end = check.start, check.end
        if check.when == "flat" or (check.when == "either" and start.panel == end.panel):
            continue
        if check.quantity == "angle":
            continue
        square = "square to the " if check.square else ""
        yield FoldedCheck(
            what="as asked",
            start=start.words,
            end=f"{square}{end.words}",
            faces=(
                f"{model.face_words(start.panel, start.face)} to "
                f"{model.face_words(end.panel, end.face)}"
            ),
            value=model.value(check),
            critical=check.critical,
            places=model.ends(check),
            square=check.square,
            panel=start.panel,
        )


def _tip_to_tip(model: Folded, corners: list[list[_Tip]]) -> Iterator[FoldedCheck]:
    """Tips of panels that face each other, inside and outside; of two level feet, from tip to tip.

    Of more than two panels on one parent, those that face each other.
    """
    metal = metal_of(model)
    for one, other in combinations(corners, 2):
        first, second = _nearest_pair(model, one, other)
        if _face_each_other(model, first.bend, second.bend):
            yield from _apart(model, metal, first, second)
        elif _are_level(model, first, second):
            yield from islice(_apart(model, metal, first, second), 1)


def _are_level(model: Folded, one: _Tip, other: _Tip) -> bool:
    """Whether two panels bent from different ones lie in one plane, as the feet of a hat do."""
    if one.bend.parent == other.bend.parent:
        return False
    normals = [model.face_normal(tip.panel, tip.inside) for tip in (one, other)]
    apart = height_above(_on_tip(model, other), _on_tip(model, one), normals[0])
    return normals[0].cross(normals[1]).length < math.sin(_SQUARE) and abs(apart) < _AS_FAR


def _face_each_other(model: Folded, one: FoldedBend, other: FoldedBend) -> bool:
    if one.parent != other.parent:
        return False
    if sum(bend.parent == one.parent for bend in model.bends) == 2:
        return True
    along, across = one.world_from_bend.x_axis, other.world_from_bend.x_axis
    return along.cross(across).length < math.sin(_SQUARE)


def _nearest_pair(model: Folded, one: list[_Tip], other: list[_Tip]) -> tuple[_Tip, _Tip]:
    """Of tips that are as far from their bends, the two straightest across."""
    return min(
        product(one, other),
        key=lambda pair: round(_on_tip(model, pair[0]).distance(_on_tip(model, pair[1])), 3),
    )


def _apart(model: Folded, metal: list[Prism], one: _Tip, other: _Tip) -> Iterator[FoldedCheck]:
    for words, flip in (("inside", False), ("outside", True)):
        a, b = _on_tip(model, one, flip=flip), _on_tip(model, other, flip=flip)
        if flip or is_clear(metal, a, b):
            yield FoldedCheck(
                what=f"tip to tip, {words}",
                start=one.words,
                end=other.words,
                faces=f"{words} face to {words} face",
                value=a.distance(b),
                places=(a, b),
                panel=one.panel,
            )


def _on_tip(model: Folded, tip: _Tip, *, flip: bool = False) -> Point3:
    """A tip in space, on its inside face or on its outside face."""
    face = other_face(tip.inside) if flip else tip.inside
    return model.place_of(tip.panel, tip.at, face)


def _heights(model: Folded, tip: _Tip) -> Iterator[FoldedCheck]:
    """A tip's height from its parent's inside face, and over all from the outside face."""
    parent = model.panels[tip.bend.parent].panel.name
    for words, face in (("", tip.inside), (" over all", other_face(tip.inside))):
        normal = model.face_normal(parent, tip.inside)
        on = model.place_of(parent, model.panel(parent).panel.contour.segments[0].start, face)
        ends = [_on_tip(model, tip), _on_tip(model, tip, flip=True)]
        top = ends[0] if not words else max(ends, key=lambda p: height_above(p, on, normal))
        height = height_above(top, on, normal)
        yield FoldedCheck(
            what=f"height of the tip{words}",
            start=tip.words,
            end=parent,
            faces=(
                f"{'highest' if words else 'inside face'} corner, square from the "
                f"{model.face_words(parent, face)}"
            ),
            value=height,
            places=(top, top + normal * -height),
            square=True,
            panel=tip.panel,
        )


def _hole_reaches(model: Folded, tip: _Tip) -> Iterator[FoldedCheck]:
    """From the holes beside a bend to its panel: square to a square one, else to its tip."""
    parent = model.panels[tip.bend.parent].panel
    square = abs(tip.bend.angle - math.pi / 2) < _SQUARE
    for hole in parent.holes:
        if hole.cut:
            yield (
                _hole_square(model, tip, parent, hole)
                if square
                else _hole_to_tip(model, tip, parent, hole)
            )


def _hole_square(model: Folded, tip: _Tip, parent: Panel, hole: Hole) -> FoldedCheck:
    here = model.place_of(parent.name, hole.centre, tip.inside)
    normal = model.face_normal(tip.panel, tip.inside)
    reach = height_above(here, model.place_of(tip.panel, tip.at, tip.inside), normal)
    return FoldedCheck(
        what=HOLES[0],
        start=f"{hole.what} (middle)",
        end=tip.panel,
        faces=f"{model.face_words(parent.name, tip.inside)}, square to the inside face",
        value=reach,
        critical=hole.role in ("bolt", "port"),
        places=(here, here + normal * -reach),
        square=True,
        panel=tip.panel,
    )


def _hole_to_tip(model: Folded, tip: _Tip, parent: Panel, hole: Hole) -> FoldedCheck:
    here, there = model.place_of(parent.name, hole.centre, tip.inside), _on_tip(model, tip)
    return FoldedCheck(
        what=HOLES[1],
        start=f"{hole.what} (middle)",
        end=tip.words,
        faces=f"{model.face_words(parent.name, tip.inside)} to inside face",
        value=here.distance(there),
        critical=hole.role in ("bolt", "port"),
        places=(here, there),
        panel=tip.panel,
    )


def _diagonals(model: Folded, tips: list[_Tip]) -> Iterator[FoldedCheck]:
    """From each tip the longest straight to a corner of the root that a tape can follow."""
    metal = metal_of(model)
    root = model.bracket.root
    for tip in tips:
        inside = tip.inside if tip.bend.parent == 0 else "top"
        here = _on_tip(model, tip)
        found = [
            (here.distance(there), index, there)
            for index, at in enumerate(root.contour.corners)
            if is_clear(metal, here, there := model.place_of(root.name, at, inside))
        ]
        if found:
            value, index, there = max(found)
            yield FoldedCheck(
                what="diagonal",
                start=tip.words,
                end=f"{root.name} corner{_meeting(root, index) or f' {index + 1}'}",
                faces=f"inside face to {model.face_words(root.name, inside)}",
                value=value,
                places=(here, there),
                panel=tip.panel,
            )
