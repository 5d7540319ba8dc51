import math
from itertools import islice

import pytest

from platewright.drawing.boxes import Box
from platewright.drawing.callouts import Block, Callout, Ground, Place, line_callout, settle
from platewright.drawing.flow import Strip
from platewright.drawing.insets import Inset, lay_insets, stacked_insets
from platewright.drawing.items import Stroke, Text, rectangle, words
from platewright.drawing.places import (
    along,
    below_or_above,
    beside,
    inside,
    led,
    round_arc,
    round_circle,
)
from platewright.drawing.style import CUT
from platewright.drawing.taken import Taken
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Arc, Line

ROOM = Bounds(0, 0, 200, 100)
OUTLINE = rectangle(ROOM.grown(-5))
BLOCK = Block(lines=("two short", "lines"), bold=1)


def ground(*items, windows=(ROOM,), bands=()):
    return Ground(
        taken=Taken.by([Stroke(OUTLINE, CUT), *items]),
        outline=OUTLINE,
        windows=windows,
        bands=bands,
    )


def texts(settled):
    return [item for item in settled.items if isinstance(item, Text)]


def at(point, places, block=BLOCK, **more):
    return Callout(block=block, places=places, at=point, **more)


# --- settling ---------------------------------------------------------------------------------


def test_a_block_stands_in_the_first_free_place():
    point = Point(100, 50)
    found = settle(ground(), [at(point, beside(point, 3, 5))])
    first, second = texts(found)
    assert (first.text, second.text) == BLOCK.lines
    assert first.weight == "bold"
    assert second.weight == "regular"
    assert first.at.y > second.at.y > point.y
    assert first.size == 2.5


def test_blocks_keep_clear_of_each_other():
    point = Point(100, 50)
    found = settle(ground(), [at(point, beside(point, 3, 5)) for _ in range(4)])
    boxes = [Box.round_text(text) for text in texts(found)]
    assert len(boxes) == 8
    assert not any(a.meets(b) for i, a in enumerate(boxes) for b in boxes[i + 1 :])


def test_words_keep_off_a_lap_and_never_cross_the_end_of_a_page():
    windows = (Bounds(0, 0, 106, 100), Bounds(94, 0, 200, 100))
    lap = Bounds(94, 0, 106, 100)
    point = Point(100, 50)
    found = settle(ground(windows=windows, bands=(lap,)), [at(point, beside(point, 3, 5))])
    assert len(texts(found)) == 2
    for text in texts(found):
        box = Box.round_text(text)
        assert not box.bounds.meets(lap)
        assert any(box.inside(window) for window in windows)


def test_words_are_set_smaller_before_they_leave_the_part():
    narrow = rectangle(Bounds(50, 40, 76, 60))
    place = Ground(taken=Taken.by([Stroke(narrow, CUT)]), outline=narrow, windows=(ROOM,))
    block = Block(lines=("words of some length",))
    spot = Point(63, 50)
    found = settle(place, [at(spot, lambda _: iter([Place(spot), Place(Point(150, 50))]), block)])
    (text,) = texts(found)
    assert text.size < 2.5
    assert narrow.contains(text.at)


def test_words_without_any_place_become_a_number_and_a_note():
    point = Point(100, 50)
    found = settle(ground(), [at(point, lambda _: iter(()))])
    assert found.notes == (("1", "two short, lines"),)
    assert words(found.items) == ("1",)


def test_words_that_are_not_needed_are_left_out():
    point = Point(100, 50)
    found = settle(ground(), [at(point, lambda _: iter(()), needed=False)])
    assert found.items == found.notes == ()


def test_what_belongs_to_a_line_is_told_on_every_page_that_carries_much_of_it():
    windows = (Bounds(0, 0, 100, 100), Bounds(90, 0, 200, 100))
    line = Line(Point(10, 50), Point(190, 50))
    found = settle(ground(Stroke(line, CUT), windows=windows), [line_callout(BLOCK, line, along)])
    assert words(found.items).count("two short") == 2
    short = Line(Point(60, 50), Point(120, 50))
    found = settle(ground(Stroke(short, CUT), windows=windows), [line_callout(BLOCK, short, along)])
    assert words(found.items).count("two short") == 1


# --- places -----------------------------------------------------------------------------------


def boxes(places, count=8):
    return [
        Box(place.centre, BLOCK.width / 2, BLOCK.height / 2, place.angle)
        for place in islice(places(BLOCK), count)
    ]


def test_words_along_a_line_read_along_it_and_stand_clear():
    line = Line(Point(0, 0), Point(0, 100))
    for place in islice(along(line, 2.0)(BLOCK), 8):
        assert place.angle == pytest.approx(math.pi / 2)
        assert abs(place.centre.x) >= 2.0 + BLOCK.height / 2


def test_words_round_a_circle_touch_it_nowhere():
    circle = Circle(Point(50, 50), 120)
    for box in boxes(round_circle(circle), 48):
        corners = [corner.distance(circle.centre) for corner in box.corners]
        nearest = min(edge.distance(circle.centre) for edge in box.edges)
        assert max(corners) < 60 or nearest > 60


def test_words_round_an_arc_touch_it_nowhere():
    arc = Arc.about(Point(0, 0), 60, 0.2, 2.0)
    for box in boxes(round_arc(arc), 20):
        corners = [corner.distance(Point(0, 0)) for corner in box.corners]
        nearest = min(edge.distance(Point(0, 0)) for edge in box.edges)
        assert max(corners) < 60 or nearest > 60


def test_words_beside_a_hole_keep_off_its_circle():
    hole = Circle(Point(0, 0), 11)
    for box in boxes(beside(hole.centre, 5.9, 8.5)):
        assert min(edge.distance(hole.centre) for edge in box.edges) > 5.5


def test_leaders_start_at_the_holes_edge_and_end_at_the_words():
    for place in islice(led(Point(0, 0), 5.0)(BLOCK), 20):
        assert place.leader.start.distance(Point(0, 0)) == pytest.approx(5.0)
        gap = abs(place.centre.x - place.leader.end.x) - BLOCK.width / 2
        assert 0.5 < gap < 3


def test_words_in_a_panel_stand_inside_it_the_middle_first():
    triangle = Contour.polygon([Point(0, 0), Point(90, 0), Point(0, 90)])
    spots = [place.centre for place in inside(triangle, 0.0)(BLOCK)]
    assert spots
    assert all(triangle.contains(spot) for spot in spots)
    assert spots[0].distance(Point(30, 30)) < 8


def test_words_below_or_above_stand_outside():
    box = Bounds(10, 10, 60, 40)
    for place in below_or_above(box, 6.0)(BLOCK):
        assert abs(place.centre.y - 25) >= 15 + 6 + BLOCK.height / 2 - 1e-9


# --- insets -----------------------------------------------------------------------------------


def inset(height, *widths):
    return Inset(strips=lambda _width: (Strip(height=height),), widths=widths)


def test_an_inset_goes_to_a_free_corner_of_the_first_room():
    middle = Taken.by([Stroke(rectangle(Bounds(60, 20, 140, 80)), CUT)])
    laid = lay_insets((inset(20, 50.0),), middle, (ROOM,))
    assert laid.left_over == ()
    (frame,) = laid.items
    assert isinstance(frame, Stroke)
    assert not frame.shapes[0].bounds.meets(Bounds(60, 20, 140, 80))


def test_a_narrower_width_is_tried_before_the_next_room():
    walled = Taken.by([Stroke(Line(Point(60, 0), Point(60, 100)), CUT)])
    narrow = Bounds(0, 0, 58, 100)
    laid = lay_insets((inset(20, 80.0, 40.0),), walled, (narrow, ROOM))
    (frame,) = laid.items
    assert frame.shapes[0].bounds.width == pytest.approx(40)


def test_what_finds_no_room_is_handed_back():
    big = inset(500, 50.0)
    assert lay_insets((big,), Taken(), (ROOM,)).left_over == (big,)


def test_insets_stand_one_under_another_in_a_column():
    first, second = stacked_insets((inset(20, 50.0), inset(30, 50.0)), Point(10, 90))
    assert first.shapes[0].bounds.ymax == pytest.approx(90)
    assert second.shapes[0].bounds.ymax < first.shapes[0].bounds.ymin
