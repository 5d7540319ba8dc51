"""Laws of the torch path, the tracing guide and the details of the outline."""

import math
from itertools import combinations

from hypothesis import HealthCheck, assume, given
from hypothesis import strategies as st

from laws.effort import examples
from laws.strategies_bracket import brake_trees, lengths, seat_brackets
from laws.strategies_geometry import regions
from platewright.errors import BuildError
from platewright.geometry.contour import Circle, Contour
from platewright.geometry.difference import SAME, differences
from platewright.geometry.distances import distance_between
from platewright.geometry.offset import Region, offset_regions
from platewright.geometry.plane import Point
from platewright.geometry.shapes import self_crossing
from platewright.plate.blank import Blank, blank_of
from platewright.plate.bracket import Cutout
from platewright.plate.detail import LEAST_STRIP, Detail
from platewright.shop.cutting import Cutting, TorchPlan, torch_plan
from platewright.shop.guide import GuideSetup, tracing_guide
from platewright.shop.reach import metal_left, metal_lost

modest = examples(40, suppress_health_check=[HealthCheck.filter_too_much])


def blank(region: Region) -> Blank:
    """A blank of a region, its holes cut-outs."""
    outer, *holes = (
        o.contour() if isinstance(o, Circle) else o for o in (region.outer, *region.holes)
    )
    cutouts = tuple(Cutout(f"window {i}", hole) for i, hole in enumerate(holes, 1))
    return Blank(outline=outer, holes=(), cutouts=cutouts, bends=(), marks=(), panels=())


def area(found: tuple[Region, ...]) -> float:
    return math.fsum(region.area for region in found)


def perimeter(found: tuple[Region, ...]) -> float:
    return math.fsum(o.perimeter for region in found for o in (region.outer, *region.holes))


radii = st.floats(0.2, 6)


@modest
@given(regions(), radii)
def test_pieces_make_up_the_difference_of_a_shape_and_its_opening(region, radius):
    made = offset_regions(offset_regions((region,), -radius), radius)
    told = math.fsum(piece.outline.area for piece in differences((region,), made))
    slack = 20 * SAME * (perimeter((region,)) + perimeter(made))
    # a piece with a hole in it is told by its outline alone
    assert told >= area((region,)) - area(made) - slack
    if not region.holes:
        assert told <= area((region,)) - area(made) + slack


@modest
@given(regions(), radii)
def test_pieces_make_up_the_difference_of_a_shape_and_its_closing(region, radius):
    made = offset_regions(offset_regions((region,), radius), -radius)
    told = math.fsum(piece.outline.area for piece in differences(made, (region,)))
    slack = 20 * SAME * (perimeter((region,)) + perimeter(made))
    assert abs(told - (area(made) - area((region,)))) <= slack


@modest
@given(regions(), radii)
def test_nothing_missed_is_farther_away_than_told(region, radius):
    small = offset_regions(offset_regions((region,), -radius), radius)
    large = offset_regions(offset_regions((region,), radius), -radius)
    told = (metal_lost((region,), small, radius), metal_left((region,), large, radius))
    for made, missed in zip((small, large), told, strict=True):
        edges = [o for found in made for o in (found.outer, *found.holes)]
        for place in missed:
            if place.kind in ("rounded corner", "filled corner", "lost tip"):
                nearest = min(edge.distance(place.at) for edge in edges)
                assert nearest <= place.depth + 4 * SAME


# --- the torch path ---------------------------------------------------------------------------


@st.composite
def cuttings(draw: st.DrawFn) -> Cutting:
    return Cutting(
        kerf=draw(lengths(0.2, 3)),
        lead=draw(st.sampled_from(["none", "straight", "arc"])),
        lead_length=draw(lengths(1, 20)),
        overburn=draw(lengths(0, 8)),
    )


def net_edges(shape: Blank) -> list:
    holes = [hole.circle for hole in shape.cut_holes]
    return [shape.outline, *holes, *(cutout.contour for cutout in shape.cutouts)]


def samples(plan: TorchPlan) -> list[tuple[Point, bool]]:
    """Places of the torch's middle, and whether they lie on a lead."""
    found = []
    for cut in plan.cuts:
        leads = cut.lead.segments if cut.lead else ()
        for segment in (*leads, *cut.run, *cut.tail):
            found += [(segment.point_at(i / 5), segment in leads) for i in range(6)]
    return found


@modest
@given(regions(), cuttings())
def test_the_torch_keeps_half_a_kerf_off_whatever_the_shape(region, cutting):
    shape = blank(region)
    edges = net_edges(shape)
    for place, on_lead in samples(torch_plan(shape, 3.0, cutting)):
        off = min(edge.distance(place) for edge in edges)
        assert off >= cutting.kerf / 2 - 1e-6
        assert on_lead or off <= cutting.kerf / 2 + 1e-6
        assert not shape.outline.contains(place) or any(
            cutout.contour.contains(place) for cutout in shape.cutouts
        )


@modest
@given(seat_brackets(), cuttings())
def test_the_torch_keeps_half_a_kerf_off_a_seat(built, cutting):
    _, bracket = built
    shape = blank_of(bracket)
    assume(self_crossing(shape.outline) is None)
    # holes that break out of the plate or into each other are findings, not for the torch to mend
    edges = net_edges(shape)
    circles = [edge for edge in edges if isinstance(edge, Circle)]
    for a, b in combinations(circles, 2):
        assume(a.centre.distance(b.centre) > a.radius + b.radius + 2 * cutting.kerf)
    assume(all(distance_between(shape.outline, e).distance > 2 * cutting.kerf for e in edges[1:]))
    plan = torch_plan(shape, bracket.stock.thickness, cutting)
    kept = [e for e in net_edges(shape) if not isinstance(e, Circle)]
    kept += [h.circle for h in shape.cut_holes if h not in plan.punched]
    for place, on_lead in samples(plan):
        off = min(edge.distance(place) for edge in kept)
        assert off >= cutting.kerf / 2 - 1e-6
        assert on_lead or off <= cutting.kerf / 2 + 1e-6


@modest
@given(regions(), cuttings())
def test_every_run_is_closed_and_on_its_own_hand(region, cutting):
    plan = torch_plan(blank(region), 3.0, cutting)
    for cut in plan.cuts:
        assert (Contour(cut.run).area > 0) == cut.inside
        assert abs(abs(Contour(cut.run).area) - cut.path.area) < 1e-6 * cut.path.area + 1e-6
        assert cut.lead is None or cut.lead.segments[-1].end == cut.run[0].start
        assert not cut.tail or cut.tail[0].start == cut.run[0].start
    insides = [cut.inside for cut in plan.cuts]
    assert insides == sorted(insides, reverse=True)


# --- the guide --------------------------------------------------------------------------------


@modest
@given(regions(), lengths(2, 12), lengths(0.2, 3))
def test_the_guide_lies_by_its_inset_inside_and_gives_the_part_back(region, stand_off, kerf):
    shape = blank(region)
    try:
        guide = tracing_guide(shape, GuideSetup(stand_off=stand_off), kerf, None)
    except BuildError:
        assert offset_regions((region,), kerf / 2 - stand_off) == ()
        return
    edges = net_edges(shape)
    for piece in guide.pieces:
        for outline in (piece.outer, *piece.holes):
            near = min(distance_between(edge, outline).distance for edge in edges)
            assert abs(near - guide.inset) < 1e-6
    net = region.area
    # a corner rounded and one filled: whatever differs is told, but for hairs
    told = math.fsum(m.outline.area for m in guide.missed)
    slack = 0.1 * perimeter((region,)) + 1
    assert abs(area(guide.made) - net) <= told + slack


# --- details of the outline -------------------------------------------------------------------


@modest
@given(brake_trees(), st.booleans(), st.sampled_from(["none", "round", "square"]))
def test_details_only_ever_take_metal_away_near_the_bends(bracket, nicks, relief):
    bare, cut = blank_of(bracket), blank_of(bracket, Detail(nicks=nicks, relief=relief))
    assert cut.area <= bare.area + 1e-9
    assert cut.bends == bare.bends
    if nicks and relief == "none" and bare.bends and self_crossing(bare.outline) is None:
        strips = sum(bend.allowance >= LEAST_STRIP for bend in bare.bends)
        assert (cut.area < bare.area) == (strips > 0)
