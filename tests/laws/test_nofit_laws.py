"""Laws of no-fit regions: outside them shapes keep their gap, inside they do not."""

from __future__ import annotations

import shapely
from hypothesis import given
from hypothesis import strategies as st

from laws.effort import examples
from laws.strategies_nest import fine, pieces
from platewright.nest.nofit import NoFit, convex_sum, disc, shape_of

few = examples(60)
shifts = st.floats(-300, 300)
gaps = st.floats(1.0, 20.0)


def metal(piece) -> shapely.Polygon:
    return fine(piece.blank.outline)


@few
@given(pieces("a"), pieces("b"), gaps, shifts, shifts)
def test_outside_the_no_fit_region_the_gap_is_kept_and_inside_it_is_not(one, other, gap, x, y):
    outlines = one.blank.outline, other.blank.outline
    region = NoFit([shape_of(outline) for outline in outlines], gap).beside(0, 1)
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
    grown = shapely.union_all(
        [shapely.Polygon(convex_sum(ring, disc(gap))) for ring in shape.pieces]
    )
    exact = metal(piece).buffer(gap, quad_segs=64)
    assert grown.buffer(1e-6).covers(exact)
    assert grown.area <= exact.buffer(gap * 0.02 + 0.25).area
