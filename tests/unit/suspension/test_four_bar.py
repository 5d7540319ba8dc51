from __future__ import annotations

import math

import pytest

from platewright.errors import GeometryError
from platewright.suspension.four_bar import FourBar, angles, circuits, turning


def bar(crank: float, coupler: float, rocker: float, ground: float) -> FourBar:
    return FourBar(crank=crank, coupler=coupler, rocker=rocker, ground=ground)


def test_links_need_lengths() -> None:
    with pytest.raises(GeometryError, match="lengths"):
        bar(1, 0, 1, 1)


def test_links_that_do_not_reach_each_other() -> None:
    with pytest.raises(GeometryError, match="do not reach"):
        angles(bar(5, 2, 2, 5), math.pi / 2, 1)


def test_a_pin_on_the_rocker_pivot_is_undecided() -> None:
    with pytest.raises(GeometryError, match="anyhow"):
        angles(bar(5, 3, 3, 5), 0.0, 1)


@pytest.mark.parametrize(
    ("links", "count"),
    [
        (bar(2, 7, 9, 6), 2),  # crank turns fully: two ways to close
        (bar(9, 4, 3, 9), 2),  # both limits, one circuit on each side
        (bar(5, 2, 2.5, 5), 2),
        (bar(5, 3, 3, 4), 1),  # outer limit alone
        (bar(4, 8, 5, 4.5), 1),  # inner limit alone
        (bar(20, 2, 2, 5), 0),
    ],
)
def test_the_circuits_of_each_type(links: FourBar, count: int) -> None:
    assert len(circuits(links)) == count


def test_a_swinging_crank_passes_its_limit_smoothly_onto_the_other_closure() -> None:
    links = bar(5, 3, 3, 4)
    (circuit,) = circuits(links)
    before, after = math.pi / 2 - 1e-4, math.pi / 2 + 1e-4
    assert (circuit.side(before), circuit.side(after)) == (1, -1)
    assert circuit.crank(before) == pytest.approx(circuit.crank(after), abs=1e-15)
    near = [angles(links, circuit.crank(t), circuit.side(t)) for t in (before, after)]
    assert near[0].rocker == pytest.approx(near[1].rocker, abs=1e-3)


def test_at_its_limit_the_crank_stands_still_and_the_others_turn() -> None:
    links = bar(5, 3, 3, 4)
    (circuit,) = circuits(links)
    rates = turning(links, angles(links, circuit.crank(math.pi / 2), 1))
    assert abs(rates.crank) < 1e-5 * abs(rates.coupler)


def test_equal_links_fold_at_both_ends_of_the_ground_link() -> None:
    assert all(circuit.folds == (0.0, math.pi) for circuit in circuits(bar(3, 5, 3, 5)))


def test_links_that_touch_one_limit_fold_there() -> None:
    (kite,) = circuits(bar(5, 3, 3, 5))
    assert kite.folds == (0.0, math.pi)
    assert kite.crank(0.0) == 0.0
    full = circuits(bar(2, 4, 5, 7))
    assert all(circuit.folds == (math.pi,) for circuit in full)
