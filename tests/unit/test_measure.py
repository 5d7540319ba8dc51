from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass
from itertools import islice
from typing import Any

import pytest

from laws.strategies_files import Holes, Tab, Toy, read_letter
from platewright import measure
from platewright.errors import UnitError
from platewright.kinds.kind import catalogue
from platewright.measurement import Measure
from platewright.suspension.setup import Setup
from platewright.units import Unit


def declared(field: Any) -> Measure:
    found: Measure = field.metadata["measure"]
    return found


def test_defaults_are_values_already() -> None:
    toy = Toy(width=100, corners=(), tabs=())
    assert (toy.shift, toy.share, toy.letter, toy.painted, toy.steps) == (0, 0.5, "X", False, ())
    assert toy.air == pytest.approx(0.689, abs=0.001)
    assert (toy.lug, toy.words, toy.holes) == (None, None, Holes())


def test_fields_of_gives_every_measure_in_order() -> None:
    names = [name for name, _ in measure.fields_of(Holes)]
    spacing = dict(measure.fields_of(Holes))["spacing"]
    assert names == ["count", "spacing", "fit"]
    assert (spacing.label, spacing.quantity, spacing.fit_critical) == (
        "hole spacing",
        "length",
        True,
    )
    assert (spacing.minimum, spacing.maximum) == (6.35, 1016)


def test_fields_of_refuses_a_field_that_declares_nothing() -> None:
    @dataclass(frozen=True, kw_only=True)
    class Bare:
        width: float = 1.0

    with pytest.raises(TypeError, match="width"):
        measure.fields_of(Bare)


def test_walk_goes_into_tables_and_rows() -> None:
    keys = [key for key, _ in measure.walk(Toy)]
    assert keys[:3] == ["width", "shift", "turn"]
    assert keys[-7:] == [
        "holes.count",
        "holes.spacing",
        "holes.fit",
        "lug.long",
        "lug.tilt",
        "tabs[].long",
        "tabs[].tilt",
    ]


def test_letters_follow_the_declarations() -> None:
    letters = measure.lettered(Toy)
    assert (letters["width"], letters["shift"], letters["tabs[].tilt"]) == ("A", "B", "T")


def test_letters_go_on_after_z() -> None:
    many = dataclasses.make_dataclass(
        "Many", [(f"x{i}", int, measure.count("X.")) for i in range(54)], kw_only=True
    )
    letters = list(islice(measure.lettered(many).values(), 24, None))
    assert letters[:4] == ["Y", "Z", "AA", "AB"]
    assert letters[-2:] == ["BA", "BB"]


@pytest.mark.parametrize(
    ("name", "required"),
    [
        ("width", True),
        ("shift", False),
        ("push", False),
        ("painted", False),
        ("steps", False),
        ("corners", True),
        ("holes", False),
        ("lug", False),
        ("tabs", True),
    ],
)
def test_what_a_file_must_give(name: str, required: bool) -> None:
    assert dict(measure.fields_of(Toy))[name].required is required


def test_a_table_is_required_when_a_key_of_its_own_is() -> None:
    assert declared(measure.table("A tab.", Tab, label="tab")).required


@pytest.mark.parametrize(
    ("name", "unit", "words"),
    [
        ("width", "in", "1 in to 20 in"),
        ("width", "mm", "25.4 mm to 508.0 mm"),
        ("shift", "in", ""),
        ("turn", "in", "-90° to 90°"),
        ("share", "in", "at most 1"),
        ("push", "in", "at most 449.6 lbf"),
        ("push", "mm", "at most 2000 N"),
        ("air", "in", "at most 150 psi"),
        ("air", "mm", "at most 1034 kPa"),
        ("letter", "in", "x, y or z"),
        ("painted", "in", "true or false"),
        ("tabs", "in", "1 to 3"),
    ],
)
def test_limits_in_words(name: str, unit: Any, words: str) -> None:
    assert dict(measure.fields_of(Toy))[name].limits(unit) == words


def test_limits_of_a_choice_are_its_words() -> None:
    assert dict(measure.fields_of(Holes))["fit"].limits("in") == '"close", "normal", "loose"'


def test_limits_with_one_end() -> None:
    assert declared(measure.length("A.", "at least 1/2 in")).limits("in") == "at least 1/2 in"


@pytest.mark.parametrize(
    ("field", "unit", "text"),
    [
        (measure.length("A.", default="1/4 in"), "in", "1/4 in"),
        (measure.length("A.", default="1/4 in"), "mm", "6.35 mm"),
        (measure.angle("A.", default=45), "in", "45°"),
        (measure.flag("A."), "in", "false"),
        (measure.count("A.", default=2), "in", "2"),
        (measure.length("A.", optional=True), "in", ""),
    ],
)
def test_defaults_in_words(field: Any, unit: Any, text: str) -> None:
    assert declared(field).default_text(unit) == text


@pytest.mark.parametrize(
    ("name", "given", "value"),
    [
        ("width", "3 3/16", 80.9625),
        ("width", 3, 76.2),
        ("shift", "-1/4", -6.35),
        ("turn", "-45", -math.pi / 4),
        ("share", "1/4", 0.25),
        ("push", "12 N", 12),
        ("painted", True, True),
        ("words", "  two   words ", "two words"),
        ("letter", "z", "Z"),
    ],
)
def test_reads_single_values(name: str, given: Any, value: Any) -> None:
    assert dict(measure.fields_of(Toy))[name].value(given, "in") == value


@pytest.mark.parametrize(
    ("name", "given", "reason"),
    [
        ("width", "1/2", "too small; allowed: 1 in to 20 in"),
        ("width", 21, "too large; allowed: 1 in to 20 in"),
        ("width", "-5", "negative"),
        ("width", True, "true and false"),
        ("turn", 91, "too large"),
        ("turn", math.nan, "finite"),
        ("share", 1.5, "too large; allowed: at most 1"),
        ("painted", "yes", "true or false"),
        ("words", 3, "words in quotes"),
        ("words", "a" * 201, "200"),
        ("words", "bell \a", "printable"),
        ("letter", "w", "x, y or z"),
        ("letter", "w" * 401, "too long"),
        ("letter", math.inf, "finite"),
        ("tabs", "x", "no single value"),
    ],
)
def test_refuses_single_values(name: str, given: Any, reason: str) -> None:
    with pytest.raises(UnitError, match=reason):
        dict(measure.fields_of(Toy))[name].value(given, "in")


@pytest.mark.parametrize(
    ("given", "unit", "meant"),
    [
        (140, "in", 'write "140 mm"'),
        ("140", "in", 'write "140 mm"'),
        ("5 1/2", "mm", 'write "5 1/2 in"'),
        ("140 in", "in", ""),
        (2000, "in", ""),
        (0, "mm", ""),
        (30000, "mm", ""),
    ],
)
def test_a_number_of_the_other_unit_is_seen_where_it_would_fit(
    given: Any, unit: Any, meant: str
) -> None:
    with pytest.raises(UnitError) as caught:
        dict(measure.fields_of(Toy))["width"].value(given, unit)
    assert ("were meant" in str(caught.value)) == bool(meant)
    assert meant in str(caught.value)


@pytest.mark.parametrize("given", ["1/4", "0.5"])
def test_a_declared_length_must_carry_its_unit(given: str) -> None:
    for within in (f"at least {given}", f"at most {given}", f"{given} to 2 in", f"0 to {given}"):
        with pytest.raises(ValueError, match="needs its unit"):
            measure.length("A.", within)
    with pytest.raises(ValueError, match="needs its unit"):
        measure.length("A.", default=given)


def test_a_declared_default_must_keep_its_own_limits() -> None:
    with pytest.raises(UnitError, match="too small"):
        measure.length("A.", "at least 1 in", default="1/2 in")
    with pytest.raises(UnitError):
        measure.custom("A.", read=read_letter, allowed="x", default="w")


def every_measure() -> list[tuple[str, Measure]]:
    """Of all kinds and of a suspension's setup."""
    declared = [*(kind.measurements for kind in catalogue().values()), Setup]
    return [(f"{one.__name__}.{key}", m) for one in declared for key, m in measure.walk(one)]


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_what_is_told_as_allowed_is_accepted(unit: Unit) -> None:
    """A least is rounded up and a most down, so that nobody who writes it is refused."""
    for name, one in every_measure():
        if one.quantity in ("length", "angle", "force", "pressure", "area") and not one.allowed:
            limits = one.limits(unit).removeprefix("at least ").removeprefix("at most ")
            for limit in filter(None, limits.split(" to ")):
                assert math.isfinite(one.value(limit, unit)), name
