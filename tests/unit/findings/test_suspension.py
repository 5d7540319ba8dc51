"""The rules of a body that leans: how far, which way, to the wall, past the other mount."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from laws.strategies_bracket import rectangle
from platewright.findings.case import Context
from platewright.findings.finding import Finding
from platewright.findings.rules import findings
from platewright.geometry.plane import Point
from platewright.plate.bend import Crease
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bend, Body, Bracket
from platewright.plate.lean import Lean, Stance
from platewright.plate.stock import MATERIALS, Stock

T = 5.0


def seat(clearance: float = 25.0, depth: float = 60.0, face: str = "top") -> Bracket:
    """A plate 200 wide on a wall along its bottom edge, the body in its middle, 150 across.

    One gusset goes up at the right edge: its inside stands 100 mm from the body's middle, less the
    plate's thickness.
    """
    leg = Bend(edge="right end", panel=rectangle("gusset", 120.0, depth), angle=math.pi / 2,
               direction="up", way=Crease())  # fmt: skip
    return Bracket(
        stock=Stock(T, MATERIALS["A36"]),
        root=rectangle("plate", 200.0, 120.0, bends=(leg,)),
        wall="base",
        body=Body(centre=Point(100.0, 100.0), plate_diameter=80.0, diameter=150.0,
                  clearance=clearance, face=face),
    )  # fmt: skip


def found(bracket: Bracket, rule: str, lean: Lean | None) -> list[Finding]:
    context = Context(lean=lean)
    return [f for f in findings(bracket, blank_of(bracket), context) if f.rule == rule]


def straight(offset: float, height: float = 100.0, **told: bool) -> Lean:
    """A lean whose middle goes aside by about the offset at the top of its height."""
    return Lean(stances=(Stance(height=height, offset=offset, slope=0.0),), **told)


def test_a_body_that_stands_still_loses_nothing() -> None:
    assert found(seat(), "body through the travel", straight(0.0)) == []


def test_without_a_travel_nothing_is_told() -> None:
    for rule in ("body through the travel", "body towards the wall", "longer than the spring"):
        assert found(seat(clearance=0.0), rule, None) == []


def test_what_is_left_at_the_gussets_top_is_told() -> None:
    # the inside of a sharp fold stands on the plate's edge, 100 mm from the middle: 25 mm of room
    lean = straight(20.0)
    bound = lean.sideways(60.0)
    (told,) = found(seat(), "body through the travel", lean)
    assert told.severity == "note"
    assert told.measured is not None
    assert told.measured.value == pytest.approx(25.0 - bound.at(60.0), abs=0.01)
    assert told.limit is not None
    assert told.limit.value == pytest.approx(12.5)
    assert "gusset" in told.place


def test_a_body_that_rubs_must_be_changed() -> None:
    (told,) = found(seat(), "body through the travel", straight(40.0))
    assert told.severity == "change"
    assert "it rubs" in told.change


def test_a_lower_gusset_is_met_by_less_of_the_lean() -> None:
    (tall,) = found(seat(), "body through the travel", straight(40.0))
    (low,) = found(seat(depth=40.0), "body through the travel", straight(40.0))
    assert tall.measured is not None
    assert low.measured is not None
    assert low.measured.value > tall.measured.value + 5.0


def test_a_body_on_the_other_face_is_clear_of_the_gusset() -> None:
    assert found(seat(face="underside"), "body through the travel", straight(40.0)) == []


def test_across_the_vehicle_it_leans_along_the_gusset() -> None:
    assert found(seat(), "body through the travel", straight(19.0, along_wall=False)) == []


def test_across_the_vehicle_it_may_meet_the_wall() -> None:
    # 25 mm of room to the wall
    assert found(seat(), "body towards the wall", straight(24.0, along_wall=False)) == []
    (told,) = found(seat(), "body towards the wall", straight(30.0, along_wall=False))
    assert told.severity == "note"
    assert told.measured is not None
    assert told.measured.value == pytest.approx(-5.0)
    assert found(seat(), "body towards the wall", straight(30.0)) == []


@pytest.mark.parametrize(("height", "told"), [(70.0, False), (59.0, True)])
def test_a_gusset_longer_than_the_lowest_spring(height: float, told: bool) -> None:
    lean = Lean(stances=(Stance(height=height, offset=0.0, slope=0.0),
                         Stance(height=200.0, offset=0.0, slope=0.0)))  # fmt: skip
    found_here = found(seat(), "longer than the spring", lean)
    assert bool(found_here) is told
    assert found(seat(face="underside"), "longer than the spring", lean) == []


def test_what_must_be_changed_about_the_suspension_comes_with_the_bracket() -> None:
    bracket = seat()
    context = Context(suspension=("Too much tilt: 12°, allowed 8°, laid out.",))
    told = [f for f in findings(bracket, blank_of(bracket), context) if f.rule == "suspension"]
    assert [f.place for f in told] == ["Too much tilt: 12°, allowed 8°, laid out"]
    assert told[0].severity == "change"


def test_the_other_hand_is_told_the_same() -> None:
    lean = straight(40.0)
    (own,) = found(seat(), "body through the travel", lean)
    (other,) = found(seat().mirrored(), "body through the travel", lean)
    assert other.measured is not None
    assert own.measured is not None
    assert other.measured.value == pytest.approx(own.measured.value)
    assert replace(other, measured=None) == replace(own, measured=None)


@pytest.mark.parametrize(("diameter", "told"), [(150.0, 0), (150.4, 0), (140.0, 0), (152.0, 1)])
def test_a_body_narrower_than_its_spring(diameter: float, told: int) -> None:
    lean = replace(straight(0.0), diameter=diameter)
    unlike = found(seat(), "body unlike the spring", lean)
    assert len(unlike) == told
    assert all(each.severity == "change" for each in unlike)
