"""Arrows that show by how much something is off."""

import pytest

from platewright.drawing.items import Fill, Stroke, bounds
from platewright.drawing.pointers import POINTER, FlatPointer, pointed, pointer_callouts
from platewright.geometry.plane import Point, Vector


@pytest.mark.parametrize("length", [0.6, 2.0, 4.0, 11.0])
def test_an_arrow_is_as_long_as_its_error_is_drawn(length):
    items = list(pointed([FlatPointer(Point(3, 4), Vector(length, 0))]))
    box = bounds(items)
    assert (box.xmin, box.xmax) == pytest.approx((3, 3 + length))


def test_what_is_too_short_to_show_a_way_is_left_out_and_still_told():
    each = FlatPointer(Point(0, 0), Vector(0.1, 0), "a: + 0.1 mm")
    assert not list(pointed([each]))
    (callout,) = pointer_callouts([each])
    assert callout.block.lines == ("a: + 0.1 mm",)


def test_the_thin_line_comes_from_its_root_and_words_only_where_there_are_any():
    each = FlatPointer(Point(10, 0), Vector(0, 5), "", Point(0, 0))
    thin, shaft, head = pointed([each])
    assert isinstance(thin, Stroke)
    assert thin.path.start == Point(0, 0)
    assert isinstance(shaft, Stroke)
    assert shaft.style == POINTER
    assert isinstance(head, Fill)
    assert not list(pointer_callouts([each]))
