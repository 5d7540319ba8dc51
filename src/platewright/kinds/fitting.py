"""Features put on a bracket's panels."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import pairwise

from platewright.errors import BuildError, GeometryError
from platewright.geometry.build import obround, rectangle, rounded_polygon
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.crossings import crossings
from platewright.geometry.plane import ORIGIN, Bounds, Motion, Point, Vector
from platewright.geometry.segment import Line
from platewright.geometry.shapes import self_crossing
from platewright.kinds.features import (
    CutOut,
    DrawnMark,
    Feature,
    HolePattern,
    RoundHole,
    Slot,
    TurnedFeature,
    offsets_of,
)
from platewright.kinds.placing import (
    Reach,
    named_edge,
    named_panel,
    place_dimensions,
    place_of,
    spot_dimensions,
)
from platewright.plate.bracket import Bracket, Cutout, Hole, Mark, MarkMeaning, Panel
from platewright.plate.dimension import Dimension, Spot
from platewright.plate.edit import with_panel
from platewright.shop.hardware import BoltSize, PortSize, clearance_hole
from platewright.units import both_units
from platewright.values import dataclass

#: A pattern of more holes is checked from the edges by its first and last hole only.
_ALL_CHECKED = 8


def with_feature(bracket: Bracket, feature: Feature, number: int, key: str) -> Bracket:
    """The bracket with one feature, called by its number where it has no name.

    `key` is that of its table. Raises BuildError with the keys that disagree.
    """
    panel = named_panel(bracket, feature.panel)
    kinds = {RoundHole: "hole", Slot: "slot", CutOut: "cut-out", HolePattern: "pattern"}
    name = feature.name or f"{kinds.get(type(feature), 'mark')} {number}"
    piece = _piece(feature, _turn(panel, feature), name)
    at = place_of(bracket, panel, feature, piece.reach)
    put = piece.moved(Motion.translation(at - ORIGIN))
    along = ""
    if isinstance(feature, Slot | CutOut) and feature.along is None and feature.measured_from:
        # which way a long thing lies when the file leaves it to the first edge
        edge = feature.measured_from[0].edge
        along = f"; it runs along {edge!r}, unless along names another edge"
    require_on(panel, put.holes, put.cutouts, along)
    found = _dimensions(bracket, panel, feature, at, put, key)
    return with_additions(bracket, panel.name, put.holes, put.cutouts, put.marks, found)


def with_additions(
    bracket: Bracket,
    name: str,
    holes: Iterable[Hole],
    cutouts: Iterable[Cutout],
    marks: Iterable[Mark],
    found: Iterable[Dimension],
) -> Bracket:
    """The bracket with more holes, cut-outs and marks on a panel, and what is measured of them."""

    def joined(old: Panel) -> Panel:
        added = (*old.holes, *holes), (*old.cutouts, *cutouts), (*old.marks, *marks)
        return replace(old, holes=added[0], cutouts=added[1], marks=added[2])

    dimensions = (*bracket.dimensions, *found)
    return replace(with_panel(bracket, name, joined), dimensions=dimensions)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Addition:
    """What a feature adds to a panel, about its middle; `reach` is how far it reaches."""

    name: str
    reach: Reach
    holes: tuple[Hole, ...] = ()
    cutouts: tuple[Cutout, ...] = ()
    marks: tuple[Mark, ...] = ()
    spots: tuple[tuple[Point, str], ...] = ()  # what is measured where no tape finds the middle

    def moved(self, motion: Motion) -> _Addition:
        return replace(
            self,
            holes=tuple(hole.moved(motion) for hole in self.holes),
            cutouts=tuple(cutout.moved(motion) for cutout in self.cutouts),
            marks=tuple(mark.moved(motion) for mark in self.marks),
            spots=tuple((motion.point(at), words) for at, words in self.spots),
        )


def _turn(panel: Panel, feature: Feature) -> Motion:
    """The turn from the feature's own x axis to the panel."""
    if not isinstance(feature, TurnedFeature):
        return Motion()
    edge, key = feature.along, "along"
    if edge is None and feature.measured_from:
        edge, key = feature.measured_from[0].edge, "measured_from[1].edge"
    along = Vector(1, 0) if edge is None else named_edge(panel, edge, key).direction
    return Motion.frame(ORIGIN, along.turned(feature.turn))


# --- one piece for each feature ---------------------------------------------------------------


def _piece(feature: Feature, turn: Motion, name: str) -> _Addition:
    if isinstance(feature, RoundHole):
        hole = _hole(feature, name, ORIGIN, cut=not feature.mark_only)
        return _Addition(name=name, reach=lambda _: hole.diameter / 2, holes=(hole,))
    if isinstance(feature, Slot):
        return _slot(feature, turn, name)
    if isinstance(feature, CutOut):
        return _cut_out(feature, turn, name)
    if isinstance(feature, HolePattern):
        return _pattern(feature, turn, name)
    return _mark(feature, turn, name)


def _diameter(size: BoltSize | PortSize, fit: str) -> float:
    return size.hole if isinstance(size, PortSize) else clearance_hole(size, fit)


def _hole(feature: RoundHole | HolePattern, what: str, at: Point, *, cut: bool = True) -> Hole:
    size = feature.size
    port = isinstance(size, PortSize)
    bolt = not port and size.diameter is not None
    return Hole(
        what=what,
        centre=at,
        diameter=_diameter(size, feature.fit),
        size=size.words,
        cut=cut,
        role="port" if port else "bolt" if bolt else "plain",
        fastener=size.diameter,
    )


def _slot(slot: Slot, turn: Motion, name: str) -> _Addition:
    width = _diameter(slot.size, slot.fit)
    if slot.length <= width:
        raise BuildError(
            f"the slot must be longer than it is wide, {both_units(width)}", "length", "size"
        )
    half = (slot.length - width) / 2
    ends = Point(-half, 0), Point(half, 0)
    spots = tuple((turn.point(at), f"{name}, end {n}") for n, at in enumerate(ends, 1))
    cutout = Cutout(name, obround(*ends, width).moved(turn))
    if isinstance(slot.size, BoltSize) and slot.size.diameter is not None:
        cutout = replace(cutout, size=slot.size.words, fastener=slot.size.diameter)
    return replace(_cut(cutout), spots=spots)


def _cut_out(cut_out: CutOut, turn: Motion, name: str) -> _Addition:
    corners = [Point(x, y) for x, y in cut_out.points]
    if cut_out.length is not None and cut_out.width is not None:
        x, y = cut_out.length / 2, cut_out.width / 2
        corners = list(rectangle(Bounds(-x, -y, x, y)).corners)
    try:
        contour = Contour.polygon(corners).anticlockwise()
        radii = [cut_out.corner_radius] * len(corners)
        rounded = rounded_polygon(contour.corners, radii)
    except GeometryError as error:
        raise BuildError(f"no such cut-out: {error}", "points", "corner_radius") from None
    if rounded.area <= 0 or self_crossing(rounded) is not None:
        raise BuildError("the cut-out's outline crosses itself", "points", "corner_radius")
    return _cut(Cutout(name, rounded.moved(turn)))


def _cut(cutout: Cutout) -> _Addition:
    def reach(way: Vector) -> float:
        """How far the contour reaches: its box's side after a turn, exact for arcs."""
        return cutout.contour.moved(Motion.rotation(-way.angle)).bounds.xmax

    return _Addition(name=cutout.what, reach=reach, cutouts=(cutout,))


def _pattern(pattern: HolePattern, turn: Motion, name: str) -> _Addition:
    if pattern.layout == "circle":
        radius = (pattern.diameter or 0.0) / 2
        steps = (i / pattern.count for i in range(pattern.count))
        points = [ORIGIN + Vector.polar(math.tau * s, radius) for s in steps]
    else:
        points = [Point(x, y) for x, y in offsets_of(pattern)]
    places = [turn.point(p) for p in points]
    holes = tuple(_hole(pattern, f"{name} hole {i}", p) for i, p in enumerate(places, 1))
    marks: tuple[Mark, ...] = ()
    if pattern.layout == "circle" and pattern.diameter:
        marks = (Mark(Circle(ORIGIN, pattern.diameter), "centre", "bolt circle"),)
    return _Addition(
        name=name,
        reach=lambda d: max((p - ORIGIN).dot(d) for p in places),
        holes=holes,
        marks=marks,
        spots=tuple((hole.centre, hole.what) for hole in holes),
    )


def _mark(mark: DrawnMark, turn: Motion, name: str) -> _Addition:
    meaning: MarkMeaning = "centre" if mark.meaning == "centre" else "scribe"
    if mark.diameter is not None:
        circle, radius = Circle(ORIGIN, mark.diameter), mark.diameter / 2
        drawn = (Mark(circle, meaning, mark.name or ""),)
        return _Addition(name=name, reach=lambda _: radius, marks=drawn)
    points = [turn.point(Point(x, y)) for x, y in mark.points]
    if any(a == b for a, b in pairwise(points)):
        raise BuildError("two points of the line are one", "points")
    lines = [Line(a, b) for a, b in pairwise(points)]
    labels = [mark.name or "", *[""] * len(lines)]
    return _Addition(
        name=name,
        reach=lambda d: max((p - ORIGIN).dot(d) for p in points),
        marks=tuple(Mark(a, meaning, w) for a, w in zip(lines, labels, strict=False)),
    )


# --- on the metal, and checked ----------------------------------------------------------------


def require_on(
    panel: Panel, holes: Iterable[Hole], cutouts: Iterable[Cutout], way: str = ""
) -> None:
    """Raises BuildError when a hole or cut-out reaches over the panel's edge."""
    for hole in holes:
        panel.require_inside(hole, "measured_from")
    for cutout in cutouts:
        touches = any(
            crossings(a, b) for a in cutout.contour.segments for b in panel.contour.segments
        )
        if touches or not panel.contour.contains(cutout.contour.segments[0].start):
            raise BuildError(
                f"{cutout.what} does not lie wholly on the {panel.name}{way}", "measured_from"
            )


def _dimensions(
    bracket: Bracket, panel: Panel, feature: Feature, at: Point, piece: _Addition, key: str
) -> Iterator[Dimension]:
    if isinstance(feature, DrawnMark):
        return
    spots = [Spot(panel.name, place, words) for place, words in piece.spots]
    near = feature.measured_to == "near side"
    words = f"middle of {piece.name}" if spots and not near else piece.name
    for each in place_dimensions(bracket, panel, feature, at, piece.reach, words, key):
        if not spots or (near and isinstance(feature, Slot)):
            yield each
        elif not near and isinstance(each.start, Spot):
            # nothing to see stands there: it shows where the feature is, its spots are measured
            yield replace(each, start=replace(each.start, when="flat"), critical=False)
    for spot in spots if len(spots) <= _ALL_CHECKED else (spots[0], spots[-1]):
        yield from spot_dimensions(bracket, panel, feature, spot.at, spot.words)
    for a, b in pairwise(spots if isinstance(feature, HolePattern) else ()):
        yield Dimension(start=a, end=b, critical=True)
