from __future__ import annotations

import pytest

from laws.strategies_files import BODY, COMMON, KINDS, TABLES
from platewright.errors import FileError, UnitError
from platewright.files.job import Part
from platewright.files.reader import read_job
from platewright.files.sections import BendSection, StockSection, name_from, read_name
from platewright.plate.bend import Brake, Crease, ScoreFold
from platewright.plate.stock import MATERIALS, Stock

SCORE = 'way = "score"\ngroove = "0.07"\n'
PLATE = 'thickness = "3/16"\nmaterial = "A36"\n'


def one(stock: str = PLATE, bend: str = SCORE) -> Part:
    text = f"{COMMON}{BODY}[stock]\n{stock}\n[bend]\n{bend}\n{TABLES}"
    (part,) = read_job(text, "toy.toml", KINDS).parts
    return part


def refused(stock: str = PLATE, bend: str = SCORE) -> list[str]:
    with pytest.raises(FileError) as caught:
        one(stock, bend)
    return [f"{mistake.key}: {mistake.message}" for mistake in caught.value.mistakes]


@pytest.mark.parametrize("gauge", ["7", '"7"', '"7 ga"', '"7ga."', '"7 Gauge"'])
def test_a_gauge_with_its_table_is_a_thickness(gauge: str) -> None:
    stock = one(f'gauge = {gauge}\ngauge_table = "law"\nmaterial = "A36"').stock
    assert stock == Stock(pytest.approx(4.7625), MATERIALS["A36"])


def test_stainless_goes_by_the_laws_gauge() -> None:
    stock = one('gauge = 7\ngauge_table = "law"\nmaterial = "304"').stock
    assert stock.thickness == pytest.approx(4.7625)


def test_the_two_tables_differ() -> None:
    by_msg = one('gauge = 7\ngauge_table = "msg"\nmaterial = "A36"').stock
    assert by_msg.thickness == pytest.approx(0.1793 * 25.4)


@pytest.mark.parametrize("material", ["304", '"304"', '"mild steel"', '"a36"'])
def test_a_material_by_its_name(material: str) -> None:
    stock = one(f'thickness = "3/16"\nmaterial = {material}').stock
    assert stock.material.name.lower() == material.strip('"').lower()


@pytest.mark.parametrize(
    ("stock", "words"),
    [
        ('material = "A36"', "thickness: give the plate's thickness, or its gauge and gauge_table"),
        (
            'thickness = 1\ngauge = 7\ngauge_table = "law"\nmaterial = "A36"',
            "gauge: thickness and gauge are both given",
        ),
        ('gauge = 7\nmaterial = "A36"', "gauge: the same gauge is two thicknesses"),
        (
            'thickness = 1\ngauge_table = "law"\nmaterial = "A36"',
            "gauge_table: a gauge table without a gauge",
        ),
        (
            'gauge = 99\ngauge_table = "msg"\nmaterial = "A36"',
            "gauge: no gauge 99 in table msg; allowed: 3 to 30",
        ),
        (
            'gauge = 7\ngauge_table = "law"\nmaterial = "6061-T6"',
            "gauge: the gauge tables are for steel",
        ),
        (
            'gauge = 7\ngauge_table = "msg"\nmaterial = "304"',
            "gauge_table: the Manufacturers' Standard Gauge is for carbon steel",
        ),
        ('gauge = 7\nmaterial = "304"', "gauge_table: the Manufacturers' Standard Gauge is for"),
        ('gauge = 7.0\ngauge_table = "law"\nmaterial = "A36"', "gauge: not a gauge number"),
        ('gauge = "3/16"\ngauge_table = "law"\nmaterial = "A36"', "gauge: not a gauge number"),
        ('thickness = "3/16"', "stock.material: missing"),
        ('thickness = "3/16"\nmaterial = "wood"', "no known material"),
        ("thickness = 3\nmaterial = 'A36'", "thickness: too large; allowed: 0.008 in to 2 in"),
    ],
)
def test_stock_that_cannot_be(stock: str, words: str) -> None:
    (mistake,) = refused(stock=stock)
    assert words in mistake


@pytest.mark.parametrize(
    ("bend", "way"),
    [
        ('way = "score"\ngroove = "0.1"\nligament = "3/64"', ScoreFold(2.54, 1.190625)),
        ('way = "brake"\nradius = "1/4"\nk = 0.4', Brake(6.35, 0.4)),
        ('way = "brake"\nradius = 0\nk = 0', Brake(0, 0)),
        ('way = "crease"', Crease()),
    ],
)
def test_ways_of_bending(bend: str, way: object) -> None:
    assert one(bend=bend).bend == way


def test_the_wheel_goes_with_the_score() -> None:
    assert one(bend='way = "score"\ngroove = "0.11"\nwheel = "1/16"').bend.wheel == 1.5875


def test_a_ligament_left_out_is_a_quarter_of_the_plate() -> None:
    # common practice, no published source
    assert one().bend == ScoreFold(0.07 * 25.4, 4.7625 / 4)


@pytest.mark.parametrize(
    ("bend", "mistakes"),
    [
        ("", ["bend.way: missing"]),
        ('way = "score"', ['bend.groove: a bend made by "score" needs its groove']),
        ('way = "brake"', ["bend.radius: a bend", "bend.k: a bend"]),
        ('way = "brake"\nradius = 1\nk = 0.4\ngroove = "1/16"', ["bend.groove: has no use"]),
        ('way = "crease"\nradius = 1\nk = 0.4', ["bend.radius: has no use", "bend.k: has no use"]),
        (
            'way = "score"\ngroove = "1/16"\nwheel = "3/32"',
            ["bend.groove: a groove cannot be narrower"],
        ),
        (
            'way = "score"\ngroove = "0.1"\nligament = "3/16"',
            ["bend.ligament: nothing would be ground: the plate is 3/16 in thick"],
        ),
        ('way = "brake"\nradius = 1\nk = 0.6', ["bend.k: too large; allowed: at most 0.5"]),
    ],
)
def test_bends_that_cannot_be(bend: str, mistakes: list[str]) -> None:
    found = refused(bend=bend)
    assert len(found) == len(mistakes)
    for line, words in zip(found, mistakes, strict=True):
        assert line.startswith(words)


def test_sections_with_problems_give_no_values() -> None:
    with pytest.raises(UnitError, match="thickness"):
        _ = StockSection(material=MATERIALS["A36"]).plate
    with pytest.raises(UnitError, match="groove"):
        BendSection(way="score").bend_way(4.0)


@pytest.mark.parametrize(
    ("stem", "name"),
    [
        ("rear-axle", "rear-axle"),
        ("a b (1)", "a-b-1"),
        ("日本", "part"),
        ("con", "part-con"),
        ("x" * 90, "x" * 50),
    ],
)
def test_a_files_own_name_becomes_one_that_any_system_takes(stem: str, name: str) -> None:
    assert name_from(stem, "part") == name
    assert read_name(name_from(stem, "part"), "in") == name
