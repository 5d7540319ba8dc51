from __future__ import annotations

import math
from dataclasses import replace

import pytest

from platewright.errors import BuildError
from platewright.geometry.plane import Point, Vector
from platewright.suspension.layout import Ground, Layout
from platewright.suspension.linkage import FourLink, TrailingArm
from platewright.suspension.mounts import Mount, SpringSeat
from platewright.suspension.spring import Heights, HeightTable
from platewright.suspension.travel import travel
from platewright.suspension.tyre import measured_radius

ARM = Layout(
    heights=Heights(least=75.0, greatest=300.0),
    diameter=160.0,
    room=12.0,
    seat=SpringSeat(on="arm", at=Vector(350.0, 70.0)),
    linkage=TrailingArm(pivot=Point(0.0, -50.0), length=550.0),
    ground=Ground(Point(0.0, -100.0)),
    radius=measured_radius(330.0),
    ride=150.0,
    centred=150.0,
    wheel_load_n=8000.0,
    area=HeightTable(((80.0, 40000.0), (310.0, 25000.0))),
)
LINKS = replace(
    ARM,
    seat=SpringSeat(on="axle", at=Vector(-40.0, 60.0)),
    linkage=FourLink(
        lower_pivot=Point(0.0, 0.0),
        lower_length=600.0,
        upper_pivot=Point(60.0, 180.0),
        upper_length=520.0,
        lower_eye=Vector(0.0, -90.0),
        upper_eye=Vector(-10.0, 110.0),
    ),
)
BOTH = pytest.mark.parametrize("layout", [ARM, LINKS], ids=["arm", "links"])


@BOTH
def test_the_travel_runs_from_the_ground_to_the_greatest_height(layout: Layout) -> None:
    found = travel(layout)
    assert found.lowest.lift == pytest.approx(0.0, abs=1e-9)
    assert found.lowest.gap == pytest.approx(87.0)
    assert found.highest.gap == pytest.approx(300.0)
    assert found.ending == "spring"
    lifts = [reading.lift for reading in found.positions]
    assert lifts == sorted(lifts)
    assert len(lifts) == 41
    assert layout.ground.height(found.laid_out.axle.origin) == pytest.approx(330.0)


@BOTH
def test_parallel_and_centred_at_ride(layout: Layout) -> None:
    ride = travel(layout).ride
    assert ride.lift == pytest.approx(150.0)
    assert ride.tilt == pytest.approx(0.0, abs=1e-9)
    assert ride.drift == pytest.approx(0.0, abs=1e-6)
    assert ride.turn == 0.0


@BOTH
def test_the_peaks_are_at_least_every_reading(layout: Layout) -> None:
    found = travel(layout)
    assert abs(found.tilt.value) >= max(abs(r.tilt) for r in found.positions) - 1e-9
    assert abs(found.drift.value) >= max(abs(r.drift) for r in found.positions) - 1e-9


@BOTH
def test_the_ratio_is_the_slope_of_the_gap(layout: Layout) -> None:
    positions = travel(layout).positions
    for before, at, after in zip(positions, positions[1:], positions[2:], strict=False):
        slope = (after.gap - before.gap) / (after.lift - before.lift)
        assert at.ratio == pytest.approx(slope, abs=2e-3)


def test_a_stated_full_lift_ends_the_travel_first() -> None:
    found = travel(replace(ARM, full=200.0))
    assert found.ending == "stated"
    assert found.highest.lift == pytest.approx(200.0)
    assert found.highest.gap < 300.0
    assert travel(replace(ARM, full=5000.0)).ending == "spring"


def test_a_mount_as_it_stands_is_used_and_compared() -> None:
    wanted = travel(ARM).wanted
    low = Mount(at=wanted.at + Vector(0.0, 40.0), angle=wanted.angle)
    found = travel(replace(ARM, mount=low))
    assert found.mount == low
    assert found.wanted == wanted
    assert found.stroke.closer == pytest.approx(found.lowest.gap - 87.0)
    assert found.stroke.lost > 12.0
    assert found.wheel_travel < travel(ARM).wheel_travel


def test_a_spring_that_bottoms_out_stops_the_frame_short() -> None:
    wanted = travel(ARM).wanted
    found = travel(replace(ARM, mount=replace(wanted, at=wanted.at + Vector(0.0, -30.0))))
    assert found.stroke.bottoms_out
    assert found.lowest.lift > 0
    assert found.lowest.gap == pytest.approx(75.0)


def test_a_mount_below_its_seat_bottoms_out_and_is_told_how_far_to_move() -> None:
    wanted = travel(ARM).wanted
    low = replace(wanted, at=wanted.at + wanted.axis * -130.0)
    with pytest.raises(
        BuildError, match=r"bottoms out.*below its seat.*away from the spring"
    ) as no:
        travel(replace(ARM, mount=low))
    assert no.value.keys == ("mount",)


def test_a_mount_hardly_above_its_seat_and_beside_it_bottoms_out_too() -> None:
    wanted = travel(LINKS).wanted
    low = replace(wanted, at=wanted.at + wanted.axis * -75.0 + wanted.plane * 100.0)
    with pytest.raises(BuildError, match=r"bottoms out.*mm above its seat"):
        travel(replace(LINKS, mount=low))


def test_loads_follow_the_ratio_and_the_table() -> None:
    found = travel(ARM)
    assert found.ride.load is not None
    assert found.ride.load.force_n == pytest.approx(8000 / found.ride.ratio)
    assert found.ride.load.pressure_mpa is not None
    assert travel(replace(ARM, wheel_load_n=None)).ride.load is None


def test_a_ride_height_outside_the_travel_is_refused() -> None:
    with pytest.raises(BuildError, match="outside the travel") as caught:
        travel(replace(ARM, ride=600.0))
    assert caught.value.keys == ("travel.ride",)


def test_a_linkage_that_locks_tells_the_lift() -> None:
    short = replace(ARM, linkage=TrailingArm(pivot=Point(0.0, 0.0), length=330.0), ride=10.0)
    short = replace(short, centred=10.0, seat=SpringSeat(on="arm", at=Vector(60.0, 40.0)))
    with pytest.raises(BuildError, match="locks") as caught:
        travel(short)
    # axle laid out 230 above the pivot: straight down is 230 + 330 lower
    assert "560.0 mm" in str(caught.value)


def test_a_spring_that_stops_lengthening_tells_the_lift() -> None:
    layout = replace(ARM, seat=SpringSeat(on="arm", at=Vector(100.0, 40.0)), ride=0.0, centred=0.0)
    mount = Mount(at=Point(-100.0, 100.0), angle=0.0)
    with pytest.raises(BuildError, match="squeezed again"):
        travel(replace(layout, mount=mount, heights=Heights(least=75.0, greatest=290.0)))


def test_a_spring_on_the_wrong_side_does_not_lengthen() -> None:
    with pytest.raises(BuildError, match="does not lengthen"):
        travel(replace(ARM, mount=Mount(at=Point(400.0, -200.0), angle=math.pi)))


def test_mounts_too_far_apart_are_refused() -> None:
    with pytest.raises(BuildError, match="greatest height") as caught:
        travel(replace(ARM, mount=Mount(at=Point(200.0, 900.0), angle=0.0)))
    assert "mm apart" in str(caught.value)


def test_a_linkage_that_cannot_be_laid_out_tells_its_reach() -> None:
    with pytest.raises(BuildError, match="cannot be laid out") as caught:
        travel(replace(ARM, linkage=TrailingArm(pivot=Point(0.0, 0.0), length=200.0)))
    assert "between -200.0 mm and 200.0 mm" in str(caught.value)


def test_links_that_cannot_close_are_told_so() -> None:
    assert isinstance(LINKS.linkage, FourLink)
    loose = replace(LINKS, linkage=replace(LINKS.linkage, upper_length=2000.0))
    with pytest.raises(BuildError, match="cannot close"):
        travel(loose)


def test_centring_beyond_the_linkage_is_refused() -> None:
    with pytest.raises(BuildError, match="locks"):
        travel(replace(ARM, centred=3000.0))
