from __future__ import annotations

import math

from platewright.fit.roots import bisect, crossings, grid, largest


def test_bisecting_goes_to_the_last_digit_whichever_way_round() -> None:
    root = bisect(lambda x: x * x - 2, 0.0, 2.0)
    assert abs(root - math.sqrt(2)) <= math.ulp(math.sqrt(2))
    assert abs(bisect(lambda x: x * x - 2, 2.0, 0.0) - root) <= math.ulp(root)


def test_an_end_that_is_nought_is_the_answer() -> None:
    assert bisect(lambda x: x, 0.0, 1.0) == 0.0
    assert bisect(lambda x: x - 1, 0.0, 1.0) == 1.0


def test_a_grid_keeps_its_ends_exactly() -> None:
    places = grid(0.1, 0.7, 7)
    assert (places[0], places[-1], len(places)) == (0.1, 0.7, 8)


def test_every_crossing_is_found_once_in_order() -> None:
    found = list(crossings(math.sin, grid(0.0, 7.0, 50)))
    assert len(found) == 3
    for root, whole in zip(found, (0.0, math.pi, 2 * math.pi), strict=True):
        assert abs(root - whole) < 1e-12


def test_nothing_is_found_where_nothing_changes_sign() -> None:
    assert list(crossings(lambda x: x * x + 1, grid(-1.0, 1.0, 10))) == []


def test_the_largest_size_may_be_negative_and_inside() -> None:
    at = largest(lambda x: -math.sin(x), lambda x: -math.cos(x), grid(0.0, 3.0, 20))
    assert abs(at - math.pi / 2) < 1e-12
    assert largest(lambda x: x, lambda _: 1.0, grid(-3.0, 2.0, 5)) == -3.0
