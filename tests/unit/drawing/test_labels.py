import math

import pytest

from platewright.drawing.boxes import Box, crosses
from platewright.drawing.items import Fill, Stroke, Text, bounds, rectangle, words
from platewright.drawing.labels import Board, Label, place_labels
from platewright.drawing.style import CUT
from platewright.geometry.contour import Circle
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Line

ROOM = Bounds(-60, -60, 60, 60)


def test_a_free_point_has_its_label_beside_it():
    placed = place_labels(Board(room=ROOM), [Label(at=Point(0, 0), text="wall edge")])
    (text,) = placed.items
    assert isinstance(text, Text)
    assert text.anchor == ("left", "middle")
    assert placed.legend == ()


def test_a_label_stands_clear_of_its_hole():
    hole = Circle(Point(0, 0), 12)
    board = Board(room=ROOM).with_items([Stroke(hole, CUT)])
    (text,) = place_labels(board, [Label(at=Point(0, 0), text="drill", clear=6)]).items
    assert bounds([text]).xmin > 6


def test_labels_of_one_point_do_not_cover_each_other():
    labels = [Label(at=Point(0, 0), text=f"label {n}") for n in range(12)]
    placed = place_labels(Board(room=ROOM), labels)
    texts = [item for item in placed.items if isinstance(item, Text)]
    assert len(texts) == 12
    boxes = [bounds([text]) for text in texts]
    assert not any(a.meets(b) for i, a in enumerate(boxes) for b in boxes[i + 1 :])


def crowd():
    """Lines all round a point, too near for a text beside it."""
    return [Stroke(Line(Point(x, -8), Point(x, 8)), CUT) for x in (-8, -4, -2, -1, 1, 2, 4, 8)]


def test_in_a_crowd_the_label_goes_farther_on_a_leader():
    board = Board(room=ROOM).with_items(crowd())
    placed = place_labels(board, [Label(at=Point(0, 0), text="bend 1")])
    line, dot, text = placed.items
    assert isinstance(line, Stroke)
    assert isinstance(dot, Fill)
    assert line.shapes[0].start == Point(0, 0)
    assert words([text]) == ("bend 1",)


def test_a_leader_to_a_hole_ends_on_its_rim():
    hole = Circle(Point(0, 0), 4)
    board = Board(room=ROOM).with_items([Stroke(hole, CUT), *crowd()])
    line, head, _ = place_labels(board, [Label(at=Point(0, 0), text="drill", clear=2)]).items
    assert line.shapes[0].start.distance(Point(0, 0)) == pytest.approx(2)
    assert len(head.outlines[0].corners) == 3


def test_without_any_room_labels_become_numbers_in_a_legend():
    tight = Board(room=Bounds(-5, -5, 5, 5))
    labels = [Label(at=Point(0, 0), text="a text that cannot fit"), Label(at=Point(1, 1), text="B")]
    placed = place_labels(tight, labels)
    assert placed.legend[0] == ("1", "a text that cannot fit")
    assert "1" in words(placed.items)
    everywhere = [Stroke(Line(Point(-9, y / 2), Point(9, y / 2)), CUT) for y in range(-20, 20)]
    full = place_labels(tight.with_items(everywhere), labels[:1])
    assert bounds(full.items).centre == Point(0, 0)


def test_texts_already_drawn_are_taken():
    taken = Text(Point(1, -1), "already here")
    board = Board(room=ROOM).with_items([taken])
    (text, *_) = place_labels(board, [Label(at=Point(0, 0), text="later")]).items
    assert not bounds([text]).meets(bounds([taken]))


def test_the_same_board_gives_the_same_places():
    labels = [Label(at=Point(n, n), text=f"label {n}") for n in range(8)]
    board = Board(room=ROOM).with_items([Stroke(rectangle(Bounds(-20, -20, 20, 20)), CUT)])
    assert place_labels(board, labels) == place_labels(board, labels)


def test_a_board_with_one_more_box():
    board = Board(room=ROOM).with_box(Box(Point(0, 0), 5, 5))
    assert not board.free(Box(Point(4, 4), 2, 2))
    assert board.free(Box(Point(20, 20), 2, 2))
    assert not board.free(Box(Point(60, 0), 2, 2))


def test_turned_boxes_meet_only_where_they_do():
    turned = Box(Point(0, 0), 10, 1, math.pi / 4)
    assert turned.meets_line(Line(Point(5, 5), Point(50, 5)))
    assert not turned.meets_line(Line(Point(5, -5), Point(50, -5)))
    assert turned.meets(Box(Point(6, 6), 1, 1))
    assert not turned.meets(Box(Point(6, -6), 3, 3))
    assert turned.meets(Box(Point(0, 0), 100, 100))
    assert Box(Point(0, 0), 0.1, 0.1).meets(turned)


def test_level_and_upright_lines_meet_boxes():
    box = Bounds(0, 0, 10, 10)
    assert crosses(box, Line(Point(-5, 5), Point(15, 5)))
    assert not crosses(box, Line(Point(-5, 11), Point(15, 11)))
    assert crosses(box, Line(Point(3, 3), Point(3, 3)))
    assert not crosses(box, Line(Point(11, 3), Point(11, 9)))
    assert not crosses(box, Line(Point(12, 5), Point(20, 5)))


def test_a_label_with_several_points_takes_the_one_with_room():
    board = Board(room=ROOM).with_items(crowd())
    far = Point(40, 40)
    (text,) = place_labels(board, [Label(at=Point(0, 0), text="body", also=(far,))]).items
    assert text.at.distance(far) < 3
