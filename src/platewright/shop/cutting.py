"""The torch path: where the middle of the cut runs so that the part comes out at its net size."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from platewright import measure
from platewright.geometry.build import rectangle
from platewright.geometry.contour import Circle, Contour, Outline
from platewright.geometry.offset import Region, offset_regions
from platewright.geometry.plane import Bounds, Motion, Point
from platewright.geometry.segment import Segment
from platewright.plate.blank import Blank
from platewright.plate.bracket import Hole
from platewright.shop.guide import GuideSetup
from platewright.shop.leads import Lead, LeadShape, contour_lead, hole_lead, overburn
from platewright.shop.reach import Missed, metal_left
from platewright.values import dataclass

PROCESSES = ("plasma", "oxy-fuel", "laser", "water jet")
"""What cuts plate on its own kerf."""

_AS_NEAR = 1e-6
"""Distances that differ by less are the same distance, mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutting:
    """How the table cuts."""

    kerf: float = measure.length(
        "Width of metal that the torch turns to slag; cut a test and measure it.",
        "0 to 1/2 in", default="0.06 in", default_mm="1.5 mm", of_shop=True,
    )  # fmt: skip
    hole_kerf: float | None = measure.length(
        "The same inside of holes and cut-outs, where it differs.",
        "0 to 1/2 in", label="kerf of holes", optional=True, example="0.055 in",
        example_mm="1.4 mm", of_shop=True,
    )  # fmt: skip
    process: str | None = measure.choice(
        "What cuts; chooses among the kerfs of the shop file.",
        PROCESSES, optional=True, example="plasma",
    )  # fmt: skip
    lead: str = measure.choice(
        "How the torch comes onto the cut after piercing.",
        ("none", "straight", "arc"), label="lead-in", default="none",
    )  # fmt: skip
    lead_length: float = measure.length(
        "How far from the cut the torch pierces; inside a hole at most to its middle.",
        "0.5 mm to 2 in", label="lead-in length", default="1/4 in", default_mm="6 mm",
    )  # fmt: skip
    overburn: float = measure.length(
        "How far the torch runs on past the place where it began.", "0 to 1 in", default="0"
    )
    hole_factor: float = measure.factor(
        "Holes under this many plate thicknesses are punched for drilling, not cut "
        "(common practice 1.5 to 2).",
        "0 to 10", label="least hole factor", default=1.5,
    )  # fmt: skip
    feed: float | None = measure.speed(
        "Cutting speed of the table, to tell the time; no time is told without it.", optional=True
    )
    guide: GuideSetup | None = measure.table(
        "For a hand torch that runs round a hardboard copy; left out, no guide is drawn.",
        GuideSetup, label="tracing guide", optional=True,
    )  # fmt: skip

    @property
    def inside_kerf(self) -> float:
        """The kerf inside of holes and cut-outs, mm."""
        return self.kerf if self.hole_kerf is None else self.hole_kerf


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

    `missed` are inside corners that the kerf leaves round and slots that it fills. `kerf` is that
    of the outline, mm, `hole_kerf` that of holes and cut-outs; `kerf_from` says where they come
    from, "" where that is not known.
    """

    cuts: tuple[Cut, ...]
    punched: tuple[Hole, ...]
    kerf: float
    hole_kerf: float
    missed: tuple[Missed, ...] = ()
    feed: float | None = None
    kerf_from: str = ""

    @property
    def widest(self) -> float:
        """The wider of both kerfs, mm."""
        return max(self.kerf, self.hole_kerf)

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
    blank: Blank,
    thickness: float,
    cutting: Cutting,
    beside: Sequence[Bounds] = (),
    kerf_from: str = "",
) -> TorchPlan:
    """The cuts of a blank: holes first, nearest next, the outline last.

    Offsets are exact: kerf/2 outside the outline, half the kerf of holes inside those. A hole
    smaller than the least hole factor times the thickness, or one that the kerf fills, is punched.
    Leads keep out of the boxes of other parts `beside`; `kerf_from` goes with the plan.
    """
    kerf, hole_kerf = cutting.kerf, cutting.inside_kerf
    least = max(cutting.hole_factor * thickness, hole_kerf * (1 + 1e-9))
    holes = [h for h in blank.cut_holes if h.diameter >= least]
    left = [_inside_cut(h.what, Circle(h.centre, h.diameter - hole_kerf), cutting) for h in holes]
    cutouts = tuple(cutout.contour for cutout in blank.cutouts)
    # cut with one kerf, the outline and what is inside are one shape; else each is its own
    shapes = [(Region(blank.outline, cutouts), kerf)]
    if cutouts and hole_kerf != kerf:
        frame = rectangle(blank.bounds.grown(kerf + hole_kerf))
        shapes = [(Region(blank.outline), kerf), (Region(frame, cutouts), hole_kerf)]
    outlines: list[Outline] = []
    missed: list[Missed] = []
    boxes = [contour.bounds for contour in cutouts]
    for shape, width in shapes:
        grown = offset_regions((shape,), width / 2)
        hollows = (path for region in grown for path in region.holes)
        left += [_inside_cut(_what(path, blank, boxes, width), path, cutting) for path in hollows]
        outlines += [region.outer for region in grown if shape.outer is blank.outline]
        if width:
            missed += metal_left((shape,), offset_regions(grown, -width / 2), width / 2)
    first: list[Cut] = []
    start = Point(blank.bounds.xmin, blank.bounds.ymin)
    while left:
        first.append(_nearest(left, start))
        left.remove(first[-1])
        start = first[-1].finish
    return TorchPlan(
        cuts=(*first, *(_outside_cut(path, start, cutting, beside) for path in outlines)),
        punched=tuple(h for h in blank.holes if not h.cut or h.diameter < least),
        kerf=kerf,
        hole_kerf=hole_kerf,
        missed=tuple(missed),
        feed=cutting.feed,
        kerf_from=kerf_from,
    )


def _what(path: Outline, blank: Blank, boxes: Sequence[Bounds], kerf: float) -> str:
    """What the path inside a blank is the edge of; `boxes` are those of its cutouts."""
    here, near = _contour(path).segments[0].start, kerf / 2 + 1e-6
    edges = (
        cutout.what
        for cutout, box in zip(blank.cutouts, boxes, strict=True)
        if box.grown(near).meets(Bounds.of(here)) and cutout.contour.distance(here) < near
    )
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
