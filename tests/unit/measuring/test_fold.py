"""What is measured on the folded bracket."""

import math

import pytest

from laws.strategies_bracket import rectangle
from platewright.geometry.plane import Point
from platewright.geometry.segment import Arc, Line
from platewright.measuring.dimensions import Measured, dimensions_of
from platewright.measuring.reach import length_inside
from platewright.plate.bend import Brake
from platewright.plate.bracket import Bend, Bracket, Hole, Panel
from platewright.plate.dimension import Dimension, Spot, Straight
from platewright.plate.folded import folded
from platewright.plate.piece import pieces_of
from platewright.plate.prism import parts_of
from platewright.plate.skin import skin_of
from platewright.plate.stock import MATERIALS, Stock

T, R = 4.0, 6.0
WAY = Brake(radius=R, k=0.4)


def leg(edge: str, name: str, direction: str = "up", angle: float = math.pi / 2) -> Bend:
    panel = rectangle(name, 100.0, 40.0)
    return Bend(edge=edge, panel=panel, angle=angle, direction=direction, way=WAY)


def channel(*legs: Bend, dimensions: tuple[Dimension, ...] = ()) -> Bracket:
    hole = Hole(what="bolt hole", centre=Point(50, 20), diameter=10.0, role="bolt")
    root = rectangle("web", 100.0, 60.0, bends=legs, holes=(hole,))
    return Bracket(stock=Stock(T, MATERIALS["A36"]), root=root, dimensions=dimensions)


def on_part(part: Bracket) -> list[Measured]:
    """What is measured on the folded part and not on the flat."""
    (piece,) = pieces_of("part", "as drawn", part)
    return [each for each in dimensions_of(piece) if each.on_part and not each.on_blank]


def named(part: Bracket, what: str) -> list[Measured]:
    return [each for each in on_part(part) if each.dimension.what == what]


def between(part: Bracket, start: str, end: str) -> list[Measured]:
    """What runs from a place to another, by the first words of each."""
    return [
        each
        for each in on_part(part)
        if each.dimension.start.words.startswith(start)
        and each.dimension.end.words.startswith(end)
        and not each.dimension.what
        and each.dimension.quantity == "length"
    ]


def values(found: list[Measured]) -> list[float]:
    return [each.on_part.value for each in found if each.on_part]


UP = channel(leg("far edge", "back"), leg("base", "front"))


def test_tips_of_a_channel_stand_the_web_and_both_radii_apart() -> None:
    inside, outside = between(UP, "back tip", "front tip")[:2]
    assert values([inside, outside]) == pytest.approx([60 + 2 * R, 60 + 2 * R + 2 * T])
    assert (inside.dimension.start.face, outside.dimension.start.face) == ("top", "underside")


def test_heights_count_from_the_inside_face_and_over_all() -> None:
    assert values(named(UP, "height")) == pytest.approx([46, 46])
    assert values(named(UP, "height over all")) == pytest.approx([50, 50])
    assert named(UP, "height over all")[0].dimension.end.face == "underside"
    assert named(UP, "height")[0].dimension.end.face == "top"


def test_a_leg_down_is_measured_from_the_underside() -> None:
    (height,) = named(channel(leg("far edge", "back", "down")), "height")
    assert values([height]) == pytest.approx([46])
    assert height.dimension.end.face == "underside"


@pytest.mark.parametrize("turn", [60, 90, 120])
@pytest.mark.parametrize("radius", [12.0, 20.0])
def test_the_highest_of_a_round_end_is_the_top_of_its_arc(turn, radius) -> None:
    # straight to 30 mm, then half a turn: its top stands a radius farther out
    start, end = Point(50 + radius, 30), Point(50 - radius, 30)
    ring = [
        ("base", Line(Point(50 - radius, 0), Point(50 + radius, 0))),
        ("right side", Line(Point(50 + radius, 0), start)),
        ("end", Arc(start, end, math.pi)),
        ("left side", Line(end, Point(50 - radius, 0))),
    ]
    ear = Panel.of_edges("ear", ring)
    fold = math.radians(turn)
    bend = Bend(
        edge="far edge",
        panel=ear,
        angle=fold,
        direction="up",
        way=WAY,
        start=30,
        end=30 + 2 * radius,
    )
    part = channel(bend)
    # a leg L beyond a bend of inside radius R rises R (1 - cos) + L sin (exact)
    rise = R * (1 - math.cos(fold)) + (30 + radius) * math.sin(fold)
    (height,) = named(part, "height")
    assert values([height]) == pytest.approx([rise])
    assert height.dimension.start.words == "ear tip (top of the end)"
    (whole,) = named(part, "height over all")
    # leaning in, its outside corner stands higher by -T cos (exact)
    assert values([whole]) == pytest.approx([rise + T + max(0.0, -T * math.cos(fold))])


def test_a_hole_is_square_to_a_square_leg() -> None:
    back, front = between(UP, "bolt hole (middle)", "back"), between(UP, "bolt hole (m", "front")
    assert values(back + front) == pytest.approx([40 + R, 20 + R])
    assert back[0].critical


def test_a_hole_is_measured_to_the_tip_of_a_leaning_leg() -> None:
    (found,) = between(channel(leg("far edge", "back", angle=1.0)), "bolt hole", "back tip")
    assert found.on_part.value == pytest.approx(found.on_part.start.distance(found.on_part.end))


def test_a_fold_is_measured_between_the_faces_of_its_panels() -> None:
    (fold,) = (
        each
        for each in on_part(channel(leg("far edge", "back", angle=math.radians(50))))
        if each.dimension.quantity == "angle"
    )
    assert math.degrees(fold.on_part.value) == pytest.approx(50)


def test_tips_are_named_by_the_edges_that_meet_there() -> None:
    (height,) = named(channel(leg("far edge", "back")), "height")
    assert height.dimension.start.words in (
        "back tip (far edge and right end)",
        "back tip (far edge and left end)",
    )


def test_the_tip_is_the_far_corner_nearest_to_the_wall() -> None:
    part = channel(leg("right end", "side"))
    side = rectangle("side", 60.0, 40.0)
    bend = Bend(edge="right end", panel=side, angle=1.5, direction="up", way=WAY)
    root = Panel(name="web", contour=part.root.contour, edges=part.root.edges, bends=(bend,))
    walled = Bracket(stock=part.stock, root=root, wall="base")
    (height,) = named(walled, "height")
    # the right end runs away from the wall, so the leg's right end is the one at the wall
    assert height.dimension.start.words == "side tip (far edge and right end)"
    assert height.on_part.start.y == pytest.approx(0.0, abs=1e-9)


def test_four_legs_are_measured_across_not_round_the_corner() -> None:
    root = rectangle("floor", 100.0, 100.0, bends=tuple(
        leg(edge, edge) for edge in ("base", "right end", "far edge", "left end")
    ))  # fmt: skip
    tray = Bracket(stock=Stock(T, MATERIALS["A36"]), root=root)
    across = [
        each
        for each in on_part(tray)
        if " tip" in each.dimension.end.words and each.dimension.start.face == "top"
    ]
    pairs = {(e.dimension.start.panel, e.dimension.end.panel) for e in across}
    assert {("base", "far edge"), ("right end", "left end")} <= pairs
    level = [v for v in values(across) if v == pytest.approx(112.0)]
    assert len(level) == 2


def test_dimensions_across_bends_are_measured_on_the_part() -> None:
    tip = Spot("back", Point(0, 40), "tip of the back", "underside")
    base = Straight("web", Line(Point(0, 0), Point(100, 0)), "front edge")
    corner = Spot("web", Point(0, 0), "corner")
    asked = (
        Dimension(start=tip, end=base, critical=True),
        Dimension(start=tip, end=Spot("web", Point(50, 1), "mark", when="flat")),
    )
    (piece,) = pieces_of("part", "as drawn", channel(leg("far edge", "back"), dimensions=asked))
    first, second = (each for each in dimensions_of(piece) if each.dimension in asked)
    assert first.on_part.value == pytest.approx(math.hypot(60 + R + T, 40 + R))
    assert first.on_blank.value == pytest.approx(60 + WAY.allowance(math.pi / 2, T) + 40)
    assert second.on_part is None
    assert second.on_blank is not None
    assert corner


def test_a_straight_tape_keeps_clear_of_metal() -> None:
    metal = [prism for part in parts_of(folded(UP)) for prism in part.prisms]
    diagonals = between(UP, "back tip", "web corner") + between(UP, "back tip", "front tip")[2:]
    for each in diagonals:
        tape = each.on_part
        assert max(length_inside(prism, tape.start, tape.end) for prism in metal) <= 0.5


def test_length_inside_counts_what_passes_through() -> None:
    (plate,) = [part.prisms[0] for part in parts_of(folded(UP)) if part.panel == "web"][:1]
    a, b = folded(UP).place_of("web", Point(50, 30)), folded(UP).place_of("web", Point(90, 30))
    up = folded(UP).panel("web").world_from_panel.z_axis
    assert length_inside(plate, a + up * 5, a + up * -5) == pytest.approx(T)
    assert length_inside(plate, a, b) == 0.0
    assert length_inside(plate, a + up * -1, b + up * -1) == pytest.approx(40.0)
    assert length_inside(plate, a, a) == 0.0


def test_a_panel_between_two_bends_has_no_tip_of_its_own() -> None:
    lip = Bend(
        edge="far edge", panel=rectangle("lip", 100.0, 15.0), angle=1.0, direction="up", way=WAY
    )
    wall = rectangle("wall", 100.0, 40.0, bends=(lip,))
    up = Bend(edge="far edge", panel=wall, angle=math.pi / 2, direction="up", way=WAY)
    starts = [each.dimension.start.words for each in on_part(channel(up))]
    assert not any(words.startswith("wall tip") for words in starts)
    assert any(words.startswith("lip tip") for words in starts)


def test_level_feet_are_measured_from_tip_to_tip() -> None:
    def leg_and_foot(edge: str, side: str) -> Bend:
        foot = rectangle(f"{side} foot", 100.0, 25.0)
        out = Bend(edge="far edge", panel=foot, angle=math.pi / 2, direction="down", way=WAY)
        wall = rectangle(f"{side} leg", 100.0, 40.0, bends=(out,))
        return Bend(edge=edge, panel=wall, angle=math.pi / 2, direction="up", way=WAY)

    hat = channel(leg_and_foot("base", "front"), leg_and_foot("far edge", "back"))
    feet = between(hat, "front foot tip", "back foot") + between(hat, "back foot tip", "front foot")
    assert min(values(feet)) == pytest.approx(60 + 2 * R + 2 * (T + R + 25))


@pytest.mark.parametrize("turn", [40, 90, 140])
def test_the_part_over_all_is_the_box_round_its_solid(turn) -> None:
    # the box of a finely cut mesh, whose chords leave the rounds by no more than 0.001 mm
    part = channel(leg("far edge", "back", angle=math.radians(turn)))
    points = skin_of(folded(part), 0.001).points
    for what, axis in (("over all, bottom", "y"), ("over all, square", "z")):
        along = [getattr(p, axis) for p in points]
        found = [e for e in on_part(part) if e.dimension.what.startswith(what)]
        for each in found:
            assert values([each])[0] == pytest.approx(max(along) - min(along), abs=2e-3)
        # over all that is another row's distance is told there
        assert found


def test_places_that_no_tape_finds_have_no_value() -> None:
    base = Straight("web", Line(Point(0, 60), Point(100, 60)), "tangent line")
    hole = Spot("web", Point(50, 20), "bolt hole")
    corner = Spot("web", Point(100, 60), "corner at the bend")
    middle = Spot("web", Point(50, 60), "middle of the tangent line")
    asked = tuple(Dimension(start=hole, end=end) for end in (base, corner, middle))
    (piece,) = pieces_of("part", "as drawn", channel(leg("far edge", "back"), dimensions=asked))
    found = [each for each in dimensions_of(piece) if each.dimension in asked]
    # on the flat the corner is found at the end of the bend's line; on the part neither is
    (kept,) = found
    assert kept.dimension.end is corner
    assert kept.on_part is None
    assert kept.blank_ends[1].words == "corner at the bend (end of bend 1 line)"
