from __future__ import annotations

import tomllib
from dataclasses import dataclass

import pytest

from laws.strategies_files import KINDS, TOY
from platewright import measure
from platewright.files.reader import read_job
from platewright.files.starter import starter
from platewright.kinds.kind import Kind, catalogue
from platewright.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Either:
    left: float | None = measure.length("From the left.", optional=True)
    right: float | None = measure.length('From the "right".', optional=True, example="1/2 in")

    def problems(self) -> tuple[tuple[str, str], ...]:
        return () if self.left or self.right else (("right", "give left or right"),)


EITHER = Kind(
    name="either",
    summary="One or the other.",
    measurements=Either,
    draw=TOY.draw,
    dimensions=TOY.dimensions,
)


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_a_starter_of_every_sort_of_measurement_reads_back(unit: Unit) -> None:
    (part,) = read_job(starter(TOY, unit), "start.toml", KINDS).parts
    assert (part.kind, part.unit) == (TOY, unit)


def test_each_key_has_its_letter_label_words_limits_and_default() -> None:
    text = starter(TOY, "in")
    remarks = "# A  width *\n#    Across the plate.\n#    Allowed: 1 in to 20 in.\n"
    assert remarks + 'width = "4 in"\n' in text
    assert '#    Left out: 100 psi.\nair = "100 psi"\n' in text
    for key, letter in measure.lettered(TOY.measurements).items():
        label = dict(measure.walk(TOY.measurements))[key].label
        assert f"# {letter}  {label}" in text


def test_optional_keys_and_tables_are_there_but_commented_out() -> None:
    text = starter(TOY, "in")
    assert '#push = "100 lb"\n' in text
    assert "#[lug]\n# Q  tab length" in text
    assert '\n#long = "4 in"\n' in text
    assert "lug" not in tomllib.loads(text)


def test_millimetre_files_have_millimetre_examples() -> None:
    raw = tomllib.loads(starter(TOY, "mm"))
    assert (raw["width"], raw["shift"], raw["units"]) == ("100 mm", "0 mm", "mm")


def test_examples_are_whole_millimetres_and_defaults_exact() -> None:
    seat = starter(catalogue()["seat"], "mm")
    assert tomllib.loads(seat)["stock"]["thickness"] == "5 mm"
    assert tomllib.loads(seat)["plate_diameter"] == "125 mm"
    assert '#nose = "12 mm"' in seat


def test_free_panels_begin_with_two_panels_the_wall_edge_below() -> None:
    base, upright = tomllib.loads(starter(catalogue()["panels"], "in"))["panel"]
    assert base["points"][:2] == [["-3 in", "-3 in"], ["3 in", "-3 in"]]
    assert base["edges"].startswith("wall edge, right side")
    assert upright["bent_from"]["edge"] == "right side"


def test_an_optional_key_that_the_values_call_for_is_opened() -> None:
    raw = tomllib.loads(starter(EITHER, "mm"))
    assert raw["right"] == "13 mm"
    assert "left" not in raw
    assert tomllib.loads(starter(TOY, "in"))["holes"]["spacing"] == "4 in"


def test_lines_keep_to_the_page() -> None:
    assert max(map(len, starter(TOY, "in").splitlines())) <= 96
