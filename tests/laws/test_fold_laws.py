"""Laws of folding, over generated brackets."""

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from laws.effort import examples
from laws.strategies_bracket import amounts, brackets, seat_brackets, trees, turned_over
from laws.strategies_kinds import bare
from laws.triangles import volume
from platewright.geometry.plane import Point
from platewright.geometry.space import Point3
from platewright.kinds.seat_measurements import Seat, SideGusset
from platewright.measuring.dimensions import Measured, dimensions_of
from platewright.plate.bend import ScoreFold, inside_face
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bracket
from platewright.plate.dimension import PanelFace, Straight
from platewright.plate.folded import Folded, FoldedBend, folded
from platewright.plate.piece import pieces_of
from platewright.plate.place import place
from platewright.plate.skin import skin_of

modest = examples(60)


def near(a: Point3, b: Point3, tolerance: float = 1e-7) -> bool:
    return a.distance(b) <= tolerance


@given(brackets, amounts)
@modest
def test_folding_is_rigid_on_each_panel(bracket: Bracket, amount: float) -> None:
    model = folded(bracket, amount)
    for placed in model.panels:
        corners = model.corners(placed.panel.name)
        for one in corners:
            for other in corners:
                flat = one.at.distance(other.at)
                assert one.top.distance(other.top) == pytest.approx(flat, abs=1e-7)
            assert one.top.distance(one.underside) == pytest.approx(model.thickness, abs=1e-9)


@given(brackets)
@modest
def test_distances_inside_a_panel_are_the_same_flat_and_folded(bracket: Bracket) -> None:
    blank, model = blank_of(bracket), folded(bracket)
    for placed in blank.panels:
        spots = [hole.centre for hole in placed.panel.holes] + list(placed.panel.contour.corners)
        flat = [placed.blank_from_panel.point(p) for p in spots]
        space = [model.place_of(placed.panel.name, p) for p in spots]
        for i in range(len(spots)):
            assert space[i].distance(space[0]) == pytest.approx(flat[i].distance(flat[0]), abs=1e-7)


def bend_length(bend: FoldedBend, depth: float, steps: int = 400) -> float:
    points = [bend.point(0.0, k / steps, depth) for k in range(steps + 1)]
    return sum(a.distance(b) for a, b in pairwise(points))


@given(brackets, st.integers(1, 1000).map(lambda n: n / 1000))
@modest
def test_the_neutral_line_keeps_the_allowance(bracket: Bracket, amount: float) -> None:
    for bend in folded(bracket, amount).bends:
        way, thickness = bend.bend.way, bend.thickness
        allowance = way.allowance(bend.bend.angle, thickness)
        length = bend_length(bend, way.neutral_depth(thickness))
        pinched = isinstance(way, ScoreFold) and bend.inside_radius == 0
        if pinched:
            # the inside has come to a point: the middle has to stretch
            assert length >= allowance - 1e-3
        else:
            assert length == pytest.approx(allowance, rel=1e-4, abs=1e-9)


@given(brackets, amounts)
@modest
def test_the_angle_between_neighbours_is_the_asked_one(bracket: Bracket, amount: float) -> None:
    placed = place(bracket, amount)
    for child in placed:
        if child.bend is None or child.parent is None:
            continue
        parent = placed[child.parent]
        one, other = parent.world_from_panel.z_axis, child.world_from_panel.z_axis
        asked = child.bend.angle * amount
        assert math.atan2(one.cross(other).length, one.dot(other)) == pytest.approx(asked, abs=1e-9)
        # up turns the child's outward direction towards the parent's top, down away from it
        out = child.bend.panel.straight_edge(child.bend.base).direction.left
        lift = child.world_from_panel.vector(type(one)(out.x, out.y, 0.0)).dot(one)
        sign = 1 if child.bend.direction == "up" else -1
        assert lift * sign == pytest.approx(math.sin(asked), abs=1e-9)


@given(trees(), amounts)
@modest
def test_up_and_down_mirror_each_other(bracket: Bracket, amount: float) -> None:
    """Turned over, the top of one is the underside of the other."""
    model, other = folded(bracket, amount), folded(turned_over(bracket), amount)
    middle = -model.thickness / 2
    for placed in model.panels:
        name = placed.panel.name
        for mine, theirs in zip(model.corners(name), other.corners(name), strict=True):
            mirrored = Point3(mine.top.x, mine.top.y, 2 * middle - mine.top.z)
            assert near(mirrored, theirs.underside)


@given(brackets, st.integers(0, 999))
@modest
def test_the_fold_runs_smoothly(bracket: Bracket, step: int) -> None:
    """A thousandth of the fold moves no place by more than its share of all turns."""
    before, after = folded(bracket, step / 1000), folded(bracket, (step + 1) / 1000)
    turn = sum(bend.bend.angle for bend in before.bends)
    places = list(solid_corners(before))
    reach = max(a.distance(places[0]) for a in places) + sum(
        placed.panel.contour.perimeter + bracket.stock.thickness for placed in before.panels
    )
    for a, b in zip(places, solid_corners(after), strict=True):
        assert a.distance(b) <= 1.5e-3 * turn * reach + 1e-9


def solid_corners(model: Folded) -> list[Point3]:
    return [
        place
        for placed in model.panels
        for corner in model.corners(placed.panel.name)
        for place in (corner.top, corner.underside)
    ]


@given(brackets)
@modest
def test_amount_nought_is_the_blank(bracket: Bracket) -> None:
    blank, model = blank_of(bracket), folded(bracket, 0.0)
    for placed in blank.panels:
        for corner in model.corners(placed.panel.name):
            flat = placed.blank_from_panel.point(corner.at)
            assert near(corner.top, Point3(flat.x, flat.y, 0.0))


@given(brackets)
@modest
def test_blank_area_is_panels_and_strips(bracket: Bracket) -> None:
    blank = blank_of(bracket)
    panels = sum(panel.contour.area for panel in bracket.root.walk())
    strips = sum(bend.allowance * bend.near.length for bend in blank.bends)
    assert blank.outline.area == pytest.approx(panels + strips, rel=1e-9)


@given(brackets)
@modest
def test_mirrored_twice_is_itself(bracket: Bracket) -> None:
    twice = bracket.mirrored().mirrored()
    assert twice.root.name == bracket.root.name
    assert twice.wall == bracket.wall
    for one, other in zip(bracket.root.walk(), twice.root.walk(), strict=True):
        assert one.name == other.name
        assert one.edges == other.edges
        assert one.holes == other.holes
        for a, b in zip(one.contour.corners, other.contour.corners, strict=True):
            assert a.distance(b) < 1e-9


@given(brackets, amounts)
@modest
def test_the_other_hand_folds_to_the_mirror_image(bracket: Bracket, amount: float) -> None:
    model, other = folded(bracket, amount), folded(bracket.mirrored(), amount)
    mine, theirs = solid_corners(model), solid_corners(other)
    for p in mine:
        mirrored = Point3(-p.x, p.y, p.z)
        assert min(mirrored.distance(q) for q in theirs) < 1e-6


@given(brackets, amounts)
@modest
def test_the_skin_is_closed(bracket: Bracket, amount: float) -> None:
    skin = skin_of(folded(bracket, amount))
    edges = [edge for facet in skin.facets for edge in facet.edges]
    assert len(edges) == len(set(edges))
    assert {(b, a) for a, b in edges} == set(edges)


@given(brackets)
@modest
def test_volume_is_what_the_allowances_say(bracket: Bracket) -> None:
    """Panels as plates; each bend the ring sector of the metal that goes round."""
    model = folded(bracket)
    thickness = model.thickness
    sagitta = 0.01
    panels = 0.0
    slack = 1e-6
    for panel in bracket.root.walk():
        cut = sum(hole.circle.area for hole in panel.holes if hole.cut)
        cut += sum(cutout.contour.area for cutout in panel.cutouts)
        panels += (panel.contour.area - cut) * thickness
        rims = panel.contour.perimeter + sum(hole.circle.perimeter for hole in panel.holes)
        slack += rims * sagitta * thickness
    rings = 0.0
    for bend in model.bends:
        inner, outer = bend.inside_radius, bend.inside_radius + bend.bent_thickness
        rings += bend.angle / 2 * (outer**2 - inner**2) * bend.length
        slack += 2 * bend.angle * outer * sagitta * bend.length
    assert volume(skin_of(model, sagitta)) == pytest.approx(panels + rings, abs=slack)


@given(seat_brackets())
@modest
def test_a_seat_stands_as_it_was_measured(pair: tuple[Seat, Bracket]) -> None:
    """Centre to wall, and the inside face's nearest place to the body's middle."""
    seat, bracket = pair
    wall = Straight("plate", bracket.root.straight_edge("wall edge"), "wall edge")
    centre = Point(0, 0)
    along = (centre - wall.line.start).cross(wall.line.direction)
    assert abs(along) == pytest.approx(seat.centre_to_wall, abs=1e-9)
    model = folded(bracket)
    for bend in model.bends:
        name = bend.bend.panel.name
        gusset: SideGusset = seat.left if name.startswith("left") else seat.right
        asked = gusset.from_centre
        if asked is None:
            asked = seat.body_diameter / 2 + seat.clearance
        elif gusset.fold > math.pi / 2:
            # past a right angle it counts to where a square finds it, not to the far edge
            continue
        assert nearest_inside(model, bend, gusset.fold) == pytest.approx(asked, abs=1e-6)


def nearest_inside(model: Folded, bend: FoldedBend, fold: float) -> float:
    """Sideways from the middle to a gusset's inside face: at the corner of the two inside faces
    (from the base, back along the face to the plate's own), or at the far edge when it leans in.
    """
    name, face = bend.bend.panel.name, inside_face(bend.bend.direction)
    panel = bend.bend.panel
    base = panel.straight_edge(bend.bend.base)
    tall = max(p.y for p in panel.contour.corners)
    foot = model.place_of(name, base.start, face)
    far = model.place_of(name, Point(base.start.x, tall), face)
    plate = 0.0 if face == "top" else -model.thickness
    if fold > math.pi / 2:
        return abs(far.x)
    back = (plate - foot.z) / (far.z - foot.z)
    return abs(foot.x + (far.x - foot.x) * back)


def measured(bracket: Bracket) -> tuple[Measured, ...]:
    (piece,) = pieces_of("generated", "as drawn", bracket)
    return dimensions_of(piece)


@given(seat_brackets())
@modest
def test_gusset_depth_comes_out_over_all(pair: tuple[Seat, Bracket]) -> None:
    """A depth that decides is measured from the seat's outside face along the square gusset."""
    seat, bracket = pair
    for each in measured(bracket):
        gusset = {"left gusset": seat.left, "right gusset": seat.right}.get(
            each.dimension.start.panel
        )
        if each.dimension.what != "height over all" or gusset is None:
            continue
        square = abs(gusset.fold - math.pi / 2) < 1e-9
        by_taper = gusset.nose + gusset.reach * math.tan(gusset.taper)
        if square and gusset.depth is not None and by_taper > gusset.depth:
            assert each.on_part.value == pytest.approx(gusset.depth, abs=1e-6)


@given(brackets)
@modest
def test_a_tape_shows_how_far_apart_its_ends_are(bracket: Bracket) -> None:
    for each in measured(bracket):
        tapes = [tape for tape in (each.on_blank, each.on_part) if tape]
        for tape in tapes:
            if each.dimension.quantity == "angle":
                assert 0 < tape.value < math.pi
            else:
                assert tape.value == pytest.approx(tape.start.distance(tape.end), abs=1e-6)


@given(brackets)
@modest
def test_nothing_stands_higher_than_the_height_over_all(bracket: Bracket) -> None:
    """Every place of a panel, arcs cut fine, lies no higher above its parent than the row says."""
    model = folded(bracket)
    for each in measured(bracket):
        dimension, tape = each.dimension, each.on_part
        if dimension.what != "height over all" or tape is None:
            continue
        up = (tape.start - tape.end) * (1 / tape.value)
        panel = model.panel(dimension.start.panel).panel
        for p in panel.contour.flatten(0.001):
            for face in ("top", "underside"):
                there = model.place_of(panel.name, p, face)
                assert (there - tape.end).dot(up) <= tape.value + 1e-6


@given(brackets)
@modest
def test_over_all_is_the_box_of_the_solid(bracket: Bracket) -> None:
    # the solid without its holes: the round of one that breaks out of an edge is no metal
    points = skin_of(folded(bare(bracket)), 0.01).points
    for each in measured(bracket):
        if not each.dimension.what.startswith("over all") or each.on_part is None:
            continue
        way = (each.on_part.end - each.on_part.start) * (1 / each.on_part.value)
        along = [p.x * way.x + p.y * way.y + p.z * way.z for p in points]
        # the mesh's chords leave the true rounds by no more than 0.01 mm at either end
        assert each.on_part.value == pytest.approx(max(along) - min(along), abs=0.021)


@given(brackets)
@modest
def test_every_bend_is_told_by_its_angle(bracket: Bracket) -> None:
    turns = [
        each.on_part.value
        for each in measured(bracket)
        if isinstance(each.dimension.start, PanelFace) and each.on_part
    ]
    folds = [placed.bend.angle for placed in place(bracket, 1) if placed.bend is not None]
    assume(folds)
    assert sorted(turns) == pytest.approx(sorted(folds))
