"""From measurements to the finished bracket: the kind's own, then what the file adds to it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from platewright import measure
from platewright.errors import BuildError, GeometryError
from platewright.geometry.build import chamfer, fillet
from platewright.geometry.segment import Line, Segment
from platewright.geometry.shapes import self_crossing
from platewright.kinds.cope import Cope, with_copes
from platewright.kinds.features import (
    CutOut,
    DrawnMark,
    Feature,
    HolePattern,
    RoundHole,
    Slot,
    panel_name,
)
from platewright.kinds.fitting import with_feature
from platewright.kinds.kind import Kind
from platewright.kinds.placing import named_panel, under
from platewright.kinds.scribe import Scribe, with_scribed
from platewright.plate.bend import BendWay
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bracket
from platewright.plate.edit import cut_corner, trim_edge
from platewright.plate.stock import Stock
from platewright.units import both_units
from platewright.values import dataclass

#: Metal this near to a place is there, mm.
_THERE = 0.01

MOST_HOLES = 400
"""All that rows of holes and patterns may put in one part: more would take minutes to draw."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trim:
    """Metal taken off an edge after the fit-up."""

    panel: str | None = panel_name()
    edge: str = measure.text("The straight edge to trim.", example="front")
    by: float = measure.length(
        "How much to take off, square to the edge; with a minus, how much to add.",
        "-24 in to 24 in", label="trim by", example="1/8 in",
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """A corner rounded or cut off."""

    panel: str | None = panel_name()
    edge: str = measure.text("One edge of the corner.", example="front")
    next_to: str = measure.text("The other edge.", example="left side")
    radius: float | None = measure.length(
        "Rounds the corner.",
        "1/64 in to 48 in", label="corner radius", optional=True, example="1/4 in",
    )  # fmt: skip
    chamfer: float | None = measure.length(
        "Cuts the corner off, this far from it on both edges.", "1/64 in to 48 in", optional=True
    )

    def problems(self) -> measure.Problems:
        """Both shapes, or none."""
        if (self.radius is None) == (self.chamfer is None):
            yield "radius", "give either a radius or a chamfer"

    def cut(self, into: Line, out: Line) -> Segment:
        """The piece that takes the corner's place. Raises GeometryError where it does not fit."""
        if self.radius is not None:
            return fillet(into.start, out.start, out.end, self.radius)
        return chamfer(into.start, out.start, out.end, self.chamfer or 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Extras:
    """What a file may add to a bracket of any kind, in the order in which it is done."""

    hole: tuple[RoundHole, ...] = measure.rows("Round holes.", RoundHole, label="holes")
    slot: tuple[Slot, ...] = measure.rows("Slots with round ends.", Slot, label="slots")
    cutout: tuple[CutOut, ...] = measure.rows("Cut-outs of any shape.", CutOut, label="cut-outs")
    pattern: tuple[HolePattern, ...] = measure.rows(
        "Patterns of bolt holes.", HolePattern, label="patterns"
    )
    mark: tuple[DrawnMark, ...] = measure.rows("Lines to mark only.", DrawnMark, label="marks")
    scribe: tuple[Scribe, ...] = measure.rows(
        "Edges that follow an odd surface.", Scribe, label="scribed edges"
    )
    cope: tuple[Cope, ...] = measure.rows(
        "Edges that sit on a round tube, and holes that one goes through.", Cope, label="tubes"
    )
    trim: tuple[Trim, ...] = measure.rows("Edges trimmed after the fit-up.", Trim, label="trims")
    corner: tuple[Corner, ...] = measure.rows(
        "Corners rounded or cut off.", Corner, label="corners"
    )

    def problems(self) -> measure.Problems:
        """More holes than one part may have."""
        total = len(self.hole)
        for number, pattern in enumerate(self.pattern, 1):
            total += pattern.count * (pattern.rows or 1)
            if total > MOST_HOLES:
                words = f"makes {total} holes; allowed: at most {MOST_HOLES} in all of a part"
                yield f"pattern[{number}].count", words
                return

    def features(self) -> Iterator[tuple[str, int, Feature]]:
        """(key, number, feature) for all that is put on a panel."""
        for key in ("hole", "slot", "cutout", "pattern", "mark"):
            for number, feature in enumerate(getattr(self, key), 1):
                yield f"{key}[{number}]", number, feature


NO_EXTRAS = Extras()


def make_bracket(
    kind: Kind, measurements: Any, stock: Stock, way: BendWay, extras: Extras = NO_EXTRAS
) -> Bracket:
    """The bracket of a kind's measurements with features, scribed and coped edges, trims, corners.

    Raises BuildError with the keys that disagree, those of extras as "hole[2].measured_from[1]".
    """
    bracket = kind.build(measurements, stock, way)
    for key, number, feature in extras.features():
        with under(key):
            bracket = with_feature(bracket, feature, number, key)
    bracket = with_copes(with_scribed(bracket, extras.scribe), extras.cope)
    for number, trim in enumerate(extras.trim, 1):
        with under(f"trim[{number}]"):
            panel = named_panel(bracket, trim.panel)
            bracket = trim_edge(bracket, panel.name, trim.edge, trim.by)
    for number, corner in enumerate(extras.corner, 1):
        with under(f"corner[{number}]"):
            panel, edges = named_panel(bracket, corner.panel), (corner.edge, corner.next_to)
            bracket = cut_corner(bracket, panel.name, edges, corner.cut)
    _require_sound(bracket)
    return bracket


def _require_sound(bracket: Bracket) -> None:
    """Raises BuildError when no flat piece can make the bracket."""
    try:
        blank = blank_of(bracket)
    except GeometryError as error:
        raise BuildError(str(error)) from None
    at = self_crossing(blank.outline)
    if at is None:
        return
    there = [
        each.panel.name
        for each in blank.panels
        if each.panel.contour.moved(each.blank_from_panel).distance(at) < _THERE
    ]
    where = f", where {' and '.join(there)} meet" if len(there) > 1 else ""
    # the keys of what is measured from one of these panels to another
    keys = []
    for each in bracket.dimensions:
        ends = {getattr(place, "panel", None) for place in (each.start, each.end)}
        if each.key and len(ends) == 2 and ends <= set(there):
            keys.append(each.key)
    raise BuildError(
        f"the flat blank would overlap itself at x {both_units(at.x)}, y {both_units(at.y)}"
        f"{where}: it cannot be cut from one piece; leave a gap where its panels meet, or shorten "
        "one",
        *dict.fromkeys(keys),
    )
