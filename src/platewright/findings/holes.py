"""Rules of openings: on the plate, far enough from edges, bends and each other, big enough to cut.

Distances from edges and between holes are from hole centres, of a slot from the line between its
ends' centres, mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations

from platewright.findings.case import Case
from platewright.findings.finding import COMMON, SLACK, Finding, short
from platewright.geometry.build import slot_of
from platewright.geometry.contour import Circle, Outline
from platewright.geometry.distances import distance_between, encloses
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.plate.place import edge_frame
from platewright.units import INCH, tape
from platewright.values import dataclass


def hole_off_the_plate(case: Case) -> Iterator[Finding]:
    """A hole that leaves the blank, a mark that is not on it, a cut-out that crosses its edge."""
    outline = case.blank.outline
    for hole in case.blank.holes:
        inside = outline.contains(hole.centre)
        margin = outline.distance(hole.centre) * (1 if inside else -1)
        needed = hole.diameter / 2 if hole.cut else 0.0
        yield from short(
            f"{hole.what}, edge of the blank",
            margin,
            needed,
            "move the hole onto the plate, or make the plate larger",
            severity="impossible",
        )
    for cutout in case.blank.cutouts:
        corners = cutout.contour.flatten(0.05)
        if not all(outline.contains(p) for p in corners):
            yield Finding(
                severity="impossible",
                place=f"{cutout.what}, edge of the blank",
                change="move the cut-out onto the plate, or draw it as part of the outline",
            )


def openings_overlap(case: Case) -> Iterator[Finding]:
    """Holes and cut-outs that run into each other: neither comes out as it is drawn."""
    openings: list[tuple[str, Outline]] = [(h.what, h.circle) for h in case.blank.cut_holes]
    openings += [(cutout.what, cutout.contour) for cutout in case.blank.cutouts]
    boxed = [(what, outline, outline.bounds) for what, outline in openings]
    for (what, one, box), (other_what, other, other_box) in combinations(boxed, 2):
        if box.meets(other_box) and _overlap(one, other):
            yield Finding(
                severity="impossible",
                place=f"{what} and {other_what}, which run into each other",
                change="move them apart, or draw them as one slot or cut-out",
            )


def _overlap(one: Outline, other: Outline) -> bool:
    """Whether two openings share metal, or so much as touch."""
    if isinstance(one, Circle) and isinstance(other, Circle):
        return one.centre.distance(other.centre) < one.radius + other.radius - SLACK
    return (
        distance_between(one, other).distance == 0 or encloses(one, other) or encloses(other, one)
    )


# --- least distances --------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class LeastDistance:
    """A least distance from a hole's centre, mm, and its source."""

    distance: float
    source: str


# bolt and least distance to an edge: AISC 360-16 Table J3.4 in inches, 1/2 to 1 read, above from
# memory; Table J3.4M in mm from memory
_J3_4 = (
    (0.5, 0.75), (0.625, 0.875), (0.75, 1.0), (0.875, 1.125), (1.0, 1.25), (1.125, 1.5),
    (1.25, 1.625),
)  # fmt: skip
_J3_4M = ((16, 22), (20, 26), (22, 28), (24, 30), (27, 34), (30, 38), (36, 46))


def aisc_edge(bolt: float) -> LeastDistance | None:
    """Least edge distance for a bolt's diameter by AISC 360-16 Table J3.4, or J3.4M.

    A bolt of whole millimetres goes by the metric table. One between rows takes the next greater
    row, and the source says so; above the last row 1.25 d (memory), though never less than that
    row. None below the first row, 1/2 in or M16.
    """
    metric = abs(bolt - round(bolt)) < 1e-6
    size, rows, table = (bolt, _J3_4M, "J3.4M") if metric else (bolt / INCH, _J3_4, "J3.4")
    source, per = f"AISC 360-16 Table {table}", 1.0 if metric else INCH
    if size < rows[0][0] - 1e-9:
        return None
    for row, distance in rows:
        if size < row - 1e-9:
            name = f"M{row}" if metric else f"{tape(row * INCH, 8)} in"
            return LeastDistance(distance * per, f"{source}, row of the next greater bolt ({name})")
        if size <= row + 1e-9:
            return LeastDistance(distance * per, source)
    return LeastDistance(max(1.25 * bolt, rows[-1][1] * per), source)


def least_edge(hole: float, bolt: float | None) -> LeastDistance:
    """Least end and edge distance by the stricter of two rules.

    1.2 d0 of the hole (EN 1993-1-8 Table 3.3), and the bolt's row (None for a plain hole).
    """
    by_hole = LeastDistance(1.2 * hole, "EN 1993-1-8 Table 3.3")
    by_bolt = aisc_edge(bolt) if bolt is not None else None
    return max(by_hole, by_bolt or by_hole, key=lambda rule: rule.distance)


def least_spacing(hole: float, bolt: float) -> LeastDistance:
    """Least distance between the centres of bolt holes, by the stricter of two rules.

    2.4 d0 of the hole (EN 1993-1-8 Table 3.3, across the force, the safer way where its direction
    is not known) and 2 2/3 d of the bolt, 0 where none is named (AISC 360-16 J3.3, from memory).
    """
    by_hole = LeastDistance(2.4 * hole, "EN 1993-1-8 Table 3.3, 2.4 d0")
    by_bolt = LeastDistance(8 / 3 * bolt, "AISC 360-16 J3.3, 2 2/3 d")
    return max(by_hole, by_bolt, key=lambda rule: rule.distance)


def hole_edge_distance(case: Case) -> Iterator[Finding]:
    """From a hole's centre to the nearest edge, outer or of a cut-out."""
    blank = case.blank
    for hole in blank.cut_holes:
        edges = [(blank.outline.distance(hole.centre), "nearest edge")]
        edges += [(cut.contour.distance(hole.centre), cut.what) for cut in blank.cutouts]
        distance, words = min(edges)
        # bolts and pins by the standards; other holes keep a thickness of metal round them
        rule = LeastDistance(hole.diameter / 2 + case.thickness, COMMON)
        if hole.role in ("bolt", "pin"):
            rule = least_edge(hole.diameter, hole.fastener)
        yield from short(
            f"{hole.what}, {words}",
            distance,
            rule.distance,
            "move the hole inwards, or leave more metal outside it",
            source=rule.source,
        )


def cutout_edge_distance(case: Case) -> Iterator[Finding]:
    """From a cut-out to the nearest edge, outer or of another; of a bolt's slot from its axis.

    A slot asks for 1.5 d0 to its side and from its ends' centres alike (EN 1993-1-8 Table 3.3, e3
    and e4, from memory), and for no less than a hole for its bolt.
    """
    cutouts = case.blank.cutouts
    edges: list[tuple[str, Outline]] = [("nearest edge", case.blank.outline)]
    edges += [(cutout.what, cutout.contour) for cutout in cutouts]
    boxes = [edge.bounds for _, edge in edges]
    for index, cutout in enumerate(cutouts, 1):
        rule, half = LeastDistance(case.thickness, COMMON), 0.0
        slot = slot_of(cutout.contour)
        if slot and cutout.fastener:
            half = slot.width / 2
            by_slot = LeastDistance(1.5 * slot.width, "EN 1993-1-8 Table 3.3, slots, 1.5 d0")
            rule = max(by_slot, least_edge(slot.width, cutout.fastener), key=lambda r: r.distance)
        reach = boxes[index].grown(rule.distance)
        # of two cut-outs the later one is told
        near = [
            (distance_between(cutout.contour, edge).distance, what)
            for (what, edge), box in zip(edges[:index], boxes, strict=False)
            if reach.meets(box)
        ]
        distance, words = min(near, default=(math.inf, ""))
        if distance == 0:
            continue  # told as one that leaves the plate, or runs into the other
        yield from short(
            f"{cutout.what}, {words}",
            distance + half,
            rule.distance,
            "move the cut-out inwards, or leave more metal outside it",
            source=rule.source,
        )


def hole_to_hole(case: Case) -> Iterator[Finding]:
    """From centre to centre, of holes that do not run into each other."""
    for one, other in combinations(case.blank.cut_holes, 2):
        if _overlap(one.circle, other.circle):
            continue
        distance = one.centre.distance(other.centre)
        rule = LeastDistance((one.diameter + other.diameter) / 2 + case.thickness, COMMON)
        if one.role == other.role == "bolt":
            bolt = max(one.fastener or 0.0, other.fastener or 0.0)
            rule = least_spacing(max(one.diameter, other.diameter), bolt)
        yield from short(
            f"{one.what} to {other.what}",
            distance,
            rule.distance,
            "move the holes apart",
            source=rule.source,
        )


def hole_to_bend(case: Case) -> Iterator[Finding]:
    """Flat metal from a hole's edge to where a bend begins, in the panel that carries the hole."""
    for bend in case.blank.bends:
        limit = bend.way.flat_beside(case.thickness)
        for name, line in ((bend.parent, bend.near), (bend.child, bend.far.reversed())):
            for what, flat in _flats(case, name, line):
                yield from short(
                    f"{what}, bend {bend.number}",
                    flat,
                    limit,
                    "move the hole away from the bend, or drill it after folding",
                )


def _flats(case: Case, name: str, line: Line) -> Iterator[tuple[str, float]]:
    """Flat metal between each hole and cut-out of a panel and a tangent line, mm."""
    motion = case.blank.panel_motion(name)
    panel = next(p.panel for p in case.blank.panels if p.panel.name == name)
    for hole in panel.holes:
        if hole.cut:
            yield hole.what, flat_before(hole.moved(motion).circle, line)
    for cutout in panel.cutouts:
        corners = cutout.moved(motion).contour.flatten(0.05)
        yield cutout.what, min(flat_before(Circle(p, 2 * SLACK), line) for p in corners)


def flat_before(hole: Circle, line: Line) -> float:
    """From a hole's edge to a tangent line that has its panel on the left, mm.

    Less than nothing for a hole that reaches over the line.
    """
    at = edge_frame(line).inverse().point(hole.centre)
    if 0 <= at.x <= line.length:
        return at.y - hole.radius
    ends = (Point(0.0, 0.0), Point(line.length, 0.0))
    return min(at.distance(end) for end in ends) - hole.radius


def plasma_hole_too_small(case: Case) -> Iterator[Finding]:
    """A hole that the torch leaves ragged and tapered for the plate's thickness."""
    limit = case.context.hole_factor * case.thickness
    for hole in case.blank.cut_holes:
        yield from short(
            hole.what, hole.diameter, limit, "mark its middle and drill it", severity="note"
        )
