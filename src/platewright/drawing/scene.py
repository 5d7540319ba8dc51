"""What a picture of a bracket shows: wall, body, unfolded panels, and where names may stand."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import cached_property
from itertools import chain, pairwise

from platewright.drawing.picture import Picture, Run
from platewright.drawing.view_direction import ViewDirection
from platewright.geometry.contour import Circle
from platewright.geometry.plane import Bounds, Point, Vector
from platewright.geometry.space import Placing, Point3
from platewright.plate.folded import Folded, FoldedBend
from platewright.plate.place import PlacedPanel, bend_step, edge_frame
from platewright.values import dataclass

#: Circles are drawn with chords within this, mm at full size.
SAGITTA = 0.2
#: The body is drawn this much as high as it is wide: its true height is not known.
_BODY_HEIGHT = 0.45
#: The wall is drawn this much beyond the bracket, as a share of the bracket's width.
_WALL_MARGIN = 0.08
_ARC_STEPS = 24
#: Where a panel's name may stand: shares of the way from its middle to its outline.
_SPREAD = (0.3, 0.6)

Row = tuple[Point3, ...]
"""Points along a line in space."""


@dataclass(frozen=True)
class Path:
    """A line as it comes to stand on the sheet, and its parts that the bracket does not hide."""

    whole: Run
    seen: tuple[Run, ...]

    @cached_property
    def length(self) -> float:
        """Its length on the sheet, mm at full size."""
        return math.fsum(a.distance(b) for a, b in pairwise(self.whole))


@dataclass(frozen=True)
class Scene:
    """Everything in a picture, in space: the bracket seen, and what stands beside it.

    A panel unfolded (`ghosts`), its swing, and whether the eye sees the swing's tip go together. Of
    the wall's corners and the places where names and bends may be pointed at, those that the eye
    sees are told.
    """

    model: Folded
    picture: Picture
    wall: Row
    wall_seen: Row
    body: tuple[Path, ...]
    ghosts: tuple[Path, ...]
    swings: tuple[Path, ...]
    tips_seen: tuple[bool, ...]
    names: tuple[tuple[str, Row], ...]
    bends: tuple[tuple[FoldedBend, Row], ...]

    @cached_property
    def bounds(self) -> Bounds:
        """The box round every line of it on the sheet, at full size."""
        seen, wall = self.picture.corners, map(self.picture.eye.on_sheet, self.wall)
        paths = (path.whole for path in (*self.body, *self.ghosts, *self.swings))
        corners = (Point(*at[:2]) for at in (seen.min(axis=0).tolist(), seen.max(axis=0).tolist()))
        return Bounds.of(*corners, *wall, *chain.from_iterable(paths))


def scenes_of(model: Folded, pictures: Iterable[Picture]) -> Iterator[Scene]:
    """What each of some pictures of a folded bracket shows."""
    wall, on_bends = wall_corners(model), [_bend_places(bend) for bend in model.bends]
    for picture in pictures:
        eye, body = picture.eye, body_rows(model, picture.eye)
        loose = tuple(unfoldings(model, eye))
        lines = [*body, *(row for each in loose for row in (each.outline, each.swing))]
        paths = tuple(Path(*each) for each in picture.visible(*lines))
        on_panels = [_panel_places(placed, model.thickness, eye) for placed in model.panels]
        tips = [each.swing[-1] for each in loose]
        wall_seen, tips_seen, *seen = picture.seen(wall, tips, *on_panels, *on_bends)
        yield Scene(
            model=model,
            picture=picture,
            wall=wall,
            wall_seen=wall_seen,
            body=paths[: len(body)],
            ghosts=paths[len(body) :: 2],
            swings=paths[len(body) + 1 :: 2],
            tips_seen=tuple(tip in tips_seen for tip in tips),
            # a panel of which little is seen is not named
            names=tuple(
                (placed.panel.name, seen if 3 * len(seen) > len(places) else ())
                for placed, places, seen in zip(model.panels, on_panels, seen, strict=False)
            ),
            bends=tuple(zip(model.bends, seen[len(on_panels) :], strict=True)),
        )


def _panel_places(placed: PlacedPanel, thickness: float, eye: ViewDirection) -> Row:
    """Places of a panel's face that is turned to the eye, its middle first."""
    motion, ring = placed.world_from_panel, placed.panel.contour.flatten(2.0)
    height = 0.0 if motion.z_axis.dot(eye.towards) > 0 else -thickness
    x, y = math.fsum(p.x for p in ring), math.fsum(p.y for p in ring)
    middle = Point(x / len(ring), y / len(ring))
    step = max(1, len(ring) // 8)
    spots = [middle, *(middle.towards(p, share) for share in _SPREAD for p in ring[::step])]
    return tuple(motion.point(p, height) for p in spots if placed.panel.contour.contains(p))


def _bend_places(bend: FoldedBend) -> Row:
    """Places on a bend where it may be pointed at, those near its middle first."""
    return tuple(
        bend.point(bend.length * along, share, depth)
        for share, depths in (
            (0.5, (bend.bent_thickness, 0.0)),
            # where the bend itself is out of sight: the rims of its groove
            (1.0, (bend.thickness, 0.0)),
            (0.0, (bend.thickness, 0.0)),
        )
        for along in (0.5, 0.6, 0.4, 0.75, 0.25, 0.9, 0.1)
        for depth in depths
    )


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
    height = _BODY_HEIGHT * body.diameter
    start, end = 0.0, height
    if body.face == "underside":
        start, end = -folded.thickness, -folded.thickness - height
    rim = Circle(body.centre, body.diameter).flatten(SAGITTA)
    far = tuple(Point3(p.x, p.y, end) for p in (*rim, rim[0]))
    angles = [eye.azimuth - math.pi / 2 + math.pi * i / 48 for i in range(49)]
    front = [body.centre + Vector.polar(angle, body.diameter / 2) for angle in angles]
    near = tuple(Point3(p.x, p.y, start) for p in front)
    sides = ((Point3(p.x, p.y, start), Point3(p.x, p.y, end)) for p in (front[0], front[-1]))
    return (far, near, *sides)


@dataclass(frozen=True, slots=True, kw_only=True)
class Unfolding:
    """A panel as it lay before its own bend was made, and the way one of its places swung."""

    number: int
    outline: Row
    swing: Row


def unfoldings(folded: Folded, eye: ViewDirection) -> Iterator[Unfolding]:
    """Every bend undone by itself, the others made."""
    swings: dict[tuple[object, ...], list[Placing]] = {}  # many bends are made alike
    for bend in folded.bends:
        base = bend.bend.panel.straight_edge(bend.bend.base)
        base_from_child = Placing.flat(edge_frame(base).inverse())
        flat = bend.world_from_bend @ bend_step(bend.bend, folded.thickness, 0.0) @ base_from_child
        # the face outside the fold, in the child's frame
        height = folded.height("underside" if bend.bend.direction == "up" else "top")
        tip = base_from_child.point(_swing_place(folded, bend, eye), height)
        made = bend.bend.way, bend.bend.angle, bend.bend.direction
        if made not in swings:
            swings[made] = [
                bend_step(bend.bend, folded.thickness, step / _ARC_STEPS)
                for step in range(_ARC_STEPS + 1)
            ]
        yield Unfolding(
            number=bend.number,
            outline=tuple(flat.point(p, height) for p in _free_edges(bend)),
            swing=tuple(bend.world_from_bend.point3(step.point3(tip)) for step in swings[made]),
        )


def _free_edges(bend: FoldedBend) -> Iterator[Point]:
    """Along a child's outline from one end of its base round to the other."""
    panel = bend.bend.panel
    first = panel.edge_index(bend.bend.base) + 1
    segments = panel.contour.segments
    for k in range(len(segments) - 1):
        yield from segments[(first + k) % len(segments)].flatten(SAGITTA)[:-1]
    yield segments[first - 1].start


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
