import math
from dataclasses import replace

import pytest

from laws.example_pieces import BRAKE, gusset, judged, seat_piece
from laws.meeting import any_meet, texts_of
from laws.strategies_bracket import rectangle
from platewright.drawing.free_space import Box
from platewright.drawing.items import Stroke, marks, words
from platewright.drawing.style import HIDDEN_LEADER
from platewright.drawing.view import views_of
from platewright.geometry.plane import Bounds, Point
from platewright.kinds import channel
from platewright.measuring.dimensions import dimensions_of
from platewright.measuring.reach import sharp_corner
from platewright.plate.bend import Brake
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bend, Bracket
from platewright.plate.dimension import Dimension, Spot
from platewright.plate.folded import folded
from platewright.plate.stock import MATERIALS, Stock
from platewright.sheets.check_sheet import matter_of
from platewright.sheets.folded_rows import (
    TOLERANCES,
    folded_letters,
    folded_section,
    row_words,
)
from platewright.sheets.paper import A4
from platewright.sheets.rows import folded_rows
from platewright.sheets.section import ANGLE_TOLERANCE

PIECE = seat_piece(way=BRAKE)


def rows(piece=PIECE):
    return folded_rows(piece).rows


def lettered(piece=PIECE):
    return folded_letters(folded_rows(piece), *views_of(piece.bracket))


def piece_of(bracket):
    return replace(PIECE, bracket=bracket, blank=blank_of(bracket))


def told(piece=PIECE, unit="mm"):
    matter = matter_of(piece, judged(piece), unit, A4)
    return words([item for strip in folded_section(matter) for item in strip.ink])


# --- which readings ---------------------------------------------------------------------------


def test_of_the_holes_beside_a_panel_the_nearest_is_measured():
    holes = [row for row in rows() if "hole" in row.words]
    assert [row.words.split(", square")[0] for row in holes] == [
        "bolt hole 2 (middle)",
        "bolt hole 1 (middle)",
    ]
    # centre to gusset 75 + 12 mm, less the hole's 35 mm
    assert [row.value for row in holes] == pytest.approx([52.0, 52.0])


def test_bevels_come_first_and_fit_critical():
    first, second, *others = rows()
    assert first.angle
    assert second.angle
    assert first.critical
    assert not any(row.angle for row in others)


def test_both_gussets_are_measured_from_tip_to_tip_inside_and_outside():
    tips = [row for row in rows() if row.words.count(" tip") == 2]
    assert [row.words.rpartition(", ")[2] for row in tips] == [
        "inside face to inside face",
        "outside face to outside face",
    ]
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
    few, many = ([row for row in rows(piece_of(tray(sides))) if row.angle] for sides in (3, 4))
    assert len(few) == 3
    (row,) = many
    assert row.words == "bevel in bends 1 to 4, each, inside the fold"
    assert len(row.told) == 4


def test_nothing_is_asked_for_twice():
    measured = [(row.letters, row.words.partition(":")[0], round(row.value, 3)) for row in rows()]
    assert len(set(measured)) == len(measured)
    told_there = [each for row in rows() for each in row.told]
    assert len(told_there) < sum(1 for each in dimensions_of(PIECE) if each.on_part)


# --- letters ----------------------------------------------------------------------------------


def test_every_end_that_a_tape_finds_has_one_letter():
    letters = [place.letter for place in lettered().places]
    assert letters[:8] == list("abcdefgh")
    for row in rows():
        two = row.words.startswith("over all") or "square to" not in row.words
        expected = 0 if row.angle else 2 if two else 1
        assert len(row.letters.split()) == (3 if expected == 2 else expected)


def test_each_letter_stands_in_a_picture_that_sees_its_place():
    letters = lettered()
    main, opposite = views_of(PIECE.bracket)
    assert all(main.seen(place.at) for place in letters.main)
    assert all(opposite.seen(place.at) and not main.seen(place.at) for place in letters.opposite)
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
    row = next(row for row in rows() if "(" in row.words and "corner" in row.words)
    letters = lettered()
    blind = replace(letters, places=tuple(replace(p, hidden=True) for p in letters.places))
    assert "(" not in row_words(row, letters)
    assert "(" in row_words(row, blind)


SADDLE = channel.KIND.build(
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
    letters = folded_letters(folded_rows(piece_of(SADDLE)), main, opposite)
    hidden = [place for place in letters.places if place.hidden]
    assert hidden
    assert all(not main.seen(place.at) and not opposite.seen(place.at) for place in hidden)
    drawn = main.drawn((104.0, 78.0), letters.main)
    assert {place.letter for place in hidden} <= set(words(drawn))
    dashed = [m for m in marks(drawn) if isinstance(m, Stroke) and m.style is HIDDEN_LEADER]
    assert len(dashed) == len(hidden)


def test_sharp_corners_in_the_air_have_lines_from_both_faces():
    main, opposite = views_of(SADDLE)
    letters = folded_letters(folded_rows(piece_of(SADDLE)), main, opposite)
    model = folded(SADDLE)
    for view, places in ((main, letters.main), (opposite, letters.opposite)):
        sharp = [place for place in places if sharp_corner(model, place.at)]
        drawn = view.drawn((104.0, 78.0), places)
        lines = [m for m in marks(drawn) if isinstance(m, Stroke) and m.style.name == "extension"]
        assert len(lines) == 2 * len(sharp)
    text = " ".join(told(piece_of(SADDLE)))
    assert "names the sharp corner, in the air" in text
    assert "behind the metal" in text
    assert "behind the metal" not in " ".join(told())


def test_letters_go_on_in_pairs_and_leave_out_what_looks_like_figures():
    across = tuple(
        Dimension(
            start=Spot("base leg", Point(10.0 + 2 * i, 10.0), "punch mark"),
            end=Spot("far edge leg", Point(10.0 + i, 10.0), "punch mark"),
        )
        for i in range(26)
    )
    strip = replace(tray(3), dimensions=across)
    letters = [letter for letter, _ in folded_rows(piece_of(strip)).places]
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
    mirrored = piece_of(PIECE.bracket.mirrored())
    assert sorted(round(c.value, 6) for c in rows(mirrored)) == sorted(
        round(c.value, 6) for c in rows()
    )
