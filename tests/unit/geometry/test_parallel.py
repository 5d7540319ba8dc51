import math

import pytest

from platewright.geometry.build import obround, rectangle
from platewright.geometry.contour import Circle, Contour, Outline
from platewright.geometry.parallel import RawOffset, raw_offset
from platewright.geometry.plane import ORIGIN, Bounds, Point
from platewright.geometry.prepared import PreparedArc, prepared_outline
from platewright.geometry.segment import Arc, Line
from platewright.geometry.stretches import Places, surviving

SQUARE = rectangle(Bounds(0, 0, 10, 10))


def raw(outline: Outline, distance: float) -> RawOffset:
    return raw_offset([prepared_outline(outline)], distance, 1e-9)


def arcs(offset: RawOffset) -> list[PreparedArc]:
    return [piece for piece in offset.pieces if isinstance(piece, PreparedArc)]


def test_corners_that_stick_out_get_an_arc_and_the_others_none():
    out, inward = raw(SQUARE, 2), raw(SQUARE, -2)
    assert [arc.radius for arc in arcs(out)] == [2] * 4
    assert len(out.joined) == len(out.pieces) == 8
    assert arcs(inward) == []
    assert inward.joined == frozenset()


def test_smooth_joints_run_on():
    slot = raw(obround(ORIGIN, Point(20, 0), 10), 2)
    assert len(slot.pieces) == len(slot.joined) == 4
    for before, after in zip(slot.pieces, slot.pieces[1:], strict=False):
        assert (before.x1, before.y1) == (after.x0, after.y0)


@pytest.mark.parametrize(("distance", "radius"), [(2, 7), (-2, 3)])
def test_arcs_keep_their_centre(distance: float, radius: float):
    circle = raw(Circle(Point(1, 2), 10), distance)
    assert {(a.cx, a.cy, a.radius) for a in arcs(circle)} == {(1, 2, radius)}


@pytest.mark.parametrize("distance", [-5.0, -6.0])
def test_arcs_vanish_at_their_radius(distance: float):
    assert raw(Circle(ORIGIN, 10), distance).pieces == ()


def test_the_bows_of_a_cusp_tell_the_spike_from_the_cleft():
    # a half disc of radius 4 less a half disc of radius 2 within, that touch in (4, 0)
    big, small = Arc(Point(4, 0), Point(-4, 0), math.pi), Arc(Point(0, 0), Point(4, 0), -math.pi)
    spike = Contour((big, Line(Point(-4, 0), Point(0, 0)), small))
    tip = [a for a in arcs(raw(spike, 1)) if (a.cx, a.cy) == (4, 0)]
    assert [(a.radius, round(a.sweep, 9)) for a in tip] == [(1, round(math.pi, 9))]
    # inward the spike's tip needs no arc
    assert [a for a in arcs(raw(spike, -0.5)) if (a.cx, a.cy) == (4, 0)] == []


def test_places_near_each_other_share_a_number():
    places = Places(1e-8)
    first = places.number(1.0, 2.0)
    assert places.number(1.0 + 5e-9, 2.0) == first
    assert places.number(1.0, 2.0 - 5e-9) == first
    assert places.number(1.0, 2.0 + 5e-8) == first + 1
    assert places.xy[first] == (1.0, 2.0)


def test_places_share_a_number_across_the_border_of_a_square():
    places = Places(1e-8)
    assert places.number(0.003 - 1e-9, 0.0) == places.number(0.003 + 1e-9, -1e-9)


def test_only_stretches_clear_of_everything_survive():
    sources = prepared_outline(SQUARE)
    found = surviving(raw_offset([sources], -2, 1e-9), sources, 2, 1e-9)
    lengths = [s.finish - s.begin for s in found.stretches]
    assert lengths == pytest.approx([0.6] * 4)
    tails = {found.places[stretch.tail] for stretch in found.stretches}
    assert tails == {(2, 2), (2, 8), (8, 2), (8, 8)}
