"""Laws of the drawing kit: whatever is drawn, these hold."""

import math
import xml.etree.ElementTree as ET

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from laws.effort import examples
from laws.meeting import any_meet, cover_ink, texts_of
from laws.strategies_sheets import (
    any_text,
    arcs,
    callouts,
    circles,
    drawn_marks,
    lines,
    motions,
    points,
    printed_words,
    rectangles,
    regions,
    strips,
    strokes,
    texts,
)
from platewright.drawing.dimensions import dimension, readable
from platewright.drawing.flow import Strip, flow
from platewright.drawing.free_space import Box, FreeSpace, ink_lines, straight_ink
from platewright.drawing.items import (
    Clip,
    Group,
    Hatch,
    Page,
    Stroke,
    Text,
    bounds,
    corners,
    marks,
    moved,
    moved_mark,
    words,
)
from platewright.drawing.lettering import printable, shortened, text_width, wrap
from platewright.drawing.paths import bezier_pieces, hatch_lines
from platewright.drawing.pdf import pdf_bytes, signed
from platewright.drawing.placing import place_callouts
from platewright.drawing.style import CUT
from platewright.drawing.svg import svg_text
from platewright.geometry.meeting import Rectangles
from platewright.geometry.plane import Bounds, Motion, Point, Vector, close
from platewright.sheets.alignment import align_marks, seams
from platewright.sheets.page_count import EDGE_ROOM, LAP
from platewright.sheets.paper import field_of, paper_named
from platewright.sheets.tiling import Shown, tile_pattern

modest = examples(60)


def same_box(a, b, tolerance=1e-6):
    return (a.xmin, a.ymin, a.xmax, a.ymax) == pytest.approx(
        (b.xmin, b.ymin, b.xmax, b.ymax), abs=tolerance
    )


# moving


@modest
@given(drawn_marks(), motions())
def test_a_group_is_its_items_moved(mark, motion):
    (opened,) = marks([Group(motion, (mark,))])
    assert opened == moved_mark(mark, motion)


@modest
@given(drawn_marks(), motions())
def test_a_motion_and_its_inverse_leave_the_box_alone(mark, motion):
    back = moved(moved(mark, motion), motion.inverse())
    assert same_box(bounds([back]), bounds([mark]))


@modest
@given(texts(), motions())
def test_a_moved_text_keeps_its_box_and_reads_forwards(text, motion):
    there = moved(text, motion)
    expected = [motion.point(corner) for corner in text.box()]
    assert all(any(close(a, b, 1e-6) for b in there.box()) for a in expected)
    # the baseline's left end stays the low left corner of the box as it is read
    along = there.box()[1] - there.box()[0]
    assert along.turned(-there.angle).x == pytest.approx(along.length)


@modest
@given(st.lists(drawn_marks(), min_size=1, max_size=4), motions(mirrored=False))
def test_a_clip_never_reaches_out_of_its_window(items, motion):
    window = Bounds(-50, -40, 60, 70)
    clip = Clip(window, tuple(items), motion)
    if any(Shown(items).within([window])):
        box = bounds([clip])
        room = Bounds.of(*(motion.point(p) for p in corners(window))).grown(1e-6)
        assert room.holds(box)


# lettering


@modest
@given(any_text)
def test_every_text_becomes_printable_once_and_for_all(text):
    shown = printable(text)
    shown.encode("cp1252")
    assert printable(shown) == shown
    assert text_width(text, 2.5) == pytest.approx(text_width(shown, 2.5))


@modest
@given(printed_words, st.floats(0.5, 20))
def test_width_grows_with_size_alone(text, size):
    assert text_width(text, size) == pytest.approx(size * text_width(text, 1.0))


@modest
@given(st.lists(printed_words, max_size=8).map(" ".join), st.floats(8, 60))
def test_wrapping_loses_no_letter_and_keeps_its_width(text, width):
    lines_ = wrap(text, width, 2.0)
    assert "".join(lines_).replace(" ", "") == text.replace(" ", "")
    assert all(text_width(line, 2.0) <= width + 1e-9 for line in lines_)


@modest
@given(printed_words, st.floats(5, 60))
def test_a_shortened_text_fits(text, width):
    assert text_width(shortened(text, width, 2.0), 2.0) <= width


# paths


@modest
@given(arcs(), st.sampled_from([1e-4, 1e-3, 1e-2]))
def test_bezier_pieces_stay_within_their_tolerance(arc, tolerance):
    centre, radius = complex(arc.centre.x, arc.centre.y), arc.radius
    start = complex(arc.start.x, arc.start.y)
    for first, second, end in bezier_pieces(arc, tolerance):
        for step in range(1, 20):
            t = step / 20
            s = 1 - t
            at = s**3 * start + 3 * s * s * t * first + 3 * s * t * t * second + t**3 * end
            assert abs(abs(at - centre) - radius) <= tolerance * 1.001 + 1e-9
        start = end
    assert start == complex(arc.end.x, arc.end.y)


@modest
@given(regions(100), st.floats(-3, 3), st.floats(2, 10))
def test_hatch_lines_lie_inside_and_fill_the_area(outlines, angle, spacing):
    found = hatch_lines(Hatch(outlines, angle, spacing))
    for line in found:
        middle = line.point_at(0.5)
        near_edge = min(outline.distance(middle) for outline in outlines) < 0.05
        inside = sum(outline.contains(middle) for outline in outlines) % 2
        assert inside or near_edge
    if len(outlines) == 1:
        area, length = abs(outlines[0].area), sum(line.length for line in found)
        slack = spacing * (outlines[0].bounds.width + outlines[0].bounds.height) * 2
        assert abs(length * spacing - area) <= slack


# boxes and ink


boxes = st.builds(
    Box, points(50), st.floats(0.5, 40), st.floats(0.5, 40), st.floats(-math.pi, math.pi)
)


@modest
@given(boxes, lines(60))
def test_a_line_through_a_box_is_seen(box, line):
    ends = (line.start.x, line.start.y, line.end.x, line.end.y)
    met = Rectangles.between([ends]).counts(Rectangles.of([box.rectangle]))
    back = Motion.rotation(-box.angle, box.centre)
    for step in range(21):
        p = back.point(line.point_at(step / 20))
        if (
            abs(p.x - box.centre.x) <= box.half_along - 1e-6
            and abs(p.y - box.centre.y) <= box.half_across - 1e-6
        ):
            assert met == [1]


@modest
@given(strokes(200))
def test_a_window_without_ink_holds_no_point_of_a_stroke(stroke):
    window = Bounds(-40, -30, 60, 50)
    assume(not any(Shown([stroke]).within([window])))
    inner = window.grown(-0.1)
    for shape in stroke.shapes:
        assert not any(inner.meets(Bounds.of(p)) for p in shape.flatten(0.5))


# tiling


patterns = st.lists(strokes(250), min_size=1, max_size=3).map(tuple)


@modest
@given(patterns, st.sampled_from(["letter", "A4", "A3", "legal", "tabloid", "single"]))
def test_every_inked_point_is_on_some_page(items, paper):
    tiling = tile_pattern(items, paper)
    for line in ink_lines(items):
        for p in (line.start, line.point_at(0.5), line.end):
            near = Bounds(p.x, p.y, p.x, p.y).grown(0.6)
            assert any(tile.window.meets(near) for tile in tiling.tiles)


@modest
@given(patterns, st.sampled_from(["letter", "A4", "tabloid", "single"]), st.floats(5, 20))
def test_each_window_lands_exactly_on_its_field(items, paper, lap):
    tiling = tile_pattern(items, paper, lap)
    field = field_of(tiling.paper)
    for tile in tiling.tiles:
        low = tile.page_from_pattern.point(Point(tile.window.xmin, tile.window.ymin))
        high = tile.page_from_pattern.point(Point(tile.window.xmax, tile.window.ymax))
        assert same_box(Bounds.of(low, high), field, 1e-9)


@modest
@given(patterns, st.sampled_from(["letter", "A4"]))
def test_alignment_marks_lie_in_the_lap_of_just_their_two_pages(items, paper):
    tiling = tile_pattern(items, paper)
    pairs = seams(tiling)
    found = align_marks(straight_ink(items), tiling)
    assert len(found) == 2 * len(pairs)
    for index, mark in enumerate(found):
        seam = pairs[index // 2]
        assert seam.band.grown(-3.0).meets(Bounds.of(mark.at))
        holders = [t for t in tiling.tiles if t.window.meets(Bounds.of(mark.at))]
        assert holders == [seam.first, seam.second]


@modest
@given(patterns, st.sampled_from(["letter", "A4", "A3"]))
def test_no_way_of_turning_the_paper_would_take_fewer_pages(items, name):
    count = len(tile_pattern(items, name).tiles)
    box = bounds(items).grown(EDGE_ROOM)
    for paper in (paper_named(name), paper_named(name).turned):
        field = field_of(paper)
        columns = math.ceil(max(1, (box.width - LAP) / (field.width - LAP) - 1e-9))
        rows = math.ceil(max(1, (box.height - LAP) / (field.height - LAP) - 1e-9))
        assert count <= rows * columns


# words


@modest
@given(st.lists(callouts(), max_size=8), st.lists(strokes(80), max_size=4))
def test_words_cover_neither_ink_nor_each_other_and_none_is_lost(wanted, ink):
    room = Bounds(-120, -120, 120, 120)
    placed = place_callouts(FreeSpace.beside(ink, (room,)), wanted)
    said = [*words(placed.items), *(text for _, text in placed.notes)]
    assert all(callout.block.lines[0] in said for callout in wanted)
    numbers = {number for number, _ in placed.notes}
    texts = [text for text in texts_of(placed.items) if text.text not in numbers]
    assert all(room.holds(Box.round_text(text).bounds) for text in texts)
    assert not any_meet(texts)
    assert not cover_ink(texts, ink)


@modest
@given(points(100), points(100), st.floats(-30, 30), printed_words)
def test_a_dimension_measures_between_its_points(a, b, offset, text):
    assume(a.distance(b) > 0.1)
    items = dimension(a, b, text, offset=offset)
    figure = items[-1]
    assert isinstance(figure, Text)
    assert -math.pi / 2 < figure.angle <= math.pi / 2
    along = (b - a).unit()
    tips = [item.outlines[0].corners[0] for item in items[-3:-1]]
    assert abs((tips[1] - tips[0]).dot(along)) == pytest.approx(a.distance(b))


@modest
@given(st.floats(-20, 20))
def test_readable_keeps_the_line_and_never_hangs_upside_down(angle):
    found = readable(angle)
    assert -math.pi / 2 < found <= math.pi / 2
    assert abs(math.sin(found - angle)) < 1e-8


# flow


@modest
@given(st.lists(strips, max_size=25))
def test_strips_come_once_each_in_order_and_stay_in_their_frame(found):
    frame = Bounds(0, 0, 100, 100)
    named = [
        Strip(
            height=strip.height,
            keeps=strip.keeps and index % 3 == 0,
            loose=strip.loose and index % 3 == 1,
            items=() if strip.loose and index % 3 == 1 else (Text(Point(0, -1), str(index)),),
        )
        for index, strip in enumerate(found)
    ]
    pages = flow(named, frame)
    said = [text for page in pages for text in words(page)]
    assert said == [str(i) for i, strip in enumerate(named) if strip.items]
    for page in pages:
        for group in page:
            # two strips of at most 40 mm always fit together, so each begins inside
            assert 0 <= group.motion.f <= 100 + 1e-9


# writers


@examples(30)
@given(st.lists(drawn_marks(), max_size=4), any_text, motions())
def test_the_same_page_gives_the_same_file_and_no_text_stops_it(items, title, motion):
    group = Group(motion, (*items, Text(Point(5, 5), title)))
    page = Page(300, 200, (group, Clip(Bounds(0, 0, 9, 9), tuple(items), motion)), title)
    data = pdf_bytes([page], title=title, subject=title)
    assert signed(data)
    assert data == pdf_bytes([page], title=title, subject=title)
    svg = svg_text(page)
    assert svg == svg_text(page)
    ET.fromstring(svg)


@modest
@given(st.one_of(circles(80), rectangles(80), lines(80)))
def test_the_svg_writer_keeps_every_corner(shape):
    shift = Motion.translation(Vector(400, 400))
    page = Page(800, 800, (Stroke(shape.moved(shift), CUT),))
    root = ET.fromstring(svg_text(page))
    path = root.find("{http://www.w3.org/2000/svg}path").get("d")
    ends = [token.lstrip("ML") for token in path.split() if "," in token]
    box = Bounds.of(*(Point(float(x), 800 - float(y)) for x, y in (e.split(",") for e in ends)))
    assert same_box(box, shape.moved(shift).bounds, 1e-4)
