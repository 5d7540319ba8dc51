"""Convex pieces of polygons."""

import math

import pytest

from platewright.geometry.convex import convex_parts, is_convex, signed_area
from platewright.geometry.plane import Point

SQUARE = [Point(0, 0), Point(10, 0), Point(10, 10), Point(0, 10)]
ELL = [Point(0, 0), Point(10, 0), Point(10, 3), Point(3, 3), Point(3, 10), Point(0, 10)]
STAR = [
    Point(math.cos(k * math.pi / 7) * r, math.sin(k * math.pi / 7) * r)
    for k in range(14)
    for r in [10 if k % 2 else 4]
]


def hole(x: float, y: float, size: float = 2.0) -> list[Point]:
    return [Point(x, y), Point(x + size, y), Point(x + size, y + size), Point(x, y + size)]


def total(parts: list[tuple[Point, ...]]) -> float:
    return sum(signed_area(part) for part in parts)


@pytest.mark.parametrize("polygon", [SQUARE, ELL, STAR, SQUARE[::-1], ELL[::-1]])
def test_pieces_are_convex_and_fill_the_polygon(polygon: list[Point]) -> None:
    parts = convex_parts(polygon)
    assert all(is_convex(part) for part in parts)
    assert total(parts) == pytest.approx(abs(signed_area(polygon)))


def test_a_convex_polygon_is_one_piece() -> None:
    assert convex_parts(SQUARE) == [tuple(SQUARE)]


def test_an_ell_is_two_pieces() -> None:
    assert len(convex_parts(ELL)) == 2


@pytest.mark.parametrize("holes", [[hole(4, 4)], [hole(1, 1), hole(6, 6)], [hole(2, 4), hole(6, 4)],
                                   [hole(1, 1), hole(4, 1), hole(7, 1), hole(4, 6)]])  # fmt: skip
def test_holes_are_left_out(holes: list[list[Point]]) -> None:
    parts = convex_parts(SQUARE, holes)
    assert all(is_convex(part) for part in parts)
    assert total(parts) == pytest.approx(100 - 4 * len(holes))


def test_corners_on_a_line_do_no_harm() -> None:
    dotted = [Point(0, 0), Point(5, 0), Point(10, 0), Point(10, 3), Point(6, 3), Point(3, 3),
              Point(3, 10), Point(0, 10)]  # fmt: skip
    assert total(convex_parts(dotted)) == pytest.approx(signed_area(ELL))


def test_a_crossing_polygon_still_gives_pieces() -> None:
    bow = [Point(0, 0), Point(10, 10), Point(10, 0), Point(0, 10)]
    assert all(is_convex(part) for part in convex_parts(bow))
