"""From distances to named edges to a place on a panel, and the dimensions that prove it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from platewright.errors import BuildError, GeometryError
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Line
from platewright.kinds.features import Off, PlacedFeature
from platewright.kinds.places import bend_line, derived, edge, length
from platewright.plate.bend import DrawnTo
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.dimension import Dimension, Spot, Straight
from platewright.values import dataclass

#: Below this sine two edges count as parallel.
_PARALLEL = 1e-6

#: Below this sine a bend runs on in line with a tape (about 6 degrees) and shows it no zero.
_IN_LINE = 0.1

#: An edge of this many thicknesses holds a square beside a bend (common practice).
_HOLD = 3

#: How far a feature reaches from its middle in a direction (a unit vector), mm.
Reach = Callable[[Vector], float]


@contextmanager
def under(key: str) -> Iterator[None]:
    """Mistakes in what is made here are told under a key of the file."""
    try:
        yield
    except BuildError as error:
        raise BuildError(error.message, *(f"{key}.{own}" for own in error.keys)) from None
    except GeometryError as error:
        raise BuildError(str(error), key) from None


def named_panel(bracket: Bracket, name: str | None) -> Panel:
    """The panel of that name, the root for None. Raises BuildError."""
    if name is None:
        return bracket.root
    try:
        return bracket.panel(name)
    except GeometryError as error:
        raise BuildError(str(error), "panel") from None


def named_edge(panel: Panel, name: str, key: str) -> Line:
    """A straight edge by its name. Raises BuildError."""
    try:
        return panel.straight_edge(name)
    except GeometryError as error:
        raise BuildError(str(error), key) from None


def datum_of(bracket: Bracket, panel: Panel, off: Off, key: str) -> Straight:
    """The line that a distance is measured from, metal on its left.

    At a bend it is the line of `zero_line`, unless the file names another face. Raises BuildError.
    """
    named_edge(panel, off.edge, f"{key}.edge")
    to: dict[str, DrawnTo] = {"outside": "outside", "inside": "inside", "tangent line": "flat"}
    if off.bend_face is None:
        return zero_line(bracket, panel, off.edge)
    drawn = bracket.bent_edge(panel, off.edge, to[off.bend_face])
    if drawn is None:
        raise BuildError("this edge is no bend: leave bend_face out", f"{key}.bend_face")
    return bend_line(panel, drawn)


def zero_line(bracket: Bracket, panel: Panel, name: str) -> Straight:
    """The line that holes, stations and all else count from at a named edge.

    At a bend it is the line that the edge was drawn to, which card and plate share. One that was
    drawn flat, or to an arc that is rolled later, shows no such line once it is bent: there it is
    the outside, or the edge itself where the bend leaves enough of it to hold a square against.
    """
    drawn = panel.drawn_edge(name)
    if drawn is None:
        return edge(panel, name)
    if drawn.to == "flat":
        free = [panel.straight_edge(name).length]
        for bend in panel.bends:
            if bend.edge == name:
                start, end = panel.bend_interval(bend)
                free = [max(start, free[0] - end)]
        held = any(bend.edge == name for bend in panel.bends)
        if held and free[0] >= _HOLD * bracket.stock.thickness:
            return Straight(panel.name, panel.straight_edge(name), name)
        drawn = bracket.bent_edge(panel, name, "outside") or drawn
    if drawn.to in ("arc", "corner"):
        to: DrawnTo = "outside" if drawn.to == "arc" else "inside"
        drawn = bracket.bent_edge(panel, name, to) or drawn
    return bend_line(panel, drawn)


def station_zero(
    bracket: Bracket, panel: Panel, along: str, zero_at: str, key: str
) -> tuple[float, int]:
    """Where a tape along an edge has its zero, mm from the edge's start, and which way it runs.

    The zero is held at an edge next to it. Beside a bend it is the line that the bent edge was
    drawn to, as for any distance from it. Raises BuildError for an edge that is not next to it.
    """
    line, count = panel.straight_edge(along), len(panel.contour.segments)
    index = panel.edge_index(along)
    beside = {i: name for name, i in panel.edges}
    before, after = beside.get((index - 1) % count), beside.get((index + 1) % count)
    if zero_at not in (before, after):
        names = " or ".join(repr(name) for name in (before, after) if name) or "none with a name"
        raise BuildError(f"no edge next to {along!r}; these are: {names}", key)
    ahead = 1 if zero_at == before else -1
    zero = station_datum(bracket, panel, line, zero_at)
    if zero is None:
        return (0.0 if ahead > 0 else line.length), ahead
    sine = line.direction.cross(zero.line.direction)
    return (zero.line.start - line.start).cross(zero.line.direction) / sine, ahead


def station_datum(bracket: Bracket, panel: Panel, along: Line, zero_at: str) -> Straight | None:
    """The bend's line that a tape along a line has its zero at.

    None where the zero is the corner: at no bend, or at one that runs on in line with the tape.
    """
    if panel.drawn_edge(zero_at) is None:
        return None
    zero = zero_line(bracket, panel, zero_at)
    return zero if abs(along.direction.cross(zero.line.direction)) > _IN_LINE else None


# --- the place --------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Condition:
    """The places p with across . p = value."""

    across: Vector
    value: float


def place_of(bracket: Bracket, panel: Panel, placed: PlacedFeature, reach: Reach) -> Point:
    """Where the middle of a feature is. Raises BuildError with the keys that disagree.

    `reach` is for distances to the feature's near side.
    """
    if placed.x is not None and placed.y is not None:
        return Point(placed.x, placed.y)
    found = [
        _condition(bracket, panel, off, f"measured_from[{number}]", _near(placed, reach))
        for number, off in enumerate(placed.measured_from, 1)
    ]
    first, second = found
    a, b = first.across, second.across
    sine = a.cross(b)
    if abs(sine) < _PARALLEL * a.length * b.length:
        words = "these two edges are parallel: measure from one along and one across"
        raise BuildError(words, "measured_from")
    return Point(
        (first.value * b.y - second.value * a.y) / sine,
        (second.value * a.x - first.value * b.x) / sine,
    )


def _near(placed: PlacedFeature, reach: Reach) -> Reach:
    return reach if placed.measured_to == "near side" else lambda _: 0.0


def _condition(bracket: Bracket, panel: Panel, off: Off, key: str, reach: Reach) -> _Condition:
    datum = datum_of(bracket, panel, off, key)
    inward, start = datum.line.direction.left, datum.line.start
    here = inward.dot(start - Point(0, 0))
    if off.midway_to is None:
        return _Condition(inward, here + (off.distance or 0.0) + reach(-inward))
    opposite = Off(edge=off.midway_to, distance=0.0, bend_face=off.bend_face)
    other = datum_of(bracket, panel, opposite, key)
    facing = other.line.direction.left
    there = facing.dot(other.line.start - Point(0, 0))
    across = inward - facing
    if across.length < _PARALLEL:
        raise BuildError("these edges do not lie opposite each other", f"{key}.midway_to")
    return _Condition(across, here - there)


# --- dimensions -------------------------------------------------------------------------------


def place_dimensions(
    bracket: Bracket,
    panel: Panel,
    placed: PlacedFeature,
    at: Point,
    reach: Reach,
    what: str,
    key: str,
) -> Iterator[Dimension]:
    """The distances that a feature was placed by; `key` is that of its table."""
    for number, off in enumerate(placed.measured_from, 1):
        if off.distance is not None:
            own = f"{key}.measured_from[{number}]"
            datum = datum_of(bracket, panel, off, own)
            inward = datum.line.direction.left
            near = at + -inward * _near(placed, reach)(-inward)
            words = f"near side of {what}" if placed.measured_to == "near side" else what
            start = Spot(panel.name, near, words)
            asked = abs(off.distance)
            yield length(f"{own}.distance", asked, start, datum, critical=True)


def spot_dimensions(
    bracket: Bracket, panel: Panel, placed: PlacedFeature, at: Point, what: str
) -> Iterator[Dimension]:
    """Distances of any point from the edges that a feature was placed from."""
    for number, off in enumerate(placed.measured_from, 1):
        datum = datum_of(bracket, panel, off, f"measured_from[{number}]")
        yield derived(Spot(panel.name, at, what), datum, critical=True)
