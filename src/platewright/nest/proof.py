"""The proof of a nest: every pair at its gap and every part on its sheet, by the exact outlines.

The torch burns half a kerf to both sides of its path and its leads. So two parts leave the gap
standing when their paths and leads are a gap and both halves apart, and neither lies in the
other's metal. Lines and arcs are taken as they are cut.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations

from platewright.errors import NestError
from platewright.geometry.contour import Circle, Outline
from platewright.geometry.distances import distance_between
from platewright.geometry.offset import Region, offset_regions
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Segment
from platewright.nest.layout import Laid, NestedSheet, NestRules
from platewright.units import both_units
from platewright.values import dataclass

#: What a layout may fall short by, mm: an exact fit is a fit whatever rounding does to it.
ROUNDING = 5e-4
#: Where nothing is burnt and nothing need be left, parts may touch: they are judged drawn in by
#: this much, mm, so that touching and crossing differ.
_HAIR = 0.01


@dataclass(frozen=True, slots=True)
class _Line:
    """The middle of a cut, what is burnt to either side of it, and the box round that."""

    middle: Outline | Segment
    burnt: float
    box: Bounds


@dataclass(frozen=True, slots=True)
class _Cut:
    """What is cut for a part: its lines, and what they bound."""

    name: str
    lines: tuple[_Line, ...]
    regions: tuple[Region, ...]
    box: Bounds

    def covers(self, p: Point) -> bool:
        """Whether a place lies within the metal."""
        return any(
            region.outer.contains(p) and not any(hole.contains(p) for hole in region.holes)
            for region in self.regions
        )

    def lies_in(self, other: _Cut) -> bool:
        """Whether a place on the outer line lies within another's metal."""
        return any(other.covers(_start(region.outer)) for region in self.regions)

    def left_to(self, others: Sequence[_Line], wanted: float) -> float:
        """Metal left between the own lines and others, mm; infinity beyond what is wanted."""
        own = ((line, line.box.grown(wanted)) for line in self.lines)
        left = (
            distance_between(one.middle, other.middle).distance - one.burnt - other.burnt
            for one, near in own
            for other in others
            if near.meets(other.box)
        )
        return min(left, default=math.inf)


def require_proof(nested: NestedSheet, rules: NestRules) -> None:
    """Raises NestError that names every pair and every part that does not lie as it must."""
    cuts = [_cut(laid, min(rules.gap / 2, rules.margin)) for laid in nested.laid]
    wrong = [*_pairs(cuts, rules.gap), *_on_sheet(cuts, nested, rules.margin)]
    if wrong:
        raise NestError(
            f"sheet {nested.number}, {nested.sheet.name}: the layout that was found does not hold: "
            + "; ".join(wrong)
            + ". Nothing was written. Try another --seed, and please report it with the files"
        )


def _cut(laid: Laid, least: float) -> _Cut:
    """The cut of a part; `least` is what must be left standing at its side, mm."""
    half = laid.torch.widest / 2
    cuts = laid.torch.cuts
    outer = [cut.path for cut in cuts if not cut.inside]
    holes = tuple(cut.path for cut in cuts if cut.inside)
    regions = tuple(Region(path, holes) for path in outer)
    inset = _HAIR if half + least < _HAIR else 0.0
    if inset:
        regions = offset_regions(regions, -inset)
    edges = [edge for region in regions for edge in (region.outer, *region.holes)]
    leads = [segment for cut in cuts if cut.lead for segment in cut.lead.segments]
    lines = (*(_line(edge, half - inset) for edge in edges), *(_line(lead, half) for lead in leads))
    return _Cut(f"{laid.piece.name} (copy {laid.copy})", lines, regions, laid.box)


def _line(middle: Outline | Segment, burnt: float) -> _Line:
    return _Line(middle, burnt, middle.bounds.grown(burnt))


def _pairs(cuts: Sequence[_Cut], gap: float) -> Iterator[str]:
    for one, other in combinations(cuts, 2):
        if one.box.grown(gap).meets(other.box):
            over = one.lies_in(other) or other.lies_in(one)
            left = -math.inf if over else one.left_to(other.lines, gap)
            if left < gap - ROUNDING:
                yield _words(one.name, other.name, left, gap)


def _on_sheet(cuts: Sequence[_Cut], nested: NestedSheet, margin: float) -> Iterator[str]:
    sheet = nested.sheet
    stock = _Cut("", (), (Region(sheet.outline, sheet.voids),), sheet.bounds)
    edges = [_line(edge, 0.0) for edge in (sheet.outline, *sheet.voids)]
    for cut in cuts:
        on = all(stock.covers(_start(region.outer)) for region in cut.regions)
        clear = not any(cut.covers(_start(void)) for void in sheet.voids)
        left = cut.left_to(edges, margin) if on and clear else -math.inf
        if left < margin - ROUNDING:
            yield _words(cut.name, "the edge of the stock", left, margin)


def _start(outline: Outline) -> Point:
    whole = outline.contour() if isinstance(outline, Circle) else outline
    return whole.segments[0].start


def _words(one: str, other: str, left: float, wanted: float) -> str:
    if left <= 0:
        return f"{one} lies over {other}"
    return f"{both_units(left)} of metal left between {one} and {other}, not {both_units(wanted)}"
