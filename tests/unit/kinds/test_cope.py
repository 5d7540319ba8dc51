"""Edges and holes for tubes, against the ellipse's closed forms."""

import math
from dataclasses import replace

import pytest

from platewright.errors import BuildError
from platewright.geometry.segment import Arc, Line
from platewright.kinds.cope import Cope
from platewright.kinds.features import Off
from platewright.kinds.kind import catalogue
from platewright.kinds.making import Extras, make_bracket
from platewright.kinds.panels_measurements import FreePanel, Panels, Treated
from platewright.measuring.dimensions import dimensions_of
from platewright.plate.bend import Crease
from platewright.plate.piece import pieces_of
from platewright.plate.stock import MATERIALS, Stock
from platewright.shop.hardware import PIPES, parse_pipe_size

T = 6.0
SIDES = ((0.0, 0.0), (200.0, 0.0), (200.0, 120.0), (0.0, 120.0))
PLATE = Panels(
    drawn_to="flat",
    panel=(FreePanel(name="plate", points=SIDES, edges=("bottom", "right", "top", "left")),),
)
EDGE = Cope(edge="top", zero_at="left", at=90.0, beyond=10.0, diameter=60.0)
LEANING = replace(EDGE, angle=math.radians(60), leans_towards="top")
HOLE = Cope(
    diameter=60.0,
    measured_from=(Off(edge="bottom", distance=50.0), Off(edge="left", distance=80.0)),
)
A60, SHIFT = 30 / math.sin(math.radians(60)), T / math.tan(math.radians(60))
"""A plane at 60 degrees to a tube cuts it in an ellipse of the half axes d/2 and (d/2)/sin 60; the
faces' ellipses are t/tan 60 apart (plane sections of a cylinder)."""


def made(*copes: Cope, thickness: float = T):
    stock = Stock(thickness=thickness, material=MATERIALS["A36"])
    return make_bracket(catalogue()["panels"], PLATE, stock, Crease(), Extras(cope=copes))


def values(bracket) -> dict[str, float]:
    """What a tape finds on the part, by the words of the first end."""
    (piece,) = pieces_of("test", "as drawn", bracket)
    return {
        each.dimension.start.words: each.on_part.value
        for each in dimensions_of(piece)
        if each.on_part is not None
    }


def value(bracket, words: str) -> float:
    return next(mm for key, mm in values(bracket).items() if key.startswith(words))


def test_a_tube_square_on_cuts_one_circle():
    bracket = made(EDGE)
    arcs = [s for s in bracket.root.contour.segments if isinstance(s, Arc)]
    assert [arc.radius for arc in arcs] == pytest.approx([30.0] * len(arcs))
    assert value(bracket, "corner of cope 1") == pytest.approx(2 * math.sqrt(30**2 - 10**2))
    assert value(bracket, "deepest of cope 1") == pytest.approx(20.0)
    assert value(bracket, "tube's centre line") == pytest.approx(90.0)
    assert bracket.root.straight_edge("top") == made().root.straight_edge("top")


def test_a_gap_is_left_all_round():
    assert value(made(replace(EDGE, gap=1.5)), "deepest of cope 1") == pytest.approx(21.5)


def test_a_tube_that_leans_off_the_panel_sinks_the_underside_in():
    bracket = made(LEANING)
    # the axis stands 10 mm beyond the edge on the top face, less by the shift on the underside
    assert value(bracket, "deepest of cope 1") == pytest.approx(A60 - 10 + SHIFT, abs=0.021)
    level = (10 - SHIFT) / A60
    assert value(bracket, "corner of cope 1") == pytest.approx(
        2 * 30 * math.sqrt(1 - level**2), abs=0.05
    )
    words = next(key for key in values(bracket) if key.startswith("deepest"))
    assert "underside touches, top face" in words
    assert "3.0 mm" in words  # t cos 60


def test_a_tube_that_leans_over_the_panel_touches_the_top_face():
    bracket = made(replace(LEANING, leans_towards="bottom"))
    assert value(bracket, "deepest of cope 1") == pytest.approx(A60 - 10, abs=0.021)
    assert "top face touches, underside" in next(k for k in values(bracket) if "deepest" in k)


@pytest.mark.parametrize(("side", "sign"), [("left", -1), ("right", 1)])
def test_a_tube_that_leans_along_the_edge_touches_both_faces(side: str, sign: int):
    """Half of either ellipse, and between them a straight piece as long as they stand apart."""
    bracket = made(replace(LEANING, leans_towards=side))
    half = A60 * math.sqrt(1 - (10 / 30) ** 2)
    assert value(bracket, "corner of cope 1") == pytest.approx(2 * half + SHIFT, abs=0.05)
    assert value(bracket, "deepest of cope 1") == pytest.approx(20.0, abs=0.011)
    ring = bracket.root.contour.segments
    flats = [s for s in ring if isinstance(s, Line) and 0 < s.start.y < 110 and 0 < s.start.x < 200]
    (flat,) = [s for s in flats if s.length < 10]
    assert flat.length == pytest.approx(SHIFT)
    middle = flat.point_at(0.5).x
    assert middle == pytest.approx(90.0 - sign * SHIFT / 2)


def test_card_has_one_face():
    """Without thickness the ellipse alone is cut, and no face is told of."""
    bracket = made(LEANING, thickness=0.0)
    assert value(bracket, "deepest of cope 1") == pytest.approx(A60 - 10, abs=0.021)
    assert not any("touches" in key for key in values(bracket))


def test_two_tubes_on_one_edge_leave_it_straight_between_them():
    bracket = made(replace(EDGE, at=50.0, beyond=20.0), replace(EDGE, at=140.0, beyond=20.0))
    rests = [
        s
        for s in bracket.root.contour.segments
        if isinstance(s, Line) and abs(s.start.y - s.end.y) < 1e-9
    ]
    half = math.sqrt(30**2 - 20**2)
    tops = sorted(s.length for s in rests if s.start.y > 60)
    assert tops == pytest.approx(sorted([50 - half, 90 - 2 * half, 60 - half]))


def test_a_tube_at_a_corner_takes_the_corner():
    bracket = made(replace(EDGE, at=5.0))
    assert bracket.root.contour.bounds.xmin == 0.0
    side = bracket.root.straight_edge("left")
    assert side.length == pytest.approx(130 - math.sqrt(30**2 - 5**2))


def test_beside_a_round_edge_the_corners_tell_where_the_tube_is():
    sides = ((0.0, 0.0), (200.0, 0.0), (200.0, 120.0), (0.0, 120.0))
    round_end = replace(PLATE.panel[0], points=sides, corner=(Treated(at=4, rise=10.0),))
    stock = Stock(thickness=T, material=MATERIALS["A36"])
    free = replace(PLATE, panel=(round_end,))
    bracket = make_bracket(catalogue()["panels"], free, stock, Crease(), Extras(cope=(EDGE,)))
    half = math.sqrt(30**2 - 10**2)
    assert value(bracket, "corner at the left") == pytest.approx(90 - half)


def test_a_hole_square_on_is_round():
    (hole,) = made(replace(HOLE, diameter=None, pipe="2", gap=0.5)).root.holes
    assert hole.diameter == pytest.approx(2.375 * 25.4 + 1.0)
    assert hole.size == "for 2 pipe"


def test_a_leaning_hole_clears_the_tube_through_both_faces():
    bracket = made(replace(HOLE, angle=math.radians(60), leans_towards="right"))
    (cut,) = bracket.root.cutouts
    box = cut.contour.bounds
    assert box.xmax == pytest.approx(80 + A60, abs=0.021)
    assert box.xmin == pytest.approx(80 - A60 - SHIFT, abs=0.021)
    assert (box.ymin, box.ymax) == pytest.approx((20.0, 80.0), abs=0.011)
    assert value(bracket, "end of tube hole 1") == pytest.approx(2 * A60 + SHIFT, abs=0.041)
    turned = replace(
        HOLE, angle=math.radians(60), leans_towards="right", lean_turn=math.radians(90)
    )
    (other,) = made(turned).root.cutouts
    assert other.contour.bounds.ymax == pytest.approx(50 + A60, abs=0.021)


def test_the_other_hand_is_its_mirror_image():
    bracket = made(replace(LEANING, leans_towards="left"))
    other = bracket.mirrored().root.contour
    assert other.area == pytest.approx(bracket.root.contour.area)


def test_checks_to_the_edge_stay_while_a_straightedge_spans_it():
    bracket = made(EDGE)
    assert value(bracket, "bottom of the plate") == pytest.approx(120.0)


# --- what cannot be ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cope", "key", "words"),
    [
        (
            replace(EDGE, beyond=40.0),
            "cope[1].beyond",
            r"stays 0\.394 in \(10\.0 mm\) off the edge",
        ),
        (replace(EDGE, beyond=-40.0), "cope[1].beyond", "wholly inside"),
        (replace(EDGE, at=-60.0), "cope[1].at", "passes beside the edge"),
        (replace(EDGE, zero_at="bottom"), "cope[1].zero_at", "no edge next to 'top'"),
        (replace(EDGE, edge="roof"), "cope[1].edge", "no edge 'roof'"),
        (replace(EDGE, panel="roof"), "cope[1].panel", "no panel 'roof'"),
        (replace(LEANING, leans_towards="roof"), "cope[1].leans_towards", "no edge 'roof'"),
        (replace(HOLE, diameter=150.0), "cope[1].measured_from", "does not lie wholly"),
    ],
)
def test_a_tube_that_meets_nothing_is_told(cope: Cope, key: str, words: str):
    with pytest.raises(BuildError, match=words) as error:
        made(cope)
    assert error.value.keys[0] == key


def test_two_tubes_in_one_place_are_told():
    with pytest.raises(BuildError, match="copes 1 and 2 run into each other"):
        made(EDGE, replace(EDGE, at=120.0))


@pytest.mark.parametrize(
    ("cope", "keys"),
    [
        (EDGE, []),
        (LEANING, []),
        (HOLE, []),
        (replace(EDGE, pipe="2"), ["diameter"]),
        (replace(EDGE, diameter=None), ["diameter"]),
        (replace(LEANING, leans_towards=None), ["leans_towards"]),
        (replace(EDGE, leans_towards="top"), ["leans_towards"]),
        (replace(EDGE, at=None), ["at"]),
        (replace(EDGE, x=1.0, y=1.0), ["measured_from"]),
        (replace(HOLE, at=3.0), ["at"]),
        (replace(HOLE, measured_from=()), ["measured_from"]),
    ],
)
def test_keys_that_disagree(cope: Cope, keys: list[str]):
    assert [key for key, _ in cope.problems()] == keys


def test_pipes_have_the_standards_diameters():
    """ASME B36.10M."""
    for size, outside in (("1/2", 0.840), ("1 1/4", 1.660), ("2", 2.375), ("3 1/2", 4.0),
                          ("6", 6.625)):  # fmt: skip
        assert PIPES[parse_pipe_size(size, "in")] == pytest.approx(outside * 25.4)
    assert parse_pipe_size("1-1/2 in", "mm") == "1 1/2"
