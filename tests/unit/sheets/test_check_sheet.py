import math
from dataclasses import replace
from pathlib import Path

import pytest

from laws.example_pieces import BRAKE, SCORE, SEAT, judged, seat_piece, seat_pieces
from platewright.drawing.flow import Strip, flow
from platewright.drawing.items import Fill, Stroke, Text, bounds, marks, words
from platewright.drawing.style import BEND, OUTLINE
from platewright.errors import OutputError
from platewright.files.reader import load_job
from platewright.findings.limits import Load
from platewright.plate.dimension import Dimension
from platewright.sheets.check_sheet import (
    SECTIONS,
    TOLERANCES,
    bend_section,
    check_pages,
    critical_section,
    matter_of,
    outer_section,
    stock_section,
    tolerance_section,
)
from platewright.sheets.furniture import plain_field_of
from platewright.sheets.key import key_drawing
from platewright.sheets.paper import A4, paper_named
from platewright.sheets.rows import flat_rows

PATTERNS = Path(__file__).parents[3] / "patterns"


def matter(piece, unit="mm", load=None):
    return matter_of(piece, judged(piece, load), unit, A4)


def pages_of(pieces, unit, paper):
    return check_pages(pieces, [judged(piece) for piece in pieces], unit, paper)


def told_by(strips):
    return words([item for strip in strips for item in strip.items])


def value(piece, text):
    (row,) = (row for row in flat_rows(piece).rows if row.words == text)
    return row.value


# --- the distances ----------------------------------------------------------------------------


def test_the_fit_critical_distances_come_out_as_measured():
    piece = seat_piece()
    assert value(piece, "bolt hole 1 to wall edge, square to it") == pytest.approx(100)
    assert value(piece, "bolt hole 1 to bolt hole 2") == pytest.approx(70)
    assert value(piece, "port hole to bolt line, square to it") == pytest.approx(32)
    assert value(piece, "port hole to wall edge, square to it") == pytest.approx(132)
    # along the bolt line only a bolt tells where the port stands
    assert value(piece, "port hole to bolt hole 1") == pytest.approx(math.hypot(32, 35))


def test_the_bend_lines_are_measured_from_the_holes_and_from_each_other():
    # inside radius of the fold: groove / angle - ligament / 2; its corner stands 87 mm from centre
    radius = 3.0 / 1.5707963267948966 - 0.5
    line = 75 + 12 - radius + 1.5
    piece = seat_piece()
    assert value(piece, "bolt hole 2 to bend 1 line, square to it") == pytest.approx(line - 35)
    assert value(piece, "bolt hole 1 to bend 2 line, square to it") == pytest.approx(line - 35)
    assert value(piece, "bend 1 line to bend 2 line, square") == pytest.approx(2 * line)


def test_critical_rows_come_first():
    critical = [row.critical for row in flat_rows(seat_piece()).rows]
    assert critical == sorted(critical, reverse=True)
    assert True in critical
    assert False in critical


def test_corners_at_a_bend_are_measured_at_the_bend_lines_end():
    piece = seat_piece()
    (row,) = (r for r in flat_rows(piece).rows if r.words.startswith("left wall corner"))
    assert row.words == (
        "left wall corner (end of bend 1 line) to right front corner (end of bend 2 line)"
    )
    first, second = piece.blank.bends
    ends = {first.line.start, first.line.end, second.line.start, second.line.end}
    assert {place.at for place in row.ends} <= ends


def test_the_blank_is_measured_over_all():
    piece = seat_piece()
    assert value(piece, "overall, left to right") == piece.blank.bounds.width
    assert value(piece, "overall, bottom to top") == piece.blank.bounds.height


def test_gussets_are_measured_to_their_far_edge_and_along_their_own_edges():
    piece = seat_piece()
    told = {row.words for row in flat_rows(piece).rows}
    assert "bend 1 line to far edge of left gusset, square" in told
    assert "slope of left gusset, end to end" in told
    # as long as its gusset reaches, which is told once
    assert "bend 1 line, end to end" not in told
    reaches = [row.value for row in flat_rows(piece).rows if row.words.startswith("front end of")]
    assert reaches == pytest.approx([130, 110])


def test_edges_that_run_on_into_others_are_no_length_for_a_tape():
    # the wall edge and the gusset's wall end are one straight line on the blank
    told = [row.words for row in flat_rows(seat_piece()).rows]
    assert not any(words.startswith(("wall edge, end", "wall end")) for words in told)


def test_a_distance_of_nothing_is_dropped():
    piece = seat_piece(port=replace(SEAT.port, offset=0.0))
    told = [row.words for row in flat_rows(piece).rows]
    assert "port hole to bolt line, square to it" not in told


def test_a_distance_is_told_once():
    piece = seat_piece()
    doubled = replace(piece.bracket, dimensions=piece.bracket.dimensions * 2)
    words = [row.words for row in flat_rows(piece).rows]
    assert [r.words for r in flat_rows(replace(piece, bracket=doubled)).rows] == words


def test_what_only_the_folded_bracket_shows_is_left_out():
    piece = seat_piece()
    first, *rest = piece.bracket.dimensions
    late = Dimension(start=replace(first.start, when="folded"), end=first.end, critical=True)
    bracket = replace(piece.bracket, dimensions=(late, *rest))
    told = [row.words for row in flat_rows(replace(piece, bracket=bracket)).rows]
    assert "bolt hole 1 to wall edge, square to it" not in told


def test_a_plain_plate_measures_its_sides_unless_they_are_the_overall_size():
    square = replace(SEAT.front, shape="square", length=180.0)
    piece = seat_piece(left=None, right=None, front=square)
    told = [row.words for row in flat_rows(piece).rows]
    assert "overall, left to right" in told
    assert not any("end to end" in words for words in told)


# --- letters and key --------------------------------------------------------------------------


def test_every_place_has_one_letter_and_every_row_its_letters():
    table = flat_rows(seat_piece())
    letters = [letter for letter, _ in table.places]
    assert letters == list("ABCDEFGHIJKLMNOPQRSTUVWXYZ"[: len(letters)])
    assert table.rows[0].letters == "A to B"
    for row in table.rows:
        assert row.words.startswith("overall") == (row.letters == "")
        assert len(row.letters.split(" to ")) == max(1, len(row.ends))


@pytest.mark.parametrize("size", [(190.0, 104.0), (120.0, 60.0)])
def test_the_key_fits_its_box_and_shows_every_letter(size):
    piece = seat_piece()
    letters = flat_rows(piece).places
    drawing = key_drawing(piece, "mm", size)
    box = bounds(drawing)
    assert box.width <= size[0]
    assert box.height <= size[1]
    assert {letter for letter, _ in letters} <= set(words(drawing))
    assert {"bend 1", "bend 2"} <= set(words(drawing))


def test_the_names_of_many_bends_are_all_as_small():
    (part,) = load_job(PATTERNS / "tank-strap.toml").parts
    drawing = key_drawing(part.pieces[0], "mm", (190.0, 104.0))
    names = [m for m in marks(drawing) if isinstance(m, Text) and m.text.startswith("bend")]
    assert len(names) > len(part.pieces[0].blank.bends) / 2
    assert {name.size for name in names} == {1.8}


@pytest.mark.parametrize("name", ["tank-strap", "pipe-hat", "sensor-steps"])
def test_a_name_along_a_bend_stands_nearest_to_its_own(name):
    (part,) = load_job(PATTERNS / f"{name}.toml").parts
    drawing = key_drawing(part.pieces[0], "mm", (190.0, 104.0))
    strokes = [m for m in marks(drawing) if isinstance(m, Stroke) and m.style == BEND]
    lines = [stroke.shapes[0] for stroke in strokes]
    names = [m for m in marks(drawing) if isinstance(m, Text) and m.text.startswith("bend")]
    beside = [each for each in names if each.angle]  # the others are on leaders
    assert beside
    for text in beside:
        a, _, c, _ = text.box()
        off = [line.distance(a.midpoint(c)) for line in lines]
        assert off.index(min(off)) + 1 == int(text.text.split()[1])


# --- the sheet --------------------------------------------------------------------------------


def test_to_save_a_page_the_key_keeps_its_size_where_the_other_pictures_suffice():
    (part,) = load_job(PATTERNS / "spring-seat.toml").parts
    first, *others = check_pages(part.pieces, part.judgements, "in", "letter")
    width = plain_field_of(paper_named("letter")).width
    key = key_drawing(part.pieces[0], "in", (width, 104.0))
    assert len(others) == 3
    assert blank_width(first.items) == pytest.approx(blank_width(key))


def test_both_hands_have_their_pictures_in_one_size():
    (part,) = load_job(PATTERNS / "corner-gusset.toml").parts
    pages = check_pages(part.pieces, part.judgements, "in", "letter")
    lefts, rights = (
        [page.items for page in pages if f"({hand} hand)" in " ".join(words(page.items))]
        for hand in ("left", "right")
    )
    grey = [
        max(bounds([m]).height for page in each for m in marks(page) if is_underside(m))
        for each in (lefts, rights)
    ]
    assert grey[0] == pytest.approx(grey[1])


def is_underside(mark):
    return isinstance(mark, Fill) and mark.grey == 0.8


def blank_width(items):
    drawn = [m for m in marks(items) if isinstance(m, Stroke) and m.style is OUTLINE]
    return max(bounds([stroke]).width for stroke in drawn)


def test_rows_tell_the_files_unit_first_and_the_other_too():
    piece = seat_piece()
    in_mm = words([item for page in pages_of((piece,), "mm", "A4") for item in page.items])
    in_inches = words([item for page in pages_of((piece,), "in", "A4") for item in page.items])
    assert in_mm.index("mm") < in_mm.index("tape, in")
    assert in_inches.index("tape, in") < in_inches.index("mm")
    for told in (in_mm, in_inches):
        assert "100.0" in told
        assert "3 15/16" in told


def test_critical_rows_are_marked_and_held_tighter():
    piece = seat_piece()
    sections = (critical_section, outer_section, tolerance_section)
    told = [line for section in sections for line in told_by(section(matter(piece)))]
    rows = flat_rows(piece).rows
    assert told.count("FIT") == sum(row.critical for row in rows)
    assert told.count(TOLERANCES[True]["mm"]) == told.count("FIT")
    angles = sum(row.angle for row in rows)
    assert told.count(TOLERANCES[False]["mm"]) == len(rows) - told.count("FIT") - angles
    assert any("no published source" in line for line in told)
    assert any("ISO 2768-1" in line for line in told)


def test_the_stock_is_told_with_room_to_spare():
    piece = seat_piece()
    told = " ".join(told_by(stock_section(matter(piece))))
    box = piece.blank.bounds
    assert f"At least {int(box.width) + 1} mm x {round(box.height)} mm" in told
    assert "5.0 mm A36 structural steel" in told
    assert f"{piece.bracket.stock.mass_kg(piece.blank.area):.2f} kg" in told


def test_the_stock_says_how_many_to_make():
    one = " ".join(told_by(stock_section(matter(seat_piece()))))
    assert "To make: 1, of" in one
    assert "together" not in one
    piece = replace(seat_piece(), quantity=3)
    mass = piece.bracket.stock.mass_kg(piece.blank.area)
    told = " ".join(told_by(stock_section(matter(piece))))
    assert "To make: 3, of" in told
    assert f"each, {3 * mass:.2f} kg" in told
    left = replace(seat_pieces(hand="pair")[0], quantity=2)
    assert "To make: 2 of this hand, 2 of the other, of" in " ".join(
        told_by(stock_section(matter(left)))
    )


def test_the_note_of_the_file_stands_first():
    piece = replace(seat_piece(), note="weld with the spring out")
    pages = pages_of((piece,), "mm", "A4")
    assert words(pages[0].items).index("Note: weld with the spring out") < 5
    assert not any("Note" in line for line in words(pages_of((seat_piece(),), "mm", "A4")[0].items))


def test_bends_are_told_in_order_with_face_groove_and_depth():
    told = told_by(bend_section(matter(seat_piece())))
    assert told.index("DOWN 90°") < told.index("UP 90°")
    text = " ".join(told)
    assert "score the TOP face, groove 3.0 mm wide, 4.0 mm deep" in text
    assert "score the UNDERSIDE face, groove 3.0 mm wide, 4.0 mm" in text


def test_brake_bends_are_told_with_their_radius_and_their_share_of_the_flat():
    text = " ".join(told_by(bend_section(matter(seat_piece(way=BRAKE)))))
    assert "8.0 mm" in text
    # angle (radius + k T) = pi / 2 * (8 + 0.42 * 5)
    assert "brake; the bend itself uses 15.9 mm of the flat" in text
    assert "groove" not in text


def test_a_plate_without_bends_has_no_section_for_them():
    assert bend_section(matter(seat_piece(left=None, right=None))) == ()


def test_every_section_makes_strips_for_a_seat():
    told = [replace(seat_piece(way=way), note="in the file") for way in (SCORE, BRAKE)]
    loaded = [matter(piece, load=Load(force=5000.0)) for piece in told]
    assert all(any(section(each) for each in loaded) for section in SECTIONS)


def test_the_cautions_are_there():
    told = words(
        [item for page in pages_of((seat_piece(),), "in", "letter") for item in page.items]
    )
    assert any("Air springs" in line for line in told)
    assert any("local codes" in line for line in told)


def test_a_pair_has_a_sheet_for_each_hand():
    titles = [words(page.items) for page in pages_of(seat_pieces(hand="pair"), "mm", "A4")]
    for hand in ("left", "right"):
        assert any(f"test-seat-{hand} ({hand} hand)" in told for told in titles)


@pytest.mark.parametrize(("unit", "size"), [("in", (215.9, 279.4)), ("mm", (210.0, 297.0))])
def test_single_paper_becomes_the_units_own_paper(unit, size):
    page = pages_of((seat_piece(),), unit, "single")[0]
    assert (page.width, page.height) == pytest.approx(size)


@pytest.mark.parametrize("paper", ["letter", "A4", "legal", "A3"])
def test_nothing_runs_off_the_paper(paper):
    for page in pages_of((seat_piece(),), "in", paper):
        assert page.bounds.union(bounds(page.items)) == page.bounds


def test_unknown_paper_is_refused():
    with pytest.raises(OutputError):
        pages_of((seat_piece(),), "in", "vellum")


def test_everything_is_drawn_a_little_smaller_where_that_saves_a_page():
    piece = seat_piece()
    field = plain_field_of(A4)
    own = [section(matter(piece)) for section in SECTIONS]
    saved: set[int] = set()
    for step in range(8):
        if saved == {0, 1}:
            break
        filler = Strip(height=field.height * (step + 1) / 9)
        strips = [strip for section in (*own[:-1], (filler,), own[-1]) for strip in section]
        usual = len(flow(strips, field))
        pages = check_pages((piece,), (judged(piece),), "mm", "A4", (lambda _, f=filler: (f,),))
        saved.add(usual - len(pages))
    assert saved == {0, 1}
