"""Laws of bodies that lean: a still one loses nothing, more lean never clears a finding."""

from __future__ import annotations

import math
from dataclasses import replace

from hypothesis import assume, given
from hypothesis import strategies as st

from laws.effort import examples
from laws.strategies_bracket import degrees, lengths, rectangle
from platewright.findings.case import Case, Context
from platewright.findings.plan import Leaning
from platewright.findings.room import nearest_to_body
from platewright.findings.suspension import lean_room
from platewright.geometry.plane import Point, Vector
from platewright.plate.bend import Crease
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bend, Body, Bracket
from platewright.plate.lean import Lean, Stance
from platewright.plate.stock import MATERIALS, Stock

stances = st.builds(Stance, height=lengths(40, 300), offset=lengths(-60, 60),
                    slope=lengths(-1, 1))  # fmt: skip
leans = st.builds(
    lambda found, along: Lean(stances=tuple(found), along_wall=along),
    st.lists(stances, min_size=1, max_size=4),
    st.booleans(),
)


@st.composite
def seats(draw: st.DrawFn) -> Bracket:
    """A plate on a wall with a body, and a gusset on one side or both."""
    bends = [
        Bend(
            edge=edge,
            panel=rectangle(f"{edge} gusset", 120.0, draw(lengths(10, 150))),
            angle=draw(degrees(20, 130)),
            direction=draw(st.sampled_from(["up", "down"])),
            way=Crease(),
        )
        for edge in draw(st.sampled_from([("right end",), ("right end", "left end")]))
    ]
    return Bracket(
        stock=Stock(draw(lengths(2, 8)), MATERIALS["A36"]),
        root=rectangle("plate", 200.0, 120.0, bends=tuple(bends)),
        wall="base",
        body=Body(
            centre=Point(draw(lengths(60, 140)), draw(lengths(40, 110))),
            plate_diameter=60.0,
            diameter=draw(lengths(60, 150)),
            clearance=draw(lengths(0, 30)),
            face=draw(st.sampled_from(["top", "underside"])),
        ),
    )


def case_of(bracket: Bracket, lean: Lean | None) -> Case:
    return Case(bracket, blank_of(bracket), Context(lean=lean))


def room(bracket: Bracket, lean: Lean) -> float | None:
    """How near the leaning body's middle line comes to a panel, mm."""
    assert bracket.body is not None
    wall = bracket.root.straight_edge("base").direction
    leaning = Leaning(wall if lean.along_wall else wall.left, lean.sideways)
    nearest = nearest_to_body(case_of(bracket, lean), bracket.body, 1.0, leaning)
    return None if nearest is None else nearest.distance


def scaled(lean: Lean, factor: float) -> Lean:
    """The same travel with that many times the drift and the tilt."""
    more = (replace(s, offset=s.offset * factor, slope=s.slope * factor) for s in lean.stances)
    return replace(lean, stances=tuple(more))


@given(seats(), leans)
@examples(60)
def test_without_drift_and_tilt_the_clearance_is_that_without_travel(
    bracket: Bracket, lean: Lean
) -> None:
    assert bracket.body is not None
    plain = nearest_to_body(case_of(bracket, None), bracket.body, 1.0)
    assert room(bracket, scaled(lean, 0.0)) == (None if plain is None else plain.distance)


@given(seats(), leans, st.floats(1.0, 3.0))
@examples(60)
def test_more_drift_and_tilt_never_clear_a_finding(
    bracket: Bracket, lean: Lean, factor: float
) -> None:
    less, more = room(bracket, lean), room(bracket, scaled(lean, factor))
    assert (less is None) == (more is None)
    if less is not None and more is not None:
        assert more <= less + 1e-9
    worse = case_of(bracket, scaled(lean, factor))
    if list(lean_room(case_of(bracket, lean))):
        assert list(lean_room(worse))


@given(seats(), leans, stances)
@examples(60)
def test_a_further_place_of_the_travel_never_clears_a_finding(
    bracket: Bracket, lean: Lean, further: Stance
) -> None:
    longer = replace(lean, stances=(*lean.stances, further))
    if list(lean_room(case_of(bracket, lean))):
        assert list(lean_room(case_of(bracket, longer)))


@given(seats(), leans)
@examples(60)
def test_the_room_told_is_never_more_than_what_is_there(bracket: Bracket, lean: Lean) -> None:
    """Against the body's own line, followed through every stance at points all over the metal."""
    told = room(bracket, lean)
    assume(told is not None)
    assert told is not None
    way = Vector(1.0, 0.0) if lean.along_wall else Vector(0.0, 1.0)
    for x, y, height in metal(bracket):
        for stance in lean.stances:
            if height <= stance.height:
                aside = way * stance.aside(height / stance.height)
                assert bracket.body is not None
                for side in (1.0, -1.0):
                    axis = bracket.body.centre + aside * side
                    assert math.hypot(x - axis.x, y - axis.y) >= told - 1e-6


def metal(bracket: Bracket) -> list[tuple[float, float, float]]:
    """Points all over the gussets that stand out beyond the body's face, with their heights."""
    assert bracket.body is not None
    case = case_of(bracket, None)
    found = []
    for placed in case.finished.panels[1:]:
        bounds = placed.panel.contour.bounds
        for i in range(9):
            for j in range(9):
                at = Point(bounds.xmin + bounds.width * i / 8, bounds.ymin + bounds.height * j / 8)
                for depth in (0.0, -case.thickness):
                    p = placed.world_from_panel.point(at, depth)
                    height = p.z if bracket.body.face == "top" else -case.thickness - p.z
                    if height > 1e-6:
                        found.append((p.x, p.y, height))
    return found
