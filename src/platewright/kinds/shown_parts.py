"""Common ways of showing a measurement on the flat bracket."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from platewright.geometry.plane import Point
from platewright.kinds.holes import BoltRow, HoleRow
from platewright.kinds.shown import Pointer, Shown, Span
from platewright.plate.bracket import Bracket, Panel

#: Rows of dimension lines: beside an edge on the metal, and off it.
ON, OFF = 1.0, -1.0


def panels_of(bracket: Bracket) -> dict[str, Panel]:
    """A bracket's panels by their names."""
    return {panel.name: panel for panel in bracket.root.walk()}


def along(key: str, panel: Panel, edge: str, row: float = OFF) -> Span:
    """A length beside a straight edge."""
    line = panel.straight_edge(edge)
    return Span(key=key, panel=panel.name, start=line.start, end=line.end, row=row)


def between(key: str, panel: Panel, start: Point, end: Point, row: float = 0.0) -> Span:
    """A length from one point of a panel to another."""
    return Span(key=key, panel=panel.name, start=start, end=end, row=row)


def on_edge(key: str, panel: Panel, edge: str, fraction: float = 0.5) -> Pointer:
    """What is told of an edge, such as the angle of the bend there."""
    return Pointer(key=key, panel=panel.name, at=panel.edge(edge).point_at(fraction))


def bend_told(angle: str, direction: str, panel: Panel) -> Iterator[Shown]:
    """The angle and the direction of the bend that holds a panel; an empty key is left out."""
    for key, fraction in ((angle, 0.75), (direction, 0.25)):
        if key:
            yield on_edge(key, panel, "base", fraction)


def row_told(key: str, panel: Panel, row: BoltRow | None, edge: str = "base") -> Iterator[Shown]:
    """A row of holes: its size, count and spacing, and its gauge from an edge."""
    if row is None or not panel.holes:
        return
    first, last = panel.holes[0].centre, panel.holes[-1].centre
    yield Pointer(key=f"{key}.size", panel=panel.name, at=first)
    yield Pointer(key=f"{key}.count", panel=panel.name, at=last)
    if len(panel.holes) > 1:
        yield between(f"{key}.spacing", panel, first, panel.holes[1].centre, 0.8)
    if isinstance(row, HoleRow) and row.gauge is not None:
        base = panel.straight_edge(edge)
        foot = base.start + base.direction * base.direction.dot(last - base.start)
        yield between(f"{key}.gauge", panel, foot, last, 0.8)


def strip_told(
    bracket: Bracket,
    lengths: Mapping[str, str],
    rows: Mapping[str, tuple[str, BoltRow | None]],
    width: str = "width",
) -> Iterator[Shown]:
    """A strip's legs by their panels' names, its rows of holes, its width."""
    panels = panels_of(bracket)
    for name, key in lengths.items():
        yield along(key, panels[name], "front side")
    for name, (key, row) in rows.items():
        root = panels[name] is bracket.root
        yield from row_told(key, panels[name], row, "left end" if root else "base")
    ends = [panel for panel in panels.values() if not panel.bends]
    last = ends[0] if ends[0] is not bracket.root else bracket.root
    yield along(width, last, "end" if last is not bracket.root else "right end")
