"""What the page draws of a piece, as JSON values: the flat blank, its letters, the bracket folding.

Lengths are mm. What is drawn on a face is SVG path data with y down, arcs as arcs. What folds are
panels in their own frames, whose top faces are z = 0, and bends by which the script carries them as
`place` does; a test in the browser holds it to that.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Any

from platewright.drawing.items import Shape
from platewright.drawing.svg import path_data
from platewright.findings.case import Case, Context
from platewright.findings.collision import meeting_place
from platewright.findings.room import body_rub
from platewright.geometry.plane import IDENTITY, Motion, Point
from platewright.geometry.segment import Line, Segment
from platewright.geometry.space import Placing, Point3
from platewright.kinds.kind import InPlace
from platewright.measuring.dimensions import dimensions_of
from platewright.plate.bend import Face
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.dimension import OnBlank
from platewright.plate.folded import Folded, folded
from platewright.plate.piece import Piece
from platewright.plate.place import edge_frame
from platewright.sheets.form_key import Stand, flat_stands, place_stands
from platewright.shop.notes import bend_words

_FINE = 1500  # chords leave their arcs by this share of the blank's size
_SMOOTH = 1e-6  # rad: an outline that turns less runs on


def picture(piece: Piece, in_place: InPlace | None = None) -> dict[str, Any]:
    """A piece as the page draws it; `in_place` is what its kind shows of it where it will stand."""
    box = piece.blank.bounds
    over = Motion.mirror_x(box.centre.x)
    return {
        "box": [box.xmin, -box.ymax, box.width, box.height],
        "top": _face(piece, "top", IDENTITY),
        "underside": _face(piece, "underside", over),
        "stands": {key: _stand(stand) for key, stand in flat_stands(piece).items()},
        "in_place": in_place and _in_place(in_place),
        "fold": _fold(piece),
    }


# --- the flat blank ---------------------------------------------------------------------------


def _face(piece: Piece, face: Face, motion: Motion) -> dict[str, Any]:
    """What lies on one face of the blank; `motion` lays it as that face is seen."""
    blank, wall = piece.blank, piece.straight_wall

    def path(*shapes: Shape) -> str:
        return path_data((shape.moved(motion) for shape in shapes), 0.0)

    return {
        "outline": path(blank.outline),
        "wall": wall and _ends(wall.moved(motion)),
        "holes": [
            {
                "path": path(hole.circle),
                "at": _xy(motion.point(hole.centre)),
                "diameter": hole.diameter,
                "cut": hole.cut,
                "words": f"{hole.what}{f', {hole.size}' if hole.size else ''}",
            }
            for hole in blank.holes
        ],
        "cutouts": [{"path": path(each.contour), "words": each.what} for each in blank.cutouts],
        "bends": [
            {
                "number": bend.number,
                "line": _ends(bend.line.moved(motion)),
                "near": _ends(bend.near.moved(motion)),
                "far": _ends(bend.far.moved(motion)),
                "scored": bend.score_face == face,
                "words": bend_words(bend),
            }
            for bend in blank.bends
        ],
        "marks": [
            {"path": path(mark.shape), "meaning": mark.meaning, "words": mark.label}
            for mark in blank.marks
        ],
        "panels": [
            {
                "name": placed.panel.name,
                "path": path(placed.panel.contour.moved(placed.blank_from_panel)),
                "at": _xy((motion @ placed.blank_from_panel).point(_middle(placed.panel))),
                "edges": [
                    {
                        "name": name,
                        "path": path(edge.moved(placed.blank_from_panel)),
                        "bent": name in bent_edges(piece.bracket, placed.panel),
                    }
                    for name, edge in _named_edges(placed.panel)
                ],
            }
            for placed in blank.panels
        ],
    }


def bent_edges(bracket: Bracket, panel: Panel) -> set[str]:
    """The names of a panel's edges that are bends."""
    own = {bend.edge for bend in panel.bends}
    held = (bend for each in bracket.root.walk() for bend in each.bends)
    return own | {bend.base for bend in held if bend.panel.name == panel.name}


def _named_edges(panel: Panel) -> Iterator[tuple[str, Segment]]:
    """Every edge that a file may name; of one that was scribed the line that it ran along."""
    along = dict(panel.datums)
    yield from ((name, along.get(name, panel.edge(name))) for name, _ in panel.edges)
    known = {name for name, _ in panel.edges}
    yield from ((name, line) for name, line in panel.datums if name not in known)


def _middle(panel: Panel) -> Point:
    """A place on a panel for its name: the middle of its corners, or near it on the metal."""
    corners = panel.contour.corners
    middle = Point(
        math.fsum(p.x for p in corners) / len(corners),
        math.fsum(p.y for p in corners) / len(corners),
    )
    tried = (middle.towards(p, share) for share in (0.0, 0.5, 0.9) for p in corners)
    return next((p for p in tried if panel.contour.contains(p)), middle)


def _stand(stand: Stand) -> dict[str, Any]:
    if isinstance(stand, Point):
        return {"at": _xy(stand)}
    if isinstance(stand, Line):
        return {"line": _ends(stand)}
    one, other = stand
    return {"apex": _xy(one.start), "ways": [_xy(one.end), _xy(other.end)]}


def _in_place(seen: InPlace) -> dict[str, Any]:
    box = seen.section.bounds.union(seen.carried.bounds).union(seen.face.bounds)
    return {
        "box": [box.xmin, -box.ymax, box.width, box.height],
        "section": path_data((seen.section,), 0.0),
        "carried": path_data((seen.carried,), 0.0),
        "face": _ends(seen.face),
        "centres": path_data(seen.centres, 0.0),
        "stands": {key: _stand(stand) for key, stand in place_stands(seen).items()},
    }


def _xy(p: Point) -> list[float]:
    return [round(p.x, 5), round(-p.y, 5)]


def _ends(line: Line) -> list[list[float]]:
    return [_xy(line.start), _xy(line.end)]


# --- the bracket folding ----------------------------------------------------------------------


def _fold(piece: Piece) -> dict[str, Any]:
    bracket, thickness = piece.bracket, piece.bracket.stock.thickness
    model = folded(bracket)
    box = piece.blank.bounds
    sagitta = max(0.02, math.hypot(box.width, box.height) / _FINE)
    names = [placed.panel.name for placed in model.panels]
    return {
        "thickness": thickness,
        "panels": [
            {
                "name": placed.panel.name,
                "outline": list(_outline(placed.panel.contour.segments, sagitta)),
                "openings": list(_openings(placed.panel, sagitta)),
            }
            for placed in model.panels
        ],
        "bends": [
            {
                "number": bend.number,
                "parent": bend.parent,
                "up": bend.bend.direction == "up",
                "parent_from_bend": _placing(
                    Placing.flat(
                        edge_frame(model.panels[bend.parent].panel.bend_base(bend.bend).reversed())
                    )
                ),
                "base": [
                    [p.x, p.y] for p in _base_ends(model.panels[bend.child].panel, bend.bend.base)
                ],
                "length": bend.length,
                "angle": bend.bend.angle,
                "allowance": bend.bend.way.allowance(bend.bend.angle, thickness),
                "bent": bend.bent_thickness,
                "radius": bend.inside_radius,
                "neutral": bend.bend.way.neutral_depth(thickness),
            }
            for bend in model.bends
        ],
        "body": _body(piece),
        "wall": _wall(piece),
        "touches": list(_touches(piece, names)),
        "places": _part_places(piece, model, names),
    }


def _base_ends(panel: Panel, base: str) -> tuple[Point, Point]:
    line = panel.straight_edge(base)
    return line.start, line.end


def _outline(segments: Iterable[Segment], sagitta: float) -> Iterator[list[float]]:
    """Points round a contour; the third figure tells whether it turns a corner there."""
    ring = list(segments)
    for before, segment in zip([ring[-1], *ring[:-1]], ring, strict=True):
        turn = before.end_direction.cross(segment.start_direction)
        corner = abs(turn) > _SMOOTH or before.end_direction.dot(segment.start_direction) < 0
        for index, p in enumerate(segment.flatten(sagitta)[:-1]):
            yield [round(p.x, 4), round(p.y, 4), int(index == 0 and corner)]


def _openings(panel: Panel, sagitta: float) -> Iterator[list[list[float]]]:
    for hole in panel.holes:
        if hole.cut:
            yield [[round(p.x, 4), round(p.y, 4), 0] for p in hole.circle.flatten(sagitta)]
    for cutout in panel.cutouts:
        yield list(_outline(cutout.contour.segments, sagitta))


def _placing(placing: Placing) -> list[float]:
    """The three axes and the origin, in a row."""
    axes = (placing.x_axis, placing.y_axis, placing.z_axis)
    figures = [figure for axis in axes for figure in (axis.x, axis.y, axis.z)]
    origin = placing.origin
    return [*(round(each, 7) for each in figures), *_xyz(origin)]


def _xyz(p: Point3) -> list[float]:
    return [round(p.x, 4), round(p.y, 4), round(p.z, 4)]


def _body(piece: Piece) -> dict[str, Any] | None:
    body = piece.bracket.body
    if body is None:
        return None
    return {
        "centre": [body.centre.x, body.centre.y],
        "plate": body.plate_diameter,
        "fullest": body.diameter,
        "top": body.face == "top",
    }


def _wall(piece: Piece) -> list[list[float]] | None:
    """The wall edge's two ends in the root's frame."""
    bracket = piece.bracket
    if bracket.wall is None:
        return None
    edge = bracket.root.straight_edge(bracket.wall)
    return [[p.x, p.y] for p in (edge.start, edge.end)]


def _touches(piece: Piece, names: list[str]) -> Iterator[dict[str, Any]]:
    """Where panels meet and where the body is rubbed: from which amount of the fold on, where.

    The place is in the frame of a panel, so that it folds with it.
    """
    bracket = piece.bracket
    case = Case(bracket, piece.blank, Context())
    for meeting in case.sweep.meetings:
        yield {
            "words": f"{meeting.first} meets {meeting.second}",
            "bend": meeting.bend,
            "angle_deg": round(math.degrees(meeting.angle), 1),
            "amount": meeting.amount,
            "finished": meeting.finished,
            **_held(
                folded(bracket, meeting.amount),
                meeting.second,
                meeting_place(bracket, meeting),
                names,
            ),
        }
    rub = body_rub(case)
    if rub is not None:
        nearest, at = rub
        stage = folded(bracket, nearest.amount)
        bend = stage.bend_of(nearest.part.panel)
        yield {
            "words": f"{nearest.part.words} rubs on the body",
            "bend": bend.number if bend else 0,
            "angle_deg": round(math.degrees(bend.angle), 1) if bend else 0.0,
            "amount": nearest.amount,
            "finished": nearest.amount == 1,
            **_held(stage, nearest.part.panel, at, names),
        }


def _held(stage: Folded, panel: str, at: Point3, names: list[str]) -> dict[str, Any]:
    there = stage.panel(panel).world_from_panel.inverse().point3(at)
    return {"panel": names.index(panel), "at": _xyz(there)}


def _part_places(piece: Piece, model: Folded, names: list[str]) -> dict[str, Any]:
    """For each key of the file the places of its two ends on the part: panel and place there."""
    found: dict[str, Any] = {}
    for each in dimensions_of(piece):
        dimension, tape = each.dimension, each.on_part
        ends = (dimension.start, dimension.end)
        if not dimension.key or any(isinstance(end, OnBlank) for end in ends):
            continue
        places = (tape.start, tape.end) if tape else model.ends(dimension)
        held = [
            _held(model, end.panel, at, names)
            for end, at in zip(ends, places, strict=True)
            if end.panel in names
        ]
        found.setdefault(dimension.key, held)
    return found
