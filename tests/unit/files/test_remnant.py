"""Sizes of stock, and remnants drawn in files."""

from __future__ import annotations

import pytest

from platewright.errors import FileError, UnitError
from platewright.files.remnant import load_remnant, parse_sheet, read_remnant, remnant_text
from platewright.plate.stock import MATERIALS, Stock

GOOD = """
units = "in"
outline = [[0, 0], [10, 0], [10, "4 1/2"], [0, 4]]
"""


@pytest.mark.parametrize(
    ("text", "unit", "size"),
    [
        ("24x48", "in", (609.6, 1219.2)),
        ("24 x 48", "in", (609.6, 1219.2)),
        ("600X1200", "mm", (600.0, 1200.0)),
        ("4 ft x 8 ft", "in", (1219.2, 2438.4)),
        ("4 × 8 ft", "mm", (1219.2, 2438.4)),
        ("1250x2500 mm", "in", (1250.0, 2500.0)),
        ("12 1/2x24 in", "mm", (317.5, 609.6)),
        ("1'-6\"x3'", "in", (457.2, 914.4)),
        ("100 mm x 10 in", "in", (100.0, 254.0)),
    ],
)
def test_a_size_is_read_as_a_shop_writes_it(text, unit, size):
    sheet = parse_sheet(text, unit)
    assert (sheet.bounds.width, sheet.bounds.height) == pytest.approx(size)
    assert sheet.count is None
    assert not sheet.remnant


def test_how_many_there_are_stands_after_a_colon():
    assert parse_sheet("24x48:2", "in").count == 2
    assert parse_sheet("24 x 48 : 13", "in").count == 13


def test_a_remnant_is_one_unless_told():
    assert parse_sheet("10x20", "in", remnant=True).count == 1
    assert parse_sheet("10x20:3", "in", remnant=True).count == 3
    assert parse_sheet("10x20", "in", remnant=True).name == "remnant 10 in x 20 in"


@pytest.mark.parametrize("text", ["", "24", "24by48", "x", "24x", "ax b", "24x48x2", "1,5x2"])
def test_what_is_no_size_is_refused(text):
    with pytest.raises(UnitError, match="not a size of stock"):
        parse_sheet(text, "in")


@pytest.mark.parametrize("text", ["0x48", "24x0", "24x48:0"])
def test_stock_without_metal_is_refused(text):
    with pytest.raises(UnitError, match="no metal"):
        parse_sheet(text, "in")


def test_a_remnant_of_a_file_has_its_corners_and_its_name(tmp_path):
    path = tmp_path / "rail offcut.toml"
    path.write_text(GOOD)
    sheet = load_remnant(path)
    assert (sheet.name, sheet.count, sheet.remnant) == ("remnant rail offcut", 1, True)
    assert sheet.stock is None
    assert sheet.area == pytest.approx(254 * (4 + 4.5) / 2 * 25.4)


def test_the_corners_may_run_either_way():
    turned = GOOD.replace(
        '[0, 0], [10, 0], [10, "4 1/2"], [0, 4]', '[0, 4], [10, "4 1/2"], [10, 0], [0, 0]'
    )
    assert read_remnant(turned, "r.toml").area == pytest.approx(read_remnant(GOOD, "r.toml").area)


def test_a_remnant_may_tell_its_plate_and_its_holes():
    text = GOOD + (
        'thickness = "3/16"\nmaterial = "A36"\ncount = 2\n'
        "[[hole]]\noutline = [[1, 1], [2, 1], [2, 2], [1, 2]]\n"
    )
    sheet = read_remnant(text, "r.toml")
    assert sheet.stock is not None
    assert sheet.stock.thickness == pytest.approx(4.7625)
    assert sheet.count == 2
    assert sheet.area == pytest.approx(read_remnant(GOOD, "r.toml").area - 25.4**2)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("outline = [[0, 0], [1, 0], [0, 1]]", "units: missing"),
        (GOOD + 'thickness = "3/16"\n', "thickness and material together"),
        (GOOD.replace("[0, 4]", "[0, 4], [0, 4]"), "stands twice"),
        (GOOD.replace("[10, 0]", "[10, 0], [0, 1]"), "crosses itself"),
        ('units = "in"\noutline = [[0, 0], [1, 0], [2, 0]]', "no metal"),
        ('units = "in"\noutline = [[0, 0], [1, 0]]', "outline"),
        (GOOD + "colour = 1\n", "no such key"),
        (
            GOOD + "[[hole]]\noutline = [[1, 1], [2, 2], [2, 1], [1, 2]]\n",
            r"hole\[1\].outline: the (corners|outline)",
        ),
    ],
)
def test_mistakes_in_a_remnant_are_told(text, words):
    with pytest.raises(FileError, match=words):
        read_remnant(text, "r.toml")


@pytest.mark.parametrize("thickness", [4.7625, 0.1793 * 25.4, 3.0, 25.4 / 3])
def test_what_is_left_is_read_back_as_the_same_plate(thickness):
    stock = Stock(thickness, MATERIALS["A36"])
    text = remnant_text(stock, ("12 1/2", "24"), "in", "sheet 2, 24 in x 48 in")
    found = read_remnant(text, "nest-2-left.toml")
    assert (found.bounds.width, found.bounds.height) == pytest.approx((317.5, 609.6))
    assert (found.name, found.stock, found.remnant) == ("remnant nest-2-left", stock, True)
    assert text.startswith("# Written by Platewright: what is left of sheet 2")
