"""Panels that meet while they are folded, or when they are.

A panel counts with the bend that holds it. All bends are taken as made together, each by the same
share of its angle, and looked at in so many steps; what meets first between two steps is then
looked at closer. Boxes rule out most pairs over the whole sweep, in plain figures, so that a
bracket whose panels keep well apart needs no arrays, and only at the steps by which two parts
could have come together at the fastest they move; what is left is decided by the separating
axis theorem: two convex bodies are apart exactly when they are so along a normal of a
face of either or along a cross product of their edges, and the least overlap along any of these is
the least shift that would part them.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Any

from platewright.geometry.space import Placing, Point3, Vector3
from platewright.measuring.reach import part_inside
from platewright.plate.bend import radius_part_way
from platewright.plate.bracket import Bend, Bracket
from platewright.plate.folded import FLAT_ANGLE, folded
from platewright.plate.place import PlacedPanel, bend_step, edge_frame, place
from platewright.plate.prism import panel_polygons, parts_of, wedge_count
from platewright.values import dataclass

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[Any]

Panels = tuple[PlacedPanel, ...]

#: Parts that overlap by no more than this only touch, mm.
TOUCH = 0.1
#: The fold is looked at in so many steps.
_STEPS = 48
#: Between two steps the first meeting is looked for in so many shares, and in those again.
_SHARES = 16
_CLOSER = 3
MOST_MEETINGS = 60
"""So many pairs that meet are looked at closer: who has rolled a coil has seen it by then."""
#: Shorter sides are none, mm; edges whose cross product is shorter are parallel.
_SMALL = 1e-12
_SKEW = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """Two parts that meet: from which amount of the fold on, and whether they do when finished.

    `bend` is the bend whose turn brings them together (the last one between them), `angle` what
    it has turned by then, radians. `depth` is how deep they overlap when finished, or else at the
    first meeting found, mm.
    """

    first: str
    second: str
    bend: int
    angle: float
    amount: float
    finished: bool
    depth: float


@dataclass(frozen=True, slots=True)
class PanelOverlap:
    """Two panels that lie in each other, and how deep, mm."""

    first: str
    second: str
    depth: float


class Sweep:
    """A bracket on its way from flat to finished, looked at once for all that ask."""

    def __init__(self, bracket: Bracket) -> None:
        self._panels = panels = place(bracket, 0.0)
        self._thickness = thickness = bracket.stock.thickness
        self._hinges = [_Hinge.of(panels, index, thickness) for index in range(len(panels))]
        #: by their amounts: pairs that meet in one step are looked at closer in the same ones
        self._looked_at: dict[tuple[float, ...], _Stages] = {}
        self._stages = self._at([k / _STEPS for k in range(_STEPS + 1)])

    def _at(self, amounts: Sequence[float]) -> _Stages:
        if (found := self._looked_at.get(key := tuple(amounts))) is None:
            found = _Stages(self._panels, self._hinges, self._thickness, amounts)
            self._looked_at[key] = found
        return found

    @cached_property
    def on_the_blank(self) -> tuple[PanelOverlap, ...]:
        """Panels that lie in each other before anything is folded."""
        names = [placed.panel.name for placed in self._panels]
        return tuple(
            PanelOverlap(names[one], names[other], depth)
            for (one, other), (step, depth) in self._first.items()
            if step == 0
        )

    @cached_property
    def meetings(self) -> tuple[Contact, ...]:
        """Every two parts that meet on the way from flat to finished.

        Of more than `MOST_MEETINGS` first those that are in each other when finished.
        """
        met = [(pair, step, depth) for pair, (step, depth) in self._first.items() if step]
        if len(met) > MOST_MEETINGS:
            end = self._at([1.0])
            met.sort(key=lambda each: end.first(*each[0]) is None)
        return tuple(self._meeting(*each) for each in met[:MOST_MEETINGS])

    @cached_property
    def _first(self) -> dict[tuple[int, int], tuple[int, float]]:
        """The step at which two panels first overlap, and how deep, mm.

        Where a parent lies wholly on one side of the bend's line and its child on the other, no
        turn below half a turn brings them together.
        """
        panels = self._panels
        found = {
            (one, other): self._stages.first(one, other)
            for other in range(len(panels))
            for one in range(other)
            if panels[other].parent != one or not _keeps_apart(panels, other)
        }
        return {pair: first for pair, first in found.items() if first is not None}

    def _meeting(self, pair: tuple[int, int], step: int, depth: float) -> Contact:
        met, width = step / _STEPS, 1 / _STEPS
        for _ in range(_CLOSER):
            start, width = met - width, width / _SHARES
            amounts = [*(start + width * k for k in range(1, _SHARES)), met]
            first = self._at(amounts).first(*pair)
            assert first is not None
            met = amounts[first[0]]
        end = self._at([1.0]).first(*pair)
        last = max(_way_up(self._panels, pair[0]) ^ _way_up(self._panels, pair[1]))
        turning = self._panels[last]
        return Contact(
            first=self._panels[pair[0]].panel.name,
            second=self._panels[pair[1]].panel.name,
            bend=turning.number or 0,
            angle=turning.bend.angle * met if turning.bend else 0.0,
            amount=met,
            finished=end is not None,
            depth=end[1] if end is not None else depth,
        )


@lru_cache(maxsize=8)
def sweep_of(bracket: Bracket) -> Sweep:
    """The sweep of a bracket, made once for all that ask."""
    return Sweep(bracket)


def meeting_place(bracket: Bracket, meeting: Contact) -> Point3:
    """Where two parts first meet, in the root's frame: the middle of what lies in each other."""
    parts = parts_of(folded(bracket, meeting.amount))
    ones, others = (
        [prism for part in parts if part.panel == name for prism in part.prisms]
        for name in (meeting.first, meeting.second)
    )
    shared = [
        piece[0].midpoint(piece[1])
        for one in ones
        for other in others
        if one.centre.distance(other.centre) < one.radius + other.radius
        for edged, holder in ((one, other), (other, one))
        for start, end in edged.sides
        if (piece := part_inside(holder, start, end)) is not None
    ]
    if not shared:
        near = min(
            ((a.centre, b.centre) for a in ones for b in others),
            key=lambda pair: pair[0].distance(pair[1]),
        )
        return near[0].midpoint(near[1])
    x, y, z = (
        math.fsum(each) / len(shared)
        for each in zip(*((p.x, p.y, p.z) for p in shared), strict=True)
    )
    return Point3(x, y, z)


def _keeps_apart(panels: Panels, child: int) -> bool:
    placed = panels[child]
    assert placed.bend is not None
    assert placed.parent is not None
    parent, bend = panels[placed.parent].panel, placed.bend
    beyond = edge_frame(parent.bend_base(bend).reversed()).inverse()
    behind = edge_frame(bend.panel.straight_edge(bend.base)).inverse()
    return (
        max(beyond.point(p).y for p in parent.contour.flatten(0.05)) <= TOUCH / 2
        and min(behind.point(p).y for p in bend.panel.contour.flatten(0.05)) >= -TOUCH / 2
    )


def _way_up(panels: Panels, panel: int) -> set[int]:
    """The bent panels from one up to the root, itself too; the root has none."""
    way = set()
    at: int | None = panel
    while at is not None and panels[at].bend is not None:
        way.add(at)
        at = panels[at].parent
    return way


# --- the metal at several amounts ---------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Prism:
    """A convex prism at each amount: corners, unit vectors out of its faces and along its edges.

    Arrays by amount, then corner or direction, then x y z; not a number where there is none.
    """

    corners: Array
    normals: Array
    edges: Array


class _Stages:
    """Panels, each with the bend that holds it, at each of some amounts of the fold."""

    def __init__(
        self,
        panels: Panels,
        hinges: Sequence[_Hinge],
        thickness: float,
        amounts: Sequence[float],
    ) -> None:
        self._panels, self._hinges = panels, hinges
        self._thickness, self._amounts = thickness, amounts
        self._standing: dict[tuple[int, int], _Standing] = {}
        self._made: dict[int, tuple[list[_Prism], Array, Array]] = {}

    def first(self, one: int, other: int) -> tuple[int, float] | None:
        """The first amount, by its index, at which two parts overlap, and how deep, mm."""
        if not self._may_meet(one, other):
            return None
        import numpy as np

        (ones, low, high), (others, other_low, other_high) = self._prisms(one), self._prisms(other)
        boxes = _overlap(low[:, :, None], high[:, :, None], other_low[:, None], other_high[:, None])
        depths = np.where(boxes, np.inf, 0.0)
        for i, j in zip(*np.nonzero(boxes.any(0)), strict=True):
            at = np.nonzero(boxes[:, i, j])[0]
            depths[at, i, j] = _in_faces(ones[i], others[j], at)
        for step in np.nonzero((depths > TOUCH).any((1, 2)))[0].tolist():
            depth = max(
                min(depths[step, i, j], _across_edges(ones[i], others[j], step))
                for i, j in zip(*np.nonzero(depths[step] > TOUCH), strict=True)
            )
            if depth > TOUCH:
                return step, float(depth)
        return None

    def _may_meet(self, one: int, other: int) -> bool:
        """Whether boxes round two parts ever fail to show them apart."""
        amounts, closing = self._amounts, self._closing(one, other)
        step, last = 0, len(amounts) - 1
        while True:
            boxes, others = (self._stand(index, step).boxes for index in (one, other))
            gap = min(_gap(a, b) for a in boxes for b in others)
            if gap < -TOUCH:
                return True
            if step == last:
                return False
            # the last is never passed over: what a way says of a whole bend need not agree with
            # what it says of one nearly made
            soonest = bisect_left(amounts, amounts[step] + max(0.0, gap) / closing)
            # by a power of two, so that pairs are looked at in the same steps
            step = min(last, step + (1 << max(0, (soonest - step).bit_length() - 1)))

    def _closing(self, one: int, other: int) -> float:
        """More than two parts can come nearer in a whole fold, mm, were they to do so all along.

        A point h from a bend's tangent line moves by at most angle (h + L/2 + T) for each whole
        fold: the line's own place is the end of an arc of length L, whose share is
        |d/da (e^ia - 1)/ia| <= 1/2, set off by at most T. Beyond the next bend h is its reach more.
        """
        ways = [_way_up(self._panels, index) for index in (one, other)]
        closing = 0.0
        for way, rest in (ways, reversed(ways)):
            reach = 0.0
            for index in sorted(way - rest, reverse=True):
                reach += self._hinges[index].reach
                closing += self._hinges[index].angle * reach
        return closing

    def _stand(self, index: int, step: int) -> _Standing:
        """Where a part stands at one of the amounts (see `parent_from_child`)."""
        if (found := self._standing.get((index, step))) is not None:
            return found
        hinge = self._hinges[index]
        bend, panel = hinge.bend, Placing()
        before = panel
        metal: tuple[_Box, ...] = ()
        if bend is not None:
            amount, thickness = self._amounts[step], self._thickness
            before = self._stand(hinge.parent, step).panel @ hinge.parent_from_edge
            panel = before @ bend_step(bend, thickness, amount) @ hinge.base_from_child
            reach = _bend_reach(bend, thickness, amount, hinge.length)
            metal = (_Box.of(before, *reach),)
        found = _Standing(before, panel, (_Box.of(panel, hinge.low, hinge.high), *metal))
        self._standing[index, step] = found
        return found

    def _prisms(self, index: int) -> tuple[list[_Prism], Array, Array]:
        """The prisms of a part, with the least and greatest x y z of each at each amount."""
        import numpy as np

        if index not in self._made:
            made = [*self._plates(index), *self._wedges(index)]
            low, high = (np.stack([f(p.corners, 1) for p in made], 1) for f in (np.min, np.max))
            self._made[index] = made, low, high
        return self._made[index]

    def _stands(self, index: int) -> list[_Standing]:
        return [self._stand(index, step) for step in range(len(self._amounts))]

    def _plates(self, index: int) -> Iterator[_Prism]:
        """A panel's plate (see `panel_prisms`)."""
        import numpy as np

        frame = _Frame.of(stood.panel for stood in self._stands(index))
        for polygon in panel_polygons(self._panels[index].panel):
            ring = np.array([(p.x, p.y, 0.0) for p in polygon])
            sides = np.roll(ring, -1, 0) - ring
            edges = np.concatenate(([(0.0, 0.0, 1.0)], sides[sides.any(1)]))
            yield frame.prism(np.concatenate((ring, ring - (0.0, 0.0, self._thickness))), edges)

    def _wedges(self, index: int) -> Iterator[_Prism]:
        """The metal of the bend that holds a panel (see `bend_prisms`).

        As many at every amount: where fewer would do, the last one is there several times.
        """
        import numpy as np

        bend = self._panels[index].bend
        if bend is None:
            return
        thickness, way, count = self._thickness, bend.way, len(self._amounts)
        allowance, deep = way.allowance(bend.angle, thickness), way.bent_thickness(thickness)
        turned = bend.angle * np.array(self._amounts)
        flat = turned < FLAT_ANGLE
        inside, counts = np.zeros(count), np.ones(count)
        for k in np.nonzero(~flat)[0].tolist():
            inside[k] = radius_part_way(way, bend.angle, thickness, self._amounts[k])
            counts[k] = wedge_count(turned[k], inside[k] + deep)
        # corners by amount, wedge, and round the wedge: its first end, then its last
        last = np.minimum(np.arange(counts.max()) + 1, counts[:, None])
        share = np.stack((last - 1, last - 1, last, last), -1) / counts[:, None, None]
        depth = np.array((0.0, deep, deep, 0.0))
        turn, radius = share * turned[:, None, None], inside[:, None, None] + depth
        unmade = flat[:, None, None]
        out = np.where(unmade, share * allowance, radius * np.sin(turn))
        rise = np.where(unmade, 0.0, radius * 2 * np.sin(turn / 2) ** 2)
        up = rise - depth if bend.direction == "up" else depth - thickness - rise
        rings = np.stack((np.zeros_like(out), out, up), -1)
        if allowance < _SMALL:
            rings[flat] = np.nan
        sides = np.roll(rings, -1, 2) - rings
        sides[(np.abs(sides) <= _SMALL).all(-1)] = np.nan
        frame = _Frame.of(stood.bend for stood in self._stands(index))
        length = bend.panel.straight_edge(bend.base).length
        along = np.broadcast_to((1.0, 0.0, 0.0), (count, 1, 3))
        for wedge in range(rings.shape[1]):
            ring = rings[:, wedge]
            corners = np.concatenate((ring, ring + np.array((length, 0.0, 0.0))), 1)
            yield frame.prism(corners, np.concatenate((along, sides[:, wedge]), 1))


@dataclass(frozen=True, slots=True)
class _Box:
    """A box that may lie askew: half its sides along its axes; and the upright box round it."""

    at: Placing
    middle: Point3
    half: tuple[float, float, float]
    wide: float
    deep: float
    high: float

    @classmethod
    def of(cls, at: Placing, low: Point3, high: Point3) -> _Box:
        """From two corners of it in a frame."""
        # in plain figures, as below: asked at every step of every part
        x, y, z = half = ((high.x - low.x) / 2, (high.y - low.y) / 2, (high.z - low.z) / 2)
        p, q, r = at.x_axis, at.y_axis, at.z_axis
        return cls(
            at,
            at.point3(low.midpoint(high)),
            half,
            abs(p.x) * x + abs(q.x) * y + abs(r.x) * z,
            abs(p.y) * x + abs(q.y) * y + abs(r.y) * z,
            abs(p.z) * x + abs(q.z) * y + abs(r.z) * z,
        )

    def reach(self, way: Vector3) -> float:
        """How far it reaches from its middle along a unit vector, mm."""
        (x, y, z), at = self.half, self.at
        return (
            abs(at.x_axis.dot(way)) * x + abs(at.y_axis.dot(way)) * y + abs(at.z_axis.dot(way)) * z
        )


@dataclass(frozen=True, slots=True)
class _Hinge:
    """What stays of a panel while it is folded: a box round its plate, and how its bend holds it.

    `length` and `angle` are the bend's; nothing of the two lies farther than `reach` from its line.
    The root has no bend and stands by itself.
    """

    low: Point3
    high: Point3
    bend: Bend | None = None
    parent: int = 0
    parent_from_edge: Placing = Placing()
    base_from_child: Placing = Placing()
    length: float = 0.0
    angle: float = 0.0
    reach: float = 0.0

    @classmethod
    def of(cls, panels: Panels, index: int, thickness: float) -> _Hinge:
        """From the panels of a bracket, of any amount of the fold."""
        placed = panels[index]
        box, bend = placed.panel.contour.bounds, placed.bend
        low, high = Point3(box.xmin, box.ymin, -thickness), Point3(box.xmax, box.ymax, 0.0)
        if bend is None or placed.parent is None:
            return cls(low, high)
        edge = panels[placed.parent].panel.bend_base(bend).reversed()
        base = placed.panel.straight_edge(bend.base)
        on_parent, child = edge_frame(edge), edge_frame(base).inverse()
        frames = Placing.flat(on_parent), Placing.flat(child)
        reach = math.hypot(box.width, box.height) + 3 * thickness
        reach += bend.way.allowance(bend.angle, thickness)
        return cls(low, high, bend, placed.parent, *frames, base.length, bend.angle, reach)


@dataclass(frozen=True, slots=True)
class _Standing:
    """A part at one amount: the frame of the bend that holds it, its panel's, boxes round both."""

    bend: Placing
    panel: Placing
    boxes: tuple[_Box, ...]


def _gap(a: _Box, b: _Box) -> float:
    """How far two boxes are apart at least, mm, as an upright face shows, or else one of their own.

    Below 0 where all show them to overlap.
    """
    here, there = a.middle, b.middle
    upright = max(
        abs(there.x - here.x) - a.wide - b.wide,
        abs(there.y - here.y) - a.deep - b.deep,
        abs(there.z - here.z) - a.high - b.high,
    )
    if upright >= -TOUCH:
        return upright
    between = there - here
    return max(
        abs(between.dot(way)) - a.reach(way) - b.reach(way)
        for at in (a.at, b.at)
        for way in (at.x_axis, at.y_axis, at.z_axis)
    )


def _bend_reach(
    bend: Bend, thickness: float, amount: float, length: float
) -> tuple[Point3, Point3]:
    """Two corners of a box round a bend's metal, in the frame of its parent's edge."""
    angle, deep = bend.angle * amount, bend.way.bent_thickness(thickness)
    out, rise, back = bend.way.allowance(bend.angle, thickness), 0.0, 0.0
    if angle >= FLAT_ANGLE:
        radius = radius_part_way(bend.way, bend.angle, thickness, amount) + deep
        # 2 sin² of the half angle is 1 - cos
        out, rise = radius * math.sin(min(angle, math.pi / 2)), radius
        rise *= 2 * math.sin(min(angle, math.pi) / 2) ** 2
        back = radius if angle > math.pi else 0.0
    if bend.direction == "up":
        return Point3(0.0, -back, -deep), Point3(length, out, rise)
    return Point3(0.0, -back, -thickness - rise), Point3(length, out, deep - thickness)


def _overlap(low: Array, high: Array, other_low: Array, other_high: Array) -> Array:
    """Whether boxes overlap by more than a touch in x, y and z."""
    import numpy as np

    shared = np.minimum(high, other_high) - np.maximum(low, other_low)
    found: Array = np.all(shared > TOUCH, axis=-1)
    return found


def _in_faces(a: _Prism, b: _Prism, at: Array) -> Array:
    """How deep two prisms overlap across the faces of either, mm, at each of some amounts."""
    import numpy as np

    depth = np.full(len(at), np.inf)
    for normals in (a.normals, b.normals):
        along = normals[at]
        here, there = (along @ p.corners[at].transpose(0, 2, 1) for p in (a, b))
        shift = np.minimum(here.max(2) - there.min(2), there.max(2) - here.min(2))
        depth = np.fmin(depth, np.fmin.reduce(shift, 1))
    return depth


def _across_edges(a: _Prism, b: _Prism, at: int) -> float:
    """How deep two prisms overlap across the cross products of their edges, mm."""
    import numpy as np

    along = np.cross(a.edges[at][:, None], b.edges[at][None]).reshape(-1, 3)
    size = np.linalg.norm(along, axis=1)
    along = along[size > _SKEW] / size[size > _SKEW][:, None]
    if not len(along):
        return math.inf
    here, there = along @ a.corners[at].T, along @ b.corners[at].T
    return float(min((here.max(1) - there.min(1)).min(), (there.max(1) - here.min(1)).min()))


@dataclass(frozen=True, slots=True)
class _Frame:
    """Placings at each amount: unit vectors x y z by row, and origins."""

    axes: Array
    origin: Array

    @classmethod
    def of(cls, placings: Iterable[Placing]) -> _Frame:
        import numpy as np

        rows = [
            [(v.x, v.y, v.z) for v in (p.x_axis, p.y_axis, p.z_axis, p.origin)] for p in placings
        ]
        return cls(np.array(rows)[:, :3], np.array(rows)[:, 3:])

    def prism(self, corners: Array, edges: Array) -> _Prism:
        """What is a prism in this frame; `edges` lie in the plane square to the first of them."""
        import numpy as np

        with np.errstate(invalid="ignore"):
            sides = edges / np.linalg.norm(edges, axis=-1, keepdims=True)
        normals = np.concatenate(
            (sides[..., :1, :], np.cross(sides[..., 1:, :], sides[..., :1, :])), -2
        )
        return _Prism(corners @ self.axes + self.origin, normals @ self.axes, sides @ self.axes)
