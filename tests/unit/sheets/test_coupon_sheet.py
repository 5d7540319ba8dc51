"""The coupon's sheet."""

import pytest

from platewright.drawing.items import bounds, words
from platewright.sheets.coupon_sheet import coupon_pages, notes_of
from platewright.shop.coupon import coupon

THICKNESSES = [0.5, 4.7625, 12.7, 50.0]


@pytest.mark.parametrize("paper", ["letter", "A4", "legal", "tabloid", "A3"])
@pytest.mark.parametrize("thickness", THICKNESSES)
def test_it_is_one_page(thickness, paper):
    (page,) = coupon_pages(coupon(thickness), "mm", paper)
    box = bounds(page.items)
    assert page.bounds.union(box) == page.bounds


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_it_says_what_to_measure_and_how_the_kerf_follows(unit):
    made = coupon(4.7625)
    (page,) = coupon_pages(made, unit, "letter")
    found = words(page.items)
    told = " ".join(found)
    for words_ in ("compensation OFF", "drawn less reading", "the reading itself", "hole_factor"):
        assert words_ in told
    assert found.count("reading less drawn") == len(made.holes)
    assert ("--units in" in told) == (unit == "in")


def test_the_dxf_s_words_say_that_nothing_is_allowed_for():
    told = " ".join(notes_of(coupon(5.0), "mm"))
    assert "nothing allows for the kerf" in told
    assert "drawn in millimetres" in told
    assert "12.0 mm" in told
