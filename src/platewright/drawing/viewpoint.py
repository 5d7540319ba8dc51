"""Where to look from, so that every panel can be seen."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

from platewright.drawing.eye import Eye
from platewright.geometry.plane import Point
from platewright.geometry.space import Placing, Point3, Vector3
from platewright.plate.bracket import Bracket
from platewright.plate.folded import Folded
from platewright.plate.prism import Part, Prism, parts_of

Which = Literal["main", "opposite"]

#: Eyes are tried in this order: degrees to the side of square-on to the wall's front, then above.
_SIDES = (38, 25, 52)
_RISES = (28, 18, 40)
#: An eye is good enough when it sees this share of each panel, foreshortening counted.
_ENOUGH = 0.12
_NEAR = 1e-6


def eye_for(folded: Folded, which: Which = "main") -> Eye:
    """The eye for a view.

    The main view looks from above, in front of the wall, from the side that shows most of the
    least seen panel. The opposite view looks from below and from the other side, still in front
    of the wall, so that each shows what the other hides.
    """
    main = _main_eye(folded)
    return main if which == "main" else opposite_eye(main, folded.bracket)


def opposite_eye(main: Eye, bracket: Bracket) -> Eye:
    """The eye of the opposite view to a main one."""
    return Eye(2 * front_azimuth(bracket) - main.azimuth, -main.elevation)


def front_azimuth(bracket: Bracket) -> float:
    """The direction away from the wall, radians from +x; away from -y where no wall is named."""
    if bracket.wall is None:
        return math.pi / 2
    return bracket.root.straight_edge(bracket.wall).direction.left.angle


def _main_eye(folded: Folded) -> Eye:
    parts = parts_of(folded)
    best, best_share = None, -1.0
    for eye in _eyes(front_azimuth(folded.bracket)):
        share = least_seen(folded, parts, eye)
        if share >= _ENOUGH:
            return eye
        if share > best_share + _NEAR:
            best, best_share = eye, share
    assert best is not None
    return best


def _eyes(front: float) -> Iterator[Eye]:
    for rise in _RISES:
        for side in _SIDES:
            for sign in (-1, 1):
                yield Eye(front + sign * math.radians(side), math.radians(rise))


def least_seen(folded: Folded, parts: tuple[Part, ...], eye: Eye) -> float:
    """The share that an eye sees of the panel it sees least of, from 0 to 1.

    Sample places on the face turned to the eye, counted with the face's slant.
    """
    prisms = [prism for part in parts for prism in part.prisms]
    return min(_seen_share(folded, index, prisms, eye) for index in range(len(folded.panels)))


def _seen_share(folded: Folded, index: int, prisms: list[Prism], eye: Eye) -> float:
    place = folded.panels[index].world_from_panel
    facing = place.z_axis.dot(eye.towards)
    height = 0.0 if facing > 0 else -folded.thickness
    spots = [place.point(p, height) for p in _samples(prisms, place)]
    clear = sum(not any(_blocks(prism, spot, eye.towards) for prism in prisms) for spot in spots)
    return abs(facing) * clear / len(spots)


def _samples(prisms: list[Prism], place: Placing) -> list[Point]:
    """Places spread over a panel: near the middle and the corners of its convex pieces."""
    spots = []
    for prism in prisms:
        if prism.world_from_prism is place:
            ring = prism.polygon
            step = max(1, len(ring) // 6)
            middle = Point(
                math.fsum(p.x for p in ring) / len(ring), math.fsum(p.y for p in ring) / len(ring)
            )
            spots += [middle, *(middle.towards(p, 0.7) for p in ring[::step])]
    return spots


def _blocks(prism: Prism, spot: Point3, towards: Vector3) -> bool:
    """Whether the ray from a spot towards the eye passes through a prism."""
    if _passes_by(prism, spot, towards):
        return False
    low, high = _NEAR, math.inf
    for normal, bottom, top in prism.slabs:
        at = normal.x * spot.x + normal.y * spot.y + normal.z * spot.z
        speed = normal.dot(towards)
        if abs(speed) < 1e-12:
            if not bottom + _NEAR < at < top - _NEAR:
                return False
            continue
        ends = sorted(((bottom - at) / speed, (top - at) / speed))
        low, high = max(low, ends[0]), min(high, ends[1])
    return high - low > _NEAR


def _passes_by(prism: Prism, spot: Point3, towards: Vector3) -> bool:
    """Whether the line misses even the ball round a prism, which settles most."""
    to_centre = prism.centre - spot
    along = to_centre.dot(towards)
    return to_centre.dot(to_centre) - along * along > prism.radius**2
