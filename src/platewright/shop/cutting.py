"""The torch path: where the middle of the cut runs so that the part comes out at its net size."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from platewright import measure
from platewright.geometry.contour import Circle, Contour, Outline
from platewright.geometry.offset import Region, offset_regions
from platewright.geometry.plane import Bounds, Motion, Point
from platewright.geometry.segment import Segment
from platewright.plate.blank import Blank
from platewright.plate.bracket import Hole
from platewright.shop.guide import GuideSetup
from platewright.shop.leads import Lead, LeadShape, contour_lead, hole_lead, overburn
from platewright.shop.reach import Missed, metal_left

PROCESSES = ("plasma", "oxy-fuel", "laser", "water jet")
"""What cuts plate on its own kerf."""

_AS_NEAR = 1e-6
"""Distances that differ by less are the same distance, mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutting:
    """How the table cuts."""

    kerf: float = measure.length(
        "Width of metal that the torch turns to slag; cut a test and measure it.",
        "0 to 1/2 in",
        default="0.06 in",
        default_mm="1.5 mm",
    )
    lead: str = measure.choice(
        "How the torch comes onto the cut after piercing.",
        ("none", "straight", "arc"),
        label="lead-in",
        default="none",
    )
    lead_length: float = measure.length(
        "How far from the cut the torch pierces; inside a hole at most to its middle.",
        "0.5 mm to 2 in",
        label="lead-in length",
        default="1/4 in",
        default_mm="6 mm",
    )
    overburn: float = measure.length(
        "How far the torch runs on past the place where it began.", "0 to 1 in", default="0"
    )
    hole_factor: float = measure.factor(
        "Holes under this many plate thicknesses are punched for drilling, not cut "
        "(common practice 1.5 to 2).",
        "0 to 10",
        label="least hole factor",
        default=1.5,
    )
    feed: float | None = measure.speed(
        "Cutting speed of the table, to tell the time; no time is told without it.", optional=True
    )
    guide: GuideSetup | None = measure.table(
        "For a hand torch that runs round a hardboard copy; left out, no guide is drawn.",
        GuideSetup,
        label="tracing guide",
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
    def finish(self) -> Point:
        """Where the torch goes out."""
        return self.tail[-1].end if self.tail else self.run[-1].end

    @property
    def length(self) -> float:
        """Length that the torch burns, lead and overburn included, mm."""
        lead = self.lead.segments if self.lead else ()
        return math.fsum(s.length for s in (*lead, *self.run, *self.tail))

    def moved(self, motion: Motion) -> Cut:
        """The cut after a motion without mirroring, which would put the torch's far side on it."""
        return replace(
            self,
            path=self.path.moved(motion),
            run=tuple(segment.moved(motion) for segment in self.run),
            lead=self.lead and self.lead.moved(motion),
            tail=tuple(segment.moved(motion) for segment in self.tail),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class TorchPlan:
    """Every cut in order, the holes that are punched instead, and where the kerf cannot go.

    `missed` are inside corners that the kerf leaves round and slots that it fills.
    """

    cuts: tuple[Cut, ...]
    punched: tuple[Hole, ...]
    kerf: float
    missed: tuple[Missed, ...] = ()
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

    def moved(self, motion: Motion) -> TorchPlan:
        """The plan after a motion of its blank, without mirroring."""
        return replace(
            self,
            cuts=tuple(cut.moved(motion) for cut in self.cuts),
            punched=tuple(hole.moved(motion) for hole in self.punched),
            missed=tuple(missed.moved(motion) for missed in self.missed),
        )


def torch_plan(
    blank: Blank, thickness: float, cutting: Cutting, beside: Sequence[Bounds] = ()
) -> TorchPlan:
    """The cuts of a blank: holes first, nearest next, the outline last.

    Offsets are exact: kerf/2 outside the outline, kerf/2 inside holes. A hole smaller than the
    least hole factor times the thickness, or one that the kerf fills, is punched. Leads keep out of
    the boxes of other parts `beside`.
    """
    least = max(cutting.hole_factor * thickness, cutting.kerf * (1 + 1e-9))
    holes = [h for h in blank.cut_holes if h.diameter >= least]
    net = Region(blank.outline, tuple(cutout.contour for cutout in blank.cutouts))
    grown = offset_regions((net,), cutting.kerf / 2)
    round_paths = [(h.what, Circle(h.centre, h.diameter - cutting.kerf)) for h in holes]
    hollows = [(_what(path, blank, cutting.kerf), path) for r in grown for path in r.holes]
    left = [_inside_cut(what, path, cutting) for what, path in (*round_paths, *hollows)]
    first: list[Cut] = []
    start = Point(blank.bounds.xmin, blank.bounds.ymin)
    while left:
        first.append(_nearest(left, start))
        left.remove(first[-1])
        start = first[-1].finish
    outer = [_outside_cut(region.outer, start, cutting, beside) for region in grown]
    half = cutting.kerf / 2
    missed = metal_left((net,), offset_regions(grown, -half), half) if half else ()
    return TorchPlan(
        cuts=(*first, *outer),
        punched=tuple(h for h in blank.holes if not h.cut or h.diameter < least),
        kerf=cutting.kerf,
        missed=missed,
        feed=cutting.feed,
    )


def _what(path: Outline, blank: Blank, kerf: float) -> str:
    """What the path inside a blank is the edge of."""
    here = _contour(path).segments[0].start
    edges = (c.what for c in blank.cutouts if c.contour.distance(here) < kerf / 2 + 1e-6)
    return next(edges, "pocket of the outline")


def _nearest(cuts: list[Cut], start: Point) -> Cut:
    """The cut that pierces nearest; of those as near but for rounding, the leftmost, lowest one.

    Holes in rows and circles are often equally far: the last digit must not choose the order.
    """
    reach = min(start.distance(cut.pierce) for cut in cuts) + _AS_NEAR
    near = (cut for cut in cuts if start.distance(cut.pierce) <= reach)
    return min(near, key=lambda cut: (round(cut.pierce.x, 6), round(cut.pierce.y, 6)))


def _contour(path: Outline) -> Contour:
    return path.contour() if isinstance(path, Circle) else path.anticlockwise()


def _inside_cut(what: str, path: Outline, cutting: Cutting) -> Cut:
    shape = _lead_shape(cutting)
    lead, run = hole_lead(path, shape) if shape else (None, _contour(path).segments)
    tail = overburn(run, cutting.overburn)
    return Cut(what=what, inside=True, path=path, run=run, lead=lead, tail=tail)


def _outside_cut(path: Outline, near: Point, cutting: Cutting, beside: Sequence[Bounds]) -> Cut:
    clockwise = _contour(path).reversed()
    shape = _lead_shape(cutting)
    lead, run = None, clockwise.segments
    if shape:
        kept = [box.grown(cutting.kerf) for box in beside]
        lead, run = contour_lead(clockwise, shape, near, beside=kept)
    tail = overburn(run, cutting.overburn)
    return Cut(what="outline", inside=False, path=path, run=run, lead=lead, tail=tail)


def _lead_shape(cutting: Cutting) -> LeadShape | None:
    if cutting.lead == "none":
        return None
    return LeadShape(arc=cutting.lead == "arc", length=cutting.lead_length)
