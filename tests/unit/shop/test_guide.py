"""The tracing guide of plain blanks, worked by hand."""

import math

import pytest

from platewright.errors import BuildError
from platewright.geometry.build import rectangle
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Bounds, Point
from platewright.geometry.segment import Line
from platewright.plate.blank import Blank
from platewright.plate.bracket import Cutout, Hole
from platewright.shop.guide import GuideSetup, tracing_guide

BLOCK = rectangle(Bounds(0, 0, 120, 80))
WALL = Line(Point(0, 0), Point(120, 0))
HOLE = Hole(what="bolt hole", centre=Point(60, 40), diameter=11)


def blank(outline=BLOCK, holes=(), cutouts=()):
    cuts = tuple(Cutout(f"window {i}", contour) for i, contour in enumerate(cutouts, 1))
    return Blank(outline=outline, holes=tuple(holes), cutouts=cuts, bends=(), marks=(), panels=())


def polygon(*points):
    return Contour.polygon(Point(*p) for p in points)


SETUP = GuideSetup(nozzle=16.0)
NET = GuideSetup(nozzle=16.0, wall_edge="net")


def test_the_guide_is_inset_by_the_stand_off_less_half_the_kerf():
    guide = tracing_guide(blank(), SETUP, 1.5, None)
    assert guide.stand_off == 8.0
    assert guide.inset == pytest.approx(7.25)
    (piece,) = guide.pieces
    assert piece.area == pytest.approx((120 - 14.5) * (80 - 14.5))
    assert guide.kept is None


def test_a_measured_stand_off_serves_as_well():
    assert tracing_guide(blank(), GuideSetup(stand_off=8.0), 1.5, None) == tracing_guide(
        blank(), SETUP, 1.5, None
    )


def test_the_hand_torch_may_have_a_kerf_of_its_own():
    guide = tracing_guide(blank(), GuideSetup(nozzle=16.0, kerf=3.0), 1.5, None)
    assert (guide.kerf, guide.inset) == (3.0, 6.5)


def test_what_the_torch_gives_back_round_it():
    guide = tracing_guide(blank(), SETUP, 1.5, None)
    lost = (4 - math.pi) * guide.inset**2
    assert sum(r.area for r in guide.made) == pytest.approx(120 * 80 - lost)
    assert [m.kind for m in guide.missed] == ["rounded corner"] * 4


def test_every_hole_is_a_punch_mark():
    pilot = Hole(what="pilot", centre=Point(20, 20), diameter=6, cut=False)
    guide = tracing_guide(blank(holes=(HOLE, pilot)), SETUP, 1.5, None)
    assert guide.punched == (HOLE, pilot)


def test_the_wall_edge_can_be_left_where_it_is():
    guide = tracing_guide(blank(), NET, 1.5, WALL)
    (piece,) = guide.pieces
    box = piece.outer.bounds
    assert (box.xmin, box.ymin) == (pytest.approx(7.25), pytest.approx(0, abs=1e-12))
    assert (box.xmax, box.ymax) == (pytest.approx(112.75), pytest.approx(72.75))
    assert guide.kept == WALL
    # the corners at the wall are cut square: only the two away from it are rounded
    assert {(m.at.x, m.at.y) for m in guide.missed} == {(0, 80), (120, 80)}


def test_the_whole_straight_edge_that_the_wall_lies_on_is_kept():
    guide = tracing_guide(blank(), NET, 1.5, Line(Point(30, 0), Point(90, 0)))
    assert guide.kept == WALL


def test_a_side_that_leans_out_from_the_wall_edge():
    flared = polygon((0, 0), (120, 0), (150, 80), (-30, 80))
    guide = tracing_guide(blank(flared), NET, 1.5, WALL)
    (piece,) = guide.pieces
    assert piece.outer.bounds.ymin == pytest.approx(0, abs=1e-12)
    assert piece.outer.distance(Point(0, 0)) == pytest.approx(guide.inset)


def test_a_part_that_reaches_past_its_wall_edge_cannot_keep_it():
    stepped = polygon((0, 0), (80, 0), (80, -20), (120, -20), (120, 80), (0, 80))
    with pytest.raises(BuildError, match="reaches beyond its wall edge"):
        tracing_guide(blank(stepped), NET, 1.5, Line(Point(0, 0), Point(80, 0)))


def test_a_part_without_a_wall_edge_cannot_keep_it():
    with pytest.raises(BuildError, match="no straight wall edge"):
        tracing_guide(blank(), NET, 1.5, None)


def test_a_wall_edge_that_is_nicked_away_is_not_straight():
    nicked = polygon((0, 0), (55, 0), (60, 5), (65, 0), (120, 0), (120, 80), (0, 80))
    with pytest.raises(BuildError, match="not straight"):
        tracing_guide(blank(nicked), NET, 1.5, WALL)


def test_a_window_grows_in_the_guide():
    window = rectangle(Bounds(40, 30, 80, 50))
    (piece,) = tracing_guide(blank(cutouts=[window]), SETUP, 1.5, None).pieces
    corners = math.pi * 7.25**2
    assert piece.holes[0].area == pytest.approx(40 * 20 + 120 * 7.25 + corners)


def test_notches_and_tongues_are_told():
    toothed = polygon(
        (0, 0), (120, 0), (120, 80), (70, 80), (70, 110), (60, 110), (60, 80), (21, 80),
        (21, 60), (20, 60), (20, 80), (0, 80),
    )  # fmt: skip
    guide = tracing_guide(blank(toothed), SETUP, 1.5, None)
    kinds = [m.kind for m in guide.missed]
    assert kinds.count("lost tip") == 1
    assert kinds.count("filled notch") == 1


def test_a_guide_that_falls_apart_has_two_pieces():
    bell = polygon(
        (0, 0), (50, 0), (50, 35), (90, 35), (90, 0), (140, 0), (140, 80), (90, 80), (90, 45),
        (50, 45), (50, 80), (0, 80),
    )  # fmt: skip
    guide = tracing_guide(blank(bell), SETUP, 1.5, None)
    assert len(guide.pieces) == 2
    assert "lost neck" in [m.kind for m in guide.missed]


def test_no_guide_is_left_of_a_narrow_part():
    with pytest.raises(BuildError, match="nothing is left of the guide"):
        tracing_guide(blank(rectangle(Bounds(0, 0, 100, 14))), SETUP, 1.5, None)


def test_no_guide_stands_off_less_than_half_the_kerf():
    with pytest.raises(BuildError, match="more than half the kerf"):
        tracing_guide(blank(), GuideSetup(stand_off=0.7), 1.5, None)


def test_nozzle_or_stand_off_and_not_both():
    assert [key for key, _ in GuideSetup().problems()] == ["nozzle"]
    assert [key for key, _ in GuideSetup(nozzle=10, stand_off=5).problems()] == ["stand_off"]
    assert not list(SETUP.problems())
