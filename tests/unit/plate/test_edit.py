"""Edges replaced and trimmed, corners cut, and what follows of bends and checks."""

from itertools import pairwise

import pytest

from platewright.errors import GeometryError
from platewright.geometry.build import chamfer, fillet
from platewright.geometry.plane import Point
from platewright.geometry.segment import Arc, Line
from platewright.plate.bend import Brake
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bend, Bracket, Panel
from platewright.plate.dimension import Dimension, Spot, Straight
from platewright.plate.edit import (
    cut_corner,
    replace_edge,
    trim_edge,
    with_panel,
)
from platewright.plate.place import place
from platewright.plate.stock import MATERIALS, Stock

WAY = Brake(radius=4.0, k=0.42)
PLATE = Stock(3.0, MATERIALS["A36"])


def box(name: str, width: float, depth: float, edges: tuple[str, str, str, str]) -> Panel:
    corners = [Point(0, 0), Point(width, 0), Point(width, depth), Point(0, depth)]
    lines = [Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    return Panel.of_edges(name, list(zip(edges, lines, strict=True)))


def bracket(start: float | None = None, end: float | None = None, reach: float = 60.0) -> Bracket:
    """A plate 100 x 60 on a wall, a gusset `reach` long folded from its right side."""
    plate = box("plate", 100, 60, ("wall edge", "right side", "front", "left side"))
    gusset = box("gusset", reach, 40, ("base", "wall end", "far edge", "front end"))
    bend = Bend(
        edge="right side", panel=gusset, angle=1.5, direction="up", way=WAY, start=start, end=end
    )
    root = Panel(name="plate", contour=plate.contour, edges=plate.edges, bends=(bend,))
    wall = Straight("plate", plate.straight_edge("wall edge"), "wall edge")
    check = Dimension(start=Spot("plate", Point(50, 30), "middle"), end=wall, critical=True)
    corner = Dimension(start=Spot("plate", Point(0, 0), "left corner"), end=wall)
    return Bracket(stock=PLATE, root=root, dimensions=(check, corner), wall="wall edge")


def edge_of(edited: Bracket, panel: str, edge: str) -> Line:
    return edited.panel(panel).straight_edge(edge)


# --- panels -----------------------------------------------------------------------------------


def test_an_unknown_panel_is_told_with_the_known_ones():
    with pytest.raises(GeometryError, match="'plate', 'gusset'"):
        bracket().panel("lid")
    with pytest.raises(GeometryError, match="no panel 'lid'"):
        with_panel(bracket(), "lid", lambda panel: panel)


def test_a_nested_panel_is_changed_in_its_place():
    def renamed(panel: Panel) -> Panel:
        return Panel(name="new", contour=panel.contour, edges=panel.edges)

    changed = with_panel(bracket(), "gusset", renamed)
    assert [panel.name for panel in changed.root.walk()] == ["plate", "new"]
    assert changed.root.bends[0].start is None


# --- trims ------------------------------------------------------------------------------------


def test_a_trim_takes_metal_off_one_edge():
    trimmed = trim_edge(bracket(), "plate", "front", 5)
    assert edge_of(trimmed, "plate", "front").start.y == pytest.approx(55)
    assert edge_of(trimmed, "plate", "left side").length == pytest.approx(55)


def test_a_trim_of_nothing_is_the_bracket_itself():
    whole = bracket()
    assert trim_edge(whole, "plate", "front", 0) is whole


def test_a_trim_keeps_sloping_neighbours_on_their_lines():
    corners = [Point(0, 0), Point(100, 0), Point(80, 50), Point(20, 50)]
    lines = [Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    root = Panel.of_edges("plate", list(zip("abcd", lines, strict=True)))
    trimmed = trim_edge(Bracket(stock=PLATE, root=root), "plate", "c", 10)
    top = edge_of(trimmed, "plate", "c")
    assert (top.start.x, top.end.x) == pytest.approx((84, 16))


def test_a_bend_that_loses_part_of_its_edge_leaves_a_stub():
    trimmed = trim_edge(bracket(), "plate", "wall edge", 6)
    bend = trimmed.root.bends[0]
    assert bend.panel.straight_edge("base").length == pytest.approx(54)
    assert bend.panel.contour.area == pytest.approx(60 * 40)
    place(trimmed, 1)


def test_a_panel_that_loses_part_of_its_base_shortens_the_bend():
    trimmed = trim_edge(bracket(), "gusset", "wall end", 6)
    bend = trimmed.root.bends[0]
    start, end = trimmed.root.bend_interval(bend)
    assert (start, end) == pytest.approx((6, 60))
    place(trimmed, 1)


def test_an_edge_that_gains_does_not_move_the_bend():
    grown = trim_edge(bracket(), "plate", "wall edge", -6)
    start, end = grown.root.bend_interval(grown.root.bends[0])
    assert (start, end) == pytest.approx((6, 66))
    assert edge_of(grown, "plate", "right side").length == pytest.approx(66)


def test_plate_and_gusset_that_both_gain_lengthen_the_bend():
    for first, second in ((0, 1), (1, 0)):
        order = [("plate", "wall edge"), ("gusset", "wall end")]
        grown = trim_edge(bracket(), *order[first], -6)
        grown = trim_edge(grown, *order[second], -6)
        bend = grown.root.bends[0]
        assert bend.panel.straight_edge("base").length == pytest.approx(66)
        assert grown.root.bend_interval(bend) == pytest.approx((0, 66))
        assert len(bend.panel.contour.segments) == 4


def test_plate_and_gusset_that_both_lose_leave_no_stub():
    for first, second in ((0, 1), (1, 0)):
        order = [("plate", "wall edge"), ("gusset", "wall end")]
        cut = trim_edge(trim_edge(bracket(), *order[first], 6), *order[second], 6)
        assert len(cut.root.bends[0].panel.contour.segments) == 4
        assert blank_of(cut).outline.area < blank_of(bracket()).outline.area


def test_a_bend_on_part_of_an_edge_keeps_its_place():
    held = bracket(start=10, end=50, reach=40)
    grown = trim_edge(held, "plate", "wall edge", -6)
    assert grown.root.bend_interval(grown.root.bends[0]) == pytest.approx((16, 56))
    cut = trim_edge(held, "plate", "wall edge", 4)
    assert cut.root.bend_interval(cut.root.bends[0]) == pytest.approx((6, 46))


@pytest.mark.parametrize(
    ("panel", "edge", "by", "reason"),
    [
        ("plate", "right side", 1, "is a bend"),
        ("gusset", "base", 1, "is a bend"),
        ("plate", "lid", 1, "no edge 'lid'"),
        ("plate", "front", 70, "does not meet|cross itself|nothing"),
        ("gusset", "wall end", 60, "nothing|cross itself|does not meet|no edge"),
    ],
)
def test_trims_that_cannot_be(panel, edge, by, reason):
    with pytest.raises(GeometryError, match=reason):
        trim_edge(bracket(), panel, edge, by)


# --- replaced edges ---------------------------------------------------------------------------


def notched() -> list[Line]:
    """A line along the wall edge with a notch 10 wide and 5 deep in its middle."""
    points = [(-20, 0), (45, 0), (45, 5), (55, 5), (55, 0), (120, 0)]
    corners = [Point(x, y) for x, y in points]
    return [Line(a, b) for a, b in pairwise(corners)]


def test_a_replaced_edge_keeps_its_old_line_as_datum():
    whole = bracket()
    edited = replace_edge(whole, "plate", "wall edge", notched())
    assert edited.root.straight_edge("wall edge") == whole.root.straight_edge("wall edge")
    assert edited.root.contour.area == pytest.approx(6000 - 50)
    assert edited.dimensions[0].end.words == "original line of the wall edge"
    with pytest.raises(GeometryError, match="scribed already"):
        trim_edge(edited, "plate", "wall edge", 1)


def test_the_datum_is_mirrored_with_its_panel():
    edited = replace_edge(bracket(), "plate", "wall edge", notched())
    assert edited.mirrored().mirrored().root.datums == edited.root.datums
    line = edited.mirrored().root.straight_edge("wall edge")
    assert (line.start, line.end) == (Point(-100, 0), Point(0, 0))


def test_a_chain_of_arcs_is_cut_where_it_meets_its_neighbours():
    arc = Arc(Point(-50, 0), Point(150, 0), 0.4)
    edited = replace_edge(bracket(), "plate", "wall edge", [arc])
    first = edited.root.contour.segments[0]
    assert isinstance(first, Arc)
    assert first.radius == pytest.approx(arc.radius)
    assert (first.start.x, first.end.x) == pytest.approx((0, 100))


def test_an_edge_may_end_on_a_round_neighbour_and_not_beyond_it():
    edges = [
        ("base", Line(Point(0, 0), Point(60, 0))),
        ("round", Arc(Point(60, 0), Point(60, 40), 3.141592653589793)),
        ("top", Line(Point(60, 40), Point(0, 40))),
        ("left", Line(Point(0, 40), Point(0, 0))),
    ]
    rounded = Bracket(stock=PLATE, root=Panel.of_edges("plate", edges))
    trimmed = trim_edge(rounded, "plate", "top", 5)
    assert isinstance(trimmed.root.edge("round"), Arc)
    assert trimmed.root.edge("round").centre.distance(Point(60, 20)) < 1e-9
    with pytest.raises(GeometryError, match="does not meet"):
        trim_edge(rounded, "plate", "top", -5)


def test_checks_follow_the_edge_and_its_corners():
    trimmed = trim_edge(bracket(), "plate", "wall edge", 5)
    check, corner = trimmed.dimensions
    assert check.end.line.start.y == pytest.approx(5)
    assert corner.start.at.y == pytest.approx(5)


# --- corners ----------------------------------------------------------------------------------


def rounded(radius: float):
    return lambda into, out: fillet(into.start, out.start, out.end, radius)


def test_a_corner_is_rounded_whichever_edge_is_named_first():
    for edges in (("front", "left side"), ("left side", "front")):
        cut = cut_corner(bracket(), "plate", edges, rounded(10))
        assert cut.root.contour.area == pytest.approx(6000 - (1 - 3.141592653589793 / 4) * 100)
        assert cut.root.edge("front").length == pytest.approx(90)


def test_a_corner_is_chamfered():
    cut = cut_corner(
        bracket(), "plate", ("front", "left side"),
        lambda into, out: chamfer(into.start, out.start, out.end, 10),
    )  # fmt: skip
    assert cut.root.contour.area == pytest.approx(6000 - 50)


def test_a_check_at_a_corner_goes_with_it():
    cut = cut_corner(bracket(), "plate", ("wall edge", "left side"), rounded(5))
    assert [check.start.words for check in cut.dimensions] == ["middle"]


@pytest.mark.parametrize(
    ("panel", "edges", "reason"),
    [
        ("plate", ("front", "wall edge"), "do not meet"),
        ("plate", ("front", "right side"), "a bend reaches"),
        ("gusset", ("base", "wall end"), "a bend reaches"),
        ("plate", ("front", "left side"), "needs"),
    ],
)
def test_corners_that_cannot_be_cut(panel, edges, reason):
    with pytest.raises(GeometryError, match=reason):
        cut_corner(bracket(), panel, edges, rounded(80))
