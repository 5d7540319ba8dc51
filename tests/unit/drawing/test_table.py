import pytest

from platewright.drawing.flow import flow, height_of, stacked
from platewright.drawing.items import Stroke, Text, bounds, marks, words
from platewright.drawing.table import (
    Column,
    ReadingBox,
    Table,
    Tick,
    Words,
    table_strips,
    tick_box,
)
from platewright.errors import OutputError
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Bounds, Point

COLUMNS = (
    Column(heading="From", width=30),
    Column(heading="Should be", width=25, along="right"),
    Column(heading="Reading", width=30),
    Column(heading="OK", width=15, along="middle"),
)


def table(count=3, **more):
    row = ("A, the wall edge", Words("3 3/16 in", "bold"), ReadingBox("in"), Tick())
    return Table(columns=COLUMNS, rows=(row,) * count, **more)


def boxes(items):
    return [m.path for m in marks(items) if isinstance(m, Stroke) and isinstance(m.path, Contour)]


def test_a_table_is_as_wide_as_its_columns_and_can_be_stretched():
    assert table().width == 100
    wide = table().fitted(190)
    assert wide.width == pytest.approx(190)
    assert wide.columns[0].width == pytest.approx(57)


def test_a_row_needs_a_cell_for_each_column():
    with pytest.raises(OutputError, match="a row of 1 cells in 4 columns"):
        Table(columns=COLUMNS, rows=(("alone",),))


def test_the_drawing_fills_its_strips_and_no_more():
    strips = table_strips(table())
    box = bounds(stacked(strips, Point(0, 0)))
    assert (box.xmin, box.xmax) == (0, 100)
    assert box.ymin == pytest.approx(-height_of(strips))
    assert box.ymax == 0


def test_each_row_has_a_box_to_write_in_and_a_square_to_tick():
    _, row, *_ = table_strips(table())
    reading, tick = boxes(row.items)
    assert reading.bounds.width > 25
    assert reading.bounds.height >= 6 - 1e-9
    assert tick.bounds.width == pytest.approx(tick.bounds.height)
    assert 85 < tick.bounds.centre.x < 100


def test_a_long_text_makes_its_row_taller_and_stays_in_its_column():
    text = "from the far rim of the hole to the wall edge, along the top face"
    row = (text, "", ReadingBox(), Tick(("yes", "no")))
    tall = table_strips(Table(columns=COLUMNS, rows=(row,)))[1]
    assert tall.height > table_strips(table())[1].height
    for mark in marks(tall.items):
        if isinstance(mark, Text):
            box = bounds([mark])
            assert -tall.height < box.ymin
            assert box.ymax < 0
    assert bounds([m for m in marks(tall.items) if isinstance(m, Text)][:1]).xmax < 30


def test_the_header_comes_again_on_every_page():
    pages = flow(table_strips(table(30)), Bounds(0, 0, 100, 100))
    assert len(pages) > 2
    assert all(words(page)[:4] == ("From", "Should be", "Reading", "OK") for page in pages)
    assert sum(text == "3 3/16 in" for page in pages for text in words(page)) == 30


def test_a_header_never_stands_alone_at_the_foot():
    strips = table_strips(table(1))
    assert strips[0].keeps


def test_a_table_without_rows_is_its_header():
    assert len(table_strips(table(0))) == 1


def test_a_tick_box_has_its_label_beside_it():
    (box,) = tick_box(Point(5, 5), 2)
    assert bounds([box]).xmin == 5
    _, label = tick_box(Point(5, 5), 2, "pass")
    assert isinstance(label, Text)
    assert label.text == "pass"
