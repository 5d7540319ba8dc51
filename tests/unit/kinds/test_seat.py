"""The seat where its measurements and the metal do not agree."""

import math
from dataclasses import replace

import pytest

from laws.example_pieces import BRAKE, PLATE, SEAT, gusset, seat_piece
from platewright.errors import BuildError
from platewright.findings.case import Context
from platewright.findings.rules import findings
from platewright.kinds import seat as seat_kind
from platewright.kinds.seat_measurements import Port
from platewright.plate.blank import blank_of
from platewright.shop.hardware import parse_port_size

SHORT = "not as asked"


def told(nose: float, **changes: object):
    """What is found of a nose in 5 mm plate bent round 8 mm: the bend takes 13 mm."""
    bracket = seat_piece(way=BRAKE, left=replace(gusset(), nose=nose), **changes).bracket
    found = findings(bracket, blank_of(bracket), Context())
    return [each for each in found if each.rule == SHORT], bracket


def test_a_nose_that_the_bend_is_wider_than_is_told():
    (finding,), _ = told(10.0)
    assert "left.nose" in finding.place
    assert finding.severity == "note"
    assert (finding.measured.value, finding.limit.value) == pytest.approx((13.0, 10.0))
    assert told(13.0)[0] == []


def test_a_body_underneath_is_said_to_be_there():
    labels = [
        [mark.label for mark in seat_piece(body_face=face).blank.marks]
        for face in ("top", "underside")
    ]
    assert {"mounting plate", "body at its fullest"} <= set(labels[0])
    assert {"mounting plate, underneath", "body at its fullest, underneath"} <= set(labels[1])


def test_the_other_hand_has_it_on_the_other_side():
    _, bracket = told(10.0)
    other = bracket.mirrored()
    (finding,) = [
        each for each in findings(other, blank_of(other), Context()) if each.rule == SHORT
    ]
    assert "right gusset" in finding.place


def test_a_pilot_where_no_port_fits_is_told():
    """Beside a bolt its fitting meets the washer, far out it meets the edge."""
    near, far = (
        replace(SEAT, port=replace(SEAT.port, side="undecided", offset=offset, shift=35.0))
        for offset in (15.0, 60.0)
    )
    clear = replace(SEAT, port=replace(SEAT.port, side="undecided"))
    told = []
    for seat in (near, far, clear):
        bracket = seat_kind.KIND.build(seat, PLATE, BRAKE)
        found = findings(bracket, blank_of(bracket), Context())
        told.append([each for each in found if each.rule == "port pilot"])
    assert {each.place.split(",")[0] for each in told[0]} >= {
        "fitting in port pilot towards the wall",
        "fitting in port pilot away from the wall",
    }
    assert {each.severity for each in told[0]} == {"note"}
    assert any("nearest edge" in each.place for each in told[1])
    assert told[2] == []


@pytest.mark.parametrize(("side", "refused"), [("undecided", True), ("away from the wall", False)])
def test_an_undecided_port_needs_two_places(side: str, refused: bool):
    port = Port(offset=0.0, shift=0.0, size=parse_port_size("G 1/4", "mm"), side=side)
    assert [key for key, _ in port.problems()] == ["side"] * refused
    assert not list(replace(port, offset=20.0).problems())
    if not refused:
        built = seat_kind.KIND.build(replace(SEAT, port=port), PLATE, BRAKE)
        assert built.root.holes[-1].centre.y == 0


# --- a gusset's own place ---------------------------------------------------------------------

NEEDED = {"body room": 87.0, "plate circle supported": 60.0}
"""Body 150 mm and 12 mm of clearance; a mounting plate of 120 mm."""


def placed(from_centre: float, direction: str, face: str = "top", **changes: object):
    """The seat with its left gusset at a place of its own, and what is found, by its rule."""
    left = replace(gusset(direction), from_centre=from_centre)
    bracket = seat_piece(way=BRAKE, left=left, body_face=face, **changes).bracket
    return bracket, {f.rule: f for f in findings(bracket, blank_of(bracket), Context())}


@pytest.mark.parametrize("face", ["top", "underside"])
def test_a_gusset_that_folds_away_stands_in_line_with_the_plates_edge(face: str):
    """Its inside face stands where it was asked: the tangent line 8 mm further in (8 mm radius)."""
    bracket, found = placed(60.0, "down" if face == "top" else "up", face, right=None)
    assert bracket.root.straight_edge("left side").start.x == pytest.approx(-52.0)
    assert "body room" not in found
    rim = found["plate circle supported"]
    assert (rim.severity, rim.measured.value) == ("note", pytest.approx(52.0))
    key = next(each for each in bracket.dimensions if each.key == "left.from_centre")
    assert (key.asked, key.critical) == (60.0, True)
    assert not any(each.key == "clearance" for each in bracket.dimensions)


@pytest.mark.parametrize(("at", "rubs"), [(74.0, True), (80.0, False)])
def test_a_gusset_that_folds_to_the_body_is_found_where_it_rubs(at: float, rubs: bool):
    _, found = placed(at, "up", right=None)
    room = found["body room"]
    assert (room.severity, room.measured.value) == ("change", pytest.approx(at))
    assert room.limit.value == NEEDED["body room"]
    assert ("rubs" in room.change) == rubs
    assert "body room" not in placed(87.0, "up", right=None)[1]


def test_a_gusset_too_near_is_found_by_what_it_meets():
    """M10 holes at 35 mm: the washer's edge, 10 mm out, meets the bend's tangent line."""
    _, found = placed(50.0, "down", plate_diameter=90.0)
    assert found["washer room"].measured.value == pytest.approx(7.0)
    assert "washer room" not in placed(53.5, "down", plate_diameter=90.0)[1]


def test_a_side_that_ends_beside_the_plate_circle_says_how_much_it_lacks():
    """At x = -20 the circle of 120 mm stands sqrt(60² - 20²) = 56.569 mm forward."""
    with pytest.raises(BuildError, match=r"needs 1\.046 in \(26\.6 mm\) more reach") as error:
        placed(28.0, "down")
    assert set(error.value.keys) >= {"left.reach", "left.from_centre"}


def test_a_gusset_past_a_right_angle_is_placed_as_a_square_finds_it():
    """Its inside tangent: the inside radius beyond the tangent line."""
    left = replace(gusset("down"), from_centre=87.0, fold=math.radians(120))
    bracket = seat_piece(way=BRAKE, left=left).bracket
    assert bracket.root.straight_edge("left side").start.x == pytest.approx(-79.0)
