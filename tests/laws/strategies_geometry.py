"""Generated contours: stars, combs, gears, clouds, keyholes, and distances that suit them."""

import math
from itertools import pairwise

from hypothesis import assume
from hypothesis import strategies as st

from platewright.geometry.build import merged, obround, rounded_polygon
from platewright.geometry.contour import Circle, Contour, Outline
from platewright.geometry.offset import Region
from platewright.geometry.plane import ORIGIN, Motion, Point, Vector
from platewright.geometry.segment import Arc, Line, Segment
from platewright.geometry.shapes import self_crossing

Draw = st.DrawFn
Cell = tuple[int, int]


def lengths(least: float, most: float) -> st.SearchStrategy[float]:
    """Lengths of two kinds: on a half-millimetre grid, where all is degenerate, and anywhere."""
    on_grid = st.integers(math.ceil(least * 2), math.floor(most * 2)).map(lambda n: n / 2)
    return st.one_of(on_grid, st.floats(least, most))


def bows() -> st.SearchStrategy[float]:
    """Sweeps of sides: none, plain ones, and ones so flat that the centre is kilometres away."""
    flat = st.floats(-9, -1).flatmap(lambda e: st.sampled_from((10.0**e, -(10.0**e))))
    return st.one_of(st.just(0.0), st.floats(-1.5, 1.5), flat)


def _arc_or_line(start: Point, end: Point, sweep: float) -> Segment:
    return Arc(start, end, sweep) if abs(sweep) > 1e-9 else Line(start, end)


def ring(points: list[Point], sweeps: list[float]) -> Contour:
    """A closed contour through points, each side an arc of its sweep or a line for 0."""
    pairs = zip(points, points[1:] + points[:1], sweeps, strict=True)
    return Contour(tuple(_arc_or_line(a, b, sweep) for a, b, sweep in pairs))


@st.composite
def stars(draw: Draw, bulged: bool = True) -> Contour:
    """Star-shaped rings, with bulged sides where asked."""
    count = draw(st.integers(3, 16))
    radii = draw(st.lists(lengths(8, 60), min_size=count, max_size=count))
    shifts = draw(st.lists(st.floats(-0.35, 0.35), min_size=count, max_size=count))
    turns = [math.tau * (i + shift) / count for i, shift in enumerate(shifts)]
    points = [ORIGIN + Vector.polar(a, r) for a, r in zip(turns, radii, strict=True)]
    bow = bows() if bulged else st.just(0.0)
    contour = ring(points, draw(st.lists(bow, min_size=count, max_size=count)))
    assume(contour.area > 1 and self_crossing(contour) is None)
    return contour


@st.composite
def ragged(draw: Draw) -> Contour:
    """Stars with crumbs beside their corners: sides from a micron to a tenth of a millimetre."""
    count = draw(st.integers(3, 7))
    points: list[Point] = []
    for i in range(count):
        p = ORIGIN + Vector.polar(math.tau * i / count, draw(lengths(12, 30)))
        points.append(p)
        for _ in range(draw(st.integers(0, 2))):
            way = math.tau * i / count + math.pi / 2 + draw(st.floats(-1.2, 1.2))
            p = p + Vector.polar(way, 10 ** draw(st.floats(-3, -1)))
            points.append(p)
    contour = ring(points, draw(st.lists(bows(), min_size=len(points), max_size=len(points))))
    assume(contour.area > 1 and self_crossing(contour) is None)
    return contour


@st.composite
def combs(draw: Draw) -> Contour:
    """Combs with square slots and necks above and below, corners sharp or rounded."""
    count = draw(st.integers(1, 6))
    widths = draw(st.lists(lengths(1, 12), min_size=count, max_size=count))
    tops = draw(st.lists(lengths(1, 20), min_size=count, max_size=count))
    bottoms = draw(st.lists(lengths(1, 20), min_size=count, max_size=count))
    xs = [0.0]
    for width in widths:
        xs.append(xs[-1] + width)
    lower = [Point(x, -b) for i, b in enumerate(bottoms) for x in (xs[i], xs[i + 1])]
    upper = [Point(x, t) for i, t in enumerate(tops) for x in (xs[i], xs[i + 1])]
    sharp = merged(Contour.polygon(_distinct([*lower, *reversed(upper)])))
    return _rounded(sharp, draw(st.sampled_from((0.0, 0.0, 0.5, 1.0, 2.5))))


def _distinct(points: list[Point]) -> list[Point]:
    return [a for a, b in pairwise([*points, points[0]]) if a != b]


def _rounded(contour: Contour, radius: float) -> Contour:
    """Polygon corners rounded as far as the shorter leg allows."""
    segments = contour.segments
    room = [min(segments[i - 1].length, s.length) / 2 for i, s in enumerate(segments)]
    return rounded_polygon(contour.corners, [min(radius, leg) for leg in room])


@st.composite
def mazes(draw: Draw) -> Region:
    """Connected blocks of a grid with all their holes, corners sharp or rounded."""
    columns, rows = draw(st.integers(2, 6)), draw(st.integers(2, 6))
    size = st.one_of(st.just(2.0), lengths(1, 6))
    xs = _steps(draw(st.lists(size, min_size=columns, max_size=columns)))
    ys = _steps(draw(st.lists(size, min_size=rows, max_size=rows)))
    places = [(i, j) for i in range(columns) for j in range(rows)]
    filled = {place for place in places if draw(st.integers(0, 9)) < 7}
    block = _largest_block(filled)
    rings = [[Point(xs[i], ys[j]) for i, j in corners] for corners in _borders(block)]
    assume(rings and all(len(set(points)) == len(points) for points in rings))
    assume(len({p for points in rings for p in points}) == sum(map(len, rings)))
    radius = draw(st.sampled_from((0.0, 0.0, 0.5, 1.0)))
    outlines = [_rounded(merged(Contour.polygon(points)), radius) for points in rings]
    outer = max(outlines, key=lambda outline: outline.area)
    return Region(outer, tuple(o.anticlockwise() for o in outlines if o is not outer))


def _steps(sizes: list[float]) -> list[float]:
    steps = [0.0]
    for size in sizes:
        steps.append(steps[-1] + size)
    return steps


def _largest_block(filled: set[Cell]) -> set[Cell]:
    """The largest set of squares that hang together by their sides."""
    left, best = set(filled), set()
    while left:
        block, edge = set(), [left.pop()]
        while edge:
            i, j = edge.pop()
            block.add((i, j))
            beside = {(i + 1, j), (i - 1, j), (i, j + 1), (i, j - 1)} & left
            left -= beside
            edge.extend(beside)
        best = max(best, block, key=len)
    return best


def _borders(block: set[Cell]) -> list[list[Cell]]:
    """The corners round a block of squares and round its holes, metal on the left."""
    onward: dict[Cell, list[Cell]] = {}
    for i, j in sorted(block):
        for beside, tail, head in (
            ((i, j - 1), (i, j), (i + 1, j)),
            ((i + 1, j), (i + 1, j), (i + 1, j + 1)),
            ((i, j + 1), (i + 1, j + 1), (i, j + 1)),
            ((i - 1, j), (i, j + 1), (i, j)),
        ):
            if beside not in block:
                onward.setdefault(tail, []).append(head)
    rings: list[list[Cell]] = []
    while onward:
        start = here = next(iter(onward))
        ring_: list[Cell] = []
        while here in onward:
            ring_.append(here)
            ways = onward[here]
            there = ways.pop()
            if not ways:
                del onward[here]
            here = there
        assert here == start
        rings.append(ring_)
    return rings


@st.composite
def gears(draw: Draw) -> Contour:
    """Gears: arcs about one centre at tips and roots, radial flanks."""
    teeth = draw(st.integers(2, 14))
    root, depth = draw(lengths(5, 40)), draw(lengths(0.5, 15))
    gap = draw(st.floats(0.1, 0.9))
    pitch = math.tau / teeth
    points, sweeps = [], []
    for i in range(teeth):
        for turn, reach, sweep in (
            (0.0, root, pitch * gap),
            (gap, root, 0.0),
            (gap, root + depth, pitch * (1 - gap)),
            (1.0, root + depth, 0.0),
        ):
            points.append(ORIGIN + Vector.polar(pitch * ((i + turn) % teeth), reach))
            sweeps.append(sweep)
    return ring(points, sweeps)


@st.composite
def clouds(draw: Draw) -> Contour:
    """Regular rings of large arcs, bowed out or scooped, many over half a turn."""
    count = draw(st.integers(2, 12))
    sweep = draw(st.one_of(st.floats(0.2, 5.0), st.floats(-1.5, -0.2), st.just(math.pi)))
    other = draw(st.sampled_from((sweep, 0.0, -sweep)))
    radius = draw(lengths(5, 50))
    points = [ORIGIN + Vector.polar(math.tau * i / count, radius) for i in range(count)]
    contour = ring(points, [sweep if i % 2 else other for i in range(count)])
    assume(contour.area > 1 and self_crossing(contour) is None)
    return contour


@st.composite
def keyholes(draw: Draw) -> Contour:
    """A block with a slot that ends in a round hole: an arc over half a turn in a neck."""
    radius = draw(lengths(1, 12))
    half = draw(st.floats(0.05, 0.95)) * radius
    wall, depth = draw(lengths(1, 10)), draw(lengths(1, 10))
    top = radius + depth
    mouth = math.sqrt(radius**2 - half**2)
    side = radius + wall
    arc = Arc(Point(half, mouth), Point(-half, mouth), -2 * (math.pi - math.asin(half / radius)))
    corners = [Point(-half, top), Point(-side, top), Point(-side, -side), Point(side, -side)]
    corners += [Point(side, top), Point(half, top)]
    chain = [arc.end, *corners, arc.start]
    return Contour((arc, *(Line(a, b) for a, b in pairwise(chain))))


@st.composite
def obrounds(draw: Draw) -> Contour:
    """Slots with round ends."""
    end = ORIGIN + Vector.polar(draw(st.floats(0, math.tau)), draw(lengths(1, 40)))
    return obround(ORIGIN, end, draw(lengths(1, 20)))


@st.composite
def segments(draw: Draw) -> Segment:
    """Lines and arcs, also of nearly a whole turn, within 100 mm or so of the origin."""
    place = st.one_of(st.integers(-20, 20).map(float), st.floats(-60, 60))
    start, end = (Point(draw(place), draw(place)) for _ in range(2))
    assume(start.distance(end) > 0.1)
    if draw(st.booleans()):
        return Line(start, end)
    size = draw(st.one_of(st.sampled_from((math.pi / 2, math.pi)), st.floats(0.01, 6.0)))
    return Arc(start, end, draw(st.sampled_from((size, -size))))


def fine_polygons() -> st.SearchStrategy[Contour]:
    """Regular polygons of many short sides."""

    def build(count: int, radius: float) -> Contour:
        turns = (math.tau * i / count for i in range(count))
        return Contour.polygon(ORIGIN + Vector.polar(turn, radius) for turn in turns)

    return st.builds(build, st.integers(3, 150), lengths(1, 30))


def motions() -> st.SearchStrategy[Motion]:
    """Turns, shifts and mirrorings."""

    def build(angle: float, x: float, y: float, mirror: bool) -> Motion:
        turned = Motion.translation(Vector(x, y)) @ Motion.rotation(angle)
        return turned @ Motion.mirror_x() if mirror else turned

    place = st.floats(-1000, 1000)
    return st.builds(build, st.floats(-math.pi, math.pi), place, place, st.booleans())


def convex() -> st.SearchStrategy[Contour]:
    """Convex contours: regular polygons, slots, and ellipse-like polygons."""

    @st.composite
    def hulls(draw: Draw) -> Contour:
        turns = sorted(draw(st.sets(st.integers(0, 71), min_size=3, max_size=20)))
        assume(all(b - a < 34 for a, b in pairwise([*turns, turns[0] + 72])))
        a, b = draw(lengths(5, 60)), draw(lengths(5, 60))
        angles = [math.tau * turn / 72 for turn in turns]
        return Contour.polygon(Point(a * math.cos(t), b * math.sin(t)) for t in angles)

    return st.one_of(hulls(), obrounds(), fine_polygons())


def contours() -> st.SearchStrategy[Contour]:
    """Any of the shapes here."""
    return st.one_of(
        stars(), stars(bulged=False), combs(), gears(), clouds(), keyholes(), obrounds(), ragged()
    )


def circles() -> st.SearchStrategy[Circle]:
    """Whole circles."""
    return st.builds(lambda d: Circle(Point(3.0, -2.0), d), lengths(0.5, 80))


def regions() -> st.SearchStrategy[Region]:
    """Any of the shapes here, mazes with their holes."""
    return st.one_of(contours().map(Region), mazes(), mazes())


def moved(region: Region, motion: Motion) -> Region:
    """A region after a motion."""
    return Region(region.outer.moved(motion), tuple(h.moved(motion) for h in region.holes))


def telling_distances(outline: Outline) -> list[float]:
    """Distances at which something just vanishes or just touches: half lengths and radii."""
    if isinstance(outline, Circle):
        return [outline.radius]
    radii = [s.radius for s in outline.segments if isinstance(s, Arc)]
    return [*radii, *(s.length / 2 for s in outline.segments)]


@st.composite
def offsets(draw: Draw) -> tuple[Region, float]:
    """A region with a distance to offset it by, in or out, often a telling one."""
    region = draw(regions())
    rings = (region.outer, *region.holes)
    telling = [d for ring in rings for d in telling_distances(ring) if 0.05 < d < 30] or [1.0]
    some = (st.floats(0.05, 3), st.sampled_from((0.5, 1.0, 1.5, 2.0, 3.0, 10.0)))
    size = draw(st.one_of(*some, st.sampled_from(telling)))
    motion = draw(st.one_of(st.just(Motion()), motions()))
    return moved(region, motion), draw(st.sampled_from((size, -size)))
