"""Nests against packings whose answers are known."""

from __future__ import annotations

import math

import pytest

from laws.strategies_nest import box, judge, part_of, plain_piece
from platewright.geometry.contour import Circle
from platewright.geometry.plane import ORIGIN
from platewright.nest.layout import NestRules, rectangle_sheet
from platewright.nest.nest import nest

GAP = 6.0
DISC = 80.0
#: What polygons round the discs and the gap's disc may cost at a slanting contact, mm.
LOSS = 0.6


def discs(count: int, width: float, height: float) -> int:
    wanted = [part_of(plain_piece("disc", Circle(ORIGIN, DISC).contour()), count)]
    rules = NestRules(gap=GAP, margin=0.0, tries=24)
    found = nest(wanted, [rectangle_sheet("sheet", width, height)], rules)
    judge(found, wanted, rules)
    return len(found.sheets)


# Side of the smallest square round n equal circles of diameter 1, exact for these n and proved
# (memory: Schaer 1965, Graham 1963): 2: 1 + 1/sqrt 2, 4: 2, 5: 1 + sqrt 2. The middles of discs
# that keep a gap lie as those of touching circles of diameter disc + gap.
@pytest.mark.parametrize(
    ("count", "side"), [(2, 1 + 1 / math.sqrt(2)), (4, 2.0), (5, 1 + math.sqrt(2))]
)
def test_circles_in_the_smallest_square(count, side):
    pitch = DISC + GAP
    room = DISC + (side - 1) * pitch
    assert discs(count, room + LOSS, room + LOSS) == 1
    assert discs(count, room - LOSS, room - LOSS) > 1


def test_two_rows_of_circles_in_a_strip_lie_in_each_others_notches():
    # exact: rows of touching circles are pitch sin 60 apart
    pitch = DISC + GAP
    height = DISC + pitch * math.sin(math.pi / 3)
    width = DISC + 2.5 * pitch
    assert discs(6, width + LOSS, height + LOSS) == 1


# A classic of the shop floor, exact: as many rectangles as rows and columns fit.
@pytest.mark.parametrize(("rows", "columns"), [(1, 5), (3, 4)])
def test_rectangles_fill_rows_and_columns_exactly(rows, columns):
    wanted = [part_of(plain_piece("box", box(90.0, 40.0)), rows * columns)]
    rules = NestRules(gap=GAP, margin=GAP, tries=12)
    width = columns * (90.0 + GAP) + GAP
    height = rows * (40.0 + GAP) + GAP
    found = nest(wanted, [rectangle_sheet("sheet", width, height)], rules)
    assert len(found.sheets) == 1
    judge(found, wanted, rules)
    (nested,) = found.sheets
    assert nested.used + nested.left == pytest.approx(width * height)
    assert nested.used == pytest.approx(rows * columns * 90.0 * 40.0)
