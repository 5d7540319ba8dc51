"""Edges and holes that fit a round tube: the tube's true ellipse, for the whole thickness.

A tube that stands at an angle to the panel cuts its two faces in ellipses that are shifted by
t / tan(angle). The cut is square to the panel, so it clears all that lies between them: one half
follows the face that the tube's upper end leans to, the other half the other face, and two straight
flanks join them. What follows a face touches the tube there; the other face stands off.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from platewright import measure
from platewright.errors import BuildError, GeometryError
from platewright.geometry.contour import Contour
from platewright.geometry.crossings import crossings
from platewright.geometry.plane import ORIGIN, Motion, Point, Vector
from platewright.geometry.segment import Line, Segment
from platewright.kinds.features import PlacedFeature
from platewright.kinds.fitting import require_on, with_additions
from platewright.kinds.places import derived, edge, length, spot
from platewright.kinds.placing import (
    named_edge,
    named_panel,
    place_dimensions,
    place_of,
    station_zero,
    under,
)
from platewright.plate.bracket import Bracket, Cutout, Hole, Mark, Panel
from platewright.plate.dimension import Straight
from platewright.plate.edit import free_edge, reach_of, replace_edge
from platewright.shop.hardware import PIPES, PIPES_ALLOWED, parse_pipe_size
from platewright.units import both_units
from platewright.values import dataclass

#: How far the arcs may stand outside of the ellipse, mm; never inside, so no metal enters the tube.
TOLERANCE = 0.02

#: Lengths this short are nothing, mm.
_SAME = 1e-7


@dataclass(frozen=True, slots=True, kw_only=True)
class Cope(PlacedFeature):
    """An edge that sits on a tube, or without an edge a hole that a tube goes through."""

    edge: str | None = measure.text(
        "The straight edge that sits on the tube; left out, the tube goes through a hole at "
        "measured_from.",
        optional=True, example="front",
    )  # fmt: skip
    zero_at: str | None = measure.text(
        "Of an edge: the edge next to it where the tape's zero is held.",
        optional=True, example="left side",
    )  # fmt: skip
    at: float | None = measure.length(
        "Of an edge: from zero along the edge to where the tube's axis crosses the top face.",
        "-120 in to 240 in", optional=True, fit_critical=True, example="3 in",
    )  # fmt: skip
    beyond: float = measure.length(
        "Of an edge: how far the axis lies beyond the edge, off the panel, at the top face; with a "
        "minus, how far inside. The less beyond, the deeper the cope.",
        "-24 in to 24 in", default="0",
    )  # fmt: skip
    pipe: str | None = measure.custom(
        "The pipe's nominal size (ASME B36.10M). Give this or the diameter.",
        read=parse_pipe_size, allowed=PIPES_ALLOWED, optional=True, example="2",
    )  # fmt: skip
    diameter: float | None = measure.length(
        "The tube's outside diameter. Give this or the pipe.",
        "1/4 in to 24 in", label="tube diameter", optional=True, example="2 3/8 in",
    )  # fmt: skip
    angle: float = measure.angle(
        "Between the tube and the panel; 90 stands square through it.",
        "15 to 90", label="tube angle", default=90,
    )  # fmt: skip
    leans_towards: str | None = measure.text(
        "Less than 90 only: the edge that the tube's upper end leans to, top face up. Of an edge "
        "that sits on it: that edge itself where it leans off the panel, one next to it where it "
        "leans along.",
        optional=True, example="front",
    )  # fmt: skip
    lean_turn: float = measure.angle(
        "Less than 90 only: how far the lean is turned from there, anticlockwise with the top face "
        "up.",
        "-180 to 180", default=0,
    )  # fmt: skip
    gap: float = measure.length(
        "Room to leave all round the tube, square to it.",
        "0 to 1 in", label="weld gap", default="0",
    )  # fmt: skip

    def problems(self) -> measure.Problems:
        """A tube without size, a lean without a direction, a place told twice or not at all."""
        if (self.pipe is None) == (self.diameter is None):
            yield "diameter", "give either the tube's diameter or a pipe size"
        if self.leaning and self.leans_towards is None:
            yield "leans_towards", "a tube at an angle leans: name the edge that it leans to"
        if not self.leaning and (self.leans_towards is not None or self.lean_turn):
            yield "leans_towards", "a tube square through the panel leans nowhere: leave it out"
        if self.edge is None:
            for key in ("zero_at", "at"):
                if getattr(self, key) is not None:
                    yield key, "belongs to an edge: name the edge, or leave this out"
            yield from PlacedFeature.problems(self)
            return
        for key in ("zero_at", "at"):
            if getattr(self, key) is None:
                yield key, f"a coped edge needs its {key}"
        if self.measured_from or self.x is not None or self.y is not None:
            yield "measured_from", "an edge has its place from zero_at and at: leave this out"

    @property
    def leaning(self) -> bool:
        """Whether the tube stands at an angle."""
        return self.angle < math.pi / 2 - 1e-9

    @property
    def outside(self) -> float:
        """The tube's outside diameter, mm."""
        return PIPES[self.pipe] if self.pipe is not None else self.diameter or 0.0

    @property
    def words(self) -> str:
        """The tube in words."""
        size = f"{self.pipe} pipe" if self.pipe is not None else f"{both_units(self.outside)} tube"
        at = f" at {math.degrees(self.angle):g}°" if self.leaning else ""
        return f"{size}{at}"


@dataclass(frozen=True, slots=True)
class _TubeCut:
    """What a tube takes out of a panel about the origin, and how its faces meet the tube.

    `lean` turns x to where the upper end leans; `shift` is how far the underside's ellipse stands
    against that, `radius` that of the tube with its gap, mm.
    """

    outline: Contour
    lean: Motion
    shift: float
    radius: float
    thickness: float

    def touching(self, pieces: Sequence[Segment], at: Point) -> tuple[str, str]:
        """Which face touches the tube along pieces of the outline about `at`, and what is off it.

        No words for a tube square through the panel, or through card. Square to the tube, the face
        that does not touch stands off by t cos(angle).
        """
        if self.shift < _SAME:
            return "", ""
        back = self.lean.inverse()
        levels = [back.vector(each.point_at(0.5) - at).x for each in pieces]
        gap = both_units(self.thickness * self.shift / math.hypot(self.shift, self.thickness))
        top, under = max(levels) > 0, min(levels) < -self.shift
        if top != under:
            one, other = ("top face", "underside") if top else ("underside", "top face")
            return f"{one} touches", f"{one} touches, {other} {gap} off"
        if not top:
            return "faces touch in part", f"at both ends of the thickness up to {gap} off"
        return (
            "both faces touch",
            f"top face touches where it leans to, underside behind; the other face {gap} off",
        )


def _cut(cope: Cope, panel: Panel, thickness: float) -> _TubeCut:
    """Raises BuildError for an edge to lean to that is not there."""
    from platewright.geometry.ellipse import swept_ellipse  # only a tube needs it

    radius, towards = cope.outside / 2 + cope.gap, Vector(1.0, 0.0)
    sine, shift = 1.0, 0.0
    if cope.leaning and cope.leans_towards is not None:
        line = named_edge(panel, cope.leans_towards, "leans_towards")
        towards = line.direction.right
        if cope.edge is not None:
            own, count = panel.edge_index(cope.edge), len(panel.contour.segments)
            beside = panel.edge_index(cope.leans_towards)
            ahead = {(own + 1) % count: 1.0, (own - 1) % count: -1.0}
            if beside in ahead:
                towards = panel.straight_edge(cope.edge).direction * ahead[beside]
        towards = towards.turned(cope.lean_turn)
        sine, shift = math.sin(cope.angle), thickness / math.tan(cope.angle)
    lean = Motion.frame(ORIGIN, towards)
    outline = swept_ellipse(radius / sine, radius, shift, TOLERANCE).moved(lean)
    return _TubeCut(outline, lean, shift, radius, thickness)


# --- a hole -----------------------------------------------------------------------------------


def with_tube_hole(bracket: Bracket, cope: Cope, number: int, key: str) -> Bracket:
    """The bracket with a hole that a tube goes through; its place is on the top face.

    Raises BuildError with the keys that disagree.
    """
    panel, name = named_panel(bracket, cope.panel), cope.name or f"tube hole {number}"
    cut = _cut(cope, panel, bracket.stock.thickness)

    def reach(way: Vector) -> float:
        return cut.outline.moved(Motion.rotation(-way.angle)).bounds.xmax

    at = place_of(bracket, panel, cope, reach)
    outline = cut.outline.moved(Motion.translation(at - ORIGIN))
    found = list(place_dimensions(bracket, panel, cope, at, reach, name, key))
    holes: tuple[Hole, ...] = ()
    cutouts: tuple[Cutout, ...] = ()
    marks: list[Mark] = []
    if cope.leaning:
        cutouts = (Cutout(name, outline),)
        along = cut.lean.vector(Vector(1.0, 0.0))
        ahead, behind = at + along * reach(along), at + -along * reach(-along)
        side = along.left * reach(along.left)
        middle = ahead.midpoint(behind)
        touches, off = cut.touching(outline.segments, at)
        for one, other, words, more in (
            (ahead, behind, "end", f" ({off})"),
            (middle + side, middle + -side, "flank", ""),
        ):
            first = spot(panel, one, f"{words} of {name}{more}")
            ends = first, spot(panel, other, f"other {words}")
            found.append(derived(*ends, critical=True))
        for end, way, label in ((ahead, along, touches), (behind, -along, cope.words)):
            run = _run(panel, end, way, cut.radius)
            if run is not None:
                marks.append(Mark(run, "centre", label))
    else:
        holes = (Hole(what=name, centre=at, diameter=2 * cut.radius, size=f"for {cope.words}"),)
    require_on(panel, holes, cutouts)
    return with_additions(bracket, panel.name, holes, cutouts, marks, found)


def _run(panel: Panel, start: Point, way: Vector, most: float) -> Line | None:
    """A line from a place on the metal, as far as the metal goes but no longer than `most`."""
    whole = Line(start, start + way * most)
    stops = [
        c.first
        for each in panel.contour.segments
        for c in crossings(whole, each)
        if c.first * most > 1e-3
    ]
    share = min(stops, default=1.0)
    found = whole.part(0.0, share)
    on = panel.contour.contains(found.point_at(0.5))
    return found if on and found.length > 1.0 else None


# --- an edge ----------------------------------------------------------------------------------


def with_coped_edge(
    bracket: Bracket, panel_name: str, edge_name: str, copes: Sequence[tuple[int, Cope]]
) -> Bracket:
    """The bracket with an edge that sits on tubes, one beside the other.

    Straight pieces stay between and beside them. Raises BuildError with keys such as "cope[2].at".
    """
    panel, first = named_panel(bracket, panel_name), f"cope[{copes[0][0]}]"
    try:
        line = free_edge(bracket, panel_name, edge_name)
    except GeometryError as error:
        raise BuildError(str(error), f"{first}.edge") from None
    panel_from_edge = Motion.frame(line.start, line.direction)
    mouths = []
    for number, cope in copes:
        key = f"cope[{number}]"
        assert cope.at is not None
        assert cope.zero_at is not None
        zero, ahead = station_zero(bracket, panel, edge_name, cope.zero_at, f"{key}.zero_at")
        with under(key):
            cut = _cut(cope, panel, bracket.stock.thickness)
        at = Point(zero + ahead * cope.at, -cope.beyond)
        put = panel_from_edge.inverse() @ Motion.translation(panel_from_edge.point(at) - ORIGIN)
        pieces = _mouth(cut.outline.moved(put), line.length, key)
        mouths.append((number, cope, cut, at, pieces))
    mouths.sort(key=lambda mouth: mouth[4][0].start.x)
    for one, other in pairwise(mouths):
        if other[4][0].start.x < one[4][-1].end.x + _SAME:
            low, high = sorted((one[0], other[0]))
            words = f"copes {low} and {high} run into each other"
            raise BuildError(words, f"cope[{high}].at", f"cope[{low}].at")
    reach = reach_of(bracket, panel_name) + max(m[4][-1].end.x for m in mouths)
    chain: list[Segment] = []
    begin = Point(min(0.0, mouths[0][4][0].start.x) - reach, 0.0)
    for mouth in mouths:
        chain += [Line(begin, mouth[4][0].start), *mouth[4]]
        begin = mouth[4][-1].end
    chain.append(Line(begin, Point(max(line.length, begin.x) + reach, 0.0)))
    try:
        moved = [segment.moved(panel_from_edge) for segment in chain]
        coped = replace_edge(bracket, panel_name, edge_name, moved, straightedge=True)
    except GeometryError as error:
        raise BuildError(str(error), f"{first}.edge", f"{first}.at") from None
    for number, cope, cut, at, _ in mouths:
        place = panel_from_edge.point(at)
        coped = _told(coped, panel_name, line, cope, cut, place, number)
    return coped


def _mouth(outline: Contour, length: float, key: str) -> list[Segment]:
    """The part of a tube's outline in the metal beside an edge along x, travelled with the edge.

    Raises BuildError where the outline does not cross the edge.
    """
    box = outline.bounds
    if box.ymax <= 1e-3:
        words = f"the tube stays {both_units(-box.ymax)} off the edge"
        raise BuildError(f"{words}: take that off beyond, and as much more as it is to sink in",
                         f"{key}.beyond")  # fmt: skip
    if box.ymin >= -_SAME:
        words = (
            "the tube lies wholly inside the panel, a hole: leave edge out and use measured_from"
        )
        raise BuildError(words, f"{key}.beyond", f"{key}.edge")
    far = 1 + max(abs(box.xmin), abs(box.xmax))
    level = Line(Point(-far, 0.0), Point(far, 0.0))
    kept: list[Segment] = []
    ring = [segment.reversed() for segment in reversed(outline.segments)]
    for segment in ring:
        inner = [c.first for c in crossings(segment, level, _SAME) if 0 < c.first < 1]
        for a, b in pairwise([0.0, *inner, 1.0]):
            part = segment if (a, b) == (0.0, 1.0) else segment.part(a, b)
            if part.point_at(0.5).y > 0:
                kept.append(part)
    turn = next((i for i, part in enumerate(kept) if part.start != kept[i - 1].end), 0)
    kept = [*kept[turn:], *kept[:turn]]
    if kept[-1].end.x < _SAME or kept[0].start.x > length - _SAME:
        raise BuildError("the tube passes beside the edge", f"{key}.at")
    return kept


def _told(
    bracket: Bracket, panel_name: str, line: Line, cope: Cope, cut: _TubeCut, at: Point, number: int
) -> Bracket:
    """A coped edge's dimensions and the mark of the tube's centre line.

    A tape finds the cope's width at its mouth, its depth from a straightedge along what is left of
    the edge, and its centre line from the edge where zero was held.
    """
    panel, name = bracket.panel(panel_name), cope.name or f"cope {number}"
    outline = cut.outline.moved(Motion.translation(at - ORIGIN))
    pieces = [
        segment
        for segment in panel.contour.segments
        if any(each.distance(segment.point_at(0.5)) < 1e-6 for each in outline.segments)
    ]
    inner = (each.point_at(share) for each in panel.contour.segments for share in (0.1, 0.5, 0.9))
    if any(outline.contains(p) and outline.distance(p) > 1e-3 for p in inner):
        words = f"the tube runs into the {panel_name} beside its edge {cope.edge!r} as well"
        raise BuildError(words, f"cope[{number}].at", f"cope[{number}].beyond")
    if not pieces:
        return bracket
    inward, along = line.direction.left, line.direction
    touches, off = cut.touching(pieces, at)

    def depth(p: Point) -> float:
        return (p - line.start).dot(inward)

    corners = (
        spot(panel, pieces[0].start, f"corner of {name}"),
        spot(panel, pieces[-1].end, f"other corner of {name}"),
    )
    found = [derived(*corners, critical=True)]
    rests = [
        each
        for each in panel.contour.segments
        if isinstance(each, Line) and max(abs(depth(each.start)), abs(depth(each.end))) < _SAME
    ]
    if rests:
        deepest = max((s.farthest(inward) for s in pieces), key=depth)
        words = f"deepest of {name}" + (f" ({off})" if off else "")
        held = max(rests, key=lambda rest: rest.length)
        flat = Straight(panel.name, held, f"straightedge along the {cope.edge}")
        found.append(derived(spot(panel, deepest, words), flat, critical=True))
    far = inward * (cut.outline.bounds.width + cut.outline.bounds.height)
    beside = panel.edge(cope.zero_at or "")
    hits = [c.point for s in pieces for c in crossings(s, Line(at + -far, at + far))]
    marks = []
    if hits:
        bottom = max(hits, key=depth)
        run = _run(panel, bottom, inward, cut.radius)
        if run is not None:
            marks = [Mark(run, "centre", f"{cope.words}: {touches}" if touches else cope.words)]
        if isinstance(beside, Line) and abs(beside.direction.dot(along)) < 1e-9:
            zero = edge(panel, cope.zero_at or "")
            here = spot(panel, bottom, f"tube's centre line at {name}")
            key, asked = f"cope[{number}].at", abs(cope.at or 0.0)
            found.append(length(key, asked, here, zero, critical=True))
    if rests and not any(each.key for each in found):
        # no square finds the centre line from a slanting or round edge, but its corner tells
        held_at = min((rests[0].start, rests[-1].end), key=beside.distance)
        near = min(corners, key=lambda corner: corner.at.distance(held_at))
        found.append(derived(spot(panel, held_at, f"corner at the {cope.zero_at}"), near,
                             critical=True))  # fmt: skip
    return with_additions(bracket, panel_name, (), (), marks, found)


def with_copes(bracket: Bracket, copes: Sequence[Cope]) -> Bracket:
    """The bracket with edges and holes for tubes, those on one edge together.

    Raises BuildError with keys such as "cope[2].edge".
    """
    edges: dict[tuple[str, str], list[tuple[int, Cope]]] = {}
    for number, cope in enumerate(copes, 1):
        key = f"cope[{number}]"
        with under(key):
            panel = named_panel(bracket, cope.panel)
            if cope.edge is None:
                bracket = with_tube_hole(bracket, cope, number, key)
            else:
                edges.setdefault((panel.name, cope.edge), []).append((number, cope))
    for (panel_name, edge_name), each in edges.items():
        bracket = with_coped_edge(bracket, panel_name, edge_name, each)
    return bracket
