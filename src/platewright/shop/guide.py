"""The tracing guide: a hardboard copy, cut small, that a hand torch runs around.

The nozzle's side touches the guide, so the middle of the torch keeps the stand-off from it and cuts
half a kerf to either side: the guide is the part inset by the stand-off less half the kerf. Run
round it, the torch gives back the part but for the places that are told.
"""

from __future__ import annotations

from dataclasses import replace

from platewright import measure
from platewright.errors import BuildError
from platewright.geometry.contour import Contour
from platewright.geometry.offset import Region, offset_regions
from platewright.geometry.plane import Motion
from platewright.geometry.segment import Line, Segment
from platewright.plate.blank import Blank
from platewright.plate.bracket import Hole
from platewright.shop.reach import LEAST_DEPTH, Missed, metal_left, metal_lost
from platewright.units import both_units
from platewright.values import dataclass

_SAME = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class GuideSetup:
    """How a hand torch follows a guide."""

    nozzle: float | None = measure.length(
        "Outside diameter of the nozzle where it touches the guide. Give this or the stand-off.",
        "1 mm to 3 in", label="nozzle diameter", optional=True, example="5/8 in",
    )  # fmt: skip
    stand_off: float | None = measure.length(
        "From the guide's edge to the middle of the cut, measured on a trial cut.",
        "0.5 mm to 2 in", label="stand-off", optional=True, example="5/16 in",
    )  # fmt: skip
    kerf: float | None = measure.length(
        "Left out, the kerf of the cutting section.",
        "0 to 1/2 in", label="hand torch's kerf", optional=True,
    )  # fmt: skip
    wall_edge: str = measure.choice(
        "inset like the rest, or net: flush with the wall edge, to be set on a straight edge of "
        "the plate that is not cut.",
        ("inset", "net"), label="guide at the wall edge", default="inset",
    )  # fmt: skip

    def problems(self) -> measure.Problems:
        """Nozzle and stand-off: one of them, not both."""
        if self.nozzle is None and self.stand_off is None:
            yield "nozzle", "give the nozzle's diameter, or a measured stand_off"
        if self.nozzle is not None and self.stand_off is not None:
            yield "stand_off", "nozzle and stand_off are both given; keep one"

    @property
    def reach(self) -> float:
        """From the guide's edge to the middle of the cut, mm."""
        return (self.nozzle or 0.0) / 2 if self.stand_off is None else self.stand_off

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys that say how far it stands off."""
        return (f"cutting.guide.{'nozzle' if self.stand_off is None else 'stand_off'}",)


@dataclass(frozen=True, slots=True, kw_only=True)
class Guide:
    """A guide to cut out: its pieces, what the torch makes round it, where that is not the part.

    `inset` is the stand-off less half the kerf. `kept` is the edge that is left uninset, None when
    there is none. `made` bounds the metal that stays; its part beyond a kept edge is not there to
    be cut. `punched` are the holes, all transferred as punch marks. `kerf_from` says where the kerf
    comes from, "" where that is not known.
    """

    pieces: tuple[Region, ...]
    stand_off: float
    kerf: float
    made: tuple[Region, ...]
    missed: tuple[Missed, ...]
    punched: tuple[Hole, ...]
    kept: Line | None = None
    kerf_from: str = ""

    @property
    def inset(self) -> float:
        """How far the guide's edge lies inside the part's, mm."""
        return self.stand_off - self.kerf / 2


def tracing_guide(blank: Blank, setup: GuideSetup, kerf: float, wall: Line | None) -> Guide:
    """The guide of a blank for a torch of that kerf, mm, unless the setup has its own.

    `wall` is the wall edge on the blank, used when the setup leaves it uninset. Raises BuildError
    when there can be no such guide.
    """
    width = kerf if setup.kerf is None else setup.kerf
    inset = setup.reach - width / 2
    if inset <= 0:
        raise BuildError(
            f"stands off {both_units(setup.reach)}, which must be more than half the kerf of "
            f"{both_units(width)}: the guide would be larger than the part",
            *setup.keys,
        )
    net = Region(blank.outline, tuple(cutout.contour for cutout in blank.cutouts))
    kept = _kept_edge(blank.outline, wall) if setup.wall_edge == "net" else None
    grown = net if kept is None else replace(net, outer=_run_over(blank.outline, kept, inset))
    pieces = offset_regions((grown,), -inset)
    if not pieces:
        raise BuildError(
            f"nothing is left of the guide, which lies {both_units(inset)} inside the part: the "
            "part is nowhere wider than twice that; use a nozzle that stands off less, or leave "
            "[cutting.guide] out",
            *setup.keys,
        )
    rounded = offset_regions(pieces, inset)
    made = offset_regions(offset_regions(pieces, setup.reach), -width / 2)
    lost = metal_lost((grown,), rounded, inset)
    left = metal_left(rounded, made, width / 2)
    return Guide(
        pieces=pieces,
        stand_off=setup.reach,
        kerf=width,
        made=made,
        missed=tuple(miss for miss in (*lost, *left) if _on_the_part(miss, kept)),
        punched=blank.holes,
        kept=kept,
    )


def _kept_edge(outline: Contour, wall: Line | None) -> Line:
    """The whole straight edge of the outline that the wall edge lies on.

    Raises BuildError when the part has no wall edge, or reaches beyond it.
    """
    if wall is None:
        raise BuildError(f"this bracket has no straight wall edge {_UNINSET}", _WALL_KEY)
    beyond = outline.moved(Motion.frame(wall.start, wall.direction).inverse()).bounds.ymin
    if beyond < -_SAME:
        raise BuildError(
            "the part reaches beyond its wall edge, so that edge cannot lie on the plate's: "
            'write wall_edge = "inset"',
            _WALL_KEY,
        )
    middle = wall.point_at(0.5)
    for segment in outline.segments:
        level = abs(segment.start_direction.cross(wall.direction)) < _SAME
        if isinstance(segment, Line) and level and segment.distance(middle) < _SAME:
            return segment
    raise BuildError(f"this bracket's wall edge is not straight {_UNINSET}", _WALL_KEY)


_WALL_KEY = "cutting.guide.wall_edge"
_UNINSET = 'to leave uninset: write wall_edge = "inset"'


def _run_over(outline: Contour, edge: Line, by: float) -> Contour:
    """The outline with an edge moved outward by `by` mm, so that an inset brings it back."""
    out = edge.direction.right * by
    start, end = edge.start + out, edge.end + out
    chain: list[Segment] = []
    for segment in outline.segments:
        if segment is edge:
            chain += [Line(edge.start, start), Line(start, end), Line(end, edge.end)]
        else:
            chain.append(segment)
    return Contour(tuple(chain))


def _on_the_part(missed: Missed, kept: Line | None) -> bool:
    """Whether a place lies on this side of a kept edge, where there is plate."""
    if kept is None:
        return True
    inside = missed.outline.moved(Motion.frame(kept.start, kept.direction).inverse())
    return inside.bounds.ymax > LEAST_DEPTH
