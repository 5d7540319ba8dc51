"""Paper sizes against the standards that set them."""

import math

import pytest

from platewright.sheets.paper import A3, A4, LEGAL, LETTER, PAPERS, TABLOID, field_of

INCH = 25.4


@pytest.mark.parametrize(
    ("paper", "width", "height"),
    [
        # ISO 216: A4 210 x 297 mm, A3 297 x 420 mm
        (A4, 210, 297),
        (A3, 297, 420),
        # ANSI/ASME Y14.1: A is 8.5 x 11 in, B is 11 x 17 in
        (LETTER, 8.5 * INCH, 11 * INCH),
        (TABLOID, 11 * INCH, 17 * INCH),
        # legal, 8.5 x 14 in: common practice, no drawing-office standard
        (LEGAL, 8.5 * INCH, 14 * INCH),
    ],
    ids=lambda value: getattr(value, "name", str(value)),
)
def test_sizes_are_the_standards(paper, width, height):
    assert (paper.width, paper.height) == pytest.approx((width, height), abs=1e-9)


def test_an_a_size_is_half_the_next_and_keeps_its_shape():
    # ISO 216: each size is the one before halved, sides as 1 to the square root of 2, whole mm
    assert A3.height / 2 == A4.width
    assert A3.width == A4.height
    for paper in (A4, A3):
        assert paper.height / paper.width == pytest.approx(math.sqrt(2), abs=1.5 / paper.width)


def test_two_letters_make_a_tabloid():
    # ANSI/ASME Y14.1: the B size is two A sizes side by side
    assert (2 * LETTER.width, LETTER.height) == pytest.approx((TABLOID.height, TABLOID.width))


@pytest.mark.parametrize("paper", PAPERS.values(), ids=lambda paper: paper.name)
def test_every_size_has_room_for_the_furniture_both_ways(paper):
    for sheet in (paper, paper.turned):
        assert field_of(sheet).width > 100
