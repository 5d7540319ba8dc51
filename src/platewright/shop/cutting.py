"""The torch path: where the middle of the cut runs so that the part comes out at its net size."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from platewright import measure
from platewright.geometry.contour import Circle, Outline
from platewright.geometry.plane import Point
from platewright.geometry.segment import Segment
from platewright.plate.blank import Blank
from platewright.plate.bracket import Hole
from platewright.shop.leads import Lead, LeadShape, contour_lead, hole_lead, overburn


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutting:
    """How the table cuts."""

    kerf: float = measure.length(
        "kerf",
        "Width of metal that the torch turns to slag; cut a test and measure it.",
        minimum="0",
        maximum="1/2 in",
        default="0.06 in",
    )
    lead: str = measure.choice(
        "lead-in",
        "How the torch comes onto the cut after piercing.",
        ("none", "straight", "arc"),
        default="none",
    )
    lead_length: float = measure.length(
        "lead-in length",
        "How far from the cut the torch pierces; inside a hole at most to its middle.",
        minimum="0.5 mm",
        maximum="2 in",
        default="1/4 in",
    )
    overburn: float = measure.length(
        "overburn",
        "How far the torch runs on past the place where it began.",
        minimum="0",
        maximum="1 in",
        default="0",
    )
    hole_factor: float = measure.factor(
        "least hole factor",
        "Holes under this many plate thicknesses are punched for drilling, not cut "
        "(common practice 1.5 to 2).",
        minimum=0,
        maximum=10,
        default=1.5,
    )
    feed: float | None = measure.speed(
        "feed",
        "Cutting speed of the table, to tell the time; no time is told without it.",
        optional=True,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One closed run of the torch, in cutting order of its segments.

    `path` is the middle of the kerf: anticlockwise inside the part, clockwise round it, so that
    the same side of the torch faces the part. `lead` comes before it, `tail` is the overburn.
    """

    what: str
    inside: bool
    path: Outline
    run: tuple[Segment, ...]
    lead: Lead | None = None
    tail: tuple[Segment, ...] = ()

    @property
    def pierce(self) -> Point:
        """Where the torch pierces."""
        return self.lead.pierce if self.lead else self.run[0].start

    @property
    def length(self) -> float:
        """Length that the torch burns, lead and overburn included, mm."""
        lead = self.lead.segments if self.lead else ()
        return math.fsum(s.length for s in (*lead, *self.run, *self.tail))


@dataclass(frozen=True, slots=True, kw_only=True)
class TorchPlan:
    """Every cut in order, and the holes that are punched instead."""

    cuts: tuple[Cut, ...]
    punched: tuple[Hole, ...]
    kerf: float
    feed: float | None = None

    @property
    def length(self) -> float:
        """Length of the cuts' closed paths, mm."""
        return math.fsum(cut.path.perimeter for cut in self.cuts)

    @property
    def burn_length(self) -> float:
        """Length with leads and overburn, mm."""
        return math.fsum(cut.length for cut in self.cuts)

    @property
    def pierces(self) -> int:
        """How often the torch pierces."""
        return len(self.cuts)

    @property
    def minutes(self) -> float | None:
        """Cutting time at the stated feed, without moves and pierces; None without a feed."""
        return self.burn_length / self.feed if self.feed else None


def torch_plan(blank: Blank, thickness: float, cutting: Cutting) -> TorchPlan:
    """The cuts of a blank: holes first, nearest next, the outline last.

    Offsets are exact: kerf/2 outside the outline, kerf/2 inside holes. A hole smaller than the
    least hole factor times the thickness, or one that the kerf fills, is punched.
    """
    from platewright.geometry.offset import offset

    least = max(cutting.hole_factor * thickness, cutting.kerf * (1 + 1e-9))
    holes = [h for h in blank.cut_holes if h.diameter >= least]
    punched = tuple(h for h in blank.holes if not h.cut or h.diameter < least)
    inner = [*_hole_paths(holes, cutting), *_cutout_paths(blank, cutting)]
    outer = [("outline", path) for path in offset(blank.outline, cutting.kerf / 2)]
    start = Point(blank.bounds.xmin, blank.bounds.ymin)
    cuts: list[Cut] = []
    for what, path in _nearest_next(inner, start):
        cuts.append(_inside_cut(what, path, cutting))
        start = cuts[-1].pierce
    cuts.extend(_outside_cut(what, path, start, blank, cutting) for what, path in outer)
    return TorchPlan(cuts=tuple(cuts), punched=punched, kerf=cutting.kerf, feed=cutting.feed)


def _hole_paths(holes: Iterable[Hole], cutting: Cutting) -> Iterator[tuple[str, Outline]]:
    for hole in holes:
        yield hole.what, Circle(hole.centre, hole.diameter - cutting.kerf)


def _cutout_paths(blank: Blank, cutting: Cutting) -> Iterator[tuple[str, Outline]]:
    from platewright.geometry.offset import offset

    for cutout in blank.cutouts:
        for path in offset(cutout.contour, -cutting.kerf / 2):
            yield cutout.what, path


def _nearest_next(paths: list[tuple[str, Outline]], start: Point) -> Iterator[tuple[str, Outline]]:
    """The paths by the nearest middle each time, from a starting point."""
    left = list(paths)
    while left:
        best = min(left, key=lambda item: start.distance(item[1].bounds.centre))
        left.remove(best)
        start = best[1].bounds.centre
        yield best


def _inside_cut(what: str, path: Outline, cutting: Cutting) -> Cut:
    contour = path.contour() if isinstance(path, Circle) else path.anticlockwise()
    shape = _lead_shape(cutting)
    lead, run = hole_lead(path, contour, shape) if shape else (None, contour.segments)
    return Cut(
        what=what,
        inside=True,
        path=path,
        run=run,
        lead=lead,
        tail=overburn(run, cutting.overburn),
    )


def _outside_cut(what: str, path: Outline, start: Point, blank: Blank, cutting: Cutting) -> Cut:
    contour = path.contour() if isinstance(path, Circle) else path
    clockwise = contour.anticlockwise().reversed()
    shape = _lead_shape(cutting)
    if shape:
        lead, run = contour_lead(clockwise, shape, start, blank.outline, cutting.kerf / 2)
    else:
        lead, run = None, clockwise.segments
    return Cut(
        what=what,
        inside=False,
        path=path,
        run=run,
        lead=lead,
        tail=overburn(run, cutting.overburn),
    )


def _lead_shape(cutting: Cutting) -> LeadShape | None:
    if cutting.lead == "none":
        return None
    return LeadShape(arc=cutting.lead == "arc", length=cutting.lead_length)


def rapid_length(plan: TorchPlan, start: Point) -> float:
    """Length of the moves without burning, pierce to pierce, from a starting point, mm."""
    stops = [start, *(cut.pierce for cut in plan.cuts)]
    return math.fsum(a.distance(b) for a, b in pairwise(stops))
