"""From shapes to what a writer can draw: chains of segments, Bezier pieces, hatch lines."""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import NamedTuple

from platewright.drawing.items import Hatch, Shape
from platewright.geometry.contour import Contour, Outline
from platewright.geometry.plane import Motion, Point
from platewright.geometry.segment import Arc, Line, Segment

_HATCH_SAGITTA = 0.02


class Chain(NamedTuple):
    """Segments that each start where the one before ends; closed when the last meets the first."""

    segments: tuple[Segment, ...]
    closed: bool


def chains(shapes: Iterable[Shape]) -> tuple[Chain, ...]:
    """The shapes as pen-down runs, in order; lines and arcs that share ends run on."""
    runs: list[Chain] = []
    loose: list[Segment] = []
    for shape in shapes:
        if isinstance(shape, Segment):
            if loose and loose[-1].end != shape.start:
                runs.append(_run(loose))
                loose = []
            loose.append(shape)
        else:
            runs.extend([_run(loose)] if loose else [])
            loose = []
            runs.append(outline_chain(shape))
    return tuple([*runs, _run(loose)] if loose else runs)


def _run(segments: list[Segment]) -> Chain:
    closed = len(segments) > 1 and segments[0].start == segments[-1].end
    return Chain(tuple(segments), closed)


def outline_chain(outline: Outline) -> Chain:
    """A contour or circle as one closed chain."""
    contour = outline if isinstance(outline, Contour) else outline.contour()
    return Chain(contour.segments, closed=True)


def arc_steps(arc: Arc, tolerance: float) -> int:
    """How many equal cubic Bezier pieces follow an arc within `tolerance` mm.

    A piece of angle q with handles (4/3) tan(q/4) r leaves the circle by at most
    (4/27) r sin^6(q/4) / cos^2(q/4) (exact; expand the cubic's squared radius).
    """
    # cos(q/4) > 0.92 up to a quarter turn: 6.75 * 0.85 keeps the bound on the safe side
    sine = min(1.0, (5.7 * tolerance / arc.radius) ** (1 / 6))
    widest = min(math.pi / 2, 4 * math.asin(sine))
    return max(1, math.ceil(abs(arc.sweep) / widest - 1e-9))


def bezier_pieces(arc: Arc, tolerance: float = 1e-4) -> Iterator[tuple[complex, complex, complex]]:
    """The arc as cubic Bezier pieces (two handles and an end, x + yi), within `tolerance` mm."""
    sine, step, lean, ways = _pieces_of(arc.sweep, arc_steps(arc, tolerance))
    start = at = complex(arc.start.x, arc.start.y)
    end = complex(arc.end.x, arc.end.y)
    chord = end - start
    handle = chord / (2 * sine) * lean
    for way in ways:
        to = start + chord * way
        first, handle = at + handle, handle * step
        yield first, to - handle, end if way is ways[-1] else to
        at = to


@lru_cache(maxsize=256)
def _pieces_of(sweep: float, count: int) -> tuple[float, complex, complex, tuple[complex, ...]]:
    """What arcs of one sweep share, cut into so many pieces; nearly all are half circles.

    The sine of half the sweep, the turn of a piece, the first handle in half chords over that
    sine, and the end of each piece in chords: as an arc tells its places.
    """
    turn, sine = sweep / count, math.sin(sweep / 2)
    ways = [
        cmath.rect(math.sin(turn * index / 2) / sine, (turn * index - sweep) / 2)
        for index in range(1, count + 1)
    ]
    lean = cmath.rect(4 / 3 * math.tan(turn / 4), -sweep / 2)
    return sine, cmath.rect(1, turn), lean, tuple(ways)


def hatch_lines(hatch: Hatch) -> tuple[Line, ...]:
    """The hatch's lines inside its region (even-odd), set on a grid through the origin.

    Neighbouring regions hatched alike therefore line up. Ends lie on the outlines within 0.02 mm.
    """
    upright = Motion.rotation(-hatch.angle)
    polygons = [outline.moved(upright).flatten(_HATCH_SAGITTA) for outline in hatch.outlines]
    heights = [p.y for polygon in polygons for p in polygon]
    if not heights:
        return ()
    first = math.ceil(min(heights) / hatch.spacing)
    last = math.floor(max(heights) / hatch.spacing)
    rows = (hatch.spacing * index for index in range(first, last + 1))
    back = upright.inverse()
    return tuple(line.moved(back) for y in rows for line in _row(polygons, y))


def _row(polygons: list[list[Point]], y: float) -> list[Line]:
    """The pieces of the level line at height `y` that lie inside, by counting crossings."""
    crossings = sorted(
        a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y)
        for polygon in polygons
        for a, b in zip(polygon, polygon[1:] + polygon[:1], strict=True)
        if (a.y <= y) != (b.y <= y)
    )
    pairs = zip(crossings[::2], crossings[1::2], strict=True)
    return [Line(Point(left, y), Point(right, y)) for left, right in pairs if right > left]
