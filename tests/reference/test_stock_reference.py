"""Stock figures from outside, each with its source beside it."""

import pytest

from platewright.plate.stock import MATERIALS, Stock, gauge_thickness

INCH = 25.4
KSI = 6.894757
GAUGES = [
    # (table, gauge, inches)
    ("law", 7, 0.1875),  # 15 U.S.C. 206, read
    ("law", 10, 0.140625),  # 15 U.S.C. 206, read
    ("law", 11, 0.125),  # 15 U.S.C. 206, read
    ("law", 16, 0.0625),  # 15 U.S.C. 206, read
    ("law", 3, 0.25),  # 15 U.S.C. 206, memory
    ("law", 30, 0.0125),  # 15 U.S.C. 206, memory
    ("msg", 7, 0.1793),  # Manufacturers' Standard Gauge, read
    ("msg", 10, 0.1345),  # Manufacturers' Standard Gauge, read
    ("msg", 11, 0.1196),  # Manufacturers' Standard Gauge, read
    ("msg", 12, 0.1046),  # Manufacturers' Standard Gauge, read
    ("msg", 14, 0.0747),  # Manufacturers' Standard Gauge, read
    ("msg", 16, 0.0598),  # Manufacturers' Standard Gauge, read
    ("msg", 3, 0.2391),  # Manufacturers' Standard Gauge, memory
    ("msg", 20, 0.0359),  # Manufacturers' Standard Gauge, memory
]


@pytest.mark.parametrize(("table", "gauge", "inches"), GAUGES)
def test_gauge(table: str, gauge: int, inches: float) -> None:
    assert gauge_thickness(gauge, table) == pytest.approx(inches * INCH, rel=1e-12)


def test_inch_plate_weighs_40_8_pounds_a_square_foot() -> None:
    # 7850 kg/m3 (EN 1991-1-1) and 40.8 lb/ft2 (AISC Manual): memory
    square_foot = (12 * INCH) ** 2
    pounds = Stock(INCH, MATERIALS["A36"]).mass_kg(square_foot) / 0.45359237
    assert MATERIALS["A36"].density_kg_m3 == 7850
    assert pounds == pytest.approx(40.8, abs=0.05)


STRESSES = [
    # (material, least yield ksi)
    ("A36", 36),  # ASTM A36, read
    ("A572-50", 50),  # ASTM A572 grade 50, read
    ("5052-H32", 23),  # ASTM B209, memory
    ("6061-T6", 35),  # ASTM B209, memory
    ("304", 30),  # ASTM A240, memory
]


@pytest.mark.parametrize(("name", "low"), STRESSES)
def test_stresses(name: str, low: float) -> None:
    # the metric standards round the same figures, so within 1.5 %
    assert MATERIALS[name].yield_mpa == pytest.approx(low * KSI, rel=0.015)


@pytest.mark.parametrize(
    ("name", "yields"),
    # MPa up to 16, over 16 to 40, over 40 to 63 mm: EN 10025-2, memory
    [("S235", (235, 225, 215)), ("S275", (275, 265, 255)), ("S355", (355, 345, 335))],
)
def test_yield_goes_by_thickness(name: str, yields: tuple[float, float, float]) -> None:
    thicknesses = (3.0, 16.0), (16.1, 40.0), (40.1, 50.8)
    for both, mpa in zip(thicknesses, yields, strict=True):
        assert [MATERIALS[name].least_yield(thickness) for thickness in both] == [mpa, mpa]


@pytest.mark.parametrize(("name", "low"), STRESSES)
def test_an_inch_shop_gets_the_inch_standards_own_yield(name: str, low: float) -> None:
    assert MATERIALS[name].least_yield(6.0, "in") == pytest.approx(low * KSI, rel=1e-6)


def test_a36_metric_yield_and_highest_ultimate() -> None:
    # ASTM A36: 250 MPa, ultimate 58 to 80 ksi, read
    assert MATERIALS["A36"].yield_mpa == 250
    assert MATERIALS["A36"].ultimate_high_mpa == pytest.approx(80 * KSI, rel=0.005)
