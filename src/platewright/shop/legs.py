"""How much flat metal the legs of a bend have, where they are narrowest and where widest."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from platewright.geometry.segment import Line
from platewright.plate.bracket import Bracket, Panel
from platewright.values import dataclass


@dataclass(frozen=True, slots=True)
class FlatLeg:
    """Flat metal of a bend's shorter leg, from the tangent line on, mm.

    `least` where it is narrowest along the bend, `greatest` where it is widest.
    """

    least: float
    greatest: float


#: Where along a bend its legs are looked at, as shares of its length.
_STATIONS = (0.01, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.99)


@lru_cache(maxsize=8)
def flat_legs(bracket: Bracket) -> Mapping[str, FlatLeg]:
    """How far the panels of each bend, by its child, stretch flat from it: the shorter of the two.

    Looked at square to the bend in 11 places along it.
    """
    found = {}
    for parent in bracket.root.walk():
        for bend in parent.bends:
            child = bend.panel
            sides = (
                flat_depths(parent, parent.bend_base(bend)),
                flat_depths(child, child.straight_edge(bend.base)),
            )
            shorter = min(sides, key=max)
            found[child.name] = FlatLeg(least=min(shorter), greatest=max(shorter))
    return MappingProxyType(found)


def flat_depths(panel: Panel, base: Line) -> list[float]:
    """Depth of flat metal behind an edge in some places along it, mm.

    Straight into the panel as far as metal goes.
    """
    ring, inward = panel.contour.flatten(0.1), base.direction.left
    stations = [base.point_at(share) for share in _STATIONS]
    found: list[list[float]] = [[] for _ in stations]
    for a, b in zip(ring, [*ring[1:], ring[0]], strict=True):
        edge = b - a
        cross = inward.cross(edge)
        if abs(cross) < 1e-12:
            continue
        for at, depths in zip(stations, found, strict=True):
            way = a - at
            distance, share = way.cross(edge) / cross, way.cross(inward) / cross
            if -1e-9 <= share <= 1 + 1e-9 and distance > 1e-6:
                depths.append(distance)
    return [min(depths, default=0.0) for depths in found]
