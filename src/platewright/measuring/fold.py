"""What else is measured on the folded bracket: how its panels stand to each other.

Faces are named by a fold: the inside face of a panel is the one inside its own fold. Corners past
which a tape passes no metal are measured straight; the rest is measured square to a face.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations, islice, product
from typing import NamedTuple

from platewright.geometry.plane import Point, Vector
from platewright.geometry.space import Point3, Vector3
from platewright.measuring.reach import is_clear, on_part
from platewright.plate.bend import Face, inside_face, other_face
from platewright.plate.bracket import Panel
from platewright.plate.dimension import Dimension, PanelFace, Spot, Touch
from platewright.plate.folded import Folded, FoldedBend, height_above
from platewright.plate.prism import Prism

#: Folds this near to a right angle are measured as one, radians.
_SQUARE = math.radians(1)
#: Corners this near to the farthest one from the bend are as far, mm.
_AS_FAR = 0.5
_LEVEL = 1e-6  # mm


class _Tip(NamedTuple):
    """A panel's tip: its place in the panel and its name."""

    bend: FoldedBend
    at: Point
    words: str
    panel: str

    @property
    def inside(self) -> Face:
        return inside_face(self.bend.bend.direction)

    def spot(self, *, flip: bool = False) -> Spot:
        """The tip on its inside face, or on its outside face."""
        face = other_face(self.inside) if flip else self.inside
        return Spot(self.panel, self.at, self.words, face, "folded")


def folded_dimensions(model: Folded, metal: list[Prism]) -> Iterator[Dimension]:
    """Every reading worth taking on a finished bracket besides its own, in the order to take them.

    Bevels; tip to tip; heights of the tips; the nearest hole to each panel; diagonals that a tape
    can reach; over all. Of a part that is rolled once it is folded, nothing across its bends.
    """
    corners = [far for bend in model.bends if (far := _far_corners(model, bend))]
    tips = [far[0] for far in corners]
    panels = [placed.panel for placed in model.panels]
    stays = not any(edge.to == "arc" for panel in panels for edge in panel.drawn)
    yield from _bevels(model)
    if stays:
        yield from _tip_to_tip(model, metal, corners)
    for tip in tips:
        yield from _heights(model, tip)
    for tip in tips:
        yield from _nearest_hole(model, tip)
    if stays and model.bends:
        yield from _diagonals(model, metal, corners)
        yield from _over_all(model)


# --- tips and corners -------------------------------------------------------------------------


def _far_corners(model: Folded, bend: FoldedBend) -> list[_Tip]:
    """The places of a bend's child farthest from it, the tip proper first.

    Corners, or the top of a round end. Where the metal is bent on, none can be found: a panel
    between two bends has no tip.
    """
    panel = bend.bend.panel
    base = panel.straight_edge(bend.bend.base)
    out = base.direction.left
    segments = panel.contour.segments
    far: list[tuple[Point, str]] = [(s.start, _meeting(panel, i)) for i, s in enumerate(segments)]
    names = {index: name for name, index in panel.edges}
    for index, segment in enumerate(segments):
        top = segment.farthest(out)
        if top not in (segment.start, segment.end):
            name = names.get(index)
            far.append((top, f" (top of the {name})" if name else " (top of its round end)"))
    reach = max((p - base.start).dot(out) for p, _ in far)
    # of a round end only its very top is as far
    highest = [each for each in far if (each[0] - base.start).dot(out) > reach - _LEVEL]
    round_end = all("top of" in words for _, words in highest)
    kept = (
        highest
        if round_end
        else [each for each in far if (each[0] - base.start).dot(out) > reach - _AS_FAR]
    )
    place = model.panels[bend.child].world_from_panel
    # but none that lies in the panel's own bend, or where another panel is bent from it
    bases = [base, *(panel.bend_base(bend) for bend in panel.bends)]
    free = [each for each in kept if all(line.distance(each[0]) >= _AS_FAR for line in bases)]
    free.sort(key=lambda each: _from_wall(model, place.point(each[0])))
    return [_Tip(bend, at, f"{panel.name} tip{words}", panel.name) for at, words in free]


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


def _bevels(model: Folded) -> Iterator[Dimension]:
    """How far each bend turns; the bracket's own take the place of these."""
    own = {
        frozenset((each.start.panel, each.end.panel))
        for each in model.bracket.dimensions
        if isinstance(each.start, PanelFace) and isinstance(each.end, PanelFace)
    }
    for bend in model.bends:
        parent, child = model.panels[bend.parent].panel.name, bend.bend.panel.name
        if frozenset((parent, child)) not in own:
            inside = inside_face(bend.bend.direction)
            yield Dimension(
                start=PanelFace(parent, parent, inside, "folded"),
                end=PanelFace(child, child, inside, "folded"),
                quantity="angle",
                critical=True,
            )


def _tip_to_tip(
    model: Folded, metal: list[Prism], corners: list[list[_Tip]]
) -> Iterator[Dimension]:
    """Tips of panels that face each other, inside and outside; of two level feet, from tip to tip.

    Of more than two panels on one parent, those that face each other.
    """
    for one, other in combinations(corners, 2):
        # of tips that are as far from their bends, the two straightest across
        pairs = [(a, b, model.spot(a.spot()), model.spot(b.spot())) for a, b in product(one, other)]
        first, second, *_ = min(pairs, key=lambda pair: round(pair[2].distance(pair[3]), 3))
        if _face_each_other(model, first.bend, second.bend):
            yield from _apart(model, metal, first, second)
        elif _are_level(model, first, second):
            yield from islice(_apart(model, metal, first, second), 1)


def _are_level(model: Folded, one: _Tip, other: _Tip) -> bool:
    """Whether two panels bent from different ones lie in one plane, as the feet of a hat do."""
    if one.bend.parent == other.bend.parent:
        return False
    normals = [model.face_normal(tip.panel, tip.inside) for tip in (one, other)]
    apart = height_above(model.spot(other.spot()), model.spot(one.spot()), normals[0])
    return normals[0].cross(normals[1]).length < math.sin(_SQUARE) and abs(apart) < _AS_FAR


def _face_each_other(model: Folded, one: FoldedBend, other: FoldedBend) -> bool:
    if one.parent != other.parent:
        return False
    if sum(bend.parent == one.parent for bend in model.bends) == 2:
        return True
    along, across = one.world_from_bend.x_axis, other.world_from_bend.x_axis
    return along.cross(across).length < math.sin(_SQUARE)


def _apart(model: Folded, metal: list[Prism], one: _Tip, other: _Tip) -> Iterator[Dimension]:
    for flip in (False, True):
        start, end = one.spot(flip=flip), other.spot(flip=flip)
        if flip or is_clear(metal, model.spot(start), model.spot(end)):
            yield Dimension(start=start, end=end)


def _heights(model: Folded, tip: _Tip) -> Iterator[Dimension]:
    """A tip's height from its parent's inside face, and over all from the outside face.

    Over all only where the tip, and not the round of its bend, is what stands highest.
    """
    parent = model.panels[tip.bend.parent].panel.name
    yield Dimension(
        start=tip.spot(),
        end=PanelFace(parent, parent, tip.inside, "folded"),
        what="height",
    )
    ground = PanelFace(parent, parent, other_face(tip.inside), "folded")
    whole = [
        Dimension(start=tip.spot(flip=flip), end=ground, what="height over all")
        for flip in (False, True)
    ]
    highest = max(whole, key=model.value)
    crown = 0.0
    if tip.bend.angle > math.pi / 2:
        radius = tip.bend.inside_radius + tip.bend.bent_thickness
        crown = tip.bend.inside_radius + model.thickness - radius * math.cos(tip.bend.angle)
    if model.value(highest) > crown - _LEVEL:
        yield highest


def _nearest_hole(model: Folded, tip: _Tip) -> Iterator[Dimension]:
    """From the nearest bolt or port beside a bend to its panel: square to one that stands square,
    else to its tip. The farther holes stand to it as on the flat.
    """
    parent = model.panels[tip.bend.parent].panel
    square = abs(tip.bend.angle - math.pi / 2) < _SQUARE
    end = PanelFace(tip.panel, tip.panel, tip.inside, "folded") if square else tip.spot()
    rows = [
        Dimension(
            start=Spot(parent.name, hole.centre, f"{hole.what} (middle)", tip.inside),
            end=end,
            critical=True,
        )
        for hole in parent.holes
        if hole.cut and hole.role in ("bolt", "port")
    ]
    if rows:
        yield min(rows, key=lambda row: round(model.value(row), 3))


def _diagonals(model: Folded, metal: list[Prism], corners: list[list[_Tip]]) -> Iterator[Dimension]:
    """From each tip the longest straight to a corner of the root that a tape can follow.

    Where bends take all of the root's corners, to a far corner of another panel.
    """
    root = model.bracket.root
    for tip, *_ in corners:
        inside: Face = tip.inside if tip.bend.parent == 0 else "top"
        own = [
            Spot(root.name, at, f"{root.name} corner{_meeting(root, i) or f' {i + 1}'}", inside)
            for i, at in enumerate(root.contour.corners)
        ]
        others = [far.spot() for each in corners for far in each if far.panel != tip.panel]
        for ends in (own, others):
            # the longest first, and the last of equals: rounded, as its last digit decides nothing
            straights = [Dimension(start=tip.spot(), end=end) for end in reversed(ends)]
            straights.sort(key=lambda each: -round(model.value(each), 6))
            found = (
                each
                for each in straights
                if on_part(each.end, model) and is_clear(metal, *model.ends(each))
            )
            if longest := next(found, None):
                yield longest
                break


# --- over all ---------------------------------------------------------------------------------


def _over_all(model: Folded) -> Iterator[Dimension]:
    """The finished part between two blades, along and across its root and square to it.

    What one panel's edges tell stands as on the flat.
    """
    ways = (
        ("left to right", Vector3(1.0, 0.0, 0.0)),
        ("bottom to top of the flat", Vector3(0.0, 1.0, 0.0)),
        ("square to the " + model.bracket.root.name, Vector3(0.0, 0.0, 1.0)),
    )
    for words, way in ways:
        first, last = _outermost(model, -way), _outermost(model, way)
        if first.panel != last.panel or abs(first.out.z) > _LEVEL:
            yield Dimension(start=first, end=last, what=f"over all, {words}")


def _outermost(model: Folded, way: Vector3) -> Touch:
    """Where a blade square to a direction touches, arcs and bends included exactly."""
    found: list[tuple[float, int, Touch]] = []
    for index, placed in enumerate(model.panels):
        frame = placed.world_from_panel
        own = frame.inverse().vector(way)
        level = Vector(own.x, own.y)
        height = model.height("top" if own.z >= 0 else "underside")
        segments = placed.panel.contour.segments
        ends = (
            [s.farthest(level) for s in segments]
            if level.length > _LEVEL
            else [s.start for s in segments]
        )
        at = max(ends, key=lambda p: round(p.x * level.x + p.y * level.y, 6))
        found.append(_touch(model, index, Point3(at.x, at.y, height), own, way))
    for bend in model.bends:
        frame = model.panels[bend.child].world_from_panel.inverse()
        for share in _crowns(bend, way):
            for along in (0.0, bend.length):
                p = bend.point(along, share, bend.bent_thickness)
                own = frame.vector(way)
                found.append(_touch(model, bend.child, frame.point3(p), own, way))
    # panels before bends, the first of equals: the last digit of a distance decides nothing
    most = max(reach for reach, _, _ in found)
    return next(touch for reach, _, touch in found if reach > most - _LEVEL)


def _touch(
    model: Folded, index: int, at: Point3, own: Vector3, way: Vector3
) -> tuple[float, int, Touch]:
    placed = model.panels[index]
    there = placed.world_from_panel.point3(at)
    reach = there.x * way.x + there.y * way.y + there.z * way.z
    face: Face = "top" if at.z > -model.thickness / 2 else "underside"
    return reach, index, Touch(placed.panel.name, at, own, placed.panel.name, face)


def _crowns(bend: FoldedBend, way: Vector3) -> Iterator[float]:
    """Where round a bend its outside faces a direction, as shares of its angle."""
    own = bend.world_from_bend.inverse().vector(way)
    if bend.flat or math.hypot(own.y, own.z) < _LEVEL:
        return
    # the outside's normal at a share s turns from away of the fold towards the child's way out
    fold = -1.0 if bend.bend.direction == "up" else 1.0
    turn = math.atan2(own.y, fold * own.z)
    if 0 < turn < bend.angle:
        yield turn / bend.angle
