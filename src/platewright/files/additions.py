"""What a file may hold besides its kind's measurements, as the end of a starter file.

Holes, slots, scribed edges and the like go on any panel. They are shown commented out, placed on
the panel of the starter's own bracket that has the most room, so that any of them can be taken as
it stands.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping
from itertools import product

from platewright.files.written import list_of, remark, toml
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.kinds.making import Extras
from platewright.measure import fields_of
from platewright.measurement import Measure
from platewright.plate.bracket import Bracket, Panel
from platewright.units import INCH, Unit, format_length
from platewright.values import dataclass

Values = Mapping[str, Mapping[str, str]]
"""For each table the keys that are shown with a value, as TOML."""

_HEAD = (
    "--- More that a file may hold: any of these, on any panel, as often as needed. Take the # "
    "from a table's head and from its keys. Several parts in one file: each in a [[part]] table, "
    "what they share above the first."
)
_PLACE = (
    "Panels of the bracket above, and the edges to measure from (top face up, a bend's edge is "
    "measured to its outside):"
)

#: Keys that mean the same in every table.
_COMMON = {
    "panel",
    "name",
    "measured_from",
    "measured_to",
    "x",
    "y",
    "along",
    "turn",
    "size",
    "fit",
}

#: Edges that turn by less than this sine make no corner to measure from.
_SQUARE_ENOUGH = 0.3


def additions(bracket: Bracket, unit: Unit) -> str:
    """The end of a starter file for a bracket of its measurements; every key stands behind a #."""
    lines = [*remark(_HEAD), "#", *remark(_PLACE), *_panels(bracket)]
    spot = max(_spots(bracket.root), key=lambda each: each.rank, default=None)
    if spot is not None:
        values, known = _values(spot, unit), set[str]()
        for name, measure in fields_of(Extras):
            if name in values and measure.inside is not None:
                lines += ["", *_table(name, measure, values[name], known)]
                known |= _COMMON & {key for key, _ in fields_of(measure.inside)}
    return "\n".join(lines) + "\n"


def shown_keys(table: str) -> frozenset[str]:
    """The keys of a table that are shown with a value: those that most of its kind have."""
    side = Line(Point(0.0, 0.0), Point(100.0, 0.0))
    spot = _Spot("", ("", side), ("", side), Point(0.0, 0.0), (True, 0.0))
    return frozenset(_values(spot, "mm").get(table, ()))


def _panels(bracket: Bracket) -> Iterator[str]:
    """The panels with the names of their edges; panels with like edges share a line."""
    like: dict[str, list[str]] = {}
    for panel in bracket.root.walk():
        like.setdefault(", ".join(name for name, _ in panel.edges), []).append(panel.name)
    for edges, names in like.items():
        yield from remark(f"{', '.join(names)}: {edges or 'no edge has a name'}", "   ")


# --- where there is room ----------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Spot:
    """A place on a panel by two named edges that meet in a corner.

    `rank` is whether neither is bent, then the panel's area, mm².
    """

    panel: str
    first: tuple[str, Line]
    second: tuple[str, Line]
    at: Point
    rank: tuple[bool, float]

    def distances(self) -> tuple[float, float]:
        """Square from the edges to the place, mm."""
        one, other = (
            line.direction.left.dot(self.at - line.start)
            for _, line in (self.first, self.second)
        )  # fmt: skip
        return one, other


def _spots(panel: Panel, base: str = "") -> Iterator[_Spot]:
    """Corners of straight edges, the first of them free, on a panel and all bent from it."""
    bent = {base, *(bend.edge for bend in panel.bends)}
    named = [(name, panel.contour.segments[index]) for name, index in panel.edges]
    lines = [(name, line) for name, line in named if isinstance(line, Line)]
    xs, ys = ([*each] for each in zip(*((p.x, p.y) for p in panel.contour.corners), strict=True))
    middle = Point(math.fsum(xs) / len(xs), math.fsum(ys) / len(ys))
    for first, second in product(lines, lines):
        turn = first[1].direction.cross(second[1].direction)
        if first[0] not in bent and first[1].end == second[1].start and turn > _SQUARE_ENOUGH:
            rank = (second[0] not in bent, panel.contour.area)
            yield _Spot(panel.name, first, second, middle, rank)
    for bend in panel.bends:
        yield from _spots(bend.panel, bend.base)


# --- the tables -------------------------------------------------------------------------------

#: What is shown in each table, in inches and in mm.
_SAID = {
    "bolt": ("1/4", "M6"),
    "hole": ("hole 1/8 in", "hole 3 mm"),
    "long": ("3/4 in", "20 mm"),
    "short": ("1/2 in", "12 mm"),
    "round": ("1/4 in", "6 mm"),
    "held": ("1 in", "25 mm"),
    "nearer": ("15/16 in", "23.5 mm"),
    "trim": ("1/16 in", "1.5 mm"),
}


def _values(spot: _Spot, unit: Unit) -> Values:
    (first, edge), (second, _) = spot.first, spot.second
    said = {name: toml(both[unit == "mm"]) for name, both in _SAID.items()}
    panel, named = {"panel": toml(spot.panel)}, {"edge": toml(first)}
    place = panel | {"measured_from": _measured_from(spot, unit)}
    stations = [toml(_near(edge.length * share, unit)) for share in (0.25, 0.5, 0.75)]
    read = zip(stations, (said["held"], said["nearer"], said["held"]), strict=True)
    scribe = {
        "zero_at": toml(second),
        "hold_off": said["held"],
        "readings": list_of(map(list_of, read)),
    }
    cope = {
        "zero_at": toml(second),
        "at": toml(_near(edge.length / 2, unit)),
        "diameter": said["long"],
    }
    circle = {"layout": toml("circle"), "count": "4", "diameter": said["short"]}
    corner = {"next_to": toml(second), "radius": said["round"]}
    return {
        "hole": place | {"size": said["bolt"]},
        "slot": place | {"size": said["bolt"], "length": said["long"]},
        "cutout": place | {"length": said["long"], "width": said["short"]},
        "pattern": place | {"size": said["hole"]} | circle,
        "mark": place | {"diameter": said["long"]},
        "scribe": panel | named | scribe,
        "cope": panel | named | cope,
        "trim": panel | named | {"by": said["trim"]},
    } | ({"corner": panel | named | corner} if spot.rank[0] else {})


def _measured_from(spot: _Spot, unit: Unit) -> str:
    edges = (name for name, _ in (spot.first, spot.second))
    pairs = zip(edges, spot.distances(), strict=True)
    return list_of(
        f"{{ edge = {toml(name)}, distance = {toml(_near(mm, unit))} }}" for name, mm in pairs
    )


def _near(mm: float, unit: Unit) -> str:
    """A length to the next eighth of an inch or mm, with its unit."""
    eighth = INCH / 8
    return format_length(round(mm / eighth) * eighth, unit) if unit == "in" else f"{round(mm)} mm"


def _table(
    name: str, table: Measure, values: Mapping[str, str], known: Collection[str]
) -> Iterator[str]:
    """A table's lines; keys that are `known` from a table above go without words."""
    assert table.inside is not None
    yield from remark(f"--- {table.label}: {table.how}")
    yield f"#[[{name}]]"
    new, old = [], []
    for key, measure in fields_of(table.inside):
        choices = " or ".join(map(toml, measure.choices))
        if key in values:
            if key not in known:
                allowed = f" Allowed: {choices}." if choices else ""
                yield from remark(f"{measure.label}: {measure.how}{allowed}", "   ")
            yield f"#{key} = {values[key]}"
        elif key in known:
            old.append(key)
        else:
            # in a few words: its choices, or else what it is
            new.append(f"{key} ({choices or measure.allowed or measure.how.rstrip('.')})")
    besides = [*new, *([f"as above: {', '.join(old)}"] if old else [])]
    if besides:
        yield from remark(f"Besides: {'; '.join(besides)}.", "   ")
