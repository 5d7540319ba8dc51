"""Sections, weld groups and screens."""

import math

import pytest

from platewright.errors import BuildError, GeometryError
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.plate.stock import MATERIALS, Stock
from platewright.shop.strength import (
    CAUTION,
    THROAT,
    Rectangle,
    plate_screen,
    section,
    weld_group,
    weld_screen,
)

PLATE = Stock(6.0, MATERIALS["A36"])
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
    screen = plate_screen(1000, 60, FLAT, PLATE)
    assert screen.moment == 60_000
    # W = 100 * 36 / 6 = 600 mm3: 100 MPa of 250 / 1.67 (AISC 360-16 F1, memory)
    assert screen.greatest_mpa == pytest.approx(100)
    assert screen.ratio == pytest.approx(0.4 * 1.67)
    assert "yield of A36 structural steel over a safety margin of 1.67" in screen.limit_words


def test_in_an_inch_shop_a36_yields_at_36_ksi() -> None:
    screen = plate_screen(1000, 60, FLAT, PLATE, "in")
    assert screen.strength_mpa / 6.894757 == pytest.approx(36, abs=1e-4)


def test_weld_screen() -> None:
    screen = weld_screen(6000, 100, UPRIGHTS, 5.0)
    throat = 5 * THROAT
    bending, shear, combined = (stress for _, stress in screen.stresses)
    assert bending == pytest.approx(600_000 / (1200 * throat))
    assert shear == pytest.approx(6000 / (120 * throat))
    assert combined == pytest.approx(math.hypot(bending, shear))
    assert screen.greatest_mpa == combined
    # 0.60 of 70 ksi over 2.00 (AISC 360-16 J2.4, memory)
    assert screen.limit_mpa == pytest.approx(0.6 * 482.6 / 2, rel=1e-4)
    assert "over a safety margin of 2 (AISC 360-16 J2.4)" in screen.limit_words


def test_aluminium_is_welded_with_wire_of_its_own() -> None:
    steel, aluminium = (
        weld_screen(6000, 100, UPRIGHTS, 5.0, family) for family in ("steel", "aluminium")
    )
    # 4043 at 24 ksi (memory)
    assert aluminium.strength_mpa / steel.strength_mpa == pytest.approx(24 / 70)


def test_a_screen_approves_nothing() -> None:
    for screen in (plate_screen(1, 1, FLAT, PLATE), weld_screen(1, 1, UPRIGHTS, 3)):
        assert screen.caution == CAUTION
        assert "approves nothing" in screen.caution
        assert any("no fatigue" in words for words in screen.assumptions)


def test_card_is_not_screened() -> None:
    with pytest.raises(BuildError, match="carries no load"):
        plate_screen(1000, 60, FLAT, Stock(1.0, MATERIALS["card"]))
