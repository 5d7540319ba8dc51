"""The body between its mounts, against a dense look at the same line and against a true arc."""

from __future__ import annotations

import math

import pytest

from platewright.plate.lean import STILL, Lean, Sideways, Stance

BOTH_WAYS = Stance(height=100.0, offset=8.0, slope=-0.3)
ALIKE = Stance(height=100.0, offset=10.0, slope=0.25)
STRAIGHT_UP = Stance(height=90.0, offset=0.0, slope=0.0)


def looked_at(stance: Stance, reach: float) -> tuple[float, float]:
    """Greatest shift and lean of a stance, by looking at 20000 places."""
    end = min(1.0, reach / stance.height)
    shares = [end * step / 20000 for step in range(1, 20001)]
    aside = [abs(stance.aside(share)) for share in shares]
    leans = [a / (share * stance.height) for a, share in zip(aside, shares, strict=True)]
    return max(aside), max(leans)


@pytest.mark.parametrize("stance", [BOTH_WAYS, ALIKE, STRAIGHT_UP])
@pytest.mark.parametrize("reach", [20.0, 60.0, 100.0, 500.0])
def test_the_greatest_are_those_that_a_dense_look_finds(stance: Stance, reach: float) -> None:
    shift, lean = looked_at(stance, reach)
    assert stance.shift(reach) == pytest.approx(shift, abs=1e-6)
    assert stance.lean(reach) == pytest.approx(lean, abs=1e-6)


def test_the_body_leaves_both_mounts_square() -> None:
    tiny = 1e-6
    assert BOTH_WAYS.aside(tiny) / (tiny * BOTH_WAYS.height) == pytest.approx(0.0, abs=1e-5)
    last = (BOTH_WAYS.aside(1.0) - BOTH_WAYS.aside(1 - tiny)) / (tiny * BOTH_WAYS.height)
    assert last == pytest.approx(BOTH_WAYS.slope, abs=1e-5)
    assert BOTH_WAYS.aside(1.0) == BOTH_WAYS.offset


@pytest.mark.parametrize("turn", [0.05, 0.2, 0.4])
def test_two_mounts_on_an_arc_have_nearly_the_arc_between_them(turn: float) -> None:
    radius = 300.0
    height, offset = radius * math.sin(turn), radius * (1 - math.cos(turn))
    stance = Stance(height=height, offset=offset, slope=math.tan(turn))
    for share in (0.25, 0.5, 0.75):
        arc = radius - math.sqrt(radius**2 - (share * height) ** 2)
        assert stance.aside(share) == pytest.approx(arc, abs=0.01 * offset)


def test_a_bound_grows_with_height_up_to_its_knee() -> None:
    bound = Sideways(0.2, 10.0)
    assert bound.knee == 50.0
    assert [bound.at(height) for height in (0.0, 25.0, 50.0, 80.0)] == [0.0, 5.0, 10.0, 10.0]
    assert (STILL.knee, STILL.at(70.0)) == (0.0, 0.0)


def test_a_lean_takes_the_worst_of_its_stances() -> None:
    lean = Lean(stances=(BOTH_WAYS, ALIKE, STRAIGHT_UP))
    assert lean.lowest == 90.0
    assert lean.most == pytest.approx(max(s.shift(s.height) for s in lean.stances))
    bound = lean.sideways(60.0)
    assert bound.lean == max(s.lean(60.0) for s in lean.stances)
    assert bound.most == max(s.shift(60.0) for s in lean.stances)
