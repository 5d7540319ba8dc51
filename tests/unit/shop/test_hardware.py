"""Reading bolts and ports, and the room they need."""

import math

import pytest

from platewright.errors import UnitError
from platewright.shop.hardware import (
    BOLTS,
    PORTS,
    clearance_hole,
    fitting_room,
    parse_bolt_size,
    parse_port_size,
    wrench_room,
)

INCH = 25.4


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("3/8", "3/8"),
        ("1/2 in", "1/2"),
        ('1/2"', "1/2"),
        ("1 1/8", "1 1/8"),
        ("1-1/8 in", "1 1/8"),
        ("1½", "1 1/2"),
        ("1", "1"),
        ("M10", "M10"),
        ("m 10", "M10"),
    ],
)
@pytest.mark.parametrize("unit", ["in", "mm"])
def test_listed_bolt(text: str, name: str, unit) -> None:
    assert parse_bolt_size(text, unit) is BOLTS[name]


@pytest.mark.parametrize(
    ("value", "unit", "mm"),
    [
        ("hole 0.40 in", "mm", 0.40 * INCH),
        ("hole 10.5 mm", "in", 10.5),
        ("hole 3/8", "in", 9.525),
        ("hole 10", "mm", 10.0),
        ("Hole: 13/32 in", "mm", 13 / 32 * INCH),
        (0.406, "in", 0.406 * INCH),
        (11.5, "mm", 11.5),
        (11, "mm", 11.0),
        (".406", "in", 0.406 * INCH),
        ("10.5 mm", "in", 10.5),
    ],
)
def test_drilled_hole(value: object, unit, mm: float) -> None:
    size = parse_bolt_size(value, unit)
    assert size.diameter is None
    assert [clearance_hole(size, fit) for fit in ("close", "normal", "loose")] == pytest.approx(
        [mm] * 3
    )


@pytest.mark.parametrize(
    ("value", "unit", "bolt", "hole"),
    [
        (0.375, "in", "3/8", "hole 0.375 in"),
        ("0.5 in", "mm", "1/2", "hole 0.5 in"),
        (1, "in", "1", "hole 1 in"),
        (10, "mm", "M10", "hole 10 mm"),
        ("10 mm", "in", "M10", "hole 10 mm"),
        (0.25, "in", "1/4", "hole 0.25 in"),
    ],
)
def test_bolt_or_hole_is_asked(value: object, unit, bolt: str, hole: str) -> None:
    with pytest.raises(UnitError, match=rf'"{bolt}" for the bolt or "{hole}"'):
        parse_bolt_size(value, unit)


@pytest.mark.parametrize(
    "value",
    [
        "13/32",
        "9/16",
        "M9",
        "M10x1.5",
        "3/0",
        "bolt",
        "",
        "-3/8",
        "hole",
        "hole big",
        "hole 0",
        "hole -1",
        "hole 20 in",
        0,
        -0.4,
        math.nan,
        math.inf,
        1e300,
        10**400,
        True,
        None,
        ["3/8"],
    ],
)
def test_no_bolt(value: object) -> None:
    with pytest.raises(UnitError):
        parse_bolt_size(value, "in")


def test_refusal_says_what_is_allowed() -> None:
    with pytest.raises(UnitError, match=r"'M9' is no listed bolt.*3/8.*M10.*hole"):
        parse_bolt_size("M9", "in")


@pytest.mark.parametrize("fit", ["snug", "", "Close"])
def test_no_such_fit(fit: str) -> None:
    with pytest.raises(UnitError, match="close, normal, loose"):
        clearance_hole(BOLTS["3/8"], fit)


def test_words() -> None:
    assert BOLTS["3/8"].words == "for 3/8 in bolt"
    assert BOLTS["M10"].words == "for M10 bolt"
    assert parse_bolt_size("hole 0.4", "in").words == "hole 0.4 in"
    assert PORTS["1/4 NPT"].words == "for 1/4 NPT"
    assert parse_port_size("hole 3/4 in", "mm").words == "hole 3/4 in"


@pytest.mark.parametrize("bolt", BOLTS.values(), ids=list(BOLTS))
def test_bolts_fit_their_holes_and_holes_their_washers(bolt) -> None:
    assert bolt.diameter < bolt.close < bolt.normal < bolt.loose
    assert bolt.loose < bolt.narrow_washer
    assert bolt.diameter < bolt.across_flats < wrench_room(bolt)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("1/4 NPT", "1/4 NPT"),
        ("1/4npt", "1/4 NPT"),
        ('1/4" NPT', "1/4 NPT"),
        ("1-1/4 NPT", "1 1/4 NPT"),
        ("G 1/4", "G 1/4"),
        ("g1/4", "G 1/4"),
    ],
)
def test_listed_port(text: str, name: str) -> None:
    assert parse_port_size(text, "in") is PORTS[name]


@pytest.mark.parametrize(
    ("value", "unit", "mm"),
    [
        ("hole 3/4 in", "mm", 19.05),
        (0.75, "in", 19.05),
        ("20 mm", "in", 20.0),
        (20, "mm", 20.0),
    ],
)
def test_drilled_port(value: object, unit, mm: float) -> None:
    size = parse_port_size(value, unit)
    assert size.diameter is None
    assert size.hole == pytest.approx(mm)


@pytest.mark.parametrize("value", ["1/4", "1/5 NPT", "G 1/3", "hole", "NPT", 0, None, False])
def test_no_port(value: object) -> None:
    with pytest.raises(UnitError):
        parse_port_size(value, "in")


@pytest.mark.parametrize("port", PORTS.values(), ids=list(PORTS))
def test_threads_pass_their_holes(port) -> None:
    assert port.diameter < port.hole < fitting_room(port)


def test_a_drilled_hole_claims_no_room() -> None:
    assert wrench_room(parse_bolt_size("hole 0.4 in", "in")) is None
    assert fitting_room(parse_port_size("hole 0.4 in", "in")) is None
