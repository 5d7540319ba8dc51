"""Convex pieces of polygons, with holes or without.

Collision and visibility are easy to decide exactly for convex shapes; a panel is cut into a few.
Ears are clipped off the polygon (Meisters, 1975) and the triangles joined again while they stay
convex (Hertel and Mehlhorn, 1983): at most four times as many pieces as there could be at least.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence

from platewright.geometry.plane import Point

Polygon = tuple[Point, ...]
"""Corners in order, the first not repeated."""

_Piece = tuple[int, ...]  # a polygon by the numbers of its corners

#: Twice the area below which three corners count as lying on one line, mm².
_FLAT = 1e-9


def signed_area(polygon: Sequence[Point]) -> float:
    """Area of a polygon, mm², positive when its corners run anticlockwise."""
    base = polygon[0]
    pairs = zip(polygon, [*polygon[1:], base], strict=True)
    return math.fsum((a - base).cross(b - base) for a, b in pairs) / 2


def is_convex(polygon: Sequence[Point]) -> bool:
    """Whether an anticlockwise polygon nowhere turns right (corners on a line are allowed).

    The corners must run round once.
    """
    count = len(polygon)
    return all(
        _turn(polygon[i - 1], polygon[i], polygon[(i + 1) % count]) >= -_FLAT for i in range(count)
    )


def convex_parts(outer: Sequence[Point], holes: Iterable[Sequence[Point]] = ()) -> list[Polygon]:
    """The polygon less its holes as convex anticlockwise polygons that share whole edges.

    Either way round will do for the corners. A polygon that crosses itself is cut as well as can
    be: the pieces then cover its corners but are not exact.
    """
    ring = _anticlockwise(outer)
    cuts = sorted((_anticlockwise(hole) for hole in holes), key=lambda hole: -_rightmost(hole).x)
    if not cuts and is_convex(ring):
        return [tuple(ring)]
    for hole in cuts:
        ring = _bridged(ring, hole[::-1])
    # neighbours joined across shared edges while the result stays convex; corners by number, the
    # pieces by theirs and by their edges, as a panel may have thousands
    number = {corner: at for at, corner in enumerate(ring)}
    pieces: dict[int, _Piece] = {}
    beside: dict[tuple[int, int], list[int]] = {}
    for count, triangle in enumerate(_triangles(ring)):
        piece: _Piece = tuple(number[corner] for corner in triangle)
        while (joined := _joined(piece, pieces, beside, ring)) is not None:
            index, piece = joined
            for edge in _edges(pieces.pop(index)):
                beside[edge].remove(index)
        pieces[count] = piece
        for edge in _edges(piece):
            beside.setdefault(edge, []).append(count)
    return [tuple(ring[at] for at in piece) for piece in pieces.values()]


def _turn(a: Point, b: Point, c: Point) -> float:
    """Twice the area of a triangle, mm²: positive when it turns left."""
    return (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x)


def _anticlockwise(polygon: Sequence[Point]) -> list[Point]:
    ring = list(polygon)
    return ring if signed_area(ring) > 0 else ring[::-1]


def _rightmost(polygon: Sequence[Point]) -> Point:
    return max(polygon, key=lambda p: (p.x, p.y))


def _bridged(ring: list[Point], hole: list[Point]) -> list[Point]:
    """The ring with a clockwise hole joined to it by a cut there and back.

    The cut runs from the hole's rightmost corner to the nearest corner that it can see.
    """
    start = hole.index(_rightmost(hole))
    p = hole[start]
    ranked = sorted(range(len(ring)), key=lambda i: p.distance(ring[i]))
    at = next((i for i in ranked if _sees(ring, p, i)), ranked[0])
    return [*ring[: at + 1], *hole[start:], *hole[: start + 1], *ring[at:]]


def _sees(ring: list[Point], p: Point, index: int) -> bool:
    """Whether the straight from `p` to a corner crosses no edge and enters inside the corner."""
    q, count = ring[index], len(ring)
    if q.x < p.x or not _in_corner(ring[index - 1], q, ring[(index + 1) % count], p):
        return False
    edges = ((ring[i - 1], ring[i]) for i in range(count))
    return not any(_cross(p, q, a, b) for a, b in edges)


def _in_corner(before: Point, at: Point, after: Point, p: Point) -> bool:
    """Whether `p` lies in the opening of an anticlockwise corner."""
    left_of_in = _turn(before, at, p) > 0
    left_of_out = _turn(at, after, p) > 0
    if _turn(before, at, after) >= 0:
        return left_of_in and left_of_out
    return left_of_in or left_of_out


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether two segments cross or touch, other than by sharing the end `b`."""
    if b in (c, d):
        return False
    first, second = _turn(a, b, c), _turn(a, b, d)
    third, fourth = _turn(c, d, a), _turn(c, d, b)
    return first * second <= 0 and third * fourth <= 0


def _triangles(ring: Sequence[Point]) -> Iterator[Polygon]:
    """A simple ring's triangles, corners on a line left out, each ear clipped off in its turn.

    An ear is a corner that is flat, or convex with no other corner inside: the first that is one.
    """
    rest = list(range(len(ring)))
    before, after = [rest[i - 1] for i in rest], [*rest[1:], 0]
    turns = [_turn(ring[before[i]], ring[i], ring[after[i]]) for i in rest]
    flat = {i for i in rest if abs(turns[i]) <= _FLAT}
    inward = {i for i in rest if turns[i] < 0}
    #: of corners that are no ears one that lies inside; it counts as long as it is there
    inside: dict[int, int | None] = {}

    def is_ear(i: int) -> bool:
        if turns[i] <= 0 or inside.get(i) in inward:
            return False
        inside[i] = _one_inside(ring, inward, ring[before[i]], ring[i], ring[after[i]])
        return inside[i] is None

    while len(rest) > 3:
        ear = min(flat) if flat else next(filter(is_ear, rest), None)
        if ear is None:  # crosses itself: clip what there is
            ear = max(rest, key=turns.__getitem__)
        a, c = before[ear], after[ear]
        if turns[ear] > _FLAT:
            yield ring[a], ring[ear], ring[c]
        rest.remove(ear)
        after[a], before[c] = c, a
        flat.discard(ear)
        inward.discard(ear)
        for i in (a, c):
            inside.pop(i, None)
            turns[i] = _turn(ring[before[i]], ring[i], ring[after[i]])
            (flat.add if abs(turns[i]) <= _FLAT else flat.discard)(i)
            (inward.add if turns[i] < 0 else inward.discard)(i)
    a, b, c = rest
    if _turn(ring[a], ring[b], ring[c]) > _FLAT:
        yield ring[a], ring[b], ring[c]


def _one_inside(
    ring: Sequence[Point], corners: Iterable[int], a: Point, b: Point, c: Point
) -> int | None:
    """One of some corners of a ring that lies in a triangle and is none of its own."""
    left, right = min(a.x, b.x, c.x), max(a.x, b.x, c.x)
    for i in corners:
        p = ring[i]
        if (
            left <= p.x <= right
            and _turn(a, b, p) >= 0
            and _turn(b, c, p) >= 0
            and _turn(c, a, p) >= 0
            and p not in (a, b, c)
        ):
            return i
    return None


def _edges(piece: _Piece) -> Iterator[tuple[int, int]]:
    return zip(piece, (*piece[1:], piece[0]), strict=True)


def _joined(
    piece: _Piece,
    pieces: Mapping[int, _Piece],
    beside: Mapping[tuple[int, int], Sequence[int]],
    ring: Sequence[Point],
) -> tuple[int, _Piece] | None:
    """The first of some pieces that with this makes a convex one: its number, and that one.

    `beside` tells pieces by their edges. Two convex pieces along a shared edge are convex when they
    are so at its ends.
    """
    count = len(piece)
    near = {index for start, end in _edges(piece) for index in beside.get((end, start), ())}
    for index in sorted(near):
        other = pieces[index]
        for i, start in enumerate(piece):
            end = piece[(i + 1) % count]
            if start not in other or end not in other:
                continue
            j, others = other.index(end), len(other)
            if other[(j + 1) % others] != start:
                continue
            mine = [piece[(i + 1 + k) % count] for k in range(count)]
            theirs = [other[(j + 1 + k) % others] for k in range(others)]
            bends = (theirs[-2], end, mine[1]), (mine[-2], start, theirs[1])
            if all(_turn(*(ring[at] for at in bend)) >= -_FLAT for bend in bends):
                return index, (*mine[:-1], *theirs[:-1])
            break
    return None
