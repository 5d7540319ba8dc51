import math
from itertools import islice

import numpy as np
import pytest
from shapely import Point as Place

from laws.meeting import any_meet, cover_ink, polygon, texts_of
from platewright.drawing.flow import Strip
from platewright.drawing.free_space import Box, FreeSpace, LabelSpot, SpotRow
from platewright.drawing.insets import Inset, lay_insets, stacked_insets
from platewright.drawing.items import Fill, Stroke, Text, bounds, marks, rectangle, words
from platewright.drawing.placing import (
    Block,
    Callout,
    line_callout,
    place_callouts,
    place_letters,
)
from platewright.drawing.spots import (
    along,
    below_or_above,
    beside,
    either,
    inside,
    led,
    round_arc,
    round_circle,
)
from platewright.drawing.style import CUT, OUTLINE
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Arc, Line

ROOM = Bounds(0, 0, 200, 100)
PART = rectangle(ROOM.grown(-5))
BLOCK = Block(lines=("two short", "lines"), bold=1)


SIZE = (BLOCK.width, BLOCK.height)


def free(*items, windows=(ROOM,), bands=()):
    return FreeSpace.beside([Stroke(PART, CUT), *items], windows, bands, PART)


def texts(placed):
    return texts_of(placed.items)


def at(point, spots, block=BLOCK, **more):
    return Callout(block=block, spots=spots, at=point, **more)


# --- callouts ---------------------------------------------------------------------------------


def test_a_block_stands_in_the_first_free_place():
    point = Point(100, 50)
    found = place_callouts(free(), [at(point, beside(point, 3, 5))])
    first, second = texts(found)
    assert (first.text, second.text) == BLOCK.lines
    assert first.weight == "bold"
    assert second.weight == "regular"
    assert first.at.y > second.at.y > point.y
    assert first.size == 2.5


def test_blocks_keep_clear_of_each_other():
    point = Point(100, 50)
    found = place_callouts(free(), [at(point, beside(point, 3, 5)) for _ in range(4)])
    assert len(texts(found)) == 8
    assert not any_meet(texts(found))


def test_words_keep_off_a_lap_and_never_cross_the_end_of_a_page():
    windows = (Bounds(0, 0, 106, 100), Bounds(94, 0, 200, 100))
    lap = Bounds(94, 0, 106, 100)
    point = Point(100, 50)
    found = place_callouts(free(windows=windows, bands=(lap,)), [at(point, beside(point, 3, 5))])
    assert len(texts(found)) == 2
    for text in texts(found):
        box = Box.round_text(text)
        assert not box.bounds.meets(lap)
        assert any(window.holds(box.bounds) for window in windows)


def test_words_are_set_smaller_before_they_leave_the_part():
    narrow = rectangle(Bounds(50, 40, 76, 60))
    room = FreeSpace.beside([Stroke(narrow, CUT)], (ROOM,), (), narrow)
    block = Block(lines=("words of some length",))
    spot, far = Point(63, 50), Point(150, 50)
    found = place_callouts(
        room, [at(spot, lambda _: iter([SpotRow.of([LabelSpot(spot), LabelSpot(far)])]), block)]
    )
    (text,) = texts(found)
    assert text.size < 2.5
    assert narrow.contains(text.at)


def test_words_without_any_place_become_a_number_and_a_note():
    point = Point(100, 50)
    found = place_callouts(free(), [at(point, lambda _: iter(()))])
    assert found.notes == (("1", "two short, lines"),)
    assert words(found.items) == ("1",)


def test_in_a_crowd_words_go_farther_on_a_leader_to_the_holes_rim():
    crowd = [Stroke(Line(Point(x, 42), Point(x, 58)), CUT) for x in (92, 96, 98, 102, 104, 108)]
    point = Point(100, 50)
    found = place_callouts(free(*crowd), [at(point, beside(point, 1.0, 2.0))])
    line, head, *_ = found.items
    assert line.shapes[0].start.distance(point) == pytest.approx(1.0)
    assert len(head.outlines[0].corners) == 3
    assert not cover_ink(texts(found), crowd)


def test_words_with_several_points_take_the_one_with_room():
    crowd = [Stroke(Line(Point(x, 35), Point(x, 65)), CUT) for x in range(80, 120, 3)]
    near, far = Point(100, 50), Point(160, 50)
    spots = either(beside(near, 0.0, 0.0), beside(far, 0.0, 0.0))
    found = place_callouts(free(*crowd), [at(near, spots)])
    assert texts(found)[0].at.distance(far) < 20


def test_words_already_drawn_are_taken():
    there = Text(Point(104, 54), "already here")
    point = Point(100, 50)
    found = place_callouts(free(there), [at(point, beside(point, 3, 5))])
    assert not any_meet([there, *texts(found)])


def test_the_same_room_gives_the_same_places():
    callouts = [at(Point(n, n), beside(Point(n, n), 0, 0)) for n in range(20, 80, 7)]
    assert place_callouts(free(), callouts).items == place_callouts(free(), callouts).items


def test_pale_fills_are_ground_and_dark_ones_ink():
    point = Point(100, 50)
    pale = Fill((Circle(point, 30),), 0.8)
    beside_it = [at(point, beside(point, 3, 5))]
    plain = place_callouts(free(), beside_it).items
    assert place_callouts(free(pale), beside_it).items == plain
    crossed = Fill((rectangle(Bounds(104, 45, 105, 70)),), 0.0)
    assert place_callouts(free(crossed), beside_it).items != plain


def test_words_that_are_not_needed_are_left_out():
    point = Point(100, 50)
    found = place_callouts(free(), [at(point, lambda _: iter(()), needed=False)])
    assert found.items == found.notes == ()


def test_what_belongs_to_a_line_is_told_on_every_page_that_carries_much_of_it():
    windows = (Bounds(0, 0, 100, 100), Bounds(90, 0, 200, 100))
    line = Line(Point(10, 50), Point(190, 50))
    found = place_callouts(
        free(Stroke(line, CUT), windows=windows), [line_callout(BLOCK, line, along)]
    )
    assert words(found.items).count("two short") == 2
    short = Line(Point(60, 50), Point(120, 50))
    found = place_callouts(
        free(Stroke(short, CUT), windows=windows), [line_callout(BLOCK, short, along)]
    )
    assert words(found.items).count("two short") == 1


# --- spots ------------------------------------------------------------------------------------


def first(spots, count):
    """The first of the spots of a size."""
    rows = spots(np.array([SIZE]))
    return list(islice((row.spot(i) for row in rows for i in range(len(row))), count))


def boxes(spots, count=8):
    return [
        polygon(Box(spot.centre, BLOCK.width / 2, BLOCK.height / 2, spot.angle))
        for spot in first(spots, count)
    ]


@pytest.mark.parametrize(
    "spots",
    [
        along(Line(Point(3, 4), Point(90, 40)), 2.0),
        round_circle(Circle(Point(5, 6), 20)),
        round_arc(Arc.about(Point(0, 0), 60, 0.2, 2.0)),
        beside(Point(7, 8), 3.0, 5.0),
        led(Point(1, 2), Point(30, 2), clear=1.0),
        inside(PART, 0.3),
        below_or_above(Bounds(10, 10, 60, 40), 6.0),
    ],
    ids=lambda spots: spots.__qualname__.split(".")[0],
)
def test_spots_for_several_sizes_are_those_for_each_alone(spots):
    sizes = np.array([(30.0, 8.0), (21.0, 5.0), (6.0, 2.0)])
    together = list(spots(sizes))
    for number, size in enumerate(sizes):
        for row, alone in zip(together, spots(np.array([size])), strict=True):
            assert len(row) == len(alone)
            assert [row.spot(i, number) for i in range(len(row))] == [
                alone.spot(i) for i in range(len(alone))
            ]


def touches(box, circle):
    """Whether a box meets the line of a circle."""
    centre = Place(circle.centre.x, circle.centre.y)
    return box.distance(centre) <= circle.radius <= box.hausdorff_distance(centre)


def test_words_along_a_line_read_along_it_and_stand_clear():
    line = Line(Point(0, 0), Point(0, 100))
    for spot in first(along(line, 2.0), 8):
        assert spot.angle == pytest.approx(math.pi / 2)
        assert abs(spot.centre.x) >= 2.0 + BLOCK.height / 2


def test_words_round_a_circle_touch_it_nowhere():
    circle = Circle(Point(50, 50), 120)
    assert not any(touches(box, circle) for box in boxes(round_circle(circle), 48))


def test_words_round_an_arc_touch_it_nowhere():
    arc = Arc.about(Point(0, 0), 60, 0.2, 2.0)
    whole = Circle(Point(0, 0), 120)
    assert not any(touches(box, whole) for box in boxes(round_arc(arc), 20))


def test_words_beside_a_hole_keep_off_its_circle():
    hole = Circle(Point(0, 0), 11)
    assert not any(touches(box, hole) for box in boxes(beside(hole.centre, 5.9, 8.5)))


def test_leaders_start_at_the_holes_edge_and_end_at_the_words():
    for spot in first(led(Point(0, 0), clear=5.0), 20):
        assert spot.leader.start.distance(Point(0, 0)) == pytest.approx(5.0)
        gap = abs(spot.centre.x - spot.leader.end.x) - BLOCK.width / 2
        assert 0.5 < gap < 3


def test_words_in_a_panel_stand_inside_it_the_middle_first():
    triangle = Contour.polygon([Point(0, 0), Point(90, 0), Point(0, 90)])
    spots = [spot.centre for spot in first(inside(triangle, 0.0), 999)]
    assert spots
    assert all(triangle.contains(spot) for spot in spots)
    assert spots[0].distance(Point(30, 30)) < 8


def test_words_below_or_above_stand_outside():
    box = Bounds(10, 10, 60, 40)
    for spot in first(below_or_above(box, 6.0), 99):
        assert abs(spot.centre.y - 25) >= 15 + 6 + BLOCK.height / 2 - 1e-9


# --- letters ----------------------------------------------------------------------------------

LETTERED = Bounds(0, 0, 80, 60)


def lettered(letters, *items):
    return place_letters(FreeSpace.beside(items, (LETTERED,)), letters)


def test_letters_at_one_crowded_place_keep_apart_and_in_the_room():
    places = [(letter, Point(40 + i * 0.5, 30)) for i, letter in enumerate("abcdefgh")]
    drawn = texts(lettered(places))
    assert len(drawn) == 8
    assert all(LETTERED.holds(Box.round_text(text).bounds) for text in drawn)
    assert not any_meet(drawn)


def test_a_letter_stands_off_the_lines_while_there_is_room():
    cross = (Line(Point(0, 30), Point(80, 30)), Line(Point(40, 0), Point(40, 60)))
    drawn = lettered([("a", Point(40, 30))], Stroke(cross, OUTLINE))
    assert not cover_ink(texts(drawn), [Stroke(cross, OUTLINE)])


def test_a_letter_covers_a_line_rather_than_be_lost():
    hatched = [Stroke(Line(Point(0, y), Point(80, y)), OUTLINE) for y in range(0, 60, 2)]
    assert words(lettered([("a", Point(40, 30))], *hatched).items) == ("a",)
    full = place_letters(FreeSpace(windows=(Bounds(0, 0, 1, 1),)), [("a", Point(0, 0))])
    assert words(full.items) == ("a",)


def test_what_letters_take_is_taken_afterwards():
    first = lettered([("a", Point(40, 30))])
    second = place_letters(first.free, [("b", Point(40, 30))])
    assert not any_meet([*texts(first), *texts(second)])


@pytest.mark.parametrize("at", [Point(1, 1), Point(79, 59)])
def test_a_place_at_the_rim_has_its_letter_inside(at):
    (text,) = texts(lettered([("m", at)]))
    assert LETTERED.holds(Box.round_text(text).bounds)


# --- insets -----------------------------------------------------------------------------------


def inset(height, *widths):
    return Inset(title="", strips=lambda _width: (Strip(height=height),), widths=widths)


def test_an_inset_goes_to_a_free_corner_of_the_first_room():
    middle = FreeSpace.beside([Stroke(rectangle(Bounds(60, 20, 140, 80)), CUT)])
    laid = lay_insets((inset(20, 50.0),), middle, (ROOM,))
    assert laid.left_over == ()
    (frame,) = marks(laid.items)
    assert isinstance(frame, Fill)
    assert not frame.outlines[0].bounds.meets(Bounds(60, 20, 140, 80))


def test_a_narrower_width_is_tried_before_the_next_room():
    walled = FreeSpace.beside([Stroke(Line(Point(60, 0), Point(60, 100)), CUT)])
    narrow = Bounds(0, 0, 58, 100)
    laid = lay_insets((inset(20, 80.0, 40.0),), walled, (narrow, ROOM))
    (frame,) = marks(laid.items)
    assert frame.outlines[0].bounds.width == pytest.approx(40)


def test_an_inset_stands_beside_the_part_before_it_stands_inside_it():
    wide = rectangle(Bounds(0, 0, 140, 100))
    laid = lay_insets((inset(20, 50.0),), FreeSpace(), (ROOM,), wide)
    assert not bounds(laid.items).meets(Bounds(0, 0, 139, 100))
    laid = lay_insets((inset(20, 50.0),), FreeSpace(), (ROOM,), rectangle(ROOM))
    assert ROOM.holds(bounds(laid.items))


def test_what_finds_no_room_is_handed_back():
    big = inset(500, 50.0)
    assert lay_insets((big,), FreeSpace(), (ROOM,)).left_over == (big,)


def test_none_is_laid_where_one_that_is_needed_finds_no_room():
    small, big = inset(20, 50.0), inset(500, 50.0)
    both = (small, big)
    assert lay_insets(both, FreeSpace(), (ROOM,), needed=1).left_over == (big,)
    laid = lay_insets(both, FreeSpace(), (ROOM,), needed=2)
    assert laid.placed == ()
    assert laid.left_over == both


def test_an_inset_is_drawn_when_its_items_are_asked_for():
    drawn = []
    strip = Strip(height=20, drawn=lambda: (drawn.append("now"), ())[1])
    picture = Inset(title="", strips=lambda _width: (strip,), widths=(50.0,))
    laid = lay_insets((picture,), FreeSpace(), (ROOM,))
    assert [each[:2] for each in laid.placed] == [(picture, 50.0)]
    assert not drawn
    assert laid.items
    assert drawn


def test_insets_stand_one_under_another_in_a_column():
    first, second = stacked_insets((inset(20, 50.0), inset(30, 50.0)), Point(10, 90))
    assert bounds([first]).ymax == pytest.approx(90)
    assert bounds([second]).ymax < bounds([first]).ymin
