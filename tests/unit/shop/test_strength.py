"""Sections, weld groups and screens."""

import math

import pytest

from platewright.errors import BuildError, GeometryError
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.plate.stock import MATERIALS
from platewright.shop.strength import (
    CAUTION,
    THROAT,
    Rectangle,
    plate_screen,
    section,
    weld_group,
    weld_screen,
)

FLAT = section([Rectangle(width=100, height=6, z=0)])
UPRIGHTS = weld_group([Line(Point(0, 0), Point(0, 60)), Line(Point(90, 0), Point(90, 60))])


def test_a_quarter_turn_swaps_width_and_height() -> None:
    upright = section([Rectangle(width=60, height=6, z=10, tilt=math.pi / 2)])
    plain = section([Rectangle(width=6, height=60, z=10)])
    assert upright.inertia == pytest.approx(plain.inertia)
    assert (upright.bottom, upright.top) == pytest.approx((plain.bottom, plain.top))


def test_leaning_rectangle_reaches_its_corners() -> None:
    half = Rectangle(width=30, height=40, z=0, tilt=math.pi / 4).half_rise
    assert half == pytest.approx(35 / math.sqrt(2))


@pytest.mark.parametrize("parts", [[], [Rectangle(width=0, height=6, z=0)]])
def test_no_section_without_area(parts: list[Rectangle]) -> None:
    with pytest.raises(GeometryError, match="area"):
        section(parts)


@pytest.mark.parametrize(
    ("lines", "words"),
    [([], "length"), ([Line(Point(0, 5), Point(80, 5))], "one height")],
)
def test_no_weld_group(lines: list[Line], words: str) -> None:
    with pytest.raises(GeometryError, match=words):
        weld_group(lines)


def test_lopsided_group_counts_its_far_end() -> None:
    group = weld_group([Line(Point(0, 0), Point(100, 0)), Line(Point(0, 0), Point(0, 50))])
    assert group.centroid == pytest.approx(50 * 25 / 150)
    assert group.modulus == pytest.approx(group.inertia / (50 - group.centroid))


def test_plate_screen() -> None:
    screen = plate_screen(1000, 60, FLAT, MATERIALS["A36"])
    assert screen.moment == 60_000
    # W = 100 * 36 / 6 = 600 mm3: 100 MPa of 250
    assert screen.greatest_mpa == pytest.approx(100)
    assert screen.ratio == pytest.approx(0.4)
    assert screen.greatest_load == pytest.approx(2500)
    assert "yield of A36" in screen.limit_words


def test_weld_screen() -> None:
    screen = weld_screen(6000, 100, UPRIGHTS, 5.0)
    throat = 5 * THROAT
    bending, shear, combined = (stress for _, stress in screen.stresses)
    assert bending == pytest.approx(600_000 / (1200 * throat))
    assert shear == pytest.approx(6000 / (120 * throat))
    assert combined == pytest.approx(math.hypot(bending, shear))
    assert screen.greatest_mpa == combined
    assert screen.limit_mpa == pytest.approx(0.3 * 482.6)


def test_a_screen_approves_nothing() -> None:
    for screen in (plate_screen(1, 1, FLAT, MATERIALS["A36"]), weld_screen(1, 1, UPRIGHTS, 3)):
        assert screen.caution == CAUTION
        assert "approves nothing" in screen.caution
        assert any("no fatigue" in words for words in screen.assumptions)


def test_card_is_not_screened() -> None:
    with pytest.raises(BuildError, match="carries no load"):
        plate_screen(1000, 60, FLAT, MATERIALS["card"])
