"""What to measure on the flat blank, and how far it may be off.

The bracket's own checks come first; bend lines against holes and against each other follow, since
they decide where the folded faces stand. The rest is derived from the blank: its overall size, the
depth of each folded panel, the edges whose both ends are corners that a tape can find.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from typing import Literal

from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.plate.blank import Blank, BlankBend, BlankPanel
from platewright.plate.bracket import Hole
from platewright.plate.dimension import Dimension, Place, Spot, Straight
from platewright.plate.piece import Piece

Tolerance = Literal["critical", "outer"]
"""Narrow and both ways, or one way: outer sizes may run large."""

_LEAST = 0.05  # mm: a shorter distance cannot be measured
_SAME = 1e-6  # mm
_TOLD = 0.01  # mm
_PARALLEL = 1e-6  # rad
_CORNER = 0.09  # rad: a joint that turns less is no corner for a tape


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """A thing on the blank to measure from or to: a point, or a straight line.

    `at` is where its letter points.
    """

    words: str
    at: Point
    line: Line | None = None

    @classmethod
    def along(cls, words: str, line: Line) -> Feature:
        """A straight line, lettered at its middle."""
        return cls(words=words, at=line.point_at(0.5), line=line)


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatCheck:
    """One distance on the flat blank, mm: between two features, or one feature end to end."""

    words: str
    value: float
    features: tuple[Feature, ...]
    tolerance: Tolerance

    @property
    def critical(self) -> bool:
        """Whether it decides that the part fits."""
        return self.tolerance == "critical"


def flat_checks(piece: Piece) -> tuple[FlatCheck, ...]:
    """Every distance worth measuring on the blank, the fit-critical ones first.

    A distance of nothing is dropped, and so is one that was there before.
    """
    placed = [*_stated(piece), *_bend_places(piece.blank)]
    found = (
        *placed,
        *_overall(piece.blank, [check.value for check in placed]),
        *_panel_depths(piece),
        *_bend_lengths(piece.blank),
        *_edge_lengths(piece.blank),
    )
    kept = _distinct(check for check in found if check.value > _LEAST)
    return tuple(sorted(kept, key=lambda check: not check.critical))


def _distinct(checks: Iterable[FlatCheck]) -> Iterator[FlatCheck]:
    seen: set[object] = set()
    for check in checks:
        key = frozenset(map(place_of, check.features)) or check.words
        if key not in seen:
            seen.add(key)
            yield check


def place_of(feature: Feature) -> frozenset[tuple[float, float]]:
    """Where a feature lies, to a ten-thousandth of a millimetre, whichever way it is travelled."""
    points = (feature.at,) if feature.line is None else (feature.line.start, feature.line.end)
    return frozenset((round(p.x, 4), round(p.y, 4)) for p in points)


def distance_to(line: Line, p: Point) -> float:
    """Distance from a point to a line, run on beyond its ends, mm."""
    return abs(line.direction.cross(p - line.start))


def _parallel(a: Line, b: Line) -> bool:
    return abs(a.direction.cross(b.direction)) < _PARALLEL


# --- what the bracket asks for ----------------------------------------------------------------


def _stated(piece: Piece) -> Iterator[FlatCheck]:
    for check in piece.bracket.dimensions:
        if check.when != "folded" and check.quantity == "length":
            yield _stated_check(check, piece.blank)


def _stated_check(check: Dimension, blank: Blank) -> FlatCheck:
    start, end = _feature(check.start, blank), _feature(check.end, blank)
    if end.line is None:
        value, how = start.at.distance(end.at), ""
    else:
        value, how = distance_to(end.line, start.at), ", square to it"
    return FlatCheck(
        words=f"{start.words} to {end.words}{how}",
        value=value,
        features=(start, end),
        tolerance="critical" if check.critical else "outer",
    )


def _feature(end: Place, blank: Blank) -> Feature:
    motion = blank.panel_motion(end.panel)
    if isinstance(end, Straight):
        return Feature.along(end.words, end.line.moved(motion))
    assert isinstance(end, Spot)
    at, bend = blank.tape_end(end.panel, end.at)
    return Feature(
        words=f"{end.words} (end of bend {bend.number} line)" if bend else end.words, at=at
    )


# --- where the bends lie ----------------------------------------------------------------------


def _bend_feature(bend: BlankBend) -> Feature:
    return Feature.along(f"bend {bend.number} line", bend.line)


def _bend_places(blank: Blank) -> Iterator[FlatCheck]:
    """The nearest hole on either side of each bend, and parallel bends of one panel."""
    for bend in blank.bends:
        for name in (bend.parent, bend.child):
            yield from _nearest_hole(bend, _panel(blank, name))
    for first, second in combinations(blank.bends, 2):
        shared = {first.parent, first.child} & {second.parent, second.child}
        if shared and _parallel(first.line, second.line):
            a, b = _bend_feature(first), _bend_feature(second)
            yield FlatCheck(
                words=f"{a.words} to {b.words}, square",
                value=distance_to(second.line, first.line.start),
                features=(a, b),
                tolerance="critical",
            )


def _panel(blank: Blank, name: str) -> BlankPanel:
    return next(placed for placed in blank.panels if placed.panel.name == name)


def _nearest_hole(bend: BlankBend, placed: BlankPanel) -> Iterator[FlatCheck]:
    holes = [hole.moved(placed.blank_from_panel) for hole in placed.panel.holes if hole.cut]
    if not holes:
        return

    def away(hole: Hole) -> float:
        return distance_to(bend.line, hole.centre)

    # the order of the holes decides between equals, whatever the last digit of a distance says
    least = min(map(away, holes))
    nearest = next(hole for hole in holes if away(hole) < least + _SAME)
    hole, line = Feature(words=nearest.what, at=nearest.centre), _bend_feature(bend)
    yield FlatCheck(
        words=f"{hole.words} to {line.words}, square to it",
        value=away(nearest),
        features=(hole, line),
        tolerance="critical",
    )


# --- what the blank shows ---------------------------------------------------------------------


def _overall(blank: Blank, told: Sequence[float]) -> Iterator[FlatCheck]:
    """The blank's own size, unless that very length is asked for already."""
    sizes = (
        ("overall, left to right", blank.bounds.width),
        ("overall, bottom to top", blank.bounds.height),
    )
    for words, value in sizes:
        if not any(abs(value - other) < _TOLD for other in told):
            yield FlatCheck(words=words, value=value, features=(), tolerance="outer")


def _panel_depths(piece: Piece) -> Iterator[FlatCheck]:
    """From each bend line to the farthest free edge that runs along it, on either side."""
    blank = piece.blank
    for bend in blank.bends:
        for name in (bend.parent, bend.child):
            placed = _panel(blank, name)
            edges = [edge for edge in free_edges(placed) if _parallel(edge[1], bend.line)]
            if edges:
                yield _depth(bend, placed, edges, piece)


def _depth(
    bend: BlankBend, placed: BlankPanel, edges: list[tuple[str, Line]], piece: Piece
) -> FlatCheck:
    name, edge = max(edges, key=lambda each: round(distance_to(bend.line, each[1].start), 6))
    panel = placed.panel.name
    on_wall = panel == piece.bracket.root.name and name == piece.bracket.wall
    line, far = _bend_feature(bend), Feature.along(_edge_words(name, panel), edge)
    return FlatCheck(
        words=f"{line.words} to {far.words}, square",
        value=distance_to(bend.line, edge.start),
        features=(line, far),
        tolerance="critical" if on_wall else "outer",
    )


def free_edges(placed: BlankPanel) -> list[tuple[str, Line]]:
    """A panel's named straight edges on the blank that nothing is bent from, its base left out."""
    panel = placed.panel
    bent = {bend.edge for bend in panel.bends} | {"base"}
    return [
        (name, segment.moved(placed.blank_from_panel))
        for name, index in panel.edges
        if name not in bent and isinstance(segment := panel.contour.segments[index], Line)
    ]


def _edge_words(edge: str, panel: str) -> str:
    return f"{edge} of {panel}" if panel not in edge else edge


def _bend_lengths(blank: Blank) -> Iterator[FlatCheck]:
    """How long each bend is, where that is not the blank's own size."""
    for bend in blank.bends:
        if not _spans(bend.line, _sizes(blank)):
            yield _end_to_end(_bend_feature(bend))


def _edge_lengths(blank: Blank) -> Iterator[FlatCheck]:
    """Edges that stand whole in the outline between two corners, overall sizes left out."""
    whole = _cornered_lines(blank)
    sizes = _sizes(blank)
    for placed in blank.panels:
        for name, edge in free_edges(placed):
            feature = Feature.along(_edge_words(name, placed.panel.name), edge)
            if place_of(feature) in whole and not _spans(edge, sizes):
                yield _end_to_end(feature)


def _end_to_end(feature: Feature) -> FlatCheck:
    assert feature.line is not None
    return FlatCheck(
        words=f"{feature.words}, end to end",
        value=feature.line.length,
        features=(feature,),
        tolerance="outer",
    )


def _cornered_lines(blank: Blank) -> set[frozenset[tuple[float, float]]]:
    segments = blank.outline.segments
    turned = [
        abs(before.end_direction.cross(after.start_direction)) > _CORNER
        for before, after in pairwise((*segments, segments[0]))
    ]
    return {
        place_of(Feature.along("", segment))
        for index, segment in enumerate(segments)
        if isinstance(segment, Line) and turned[index] and turned[index - 1]
    }


def _sizes(blank: Blank) -> tuple[float, float]:
    return blank.bounds.width, blank.bounds.height


def _spans(edge: Line, sizes: tuple[float, float]) -> bool:
    """Whether a level or upright edge is as long as the blank."""
    along = (abs(edge.end.x - edge.start.x), abs(edge.end.y - edge.start.y))
    across = (along[1], along[0])
    return any(
        abs(long - size) < _SAME and short < _SAME
        for long, short, size in zip(along, across, sizes, strict=True)
    )
