"""Judging shapes: whether an outline crosses itself, and polygons for another library to judge.

Shapely judges here, as in `regions` (what one shape has beyond another); neither takes an outline
from it. What it sees are polygons whose chords leave the arcs by at most `sagitta` mm, so an area
is out by less than the sagitta times the perimeter.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from platewright.geometry.contour import Circle, Outline
from platewright.geometry.crossings import TOLERANCE, Meeting, meetings
from platewright.geometry.grid import Grid, mean_cell
from platewright.geometry.plane import Point
from platewright.geometry.prepared import prepared

if TYPE_CHECKING:
    from shapely import Polygon

#: Chords leave arcs by at most this much where nothing else is asked, mm.
SAGITTA = 0.01


def polygon(outline: Outline, holes: Iterable[Outline] = (), sagitta: float = SAGITTA) -> Polygon:
    """A shapely polygon with chords within `sagitta` mm of every arc."""
    from shapely import Polygon

    outer, *inner = ([(p.x, p.y) for p in ring.flatten(sagitta)] for ring in (outline, *holes))
    return Polygon(outer, inner)


def self_crossing(outline: Outline, tolerance: float = TOLERANCE) -> Point | None:
    """The first place along an outline that another part of it crosses or touches, or None.

    Exact: lines and arcs in closed form, parts within `tolerance` mm of each other touch.
    """
    if isinstance(outline, Circle):
        return None
    segments = [prepared(segment) for segment in outline.segments]
    for i, j in Grid(segments, mean_cell(segments, tolerance), tolerance).pairs():
        found = [
            meeting
            for meeting in meetings(segments[i], segments[j], tolerance)
            if not _is_joint(meeting, i, j, len(segments))
        ]
        if found:
            x, y, _, _ = min(found, key=lambda meeting: meeting[2])
            return Point(x, y)
    return None


def _is_joint(meeting: Meeting, i: int, j: int, count: int) -> bool:
    """Whether two segments meet where one of them runs on into the other."""
    _, _, first, second = meeting
    runs_on = j == i + 1 and first == 1 and second == 0
    closes = i == 0 and j == count - 1 and first == 0 and second == 1
    return runs_on or closes
