"""What a rule may look at: the bracket, its blank, the shop's limits, and the finished part."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, cached_property

from platewright.findings.collision import Sweep, sweep_of
from platewright.findings.plan import Shadow, room_round, shadows_of
from platewright.geometry.plane import Point
from platewright.plate.bend import Face
from platewright.plate.blank import Blank
from platewright.plate.bracket import Bracket
from platewright.plate.folded import Folded, folded
from platewright.plate.lean import Lean
from platewright.plate.prism import SolidPart, parts_of
from platewright.shop.scores import USUAL, Effort
from platewright.shop.wall import Strength
from platewright.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """What a file may say of the shop and the vehicle; lengths in mm, forces in N.

    `sheet` is the plate to cut from, width and height, None when none is named. `effort` is
    what hands can do. `hole_factor` times the thickness is the least hole that the
    torch makes. `grain` is the rolling direction on the blank, radians from +x, None when unknown.
    `drift` is how far the body may move sideways, where the bracket itself does not say.
    `weld_leg` is the fillet along the wall, None for the least that the thickness asks for.
    `lean` is how the body leans through the travel of its suspension, None when no travel is known;
    `suspension` says in words what must be changed about that suspension itself. `strength` is the
    screen of the load, None when none is told.
    """

    sheet: tuple[float, float] | None = None
    effort: Effort = USUAL
    kerf: float = 1.5
    hole_factor: float = 1.5
    grain: float | None = None
    drift: float | None = None
    weld_leg: float | None = None
    lean: Lean | None = None
    suspension: tuple[str, ...] = ()
    strength: Strength | None = None


@dataclass(frozen=True)
class Case:
    """One bracket with its blank, judged in a context."""

    bracket: Bracket
    blank: Blank
    context: Context

    @property
    def thickness(self) -> float:
        """Thickness of the plate, mm."""
        return self.bracket.stock.thickness

    @cached_property
    def finished(self) -> Folded:
        """The bracket folded all the way."""
        return folded(self.bracket)

    @cached_property
    def parts(self) -> tuple[SolidPart, ...]:
        """The finished bracket's panels and bends as prisms."""
        return parts_of(self.finished)

    @property
    def sweep(self) -> Sweep:
        """The panels on their way from flat to finished."""
        return sweep_of(self.bracket)

    @cached_property
    def room_beside(self) -> Callable[[str, Face, Point], tuple[float, SolidPart] | None]:
        """By a panel's name, a face and a place on it: what of the finished part stands nearest."""

        @cache
        def shadows(name: str, face: Face) -> tuple[Shadow, ...]:
            back = self.finished.panel(name).world_from_panel.inverse()
            others = (part for part in self.parts if not part.bend and part.panel != name)
            return shadows_of(others, face, self.thickness, back)

        return cache(lambda name, face, at: room_round(at, shadows(name, face)))
