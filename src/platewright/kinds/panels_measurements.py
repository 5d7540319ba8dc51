"""What is declared of free panels, and their outlines drawn corner by corner."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from platewright import measure
from platewright.errors import BuildError, UnitError
from platewright.geometry.plane import Point
from platewright.geometry.segment import Arc, Line, Segment
from platewright.kinds.folds import fold_angle, fold_direction
from platewright.measurement import Scalar
from platewright.units import Unit
from platewright.values import dataclass

DEEPEST = 100
"""No bracket of honest work has so many bends one behind the other."""

#: Corners this close are one, mm.
_SAME = 1e-9


def read_names(given: Scalar, _unit: Unit) -> tuple[str, ...]:
    """Names with commas between them. Raises UnitError."""
    if not isinstance(given, str) or not given.isprintable():
        raise UnitError("should be names with commas between them, in one pair of quotes")
    return tuple(" ".join(name.split()) for name in given.split(",")) if given.strip() else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BentFrom:
    """How a panel hangs on another."""

    panel: str = measure.text(
        "The name of the panel that this one is bent from.", label="bent from panel", example="base"
    )
    edge: str = measure.text(
        "The edge of that panel where the bend is.", label="bent from edge", example="right side"
    )
    base: str = measure.text(
        "This panel's own edge that lies at the bend.", label="own edge", default="base"
    )
    start: float | None = measure.length(
        "Of a bend on a part of the edge: from the edge's first corner, in the order of the "
        "corners, to where the bend begins; left out, at that corner. Drawn to a face, the rest of "
        "the edge stays as drawn behind a relief.",
        "0 to 240 in", label="bend starts", optional=True, example="1 in",
    )  # fmt: skip
    end: float | None = measure.length(
        "From the same corner to where the bend ends; left out, at the edge's end.",
        "0 to 240 in", label="bend ends", optional=True, example="5 in",
    )  # fmt: skip
    angle: float = fold_angle()
    direction: str = fold_direction()

    def problems(self) -> measure.Problems:
        """A bend that ends before it begins."""
        if self.start is not None and self.end is not None and self.end <= self.start:
            yield "end", "the bend ends before it begins"

    @property
    def whole(self) -> bool:
        """Whether the bend takes the whole edge."""
        return self.start is None and self.end is None


@dataclass(frozen=True, slots=True, kw_only=True)
class Treated:
    """What is done at one corner of a drawn outline."""

    at: int = measure.count(
        "Which corner, counted from the first.", "1 to 400", label="corner", default=1
    )
    radius: float | None = measure.length(
        "Rounds this corner.",
        "1/64 in to 120 in", label="corner radius", optional=True, example="1/2 in",
    )  # fmt: skip
    chamfer: float | None = measure.length(
        "Cuts this corner off, this far from it on both edges.",
        "1/64 in to 120 in", optional=True, example="1/2 in",
    )  # fmt: skip
    rise: float | None = measure.length(
        "Makes the edge from here to the next corner an arc: how far its middle stands out beyond "
        "the straight line; with a minus, how far in.",
        "-120 in to 120 in", optional=True, example="1/2 in",
    )  # fmt: skip

    def problems(self) -> measure.Problems:
        """A corner that is both round and cut."""
        if self.radius is not None and self.chamfer is not None:
            yield "chamfer", "the corner is rounded already: keep one"


@dataclass(frozen=True, slots=True, kw_only=True)
class FreePanel:
    """One panel."""

    name: str = measure.text("What the sheets call it.", label="panel name", example="base")
    bent_from: BentFrom | None = measure.table(
        "Which panel it is bent from, at which edge, and how; the first panel has none.",
        BentFrom, label="the bend that holds a panel", optional=True,
    )  # fmt: skip
    points: tuple[tuple[float, float], ...] = measure.pairs(
        "Its corners in order, each [to the right, upwards], either way round.",
        "2 to 400", label="corners",
    )  # fmt: skip
    edges: tuple[str, ...] = measure.custom(
        "Names of its edges, the one from the first corner to the second first; an empty place "
        "between commas is an edge without a name.",
        label="edge names", read=read_names,
        allowed="names with commas between them, in one pair of quotes", default="",
        example="wall edge, right side, front, left side",
    )  # fmt: skip
    corner: tuple[Treated, ...] = measure.rows(
        "Corners that are rounded or cut, and edges that are arcs.",
        Treated, label="treated corners",
    )  # fmt: skip

    def problems(self) -> measure.Problems:
        """Names and corners beyond those that there are."""
        count = len(self.points)
        if len(self.edges) > count:
            yield "edges", f"{len(self.edges)} names for {count} edges"
        named = [name for name in self.edges if name]
        if len(set(named)) < len(named):
            yield "edges", "two edges share a name"
        places = [corner.at for corner in self.corner]
        for number, at in enumerate(places, 1):
            if at > count:
                yield f"corner[{number}].at", f"there are only {count} corners"
            if at in places[: number - 1]:
                yield f"corner[{number}].at", "this corner is told of already"

    @property
    def outline(self) -> tuple[OutlineCorner, ...]:
        """The corners with all that is told of each."""
        told = {corner.at: corner for corner in self.corner}
        names = [*self.edges, *[""] * len(self.points)]
        return tuple(
            OutlineCorner(
                at=Point(x, y),
                edge=name or None,
                radius=told[n].radius if n in told else None,
                chamfer=told[n].chamfer if n in told else None,
                rise=told[n].rise if n in told else None,
            )
            for n, ((x, y), name) in enumerate(zip(self.points, names, strict=False), 1)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Panels:
    """A bracket of free panels."""

    drawn_to: str | None = measure.choice(
        "What the outlines are drawn to at bends. Outside, also when left out: the outside "
        "corners, as a tape finds them on the folded part; inside and centre likewise. Flat: the "
        "tangent lines on the blank.",
        ("outside", "inside", "centre", "flat"), optional=True, example="outside",
    )  # fmt: skip
    wall: str | None = measure.text(
        "The first panel's edge that meets the wall, if any.", optional=True
    )
    panel: tuple[FreePanel, ...] = measure.rows(
        "The panels.",
        FreePanel,
        "at least 1",
        label="panels",
        again=(
            'name = "upright"',
            'points = [["<0>", "<0>"], ["<6>", "<0>"], ["<6>", "<4>"], ["<0>", "<4>"]]',
            'edges = "base, right end, top, left end"',
            "[panel.bent_from]",
            'panel = "base"',
            'edge = "right side"',
            "angle = 90",
            'direction = "up"',
        ),
    )

    def problems(self) -> measure.Problems:
        """Panels that hang on nothing, or names that stand twice."""
        names = [panel.name for panel in self.panel]
        deep: dict[str, int] = {}
        for number, panel in enumerate(self.panel, 1):
            key, held = f"panel[{number}]", panel.bent_from
            if panel.name in names[: number - 1]:
                yield f"{key}.name", "another panel has this name"
            if number == 1 and held is not None:
                yield f"{key}.bent_from", "the first panel is the one that the others are bent from"
            if number > 1 and held is None:
                yield f"{key}.bent_from", "every panel but the first is bent from another"
            if held is not None and held.panel not in names[: number - 1]:
                known = ", ".join(repr(name) for name in names[: number - 1]) or "none"
                yield f"{key}.bent_from.panel", f"no panel of this name stands before it: {known}"
            elif held is not None:
                deep[panel.name] = deep.get(held.panel, 0) + 1
                if deep[panel.name] == DEEPEST + 1:
                    yield f"{key}.bent_from", f"more than {DEEPEST} bends one behind the other"


# --- what is drawn of it ----------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineCorner:
    """A corner of a drawn outline, what is done there, and the edge that leaves it, mm."""

    at: Point
    edge: str | None = None
    radius: float | None = None
    chamfer: float | None = None
    rise: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SharpEdge:
    """An edge between two sharp corners, before they are rounded.

    `backward` tells that the outline was listed clockwise, so that the file's own beginning of the
    edge is its end.
    """

    name: str
    segment: Segment
    backward: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """An anticlockwise outline: its edges, and what becomes of the corner where each starts."""

    edges: tuple[SharpEdge, ...]
    corners: tuple[OutlineCorner, ...]


def drawn_outline(rows: Sequence[OutlineCorner], key: str) -> Outline:
    """The outline through some corners, turned anticlockwise.

    Raises BuildError under `key` for corners that coincide, names that stand twice, or an arc that
    cannot be.
    """
    names = [row.edge for row in rows if row.edge]
    if len(set(names)) < len(names):
        raise BuildError("two edges of one panel share a name", key)
    corners = pairwise([row.at for row in (*rows, rows[0])])
    backward = math.fsum(a.x * b.y - b.x * a.y for a, b in corners) < 0
    order = list(reversed(rows)) if backward else list(rows)
    edges = []
    for i, (row, after) in enumerate(pairwise([*order, order[0]])):
        # listed clockwise, an edge belongs to the corner that now is its end
        owner = after if backward else row
        number = len(rows) - i - 1 if backward else i + 1
        segment = _segment(row.at, after.at, owner.rise, f"{key}[{number or len(rows)}]")
        edges.append(SharpEdge(name=owner.edge or "", segment=segment, backward=backward))
    return Outline(edges=tuple(edges), corners=tuple(order))


def _segment(start: Point, end: Point, rise: float | None, key: str) -> Segment:
    if start.distance(end) <= _SAME:
        raise BuildError("two corners in one place", key)
    if not rise:
        return Line(start, end)
    # an arc that stands out on the right of an anticlockwise travel turns anticlockwise
    return Arc(start, end, 4 * math.atan(2 * rise / start.distance(end)))
