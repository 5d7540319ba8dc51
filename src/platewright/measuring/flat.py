"""What else is measured on the flat blank: where its bends lie, and what its outline shows.

The bracket's own dimensions come first; bend lines against holes and against each other follow,
since they decide where the folded faces stand. The rest is the blank's overall size, the depth of
each folded panel, the edges whose both ends are corners that a tape can find, scribed edges.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import combinations, pairwise

from platewright.geometry.crossings import crossings
from platewright.geometry.plane import Point, close
from platewright.geometry.segment import Line
from platewright.measuring.reach import SAME, on_blank
from platewright.plate.blank import Blank, BlankBend, BlankPanel
from platewright.plate.bracket import Panel
from platewright.plate.dimension import Dimension, OnBlank, Spot, Straight
from platewright.plate.piece import Piece
from platewright.units import both_units

_PARALLEL = 1e-6  # rad
_CORNER = 0.09  # rad: a joint that turns less is no corner for a tape
_MANY = 4  # more parallel bends than this are measured from one end
_ALIKE = 0.05  # mm


def flat_dimensions(piece: Piece) -> Iterator[Dimension]:
    """What the blank shows besides the bracket's own dimensions, in the order to measure."""
    blank = piece.blank
    for placed in blank.panels:
        yield from _scribed(placed.panel, piece)
    for bend in blank.bends:
        for name in (bend.parent, bend.child):
            yield from _nearest_hole(bend, _panel(blank, name))
    yield from _between_bends(blank)
    # the blank's own size, by lines square to each other at its ends
    box = blank.bounds
    low, high = Point(box.xmin, box.ymin), Point(box.xmax, box.ymax)
    across = Point(box.xmax, box.ymin), Point(box.xmin, box.ymax)
    for what, start, end in (
        ("overall, left to right", Line(low, across[1]), Line(across[0], high)),
        ("overall, bottom to top", Line(low, across[0]), Line(across[1], high)),
    ):
        places = [OnBlank(line.point_at(0.5), "", line) for line in (start, end)]
        yield Dimension(start=places[0], end=places[1], what=what)
    for bend in blank.bends:
        for name in (bend.parent, bend.child):
            yield from _depth(bend, _panel(blank, name), piece)
    for bend in blank.bends:
        line = _bend_line(bend)
        yield Dimension(start=line, end=line)
    yield from _edge_lengths(blank)


def _panel(blank: Blank, name: str) -> BlankPanel:
    return next(placed for placed in blank.panels if placed.panel.name == name)


# --- where the bends lie ----------------------------------------------------------------------


def _bend_line(bend: BlankBend) -> OnBlank:
    return OnBlank(bend.line.point_at(0.5), f"bend {bend.number} line", bend.line)


def _nearest_hole(bend: BlankBend, placed: BlankPanel) -> Iterator[Dimension]:
    holes = [hole for hole in placed.panel.holes if hole.cut]
    away = [_distance(bend.line, placed.blank_from_panel.point(hole.centre)) for hole in holes]
    if holes:
        # the order of the holes decides between equals, whatever the last digit of a distance says
        least = min(away)
        hole = next(h for h, reach in zip(holes, away, strict=True) if reach < least + SAME)
        spot = Spot(placed.panel.name, hole.centre, hole.what)
        yield Dimension(start=spot, end=_bend_line(bend), critical=True)


def _between_bends(blank: Blank) -> Iterator[Dimension]:
    """Parallel bends of one panel; those of a strip with many bends from one end, and alike ones.

    A tape hooked once errs once.
    """
    sets: list[list[BlankBend]] = []
    for bend in blank.bends:
        alike = next((each for each in sets if _parallel(each[0].line, bend.line)), None)
        if alike is None:
            sets.append([bend])
        else:
            alike.append(bend)
    for bends in sets:
        pairs = [
            (one, other, _distance(other.line, one.line.start))
            for one, other in combinations(bends, 2)
            if {one.parent, one.child} & {other.parent, other.child}
        ]
        if len(bends) > _MANY:
            yield from _running(blank, bends)
            steps = Counter(round(apart / _ALIKE) for _, _, apart in pairs)
            pairs = [each for each in pairs if steps[round(each[2] / _ALIKE)] > 1]
        for one, other, _ in pairs:
            yield Dimension(start=_bend_line(one), end=_bend_line(other), critical=True)


def _running(blank: Blank, bends: list[BlankBend]) -> Iterator[Dimension]:
    """From the end of a strip to each of its parallel bends, the nearest first."""
    ends = [
        (placed, name, edge)
        for placed in blank.panels
        for name, edge in _free_edges(placed)
        if _parallel(edge, bends[0].line)
    ]
    if not ends:
        return
    left = min(ends, key=lambda e: (round(e[2].point_at(0.5).x, 3), e[2].point_at(0.5).y))
    start, at = _straight(*left), left[2].point_at(0.5)
    for bend in sorted(bends, key=lambda each: _distance(each.line, at)):
        yield Dimension(start=start, end=_bend_line(bend), critical=True)


# --- what the blank shows ---------------------------------------------------------------------


def _depth(bend: BlankBend, placed: BlankPanel, piece: Piece) -> Iterator[Dimension]:
    """From a bend's line to the farthest free edge that runs along it."""
    edges = [each for each in _free_edges(placed) if _parallel(each[1], bend.line)]
    if edges:
        name, edge = max(edges, key=lambda each: round(_distance(bend.line, each[1].start), 6))
        root = piece.bracket.root.name
        wall = (placed.panel.name, name) == (root, piece.bracket.wall)
        yield Dimension(start=_bend_line(bend), end=_straight(placed, name, edge), critical=wall)


def _edge_lengths(blank: Blank) -> Iterator[Dimension]:
    """Edges that stand whole in the outline between two corners."""
    segments = blank.outline.segments
    turned = [
        abs(before.end_direction.cross(after.start_direction)) > _CORNER
        for before, after in pairwise((*segments, segments[0]))
    ]
    whole = [
        segment
        for index, segment in enumerate(segments)
        if isinstance(segment, Line) and turned[index] and turned[index - 1]
    ]
    for placed in blank.panels:
        for name, edge in _free_edges(placed):
            if any(
                close(edge.start, s.start, SAME) and close(edge.end, s.end, SAME) for s in whole
            ):
                straight = _straight(placed, name, edge)
                yield Dimension(start=straight, end=straight)


def _free_edges(placed: BlankPanel) -> Iterator[tuple[str, Line]]:
    """A panel's named straight edges on the blank that nothing is bent from, its base left out."""
    panel = placed.panel
    bent = {bend.edge for bend in panel.bends} | {"base"} | {name for name, _ in panel.datums}
    for name, index in panel.edges:
        segment = panel.contour.segments[index]
        if name not in bent and isinstance(segment, Line):
            yield name, segment.moved(placed.blank_from_panel)


def _straight(placed: BlankPanel, name: str, edge: Line) -> Straight:
    panel = placed.panel.name
    words = f"{name} of {panel}" if panel not in name else name
    return Straight(panel, edge.moved(placed.blank_from_panel.inverse()), words)


# --- a scribed edge ---------------------------------------------------------------------------


def _scribed(panel: Panel, piece: Piece) -> Iterator[Dimension]:
    """From the nearest bolt to three places of a scribed edge: its corners and its middle.

    Where a bend takes a corner, to a place a fifth of the way along from it.
    """
    bolts = [hole for hole in panel.holes if hole.role == "bolt" and hole.cut]
    holes = bolts or [hole for hole in panel.holes if hole.cut]
    for name, old in panel.datums if holes else ():
        wall = (panel.name, name) == (piece.bracket.root.name, piece.bracket.wall)
        for words, at in _stations(panel, name, old, piece.blank):
            spot = Spot(panel.name, at, f"{name}, {words}")
            near = min(holes, key=lambda hole: round(hole.centre.distance(at), 3))
            yield Dimension(start=Spot(panel.name, near.centre, near.what), end=spot, critical=wall)


def _stations(panel: Panel, name: str, old: Line, blank: Blank) -> Iterator[tuple[str, Point]]:
    """Three places along a scribed edge, in words that tell where to find them."""
    names = {index: each for each, index in panel.edges}
    ring, count = panel.contour.segments, len(panel.contour.segments)
    first = last = panel.edge_index(name)
    while (first - 1) % count not in names and last - first < count - 1:
        first -= 1
    while (last + 1) % count not in names and last - first < count - 1:
        last += 1
    pieces = [ring[i % count] for i in range(first, last + 1)]
    ends = pieces[0].start, pieces[-1].end
    beside = [names.get(i % count, "end") for i in (first - 1, last + 1)]
    for share in (0.0, 0.5, 1.0):
        if share == 0.5:
            words, at = "half way along", ends[0].midpoint(ends[1])
        else:
            far = int(share)
            corner = Spot(panel.name, ends[far], "")
            found = on_blank(corner, blank)
            if found is not None and not found.words:
                yield f"corner at the {beside[far]}", ends[far]
                continue
            bent = "" if found is None else found.words.strip(" ()").removeprefix("end of ")
            back = blank.panel_motion(panel.name).inverse()
            zero = back.point(found.at) if found else ends[far]
            at = ends[far].towards(ends[1 - far], 0.2)
            along = both_units(abs((at - zero).dot(old.direction)))
            words = f"{along} along from {bent or 'its end'}"
        out = old.direction.left * old.length
        hits = [h.point for p in pieces for h in crossings(p, Line(at + out, at + -out))]
        if hits:
            yield words, hits[0]


def _distance(line: Line, p: Point) -> float:
    """Distance from a point to a line, run on beyond its ends, mm."""
    return abs(line.direction.cross(p - line.start))


def _parallel(a: Line, b: Line) -> bool:
    return abs(a.direction.cross(b.direction)) < _PARALLEL
