"""Nests of a few plain shapes whose answers can be told by hand."""

from __future__ import annotations

import math
from collections import Counter

import pytest

from laws.strategies_nest import STOCK, box, ell, frame, judge, part_of, plain_piece
from platewright.errors import NestError
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Bounds, Motion, Point
from platewright.geometry.segment import Arc, Line
from platewright.plate.bend import Brake
from platewright.plate.bracket import Bend, Bracket, Hole, Panel
from platewright.plate.piece import Piece, pieces_of
from platewright.shop.cutting import Cutting
from platewright.shop.nest import nest
from platewright.shop.nest_layout import (
    NestRules,
    Sheet,
    across_grain,
    rectangle_sheet,
    turn_motion,
)

TIGHT = NestRules(gap=6.0, margin=0.0, tries=20)


def square(name: str, side: float) -> Piece:
    return plain_piece(name, box(side, side))


def angle_bracket(turn: float) -> Piece:
    """Two panels 100 long side by side over one bend, the drawing turned."""
    root = Panel.of_edges(
        "root", [(name, line) for name, line in zip("abcd", box(100.0, 40.0).segments, strict=True)]
    )
    leg = Panel.of_edges(
        "leg",
        [("base", box(100.0, 30.0).segments[0]), *(("", s) for s in box(100.0, 30.0).segments[1:])],
    )
    bend = Bend(edge="c", panel=leg, angle=math.pi / 2, direction="up", way=Brake(5.0, 0.4))
    bent = Panel(name="root", contour=root.contour, edges=root.edges, bends=(bend,))
    (piece,) = pieces_of("angle", "as drawn", Bracket(stock=STOCK, root=bent))
    moved = piece.blank.moved(Motion.rotation(turn))
    return Piece(name="angle", hand="as drawn", bracket=piece.bracket, blank=moved)


# --- how close they lie ------------------------------------------------------------------------


def test_parts_that_just_fit_do_fit():
    sheet = rectangle_sheet("strip", 312.0, 100.0)
    wanted = [part_of(square("box", 100.0), 3)]
    found = nest(wanted, [sheet], TIGHT)
    assert len(found.sheets) == 1
    judge(found, wanted, TIGHT)


def test_a_hair_less_room_takes_another_sheet():
    sheet = rectangle_sheet("strip", 311.9, 100.0)
    assert len(nest([part_of(square("box", 100.0), 3)], [sheet], TIGHT).sheets) == 2


def test_two_angles_lock_into_each_other():
    # by their boxes they would need 206 x 100; turned half round one reaches into the other
    wanted = [part_of(plain_piece("ell", ell(100.0, 100.0, 30.0)), 2)]
    found = nest(wanted, [rectangle_sheet("small", 136.5, 136.5)], TIGHT)
    assert len(found.sheets) == 1
    judge(found, wanted, TIGHT)


def test_a_small_part_goes_into_the_window_of_a_large_one_and_is_cut_first():
    outline, window = frame(200.0, 200.0, 30.0)
    wanted = [
        part_of(plain_piece("frame", outline, cutouts=window)),
        part_of(square("inner", 100.0)),
    ]
    found = nest(wanted, [rectangle_sheet("square", 200.0, 200.0)], TIGHT)
    (nested,) = found.sheets
    assert [laid.piece.name for laid in nested.laid] == ["inner", "frame"]
    judge(found, wanted, TIGHT)


def test_a_long_part_may_lie_askew_when_the_step_allows():
    wanted = [part_of(plain_piece("strip", box(270.0, 10.0)))]
    sheet = rectangle_sheet("square", 210.0, 210.0)
    finer = NestRules(gap=6.0, margin=0.0, turn_step=math.pi / 4)
    found = nest(wanted, [sheet], finer)
    (laid,) = found.sheets[0].laid
    assert math.degrees(laid.turn) % 90 == pytest.approx(45)
    judge(found, wanted, finer)
    with pytest.raises(NestError, match="strip: its blank"):
        nest(wanted, [sheet], TIGHT)


def test_round_parts_stand_closer_than_their_boxes():
    disc = Contour(
        (Arc(Point(50, 0), Point(-50, 0), math.pi), Arc(Point(-50, 0), Point(50, 0), math.pi))
    )
    wanted = [part_of(plain_piece("disc", disc), 3)]
    rules = NestRules(gap=6.0, margin=0.0, tries=20)
    # the third stands in the notch of two: 100 + 106 sin 60 high (equal circles that touch)
    sheet = rectangle_sheet("sheet", 206.5, 100 + 106 * math.sin(math.pi / 3) + 2.0)
    found = nest(wanted, [sheet], rules)
    assert len(found.sheets) == 1
    judge(found, wanted, rules)


# --- which way they lie ------------------------------------------------------------------------


def test_with_the_grain_drawn_parts_lie_as_drawn_or_half_round():
    rules = NestRules(gap=6.0, margin=0.0, grain="drawn", tries=20)
    wanted = [part_of(plain_piece("strip", box(90.0, 20.0)), 6)]
    found = nest(wanted, [rectangle_sheet("tall", 100.0, 400.0)], rules)
    assert {round(laid.turn, 9) for laid in found.sheets[0].laid} <= {0.0, round(math.pi, 9)}


@pytest.mark.parametrize("turn", [0.0, 0.5, math.pi / 2, -1.2])
def test_across_the_grain_bends_stand_square_to_it(turn):
    piece = angle_bracket(turn)
    rules = NestRules(gap=6.0, margin=0.0, grain="across", tries=5)
    found = nest([part_of(piece, 2)], [rectangle_sheet("sheet", 300.0, 300.0)], rules)
    for laid in found.sheets[0].laid:
        (bend,) = laid.piece.blank.bends
        assert bend.line.direction.x == pytest.approx(0.0, abs=1e-9)


def test_a_part_without_bends_has_no_way_across_the_grain():
    assert across_grain(square("box", 10.0)) == 0.0


def test_a_pair_is_never_laid_as_two_of_one_hand():
    outline = ell(100.0, 80.0, 30.0)
    bracket = Bracket(stock=STOCK, root=Panel(name="plate", contour=outline))
    wanted = [part_of(piece) for piece in pieces_of("lug", "pair", bracket)]
    found = nest(wanted, [rectangle_sheet("sheet", 300.0, 300.0)], TIGHT)
    judge(found, wanted, TIGHT)
    assert {laid.piece.hand for laid in found.sheets[0].laid} == {"left", "right"}


@pytest.mark.parametrize("quarters", [-1, 0, 1, 2, 3, 4])
def test_quarter_turns_are_exact(quarters):
    motion = turn_motion(quarters * math.pi / 2)
    assert {motion.a, motion.b} <= {0.0, 1.0, -1.0}
    assert not motion.mirrors


# --- on which stock ----------------------------------------------------------------------------


def test_remnants_go_before_new_sheets():
    new = rectangle_sheet("new", 500.0, 500.0)
    scrap = rectangle_sheet("scrap", 120.0, 120.0, remnant=True, count=1)
    found = nest([part_of(square("box", 100.0), 2)], [new, scrap], TIGHT)
    assert Counter(nested.sheet.name for nested in found.sheets) == {"scrap": 1, "new": 1}


def test_a_part_goes_round_the_hole_in_a_remnant():
    hole = box(100.0, 100.0).moved(Motion(e=100.0, f=100.0))
    sheet = Sheet(name="burnt", outline=box(300.0, 300.0), voids=(hole,), count=1, remnant=True)
    wanted = [part_of(plain_piece("strip", box(280.0, 70.0)), 2)]
    rules = NestRules(gap=6.0, margin=5.0, tries=10)
    found = nest(wanted, [sheet], rules)
    judge(found, wanted, rules)


def test_stock_that_runs_out_is_told():
    scrap = rectangle_sheet("scrap", 120.0, 120.0, remnant=True, count=1)
    with pytest.raises(NestError, match="no place: 2 x box"):
        nest([part_of(square("box", 100.0), 3)], [scrap], TIGHT)


def test_parts_too_large_are_told_all_at_once():
    wanted = [part_of(square(name, 300.0)) for name in ("one", "two")]
    with pytest.raises(NestError, match=r"one: its blank.*\ntwo: its blank.*\nThe stock: small"):
        nest(wanted, [rectangle_sheet("small", 200.0, 200.0)], TIGHT)


def test_the_margin_counts():
    sheet = rectangle_sheet("sheet", 110.0, 110.0)
    wanted = [part_of(square("box", 100.0))]
    nest(wanted, [sheet], NestRules(gap=6.0, margin=5.0))
    with pytest.raises(NestError, match=r"margin 0\.205 in"):
        nest(wanted, [sheet], NestRules(gap=6.0, margin=5.2))


def test_a_gap_that_the_torch_would_burn_away_is_refused():
    with pytest.raises(NestError, match=r"narrower than the kerf, 1/8 in \(3.2 mm\)"):
        nest(
            [part_of(square("box", 100.0), cutting=Cutting(kerf=3.175))],
            [rectangle_sheet("sheet", 300.0, 300.0)],
            NestRules(gap=3.0, margin=0.0),
        )


@pytest.mark.parametrize("size", [(0.0, 10.0), (10.0, -1.0), (math.nan, 1.0)])
def test_a_sheet_without_metal_is_refused(size):
    with pytest.raises(NestError, match="has no metal"):
        rectangle_sheet("flat", *size)


# --- what is told of it ------------------------------------------------------------------------


def test_used_and_left_and_the_clear_strip():
    found = nest([part_of(square("box", 100.0), 2)], [rectangle_sheet("s", 400.0, 100.0)], TIGHT)
    (nested,) = found.sheets
    assert nested.used == pytest.approx(2 * 100.0**2)
    assert nested.left == pytest.approx(2 * 100.0**2)
    assert nested.share == pytest.approx(0.5)
    kerf = Cutting().kerf
    reached = 206.0 + kerf / 2 + 6.0
    assert nested.strip is not None
    assert nested.strip.xmin == pytest.approx(reached, abs=1e-3)
    assert (nested.strip.xmax, nested.strip.height) == (400.0, 100.0)
    assert found.least == 1


def test_copies_are_numbered_through_all_sheets():
    found = nest([part_of(square("box", 100.0), 3)], [rectangle_sheet("s", 100.0, 100.0)], TIGHT)
    assert [laid.copy for nested in found.sheets for laid in nested.laid] == [1, 2, 3]


# --- how they are cut --------------------------------------------------------------------------


def test_the_next_part_is_the_nearest():
    found = nest([part_of(square("box", 50.0), 5)], [rectangle_sheet("s", 290.0, 60.0)], TIGHT)
    lefts = [laid.piece.blank.bounds.xmin for laid in found.sheets[0].laid]
    assert lefts == sorted(lefts)


def test_leads_stay_out_of_the_neighbours():
    cutting = Cutting(kerf=1.5, lead="arc", lead_length=12.0)
    hole = Hole(what="hole", centre=Point(50.0, 50.0), diameter=40.0)
    wanted = [part_of(plain_piece("box", box(100.0, 100.0), holes=(hole,)), 6, cutting)]
    rules = NestRules(gap=3.0, margin=3.0, tries=10)
    judge(nest(wanted, [rectangle_sheet("s", 400.0, 300.0)], rules), wanted, rules)


def test_the_torch_plan_moves_with_its_blank():
    cutting = Cutting(kerf=2.0, lead="straight", overburn=3.0)
    part = part_of(plain_piece("ell", ell(100.0, 80.0, 30.0, 10.0)), cutting=cutting)
    (nested,) = nest([part], [rectangle_sheet("s", 300.0, 300.0)], TIGHT).sheets
    (laid,) = nested.laid
    assert laid.torch.burn_length == pytest.approx(part.torch.burn_length)
    (cut,) = laid.torch.cuts
    assert cut.run[0].start == cut.lead.segments[-1].end
    for segment in cut.run:
        assert laid.piece.blank.outline.distance(segment.point_at(0.5)) == pytest.approx(1.0)


def test_a_bounds_box_holds_blank_and_torch():
    part = part_of(square("box", 100.0), cutting=Cutting(kerf=2.0))
    (nested,) = nest([part], [rectangle_sheet("s", 300.0, 300.0)], TIGHT).sheets
    box_round = nested.laid[0].box
    assert isinstance(box_round, Bounds)
    assert box_round.width == pytest.approx(102.0)
    assert isinstance(nested.sheet.outline.segments[0], Line)
