"""Rules of room: for washers, sockets, fittings and pilots, for the body, for its drift."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from platewright.findings.case import Case
from platewright.findings.finding import SLACK, Finding, Severity, short
from platewright.findings.holes import flat_before, hole_edge_distance, hole_to_bend, hole_to_hole
from platewright.findings.plan import UNMOVED, Leaning, room_round, shadows_of
from platewright.geometry.contour import Circle
from platewright.geometry.plane import Point
from platewright.geometry.segment import Segment
from platewright.geometry.space import Placing, Point3
from platewright.plate.bend import Face
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Body, Hole, Panel
from platewright.plate.folded import folded
from platewright.plate.prism import SolidPart, parts_of
from platewright.shop.hardware import BOLTS, PORTS, BoltSize, fitting_room, wrench_room
from platewright.shop.strength import least_fillet
from platewright.values import dataclass

FACES: tuple[Face, ...] = ("top", "underside")

#: The body's room is looked at in so many stages of the fold.
_STAGES = 24


def bolt_of(hole: Hole) -> BoltSize | None:
    """The listed bolt of a bolt hole, by its body's diameter."""
    if hole.role != "bolt" or hole.fastener is None:
        return None
    return next((bolt for bolt in BOLTS.values() if bolt.diameter == hole.fastener), None)


def port_room(hole: Hole) -> float | None:
    """Diameter that a port's fitting needs, mm; None for a port without a thread."""
    if hole.role != "port" or hole.fastener is None:
        return None
    port = next((port for port in PORTS.values() if port.diameter == hole.fastener), None)
    return fitting_room(port) if port is not None else None


# --- bolts ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Seat:
    """A bolt hole on its panel, with what its hardware needs: radii in mm."""

    hole: Hole
    panel: Panel
    washer: float
    socket: float


def _seats(case: Case) -> Iterator[_Seat]:
    for panel in case.bracket.root.walk():
        for hole in panel.holes:
            bolt = bolt_of(hole)
            if bolt is not None and hole.cut:
                washer = (bolt.narrow_washer or 0.0) / 2
                yield _Seat(hole, panel, washer, (wrench_room(bolt) or 0.0) / 2)


def washer_room(case: Case) -> Iterator[Finding]:
    """A washer lies flat: clear of bends, of what stands beside it, of the other washers."""
    for seat in _seats(case):
        change = "move the bolt away, or leave the washer's side off and say so"
        for place, measured in _beside_washer(case, seat):
            yield from short(f"washer at {seat.hole.what}, {place}", measured, seat.washer, change)


def _beside_washer(case: Case, seat: _Seat) -> Iterator[tuple[str, float]]:
    """What limits a washer, and how far it is from the bolt's middle, mm."""
    spot = Circle(seat.hole.centre, 2 * SLACK)
    for bend in case.finished.bends:
        child, parent = case.finished.panels[bend.child], case.finished.panels[bend.parent]
        if parent.panel.name == seat.panel.name:
            yield f"bend {bend.number}", flat_before(spot, seat.panel.bend_base(bend.bend))
        if child.panel.name == seat.panel.name:
            yield f"bend {bend.number}", flat_before(spot, seat.panel.straight_edge(bend.bend.base))
    yield from _standing_beside(case, seat)


def _standing_beside(case: Case, seat: _Seat) -> Iterator[tuple[str, float]]:
    """Panels that stand out beside a bolt, on either face."""
    for face in FACES:
        found = case.room_beside(seat.panel.name, face, seat.hole.centre)
        if found is not None:
            yield f"{found[1].words}, {_face_words(face)}", found[0]


def _face_words(face: Face) -> str:
    return "top face" if face == "top" else face


def socket_room(case: Case) -> Iterator[Finding]:
    """A socket goes over the nut: clear of panels, of the port's fitting, of the body."""
    for seat in _seats(case):
        obstacles = [*_standing_beside(case, seat), *_fittings_beside(seat)]
        body, middle = case.bracket.body, seat.hole.centre
        # the body, for bolts that do not go through its own plate
        if body is not None and seat.panel.name == case.bracket.root.name:
            distance = middle.distance(body.centre)
            if distance > body.plate_diameter / 2:
                words = f"body at its fullest, {_face_words(body.face)}"
                obstacles.append((words, distance - body.diameter / 2))
        for place, measured in obstacles:
            words, change = (
                f"socket on {seat.hole.what}, {place}",
                "use an open spanner there, or move the bolt",
            )
            yield from short(words, measured, seat.socket, change, "note")


def _fittings_beside(seat: _Seat) -> Iterator[tuple[str, float]]:
    for hole in seat.panel.holes:
        room = port_room(hole)
        if room is not None and hole.cut:
            yield f"fitting in {hole.what}", hole.centre.distance(seat.hole.centre) - room / 2


def fitting_against_bolts(case: Case) -> Iterator[Finding]:
    """The hex of a port's fitting beside the washers of the bolts."""
    for seat in _seats(case):
        for place, measured in _fittings_beside(seat):
            change = "move the port, or use a smaller fitting"
            yield from short(f"{place}, washer at {seat.hole.what}", measured, seat.washer, change)


# --- the body ---------------------------------------------------------------------------------


def plate_circle_supported(case: Case) -> Iterator[Finding]:
    """The body's round plate lies wholly on flat metal.

    Its rim may stand out over a bend that folds away from it: nothing touches it there.
    """
    body = case.bracket.body
    if body is None:
        return
    root, needed = case.bracket.root, body.plate_diameter / 2
    away = {b.edge for b in root.bends if (b.direction == "up") != (body.face == "top")}
    indices = {root.edge_index(edge) for edge in away}
    free = [s for i, s in enumerate(root.contour.segments) if i not in indices]
    inside = root.contour.contains(body.centre)
    place = "round plate of the body, edge of the flat"
    stands_over = "its rim stands over the bend, which folds away: see that enough of it lies flat"
    looks: tuple[tuple[Severity, list[Segment], str], ...] = (
        ("change", free, "make the bracket wider there, or set the bend further out"),
        ("note" if inside else "change", [root.edge(edge) for edge in away], stands_over),
    )
    for severity, segments, change in looks:
        reach = min((s.distance(body.centre) for s in segments), default=math.inf)
        reach *= 1 if inside else -1
        found = list(short(place, reach, needed, change, severity, slack=1e-3))
        yield from found
        if found:
            return


@dataclass(frozen=True, slots=True)
class NearestPart:
    """How near a part comes to the body's middle, mm, at what turn of its bend, radians."""

    distance: float
    part: SolidPart
    amount: float


def body_room(case: Case) -> Iterator[Finding]:
    """Panels beside the body at its fullest: finished, and through the whole fold.

    The round of a bend is left out: it lies low, where the body is not at its fullest.
    """
    body = case.bracket.body
    if body is None:
        return
    finished = nearest_to_body(case, body, 1.0)
    asked = body.diameter / 2 + body.clearance
    fullest = "body at its fullest"
    if finished and finished.distance < asked - 1e-3:
        rubs = "it rubs: " if finished.distance < body.diameter / 2 else ""
        place, change = f"{finished.part.words}, {fullest}", f"{rubs}set the gusset further out"
        yield from short(place, finished.distance, asked, change)
    elif (worst := _rub_while_folding(case, body)) is not None:
        place, change = (
            f"{worst.part.words} while it is folded, {fullest}",
            "fold before the body is mounted",
        )
        yield from short(place, worst.distance, body.diameter / 2, change)


def body_rub(case: Case) -> tuple[NearestPart, Point3] | None:
    """What rubs on the body at its fullest, finished or while it is folded, and where.

    The place is in the root's frame, at the amount of the fold that is told with it.
    """
    body = case.bracket.body
    if body is None:
        return None
    found = nearest_to_body(case, body, 1.0)
    if found is None or found.distance >= body.diameter / 2 - 1e-3:
        found = _rub_while_folding(case, body)
    if found is None:
        return None
    # the place on a part's edges beyond the body's face that is nearest to its axis
    places = []
    for prism in found.part.prisms:
        for start, end in prism.sides:
            run = end - start
            level = run.x * run.x + run.y * run.y
            along = run.x * (body.centre.x - start.x) + run.y * (body.centre.y - start.y)
            at = start + run * (min(1.0, max(0.0, along / level)) if level else 0.5)
            if at.z > 0 if body.face == "top" else at.z < -case.thickness:
                places.append(at)
    places = places or [prism.centre for prism in found.part.prisms]
    return found, min(places, key=lambda p: math.hypot(p.x - body.centre.x, p.y - body.centre.y))


def nearest_to_body(
    case: Case, body: Body, amount: float, leaning: Leaning = UNMOVED
) -> NearestPart | None:
    """What comes nearest to the body's middle on its side of the plate, None when nothing stands.

    `amount` is how far the bracket is folded, 1 finished.
    """
    root = case.bracket.root.name
    if amount == 1 and leaning is UNMOVED:
        found = case.room_beside(root, body.face, body.centre)
    else:
        parts = case.parts if amount == 1 else parts_of(folded(case.bracket, amount))
        others = (part for part in parts if not part.bend and part.panel != root)
        shadows = shadows_of(others, body.face, case.thickness, Placing(), leaning)
        found = room_round(body.centre, shadows)
    return NearestPart(*found, amount) if found is not None else None


def _rub_while_folding(case: Case, body: Body) -> NearestPart | None:
    """The nearest that a panel comes while it is folded with the body in place, if it rubs.

    A panel bent from the root itself comes ever nearer and is nearest when finished (its base
    moves in up to a right angle, its far edge beyond), so only panels on panels are followed.
    """
    if all(placed.parent in (None, 0) for placed in case.finished.panels):
        return None
    stages = (nearest_to_body(case, body, k / _STAGES) for k in range(1, _STAGES))
    found = [nearest for nearest in stages if nearest is not None]
    worst = min(found, key=lambda nearest: nearest.distance, default=None)
    if worst is None or worst.distance >= body.diameter / 2 - 1e-3:
        return None
    return worst


def weld_room(case: Case) -> Iterator[Finding]:
    """The welds on the body's side: fillets in the corners at the wall, crowns in open grooves."""
    body = case.bracket.body
    if body is None:
        return
    walls = list(_wall_welds(case, body))
    crowns = []
    for bend in case.blank.bends:
        if bend.parent == case.bracket.root.name and bend.score_face == body.face:
            # the edge of a filled groove on the body's face, from end to end of its bend
            near = bend.near.moved(case.blank.panel_motion(bend.parent).inverse())
            nearest = near.point_at(near.nearest_fraction(body.centre))
            crowns.append((f"weld in bend {bend.number}", [nearest]))
    for words, places in (*walls, *crowns):
        distance = min(p.distance(body.centre) for p in places)
        yield from short(
            f"{words}, body at its fullest",
            distance,
            body.diameter / 2,
            "grind the weld flush there, or set the gusset further out",
            # a crown lies low, is ground off in a minute, and stands wherever a bend folds away
            severity="change" if (words, places) in walls else "note",
        )


def _wall_welds(case: Case, body: Body) -> Iterator[tuple[str, list[Point]]]:
    """The toe of the fillet between the wall and each panel on the body's side."""
    if case.bracket.wall is None:
        return
    wall = case.bracket.root.straight_edge(case.bracket.wall)
    out, leg = wall.direction.left, case.context.weld_leg
    leg = least_fillet(case.thickness) if leg is None else leg
    for bend in case.finished.bends:
        if bend.parent != 0 or (bend.bend.direction == "up") != (body.face == "top"):
            continue
        name = bend.bend.panel.name
        for corner in case.finished.corners(name):
            inner = corner.on("top" if bend.bend.direction == "up" else "underside")
            foot = Point(inner.x, inner.y)
            if abs((foot - wall.start).dot(out)) < 1e-3:
                towards = (body.centre - foot).dot(wall.direction)
                side = wall.direction * (leg if towards > 0 else -leg)
                yield f"weld of {name} to the wall", [foot + side, foot + out * leg, foot]


def drift_room(case: Case) -> Iterator[Finding]:
    """Room for the body to move sideways, to the wall and to what stands beside it."""
    body = case.bracket.body
    drift = None if body is None else body.drift
    drift = case.context.drift if drift is None else drift
    if body is None or drift is None:
        return
    gaps: list[tuple[str, float]] = []
    if case.bracket.wall is not None:
        wall = case.bracket.root.straight_edge(case.bracket.wall)
        away = abs((body.centre - wall.start).cross(wall.direction))
        gaps.append(("wall", away - body.diameter / 2))
    beside = nearest_to_body(case, body, 1.0)
    if beside is not None:
        gaps.append((beside.part.words, beside.distance - body.diameter / 2))
    for words, gap in gaps:
        yield from short(f"body at its fullest, {words}", gap, drift, "stand the body further off")


def pilot_without_room(case: Case) -> Iterator[Finding]:
    """What would be found of a port's pilot if it were the port: each pilot by itself."""
    for pilot in case.bracket.root.holes:
        if pilot.role == "port" and not pilot.cut:
            # the case with that pilot cut and the others left out
            holes = tuple(
                replace(hole, cut=True) if hole is pilot else hole
                for hole in case.bracket.root.holes
                if hole.cut or hole is pilot
            )
            bracket = replace(case.bracket, root=replace(case.bracket.root, holes=holes))
            decided = Case(bracket, blank_of(bracket), case.context)
            change = "no port fits there: take the other place, or move it"
            for look in (hole_edge_distance, hole_to_hole, hole_to_bend, fitting_against_bolts):
                for fault in look(decided):
                    if pilot.what in fault.place:
                        yield replace(fault, severity="note", change=change)
