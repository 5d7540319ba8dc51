"""Moving parts that lie over each other apart, and layouts that grow shorter by it."""

from __future__ import annotations

import math
import random
from itertools import combinations, pairwise

import pytest
import shapely

from laws.strategies_nest import box, ell, part_of, plain_piece
from platewright.geometry.plane import Bounds
from platewright.nest.layout import NestRules, rectangle_sheet
from platewright.nest.overlap import Crowd, Depths, Lying, tightened
from platewright.nest.problem import Problem

RULES = NestRules(gap=4.0, margin=0.0, tries=10)


def problem(*counts_and_outlines, rules=RULES, sheet=(400.0, 120.0)) -> Problem:
    parts = [
        part_of(plain_piece(f"part-{i}", outline), count)
        for i, (count, outline) in enumerate(counts_and_outlines)
    ]
    return Problem(parts, [rectangle_sheet("sheet", *sheet)], rules)


def metal(given: Problem, lying: Lying) -> shapely.Geometry:
    pieces = [shapely.Polygon(ring) for ring in given.shapes[lying.shape].pieces]
    return shapely.affinity.translate(shapely.union_all(pieces), lying.x, lying.y)


def require_apart(given: Problem, found: list[Lying], room: Bounds) -> None:
    for each in found:
        assert (
            shapely.box(*(room.xmin, room.ymin, room.xmax, room.ymax))
            .buffer(1e-3)
            .covers(metal(given, each))
        )
    for one, other in combinations(found, 2):
        if one.bin == other.bin:
            assert metal(given, one).distance(metal(given, other)) >= RULES.gap - 1e-3


@pytest.mark.parametrize("turn", range(4))
def test_depths_are_how_far_a_shape_must_shift_to_be_clear(turn):
    given = problem((1, ell(90.0, 60.0, 25.0)), (1, box(30.0, 20.0)))
    standing = given.turned[0][turn][1]
    depths = Depths(given, 5.0)
    stack = depths.stack(standing, 1)
    turns = len(given.turned[1])
    for index, (_, shape) in enumerate(given.turned[1]):
        region = given.no_fit.beside(standing, shape)
        for column, row in ((0, 0), (3, 4), (7, 5), (9, 9), (12, 3)):
            at = shapely.Point((stack.x + column) * 5.0, (stack.y + row) * 5.0)
            depth = region.boundary.distance(at) if region.contains(at) else 0.0
            found = stack.depths[column, row * turns + index] * 5.0
            # taken in whole 32nds of a step, never less
            assert depth - 1e-3 <= found <= depth + 5.0 / 32 + 1e-3


def test_parts_a_little_over_each_other_are_pushed_apart():
    given = problem((3, box(60.0, 40.0)))
    room = Bounds(0.0, 0.0, 188.5, 40.5)
    shape = given.turned[0][0][1]
    crowd = Crowd(given, Depths(given, 5.0), [0, 0, 0], random.Random(1))
    lying = [Lying(shape, 0, x, 0.0) for x in (0.0, 55.0, 125.0)]
    found = crowd.pushed_apart(lying, [room])
    assert found is not None
    require_apart(given, found, room)


def test_parts_level_with_a_corner_of_their_region_are_pushed_apart():
    # a hair below, at and above each corner, where a ray to the side is hard to judge
    given = problem((2, ell(90.0, 80.0, 25.0)))
    room = Bounds(-400.0, -400.0, 400.0, 400.0)
    shape = given.turned[0][0][1]
    region = given.no_fit.beside(shape, shape)
    crowd = Crowd(given, Depths(given, 5.0), [0, 0], random.Random(1))
    for level in {y for _, y in shapely.get_coordinates(region).tolist()}:
        for y in (math.nextafter(level, -math.inf), level, math.nextafter(level, math.inf)):
            found = crowd.pushed_apart([Lying(shape, 0, 0.0, 0.0), Lying(shape, 0, 1.0, y)], [room])
            if found is not None:
                require_apart(given, found, room)


def test_parts_that_have_no_room_are_not_pushed_apart():
    given = problem((3, box(60.0, 40.0)))
    shape = given.turned[0][0][1]
    rooms = [Bounds(0.0, 0.0, 187.0, 40.5)]
    crowd = Crowd(given, Depths(given, 5.0), [0, 0, 0], random.Random(1))
    assert crowd.pushed_apart([Lying(shape, 0, x, 0.0) for x in (0.0, 55.0, 125.0)], rooms) is None


def layouts(given: Problem, lying: list[Lying], rooms: list[Bounds], moves: int = 400):
    found: list[list[Lying]] = []
    tightened(given, lying, rooms, moves, lambda layout, _share: found.append(layout))
    return found


def reach(given: Problem, lying: list[Lying]) -> float:
    return max(metal(given, each).bounds[2] for each in lying)


def test_every_layout_found_is_apart_and_shorter_than_the_one_before():
    given = problem((6, ell(90.0, 80.0, 25.0)), sheet=(900.0, 120.0))
    shape = given.turned[0][0][1]
    lying = [Lying(shape, 0, 100.0 * i, 0.0) for i in range(6)]
    room = Bounds(0.0, 0.0, 900.0, 120.0)
    found = layouts(given, lying, [room])
    assert found
    ends = [reach(given, lying), *(reach(given, each) for each in found)]
    assert all(b < a for a, b in pairwise(ends))
    # six that lie side by side as drawn take 590; angles lock into each other
    assert ends[-1] < 480
    for each in found:
        require_apart(given, each, room)
    assert layouts(given, lying, [room]) == found


def test_a_last_sheet_is_saved():
    given = problem((4, box(80.0, 50.0)), sheet=(180.0, 120.0))
    shape = given.turned[0][0][1]
    room = Bounds(0.0, 0.0, 180.0, 120.0)
    # three at awkward places of one sheet, and the fourth on another
    lying = [Lying(shape, 0, x, y) for x, y in ((0.0, 30.0), (90.0, 0.0), (90.0, 60.0))]
    found = layouts(given, [*lying, Lying(shape, 1, 0.0, 0.0)], [room, room], 2000)
    assert {each.bin for each in found[-1]} == {0}
    require_apart(given, found[-1], room)


def test_nothing_is_found_where_nothing_can_be_closer():
    given = problem((2, box(100.0, 120.0)), sheet=(400.0, 120.0))
    shape = given.turned[0][0][1]
    lying = [Lying(shape, 0, 0.0, 0.0), Lying(shape, 0, 104.0, 0.0)]
    assert layouts(given, lying, [Bounds(0.0, 0.0, 400.0, 120.0)]) == []
    assert math.isclose(reach(given, lying), 204.0)


def test_parts_that_lie_loosely_are_pushed_together_when_no_move_is_left():
    given = problem((3, box(50.0, 120.0)), sheet=(400.0, 120.0))
    shape = given.turned[0][0][1]
    lying = [Lying(shape, 0, x, 0.0) for x in (0.0, 60.0, 130.0)]
    found = layouts(given, lying, [Bounds(0.0, 0.0, 400.0, 120.0)], 0)
    # three widths and two gaps; no step of the search is as fine
    assert 158.0 - 1e-3 <= reach(given, found[-1]) <= 158.0 * 1.0005


def test_parts_pushed_far_are_clear_of_all_that_they_come_near():
    """What lies far off at first is met on the way."""
    given = problem((8, ell(60.0, 50.0, 18.0)), sheet=(600.0, 120.0))
    room, chance, turned = Bounds(0.0, 0.0, 600.0, 120.0), random.Random(3), given.turned[0]
    crowd = Crowd(given, Depths(given, 5.0), [0] * 8, random.Random(1))
    apart = 0
    for _ in range(40):
        lying = [
            Lying(turned[i % 4][1], 0, chance.uniform(30, 400), chance.uniform(25, 95))
            for i in range(8)
        ]
        if (found := crowd.pushed_apart(lying, [room])) is not None:
            apart += 1
            require_apart(given, found, room)
    assert apart
