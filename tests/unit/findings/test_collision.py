"""Panels that meet on the way or when folded."""

import math

import pytest

from laws.apart import part_gap
from laws.strategies_bracket import rectangle
from platewright.findings import collision
from platewright.findings.collision import TOUCH, Contact, Sweep
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Point
from platewright.plate.bend import Brake, Crease
from platewright.plate.bracket import Bend, Bracket, Panel
from platewright.plate.folded import folded
from platewright.plate.prism import parts_of
from platewright.plate.stock import MATERIALS, Stock


def meetings(part: Bracket) -> tuple[Contact, ...]:
    return Sweep(part).meetings


def leg(edge: str, panel: Panel, angle: float, way: object = Crease(), **other: object) -> Bend:
    return Bend(edge=edge, panel=panel, angle=math.radians(angle), way=way,
                **({"direction": "up"} | other))  # fmt: skip


def box(*bends: Bend, width: float = 60.0, thickness: float = 1.0) -> Bracket:
    root = rectangle("web", width, 80.0, bends=bends)
    return Bracket(stock=Stock(thickness, MATERIALS["A36"]), root=root)


def two_lids(angle: float, tall: float = 50.0) -> Bracket:
    lids = [rectangle(name, 80.0, tall) for name in ("left", "right")]
    return box(leg("left end", lids[0], angle), leg("right end", lids[1], angle))


def test_nothing_meets_without_bends() -> None:
    assert meetings(box()) == ()


def test_a_channel_folds_free() -> None:
    assert meetings(two_lids(90)) == ()


def test_lids_meet_where_their_tips_do() -> None:
    """Creased lids 50 long over a 60 web: inside tips meet when 50 cos(180 - a) = 30."""
    (meeting,) = meetings(two_lids(135))
    exact = math.pi - math.acos(30 / 50)
    assert meeting.finished
    assert (meeting.first, meeting.second) == ("left", "right")
    assert meeting.angle == pytest.approx(exact, abs=math.radians(0.5))
    assert meeting.angle >= exact - 1e-9
    assert meeting.amount == pytest.approx(meeting.angle / math.radians(135))


def test_of_very_many_that_meet_those_in_each_other_at_the_end_are_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A coil of square turns, each leg a little shorter than the one before."""
    panel = rectangle("leg 9", 60.0, 30.0)
    for number in reversed(range(1, 9)):
        panel = rectangle(f"leg {number}", 60.0, 30.0 + 2 * number,
                          bends=(leg("far edge", panel, 90),))  # fmt: skip
    coil = box(leg("far edge", panel, 90))
    every = meetings(coil)
    finished = [meeting for meeting in every if meeting.finished]
    assert 1 < len(finished) < len(every)
    assert every[: len(finished)] != tuple(finished)
    monkeypatch.setattr(collision, "MOST_MEETINGS", len(finished))
    assert list(meetings(coil)) == finished


def test_lids_that_just_miss_do_not_meet() -> None:
    assert meetings(two_lids(126.5)) == ()


def lipped(name: str, tall: float) -> Panel:
    lip = leg("far edge", rectangle(f"{name} lip", 80.0, 45.0), 90)
    return rectangle(name, 80.0, tall, bends=(lip,))


def test_a_meeting_on_the_way_is_not_a_finished_one() -> None:
    """Two lips, one on a taller wall, pass through each other and end one above the other."""
    found = meetings(box(leg("left end", lipped("low", 30.0), 90),
                         leg("right end", lipped("high", 33.0), 90)))  # fmt: skip
    assert found
    assert all(not meeting.finished for meeting in found)
    assert all(0 < meeting.amount < 1 for meeting in found)


def finger_and_arm() -> Bracket:
    """An arm sweeps down past a finger 3 mm wide that points in from the opposite wall."""
    finger = leg("far edge", rectangle("finger", 3.0, 30.0), 90, start=40.0, end=43.0)
    wall = rectangle("wall", 80.0, 30.0, bends=(finger,))
    arm = rectangle("arm", 80.0, 65.0)
    return box(leg("left end", wall, 90), leg("right end", arm, 170))


def test_a_thin_finger_is_not_jumped_over() -> None:
    part = finger_and_arm()
    found = {(m.first, m.second): m for m in meetings(part)}
    meeting = found["finger", "arm"]
    fine = next(k / 2000 for k in range(2001) if touching(part, k / 2000))
    assert meeting.amount == pytest.approx(fine, abs=1 / 1000)


def touching(part: Bracket, amount: float) -> bool:
    parts = {each.words: each for each in parts_of(folded(part, amount))}
    return part_gap(parts["finger"], parts["arm"]) < -TOUCH


def test_a_child_wider_than_its_base_swings_clear_of_its_parent() -> None:
    """Its wings reach back beside the bend; they are looked at, and go down as it goes up."""
    corners = [(0, 0), (20, 0), (20, -15), (50, -15), (50, 30), (0, 30)]
    winged = Panel(
        name="winged",
        contour=Contour.polygon(Point(x, y) for x, y in corners),
        edges=(("base", 0),),
    )
    shoulders = [(0, 0), (100, 0), (100, 60), (40, 60), (40, 80), (20, 80), (20, 60), (0, 60)]
    root = Panel(
        name="web",
        contour=Contour.polygon(Point(x, y) for x, y in shoulders),
        edges=(("tab", 4),),
        bends=(leg("tab", winged, 120, Brake(2.0, 0.4)),),
    )
    assert meetings(Bracket(stock=Stock(3.0, MATERIALS["A36"]), root=root)) == ()


def test_what_overlaps_in_the_flat_is_not_told_again() -> None:
    wing = rectangle("wing", 80.0, 50.0)
    front = rectangle("front", 60.0, 80.0, bends=(leg("right end", wing, 90),))
    arm = rectangle("arm", 60.0, 100.0)
    left = rectangle("left", 80.0, 60.0, bends=(leg("left end", arm, 90),))
    part = box(leg("left end", left, 90), leg("base", front, 90))
    flat = {(each.first, each.second) for each in Sweep(part).on_the_blank}
    told = {(m.first, m.second) for m in meetings(part)}
    assert flat
    assert not flat & told
