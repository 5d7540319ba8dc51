"""The table of what the file said."""

from pathlib import Path

from platewright.drawing.items import words
from platewright.files.reader import load_job
from platewright.files.typed import Typed
from platewright.sheets.typed_table import typed_strips

PATTERNS = Path(__file__).parents[3] / "patterns"


def told(typed, unit="in"):
    return [word for strip in typed_strips(typed, unit, 190.0) for word in words(strip.items)]


def test_every_value_stands_there_as_it_was_typed():
    (part,) = load_job(PATTERNS / "spring-seat.toml").parts
    found = " ".join(told(part.typed))
    for pair in ("wall gap = 1", "gusset reach = 6", "groove width = 0.11", "port size = 1/4 NPT"):
        assert pair in found
    assert "spring-seat" not in found


def test_lists_and_rows_are_told_by_their_keys():
    (part,) = load_job(PATTERNS / "spring-seat-fitted.toml").parts
    typed = {each.key: each.words for each in part.typed}
    assert any(key.startswith("scribe[1].") for key in typed)
    assert any(key.startswith("trim[1].") for key in typed)
    readings = typed["scribe[1].readings"]
    assert readings.startswith("[[")
    assert "31/32" in readings or "29/32" in readings


def test_nothing_known_makes_no_table():
    assert typed_strips((), "in", 190.0) == ()
    assert typed_strips((Typed("kind", "kind", "seat"),), "in", 190.0) == ()


def test_the_unit_of_bare_numbers_is_said():
    assert any("in mm" in line for line in told((Typed("web", "web", "50"),), "mm"))
