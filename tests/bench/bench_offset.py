"""Exact offsets against polygonised ones: segments out, time, and how time grows.

Run as a script: `python tests/bench/bench_offset.py`. Times are processor time.
"""

import math
import time
from collections.abc import Callable, Iterator
from itertools import pairwise

from platewright.geometry.build import obround, rectangle, rounded_polygon
from platewright.geometry.contour import Circle, Contour, Outline
from platewright.geometry.offset import Region, offset_region
from platewright.geometry.plane import ORIGIN, Bounds, Point, Vector
from platewright.geometry.segment import Arc, Line, Segment
from platewright.geometry.shapes import polygon

#: The polygonised rival is cut to this sagitta, mm.
SAGITTA = 0.01


def gear(teeth: int, pitch: float = 6.0, depth: float = 4.0) -> Contour:
    """Teeth with arcs about one centre and radial flanks, `pitch` mm apart: 4 segments each."""
    root, turn = teeth * pitch / math.tau, math.tau / teeth
    segments: list[Segment] = []
    for i in range(teeth):
        places = [
            ORIGIN + Vector.polar(turn * at, reach)
            for at, reach in ((i, root), (i + 0.5, root), (i + 0.5, root + depth))
        ]
        last = ORIGIN + Vector.polar(turn * ((i + 1) % teeth), root + depth)
        onward = ORIGIN + Vector.polar(turn * ((i + 1) % teeth), root)
        first, second, third = places
        segments += [
            Arc(segments[-1].end if segments else first, second, turn / 2),
            Line(second, third),
            Arc(third, last, turn / 2),
            Line(last, onward),
        ]
    end = segments[0].start
    segments[-1] = Line(segments[-1].start, end)
    return Contour(tuple(segments))


def ragged(count: int) -> Contour:
    """A ring of short sides, as a scribed edge that was taped at many points."""
    reaches = (20 + 1.5 * math.sin(17.3 * i) + math.cos(5.1 * i) for i in range(count))
    return Contour.polygon(
        ORIGIN + Vector.polar(math.tau * i / count, reach) for i, reach in enumerate(reaches)
    )


def bracket() -> Region:
    """A plate of some 30 segments: rounded corners, notches, a slot, holes."""
    outer = rounded_polygon(rectangle(Bounds(0, 0, 260, 180)).corners, [0, 12.0, 12.0, 30.0])
    corners = outer.segments
    notch = [Point(120, 0), Point(120, 14), Point(134, 14), Point(134, 0)]
    at = next(i for i, s in enumerate(corners) if isinstance(s, Line) and s.start.y == s.end.y == 0)
    chain = [corners[at].start, *notch, corners[at].end]
    lines = tuple(Line(a, b) for a, b in pairwise(chain))
    outline = Contour((*corners[:at], *lines, *corners[at + 1 :]))
    bolts = tuple(Circle(Point(60 + 70 * i, 90), 11) for i in range(3))
    return Region(outline, (*bolts, obround(Point(60, 130), Point(150, 130), 13)))


def segment_count(outlines: Iterator[Outline] | list[Outline]) -> int:
    """Segments of some outlines, a circle as one."""
    return sum(len(o.segments) if isinstance(o, Contour) else 1 for o in outlines)


def rings(regions: tuple[Region, ...]) -> Iterator[Outline]:
    """Every outline of some regions."""
    for region in regions:
        yield from (region.outer, *region.holes)


def timed(action: Callable[[], object]) -> float:
    """Processor time of one call, ms: the best of some, over a quarter of a second or so."""
    best, spent = math.inf, 0.0
    while spent < 0.25:
        begin = time.process_time()
        action()
        took = time.process_time() - begin
        best, spent = min(best, took), spent + took
    return best * 1e3


def polygonised(region: Region, distance: float) -> int:
    """Corners of the polygonised offset of a region."""
    steps = math.pi / (4 * math.acos(1 - min(1.0, SAGITTA / abs(distance))))
    shape = polygon(region.outer, region.holes, SAGITTA).buffer(
        distance, quad_segs=max(1, math.ceil(steps))
    )
    parts = getattr(shape, "geoms", [shape])
    return sum(len(r.coords) - 1 for p in parts if p.area for r in (p.exterior, *p.interiors))


def compare(name: str, region: Region, distance: float) -> None:
    """Print one line: segments in, out, polygonised, time."""
    result = offset_region(region.outer, region.holes, distance)
    before, after = segment_count(rings((region,))), segment_count(rings(result))
    took = timed(lambda: offset_region(region.outer, region.holes, distance))
    theirs = polygonised(region, distance)
    print(f"  {name:24} {distance:+6.2f} {before:6} {after:6} {theirs:8} {took:9.2f} ms")


def growth(name: str, build: Callable[[int], Contour], sizes: list[int], distance: float) -> None:
    """Print times over sizes and the exponent of a power law through them."""
    points = []
    for size in sizes:
        contour = build(size)
        took = timed(lambda contour=contour: offset_region(contour, (), distance))
        points.append((math.log(len(contour.segments)), math.log(took)))
        print(f"  {name:24} {distance:+6.2f} {len(contour.segments):6} {took:9.2f} ms")
    mean_x = sum(x for x, _ in points) / len(points)
    mean_y = sum(y for _, y in points) / len(points)
    slope = sum((x - mean_x) * (y - mean_y) for x, y in points)
    slope /= sum((x - mean_x) ** 2 for x, _ in points)
    print(f"  {name:24} time grows with segments to the power {slope:.2f}")


if __name__ == "__main__":
    print(f"  shape                    offset     in    out  at {SAGITTA} mm      time")
    for d in (0.75, -0.75, 6.0):
        compare("bracket", bracket(), d)
        compare("gear of 10", Region(gear(10)), d)
        compare("ragged ring of 100", Region(ragged(100)), d)
    growth("gears", gear, [5, 10, 25, 50, 100, 250, 500], 0.75)
    growth("gears", gear, [5, 10, 25, 50, 100, 250, 500], -0.75)
    growth("ragged rings", ragged, [50, 100, 200, 400, 800], 0.2)
