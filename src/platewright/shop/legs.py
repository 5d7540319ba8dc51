"""How much flat metal the legs of a bend have, where they are narrowest and where widest."""

from __future__ import annotations

from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Line
from platewright.plate.blank import BlankBend
from platewright.plate.bracket import Bracket, Panel
from platewright.values import dataclass


@dataclass(frozen=True, slots=True)
class FlatLeg:
    """Flat metal of a bend's shorter leg, from the tangent line on, mm.

    `least` where it is narrowest along the bend, `greatest` where it is widest.
    """

    least: float
    greatest: float


def flat_leg(bracket: Bracket, bend: BlankBend) -> FlatLeg:
    """How far the panels of a bend stretch flat from it: of parent and child, the shorter one.

    Looked at square to the bend in 11 places along it.
    """
    panels = {panel.name: panel for panel in bracket.root.walk()}
    own = next(b for p in panels.values() for b in p.bends if b.panel.name == bend.child)
    parent, child = panels[bend.parent], panels[bend.child]
    sides = (
        flat_depths(parent, parent.bend_base(own)),
        flat_depths(child, child.straight_edge(own.base)),
    )
    shorter = min(sides, key=max)
    return FlatLeg(least=min(shorter), greatest=max(shorter))


#: Where along a bend its legs are looked at, as shares of its length.
_STATIONS = (0.01, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.99)


def flat_depths(panel: Panel, base: Line) -> list[float]:
    """Depth of flat metal behind an edge in some places along it, mm."""
    return [_depth_behind(panel, base.point_at(at), base.direction.left) for at in _STATIONS]


def _depth_behind(panel: Panel, at: Point, inward: Vector) -> float:
    """From a point of an edge straight into the panel as far as metal goes, mm."""
    ring = panel.contour.flatten(0.1)
    found = []
    for a, b in zip(ring, [*ring[1:], ring[0]], strict=True):
        edge = b - a
        cross = inward.cross(edge)
        if abs(cross) < 1e-12:
            continue
        distance = (a - at).cross(edge) / cross
        share = (a - at).cross(inward) / cross
        if -1e-9 <= share <= 1 + 1e-9 and distance > 1e-6:
            found.append(distance)
    return min(found, default=0.0)
