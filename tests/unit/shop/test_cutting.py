"""The torch plan: what is cut, in which order, how long it takes."""

import math

import pytest

from platewright.geometry.build import obround, rectangle
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.plane import Bounds, Motion, Point, Vector
from platewright.plate.blank import Blank
from platewright.plate.bracket import Cutout, Hole
from platewright.shop.cutting import Cutting, torch_plan

BLOCK = rectangle(Bounds(0, 0, 200, 100))


def hole(what, x, y, diameter, cut=True):
    return Hole(what=what, centre=Point(x, y), diameter=diameter, cut=cut)


def blank(outline=BLOCK, holes=(), cutouts=()):
    cuts = tuple(Cutout(f"slot {i}", contour) for i, contour in enumerate(cutouts, 1))
    return Blank(outline=outline, holes=tuple(holes), cutouts=cuts, bends=(), marks=(), panels=())


def cutting(**told):
    return Cutting(**({"kerf": 2.0} | told))


HOLES = (hole("far", 180, 80, 20), hole("near", 20, 20, 20), hole("middle", 100, 50, 20))


def test_holes_come_first_by_the_nearest_and_the_outline_last():
    plan = torch_plan(blank(holes=HOLES), 5.0, cutting())
    assert [cut.what for cut in plan.cuts] == ["near", "middle", "far", "outline"]
    assert [cut.inside for cut in plan.cuts] == [True, True, True, False]


@pytest.mark.parametrize("noise", [-1e-13, 0.0, 1e-13])
def test_the_last_digit_does_not_choose_between_holes_as_near(noise):
    holes = (hole("right", 60 + noise, 25, 8), hole("up", 25, 60 - noise, 8))
    plan = torch_plan(blank(holes=holes), 5.0, cutting(lead="straight", lead_length=50))
    start = BLOCK.bounds.xmin, BLOCK.bounds.ymin
    apart = [math.dist(start, (cut.pierce.x, cut.pierce.y)) for cut in plan.cuts[:2]]
    assert apart[0] == pytest.approx(apart[1])
    assert [cut.what for cut in plan.cuts] == ["up", "right", "outline"]


def test_the_path_runs_half_a_kerf_off_on_the_waste_side():
    plan = torch_plan(blank(holes=HOLES), 5.0, cutting())
    inner, outer = plan.cuts[0].path, plan.cuts[-1].path
    assert inner == Circle(Point(20, 20), 18)
    # Steiner: outward by 1 round a convex shape of perimeter 600
    assert outer.area == pytest.approx(20000 + 600 + math.pi)
    assert plan.length == pytest.approx(3 * 18 * math.pi + 600 + 2 * math.pi)


def test_the_part_is_always_on_the_same_side_of_the_torch():
    plan = torch_plan(
        blank(holes=HOLES, cutouts=[obround(Point(60, 80), Point(90, 80), 12)]), 5, cutting()
    )
    turns = {cut.what: Contour(cut.run).area > 0 for cut in plan.cuts}
    assert turns == {"near": True, "middle": True, "far": True, "slot 1": True, "outline": False}


def test_holes_too_small_for_the_thickness_are_punched():
    small = hole("small", 50, 50, 7.0)
    plan = torch_plan(blank(holes=(*HOLES, small)), 5.0, cutting())
    assert plan.punched == (small,)
    assert "small" not in [cut.what for cut in plan.cuts]
    assert torch_plan(blank(holes=(small,)), 5.0, cutting(hole_factor=1.4)).punched == ()
    assert torch_plan(blank(holes=(small,)), 5.0, cutting(hole_factor=0)).punched == ()


def test_a_hole_that_the_kerf_fills_is_punched_whatever_the_factor():
    tiny = hole("tiny", 50, 50, 2.0)
    assert torch_plan(blank(holes=(tiny,)), 5.0, cutting(hole_factor=0)).punched == (tiny,)


def test_pilots_are_punched():
    pilot = hole("pilot", 50, 50, 30, cut=False)
    plan = torch_plan(blank(holes=(pilot,)), 5.0, cutting())
    assert plan.punched == (pilot,)
    assert plan.pierces == 1


def test_without_a_kerf_the_path_is_the_net_shape():
    slot = obround(Point(60, 80), Point(90, 80), 12)
    plan = torch_plan(blank(holes=HOLES, cutouts=[slot]), 5.0, cutting(kerf=0.0))
    assert plan.cuts[-1].path.area == pytest.approx(20000)
    assert {cut.what for cut in plan.cuts} == {"near", "middle", "far", "slot 1", "outline"}
    assert plan.missed == ()


def test_a_pocket_behind_a_neck_that_the_kerf_closes_is_cut_by_itself():
    keyhole = Contour.polygon(
        Point(*p)
        for p in [
            (0, 0), (200, 0), (200, 100), (100.5, 100), (100.5, 60), (120, 60), (120, 30),
            (80, 30), (80, 60), (99.5, 60), (99.5, 100), (0, 100),
        ]
    )  # fmt: skip
    plan = torch_plan(blank(keyhole), 5.0, cutting())
    assert [cut.what for cut in plan.cuts] == ["pocket of the outline", "outline"]
    assert plan.cuts[0].path.area == pytest.approx(38 * 28, rel=1e-3)
    assert "filled notch" in [m.kind for m in plan.missed]


def test_inside_corners_are_told():
    angle = Contour.polygon(
        Point(*p) for p in [(0, 0), (200, 0), (200, 40), (40, 40), (40, 100), (0, 100)]
    )
    plan = torch_plan(blank(angle), 5.0, cutting())
    assert [(m.kind, m.at, m.radius) for m in plan.missed] == [("filled corner", Point(40, 40), 1)]


def test_a_slot_narrower_than_the_kerf_is_told_and_not_cut():
    plan = torch_plan(blank(cutouts=[obround(Point(60, 80), Point(90, 80), 1.5)]), 5.0, cutting())
    assert [cut.what for cut in plan.cuts] == ["outline"]
    assert [m.kind for m in plan.missed] == ["filled notch"]


@pytest.mark.parametrize("lead", ["straight", "arc"])
def test_leads_pierce_in_the_waste(lead):
    plan = torch_plan(blank(holes=HOLES), 5.0, cutting(lead=lead, lead_length=6.0))
    for cut in plan.cuts[:-1]:
        assert cut.path.contains(cut.pierce)
    outer = plan.cuts[-1]
    assert not BLOCK.contains(outer.pierce)
    assert BLOCK.distance(outer.pierce) > 1.0


def test_without_leads_the_torch_pierces_on_the_path():
    plan = torch_plan(blank(holes=HOLES), 5.0, cutting())
    for cut in plan.cuts:
        assert cut.lead is None
        assert cut.path.distance(cut.pierce) == pytest.approx(0, abs=1e-9)


def test_lengths_and_times():
    told = cutting(lead="straight", lead_length=6.0, overburn=3.0, feed=1000.0)
    plan = torch_plan(blank(holes=HOLES), 5.0, told)
    assert plan.pierces == 4
    assert plan.burn_length == pytest.approx(plan.length + 4 * (6 + 3))
    assert plan.minutes == pytest.approx(plan.burn_length / 1000)
    assert torch_plan(blank(), 5.0, cutting()).minutes is None


def test_the_torch_goes_out_past_where_it_began():
    plan = torch_plan(blank(), 5.0, cutting(overburn=4.0))
    cut = plan.cuts[0]
    assert math.fsum(segment.length for segment in cut.tail) == pytest.approx(4.0)
    assert cut.finish == cut.tail[-1].end != cut.run[0].start
    assert torch_plan(blank(), 5.0, cutting()).cuts[0].finish == cut.run[0].start


def test_leads_keep_out_of_other_parts():
    told = cutting(lead="straight", lead_length=40.0)
    left, right = Bounds(-220, 0, -5, 100), Bounds(205, 0, 400, 100)
    plan = torch_plan(blank(), 5.0, told, beside=(left, right))
    assert plan.cuts[0].lead is not None
    assert 0 < plan.cuts[0].pierce.x < 200


def test_a_plan_moves_with_its_blank():
    told = cutting(lead="arc", overburn=2.0)
    angle = Contour.polygon(
        Point(*p) for p in [(0, 0), (200, 0), (200, 40), (40, 40), (40, 100), (0, 100)]
    )
    plan = torch_plan(blank(angle, holes=[hole("h", 20, 20, 15), hole("p", 9, 9, 3)]), 5.0, told)
    motion = Motion.translation(Vector(30, -7)) @ Motion.rotation(0.7)
    moved = plan.moved(motion)
    assert moved.length == pytest.approx(plan.length)
    assert moved.burn_length == pytest.approx(plan.burn_length)
    assert [cut.pierce for cut in moved.cuts] == [motion.point(cut.pierce) for cut in plan.cuts]
    assert moved.punched[0].centre == motion.point(plan.punched[0].centre)
    assert moved.missed[0].at == motion.point(plan.missed[0].at)


# --- another kerf inside of holes ---------------------------------------------------------------


def test_holes_and_cut_outs_are_cut_with_their_own_kerf():
    slot = obround(Point(60, 80), Point(90, 80), 12)
    plan = torch_plan(blank(holes=HOLES, cutouts=[slot]), 5.0, cutting(kerf=2.0, hole_kerf=1.0))
    paths = {cut.what: cut.path for cut in plan.cuts}
    assert paths["near"] == Circle(Point(20, 20), 19)
    # the parallels of a slot with round ends are slots: 30 between centres, 5.5 radius
    assert paths["slot 1"].area == pytest.approx(30 * 11 + math.pi * 5.5**2)
    assert paths["outline"].area == pytest.approx(20000 + 600 + math.pi)
    assert (plan.kerf, plan.hole_kerf, plan.widest) == (2.0, 1.0, 2.0)


def test_the_same_kerf_told_twice_makes_the_same_plan():
    box = rectangle(Bounds(50, 40, 90, 60))
    told = [
        torch_plan(blank(holes=HOLES, cutouts=[box]), 5.0, cutting(hole_kerf=inside))
        for inside in (None, 2.0)
    ]
    assert told[0] == told[1]


def test_what_each_kerf_leaves_standing_is_told_with_its_own_radius():
    # an inside corner of the outline, and the four of a square cut-out
    ell = Contour.polygon(
        [Point(0, 0), Point(200, 0), Point(200, 50), Point(100, 50), Point(100, 100), Point(0, 100)]
    )
    box = rectangle(Bounds(20, 20, 40, 40))
    plan = torch_plan(blank(ell, cutouts=[box]), 5.0, cutting(kerf=2.0, hole_kerf=3.0))
    found = sorted(missed.radius for missed in plan.missed if missed.kind == "filled corner")
    assert found == [1.0, 1.5, 1.5, 1.5, 1.5]
    # what a circle of radius r leaves in a square corner: (1 - pi/4) r2
    areas = sorted(missed.outline.area for missed in plan.missed)
    corner = 1 - math.pi / 4
    assert areas == pytest.approx([corner, *[corner * 2.25] * 4])


def test_a_hole_that_its_own_kerf_fills_is_punched():
    small = hole("small", 50, 50, 2.5)
    plan = torch_plan(blank(holes=(small,)), 5.0, cutting(hole_kerf=2.5, hole_factor=0))
    assert plan.punched == (small,)
