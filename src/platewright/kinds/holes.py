"""Rows of bolt holes and single pin holes, as kinds declare them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

from platewright import measure
from platewright.errors import BuildError
from platewright.geometry.plane import Point
from platewright.plate.bracket import Hole, Panel
from platewright.plate.dimension import Dimension, Spot, Straight
from platewright.shop.hardware import BOLTS_ALLOWED, BoltSize, clearance_hole, parse_bolt_size

Problems = tuple[tuple[str, str], ...]


def bolt_size(default: str | None = None) -> Any:
    """The declaration of a bolt's size."""
    return measure.custom(
        "bolt size",
        "The bolt, not its hole; a drilled hole's diameter serves too.",
        read=parse_bolt_size,
        allowed=BOLTS_ALLOWED,
        default=default,
        example=None if default else "3/8",
    )


def bolt_fit() -> Any:
    """The declaration of a hole's room for its bolt."""
    return measure.choice(
        "bolt fit",
        "How much room the hole gives the bolt (ASME B18.2.8, ISO 273).",
        ("close", "normal", "loose"),
        default="normal",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltRow:
    """A row of bolt holes in the middle of the width."""

    count: int = measure.count("hole count", "How many holes.", minimum=1, maximum=60, default=2)
    spacing: float | None = measure.length(
        "hole spacing",
        "From centre to centre of neighbouring holes; left out for a single hole.",
        minimum="1/8 in",
        maximum="48 in",
        optional=True,
        fit_critical=True,
        example="2 in",
    )
    size: BoltSize = bolt_size()
    fit: str = bolt_fit()

    def problems(self) -> Problems:
        """Holes that need a spacing and have none."""
        if self.count > 1 and self.spacing is None:
            return (("spacing", f"{self.count} holes need a spacing; only a single hole has none"),)
        return ()

    @property
    def offsets(self) -> tuple[float, ...]:
        """Places of the holes along the row, mm from its middle."""
        step = self.spacing or 0.0
        return tuple((i - (self.count - 1) / 2) * step for i in range(self.count))


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleRow(BoltRow):
    """A row of bolt holes along a bend, in the middle of the width."""

    gauge: float | None = measure.length(
        "gauge",
        "From the bend to the line of holes, measured to the same face as the legs; left out, the "
        "holes stand in the middle of the leg.",
        minimum="1/8 in",
        maximum="48 in",
        optional=True,
        fit_critical=True,
        example="1 in",
    )


def bolt_hole(what: str, centre: Point, size: BoltSize, fit: str) -> Hole:
    """A bolt's hole."""
    return Hole(
        what=what,
        centre=centre,
        diameter=clearance_hole(size, fit),
        size=size.words,
        role="bolt",
        fastener=size.diameter,
    )


def row_holes(row: BoltRow, places: Sequence[Point], name: str) -> tuple[Hole, ...]:
    """The holes of a row at its places, numbered when there are several."""
    return tuple(
        bolt_hole(f"{name} hole {i}" if row.count > 1 else f"{name} hole", at, row.size, row.fit)
        for i, at in enumerate(places, 1)
    )


def with_holes(panel: Panel, holes: Sequence[Hole], *keys: str) -> Panel:
    """The panel with more holes. Raises BuildError with the keys when one reaches over its edge."""
    for hole in holes:
        require_inside(panel, hole, *keys)
    return replace(panel, holes=(*panel.holes, *holes))


def require_inside(panel: Panel, hole: Hole, *keys: str) -> None:
    """Raises BuildError when a hole does not lie on a panel, clear of its edges."""
    inside = panel.contour.contains(hole.centre)
    if not inside or panel.contour.distance(hole.centre) <= hole.diameter / 2:
        raise BuildError(f"{hole.what} does not lie wholly on the {panel.name}", *keys)


def row_checks(panel: Panel, holes: Sequence[Hole], edges: Sequence[str]) -> Iterator[Dimension]:
    """From hole to hole, and from the first and last hole to some straight edges."""
    spots = [Spot(panel.name, hole.centre, hole.what) for hole in holes]
    for a, b in pairwise(spots):
        yield Dimension(start=a, end=b, critical=True)
    for edge in edges:
        straight = Straight(panel.name, panel.straight_edge(edge), edge)
        for spot in dict.fromkeys((spots[0], spots[-1])):
            yield Dimension(start=spot, end=straight, critical=True)


def bend_words(neighbour: str, to: str) -> str:
    """Where at a bend a length is measured, in words."""
    face = "inside" if to == "inside" else "outside"
    return f"{face} of the bend to the {neighbour}"
