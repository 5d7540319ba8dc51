"""Stock, materials and gauges."""

import pytest

from platewright.errors import UnitError
from platewright.plate.stock import GAUGES, MATERIALS, Stock, gauge_thickness, parse_material


def test_materials_are_keyed_by_their_names() -> None:
    assert all(material.name == name for name, material in MATERIALS.items())


@pytest.mark.parametrize("material", MATERIALS.values(), ids=list(MATERIALS))
def test_stresses_rise_from_yield_to_highest_ultimate(material) -> None:
    if material.carries_load:
        assert material.yield_mpa < material.ultimate_high_mpa
    else:
        assert material.family == "card"


@pytest.mark.parametrize("text", ["A36", "a36", " A36 "])
def test_material_in_any_case(text: str) -> None:
    assert parse_material(text) is MATERIALS["A36"]


def test_unknown_material_names_the_nearest_and_the_allowed() -> None:
    with pytest.raises(UnitError, match=r"allowed: A36, A572-50.*did you mean 6061-T6\?"):
        parse_material("6061T6")


@pytest.mark.parametrize("value", [36, None, True, "unobtainium", ""])
def test_not_a_material(value: object) -> None:
    with pytest.raises(UnitError, match="no known material"):
        parse_material(value)


def test_mass_of_a_square_metre() -> None:
    assert Stock(6.0, MATERIALS["A36"]).mass_kg(1e6) == pytest.approx(47.1)


@pytest.mark.parametrize("table", list(GAUGES))
def test_gauges_run_thinner_and_without_gaps(table) -> None:
    rows = GAUGES[table]
    numbers = list(rows)
    assert numbers == list(range(numbers[0], 31))
    assert all(rows[n] > rows[n + 1] for n in numbers[:-1])


@pytest.mark.parametrize("gauge", [0, 2, 31, 7.5, True])
def test_gauge_outside_the_table(gauge) -> None:
    with pytest.raises(UnitError, match="allowed: 3 to 30"):
        gauge_thickness(gauge, "msg")


def test_unknown_gauge_table() -> None:
    with pytest.raises(UnitError, match="allowed: law, msg"):
        gauge_thickness(10, "wire")  # type: ignore[arg-type]
