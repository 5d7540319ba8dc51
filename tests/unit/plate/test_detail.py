"""Nicks and reliefs in the outline of a blank."""

import math
from dataclasses import replace

import pytest

from platewright.drawing.items import rectangle
from platewright.findings.rules import findings
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Bounds, Motion, Point
from platewright.geometry.segment import Arc
from platewright.geometry.shapes import self_crossing
from platewright.plate.bend import Brake, Crease, ScoreFold
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bend, Bracket, Panel
from platewright.plate.detail import PLAIN, Detail, relief_diameter
from platewright.plate.piece import pieces_of
from platewright.plate.stock import MATERIALS, Stock

INCH = 25.4
SQUARE = math.pi / 2
SCORE = ScoreFold(groove=3.0, ligament=1.2)
BRAKE = Brake(radius=4.0, k=0.4)


def side(name, width, depth, *bends):
    contour = rectangle(Bounds(0, 0, width, depth))
    edges = (("base", 0), ("right", 1), ("far", 2), ("left", 3))
    return Panel(name=name, contour=contour, edges=edges, bends=bends)


def bend(edge, panel, way=BRAKE, **told):
    return Bend(edge=edge, panel=panel, angle=SQUARE, direction="up", way=way, **told)


def pan(way=BRAKE, thickness=4.0):
    """A tray: a base of 100 x 60 with all four sides bent up."""
    walls = [
        bend("base", side("front", 100, 20), way),
        bend("right", side("right wall", 60, 20), way),
        bend("far", side("back", 100, 20), way),
        bend("left", side("left wall", 60, 20), way),
    ]
    return Bracket(stock=Stock(thickness, MATERIALS["A36"]), root=side("floor", 100, 60, *walls))


def angle(way=SCORE, thickness=5.0, **told):
    flap = side("flap", told.get("end", 80) - told.get("start", 0), 30)
    root = side("plate", 80, 50, bend("far", flap, way, **told))
    return Bracket(stock=Stock(thickness, MATERIALS["A36"]), root=root)


def test_nothing_asked_for_leaves_the_outline_alone():
    assert blank_of(pan(), PLAIN) == blank_of(pan())


@pytest.mark.parametrize("way", [SCORE, BRAKE])
def test_a_nick_at_either_end_of_the_bend_line(way):
    bare, nicked = blank_of(angle(way)), blank_of(angle(way), Detail(nicks=True))
    line = bare.bends[0].line
    depth = 2.5  # half the plate
    mouth = min(2 * depth, line.start.distance(Point(80, 50)) * 2)
    assert bare.area - nicked.area == pytest.approx(2 * mouth * depth / 2, rel=1e-12)
    for end, inward in ((line.start, 1), (line.end, -1)):
        apex = end + line.direction * (inward * depth)
        corner = min(nicked.outline.corners, key=apex.distance)
        assert corner.distance(apex) < 1e-9
        assert not nicked.outline.contains(end)


def test_a_nick_is_as_deep_as_asked_and_never_more_than_a_quarter_of_the_bend():
    deep = blank_of(angle(), Detail(nicks=True, nick_depth=4.0))
    assert blank_of(angle()).area - deep.area == pytest.approx(2 * 3.0 * 4.0 / 2)
    short = blank_of(angle(start=30, end=38), Detail(nicks=True, nick_depth=4.0))
    assert blank_of(angle(start=30, end=38)).area - short.area == pytest.approx(2 * 3.0 * 2.0 / 2)


def test_a_nick_of_a_narrow_strip_is_as_wide_as_the_strip():
    nicked = blank_of(angle(ScoreFold(groove=1.0, ligament=1.2)), Detail(nicks=True))
    mouths = [s for s in nicked.outline.segments if s.length == pytest.approx(math.hypot(0.5, 2.5))]
    assert len(mouths) == 4


def test_a_crease_has_no_strip_to_nick():
    assert blank_of(angle(Crease()), Detail(nicks=True)) == blank_of(angle(Crease()))


def test_round_reliefs_are_three_quarters_of_a_hole_at_each_corner_of_a_tray():
    bare, relieved = blank_of(pan()), blank_of(pan(), Detail(relief="round"))
    radius = 4.0  # 2R across
    assert bare.area - relieved.area == pytest.approx(4 * 0.75 * math.pi * radius**2, rel=1e-12)
    arcs = [s for s in relieved.outline.segments if isinstance(s, Arc)]
    centres = {(round(arc.centre.x, 9), round(arc.centre.y, 9)) for arc in arcs}
    # on the crossings of the inside tangent lines, which are the floor's corners
    assert centres == {(0, 0), (100, 0), (100, 60), (0, 60)}
    assert all(arc.radius == pytest.approx(radius) for arc in arcs)
    assert all(arc.sweep == pytest.approx(-3 * SQUARE) for arc in arcs)


def test_square_reliefs_take_three_quarters_of_a_square():
    bare, relieved = blank_of(pan()), blank_of(pan(), Detail(relief="square", relief_size=6.0))
    assert bare.area - relieved.area == pytest.approx(4 * 0.75 * 36, rel=1e-12)
    assert any(corner.distance(Point(3, 3)) < 1e-9 for corner in relieved.outline.corners)


@pytest.mark.parametrize("relief", ["round", "square"])
def test_a_relief_stays_within_the_bend_strips(relief):
    bare, relieved = blank_of(pan()), blank_of(pan(), Detail(relief=relief, relief_size=76.0))
    reach = BRAKE.allowance(SQUARE, 4.0)
    share = math.pi if relief == "round" else 4
    assert bare.area - relieved.area == pytest.approx(4 * 0.75 * share * reach**2, rel=1e-9)
    assert self_crossing(relieved.outline) is None


def test_nicks_and_reliefs_together_nick_only_the_free_ends():
    bare = blank_of(pan())
    both = blank_of(pan(), Detail(nicks=True, relief="round"))
    assert both == blank_of(pan(), Detail(relief="round"))
    assert both != bare


def test_a_bend_by_itself_gets_no_relief():
    assert blank_of(angle(), Detail(relief="round")) == blank_of(angle())


def oblique(corner_deg, relief):
    """A floor whose two bent edges meet at a corner of that inside angle."""
    turn = math.radians(180 - corner_deg)
    out = Point(100 + 60 * math.cos(turn), 60 * math.sin(turn))
    contour = Contour.polygon([Point(0, 0), Point(100, 0), out, Point(0, 90)])
    bends = (bend("first", side("one", 100, 25)), bend("second", side("two", 60, 25)))
    root = Panel(name="floor", contour=contour, edges=(("first", 0), ("second", 1)), bends=bends)
    bracket = Bracket(stock=Stock(4.0, MATERIALS["A36"]), root=root)
    return blank_of(bracket, Detail(relief=relief))


@pytest.mark.parametrize("corner_deg", [60, 90, 120, 150])
def test_oblique_corners_are_relieved_by_the_rest_of_the_circle(corner_deg):
    bare, relieved = oblique(corner_deg, "none"), oblique(corner_deg, "round")
    taken = (math.pi + math.radians(corner_deg)) / 2 * 4.0**2
    assert bare.area - relieved.area == pytest.approx(taken, rel=1e-9)


@pytest.mark.parametrize("corner_deg", [45, 60, 90, 120, 130, 150, 170])
def test_oblique_square_reliefs_hold_the_round_one(corner_deg):
    square, round_ = oblique(corner_deg, "square"), oblique(corner_deg, "round")
    assert self_crossing(square.outline) is None
    assert square.area < round_.area
    assert square.outline.distance(Point(100, 0)) >= 4.0 - 1e-9


def test_bends_that_follow_each_other_are_relieved_too():
    inner = side("upstand", 40, 20)
    flap = side("flap", 80, 40, bend("right", inner))
    root = side("plate", 80, 50, bend("far", flap))
    bracket = Bracket(stock=Stock(4.0, MATERIALS["A36"]), root=root)
    bare, relieved = blank_of(bracket), blank_of(bracket, Detail(relief="round"))
    assert bare.area - relieved.area == pytest.approx(0.75 * math.pi * 16, rel=1e-9)


def test_the_other_hand_has_the_same_details():
    detail = Detail(nicks=True, relief="round")
    left, right = pieces_of("tray", "pair", angle(start=10, end=60), detail)
    assert left.blank.area == pytest.approx(right.blank.area, rel=1e-12)
    assert left.blank.area < blank_of(angle(start=10, end=60)).area


def test_sizes_of_what_is_not_asked_for_are_problems():
    assert [key for key, _ in Detail(nick_depth=2.0, relief_size=3.0).problems()] == [
        "nick_depth",
        "relief_size",
    ]
    assert not list(Detail(nicks=True, nick_depth=2.0).problems())


@pytest.mark.parametrize(
    ("thickness_in", "radius_in", "size_in"),
    [
        # FAA-H-8083-31 ch. 4: twice the bend radius, at least 1/8 to .064 and 3/16 from .072
        (0.040, 0.03, 1 / 8),
        (0.064, 0.125, 0.25),
        (0.072, 0.03, 3 / 16),
        (0.128, 0.09, 3 / 16),
        (0.128, 0.125, 0.25),
        # beyond its table: common practice, no published source
        (0.1875, 0.05, 3 / 16),
        (0.25, 0.05, 0.25),
    ],
)
def test_relief_sizes(thickness_in, radius_in, size_in):
    assert relief_diameter(radius_in * INCH, thickness_in * INCH) == pytest.approx(size_in * INCH)


@pytest.mark.parametrize("way", [Crease(), Brake(radius=0.0, k=0.0), Brake(radius=0.0, k=0.03)])
@pytest.mark.parametrize("detail", [Detail(nicks=True), Detail(nicks=True, nick_depth=9.0)])
def test_no_nick_is_cut_where_a_bend_has_no_width(way, detail):
    for turn in (0.0, 0.3, 1.1):
        motion = Motion.rotation(turn)
        bracket = angle(way)
        nicked = blank_of(bracket, detail).moved(motion)
        assert nicked.outline == blank_of(bracket).moved(motion).outline
        assert self_crossing(nicked.outline) is None
    found = findings(bracket, nicked)
    assert [f.severity for f in found if f.rule == "nicks without a strip"] == ["note"]


def test_nicks_that_are_cut_are_not_told():
    bracket = angle(BRAKE)
    told = {f.rule for f in findings(bracket, blank_of(bracket, Detail(nicks=True)))}
    assert "nicks without a strip" not in told


@pytest.mark.parametrize("detail", [Detail(nicks=True), Detail(nicks=True, relief="round")])
def test_creased_trays_have_one_outline_whatever_the_hand(detail):
    """Turned bases differ by rounding where panels meet: nothing is cut into that."""
    for turn in (0.1, 0.7, 2.0):
        walls = [bend("right", side("wall", 60, 20), Crease()),
                 bend("far", side("back", 100, 20), Crease())]  # fmt: skip
        floor = side("floor", 100, 60, *walls)
        base = replace(floor, contour=floor.contour.moved(Motion.rotation(turn)))
        bracket = Bracket(stock=Stock(4.0, MATERIALS["A36"]), root=base)
        for hand in (bracket, bracket.mirrored()):
            outline = blank_of(hand, detail).outline
            assert self_crossing(outline) is None
            assert outline == blank_of(hand).outline
