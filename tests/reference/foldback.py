"""A DXF cut apart along its bend lines and folded in space, by code of its own.

Nothing here comes from the tool. The file gives the net profile, the middle line of every bend
strip and the holes; what a flat drawing cannot tell, the caller does: the thickness, and for each
bend line how far and which way the metal turns and by what rule. A folded place is in the frame of
the panel that is held still: its top face is z = 0, the metal lies below it, a fold up turns
towards +z. Millimetres and radians.

The rules are those of the design, written out again: a brake bend uses angle (r + k T) of the flat;
a ground groove of width w over a ligament t uses w and leaves max(0, w / angle - t / 2) inside; a
crease uses nothing and has no radius.
"""

from __future__ import annotations

import io
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import ezdxf
import numpy as np
import shapely

Array = Any

#: $INSUNITS of the DXF reference: 1 inch, 4 millimetre.
MM_PER_UNIT = {1: 25.4, 4: 1.0}

#: Share of the thickness, from the inside face of a bend, of what a length may be measured to.
SHARES = {"inside": 0.0, "centre": 0.5, "outside": 1.0}

#: A strip is cut out at least this wide, mm: panels come apart at a bend that uses no length, too.
_SLIT = 1e-7


@dataclass(frozen=True)
class Bend:
    """How far and which way the metal turns, the inside radius, and the flat length it uses.

    `metal` is the thickness that bends where a groove has taken the rest.
    """

    angle: float
    up: bool
    radius: float
    allowance: float
    metal: float | None = None


def braked(angle: float, up: bool, radius: float, k: float, thickness: float) -> Bend:
    return Bend(angle, up, radius, angle * (radius + k * thickness))


def scored(angle: float, up: bool, groove: float, ligament: float) -> Bend:
    return Bend(angle, up, max(0.0, groove / angle - ligament / 2), groove, ligament)


def creased(angle: float, up: bool) -> Bend:
    return Bend(angle, up, 0.0, 0.0)


# --- the flat, as read ------------------------------------------------------------------------


@dataclass(frozen=True)
class Flat:
    """One blank of a file: corners with bulges, bend lines (2 x 2), holes (x, y, diameter)."""

    corners: Array
    bends: tuple[Array, ...]
    holes: Array
    cutouts: tuple[Array, ...]

    @cached_property
    def outline(self) -> shapely.Polygon:
        """The profile, its arcs as chords that stay within 1e-4 mm."""
        return shapely.Polygon([p for a, b in self.sides for p in _chords(a, b)])

    def mirrored(self) -> Flat:
        """The other hand: x the other way, corners in order with the metal on the left."""
        turn = np.array([-1.0, 1.0, 1.0])

        def loop(corners: Array) -> Array:
            # a bulge belongs to the side that begins at its corner
            return np.column_stack([corners[::-1, :2] * turn[:2], np.roll(corners[::-1, 2], -1)])

        return Flat(
            corners=loop(self.corners),
            bends=tuple(line * turn[:2] for line in self.bends),
            holes=self.holes * turn,
            cutouts=tuple(loop(each) for each in self.cutouts),
        )

    @property
    def sides(self) -> Iterator[tuple[Array, Array]]:
        """Neighbouring corners, the first with its bulge."""
        return zip(self.corners, np.roll(self.corners, -1, axis=0), strict=True)


def read_dxf(data: bytes) -> list[Flat]:
    """The blanks of a file, from left to right, with what lies on each."""
    document = ezdxf.read(io.StringIO(data.decode()))
    scale, space = MM_PER_UNIT[document.header["$INSUNITS"]], document.modelspace()
    bulged = np.array([scale, scale, 1.0])

    def polylines(layer: str) -> list[Array]:
        found = space.query(f'LWPOLYLINE[layer=="{layer}"]')
        return [np.array(each.get_points("xyb")) * bulged for each in found]

    def ends(line: Any) -> Array:
        return np.array([(p.x, p.y) for p in (line.dxf.start, line.dxf.end)]) * scale

    lines = [ends(line) for line in space.query('LINE[layer=="BEND-LINES"]')]
    circles = [
        np.array([each.dxf.center.x, each.dxf.center.y, 2 * each.dxf.radius]) * scale
        for each in space.query('CIRCLE[layer=="NET-HOLES"]')
    ]
    inner = polylines("NET-HOLES")
    flats = []
    for corners in sorted(polylines("NET-PROFILE"), key=lambda c: float(c[:, 0].min())):
        bare = Flat(corners, (), np.empty((0, 3)), ())

        def on(at: Array, bare: Flat = bare) -> bool:
            return bool(bare.outline.distance(shapely.Point(at)) < 1)

        flats.append(
            Flat(
                corners=corners,
                bends=tuple(line for line in lines if on(line.mean(axis=0))),
                holes=np.array([c for c in circles if on(c[:2])]).reshape(-1, 3),
                cutouts=tuple(each for each in inner if on(each[0, :2])),
            )
        )
    return flats


def _chords(a: Array, b: Array) -> Iterator[Array]:
    """Points from one corner towards the next, without the last; bulge = tan(sweep / 4)."""
    start, end, bulge = a[:2], b[:2], a[2]
    if abs(bulge) < 1e-12:
        yield start
        return
    sweep, chord = 4 * math.atan(bulge), end - start
    left = np.array([-chord[1], chord[0]])
    # half the chord over tan(sweep / 2) is how far the centre lies to the left
    centre = (start + end) / 2 + left * (1 - bulge**2) / (4 * bulge)
    radius = math.dist(start, centre)
    step = 2 * math.acos(max(0.5, 1 - 1e-4 / radius))
    for turn in np.linspace(0, sweep, max(2, math.ceil(abs(sweep) / step)) + 1)[:-1]:
        cos, sin = math.cos(turn), math.sin(turn)
        yield centre + np.array([[cos, -sin], [sin, cos]]) @ (start - centre)


# --- folded -----------------------------------------------------------------------------------


@dataclass(frozen=True)
class Joint:
    """A bend between two panels: its middle on the blank, the way from parent to child there."""

    parent: int
    child: int
    bend: Bend
    line: Array
    out: Array

    def tangent(self, panel: int) -> Array:
        """A point of the blank on the tangent line where this panel's flat ends."""
        half = self.out * self.bend.allowance / 2
        return self.line.mean(axis=0) + (half if panel == self.child else -half)

    def away(self, panel: int) -> Array:
        """The way on the blank from a panel into the bend."""
        return -self.out if panel == self.child else self.out

    @property
    def swing(self) -> Array:
        """Takes the child from its place on the blank to its place beside the flat parent."""
        x, y = self.out
        # axis, out and up are a right-handed frame
        frame = np.array([[y, x, 0], [-x, y, 0], [0, 0, 1]])
        turn = self.bend.angle if self.bend.up else -self.bend.angle
        cos, sin = math.cos(turn), math.sin(turn)
        return frame @ np.array([[1, 0, 0], [0, cos, -sin], [0, sin, cos]]) @ frame.T


class Folded:
    """A flat folded up: panels by number, the one that holds `held` first."""

    def __init__(
        self, flat: Flat, thickness: float, bend_of: Callable[[Array], Bend], held: Array
    ) -> None:
        self.flat, self.thickness = flat, thickness
        bends = [bend_of(line) for line in flat.bends]
        strips = [_strip(*each) for each in zip(flat.bends, bends, strict=True)]
        left = flat.outline.difference(shapely.union_all(strips))
        self.panels = [part for part in shapely.get_parts(left) if part.area > 1e-2]
        first = min(self.panels, key=lambda part: part.distance(shapely.Point(held)))
        self.panels.sort(key=lambda part: part is not first)
        self.frames: list[Array] = [np.eye(4)] + [np.eye(4)] * (len(self.panels) - 1)
        self.joints: list[Joint] = []
        beside = [self._beside(*each) for each in zip(flat.bends, bends, strict=True)]
        reached = [0]
        for parent in reached:
            for line, bend, (right, left) in zip(flat.bends, bends, beside, strict=True):
                child = left if right == parent else right
                if parent not in (right, left) or child in reached:
                    continue
                out = _square_to(line) if right == parent else -_square_to(line)
                joint = Joint(parent=parent, child=child, bend=bend, line=line, out=out)
                self.joints.append(joint)
                self.frames[child] = self.frames[parent] @ self._step(joint)
                reached.append(child)
        assert sorted(reached) == list(range(len(self.panels))), "a panel hangs from no bend"

    def _beside(self, line: Array, bend: Bend) -> tuple[int, int]:
        """The panels on the right and on the left of a bend line."""
        reach = _square_to(line) * (bend.allowance / 2 + 1e-4)
        found = []
        for side in (-reach, reach):
            # a hole or a cut-out may lie on the middle; most of the line votes
            spots = [line[0] + (line[1] - line[0]) * s + side for s in (0.25, 0.5, 0.75)]
            numbers = [self.panel_at(spot) for spot in spots]
            found.append(max(set(numbers), key=numbers.count))
        return found[0], found[1]

    def _step(self, joint: Joint) -> Array:
        """From the child's place on the blank to its place when the parent lies flat."""
        bend, inside = joint.bend, joint.bend.radius
        near = joint.tangent(joint.parent)
        axis = np.array([*near, inside if bend.up else -self.thickness - inside])
        shift = np.array([*(-joint.out * bend.allowance), 0.0])
        step = np.eye(4)
        step[:3, :3] = joint.swing
        step[:3, 3] = axis + joint.swing @ (shift - axis)
        return step

    # --- places ---------------------------------------------------------------------------

    def panel_at(self, at: Array) -> int:
        """The number of the panel that a place of the blank lies on, or nearest to."""
        point = shapely.Point(at)
        return min(range(len(self.panels)), key=lambda n: self.panels[n].distance(point))

    def point(self, at: Array, face: str = "top", panel: int | None = None) -> Array:
        """Where a place of the blank is on the folded part."""
        number = self.panel_at(at) if panel is None else panel
        return self._lift(number, at, 0.0 if face == "top" else -self.thickness)

    def way(self, panel: int, direction: Array) -> Array:
        """A direction of the blank as it points on the folded part."""
        return self.frames[panel][:3, :2] @ direction

    def normal(self, panel: int) -> Array:
        """Square out of a panel's top face."""
        return self.frames[panel][:3, 2]

    def _lift(self, panel: int, at: Array, z: float) -> Array:
        return (self.frames[panel] @ np.array([*at, z, 1.0]))[:3]

    # --- measuring ------------------------------------------------------------------------

    def joint(self, panel: int, other: int) -> Joint:
        """The bend between two panels."""
        return next(j for j in self.joints if {j.parent, j.child} == {panel, other})

    def face_of(self, joint: Joint, to: str) -> str:
        """The face of the plate that is the inside or the outside of a bend."""
        return "top" if (to == "inside") == joint.bend.up else "underside"

    def beyond(self, panel: int, joint: Joint, to: str) -> float:
        """From a panel's tangent line to where a square or a tape finds the bend, along the panel.

        Up to a right angle that is where the panel's face meets its neighbour's; past it the
        farthest place of the round, where a square laid on it touches.
        """
        deep = SHARES[to] * self.thickness
        if joint.bend.angle > math.pi / 2:
            return joint.bend.radius + deep
        z = -deep if joint.bend.up else deep - self.thickness
        other = joint.parent if panel == joint.child else joint.child
        start = self._lift(panel, joint.tangent(panel), z)
        there = self._lift(other, joint.tangent(other), z)
        normal = self.normal(other)
        return float(normal @ (there - start) / (normal @ self.way(panel, joint.away(panel))))

    def from_bend(self, at: Array, panel: int, other: int, to: str) -> float:
        """From where a tape finds the bend to a place of the panel, square to the bend."""
        joint = self.joint(panel, other)
        flat = float((joint.tangent(panel) - at) @ joint.away(panel))
        return flat + self.beyond(panel, joint, to)

    def apart(self, one: int, other: int) -> float:
        """What a feeler finds between the flats of two panels, mm.

        From the corners of either, and places 1/8 of a side apart between them, to the other.
        """
        return min(self._from_slab(a, b) for a, b in ((one, other), (other, one)))

    def _from_slab(self, slab: int, other: int) -> float:
        corners = np.array(self.panels[other].exterior.coords)
        places = np.concatenate(
            [corners[:-1] + np.diff(corners, axis=0) * share / 8 for share in range(8)]
        )
        back = np.linalg.inv(self.frames[slab])
        found = []
        for z in (0.0, -self.thickness):
            raised = np.column_stack([places, np.full(len(places), z), np.ones(len(places))])
            local = raised @ (back @ self.frames[other]).T
            deep = np.maximum(0, np.maximum(local[:, 2], -self.thickness - local[:, 2]))
            flat = shapely.distance(self.panels[slab], shapely.points(local[:, :2]))
            found.append(float(np.hypot(deep, flat).min()))
        return min(found)

    def span(self, way: Array) -> tuple[float, float]:
        """The least and the most that the part reaches along a direction, a unit vector."""
        reach = [
            float(self.point(at, face, number) @ way)
            for number, panel in enumerate(self.panels)
            for at in panel.exterior.coords
            for face in ("top", "underside")
        ]
        for joint in self.joints:
            (centre, axis), bend = self.axis_of(joint), joint.bend
            outside, half = self.face_of(joint, "outside"), math.dist(*joint.line) / 2
            spokes = [
                self.point(joint.tangent(n), outside, n) - centre
                for n in (joint.parent, joint.child)
            ]
            first, last = (spoke / np.linalg.norm(spoke) for spoke in spokes)
            # the last spoke is the first, turned by the bend's angle
            square = (last - first * math.cos(bend.angle)) / math.sin(bend.angle)
            outer = bend.radius + (self.thickness if bend.metal is None else bend.metal)
            most = math.atan2(float(square @ way), float(first @ way))
            turns = [0.0, bend.angle, *(t for t in (most, most + math.pi) if 0 < t < bend.angle)]
            for turn in turns:
                spoke = first * math.cos(turn) + square * math.sin(turn)
                middle = float((centre + spoke * outer) @ way)
                reach += [middle + half * float(axis @ way), middle - half * float(axis @ way)]
        return min(reach), max(reach)

    def axis_of(self, joint: Joint) -> tuple[Array, Array]:
        """A point on the axis of a bend's round, and the axis' direction."""
        bend = joint.bend
        z = bend.radius if bend.up else -self.thickness - bend.radius
        along = joint.line[1] - joint.line[0]
        axis = self._lift(joint.parent, joint.tangent(joint.parent), z)
        return axis, self.way(joint.parent, along / np.linalg.norm(along))


def _strip(line: Array, bend: Bend) -> shapely.Polygon:
    along = (line[1] - line[0]) / math.dist(*line) * 1e-6
    half = _square_to(line) * max(bend.allowance, _SLIT) / 2
    a, b = line[0] - along, line[1] + along
    return shapely.Polygon([a - half, b - half, b + half, a + half])


def _square_to(line: Array) -> Array:
    """The unit direction to the left of a line."""
    along = line[1] - line[0]
    return np.array([-along[1], along[0]]) / np.linalg.norm(along)


def off_line(point: Array, start: Array, end: Array) -> float:
    """From a point in space square to a straight line."""
    way = (end - start) / np.linalg.norm(end - start)
    return float(np.linalg.norm(np.cross(point - start, way)))


def off_plane(point: Array, on: Array, normal: Array) -> float:
    """From a point in space square to a plane, positive on the side of its normal."""
    return float((point - on) @ normal / np.linalg.norm(normal))
