"""How long the legs of a bend are, where they are shortest and where longest."""

from __future__ import annotations

from dataclasses import dataclass

from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Line
from platewright.plate.bend import outside_setback
from platewright.plate.blank import BlankBend
from platewright.plate.bracket import Bracket, Panel


@dataclass(frozen=True, slots=True, kw_only=True)
class Legs:
    """The shorter leg of a bend, where it is least and greatest along the bend, mm.

    `flat_least` and `flat_greatest` count from the tangent line, `least` and `greatest` from the
    outside corner.
    """

    flat_least: float
    flat_greatest: float
    setback: float

    @property
    def least(self) -> float:
        """Outside length where the leg is shortest, mm."""
        return self.flat_least + self.setback

    @property
    def greatest(self) -> float:
        """Outside length where the leg is longest, mm."""
        return self.flat_greatest + self.setback


def legs_of(bracket: Bracket, bend: BlankBend) -> Legs:
    """How far the panels of a bend stretch from it: of parent and child, the one that is shorter.

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
    setback = outside_setback(bend.way, bend.angle, bracket.stock.thickness)
    return Legs(flat_least=min(shorter), flat_greatest=max(shorter), setback=setback)


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
