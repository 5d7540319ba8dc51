import math

import pytest

from platewright.drawing.dimensions import (
    ARROW,
    angle_dimension,
    arrow,
    arrowhead,
    bubble,
    centre_lines,
    dimension,
    lettered_point,
    punch_mark,
    readable,
)
from platewright.drawing.items import Fill, Stroke, Text, bounds
from platewright.errors import GeometryError
from platewright.geometry.contour import Circle
from platewright.geometry.plane import Point, Vector, close
from platewright.geometry.segment import Arc, Line


def text_in(items):
    (text,) = (item for item in items if isinstance(item, Text))
    return text


def heads_in(items):
    return [item for item in items if isinstance(item, Fill)]


@pytest.mark.parametrize(
    ("angle", "reads"),
    [
        (0, 0),
        (math.pi, 0),
        (math.pi / 2, math.pi / 2),
        (-math.pi / 2, math.pi / 2),
        (2.5, 2.5 - math.pi),
        (-3.0, math.pi - 3.0),
    ],
)
def test_figures_read_from_the_bottom_or_the_right(angle, reads):
    assert readable(angle) == pytest.approx(reads)


def test_an_arrowhead_has_its_tip_on_the_point():
    box = bounds([arrowhead(Point(10, 0), Vector(5, 0))])
    assert box.xmax == 10
    assert box.xmin == pytest.approx(10 - ARROW)
    with pytest.raises(GeometryError, match="length"):
        arrow(Point(1, 1), Point(1, 1))


def test_a_dimension_stands_off_to_the_left_with_its_figure_above_the_line():
    items = dimension(Point(0, 0), Point(100, 0), "4 in", offset=12)
    lines = [item.path for item in items if isinstance(item, Stroke)]
    assert Line(Point(0, 12), Point(100, 12)) in lines
    text = text_in(items)
    assert text.at.x == pytest.approx(50)
    assert text.at.y > 12
    tips = {round(bounds([head]).xmin) for head in heads_in(items)}
    assert tips == {0, round(100 - ARROW)}


def test_a_negative_offset_stands_off_to_the_right_and_the_figure_stays_above():
    text = text_in(dimension(Point(0, 0), Point(100, 0), "4 in", offset=-12))
    assert text.at.y > -12
    upright = text_in(dimension(Point(0, 100), Point(0, 0), "4 in", offset=12))
    assert upright.angle == pytest.approx(math.pi / 2)
    assert upright.at.x < 12


def test_a_short_dimension_has_its_arrows_outside():
    items = dimension(Point(0, 0), Point(4, 0), "5/32", offset=8)
    first, second = heads_in(items)
    assert bounds([first]).xmax == pytest.approx(0)
    assert bounds([second]).xmin == pytest.approx(4)
    assert text_in(items).at.x > 4


def test_a_dimension_on_the_line_itself_has_no_extension_lines():
    strokes = [
        i for i in dimension(Point(0, 0), Point(50, 0), "2", offset=0.5) if type(i) is Stroke
    ]
    assert len(strokes) == 1


def test_a_dimension_needs_a_length():
    with pytest.raises(GeometryError, match="apart"):
        dimension(Point(0, 0), Point(0, 0), "0")


@pytest.mark.parametrize("sweep", [math.pi / 2, -math.pi / 3, 2.5])
def test_an_angle_is_drawn_from_its_first_side_to_its_second(sweep):
    items = angle_dimension(Point(0, 0), 0.2, sweep, 20, "x")
    arc = items[0].path
    assert isinstance(arc, Arc)
    assert close(arc.start, Point(20 * math.cos(0.2), 20 * math.sin(0.2)))
    assert arc.sweep == sweep
    assert len(heads_in(items)) == 2
    assert Point(0, 0).distance(text_in(items).at) > 20


def test_a_lettered_point_is_marked_and_named_beside_it():
    beside = lettered_point(Point(5, 5), "A", away=Vector(8, 0))
    assert bounds(beside[-1:]).centre.x == pytest.approx(13)
    assert close(bounds(beside[:1]).centre, Point(5, 5))
    near = lettered_point(Point(5, 5), "A", away=Vector(1, 0))
    assert len(near) == len(beside) - 1


def test_a_bubble_goes_round_its_letters():
    items = bubble(Point(0, 0), "A12")
    circle = items[1].path
    assert isinstance(circle, Circle)
    assert circle.radius > text_in(items).width / 2


def test_punch_marks_and_centre_lines_cross_on_the_point():
    assert bounds(punch_mark(Point(7, 8))).centre == Point(7, 8)
    small = centre_lines(Circle(Point(3, 4), 10))
    large = centre_lines(Circle(Point(3, 4), 60))
    assert bounds(small).width == pytest.approx(16)
    assert all(arm.path.start == Point(3, 4) for arm in (*small, *large))
    assert small[0].style.dashes == ()
    assert large[0].style.name == "centre"
