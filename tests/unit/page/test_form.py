"""The form holds every declared field, and nothing that is not declared."""

from collections.abc import Iterator

import pytest

from platewright.files.sections import Common
from platewright.files.setup import SetupHead
from platewright.files.shop_file import ShopFigures
from platewright.kinds.kind import catalogue
from platewright.kinds.making import Extras
from platewright.measure import lettered, walk
from platewright.page.form import bracket_form, setup_form, shop_form
from platewright.suspension.setup import Setup


def single_fields(fields: list[dict]) -> Iterator[dict]:
    for field in fields:
        if "columns" in field:
            yield from single_fields(field["columns"])
        else:
            yield field


def fields_of_form(form: dict) -> dict[str, dict]:
    sections = [field for section in form["sections"] for field in section["fields"]]
    return {each["key"]: each for each in single_fields([*sections, *form["features"]])}


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("kind", [*catalogue(), "travel", "shop"])
def test_every_declared_field_is_in_the_form_with_its_letter(kind, unit):
    if kind == "travel":
        form, own, shared = setup_form(unit), Setup, (SetupHead,)
    elif kind == "shop":
        form, own, shared = shop_form(unit), ShopFigures, ()
    else:
        form, own = bracket_form(kind, unit), catalogue()[kind].measurements
        shared = (Common, Extras)
    found = fields_of_form(form)
    declared = {key: measure for each in (own, *shared) for key, measure in walk(each)}
    assert found.keys() == declared.keys()
    for key, measure in declared.items():
        field = found[key]
        assert field["how"] == measure.how
        assert field["label"] == measure.label
        assert field["star"] is measure.fit_critical
        assert tuple(field["choices"]) == measure.choices
        assert field["allowed"] == measure.limits(unit)
        assert field["letter"] == ("" if kind == "shop" else lettered(own).get(key, ""))
