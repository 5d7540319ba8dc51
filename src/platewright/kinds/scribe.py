"""The scribed edge: one that follows an odd surface, from readings along a named straight edge.

A straight edge is held along the named edge, or a stated distance off it, and at each station the
distance to the surface is read. Where the surface is farther away than the straight edge was held,
metal is added; where it is nearer, metal is cut back. Readings hold to the ends of the edge. A
further pass on the same edge, taken with the part cut to the first, adds to it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from platewright import measure
from platewright.errors import BuildError, GeometryError
from platewright.geometry.crossings import crossings
from platewright.geometry.plane import Motion, Point
from platewright.geometry.segment import Line, Segment
from platewright.kinds.features import panel_name
from platewright.kinds.placing import named_edge, named_panel, station_datum, station_zero, under
from platewright.plate.bracket import Bracket, Mark, Panel
from platewright.plate.edit import reach_of, replace_edge, with_panel
from platewright.units import both_units
from platewright.values import dataclass

#: Stations this close are one, mm.
_SAME = 1e-7

#: Length of the mark at a station, mm.
_TICK = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Scribe:
    """One pass of readings along an edge."""

    panel: str | None = panel_name()
    edge: str = measure.text("The straight edge to scribe.", example="wall edge")
    zero_at: str = measure.text(
        "The edge next to it where the tape's zero is held, such as the left side.",
        example="left side",
    )
    hold_off: float = measure.length(
        "How far off the edge the straight edge was held; a reading of just this changes nothing.",
        "0 to 24 in", label="hold-off", default="0",
    )  # fmt: skip
    joined: str = measure.choice(
        "How the points are joined.", ("straight", "smooth"), default="straight"
    )
    tolerance: float = measure.length(
        "Smooth only: how far the curve may pass a point; less gives more arcs.",
        "0.01 mm to 1/4 in", default="1/64 in", default_mm="0.4 mm",
    )  # fmt: skip
    readings: tuple[tuple[float, float], ...] = measure.pairs(
        "For each station: how far along from zero, and from the straight edge to the surface.",
        "1 to 200",
    )

    def problems(self) -> measure.Problems:
        """Stations out of order."""
        stations = [station for station, _ in self.readings]
        if any(b < a for a, b in pairwise(stations)):
            yield "readings", "the stations run on from zero; one goes back"
        if self.joined == "smooth" and len(set(stations)) < len(stations):
            yield "readings", "a smooth curve has one reading at a station"

    @property
    def offsets(self) -> tuple[tuple[float, float], ...]:
        """(station, mm to add outward) in order."""
        return tuple((station, reading - self.hold_off) for station, reading in self.readings)

    @property
    def changes(self) -> bool:
        """Whether any reading differs from the hold-off."""
        return any(offset != 0 for _, offset in self.offsets)


def with_scribed(bracket: Bracket, scribes: Sequence[Scribe]) -> Bracket:
    """The bracket with edges scribed; passes on one edge add up in their order.

    The original line stays as a mark. Raises BuildError with keys such as "scribe[2].edge".
    """
    passes: dict[tuple[str, str], list[tuple[int, Scribe]]] = {}
    for number, scribe in enumerate(scribes, 1):
        with under(f"scribe[{number}]"):
            panel = named_panel(bracket, scribe.panel)
        passes.setdefault((panel.name, scribe.edge), []).append((number, scribe))
    for (name, edge), given in passes.items():
        bracket = _with_edge_scribed(bracket, name, edge, given)
    return bracket


def _with_edge_scribed(
    bracket: Bracket, name: str, edge: str, given: list[tuple[int, Scribe]]
) -> Bracket:
    panel = named_panel(bracket, name)
    key = f"scribe[{given[0][0]}]"
    line = named_edge(panel, edge, f"{key}.edge")
    (first, joined), *rest = ((number, scribe.joined) for number, scribe in given)
    for number, other in rest:
        if other != joined:
            words = f'all passes on one edge are joined alike: give joined = "{joined}" here too'
            raise BuildError(words, f"scribe[{number}].joined", f"scribe[{first}].joined")
    points = [_points(bracket, panel, line, scribe, number) for number, scribe in given]
    if not any(scribe.changes for _, scribe in given):
        return bracket
    reach = reach_of(bracket, name)
    chain: tuple[Segment, ...] = (Line(Point(-reach, 0.0), Point(line.length + reach, 0.0)),)
    panel_from_edge = Motion.frame(line.start, line.direction)
    try:
        for (_, scribe), own in zip(given, points, strict=True):
            if scribe.changes:
                chain = _corrected(chain, own, scribe, line.length)
        moved = [segment.moved(panel_from_edge) for segment in chain]
        scribed = replace_edge(bracket, name, edge, moved)
    except GeometryError as error:
        raise BuildError(str(error), f"{key}.edge", f"{key}.readings") from None
    marks = [Mark(line, "original", f"original {edge}")]
    stations: dict[float, Mark] = {}
    for (number, scribe), own in zip(given, points, strict=True):
        zero_at, ahead = _zero(bracket, panel, scribe, number)
        datum = station_datum(bracket, panel, line, scribe.zero_at)
        held = datum.words if datum else scribe.zero_at
        # where the tape's zero and each reading stand along the edge, and what the tape showed
        for at in (zero_at, *(p.x for p in own)):
            station = 0.0 if at == zero_at else (at - zero_at) * ahead
            height = max(_heights(chain, at))
            tick = Line(Point(at, height), Point(at, height + _TICK))
            zero = f"zero, {held}:" * (station == 0)
            stations.setdefault(at, Mark(tick.moved(panel_from_edge), "station", zero, station))
    marks += stations.values()
    return with_panel(scribed, name, lambda old: replace(old, marks=(*old.marks, *marks)))


def _points(bracket: Bracket, panel: Panel, line: Line, scribe: Scribe, number: int) -> list[Point]:
    """The readings as points in the edge's frame: x along it, y into the metal."""
    zero, ahead = _zero(bracket, panel, scribe, number)
    points = [Point(zero + ahead * station, -offset) for station, offset in scribe.offsets]
    if ahead < 0:
        points.reverse()
    low, high = min(0.0, zero), max(line.length, zero)
    if points[0].x < low - _SAME or points[-1].x > high + _SAME:
        raise BuildError(
            f"a station lies beyond the edge, which is {both_units(line.length)} long",
            f"scribe[{number}].readings",
        )
    return points


def _zero(bracket: Bracket, panel: Panel, scribe: Scribe, number: int) -> tuple[float, int]:
    key = f"scribe[{number}].zero_at"
    return station_zero(bracket, panel, scribe.edge, scribe.zero_at, key)


# --- the new line -----------------------------------------------------------------------------


def _corrected(
    chain: tuple[Segment, ...], points: list[Point], scribe: Scribe, length: float
) -> tuple[Segment, ...]:
    """The chain after a further pass; it reaches beyond both ends of the edge."""
    if scribe.joined == "smooth":
        from platewright.geometry.arcfit import corrected

        level = points[0].x > _SAME, points[-1].x < length - _SAME
        return corrected(chain, points, scribe.tolerance, level=level)
    ends = Point(chain[0].start.x, points[0].y), Point(chain[-1].end.x, points[-1].y)
    own = tuple(Line(a, b) for a, b in pairwise([ends[0], *points, ends[1]]) if a != b)
    found = sorted(p.x for p in (*ends, *points, *(s.start for s in chain[1:])))
    stations = [found[0], *(x for before, x in pairwise(found) if x - before > _SAME)]
    # corners joined, without those that lie on the way from their neighbour to the next
    corners = [p for x in stations for p in _sums(chain, own, x)]
    kept = corners[:1]
    for at, after in pairwise(corners[1:]):
        into, out = at - kept[-1], after - at
        straight = abs(into.cross(out)) <= _SAME * into.length and into.dot(out) >= 0
        if into.length > _SAME and not straight:
            kept.append(at)
    return tuple(Line(a, b) for a, b in pairwise([*kept, corners[-1]]))


def _sums(
    first: tuple[Segment, ...], second: tuple[Segment, ...], station: float
) -> Iterator[Point]:
    """Two lines added at a station: before and after a step there."""
    before, after = (
        math.fsum(_heights(chain, station)[end] for chain in (first, second)) for end in (0, -1)
    )
    yield Point(station, before)
    if abs(before - after) > _SAME:
        yield Point(station, after)


def _heights(chain: tuple[Segment, ...], station: float) -> list[float]:
    """Where a chain of lines stands at a station, in the order of travel."""
    far = 1 + max(max(abs(s.bounds.ymin), abs(s.bounds.ymax)) for s in chain)
    upright = Line(Point(station, -far), Point(station, far))
    found = [c.point.y for segment in chain for c in crossings(segment, upright, _SAME)]
    if not found:
        raise GeometryError(f"the line has a gap at station {both_units(station)}")
    return found
