import pytest

from platewright.drawing.boxes import Box
from platewright.drawing.bubbles import NO_LETTERS, letter_bubbles
from platewright.drawing.items import Stroke, Text, marks
from platewright.drawing.style import OUTLINE
from platewright.drawing.taken import Taken
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Line

ROOM = Bounds(0, 0, 80, 60)


def boxes(items):
    return [Box.round_text(m) for m in marks(items) if isinstance(m, Text)]


def test_letters_at_one_crowded_place_keep_apart_and_in_the_room():
    places = [(letter, Point(40 + i * 0.5, 30)) for i, letter in enumerate("abcdefgh")]
    drawn = boxes(letter_bubbles(places, Taken(), ROOM).items)
    assert len(drawn) == 8
    assert all(box.inside(ROOM) for box in drawn)
    assert not any(a.meets(b) for i, a in enumerate(drawn) for b in drawn[i + 1 :])


def test_a_letter_stands_off_the_lines_while_there_is_room():
    cross = (Line(Point(0, 30), Point(80, 30)), Line(Point(40, 0), Point(40, 60)))
    taken = Taken.by([Stroke(cross, OUTLINE)])
    (box,) = boxes(letter_bubbles([("a", Point(40, 30))], taken, ROOM).items)
    assert not any(box.meets_line(line) for line in cross)


def test_what_letters_take_is_taken_afterwards():
    first = letter_bubbles([("a", Point(40, 30))], Taken(), ROOM)
    second = letter_bubbles([("b", Point(40, 30))], first.taken, ROOM)
    (a,), (b,) = boxes(first.items), boxes(second.items)
    assert not a.meets(b)


@pytest.mark.parametrize("at", [Point(1, 1), Point(79, 59)])
def test_a_place_at_the_rim_has_its_letter_inside(at):
    (box,) = boxes(letter_bubbles([("m", at)], Taken(), ROOM).items)
    assert box.inside(ROOM)


def test_nothing_lettered_draws_nothing():
    assert letter_bubbles([], Taken(), ROOM) == NO_LETTERS
