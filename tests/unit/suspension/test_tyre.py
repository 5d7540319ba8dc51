from __future__ import annotations

import pytest

from platewright.errors import UnitError
from platewright.suspension.tyre import estimated_radius, measured_radius, tyre


@pytest.mark.parametrize(
    "designation",
    [
        "225/70R15",
        "225/70 R 15",
        "225/70r15",
        "P225/70R15",
        "225/70R15C",
        "225/70R15 112/110R",
        "225/70ZR15",
        "225/70-15",
        "LT225/70R15E",
        "225/70R15LT",
        "LT225/70R15/E",
        "ST225/70R15/10 M+S",
    ],
)
def test_every_way_of_writing_a_metric_size(designation: str) -> None:
    found = tyre(designation)
    assert found.diameter == pytest.approx(696.0, abs=1e-9)
    assert found.width == 225.0
    assert found.rim == 381.0


@pytest.mark.parametrize("designation", ["31x10.50R15", "31X10.50R15LT", "31 x 10.50 - 15"])
def test_the_inch_style_names_its_diameter(designation: str) -> None:
    found = tyre(designation)
    assert found.diameter == pytest.approx(31 * 25.4)
    assert found.width == pytest.approx(10.5 * 25.4)


@pytest.mark.parametrize(
    "text", ["", "15 in", "155R13", "7.00-15", "225/70", "225/70R15 \N{DELETE}", "12x4R15", "9/9R9"]
)
def test_anything_else_is_refused_with_a_way_out(text: str) -> None:
    with pytest.raises(UnitError, match="not a tyre size"):
        tyre(text)


def test_a_half_inch_rim() -> None:
    assert tyre("LT235/85R16.5").rim == pytest.approx(419.1)


def test_an_estimate_tells_its_span_and_a_measurement_has_none() -> None:
    estimate = estimated_radius(tyre("225/70R15"))
    assert estimate.least == pytest.approx(348 * 0.96)
    assert estimate.greatest == pytest.approx(348 * 0.97)
    assert estimate.least < estimate.radius < estimate.greatest
    assert not estimate.measured
    assert measured_radius(330.0).measured
