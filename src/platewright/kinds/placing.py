"""From distances to named edges to a place on a panel, and the checks that prove it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from platewright.errors import BuildError, GeometryError
from platewright.geometry.plane import Point, Vector
from platewright.geometry.segment import Line
from platewright.kinds.features import Off, Placed, RoundHole
from platewright.kinds.folds import Fold, setback_to
from platewright.plate.bend import BendWay, Face, other_face
from platewright.plate.bracket import Bend, Bracket, Panel
from platewright.plate.dimension import Dimension, Spot, Straight
from platewright.plate.edit import panel_named

#: Below this sine two edges count as parallel.
_PARALLEL = 1e-6

#: An edge of this many thicknesses holds a square beside a bend (common practice).
_HOLD = 3

#: How far a feature reaches from its middle in a direction (a unit vector), mm.
Reach = Callable[[Vector], float]


@dataclass(frozen=True, slots=True)
class Datum:
    """A line to measure from: the edge's, or one that a bend's corner makes once it is folded.

    `drawn` is the edge as it is on the panel; `line` runs along what is measured to, metal on its
    left; `face` and `folded` tell where a tape finds it.
    """

    drawn: Line
    line: Line
    words: str
    face: Face = "top"
    folded: bool = False

    @property
    def inward(self) -> Vector:
        """Unit vector square to the line, into the metal."""
        return self.line.direction.left


def named_panel(bracket: Bracket, name: str | None) -> Panel:
    """The panel of that name, the root for None. Raises BuildError."""
    if name is None:
        return bracket.root
    try:
        return panel_named(bracket, name)
    except GeometryError as error:
        raise BuildError(str(error), "panel") from None


def named_edge(panel: Panel, name: str, key: str) -> Line:
    """A straight edge by its name. Raises BuildError."""
    try:
        return panel.straight_edge(name)
    except GeometryError as error:
        raise BuildError(str(error), key) from None


def datum_of(bracket: Bracket, panel: Panel, off: Off, key: str) -> Datum:
    """The line that a distance is measured from. Raises BuildError."""
    edge = named_edge(panel, off.edge, f"{key}.edge")
    bend, neighbour, whole = _bend_at(bracket, panel, off.edge)
    if bend is None:
        if off.bend_face is not None:
            raise BuildError("this edge is no bend: leave bend_face out", f"{key}.bend_face")
        return Datum(edge, edge, off.edge)
    face = off.bend_face or ("outside" if whole else "tangent line")
    if face == "tangent line":
        return Datum(edge, edge, off.edge)
    return _bend_datum(edge, bend, neighbour, face, bracket.stock.thickness)


def _bend_datum(edge: Line, bend: Bend, neighbour: str, face: str, thickness: float) -> Datum:
    way: BendWay = bend.way
    fold = Fold(bend.angle, bend.direction)
    out = edge.direction.right * setback_to(face, way, bend.angle, thickness)
    side = fold.outside if face == "outside" else other_face(fold.outside)
    words = f"{face} of the bend to the {neighbour}"
    return Datum(edge, Line(edge.start + out, edge.end + out), words, side, folded=True)


def _bend_at(bracket: Bracket, panel: Panel, edge: str) -> tuple[Bend | None, str, bool]:
    """The bend on an edge, the panel beyond it, and whether it takes as good as all of it."""
    for each in bracket.root.walk():
        for bend in each.bends:
            if bend.panel.name == panel.name and bend.base == edge:
                return bend, each.name, True
            if each.name == panel.name and bend.edge == edge:
                return bend, bend.panel.name, _leaves_no_edge(bracket, each, bend)
    return None, "", False


def _leaves_no_edge(bracket: Bracket, panel: Panel, bend: Bend) -> bool:
    """Whether no end of the edge beside its bend is long enough to hold a square against."""
    (start, end), length = panel.bend_interval(bend), panel.straight_edge(bend.edge).length
    return max(start, length - end) < _HOLD * bracket.stock.thickness


# --- the place --------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Condition:
    """The places p with across . p = value."""

    across: Vector
    value: float


def place_of(bracket: Bracket, panel: Panel, placed: Placed, reach: Reach) -> Point:
    """Where the middle of a feature is. Raises BuildError with the keys that disagree.

    `reach` is for distances to the feature's near side.
    """
    if placed.x is not None and placed.y is not None:
        return Point(placed.x, placed.y)
    found = [
        _condition(bracket, panel, off, f"measured_from[{number}]", _near(placed, reach))
        for number, off in enumerate(placed.measured_from, 1)
    ]
    return _meeting(*found)


def _near(placed: Placed, reach: Reach) -> Reach:
    return reach if placed.measured_to == "near side" else lambda _: 0.0


def _condition(bracket: Bracket, panel: Panel, off: Off, key: str, reach: Reach) -> _Condition:
    datum = datum_of(bracket, panel, off, key)
    inward, start = datum.inward, datum.line.start
    here = inward.dot(start - Point(0, 0))
    if off.midway_to is None:
        return _Condition(inward, here + (off.distance or 0.0) + reach(-inward))
    opposite = Off(edge=off.midway_to, distance=0.0, bend_face=off.bend_face)
    other = datum_of(bracket, panel, opposite, key)
    there = other.inward.dot(other.line.start - Point(0, 0))
    across = inward - other.inward
    if across.length < _PARALLEL:
        raise BuildError("these edges do not lie opposite each other", f"{key}.midway_to")
    return _Condition(across, here - there)


def _meeting(first: _Condition, second: _Condition) -> Point:
    a, b = first.across, second.across
    sine = a.cross(b)
    if abs(sine) < _PARALLEL * a.length * b.length:
        raise BuildError(
            "these two edges are parallel: measure from one along and one across", "measured_from"
        )
    return Point(
        (first.value * b.y - second.value * a.y) / sine,
        (second.value * a.x - first.value * b.x) / sine,
    )


# --- checks -----------------------------------------------------------------------------------


def place_checks(
    bracket: Bracket, panel: Panel, placed: Placed, at: Point, reach: Reach, what: str
) -> Iterator[Dimension]:
    """The distances that a feature was placed by."""
    for number, off in enumerate(placed.measured_from, 1):
        if off.distance is None:
            continue
        datum = datum_of(bracket, panel, off, f"measured_from[{number}]")
        near = at + -datum.inward * _near(placed, reach)(-datum.inward)
        words = f"near side of {what}" if placed.measured_to == "near side" else what
        yield _datum_check(panel, datum, near, words)
        if datum.folded and not isinstance(placed, RoundHole):
            # the sheets find holes from bend lines by themselves, and nothing else
            drawn = Straight(panel.name, datum.drawn, "tangent line of the bend")
            yield Dimension(
                start=Spot(panel.name, near, words), end=drawn, critical=True, when="flat"
            )


def spot_checks(
    bracket: Bracket, panel: Panel, placed: Placed, at: Point, what: str
) -> Iterator[Dimension]:
    """Distances of any point from the edges that a feature was placed from."""
    for number, off in enumerate(placed.measured_from, 1):
        datum = datum_of(bracket, panel, off, f"measured_from[{number}]")
        yield _datum_check(panel, datum, at, what)


def _datum_check(panel: Panel, datum: Datum, at: Point, what: str) -> Dimension:
    return Dimension(
        start=Spot(panel.name, at, what, datum.face),
        end=Straight(panel.name, datum.line, datum.words, datum.face),
        critical=True,
        when="folded" if datum.folded else "either",
    )
