"""The one list of what is measured on a piece: the file's dimensions, then what else tells of it.

The form, the check sheet's rows and their letters, and the report all read from it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import field, replace
from functools import cache, lru_cache, partial
from typing import Generic, TypeVar

from platewright.geometry.plane import Point, Vector, close
from platewright.geometry.segment import Line
from platewright.geometry.space import Point3, Vector3
from platewright.measuring.flat import flat_dimensions
from platewright.measuring.fold import folded_dimensions
from platewright.measuring.reach import SAME, is_clear, on_blank, on_part
from platewright.plate.bend import inside_face, other_face
from platewright.plate.blank import Blank
from platewright.plate.dimension import Dimension, OnBlank, Place, Quantity, Spot, Straight
from platewright.plate.folded import Folded, folded
from platewright.plate.piece import Piece
from platewright.plate.prism import Prism, parts_of
from platewright.values import dataclass

P = TypeVar("P", Point, Point3)

#: A shorter distance cannot be measured, mm.
_LEAST = 0.05
#: Distances and places that agree to this are one for a tape, mm.
_SAME = 0.05
#: Ways whose sine is less open no angle that can be measured.
_OPEN = 1e-6
#: Ways whose cosine is this near to 1 are one.
_LEVEL = 1e-12


@dataclass(frozen=True, slots=True)
class Tape(Generic[P]):
    """A tape laid out: what it shows, mm or radians, and its two ends."""

    value: float
    start: P
    end: P


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A dimension of one piece.

    `on_blank` is the tape on the flat blank as the drawing has it, `on_part` in the root panel's
    frame on the finished bracket: None where no tape finds both ends there, or metal is in the
    way. `blank_ends` are the two places as found on the blank. `told_on_blank` and `told_on_part`
    is the dimension that tells the same distance there: itself, or one before it.
    """

    dimension: Dimension
    on_blank: Tape[Point] | None = None
    on_part: Tape[Point3] | None = None
    blank_ends: tuple[OnBlank, ...] = ()
    told_on_blank: Dimension | None = None
    told_on_part: Dimension | None = None

    @property
    def critical(self) -> bool:
        """Whether it decides that the part fits."""
        return self.dimension.critical


@lru_cache(maxsize=16)
def dimensions_of(piece: Piece) -> tuple[Measured, ...]:
    """Every dimension of a piece, the bracket's own first, the fit-critical before the others.

    A distance of nothing is left out.
    """
    model = folded(piece.bracket)
    # card may count as without thickness, and then is never in the way
    solids = parts_of(model) if model.thickness else ()
    metal = [prism for part in solids for prism in part.prisms]
    listed = {each.dimension: each for each in dimensions_on_blank(piece)}
    for more in folded_dimensions(model, metal):
        listed.setdefault(more, Measured(dimension=more))
    normals = {p.panel.name: p.world_from_panel.z_axis for p in model.panels}
    by = _Sameness(_holes(piece), normals=normals)
    stands = cache(partial(on_part, model=model))
    found: list[Measured] = []
    told: list[tuple[Dimension, Tape[Point3]]] = []
    for each in sorted(listed.values(), key=lambda each: not each.critical):
        one = each.dimension
        # measured at the end of a bend's line, it is another distance than on the part
        elsewhere = any(
            isinstance(place, Spot)
            and not close(end.at, piece.blank.panel_motion(place.panel).point(place.at), SAME)
            for place, end in zip((one.start, one.end), each.blank_ends, strict=False)
        )
        stays = not elsewhere and one.when != "flat" and stands(one.start) and stands(one.end)
        tape = _part_tape(one, model, metal) if stays else None
        if one.key or each.on_blank or tape:
            teller = _teller(one, tape, told, by)
            found.append(replace(each, on_part=tape, told_on_part=teller))
    return tuple(found)


@lru_cache(maxsize=16)
def dimensions_on_blank(piece: Piece) -> tuple[Measured, ...]:
    """The same as far as the flat blank tells them; of the part nothing is told."""
    edges = tuple(each for each in piece.blank.outline.segments if isinstance(each, Line))
    by = _Sameness(_holes(piece), edges=edges)
    found: list[Measured] = []
    told: list[tuple[Dimension, Tape[Point]]] = []
    found_at = cache(partial(_on_blank, piece.blank))  # many run from one hole or edge
    listed = dict.fromkeys((*piece.bracket.dimensions, *flat_dimensions(piece)))
    for each in sorted(listed, key=lambda each: not each.critical):
        start, end = (found_at(place, each.quantity) for place in (each.start, each.end))
        # a way stays what it is, wherever along it the angle is measured
        early = each.quantity == "angle" or each.when != "folded"
        tape = _flat_tape(each, start, end) if start and end and early else None
        places = (start,) if each.end_to_end else (start, end)
        ends = tuple(place for place in places if place and tape)
        teller = _teller(each, tape, told, by)
        found.append(Measured(dimension=each, on_blank=tape, blank_ends=ends, told_on_blank=teller))
    return tuple(found)


def _on_blank(blank: Blank, place: Place, quantity: Quantity) -> OnBlank | None:
    """A place on the blank; a way that an angle opens from may be found at a bend's line."""
    found = on_blank(place, blank)
    if found is None and quantity == "angle" and isinstance(place, Straight):
        line = place.line.moved(blank.panel_motion(place.panel))
        for bend in blank.bends:
            along = line.direction.dot(bend.line.direction)
            if place.panel in (bend.parent, bend.child) and abs(abs(along) - 1) < _LEVEL:
                # travelled as the straight is, so that the angle opens the same way
                own = bend.line if along > 0 else bend.line.reversed()
                return OnBlank(own.point_at(0.5), f"bend {bend.number} line", own, place.panel)
    return found


def _flat_tape(each: Dimension, start: OnBlank, end: OnBlank) -> Tape[Point] | None:
    if each.quantity == "angle":
        if start.line is None or end.line is None:
            return None
        one, other = start.line.direction, end.line.direction
        turn = abs(math.atan2(one.cross(other), one.dot(other)))
        return Tape(turn, start.at, end.at) if math.sin(turn) > _OPEN else None
    line = end.line
    if each.end_to_end and line is not None:
        tape = Tape(line.length, line.start, line.end)
    elif line is not None:
        foot = line.start + line.direction * line.direction.dot(start.at - line.start)
        tape = Tape(start.at.distance(foot), start.at, foot)
    else:
        tape = Tape(start.at.distance(end.at), start.at, end.at)
    return tape if tape.value > _LEAST else None


def _part_tape(each: Dimension, model: Folded, metal: list[Prism]) -> Tape[Point3] | None:
    start, end, (here, there) = each.start, each.end, model.ends(each)
    value = here.distance(there) if each.quantity == "length" else model.value(each)
    tape = Tape(value, here, there)
    if each.quantity == "angle":
        return tape if math.sin(tape.value) > _OPEN else None
    if tape.value <= _LEAST:
        return None
    if isinstance(start, Spot) and isinstance(end, Spot) and start.panel != end.panel:
        # a straight tape must pass no metal; over all, outside to outside, it is laid beside
        bends = [(place.face, model.bend_of(place.panel)) for place in (start, end)]
        if not all(
            bend is not None and face == other_face(inside_face(bend.bend.direction))
            for face, bend in bends
        ):
            return tape if is_clear(metal, tape.start, tape.end) else None
    return tape


# --- the same distance once -------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Sameness:
    """What tells that two tapes lie between the same things.

    Hole centres; on the blank its straight edges; on the part which way its panels face.
    """

    holes: frozenset[tuple[str, Point]]
    edges: tuple[Line, ...] = ()
    normals: Mapping[str, Vector3] = field(default_factory=dict)


def _holes(piece: Piece) -> frozenset[tuple[str, Point]]:
    return frozenset((p.name, h.centre) for p in piece.bracket.root.walk() for h in p.holes)


def _teller(
    one: Dimension, tape: Tape[P] | None, told: list[tuple[Dimension, Tape[P]]], by: _Sameness
) -> Dimension | None:
    if tape is None:
        return None
    value, quantity = tape.value, one.quantity
    for other, there in told:
        alike = abs(value - there.value) <= _SAME and quantity == other.quantity
        if alike and _is_same(one, tape, other, there, by):
            return other
    told.append((one, tape))
    return one


def _is_same(one: Dimension, a: Tape[P], other: Dimension, b: Tape[P], by: _Sameness) -> bool:
    """Whether two dimensions of one value are one: between the same places, edges or faces."""
    for start, end in ((b.start, b.end), (b.end, b.start)):
        if a.start.distance(start) < _SAME and a.end.distance(end) < _SAME:
            return True
        if one.quantity != "length":
            continue
        way, along = a.end - a.start, end - start
        # over all, a tape that is laid a little askew shows no more
        alike = one.over_all or other.over_all or (way - along).length < _SAME
        beside = (start - a.start, end - a.end)
        if alike and all(abs(p.dot(way)) < _SAME * a.value for p in beside):
            return _between_planes(one, other, way, by) or _on_edges(
                (a.start, start), (a.end, end), by
            )
    return False


def _between_planes(one: Dimension, other: Dimension, way: Vector | Vector3, by: _Sameness) -> bool:
    """Whether both run between edges, faces or blades of one panel, or of the whole."""
    for place in (one.start, one.end, other.start, other.end):
        if isinstance(place, Spot) and (place.panel, place.at) in by.holes:
            # a hole's middle is as good as any other place only of a face square to the way
            normal = by.normals.get(place.panel)
            if normal is None or not isinstance(way, Vector3):
                return False
            if normal.cross(way).length > _SAME:
                return False
    here, there = ({each.start.panel, each.end.panel} - {""} for each in (one, other))
    return one.over_all or other.over_all or here <= there or there <= here


def _on_edges(starts: tuple[P, P], ends: tuple[P, P], by: _Sameness) -> bool:
    """Whether both tapes run from one straight edge of the outline to another."""
    return all(
        any(
            all(isinstance(p, Point) and edge.distance(p) < _SAME for p in pair)
            for edge in by.edges
        )
        for pair in (starts, ends)
    )
