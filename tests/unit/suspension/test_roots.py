from __future__ import annotations

import math

from platewright.suspension.roots import crossings, grid, largest, root


def test_a_root_is_found_to_the_last_digits_whichever_way_round() -> None:
    for ends in ((0.0, 2.0), (2.0, 0.0)):
        found = root(lambda x: x * x - 2, *ends)
        assert abs(found - math.sqrt(2)) <= 2 * math.ulp(math.sqrt(2))


def test_awkward_functions_are_halved_to_their_root() -> None:
    assert abs(root(lambda x: x**9, -1.0, 1.5)) < 1e-2
    assert abs(root(lambda x: 1.0 if x > 0.3 else -1.0, 0.0, 1.0) - 0.3) < 1e-15
    assert abs(root(math.atan, -1e6, 3.0)) < 1e-15


def test_an_end_that_is_nought_is_the_answer() -> None:
    assert root(lambda x: x, 0.0, 1.0) == 0.0
    assert root(lambda x: x - 1, 0.0, 1.0) == 1.0


def test_a_grid_keeps_its_ends_exactly() -> None:
    places = grid(0.1, 0.7, 7)
    assert (places[0], places[-1], len(places)) == (0.1, 0.7, 8)


def test_every_crossing_is_found_once_in_order() -> None:
    found = list(crossings(math.sin, grid(0.0, 7.0, 50)))
    assert len(found) == 3
    for found_at, whole in zip(found, (0.0, math.pi, 2 * math.pi), strict=True):
        assert abs(found_at - whole) < 1e-12


def test_nothing_is_looked_at_beyond_the_first_crossing_asked_for() -> None:
    asked: list[float] = []

    def f(x: float) -> float:
        asked.append(x)
        return x - 2.0

    assert next(crossings(f, [0.0, 1.0, 2.0, 3.0, 4.0])) == 2.0
    assert max(asked) == 3.0


def test_nothing_is_found_where_nothing_changes_sign() -> None:
    assert list(crossings(lambda x: x * x + 1, grid(-1.0, 1.0, 10))) == []


def test_the_largest_size_may_be_negative_and_inside() -> None:
    at = largest(lambda x: -math.sin(x), lambda x: -math.cos(x), grid(0.0, 3.0, 20))
    assert abs(at - math.pi / 2) < 1e-12
    assert largest(lambda x: x, lambda _: 1.0, grid(-3.0, 2.0, 5)) == -3.0
