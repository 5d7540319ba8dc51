"""The coupon, and the kerf that follows from it."""

import pytest

from platewright.errors import UnitError
from platewright.geometry.contour import Circle
from platewright.shop.coupon import (
    Kerf,
    coupon,
    hole_diameters,
    hole_reading,
    outside_reading,
    slot_reading,
)

INCH = 25.4
THICKNESSES = [0.5, 1.6, 3 / 16 * INCH, 6.0, 12.7, 40.0]


@pytest.mark.parametrize("thickness", THICKNESSES)
def test_everything_lies_apart_and_in_the_scrap(thickness):
    made = coupon(thickness)
    boxes = [made.square.bounds, made.slot.bounds, *(hole.bounds for hole in made.holes)]
    for i, box in enumerate(boxes):
        assert made.scrap.union(box) == made.scrap
        assert not any(box.grown(6).meets(other.grown(6)) for other in boxes[i + 1 :])


@pytest.mark.parametrize("thickness", THICKNESSES)
def test_the_square_is_pierced_outside_and_the_holes_inside(thickness):
    made = coupon(thickness)
    assert made.square.area == pytest.approx(-2500)
    assert not made.square.contains(made.square_lead.pierce)
    assert made.square_lead.segments[-1].end == made.square.segments[0].start
    for hole, lead in zip(made.holes, made.hole_leads, strict=True):
        assert hole.contains(lead.pierce)


def test_holes_go_by_the_thickness_and_one_fits_a_caliper():
    assert hole_diameters(5.0) == (5.0, 7.5, 10.0, 12.0, 15.0)
    assert hole_diameters(0.5) == (4.0, 12.0)
    assert hole_diameters(40.0) == (12.0, 40.0)
    assert all(isinstance(hole, Circle) for hole in coupon(5.0).holes)


def test_readings_of_a_known_kerf_give_it_back():
    width = 1.4
    readings = (
        outside_reading(50 - width),
        slot_reading(width),
        hole_reading(12.0, 12 + width),
    )
    kerf = Kerf(readings)
    assert kerf.mean == pytest.approx(width)
    assert kerf.spread == pytest.approx(0, abs=1e-12)
    assert kerf.agrees


def test_the_mean_and_the_spread():
    kerf = Kerf((outside_reading(48.5), outside_reading(48.7), slot_reading(1.6)))
    assert kerf.mean == pytest.approx((1.5 + 1.3 + 1.6) / 3)
    assert kerf.spread == pytest.approx(0.3)
    assert not kerf.agrees


def test_a_single_reading_has_no_spread():
    assert Kerf((slot_reading(1.2),)).spread == 0


@pytest.mark.parametrize("read", [outside_reading, slot_reading])
@pytest.mark.parametrize("measured", [-1.0, 0.0, 50.0 + 1e-9, 1247.0])
def test_readings_that_no_kerf_explains_are_refused(read, measured):
    with pytest.raises(UnitError, match="mind the unit"):
        read(measured)


def test_a_hole_smaller_than_drawn_is_refused():
    with pytest.raises(UnitError, match=r"hole drawn .*12\.0 mm"):
        hole_reading(12.0, 11.5)


def test_an_inch_coupon_has_inch_sizes():
    made = coupon(3 / 16 * 25.4, "in")
    assert outside_reading(1.94 * 25.4, "in").kerf == pytest.approx(0.06 * 25.4)
    assert made.slot.length == pytest.approx(1.5 * 25.4)
    for diameter in hole_diameters(3 / 16 * 25.4, "in"):
        thirty_seconds = diameter / 25.4 * 32
        assert thirty_seconds == pytest.approx(round(thirty_seconds))
    box = made.square.bounds
    assert (box.width, box.height) == pytest.approx((50.8, 50.8))


def test_holes_have_a_kerf_of_their_own_where_they_differ_by_more_than_the_readings():
    outside = (outside_reading(48.5), slot_reading(1.54))
    holes = (hole_reading(12.0, 13.8), hole_reading(7.5, 9.28))
    kerf = Kerf((*outside, *holes))
    assert kerf.mean == pytest.approx(1.52)
    assert kerf.holes == pytest.approx(1.79)
    assert kerf.agrees
    assert kerf.spread == pytest.approx(0.04)


def test_holes_that_differ_less_or_were_read_once_share_the_kerf():
    outside = (outside_reading(48.5), slot_reading(1.6))
    near = (hole_reading(12.0, 13.6), hole_reading(7.5, 9.14))
    assert Kerf((*outside, *near)).holes is None
    once = Kerf((*outside, hole_reading(12.0, 14.2)))
    assert once.holes is None
    assert not once.agrees
