import math
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest

from laws.example_pieces import BRAKE, SEAT, gusset, seat_piece, seat_pieces
from laws.meeting import covers
from platewright.drawing.items import Fill, Hatch, Stroke, Text, bounds, marks, words
from platewright.drawing.style import BEND, CENTRE, CUT, HIDDEN, PHANTOM, TANGENT
from platewright.errors import OutputError
from platewright.files.reader import load_job
from platewright.geometry.contour import Circle
from platewright.geometry.plane import Bounds
from platewright.geometry.segment import Line
from platewright.sheets.pattern import WINDOW_MARGIN, top_pattern, underside_pattern
from platewright.sheets.template import template_pages, top_pages, turned_to_fit, underside_pages
from platewright.sheets.tiling import tile_pattern
from platewright.shop.hardware import parse_bolt_size

PATTERNS = Path(__file__).parents[3] / "patterns"
PAPERS = ("letter", "legal", "tabloid", "A4", "A3", "single")


def strokes(items, style):
    return [m for m in marks(items) if isinstance(m, Stroke) and m.style == style]


def shapes(items, style):
    return [shape for stroke in strokes(items, style) for shape in stroke.shapes]


def pages_of(piece, paper="A4"):
    return template_pages((piece,), "mm", paper).pages


# --- pages ------------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", PAPERS)
def test_every_page_has_its_bars_its_face_and_its_place(paper):
    for page in pages_of(seat_piece(), paper):
        told = words(page.items)
        assert sum("4 in between" in line for line in told) == 2
        assert sum("100 mm between" in line for line in told) == 2
        top = any(line.startswith("TOP: this side up. Fold UP: towards you") for line in told)
        under = "UNDERSIDE: this side up. Fold UP: away from you" in told
        assert top != under
        assert any(line.startswith("page ") and " of " in line for line in told)
        assert "test-seat" in told


def test_pages_of_a_tiled_pattern_tell_row_and_column():
    pages = top_pages(seat_piece(), "mm", "letter")
    assert len(pages) > 1
    for number, page in enumerate(pages, 1):
        assert any(
            line.startswith(f"page {number} of {len(pages)}: row ") for line in words(page.items)
        )


def test_neighbouring_pages_share_their_marks():
    first, second = top_pages(seat_piece(), "mm", "letter")[:2]
    for label in ("A1", "A2"):
        assert label in words(first.items)
        assert label in words(second.items)


@pytest.mark.parametrize("paper", PAPERS)
def test_pages_have_the_size_of_their_paper_one_way_or_the_other(paper):
    sizes = {"letter": (215.9, 279.4), "legal": (215.9, 355.6), "tabloid": (279.4, 431.8)}
    sizes |= {"A4": (210.0, 297.0), "A3": (297.0, 420.0)}
    for page in pages_of(seat_piece(), paper):
        if paper in sizes:
            assert sorted((page.width, page.height)) == pytest.approx(sorted(sizes[paper]))


def test_single_paper_is_one_page_for_each_face():
    assert len(pages_of(seat_piece(), "single")) == 2
    assert len(pages_of(seat_piece(way=BRAKE), "single")) == 1


def test_a_crowded_single_page_grows_for_its_insets():
    piece = seat_piece()
    page = top_pages(piece, "mm", "single")[0]
    assert "Take care" in words(page.items)
    assert bounds(page.items).xmax <= page.width


def test_pages_are_counted_for_each_piece():
    template = template_pages(seat_pieces(hand="pair"), "mm", "A4", pair_sets={})
    left, right = template.pages_of_piece
    assert left + right == len(template.pages)
    assert all("test-seat-left (left hand)" in words(p.items) for p in template.pages[:left])
    assert all("test-seat-right (right hand)" in words(p.items) for p in template.pages[left:])


def test_both_hands_stand_side_by_side_where_that_saves_pages():
    pieces = seat_pieces(hand="pair")
    apart = template_pages(pieces, "mm", "A4", pair_sets={})
    together = template_pages(pieces, "mm", "A4")
    assert sum(together.pages_of_piece) == len(together.pages) < len(apart.pages)
    told = [line for page in together.pages for line in words(page.items)]
    assert "test-seat (left and right hand)" in told
    # each hand is named on its own pattern, and each of its bends is there
    for hand in ("left", "right"):
        assert f"test-seat-{hand} ({hand} hand)" in told

    def cut(pages):
        """The straight cut lines' length, of each as often as it is printed."""
        lines = [shape for page in pages for shape in shapes(page.items, CUT)]
        return sum(s.length for c in lines for s in getattr(c, "segments", ()))

    assert cut(together.pages) >= sum(piece.blank.outline.perimeter for piece in pieces)


def test_a_pattern_is_turned_where_that_saves_pages():
    piece = load_job(PATTERNS / "corner-gusset.toml").parts[0].pieces[0]
    as_drawn = len(tile_pattern(top_pattern(piece, "in").ink, "letter").tiles)
    found, turn = turned_to_fit(piece, "in", "letter")
    assert turn != 0
    assert len(top_pages(piece, "in", "letter")) < as_drawn
    assert found.blank.area == pytest.approx(piece.blank.area)
    # an edge of it lies along the paper
    angles = [s.direction.angle for s in found.blank.outline.segments if isinstance(s, Line)]
    assert min(abs(math.remainder(angle, math.pi / 2)) for angle in angles) < 1e-5


def test_one_that_fits_lies_as_drawn():
    piece = seat_piece(left=None, right=None)
    assert turned_to_fit(piece, "mm", "A3") == (piece, 0.0)


def test_unknown_paper_is_refused():
    with pytest.raises(OutputError, match="papyrus"):
        template_pages((seat_piece(),), "mm", "papyrus")


def test_page_sets_can_be_chosen():
    template = template_pages((seat_piece(),), "mm", "A4", page_sets=(underside_pages,))
    assert all(
        any(line.startswith("UNDERSIDE: this side up") for line in words(page.items))
        for page in template.pages
    )


def test_the_first_page_tells_the_lines_and_the_cautions():
    told = [line for page in pages_of(seat_piece()) for line in words(page.items)]
    assert "Lines" in told
    assert "Take care" in told
    assert any("Air springs" in line for line in told)


def test_one_page_says_nothing_of_trimming():
    small = seat_piece(left=None, right=None)
    (page,) = top_pages(small, "mm", "A3")
    assert not any("Trim" in line for line in words(page.items))


# --- the top pattern --------------------------------------------------------------------------


def test_the_outline_and_the_holes_are_cut_lines():
    piece = seat_piece()
    cut = shapes(top_pattern(piece, "mm").ink, CUT)
    assert piece.blank.outline in cut
    assert {hole.circle for hole in piece.blank.holes} <= set(cut)
    assert len(cut) == 4


def test_cut_lines_come_last():
    ink = top_pattern(seat_piece(), "mm").ink
    assert ink[-1].style == CUT


def test_bend_lines_are_narrow_continuous_and_reach_the_outline():
    piece = seat_piece()
    lines = shapes(top_pattern(piece, "mm").ink, BEND)
    assert BEND.dashes == ()
    assert BEND.width * 2 == CUT.width
    assert lines == [bend.line for bend in piece.blank.bends]
    for line in lines:
        assert piece.blank.outline.distance(line.start) < 1e-9
        assert piece.blank.outline.distance(line.end) < 1e-9


def test_only_a_wide_bend_without_a_score_shows_its_tangent_lines():
    assert shapes(top_pattern(seat_piece(), "mm").ink, TANGENT) == []
    assert len(shapes(top_pattern(seat_piece(way=BRAKE), "mm").ink, TANGENT)) == 4


def told_by(pattern):
    return [line for callout in pattern.callouts for line in callout.block.lines]


def test_each_bend_says_which_way_how_far_and_which_face():
    told = told_by(top_pattern(seat_piece(), "mm"))
    assert "BEND 1: fold DOWN 90°, score the TOP face" in told
    assert "BEND 2: fold UP 90°, score the UNDERSIDE face" in told
    assert "grind on this line: 3.0 mm wide, 4.0 mm deep, 1.0 mm left" in told
    assert "DO NOT GRIND THIS FACE: see the UNDERSIDE page" in told


def test_a_brake_bend_tells_its_radius():
    told = told_by(top_pattern(seat_piece(way=BRAKE), "mm"))
    assert "BEND 1: fold DOWN 90°, brake" in told
    assert "inside radius 8.0 mm" in told


@pytest.mark.parametrize("reach", [60.0, 130.0, 200.0])
def test_the_words_of_a_brake_bend_stand_clear_of_its_strip(reach):
    piece = seat_piece(way=BRAKE, left=gusset("down", reach=reach), right=gusset("up", reach=reach))
    (page,) = top_pages(piece, "mm", "single")
    lines = [*shapes(page.items, TANGENT), *shapes(page.items, BEND)]
    legend = 2
    assert len(lines) == 6 + legend
    texts = [m for m in marks(page.items) if isinstance(m, Text) and "radius" in m.text]
    assert len(texts) == 2
    for text in texts:
        assert not any(covers(text, line) for line in lines)


def test_the_template_says_how_many_and_the_files_note():
    piece = replace(seat_piece(), quantity=4, note="weld with the spring out")
    (first, *_) = top_pages(piece, "mm", "A4")
    told = words(first.items)
    assert any("to make: 4" in line for line in told)
    assert "weld with the spring out" in " ".join(told)


def test_holes_have_their_name_and_size():
    told = told_by(top_pattern(seat_piece(), "mm"))
    assert {"bolt hole 1", "bolt hole 2", "port hole", "Ø 11.0 mm", "for M10 bolt"} <= set(told)


def test_a_hole_that_was_given_by_its_diameter_has_it_once():
    size = parse_bolt_size("hole 11.5 mm", "mm")
    piece = seat_piece(bolts=replace(SEAT.bolts, size=size))
    told = told_by(top_pattern(piece, "mm"))
    assert told.count("Ø 11.5 mm") == SEAT.bolts.count
    assert "hole 11.5 mm" not in told


def test_every_hole_has_a_dot_to_punch_at_its_centre():
    piece = seat_piece()
    dots = [
        outline.centre
        for mark in marks(top_pattern(piece, "mm").ink)
        if isinstance(mark, Fill)
        for outline in mark.outlines
        if isinstance(outline, Circle)
    ]
    assert dots == [hole.centre for hole in piece.blank.holes]


def test_pilots_are_crossed_and_named_but_not_cut():
    piece = seat_piece(port=replace(SEAT.port, side="undecided"))
    pattern = top_pattern(piece, "mm")
    assert len(piece.blank.pilots) == 2
    cut = shapes(pattern.ink, CUT)
    assert not any(hole.circle in cut for hole in piece.blank.pilots)
    told = told_by(pattern)
    assert "port pilot towards the wall" in told
    assert told.count("not cut: punch only") == 2


def test_the_wall_edge_is_hatched_outside_and_named():
    piece = seat_piece()
    pattern = top_pattern(piece, "mm")
    assert "WALL EDGE: this edge meets the wall" in told_by(pattern)
    (hatch,) = (mark for mark in marks(pattern.ink) if isinstance(mark, Hatch))
    box = bounds([hatch])
    assert box.ymax == pytest.approx(-100)
    assert box.ymin == pytest.approx(-100 - WINDOW_MARGIN)


def test_marks_are_told_apart_by_their_lines():
    ink = top_pattern(seat_piece(), "mm").ink
    assert len(strokes(ink, PHANTOM)) == 2
    assert len(strokes(ink, HIDDEN)) == 1
    assert strokes(ink, CENTRE)
    assert PHANTOM.dashes[0] > PHANTOM.dashes[1] > PHANTOM.dashes[2]
    assert len(PHANTOM.dashes) == 6
    assert len(CENTRE.dashes) == 4
    assert CENTRE.width == PHANTOM.width == HIDDEN.width == BEND.width


def test_marks_end_a_little_outside_the_outline():
    piece = seat_piece(body_diameter=400.0, wall_gap=None, centre_distance=200.0)
    window = piece.blank.bounds.grown(WINDOW_MARGIN)
    box = bounds(top_pattern(piece, "mm").ink)
    assert window.grown(1e-6).union(box) == window.grown(1e-6)


def test_centre_lines_that_lie_on_each_other_are_drawn_once():
    turned = replace(SEAT.bolts, turn=math.pi / 2)
    ink = top_pattern(seat_piece(bolts=turned, port=None), "mm").ink
    upright = [
        line
        for line in shapes(ink, CENTRE)
        if isinstance(line, Line) and abs(line.end.x - line.start.x) < 1e-6 < line.length - 20
    ]
    assert len(upright) == 1
    assert upright[0].length == pytest.approx(160)


def test_words_of_a_pair_are_mirrored_in_place_not_in_lettering():
    right = seat_pieces(hand="pair")[1]
    told = told_by(top_pattern(right, "mm"))
    assert "test-seat-right (right hand)" in told
    assert "left gusset" in told


# --- the underside ----------------------------------------------------------------------------


def test_a_seat_scored_on_top_only_has_no_underside():
    assert underside_pattern(seat_piece(right=gusset("down")), "mm") is None
    assert underside_pattern(seat_piece(way=BRAKE), "mm") is None


def test_the_underside_shows_only_the_outline_and_its_own_scores():
    piece = seat_piece()
    pattern = underside_pattern(piece, "mm")
    assert [stroke.style for stroke in pattern.ink] == [BEND, CUT]
    told = told_by(pattern)
    assert "BEND 2: fold UP 90°, score the UNDERSIDE face" in told
    assert not any("BEND 1" in line for line in told)
    assert "UNDERSIDE: this side up" in told


def test_the_underside_is_the_top_seen_from_behind():
    piece = seat_piece()
    pattern = underside_pattern(piece, "mm")
    assert pattern.outline.bounds.width == pytest.approx(piece.blank.bounds.width)
    assert pattern.outline.bounds.centre.x == pytest.approx(piece.blank.bounds.centre.x)
    middle = piece.blank.bounds.centre.x
    top, behind = piece.blank.bends[1].line, pattern.ink[0].path
    assert behind.start.x - middle == pytest.approx(middle - top.start.x)
    assert behind.start.y == top.start.y
    assert pattern.outline.area == pytest.approx(piece.blank.outline.area)


def test_every_text_of_a_page_reads_the_right_way():
    for page in pages_of(seat_piece()):
        for mark in marks(page.items):
            if isinstance(mark, Text) and not mark.text.startswith(("trim", "edge of page")):
                assert -math.pi / 2 < mark.angle <= math.pi / 2 + 1e-9


def test_nothing_runs_off_the_paper():
    for page in pages_of(seat_piece()):
        box = bounds(page.items)
        assert Bounds(0, 0, page.width, page.height).union(box) == page.bounds


@pytest.mark.parametrize("name", ["pump-foot", "pipe-hat", "axle-saddle", "spring-seat"])
def test_the_cautions_and_the_lines_stand_on_a_template_however_full_it_is(name):
    # the samples are kept as they are made today by a test of their own
    pdf = pypdfium2.PdfDocument(PATTERNS.parent / "samples" / f"{name}-template.pdf")
    told = [page.get_textpage().get_text_range() for page in pdf]
    for title in ("Take care", "Lines", "Angle gauge"):
        assert any(title in page for page in told)
