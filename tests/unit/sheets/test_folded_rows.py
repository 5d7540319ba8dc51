import math
from dataclasses import replace
from itertools import pairwise

import pytest

from laws.example_pieces import BRAKE, gusset, judged, seat_piece
from laws.meeting import any_meet, texts_of
from laws.strategies_bracket import rectangle
from platewright.drawing.free_space import Box
from platewright.drawing.items import Stroke, marks, words
from platewright.drawing.style import HIDDEN_LEADER
from platewright.drawing.view import views_of
from platewright.geometry.plane import Bounds
from platewright.geometry.space import Point3
from platewright.kinds import channel
from platewright.plate.bend import Brake
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bend, Bracket
from platewright.plate.folded import folded
from platewright.plate.folded_checks import HOLES, folded_checks
from platewright.plate.sharp import sharp_corner
from platewright.plate.stock import MATERIALS, Stock
from platewright.sheets.check_sheet import matter_of
from platewright.sheets.folded_rows import (
    ANGLE_TOLERANCE,
    TOLERANCES,
    folded_letters,
    folded_section,
    row_words,
    sheet_checks,
)
from platewright.sheets.paper import A4

PIECE = seat_piece(way=BRAKE)


def rows(piece=PIECE):
    return sheet_checks(piece.bracket)


def lettered(piece=PIECE):
    return folded_letters(rows(piece), *views_of(piece.bracket))


def told(piece=PIECE, unit="mm"):
    matter = matter_of(piece, judged(piece), unit, A4)
    return words([item for strip in folded_section(matter) for item in strip.items])


# --- which readings ---------------------------------------------------------------------------


def test_of_the_holes_beside_a_panel_the_nearest_is_measured():
    holes = [check for check in rows() if check.what in HOLES]
    assert [(check.start, check.panel) for check in holes] == [
        ("bolt hole 2 (middle)", "left gusset"),
        ("bolt hole 1 (middle)", "right gusset"),
    ]
    # centre to gusset 75 + 12 mm, less the hole's 35 mm
    assert [check.value for check in holes] == pytest.approx([52.0, 52.0])


def test_bevels_come_first_and_fit_critical():
    first, second, *others = rows()
    assert {first.quantity, second.quantity} == {"angle"}
    assert first.critical
    assert all(check.quantity == "length" for check in others)


def test_both_gussets_are_measured_from_tip_to_tip_inside_and_outside():
    tips = [check for check in rows() if check.what.startswith("tip to tip")]
    assert [check.what for check in tips] == ["tip to tip, inside", "tip to tip, outside"]
    level = 2 * (75 + 12)
    upright = 80 + 80 - 5 - 5 + 5
    assert tips[0].value == pytest.approx(math.hypot(level, upright))


def tray(sides):
    """A plate with that many of its sides bent up."""
    edges = ("base", "right end", "far edge", "left end")[:sides]
    legs = tuple(
        Bend(
            edge=edge,
            panel=rectangle(f"{edge} leg", 100.0, 20.0),
            angle=math.pi / 2,
            direction="up",
            way=Brake(2.0, 0.4),
            start=10.0,
            end=110.0,
        )
        for edge in edges
    )
    root = rectangle("bottom", 120.0, 120.0, bends=legs)
    return Bracket(stock=Stock(2.0, MATERIALS["A36"]), root=root)


def test_more_than_three_bends_of_one_angle_share_a_row():
    few, many = (
        [check for check in sheet_checks(tray(sides)) if check.quantity == "angle"]
        for sides in (3, 4)
    )
    assert len(few) == 3
    (row,) = many
    assert row_words(row, lettered()) == "bevel in bends 1 to 4, each, inside the fold"


def test_nothing_is_asked_for_twice():
    told_values = [(c.panel, c.square, c.faces, round(c.value, 3), c.start) for c in rows()]
    assert len(set(told_values)) == len(told_values)
    assert len(rows()) < len(folded_checks(PIECE.bracket))


# --- letters ----------------------------------------------------------------------------------


def test_every_end_that_a_tape_finds_has_one_letter():
    letters = lettered()
    assert [place.letter for place in letters.places] == list("abcdefgh")
    for check in rows():
        expected = 0 if check.quantity == "angle" else 1 if check.square else 2
        assert len(letters.of(check)) == expected


def test_each_letter_stands_in_a_picture_that_sees_its_place():
    letters = lettered()
    main, opposite = views_of(PIECE.bracket)
    assert all(main.sees(place.at) for place in letters.main)
    assert all(opposite.sees(place.at) and not main.sees(place.at) for place in letters.opposite)
    shown = {place.letter for place in (*letters.main, *letters.opposite)}
    assert shown == {place.letter for place in letters.places}


@pytest.mark.parametrize("size", [(104.0, 78.0), (82.0, 78.0), (60.0, 60.0)])
def test_letters_in_a_picture_keep_apart_and_inside_it(size):
    letters = lettered()
    for view, places in zip(views_of(PIECE.bracket), (letters.main, letters.opposite), strict=True):
        drawn = view.drawn(size, places)
        named = {place.letter for place in places}
        texts = [text for text in texts_of(drawn) if text.text in named]
        assert len(texts) == len(named)
        assert all(Bounds(0, 0, *size).holds(Box.round_text(text).bounds) for text in texts)
        assert not any_meet(texts)


def test_a_place_that_no_picture_shows_keeps_its_whole_name():
    check = next(check for check in rows() if check.what == "diagonal")
    letters = lettered()
    blind = replace(letters, main=(), opposite=())
    assert "(" not in row_words(check, letters)
    assert "(" in row_words(check, blind)


SADDLE = channel.build(
    channel.Channel(
        web=100.0, left_flange=80.0, right_flange=80.0, width=120.0, direction="down",
        measured_to="inside",
    ),
    Stock(6.0, MATERIALS["A36"]),
    Brake(12.0, 0.42),
)  # fmt: skip
"""A deep saddle: from neither side can its inside corners be seen."""


def test_what_the_metal_hides_is_lettered_all_the_same():
    main, opposite = views_of(SADDLE)
    letters = folded_letters(sheet_checks(SADDLE), main, opposite)
    hidden = [place for place in letters.places if place.hidden]
    assert hidden
    assert all(not main.sees(place.at) and not opposite.sees(place.at) for place in hidden)
    drawn = main.drawn((104.0, 78.0), letters.main)
    assert {place.letter for place in hidden} <= set(words(drawn))
    dashed = [m for m in marks(drawn) if isinstance(m, Stroke) and m.style is HIDDEN_LEADER]
    assert len(dashed) == len(hidden)
    assert not any(letters.shows(place.at) for place in hidden)


def test_sharp_corners_in_the_air_have_lines_from_both_faces():
    main, opposite = views_of(SADDLE)
    letters = folded_letters(sheet_checks(SADDLE), main, opposite)
    model = folded(SADDLE)
    for view, places in ((main, letters.main), (opposite, letters.opposite)):
        sharp = [place for place in places if sharp_corner(model, place.at)]
        drawn = view.drawn((104.0, 78.0), places)
        lines = [m for m in marks(drawn) if isinstance(m, Stroke) and m.style.name == "extension"]
        assert len(lines) == 2 * len(sharp)
    piece = replace(PIECE, bracket=SADDLE, blank=blank_of(SADDLE))
    text = " ".join(told(piece))
    assert "names the sharp corner, in the air" in text
    assert "behind the metal" in text
    assert "behind the metal" not in " ".join(told())


def test_letters_go_on_in_pairs_and_leave_out_what_looks_like_figures():
    check = next(check for check in rows() if not check.square and check.places)
    ends = [Point3(float(i), 0.0, 0.0) for i in range(50)]
    many = [replace(check, places=(a, b)) for a, b in pairwise(ends)]
    letters = [p.letter for p in folded_letters(many, *views_of(PIECE.bracket)).places]
    assert letters[:3] == ["a", "b", "c"]
    assert letters[22:25] == ["z", "aa", "ab"]
    assert letters[45:47] == ["az", "ba"]
    assert not {"i", "l", "o"} & set("".join(letters))


# --- the section ------------------------------------------------------------------------------


def test_the_section_tells_faces_values_and_tolerances():
    lines = told()
    text = " ".join(lines)
    assert "After folding" in lines
    assert lines.count("90°") >= 2
    assert lines.count(ANGLE_TOLERANCE) == 2
    assert TOLERANCES[True]["mm"] in lines
    assert TOLERANCES[False]["mm"] in lines
    assert "no published source" in text
    assert "52.0" in lines
    assert "2 1/16 shy" in lines
    for letter in "abcdefgh":
        assert letter in lines


def test_both_pictures_name_the_bends_and_what_stands_beside():
    lines = told()
    assert "bend 1: down 90°" in lines
    assert "bend 2: up 90°" in lines
    assert lines.count("wall") == 2


def test_inches_read_as_a_tape_and_angles_in_degrees():
    piece = seat_piece(way=BRAKE, right=replace(gusset("up"), fold=math.radians(60)))
    lines = told(piece, "in")
    assert "120°" in lines  # the bevel between faces that turn by 60
    assert "tape, in" in lines
    assert TOLERANCES[True]["in"] in lines


def test_a_flat_plate_has_no_section():
    piece = seat_piece(left=None, right=None)
    assert folded_section(matter_of(piece, judged(piece), "mm", A4)) == ()


def test_both_hands_measure_alike():
    mirrored = replace(PIECE, bracket=PIECE.bracket.mirrored())
    assert sorted(round(c.value, 6) for c in rows(mirrored)) == sorted(
        round(c.value, 6) for c in rows()
    )
