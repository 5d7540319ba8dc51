import math

import pytest

from platewright.drawing import style
from platewright.drawing.items import (
    Clip,
    Fill,
    Group,
    Hatch,
    Page,
    Stroke,
    Text,
    bounds,
    bounds_or_none,
    common,
    marks,
    moved,
    polyline,
    rectangle,
    shifted,
    words,
)
from platewright.drawing.style import CUT, LineStyle
from platewright.errors import GeometryError
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds, Motion, Point, Vector, close
from platewright.geometry.segment import Line

LINE = Stroke(Line(Point(0, 0), Point(10, 5)), CUT)
SQUARE = Contour.polygon((Point(0, 0), Point(4, 0), Point(4, 4), Point(0, 4)))


STYLES = [value for value in vars(style).values() if isinstance(value, LineStyle)]


def test_a_stroke_takes_one_shape_or_several():
    assert LINE.shapes == (Line(Point(0, 0), Point(10, 5)),)
    assert Stroke((SQUARE, Circle(Point(0, 0), 2)), CUT).shapes[1] == Circle(Point(0, 0), 2)


def test_bounds_go_round_every_kind_of_item():
    fill = Fill((Circle(Point(20, 0), 2),))
    hatch = Hatch((SQUARE,))
    assert bounds([LINE, fill, hatch]) == Bounds(0, -1, 21, 5)


def test_an_empty_drawing_has_no_bounds():
    with pytest.raises(GeometryError, match="empty"):
        bounds([])
    assert bounds_or_none([Group(Motion(), ()), Text(Point(0, 0), ""), Stroke((), CUT)]) is None


def test_a_clip_shows_only_its_window():
    clip = Clip(Bounds(2, 0, 4, 10), (LINE,), Motion.translation(Vector(100, 0)))
    assert bounds([clip]) == Bounds(102, 0, 104, 5)
    assert bounds_or_none([Clip(Bounds(50, 50, 60, 60), (LINE,))]) is None


def test_the_box_of_a_level_line_is_flat_and_still_moves():
    flat = Clip(Bounds(0, -1, 5, 1), (polyline([Point(0, 0), Point(9, 0)], CUT),))
    turned = moved(flat, Motion.rotation(math.pi / 2))
    box = bounds([turned])
    assert box.width == pytest.approx(0)
    assert box.height == pytest.approx(5)


@pytest.mark.parametrize(
    ("anchor", "widths_back", "down"),
    [
        (("left", "baseline"), 0, 0),
        (("right", "baseline"), 1, 0),
        (("middle", "top"), 0.5, 2),
        (("left", "middle"), 0, 1),
    ],
)
def test_a_text_starts_where_its_anchor_says(anchor, widths_back, down):
    text = Text(Point(10, 10), "nn", 2, anchor)
    assert close(text.start, Point(10 - widths_back * text.width, 10 - down))


def test_a_turned_text_starts_along_its_own_line():
    text = Text(Point(10, 10), "up", 2, ("right", "baseline"), math.pi / 2)
    assert close(text.start, Point(10, 10 - text.width))


def test_a_mirrored_text_stays_in_its_place_and_readable():
    text = Text(Point(10, 10), "left hand", 3)
    there = moved(text, Motion.mirror_x())
    assert isinstance(there, Text)
    assert there.angle == pytest.approx(0)
    assert there.anchor == ("right", "baseline")
    assert bounds([there]).xmax == pytest.approx(-10)
    assert bounds([there]).ymin == pytest.approx(bounds([text]).ymin)


@pytest.mark.parametrize("across", ["baseline", "middle", "top"])
def test_a_mirrored_upright_text_reads_from_the_right_again(across):
    text = Text(Point(10, 10), "12 in", 3, ("left", across), math.pi / 2)
    there = moved(text, Motion.mirror_x())
    assert there.angle == pytest.approx(math.pi / 2)
    # its capitals stand where the mirror puts them
    up, line = text.start + Vector(-3, 0), text.start
    assert there.start.x == pytest.approx(-up.x)
    assert there.start.x - 3 == pytest.approx(-line.x)
    assert bounds([there]).ymin == pytest.approx(bounds([text]).ymin)
    assert moved(there, Motion.mirror_x()).start.x == pytest.approx(text.start.x)


def test_groups_and_clips_open_into_marks_where_they_stand():
    inner = Group(Motion.translation(Vector(1, 0)), (LINE,))
    outer = Clip(Bounds(0, 0, 1, 1), (inner, Text(Point(0, 0), "seen")), Motion.rotation(math.pi))
    stroke, text = marks([outer])
    assert isinstance(stroke, Stroke)
    assert isinstance(stroke.path, Line)
    assert close(stroke.path.start, Point(-1, 0))
    assert words([outer]) == ("seen",)
    assert isinstance(text, Text)


def test_moving_a_group_moves_what_is_in_it():
    group = Group(Motion(), (LINE,))
    (there,) = shifted([group], 3, 4)
    assert bounds([there]) == Bounds(3, 4, 13, 9)


def test_a_moved_hatch_turns_with_its_region():
    there = moved(Hatch((SQUARE,), 0.2), Motion.rotation(0.3))
    assert isinstance(there, Hatch)
    assert there.angle == pytest.approx(0.5)


def test_a_hatch_needs_a_spacing():
    with pytest.raises(GeometryError, match="spacing"):
        Hatch((SQUARE,), spacing=0)


def test_boxes_apart_have_nothing_in_common():
    assert common(Bounds(0, 0, 1, 1), Bounds(2, 2, 3, 3)) is None
    assert common(Bounds(0, 0, 2, 2), Bounds(1, 1, 3, 3)) == Bounds(1, 1, 2, 2)


def test_a_rectangle_and_a_page_agree():
    page = Page(210, 297, ())
    assert rectangle(page.bounds).area == pytest.approx(210 * 297)


def test_wide_lines_are_twice_narrow_ones_and_names_are_unique():
    # ISO 128: two widths on a drawing, wide to narrow 2:1; finer rules are our own third
    assert {each.width for each in STYLES} == {0.5, 0.25, 0.125}
    assert len({each.name for each in STYLES}) == len(STYLES)
    assert all(len(each.dashes) % 2 == 0 for each in STYLES)


def test_lines_that_must_not_be_confused_differ_in_black_and_white():
    by_name = {each.name: (each.width, each.dashes) for each in STYLES}
    steel = ("cut", "bend", "tangent", "score", "phantom", "centre", "torch")
    assert len({by_name[name] for name in steel}) == len(steel)
