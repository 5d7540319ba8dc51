"""Parts made wrong and measured, by code of their own.

A blank's outline, holes and bend lines become bare points; something is done to them as a shop does
it; they are folded by the code of `reference.foldback` and read with a tape that has divisions. Of
the tool comes only which dimensions are asked for, and where their ends lie on a true part.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np
import shapely

from platewright.geometry.plane import Vector
from platewright.geometry.segment import Arc
from platewright.measuring.dimensions import Measured
from platewright.plate.bend import Brake, ScoreFold
from platewright.plate.dimension import PanelFace, Spot, Straight, Touch
from platewright.plate.piece import Piece
from platewright.readings.reading import Reading, State
from platewright.sheets.rows import flat_rows, folded_rows
from reference.foldback import (
    Array,
    Bend,
    Flat,
    Folded,
    braked,
    creased,
    off_line,
    off_plane,
    scored,
)

MOST = 30
"""No more readings than this are taken of one part."""

_NEAR = 1e-5

Feature = tuple[Any, ...]


def flat_of(piece: Piece) -> Flat:
    """The blank as bare points."""
    blank = piece.blank
    corners = [
        (s.start.x, s.start.y, s.bulge if isinstance(s, Arc) else 0.0)
        for s in blank.outline.segments
    ]
    lines = [np.array([(p.x, p.y) for p in (b.line.start, b.line.end)]) for b in blank.bends]
    holes = [(h.centre.x, h.centre.y, h.diameter) for h in blank.holes]
    return Flat(np.array(corners), tuple(lines), np.array(holes).reshape(-1, 3), ())


def bends_of(piece: Piece) -> list[Bend]:
    """What each bend is to be."""
    thickness, found = piece.bracket.stock.thickness, []
    for bend in piece.blank.bends:
        up, way = bend.direction == "up", bend.way
        if isinstance(way, ScoreFold):
            found.append(scored(bend.angle, up, way.groove, way.ligament))
        elif isinstance(way, Brake):
            found.append(braked(bend.angle, up, way.radius, way.k, thickness))
        else:
            found.append(creased(bend.angle, up))
    return found


# --- doing it wrong ---------------------------------------------------------------------------


@dataclass(frozen=True)
class Wrong:
    """A part made otherwise: its flat, its bends, its marks' scales; what was done, by how much.

    `tape` is what goes wrong with a reading: from what it should show, whether its hook hangs over
    an edge, and its letter.
    """

    flat: Flat
    bends: list[Bend]
    scale: tuple[float, float] = (1.0, 1.0)
    done: dict[str, float] = field(default_factory=dict)
    tape: Callable[[float, bool, str, bool], float] = lambda value, *_: value

    @property
    def unscaled(self) -> Array:
        """The outline's corners before the paper came out too large: its arcs are round there."""
        return self.flat.corners / np.array([*self.scale, 1.0])


def printed(part: Wrong, across: float, up: float, name: str) -> Wrong:
    """The paper came out too large by these shares."""
    by = np.array([1 + across, 1 + up])
    flat = part.flat
    holes, corners = flat.holes.copy(), flat.corners.copy()
    holes[:, :2] *= by
    corners[:, :2] *= by
    lines = tuple(line * by for line in flat.bends)
    return replace(
        part,
        flat=replace(flat, corners=corners, holes=holes, bends=lines),
        scale=(1 + across, 1 + up),
        done=part.done | {name: across or up},
    )


def cut_in(part: Wrong, by: Mapping[int, float], name: str, size: float) -> Wrong:
    """Sides of the outline cut inside their lines, mm; each end stays on both its sides."""
    corners, count = part.flat.corners, len(part.flat.corners)
    moved = corners.copy()
    for i in range(count):
        before, after = (i - 1) % count, i
        ways = [_leaving(corners, before, at_end=True), _leaving(corners, after, at_end=False)]
        outs = [np.array([way[1], -way[0]]) for way in ways]
        less = np.array([by.get(before, 0.0), by.get(after, 0.0)])
        if abs(ways[0][0] * ways[1][1] - ways[0][1] * ways[1][0]) > 0.05:
            step = np.linalg.solve(np.array(outs), -less)
        else:
            step = -(outs[0] * less[0] + outs[1] * less[1]) / 2
        moved[i, :2] += step
    lines = tuple(_from_edge_to_edge(line, corners, moved) for line in part.flat.bends)
    flat = replace(part.flat, corners=moved, bends=lines)
    return replace(part, flat=flat, done=part.done | {name: size})


def _from_edge_to_edge(line: Array, corners: Array, moved: Array) -> Array:
    """A bend's line as it is scribed: from edge to edge, wherever those are now."""
    along, ends = (line[1] - line[0]) / math.dist(*line), line.copy()
    done: set[int] = set()
    for i in range(len(corners)):
        j = (i + 1) % len(corners)
        if corners[i, 2]:
            continue
        a, b = corners[i, :2], corners[j, :2]
        way = (b - a) / math.dist(a, b)
        for n, end in enumerate(line):
            run, off = float((end - a) @ way), float((end - a) @ [way[1], -way[0]])
            crossing = abs(along[0] * way[1] - along[1] * way[0])
            if abs(off) < _NEAR and -_NEAR < run < math.dist(a, b) + _NEAR and crossing > 0.2:
                p, q = moved[i, :2], moved[j, :2]
                if n not in done:
                    there = np.linalg.solve(np.column_stack([along, p - q]), p - end)[0]
                    ends[n] += along * there
                    done.add(n)
    return ends


def _leaving(corners: Array, side: int, *, at_end: bool) -> Array:
    """The way of a side at one of its ends, a unit vector."""
    a, b = corners[side], corners[(side + 1) % len(corners)]
    chord = (b[:2] - a[:2]) / math.dist(a[:2], b[:2])
    half = 2 * math.atan(a[2]) * (1 if at_end else -1)
    cos, sin = math.cos(half), math.sin(half)
    return np.array([cos * chord[0] - sin * chord[1], sin * chord[0] + cos * chord[1]])


def holes_moved(part: Wrong, by: Mapping[int, Array], name: str, size: float) -> Wrong:
    """Holes elsewhere."""
    holes = part.flat.holes.copy()
    for number, way in by.items():
        holes[number, :2] += way
    return replace(part, flat=replace(part.flat, holes=holes), done=part.done | {name: size})


def line_moved(part: Wrong, number: int, by: float, turn: float, name: str) -> Wrong:
    """A bend's line displaced to its right, mm, or turned about its middle, radians."""
    line = part.flat.bends[number - 1]
    along = (line[1] - line[0]) / math.dist(*line)
    middle = line.mean(axis=0) + np.array([along[1], -along[0]]) * by
    cos, sin = math.cos(turn), math.sin(turn)
    spin = np.array([[cos, -sin], [sin, cos]])
    lines = list(part.flat.bends)
    lines[number - 1] = (line - line.mean(axis=0)) @ spin.T + middle
    flat = replace(part.flat, bends=tuple(lines))
    return replace(part, flat=flat, done=part.done | {name: by or turn})


def bent(part: Wrong, by: Mapping[int, Bend], name: str, size: float) -> Wrong:
    """Bends that came out otherwise."""
    bends = [by.get(number, each) for number, each in enumerate(part.bends, 1)]
    return replace(part, bends=bends, done=part.done | {name: size})


# --- measuring --------------------------------------------------------------------------------


class Bench:
    """A true piece, and where what is measured on it is found on a wrong one."""

    def __init__(self, piece: Piece, flat: Flat | None = None) -> None:
        self.piece, self.flat, self.bends = piece, flat or flat_of(piece), bends_of(piece)
        self.thickness = piece.bracket.stock.thickness
        self.true = Wrong(self.flat, self.bends)
        self._points: dict[tuple[float, float], Feature] = {}
        self.middles = np.array([line.mean(axis=0) for line in self.flat.bends]).reshape(-1, 2)
        root = piece.blank.panels[0]
        inside = root.panel.contour.bounds.centre
        held = root.blank_from_panel.point(inside)
        self.folded = Folded(self.flat, self.thickness, self._bend, np.array([held.x, held.y]))
        self.numbers = {
            placed.panel.name: self.folded.panel_at(self._inside(placed))
            for placed in piece.blank.panels
        }

    def _bend(self, line: Array) -> Bend:
        away = np.linalg.norm(self.middles - line.mean(axis=0), axis=1)
        return self.bends[int(away.argmin())]

    def _inside(self, placed: Any) -> Array:
        """A place well within a panel, beside the middle of one of its sides."""
        contour = placed.panel.contour
        best, most = None, -1.0
        for x in np.linspace(contour.bounds.xmin, contour.bounds.xmax, 9)[1:-1]:
            for y in np.linspace(contour.bounds.ymin, contour.bounds.ymax, 9)[1:-1]:
                p = type(contour.segments[0].start)(float(x), float(y))
                if contour.contains(p) and contour.distance(p) > most:
                    best, most = p, contour.distance(p)
        assert best is not None
        there = placed.blank_from_panel.point(best)
        return np.array([there.x, there.y])

    # --- what is where --------------------------------------------------------------------

    def point_at(self, at: Array) -> Feature:
        """What of the true blank a place is: looked for once."""
        key = float(at[0]), float(at[1])
        found = self._points.get(key)
        if found is None:
            found = self._points[key] = self._point_at(at)
        return found

    def _point_at(self, at: Array) -> Feature:
        flat = self.flat
        for i, hole in enumerate(flat.holes):
            if math.dist(hole[:2], at) < _NEAR:
                return "hole", i
        for i, line in enumerate(flat.bends):
            for share in (0.0, 0.5, 1.0):
                if math.dist(line[0] + share * (line[1] - line[0]), at) < _NEAR:
                    return "bend", i, share
        for i, corner in enumerate(flat.corners):
            if math.dist(corner[:2], at) < _NEAR:
                return "corner", i
        near = []
        for i, (a, b) in enumerate(flat.sides):
            if a[2] == 0:
                along = (b - a)[:2] / math.dist(a[:2], b[:2])
                run, off = float((at - a[:2]) @ along), (at - a[:2]) @ [along[1], -along[0]]
                length = math.dist(a[:2], b[:2])
                if abs(off) < _NEAR:
                    if 0 < run < length:
                        return "side", i, run / length
                    near.append((max(-run, run - length), i))
            elif (share := _along_arc(a, b, at)) is not None:
                return "arc", i, share
        inside = flat.outline.contains(shapely.Point(at))
        if len(near) > 1 and not inside:
            first, *others = [i for _, i in sorted(near)]
            way = self._side(flat, first)[1]
            for other in others:
                way_there = self._side(flat, other)[1]
                if abs(way[0] * way_there[1] - way[1] * way_there[0]) > 0.01:
                    return "meet", first, other
        return "mark", at

    def where(self, feature: Feature, part: Wrong) -> Array:
        flat = part.flat
        match feature:
            case "hole", i:
                return flat.holes[i, :2]
            case "bend", i, share:
                return flat.bends[i][0] + share * (flat.bends[i][1] - flat.bends[i][0])
            case "corner", i:
                return flat.corners[i, :2]
            case "side", i, share:
                a, b = flat.corners[i, :2], flat.corners[(i + 1) % len(flat.corners), :2]
                return a + share * (b - a)
            case "arc", i, share:
                a, b = (part.unscaled[n % len(flat.corners)] for n in (i, i + 1))
                return _on_arc(a, b, share) * np.array(part.scale)
            case "meet", i, j:
                (p, u), (q, v) = (self._side(flat, n) for n in (i, j))
                s = np.linalg.solve(np.column_stack([u, -v]), q - p)[0]
                return p + s * u
            case "mark", at:
                return at * np.array(part.scale)
        raise AssertionError(feature)

    def _side(self, flat: Flat, i: int) -> tuple[Array, Array]:
        a, b = flat.corners[i, :2], flat.corners[(i + 1) % len(flat.corners), :2]
        return a, (b - a) / math.dist(a, b)

    def line_at(self, line: Array) -> Feature:
        middle = line.mean(axis=0)
        for i, other in enumerate(self.flat.bends):
            if min(np.abs(line - other).max(), np.abs(line - other[::-1]).max()) < _NEAR:
                return "bend line", i
        along = (line[1] - line[0]) / math.dist(*line)
        for i, (a, b) in enumerate(self.flat.sides):
            if a[2] == 0:
                p, u = self._side(self.flat, i)
                way = middle - p
                run, off = float(way @ u), float(way @ [u[1], -u[0]])
                level = abs(u[0] * along[1] - u[1] * along[0]) < 1e-6
                if level and abs(off) < _NEAR and 0 < run < math.dist(a[:2], b[:2]):
                    return "edge", i
        return "ends", self.point_at(line[0]), self.point_at(line[1])

    def line(self, feature: Feature, part: Wrong) -> tuple[Array, Array]:
        """A place on a line, and its way."""
        match feature:
            case "bend line", i:
                a, b = part.flat.bends[i]
            case "edge", i:
                return self._side(part.flat, i)
            case "ends", one, other:
                a, b = self.where(one, part), self.where(other, part)
        return a, (b - a) / math.dist(a, b)

    # --- the tape -------------------------------------------------------------------------

    def on_blank(self, each: Measured, part: Wrong) -> float:
        told = each.dimension
        start, end = each.blank_ends[0], each.blank_ends[-1]
        if told.over_all:
            left, bottom, right, top = replace(part.flat, corners=part.unscaled).outline.bounds
            assert end.line is not None
            upright = abs(end.line.direction.y) > 0.5
            return (right - left) * part.scale[0] if upright else (top - bottom) * part.scale[1]
        first = np.array([start.at.x, start.at.y])
        if end.line is None:
            last = np.array([end.at.x, end.at.y])
            places = [self.where(self.point_at(at), part) for at in (first, last)]
            return math.dist(*places)
        if told.end_to_end:
            ends = [np.array([p.x, p.y]) for p in (end.line.start, end.line.end)]
            return math.dist(*(self.where(self.point_at(at), part) for at in ends))
        on, way = self.line(self.line_at(_ends(end.line)), part)
        if told.quantity == "angle":
            assert start.line is not None
            _, other = self.line(self.line_at(_ends(start.line)), part)
            ways = []
            for line, there in ((start.line, other), (end.line, way)):
                drawn = _ends(line)[1] - _ends(line)[0]
                ways.append(there if there @ drawn > 0 else -there)
            return math.acos(max(-1.0, min(1.0, float(ways[0] @ ways[1]))))
        at = self.where(self.point_at(first), part)
        return abs(float((at - on) @ [way[1], -way[0]]))

    def refolded(self, part: Wrong) -> Folded:
        """The true part's panels, folded where and as the wrong one's bends are."""
        made = object.__new__(Folded)
        made.__dict__.update(self.folded.__dict__)
        made.flat = part.flat
        made.frames = [np.eye(4)] * len(self.folded.panels)
        made.joints = []
        for old in self.folded.joints:
            i = int(np.linalg.norm(self.middles - old.line.mean(axis=0), axis=1).argmin())
            line = part.flat.bends[i]
            along = (line[1] - line[0]) / math.dist(*line)
            out = np.array([-along[1], along[0]])
            out = out if out @ old.out > 0 else -out
            joint = replace(old, bend=part.bends[i], line=line, out=out)
            made.joints.append(joint)
            made.frames[joint.child] = made.frames[joint.parent] @ made._step(joint)
        return made

    def on_part(self, each: Measured, part: Wrong, made: Folded) -> float:
        told = each.dimension
        start, end = told.start, told.end
        if isinstance(end, Touch):
            low, high = self._grown(part, made).span(self._way(end))
            return high - low
        if told.quantity == "angle":
            if isinstance(start, PanelFace):
                normals = [made.normal(self.numbers[p.panel]) for p in (start, end)]
                return math.acos(max(-1.0, min(1.0, float(normals[0] @ normals[1]))))
            lines = [self._in_space(p, part, made) for p in (start, end)]
            ways = [(b - a) / np.linalg.norm(b - a) for a, b in lines]
            return math.acos(max(-1.0, min(1.0, float(ways[0] @ ways[1]))))
        if told.end_to_end:
            return float(np.linalg.norm(np.subtract(*self._in_space(end, part, made))))
        here = self._spot(start, part, made)
        if isinstance(end, Straight):
            return off_line(here, *self._in_space(end, part, made))
        if isinstance(end, PanelFace):
            number = self.numbers[end.panel]
            z = 0.0 if end.face == "top" else -self.thickness
            on = made._lift(number, self.flat.corners[0, :2], z)
            return abs(off_plane(here, on, made.normal(number)))
        return float(np.linalg.norm(here - self._spot(end, part, made)))

    def _way(self, blade: Touch) -> Array:
        """The way that a blade is square to, as the true part lies."""
        number = self.numbers[blade.panel]
        motion = self.piece.blank.panel_motion(blade.panel)
        level = motion.vector(Vector(blade.out.x, blade.out.y))
        return self.folded.frames[number][:3, :3] @ [level.x, level.y, blade.out.z]

    def _grown(self, part: Wrong, made: Folded) -> Folded:
        """With the panels that the wrong part has, their corners where they are now."""
        grown = object.__new__(Folded)
        grown.__dict__.update(made.__dict__)
        grown.panels = []
        for number, panel in enumerate(self.folded.panels):
            spots = np.array(panel.exterior.coords)[:-1]
            now = [self._on_blank_now(each, each, number, part, made) for each in spots]
            grown.panels.append(shapely.Polygon(now))
        return grown

    def _spot(self, place: Any, part: Wrong, made: Folded) -> Array:
        if isinstance(place, Straight):
            return np.mean(self._in_space(place, part, made), axis=0)
        return self._point(place.panel, place.at, place.face, part, made)

    def _in_space(self, place: Straight, part: Wrong, made: Folded) -> tuple[Array, Array]:
        line, middle = place.line, place.line.point_at(0.5)
        return (
            self._point(place.panel, line.start, place.face, part, made, middle),
            self._point(place.panel, line.end, place.face, part, made, middle),
        )

    def _point(
        self, panel: str, at: Any, face: str, part: Wrong, made: Folded, beside: Any = None
    ) -> Array:
        motion, number = self.piece.blank.panel_motion(panel), self.numbers[panel]
        there, by = motion.point(at), motion.point(beside or at)
        spot, middle = np.array([there.x, there.y]), np.array([by.x, by.y])
        z = {"top": 0.0, "middle": -self.thickness / 2}.get(face, -self.thickness)
        return made._lift(number, self._on_blank_now(spot, middle, number, part, made), z)

    def _on_blank_now(
        self, spot: Array, middle: Array, number: int, part: Wrong, made: Folded
    ) -> Array:
        """Where a place of a panel lies in its plane, a bend found where it is now.

        `middle` is of the line that it is on: it lies beside the bend where the line does.
        """
        beside = self._beside_bend(middle, number)
        if beside is not None:
            at, reach = beside
            old, new = self.folded.joints[at], made.joints[at]
            foot = self.where(self.point_at(spot - reach * old.away(number)), part)
            now = (new.line[1] - new.line[0]) / math.dist(*new.line)
            base = new.line[0] + now * float((foot - new.line[0]) @ now)
            away = new.away(number)
            # the tangent line is square to `away`, half the flat that is used from the line
            base = base + away * (float((new.tangent(number) - base) @ away))
            far = 0.0 if reach < _NEAR else self._reach(reach, number, old, new, made)
            return base + away * far
        return self.where(self.point_at(spot), part)

    def _beside_bend(self, at: Array, number: int) -> tuple[int, float] | None:
        """The bend of a panel that a place lies at or beyond, and how far."""
        for index, joint in enumerate(self.folded.joints):
            if number in (joint.parent, joint.child):
                along = (joint.line[1] - joint.line[0]) / math.dist(*joint.line)
                reach = float((at - joint.tangent(number)) @ joint.away(number))
                run = float((at - joint.line[0]) @ along)
                if reach >= -_NEAR and -_NEAR <= run <= math.dist(*joint.line) + _NEAR:
                    return index, reach
        return None

    def _reach(self, reach: float, number: int, old: Any, new: Any, made: Folded) -> float:
        for to in ("outside", "inside", "centre"):
            if abs(self.folded.beyond(number, old, to) - reach) < 1e-4:
                return made.beyond(number, new, to)
        if abs(old.bend.radius * math.tan(old.bend.angle / 2) - reach) < 1e-4:
            return new.bend.radius * math.tan(new.bend.angle / 2)
        if abs(old.bend.radius * old.bend.angle / 2 - reach) < 1e-4:
            return new.bend.radius * new.bend.angle / 2
        return reach

    def hooks(self, each: Measured, state: State) -> bool:
        """Whether a tape's hook hangs over an edge of the outline."""
        told = each.dimension
        if told.quantity == "angle" or isinstance(told.end, Touch):
            return False
        spots = []
        if state == "flat":
            for end in each.blank_ends:
                at = np.array([end.at.x, end.at.y])
                spot = self.line_at(_ends(end.line)) if end.line else self.point_at(at)
                spots += [spot]
            if told.over_all:
                return True
        else:
            for place in (told.start, told.end):
                motion = self.piece.blank.panel_motion(place.panel)
                if isinstance(place, Spot):
                    p = motion.point(place.at)
                    at = np.array([p.x, p.y])
                    if not self._beside_bend(at, self.numbers[place.panel]):
                        spots.append(self.point_at(at))
                elif isinstance(place, Straight):
                    line = _ends(place.line.moved(motion))
                    if not self._beside_bend(line.mean(axis=0), self.numbers[place.panel]):
                        spots.append(self.line_at(line))
        return any(spot[0] in ("corner", "side", "arc", "meet", "edge") for spot in spots)

    # --- readings -------------------------------------------------------------------------

    @cached_property
    def rows(self) -> list[tuple[str, Measured, State]]:
        """What the check sheet asks for: no more than `MOST`."""
        found: list[tuple[str, Measured, State]] = []
        for state, table in (("flat", flat_rows(self.piece)), ("folded", folded_rows(self.piece))):
            for row in table.rows:
                each = row.told[0]
                found.append((f"{state[:2]}{len(found)}", each, state))  # type: ignore[arg-type]
        if len(found) > MOST:
            found = sorted(random.Random(len(found)).sample(found, MOST), key=found.index)
        return found

    def values(self, part: Wrong, rows: list[tuple[str, Measured, State]]) -> list[float]:
        """What each row is on a part."""
        made = self.refolded(part)
        return [
            self.on_blank(each, part) if state == "flat" else self.on_part(each, part, made)
            for _, each, state in rows
        ]

    def readings(
        self,
        part: Wrong,
        rows: list[tuple[str, Measured, State]],
        division: float,
        hand: float,
        chance: random.Random,
    ) -> list[Reading]:
        """What a tape of that division shows, laid by a hand with that spread; bevels to 1/2°."""
        found = []
        for (letter, each, state), value in zip(rows, self.values(part, rows), strict=True):
            angle = each.dimension.quantity == "angle"
            fine, slip = (math.radians(0.5), math.radians(0.25)) if angle else (division, hand)
            shown = part.tape(value, self.hooks(each, state), letter, angle)
            shown = round((shown + chance.gauss(0, slip)) / fine) * fine
            found.append(Reading(letter=letter, measured=each, state=state, value=shown))
        return found


def _ends(line: Any) -> Array:
    return np.array([(line.start.x, line.start.y), (line.end.x, line.end.y)])


def _on_arc(a: Array, b: Array, share: float) -> Array:
    """The place at a share of an arc's turn."""
    sweep, chord = 4 * math.atan(a[2]), b[:2] - a[:2]
    left = np.array([-chord[1], chord[0]])
    centre = (a[:2] + b[:2]) / 2 + left * (1 - a[2] ** 2) / (4 * a[2])
    cos, sin = math.cos(sweep * share), math.sin(sweep * share)
    return centre + np.array([[cos, -sin], [sin, cos]]) @ (a[:2] - centre)


def _along_arc(a: Array, b: Array, at: Array) -> float | None:
    """The share of an arc's turn at which a place lies on it, None for one off it."""
    sweep, chord = 4 * math.atan(a[2]), b[:2] - a[:2]
    left = np.array([-chord[1], chord[0]])
    centre = (a[:2] + b[:2]) / 2 + left * (1 - a[2] ** 2) / (4 * a[2])
    if abs(math.dist(at, centre) - math.dist(a[:2], centre)) > _NEAR:
        return None
    first, there = a[:2] - centre, at - centre
    turn = math.atan2(first[0] * there[1] - first[1] * there[0], float(first @ there))
    share = (turn / sweep) if turn * sweep > 0 else (turn + math.copysign(math.tau, sweep)) / sweep
    return share if 0 < share < 1 else None


# --- planting ---------------------------------------------------------------------------------

PLANTS = (
    "print scale", "print scale across", "print scale up", "kerf", "bend displaced", "bend askew",
    "bend allowance", "fold", "hole off", "holes together", "holes from the wrong edge", "edge off",
    "tape's hook", "burnt inch", "misread", "inches for mm",
)  # fmt: skip
"""What a shop does wrong, as it is planted here."""


@dataclass(frozen=True)
class Planted:
    """A wrong part, the names of the causes that tell what was done to it, how far which way."""

    part: Wrong
    names: frozenset[str]
    size: float | None
    way: tuple[float, float] | None = None


def plant(
    bench: Bench, what: str, part: Wrong, division: float, inch: bool, chance: random.Random
) -> Planted | None:
    """One thing done wrong by about four to seven divisions; None for what this piece has not."""
    flat, bends = bench.flat, bench.bends
    much = division * chance.uniform(4, 7) * chance.choice([1, -1])
    box = np.array(flat.outline.bounds)
    wide, high = box[2] - box[0], box[3] - box[1]
    metal = [n for n, bend in enumerate(bends, 1) if bend.allowance > 0]
    before = part.tape
    match what:
        case "print scale" | "print scale across" | "print scale up" if min(wide, high) < 80:
            return None
        case "print scale":
            share = much / max(wide, high)
            return Planted(printed(part, share, share, what), frozenset([what]), share)
        case "print scale across":
            return Planted(printed(part, much / wide, 0, what), frozenset([what]), much / wide)
        case "print scale up":
            return Planted(printed(part, 0, much / high, what), frozenset([what]), much / high)
        case "kerf":
            much = max(-6.0, min(much, 6.0))
            sides = dict.fromkeys(range(len(flat.corners)), much / 2)
            made = cut_in(part, sides, what, much / 2)
            # a slit may not close, nor a tongue vanish
            sound = made.flat.outline.is_valid and len(made.flat.corners) == len(flat.corners)
            return Planted(made, frozenset([what]), much / 2) if sound else None
        case "bend displaced" if bends:
            n = chance.randint(1, len(bends))
            # to its right as it is drawn, from parent to child
            made = line_moved(part, n, much, 0.0, what)
            return Planted(made, frozenset([f"bend {n} displaced"]), much)
        case "bend askew" if bends:
            n = chance.randint(1, len(bends))
            turn = much / math.dist(*flat.bends[n - 1]) * 2
            if abs(turn) > 0.15:
                return None
            made = line_moved(part, n, 0.0, turn, what)
            return Planted(made, frozenset([f"bend {n} askew"]), turn)
        case "bend allowance" if metal:
            return _allowance(bench, part, metal, abs(much), chance)
        case "fold" if bends:
            n = chance.randint(1, len(bends))
            turn = math.radians(chance.uniform(2, 6)) * chance.choice([1, -1])
            made = bent(part, {n: _turned(bench, n, turn, part)}, what, turn)
            return Planted(made, frozenset([f"bend {n} folded"]), turn)
        case "hole off" if len(flat.holes):
            n = chance.randrange(len(flat.holes))
            way = chance.uniform(0, math.tau)
            step = abs(much) * np.array([math.cos(way), math.sin(way)])
            what_hole = bench.piece.blank.holes[n].what
            names = frozenset([f"{what_hole} off", f"{what_hole} of {_panel_of(bench, n)} off"])
            made = holes_moved(part, {n: step}, what, abs(much))
            return Planted(made, names, abs(much), tuple(step))
        case "holes together":
            panel, numbers = _many_holes(bench, chance)
            if panel is None:
                return None
            way = chance.uniform(0, math.tau)
            step = abs(much) * np.array([math.cos(way), math.sin(way)])
            made = holes_moved(part, dict.fromkeys(numbers, step), what, abs(much))
            return Planted(made, frozenset([f"holes of {panel} together"]), abs(much), tuple(step))
        case "holes from the wrong edge" if len(flat.holes):
            return _wrong_edge(bench, part, division, chance)
        case "edge off":
            return _edge(bench, part, much, chance)
        case "tape's hook":

            def hook(value: float, hooked: bool, letter: str, angle: bool) -> float:
                return before(value, hooked, letter, angle) + (much if hooked else 0.0)

            return Planted(replace(part, tape=hook), frozenset([what]), much)
        case "burnt inch":
            by = 25.4 if inch else 10.0

            def burnt(value: float, hooked: bool, letter: str, angle: bool) -> float:
                return before(value, hooked, letter, angle) + (0.0 if angle else by)

            words = "1 in" if inch else "10.0 mm"
            names = frozenset([f"burnt {words}", f"burnt {words}, not hooked"])
            return Planted(replace(part, tape=burnt), names, None)
        case "misread":
            values = zip(bench.rows, bench.values(bench.true, bench.rows), strict=True)
            lengths = [
                row[0]
                for row, value in values
                if row[1].dimension.quantity == "length" and value > 3 * division
            ]
            if not lengths:
                return None
            at = chance.choice(lengths)
            by = (chance.choice([25.4, 25.4 / 4]) if inch else 10.0) * chance.choice([1, -1])
            if abs(by) < 3 * division:
                by *= 4

            def slip(value: float, hooked: bool, letter: str, angle: bool) -> float:
                return before(value, hooked, letter, angle) + (by if letter == at else 0.0)

            return Planted(replace(part, tape=slip), frozenset([f"{at} misread"]), None)
        case "inches for mm":

            def inches(value: float, _: bool, __: str, angle: bool) -> float:
                return value if angle else value / 25.4

            return Planted(replace(part, tape=inches), frozenset([what]), None)
    return None


def _turned(bench: Bench, number: int, more: float, part: Wrong) -> Bend:
    """A bend folded farther, with what its way makes of that."""
    way, was = bench.piece.blank.bends[number - 1].way, part.bends[number - 1]
    if isinstance(way, ScoreFold):
        return scored(was.angle + more, was.up, was.allowance, way.ligament)
    if isinstance(way, Brake):
        k = (was.allowance / was.angle - was.radius) / bench.thickness
        return braked(was.angle + more, was.up, was.radius, k, bench.thickness)
    return creased(was.angle + more, was.up)


def _allowance(
    bench: Bench, part: Wrong, metal: list[int], much: float, chance: random.Random
) -> Planted | None:
    """One bend, or all of them, that uses more of the flat."""
    every = len(metal) > 1 and chance.random() < 0.5
    numbers = metal if every else [chance.choice(metal)]
    first, made = bench.bends[metal[0] - 1], {}
    for n in numbers:
        way, was = bench.piece.blank.bends[n - 1].way, part.bends[n - 1]
        if isinstance(way, ScoreFold):
            groove = way.groove + much
            made[n] = scored(was.angle, was.up, groove, way.ligament)
        elif isinstance(way, Brake):
            more = much * (was.angle / first.angle if every else 1.0)
            k = way.k + more / (was.angle * bench.thickness)
            made[n] = braked(was.angle, was.up, way.radius, k, bench.thickness)
    name = "bend allowance" if every else f"bend {numbers[0]} allowance"
    return Planted(bent(part, made, "bend allowance", much), frozenset([name]), much)


def _panel_of(bench: Bench, hole: int) -> str:
    names = [p.panel.name for p in bench.piece.blank.panels for _ in p.panel.holes]
    return names[hole]


def _many_holes(bench: Bench, chance: random.Random) -> tuple[str | None, list[int]]:
    names = [_panel_of(bench, n) for n in range(len(bench.flat.holes))]
    many = sorted({name for name in names if names.count(name) > 1})
    if not many:
        return None, []
    panel = chance.choice(many)
    return panel, [n for n, name in enumerate(names) if name == panel]


def _wrong_edge(
    bench: Bench, part: Wrong, division: float, chance: random.Random
) -> Planted | None:
    """The holes of a panel measured from its other side."""
    panel = _panel_of(bench, chance.randrange(len(bench.flat.holes)))
    placed = next(p for p in bench.piece.blank.panels if p.panel.name == panel)
    box, motion = placed.panel.contour.bounds, placed.blank_from_panel
    along = chance.random() < 0.5
    moved = {}
    for n in range(len(bench.flat.holes)):
        if _panel_of(bench, n) == panel:
            x, y, _ = bench.flat.holes[n]
            own = np.array([[motion.a, motion.b], [motion.c, motion.d]]) @ (
                np.array([x, y]) - [motion.e, motion.f]
            )
            other = own.copy()
            if along:
                other[0] = box.xmin + box.xmax - own[0]
            else:
                other[1] = box.ymin + box.ymax - own[1]
            moved[n] = np.array([[motion.a, motion.c], [motion.b, motion.d]]) @ (other - own)
    if max(float(np.linalg.norm(way)) for way in moved.values()) < 3 * division:
        return None
    made = holes_moved(part, moved, "holes from the wrong edge", 0.0)
    names = {f"holes of {panel} from the wrong {side}" for side in ("side", "end")}
    return Planted(made, frozenset(names), None)


def _between_corners(corners: Array, side: int) -> bool:
    """Whether a side ends in corners, and runs into no round."""
    for one, other in ((side - 1, side), (side, (side + 1) % len(corners))):
        a, b = _leaving(corners, one, at_end=True), _leaving(corners, other, at_end=False)
        if abs(a[0] * b[1] - a[1] * b[0]) < 0.05:
            return False
    return True


def _edge(bench: Bench, part: Wrong, much: float, chance: random.Random) -> Planted | None:
    """One straight side of the outline that some panel has a name for, cut beside its line."""
    found: list[tuple[int, str]] = []
    for placed in bench.piece.blank.panels:
        panel = placed.panel
        bent_edges = {bend.edge for bend in panel.bends} | {"base"}
        for name, index in panel.edges:
            segment = panel.contour.segments[index].moved(placed.blank_from_panel)
            if name in bent_edges or isinstance(segment, Arc):
                continue
            feature = bench.line_at(_ends(segment))
            words = name if panel.name in name else f"{name} of the {panel.name}"
            if feature[0] != "edge" or not _between_corners(bench.flat.corners, feature[1]):
                continue
            if feature[1] not in [i for i, _ in found]:
                found.append((feature[1], words))
    if not found:
        return None
    index, words = chance.choice(found)
    made = cut_in(part, {index: much}, "edge off", much)
    return Planted(made, frozenset([f"{words} off"]), much)
