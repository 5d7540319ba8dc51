"""Rules of holes: on the plate, far enough from edges, bends and each other, big enough to cut."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from platewright.findings.case import Case
from platewright.findings.finding import COMMON, Fault, Reading
from platewright.geometry.contour import Circle, Outline
from platewright.geometry.distances import distance_between, encloses
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.plate.blank import Blank
from platewright.plate.bracket import Hole
from platewright.plate.place import edge_frame
from platewright.shop.edges import EdgeRule, least_edge, least_spacing

#: Figures nearer to their limit than this are taken as on it, mm.
SLACK = 1e-6


def hole_off_the_plate(case: Case) -> Iterator[Fault]:
    """A hole that leaves the blank, a mark that is not on it, a cut-out that crosses its edge."""
    outline = case.blank.outline
    for hole in case.blank.holes:
        inside = outline.contains(hole.centre)
        margin = outline.distance(hole.centre) * (1 if inside else -1)
        needed = hole.diameter / 2 if hole.cut else 0.0
        if margin < needed - SLACK:
            yield Fault(
                severity="impossible",
                place=f"{hole.what}, edge of the blank",
                measured=Reading(margin),
                limit=Reading(needed),
                change="move the hole onto the plate, or make the plate larger",
            )
    for cutout in case.blank.cutouts:
        corners = cutout.contour.flatten(0.05)
        if not all(outline.contains(p) for p in corners):
            yield Fault(
                severity="impossible",
                place=f"{cutout.what}, edge of the blank",
                change="move the cut-out onto the plate, or draw it as part of the outline",
            )


def openings_overlap(case: Case) -> Iterator[Fault]:
    """Holes and cut-outs that run into each other: neither comes out as it is drawn."""
    for (what, one), (other_what, other) in combinations(_openings(case.blank), 2):
        if one.bounds.meets(other.bounds) and _overlap(one, other):
            yield Fault(
                severity="impossible",
                place=f"{what} and {other_what}, which run into each other",
                change="move them apart, or draw them as one slot or cut-out",
            )


def _openings(blank: Blank) -> list[tuple[str, Outline]]:
    holes: list[tuple[str, Outline]] = [(hole.what, hole.circle) for hole in blank.cut_holes]
    return [*holes, *((cutout.what, cutout.contour) for cutout in blank.cutouts)]


def _overlap(one: Outline, other: Outline) -> bool:
    """Whether two openings share metal, or so much as touch."""
    if isinstance(one, Circle) and isinstance(other, Circle):
        return one.centre.distance(other.centre) < one.radius + other.radius - SLACK
    return (
        distance_between(one, other).distance == 0 or encloses(one, other) or encloses(other, one)
    )


def hole_edge_distance(case: Case) -> Iterator[Fault]:
    """From a hole's centre to the nearest edge, outer or of a cut-out."""
    for hole in case.blank.cut_holes:
        distance, words = _nearest_edge(case, hole)
        rule = _edge_rule(case, hole)
        if distance < rule.distance - SLACK:
            yield Fault(
                severity="change",
                place=f"{hole.what}, {words}",
                measured=Reading(distance),
                limit=Reading(rule.distance),
                source=rule.source,
                change="move the hole inwards, or leave more metal outside it",
            )


def _nearest_edge(case: Case, hole: Hole) -> tuple[float, str]:
    blank = case.blank
    edges = [(blank.outline.distance(hole.centre), "nearest edge")]
    edges += [(cut.contour.distance(hole.centre), cut.what) for cut in blank.cutouts]
    return min(edges)


def _edge_rule(case: Case, hole: Hole) -> EdgeRule:
    """Bolts and pins by the standards; other holes keep a thickness of metal round them."""
    if hole.role in ("bolt", "pin"):
        return least_edge(hole.diameter, hole.fastener)
    return EdgeRule(hole.diameter / 2 + case.thickness, COMMON)


def hole_to_hole(case: Case) -> Iterator[Fault]:
    """From centre to centre, of holes that do not run into each other."""
    for one, other in combinations(case.blank.cut_holes, 2):
        if _overlap(one.circle, other.circle):
            continue
        distance = one.centre.distance(other.centre)
        rule = _spacing_rule(case, one, other)
        if distance < rule.distance - SLACK:
            yield Fault(
                severity="change",
                place=f"{one.what} to {other.what}",
                measured=Reading(distance),
                limit=Reading(rule.distance),
                source=rule.source,
                change="move the holes apart",
            )


def _spacing_rule(case: Case, one: Hole, other: Hole) -> EdgeRule:
    if one.role == other.role == "bolt":
        bolts = [bolt for bolt in (one.fastener, other.fastener) if bolt is not None]
        return least_spacing(max(one.diameter, other.diameter), max(bolts, default=None))
    return EdgeRule((one.diameter + other.diameter) / 2 + case.thickness, COMMON)


def hole_to_bend(case: Case) -> Iterator[Fault]:
    """Flat metal from a hole's edge to where a bend begins, in the panel that carries the hole."""
    for bend in case.blank.bends:
        limit = bend.way.flat_beside(case.thickness)
        for name, line in ((bend.parent, bend.near), (bend.child, bend.far.reversed())):
            for what, flat in _flats(case, name, line):
                if flat < limit - SLACK:
                    yield Fault(
                        severity="change",
                        place=f"{what}, bend {bend.number}",
                        measured=Reading(flat),
                        limit=Reading(limit),
                        change="move the hole away from the bend, or drill it after folding",
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


def plasma_hole_too_small(case: Case) -> Iterator[Fault]:
    """A hole that the torch leaves ragged and tapered for the plate's thickness."""
    limit = case.context.hole_factor * case.thickness
    for hole in case.blank.cut_holes:
        if hole.diameter < limit - SLACK:
            yield Fault(
                severity="note",
                place=hole.what,
                measured=Reading(hole.diameter),
                limit=Reading(limit),
                change="mark its middle and drill it",
            )
