"""The cheapest spot in a crowd, against every spot of every size weighed alone by shapely."""

import math
from itertools import product

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString

from laws.effort import examples
from laws.meeting import polygon
from laws.strategies_sheets import lengths, points
from platewright.drawing.free_space import (
    IN_LAP,
    OUTSIDE,
    Box,
    FreeSpace,
    LabelSpot,
    SpotRow,
    StraightInk,
    ring_spots,
)
from platewright.drawing.items import rectangle
from platewright.geometry.meeting import Rectangles
from platewright.geometry.plane import Bounds, Point

PAGE = Bounds(-90, -60, 90, 60)
LAP = Bounds(-10, -60, 0, 60)
PART = Bounds(-70.3, -40.7, 50.9, 55.1)
OWN = (0.0, 2.0, 4.0)
HAIR = 1e-6  # what touches by no more may be taken either way, mm

sizes = st.lists(st.tuples(lengths(1, 40), lengths(1, 8)), min_size=1, max_size=3)


def crowd(rng):
    """Lines, boxes that stand already, and spots, all of them thick about the origin."""
    ends = [(*at, *(at + by)) for at, by in rng.normal(0, 25, (rng.integers(90), 2, 2))]
    boxes = [
        Box(Point(*rng.normal(0, 30, 2)), *rng.uniform(0.5, 8, 2), rng.choice((0.0, 0.4)))
        for _ in range(rng.integers(6))
    ]
    spots = [
        LabelSpot(Point(*rng.normal(0, 40, 2)), rng.choice((0.0, 1.1)), demerit=rng.uniform(0, 9))
        for _ in range(rng.integers(60))
    ]
    return ends, boxes, spots


def weighed(spot, size, ink, taken, over_line, by):
    """What a spot costs, everything `by` mm larger than it is."""
    box = Box(spot.centre, size[0] / 2 + by, size[1] / 2 + by, spot.angle)
    if not PAGE.holds(Box(spot.centre, size[0] / 2 - by, size[1] / 2 - by, spot.angle).bounds):
        return math.inf
    shape = polygon(box)
    covered = sum(shape.intersects(line) for line in ink)
    cost = spot.demerit + (over_line * covered if covered else 0)
    if any(shape.intersects(other) for other in taken):
        return math.inf
    if spot.leader is not None:
        leader = Box.round_leader(spot.leader)
        across = polygon(
            Box(leader.centre, leader.half_along + by, leader.half_across + by, leader.angle)
        )
        cost += sum(across.intersects(line) for line in ink)
        cost += 100 * sum(across.intersects(other) for other in taken)
    cost += IN_LAP * LAP.meets(box.bounds) + OUTSIDE * (not PART.meets(Bounds.of(spot.centre)))
    return cost


@examples(60)
@given(st.integers(0, 2**32), sizes, points(30), st.sampled_from((1.0, 30.0, math.inf)))
def test_no_spot_in_any_size_is_cheaper_than_the_best(seed, sized, at, over_line):
    ends, boxes, told = crowd(np.random.default_rng(seed))
    taken = Rectangles.of([box.rectangle for box in boxes])
    free = FreeSpace(StraightInk(ends), taken, (PAGE,), (LAP,), rectangle(PART))
    rows = (SpotRow.of(told), ring_spots(at, (6.0, 12.0, 20.0), 16))
    own = OWN[: len(sized)]
    found = free.best(np.array(sized), rows, own=own, over_line=over_line)

    straight = [LineString([pair[:2], pair[2:]]) for pair in ends]
    stood = [polygon(box) for box in boxes]

    def cost(spot, size, by):
        return own[size] + weighed(spot, sized[size], straight, stood, over_line, by)

    every = [row.spot(i) for row in rows for i in range(len(row))]
    least, most = (
        min(cost(spot, size, by) for spot, size in product(every, range(len(sized))))
        for by in (-HAIR, HAIR)
    )
    if found is None:
        assert most == math.inf
        return
    assert least - 1e-9 <= found.demerits <= most + 1e-9
    spot, size = found.spot, found.size
    low, high = (cost(spot, size, by) for by in (-HAIR, HAIR))
    assert low - 1e-9 <= found.demerits <= high + 1e-9


@examples(60)
@given(st.integers(0, 2**32))
def test_what_the_quick_look_finds_covered_is_covered(seed):
    rng = np.random.default_rng(seed)
    ends, *_ = crowd(rng)
    (x, y), sizes = rng.uniform(-90, 90, (2, 100)), rng.uniform(1, 25, (3, 2))
    asked = Rectangles.alike(x, y, sizes, 0.0)
    ink = StraightInk([(0.0, 0.0, 60.0, 7.0), *ends])
    met = np.zeros(300, dtype=bool)
    met[ink.lines.pairs(asked)[1]] = True
    assert met[ink.raster.surely_meet(asked.bounds)].all()
