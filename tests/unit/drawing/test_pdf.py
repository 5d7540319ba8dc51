import ctypes
import math

import pypdfium2
import pypdfium2.raw as pdfium
import pytest

from platewright.drawing.items import Clip, Fill, Group, Hatch, Page, Stroke, Text
from platewright.drawing.pdf import SIGNATURE, PdfWriter, pdf_bytes, signed
from platewright.drawing.style import CUT, HIDDEN
from platewright.errors import OutputError
from platewright.geometry.contour import Circle
from platewright.geometry.plane import Bounds, Motion, Point, Vector
from platewright.geometry.segment import Arc, Line

MM = 25.4 / 72


def sheet(*items, width=210.0, height=297.0, title=""):
    return Page(width, height, items, title)


def written(*items, **size):
    return pdf_bytes([sheet(*items, **size)], title="test")


def path_points(data):
    """Every path point on the first page, mm, as another library reads it."""
    document = pypdfium2.PdfDocument(data)
    page = document[0]
    points = []
    for index in range(pdfium.FPDFPage_CountObjects(page)):
        thing = pdfium.FPDFPage_GetObject(page, index)
        matrix = pdfium.FS_MATRIX()
        pdfium.FPDFPageObj_GetMatrix(thing, matrix)
        a, b, c, d, e, f = (getattr(matrix, name) for name in "abcdef")
        for part in range(max(0, pdfium.FPDFPath_CountSegments(thing))):
            x, y = ctypes.c_float(), ctypes.c_float()
            segment = pdfium.FPDFPath_GetPathSegment(thing, part)
            pdfium.FPDFPathSegment_GetPoint(segment, x, y)
            u, v = x.value, y.value
            points.append(((a * u + c * v + e) * MM, (b * u + d * v + f) * MM))
    return points


def test_coordinates_are_true_to_a_thousandth_of_a_millimetre():
    stroke = Stroke(Line(Point(12.3456, 1.0), Point(1234.5678, 987.6543)), CUT)
    first, last = path_points(written(stroke, width=1500, height=1000))[:2]
    assert first == pytest.approx((12.3456, 1.0), abs=1e-3)
    assert last == pytest.approx((1234.5678, 987.6543), abs=1e-3)


def test_the_ends_of_arc_pieces_lie_on_the_arc():
    arc = Arc.about(Point(500, 500), 450, 0.3, 4.0)
    points = path_points(written(Stroke(arc, CUT), width=1000, height=1000))
    ends = [points[0], *points[3::3]]
    assert len(ends) > 8
    for x, y in ends:
        assert math.hypot(x - 500, y - 500) == pytest.approx(450, abs=1e-3)


def test_every_page_has_its_own_size():
    pages = [sheet(width=215.9, height=279.4), sheet(width=1203.7, height=300)]
    document = pypdfium2.PdfDocument(pdf_bytes(pages, title="sizes"))
    sizes = [tuple(side * MM for side in page.get_size()) for page in document]
    assert sizes[0] == pytest.approx((215.9, 279.4), abs=1e-3)
    assert sizes[1] == pytest.approx((1203.7, 300), abs=1e-3)


def test_viewers_are_asked_not_to_scale():
    # ISO 32000-1 Table 150
    data = written()
    assert b"/PrintScaling /None" in data
    assert not pdfium.FPDF_VIEWERREF_GetPrintScaling(pypdfium2.PdfDocument(data))


def test_the_file_names_its_maker_and_carries_no_clock():
    data = pdf_bytes([sheet()], title="Seat", subject="Full-scale template")
    facts = pypdfium2.PdfDocument(data).get_metadata_dict()
    assert facts["Producer"] == SIGNATURE
    assert facts["Creator"] == "Platewright"
    assert facts["Title"] == "Seat"
    assert facts["Subject"] == "Full-scale template"
    assert facts["CreationDate"].startswith("D:20000101")


def test_own_files_are_recognised_and_others_are_not():
    assert signed(written())
    assert not signed(b"%PDF-1.6\n/Producer (another)")
    assert not signed(b"/Producer (" + SIGNATURE.encode() + b")")
    assert not signed(b"")


def test_page_titles_become_the_outline():
    data = pdf_bytes([sheet(title="page one"), sheet(), sheet(title="page 3")], title="x")
    titles = [entry.get_title() for entry in pypdfium2.PdfDocument(data).get_toc()]
    assert titles == ["page one", "page 3"]


def test_text_is_written_as_text_with_stand_ins():
    data = written(Text(Point(20, 20), "⌀ 鋼 ½", backed=True), Text(Point(20, 40), "", angle=1))
    page = pypdfium2.PdfDocument(data)[0]
    assert "Ø ? ½" in page.get_textpage().get_text_bounded()


def test_a_title_outside_the_latin_letters_does_not_stop_the_file():
    assert signed(pdf_bytes([sheet(title="鋼")], title="鋼 ⌀", subject="→"))


def test_empty_strokes_fills_and_groups_write_nothing():
    empty = (Stroke((), CUT), Fill(()), Hatch(()), Group(Motion(), ()))
    assert path_points(written(*empty)) == []


def test_groups_and_clips_stand_where_their_motion_puts_them():
    line = Stroke(Line(Point(0, 0), Point(10, 0)), HIDDEN)
    shift = Motion.translation(Vector(50, 60))
    clip = Clip(Bounds(0, -1, 5, 1), (Group(Motion.rotation(math.pi / 2), (line,)),), shift)
    first, last = path_points(written(clip))[:2]
    assert first == pytest.approx((50, 60), abs=1e-3)
    assert last == pytest.approx((50, 70), abs=1e-3)


def test_no_pages_and_impossible_pages_are_refused():
    with pytest.raises(OutputError, match="at least one page"):
        pdf_bytes([], title="x")
    with pytest.raises(OutputError, match="cannot stand in a PDF"):
        written(width=6000)
    with pytest.raises(OutputError, match="cannot stand"):
        written(width=float("nan"))


def test_the_same_pages_give_the_same_bytes():
    pages = [sheet(Stroke(Circle(Point(50, 50), 20), CUT), Text(Point(9, 9), "same"), title="p")]
    assert pdf_bytes(pages, title="t") == pdf_bytes(pages, title="t")


# --- content streams ---

FACES = {"regular": "/F1", "bold": "/F2"}
LEVEL = Line(Point(0, 0), Point(25.4, 0))


def operators(*items):
    return PdfWriter(FACES).content(items).splitlines()


def test_a_pen_is_told_once_for_lines_of_one_style():
    other = Stroke(LEVEL, HIDDEN)
    pens = [line for line in operators(*[Stroke(LEVEL, CUT)] * 3, other) if line.endswith(" d")]
    assert pens == ["1.4173 w 0 G [] 0 d", "0.7087 w 0 G [8.5039 3.4016] 0 d"]


def test_after_a_clip_the_pen_from_before_it_holds_again():
    clip = Clip(Bounds(0, 0, 9, 9), (Stroke(LEVEL, HIDDEN),))
    lines = operators(Stroke(LEVEL, CUT), clip, Stroke(LEVEL, CUT))
    assert lines[-2] == "Q"
    assert lines[-1] == "0.0000 0.0000 m 72.0000 0.0000 l S"


def test_a_mirrored_line_is_where_its_group_puts_it():
    mirror, line = Motion.mirror_x(25.4), Stroke(LEVEL, CUT)
    matrix, *_, drawn, end = operators(Group(mirror, (line,)))
    turn, shift = "-1.00000000 0.00000000 0.00000000 1.00000000", "144.00000000 0.00000000"
    assert matrix == f"q {turn} {shift} cm"
    assert (drawn, end) == ("0.0000 0.0000 m 72.0000 0.0000 l S", "Q")
    # beside words, which are to be read, by its own places
    worded = operators(Group(mirror, (line, Text(Point(0, 0), "up"))))
    assert "144.0000 0.0000 m 72.0000 0.0000 l S" in worded


def test_words_are_spelled_in_plain_characters():
    (words,) = (line for line in operators(Text(Point(25.4, 0), r"Ø (3\4)")) if "Tj" in line)
    assert words == r"BT 72.0000 0.0000 Td (\330 \0503\1344\051) Tj ET"
