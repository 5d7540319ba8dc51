"""One gusset down and one up: the underside is never taken for the top.

Score faces, schedule, template pages, DXF layers, folded model, view and check sheet must agree.
"""

from __future__ import annotations

import io
from pathlib import Path

import ezdxf
import pytest

from platewright.drawing.items import Fill, words
from platewright.drawing.picture import Picture
from platewright.drawing.view import folded_view
from platewright.drawing.view_direction import main_direction, opposite_direction
from platewright.files.job import Part, worked_out
from platewright.files.reader import load_all
from platewright.measuring.dimensions import dimensions_of
from platewright.plate.folded import folded
from platewright.plate.piece import Piece
from platewright.plate.skin import skin_of
from platewright.product import MakeOptions, make_parts
from platewright.sheets.check_sheet import check_pages
from platewright.sheets.template import top_pages, underside_pages
from platewright.shop.scores import score_schedule

FILE = Path(__file__).parent / "up-and-down.toml"


@pytest.fixture(scope="module")
def ready() -> Part:
    (ready,) = worked_out(load_all([FILE]))
    return ready


@pytest.fixture(scope="module")
def piece(ready: Part) -> Piece:
    return ready.pieces[0]


def test_the_file_says_left_down_right_up(piece: Piece) -> None:
    assert [(b.number, b.child, b.direction) for b in piece.blank.bends] == [
        (1, "left gusset", "down"),
        (2, "right gusset", "up"),
    ]


def test_scores_are_on_the_outside_of_each_fold(piece: Piece) -> None:
    assert [bend.score_face for bend in piece.blank.bends] == ["top", "underside"]
    rows = score_schedule(piece.bracket, piece.blank)
    assert [(row.number, row.face) for row in rows] == [(1, "top"), (2, "underside")]


def test_gussets_end_up_on_their_own_side(piece: Piece) -> None:
    model = folded(piece.bracket)
    left = [corner.top.z for corner in model.corners("left gusset")]
    right = [corner.top.z for corner in model.corners("right gusset")]
    assert max(left) < -model.thickness
    assert min(right) > 0
    # over all, from the outside face: what the file asks
    over_all = [m for m in dimensions_of(piece) if m.dimension.what == "height over all"]
    assert [(m.dimension.start.panel, m.on_part.value) for m in over_all] == [
        ("left gusset", pytest.approx(80.0)),
        ("right gusset", pytest.approx(60.0)),
    ]


def test_grooves_open_on_the_scored_face(piece: Piece) -> None:
    """Folded, the walls of each groove stand apart on its own face and touch the other."""
    model = folded(piece.bracket)
    for bend, face in zip(model.bends, ("top", "underside"), strict=True):
        other = "underside" if face == "top" else "top"
        panel = piece.bracket.root.bend_base(bend.bend)
        child = bend.bend.panel.straight_edge("base")
        gaps = {
            each: model.place_of("plate", panel.start, each).distance(
                model.place_of(bend.bend.panel.name, child.end, each)
            )
            for each in (face, other)
        }
        assert gaps[face] > 2 * gaps[other]


def test_the_underside_pages_carry_the_up_fold_alone(piece: Piece) -> None:
    top = " ".join(w for page in top_pages(piece, "mm", "single") for w in words(page.items))
    under = " ".join(
        w for page in underside_pages(piece, "mm", "single") for w in words(page.items)
    )
    assert "BEND 1: fold DOWN 90°, score the TOP face" in top
    assert "BEND 2: fold UP 90°, score the UNDERSIDE face" in top
    assert "BEND 2: fold UP 90°, score the UNDERSIDE face" in under
    assert "BEND 1" not in under


def test_the_dxf_keeps_the_two_faces_apart() -> None:
    jobs = load_all([FILE])
    (made,) = make_parts(jobs, MakeOptions(paper="single"), progress=lambda _line: None)
    data = made.outputs["up-and-down.dxf"]
    drawing = ezdxf.read(io.StringIO(data.decode("utf-8")))
    sides = {}
    for entity in drawing.modelspace():
        layer = entity.dxf.layer.upper()
        if "SCORE" in layer and entity.dxftype() == "LINE":
            sides[layer] = entity.dxf.start.x
    left, right = (x for _, x in sorted(sides.items(), key=lambda each: each[1]))
    assert left < 0 < right
    layers = [name for name, _ in sorted(sides.items(), key=lambda each: each[1])]
    assert "TOP" in layers[0]
    assert "UNDER" in layers[1]


def test_the_view_names_each_fold_and_shows_each_face(piece: Piece) -> None:
    told = words(folded_view(piece.bracket, "main"))
    assert "bend 1: down 90°" in told
    assert "bend 2: up 90°" in told
    model = folded(piece.bracket)
    skin = skin_of(model)
    main = main_direction(model, skin)
    picture = Picture(skin, main)
    shown = {(face.panel, face.skin) for face in picture.faces if face.skin in ("top", "underside")}
    # from above: the plate's top; of each upright the side that is turned to the eye
    assert ("plate", "top") in shown
    assert ("plate", "underside") not in shown
    below = Picture(skin, opposite_direction(main, piece.bracket))
    assert ("plate", "underside") in {(face.panel, face.skin) for face in below.faces}


def test_undersides_are_grey_and_tops_white(piece: Piece) -> None:
    above, below = (
        {item.grey for item in folded_view(piece.bracket, which) if isinstance(item, Fill)}
        for which in ("main", "opposite")
    )
    assert 1.0 in above
    assert 0.8 in below


def test_the_check_sheet_says_the_same(ready: Part) -> None:
    pages = check_pages(ready.pieces, ready.judgements, "mm", "A4")
    told = [word for page in pages for word in words(page.items)]
    line = " ".join(told)
    assert "bevel in bend 1: plate to left gusset, underside" in line
    assert "bevel in bend 2: plate to right gusset, top face" in line
    assert any(word.startswith("score the TOP face") for word in told)
    assert any(word.startswith("score the UNDERSIDE face") for word in told)
