from platewright.drawing.flow import (
    Strip,
    bullets,
    figure,
    flow,
    gap,
    heading,
    height_of,
    paragraph,
    stacked,
    steps,
)
from platewright.drawing.items import Stroke, bounds, words
from platewright.drawing.style import OUTLINE
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Line

FRAME = Bounds(10, 10, 110, 60)


def strips_of(count, height=10.0, **more):
    return [
        Strip(height=height, items=paragraph(str(n), 50)[0].items, **more) for n in range(count)
    ]


def test_strips_break_over_pages_in_order():
    pages = flow(strips_of(12), FRAME)
    assert [len(words(page)) for page in pages] == [5, 5, 2]
    assert words(pages[1]) == ("5", "6", "7", "8", "9")


def test_a_strip_that_just_fits_stays():
    assert len(flow(strips_of(5), FRAME)) == 1


def test_later_pages_may_have_another_frame():
    pages = flow(strips_of(12), FRAME, Bounds(10, 10, 110, 110))
    assert [len(words(page)) for page in pages] == [5, 7]


def test_gaps_vanish_at_the_top_of_a_page():
    pages = flow([*strips_of(5), gap(8), *strips_of(1)], FRAME)
    assert len(pages) == 2
    assert bounds(pages[1]).ymax > 50


def test_a_heading_stays_with_what_it_heads():
    pages = flow([*strips_of(4), *heading("Folded", 100), *strips_of(1)], FRAME)
    assert words(pages[0]) == ("0", "1", "2", "3")
    assert words(pages[1]) == ("Folded", "0")


def test_a_heading_stays_with_the_figure_under_it():
    drawing = [Stroke(Line(Point(0, 0), Point(0, 20)), OUTLINE)]
    pages = flow([*strips_of(3), *heading("Folded", 100), *figure(drawing, 100, "x")], FRAME)
    assert words(pages[0]) == ("0", "1", "2")
    assert words(pages[1]) == ("Folded", "x")


def test_a_header_is_repeated_where_its_strip_begins_a_page():
    header = strips_of(1)[0]
    rows = strips_of(6, repeated=header)
    pages = flow([header, *rows], FRAME)
    assert words(pages[1]) == ("0", "4", "5")
    assert words(pages[0]) == ("0", "0", "1", "2", "3")


def test_a_strip_taller_than_the_frame_stands_alone():
    pages = flow([*strips_of(1), *strips_of(1, height=200), *strips_of(1)], FRAME)
    assert [len(words(page)) for page in pages] == [1, 1, 1]


def test_nothing_still_makes_a_page():
    assert flow([], FRAME) == ((),)
    assert flow([gap(3)], FRAME) == ((),)


def test_paragraphs_wrap_within_their_width():
    strips = paragraph("write each reading down before you look at the figure", 40)
    drawn = stacked(strips, Point(0, 0))
    assert len(words(drawn)) > 1
    assert bounds(drawn).xmax <= 40
    assert bounds(drawn).ymax <= 0
    assert bounds(drawn).ymin >= -height_of(strips)
    assert strips[0].keeps


def test_lists_hang_beside_their_markers():
    drawn = stacked(bullets(["a point long enough to wrap over two lines"], 40), Point(0, 0))
    marker, *lines = words(drawn)
    assert marker == "•"
    assert len(lines) == 2
    numbered = words(stacked(steps(["tack", "weld"], 40), Point(0, 0)))
    assert numbered == ("1.", "tack", "2.", "weld")


def test_a_figure_is_centred_with_its_caption_under_it():
    line = Stroke(Line(Point(5, 5), Point(25, 15)), OUTLINE)
    drawn = stacked(figure([line], 100, "a caption"), Point(0, 0))
    assert words(drawn) == ("a caption",)
    box = bounds(drawn[:1])
    assert (box.xmin, box.xmax) == (40, 60)
    assert len(stacked(figure([line], 100), Point(0, 0))) == 1


def test_a_last_page_of_a_line_takes_some_of_the_page_before():
    frame = Bounds(0, 0, 100, 200)
    pages = flow(strips_of(42, height=5), frame)
    told = [words(page) for page in pages]
    assert [line for page in told for line in page] == [str(i) for i in range(42)]
    assert [len(page) for page in told] == [38, 4]


def test_nothing_is_taken_that_would_not_fit():
    frame = Bounds(0, 0, 100, 100)
    pages = flow([*strips_of(1, height=98), *strips_of(1, height=5)], frame)
    assert [len(words(page)) for page in pages] == [1, 1]
