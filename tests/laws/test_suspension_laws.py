"""Laws of springs, linkages and travels."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from laws.strategies_suspension import (
    FEW,
    MODEST,
    arms,
    between,
    degrees,
    four_bars,
    four_links,
    layouts,
    linkages,
    tables,
    tyres,
)
from platewright.errors import BuildError
from platewright.geometry.plane import Motion, Point, Vector
from platewright.suspension.four_bar import FourBar, angles, circuits, turning
from platewright.suspension.layout import Layout, Stand, on_stands
from platewright.suspension.linkage import FourLink, Linkage, Posture, TrailingArm
from platewright.suspension.range_of_motion import RangeOfMotion, range_at
from platewright.suspension.roots import grid
from platewright.suspension.spring import Heights, HeightTable, SpringStroke
from platewright.suspension.travel import Position, Travel, travel
from platewright.suspension.tyre import estimated_radius, tyre

UP = Vector(0.0, 1.0)


def some_range(linkage: Linkage, height: float = 100.0) -> RangeOfMotion:
    motion = range_at(linkage, UP, height)
    assume(motion is not None)
    assert motion is not None
    return motion


def heights_of(motion: RangeOfMotion, count: int = 9) -> list[float]:
    return grid(motion.lowest.height, motion.highest.height, count)


def some_travel(layout: Layout) -> Travel:
    try:
        return travel(layout)
    except BuildError:
        assume(False)
        raise


# --- the spring alone -------------------------------------------------------------------------


@MODEST
@given(between(50, 100), between(150, 400), between(0, 600))
def test_what_is_lost_and_what_is_left_make_the_whole(
    least: float, greatest: float, gap: float
) -> None:
    heights = Heights(least=least, greatest=greatest)
    stroke = SpringStroke(heights=heights, gap=gap)
    assert 0 <= stroke.lost <= heights.stroke
    if least <= gap <= greatest:
        assert stroke.lost + (greatest - gap) == pytest.approx(heights.stroke)


@MODEST
@given(between(50, 100), between(150, 400), between(60, 600), between(0, 30))
def test_moving_the_mount_as_told_leaves_just_the_room(
    least: float, greatest: float, gap: float, room: float
) -> None:
    stroke = SpringStroke(heights=Heights(least=least, greatest=greatest), gap=gap, room=room)
    moved = replace(stroke, gap=gap - stroke.closer)
    assert moved.closer == pytest.approx(0, abs=1e-9)
    assert moved.lost == pytest.approx(min(room, stroke.heights.stroke), abs=1e-9)


@MODEST
@given(tables(), between(50, 400))
def test_a_table_stays_between_its_neighbours(table: HeightTable, height: float) -> None:
    value = table.at(height)
    (low, before), (high, after) = next(
        pair for pair in pairwise(table.rows) if pair[0][0] <= height <= pair[1][0]
    )
    assert low <= height <= high
    assert min(before, after) - 1e-9 <= value <= max(before, after) + 1e-9


@MODEST
@given(tyres())
def test_a_metric_size_gives_its_diameter(named: tuple[str, float]) -> None:
    designation, diameter = named
    found = tyre(designation)
    assert found.diameter == pytest.approx(diameter)
    assert found.radius * 0.96 <= estimated_radius(found).radius <= found.radius * 0.97


@MODEST
@given(between(-3000, 0), between(500, 4000), between(100, 600), between(100, 600))
def test_stands_hold_the_frame_at_their_heights(
    station: float, apart: float, front: float, rear: float
) -> None:
    assume(abs(front - rear) < 0.9 * apart)
    floor = on_stands(Stand(station, front), Stand(station + apart, rear))
    assert floor.height(Point(station, 0.0)) == pytest.approx(front)
    assert floor.height(Point(station + apart, 0.0)) == pytest.approx(rear)


# --- the four-bar -----------------------------------------------------------------------------


@MODEST
@given(four_bars(), degrees(0, 360))
def test_every_circuit_closes_all_round(bar: FourBar, t: float) -> None:
    for circuit in circuits(bar):
        assume(all(abs(math.remainder(t - fold, math.tau)) > 1e-3 for fold in circuit.folds))
        at = angles(bar, circuit.crank(t), circuit.side(t))
        loop = (
            Vector.polar(at.crank, bar.crank)
            + Vector.polar(at.coupler, bar.coupler)
            - Vector.polar(at.rocker, bar.rocker)
        )
        assert loop.x == pytest.approx(bar.ground, abs=1e-7)
        assert loop.y == pytest.approx(0, abs=1e-7)


@MODEST
@given(four_bars(), degrees(0, 360))
def test_freudensteins_equation_holds(bar: FourBar, t: float) -> None:
    k1, k2 = bar.ground / bar.crank, bar.ground / bar.rocker
    squares = bar.crank**2 - bar.coupler**2 + bar.rocker**2 + bar.ground**2
    k3 = squares / (2 * bar.crank * bar.rocker)
    for circuit in circuits(bar):
        assume(all(abs(math.remainder(t - fold, math.tau)) > 1e-3 for fold in circuit.folds))
        at = angles(bar, circuit.crank(t), circuit.side(t))
        left = k1 * math.cos(at.rocker) - k2 * math.cos(at.crank) + k3
        assert left == pytest.approx(math.cos(at.crank - at.rocker), abs=1e-6 * (1 + k1 + k2 + k3))


@MODEST
@given(four_bars(), degrees(0, 360))
def test_the_rates_keep_the_loop_closed(bar: FourBar, t: float) -> None:
    for circuit in circuits(bar):
        assume(all(abs(math.remainder(t - fold, math.tau)) > 1e-3 for fold in circuit.folds))
        at = angles(bar, circuit.crank(t), circuit.side(t))
        rates = turning(bar, at)
        opening = (
            Vector.polar(at.crank, bar.crank) * rates.crank
            + Vector.polar(at.coupler, bar.coupler) * rates.coupler
            - Vector.polar(at.rocker, bar.rocker) * rates.rocker
        )
        size = bar.crank * bar.coupler * bar.rocker
        assert opening.length <= 1e-12 * size + 1e-12


# --- linkages driven by the axle's height -----------------------------------------------------


@MODEST
@given(linkages())
def test_the_axle_is_where_it_was_asked_for(linkage: Linkage) -> None:
    motion = some_range(linkage)
    for height in heights_of(motion):
        assert motion.posture(height).height(UP) == pytest.approx(height, abs=1e-6)


@MODEST
@given(four_links())
def test_link_lengths_stay(links: FourLink) -> None:
    motion = some_range(links)
    for height in heights_of(motion):
        axle = motion.posture(height).axle
        lower, upper = axle.place(links.lower_eye), axle.place(links.upper_eye)
        assert links.lower_pivot.distance(lower) == pytest.approx(links.lower_length)
        assert links.upper_pivot.distance(upper) == pytest.approx(links.upper_length)


@MODEST
@given(linkages())
def test_each_height_comes_once_between_the_stops(linkage: Linkage) -> None:
    motion = some_range(linkage)
    steps = [motion.low + (motion.high - motion.low) * step / 60 for step in range(61)]
    heights = [motion.height(t) for t in steps]
    assert all(a < b + 1e-9 for a, b in pairwise(heights))


@MODEST
@given(linkages())
def test_the_motion_is_unbroken(linkage: Linkage) -> None:
    """No jump to another way of closing: the axle turns and moves by little in a little step."""
    motion = some_range(linkage)
    steps = [motion.low + (motion.high - motion.low) * step / 400 for step in range(401)]
    for before, after in pairwise(motion.at(t) for t in steps):
        assert abs(math.remainder(after.axle.angle - before.axle.angle, math.tau)) < 0.3
        assert before.axle.origin.distance(after.axle.origin) < 60


@MODEST
@given(arms(), between(-300, 300))
def test_an_arm_is_its_closed_form(arm: TrailingArm, height: float) -> None:
    motion = some_range(arm, arm.pivot.y)
    posture = motion.posture(arm.pivot.y + height)
    angle = math.asin(height / arm.length)
    assert posture.axle.angle == pytest.approx(angle)
    assert posture.axle.origin.x == pytest.approx(arm.pivot.x + arm.length * math.cos(angle))


@MODEST
@given(four_links())
def test_equal_parallel_links_do_not_turn_the_axle(links: FourLink) -> None:
    along = links.upper_eye - links.lower_eye
    parallel = replace(
        links, upper_pivot=links.lower_pivot + along, upper_length=links.lower_length
    )
    motion = some_range(parallel)
    for height in heights_of(motion):
        assert motion.posture(height).axle.angle == pytest.approx(0, abs=1e-6)


@MODEST
@given(four_links(), between(0, 150))
def test_a_mirrored_linkage_moves_mirrored(links: FourLink, height: float) -> None:
    mirror = Motion.mirror_x()
    leading = replace(
        links,
        lower_pivot=mirror.point(links.lower_pivot),
        upper_pivot=mirror.point(links.upper_pivot),
        lower_eye=mirror.vector(links.lower_eye),
        upper_eye=mirror.vector(links.upper_eye),
    )
    behind = some_range(links)
    ahead = range_at(leading, UP, 100.0, behind=False)
    assert ahead is not None
    assume(behind.reaches(height))
    a, b = behind.posture(height).axle, ahead.posture(height).axle
    assert a.origin.distance(mirror.point(b.origin)) < 1e-6
    assert a.angle == pytest.approx(-b.angle, abs=1e-8)


# --- travels ----------------------------------------------------------------------------------


@FEW
@given(layouts())
def test_parallel_and_centred_where_it_was_chosen(layout: Layout) -> None:
    found = some_travel(layout)
    assert found.ride.tilt == pytest.approx(0, abs=1e-9)
    assert found.ride.drift == pytest.approx(0, abs=1e-6)
    assert found.lowest.gap == pytest.approx(layout.heights.least + layout.room)
    assert found.highest.gap == pytest.approx(layout.heights.greatest)


@FEW
@given(layouts())
def test_work_at_the_wheel_is_work_at_the_spring(layout: Layout) -> None:
    """Whatever the spring's force by its height, here one that falls with it."""
    found = some_travel(layout)
    force = lambda gap: 20000 - 30 * gap  # noqa: E731
    low, high = found.lowest.gap, found.highest.gap
    at_spring = 20000 * (high - low) - 15 * (high**2 - low**2)
    wheel = [force(position.gap) * position.ratio for position in found.positions]
    lifts = [position.lift for position in found.positions]
    step = (lifts[-1] - lifts[0]) / (len(lifts) - 1)
    at_wheel = step / 3 * (wheel[0] + wheel[-1] + 4 * sum(wheel[1::2]) + 2 * sum(wheel[2:-1:2]))
    assert at_wheel == pytest.approx(at_spring, rel=2e-5)


@FEW
@given(layouts(), st.integers(0, 40))
def test_the_spring_force_holds_every_part_still(layout: Layout, step: int) -> None:
    """The same force from forces and moments alone, without any motion."""
    found = some_travel(layout)
    position = found.positions[step]
    assert position.load is not None
    assert position.load.force_n == pytest.approx(_held(found, position), rel=1e-6)


def _held(found: Travel, position: Position) -> float:
    """Spring force from equilibrium of the moving parts, pins without friction."""
    linkage, layout = found.layout.linkage, found.layout
    assert layout.wheel_load_n is not None
    wheel = layout.ground.up * layout.wheel_load_n
    spring = (position.seat.at - found.mount.at).unit()
    axle = position.axle
    if isinstance(linkage, TrailingArm):
        turning = (axle - linkage.pivot).cross(wheel)
        return -turning / (position.seat.at - linkage.pivot).cross(spring)
    assert isinstance(linkage, FourLink)
    return _held_links(linkage, position.posture, found, position, wheel, spring)


def _held_links(
    links: FourLink,
    posture: Posture,
    found: Travel,
    position: Position,
    wheel: Vector,
    spring: Vector,
) -> float:
    """Unknowns: pin forces of both eyes on the axle (x, y each) and the spring's force."""
    pivots = (links.lower_pivot, links.upper_pivot)
    eyes = [posture.axle.place(eye) for eye in (links.lower_eye, links.upper_eye)]
    rows = np.zeros((5, 5))
    known = np.zeros(5)
    rows[0] = [1, 0, 1, 0, 0]
    rows[1] = [0, 1, 0, 1, 0]
    for column, eye in enumerate(eyes):
        arm = eye - posture.axle.origin
        rows[2, 2 * column : 2 * column + 2] = (-arm.y, arm.x)
        lever = eye - pivots[column]
        # the link feels the opposite of what it does to the axle
        rows[3 + column, 2 * column : 2 * column + 2] = (lever.y, -lever.x)
    on = found.layout.seat.on
    if on == "axle":
        rows[0, 4], rows[1, 4] = spring.x, spring.y
        rows[2, 4] = (position.seat.at - posture.axle.origin).cross(spring)
    else:
        link = 0 if on == "lower link" else 1
        rows[3 + link, 4] = (position.seat.at - pivots[link]).cross(spring)
    known[0], known[1] = -wheel.x, -wheel.y
    scale = np.array([1, 1, 500, 500, 500])[:, None]
    assume(np.linalg.cond(rows / scale) < 1e8)
    return float(np.linalg.solve(rows, known)[4])


@FEW
@given(layouts(), between(-300, 300), between(-300, 300))
def test_the_datum_may_be_anywhere(layout: Layout, x: float, y: float) -> None:
    found = some_travel(layout)
    by = Vector(x, y)
    ground = replace(layout.ground, touch=layout.ground.touch + by)
    moved = some_travel(replace(layout, ground=ground, linkage=_moved(layout.linkage, by)))
    assert moved.wheel_travel == pytest.approx(found.wheel_travel, abs=1e-6)
    assert moved.wanted.at.distance(found.wanted.at + by) < 1e-6
    assert moved.tilt.value == pytest.approx(found.tilt.value, abs=1e-8)


def _moved(linkage: Linkage, by: Vector) -> Linkage:
    if isinstance(linkage, TrailingArm):
        return replace(linkage, pivot=linkage.pivot + by)
    assert isinstance(linkage, FourLink)
    return replace(
        linkage, lower_pivot=linkage.lower_pivot + by, upper_pivot=linkage.upper_pivot + by
    )


@FEW
@given(layouts())
def test_every_layout_gives_a_travel_or_a_reason(layout: Layout) -> None:
    found, why = None, None
    try:
        found = travel(layout)
    except BuildError as refused:
        why = refused
    assert found is not None or (why is not None and why.message and why.keys)
    if found is not None:
        assert found.wheel_travel > 0
        assert abs(found.tilt.value) >= max(abs(r.tilt) for r in found.positions) - 1e-9
        assert abs(found.drift.value) >= max(abs(r.drift) for r in found.positions) - 1e-9
