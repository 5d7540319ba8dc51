"""A reading against its tolerance, causes in words, and what becomes of a part."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from platewright.files.reader import load_all
from platewright.measuring.dimensions import Measured, dimensions_of
from platewright.plate.piece import Piece
from platewright.readings.diagnosis import diagnose
from platewright.readings.reading import Reading, State, judged
from platewright.sheets.check_sheet import TOLERANCES as FLAT
from platewright.sheets.folded_rows import TOLERANCES as FOLDED
from platewright.sheets.section import ANGLE_TOLERANCE

PATTERNS = Path(__file__).resolve().parents[3] / "patterns"


@pytest.fixture(scope="module")
def seat() -> Piece:
    return load_all([PATTERNS / "spring-seat.toml"], [])[0].parts[0].pieces[0]


def read(piece: Piece, off: dict[str, float] | None = None) -> list[Reading]:
    """Every dimension once, to a mm: those of a key off by so much."""
    found = []
    for number, each in enumerate(dimensions_of(piece)):
        state: State = "flat" if each.on_blank else "folded"
        teller = each.told_on_blank if each.on_blank else each.told_on_part
        if teller == each.dimension:
            more = (off or {}).get(each.dimension.key, 0.0)
            found.append(at_nominal(f"r{number}", each, state, more))
    return found


def at_nominal(letter: str, each: Measured, state: State, more: float) -> Reading:
    reading = Reading(letter=letter, measured=each, state=state, value=0.0)
    division = math.radians(0.5) if reading.is_angle else 0.5
    return replace(reading, value=round((reading.nominal + more) / division) * division)


@pytest.mark.parametrize(
    ("error", "expected"),
    [(0.0, "good"), (0.8, "good"), (-0.9, "cannot be read so finely"), (1.9, "out"), (-4.0, "out")],
)
def test_a_reading_is_as_good_as_its_tape(error: float, expected: str) -> None:
    # ± 0.8 mm by a tape of 1 mm: 1.8 may yet be 0.8
    assert judged(error, -0.8, 0.8, 1.0) == expected


def test_the_mark_nearest_to_the_nominal_is_good() -> None:
    # + 3 mm, - 0 by a tape of 1 mm: what should be 10.4 reads 10
    assert judged(-0.4, 0.0, 3.0, 1.0) == "good"


def test_the_tolerances_are_those_of_the_check_sheet() -> None:
    from platewright.readings.reading import ANGLE_TOLERANCE as ANGLE
    from platewright.readings.reading import TOLERANCES

    for state, words in (("flat", FLAT), ("folded", FOLDED)):
        for critical in (True, False):
            low, high = TOLERANCES[state, critical]  # type: ignore[index]
            told = f"± {high:g} mm" if low else f"+ {high:g} mm, - 0"
            assert words[critical]["mm"] == told
    assert f"± {math.degrees(ANGLE):.0f}°" == ANGLE_TOLERANCE


def test_no_reading_and_one_that_no_tape_takes(seat: Piece) -> None:
    with pytest.raises(ValueError, match="no readings"):
        diagnose(seat, [], division=1.0)
    folded_only = next(e for e in dimensions_of(seat) if e.on_blank is None and e.on_part)
    wrong = Reading(letter="q", measured=folded_only, state="flat", value=1.0)
    with pytest.raises(ValueError, match="reading q: not to be measured on the flat part"):
        diagnose(seat, [wrong], division=1.0)


def test_the_other_hand_shows_left_and_right_exchanged(seat: Piece) -> None:
    # left reach 6 in and depth 3 1/2 in, right 4 1/2 and 2 1/2 in: patterns/spring-seat.toml
    swaps = {"left.reach": -38.1, "right.reach": 38.1, "left.depth": -25.4, "right.depth": 25.4}
    sided = ("gusset", "corner", "bend", "over all")
    told = [
        reading
        for reading in read(seat, swaps)
        if reading.measured.dimension.key in swaps
        or not any(word in repr(reading.measured.dimension) for word in sided)
    ]
    (found,) = diagnose(seat, told, division=0.5).causes
    assert found.name == "cut from the wrong face"
    assert found.size == found.error == 0.0


def test_one_reading_of_a_part_that_was_misread_by_an_inch(seat: Piece) -> None:
    readings = read(seat, {"bolts.spacing": 25.4})
    told = diagnose(seat, readings, division=0.5, unit="in")
    (found,) = told.causes
    letter = next(e.letter for e in readings if e.measured.dimension.key == "bolts.spacing")
    assert (found.name, found.evidence) == (f"{letter} misread", (letter,))
    assert "misread by 1 in" in found.words
    assert told.fate.outcome == "measure again"


def test_what_no_cause_explains_is_measured_again(seat: Piece) -> None:
    # no slip of a tape, and all else stands against a reach 9 mm longer
    readings = read(seat, {"left.reach": 9.0})
    told = diagnose(seat, readings, division=0.5)
    letter = next(e.letter for e in readings if e.measured.dimension.key == "left.reach")
    (found,) = told.causes
    assert found.words.startswith(f"reading {letter} fits no other")
    assert found.size == pytest.approx(9.0, abs=0.8)
    assert told.fate.outcome == "measure again"
    assert f"Measure {letter} again" in told.fate.words


def test_what_two_readings_cannot_tell_apart_one_more_settles(seat: Piece) -> None:
    short = {"bolts.spacing"}
    readings = [e for e in read(seat, {"bolts.spacing": 4.0}) if e.measured.dimension.key in short]
    told = diagnose(seat, readings, division=0.5)
    assert told.causes
    assert told.alternatives
    read_already = {e.measured.dimension for e in readings}
    settles = [each.settles for each in told.alternatives if each.settles]
    assert settles
    assert not read_already & {each.dimension for each in settles}


def test_a_kerf_and_a_print_scale_are_told_apart_by_a_hole() -> None:
    piece = load_all([PATTERNS / "winch-angle.toml"], [])[0].parts[0].pieces[0]
    # every edge 0.65 mm inside, of 200 mm and of 120 mm: as good as 0.9 % less
    edges = {"overall, left to right", "front of shelf", "edge of upright"}
    readings = [
        replace(at_nominal(f"r{number}", each, "flat", 0.0), value=each.on_blank.value - 1.3)
        for number, each in enumerate(dimensions_of(piece))
        if each.on_blank and {each.dimension.what, each.dimension.start.words} & edges
        if each.dimension.over_all or each.dimension.end_to_end
    ]
    told = diagnose(piece, readings, division=1.0, kerf=1.5)
    names = {each.name for each in (*told.causes, *told.alternatives)}
    assert {"kerf", "print scale"} <= names
    for each in told.alternatives:
        if each.settles is None and "kerf" in (each.found, each.name):
            assert "measure how wide upright hole 1 is" in each.by_hole
