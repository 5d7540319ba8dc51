"""The setup file to fill in: it reads back, makes a travel, and opens what is asked for."""

from __future__ import annotations

import tomllib

import pytest

from platewright.files.setup import SetupHead, read_setup, travel_of
from platewright.files.starter import setup_starter
from platewright.measure import fields_of, lettered, walk
from platewright.suspension.setup import Setup
from platewright.suspension.warning import warnings
from platewright.units import Unit

UNITS: list[Unit] = ["in", "mm"]


@pytest.mark.parametrize("unit", UNITS)
def test_it_reads_back_and_makes_a_travel_that_needs_no_change(unit: Unit) -> None:
    file = read_setup(setup_starter(unit), "mine.toml")
    assert (file.unit, file.name) == (unit, "mine")
    assert not [each for each in warnings(travel_of(file)) if each.weight == "change"]


def test_both_units_start_from_the_same_suspension() -> None:
    inches, mm = (read_setup(setup_starter(unit), "mine.toml").setup for unit in UNITS)
    assert inches == mm


def test_every_key_is_there_with_its_letter_and_label() -> None:
    text = setup_starter("in")
    letters = lettered(Setup)
    for key, measure in walk(Setup):
        assert f"# {letters[key]}  {measure.label}" in text
        assert f"{key.rpartition('.')[2]} = " in text
    for name, _ in fields_of(SetupHead):
        assert f"{name} = " in text


def test_optional_tables_are_commented_out_until_asked_for() -> None:
    assert {"mount", "stands", "load", "four_link"}.isdisjoint(tomllib.loads(setup_starter("in")))
    asked = frozenset({"stands", "load", "limits.tilt", "limits.drift"})
    file = read_setup(setup_starter("mm", asked), "mine.toml")
    assert file.setup.stands is not None
    assert file.setup.load is not None
    assert file.setup.limits.drift == pytest.approx(25.4)
    assert travel_of(file).prop_height is not None


def test_a_mount_that_is_asked_for_stands_nearly_where_it_belongs() -> None:
    of = travel_of(read_setup(setup_starter("in", frozenset({"mount"})), "mine.toml"))
    assert of.mount.at.distance(of.wanted.at) < 5.0


def test_lines_keep_to_the_page() -> None:
    assert max(map(len, setup_starter("mm").splitlines())) <= 96
