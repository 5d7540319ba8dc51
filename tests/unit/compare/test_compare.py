"""What changed between two brackets, on plates small enough to tell by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from platewright.compare.outcome import Comparison, compare
from platewright.compare.words import outcome_words, sections
from platewright.geometry.build import obround, rectangle, tangent_points
from platewright.geometry.contour import Circle
from platewright.geometry.plane import Bounds, Motion, Point, Vector
from platewright.geometry.segment import Arc, Line
from platewright.kinds.scribe import Scribe, with_scribed
from platewright.plate.bend import BendWay, Brake, ScoreFold
from platewright.plate.bracket import Bend, Bracket, Cutout, Hole, Panel
from platewright.plate.dimension import Dimension, Spot, Straight
from platewright.plate.edit import trim_edge
from platewright.plate.stock import MATERIALS, Stock

STOCK = Stock(5.0, MATERIALS["A36"])
SCORE = ScoreFold(2.0, 1.2)
SIDES = ("front", "right", "back", "left")


def hole(x: float, y: float, what: str = "hole", diameter: float = 10.0) -> Hole:
    return Hole(what=what, centre=Point(x, y), diameter=diameter)


def plate(width: float = 100.0, depth: float = 60.0, *holes: Hole, **told) -> Panel:
    """A rectangle with its front left corner at the origin."""
    contour = rectangle(Bounds(0.0, 0.0, width, depth))
    edges = tuple((name, index) for index, name in enumerate(SIDES))
    return Panel(name="plate", contour=contour, edges=edges, holes=holes, **told)


def flat(*args, **told) -> Bracket:
    return Bracket(stock=STOCK, root=plate(*args, **told))


def bent(
    depth: float = 60.0,
    leg: float = 30.0,
    *,
    angle: float = math.pi / 2,
    direction: str = "up",
    way: BendWay = SCORE,
    width: float = 100.0,
) -> Bracket:
    """A plate with a leg bent from its back."""
    lines = rectangle(Bounds(0.0, 0.0, width, leg)).segments
    names = ("base", "leg right", "far", "leg left")
    panel = Panel.of_edges("leg", list(zip(names, lines, strict=True)))
    bend = Bend(edge="back", panel=panel, angle=angle, direction=direction, way=way)
    return Bracket(stock=STOCK, root=plate(width, depth, bends=(bend,)))


def said(found: Comparison) -> list[str]:
    return [line for _, lines in sections(found, "mm") for line in lines]


def outcomes(found: Comparison) -> dict[str, str]:
    return {stage: found.outcome(stage) for stage in found.stages}


# --- outline -----------------------------------------------------------------------------------


def test_a_bracket_is_like_itself():
    found = compare(bent(), bent())
    assert found.unchanged
    assert said(found) == []
    assert set(outcomes(found).values()) == {"as it is"}


def test_an_edge_that_comes_in_is_trimmed():
    found = compare(flat(100.0, 60.0, hole(20, 20)), flat(97.0, 60.0, hole(20, 20)))
    assert said(found) == [
        "metal removed: plate: right, 1.8 cm², up to 3.0 mm wide",
        "plate: right moves in 3.0 mm",
    ]
    assert found.removed[0].patch.area == pytest.approx(3 * 60)
    assert outcomes(found) == {"cut": "trim"}


def test_an_edge_that_goes_out_is_cut_again():
    found = compare(flat(100.0, 60.0), flat(100.0, 65.0, hole(20, 20)))
    assert "plate: back moves out 5.0 mm" in said(found)
    assert "metal added: plate: back, 5.0 cm², up to 5.0 mm wide" in said(found)
    assert outcomes(found) == {"cut": "cut again"}
    (line,) = outcome_words(found, "mm")
    assert line.startswith("A part made to the old file must be cut again: metal is missing at")


def test_an_edge_that_turns_tells_its_two_ends():
    corners = (Point(0, 0), Point(100, 0), Point(100, 60), Point(0, 50))
    lines = [Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    slanted = Panel.of_edges("plate", list(zip(SIDES, lines, strict=True)))
    found = compare(flat(), Bracket(stock=STOCK, root=slanted))
    assert "plate: back turns: not at all by right, in 10.0 mm by left" in said(found)
    assert found.removed[0].patch.area == pytest.approx(10 * 100 / 2)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (50.0, 60.0, "plate: back radius 50.0 mm -> 60.0 mm"),
        (None, 60.0, "plate: back becomes round, radius 60.0 mm"),
        (60.0, None, "plate: back becomes straight"),
    ],
)
def test_a_round_edge_tells_its_radius(old, new, words):
    def shape(radius: float | None) -> Bracket:
        start, end = Point(100, 60), Point(0, 60)
        back = Line(start, end)
        if radius is not None:
            back = Arc(start, end, 2 * math.asin(50.0 / radius))
        others = rectangle(Bounds(0.0, 0.0, 100.0, 60.0)).segments
        edges = [("front", others[0]), ("right", others[1]), ("back", back), ("left", others[3])]
        return Bracket(stock=STOCK, root=Panel.of_edges("plate", edges))

    assert words in said(compare(shape(old), shape(new)))


def ear(height: float) -> Bracket:
    """A round-ended ear, its end's middle this high over its foot."""
    rim = Circle(Point(0, height), 36.0)
    right, left = tangent_points(Point(25, 0), rim)[1], tangent_points(Point(-25, 0), rim)[0]
    turn = (left - rim.centre).angle - (right - rim.centre).angle
    edges = [("foot", Line(Point(-25, 0), Point(25, 0))), ("right", Line(Point(25, 0), right)),
             ("end", Arc(right, left, turn % math.tau)),
             ("left", Line(left, Point(-25, 0)))]  # fmt: skip
    return Bracket(stock=STOCK, root=Panel.of_edges("ear", edges))


def test_a_round_end_moves_with_its_middle():
    found = compare(ear(60), ear(63))
    told = said(found)
    # its tip stands 3 mm higher; its ends lie on tangents and hardly leave the old circle
    assert "ear: end moves 3.0 mm (3.0 mm up on the blank)" in told
    assert found.new.outline.bounds.ymax - found.old.outline.bounds.ymax == pytest.approx(3)
    assert "metal added: ear: end, 1.3 cm², up to 3.0 mm wide" in told
    (side,) = (line for line in told if line.startswith("ear: right turns"))
    corners = [b.root.edge("right").end for b in (ear(60), ear(63))]
    assert f"the corner there moves {corners[0].distance(corners[1]):.1f} mm" in side


def test_an_edge_that_grows_far_past_its_old_end_tells_its_tip():
    def wedge(tip: Point) -> Bracket:
        corners = [Point(0, 0), Point(100, 0), tip]
        lines = [Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
        names = ("front", "slope", "left")
        return Bracket(stock=STOCK, root=Panel.of_edges("p", list(zip(names, lines, strict=True))))

    told = said(compare(wedge(Point(0, 50)), wedge(Point(0, 53.175))))
    assert (
        "p: slope turns: not at all by front, out 2.8 mm by left (the corner there moves 3.2 mm)"
        in told
    )


def scribed(*readings: tuple[float, float]) -> Bracket:
    scribe = Scribe(edge="front", zero_at="left", readings=readings)
    return with_scribed(flat(), (scribe,))


def test_metal_on_a_scribed_edge_is_told_by_that_edge():
    found = compare(flat(), scribed((0, 3), (20, 0), (90, 0), (100, 1)))
    assert [each.where for each in found.added] == ["plate: front", "plate: front"]
    assert "plate: front takes another line: out up to 3.0 mm" in said(found)
    back = compare(scribed((0, 3), (20, -2), (60, 0)), scribed((0, 3), (20, -3), (60, 0)))
    assert [each.where for each in back.removed] == ["plate: front"]
    assert outcomes(back) == {"cut": "trim"}


def test_what_a_shop_cannot_measure_is_no_change():
    assert compare(flat(100.0, 60.0), flat(100.04, 59.97)).unchanged


def test_where_the_drawing_lies_does_not_matter():
    turned = plate(100.0, 60.0, hole(20, 20), hole(60, 30, "other", 8.0))
    motion = Motion.translation(Vector(30, -12)) @ Motion.rotation(0.4)
    moved = replace(
        turned,
        contour=turned.contour.moved(motion),
        holes=tuple(each.moved(motion) for each in turned.holes),
    )
    found = compare(Bracket(stock=STOCK, root=turned), Bracket(stock=STOCK, root=moved))
    assert not found.added
    assert not found.removed
    assert not found.openings
    assert outcomes(found) == {"cut": "as it is"}


def test_the_new_blank_is_laid_where_the_old_holes_serve():
    # drawn from the front left corner, the hole would have to move; laid by its hole it need not
    found = compare(flat(100.0, 60.0, hole(20, 20)), flat(95.0, 60.0, hole(15, 20)))
    assert outcomes(found) == {"cut": "trim"}
    assert "plate: left moves in 5.0 mm" in said(found)
    assert not found.openings


# --- holes -------------------------------------------------------------------------------------


def test_a_hole_that_moves_leaves_the_old_one_open():
    found = compare(flat(100.0, 60.0, hole(20, 20)), flat(100.0, 60.0, hole(23, 16)))
    # it cannot follow: the outline would have to move with it
    assert "hole: moves 5.0 mm (3.0 mm right, 4.0 mm down on the blank)" in said(found)
    assert outcomes(found) == {"cut": "cut again"}
    assert "the old hole stays open at hole" in " ".join(outcome_words(found, "mm"))


def test_a_new_hole_is_drilled():
    found = compare(flat(), flat(100.0, 60.0, hole(20, 20)))
    assert "hole: new" in said(found)
    (line,) = outcome_words(found, "mm")
    assert line == (
        "A part that is cut flat can be trimmed: drill or open out hole, 0.8 cm², up to 10.0 mm "
        "wide."
    )


def test_a_hole_that_is_gone_stays_open():
    found = compare(flat(100.0, 60.0, hole(20, 20)), flat())
    assert "hole: gone" in said(found)
    assert outcomes(found) == {"cut": "cut again"}


@pytest.mark.parametrize(("diameter", "outcome"), [(12.0, "trim"), (8.0, "cut again")])
def test_a_hole_may_be_opened_out_but_not_closed(diameter, outcome):
    found = compare(
        flat(100.0, 60.0, hole(20, 20)), flat(100.0, 60.0, hole(20, 20, diameter=diameter))
    )
    assert f"hole: diameter 10.0 mm -> {diameter:.1f} mm" in said(found)
    assert outcomes(found) == {"cut": outcome}


def test_a_hole_that_was_only_marked():
    pilot = replace(hole(20, 20), cut=False)
    found = compare(flat(100.0, 60.0, pilot), flat(100.0, 60.0, hole(20, 20)))
    assert "hole: now cut, was only marked" in said(found)
    assert outcomes(found) == {"cut": "trim"}
    back = compare(flat(100.0, 60.0, hole(20, 20)), flat(100.0, 60.0, pilot))
    assert "hole: now only marked, was cut" in said(back)


def slotted(x: float, length: float = 20.0) -> Bracket:
    slot = Cutout("slot", obround(Point(x, 30), Point(x + length, 30), 8.0))
    return flat(100.0, 60.0, cutouts=(slot,))


def test_a_slot_that_moves_is_told_as_a_slot():
    found = compare(slotted(30), slotted(33))
    assert said(found) == [
        "metal added: slot, 0.2 cm², up to 3.0 mm wide",
        "metal removed: slot, 0.2 cm², up to 3.0 mm wide",
        "slot: moves 3.0 mm (3.0 mm right on the blank)",
    ]
    assert "the old hole stays open at slot" in " ".join(outcome_words(found, "mm"))


def test_a_slot_made_longer_is_cut_out():
    found = compare(slotted(30), slotted(30, 23))
    (told,) = (line for line in said(found) if line.startswith("slot"))
    assert told.endswith("28.0 mm x 8.0 mm -> 31.0 mm x 8.0 mm")
    assert "cut out slot" in " ".join(outcome_words(found, "mm"))
    assert outcomes(found) == {"cut": "trim"}


def test_slots_keep_their_place_where_the_outline_can():
    found = compare(slotted(30), replace(slotted(25), root=replace(slotted(25).root,
                    contour=rectangle(Bounds(0.0, 0.0, 95.0, 60.0)))))  # fmt: skip
    assert not found.openings
    assert outcomes(found) == {"cut": "trim"}


# --- bends -------------------------------------------------------------------------------------


def test_stages_are_those_that_the_old_part_goes_through():
    assert compare(flat(), flat()).stages == ("cut",)
    assert compare(bent(way=Brake(5.0, 0.4)), bent()).stages == ("cut", "bent")
    assert compare(bent(), bent()).stages == ("cut", "scored", "bent")


def test_a_bend_that_moves_spares_only_a_part_that_is_not_scored():
    found = compare(bent(60.0, 30.0), bent(58.0, 32.0))
    # the blank keeps its size, the bend's line lies 2 mm off
    assert "bend 1 (leg): its line moves 2.0 mm" in said(found)
    assert outcomes(found) == {"cut": "as it is", "scored": "cut again", "bent": "cut again"}


def test_a_shorter_leg_is_trimmed_at_any_stage():
    found = compare(bent(60.0, 30.0), bent(60.0, 25.0))
    assert "leg: far moves in 5.0 mm" in said(found)
    assert outcomes(found) == {"cut": "trim", "scored": "trim", "bent": "trim"}
    assert list(outcome_words(found, "mm")) == [
        "A part that is cut flat, scored or bent can be trimmed: take off leg: far, 5.0 cm², up "
        "to 5.0 mm wide."
    ]


def test_another_angle_is_bent_anew():
    # a score uses its groove's width whatever the angle
    found = compare(bent(), bent(angle=math.radians(80)))
    assert "bend 1 (leg): 90° -> 80°" in said(found)
    assert outcomes(found) == {"cut": "as it is", "scored": "as it is", "bent": "bend anew"}
    assert "A part that is bent must be bent anew: bend 1 (leg) 90° -> 80°." in list(
        outcome_words(found, "mm")
    )


def test_the_other_way_wants_the_groove_on_the_other_face():
    found = compare(bent(), bent(direction="down"))
    assert "bend 1 (leg): folds down, not up: the groove belongs on the top face now" in said(found)
    assert outcomes(found) == {"cut": "as it is", "scored": "cut again", "bent": "cut again"}


def test_another_groove_is_another_bend():
    found = compare(bent(), bent(way=ScoreFold(2.0, 0.8)))
    assert any("made otherwise" in line for line in said(found))
    assert outcomes(found)["scored"] == "cut again"


def test_a_narrower_bend_is_trimmed_a_wider_one_cut_again():
    assert outcomes(compare(bent(), bent(width=90.0)))["bent"] == "trim"
    assert outcomes(compare(bent(width=90.0), bent()))["bent"] == "cut again"


def test_metal_along_two_panels_is_told_by_the_edge_with_most_of_it():
    # the strip at the side runs past plate, bend and leg in one straight line
    (added,) = compare(bent(60.0, 30.0, width=90.0), bent(60.0, 30.0)).added
    assert added.where == "plate: right"


def test_a_leg_cut_off_at_its_bend_is_gone():
    found = compare(bent(), flat())
    assert "bend 1 (leg): gone" in said(found)
    assert found.stranded == ()
    assert outcomes(found) == {"cut": "trim", "scored": "trim", "bent": "trim"}


def test_a_bend_left_out_of_metal_that_stays_is_stranded():
    found = compare(bent(60.0, 30.0), flat(100.0, 92.0))
    assert [bend.child for bend in found.stranded] == ["leg"]
    assert outcomes(found)["cut"] == "as it is"
    assert outcomes(found)["scored"] == "cut again"


# --- plate, hand, checks -----------------------------------------------------------------------


def test_another_plate_is_cut_again():
    thicker = replace(flat(), stock=Stock(6.0, MATERIALS["A36"]))
    found = compare(flat(), thicker)
    assert not found.unchanged
    assert outcomes(found) == {"cut": "cut again"}
    assert "the plate is another" in " ".join(outcome_words(found, "mm"))


def test_the_other_hand_is_turned_over_while_it_is_flat():
    found = compare(bent(), bent(), other_hand=True)
    assert outcomes(found) == {"cut": "as it is", "scored": "cut again", "bent": "cut again"}
    words = " ".join(outcome_words(found, "mm"))
    assert "turn it over: the other hand is wanted" in words
    assert "must be cut again: the other hand is wanted" in words


def test_distances_to_measure_are_told():
    def checked(y: float, *, critical: bool = True) -> Bracket:
        root = plate(100.0, 60.0, hole(20, y))
        wall = Straight("plate", root.straight_edge("front"), "front")
        check = Dimension(start=Spot("plate", Point(20, y), "hole"), end=wall, critical=critical)
        return Bracket(stock=STOCK, root=root, dimensions=(check,))

    assert "hole to front: 20.0 mm -> 23.0 mm *" in said(compare(checked(20), checked(23)))
    gone = compare(checked(20), flat(100.0, 60.0, hole(20, 20)))
    assert "hole to front: 20.0 mm -> none *" in said(gone)


@pytest.mark.parametrize("lean", [5.0, 19.0, 41.0, 60.0, 77.0])
def test_what_a_trim_takes_is_told_by_the_trimmed_edge(lean):
    corners = [Point(0, 0), Point(90, 0), Point(90, 60), Point(lean, 60)]
    pairs = zip(SIDES, corners, corners[1:] + corners[:1], strict=True)
    panel = Panel.of_edges("plate", [(name, Line(a, b)) for name, a, b in pairs])
    old = Bracket(stock=STOCK, root=panel)
    (removed,) = compare(old, trim_edge(old, "plate", "back", 3.0)).removed
    assert removed.where == "plate: back"
