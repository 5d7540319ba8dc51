"""Laws of a diagnosis: a true part raises no cause, and what was done to a wrong one is named.

The wrong parts are made and measured by code of their own (`laws.wrong_parts`). The rates over
1,000 parts are printed by `tests/bench/bench_readings.py`.
"""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from laws.effort import examples
from laws.rates import GOOD, measured
from laws.strategies_bracket import seat_brackets
from laws.strategies_kinds import kind_brackets
from platewright.measuring.dimensions import dimensions_of
from platewright.plate.bracket import Bracket
from platewright.plate.piece import pieces_of
from platewright.readings.made import Made
from platewright.readings.places import DimensionPlaces

kinds = st.one_of(kind_brackets(), seat_brackets().map(lambda pair: pair[1]))


@examples(
    40,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
)
@given(kinds, st.sampled_from(["as drawn", "mirrored"]))
def test_without_a_departure_every_dimension_is_what_it_is(bracket: Bracket, hand: str) -> None:
    (piece,) = pieces_of("generated", hand, bracket)
    true = Made(DimensionPlaces(piece), {})
    for each in dimensions_of(piece):
        if each.on_blank:
            assert true.value(each, "flat") == pytest.approx(each.on_blank.value, abs=1e-6)
        if each.on_part:
            assert true.value(each, "folded") == pytest.approx(each.on_part.value, abs=1e-6)


def test_true_parts_raise_no_cause_and_what_was_done_is_named() -> None:
    rates = measured(max(12, settings.default.max_examples // 5), 3)
    assert rates.share(rates.true, "none") >= 0.95
    assert rates.share(rates.all_of_one, *GOOD) >= 0.90, rates.missed
    assert rates.share(rates.two, "both") >= 0.75
