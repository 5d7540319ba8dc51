"""Features from a file's words: where they stand, what they cut, what is checked."""

import math

import pytest

from platewright.errors import FileError
from platewright.files.reader import read_job
from platewright.geometry.plane import Point
from platewright.kinds.kind import catalogue
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.folded import folded

CHANNEL = """
kind = "channel"
units = "mm"
measured_to = "outside"
web = 100
left_flange = 60
right_flange = 60
width = 200
[stock]
thickness = 3
material = "A36"
[bend]
way = "brake"
radius = 4
k = 0.42
"""


def made(extra: str, base: str = CHANNEL) -> Bracket:
    job = read_job(base + extra, "part.toml", catalogue())
    return job.parts[0].bracket


def refused(extra: str, base: str = CHANNEL) -> str:
    with pytest.raises(FileError) as caught:
        made(extra, base)
    return "\n".join(str(mistake) for mistake in caught.value.mistakes)


def web(extra: str) -> Panel:
    return made(extra).panel("web")


def measured(*pairs: str) -> str:
    return "measured_from = [" + ", ".join("{ " + pair + " }" for pair in pairs) + "]\n"


FRONT_20 = 'edge = "front side", distance = 20'
MIDDLE = 'edge = "left end", midway_to = "right end"'
LENGTHWAYS_MIDDLE = 'edge = "front side", midway_to = "back side"'


# --- places -----------------------------------------------------------------------------------


def test_a_hole_is_measured_from_two_edges():
    (hole,) = web('[[hole]]\nsize = "M8"\n' + measured(FRONT_20, MIDDLE)).holes
    assert (hole.centre.x, hole.centre.y) == pytest.approx((0, -80))
    assert (hole.what, hole.diameter, hole.role) == ("hole 1", 9.0, "bolt")


@pytest.mark.parametrize(
    ("face", "x"), [("", -20), ('bend_face = "inside"', -17), ('bend_face = "tangent line"', -13)]
)
def test_at_a_bend_a_hole_is_measured_from_the_face_of_the_bend(face, x):
    left = 'edge = "left end", distance = 30' + (f", {face}" if face else "")
    (hole,) = web('[[hole]]\nsize = "M8"\n' + measured(FRONT_20, left)).holes
    assert hole.centre.x == pytest.approx(x)


def test_a_check_goes_to_the_face_that_was_measured():
    bracket = made(
        '[[hole]]\nsize = "M8"\n' + measured(FRONT_20, 'edge = "left end", distance = 30')
    )
    checks = [c for c in bracket.dimensions if c.start.words == "hole 1"]
    assert [c.when for c in checks] == ["either", "folded"]
    assert checks[1].end.words == "outside of the bend to the left flange"
    read = [folded(bracket).value(c) for c in checks]
    assert read == pytest.approx([20, 30])


def test_a_child_is_measured_from_its_own_bend():
    bracket = made(
        '[[hole]]\npanel = "right flange"\nsize = "M8"\n'
        + measured('edge = "base", distance = 30', FRONT_20)
    )
    flange = bracket.panel("right flange")
    # the outside of the bend lies 7 mm beyond its tangent line
    base = flange.straight_edge("base").start.x
    assert flange.holes[0].centre.x - base == pytest.approx(30 - 7)


def test_a_partly_bent_edge_counts_from_the_face_that_card_and_plate_share():
    """The gusset's inside face, 4 mm beyond the tangent line that its free part lies on."""
    seat = """
kind = "seat"
units = "mm"
plate_diameter = 100
body_diameter = 120
wall_gap = 20
bolts.count = 1
[left]
reach = 70
[front]
shape = "square"
length = 150
[stock]
thickness = 3
material = "A36"
[bend]
way = "brake"
radius = 4
k = 0.42
"""
    bracket = made(
        '[[hole]]\nname = "x"\nsize = "M5"\n'
        + measured('edge = "left side", distance = 10', 'edge = "front", distance = 10'),
        seat,
    )
    hole = bracket.root.holes[-1]
    assert hole.centre.x - bracket.root.straight_edge("left side").start.x == pytest.approx(10 - 4)


def test_near_sides_are_measured_to_the_metal():
    extra = (
        '[[cutout]]\nlength = 40\nwidth = 20\nalong = "front side"\nmeasured_to = "near side"\n'
        + measured(FRONT_20, MIDDLE)
    )
    (cut,) = web(extra).cutouts
    assert cut.contour.bounds.ymin == pytest.approx(-80)
    assert cut.contour.bounds.width == pytest.approx(40)
    bracket = made(extra)
    (check,) = [c for c in bracket.dimensions if c.start.words == "near side of cut-out 1"]
    assert folded(bracket).value(check) == pytest.approx(20)


@pytest.mark.parametrize(
    ("pairs", "words"),
    [
        ((FRONT_20, 'edge = "back side", distance = 20'), "parallel"),
        ((FRONT_20, 'edge = "lid", distance = 20'), "no edge 'lid'"),
        ((FRONT_20, 'edge = "front side", midway_to = "lid"'), "no edge 'lid'"),
        ((FRONT_20, 'edge = "front side", midway_to = "front side"'), "opposite"),
        ((FRONT_20, 'edge = "left end"'), "either a distance or midway_to"),
        ((FRONT_20,), "two distances"),
        ((FRONT_20, 'edge = "left end", distance = 2'), "does not lie wholly"),
        ((MIDDLE, 'edge = "front side", distance = 20, bend_face = "inside"'), "is no bend"),
        ((MIDDLE, 'edge = "front side", distance = -20'), "does not lie wholly"),
    ],
)
def test_places_that_cannot_be(pairs, words):
    assert words in refused('[[hole]]\nsize = "M8"\n' + measured(*pairs))


def test_the_mistake_is_told_with_its_key():
    told = refused('[[hole]]\nsize = "M8"\n' + measured(MIDDLE, 'edge = "lid", distance = 1'))
    assert "hole[1].measured_from[2].edge" in told
    assert "hole[1].panel" in refused(
        '[[hole]]\npanel = "lid"\nsize = "M8"\n' + measured(MIDDLE, FRONT_20)
    )


def test_a_place_is_told_once_and_whole():
    assert "x and y go together" in refused('[[hole]]\nsize = "M8"\nx = 3\n')
    assert "given twice" in refused(
        '[[hole]]\nsize = "M8"\nx = 3\ny = 3\n' + measured(MIDDLE, FRONT_20)
    )


# --- holes ------------------------------------------------------------------------------------


def test_a_hole_takes_a_bolt_a_thread_or_a_diameter():
    place = measured(MIDDLE, LENGTHWAYS_MIDDLE)
    roles = {
        size: web(f'[[hole]]\nsize = "{size}"\n' + place).holes[0].role
        for size in ("M8", "G 1/4", "hole 12 mm")
    }
    assert roles == {"M8": "bolt", "G 1/4": "port", "hole 12 mm": "plain"}
    assert "no listed bolt" in refused('[[hole]]\nsize = "nut"\n' + place)


def test_a_hole_may_be_marked_only():
    place = measured(MIDDLE, LENGTHWAYS_MIDDLE)
    (hole,) = web('[[hole]]\nsize = "M8"\nmark_only = true\nname = "pilot"\n' + place).holes
    assert (hole.cut, hole.what) == (False, "pilot")


# --- slots and cut-outs -----------------------------------------------------------------------


@pytest.mark.parametrize(("along", "size"), [("front side", (30, 9)), ("right end", (9, 30))])
def test_a_slot_runs_along_an_edge(along, size):
    (slot,) = web(
        f'[[slot]]\nsize = "M8"\nlength = 30\nalong = "{along}"\n'
        + measured(MIDDLE, LENGTHWAYS_MIDDLE)
    ).cutouts
    box = slot.contour.bounds
    assert (box.width, box.height) == pytest.approx(size)
    assert slot.contour.area == pytest.approx(21 * 9 + math.pi * 4.5**2)


def test_a_slot_is_turned_from_its_edge():
    (slot,) = web(
        '[[slot]]\nsize = "M8"\nlength = 30\nalong = "front side"\nturn = 90\n'
        + measured(MIDDLE, LENGTHWAYS_MIDDLE)
    ).cutouts
    assert slot.contour.bounds.height == pytest.approx(30)


def test_a_slot_is_longer_than_wide():
    assert "longer than it is wide" in refused(
        '[[slot]]\nsize = "M8"\nlength = 9\n' + measured(MIDDLE, LENGTHWAYS_MIDDLE)
    )


def test_a_cut_out_of_any_corners_is_rounded_and_runs_anticlockwise():
    (cut,) = web(
        '[[cutout]]\npoints = [[0, 0], [0, 30], [40, 0]]\ncorner_radius = 3\nalong = "front side"\n'
        + measured(MIDDLE, LENGTHWAYS_MIDDLE)
    ).cutouts
    assert 0 < cut.contour.area < 600
    assert len(cut.contour.segments) == 6


@pytest.mark.parametrize(
    ("shape", "words"),
    [
        ("length = 20", "needs a length and a width"),
        ("length = 20\nwidth = 10\npoints = [[0,0],[1,0],[0,1]]", "given twice"),
        ("points = [[0, 0], [1, 0]]", "three corners"),
        ("points = [[0, 0], [20, 20], [20, 0], [0, 15]]", "crosses itself"),
        ("length = 20\nwidth = 10\ncorner_radius = 9", "no such cut-out"),
        ("length = 500\nwidth = 10", "it runs along 'left end', unless along names another"),
    ],
)
def test_cut_outs_that_cannot_be(shape, words):
    assert words in refused(f"[[cutout]]\n{shape}\n" + measured(MIDDLE, LENGTHWAYS_MIDDLE))


def test_a_cut_out_round_the_whole_panel_is_refused():
    assert "does not lie wholly" in refused(
        "[[cutout]]\nlength = 900\nwidth = 900\n" + measured(MIDDLE, LENGTHWAYS_MIDDLE)
    )


# --- patterns ---------------------------------------------------------------------------------


def test_a_bolt_circle_has_its_chords():
    # exact: chord of a bolt circle D sin(180/n), n = 6: .5 (tabulated in handbooks)
    extra = '[[pattern]]\nlayout = "circle"\ncount = 6\ndiameter = 60\nsize = "M6"\n' + measured(
        MIDDLE, LENGTHWAYS_MIDDLE
    )
    holes = web(extra).holes
    assert len(holes) == 6
    assert holes[0].centre.distance(holes[1].centre) == pytest.approx(30)
    assert web(extra).marks[-1].label == "bolt circle"


def test_a_line_runs_along_its_edge_about_its_middle():
    holes = web(
        '[[pattern]]\nlayout = "line"\ncount = 3\nspacing = 40\nsize = "M6"\nalong = "right end"\n'
        + measured(MIDDLE, LENGTHWAYS_MIDDLE)
    ).holes
    assert [h.centre.y for h in holes] == pytest.approx([-40, 0, 40])


def test_a_grid_is_measured_to_its_nearest_hole():
    holes = web(
        '[[pattern]]\nlayout = "grid"\ncount = 2\nrows = 3\nspacing = 40\nrow_spacing = 25\n'
        'size = "M6"\nalong = "front side"\nmeasured_to = "near side"\n'
        + measured(FRONT_20, MIDDLE)
    ).holes
    assert len(holes) == 6
    assert min(h.centre.y for h in holes) == pytest.approx(-80)
    assert {round(h.centre.x) for h in holes} == {-20, 20}


def test_a_pattern_is_checked_hole_by_hole():
    bracket = made(
        '[[pattern]]\nname = "p"\nlayout = "line"\ncount = 3\nspacing = 40\nsize = "M6"\n'
        'along = "right end"\n' + measured(LENGTHWAYS_MIDDLE, MIDDLE)
    )
    words = [
        f"{c.start.words} / {c.end.words}" for c in bracket.dimensions if c.start.words[0] == "p"
    ]
    assert "p hole 1 / p hole 2" in words
    assert "p hole 3 / front side" in words


@pytest.mark.parametrize(
    ("layout", "words"),
    [
        ('layout = "circle"', "needs its diameter"),
        ('layout = "line"\ndiameter = 30\nspacing = 10', "no use"),
        ('layout = "grid"\nspacing = 10', "needs its rows"),
    ],
)
def test_patterns_that_cannot_be(layout, words):
    assert words in refused(
        f'[[pattern]]\n{layout}\nsize = "M6"\n' + measured(MIDDLE, LENGTHWAYS_MIDDLE)
    )


# --- marks ------------------------------------------------------------------------------------


def test_marks_are_drawn_and_not_cut():
    panel = web(
        '[[mark]]\nname = "hose"\npoints = [[0, 0], [30, 0], [30, 10]]\nalong = "front side"\n'
        + measured(MIDDLE, LENGTHWAYS_MIDDLE)
        + '[[mark]]\ndiameter = 25\nmeaning = "centre"\n'
        + measured(MIDDLE, LENGTHWAYS_MIDDLE)
    )
    assert [mark.label for mark in panel.marks] == ["hose", "", ""]
    assert panel.marks[0].shape.end == Point(30, 0)
    assert panel.marks[2].meaning == "centre"
    assert not panel.holes


def test_marks_that_cannot_be():
    place = measured(MIDDLE, LENGTHWAYS_MIDDLE)
    assert "either the points" in refused("[[mark]]\n" + place)
    assert "two points or more" in refused("[[mark]]\npoints = [[0, 0]]\n" + place)
    assert "are one" in refused("[[mark]]\npoints = [[0, 0], [0, 0]]\n" + place)


def test_more_holes_than_one_part_may_have_are_refused():
    grid = '[[pattern]]\nlayout = "grid"\nspacing = "1/8 in"\nrow_spacing = "1/8 in"\nsize = "M6"\n'
    place = measured(FRONT_20, MIDDLE)
    words = refused(grid + "count = 200\nrows = 200\n" + place)
    assert "pattern[1].count: makes 40000 holes; allowed: at most 400 in all of a part" in words
    two = (grid + "count = 20\nrows = 11\n" + place) * 2
    assert "pattern[2].count: makes 440 holes" in refused(two)
