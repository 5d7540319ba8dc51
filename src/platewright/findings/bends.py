"""Rules of bends: legs, ligaments, grooves, radii, relief where bends meet."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations, product

from platewright.findings.case import Case
from platewright.findings.finding import COMMON, SLACK, Finding, beyond, short
from platewright.findings.plan import hull, polygon_distance
from platewright.geometry.plane import Point
from platewright.plate.blank import BlankBend
from platewright.plate.detail import LEAST_STRIP
from platewright.shop.brake import grain_across, least_radius
from platewright.shop.legs import flat_legs
from platewright.shop.scores import LEAST_LIGAMENT, ScoreRow, score_schedule

#: Beyond this strain of its outer face a ligament is likely to tear.
TEARING = 0.5
#: Bends that run this nearly alike meet side by side, not at a corner, radians.
_ALIKE = math.radians(5)


def leg_too_short(case: Case) -> Iterator[Finding]:
    """A leg whose flat cannot stand on the die to the end of the stroke, or that hands cannot hold.

    A die wants its least all along the bend, hands somewhere.
    """
    for bend in case.blank.bends:
        legs = flat_legs(case.bracket)[bend.child]
        limit = bend.way.least_flat(bend.angle, case.thickness)
        yield from short(
            f"bend {bend.number}, flat of the leg",
            legs.greatest,
            limit,
            "make the leg longer and trim it after bending, or bend it to a smaller radius on a "
            "narrower die"
            if bend.way.brake
            else "make the leg longer, or leave a tab to hold and cut it off after folding",
        )
        if bend.way.brake and legs.greatest >= limit - SLACK:
            yield from short(
                f"bend {bend.number}, flat of the leg at its narrow end",
                legs.least,
                limit,
                "leave the narrow end longer and trim it after bending",
                severity="note",
            )


def _scores(case: Case) -> tuple[ScoreRow, ...]:
    return score_schedule(case.bracket, case.blank, case.context.effort)


def ligament_too_thick(case: Case) -> Iterator[Finding]:
    """A ligament that takes more push than hands have, at the stated lever."""
    limit = case.context.effort.limit
    for score in _scores(case):
        nothing_ground = score.way.ligament >= case.thickness
        yield from beyond(
            f"bend {score.number}, push to fold",
            score.push_hard,
            limit,
            "grind the groove deeper, or fold with a longer lever",
            severity="change" if score.push_yield > limit or nothing_ground else "note",
            slack=-math.inf if nothing_ground else limit * 1e-9,
            quantity="force",
        )


def ligament_too_thin(case: Case) -> Iterator[Finding]:
    """A ligament that does not hold the blank together until it is folded."""
    least = min(LEAST_LIGAMENT, case.thickness / 2)
    for score in _scores(case):
        yield from short(
            f"bend {score.number}, ligament",
            score.way.ligament,
            least,
            "grind the groove less deep",
        )


def fold_beyond_groove(case: Case) -> Iterator[Finding]:
    """A fold for which the groove is too narrow: the inside pinches and the ligament stretches."""
    for score in _scores(case):
        change = "grind the groove wider, or leave a thinner ligament"
        place, most = f"bend {score.number}", score.greatest_fold
        yield from beyond(place, score.angle, most, change, quantity="angle")


def ligament_stretch(case: Case) -> Iterator[Finding]:
    """A ligament whose outer face stretches so far that it may tear before it is welded."""
    for score in _scores(case):
        yield from beyond(
            f"bend {score.number}, outer face of the ligament",
            score.stretch,
            TEARING,
            "grind the groove wider, or fold it once only and weld it at once",
            severity="note",
            quantity="share",
        )


def radius_too_small(case: Case) -> Iterator[Finding]:
    """A bend, but for a score, sharper than the material bears, by how it lies to the grain."""
    material = case.bracket.stock.material
    for bend in case.blank.bends:
        if bend.way.score is not None:
            continue
        lies = grain_across(bend.line, case.context.grain)
        across = least_radius(material, case.thickness)
        along = least_radius(material, case.thickness, along_grain=True)
        if across is None or along is None:
            continue
        limit = across if lies == "across" else along
        cracks = lies != "unknown" or bend.inside_radius < across.radius - SLACK
        yield from short(
            f"bend {bend.number}, inside radius",
            bend.inside_radius,
            limit.radius,
            "bend round a larger radius"
            if cracks and bend.way.brake
            else "plate does not crease: bend it in a brake or over a score"
            if cracks
            else "lay the blank so that this bend runs across the grain",
            severity="change" if cracks else "note",
            source=limit.source,
        )


def nicks_without_a_strip(case: Case) -> Iterator[Finding]:
    """Nicks that are asked for and not cut: the bend takes no width on the blank."""
    for bend in case.blank.bends if case.blank.nicks else ():
        yield from short(
            f"bend {bend.number}, strip that a nick is cut into",
            bend.allowance,
            LEAST_STRIP,
            "no nicks are cut there: find the bend line by its ends on the pattern",
            severity="note",
            slack=0.0,
        )


# --- relief -----------------------------------------------------------------------------------


def missing_relief(case: Case) -> Iterator[Finding]:
    """Two bends that run into one corner without a gap between their ends.

    A relief hole about 2 R across on the crossing of the tangent lines leaves R times the root of
    2 between the bends (FAA-H-8083-31 ch. 4); R is asked here, and never less than the thickness.
    """
    for one, other in combinations(case.blank.bends, 2):
        if not _can_meet(one, other):
            continue
        limit = max(each.way.corner_gap(each.angle, case.thickness) for each in (one, other))
        first, second = _strip(one), _strip(other)
        apart = polygon_distance(first, second)
        close = bool(one.allowance and other.allowance) and apart < limit - SLACK
        if close and not _relieved(case, first, second, limit):
            faa = "FAA-H-8083-31 ch. 4, relief hole 2 R across"
            yield from short(
                f"bend {one.number} and bend {other.number}, corner between",
                apart,
                limit,
                "cut a relief hole or notch where the bends meet",
                source=COMMON if limit == case.thickness else faa,
            )


def _can_meet(one: BlankBend, other: BlankBend) -> bool:
    """Whether two bends share a panel and run towards a corner, or follow on one line unalike."""
    if not {one.parent, one.child} & {other.parent, other.child}:
        return False
    turn = abs(one.line.direction.cross(other.line.direction))
    if turn > math.sin(_ALIKE):
        return True
    if (one.direction, one.angle) == (other.direction, other.angle):
        return False
    off = (other.line.start - one.line.start).cross(one.line.direction)
    return abs(off) < max(one.allowance, other.allowance)


def _relieved(case: Case, first: list[Point], second: list[Point], limit: float) -> bool:
    """Whether a hole or notch of at least the limit across is cut where two strips come near."""
    a, b = min(product(first, second), key=lambda pair: pair[0].distance(pair[1]))
    corner = a.midpoint(b)
    outline = case.blank.outline
    room = 0.0 if outline.contains(corner) else outline.distance(corner)
    for hole in case.blank.cut_holes:
        room = max(room, hole.diameter / 2 - hole.centre.distance(corner))
    for cutout in case.blank.cutouts:
        if cutout.contour.contains(corner):
            room = max(room, cutout.contour.distance(corner))
    return room >= limit / 2 - SLACK


def _strip(bend: BlankBend) -> list[Point]:
    """The bend strip on the blank, as a convex polygon."""
    near, far = bend.near, bend.far
    return hull([near.start, near.end, far.end, far.start])
