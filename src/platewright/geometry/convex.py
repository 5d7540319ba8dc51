"""Convex pieces of polygons, with holes or without.

Collision and visibility are easy to decide exactly for convex shapes; a panel is cut into a few.
Ears are clipped off the polygon (Meisters, 1975) and the triangles joined again while they stay
convex (Hertel and Mehlhorn, 1983): at most four times as many pieces as there could be at least.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

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
    # triangles of a simple ring, corners on a line left out
    rest = list(ring)
    triangles: list[Polygon] = []
    while len(rest) > 3:
        at = _next_ear(rest)
        a, b, c = rest[at - 1], rest[at], rest[(at + 1) % len(rest)]
        if _turn(a, b, c) > _FLAT:
            triangles.append((a, b, c))
        del rest[at]
    if _turn(*rest) > _FLAT:
        triangles.append((rest[0], rest[1], rest[2]))
    # neighbours joined across shared edges while the result stays convex; corners by number
    number = {corner: at for at, corner in enumerate(ring)}
    pieces: list[_Piece] = []
    for triangle in triangles:
        piece: _Piece = tuple(number[corner] for corner in triangle)
        while (joined := _joined(piece, pieces, ring)) is not None:
            index, piece = joined
            del pieces[index]
        pieces.append(piece)
    return [tuple(ring[at] for at in piece) for piece in pieces]


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


def _next_ear(rest: list[Point]) -> int:
    """Index of a corner that can be clipped: flat, or convex with no other corner inside."""
    count = len(rest)
    turns = [_turn(rest[i - 1], rest[i], rest[(i + 1) % count]) for i in range(count)]
    for i, turn in enumerate(turns):
        if abs(turn) <= _FLAT:
            return i
    inward = [rest[i] for i, turn in enumerate(turns) if turn < 0]
    for i, turn in enumerate(turns):
        if turn > 0 and not _any_inside(inward, rest[i - 1], rest[i], rest[(i + 1) % count]):
            return i
    return max(range(count), key=lambda i: turns[i])  # crosses itself: clip what there is


def _any_inside(points: list[Point], a: Point, b: Point, c: Point) -> bool:
    return any(
        p not in (a, b, c) and _turn(a, b, p) >= 0 and _turn(b, c, p) >= 0 and _turn(c, a, p) >= 0
        for p in points
    )


def _joined(
    piece: _Piece, pieces: Sequence[_Piece], ring: Sequence[Point]
) -> tuple[int, _Piece] | None:
    """The first of some pieces that makes a convex one with this, by its index, and what they make.

    Two convex pieces along a shared edge are convex when they are so at its ends.
    """
    count = len(piece)
    for index, other in enumerate(pieces):
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
