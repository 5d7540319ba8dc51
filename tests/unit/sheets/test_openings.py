"""The table of holes, slots and cut-outs, and their words on the template."""

import math
from pathlib import Path

import pytest

from platewright.drawing.items import words
from platewright.files.reader import load_job
from platewright.geometry.build import slot_of
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Point
from platewright.plate.bracket import Cutout
from platewright.product import MakeOptions, make_parts
from platewright.sheets.figures import size_words
from platewright.sheets.openings import opening_strips
from platewright.sheets.rows import flat_rows
from platewright.sheets.template import top_pages

PATTERNS = Path(__file__).parents[3] / "patterns"


def part_of(name):
    return load_job(PATTERNS / f"{name}.toml").parts[0]


def table(part):
    (plan, *_), (piece, *_) = part.plans, part.pieces
    strips = opening_strips(piece, plan.punched, part.unit, 190.0)
    return [word for strip in strips for word in words(strip.items)]


def test_every_hole_has_its_letter_size_drill_and_use():
    part = part_of("spring-seat")
    told = table(part)
    (piece,) = part.pieces
    for hole in piece.blank.holes:
        at = [
            n
            for n, p in flat_rows(piece).places
            if not p.line and p.at.distance(hole.centre) < 1e-3
        ]
        assert any(at[0] in word.split(", ") for word in told)
    assert "bolt holes 1 and 2" in told
    # 3/8 bolt, normal fit: 13/32 (ASME B18.2.8)
    assert "Ø 13/32 in" in told
    assert "13/32 in or 10.3 mm" in told
    assert "clearance for 3/8 in bolt" in told
    assert any(word.startswith("37/64 in") for word in told)


def test_what_the_torch_leaves_is_punched_and_drilled(tmp_path):
    text = (PATTERNS / "spring-seat.toml").read_text("utf-8")
    file = tmp_path / "seat.toml"
    small = (
        '\n[[hole]]\nname = "small"\nsize = "hole 1/8 in"\nmark_only = false\nmeasured_from = [\n'
    )
    small += (
        '  { edge = "wall edge", distance = "1" },\n  { edge = "left side", distance = "1" },\n]\n'
    )
    file.write_text(text + small, "utf-8")
    told = table(load_job(file).parts[0])
    assert "punch and drill" in told
    assert "cut" in told


def test_a_slot_tells_its_width_length_and_end_centres():
    part = part_of("battery-tray")
    (piece,) = part.pieces
    slot = slot_of(piece.blank.cutouts[0].contour)
    assert slot is not None
    assert slot.width == pytest.approx(0.25 * 25.4)
    assert slot.length == pytest.approx(1.25 * 25.4)
    assert slot.apart == pytest.approx(25.4)
    told = " ".join(table(part))
    assert "front strap slot" in told
    assert "end centres 1 in" in told
    page = [word for p in top_pages(piece, "in", "letter") for word in words(p.items)]
    assert "front strap slot" in page
    assert "1/4 in wide, 1 1/4 in long, end centres 1 in apart" in page


@pytest.mark.parametrize("angle", [0.0, 0.3, 1.2])
def test_a_rectangle_tells_its_sides_however_it_lies(angle):
    corners = [(0, 0), (50, 0), (50, 20), (0, 20)]
    c, s = math.cos(angle), math.sin(angle)
    contour = Contour.polygon(tuple(Point(c * x - s * y, s * x + c * y) for x, y in corners))
    assert slot_of(contour) is None
    assert size_words(Cutout("window", contour), "mm") == "50.0 mm x 20.0 mm"


def test_the_check_sheet_has_the_table():
    import io

    import pypdfium2

    (made,) = make_parts([load_job(PATTERNS / "spring-seat.toml")], MakeOptions(), lambda _: None)
    pdf = pypdfium2.PdfDocument(io.BytesIO(made.outputs["spring-seat-check.pdf"]))
    text = "".join(page.get_textpage().get_text_range() for page in pdf)
    assert "clearance for 1/4 NPT" in text
