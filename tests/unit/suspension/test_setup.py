from __future__ import annotations

import math

import pytest

from laws.example_setups import ARM, LINKS
from platewright.errors import FileError
from platewright.files.setup import read_setup, travel_of
from platewright.geometry.plane import Point, Vector
from platewright.suspension.linkage import FourLink, TrailingArm

INCH = 25.4


def mistakes(text: str) -> dict[str, str]:
    """What is wrong with a setup file, message by key."""
    with pytest.raises(FileError) as caught:
        travel_of(read_setup(text, "setup.toml"))
    return {mistake.key: mistake.message for mistake in caught.value.mistakes}


def test_an_arm_as_measured() -> None:
    file = read_setup(ARM, "folder/some.toml")
    layout = file.setup.layout(file.unit)
    assert (file.name, file.unit) == ("arm", "in")
    assert layout.linkage == TrailingArm(pivot=Point(0.0, 5 * INCH), length=609.6)
    assert layout.seat.at == Vector(15 * INCH, -2.5 * INCH)
    assert layout.seat.angle == pytest.approx(math.radians(-10))
    assert layout.centred == layout.ride == 4 * INCH
    assert layout.wheel_load_n == pytest.approx(1330 * 4.4482216152605)
    assert not layout.radius.measured
    assert layout.area is not None
    height, area = layout.area.rows[0]
    assert height == pytest.approx(3 * INCH)
    assert area == pytest.approx(27 * INCH**2)


def test_links_as_measured() -> None:
    file = read_setup(LINKS, "folder/some.toml")
    layout = file.setup.layout(file.unit)
    assert file.name == "some"
    assert isinstance(layout.linkage, FourLink)
    assert layout.linkage.lower_eye == Vector(0.0, -90.0)
    assert math.sin(layout.ground.rake) == pytest.approx(30 / 3200)
    assert layout.area is not None
    assert layout.area.rows[0] == pytest.approx((80.0, 9600 / 0.5))
    assert layout.stands is not None
    assert layout.radius.measured


def test_a_file_without_a_name_has_its_own() -> None:
    assert read_setup(LINKS, "shop/my rear axle!.toml").name == "my-rear-axle"
    assert read_setup(LINKS, "...").name == "suspension"


def test_a_part_that_runs_forward_has_above_above() -> None:
    text = ARM.replace("length = 24", 'length = 24\nruns = "forward"').replace("-10", "10")
    found = travel_of(read_setup(text, "setup.toml"))
    behind = travel_of(read_setup(ARM, "setup.toml"))
    # the mirror image: same heights, same lifts, the other way along
    assert found.wanted.at.x == pytest.approx(-behind.wanted.at.x)
    assert found.wanted.at.y == pytest.approx(behind.wanted.at.y)
    assert found.wanted.angle == pytest.approx(-behind.wanted.angle)
    assert found.wheel_travel == pytest.approx(behind.wheel_travel)


def test_the_mount_as_it_stands() -> None:
    text = LINKS + "[mount]\nalong = 745\nabove = 470\ntilt = 2\n"
    file = read_setup(text, "setup.toml")
    mount = file.setup.layout(file.unit).mount
    assert mount is not None
    assert mount.at == Point(745.0, 470.0)
    assert mount.angle == pytest.approx(math.radians(2))


@pytest.mark.parametrize(
    ("old", "new", "key", "words"),
    [
        ("greatest = 11", "greatest = 3", "spring.greatest", "more than the least"),
        ("greatest = 11", "greatest = 4\nroom = 2", "spring.room", "stroke"),
        ("height = 11", "height = 3", "spring.table", "rise"),
        ('area = "17 in2"', 'force = "900 lb"', "spring.table", "areas in all rows"),
        ('area = "17 in2"', "", "spring.table", "area or a force"),
        ('size = "ST205/75R15"', "", "tyre.size", "size or its loaded radius"),
        ('size = "ST205/75R15"', 'size = "15 in"', "tyre.size", "not a tyre size"),
        ('on = "arm"', 'on = "upper link"', "seat.on", '"arm", "axle"'),
        ("ride = 4", "ride = 4\nfull = 3", "travel.full", "less than"),
        ("ride = 4", "ride = 14\ncentred = 4", "travel.ride", "outside the travel"),
        ("ride = 4", "ride = 20", "travel.ride", "drifts"),
        ("ride = 4", "ride = 4\ncentred = 20", "travel.centred", "drifts"),
        ("ride = 4", "ride = 40", "travel.ride", "locks"),
        ('"120 lb"', '"1500 lb"', "load.unsprung", "nothing is left"),
        ("length = 24", "length = 6", "trailing_arm", "cannot be laid out"),
        ("lowest_below", "front_height = 1\nlowest_below", "frame.rear_height", "together"),
        ('on = "arm"', 'on = "arm"\nabov = 3', "seat.abov", "no such key"),
        ('units = "in"', "", "units", "missing"),
    ],
)
def test_mistakes_are_told_at_their_key(old: str, new: str, key: str, words: str) -> None:
    assert old in ARM
    assert words in mistakes(ARM.replace(old, new))[key]


def test_one_linkage_no_more_no_less() -> None:
    head, _, tail = ARM.partition("[trailing_arm]")
    without = head + "[load]" + tail.partition("[load]")[2]
    assert "neither" in mistakes(without)["trailing_arm"]
    both = LINKS + "[trailing_arm]\npivot_along = 0\npivot_above = 100\nlength = 600\n"
    assert "both" in mistakes(both)["trailing_arm"]


@pytest.mark.parametrize(
    ("old", "new", "key", "words"),
    [
        ("upper_along = 90\nupper_above = 350", "upper_along = 0\nupper_above = 175",
         "four_link.upper_above", "at one place"),
        ("upper_eye_above = 110", "upper_eye_above = -90",
         "four_link.upper_eye_above", "at one place"),
        ("rear_along = 1400", "rear_along = -1790", "stands.rear_along", "behind"),
        ('table_pressure = "5 bar"', "", "spring.table_pressure", "pressure"),
        ("marks_apart = 3200", 'marks_apart = "1 in"', "frame.marks_apart", "differ by"),
        ("lower_length = 620", "lower_length = 2000", "four_link", "cannot"),
    ],
)  # fmt: skip
def test_mistakes_of_links_stands_and_rake(old: str, new: str, key: str, words: str) -> None:
    assert old in LINKS
    found = mistakes(LINKS.replace(old, new))
    assert words in found[key]
