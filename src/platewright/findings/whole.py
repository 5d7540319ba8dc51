"""Rules of the whole part: the blank, the fold, the wall, the sheet, the torch, the load."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import product

from platewright.findings.case import Case
from platewright.findings.finding import Amount, Finding, Severity, beyond, short
from platewright.findings.plan import hull, polygon_distance
from platewright.geometry.plane import Bounds, Motion, Point
from platewright.geometry.shapes import self_crossing
from platewright.plate.folded import folded
from platewright.plate.prism import panel_polygons
from platewright.units import format_angle

#: A measurement this near to what was asked is as asked, mm or radians.
_AS_ASKED = 1e-6

#: A sheet is tried at steps of this many degrees, and along every side of the blank.
_TURNS = 360


def blank_overlaps_itself(case: Case) -> Iterator[Finding]:
    """Metal that is asked for twice: panels over each other in the flat, crossing outlines."""
    named = set()
    for pair in case.sweep.on_the_blank:
        named.add(pair.first)
        place = f"{pair.first} and {pair.second} on the blank"
        change = "shorten one of them, or make it a piece of its own"
        yield from short(place, -pair.depth, 0.0, change, "impossible")
    for panel in case.bracket.root.walk():
        if self_crossing(panel.contour) is not None:
            named.add(panel.name)
            yield Finding(
                severity="impossible",
                place=f"outline of {panel.name}",
                change="draw the outline so that it does not cross itself",
            )


def panels_pass_through(case: Case) -> Iterator[Finding]:
    """Panels in each other: when finished impossible, on the way a matter of the order."""
    for meeting in case.sweep.meetings:
        severity: Severity = "change"
        when = "while folding"
        change = "fold one bend after the other, and try the order in card first"
        if meeting.finished:
            severity, when = "impossible", "finished"
            change = "shorten one of them, or fold it less"
        first = f"first with bend {meeting.bend} at {format_angle(meeting.angle)}"
        place = f"{meeting.first} and {meeting.second}, {when}; {first}"
        yield from short(place, -meeting.depth, 0.0, change, severity)


def into_the_wall(case: Case) -> Iterator[Finding]:
    """A panel that stands through the plane of the wall when finished."""
    if case.bracket.wall is None:
        return
    wall = case.bracket.root.straight_edge(case.bracket.wall)
    out = wall.direction.left
    for placed in case.finished.panels[1:]:
        corners = case.finished.corners(placed.panel.name)
        places = [p for corner in corners for p in (corner.top, corner.underside)]
        reach = min((Point(p.x, p.y) - wall.start).dot(out) for p in places)
        remedy = "shorten the panel, or square its bend to the wall"
        yield from short(f"{placed.panel.name}, wall", reach, 0.0, remedy, slack=1e-3)


def not_as_asked(case: Case) -> Iterator[Finding]:
    """Measurements of the file that the finished part, or its blank, does not have."""
    flat = folded(case.bracket, 0.0)
    for each in case.bracket.dimensions:
        if not each.key or each.asked is None:
            continue
        comes = (flat if each.when == "flat" else case.finished).value(each)
        if abs(comes - each.asked) > _AS_ASKED:
            yield Finding(
                severity="note",
                place=f"{each.start.panel}, {each.start.words} to {each.end.words} ({each.key})",
                measured=Amount(comes, each.quantity),
                limit=Amount(each.asked, each.quantity),
                bound="asked",
                change="its bend, its taper or a trim decides it: change that, or leave it so",
            )


def told_of_the_drawing(case: Case) -> Iterator[Finding]:
    """What a kind wants known of how it took its measurements."""
    for words in case.bracket.notes:
        yield Finding(severity="note", place="the drawing", change=words)


def larger_than_sheet(case: Case) -> Iterator[Finding]:
    """A blank that does not fit the named sheet, turned any way."""
    sheet = case.context.sheet
    if sheet is None:
        return
    corners = hull(case.blank.outline.flatten(0.05))
    # directions to lay along the sheet's long side
    turns = [math.pi * i / _TURNS for i in range(_TURNS)]
    for a, b in zip(corners, [*corners[1:], corners[0]], strict=True):
        turns += ((b - a).angle, (b - a).angle + math.pi / 2)
    measured, limit = min(
        (_tightest(corners, turn, sheet) for turn in turns), key=lambda each: each[0] - each[1]
    )
    place = "blank, sheet to cut from, laid as it fits best"
    yield from beyond(place, measured, limit, "take a larger sheet, or make the part of two pieces")


def _tightest(corners: list[Point], turn: float, sheet: tuple[float, float]) -> tuple[float, float]:
    """A turned blank's size and the sheet's, in the direction that is tighter, mm."""
    motion = Motion.rotation(-turn)
    points = [motion.point(p) for p in corners]
    width = max(p.x for p in points) - min(p.x for p in points)
    height = max(p.y for p in points) - min(p.y for p in points)
    sides = ((width, max(sheet)), (height, min(sheet)))
    return max(sides, key=lambda side: side[0] - side[1])


def no_room_for_torch(case: Case) -> Iterator[Finding]:
    """Panels that lie so near each other on the blank that the kerf does not pass between."""
    kerf = case.context.kerf
    panels = []
    for placed in case.blank.panels:
        point, polygons = placed.blank_from_panel.point, panel_polygons(placed.panel)
        rings = [[point(p) for p in ring] for ring in polygons]
        # with a box round each that reaches half a kerf farther
        pieces = [(Bounds.of(*ring).grown(kerf / 2), ring) for ring in rings]
        panels.append((placed.panel.name, pieces))
    joined = {frozenset((bend.parent, bend.child)) for bend in case.blank.bends}
    for index, (name, pieces) in enumerate(panels):
        for other, others in panels[:index]:
            if frozenset((name, other)) in joined:
                continue
            near = (
                polygon_distance(one, two)
                for (box, one), (there, two) in product(pieces, others)
                if box.meets(there)
            )
            gap = min(near, default=kerf)
            if gap >= 0:
                place = f"{other} and {name} on the blank"
                remedy = "leave at least the kerf between them, or saw the slit"
                yield from short(place, gap, kerf, remedy)


# --- the load ---------------------------------------------------------------------------------

SCREEN = "a screen, which approves nothing"
_SECTION = f"moment over section modulus: {SCREEN}"
_WELD = f"weld as a line, AISC 360-16 J2.4: {SCREEN}"


def screen_exceeded(case: Case) -> Iterator[Finding]:
    """The greatest stress of each screen that comes to more than it is held against."""
    strength = case.context.strength
    if strength is None:
        return
    deeper = "a deeper gusset, less load or"
    for where, screen, remedy, source in (
        ("section at the wall", strength.plate, f"{deeper} thicker plate", _SECTION),
        ("weld to the wall", strength.weld, f"{deeper} a thicker weld", _WELD),
    ):
        words = max(screen.stresses, key=lambda each: each[1])[0]
        yield from beyond(
            f"{where}, {words}, against {screen.limit_words}",
            screen.ratio,
            1.0,
            remedy,
            source=source,
            slack=1e-9,
            quantity="share",
        )
