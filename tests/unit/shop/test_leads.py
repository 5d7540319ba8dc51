"""Lead-ins and overburn."""

import math

import pytest

from platewright.geometry.build import obround, rectangle
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds, Motion, Point, close
from platewright.geometry.segment import Arc, Line
from platewright.shop.leads import LeadShape, contour_lead, hole_lead, overburn, started_at

STRAIGHT, ARC = LeadShape(arc=False, length=6.0), LeadShape(arc=True, length=6.0)
BLOCK = rectangle(Bounds(0, 0, 100, 40))


def clockwise(contour: Contour = BLOCK) -> Contour:
    return contour.reversed()


def test_a_run_begun_anew_is_the_same_run():
    run = started_at(BLOCK.segments, 2, 0.25)
    assert run[0].start == Point(75, 40)
    assert Contour(run).area == pytest.approx(BLOCK.area)
    assert Contour(run).perimeter == pytest.approx(BLOCK.perimeter)
    assert started_at(BLOCK.segments, 1, 0) == BLOCK.segments[1:] + BLOCK.segments[:1]


@pytest.mark.parametrize("length", [0.0, 3.0, 100.0, 120.0, 279.0])
def test_overburn_runs_on_for_its_length(length):
    tail = overburn(BLOCK.segments, length)
    assert math.fsum(s.length for s in tail) == pytest.approx(length)
    assert not tail or tail[0].start == BLOCK.segments[0].start


def test_overburn_goes_round_once_at_most():
    assert overburn(BLOCK.segments, 5000.0) == BLOCK.segments


@pytest.mark.parametrize("shape", [STRAIGHT, ARC])
def test_a_round_hole_is_entered_from_its_middle_side(shape):
    lead, run = hole_lead(Circle(Point(10, 5), 30), shape)
    assert lead.pierce == Point(19, 5)
    assert lead.segments[-1].end == run[0].start == Point(25, 5)
    small, _ = hole_lead(Circle(Point(10, 5), 8), shape)
    assert small.pierce == Point(10, 5)


def test_the_arc_into_a_round_hole_is_tangent_to_it():
    lead, run = hole_lead(Circle(Point(0, 0), 30), ARC)
    assert lead.segments[0].end_direction.dot(run[0].start_direction) == pytest.approx(1)


@pytest.mark.parametrize("shape", [STRAIGHT, ARC])
def test_an_outline_is_entered_from_outside_near_the_last_place(shape):
    lead, run = contour_lead(clockwise(), shape, Point(50, 60))
    assert close(run[0].start, Point(50, 40))
    assert lead.segments[-1].end == run[0].start
    assert not BLOCK.contains(lead.pierce)
    assert lead.segments[0].length == pytest.approx(6.0)
    assert Contour(run).area == pytest.approx(-4000)


def test_the_arc_onto_an_outline_is_tangent_to_it():
    lead, run = contour_lead(clockwise(), ARC, Point(50, 60))
    assert lead.segments[0].end_direction.dot(run[0].start_direction) == pytest.approx(1)


@pytest.mark.parametrize("shape", [STRAIGHT, ARC])
def test_a_lead_keeps_out_of_what_lies_beside(shape):
    above = Bounds(0, 41, 100, 80)
    lead, run = contour_lead(clockwise(), shape, Point(50, 60), beside=[above])
    assert not lead.segments[0].bounds.meets(above)
    assert run[0].start.y < 40


@pytest.mark.parametrize("shape", [STRAIGHT, ARC])
def test_a_lead_does_not_cross_the_run_elsewhere(shape):
    # a slot 2 mm wide, whose long sides are the longest of all
    slotted = Contour.polygon(
        Point(*p) for p in [(0, 0), (9, 0), (9, 60), (11, 60), (11, 0), (20, 0), (20, 64), (0, 64)]
    )
    lead, run = contour_lead(clockwise(slotted), shape, Point(10, 30))
    assert lead is not None
    assert min(abs(run[0].start.x - 9), abs(run[0].start.x - 11)) > 0.5
    assert not slotted.contains(lead.segments[0].point_at(0.5))


def test_a_narrow_slot_is_entered_by_a_shorter_lead():
    slot = obround(Point(0, 0), Point(40, 0), 5.0)
    lead, _ = hole_lead(slot, STRAIGHT)
    assert lead.segments[0].length == pytest.approx(6.0)
    narrow, _ = hole_lead(obround(Point(0, 0), Point(40, 0), 2.0), STRAIGHT)
    assert narrow.segments[0].length == pytest.approx(1.5)


def test_without_room_there_is_no_lead():
    hair = obround(Point(0, 0), Point(40, 0), 0.4)
    assert hole_lead(hair, STRAIGHT) == (None, hair.segments)


def test_a_lead_moves_with_its_part():
    lead, _ = contour_lead(clockwise(), STRAIGHT, Point(50, 60))
    turned = lead.moved(Motion.rotation(1.0))
    assert turned.pierce == Motion.rotation(1.0).point(lead.pierce)


def test_leads_are_lines_or_arcs():
    assert isinstance(contour_lead(clockwise(), STRAIGHT, Point(0, 0))[0].segments[0], Line)
    assert isinstance(contour_lead(clockwise(), ARC, Point(0, 0))[0].segments[0], Arc)
