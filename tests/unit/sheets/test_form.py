"""The measuring form: letters of the file, a row for everything asked, a picture that fits."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from functools import cache
from itertools import combinations

import pytest

from laws.strategies_files import TOY
from platewright import measure
from platewright.drawing.items import Fill, Item, Stroke, bounds, marks, words
from platewright.drawing.style import DIMENSION
from platewright.files.job import Part
from platewright.files.starter import example
from platewright.geometry.contour import Circle
from platewright.geometry.segment import Arc, Line
from platewright.kinds.kind import IN_PLACE, InPlace, Kind, catalogue
from platewright.plate.dimension import Dimension, Tag
from platewright.plate.piece import pieces_of
from platewright.sheets.form import form_pages
from platewright.sheets.form_key import form_key, place_key
from platewright.units import Unit

KINDS = list(catalogue().values())
SEAT = catalogue()["seat"]


#: Made once for all tests.
pages_of, example_of = cache(form_pages), cache(example)


def of_pages(kind: Kind, part: Part | None, unit: Unit = "in", paper: str = "letter") -> list[str]:
    return [word for page in pages_of(kind, part, unit, paper) for word in words(page.items)]


def seat_example(unit: Unit = "in") -> Part:
    part = example_of(SEAT, unit)
    assert part is not None
    return part


@cache
def picture(unit: Unit = "in", kind: Kind = SEAT) -> tuple[Item, ...]:
    part = example_of(kind, unit)
    assert part is not None
    (piece,) = pieces_of(kind.name, "as drawn", part.bracket)
    return form_key(piece, measure.lettered(kind.measurements), (190.0, 118.0))


# --- the rows ----------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_every_letter_of_the_file_has_its_row(kind):
    printed = of_pages(kind, None)
    declared = dict(measure.walk(kind.measurements))
    for key, letter in measure.lettered(kind.measurements).items():
        star = " *" if declared[key].fit_critical else ""
        # over and over: once with its words, once over its blanks
        assert printed.count(f"{letter}{star}") == (2 if "[]" in key and not star else 1)
        assert any(word in key and word for word in printed)


@pytest.mark.parametrize(("unit", "paper"), [("in", "letter"), ("mm", "A4")])
@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_what_only_the_vehicle_tells_is_on_the_first_page(kind, unit, paper):
    """The page that goes under the vehicle; what has a default follows, on one page more."""
    # the picture has no figures: one example serves in both units
    pages = pages_of(kind, example_of(kind, "in"), unit, paper)
    over_and_over = any(each.quantity == "pairs" for _, each in measure.walk(kind.measurements))
    assert len(pages) == (3 if over_and_over else 2)
    first = words(pages[0].items)
    letters = measure.lettered(kind.measurements)
    for key, each in measure.walk(kind.measurements):
        if each.fit_critical:
            assert f"{letters[key]} *" in first
        elif each.required:
            assert letters[key] in first


def test_how_to_measure_is_told_once_and_pointed_to_after_that():
    printed = of_pages(SEAT, None)
    letters = measure.lettered(SEAT.measurements)
    assert sum("gusset reaches" in word for word in printed) == 1
    assert f"As {letters['left.reach']}." in printed


def test_a_row_tells_what_and_how_and_what_is_taken_when_it_is_empty():
    printed = " ".join(of_pages(SEAT, None))
    assert "Diameter of the round mounting plate." in printed
    assert "How many bolts hold the plate. From 1 to 8. Left empty: 2." in printed
    assert "The port beside the bolts. Leave all of it empty if there is none." in printed


def test_choices_are_there_to_tick_and_lengths_have_their_unit():
    printed = of_pages(SEAT, None, "mm", "A4")
    assert {"towards the wall", "away from the wall", "undecided"} <= set(printed)
    assert "mm" in printed
    assert "in" not in printed


def test_free_panels_are_sketched_on_squares_and_their_corners_lettered():
    pages = pages_of(catalogue()["panels"], None, "in", "letter")
    printed = [word for page in pages for word in words(page.items)]
    assert any("one square is" in each for each in printed)
    assert printed.count("x, y") == 8 * 6
    assert {*"abcdefgh"} <= set(printed)
    strokes = [m for page in pages for m in marks(page.items) if isinstance(m, Stroke)]
    lines = [s for m in strokes for s in m.shapes if isinstance(s, Line) and s.length > 150]
    heights = {round(line.start.y, 4) for line in lines}
    assert sum(round(y + 5.0, 4) in heights for y in heights) >= 10


def test_every_sort_of_measurement_has_a_blank():
    printed = of_pages(TOY, None)
    assert {"true", "false", "each in", "x, y in", "deg"} <= set(printed)


def test_what_is_asked_for_over_and_over_has_lines_to_fill():
    printed = of_pages(TOY, None)
    assert "Its tabs. Write one line for each, in order." in printed
    assert printed.count("in the table below") == 2
    assert {str(number) for number in range(1, 7)} <= set(printed)
    assert "Write close, normal or loose." in " ".join(of_pages(catalogue()["stepped"], None))


def test_plate_and_bends_are_asked_for_by_the_names_of_the_file():
    printed = of_pages(SEAT, None)
    assert {"stock.thickness", "stock.material", "bend.way", "bend.groove", "hand"} <= set(printed)


@pytest.mark.parametrize(("unit", "paper"), [("in", "letter"), ("mm", "A4"), ("mm", "A3")])
def test_pages_say_which_they_are_and_carry_a_caution(unit, paper):
    pages = pages_of(SEAT, seat_example(unit), unit, paper)
    for number, page in enumerate(pages, 1):
        printed = words(page.items)
        assert f"sheet {number} of {len(pages)}" in printed
        assert any("Let the air out" in word for word in printed)
        assert bounds(page.items).width < page.width


# --- the picture -------------------------------------------------------------------------------


def keyed(listed: Iterable[Dimension | Tag]) -> set[str]:
    return {re.sub(r"\[\d+\]", "[]", each.key) for each in listed if each.key}


def test_the_picture_has_the_letters_of_the_rows():
    letters = measure.lettered(SEAT.measurements)
    bracket = seat_example().bracket
    told = keyed(bracket.dimensions) | keyed(bracket.tags)
    drawn = [word for word in words(picture()) if word != "wall"]
    assert sorted(drawn) == sorted(letters[key] for key in told)
    assert {"plate_diameter", "wall_gap", "left.reach", "right.taper", "port.offset"} <= told


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_every_key_of_a_bracket_has_its_letter_and_is_drawn(kind):
    part = example_of(kind, "in")
    if part is None:
        pytest.skip("the starter's own values make no bracket yet")
    bracket, letters = part.bracket, measure.lettered(kind.measurements)
    told = keyed(bracket.dimensions) | keyed(bracket.tags)
    assert told <= letters.keys()
    drawn = set(words(picture("in", kind)))
    assert {letters[key] for key in told} <= drawn


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_what_a_kind_tells_of_its_place_has_letters_and_is_on_no_panel(kind):
    part = example_of(kind, "in")
    if part is None:
        pytest.skip("the starter's own values make no bracket yet")
    place = kind.in_place(part.measurements, part.bracket)
    if place is None:
        return
    assert keyed((*place.dimensions, *place.tags)) <= measure.lettered(kind.measurements).keys()
    places = [end for each in place.dimensions for end in (each.start, each.end)]
    assert {each.panel for each in (*places, *place.tags)} == {IN_PLACE}


def strap_in_place(unit: Unit) -> InPlace:
    strap = catalogue()["strap"]
    part = example_of(strap, unit)
    assert part is not None
    place = strap.in_place(part.measurements, part.bracket)
    assert place is not None
    return place


def test_every_figure_of_a_strap_has_its_letter_on_a_picture():
    strap = catalogue()["strap"]
    part = example_of(strap, "in")
    bracket, place = part.bracket, strap_in_place("in")
    flat = keyed(bracket.dimensions) | keyed(bracket.tags)
    folded = keyed(place.dimensions) | keyed(place.tags)
    assert {"diameter", "liner", "centre_height", "wrap", "middle", "span"} <= folded
    assert measure.lettered(strap.measurements).keys() - flat - folded == {"bolts.fit"}
    letters = {measure.lettered(strap.measurements)[key] for key in folded}
    assert letters <= set(words(pages_of(strap, part, "in", "letter")[0].items))


def test_a_dimension_line_keeps_off_the_lines_of_the_part():
    """No dimension line of the seat's picture runs along an edge, a bend or another such line."""
    strokes = [m for m in marks(picture()) if isinstance(m, Stroke)]
    lines = [(m.style, line) for m in strokes for line in m.shapes if isinstance(line, Line)]
    own = [line for style, line in lines if style is DIMENSION and line.length > 12.0]
    assert len(own) > 8
    for line in own:
        middle, along = line.point_at(0.5), line.direction
        others = [o for _, o in lines if o is not line and o.length > line.length / 2]
        for other in others:
            if abs(along.cross(other.direction)) < 0.05:
                assert other.distance(middle) > 0.5


def test_a_strap_in_its_place_clasps_the_tank_and_stands_on_its_face():
    place = strap_in_place("mm")
    section, box = place.section, place.section.bounds
    assert box.ymin == pytest.approx(place.face.start.y)
    crown = [s for s in section.segments if isinstance(s, Arc)]
    radii = sorted(arc.radius for arc in crown)
    assert radii[0] == pytest.approx(place.carried.radius)
    assert all(arc.centre.distance(place.carried.centre) < 1e-9 for arc in crown)
    # half a ring, two shanks from its ends to the face, two ears beyond them
    inner, outer = radii
    thickness, height = outer - inner, -place.face.start.y
    ring = math.pi / 2 * (outer**2 - inner**2)
    assert section.area == pytest.approx(ring + 2 * thickness * (height + box.xmax - outer))


def circles_of(items: Sequence[Item]) -> list[Circle]:
    found = [m.outlines[0] for m in marks(items) if isinstance(m, Fill) and m.grey == 1.0]
    return [each for each in found if isinstance(each, Circle)]


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_no_letter_covers_another(unit):
    letters = measure.lettered(catalogue()["strap"].measurements)
    place = place_key(strap_in_place(unit), letters, (190.0, 92.0))
    for items in (picture(unit), place):
        assert_apart(circles_of(items))


def assert_apart(circles: Sequence[Circle]) -> None:
    assert len(circles) > 4
    for a, b in combinations(circles, 2):
        assert a.centre.distance(b.centre) > a.radius + b.radius


def test_the_picture_keeps_to_its_box():
    box = bounds(picture())
    assert box.width <= 190.0
    assert box.height <= 118.0


def test_without_an_example_there_is_no_picture():
    assert not any("An example" in word for word in of_pages(SEAT, None))
    assert any("An example" in word for word in of_pages(SEAT, seat_example()))


# --- the example -------------------------------------------------------------------------------


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_the_example_opens_all_that_agrees(unit):
    seat = seat_example(unit).measurements
    assert seat.left is not None
    assert seat.right is not None
    assert seat.port is not None
    assert (seat.wall_gap is None) != (seat.centre_distance is None)


def test_a_kind_that_cannot_build_its_starter_has_no_example():
    assert example(TOY, "in") is None
