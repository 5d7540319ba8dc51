"""Rows of bolt holes and single pin holes, as kinds declare, draw and measure them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any

from platewright import measure
from platewright.geometry.plane import Point
from platewright.kinds.places import centre, derived, edge, length
from platewright.plate.bracket import Hole, Panel
from platewright.plate.dimension import Dimension, Tag
from platewright.shop.hardware import BOLTS_ALLOWED, BoltSize, clearance_hole, parse_bolt_size
from platewright.values import dataclass


def bolt_size() -> Any:
    """The declaration of a bolt's size."""
    return measure.custom(
        "The bolt, not its hole; a drilled hole's diameter serves too.",
        label="bolt size", read=parse_bolt_size, allowed=BOLTS_ALLOWED, example="3/8",
    )  # fmt: skip


def bolt_fit() -> Any:
    """The declaration of a hole's room for its bolt."""
    return measure.choice(
        "How much room the hole gives the bolt (ASME B18.2.8, ISO 273).",
        ("close", "normal", "loose"), label="bolt fit", default="normal",
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltRow:
    """A row of bolt holes in the middle of the width."""

    count: int = measure.count("How many holes.", "1 to 60", label="hole count", default=2)
    spacing: float | None = measure.length(
        "From centre to centre of neighbouring holes; left out for a single hole.",
        "1/8 in to 48 in", label="hole spacing", optional=True, fit_critical=True, example="2 in",
    )  # fmt: skip
    size: BoltSize = bolt_size()
    fit: str = bolt_fit()

    def problems(self) -> measure.Problems:
        """Holes that need a spacing and have none."""
        if self.count > 1 and self.spacing is None:
            yield "spacing", f"{self.count} holes need a spacing; only a single hole has none"

    @property
    def offsets(self) -> tuple[float, ...]:
        """Places of the holes along the row, mm from its middle."""
        step = self.spacing or 0.0
        return tuple((i - (self.count - 1) / 2) * step for i in range(self.count))


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleRow(BoltRow):
    """A row of bolt holes along a bend, in the middle of the width."""

    gauge: float | None = measure.length(
        "From the bend to the line of holes, measured to the same face as the legs; left out, the "
        "holes stand in the middle of the leg.",
        "1/8 in to 48 in", optional=True, fit_critical=True, example="1 in",
    )  # fmt: skip

    def gauge_on(self, leg: float) -> float:
        """The gauge, mm, on a leg that is so long."""
        return leg / 2 if self.gauge is None else self.gauge


def leg_holes(where: str) -> Any:
    """The declaration of a row of holes along a leg."""
    return measure.table(f"A row of holes along {where}.", HoleRow, optional=True)


def with_row(panel: Panel, row: BoltRow | None, places: Sequence[Point]) -> Panel:
    """The panel with a row's holes at their places, numbered when there are several."""
    if row is None:
        return panel
    holes = bolt_holes(f"{panel.name} hole", places, row.size, row.fit)
    return replace(panel, holes=(*panel.holes, *holes))


def bolt_holes(what: str, places: Sequence[Point], size: BoltSize, fit: str) -> Iterator[Hole]:
    """Holes for like bolts, numbered when there are several."""
    for i, at in enumerate(places, 1):
        yield Hole(
            what=f"{what} {i}" if len(places) > 1 else what,
            centre=at,
            diameter=clearance_hole(size, fit),
            size=size.words,
            role="bolt",
            fastener=size.diameter,
        )


def row_listed(
    key: str, panel: Panel, row: BoltRow | None, base: str = "", sides: Sequence[str] = ()
) -> Iterator[Dimension | Tag]:
    """A row's dimensions: from hole to hole, its gauge from the edge `base`, its ends to sides.

    `key` is that of the row's table.
    """
    if row is None or not panel.holes:
        return
    spots = [centre(panel, hole) for hole in panel.holes]
    yield Tag(key=f"{key}.size", panel=panel.name, at=spots[0].at)
    yield Tag(key=f"{key}.count", panel=panel.name, at=spots[-1].at)
    for a, b in pairwise(spots):
        yield length(f"{key}.spacing", row.spacing, a, b, critical=True)
    if base:
        gauge = row.gauge if isinstance(row, HoleRow) else None
        name = f"{key}.gauge" if gauge is not None else ""
        for at in (spots[0], spots[-1])[: 2 if len(spots) > 1 else 1]:
            yield length(name, gauge, at, edge(panel, base), critical=True)
    for side in sides:
        for at in dict.fromkeys((spots[0], spots[-1])):
            yield derived(at, edge(panel, side), critical=True)
