"""Laws of no-fit regions: outside them shapes keep their gap, inside they do not."""

from __future__ import annotations

import math

import shapely
from hypothesis import given
from hypothesis import strategies as st

from laws.effort import examples
from laws.strategies_nest import fine, pieces
from platewright.nest.nofit import NoFit, Turned, convex_sums, disc, shape_of, turn_motion

few = examples(60)
shifts = st.floats(-300, 300)
gaps = st.floats(1.0, 20.0)


def metal(piece) -> shapely.Polygon:
    return fine(piece.blank.outline)


def no_fit(shapes, gap, turns=(0.0, 0.0)) -> NoFit:
    turned = [
        Turned(kind, turn, shape.turned(turn_motion(turn)))
        for kind, (shape, turn) in enumerate(zip(shapes, turns, strict=True))
    ]
    return NoFit(shapes, turned, gap)


@few
@given(pieces("a"), pieces("b"), gaps, shifts, shifts)
def test_outside_the_no_fit_region_the_gap_is_kept_and_inside_it_is_not(one, other, gap, x, y):
    outlines = one.blank.outline, other.blank.outline
    region = no_fit([shape_of(outline) for outline in outlines], gap).beside(0, 1)
    moved = shapely.affinity.translate(metal(other), x, y)
    distance = metal(one).distance(moved)
    if not region.contains(shapely.Point(x, y)):
        assert distance >= gap - 5e-3
    else:
        # what arcs and corners lose: 0.2 mm at either, 2 % of the gap
        assert distance <= gap * 1.02 + 0.5


@few
@given(pieces("a"), gaps)
def test_a_sum_with_a_disc_holds_the_shape_grown_by_it(piece, gap):
    shape = shape_of(piece.blank.outline)
    grown = shapely.union_all(convex_sums(shape.pieces, [disc(gap)]))
    exact = metal(piece).buffer(gap, quad_segs=64)
    assert grown.buffer(1e-6).covers(exact)
    assert grown.area <= exact.buffer(gap * 0.02 + 0.25).area


turns = st.sampled_from([quarter * math.pi / 2 for quarter in range(4)]) | st.floats(-7, 7)


@few
@given(pieces("a"), pieces("b"), gaps, st.tuples(turns, turns))
def test_a_region_turned_from_another_is_the_region_of_the_turned_shapes(a, b, gap, turned):
    shapes = [shape_of(piece.blank.outline) for piece in (a, b)]
    found = no_fit(shapes, gap, turned)
    plain = [shape.turned(turn_motion(turn)) for shape, turn in zip(shapes, turned, strict=True)]
    for standing, moving in ((0, 1), (1, 0)):
        one, other = found.beside(standing, moving), no_fit(plain, gap).beside(standing, moving)
        # the gap's disc is a polygon that turns along: 2 % of the gap at its corners
        reach = gap * 0.021
        assert one.buffer(reach).covers(other)
        assert other.buffer(reach).covers(one)


@few
@given(pieces("a"), pieces("b"), gaps)
def test_filling_notches_that_nothing_can_enter_changes_no_region(one, other, gap):
    plain, filled = (
        no_fit([shape_of(p.blank.outline, gap=fill) for p in (one, other)], gap).beside(0, 1)
        for fill in (0.0, gap)
    )
    assert filled.buffer(1e-6).covers(plain)
    assert filled.area <= plain.area + plain.length * gap * 0.01
