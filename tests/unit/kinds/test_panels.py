"""Free panels: drawn outlines, bends from edges, nesting."""

import math

import pytest

from platewright.errors import BuildError, UnitError
from platewright.findings.case import Context
from platewright.findings.rules import findings
from platewright.geometry.plane import Point
from platewright.geometry.segment import Arc
from platewright.kinds import channel, panels
from platewright.kinds.channel import Channel
from platewright.kinds.panels_measurements import (
    DEEPEST,
    BentFrom,
    FreePanel,
    Panels,
    Treated,
    drawn_outline,
    read_names,
)
from platewright.plate.bend import Brake, setback
from platewright.plate.blank import blank_of
from platewright.plate.folded import folded
from platewright.plate.stock import MATERIALS, Stock

PLATE = Stock(3.0, MATERIALS["A36"])
WAY = Brake(radius=4.0, k=0.42)


def corners_of(width: float, height: float) -> tuple[tuple[float, float], ...]:
    return ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))


SIDES = ("front", "right", "back", "left")
FLAP = ("base", "one", "end", "other")
#: The same rectangle as `corners_of(60, 40)`, listed the other way round.
CLOCKWISE = ((0.0, 0.0), (0.0, 40.0), (60.0, 40.0), (60.0, 0.0))
CLOCKWISE_SIDES = ("left", "back", "right", "front")


def free(name: str, points, edges=(), third=None, **held) -> FreePanel:
    """A panel; `third` is what is done at its third corner."""
    return FreePanel(
        name=name,
        points=tuple(points),
        edges=tuple(edges),
        corner=(Treated(at=3, **third),) if third else (),
        bent_from=BentFrom(**held) if held else None,
    )


def base(**third) -> FreePanel:
    return free("base", corners_of(60, 40), SIDES, third)


def flap(width: float, **held) -> FreePanel:
    return free("flap", corners_of(width, 20), FLAP, **({"panel": "base", "edge": "front"} | held))


def built(*each: FreePanel, drawn_to: str | None = "flat", **told):
    return panels.KIND.build(Panels(panel=tuple(each), drawn_to=drawn_to, **told), PLATE, WAY)


def refused(*each: FreePanel, **told) -> tuple[str, ...]:
    with pytest.raises(BuildError) as caught:
        built(*each, **told)
    return caught.value.keys


# --- outlines ---------------------------------------------------------------------------------


def test_an_outline_may_be_listed_either_way_round():
    root = built(free("base", CLOCKWISE, CLOCKWISE_SIDES)).root
    assert root.contour.area == pytest.approx(2400)
    assert root.straight_edge("front").start == Point(0, 0)
    assert root.straight_edge("right").end == Point(60, 40)


def test_edges_may_go_without_names():
    root = built(free("base", corners_of(60, 40), ("", "right"))).root
    assert root.edges == (("right", 1),)


def test_corners_are_rounded_and_cut():
    area = {key: built(base(**{key: 10.0})).root.contour.area for key in ("radius", "chamfer")}
    assert area["radius"] == pytest.approx(2400 - (1 - math.pi / 4) * 100)
    assert area["chamfer"] == pytest.approx(2400 - 50)


@pytest.mark.parametrize(("rise", "sign"), [(8.0, 1), (-8.0, -1)])
def test_an_arc_is_told_by_its_rise(rise, sign):
    # Machinery's Handbook 31st ed. p. 79: chord 16, height 6: radius 8 1/3; here scaled
    root = built(base(rise=rise)).root
    arc = root.edge("back")
    assert isinstance(arc, Arc)
    assert arc.radius == pytest.approx((30**2 + 8**2) / 16)
    assert (root.contour.area > 2400) == (sign > 0)


def test_an_arc_bulges_out_whichever_way_it_is_listed():
    listed = FreePanel(name="p", points=CLOCKWISE, corner=(Treated(at=2, rise=5.0),))
    edges = drawn_outline(listed.outline, "k").edges
    assert max(edge.segment.bounds.ymax for edge in edges) == pytest.approx(45)


def test_two_arcs_make_a_disc():
    both = (Treated(at=1, rise=10.0), Treated(at=2, rise=10.0))
    disc = FreePanel(name="disc", points=((-10.0, 0.0), (10.0, 0.0)), corner=both)
    assert built(disc).root.contour.area == pytest.approx(math.pi * 100)


@pytest.mark.parametrize(
    "points",
    [[(0, 0), (0, 0), (50, 50)], [(0, 0), (50, 50), (50, 0), (0, 50)], [(0, 0), (50, 0)]],
)
def test_outlines_that_cannot_be(points):
    given = free("base", [(float(x), float(y)) for x, y in points])
    assert refused(given)[0].startswith("panel[1].points")


@pytest.mark.parametrize("points", ["00 93 90 03", "00 90 40", "00 90"])
def test_an_outline_that_encloses_nothing_is_called_so(points):
    corners = tuple((10.0 * int(x), 10.0 * int(y)) for x, y in points.split())
    with pytest.raises(BuildError, match="encloses nothing"):
        built(free("base", corners))


@pytest.mark.parametrize("third", [{"radius": 45.0}, {"rise": 4.0, "radius": 3.0}])
def test_corners_that_do_not_fit(third):
    assert refused(base(**third))[0] == "panel[1].points"


def test_what_is_told_twice_or_of_nothing():
    def keys(**told) -> list[str]:
        panel = FreePanel(name="p", points=corners_of(60, 40), **told)
        return [key for key, _ in panel.problems()]

    assert next(iter(Treated(at=1, radius=1.0, chamfer=1.0).problems()))[0] == "chamfer"
    assert keys(edges=SIDES) == []
    assert keys(edges=(*SIDES, "more")) == ["edges"]
    assert keys(edges=("a", "a")) == ["edges"]
    assert keys(corner=(Treated(at=5),)) == ["corner[1].at"]
    assert keys(corner=(Treated(at=2), Treated(at=2))) == ["corner[2].at"]


def test_names_are_read_between_commas():
    assert read_names("wall edge,  right  side,, left", "in") == (
        "wall edge", "right side", "", "left",
    )  # fmt: skip
    assert read_names("  ", "in") == ()
    with pytest.raises(UnitError):
        read_names(3, "in")


# --- bends ------------------------------------------------------------------------------------

BASE = base()


def test_a_whole_edge_is_bent():
    bracket = built(BASE, flap(60))
    (bend,) = blank_of(bracket).bends
    assert bend.near.length == pytest.approx(60)
    assert bracket.root.bends[0].start is None


def test_part_of_an_edge_is_bent_from_where_the_file_says():
    bracket = built(BASE, flap(25, start=10.0, end=35.0))
    assert bracket.root.bends[0].start == pytest.approx(10)
    near = blank_of(bracket).bends[0].near
    assert sorted((near.start.x, near.end.x)) == pytest.approx([10, 35])


def test_distances_count_from_the_first_corner_listed():
    clockwise = free("base", CLOCKWISE, CLOCKWISE_SIDES)
    near = blank_of(built(clockwise, flap(20, start=5.0, end=25.0))).bends[0].near
    assert sorted((near.start.x, near.end.x)) == pytest.approx([35, 55])


def test_distances_count_from_the_sharp_corner():
    bracket = built(base(radius=10.0), flap(20, edge="back", start=15.0, end=35.0))
    assert bracket.root.bends[0].start == pytest.approx(5)
    near = blank_of(bracket).bends[0].near
    assert sorted((near.start.x, near.end.x)) == pytest.approx([25, 45])


def test_panels_nest_to_any_depth():
    chain = [BASE, flap(60)]
    for depth in range(3):
        chain.append(free(f"p{depth}", corners_of(60, 20), FLAP, panel=chain[-1].name, edge="end"))
    bracket = built(*chain)
    assert len(blank_of(bracket).bends) == 4
    assert blank_of(bracket).bounds.height == pytest.approx(
        40 + 4 * 20 + 4 * WAY.allowance(math.pi / 2, 3.0)
    )


@pytest.mark.parametrize(
    ("held", "keys"),
    [
        ({"edge": "lid"}, ("panel[2].bent_from.edge",)),
        ({"base": "lid"}, ("panel[2].bent_from.base",)),
        ({"start": 10.0}, ("panel[2].points", "panel[2].bent_from")),
        ({"start": 30.0, "end": 90.0}, ("panel[2].bent_from.start",)),
        ({"start": 60.0}, ("panel[2].bent_from.end",)),
    ],
)
def test_bends_that_cannot_be(held, keys):
    assert refused(BASE, flap(60, **held)) == keys


def test_there_is_an_end_to_how_deep_panels_nest():
    chain = [FreePanel(name="p0", points=corners_of(60, 20))]
    for depth in range(1, DEEPEST + 3):
        held = BentFrom(panel=f"p{depth - 1}", edge="end")
        chain.append(FreePanel(name=f"p{depth}", points=corners_of(60, 20), bent_from=held))
    assert list(Panels(panel=tuple(chain)).problems()) == [
        ("panel[102].bent_from", "more than 100 bends one behind the other")
    ]


def test_panels_hang_on_panels_before_them():
    def keys(*each: FreePanel) -> list[str]:
        return [key for key, _ in Panels(drawn_to="flat", panel=each).problems()]

    assert keys(BASE, flap(60)) == []
    assert keys(flap(60)) == ["panel[1].bent_from", "panel[1].bent_from.panel"]
    assert keys(BASE, free("flap", corners_of(9, 9), SIDES)) == ["panel[2].bent_from"]
    assert keys(BASE, BASE) == ["panel[2].name", "panel[2].bent_from"]
    assert keys(BASE, flap(60, panel="lid")) == ["panel[2].bent_from.panel"]


def test_a_bend_ends_after_it_begins():
    assert next(iter(BentFrom(panel="a", edge="b", start=5.0, end=5.0).problems()))[0] == "end"


def test_the_wall_is_an_edge_of_the_first_panel():
    assert built(BASE, wall="front").wall == "front"
    assert refused(BASE, wall="lid") == ("wall",)


# --- drawn to the folded faces ----------------------------------------------------------------


@pytest.mark.parametrize("to", ["outside", "inside", "centre"])
def test_drawn_as_it_folds_it_is_the_channel_of_those_legs(to):
    web = free("web", corners_of(100, 50), SIDES)
    flanges = [
        free(name, corners_of(50, depth), FLAP, panel="web", edge=edge)
        for name, edge, depth in (("left flange", "left", 40), ("right flange", "right", 60))
    ]
    drawn = built(web, *flanges, drawn_to=to)
    measured = Channel(measured_to=to, web=100.0, left_flange=40.0, right_flange=60.0, width=50.0)
    same = channel.KIND.build(measured, PLATE, WAY)
    assert blank_of(drawn).area == pytest.approx(blank_of(same).area)
    for name in ("web", "left flange", "right flange"):
        ours, theirs = (each.panel(name).contour.area for each in (drawn, same))
        assert ours == pytest.approx(theirs)


def test_drawn_to_the_outside_its_overall_size_is_as_drawn():
    bracket = built(BASE, flap(60, edge="back"), drawn_to="outside")
    corners = [c for p in ("base", "flap") for c in folded(bracket).corners(p)]
    heights = [c.underside.z for c in corners] + [c.top.z for c in corners]
    assert max(heights) - min(heights) == pytest.approx(20)


def box(to: str):
    """A base with an upright from its front and one from its right side."""
    front = free("front flap", corners_of(60, 20), FLAP, panel="base", edge="front")
    right = free("right flap", corners_of(40, 20), FLAP, panel="base", edge="right")
    return built(BASE, front, right, drawn_to=to)


@pytest.mark.parametrize("to", ["outside", "inside", "centre"])
def test_beside_another_bend_a_flange_ends_with_its_own(to):
    bracket = box(to)
    back = setback(WAY, math.pi / 2, 3.0, to)
    lines = {bend.child: bend.near.length for bend in blank_of(bracket).bends}
    assert lines == pytest.approx({"front flap": 60 - back, "right flap": 40 - back})
    for name, long in (("front flap", 60), ("right flap", 40)):
        box_ = bracket.panel(name).contour.bounds
        assert (box_.width, box_.height) == pytest.approx((long - back, 20 - back))


def test_what_is_bent_from_such_a_flange_ends_with_it():
    flange = free("front flap", corners_of(60, 20), FLAP, panel="base", edge="front")
    lip = free("lip", corners_of(60, 15), FLAP, panel="front flap", edge="end")
    right = free("right flap", corners_of(40, 20), FLAP, panel="base", edge="right")
    bracket = built(BASE, flange, lip, right, drawn_to="outside")
    back = setback(WAY, math.pi / 2, 3.0, "outside")
    assert bracket.panel("lip").contour.bounds.width == pytest.approx(60 - back)


def test_the_folded_faces_of_a_box_corner_stand_where_they_are_drawn():
    # the front flap's outside face on y = 0, the right one's on x = 60
    model = folded(box("outside"))
    (low,) = {round(c.underside.y, 9) for c in model.corners("front flap")}
    (right,) = {round(c.underside.x, 9) for c in model.corners("right flap")}
    assert (low, right) == (0, 60)


@pytest.mark.parametrize("reach", [55.0, 65.0])
def test_a_slanting_end_stays_on_the_line_that_was_drawn(reach):
    flap_ = free("flap", ((0, 0), (60, 0), (reach, 20), (0, 20)), FLAP, panel="base", edge="front")
    bracket = built(BASE, flap_, drawn_to="outside")
    side = bracket.panel("flap").straight_edge("one")
    for p in (side.start, side.end):
        assert p.x == pytest.approx(60 + (reach - 60) * p.y / 20)
    assert blank_of(bracket).bends[0].near.length == pytest.approx(60, abs=2.5)


def test_edges_of_two_lengths_make_no_bend():
    with pytest.raises(
        BuildError, match=r"drawn 1 31/32 in .* long, and its place on the edge 'front'"
    ):
        built(BASE, flap(50))


@pytest.mark.parametrize(
    ("third", "held", "keys"),
    [
        ({"rise": 3.0}, {"edge": "right"}, ("panel[1].points",)),
    ],
)
def test_what_cannot_be_drawn_to_the_outside(third, held, keys):
    assert refused(base(**third), flap(40, **held), drawn_to="outside") == keys


def test_bends_may_leave_nothing_of_a_panel():
    short = free("flap", corners_of(60, 6), FLAP, panel="base", edge="back")
    assert refused(BASE, short, drawn_to="outside") == ("panel[2].points",)


# --- a bend on a part of an edge, drawn as it folds -------------------------------------------

RELIEF = 8.0
"""Twice the inside radius of 4 mm (FAA-H-8083-31 ch. 4), more than 3/16 in."""


@pytest.mark.parametrize("to", ["outside", "inside"])
def test_beside_a_bend_the_edge_stays_as_drawn_behind_a_relief(to):
    """The bent part stands back by the setback, r + T to the outside and r to the inside."""
    bracket = built(BASE, flap(20, edge="back", start=20.0, end=40.0), drawn_to=to)
    back = 4.0 + (3.0 if to == "outside" else 0.0)
    corners = bracket.root.contour.corners
    across = [0, 60, 60, 40 + RELIEF, 40 + RELIEF, 40, 20, 20 - RELIEF, 20 - RELIEF, 0]
    assert [p.x for p in corners] == pytest.approx(across)
    assert [40 - p.y for p in corners] == pytest.approx([40, 40, 0, 0, *[back] * 4, 0, 0])
    ends = [s for s in bracket.root.contour.segments if isinstance(s, Arc)]
    assert [(arc.radius, arc.sweep) for arc in ends] == [(RELIEF / 2, -math.pi)] * 2


@pytest.mark.parametrize(("to", "level"), [("outside", 40.0), ("inside", 40.0)])
def test_its_face_stands_in_line_with_the_rest_of_the_edge(to, level):
    bracket = built(BASE, flap(20, edge="back", start=20.0, end=40.0), drawn_to=to)
    face = "underside" if to == "outside" else "top"
    found = [corner.on(face).y for corner in folded(bracket, 1.0).corners("flap")]
    assert found == pytest.approx([level] * len(found))


def test_two_bends_share_an_edge():
    """With room for two reliefs between them the edge comes out there, with less it does not."""

    def pair(gap: float):
        ends = (26.0 - gap / 2, 34.0 + gap / 2)
        one = free("one", corners_of(10, 20), FLAP, panel="base", edge="back",
                   start=ends[0] - 10, end=ends[0])  # fmt: skip
        two = free("two", corners_of(10, 20), FLAP, panel="base", edge="back",
                   start=ends[1], end=ends[1] + 10)  # fmt: skip
        root = built(BASE, one, two, drawn_to="outside").root
        return [p.y for p in root.contour.corners if abs(p.x - 30.0) < gap / 2], root

    apart, root = pair(11.0)
    assert 40.0 in apart
    assert [bend.edge for bend in root.bends] == ["back", "back at the two"]
    near, root = pair(4.0)
    assert 40.0 not in near
    assert [bend.edge for bend in root.bends] == ["back", "back"]


def test_what_is_narrower_than_a_relief_goes_back_with_the_bend():
    root = built(BASE, flap(50, edge="back", start=5.0, end=55.0), drawn_to="outside").root
    assert root.contour.bounds.ymax == pytest.approx(33.0)
    (bend,) = root.bends
    assert root.bend_interval(bend) == pytest.approx((5.0, 55.0))


def test_treated_corners_stay_where_they_are_beside_steps():
    held = flap(20, edge="back", start=20.0, end=40.0)
    bracket = built(base(radius=5.0), held, drawn_to="outside")
    (round_corner,) = [
        s for s in bracket.root.contour.segments if isinstance(s, Arc) and s.sweep > 0
    ]
    assert (round_corner.start, round_corner.end) == (Point(60, 35), Point(55, 40))


def test_outlines_are_drawn_to_the_outside_and_left_out_it_is_said():
    """Flat and outside cut other metal, and files of before that left it out meant flat."""
    left_out = built(BASE, flap(60, edge="back"), drawn_to=None)
    said = built(BASE, flap(60, edge="back"), drawn_to="outside")
    assert blank_of(left_out).area == blank_of(said).area
    found = findings(left_out, blank_of(left_out), Context())
    assert [each.severity for each in found if each.rule == "how it is drawn"] == ["note"]
    assert not said.notes
    # without a bend it makes no difference
    assert not built(BASE, drawn_to=None).notes
