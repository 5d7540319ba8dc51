"""The flat piece to cut: one spliced contour, holes, bend lines and marks."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import field, replace

from platewright.errors import GeometryError
from platewright.geometry.build import ended, merged, without_tiny
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Bounds, Motion, Point, close
from platewright.geometry.segment import Line
from platewright.plate.bend import BendWay, Direction, Face, score_face
from platewright.plate.bracket import Bracket, Cutout, Hole, Mark, Panel
from platewright.plate.detail import PLAIN, Course, Detail, StripSide, detailed
from platewright.plate.place import PlacedPanel, place
from platewright.values import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class BlankBend:
    """A bend on the flat blank.

    `line` is the middle of the bend strip, where the score runs or the brake strikes; `near` and
    `far` are its tangent lines, on the parent and on the child, travelled the same way.
    """

    number: int
    parent: str
    child: str
    line: Line
    near: Line
    far: Line
    angle: float
    direction: Direction
    way: BendWay
    allowance: float
    inside_radius: float

    @property
    def score_face(self) -> Face | None:
        """The face to grind, None for a bend without a score."""
        return score_face(self.way, self.direction)

    def moved(self, motion: Motion) -> BlankBend:
        """The bend after a motion of the blank."""
        return replace(
            self,
            line=self.line.moved(motion),
            near=self.near.moved(motion),
            far=self.far.moved(motion),
        )


@dataclass(frozen=True, slots=True)
class BlankPanel:
    """A panel's place on the blank: its name and the motion that takes it there."""

    panel: Panel
    blank_from_panel: Motion


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """The flat piece, seen on its top face; `nicks` is whether nicks are wanted at its bends."""

    outline: Contour
    holes: tuple[Hole, ...]
    cutouts: tuple[Cutout, ...]
    bends: tuple[BlankBend, ...]
    marks: tuple[Mark, ...]
    panels: tuple[BlankPanel, ...]
    nicks: bool = field(default=False, compare=False)

    @property
    def area(self) -> float:
        """Area of metal left after all holes and cut-outs, mm².

        They lie apart on the plate: what cannot be cut otherwise is refused by a finding.
        """
        holes = math.fsum(hole.circle.area for hole in self.holes if hole.cut)
        return self.outline.area - holes - math.fsum(cut.contour.area for cut in self.cutouts)

    @property
    def bounds(self) -> Bounds:
        """The outline's box."""
        return self.outline.bounds

    @property
    def cut_holes(self) -> tuple[Hole, ...]:
        """The holes that are cut."""
        return tuple(hole for hole in self.holes if hole.cut)

    @property
    def pilots(self) -> tuple[Hole, ...]:
        """The places that are only marked."""
        return tuple(hole for hole in self.holes if not hole.cut)

    def panel_motion(self, name: str) -> Motion:
        """The motion from a panel's frame to the blank. Raises GeometryError if there is none."""
        for placed in self.panels:
            if placed.panel.name == name:
                return placed.blank_from_panel
        raise GeometryError(f"the blank has no panel {name!r}")

    def tape_end(self, panel: str, at: Point) -> tuple[Point, BlankBend | None]:
        """Where a tape finds a point of a panel on the flat, and the bend whose line ends there.

        A corner between a panel and its bend cannot be seen on the flat: the bend line's end can.
        """
        place = self.panel_motion(panel).point(at)
        for bend in self.bends:
            for line in (bend.near, bend.far):
                for corner, end in ((line.start, bend.line.start), (line.end, bend.line.end)):
                    if close(place, corner, _ROUNDING):
                        return end, bend
        return place, None

    def moved(self, motion: Motion) -> Blank:
        """The blank after a motion without mirroring (mirror the bracket instead)."""
        if motion.mirrors:
            raise GeometryError("a blank is not mirrored: mirror its bracket")
        return Blank(
            outline=self.outline.moved(motion),
            holes=tuple(hole.moved(motion) for hole in self.holes),
            cutouts=tuple(cutout.moved(motion) for cutout in self.cutouts),
            bends=tuple(bend.moved(motion) for bend in self.bends),
            marks=tuple(mark.moved(motion) for mark in self.marks),
            panels=tuple(BlankPanel(p.panel, motion @ p.blank_from_panel) for p in self.panels),
            nicks=self.nicks,
        )


def blank_of(bracket: Bracket, detail: Detail = PLAIN) -> Blank:
    """The blank of a bracket: `place(bracket, 0)` seen from above.

    The outline is the root's contour with each bent edge replaced by: side of the bend strip, the
    child's other edges, side of the strip; nicks and reliefs are cut into the strips' sides.
    Raises GeometryError when bends on one edge overlap.
    """
    if detail == PLAIN and bracket.plain_blank is not None:
        return bracket.plain_blank
    placed = place(bracket, 0)
    motions = [p.world_from_panel.plane_motion() for p in placed]
    pairs = list(zip(placed, motions, strict=True))
    thickness = bracket.stock.thickness
    courses = list(_Splicing(placed, motions, thickness).courses(0))
    # the outline of segments that meet up to rounding: motions of panels differ in last digits
    segments = list(detailed(courses, detail, thickness))
    for before, after in zip(segments, segments[1:] + segments[:1], strict=True):
        if before.end.distance(after.start) > _ROUNDING:
            raise GeometryError(f"the blank gaps between {before.end} and {after.start}")
    chain = without_tiny(segments)
    outline = Contour((*chain[:-1], ended(chain[-1], chain[0].start)))
    blank = Blank(
        outline=merged(outline),
        holes=tuple(hole.moved(m) for p, m in pairs for hole in p.panel.holes),
        cutouts=tuple(cutout.moved(m) for p, m in pairs for cutout in p.panel.cutouts),
        bends=tuple(_blank_bends(placed, motions, thickness)),
        marks=tuple(mark.moved(m) for p, m in pairs for mark in p.panel.marks),
        panels=tuple(BlankPanel(p.panel, m) for p, m in pairs),
        nicks=detail.nicks,
    )
    if detail == PLAIN:
        # kept by the very bracket: an equal one may have grooves of another width
        object.__setattr__(bracket, "plain_blank", blank)
    return blank


#: Where panels meet without a strip between, their corners agree to this, mm.
_ROUNDING = 1e-6


def _blank_bends(
    placed: tuple[PlacedPanel, ...], motions: list[Motion], thickness: float
) -> Iterator[BlankBend]:
    for index, child in enumerate(placed):
        bend, parent = child.bend, child.parent
        if bend is None or parent is None or child.number is None:
            continue
        near = placed[parent].panel.bend_base(bend).moved(motions[parent])
        far = bend.panel.straight_edge(bend.base).moved(motions[index]).reversed()
        yield BlankBend(
            number=child.number,
            parent=placed[parent].panel.name,
            child=bend.panel.name,
            line=Line(near.start.midpoint(far.start), near.end.midpoint(far.end)),
            near=near,
            far=far,
            angle=bend.angle,
            direction=bend.direction,
            way=bend.way,
            allowance=bend.way.allowance(bend.angle, thickness),
            inside_radius=bend.way.inside_radius(bend.angle, thickness),
        )


@dataclass(frozen=True, slots=True)
class _Splicing:
    """Panels where they lie flat, spliced into one outline."""

    placed: tuple[PlacedPanel, ...]
    motions: list[Motion]
    thickness: float

    def courses(self, index: int, skip: int | None = None) -> Iterator[Course]:
        """A panel's segments on the blank, children spliced in, from after segment `skip` round."""
        panel, motion = self.placed[index].panel, self.motions[index]
        count = len(panel.contour.segments)
        first = 0 if skip is None else skip + 1
        for i in (j % count for j in range(first, first + count)):
            if i == skip:
                continue
            edge = panel.contour.segments[i].moved(motion)
            children = self._children_on(index, i)
            if not children:
                yield edge
                continue
            at = edge.start
            for j in children:
                bend = self.placed[j].bend
                assert bend is not None
                base = panel.bend_base(bend).moved(motion)
                own = bend.panel.straight_edge(bend.base).moved(self.motions[j])
                yield from _line(at, base.start)
                yield from self._strip_side(base.start, own.end, self.placed[j])
                yield from self.courses(j, bend.panel.edge_index(bend.base))
                yield from self._strip_side(own.start, base.end, self.placed[j])
                at = base.end
            yield from _line(at, edge.end)

    def _children_on(self, index: int, segment: int) -> list[int]:
        """The panels bent from one segment of a panel, in the direction of travel."""
        panel = self.placed[index].panel
        found: list[tuple[float, float, int]] = []
        for j, child in enumerate(self.placed):
            bend = child.bend
            if bend and child.parent == index and panel.edge_index(bend.edge) == segment:
                found.append((*panel.bend_interval(bend), j))
        found.sort()
        length = panel.contour.segments[segment].length
        reached = 0.0
        for start, end, _ in found:
            if start < reached - 1e-9 or end > length + 1e-9 or end <= start:
                raise GeometryError(
                    f"panel {panel.name!r}: bends on one edge must lie apart and on it "
                    f"(from {start:.3f} to {end:.3f} mm on {length:.3f} mm)"
                )
            reached = end
        return [j for _, _, j in found]

    def _strip_side(self, start: Point, end: Point, child: PlacedPanel) -> Iterator[StripSide]:
        """One side of the strip that a child is bent by, or nothing when the strip has no width.

        Its ends may then still differ by rounding: that is no side to cut details into.
        """
        bend = child.bend
        assert bend is not None
        assert child.number is not None
        if start.distance(end) > _ROUNDING:
            yield StripSide(
                line=Line(start, end),
                bend=child.number,
                bend_length=bend.panel.straight_edge(bend.base).length,
                inside_radius=bend.way.inside_radius(bend.angle, self.thickness),
            )


def _line(start: Point, end: Point) -> Iterator[Line]:
    """The line between two points, or nothing when they coincide."""
    if start != end:
        yield Line(start, end)
