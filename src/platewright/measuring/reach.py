"""What a tape can find and reach: places that stand there, and no metal in the way."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from platewright.geometry.contour import Contour
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.geometry.space import Point3
from platewright.plate.bend import inside_face
from platewright.plate.blank import Blank
from platewright.plate.bracket import Panel
from platewright.plate.dimension import OnBlank, PanelFace, Place, Spot, Straight, Touch
from platewright.plate.folded import Folded, FoldedBend
from platewright.plate.prism import Prism

#: A tape may graze metal this deep, mm.
GRAZE = 0.5
#: Places this near to each other are one, mm.
SAME = 1e-6
#: A tape takes a bend with less round than this for sharp, mm.
SHARP = 0.05
#: A scribed edge may run this near to the line that it had and still be another, mm.
_ON = 0.01
#: Folds beyond this have no sharp corner, radians.
_STEEPEST = math.pi - 1e-6


# --- on the blank -----------------------------------------------------------------------------


def on_blank(place: Place, blank: Blank) -> OnBlank | None:
    """Where a place is found on the flat blank; None where nothing shows it.

    A corner between a panel and its bend cannot be seen there: the end of the bend's line can. A
    tangent line cannot, nor the line of an edge that was scribed, nor a place beyond the metal.
    """
    if isinstance(place, OnBlank):
        return place
    if isinstance(place, PanelFace | Touch) or place.face == "middle":
        return None
    motion = blank.panel_motion(place.panel)
    panel = next(each.panel for each in blank.panels if each.panel.name == place.panel)
    own = place.line.point_at(0.5) if isinstance(place, Straight) else place.at
    there = motion.point(own)
    strips = (bend for bend in blank.bends if bend.allowance > SHARP)
    tangents = (each for bend in strips for each in (bend.near, bend.far))
    hidden = (each.distance(there) < SAME for each in tangents)
    if isinstance(place, Straight):
        if any(hidden) or _gone(place, panel) or not covers(panel.contour, own):
            return None
        line = place.line.moved(motion)
        return OnBlank(line.point_at(0.5), place.words, line, place.panel, place.face)
    at, bend = blank.tape_end(place.panel, place.at)
    if bend is None and (
        any(hidden) or not (covers(panel.contour, place.at) or edges_meet(panel, place.at))
    ):
        return None
    words = f"{place.words} (end of bend {bend.number} line)" if bend else place.words
    return OnBlank(at, words, None, place.panel, place.face)


def covers(contour: Contour, p: Point) -> bool:
    """Whether a point lies on a panel's metal or on its edge."""
    return contour.contains(p) or contour.distance(p) < SAME


def edges_meet(panel: Panel, p: Point) -> bool:
    """Whether straightedges along two edges would cross in a place, as where a corner was cut."""
    ways = [
        segment.direction
        for segment in panel.contour.segments
        if isinstance(segment, Line) and _runs_through(segment, p)
    ]
    return any(abs(ways[0].cross(way)) > _ON for way in ways)


def _runs_through(line: Line, p: Point) -> bool:
    return abs(line.direction.cross(p - line.start)) < SAME


def runs_along(one: Line, other: Line) -> bool:
    """Whether two lines are one: either lies on the other, run on beyond its ends."""
    long, short = (one, other) if one.length > other.length else (other, one)
    return all(abs(long.direction.cross(p - long.start)) < SAME for p in (short.start, short.end))


def _gone(straight: Straight, panel: Panel) -> bool:
    """Whether a straight is the line that an edge had before it was scribed, and nothing of it."""
    if straight.line in panel.contour.segments:
        return False
    return any(runs_along(straight.line, old) for _, old in panel.datums)


# --- on the folded part -----------------------------------------------------------------------


def on_part(place: Place, model: Folded) -> bool:
    """Whether a place is found on the folded part.

    Off the metal only the sharp corner beside a bend is: two straightedges meet there, or a square
    touches. A tangent line is not, unless the bend is sharp there.
    """
    if isinstance(place, OnBlank) or place.face == "middle":
        return False
    if isinstance(place, PanelFace | Touch):
        return True
    panel = model.panel(place.panel).panel
    at = place.at if isinstance(place, Spot) else place.line.point_at(0.5)
    for bend, base in _bases(model, panel):
        if base.distance(at) < SAME:
            # what a kind drew a bend to is found on its own face, also where a tape's other end
            # lies on the face behind
            told = (d for d in panel.drawn if d.to != "flat" and _runs_through(d.line, at))
            own = next((d.face for d in told), place.face)
            inside = own == inside_face(bend.bend.direction)
            radius = bend.inside_radius + (0.0 if inside else bend.thickness)
            return radius * math.tan(min(bend.angle, _STEEPEST) / 2) < SHARP
    if isinstance(place, Straight) and _gone(place, panel):
        return False
    if covers(panel.contour, at) or any(
        _beyond(base, at, bend) for bend, base in _bases(model, panel)
    ):
        return True
    # what a kind drew its bends to, a square or a straightedge along it finds
    drawn = (each.line for each in panel.drawn if each.to != "flat")
    return any(_runs_through(each, at) for each in drawn) or edges_meet(panel, at)


def _bases(model: Folded, panel: Panel) -> Iterator[tuple[FoldedBend, Line]]:
    """A panel's bends, each with its tangent line on that panel, metal on the left."""
    for bend in model.bends:
        if bend.bend.panel.name == panel.name:
            yield bend, panel.straight_edge(bend.bend.base)
        elif model.panels[bend.parent].panel.name == panel.name:
            yield bend, panel.bend_base(bend.bend)


def _beyond(base: Line, at: Point, bend: FoldedBend) -> bool:
    """Whether a place off the metal lies out in front of a bend, no farther than its corner."""
    way = at - base.start
    out, along = -base.direction.cross(way), base.direction.dot(way)
    reach = bend.inside_radius + bend.thickness
    corner = reach * math.tan(min(bend.angle, _STEEPEST) / 2)
    return 0 < out <= corner + _ON and -_ON <= along <= base.length + _ON


#: Sharp corners nearer to the metal than this are as good as on it, mm.
_IN_THE_AIR = 0.5


def sharp_corner(model: Folded, p: Point3) -> tuple[Point3, Point3] | None:
    """Where the two faces end that would meet in a place: on the parent, and on the child.

    None for a place that is no sharp corner, or one that lies on the metal as good as.
    """
    return next((ends for bend in model.bends for ends in _faces_to(bend, p)), None)


def _faces_to(bend: FoldedBend, p: Point3) -> Iterator[tuple[Point3, Point3]]:
    """The ends of the faces of one bend, inside or outside, that run on into a place."""
    if bend.flat or bend.angle > _STEEPEST:
        return
    frame, way = bend.world_from_bend, p - bend.world_from_bend.origin
    along = frame.x_axis.dot(way)
    if not -_ON <= along <= bend.length + _ON:
        return
    out, up = frame.y_axis.dot(way), frame.z_axis.dot(way)
    for depth in (0.0, bend.thickness):
        # r tan(angle/2) beyond the tangent line, on the level of the parent's face
        setback = (bend.inside_radius + depth) * math.tan(bend.angle / 2)
        level = -depth if bend.bend.direction == "up" else depth - bend.thickness
        if setback > _IN_THE_AIR and math.hypot(out - setback, up - level) < _ON:
            yield bend.point(along, 0.0, depth), bend.point(along, 1.0, depth)


def is_clear(metal: Iterable[Prism], a: Point3, b: Point3) -> bool:
    """Whether a straight tape passes no metal deeper than a graze."""
    return not any(length_inside(prism, a, b) > GRAZE for prism in metal)


def length_inside(prism: Prism, a: Point3, b: Point3) -> float:
    """Length of a straight from `a` to `b` inside a prism, mm; along a face counts as outside."""
    inside = part_inside(prism, a, b)
    return inside[0].distance(inside[1]) if inside else 0.0


def part_inside(prism: Prism, a: Point3, b: Point3) -> tuple[Point3, Point3] | None:
    """The part of a straight inside a prism, None for none; along a face counts as outside."""
    if a == b:
        return None
    low, high = 0.0, 1.0
    for normal, bottom, top in prism.slabs:
        # in plain figures: asked of every prism in the way of every tape
        start = normal.x * a.x + normal.y * a.y + normal.z * a.z
        run = normal.x * b.x + normal.y * b.y + normal.z * b.z - start
        if abs(run) < 1e-9:
            if not bottom + 1e-6 < start < top - 1e-6:
                return None
            continue
        first, last = (bottom - start) / run, (top - start) / run
        low, high = max(low, min(first, last)), min(high, max(first, last))
        if low >= high:
            return None
    return a + (b - a) * low, a + (b - a) * high
