"""What stands beside a bracket in its picture: the wall, the body on it, the panels unfolded."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from platewright.drawing.view_direction import ViewDirection
from platewright.geometry.contour import Circle
from platewright.geometry.plane import Point
from platewright.geometry.space import Placing, Point3
from platewright.plate.bracket import Body
from platewright.plate.folded import Folded, FoldedBend
from platewright.plate.place import bend_step, edge_frame

#: Circles are drawn with chords within this, mm at full size.
SAGITTA = 0.2
#: The body is drawn this much as high as it is wide: its true height is not known.
_BODY_HEIGHT = 0.45
#: The wall is drawn this much beyond the bracket, as a share of the bracket's width.
_WALL_MARGIN = 0.08
_ARC_STEPS = 24

Row = tuple[Point3, ...]
"""Points along a line in space."""


def wall_corners(folded: Folded) -> Row:
    """The corners of the piece of wall to draw, round once; none without a wall."""
    bracket = folded.bracket
    if bracket.wall is None:
        return ()
    edge = bracket.root.straight_edge(bracket.wall)
    wall = Placing.flat(edge_frame(edge))
    from_world = wall.inverse()
    near = [
        from_world.point3(corner)
        for placed in folded.panels
        for each in folded.corners(placed.panel.name)
        for corner in (each.top, each.underside)
    ]
    margin = _WALL_MARGIN * (max(p.x for p in near) - min(p.x for p in near))
    left, right = min(p.x for p in near) - margin, max(p.x for p in near) + margin
    low, high = min(p.z for p in near) - margin, max(p.z for p in near) + margin
    ring = ((left, low), (right, low), (right, high), (left, high))
    return tuple(wall.point3(Point3(x, 0.0, z)) for x, z in ring)


def body_rows(folded: Folded, eye: ViewDirection) -> tuple[Row, ...]:
    """The body as a cylinder of its fullest diameter: far rim, near rim's front, two sides."""
    body = folded.bracket.body
    if body is None:
        return ()
    start, end = _body_heights(folded, body)
    circle = Circle(body.centre, body.diameter)
    rim = [*circle.flatten(SAGITTA)]
    far = tuple(Point3(p.x, p.y, end) for p in (*rim, rim[0]))
    half = math.asin(1.0)
    angles = [eye.azimuth - half + math.pi * i / 48 for i in range(49)]
    front = [_on(circle, angle) for angle in angles]
    near = tuple(Point3(p.x, p.y, start) for p in front)
    sides = ((Point3(p.x, p.y, start), Point3(p.x, p.y, end)) for p in (front[0], front[-1]))
    return (far, near, *sides)


def _body_heights(folded: Folded, body: Body) -> tuple[float, float]:
    height = _BODY_HEIGHT * body.diameter
    if body.face == "top":
        return 0.0, height
    return -folded.thickness, -folded.thickness - height


def _on(circle: Circle, angle: float) -> Point:
    return Point(
        circle.centre.x + circle.radius * math.cos(angle),
        circle.centre.y + circle.radius * math.sin(angle),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Unfolding:
    """A panel as it lay before its own bend was made, and the way one of its places swung."""

    number: int
    outline: Row
    swing: Row


def unfoldings(folded: Folded, eye: ViewDirection) -> Iterator[Unfolding]:
    """Every bend undone by itself, the others made."""
    for bend in folded.bends:
        flat = _swung(folded, bend, 0.0)
        height = _outside_height(folded, bend)
        tip = _swing_place(folded, bend, eye)
        yield Unfolding(
            number=bend.number,
            outline=tuple(flat.point(p, height) for p in _free_edges(bend)),
            swing=tuple(
                _swung(folded, bend, step / _ARC_STEPS).point(tip, height)
                for step in range(_ARC_STEPS + 1)
            ),
        )


def _free_edges(bend: FoldedBend) -> Iterator[Point]:
    """Along a child's outline from one end of its base round to the other."""
    panel = bend.bend.panel
    first = panel.edge_index(bend.bend.base) + 1
    segments = panel.contour.segments
    for k in range(len(segments) - 1):
        yield from segments[(first + k) % len(segments)].flatten(SAGITTA)[:-1]
    yield segments[first - 1].start


def _outside_height(folded: Folded, bend: FoldedBend) -> float:
    """Height in the child's frame of the face outside the fold."""
    return folded.height("underside" if bend.bend.direction == "up" else "top")


def _swung(folded: Folded, bend: FoldedBend, amount: float) -> Placing:
    """Where a bend's child stands when only that bend is made by an amount."""
    base = bend.bend.panel.straight_edge(bend.bend.base)
    base_from_child = Placing.flat(edge_frame(base).inverse())
    step = bend_step(bend.bend, folded.thickness, amount)
    return bend.world_from_bend @ step @ base_from_child


def _swing_place(folded: Folded, bend: FoldedBend, eye: ViewDirection) -> Point:
    """The place of a child whose swing is drawn: near its far edge, towards the eye."""
    base = bend.bend.panel.straight_edge(bend.bend.base)
    out = base.direction.left
    corners = bend.bend.panel.contour.corners
    reach = max((p - base.start).dot(out) for p in corners)
    place = folded.panels[bend.child].world_from_panel
    far = [p for p in corners if (p - base.start).dot(out) > reach - 0.5]
    tip = max(far, key=lambda p: eye.seen(place.point(p)).depth)
    other = min(far, key=lambda p: eye.seen(place.point(p)).depth)
    return tip.towards(other, 0.3).towards(base.point_at(0.5), 0.08)
