"""The two setups of the demo trailer, and the seat that belongs to one, worked out by hand.

Every figure is come at again here from the patterns' own numbers by school geometry (an arm turns
about its pivot; two circles meet), without a line of the project's linkages.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platewright.files.job import worked_out
from platewright.files.reader import load_job
from platewright.files.setup import load_setup, travel_of
from platewright.findings.case import Case, Context
from platewright.findings.plan import Leaning
from platewright.findings.room import nearest_to_body
from platewright.geometry.plane import Vector
from platewright.suspension.mounting import comes_to, set_up
from platewright.suspension.travel import Travel

PATTERNS = Path(__file__).parents[2] / "patterns"
INCH = 25.4


def travel_from(name: str) -> Travel:
    return travel_of(load_setup(PATTERNS / name))


def turned(x: float, y: float, angle: float) -> complex:
    """A place (x, y) of a part that is turned, as a complex number: rearward + i up."""
    return complex(x, y) * complex(math.cos(angle), math.sin(angle))


def upper_mount(ride: complex, down: complex, slope: float, spacer: float) -> complex:
    """On the line square to the seat at ride, `spacer` from the seat when the frame is down."""
    axis = complex(-math.sin(slope), math.cos(slope))
    off = ride - down
    along = -(off.real * axis.real + off.imag * axis.imag)
    return ride + axis * (along + math.sqrt(along**2 - abs(off) ** 2 + spacer**2))


# --- the trailing arm, inches -----------------------------------------------------------------

#: ST205/75R15: 15 in and twice 75 % of 205 mm; loaded 3.5 % less than half of that.
RADIUS = (15 + 2 * 0.75 * 205 / INCH) / 2 * (1 - 0.035)
AXLE_DOWN = RADIUS - 0.5


def arm_angle(lift: float) -> float:
    """The arm is 24 long, its pivot 5 above the datum line; the frame lies 1/2 below that."""
    return math.asin((AXLE_DOWN - lift - 5) / 24)


def arm_seat(lift: float) -> complex:
    return 5j + turned(15, -2.5, arm_angle(lift))


ARM_SLOPE = arm_angle(4) - math.radians(12)
ARM_MOUNT = upper_mount(arm_seat(4), arm_seat(0), ARM_SLOPE, 3.5)


def arm_offset(lift: float) -> tuple[float, float]:
    """Of the seat, seen from the upper mount: rearward along its face, and away from it."""
    seen = (arm_seat(lift) - ARM_MOUNT) * turned(1, 0, -ARM_SLOPE)
    return seen.real, -seen.imag


def test_the_trailing_arm_by_hand() -> None:
    of = travel_from("travel-trailing-arm.toml")
    at = of.wanted.at
    assert complex(at.x, at.y) / INCH == pytest.approx(ARM_MOUNT)
    assert (round(ARM_MOUNT.real, 2), round(ARM_MOUNT.imag, 2)) == (15.57, 10.82)
    assert math.degrees(of.wanted.angle) == pytest.approx(math.degrees(ARM_SLOPE))
    for position in of.positions:
        lift = position.lift / INCH
        assert position.gap / INCH == pytest.approx(abs(ARM_MOUNT - arm_seat(lift)))
        assert position.tilt == pytest.approx(arm_angle(lift) - arm_angle(4))
        assert position.drift / INCH == pytest.approx(arm_offset(lift)[0], abs=1e-9)
    assert of.highest.lift / INCH == pytest.approx(9.5)


def test_the_trailing_arms_force_by_moments_about_its_pivot() -> None:
    of = travel_from("travel-trailing-arm.toml")
    for position in of.positions:
        lift = position.lift / INCH
        arm = 24 * math.cos(arm_angle(lift))
        seat, line = arm_seat(lift) - 5j, ARM_MOUNT - arm_seat(lift)
        lever = (seat.real * line.imag - seat.imag * line.real) / abs(line)
        assert position.load is not None
        assert position.load.force_n / 4.4482216152605 == pytest.approx((1450 - 120) * arm / lever)


# --- the four-link, millimetres ---------------------------------------------------------------

#: Front mark 40 high, rear mark 15, 3200 apart along the datum line.
RAKE = math.asin((40 - 15) / 3200)
UP = complex(-math.sin(RAKE), math.cos(RAKE))
LOWER, UPPER = 175j, complex(90, 350)


def height(place: complex) -> float:
    return place.real * UP.real + place.imag * UP.imag


def eyes(angle: float) -> tuple[complex, complex, float]:
    """Lower and upper eye and the axle's turn, the lower link at an angle: two circles meet."""
    low = LOWER + turned(620, 0, angle)
    apart, between = abs(UPPER - low), abs(complex(-15, 110) - complex(0, -90))
    along = (apart**2 + between**2 - 520**2) / (2 * apart)
    aside = math.sqrt(between**2 - along**2)
    way = (UPPER - low) / apart
    found = (low + way * (along - 1j * aside), low + way * (along + 1j * aside))
    high = max(found, key=lambda eye: eye.real)
    rest = complex(-15, 200)
    turn = math.remainder(
        math.atan2((high - low).imag, (high - low).real) - math.atan2(rest.imag, rest.real),
        math.tau,
    )
    return low, high, turn


def axle(angle: float) -> complex:
    low, _, turn = eyes(angle)
    return low - turned(0, -90, turn)


#: The frame's lowest point, 15 below the datum line and 900 behind the mark, is on the ground.
DOWN = 336 + height(complex(900, -15))


def link_angle(lift: float) -> float:
    """The lower link's angle with the axle at its height, by halving."""
    low, high = -0.9, 0.9
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (low, middle) if height(axle(middle)) > DOWN - lift else (middle, high)
    return (low + high) / 2


def link_seat(lift: float) -> tuple[complex, float]:
    angle = link_angle(lift)
    turn = eyes(angle)[2]
    return axle(angle) + turned(125, 35, turn), turn


def test_the_four_link_by_hand() -> None:
    of = travel_from("travel-four-link.toml")
    (down, _), (ride, slope) = link_seat(0), link_seat(110)
    mount = upper_mount(ride, down, slope, 80 + 12)
    assert complex(of.wanted.at.x, of.wanted.at.y) == pytest.approx(mount)
    assert (round(mount.real, 1), round(mount.imag, 1)) == (753.3, 444.5)
    for position in of.positions[::4]:
        seat, turn = link_seat(position.lift)
        assert complex(position.seat.at.x, position.seat.at.y) == pytest.approx(seat)
        assert position.gap == pytest.approx(abs(mount - seat))
        assert position.tilt == pytest.approx(turn - slope, abs=1e-9)
    assert of.highest.gap == pytest.approx(290)


def test_the_four_links_ratio_by_small_steps() -> None:
    of = travel_from("travel-four-link.toml")
    mount, step = complex(of.wanted.at.x, of.wanted.at.y), 0.01
    for position in of.positions[2:-2:6]:
        gaps = [abs(mount - link_seat(position.lift + side * step)[0]) for side in (-1, 1)]
        assert position.ratio == pytest.approx((gaps[1] - gaps[0]) / (2 * step), rel=1e-5)


# --- the seat on the trailing arm -------------------------------------------------------------


def test_the_seats_place_and_heights() -> None:
    (part,) = load_job(PATTERNS / "spring-seat-travel.toml").parts
    assert part.mounting is not None
    told = {f.key: f.value for f in (*set_up(part.mounting, 0.25 * INCH), *comes_to(part.mounting))}
    assert told["plate_along"] / INCH == pytest.approx(ARM_MOUNT.real)
    assert told["plate_height"] / INCH == pytest.approx(ARM_MOUNT.imag)
    back = ARM_MOUNT + 0.25 * complex(-math.sin(ARM_SLOPE), math.cos(ARM_SLOPE))
    assert told["plate_back"] / INCH == pytest.approx(back.imag)
    assert told["set_up_height"] / INCH == pytest.approx(3.5)
    assert told["spring_at_ride"] / INCH == pytest.approx(abs(ARM_MOUNT - arm_seat(4)))
    assert told["greatest_force"] / 4.4482216152605 == pytest.approx(2119.3, abs=0.1)


def test_the_seats_room_through_the_travel() -> None:
    """The gusset's inside stands 7/8 in from the body and reaches 2 in less the plate down.

    So far it reaches from 1/4 in behind the seat's middle on: from 5 1/2 in off the wall it slopes
    down at 45 degrees from its 1/2 in nose, and the middle is 4 1/4 in off the wall.
    The body's middle is followed by its own cubic, at 400 heights and all lifts.
    """
    (ready,) = worked_out([load_job(PATTERNS / "spring-seat-travel.toml")])
    mounting, (piece,) = ready.mounting, ready.pieces
    assert mounting is not None
    assert not ready.judgements[0].findings
    body, reach = piece.bracket.body, 2 - 0.25
    assert body is not None
    case = Case(piece.bracket, piece.blank, Context(lean=mounting.lean))
    leaning = Leaning(Vector(1.0, 0.0), mounting.lean.sideways)
    nearest = nearest_to_body(case, body, 1.0, leaning)
    assert nearest is not None
    most = 0.0
    for lift in (9.5 * step / 40 for step in range(41)):
        offset, high = arm_offset(lift)
        slope = math.tan(arm_angle(lift) - arm_angle(4))
        for share in (reach / high * step / 400 for step in range(1, 401)):
            aside = offset * (3 * share**2 - 2 * share**3) + high * slope * (share**3 - share**2)
            most = max(most, abs(aside) / (share * high))
    left = (nearest.distance - body.diameter / 2) / INCH
    corner = math.hypot(6.5 / 2 + 0.875 - most * reach, 0.25)
    assert left == pytest.approx(corner - 6.5 / 2, abs=1e-3)
    assert left == pytest.approx(0.637, abs=1e-3)
