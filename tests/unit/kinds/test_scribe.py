"""Scribed edges from readings."""

from dataclasses import replace
from itertools import pairwise

import pytest

from platewright.errors import BuildError
from platewright.geometry.plane import Motion, Point
from platewright.geometry.segment import Arc, Line
from platewright.kinds import tab
from platewright.kinds.placing import station_zero
from platewright.kinds.scribe import Scribe, with_scribed
from platewright.kinds.tab import Tab
from platewright.plate.bend import Crease
from platewright.plate.bracket import Bracket, DrawnEdge, Panel
from platewright.plate.stock import MATERIALS, Stock

PLATE = Stock(3.0, MATERIALS["A36"])


def plate() -> Bracket:
    """A plain plate 100 x 60 on a wall edge along y = 0."""
    corners = [Point(0, 0), Point(100, 0), Point(100, 60), Point(0, 60)]
    names = ["wall edge", "right side", "front", "left side"]
    lines = [Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    root = Panel.of_edges("plate", list(zip(names, lines, strict=True)))
    return Bracket(stock=PLATE, root=root, wall="wall edge")


def scribe(*readings: tuple[float, float], **changed) -> Scribe:
    told = {"edge": "wall edge", "zero_at": "left side", "readings": readings}
    return Scribe(**told | changed)


def corners(bracket: Bracket) -> list[tuple[float, float]]:
    """Corners of the scribed edge from left to right, y up from the old line."""
    found = [p for p in bracket.root.contour.corners if p.y < 30]
    return sorted((round(p.x, 6), round(p.y, 6)) for p in found)


def test_points_are_joined_by_straights_and_held_to_the_ends():
    scribed = with_scribed(plate(), (scribe((20, 2), (50, -3), (80, 1)),))
    assert corners(scribed) == [(0, -2), (20, -2), (50, 3), (80, -1), (100, -1)]


def test_zero_may_be_at_the_other_end():
    scribed = with_scribed(plate(), (scribe((20, 2), (50, -3), zero_at="right side"),))
    assert corners(scribed) == [(0, 3), (50, 3), (80, -2), (100, -2)]


def test_readings_count_from_the_hold_off():
    held = with_scribed(plate(), (scribe((20, 27), (50, 22), hold_off=25.0),))
    assert corners(held) == corners(with_scribed(plate(), (scribe((20, 2), (50, -3)),)))


def test_a_step_has_two_readings_at_one_station():
    scribed = with_scribed(plate(), (scribe((40, 0), (40, -5), (60, -5), (60, 0)),))
    assert corners(scribed) == [(0, 0), (40, 0), (40, 5), (60, 0), (60, 5), (100, 0)]
    assert scribed.root.contour.area == pytest.approx(6000 - 100)


def test_readings_in_one_line_make_one_line():
    scribed = with_scribed(plate(), (scribe((0, -1), (30, -1), (60, -1)),))
    assert len(scribed.root.contour.segments) == 4
    assert scribed.root.straight_edge("wall edge").start.y == pytest.approx(1)
    assert not scribed.root.datums


def test_the_original_line_stays_as_a_mark():
    scribed = with_scribed(plate(), (scribe((20, 2), (50, -3)),))
    mark, *stations = scribed.root.marks
    # the tape's zero and each reading are marked, from the new edge into the metal
    assert [each.told for each in stations] == [0, 20, 50]
    assert [each.shape.start for each in stations[1:]] == [Point(20, -2), Point(50, 3)]
    assert (mark.meaning, mark.label) == ("original", "original wall edge")
    assert mark.shape == plate().root.straight_edge("wall edge")
    assert scribed.root.straight_edge("wall edge") == mark.shape


def test_a_smooth_edge_is_of_arcs_without_corners():
    readings = tuple((float(x), -2 - x * (100 - x) / 500) for x in range(0, 101, 10))
    scribed = with_scribed(plate(), (scribe(*readings, joined="smooth", tolerance=0.2),))
    chain = [s for s in scribed.root.contour.segments if max(s.start.y, s.end.y) < 30]
    assert any(isinstance(s, Arc) for s in chain)
    assert len(chain) < 10
    for before, after in pairwise(chain):
        assert abs(before.end_direction.cross(after.start_direction)) < 1e-6
    for station, offset in readings:
        assert scribed.root.contour.distance(Point(station, -offset)) < 0.2


def test_a_second_pass_adds_to_the_first():
    first, second = scribe((20, 2), (80, -2)), scribe((20, 1), (50, -1), (80, 1))
    both = with_scribed(plate(), (first, second))
    assert corners(both) == [(0, -3), (20, -3), (50, 1), (100, 1)]


def test_a_second_pass_adds_to_a_step():
    first, second = scribe((40, 0), (40, -5)), scribe((0, 1), (100, 1))
    assert corners(with_scribed(plate(), (first, second))) == [
        (0, -1), (40, -1), (40, 4), (100, 4),
    ]  # fmt: skip


def test_a_second_smooth_pass_goes_through_the_sums():
    first = scribe((10, 0), (50, -3), (90, 0), joined="smooth", tolerance=0.01)
    second = scribe((10, 0), (50, -1), (90, 0), joined="smooth", tolerance=0.01)
    both = with_scribed(plate(), (first, second))
    assert both.root.contour.distance(Point(50, 4)) < 0.02


def test_a_pass_of_nothing_is_passed_over():
    first = scribe((20, 2), (50, -3))
    nothing = scribe((33, 0), (77, 0))
    assert corners(with_scribed(plate(), (first, nothing))) == corners(
        with_scribed(plate(), (first,))
    )


def test_two_edges_are_scribed_each_by_its_own():
    other = scribe((10, -2), edge="front", zero_at="right side")
    scribed = with_scribed(plate(), (scribe((10, -1)), other))
    assert scribed.root.contour.area == pytest.approx(100 * 57)


def test_an_edge_beside_a_slope_follows_the_slope():
    ear = Tab(pin_height=60.0, pin=16.0, end_radius=20.0, width=80.0)
    bracket = tab.KIND.build(ear, PLATE, Crease())
    scribed = with_scribed(bracket, (scribe((0, -4), (80, 4), zero_at="left side"),))
    side, old = scribed.root.straight_edge("right side"), bracket.root.straight_edge("right side")
    assert abs((side.start - old.start).cross(old.direction)) < 1e-9
    assert scribed.root.holes == bracket.root.holes


@pytest.mark.parametrize(
    ("given", "keys"),
    [
        ((scribe((20, 1), edge="lid"),), ("scribe[1].edge",)),
        ((scribe((20, 1), panel="lid"),), ("scribe[1].panel",)),
        ((scribe((20, 1), zero_at="front"),), ("scribe[1].zero_at",)),
        ((scribe((120, 1)),), ("scribe[1].readings",)),
        ((scribe((20, 1)), scribe((20, 1), joined="smooth")),
         ("scribe[2].joined", "scribe[1].joined")),
        ((scribe((20, -70)),), ("scribe[1].edge", "scribe[1].readings")),
        ((scribe((20, 0), (20.01, -30), (60, -30), joined="smooth"),),
         ("scribe[1].edge", "scribe[1].readings")),
    ],
)  # fmt: skip
def test_scribes_that_cannot_be(given, keys):
    with pytest.raises(BuildError) as caught:
        with_scribed(plate(), given)
    assert caught.value.keys == keys


def test_stations_run_on_from_zero():
    assert "goes back" in next(iter(scribe((20, 1), (10, 1)).problems()))[1]
    assert "one reading" in next(iter(scribe((20, 1), (20, 2), joined="smooth").problems()))[1]
    assert not list(scribe((20, 1), (20, 2)).problems())


@pytest.mark.parametrize(
    ("end", "zero"), [(Point(0, 90), 0.0), (Point(60, 100), 8.944), (Point(0, 60), -17.889)]
)
def test_a_bend_that_runs_on_in_line_with_the_edge_has_the_zero_at_the_corner(end, zero):
    """Its outside, 8 mm off, would cross the tape's way far off.

    Else it crosses 8 / sin(63.435) along at an inner corner, 8 / sin(26.565) before an outer one.
    """
    corners = [Point(0, 0), Point(100, 0), Point(100, 40), Point(60, 60), end]
    names = ["wall edge", "right side", "bent", "slope", "left side"]
    lines = [Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    outside = lines[2].moved(Motion.translation(lines[2].direction.left * -8.0))
    drawn = DrawnEdge(edge="bent", line=outside, to="outside", face="underside", neighbour="lip")
    root = replace(Panel.of_edges("plate", list(zip(names, lines, strict=True))), drawn=(drawn,))
    found, ahead = station_zero(Bracket(stock=PLATE, root=root), root, "slope", "bent", "zero_at")
    assert (found, ahead) == (pytest.approx(zero, abs=1e-3), 1)
