import math

import pytest

from laws.meeting import cover_ink, texts_of
from platewright.drawing.flow import paragraph
from platewright.drawing.free_space import straight_ink
from platewright.drawing.items import (
    Clip,
    Fill,
    Hatch,
    Stroke,
    Text,
    bounds,
    marks,
    rectangle,
    words,
)
from platewright.drawing.style import CUT
from platewright.errors import GeometryError, OutputError
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Line
from platewright.sheets.alignment import (
    AlignMark,
    align_mark,
    align_marks,
    lap_notes,
    seam_letters,
    seams,
)
from platewright.sheets.furniture import TitleBlock
from platewright.sheets.imposition import MAP_ROOM, impose, page_map, plain_pages
from platewright.sheets.page_count import EDGE_ROOM, LAP
from platewright.sheets.paper import A4, LETTER, field_of
from platewright.sheets.tiling import Shown, tile_pattern

BLOCK = TitleBlock(part="Left seat", face="TOP: this side up")


def box_pattern(width, height):
    return (Stroke(rectangle(Bounds(0, 0, width, height)), CUT),)


def test_a_small_pattern_takes_one_page_in_its_middle():
    tiling = tile_pattern(box_pattern(150, 100), "letter")
    (tile,) = tiling.tiles
    assert (tiling.rows, tiling.columns) == (1, 1)
    middle = tile.page_from_pattern.point(Point(75, 50))
    assert middle == field_of(tiling.paper).centre
    assert tiling.place(tile) == "page 1 of 1: the whole pattern"


def test_paper_is_turned_where_that_saves_pages():
    wide = tile_pattern(box_pattern(230, 120), "letter")
    tall = tile_pattern(box_pattern(120, 200), "letter")
    assert (wide.paper, len(wide.tiles)) == (LETTER.turned, 1)
    assert (tall.paper, len(tall.tiles)) == (LETTER, 1)


def test_neighbours_share_exactly_the_lap():
    tiling = tile_pattern(box_pattern(420, 400), "A4")
    for seam in seams(tiling):
        a, b = seam.first.window, seam.second.window
        shared = a.xmax - b.xmin if seam.upright else b.ymax - a.ymin
        assert shared == pytest.approx(LAP)
        assert min(seam.band.width, seam.band.height) == pytest.approx(LAP)


def test_places_are_told_in_words_from_the_top_left():
    tiling = tile_pattern(box_pattern(300, 300), "A4")
    first = tiling.tiles[0]
    assert tiling.place(first) == (
        f"page 1 of {len(tiling.tiles)}: row 1 of {tiling.rows}, column 1 of {tiling.columns}"
    )
    assert first.window.xmin < 0
    assert first.window.ymax > 300


def test_a_page_that_would_carry_nothing_is_left_out_and_crossed_on_the_map():
    bent = (Stroke((Line(Point(0, 0), Point(600, 0)), Line(Point(600, 0), Point(600, 600))), CUT),)
    tiling = tile_pattern(bent, "A4")
    assert len(tiling.tiles) < tiling.rows * tiling.columns
    assert tiling.at(1, 1) is None
    assert [tile.number for tile in tiling.tiles] == list(range(1, len(tiling.tiles) + 1))
    drawn = page_map(tiling, tiling.tiles[0])
    assert words(drawn) == tuple(str(tile.number) for tile in tiling.tiles)
    box = bounds(drawn)
    assert (box.xmin >= -1e-9, box.xmax <= MAP_ROOM[0] + 1e-9) == (True, True)
    assert (box.ymin >= -1e-9, box.ymax <= MAP_ROOM[1] + 1e-9) == (True, True)
    fills = [mark for mark in marks(drawn) if isinstance(mark, Fill)]
    assert len(fills) == 1


def test_single_paper_takes_everything_on_one_page():
    tiling = tile_pattern(box_pattern(1500, 700), "Single")
    (tile,) = tiling.tiles
    assert tile.window.width == pytest.approx(1500 + 2 * EDGE_ROOM)
    assert tile.window.height == pytest.approx(700 + 2 * EDGE_ROOM)
    assert page_map(tiling, tile) == ()


def test_what_cannot_be_tiled_is_refused():
    with pytest.raises(GeometryError, match="empty"):
        tile_pattern((), "A4")
    with pytest.raises(OutputError, match="no paper is called"):
        tile_pattern(box_pattern(10, 10), "napkin")
    with pytest.raises(OutputError, match="would take"):
        tile_pattern(box_pattern(90000, 90000), "A4")
    with pytest.raises(OutputError, match="lap"):
        tile_pattern(box_pattern(300, 300), "A4", lap=500)


def shows(items, window):
    return any(Shown(items).within([window]))


def test_ink_is_looked_for_exactly():
    window = Bounds(10, 10, 20, 20)
    diagonal = Stroke(Line(Point(0, 15), Point(15, 0)), CUT)
    assert not shows([diagonal], window)
    assert shows([diagonal], Bounds(5, 5, 20, 20))
    big = Circle(Point(15, 15), 100)
    assert not shows([Stroke(big, CUT)], window)
    assert shows([Fill((big,))], window)
    assert shows([Hatch((big,))], window)
    assert not shows([Fill((big, Circle(Point(15, 15), 60)))], window)
    assert shows([Text(Point(5, 12), "a long text")], window)
    assert not shows([Text(Point(5, 12), "")], window)


def test_each_seam_has_two_marks_in_its_lap_at_one_point_of_the_pattern():
    items = box_pattern(420, 300)
    tiling = tile_pattern(items, "letter")
    found = align_marks(straight_ink(items), tiling)
    assert len(found) == 2 * len(seams(tiling))
    for mark in found:
        holders = [tile for tile in tiling.tiles if _inside(mark.at, tile.window)]
        assert len(holders) == 2
    labels = [mark.label for mark in found]
    assert labels[:4] == ["A1", "A2", "B1", "B2"]
    assert len(set(labels)) == len(labels)


def _inside(p, box):
    return box.xmin <= p.x <= box.xmax and box.ymin <= p.y <= box.ymax


def test_marks_move_out_of_the_way_of_ink():
    items = box_pattern(300, 100)
    tiling = tile_pattern(items, "A4")
    (first, _) = align_marks(straight_ink(items), tiling)
    in_the_way = Stroke(Circle(first.at, 6), CUT)
    (moved, _) = align_marks(straight_ink((*items, in_the_way)), tiling)
    assert moved.at.distance(first.at) > 6


def test_a_mark_is_a_diamond_within_the_lap():
    for upright in (True, False):
        mark = AlignMark(Point(0, 0), "A1", upright)
        box = bounds(align_mark(mark))
        across = (box.xmin, box.xmax) if upright else (box.ymin, box.ymax)
        assert max(abs(side) for side in across) < LAP / 2
        assert words(align_mark(mark)) == ("A1",)


@pytest.mark.parametrize(("index", "letters"), [(0, "A"), (25, "Z"), (26, "AA"), (701, "ZZ")])
def test_seams_are_lettered(index, letters):
    assert seam_letters(index) == letters


def test_pages_say_where_to_trim_and_where_to_lay():
    items = box_pattern(300, 100)
    tiling = tile_pattern(items, "A4")
    first, second = tiling.tiles
    assert words(lap_notes(straight_ink(items), tiling, first)) == (
        "edge of page 2 lies on this line",
    )
    assert words(lap_notes(straight_ink(items), tiling, second)) == ("trim here, lay on page 1",)
    line = next(m for m in lap_notes(straight_ink(items), tiling, first) if isinstance(m, Stroke))
    assert line.shapes[0].start.x == pytest.approx(second.window.xmin)


@pytest.mark.parametrize("gap", [(1.0, 42.0), (98.0, 139.0), (158.0, 199.0)])
def test_the_words_of_a_seam_take_the_gap_that_lines_leave(gap):
    across = [
        Stroke(Line(Point(0, y), Point(300, y)), CUT)
        for y in range(0, 200, 3)
        if not gap[0] < y < gap[1]
    ]
    tiling = tile_pattern(across, "A4")
    first = tiling.tiles[0]
    notes = lap_notes(straight_ink(across), tiling, first)
    assert not cover_ink(texts_of(notes), across)


def test_the_words_of_a_seam_stand_whole_on_their_page():
    for size in ((300, 100), (420, 400)):
        items = box_pattern(*size)
        tiling = tile_pattern(items, "letter")
        for tile in tiling.tiles:
            for text in texts_of(lap_notes(straight_ink(items), tiling, tile)):
                assert tile.window.grown(-0.5).holds(bounds([text]))


def test_finished_pages_show_their_share_and_their_place():
    items = box_pattern(420, 300)
    tiling = tile_pattern(items, "letter")
    pages = impose(items, tiling, BLOCK)
    assert len(pages) == len(tiling.tiles) == 4
    for page, tile in zip(pages, tiling.tiles, strict=True):
        share = page.items[0]
        assert isinstance(share, Clip)
        assert share.window == tile.window
        assert share.items[-1] == items[0]  # the pattern lies over the marks
        assert tiling.place(tile) in words(page.items)
        assert page.title == f"Full-scale template: {tiling.place(tile)}"
        corner = share.motion.point(Point(tile.window.xmin, tile.window.ymin))
        field = field_of(tiling.paper)
        assert (corner.x, corner.y) == pytest.approx((field.xmin, field.ymin))


def test_the_same_point_of_the_pattern_is_marked_on_both_neighbours():
    items = box_pattern(300, 100)
    tiling = tile_pattern(items, "A4")
    left, right = impose(items, tiling, BLOCK)
    spots = []
    for page in (left, right):
        share = page.items[0]
        diamonds = [
            m.bounds.centre
            for m in (s.path for s in share.items if isinstance(s, Stroke))
            if isinstance(m, Contour) and math.isclose(m.area, 24.5)
        ]
        assert len(diamonds) == 2
        spots.append(diamonds)
    assert spots[0] == spots[1]


def test_running_matter_is_made_into_numbered_sheets():
    strips = [strip for _ in range(120) for strip in paragraph("measure it", 100)]
    pages = plain_pages(strips, A4, part="Left seat", sheet="Dimension sheet")
    assert len(pages) > 1
    assert words(pages[-1].items)[-1] == f"sheet {len(pages)} of {len(pages)}"
    assert pages[0].title == f"Dimension sheet: sheet 1 of {len(pages)}"


def hole_positions(width, height, spots):
    circles = [Circle(Point(x, y), d) for x, y, d in spots]
    items = (*box_pattern(width, height), *(Stroke(circle, CUT) for circle in circles))
    return circles, tile_pattern(items, "A4", openings=circles)


def crossed(tiling, circle, reach):
    box = circle.bounds if reach is None else Bounds(*(2 * (circle.centre.x, circle.centre.y)))
    return [seam for seam in seams(tiling) if seam.band.meets(box)]


def test_a_seam_moves_off_a_hole_while_the_pages_reach():
    width, height = 270, 200
    plain = tile_pattern(box_pattern(width, height), "A4")
    (seam,) = seams(plain)
    middle = seam.band.centre
    circles, tiling = hole_positions(width, height, [(middle.x, middle.y, 25)])
    assert len(tiling.tiles) == len(plain.tiles)
    assert not crossed(tiling, circles[0], None)
    shared = [a.first.window.xmax - a.second.window.xmin for a in seams(tiling)]
    assert shared == pytest.approx([LAP])
    windows = [tile.window for tile in tiling.tiles]
    assert min(w.xmin for w in windows) <= 0
    assert max(w.xmax for w in windows) >= width


def test_a_centre_is_never_in_a_lap_even_where_that_takes_more_pages():
    # as wide as two pages reach: the seam between them has one place alone, on the hole
    field = field_of(A4)
    width = 2 * (field.width - LAP) + LAP - 2 * EDGE_ROOM
    assert field_of(A4.turned).width < width
    plain = tile_pattern(box_pattern(width, 230), "A4")
    circles, tiling = hole_positions(width, 230, [(width / 2, 115, 10)])
    assert not crossed(tiling, circles[0], 0)
    assert not crossed(tiling, circles[0], None)
    assert len(tiling.tiles) >= len(plain.tiles)
    for tile in tiling.tiles:
        assert tile.window.width <= field_of(tiling.paper).width + 1e-9


def test_a_hole_too_large_to_be_missed_keeps_its_centre_clear():
    circles, tiling = hole_positions(900, 200, [(450, 100, 190), (200, 100, 20), (700, 100, 20)])
    for circle in circles:
        assert not crossed(tiling, circle, 0)
