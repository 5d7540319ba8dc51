"""How a dimension changes with the numbers of its file."""

import math

import pytest

from platewright.kinds.angle import KIND as ANGLE
from platewright.kinds.angle import Angle
from platewright.kinds.stepped import KIND as STEPPED
from platewright.kinds.stepped import Step, Stepped
from platewright.measuring.dimensions import dimensions_of
from platewright.measuring.slopes import numbers_of, slopes_of, with_number
from platewright.plate.bend import Brake
from platewright.plate.piece import pieces_of
from platewright.plate.stock import MATERIALS, Stock

T, R, K = 4.0, 6.0, 0.4
STEPS = Stepped(
    measured_to="outside",
    width=40.0,
    held=1,
    leg=(Step(length=60.0, bend=math.pi / 2), Step(length=80.0, bend=1.0), Step(length=50.0)),
)
SHELF = Angle(measured_to="outside", shelf=90.0, upright=70.0, width=120.0)


def piece_of(kind):
    def build(measurements):
        bracket = kind.build(measurements, Stock(T, MATERIALS["A36"]), Brake(R, K))
        return pieces_of("part", "as drawn", bracket)[0]

    return build


def test_every_number_has_its_key():
    keys = dict(numbers_of(STEPS))
    assert keys["leg[2].length"] == 80.0
    assert keys["leg[2].bend"] == 1.0
    assert "leg[3].bend" not in keys
    longer = with_number(STEPS, "leg[2].length", 81.0)
    assert [leg.length for leg in longer.leg] == [60.0, 81.0, 50.0]


def test_the_blank_grows_by_each_leg_and_by_the_bend_deduction_of_an_angle():
    told, slopes = dimensions_of(piece_of(STEPPED)(STEPS)), slopes_of(STEPS, piece_of(STEPPED))
    at = next(i for i, each in enumerate(told) if each.dimension.what == "overall, left to right")
    for leg in (1, 2, 3):
        assert slopes[f"leg[{leg}].length"][at].on_blank == pytest.approx(1.0, abs=1e-6)
    # flat length = legs - 2 (R + T) tan(a/2) + a (R + k T): FAA-H-8083-31 ch. 4, differentiated
    a = 1.0
    expected = R + K * T - (R + T) / math.cos(a / 2) ** 2
    assert slopes["leg[2].bend"][at].on_blank == pytest.approx(expected, abs=1e-5)


def test_a_fold_turns_by_its_own_angle_alone():
    told, slopes = dimensions_of(piece_of(ANGLE)(SHELF)), slopes_of(SHELF, piece_of(ANGLE))
    folds = [i for i, each in enumerate(told) if each.dimension.quantity == "angle"]
    assert folds
    for at in folds:
        assert slopes["angle"][at].on_part == pytest.approx(1.0, abs=1e-6)
        assert slopes["shelf"][at].on_part == pytest.approx(0.0, abs=1e-6)


def test_what_a_change_leaves_no_bracket_for_has_no_slope():
    piece = piece_of(ANGLE)
    least = with_number(SHELF, "shelf", R + T + 5e-5)
    slopes = slopes_of(least, piece)
    assert {slope.on_part for slope in slopes["shelf"]} == {None}
