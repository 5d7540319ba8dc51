"""Nests of a few plain shapes whose answers can be told by hand."""

from __future__ import annotations

import math
import random
from collections import Counter

import pytest

from laws.strategies_nest import (
    STOCK,
    box,
    ell,
    frame,
    judge,
    lattice_part,
    part_of,
    plain_piece,
)
from platewright.errors import NestError
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Bounds, Motion, Point, Vector
from platewright.geometry.segment import Arc, Line
from platewright.nest.layout import (
    NestRules,
    NestSpot,
    Sheet,
    across_grain,
    clear_rectangle,
    rectangle_sheet,
)
from platewright.nest.nest import nest
from platewright.nest.nofit import turn_motion
from platewright.plate.bend import Brake
from platewright.plate.bracket import Bend, Bracket, Hole, Panel
from platewright.plate.piece import Piece, pieces_of
from platewright.shop.cutting import Cutting

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


# --- what is left between them ------------------------------------------------------------------


def test_lattice_parts_do_not_lie_on_each_other():
    # equal edges and 45 degrees: differences of no-fit regions leave hair lines here
    cutting = Cutting(kerf=1.5)
    wanted = [lattice_part(i, count, 20.0, cutting) for i, count in enumerate((15, 7, 9, 12))]
    rules = NestRules(gap=6.35, margin=6.35, tries=12)
    judge(nest(wanted, [rectangle_sheet("sheet", 1700.0, 660.0)], rules), wanted, rules)


@pytest.mark.parametrize(("gap", "kerf"), [(6.35, 1.778), (3.0, 3.0), (0.0, 1.5), (25.0, 0.0)])
def test_gap_and_margin_are_the_metal_left_standing(gap, kerf):
    wanted = [part_of(square("box", 100.0), 2, Cutting(kerf=kerf))]
    rules = NestRules(gap=gap, margin=gap, tries=2)
    width, height = 200.0 + 4 * kerf + 3 * gap, 100.0 + 2 * kerf + 2 * gap
    (nested,) = nest(wanted, [rectangle_sheet("strip", width, height)], rules).sheets
    left, right = sorted(laid.piece.blank.bounds.xmin for laid in nested.laid)
    assert left == pytest.approx(gap + kerf, abs=1e-3)
    assert right - (left + 100.0) - 2 * kerf == pytest.approx(gap, abs=1e-3)
    assert len(nest(wanted, [rectangle_sheet("strip", width - 0.1, height)], rules).sheets) == 2


def test_a_lead_counts_as_burnt():
    cutting = Cutting(kerf=2.0, lead="straight", lead_length=10.0)
    wanted = [part_of(square("box", 100.0), 2, cutting)]
    rules = NestRules(gap=5.0, margin=5.0, tries=2)
    # 100 of part, a kerf at the far side; path and lead, and half a kerf before the pierce
    deep = 100.0 + 2.0 + 1.0 + 10.0 + 1.0
    fits = rectangle_sheet("strip", 300.0, 2 * 5.0 + deep)
    judge(nest(wanted, [fits], rules), wanted, rules)
    with pytest.raises(NestError, match="fits none of the stock"):
        nest(wanted, [rectangle_sheet("strip", 110.0, 2 * 5.0 + deep - 0.1)], rules)


@pytest.mark.parametrize(
    ("shift", "words"),
    [
        (0.0, "lies over box"),
        (40.0, "lies over box"),
        (107.8, r"4.8 mm\) of metal left between box"),
        (108.99, "of metal left between box"),
        (400.0, "lies over the edge of the stock"),
        (289.0, "and the edge of the stock"),
    ],
)
def test_a_layout_that_does_not_hold_is_refused(shift, words, monkeypatch):
    spots = [NestSpot(0, 0.0, Vector(56.0, 56.0)), NestSpot(0, 0.0, Vector(56.0 + shift, 56.0))]
    monkeypatch.setattr("platewright.nest.nest.best_layouts", lambda *_: ([[(0, spots)]], False))
    wanted = [part_of(square("box", 100.0), 2, Cutting(kerf=1.5))]
    with pytest.raises(NestError, match=words):
        nest(wanted, [rectangle_sheet("sheet", 400.0, 120.0)], NestRules(gap=6.0, margin=4.0))


def test_a_layout_that_does_not_hold_gives_way_to_the_next_that_does(monkeypatch):
    over, clear = (
        [(0, [NestSpot(0, 0.0, Vector(56.0, 56.0)), NestSpot(0, 0.0, Vector(56.0 + shift, 56.0))])]
        for shift in (40.0, 109.0)
    )
    wanted = [part_of(square("box", 100.0), 2, Cutting(kerf=1.5))]
    rules = NestRules(gap=6.0, margin=4.0)
    sheet = rectangle_sheet("sheet", 400.0, 120.0)
    monkeypatch.setattr("platewright.nest.nest.best_layouts", lambda *_: ([over, clear], False))
    found = nest(wanted, [sheet], rules)
    judge(found, wanted, rules)
    assert found.turned_down == 1


def test_a_layout_that_just_holds_is_not_refused(monkeypatch):
    spots = [NestSpot(0, 0.0, Vector(56.0, 56.0)), NestSpot(0, 0.0, Vector(165.0, 56.0))]
    monkeypatch.setattr("platewright.nest.nest.best_layouts", lambda *_: ([[(0, spots)]], False))
    wanted = [part_of(square("box", 100.0), 2, Cutting(kerf=1.5))]
    rules = NestRules(gap=6.0, margin=4.5)
    judge(nest(wanted, [rectangle_sheet("sheet", 400.0, 120.0)], rules), wanted, rules)


def test_a_part_on_a_hole_of_the_stock_is_refused(monkeypatch):
    hole = box(20.0, 20.0).moved(Motion(e=50.0, f=50.0))
    sheet = Sheet(name="burnt", outline=box(300.0, 300.0), voids=(hole,), count=1, remnant=True)
    monkeypatch.setattr(
        "platewright.nest.nest.best_layouts",
        lambda *_: ([[(0, [NestSpot(0, 0.0, Vector(60.0, 60.0))])]], False),
    )
    with pytest.raises(NestError, match="lies over the edge of the stock"):
        nest([part_of(square("box", 100.0))], [sheet], TIGHT)


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


@pytest.mark.parametrize("size", [(0.0, 10.0), (10.0, -1.0), (math.nan, 1.0)])
def test_a_sheet_without_metal_is_refused(size):
    with pytest.raises(NestError, match="has no metal"):
        rectangle_sheet("flat", *size)


# --- what is told of it ------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(12))
def test_the_clear_rectangle_is_the_largest_in_any_corner(seed):
    chance = random.Random(seed)
    boxes = []
    for _ in range(chance.randint(1, 6)):
        x, y = chance.randint(0, 18), chance.randint(0, 10)
        boxes.append(Bounds(x, y, x + chance.randint(1, 6), y + chance.randint(1, 6)))
    found = clear_rectangle(rectangle_sheet("sheet", 20.0, 12.0), boxes)
    # every rectangle of whole sizes in every corner
    best = max(
        width * height
        for width in range(21)
        for height in range(13)
        for x in (0, 20 - width)
        for y in (0, 12 - height)
        if not any(
            b.xmin < x + width and x < b.xmax and b.ymin < y + height and y < b.ymax for b in boxes
        )
    )
    assert (found.width * found.height if found else 0) == best


def test_used_and_left_and_the_clear_rectangle():
    kerf = 1.5
    sheet = rectangle_sheet("s", 400.0, 100.0 + 2 * kerf)
    found = nest([part_of(square("box", 100.0), 2, Cutting(kerf=kerf))], [sheet], TIGHT)
    (nested,) = found.sheets
    assert nested.used == pytest.approx(2 * 100.0**2)
    assert nested.left == pytest.approx(400.0 * 103.0 - 2 * 100.0**2)
    assert nested.share == pytest.approx(2 * 100.0**2 / (400.0 * 103.0))
    # kerf, part, kerf, gap, kerf, part, kerf, gap
    reached = 2 * (kerf + 100.0 + kerf + 6.0)
    assert nested.rest is not None
    assert nested.rest.xmin == pytest.approx(reached, abs=1e-3)
    assert (nested.rest.xmax, nested.rest.height) == (400.0, 103.0)
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
    assert box_round.width == pytest.approx(104.0)
    assert isinstance(nested.sheet.outline.segments[0], Line)
