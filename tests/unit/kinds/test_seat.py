"""The seat where its measurements and the metal do not agree."""

from dataclasses import replace

import pytest

from laws.example_pieces import BRAKE, PLATE, SEAT, gusset, seat_piece
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
    assert replace(port, offset=20.0).problems() == ()
    if not refused:
        built = seat_kind.KIND.build(replace(SEAT, port=port), PLATE, BRAKE)
        assert built.root.holes[-1].centre.y == 0
